"""What teaching needs: pictures, sliders, checks, handouts, the plan. Nothing here computes physics."""

"""The views of the ten lessons, one module a lesson: plain functions from what the reader moves to a picture."""

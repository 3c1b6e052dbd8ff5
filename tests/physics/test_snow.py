"""Light through snow."""

import numpy as np
import pytest

from heatlib.snow import snow_light

TWO_STREAM = "two-stream layer that only scatters, from memory: T = 1/(1 + (1 − g)·3τ/4)"


def test_fresh_snow_by_hand(outside):
    """100 mm at 100 kg/m³ hold 10 kg/m²; grains of 0.1 mm scatter it 1.5·10/(1e-4·917) = 163.6 times over."""
    outside("snow.snow_light", snow_light(0.1), 1 / (1 + 0.11 * 0.75 * 163.58), source=TWO_STREAM, rel=1e-4,
            why="rounding of 163.58")  # fmt: skip


def test_a_few_centimetres_take_most_of_it(outside):
    outside("snow.snow_light", snow_light(0.02), 0.2, source="common practice, no source", abs=0.1,
            why="20 mm of new snow leave a tenth to a third")  # fmt: skip
    outside("snow.snow_light", snow_light(0.1), 0.06, source="common practice, no source", abs=0.04,
            why="100 mm leave a few per cent")  # fmt: skip


def test_no_snow_takes_nothing_and_layers_add_up():
    assert snow_light(0.0) == 1.0
    depths = np.array([0.05, 0.1, 0.4])
    light = snow_light(depths, "snow_settled")
    # 1/T − 1 grows with the depth
    assert np.allclose((1 / light - 1) / depths, (1 / light[0] - 1) / 0.05)
    assert light.tolist() == [snow_light(float(d), "snow_settled") for d in depths]


def test_old_snow_of_coarse_grains_lets_more_through_for_its_weight():
    """Four times the radius and three times the density: three quarters of the scattering."""
    fresh, settled = 1 / snow_light(0.1) - 1, 1 / snow_light(0.1, "snow_settled") - 1
    assert settled / fresh == pytest.approx(0.75)


@pytest.mark.parametrize(("depth", "kind", "words"), [
    (-0.01, "snow_fresh", "snow depth must be between 0 and 5 m"), (6.0, "snow_fresh", "snow depth"),
    (0.1, "snow_grey", "kind of snow"),
])  # fmt: skip
def test_refused(depth, kind, words):
    with pytest.raises(ValueError, match=words):
        snow_light(depth, kind)

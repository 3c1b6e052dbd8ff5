"""Shade against plain geometry."""

import math

import numpy as np
import pytest

from heatlib import shade
from heatlib.shade import Tree
from heatlib.sun import SunPosition

MAPLE = Tree(180.0, 15.0, 10.0, 2.0, 8.0)


def test_horizon_height():
    assert shade.horizon_height(100.0, [110.0, 90.0], [20.0, 10.0]) == 15.0
    # across north, and full turn equal to none
    assert shade.horizon_height([0.0, 360.0, 350.0], [340.0, 20.0], [10.0, 30.0]) == pytest.approx([20.0, 20.0, 15.0])
    assert shade.horizon_height(123.0, [7.0], [12.0]) == 12.0


def test_shaded():
    hill = [90.0, 180.0, 270.0], [0.0, 20.0, 0.0]
    assert shade.shaded(SunPosition(71.0, 180.0), *hill) is True
    assert shade.shaded(SunPosition(69.0, 180.0), *hill) is False
    assert shade.shaded(SunPosition(70.0, 180.0), *hill) is True
    assert shade.shaded(SunPosition(np.array([81.0, 79.0]), 135.0), *hill).tolist() == [True, False]
    assert shade.shaded(SunPosition(95.0, 0.0), [0.0], [0.0]) is True


def test_horizon_light(outside):
    outside(
        "shade.horizon_light",
        shade.horizon_light([0.0], [20.0]),
        math.cos(math.radians(20)) ** 2,
        source="closed form: cos² of an even horizon",
        rel=1e-9,
        why="exact",
    )
    heights = np.where((np.arange(360) > 90) & (np.arange(360) < 270), 45.0, 0.0)
    outside(
        "shade.horizon_light",
        shade.horizon_light(np.arange(360.0), heights),
        0.75,
        source="half the round behind 45°: 1 − 0.5/2",
        abs=0.002,
        why="the step is a slope of one degree",
    )
    outside(
        "shade.horizon_light",
        shade.horizon_light([180.0, 180.01, 181.49, 181.5], [0.0, 60.0, 60.0, 0.0]),
        1 - 1.5 / 360 * 0.75,
        source="a chimney 1.5° wide: of its part of the sky cos² 60° is left",
        abs=1e-4,
        why="the round is looked at twice in each degree",
    )
    assert shade.horizon_light([0.0], [0.0]) == 1.0 and shade.horizon_light([0.0], [90.0]) == pytest.approx(0.0)


def test_leafage():
    assert shade.leafage([1, 130, 140, 150, 270, 285, 300, 366]).tolist() == [0, 0, 0.5, 1, 1, 0.5, 0, 0]
    assert shade.leafage(100, 90, 110, 200, 220) == 0.5
    assert shade.leafage(210, 90, 110, 200, 220) == 0.5


def test_tree_transmittance():
    assert shade.tree_transmittance([0.0, 1.0]).tolist() == [0.65, 0.2]
    assert shade.tree_transmittance(0.5, 0.8, 0.2) == pytest.approx(0.4)  # geometric mean


def test_tree_transmittance_lies_in_tabled_bands(outside):
    outside(
        "shade.tree_transmittance",
        shade.tree_transmittance([0.0, 1.0]),
        [0.6, 0.2],
        source="tables of street trees: bare 0.4–0.8, leafy 0.1–0.3 (from memory)",
        abs=0.2,
        why="by kind of tree",
    )


def test_tree_light_edges():
    low, high, aside = (math.degrees(math.atan(x)) for x in (2 / 15, 10 / 15, 4 / 15))
    for height, azimuth, expected in (
        (low + 0.1, 180, 0.3),
        (low - 0.1, 180, 1),
        (high - 0.1, 180, 0.3),
        (high + 0.1, 180, 1),
        (20, 180 + aside - 0.1, 0.3),
        (20, 180 + aside + 0.1, 1),
        (20, 180 - aside + 0.1, 0.3),
        (20, 180 - aside - 0.1, 1),
        (20, 0, 1),
    ):
        assert shade.tree_light(SunPosition(90.0 - height, float(azimuth)), MAPLE, 0.3) == expected, (height, azimuth)
    north = Tree(350.0, 15.0, 10.0, 0.0, 12.0)
    assert shade.tree_light(SunPosition(np.array([80.0, 80.0]), np.array([5.0, 340.0])), north, 0.3).tolist() == [
        0.3,
        0.3,
    ]
    assert shade.tree_light(SunPosition(80.0, 15.0), north, 0.3) == 1.0
    assert shade.tree_light(SunPosition(np.array([70.0, 70.0]), 180.0), MAPLE, [0.2, 0.6]).tolist() == [0.2, 0.6]


@pytest.mark.parametrize(
    ("function", "bad", "words"),
    [
        (shade.horizon_height, (361.0, [0.0], [0.0]), "direction must be between 0 and 360"),
        (shade.horizon_height, (-1.0, [0.0], [0.0]), "direction must be between 0 and 360"),
        (shade.horizon_height, (1.0, [361.0], [0.0]), "directions of the horizon must be between 0 and 360"),
        (shade.horizon_height, (1.0, [-1.0], [0.0]), "directions of the horizon must be between 0 and 360"),
        (shade.horizon_height, (1.0, [0.0], [91.0]), "heights of the horizon must be between 0 and 90"),
        (shade.horizon_height, (1.0, [0.0], [-1.0]), "heights of the horizon must be between 0 and 90"),
        (shade.horizon_height, (1.0, [0.0, 1.0], [0.0]), "two lists of the same length"),
        (shade.horizon_height, (1.0, [[0.0]], [[0.0]]), "two lists of the same length"),
        (shade.horizon_height, (1.0, [0.0, 360.0], [0.0, 1.0]), "must differ from each other"),
        (shade.shaded, (SunPosition(181.0, 0.0), [0.0], [0.0]), "zenith angle of the sun"),
        (shade.shaded, (SunPosition(-1.0, 0.0), [0.0], [0.0]), "zenith angle of the sun"),
        (shade.shaded, (SunPosition(10.0, 361.0), [0.0], [0.0]), "azimuth of the sun"),
        (shade.shaded, (SunPosition(10.0, -1.0), [0.0], [0.0]), "azimuth of the sun"),
        (shade.leafage, (0,), "day of year must be between 1 and 366"),
        (shade.leafage, (367,), "day of year must be between 1 and 366"),
        (shade.leafage, (10, 0), "day of bud break must be between 1 and 366"),
        (shade.leafage, (10, 130, 130), "must come in order"),
        (shade.leafage, (10, 130, 150, 270, 367), "day when leaves are gone must be between 1 and 366"),
        (shade.tree_transmittance, (1.1,), "leaves .0 bare to 1 full. must be between 0 and 1"),
        (shade.tree_transmittance, (-0.1,), "leaves"),
        (shade.tree_transmittance, (0.5, 0.0), "share that passes a bare tree"),
        (shade.tree_transmittance, (0.5, 1.1), "share that passes a bare tree"),
        (shade.tree_transmittance, (0.5, 0.5, 0.0), "share that passes a leafy tree"),
        (shade.tree_transmittance, (0.5, 0.5, 1.1), "share that passes a leafy tree"),
        (shade.tree_transmittance, ([0.5, 0.6], [0.5] * 3), "same length"),
        (
            shade.tree_light,
            (SunPosition(70.0, 180.0), MAPLE, 1.1),
            "share that passes the crown must be between 0 and 1",
        ),
        (
            shade.tree_light,
            (SunPosition(70.0, 180.0), MAPLE, -0.1),
            "share that passes the crown must be between 0 and 1",
        ),
        (shade.tree_light, (SunPosition([70.0, 71.0], 180.0), MAPLE, [0.1] * 3), "same length"),
        (Tree, (361.0, 15.0, 10.0, 2.0, 8.0), "direction of the tree"),
        (Tree, (-1.0, 15.0, 10.0, 2.0, 8.0), "direction of the tree"),
        (Tree, (180.0, 0.0, 10.0, 2.0, 8.0), "distance of the tree"),
        (Tree, (180.0, 1001.0, 10.0, 2.0, 8.0), "distance of the tree"),
        (Tree, (180.0, 15.0, 2.0, 2.0, 8.0), "height of the tree must be greater than 2 m"),
        (Tree, (180.0, 15.0, 151.0, 2.0, 8.0), "height of the tree"),
        (Tree, (180.0, 15.0, 10.0, -1.0, 8.0), "bottom of the crown"),
        (Tree, (180.0, 15.0, 10.0, 2.0, 0.0), "width of the crown"),
        (Tree, (180.0, 15.0, 10.0, 2.0, 101.0), "width of the crown"),
    ],
)
def test_refusals(function, bad, words):
    with pytest.raises(ValueError, match=words):
        function(*bad)


def test_a_low_hedge_is_a_tree_too():
    """Half a metre of green, from the panes' middle up, two metres away: it reaches atan(0.5/2) = 14.04° high."""
    hedge = Tree(180.0, 2.0, 0.5, 0.0, 3.0)
    assert shade.tree_light(SunPosition(90 - 14.0, 180.0), hedge, 0.3) == 0.3
    assert shade.tree_light(SunPosition(90 - 14.1, 180.0), hedge, 0.3) == 1.0


def test_the_edge_of_a_crown_is_crown():
    """As wide as high and twice as wide as far: it ends exactly 45° up, 45° to each side, and level below."""
    square = Tree(180.0, 10.0, 10.0, 0.0, 20.0)
    for zenith, azimuth in ((45.0, 180.0), (60.0, 225.0), (60.0, 135.0), (90.0, 180.0)):
        assert shade.tree_light(SunPosition(zenith, azimuth), square, 0.3) == 0.3
    for zenith, azimuth in ((44.99, 180.0), (60.0, 225.01), (60.0, 134.99), (90.01, 180.0)):
        assert shade.tree_light(SunPosition(zenith, azimuth), square, 0.3) == 1.0
    # the same tree just west of north: its crown runs over 0° to 35°
    north = Tree(350.0, 10.0, 10.0, 0.0, 20.0)
    sun = SunPosition(60.0, np.array([304.99, 305.0, 0.0, 35.0, 35.01]))
    assert shade.tree_light(sun, north, 0.3).tolist() == [1.0, 0.3, 0.3, 0.3, 1.0]


@pytest.mark.parametrize("top", [0.5, 180.5])
def test_a_narrow_peak_takes_little_of_the_sky(outside, top):
    """Over a ramp from 0 to 60° cos² is 1/2 + sin(120°)/(4·π/3) = 0.70675 in the mean; the peak is two ramps of 1°."""
    outside(
        "shade.horizon_light",
        shade.horizon_light([(top - 1) % 360, top, top + 1], [0.0, 60.0, 0.0]),
        1 - 2 / 360 * (1 - 0.70675),
        source="closed form: integral of cos² over a ramp",
        abs=1e-4,
        why="the round is looked at twice in each degree",
    )

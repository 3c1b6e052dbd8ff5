"""What stands between the sun and the panes: hills and houses on the horizon, and a tree with leaves or without.

Each function gives a share of light that comes through, 0 to 1: multiply the beam (and the bright sky round the sun) by
one, the sky's light by another. Directions are degrees clockwise from north.
"""

import math
from dataclasses import dataclass
from itertools import pairwise

import numpy as np

from heatlib._check import broadcast, number, single

__all__ = ["Tree", "horizon_height", "horizon_light", "leafage", "shaded", "tree_light", "tree_transmittance"]

BARE, LEAFY = 0.65, 0.2
"""Share of the sun that passes the crown of a bare and of a leafy deciduous tree, from memory [–]."""


@dataclass(frozen=True)
class Tree:
    """A tree as a box with a see-through crown, seen from the middle of the greenhouse."""

    direction: float
    """Where it stands, clockwise from north [°]."""
    distance: float
    """From the house to the trunk [m]."""
    height: float
    """Top of the crown above the middle of the panes [m]."""
    crown_base: float
    """Bottom of the crown above the middle of the panes, 0 or more; the trunk below is neglected [m]."""
    crown_width: float
    """Width of the crown [m]."""

    def __post_init__(self):
        single("direction of the tree", self.direction, "° from north", 0, 360)
        single("distance of the tree", self.distance, "m", 0, 1000, above=0)
        single("bottom of the crown", self.crown_base, "m", 0, 150)
        single("height of the tree", self.height, "m", 0, 150, above=self.crown_base)
        single("width of the crown", self.crown_width, "m", 0, 100, above=0)


def _plain(value):
    return float(value) if np.ndim(value) == 0 else value


def _sun(position):
    zenith = number("zenith angle of the sun", position.zenith, "°", 0, 180)
    azimuth = number("azimuth of the sun", position.azimuth, "°", 0, 360)
    broadcast(zenith=zenith, azimuth=azimuth)
    return 90 - np.asarray(zenith), np.asarray(azimuth)


def _horizon(directions, heights):
    around = np.atleast_1d(number("directions of the horizon", directions, "° from north", 0, 360))
    tops = np.atleast_1d(number("heights of the horizon", heights, "°", 0, 90))
    if around.ndim != 1 or around.shape != tops.shape:
        raise ValueError("directions and heights of the horizon must be two lists of the same length")
    if np.unique(around % 360).size != around.size:
        raise ValueError("directions of the horizon must differ from each other (0 and 360 are the same)")
    return around, tops


def horizon_height(azimuth, directions, heights):
    """Give how high the horizon stands in a direction, from a few sightings joined by straight lines.

    Parameters
    ----------
    azimuth : float or array_like
        Direction looked to, clockwise from north, 0 to 360 [°].
    directions : array_like
        Directions of the sightings, in any order, 0 to 360 [°].
    heights : array_like
        Angle of the horizon above level at each, 0 to 90 [°].

    Returns
    -------
    float or numpy.ndarray
        Angle above level [°].

    Raises
    ------
    ValueError
        If a value is outside its range, the lists don't match or a direction comes twice.

    Notes
    -----
    A phone's level, sighted along its edge, measures it well enough: 10 m of house 30 m away stand 18° high.

    Examples
    --------
    >>> horizon_height(100.0, [90.0, 110.0], [10.0, 20.0])
    15.0
    """
    look = number("direction", azimuth, "° from north", 0, 360)
    return _plain(np.interp(look, *_horizon(directions, heights), period=360))


def shaded(position, directions, heights):
    """Tell whether the horizon hides the sun.

    Half-shade while the sun's disc crosses the edge is neglected.

    Parameters
    ----------
    position : SunPosition
        Where the sun stands [°].
    directions : array_like
        Directions of the sightings [°].
    heights : array_like
        Angle of the horizon above level at each [°].

    Returns
    -------
    bool or numpy.ndarray
        True where the sun is behind the horizon [yes/no].

    Raises
    ------
    ValueError
        If a value is outside its range.

    Examples
    --------
    >>> from heatlib.sun import SunPosition
    >>> shaded(SunPosition(80.0, 180.0), [0.0, 180.0], [0.0, 15.0])
    True
    """
    height, azimuth = _sun(position)
    hidden = height <= horizon_height(azimuth, directions, heights)
    return bool(hidden) if np.ndim(hidden) == 0 else hidden


def horizon_light(directions, heights):
    """Give the share of the even sky's light that a horizon leaves on level ground.

    What the hill itself throws back is neglected.

    Parameters
    ----------
    directions : array_like
        Directions of the sightings [°].
    heights : array_like
        Angle of the horizon above level at each [°].

    Returns
    -------
    float
        Share of the sky's light [–].

    Raises
    ------
    ValueError
        If a value is outside its range.

    Notes
    -----
    Mean of cos² of the horizon's height all round: 20° all round take 12 %.

    References
    ----------
    DUFFIEBECKMAN, section 2.15 (isotropic sky).

    Examples
    --------
    >>> horizon_light([0.0], [0.0])
    1.0
    """
    around = np.arange(0.25, 360, 0.5)
    return float(np.mean(np.cos(np.radians(horizon_height(around, directions, heights))) ** 2))


def leafage(day_of_year, leaves_out=130.0, leaves_full=150.0, leaves_turn=270.0, leaves_gone=300.0):
    """Give how much of its leaves a deciduous tree bears on a day.

    Parameters
    ----------
    day_of_year : float or array_like
        Day of the year, 1 to 366 [day].
    leaves_out : float, optional
        Day on which buds open, between 1 and 366 [day of year].
    leaves_full : float, optional
        Day from which the crown is full, between 1 and 366 [day of year].
    leaves_turn : float, optional
        Day from which leaves fall, between 1 and 366 [day of year].
    leaves_gone : float, optional
        Day on which the crown is bare, between 1 and 366 [day of year].

    Returns
    -------
    float or numpy.ndarray
        0 bare to 1 full [–].

    Raises
    ------
    ValueError
        If a value is outside its range or the days are not in order.

    Notes
    -----
    Straight lines between the four days. The preset suits a cold northern climate: common practice, no source.

    References
    ----------
    PRACTICE.

    Examples
    --------
    >>> leafage(15), leafage(140), leafage(200)
    (0.0, 0.5, 1.0)
    """
    day = number("day of year", day_of_year, "day", 1, 366)
    names = ("day of bud break", "day of full leaf", "day when leaves turn", "day when leaves are gone")
    turns = (leaves_out, leaves_full, leaves_turn, leaves_gone)
    days = [single(name, turn, "day of year", 1, 366) for name, turn in zip(names, turns, strict=True)]
    if not all(a < b for a, b in pairwise(days)):
        raise ValueError(f"days of the leaves must come in order, each after the one before, but they are {days}")
    return _plain(np.interp(day, days, [0.0, 1.0, 1.0, 0.0]))


def tree_transmittance(leaves, bare=BARE, leafy=LEAFY):
    """Give the share of the sun that passes the crown of a tree.

    Parameters
    ----------
    leaves : float or array_like
        0 bare to 1 full, from :func:`leafage` [–].
    bare : float, optional
        Share that passes twigs alone: 0.4 to 0.8 by kind of tree, greater than 0 and at most 1 [–].
    leafy : float, optional
        Share that passes the full crown: 0.1 to 0.3, greater than 0 and at most 1 [–].

    Returns
    -------
    float or numpy.ndarray
        Share [–].

    Raises
    ------
    ValueError
        If a value is outside 0 to 1.

    Notes
    -----
    Twigs stay when leaves come, so the logarithm of the share runs straight between the two: as if each layer of
    leaves took its part of what the one above let pass.

    References
    ----------
    MEMORY: tabled shares of street trees, bare 0.4 to 0.8, leafy 0.1 to 0.3.

    Examples
    --------
    >>> tree_transmittance(0.0), tree_transmittance(1.0)
    (0.65, 0.2)
    """
    full = number("leaves (0 bare to 1 full)", leaves, "", 0, 1)
    open_ = number("share that passes a bare tree", bare, "", 0, 1, above=0)
    dense = number("share that passes a leafy tree", leafy, "", 0, 1, above=0)
    broadcast(leaves=full, bare=open_, leafy=dense)
    return _plain(np.round(open_ * (dense / open_) ** np.asarray(full), 15))


def tree_light(position, tree, transmittance):
    """Give the share of the sun's beam that a tree lets through to the house.

    The house is taken as one point, so shade comes and goes at once; the trunk is neglected.

    Parameters
    ----------
    position : SunPosition
        Where the sun stands [°].
    tree : Tree
        The tree [m, °].
    transmittance : float or array_like
        Share that passes its crown, from :func:`tree_transmittance`, between 0 and 1 [–].

    Returns
    -------
    float or numpy.ndarray
        1 where the sun passes beside, over or under the crown, else the transmittance [–].

    Raises
    ------
    ValueError
        If a value is outside its range.

    Notes
    -----
    The crown spans ``atan(width/2 / distance)`` to each side and stands from ``atan(base/distance)`` to
    ``atan(height/distance)``. A tree of 10 m, 15 m to the south, hides the sun below 34°: all winter.

    Examples
    --------
    >>> from heatlib.sun import SunPosition
    >>> maple = Tree(180.0, 15.0, 10.0, 2.0, 8.0)
    >>> tree_light(SunPosition(70.0, 180.0), maple, 0.5), tree_light(SunPosition(30.0, 180.0), maple, 0.5)
    (0.5, 1.0)
    """
    passed = number("share that passes the crown", transmittance, "", 0, 1)
    height, azimuth = _sun(position)
    broadcast(height=height, azimuth=azimuth, transmittance=passed)
    aside = np.abs((azimuth - tree.direction + 180) % 360 - 180)
    low, high = (math.degrees(math.atan(level / tree.distance)) for level in (tree.crown_base, tree.height))
    within = (
        (height >= low) & (height <= high) & (aside <= math.degrees(math.atan(tree.crown_width / 2 / tree.distance)))
    )
    return _plain(np.where(within, passed, 1.0))

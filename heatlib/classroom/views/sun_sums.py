"""The sun of a day, summed by month: on and through a square metre of pane, and into the demo house."""

from dataclasses import replace
from functools import lru_cache

import numpy as np

from heatlib._check import choice
from heatlib.house.demo import demo_house
from heatlib.house.greenhouse import COMPASS
from heatlib.shade import Tree, leafage, tree_light, tree_transmittance
from heatlib.sun import Sky, SunPosition, clear_day, cloudy_sky, pane_irradiance
from heatlib.tables import entry
from heatlib.transmission import glazing_kind, solar_property, sun_through

__all__ = ["GROUNDS", "HOUSE_BEFORE", "TREES", "house_sun", "leaf_share", "noon", "pane_sun"]

HOUSE_BEFORE = 6
"""Lesson after which the house of this lesson stands."""
STEP = 900.0
GROUNDS = {
    "soil_dark_wet": "dark wet soil", "grass": "grass", "white_stones": "white stones",
    "snow_dirty": "dirty snow", "snow_old": "old snow", "snow_fresh": "fresh snow",
}  # fmt: skip
TREES = {
    "none": None,
    "south": Tree(direction=180.0, distance=12.0, height=10.0, crown_base=1.0, crown_width=8.0),
    "west": Tree(direction=255.0, distance=10.0, height=10.0, crown_base=1.0, crown_width=8.0),
}
"""Trees of the invented scenario; heights count from the middle of the panes."""


@lru_cache
def _year():
    """Times, sun and clear sky of the 21st of each month, the months one after the other."""
    place = demo_house().place
    where = (place.latitude, place.longitude, place.utc_offset)
    days = [clear_day(np.datetime64(f"2025-{m:02d}-21"), *where, elevation=place.elevation, step=STEP)
            for m in range(1, 13)]  # fmt: skip

    def joined(position, names):
        return (np.concatenate([getattr(day[position], name)[:-1] for day in days]) for name in names)

    times = np.concatenate([day[0][:-1] for day in days])
    position = SunPosition(*joined(1, ("zenith", "azimuth")))
    sky = Sky(*joined(2, ("beam_normal", "diffuse_horizontal", "global_horizontal", "extraterrestrial")))
    return times, position, sky


def _by_month(watts):
    """Sum of each day, by month, from values of :func:`_year` [J]."""
    return np.asarray(watts).reshape(12, -1).sum(axis=1) * STEP


@lru_cache(maxsize=200)
def pane_sun(facing="south", tilt=90.0, glazing="polycarbonate_twin_8", cloud=0.0, ground="grass"):
    """Return the sun of a day on and through a square metre of pane, by month.

    Parameters
    ----------
    facing : str
        Direction the pane looks to, such as ``"south"`` [text].
    tilt : float
        0 level to 90 upright [°].
    glazing : str
        Row of the table of glazings [text].
    cloud : float
        Share of the sky covered, 0–1 [–].
    ground : str
        A key of :data:`GROUNDS` [text].

    Returns
    -------
    tuple of numpy.ndarray
        On the pane and through it, from January to December, on the 21st [J/m²].
    """
    _, position, clear = _year()
    albedo = solar_property(choice("ground", ground, GROUNDS), "solar_reflectance")
    pane = pane_irradiance(position, cloudy_sky(clear, position, cloud), COMPASS[facing], tilt, albedo)
    straight = entry("glazings", glazing, "solar_transmittance").value
    return _by_month(pane.total), _by_month(sun_through(pane, glazing_kind(glazing), straight, tilt))


@lru_cache(maxsize=400)
def house_sun(cloud=0.0, ground="grass", tree="none"):
    """Return the sun that comes in through each group of panes of the house on the 21st of each month.

    Parameters
    ----------
    cloud : float
        Share of the sky covered, 0–1 [–].
    ground : str
        A key of :data:`GROUNDS`, what lies in front of the panes [text].
    tree : str
        A key of :data:`TREES` [text].

    Returns
    -------
    dict of numpy.ndarray
        From January to December for ``"roof"``, ``"wall"`` (sashes included) and ``"ends"`` [J].
    """
    times, position, clear = _year()
    sky = cloudy_sky(clear, position, cloud)
    albedo = solar_property(choice("ground", ground, GROUNDS), "solar_reflectance")
    light = _light(times, position, choice("tree", tree, TREES))
    groups = {"roof": 0.0, "wall": 0.0, "ends": 0.0}
    for surface in demo_house(after_lesson=HOUSE_BEFORE).surfaces:
        if surface.glazing:
            pane = pane_irradiance(position, sky, surface.facing, surface.tilt, albedo)
            pane = replace(pane, beam=pane.beam * light, circumsolar=pane.circumsolar * light)
            straight = entry("glazings", surface.glazing, "solar_transmittance").value
            kind = glazing_kind(surface.glazing)
            inside = sun_through(pane, kind, straight, surface.tilt, surface.dirt, surface.frame)
            group = "roof" if surface.tilt < 75 else "wall" if surface.facing == COMPASS["south"] else "ends"
            groups[group] = groups[group] + surface.area * _by_month(inside)
    return groups


def _light(times, position, name):
    """Share of the beam that passes the tree; its leaves follow the date."""
    if TREES[name] is None:
        return 1.0
    day = (times.astype("datetime64[D]") - np.datetime64("2025-01-01")).astype(float) + 1
    return tree_light(position, TREES[name], tree_transmittance(leafage(day)))


def leaf_share(month):
    """Return the share of its leaves that a tree has on the 21st of a month [0–1]."""
    return float(leafage(float((np.datetime64(f"2025-{month:02d}-21") - np.datetime64("2025-01-01")).astype(int) + 1)))


def noon(month):
    """Height of the sun at noon and its directions through the day [°]."""
    _, position, _ = _year()
    part = slice((month - 1) * 96, month * 96)
    height = 90 - position.zenith[part]
    return float(height.max()), [float(a) for a in position.azimuth[part][height > 0]]

"""What becomes of the sun's heat: the demo house through winter days and the design night, and in July."""

from functools import lru_cache

from heatlib._check import choice
from heatlib.classroom.views.sun_sums import GROUNDS, HOUSE_BEFORE
from heatlib.house import fabric
from heatlib.house.balance import run
from heatlib.house.demo import DESIGN_NIGHT, demo_house
from heatlib.house.greenhouse import Shade, Store
from heatlib.house.weather import design_day, design_night
from heatlib.transmission import solar_property

__all__ = ["BRICKS", "CATCHERS", "LAST_DAY", "coldest_after", "summer_peak", "winter_night"]

CATCHERS = {
    "drums_black": ("drums", "black_paint", "black drums"),
    "drums_dark": ("drums", "dark_barrel_blue", "dark blue drums"),
    "drums_light": ("drums", "light_barrel_blue", "light blue drums"),
    "drums_white": ("drums", "white_barrel", "white drums"),
    "wall_black": ("wall", "black_paint", "a black brick wall"),
    "wall_white": ("wall", "white_paint", "a white brick wall"),
}
"""What the sun inside may meet first: which store, its paint, and its words."""
BRICKS = Store("wall", "bed", 1.08, material="brick", surface=10.8, layers=3)
"""A wall of bricks 10 cm thick along the whole back of the house; its far side is insulated."""


@lru_cache
def _night_weather(snow):
    place = demo_house().place
    more = {"longitude": place.longitude, "utc_offset": place.utc_offset, "elevation": place.elevation}
    more |= {"days_before": 2, "snow": snow, "step": 1800.0}
    air = {"minimum": DESIGN_NIGHT["coldest"], "maximum": DESIGN_NIGHT["warmest"]}
    return design_night(place.latitude, "2025-01-20", **air, **more)


def _lit_house(ground):
    part = "snow" if choice("ground", ground, GROUNDS).startswith("snow") else "ground"
    return demo_house(after_lesson=HOUSE_BEFORE).changed(f"place.{part}", ground)


@lru_cache
def _night_gains(ground):
    return fabric.gains(_lit_house(ground), _night_weather(ground.startswith("snow")))


@lru_cache(maxsize=400)
def winter_night(catcher="drums_black", struck=0.45, ground="snow_fresh"):
    """Run the unheated house through two clear winter days and the design night.

    Parameters
    ----------
    catcher : str
        A key of :data:`CATCHERS`, what the sun inside meets first; drums behind a wall get none [text].
    struck : float
        Share of the sun inside that meets it, 0–1 [–].
    ground : str
        A key of :data:`GROUNDS`; fresh, old and dirty snow count as snow [text].

    Returns
    -------
    Course
        The course [SI].
    """
    store, paint, _ = CATCHERS[choice("what the sun meets", catcher, CATCHERS)]
    house = _lit_house(ground).changed("stores.drums.sun_share", 0.0)
    if store == "wall":
        house = house.changed("stores", (*house.stores, BRICKS))
    taken = {"sun_share": struck, "absorptance": solar_property(paint, "solar_absorptance")}
    house = house.changed(**{f"stores.{store}.{name}": value for name, value in taken.items()})
    return run(house, _night_weather(ground.startswith("snow")), 600.0, gains=_night_gains(ground))


LAST_DAY = slice(-144, None)
"""The hours from the noon before the design night to the noon after it."""


@lru_cache
def coldest_after(lesson):
    """Return the lowest air of the design night in the demo house after a lesson's measure, with snow outside.

    Parameters
    ----------
    lesson : int
        Number of the lesson, 1 to 10 [–].

    Returns
    -------
    float
        Temperature [°C].
    """
    return float(run(demo_house(after_lesson=lesson), _night_weather(True), 600.0).air[LAST_DAY].min())


@lru_cache
def summer_peak(vents=True, shade=0.0):
    """Return the warmest air inside on the last of three clear days in July, 29 °C outside at its warmest.

    Parameters
    ----------
    vents : bool
        Whether the vents open [yes/no].
    shade : float
        Share of the sun that a shade cloth keeps out [–].

    Returns
    -------
    float
        Temperature [°C].
    """
    house, place = demo_house(after_lesson=HOUSE_BEFORE), demo_house().place
    house = house if vents else house.changed("vents", None)
    house = house.changed("shade", Shade(shade)) if shade else house
    more = {"longitude": place.longitude, "utc_offset": place.utc_offset, "elevation": place.elevation}
    days = design_day(place.latitude, "2025-07-21", minimum=16.0, maximum=29.0, days=3, wind_speed=1.0, **more)
    return run(house, days, 600.0).highest_air

"""The demo house with so many drums and a heater through one night, as lesson 10 asks for it."""

from dataclasses import dataclass, replace
from functools import lru_cache

import numpy as np

from heatlib.house import fabric
from heatlib.house.balance import run
from heatlib.house.demo import DESIGN_NIGHT, demo_house
from heatlib.house.greenhouse import Heater
from heatlib.house.weather import design_night, sunless_days

__all__ = [
    "DATE", "FRONT_ROW", "NightOf", "gains_before", "house_with", "judged", "night_of", "the_weather", "with_heat",
    "with_other_heat",
]  # fmt: skip

DATE = "2025-01-20"
FRONT_ROW = 9
"""Drums that stand in the front row, behind the south panes: only they are struck by the sun."""
DAY = 86400.0
SWING = {"clear": DESIGN_NIGHT["warmest"] - DESIGN_NIGHT["coldest"], "sunless": 6.0}
"""Warmest of a day less coldest of the night: clouds even it out [K]."""


@lru_cache
def _first_weather(before):
    place = demo_house().place
    more = dict(snow=True, longitude=place.longitude, utc_offset=place.utc_offset, elevation=place.elevation)
    ends = dict(minimum=DESIGN_NIGHT["coldest"], maximum=DESIGN_NIGHT["coldest"] + SWING[before])
    make = design_night if before == "clear" else sunless_days
    return make(place.latitude, DATE, **ends, **more)


@lru_cache(maxsize=200)
def the_weather(before, coldest):
    """Return two days, or clear ones and three covered ones, with the night after them, as cold as told.

    The sun does not hang on the cold, so it is worked out once; temperature and dew point move together.
    """
    first = _first_weather(before)
    shift = coldest - DESIGN_NIGHT["coldest"]
    return replace(first, temperature=first.temperature + shift, dew_point=first.dew_point + shift)


@lru_cache
def gains_before(before):
    """Work out once what the sun gives before and in such a night."""
    return fabric.gains(demo_house(9), _first_weather(before))


def house_with(drums, power=0.0, limit=2.0, *, leaks=None, curtain=True, base=9):
    """Return the demo house with so many drums and a heater that holds a limit.

    The front row of nine catches the sun. Further drums stand behind it: they hold more, and catch nothing.
    """
    house = demo_house(base)
    share = house.store("drums").sun_share * min(drums, FRONT_ROW) / FRONT_ROW
    changes = {"stores.drums.count": drums, "stores.drums.sun_share": share, "limits.minimum": limit}
    if leaks is not None:
        changes["air.air_change_rate"] = leaks
    if not curtain:
        changes["curtain"] = None
    changes["heater"] = Heater(power, limit) if power else None
    return house.changed(**changes)


@dataclass(frozen=True)
class NightOf:
    """A course with what counts of its last day, from noon to noon."""

    course: object
    lowest: float
    """Lowest air [°C]."""
    when: float
    """Moment of it, from the start of the weather [s]."""
    heat: float
    """Heat from the heater in the last day [J]."""
    mean: float
    """Mean of the air over the last day [°C]."""
    last: np.ndarray
    """Which steps are of the last day [yes/no]."""


def judged(course):
    """Take from a course what counts of its last day."""
    last = course.time > course.time[-1] - DAY
    at = int(np.argmin(np.where(last, course.air, np.inf)))
    heat = float(course.heater[last].sum() * course.step)
    return NightOf(course, float(course.air[at]), float(course.time[at]), heat, float(course.air[last].mean()), last)


@lru_cache(maxsize=600)
def night_of(drums, power, limit=2.0, before="clear", coldest=-24.0, leaks=None, curtain=True):
    """Run the demo house through a night and what comes before it."""
    house = house_with(drums, power, limit, leaks=leaks, curtain=curtain)
    return judged(run(house, the_weather(before, coldest), gains=gains_before(before)))


def with_heat(ready, heater):
    """Return a prepared run with another heater in the air, or none; all else is kept."""
    given = (heater.power, heater.setpoint, heater.band, -1) if heater and heater.power else None
    house = ready.house.changed("heater", heater)
    return replace(ready, house=house, inputs=replace(ready.inputs, heater=given))


def with_other_heat(ready, watts):
    """Return a prepared run whose air gets further heat, step by step [W]; it counts as the path ``other``."""
    extra = np.broadcast_to(np.asarray(watts, dtype=float), ready.time.shape)
    gain = [have + more for have, more in zip(ready.inputs.gain, extra.tolist())]
    return replace(ready, inputs=replace(ready.inputs, gain=gain), fixed=ready.fixed | {"other": -extra})

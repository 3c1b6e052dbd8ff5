"""Heat that is no heater's: a compost heap piped to a radiator, a cable in the soil, a lamp; and what a heater adds."""

from functools import lru_cache

import numpy as np

from heatlib.classroom.views.nights import gains_before, house_with, judged, the_weather, with_heat, with_other_heat
from heatlib.conduction import layer_resistance, surface_resistance
from heatlib.house.balance import prepare
from heatlib.house.demo import DESIGN_NIGHT, demo_house
from heatlib.house.greenhouse import Heater
from heatlib.other_heat import cable_bed, compost_heat, compost_radiator, electric_heat
from heatlib.tables import entry

__all__ = ["cable_share", "helped", "other_heat", "ready_for_others"]

LIMIT = demo_house().limits.minimum
"""What the greens want in the night [°C]."""

HEAP_DAYS, HEAP_WATTS_PER_KELVIN = 60.0, 15.0
"""How long a heap works, and what coil, water and radiator carry for each degree [d, W/K]."""
CABLE_DEPTH, CABLE_FOAM, CABLE_SOIL = 0.15, 0.05, "soil_moist"
"""Soil over the cable and foam under it [m]."""
LAMP = (16.0, 22.0)
"""Hours of the clock during which the lamp burns [h]."""


def other_heat(dry_mass, cable, lamp, hours):
    """Return what heap, cable and lamp give to the air at hours of the clock [W], by name.

    The cable's bed is taken as settled, and the heap as steady.
    """
    made = compost_heat(dry_mass, HEAP_DAYS) if dry_mass else 0.0
    hot = entry("heat_sources", "compost", "pile_temperature").value
    heap = compost_radiator(made, hot, LIMIT, HEAP_WATTS_PER_KELVIN)
    on = (hours >= LAMP[0]) & (hours < LAMP[1])
    return {
        "compost heap": np.full_like(hours, heap),
        "soil cable": np.full_like(hours, cable * cable_share()),
        "grow light": on * electric_heat(lamp),
    }


@lru_cache
def cable_share():
    """Return the part of a cable's heat that goes up into the house [0–1]."""
    soil = layer_resistance(CABLE_DEPTH, entry("materials", CABLE_SOIL, "conductivity").value)
    foam = layer_resistance(CABLE_FOAM, entry("materials", "xps", "conductivity").value)
    below = layer_resistance(1.0, entry("materials", CABLE_SOIL, "conductivity").value)
    return cable_bed(100.0, 0.0, 0.0, soil + surface_resistance("up"), foam + below).upward / 100.0


@lru_cache(maxsize=400)
def helped(dry_mass, cable, lamp):
    """Run the house without drums and with other heat, once bare and once with a heater that holds the limit."""
    ready = ready_for_others()
    hours = (ready.time / 3600) % 24
    parts = other_heat(dry_mass, cable, lamp, hours)
    ready = with_other_heat(ready, sum(parts.values()))
    bare, held = judged(ready.run()), judged(with_heat(ready, Heater(5000.0, LIMIT)).run())
    given = {name: float(watts[held.last].sum() * held.course.step) for name, watts in parts.items()}
    return bare, held, given


@lru_cache
def ready_for_others():
    """Prepare the night of the house without drums, so that each case only adds its heat."""
    return prepare(house_with(0), the_weather("clear", DESIGN_NIGHT["coldest"]), gains=gains_before("clear"))

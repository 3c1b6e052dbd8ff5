"""Which pairs of drums and heater hold a limit through a night: margins, the least heater and its heat by columns."""

import math
import threading
import time as clock
from dataclasses import dataclass
from functools import lru_cache

import numpy as np

from heatlib.classroom.views.nights import gains_before, house_with, judged, the_weather, with_heat
from heatlib.house.balance import prepare
from heatlib.house.greenhouse import Heater

__all__ = ["COLUMNS", "ROWS", "SPELLS", "STEP", "DrumMap", "column", "drum_map", "start_filling"]

COLUMNS = tuple(range(0, 41, 5))
ROWS = tuple(500.0 * n for n in range(7))
PATIENCE = 10.0
"""The other maps begin to fill so long after the first is drawn, when the rest of the page has run [s]."""
STEP = 25.0
"""The least heater is found to so many watts, upward [W]."""
SPELLS = {"design": ("clear", -24.0), "milder": ("clear", -16.0), "sunless": ("sunless", -16.0)}


@dataclass(frozen=True)
class DrumMap:
    """Margins [K] by heater (rows) and drums (columns), the least heater [W] and its heat [J] for each column."""

    margins: tuple
    least: tuple
    heats: tuple


@lru_cache(maxsize=64)
def drum_map(spell, limit):
    """Work out once which pairs of drums and heater hold a limit through a night."""
    columns = [column(drums, spell, limit) for drums in COLUMNS]
    margins = tuple(zip(*(column[0] for column in columns)))
    return DrumMap(margins, *(tuple(column[n] for column in columns) for n in (1, 2)))


@lru_cache(maxsize=256)
def column(drums, spell, limit):
    """Return the margins of a column, the least heater, and its heat; a stronger one adds nothing.

    Between two runs that fall short the margin is read from a straight line; it only shades the map.
    """
    before, coldest = SPELLS[spell]
    ready = prepare(house_with(drums, 0.0, limit), the_weather(before, coldest), gains=gains_before(before))

    def tried(power):
        return judged(with_heat(ready, Heater(power, limit) if power else None).run())

    bare = tried(0.0)
    if bare.lowest >= limit:
        return [bare.lowest - limit] * len(ROWS), 0.0, 0.0
    power, best = _just_enough(tried, limit)
    knots = [(0.0, bare.lowest - limit)]
    knots += [(row, tried(row).lowest - limit) for row in (1000.0, 2000.0) if row < power - STEP]
    below = np.interp(ROWS, *zip(*knots, (power, -1e-9)))
    margins = [float(low) if row < power else best.lowest - limit for row, low in zip(ROWS, below)]
    return margins, power, best.heat


def _just_enough(tried, limit):
    """Close in on the least power, in whole steps; the most that an endless heater is asked for is about enough."""
    endless = tried(20e3)
    asked = endless.course.heater[endless.last & (endless.course.air < limit + 0.49)]
    strong = math.ceil((float(asked.max()) if asked.size else 20e3) / STEP)
    weak, best = 0, tried(strong * STEP)
    while best.lowest < limit:
        weak, strong = strong, strong + 2
        best = tried(strong * STEP)
    while strong - weak > 1:
        # nearly all of what is asked is nearly always needed
        middle = max(weak + 1, int(0.88 * strong)) if weak == 0 else (weak + strong) // 2
        one = tried(middle * STEP)
        if one.lowest < limit:
            weak = middle
        else:
            strong, best = middle, one
    return strong * STEP, best


def _fill_maps(limits):
    """Work out the columns of the other maps while nobody waits, with long rests for whoever does."""
    clock.sleep(PATIENCE)
    for limit in limits:
        for spell in SPELLS:
            for drums in COLUMNS:
                column(drums, spell, limit)
                clock.sleep(0.3)


@lru_cache(maxsize=1)
def start_filling(*limits):
    """Begin to fill the maps of these limits beside whatever else runs."""
    threading.Thread(target=_fill_maps, args=(limits,), daemon=True).start()

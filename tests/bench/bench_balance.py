"""How fast the balance steps, as ratios within one run: `python tests/bench/bench_balance.py`.

1. 48 h at 5 min after preparation: under 5 ms.
2. A year at 15 min against scipy's LSODA (rtol 1e-5) on the same equations: at least 60 times faster.
"""

import sys
import time
from pathlib import Path

import numpy as np

sys.path.insert(0, str(Path(__file__).parents[1] / "house"))

from test_balance_independent import STARTS, Reference, house, weather

from heatlib.house.balance import prepare
from heatlib.house.greenhouse import Heater, Vents
from heatlib.house.sampler import black_sky_loss


def best(work, times):
    """Shortest of several runs [s]: the one least disturbed by others on the machine."""
    result = []
    for _ in range(times):
        start = time.perf_counter()
        work()
        result.append(time.perf_counter() - start)
    return min(result)


def start_of(prepared):
    names = {"air", *(c.name for c in prepared.inputs.columns), *(w.name for w in prepared.inputs.waters)}
    return {name: value for name, value in STARTS.items() if name in names}


def nights():
    prepared = prepare(house(heater=Heater(1500.0, 2.0), vents=Vents()), weather(48, -15.0, 6.0), 300.0)
    start = start_of(prepared)
    return best(lambda: prepared.run(start), 40) * 1e3


def year(days=365, sample=30):
    """Seconds for a year here, and for LSODA on ``sample`` days of it, scaled up (its steps do not get longer)."""
    model = house(heater=Heater(1500.0, 2.0), vents=Vents())
    prepared = prepare(model, weather(days * 24, 5.0, 8.0, step=3600.0), 900.0)
    ours = best(lambda: prepared.run(start_of(prepared)), 5)
    part = weather(sample * 24, 5.0, 8.0, step=3600.0)
    short = prepare(model, part, 900.0)
    black = np.interp(short.time[0], part.time, black_sky_loss(part))
    reference = Reference(short, float(short.fixed["sky"][0]) / black)
    reference.rtol, reference.longest = 1e-5, np.inf
    start = start_of(short)
    columns = [[start[c.name]] * len(c.capacity) for c in short.inputs.columns]
    heats = [start[w.name] * w.liquid for w in short.inputs.waters]
    theirs = best(lambda: reference.solve(start["air"], columns, heats, 900.0, short.time), 2) * days / sample
    return ours, theirs


if __name__ == "__main__":
    print(f"48 h at 5 min: {nights():.2f} ms (wanted: under 5)")
    ours, theirs = year()
    print(f"a year at 15 min: {ours * 1e3:.0f} ms; LSODA {theirs:.1f} s: {theirs / ours:.0f} times faster (wanted: 60)")

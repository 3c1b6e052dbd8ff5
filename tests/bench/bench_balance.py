"""How fast the balance steps, as ratios within one run: `python tests/bench/bench_balance.py`.

1. 48 h at 5 min of the whole demo house (moist air, two stores, pipes, heater, vents, curtain) after preparation, which
   here includes the settled start and the layers' modes, for both serve every run: under 5 ms. Best and median of many,
   also in rounds of a fixed loop of plain Python.
2. A year at 15 min against scipy's LSODA (rtol 1e-5) on the same equations and the same weather of a real station: at
   least 60 times faster; LSODA both with a right-hand side in plain floats and with one in numpy arrays.
"""

import time
import warnings
from pathlib import Path

import numpy as np
import pvlib
from lsoda import InArrays, Plain

from heatlib.house import balance
from heatlib.house.demo import demo_house
from heatlib.house.recorded import read_year
from heatlib.house.weather import design_day

LOOP = 100_000


def seconds(work, times):
    """Duration of each of several runs, in processor time: others on the machine are not counted [s]."""
    result = []
    for _ in range(times):
        start = time.process_time()
        work()
        result.append(time.process_time() - start)
    return np.array(result)


def plain_loop():
    """A fixed piece of plain Python to measure others by."""
    x = 0.0
    for _ in range(LOOP):
        x = x * 0.5 + 1.5


def nights(rounds=100):
    """Milliseconds for 48 h of the whole demo house, and for the loop: arrays of the same rounds."""
    days = design_day(46.5, "2025-01-15", minimum=-20.0, maximum=-5.0, days=2)
    prepared = balance.prepare(demo_house(10), days, 300.0)
    pairs = [(seconds(prepared.run, 1)[0], seconds(plain_loop, 1)[0]) for _ in range(rounds)]
    return np.array(pairs).T * 1e3


def year(parts=6, days=14):
    """Seconds for a year here, and for LSODA on some fortnights of it, scaled up; and by how much the air differs.

    The demo house without pipes and moist air, which LSODA's equations leave out: that spares LSODA its switches.
    """
    weather = read_year(Path(pvlib.__file__).parent / "data" / "723170TYA.CSV", "tmy3")
    model = demo_house(10).changed("pipes", None).changed("plants.area", 0.0)
    whole = balance.prepare(model, weather, 900.0)
    ours = seconds(whole.run, 5).min()
    plain, arrays, off = 0.0, 0.0, []
    for first in np.linspace(0, 364 - days, parts).astype(int):
        begin = weather.start + np.timedelta64(int(first), "D")
        part = balance.prepare(model, weather.between(begin, begin + np.timedelta64(days, "D")), 900.0)
        air, columns, heats, _ = balance._start(part, None)
        course, rival, slow = part.run(), Plain(part), InArrays(part)
        off.append(course.air - rival.solve(air, columns, heats, part.time))
        plain += seconds(lambda: rival.solve(air, columns, heats, part.time), 1)[0]  # noqa: B023
        arrays += seconds(lambda: slow.solve(air, columns, heats, part.time), 1)[0]  # noqa: B023
    scale = 365 / (parts * days)
    return ours, plain * scale, arrays * scale, float(np.sqrt(np.mean(np.concatenate(off) ** 2)))


if __name__ == "__main__":
    warnings.simplefilter("ignore")
    run, loop = nights()
    print(
        f"48 h at 5 min, whole demo house: best {run.min():.2f} ms, median {np.median(run):.2f} ms (wanted: under 5); "
        f"a loop of {LOOP} plain steps: best {loop.min():.2f}, median {np.median(loop):.2f} ms; "
        f"ratio {run.min() / loop.min():.2f} and {np.median(run) / np.median(loop):.2f}"
    )
    ours, plain, arrays, off = year()
    print(
        f"a year at 15 min: {ours * 1e3:.0f} ms; LSODA in plain floats {plain:.1f} s: {plain / ours:.0f} times faster "
        f"(wanted: 60), in numpy arrays {arrays:.1f} s: {arrays / ours:.0f} times; air differs by {off:.3f} K rms"
    )

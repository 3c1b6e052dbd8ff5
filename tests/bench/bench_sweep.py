"""A sweep of many designs over a year against single years in turn: `python tests/bench/bench_sweep.py 200`.

Both in one run on the same machine, by the clock and in processor time, which a busy machine falsifies less. The single
years are timed on some of the designs, half before and half after.
"""

import os
import sys
import time
import warnings
from pathlib import Path

import numpy as np
import pvlib

from heatlib.house.demo import demo_house
from heatlib.house.recorded import read_year
from heatlib.house.season import season
from heatlib.house.sweep import sweep

SINGLES = 8


def designs(count):
    return [demo_house(10).changed("stores.drums.count", float(i % 40)) for i in range(count)]


def singles(houses, weather):
    """Seconds by the clock and of the processor, and results, of single years one after the other."""
    begin = np.array([time.perf_counter(), processor()])
    results = [season(house, weather) for house in houses]
    return np.array([time.perf_counter(), processor()]) - begin, results


def processor():
    """Processor time of this process and of those it started and has seen end [s]."""
    times = os.times()
    return times.user + times.system + times.children_user + times.children_system


def main(count):
    warnings.simplefilter("ignore")
    weather = read_year(Path(pvlib.__file__).parent / "data" / "723170TYA.CSV", "tmy3")
    houses = designs(count)
    season(houses[0], weather)
    single, alone = singles(houses[: SINGLES // 2], weather)
    begin = np.array([time.perf_counter(), processor()])
    together = sweep(houses, weather)
    taken = np.array([time.perf_counter(), processor()]) - begin
    again, more = singles(houses[SINGLES // 2 : SINGLES], weather)
    single, alone = (single + again) / SINGLES, alone + more
    for one, other in zip(together, alone):
        assert abs(one.lowest - other.lowest) < 1e-9 and abs(one.heat - other.heat) < 1.0 and one.closure < 1e-9
    return single * count, taken


if __name__ == "__main__":
    serial, parallel = main(int(sys.argv[1]) if len(sys.argv) > 1 else 200)
    clock, processor_time = serial / parallel
    print(
        f"one after the other {serial[0]:.1f} s, sweep {parallel[0]:.1f} s: {clock:.1f} times faster (wanted: 3); "
        f"processor time {serial[1]:.1f} s, {parallel[1]:.1f} s with their start: {processor_time:.1f} times less"
    )

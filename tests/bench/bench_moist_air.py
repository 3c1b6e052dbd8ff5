"""Time a year of hours of moist air against CoolProp asked row by row: ``python tests/bench/bench_moist_air.py``."""

import time
import timeit

import numpy as np

from heatlib import air_table, moist_air

ROWS = 8760


def main():
    draw = np.random.default_rng(1)
    t, rh, p = draw.uniform(-40, 60, ROWS), draw.uniform(0.01, 1, ROWS), draw.uniform(70e3, 105e3, ROWS)
    from CoolProp.HumidAirProp import HAPropsSI

    for name, letter in air_table._OUTPUTS.items():
        began = time.perf_counter()
        for a, b, c in zip(t, rh, p):
            HAPropsSI(letter, "T", a + 273.15, "P", c, "R", b)
        slow = time.perf_counter() - began
        for label, pressure in (("one pressure", 95e3), ("a pressure each", p)):
            function = getattr(moist_air, name)
            function(t, rh, pressure)
            quick = min(timeit.repeat(lambda f=function, p=pressure: f(t, rh, p), number=1, repeat=20))
            print(
                f"{name:16s} {label:16s} {1e3 * slow:7.0f} ms → {1e3 * quick:5.2f} ms: {slow / quick:5.0f} times faster"
            )


if __name__ == "__main__":
    main()

"""A million rows of a logger in under ten seconds: run with ``pytest -n0 tests/bench/bench_logger.py -s``."""

import time

import numpy as np
import pytest

from heatlib.house.logger import read_logger

ROWS = 1_000_000


def iso(stamp):
    return stamp.replace("T", " ")


def grower(stamp):
    return f"{stamp[8:10]}/{stamp[5:7]}/{stamp[:4]} {stamp[11:16]}"


@pytest.mark.parametrize(("form", "delimiter", "comma"), [(iso, ",", False), (grower, ";", True)], ids=["iso", "comma"])
def test_a_million_rows(form, delimiter, comma):
    times = np.datetime_as_string(np.datetime64("2022-01-01T00:00:00") + np.arange(ROWS) * np.timedelta64(60, "s"))
    values = 10 + 8 * np.sin(np.arange(ROWS) / 1440 * 2 * np.pi) + np.random.default_rng(1).normal(0, 0.1, ROWS)
    numbers = [f"{v:.2f}".replace(".", ",") if comma else f"{v:.2f}" for v in values]
    rows = "\n".join(delimiter.join((form(t), v, v)) for t, v in zip(times, numbers))
    data = (delimiter.join(("time", "inside (°F)", "outside (°F)")) + "\n" + rows + "\n").encode()
    begin = time.perf_counter()
    record, _ = read_logger(data)
    taken = time.perf_counter() - begin
    print(f"{ROWS} rows in {taken:.1f} s")
    assert len(record.time) == ROWS
    assert taken < 10

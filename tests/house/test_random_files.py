"""Broken house files and logger files are read or refused in one plain sentence, at once and within bounded memory.

Some hundred of each here; ``.ci/fuzz house-file`` and ``.ci/fuzz logger`` go on for as long as you like.
"""

import tracemalloc

import pytest
from fuzz_inputs import HOUSES, LOGGERS, case_of, findings, options

from heatlib.house import housefile

COUNTS = {"house-file": 80, "logger": 300}


@pytest.mark.parametrize("kind", COUNTS)
def test_broken_files(kind, tmp_path):
    tracemalloc.start()
    try:
        wrong, read = {}, 0
        for seed in range(COUNTS[kind]):
            found, good = findings(kind, *case_of(kind, seed), tmp_path)
            read += good
            if found:
                wrong[seed] = found
        peak = tracemalloc.get_traced_memory()[1]
    finally:
        tracemalloc.stop()
    assert wrong == {}
    assert peak < 200e6, f"{peak / 1e6:.0f} MB"
    assert 0.03 < read / COUNTS[kind] < 0.7, "cases must be read and refused, both"


@pytest.mark.parametrize("data", HOUSES)
def test_every_good_house_file_is_read(data, tmp_path):
    assert findings("house-file", data, None, tmp_path) == ([], True)


@pytest.mark.parametrize("data", LOGGERS)
def test_most_good_logger_files_are_read(data, tmp_path):
    told = {"summer_time": "keep", "repeats": "mean", "unreadable": "drop", "unit": None}
    if data.startswith(b"time,temp C\n2023"):
        told["summer_time"] = "remove"
    if data.startswith((b"temps", b'"Logger')):
        told["temperature"] = "temp"
    found, _ = findings("logger", data, told, tmp_path)
    assert found == []


def test_crashes_hangs_and_jargon_are_found(tmp_path, monkeypatch):
    import random

    assert set(options(random.Random(0))) > {"unit", "bridge"}

    def crash(*_):
        raise KeyError("x")

    monkeypatch.setattr(housefile, "_text_of", crash)
    assert findings("house-file", b"x", None, tmp_path)[0][0].startswith("KeyError in test_random_files.py")

    def spin(*_):
        while True:
            pass

    monkeypatch.setattr(housefile, "_text_of", spin)
    assert "Hang" in findings("house-file", b"x", None, tmp_path, 0.2)[0][0]

    def jargon(path):
        raise housefile.HouseFileError(f"{path}: 'NoneType' object is not iterable")

    monkeypatch.setattr(housefile, "_text_of", jargon)
    assert "not plain" in findings("house-file", b"x", None, tmp_path)[0][0]

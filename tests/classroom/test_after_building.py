"""After building: hand readings and logger files of houses whose loss is known, by closed form or made."""

import math

import numpy as np
import pytest

from heatlib.classroom.after_building import _few, _lump, by_hand, from_logger
from heatlib.classroom.own_house import OwnHouse
from heatlib.house.balance import run
from heatlib.house.demo import demo_house
from heatlib.house.made_up import made_up_log
from heatlib.house.weather import design_night

NIGHT = dict(minimum=-18.0, maximum=-6.0, longitude=-90.0, utc_offset=-6.0, elevation=350.0)
EVENING = 2 * 86400 + 19 * 3600


@pytest.fixture(scope="module")
def described():
    return demo_house(8).changed("heater", None)


@pytest.fixture(scope="module")
def weather():
    return design_night(46.5, "2026-01-17", **NIGHT)


def readings(course, count=10, unit="°C"):
    """Read a course by hand each hour to a tenth of a degree."""
    rows = []
    for n in range(count):
        when = EVENING + 3600 * n
        warm, cold = (float(np.interp(when, course.time, values)) for values in (course.air, course.outside))
        if unit == "°F":
            warm, cold = 1.8 * warm + 32, 1.8 * cold + 32
        rows.append((f"{(19 + n) % 24:02d}:00", round(warm, 1), round(cold, 1)))
    return rows


def evening(course, name):
    values = course.floor if name == "floor" else course.stores[name]
    return float(np.interp(EVENING, course.time, values))


# ---- the fit of few readings ----------------------------------------------------------------------------------------


def test_few_readings_of_an_exact_decay_give_its_rate():
    """Closed form: 15 °C over a steady −5 °C falls as 20·exp(−0.08 h)."""
    hours = np.arange(10.0)
    rate, low, high = _few(hours, -5 + 20 * np.exp(-0.08 * hours), np.full(10, -5.0))
    assert rate == pytest.approx(0.08, rel=1e-6) and low <= rate <= high and high / low < 1.001


def test_lump_under_a_falling_outside():
    """Closed form of y' = −k (y − a − s t): y = a + s t − s/k + (y0 − a + s/k) e^(−k t)."""
    hours, k, s = np.array([0.0, 1.0, 2.5, 7.0]), 0.1, -0.8
    outside = -4 + s * hours
    expected = outside - s / k + (12 + 4 + s / k) * np.exp(-k * hours)
    assert _lump(hours, outside, k, 12.0) == pytest.approx(expected, rel=1e-12)


def test_the_interval_holds_the_truth_about_as_often_as_it_says():
    """19 of 20, give or take chance: of 300 nights read to 0.2 K at least 272 (binomial, 1 in 1000)."""
    rng, hours, held = np.random.default_rng(6), np.arange(10.0), 0
    truth = -5 + 20 * np.exp(-0.08 * hours)
    for _ in range(300):
        _, low, high = _few(hours, truth + rng.normal(0, 0.2, 10), np.full(10, -5.0))
        held += low <= 0.08 <= high
    assert 272 <= held <= 298


# ---- by hand --------------------------------------------------------------------------------------------------------


def test_a_house_as_described_is_found_as_described(described, weather):
    course = run(described, weather)
    verdict = by_hand(described, readings(course), water=evening(course, "drums"), date="2026-01-17", wind_speed=0.5)
    assert verdict.low < 1 < verdict.high and "as expected" in verdict.sentence
    assert len(verdict.measured) == len(verdict.expected) == 10 and verdict.clock[5] == "00:00"


def test_knowing_the_floor_narrows_it(described, weather):
    course = run(described, weather)
    more = dict(water=evening(course, "drums"), date="2026-01-17", wind_speed=0.5)
    wide = by_hand(described, readings(course), **more)
    near = by_hand(described, readings(course), floor=evening(course, "floor"), **more)
    assert near.high / near.low < wide.high / wide.low


def test_a_leaky_house_is_found_out(described, weather):
    course = run(described.changed("air.air_change_rate", 3.0), weather)
    verdict = by_hand(described, readings(course), water=evening(course, "drums"), date="2026-01-17", wind_speed=0.5)
    assert verdict.low > 1 and "more than expected" in verdict.sentence
    assert verdict.look_first.startswith("look first at leaks") and "curtain" in verdict.look_first


def test_fahrenheit_readings_say_the_same(described, weather):
    course = run(described, weather)
    water = evening(course, "drums")
    metric = by_hand(described, readings(course), water=water, wind_speed=0.5)
    us = by_hand(described, readings(course, unit="°F"), water=1.8 * water + 32, unit="°F", wind_speed=0.5)
    # both are read to a tenth of their own degree
    assert us.ratio == pytest.approx(metric.ratio, rel=0.05)


GOOD = [(f"{(19 + n) % 24:02d}:00", 8.0 - 0.5 * n, -8.0 - 0.5 * n) for n in range(10)]


@pytest.mark.parametrize(
    "rows, more, words",
    [
        (GOOD[:7], {}, "8 readings or more, but has 7"),
        ([*GOOD[:9], ("25:00", 1, -9)], {}, 'reading 10: the time must be such as "18:30"'),
        ([*GOOD[:9], ("04:00", "cold", -9)], {}, "reading 10, inside must be a number"),
        ([*GOOD[:9], ("04:00", 1, -999)], {}, "reading 10, outside must be between"),
        ([*GOOD[:9], ("04:00", 1)], {}, "reading 10 must be a time"),
        (GOOD[::-1], {}, "one night"),
        ([(t, 5.0, -8.0) for t, _, _ in GOOD], {}, "the house must begin"),
        (GOOD, {"water": None}, "the water in the barrels"),
        (GOOD, {"unit": "K"}, "unit must be"),
        (GOOD, {"water": 200.0}, "water in the barrels must be between"),
    ],
)
def test_bad_readings_are_refused_in_plain_words(described, rows, more, words):
    with pytest.raises(ValueError, match=words):
        by_hand(described, rows, **{"water": 10.0, **more})


def test_lessons_and_fits_want_the_same_number_of_readings():
    from heatlib.classroom import after_building
    from heatlib.house import measured

    assert after_building.FEWEST is measured.FEWEST and 8 <= measured.FEWEST <= 10


def test_the_cell_of_a_lesson_takes_ten_readings_or_makes_them_up(described, weather, tmp_path, capsys, monkeypatch):
    from heatlib.classroom.lesson import Lesson

    shown = []
    monkeypatch.setattr("heatlib.classroom.lesson.display", shown.append)
    lesson = Lesson(8)
    lesson.after_building(folder=tmp_path)
    assert "MADE-UP READINGS" in capsys.readouterr().out and "more than expected" in shown[-1].text
    assert "look first at leaks" in shown[-1].text
    course = run(described, weather)
    own = OwnHouse(tmp_path, described, show=lambda one: None)
    own.change("name", "Mine")
    rows = readings(course)
    lesson.after_building(rows, folder=tmp_path, water=evening(course, "drums"), date="2026-01-17", wind_speed=0.5)
    assert "my-greenhouse.toml" in capsys.readouterr().out and "as expected" in shown[-1].text
    (tmp_path / "log.csv").write_text(made_up_log(described, weather), encoding="utf-8")
    lesson.after_building("log.csv", folder=tmp_path, wind_speed=0.5)
    assert "as expected" in shown[-1].text
    lesson.units = "US"
    assert "°F" in shown[-1].text


# ---- a logger -------------------------------------------------------------------------------------------------------


def test_a_logged_house_as_described(described, weather, tmp_path):
    (tmp_path / "log.csv").write_text(made_up_log(described, weather), encoding="utf-8")
    verdict = from_logger(described, tmp_path / "log.csv", wind_speed=0.5)
    assert verdict.low < 1.05 and verdict.high > 0.97 and 0.9 < verdict.ratio < 1.1
    assert "19 times out of 20" in verdict.loss


def test_a_logged_leak_is_named(described, weather, tmp_path):
    leaky = described.changed("air.air_change_rate", 4 * described.air.air_change_rate)
    (tmp_path / "log.csv").write_text(made_up_log(leaky, weather), encoding="utf-8")
    verdict = from_logger(described, tmp_path / "log.csv", wind_speed=0.5)
    assert verdict.low > 1 and "four times the leaks" in verdict.look_first


def test_a_spreadsheet_of_another_language(described, weather, tmp_path):
    """Semicolons, decimal commas, day first, and the old Windows code page."""
    lines = ["Datum;innen (°C) inside;außen (°C) outside"]
    for row in made_up_log(described, weather).splitlines()[1:]:
        when, warm, cold = row.split(",")
        day, clock = when.split("T")
        year, month, date = day.split("-")
        lines.append(f"{date}.{month}.{year} {clock};{warm.replace('.', ',')};{cold.replace('.', ',')}")
    (tmp_path / "Gewächshaus log.csv").write_bytes("\r\n".join(lines).encode("cp1252"))
    (tmp_path / "log.csv").write_text(made_up_log(described, weather), encoding="utf-8")
    german, plain = (
        from_logger(described, tmp_path / name, wind_speed=0.5) for name in ("Gewächshaus log.csv", "log.csv")
    )
    assert german.ratio == pytest.approx(plain.ratio, rel=1e-9)


def test_shown_in_both_systems(described, weather, tmp_path):
    shown = []
    own = OwnHouse(tmp_path, described, show=shown.append)
    course = run(described, weather)
    verdict = own.after_building(readings(course), water=evening(course, "drums"), wind_speed=0.5)
    assert verdict.sentence in shown[0].text and "°C" in shown[0].text
    shown[0].turn("US")
    assert "°F" in shown[0].text and "°C" not in shown[0].text.split("What to do")[1]
    assert math.isfinite(verdict.ratio)


def test_files_are_found_beside_the_lesson(described, weather, tmp_path):
    (tmp_path / "my log.csv").write_text(made_up_log(described, weather), encoding="utf-8")
    before = (tmp_path / "my log.csv").read_bytes()
    own = OwnHouse(tmp_path, described, show=lambda shown: None)
    assert own.after_building("my log.csv", wind_speed=0.5).ratio == pytest.approx(1.0, abs=0.1)
    assert (tmp_path / "my log.csv").read_bytes() == before

"""A made-up log reads back as what the house did, is the same each time, and a fault put in is found again."""

import numpy as np
import pytest

from heatlib.house import made_up
from heatlib.house.balance import run
from heatlib.house.demo import demo_house
from heatlib.house.logger import read_logger
from heatlib.house.made_up import made_up_log
from heatlib.house.recorded import weather_from_record
from heatlib.house.suspects import suspects
from heatlib.house.weather import design_night

PLACE = dict(longitude=-90.0, utc_offset=-6.0, elevation=350.0)
NIGHT = ("2025-01-20T18:00", "2025-01-21T07:00")


@pytest.fixture(scope="module")
def cold():
    return design_night(46.5, "2025-01-20", minimum=-24.0, maximum=-12.0, snow=True, days_before=1, **PLACE)


def _weather(record):
    return weather_from_record(record, 46.5, cloud=0.0, dew_point=-26.0, wind_speed=0.5, snow=True, **PLACE)


def test_without_noise_it_says_what_the_house_did(cold):
    house = demo_house(8)
    record, report = read_logger(made_up_log(house, cold, *NIGHT, step=1800.0, noise=0.0).encode())
    assert len(record.time) == 27 and record.time[0] == np.datetime64(NIGHT[0]) and not report.findings
    course = run(house, cold)
    seconds = (record.time - cold.start).astype("timedelta64[s]").astype(float)
    # tenths of a degree are written
    assert record.column("inside") == pytest.approx(np.interp(seconds, course.time, course.air), abs=0.051)
    assert record.column("outside") == pytest.approx(np.interp(seconds, cold.time, cold.temperature), abs=0.051)


def test_scatter_has_the_asked_spread_and_is_the_same_each_time(cold):
    house = demo_house(8)
    plain, once, again, other = (
        made_up_log(house, cold, step=300.0, **more)
        for more in ({"noise": 0.0}, {"noise": 0.5}, {"noise": 0.5}, {"noise": 0.5, "seed": 9})
    )
    assert once == again != other
    read = [read_logger(text.encode())[0].column("outside") for text in (plain, once)]
    # 700 readings: the spread is known to 3 %, the mean to 0.02 K
    assert np.std(read[1] - read[0]) == pytest.approx(0.5, rel=0.1)
    assert abs(np.mean(read[1] - read[0])) < 0.08


def test_scatter_never_changes():
    """The raw numbers of PCG64 are fixed by its authors; twelve even numbers less six have mean 0 and spread 1."""
    from heatlib.house.made_up import _scatter

    many = _scatter(3, 20000)
    assert abs(many.mean()) < 0.03 and many.std() == pytest.approx(1.0, rel=0.03)
    assert np.abs(many).max() < 6.0


def test_readings_between_whole_minutes_keep_their_seconds(cold):
    text = made_up_log(demo_house(1), cold, NIGHT[0], "2025-01-20T18:05", step=90.0, noise=0.0)
    assert [line[11:19] for line in text.splitlines()[1:]] == ["18:00:00", "18:01:30", "18:03:00", "18:04:30"]
    assert np.diff(read_logger(text.encode())[0].time).astype("timedelta64[s]").astype(int).tolist() == [90, 90, 90]


def test_the_house_steps_as_finely_as_its_weather(monkeypatch):
    """By five minutes at the most, and by four where the weather tells each four."""
    steps, real = [], made_up.run
    monkeypatch.setattr(made_up, "run", lambda house, weather, step: steps.append(step) or real(house, weather, step))
    for told in (240.0, 1800.0):
        night = design_night(46.5, "2025-01-20", minimum=-8.0, maximum=-2.0, days_before=0, step=told, **PLACE)
        made_up_log(demo_house(0), night, noise=0.0)
    assert steps == [240.0, 300.0]


@pytest.mark.parametrize("bad", [{"noise": -1.0}, {"step": 10.0}, {"start": "2030-01-01", "end": "2030-01-02"}])
def test_nonsense_is_refused(cold, bad):
    with pytest.raises(ValueError):
        made_up_log(demo_house(1), cold, **bad)


FAULTS = {
    "four times the leaks": lambda house: house.changed("air.air_change_rate", 4 * house.air.air_change_rate),
    "curtain left open": lambda house: house.changed("curtain", None),
    "bed gives nothing": lambda house: house.changed("stores.bed", None),
    "as described": lambda house: house,
}


@pytest.mark.parametrize("fault", FAULTS)
def test_the_fault_put_in_comes_first(cold, fault):
    house = demo_house(8)
    record = read_logger(made_up_log(FAULTS[fault](house), cold).encode())[0]
    found = suspects(house, record, _weather(record), *NIGHT)
    assert found[0].name == fault
    assert found[0].low <= 1.0 <= found[0].high
    assert found[0].off == pytest.approx(0.2, abs=0.05), "what is left is the scatter of the sensor"
    assert [one.off for one in found] == sorted(one.off for one in found)


def test_only_what_the_house_has_is_tried(cold):
    house = demo_house(0)
    record = read_logger(made_up_log(house, cold).encode())[0]
    names = {one.name for one in suspects(house, record, _weather(record), *NIGHT)}
    assert names == {"as described", "twice the leaks", "four times the leaks", "dark walls let through twice as much"}


@pytest.fixture(scope="module")
def short():
    return design_night(46.5, "2025-01-20", minimum=-8.0, maximum=-2.0, days_before=0, step=1800.0, **PLACE)


def test_a_log_covers_the_whole_weather_unless_told(short):
    """From midnight to the noon after next, both included; what lies outside the weather is left out."""
    house = demo_house(1)
    lines = made_up_log(house, short, step=3600.0, noise=0.0).splitlines()
    assert lines[0] == "time,inside (°C),outside (°C)" and len(lines) == 1 + 37
    stamps = [line.split(",")[0] for line in lines[1:]]
    assert (stamps[0], stamps[1], stamps[-1]) == ("2025-01-20T00:00", "2025-01-20T01:00", "2025-01-21T12:00")
    assert [float(line.split(",")[2]) for line in lines[1:]] == pytest.approx(short.temperature[::2], abs=0.051)
    course = run(house, short, 300.0)
    inside = np.interp(short.time[::2], course.time, course.air)
    assert [float(line.split(",")[1]) for line in lines[1:]] == pytest.approx(inside, abs=0.051)
    wide = made_up_log(house, short, "2025-01-19T22:30", "2025-01-22", step=3600.0, noise=0.0).splitlines()
    assert (wide[1][:16], wide[-1][:16]) == ("2025-01-20T00:30", "2025-01-21T11:30")
    one = made_up_log(house, short, "2025-01-20T05:00", "2025-01-20T05:00", noise=0.0)
    assert one.endswith("\n") and len(one.splitlines()) == 2
    # from reading to reading 10 minutes where nothing is told
    usual = made_up_log(house, short, "2025-01-20T05:00", "2025-01-20T06:00", noise=0.0).splitlines()
    assert [line[11:16] for line in usual[1:]] == ["05:00", "05:10", "05:20", "05:30", "05:40", "05:50", "06:00"]


def test_both_columns_have_a_scatter_of_their_own(short):
    """Added to what the house did: the first half of the drawn numbers inside, the second half outside."""
    from heatlib.house.made_up import _scatter

    house, hours = demo_house(1), ("2025-01-20T05:00", "2025-01-20T08:00")
    rows = [
        [
            [float(cell) for cell in line.split(",")[1:]]
            for line in made_up_log(house, short, *hours, step=3600.0, **more).splitlines()[1:]
        ]
        for more in ({"noise": 0.0}, {"noise": 2.0, "seed": 5}, {"noise": 0.2}, {"seed": 8})
    ]
    drawn = _scatter(5, 8).reshape(2, 4)
    added = np.subtract(rows[1], rows[0])
    assert added == pytest.approx(2.0 * drawn.T, abs=0.11)
    assert rows[2] == rows[3], "0.2 K and seed 8 where nothing is told"


def test_twelve_even_numbers_less_six():
    from heatlib.house.made_up import _scatter

    raw = np.random.PCG64(3).random_raw(24)
    assert _scatter(3, 2) == pytest.approx([sum(int(r) / 2**64 for r in part) - 6 for part in (raw[:12], raw[12:])])


def test_a_log_of_no_moment_and_of_no_house_is_refused(short):
    with pytest.raises(
        ValueError, match=r"holds no moment between 2030-01-01T00:00:00 and 2030-01-02T00:00:00 to make"
    ):
        made_up_log(demo_house(1), short, "2030-01-01", "2030-01-02")
    for given, says in (((5, short), "house must be"), ((demo_house(1), 5), "weather must be")):
        with pytest.raises(ValueError, match=says):
            made_up_log(*given)
    with pytest.raises(ValueError, match="start must be a date and time"):
        made_up_log(demo_house(1), short, "soon")
    with pytest.raises(ValueError, match="end must be a date and time"):
        made_up_log(demo_house(1), short, None, "late")

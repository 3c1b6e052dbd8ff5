"""A made-up log reads back as what the house did, is the same each time, and a fault put in is found again."""

import numpy as np
import pytest

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

"""What a comparison says of the two numbers it sets side by side, and what of the night it hands to the model."""

from types import SimpleNamespace

import numpy as np
import pytest

from heatlib.house import compared as page
from heatlib.house.demo import demo_house
from heatlib.house.logger_record import Record
from heatlib.house.weather import design_night

TIME = np.datetime64("2025-01-20T18:00", "s") + np.arange(13) * np.timedelta64(3600, "s")


def _said(measured, limits, model=0.1, words=("loses heat", "as fast as")):
    fit = SimpleNamespace(time=TIME, measured=np.full(13, 4.0))
    return page._comparison(fit, measured, limits, model, np.full(13, 3.0), *words)


@pytest.mark.parametrize(
    ("measured", "limits", "words"),
    [
        (0.2, (0.15, 0.25), "your house loses heat 2 times as fast as its parts say: look for leaks first"),
        (0.05, (0.04, 0.09), "your house loses heat 0.5 times as fast as its parts say: something holds more heat or "
                             "insulates better than described"),
        (0.12, (0.09, 0.15), "your house loses heat as its parts say, within what one night can tell (0.9 to 1.5 "
                             "times)"),
        (0.08, (0.06, 0.1), "your house loses heat as its parts say, within what one night can tell (0.6 to 1 times)"),
        (0.12, (0.1, 0.15), "your house loses heat as its parts say, within what one night can tell (1 to 1.5 times)"),
    ],
)  # fmt: skip
def test_the_sentence_follows_from_the_interval(measured, limits, words):
    found = _said(measured, limits)
    assert found.sentence == words
    assert (found.ratio, found.low, found.high) == pytest.approx((measured / 0.1, limits[0] / 0.1, limits[1] / 0.1))
    assert (found.measured, found.model) == (measured, 0.1)
    assert found.residuals.tolist() == [1.0] * 13 and found.time is TIME


def test_a_heated_house_is_said_to_lose_so_many_times_what_its_parts_say():
    assert _said(200.0, (150.0, 250.0), 100.0, ("loses", "what")).sentence == (
        "your house loses 2 times what its parts say: look for leaks first"
    )


@pytest.fixture(scope="module")
def weather():
    return design_night(46.5, "2025-01-20", minimum=-12.0, maximum=-4.0, elevation=350.0, step=1800.0)


@pytest.fixture(scope="module")
def log(weather):
    """Falls by a tenth of its lead on the outside each hour (closed form)."""
    outside = np.interp((TIME - weather.start).astype(float), weather.time, weather.temperature)
    inside = [9.0]
    for cold in outside[:-1]:
        inside.append(cold + (inside[-1] - cold) * np.exp(-0.1))
    columns = {"inside": np.array(inside), "outside": outside}
    return Record(TIME, columns, None, None, np.arange(13), 3600.0, None)


def test_told_stores_and_the_first_reading_begin_the_night(log, weather):
    house = demo_house(4).changed("heater", None)
    found = page.compare_cooling(house, log, weather, stores={"drums": 5.0, "floor": 5.0})
    assert found.inside.tolist() == log.column("inside").tolist()
    begin = {"air": 9.0, "drums": 5.0, "floor": 5.0}
    course = page.run(house, weather.between(TIME[0], TIME[-1]), 300.0, initial=begin)
    # a course has the middles of its twelve steps an hour: a whole hour lies between two of them
    between = (course.air[11:-1:12] + course.air[12::12]) / 2
    assert found.modelled[0] == 9.0 and found.modelled[1:-1] == pytest.approx(between, abs=1e-9)
    warmer = page.compare_cooling(house, log, weather, stores={"drums": 25.0, "floor": 5.0})
    assert (warmer.modelled[1:] > found.modelled[1:] + 1).all()


def test_the_houses_own_heater_is_off_in_a_night_without_heat(log, weather):
    bare = demo_house(4).changed("heater", None)
    warm = demo_house(4).changed("heater", page.Heater(power=3000.0, setpoint=8.0))
    off, on = (page.compare_cooling(house, log, weather) for house in (bare, warm))
    assert on.modelled.tolist() == off.modelled.tolist() and on.sentence == off.sentence
    assert off.sentence.startswith("your house loses heat ") and "its parts say" in off.sentence


def test_a_part_of_a_night_without_heat(log, weather):
    found = page.compare_cooling(demo_house(4), log, weather, TIME[1], TIME[-2], stores={"drums": 5.0, "floor": 5.0})
    assert (found.time[0], found.time[-1], len(found.modelled)) == (TIME[1], TIME[-2], 11)
    assert found.measured == pytest.approx(0.1, rel=0.05), "a tenth an hour, from hour to hour"
    assert found.modelled[0] == found.inside[0]


def test_a_night_needs_weather_to_its_ends_and_eighteen_hours_before(log, weather):
    house = demo_house(4)
    page.compare_cooling(house, log, weather.between("2025-01-20T00:00", TIME[-1]))
    with pytest.raises(ValueError, match="must begin 18 h or more before the night"):
        page.compare_cooling(house, log, weather.between("2025-01-20T00:30", TIME[-1]))
    told = {"drums": 5.0}
    # one step of the weather may lack at either end, for readings do not fall on its hours
    page.compare_cooling(house, log, weather.between("2025-01-20T18:30", "2025-01-21T05:30"), stores=told)
    for ends in (("2025-01-20T19:00", "2025-01-21T06:00"), ("2025-01-20T18:00", "2025-01-21T05:00")):
        with pytest.raises(ValueError, match="does not cover"):
            page.compare_cooling(house, log, weather.between(*ends), stores=told)


def _held(weather, air, loss):
    """A log of a house held at one temperature, and the heat that takes (closed form)."""
    outside = np.interp((TIME - weather.start).astype(float), weather.time, weather.temperature)
    columns = {"inside": np.full(13, air) + 0.01 * np.cos(np.arange(13) * 2.0), "outside": outside}
    return Record(TIME, columns, None, None, np.arange(13), 3600.0, None), loss * (air - outside)


def test_a_heated_house_is_set_beside_the_same_night_of_its_model(weather):
    """The model's W/K once more: heat over lead, both summed over the logged hours alone."""
    house = demo_house(4).changed("stores", ())
    record, power = _held(weather, 8.0, 120.0)
    found = page.compare_heated(house, record, power, weather)
    hold = page.Heater(power=1e5, setpoint=8.0, band=0.01)
    course = page.run(house.changed("heater", hold), weather.between(weather.start, TIME[-1]), 300.0)
    night = course.air[-144:] - course.outside[-144:]
    assert found.model == pytest.approx(course.heater[-144:].sum() / night.sum(), rel=1e-3)
    assert found.measured == pytest.approx(120.0, rel=0.02)
    assert found.ratio == pytest.approx(found.measured / found.model)
    assert found.modelled[1:] == pytest.approx(np.full(12, 8.0), abs=0.02), "held within its narrow band"
    assert found.sentence.startswith("your house loses ") and "as fast as" not in found.sentence


def test_a_part_of_a_heated_night_and_told_stores_reach_the_model(weather):
    house = demo_house(4)
    record, power = _held(weather, 8.0, 120.0)
    part = (TIME[1], TIME[-2])
    found = page.compare_heated(house, record, power, weather, *part)
    assert (found.time[0], found.time[-1]) == part and len(found.inside) == 11
    cold, warm = (
        page.compare_heated(house, record, power, weather, *part, stores={"drums": drums, "floor": 5.0}).model
        for drums in (2.0, 10.0)
    )
    assert cold > warm + 1, "cold drums take heat from the air, which the model's heater has to give"


def test_a_house_that_needs_no_heat_can_not_be_compared(weather):
    house = demo_house(4).changed("stores.drums.count", 400)
    record, power = _held(weather, 8.0, 120.0)
    with pytest.raises(ValueError, match="would not have needed heat that night: there is nothing to compare"):
        page.compare_heated(house, record, power, weather, stores={"drums": 60.0, "floor": 30.0})


def test_a_house_that_needs_next_to_no_heat_is_still_compared(weather, monkeypatch):
    """By hand: two steps of the night at 5 W with 10 K of lead make 0.5 W/K; the step before it does not count."""
    record, power = _held(weather, 8.0, 120.0)
    course = SimpleNamespace(
        time=np.array([150.0, 450.0, 750.0]), heater=np.array([900.0, 4.0, 6.0]),
        air=np.full(3, 8.0), outside=np.array([7.0, -1.0, -3.0]),
    )  # fmt: skip
    monkeypatch.setattr(page, "_model_course", lambda *_: (course, np.full(13, 8.0), 300.0))
    found = page.compare_heated(demo_house(4), record, power, weather)
    assert found.model == pytest.approx(0.5) and found.ratio == pytest.approx(found.measured / 0.5)


def test_the_model_steps_as_finely_as_its_weather(log, monkeypatch):
    """By five minutes at the most, and by four where the weather tells each four."""
    steps, real = [], page.run
    monkeypatch.setattr(page, "run", lambda h, part, step, **more: steps.append(step) or real(h, part, step, **more))
    for told in (240.0, 1800.0):
        fine = design_night(46.5, "2025-01-20", minimum=-12.0, maximum=-4.0, elevation=350.0, step=told)
        page.compare_cooling(demo_house(0), log, fine, stores={"floor": 5.0})
    assert steps == [240.0, 300.0]

"""A season counted in a course whose every reading is made by hand, so that each count can be told beforehand."""

from dataclasses import replace

import numpy as np
import pytest

from heatlib.crops import crop_names
from heatlib.house.balance import run
from heatlib.house.demo import demo_house
from heatlib.house.greenhouse import Heater, Limits, Pipes
from heatlib.house.season import crop_rows, fuel_use, season, season_of, season_with_measures
from heatlib.house.weather import design_day
from heatlib.other_heat import carbon_dioxide

pytestmark = pytest.mark.filterwarnings("ignore:.*dayofyear.*")
MILD = dict(minimum=8.0, maximum=18.0, elevation=350.0, step=3600.0)
HOUR = 3600.0


def weather(days=1):
    return design_day(46.5, "2025-05-01", days=days, **MILD)


@pytest.fixture(scope="module")
def course():
    """Ten days from midnight, one reading at the middle of each hour; temperatures are put in by the tests."""
    house = demo_house(0).changed("limits", Limits(minimum=2.0, maximum=30.0))
    return run(house, weather(10), HOUR)


def with_nights(course, inside, outside):
    """The course with 20 °C throughout but for one hour of each of the nine nights, early in it, late, or between."""
    air, out = np.full(240, 20.0), np.full(240, 20.0)
    for n, (low, cold) in enumerate(zip(inside, outside)):
        air[12 + 24 * n + (0, 7, 23)[n % 3]] = low
        out[12 + 24 * n + (23, 0, 9)[n % 3]] = cold
    return replace(course, air=air, outside=out)


def test_nights_run_from_noon_to_noon_and_their_limits_count_as_kept(course):
    """Exactly the wanted temperature is warm enough, and the one that harms does not harm above itself."""
    table = crop_rows(["lettuce"])
    wanted, harm = table["lettuce"].night_minimum.value, table["lettuce"].damage_temperature.value
    assert harm < 0 < wanted
    colder, harmed = wanted - 0.01, harm - 0.01
    made = with_nights(
        course,
        [wanted, colder, harm, harm, colder, harmed, wanted, wanted, harm],
        [harmed, harm, harm, harmed, colder, harmed, harmed, harm, harmed],
    )
    result = season_of(made, table)
    one = result.crops["lettuce"]
    assert result.nights == 9
    assert (one.limit, one.harm) == (wanted, harm)
    # inside: colder than wanted are the 2nd to 6th and the 9th; harmed is the 6th alone: runs of 5 and 3
    assert (one.nights_below, one.nights_harmed, one.weeks) == (6, 1, 5 / 7)
    # outdoors all nine are colder than wanted; the 1st, 4th, 6th, 7th and 9th harm: runs of 2, 1 and 1
    assert (one.nights_below_outdoors, one.nights_harmed_outdoors, one.weeks_outdoors) == (9, 5, 2 / 7)
    assert one.weeks_gained == pytest.approx(3 / 7)


def test_halves_of_nights_at_the_ends_are_no_nights(course):
    """The morning of the first day and the evening of the last belong to nights that are not seen whole."""
    made = with_nights(course, [20.0] * 9, [20.0] * 9)
    made.air[:12] = made.outside[-12:] = -40.0
    one = season_of(made, crop_rows(["lettuce"])).crops["lettuce"]
    assert (one.nights_harmed, one.nights_harmed_outdoors, one.weeks, one.weeks_outdoors) == (0, 0, 9 / 7, 9 / 7)


def test_no_night_without_harm_is_no_week(course):
    one = season_of(with_nights(course, [-30.0] * 9, [-30.0] * 9), crop_rows(["lettuce"])).crops["lettuce"]
    assert (one.weeks, one.weeks_outdoors, one.weeks_gained) == (0, 0, 0)


def test_a_night_may_lack_one_step_and_no_more(course):
    """Readings at each hour from noon to eleven span 23 hours and show the whole night; 22 leave an hour out."""
    whole = weather(2)
    for last, nights in ((35, 1), (34, 0)):
        keep = slice(12, last + 1)
        part = replace(
            whole, time=whole.time[keep] - whole.time[12], start=whole.start + np.timedelta64(12, "h"),
            **{name: getattr(whole, name)[keep] for name in (
                "temperature", "dew_point", "wind_speed", "beam_normal", "diffuse_horizontal", "global_horizontal",
                "cloud", "snow",
            )},
        )  # fmt: skip
        if nights:
            assert season(demo_house(0), part, crops=["lettuce"], step=HOUR).nights == 1
        else:
            with pytest.raises(ValueError, match="no whole night from noon to noon"):
                season(demo_house(0), part, crops=["lettuce"], step=HOUR)


def test_hours_of_heat_are_above_the_limits_and_not_at_them(course):
    made = with_nights(course, [20.0] * 9, [20.0] * 9)
    made.air[:7] = [30.0, 30.1, 35.0, 35.1, 35.2, 40.0, -3.0]
    result = season_of(made, crop_rows(["lettuce"]))
    assert result.hours_hot == 5 and result.hours_above_35 == 3
    assert (result.lowest, result.highest, result.house) == (-3.0, 40.0, made.house.name)


def test_heat_and_the_fan_s_electricity_are_what_the_house_takes_in():
    """A heater too weak for its thermostat runs all the time: 100 W for two days; a fan of 40 W that always runs."""
    house = demo_house(0).changed("heater", Heater(100.0, 14.0)).changed("pipes", None)
    cold = design_day(46.5, "2025-01-20", days=2, minimum=-10.0, maximum=-5.0, elevation=350.0)
    result = season(house, cold, crops=[])
    assert result.heat == pytest.approx(100 * 2 * 86400, rel=1e-9)
    assert result.fan_energy == 0.0 and result.crops == {}
    assert set(result.energy) > {"heater", "glazing"} and result.energy["heater"] == -result.heat
    blown = house.changed("pipes", Pipes(length=6.0, flow=0.1, on_above=-20.0, fan_power=40.0))
    assert season(blown, cold, crops=[]).fan_energy == pytest.approx(40 * 2 * 86400, rel=1e-9)


def test_all_crops_and_a_quarter_of_an_hour_when_left_out():
    days = design_day(46.5, "2025-05-01", days=2, minimum=8.0, maximum=18.0)
    assert list(season(demo_house(0), days).crops) == list(crop_names()) == list(crop_rows())
    assert season(demo_house(0), days, crops=iter(["lettuce"])) == season(
        demo_house(0), days, crops=["lettuce"], step=900.0
    )


def test_fuel_at_the_ends_of_its_price_and_at_the_table_s():
    """1 kWh is 3.6 MJ, of electricity 1 kWh; a price may be nothing or 10,000 and no more."""
    heat = 3.6e6
    for price in (0, 1e4):
        used = fuel_use(heat, ["electricity"], prices={"electricity": price})["electricity"]
        assert (used.amount, used.cost, used.unit) == (pytest.approx(1.0), pytest.approx(price), "kWh")
        assert used.carbon_dioxide == carbon_dioxide("electricity", heat) > 0
    for price in (-0.01, 10000.01):
        with pytest.raises(ValueError, match="price of electricity must be between 0 and 10000 money"):
            fuel_use(heat, ["electricity"], prices={"electricity": price})
    table = fuel_use(heat, ["propane", "electricity"])
    told = fuel_use(heat, ["propane", "electricity"], prices={"propane": 0.5})
    assert list(table) == ["propane", "electricity"]
    assert told["electricity"] == table["electricity"] and table["electricity"].cost > 0
    assert told["propane"].cost == pytest.approx(0.5 * table["propane"].amount)


class Counting:
    """Workers of an executor that do the work at once and keep what they were handed."""

    def __init__(self):
        self.handed = []

    def submit(self, function, *arguments):
        from concurrent.futures import Future

        self.handed.append(arguments)
        future = Future()
        future.set_result(function(*arguments))
        return future


def test_the_bar_is_asked_for(monkeypatch):
    """The sweep's own bar is shown or not, as told; shown where nothing is told."""
    told = []
    monkeypatch.setattr("heatlib.house.sweep.sweep", lambda houses, *_, **how: told.append(how["progress"]) or houses)
    for how in ({}, {"progress": True}, {"progress": False}):
        season_with_measures(demo_house(0), weather(2), {}, **how)
    assert told == [True, True, False]


def test_measures_one_by_one_and_what_is_handed_on():
    """No measure: the house alone. One: with it. Two: also both, which are all but none."""
    days, house = weather(2), demo_house(0)
    seal, mulch = {"air.air_change_rate": 0.3}, {"plants.wetness": 0.1}
    assert list(season_with_measures(house, days, {}, crops=["lettuce"], progress=False)) == ["as it stands"]
    one = season_with_measures(house, days, {"seal": seal}, crops=["lettuce"], progress=False)
    assert list(one) == ["as it stands", "with seal"]
    workers = Counting()
    both = season_with_measures(
        house, days, {"seal": seal, "mulch": mulch}, crops=["lettuce"], step=HOUR, executor=workers, progress=False
    )
    assert list(both) == ["as it stands", "with seal", "with mulch", "with all", "all but seal", "all but mulch"]
    assert both["all but seal"] == both["with mulch"] and both["all but mulch"] == both["with seal"]
    assert both["with all"] == season(house.changed(**seal, **mulch), days, crops=["lettuce"], step=HOUR)
    assert both["as it stands"] == season(house, days, crops=["lettuce"], step=HOUR) != one["as it stands"]
    assert one["as it stands"] == season(house, days, crops=["lettuce"])
    assert sum(len(batch) for batch, *_ in workers.handed) == 6

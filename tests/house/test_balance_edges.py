"""The course of a night at its edges: where it starts and ends, what one step takes, and every sum by hand."""

from dataclasses import replace
from types import SimpleNamespace

import numpy as np
import pytest
from test_balance_independent import house, sunny, weather

from heatlib.house.balance import Course, prepare, run, sampled
from heatlib.house.greenhouse import Heater, Pipes, Plants, Store, Vents
from heatlib.moist_air import humidity_ratio, pressure_at

NIGHT = weather(24, -15.0, 6.0)
BED = Store("bed", "bed", 1.0, material="gravel", surface=3.0, layers=3)
TUBS = Store("tubs", "barrels", 0.1, count=2.0)


def shortened(wx, last):
    """The weather up to a time [s], its last values held."""
    n = max(2, int(np.searchsorted(wx.time, last)) + 1)
    names = (
        "temperature",
        "dew_point",
        "wind_speed",
        "beam_normal",
        "diffuse_horizontal",
        "global_horizontal",
        "cloud",
    )
    cut = {name: getattr(wx, name)[:n] for name in (*names, "snow")}
    return replace(wx, time=np.append(wx.time[: n - 1], last), **cut)


# ---- steps


def test_how_many_steps_a_weather_holds():
    """24 h: 24 of an hour, 8640 of 10 s; what is left over at the end is not begun. The first middle is half a step."""
    assert len(sampled(NIGHT).time) == 288
    for step, count in ((3600.0, 24), (10.0, 8640), (3500.0, 24), (3600, 24)):
        time = sampled(NIGHT, step).time
        assert len(time) == count and time[0] == step / 2 and np.ptp(np.diff(time)) < 1e-6
    for step in (9.99, 3600.01):
        with pytest.raises(ValueError, match="step must be between 10 and 3600 s, but it is"):
            sampled(NIGHT, step)
    assert len(sampled(shortened(NIGHT, 900.0), 900.0).time) == 1
    assert len(sampled(shortened(NIGHT, 900.0 - 1e-7), 900.0).time) == 1  # round-off is no lack
    with pytest.raises(ValueError, match="lasts 899 s: shorter than one step of 900 s"):
        sampled(shortened(NIGHT, 899.0), 900.0)
    with pytest.raises(ValueError, match="weather"):
        sampled("cold", 900.0)


def test_five_minutes_where_no_step_is_told_and_one_sample_for_many_houses():
    model = house()
    assert run(model, NIGHT).step == prepare(model, NIGHT).inputs.step == 300.0
    sample = sampled(NIGHT, 900.0)
    shared = prepare(model, NIGHT, 900.0, sample=sample).run(5.0)
    assert np.array_equal(shared.air, run(model, NIGHT, 900.0, initial=5.0).air) and shared.step == 900.0
    with pytest.raises(ValueError, match="house"):
        prepare("a house", NIGHT)


# ---- the start


def first_step(model, initial, wx=NIGHT):
    """The middle of one step of 10 s: next to nothing has happened since the start."""
    return run(model, shortened(wx, 10.0), 10.0, initial=initial)


def test_one_temperature_for_air_and_stores_and_a_settled_floor():
    """Steady conduction: the same heat flows from the air through each layer into the ground."""
    model = house(stores=(*house().stores, BED))
    prepared = prepare(model, shortened(NIGHT, 10.0), 10.0)
    course = prepared.run(12.0)
    assert course.stores["drums"][0] == pytest.approx(12.0, abs=1e-3)
    assert course.layers["bed"][:, 0] == pytest.approx([12.0] * 3, abs=0.02)
    (column,) = (one for one in prepared.inputs.columns if one.name == "floor")
    temperatures = [12.0, *course.layers["floor"][:, 0], prepared.inputs.deep["floor"][0]]
    flows = -np.diff(temperatures) * [column.to_air, *column.inner, column.to_deep]
    assert flows == pytest.approx([flows[0]] * len(flows), rel=0.02) and abs(flows[0]) > 5


def test_each_thing_starts_where_it_is_told():
    pipes = Pipes(length=6.0, flow=0.15, count=6, depth=0.6, on_above=59.0)
    model = house(stores=(*house().stores, BED, TUBS), pipes=pipes)
    told = {"air": 5.0, "drums": 20.0, "tubs": -4.0, "bed": 15.0, "floor": 9.0, "pipes": 11.0}
    course = first_step(model, told)
    assert course.stores["drums"][0] == pytest.approx(20.0, abs=0.01)
    assert course.stores["tubs"][0] == pytest.approx(-4.0, abs=0.01)
    for name, value in (("bed", 15.0), ("floor", 9.0), ("pipes", 11.0)):
        assert course.layers[name][:, 0] == pytest.approx(value, abs=0.05)
    # soil round pipes that nobody told of is as warm as the floor's soil that they lie in: the sixth layer
    course = first_step(model, {"air": 5.0, "floor": 9.0})
    assert course.layers["pipes"][:, 0] == pytest.approx(9.0, abs=0.01)
    course = first_step(model, 5.0)
    assert course.layers["pipes"][:, 0] == pytest.approx(course.layers["floor"][5, 0], abs=0.01)
    assert np.ptp(course.layers["floor"][:, 0]) > 0.5 and course.stores["tubs"][0] == pytest.approx(5.0, abs=0.01)


@pytest.mark.parametrize("name", ["air", "floor", "drums", "bed"])
def test_the_range_of_starts(name):
    model = house(stores=(*house().stores, BED))
    for value in (-60.0, 90.0):
        assert np.isfinite(first_step(model, {"air": 5.0} | {name: value}).air).all()
    for value in (-60.1, 90.1):
        with pytest.raises(ValueError, match=f"start temperature of {name} must be between -60 and 90 °C"):
            first_step(model, {"air": 5.0} | {name: value})
    with pytest.raises(ValueError, match="start temperature of 'tubs' is not known"):
        first_step(model, {"air": 5.0, "tubs": 5.0})
    with pytest.raises(ValueError, match='needs a temperature for "air"'):
        first_step(model, {"drums": 5.0})


def test_the_first_day_s_mean_is_what_a_house_is_settled_in():
    """A steady first day and a warmer second: the start is steady, and knows nothing of the second day.

    The sky of a clear hour swings a little: a few hundredths of a kelvin.
    """
    steady = weather(48, -10.0, 0.0)
    later = replace(steady, temperature=np.where(steady.time > 86400, 5.0, steady.temperature))
    model = house(**{"place.ground_swing": 0.0})
    settled, knows = run(model, steady, 900.0), run(model, later, 900.0)
    assert np.ptp(settled.air) < 0.1 and np.abs(knows.air[:96] - settled.air[:96]).max() < 1e-9
    short = run(model, shortened(steady, 7200.0), 900.0)  # shorter than a day: the mean of what there is
    assert np.ptp(short.air) < 0.1
    frozen = run(model, weather(24, -30.0, 0.0), 900.0)
    assert np.ptp(frozen.stores["drums"]) < 0.1 and frozen.frozen["drums"] == 1.0


# ---- continuing


def moist(**changes):
    return house(**({"plants": Plants(10.0, 0.5), "air.relative_humidity": 0.7} | changes))


def test_a_course_goes_on_exactly_where_another_ended():
    """What each thing holds at the end, less what it took, is what it held at the end of the earlier course."""
    model = moist(stores=(*house().stores, BED), pipes=Pipes(length=6.0, flow=0.15, count=6))
    first = run(model, NIGHT, initial=8.0)
    second = run(model, NIGHT, initial=first)
    inputs = prepare(model, NIGHT).inputs
    assert first.closure < 1e-9 and second.closure < 1e-9
    assert second.end["drums"] - second.stored["drums"] == pytest.approx(first.end["drums"], rel=1e-12)
    for column in inputs.columns:
        begun = np.dot(column.capacity, second.end[column.name]) - second.stored[column.name]
        assert begun == pytest.approx(np.dot(column.capacity, first.end[column.name]), rel=1e-12)
    air = inputs.air_capacity
    assert air * second.end["air"] - second.stored["air"] == pytest.approx(air * first.end["air"])
    held = inputs.humidity.latent * inputs.humidity.air_mass
    assert held * second.end["vapour"] - second.stored["vapour"] == pytest.approx(held * first.end["vapour"])
    assert set(first.end) == {"air", "vapour", "floor", "bed", "pipes", "drums"}
    assert run(house(), NIGHT, initial=8.0).end["vapour"] == 0.0  # not followed: none held


def test_only_the_same_build_goes_on():
    for gone in (house(stores=()), house(stores=(BED,))):
        with pytest.raises(ValueError, match="knows no 'drums' of this build"):
            run(house(), NIGHT, initial=run(gone, NIGHT, 3600.0))
    three, four = (house(stores=(replace(BED, layers=n),)) for n in (3, 4))
    with pytest.raises(ValueError, match="knows no 'bed' of this build"):
        run(four, NIGHT, initial=run(three, NIGHT, 3600.0))
    assert run(three, NIGHT, 3600.0, initial=run(three, NIGHT, 3600.0)).closure < 1e-9


# ---- what a course says


def test_moments_at_the_ends_of_a_course():
    course = run(house(stores=(*house().stores, BED)), NIGHT, 900.0, initial=8.0)
    for when, k in ((0.0, 0), (899.9, 0), (900.0, 1), (86400.0, 95)):
        got = course.at(when)
        assert got["walls"] == course.flows["walls"][k] and got["store bed"] == course.exchange["bed"][k]
        assert set(got) == {*course.flows, *(f"store {name}" for name in course.exchange)}
    for when in (-0.1, 86400.1):
        with pytest.raises(ValueError, match="time must be between 0 and 86400 s"):
            course.at(when)


def test_hours_at_a_limit_are_neither_below_nor_above():
    course = run(house(), NIGHT, 900.0, initial=8.0)
    air = np.full(96, 5.0)
    air[:8], air[8:12] = 4.9, 5.1
    made = replace(course, air=air)
    assert (made.hours_below(5.0), made.hours_above(5.0), made.lowest_air, made.highest_air) == (2.0, 1.0, 4.9, 5.1)
    assert replace(course, flows={}, exchange={}, energy={}, stored={}).closure == 0.0


def test_the_closure_is_what_is_missing_as_a_part_of_what_moved():
    """Two steps of 300 s: 10 W go out, 4 W into a store, and 1 W more is stored than that: 600 J of 8400."""
    course = run(house(), NIGHT, initial=8.0)
    made = replace(
        course, flows={"walls": np.array([10.0, 10.0])}, exchange={"drums": np.array([4.0, -4.0])},
        energy={"walls": 6000.0}, stored={"drums": -5400.0},
    )  # fmt: skip
    assert made.closure == pytest.approx(600 / (300 * (20 + 8)))
    assert replace(made, stored={"drums": -6600.0}).closure == made.closure


def test_stores_layers_floor_and_clock():
    course = run(house(stores=(*house().stores, BED)), NIGHT, 900.0, initial=8.0)
    assert set(course.stores) == {"drums", "bed"} and set(course.layers) == {"floor", "bed"}
    assert np.array_equal(course.stores["bed"], course.layers["bed"].mean(axis=0))
    assert np.array_equal(course.floor, course.layers["floor"][0])
    assert course.clock[1] - course.clock[0] == np.timedelta64(900, "s")
    assert course.clock[0] == NIGHT.start + np.timedelta64(450, "s")
    assert course.humidity.shape == course.air.shape
    assert (course.humidity == course.house.air.relative_humidity).all()
    for path, flow in course.flows.items():
        assert course.energy[path] == pytest.approx(900 * flow.sum(), rel=1e-12, abs=1e-6)


def test_how_much_of_a_drum_is_ice():
    """Heat is counted from water at 0 °C: so far below as the heat of fusion, all is ice; halfway, half."""
    model = house(stores=(*house().stores, TUBS))
    water = {one.name: one for one in prepare(model, NIGHT).inputs.waters}
    for start, low in ((20.0, 0.0), (0.5, 0.0), (-8.0, 1.0)):
        course = first_step(model, {"air": 0.0, "drums": start, "tubs": 3.0})
        assert course.frozen["drums"] == low and course.frozen["tubs"] == 0.0
    course = run(model, weather(24, -20.0, 0.0), initial={"air": 0.0, "drums": 0.5, "tubs": 0.2})
    for name, one in water.items():
        share = -course.end[name] / one.fusion
        assert 0 < share < 1 and course.frozen[name] == pytest.approx(share)


def test_the_heater_is_in_the_store_it_is_told():
    """The second of two stores is heated and the first is not; full power goes into it."""
    stores = (*house().stores, TUBS)
    for place, other in (("drums", "tubs"), ("tubs", "drums")):
        warm = run(house(stores=stores, heater=Heater(2000.0, 30.0, place=place)), NIGHT, initial=8.0)
        cold = run(house(stores=stores), NIGHT, initial=8.0)
        assert warm.stores[place][-1] > cold.stores[place][-1] + 5
        assert warm.stores[other][-1] < warm.stores[place][-1] - 5
    off = run(house(stores=stores, heater=Heater(0.0, 30.0, place="tubs")), NIGHT, initial=8.0)
    assert np.array_equal(off.air, cold.air)
    faint = run(house(heater=Heater(1.0, 30.0)), NIGHT, initial=8.0)
    assert faint.energy["heater"] == pytest.approx(-86400.0) and (faint.heater == 1.0).all()


def test_the_fan_takes_its_power_while_it_runs():
    model = house(pipes=Pipes(length=6.0, flow=0.15, count=6, fan_power=80.0, on_above=12.0))
    wx = weather(48, 8.0, 12.0, sun=700.0)
    course = run(model, wx, 900.0, initial=8.0, gains=sunny(wx, 3.0))
    assert 0.05 < course.fan.mean() < 0.95
    assert np.array_equal(course.flows["fan"], -80.0 * course.fan)
    assert "fan" not in run(house(), NIGHT, 3600.0).flows


def test_vents_carry_what_they_let_through():
    wx = weather(48, 12.0, 9.0, sun=700.0)
    course = run(house(vents=Vents(opens_at=16.0)), wx, 900.0, gains=sunny(wx, 20.0))
    assert course.vent.max() > 0
    assert np.array_equal(course.flows["vents"], course.vent * (course.air - course.outside))


# ---- moisture


def test_humidity_and_vapour_carried_by_leaks_by_hand(outside):
    """The house's vapour told by its leaks, set beside the moist air of its temperature and told humidity.

    Latent heat times flow times difference of humidity ratios is the heat that leaks carry.
    """
    model = moist()
    wx = weather(48, 4.0, 8.0, sun=500.0)
    ready = prepare(model, wx, gains=sunny(wx, 20.0))
    course = ready.run(12.0)
    inputs = ready.inputs
    latent = inputs.humidity.latent * np.array(inputs.air_flow)
    inside = np.array(inputs.vapour) + course.flows["vapour_leaks"] / latent
    expected = humidity_ratio(course.air, course.humidity, pressure_at(350.0))
    dry = course.humidity < 0.999
    assert dry.mean() > 0.3 and np.ptp(course.humidity) > 0.1
    outside("house humidity", inside[dry], expected[dry], source="moist air of CoolProp's table", rel=2e-3,
            why="saturation is straight between half degrees")  # fmt: skip
    assert (course.flows["vapour_vents"] == 0).all()
    begun = first_step(moist(), {"air": 12.0})
    assert begun.humidity[0] == pytest.approx(0.7, abs=0.02)


def test_vapour_by_vents_is_to_vapour_by_leaks_as_their_air_is():
    """Both carry the same moist air, so much as their W/K say: where vents stand as they stood one step before."""
    wx = weather(48, 2.0, 12.0, sun=700.0)
    model = moist(vents=Vents(opens_at=16.0))
    ready = prepare(model, wx, 900.0, gains=sunny(wx, 20.0))
    course = ready.run()
    leaks = ready.conductances["leaks"] + ready.conductances["door"]
    open_ = course.vent > 0
    assert open_.any() and not open_.all()
    still = np.append(False, course.vent[1:] == course.vent[:-1])
    carried = course.flows["vapour_leaks"] * course.vent / leaks
    assert (open_ & still).sum() > 10 and (~open_ & still).sum() > 10 and course.closure < 1e-9
    assert course.flows["vapour_vents"][still] == pytest.approx(carried[still], rel=1e-9, abs=1e-9)


def test_vapour_is_held_made_and_carried_away_in_balance():
    """What plants give off, less what settles, is what the air holds more and what leaves: the sum of a whole run."""
    wx = weather(48, 4.0, 8.0, sun=500.0)
    course = run(moist(), wx, initial=8.0, gains=sunny(wx, 20.0))
    made = 300 * course.exchange["vapour"].sum()
    gone = course.energy["vapour_leaks"] + course.energy["vapour_vents"]
    assert made == pytest.approx(gone + course.stored["vapour"], rel=1e-9) and gone > 1e6
    assert course.energy["wet_panes"] >= 0 and set(course.exchange) >= {"vapour", "floor", "drums"}


def test_pipes_ground_holds_what_the_air_and_its_drips_gave_it():
    """Damp air of 24 °C through ground at 10 °C two metres down, where no floor's soil is joined to it.

    What the ground holds more is what the air gave it, with the latent heat of what dripped, less what went on down.
    """
    pipes = Pipes(length=6.0, flow=0.15, count=6, fan_power=60.0, on_above=12.0, hysteresis=6.0, depth=2.0)
    ready = prepare(moist(pipes=pipes), weather(6, 20.0, 5.0))
    course = ready.run({"air": 24.0, "floor": 20.0, "drums": 20.0, "pipes": 10.0})
    (column,) = (one for one in ready.inputs.columns if one.name == "pipes")
    assert course.fan.min() == 1.0 and not ready.inputs.links
    down = column.to_deep * (course.layers["pipes"][-1] - ready.inputs.deep["pipes"])
    given = 300.0 * (course.exchange["pipes"] - down).sum()
    assert course.stored["pipes"] == pytest.approx(given, rel=1e-9)
    felt = 300.0 * (column.to_air * (course.air - course.layers["pipes"][0])).sum()
    assert given > 1.01 * felt  # the drips show
    assert course.closure < 1e-9


def test_air_between_the_middles_of_steps_by_hand():
    """5 °C at 150 s and 8 °C at 450 s: half way 6.5; before the first middle 5, or on the way from a told 4."""
    course = SimpleNamespace(time=np.array([150.0, 450.0]), air=np.array([5.0, 8.0]))
    moments = [0.0, 75.0, 150.0, 300.0, 600.0]
    assert Course.air_at(course, moments).tolist() == [5.0, 5.0, 5.0, 6.5, 8.0]
    assert Course.air_at(course, moments, 4.0).tolist() == [4.0, 4.5, 5.0, 6.5, 8.0]
    assert Course.air_at(course, moments, 0.0).tolist() == [0.0, 2.5, 5.0, 6.5, 8.0]

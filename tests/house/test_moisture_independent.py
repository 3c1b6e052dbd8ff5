"""Moisture held against equations written anew: vapour, evaporation, drips on panes and in pipes, latent heat.

The reference (reference.py) integrates air, water vapour and everything that stores heat in continuous time. Each case
states first that what it is about really happens.
"""

import numpy as np
import pytest
from reference import solve
from test_balance_independent import house, sunny, weather

from heatlib.house import balance
from heatlib.house.demo import demo_house
from heatlib.house.fabric import gains
from heatlib.house.greenhouse import Heater, Pipes, Plants, Surface, Vents
from heatlib.house.weather import design_night

SOURCE = "scipy.integrate.solve_ivp, LSODA, rtol 1e-6, equations of the test"
pytestmark = pytest.mark.filterwarnings("ignore:.*dayofyear.*")


def moist_house(**changes):
    panes = (Surface("pane", area=24.0, tilt=40.0, glazing="glass_single"),
             Surface("walls", facing=0.0, area=45.0, r_value=1.8, absorptance=0.0))  # fmt: skip
    return house(surfaces=panes, plants=Plants(12.0, 0.6), **changes)


def both(model, wx, sun, start):
    prepared = balance.prepare(model, wx, 300.0, gains=sun)
    course = prepared.run(start)
    begin = balance._start(prepared, start)
    air, ratio, heats, totals = solve(prepared, begin, sun)
    w = np.array([0.0]) if not len(ratio) else ratio
    return prepared, course, air, w, heats, totals


def ratio_of(prepared, course):
    """Humidity ratio of the course, from its relative humidity as the result states it [kg/kg]."""
    full = np.array([prepared.inputs.humidity.saturated(t) for t in course.air])
    pressure_part = course.humidity * full / (0.622 + full)
    return 0.622 * pressure_part / (1 - pressure_part)


def heat_of(course):
    positive = sum(energy for energy in course.energy.values() if energy > 0)
    return {
        "latent_out": course.energy["vapour_leaks"] + course.energy["vapour_vents"],
        "wet_panes": course.energy["wet_panes"], "leaks": course.energy["leaks"] + course.energy["door"],
        "vents": course.energy["vents"], "heater": -course.energy.get("heater", 0.0),
    }, positive  # fmt: skip


CASES = {
    "a cold wet night": (dict(heater=Heater(3000.0, 8.0)), weather(36, -12.0, 4.0), 0.0, "wet_panes"),
    "sunny days with vents": (
        dict(vents=Vents(20.0, 3.0, 25.0), heater=Heater(1500.0, 9.0)),
        weather(72, 6.0, 7.0, sun=600.0), 12.0, "latent_out"),
    "a dry leaky house": ({"air.air_change_rate": 4.0, "plants.wetness": 0.1}, weather(36, 0.0, 5.0), 0.0, None),
}  # fmt: skip


@pytest.mark.parametrize("name", CASES)
def test_moisture_as_an_independent_solver_has_it(outside, name):
    changes, wx, peak, must = CASES[name]
    model = moist_house(**changes)
    start = {"air": 10.0, "floor": 9.0, "drums": 11.0}
    prepared, course, air, w, heats, totals = both(model, wx, sunny(wx, peak), start)
    assert course.closure < 1e-9
    ours, moved = heat_of(course)
    if must:
        assert ours[must] > 2e6
    late = course.time > 3600  # a start from nowhere settles: the air jumps 3 K
    # leaves open and close at once: the quarter of an hour after that is followed within 0.15 K
    flips = np.flatnonzero(np.diff(prepared.inputs.light) != 0)
    for k in flips:
        late[k : k + 6] = False
    off = float(np.abs(course.air - air)[late].max())
    if peak == 0:
        outside("house.run moist air", off, 0.0, source=SOURCE, abs=0.05, why="0.05 K in a night at 5 min")
    rms = float(np.sqrt(np.mean((course.air - air) ** 2)))
    outside("house.run moist air", rms, 0.0, source=SOURCE, abs=0.1, why="0.1 K rms with venting")
    drums = np.array([prepared.inputs.waters[0].temperature(h) for h in heats[0]])
    outside("house.run drums", course.stores["drums"], drums, source=SOURCE, abs=0.05, why="0.05 K")
    vapour_off = (ratio_of(prepared, course) - w)[late] / w[late]
    outside("house.run vapour", float(np.sqrt(np.mean(vapour_off**2))), 0.0, source=SOURCE, abs=0.01,
            why="1 % of the vapour: what 0.15 K of dew point is worth")  # fmt: skip
    for path, energy in ours.items():
        outside(f"house.run {path}", float((energy - totals[path]) / moved), 0.0, source=SOURCE, abs=1e-3,
                why="0.1 % of the heat lost")  # fmt: skip


def test_water_adds_up_by_itself():
    """Evaporated = dripped + carried out + what more the air holds, in kilograms (latent heat over 2.47 MJ/kg)."""
    wx = weather(36, -12.0, 4.0)
    model = moist_house(heater=Heater(3000.0, 8.0))
    prepared = balance.prepare(model, wx, 300.0, gains=sunny(wx, 0.0))
    course = prepared.run({"air": 10.0, "floor": 9.0, "drums": 11.0})
    latent = prepared.inputs.humidity.latent
    net = course.exchange["vapour"].sum() * 300.0 / latent
    carried = (course.energy["vapour_leaks"] + course.energy["vapour_vents"]) / latent
    more = course.stored["vapour"] / latent
    assert net == pytest.approx(carried + more, rel=1e-9)


def test_condensed_water_is_counted_not_cut_off():
    """Wet plants in a tight cold box: the air stays at most saturated, and all it can't hold shows as condensed."""
    wx = weather(36, -15.0, 5.0)
    soaked = moist_house(**{"plants.wetness": 1.0, "air.air_change_rate": 0.0}, heater=Heater(4000.0, 6.0))
    prepared = balance.prepare(soaked, wx, 300.0, gains=sunny(wx, 0.0))
    start = balance._start(prepared, {"air": 8.0, "floor": 9.0, "drums": 11.0})
    from heatlib.house import kernel

    out = kernel.march(prepared.inputs, start[0], [list(c) for c in start[1]], list(start[2]), start[3])
    moist = out.moist
    assert moist["condensed"].sum() * 300 > 1.0  # kilograms
    held = prepared.inputs.humidity.air_mass * (moist["vapour_end"] - start[3])
    balance_of_water = (moist["evaporated"] - moist["condensed"]).sum() * 300.0
    assert balance_of_water == pytest.approx(held, abs=1e-9)


def test_the_whole_demo_house_at_night(outside):
    """All at once: plants, curtain, drums, bed, pipes, heater on its design night."""
    night = design_night(46.5, "2025-01-15", minimum=-24.0, maximum=-12.0, longitude=-90.0, utc_offset=-6.0,
                         elevation=350.0, days_before=0)  # fmt: skip
    model = demo_house(10)
    _, course, air, _, _, totals = both(model, night, gains(model, night), None)
    rms = float(np.sqrt(np.mean((course.air - air) ** 2)))
    outside("house.run demo", rms, 0.0, source=SOURCE, abs=0.05, why="curtain and leaves jump, the rest is 0.05 K")
    ours, moved = heat_of(course)
    for path, energy in ours.items():
        outside(f"house.run {path}", float((energy - totals[path]) / moved), 0.0, source=SOURCE, abs=1e-3,
                why="0.1 % of the heat lost")  # fmt: skip


def test_pipes_dry_the_air_of_a_summer_day(outside):
    """Warm wet air through cool ground drips; its heat goes to the soil, and the sum is that of the reference."""
    pipes = Pipes(length=8.0, flow=0.15, count=6, fan_power=60.0, on_above=12.0, hysteresis=6.0)
    model = moist_house(pipes=pipes)
    wx = weather(30, 20.0, 5.0, start="2025-07-10T12:00", sun=500.0)
    start = {"air": 24.0, "floor": 20.0, "drums": 20.0, "pipes": 10.0}
    prepared, course, air, _, _, totals = both(model, wx, sunny(wx, 6.0), start)
    assert course.fan.min() == 1.0  # never off: no threshold in the way
    through = prepared.inputs.columns[-1].to_air
    sensible = through * (course.air - course.layers["pipes"][0])
    assert course.exchange["pipes"].sum() > 1.02 * sensible.sum()
    got = float(course.exchange["pipes"].sum() * 300.0)
    outside("house.run wet pipes", got, float(totals["pipes"]), source=SOURCE, rel=1e-3, why="0.1 % of pipe heat")
    rms = float(np.sqrt(np.mean((course.air - air) ** 2)))
    outside("house.run wet pipes air", rms, 0.0, source=SOURCE, abs=0.1, why="0.1 K rms")
    assert course.closure < 1e-9

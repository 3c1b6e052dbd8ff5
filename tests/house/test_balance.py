"""The course of the balance: it closes in every run, exact cases come out exactly, and bad input is refused."""

import math
from dataclasses import replace
from itertools import pairwise

import numpy as np
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from test_balance_independent import house, sunny, weather

from heatlib.house import kernel, nodes, sampler
from heatlib.house.balance import PATHS, prepare, run
from heatlib.house.bill import loss_bill
from heatlib.house.demo import demo_house
from heatlib.house.greenhouse import Curtain, Heater, Pipes, Plants, Shade, Store, Vents
from heatlib.house.weather import design_night

NIGHT = weather(24, -15.0, 6.0)


@st.composite
def houses(draw):
    """Random houses: any mix of stores, heater, vents, pipes, curtain and plants."""

    def number(low, high):
        return draw(st.floats(low, high))

    def maybe(make):
        return make() if draw(st.booleans()) else None

    stores = tuple(
        Store(f"s{i}", "barrels", number(0.01, 0.5), count=draw(st.integers(0, 20)), sun_share=number(0, 0.3))
        for i in range(draw(st.integers(0, 2)))
    )
    if draw(st.booleans()):
        stores += (
            Store(
                "bed", "bed", number(0.1, 4), material="gravel", surface=number(1, 9), layers=draw(st.integers(1, 5))
            ),
        )
    return house(
        **{
            "stores": stores,
            "heater": maybe(lambda: Heater(number(0, 5000), number(-5, 12), number(0.001, 2))),
            "vents": maybe(lambda: Vents(number(16, 30), number(0.001, 5), number(0, 60))),
            "pipes": maybe(
                lambda: Pipes(number(2, 20), number(0.01, 0.08), on_above=number(5, 25), on_below=maybe(lambda: 3.0))
            ),
            "plants": maybe(lambda: Plants(number(0.1, 21), number(0, 1))) or Plants(),
            "air.air_change_rate": number(0, 6),
            "air.wind_dependent": draw(st.booleans()),
            "air.door_openings": number(0, 20),
            "air.contents": number(0, 5e4),
        }
    )


@settings(max_examples=80, deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(houses(), st.floats(-25, 22), st.floats(0, 15), st.floats(0, 30), st.sampled_from([60.0, 300.0, 900.0, 3600.0]))
def test_energy_closes_in_every_run(model, mean, swing, peak, step):
    wx = weather(30, mean, swing, sun=700.0)
    course = run(model, wx, step, gains=sunny(wx, peak))
    assert course.closure < 1e-9
    assert np.isfinite(course.air).all() and np.isfinite(course.humidity).all()
    assert set(course.energy) <= set(PATHS)
    low = min(wx.temperature.min(), 0) - 25
    assert low < course.lowest_air and (course.humidity <= 1 + 1e-9).all() and (course.humidity >= 0).all()


def test_closure_sees_a_missing_watt():
    """The closure is no constant zero: one flow wrong by a thousandth shows."""
    course = run(house(), NIGHT, initial=10.0)
    wrong = dict(course.energy) | {"walls": course.energy["walls"] * 1.001}
    assert course.closure < 1e-12 < 1e-5 < replace(course, energy=wrong).closure


def test_nothing_happens_where_all_is_alike():
    """No difference, no sun, black sky as warm as the air: every flow is zero."""
    wx = replace(NIGHT, temperature=0 * NIGHT.time + 7.0, dew_point=0 * NIGHT.time + 3.0)
    model = house(**{"place.ground_mean": 7.0, "place.ground_swing": 0.0})
    cold_sky = sampler.black_sky_loss(wx)
    assert (cold_sky > 0).all()
    course = run(model.changed("surfaces", tuple(replace(s, area=1e-9) for s in model.surfaces)), wx, initial=7.0)
    assert np.abs(course.air - 7.0).max() < 1e-6


@pytest.mark.parametrize("gone", ["heater", "vents", "pipes", "curtain", "shade"])
def test_absent_and_idle_parts_are_the_same(gone):
    idle = {
        "heater": Heater(0.0), "vents": Vents(air_change_rate=0.0), "pipes": Pipes(5.0, 0.1, count=0),
        "curtain": Curtain(edge_leak=1.0, light=1.0), "shade": Shade(0.0),
    }[gone]  # fmt: skip
    model = house()
    with_idle, without = (
        run(model.changed(gone, idle), NIGHT, initial=9.0),
        run(model.changed(gone, None), NIGHT, initial=9.0),
    )
    assert np.array_equal(with_idle.air, without.air)


def test_no_barrel_is_exactly_no_barrel():
    none = run(house(stores=()), NIGHT, initial=9.0)
    empty = run(house(stores=(Store("drums", "barrels", 0.2, count=0),)), NIGHT, initial=9.0)
    assert np.array_equal(none.air, empty.air) and none.stores == empty.stores == {}


def test_a_barrel_cools_as_newton_says(outside):
    """Closed form: a small tank in air held at 1 °C from both sides, T = T₀·exp(−G·t/C) with G nearly constant."""
    wx = replace(weather(24, 0.9, 0.0), cloud=NIGHT.cloud * 0 + 1.0)
    model = house(
        stores=(Store("tank", "barrels", 0.05, surface=0.2),),
        heater=Heater(1e6, 1.0, 0.001),
        **{"place.ground_mean": 1.0, "place.ground_swing": 0.0, "air.air_change_rate": 30.0},
    )
    course = run(model, wx, 300.0, initial={"air": 1.0, "floor": 1.0, "tank": 21.0})
    prepared = prepare(model, wx)
    water = prepared.inputs.waters[0]
    half = 12 * 3600.0
    mean_difference = (20 + course.stores["tank"][143] - 1) / 2
    expected = 1 + 20 * math.exp(-water.to_air(mean_difference) * half / water.liquid)
    got = float(np.interp(half, course.time, course.stores["tank"]))
    outside(
        "house.run cooling",
        got,
        expected,
        source="closed form",
        abs=0.05,
        why="the coefficient is taken at the mean difference",
    )


def test_freezing_takes_the_latent_heat(outside):
    """1 kg of water gives 334 kJ on freezing (OpenStax m42225) besides 4.19 kJ/K above and 2.1 below 0 °C (IAPWS)."""
    water = nodes.store_nodes(house(), {"drums": 0.0, "floor": 0.0})[1][0]
    mass = 9 * 0.208 * 998.2
    outside(
        "house water fusion",
        water.fusion / mass,
        333.4e3,
        source="OPENSTAX m42225; IAPWS",
        rel=3e-3,
        why="334 against 333.4",
    )
    outside(
        "house water liquid", water.liquid / mass, 4186.0, source="OPENSTAX m42224", rel=3e-3, why="mean of 0 to 20 °C"
    )
    outside(
        "house water ice",
        water.ice / mass,
        2090.0,
        source="OPENSTAX m42224",
        rel=0.04,
        why="2090 holds at 0 °C, the mean down to −20 °C is lower",
    )
    for t in (-10.0, 5.0, 20.0):
        assert water.temperature(water.heat(t)) == pytest.approx(t, abs=1e-12)
    assert water.temperature(-water.fusion / 2) == 0.0


def test_the_settled_start_is_the_loss_bill(outside):
    """With constant weather the course stays where it starts, and its heater gives what the bill asks for."""
    wx = weather(24, -10.0, 0.0)
    model = house(heater=Heater(20e3, 4.0, 0.001), **{"place.ground_swing": 0.0})
    course = run(model, wx)
    assert np.ptp(course.air) < 1e-3 and abs(course.air[0] - 4.0) < 2e-3
    bill = loss_bill(model, 4.0, -10.0, 1.5, dew_point=-14.0, cloud=0.2)
    outside(
        "house.run heater", -course.energy["heater"] / 86400, bill.total, source="steady state by direct solution",
        rel=0.03,
        why="the sky's emissivity swings a little with the hour, which the bill takes at midnight",
    )  # fmt: skip


def test_continuing_is_the_same_as_going_through():
    wx = weather(48, -8.0, 5.0)
    n = len(wx.time) // 2
    arrays = (
        "temperature",
        "dew_point",
        "wind_speed",
        "beam_normal",
        "diffuse_horizontal",
        "global_horizontal",
        "cloud",
        "snow",
    )
    first = replace(wx, time=wx.time[: n + 1], **{a: getattr(wx, a)[: n + 1] for a in arrays})
    second = replace(
        wx, time=wx.time[n:] - wx.time[n], start=wx.start + np.timedelta64(int(wx.time[n]), "s"),
        **{a: getattr(wx, a)[n:] for a in arrays},
    )  # fmt: skip
    model = house(heater=Heater(1500.0, 3.0))
    whole = run(model, wx, initial=8.0)
    halves = run(model, second, initial=run(model, first, initial=8.0))
    assert halves.stores["drums"][-1] == pytest.approx(whole.stores["drums"][-1], abs=2e-3)
    assert halves.air[-1] == pytest.approx(whole.air[-1], abs=2e-3)


def test_shade_curtain_and_lobby_act_the_right_way():
    wx = weather(48, 0.0, 5.0, sun=600.0)
    model = house(surfaces=tuple(replace(s, curtain=s.name == "pane") for s in house().surfaces))
    bare = run(model, wx, initial=9.0, gains=sunny(wx, 10.0))
    winter = Shade(0.6, first_day=300.0, last_day=60.0)
    shaded = run(model.changed("shade", winter), wx, initial=9.0, gains=sunny(wx, 10.0))
    assert shaded.energy["sun"] == pytest.approx(0.4 * bare.energy["sun"], rel=1e-9)
    assert (
        run(model.changed("shade", Shade(0.6)), wx, initial=9.0, gains=sunny(wx, 10.0)).energy["sun"]
        == bare.energy["sun"]
    )
    drawn = model.changed("surfaces.pane", replace(model.surface("pane"), u_value=None, glazing="glass_single"))
    clock = drawn.changed("curtain", Curtain(rule="clock", closes=17.0, opens=8.0))
    open_, shut = run(drawn, wx, initial=9.0), run(clock, wx, initial=9.0)
    hour = (12 + shut.time / 3600) % 24
    covered = (hour >= 17) | (hour < 8)
    ratio = (shut.flows["glazing"] / (shut.air - shut.outside)) / (open_.flows["glazing"] / (open_.air - open_.outside))
    assert np.allclose(ratio[~covered], 1.0) and (ratio[covered] < 0.6).all()
    door = model.changed("air.door_openings", 20.0)
    gone = [run(m, wx, initial=9.0).energy["door"] for m in (door.changed("air.lobby", True), door)]
    assert 0 < gone[0] < gone[1]


def test_a_drawn_curtain_keeps_the_sun_out_of_the_panes_behind_it():
    """Closed form: what comes in while it is drawn is its share of light, through its own panes only."""
    wx = weather(30, 0.0, 0.0, sun=700.0)
    always = Curtain(rule="clock", closes=0.0, opens=24.0)
    behind = house(surfaces=tuple(replace(s, curtain=s.name == "pane") for s in house().surfaces))
    bright = run(behind, wx, gains=sunny(wx, 100.0)).sun.sum()
    assert bright > 0
    for light in (0.0, 0.25, 1.0):
        shut = run(behind.changed("curtain", replace(always, light=light)), wx, gains=sunny(wx, 100.0))
        assert shut.sun.sum() == pytest.approx(light * bright, rel=1e-12, abs=1e-9)
        assert shut.closure < 1e-9
    beside = run(house().changed("curtain", always), wx, gains=sunny(wx, 100.0))
    assert beside.sun.sum() == pytest.approx(bright, rel=1e-12)


def test_a_heater_in_a_drum_heats_the_drum():
    model = house(heater=Heater(2000.0, 10.0, 0.5, place="drums"))
    course = run(model, NIGHT, initial=8.0)
    assert course.heater.max() == 2000.0 and course.stores["drums"].min() > 7.5
    assert course.closure < 1e-12


def test_flows_at_a_moment_are_the_course_s_own():
    course = run(demo_house(1), NIGHT)
    got = course.at(3600.0 * 5 + 10)
    k = 60
    assert got["glazing"] == course.flows["glazing"][k] and got["store drums"] == course.exchange["drums"][k]
    assert set(PATHS) >= {key for key in got if not key.startswith("store ")}


def test_hours_below_and_above():
    course = run(house(), NIGHT, initial=10.0)
    below = course.hours_below(2.0)
    assert below == pytest.approx(np.count_nonzero(course.air < 2.0) / 12) and 0 < below < 24
    assert course.hours_below(-99) == 0 and course.hours_above(-99) == 24
    assert course.lowest_air == course.air.min() and course.clock[0] == NIGHT.start + np.timedelta64(150, "s")


def test_regimes_that_go_in_circles_are_still_solved():
    """The slow way gives the same air as the fast one."""
    waters = [(100.0, 50.0, 5e4, 0.0), (1e6, 5e5, 1e8, 0.0)]
    controls = (500.0, 2.0, 2.5, 0.5, 100.0, 20.0, 3.0)
    for b in (-3000.0, 0.0, 700.0, 9000.0):
        touch, fed = [20.0, 80.0], [10.0, -5e7]
        t, heat, vent, modes = kernel._halving(200.0, b, touch, fed, waters, 150.0, controls, -10.0)
        again = kernel._air(200.0, b, touch, fed, modes, waters, 150.0, controls, -10.0)
        assert (t, heat, vent) == again and modes == kernel._regimes(t, touch, fed, waters, 150.0)


@pytest.mark.parametrize("rate", [1e-68, 1e-300, 1e-12])
def test_a_vent_all_but_shut_is_a_shut_vent(outside, rate):
    """Limit: with an opening of nothing the air is b/a, however the root is written; and the whole run closes.

    The difference of two nearly equal roots, divided by next to nothing, once made watts from round-off.
    """
    a, b, opens, cold = 300.0, 9000.0, 20.0, -10.0
    t, vent = kernel._vented(a, b, rate, opens, 3.0, cold)
    outside("kernel almost shut vent", t, b / a, source="limit: no vent", rel=1e-12, why="round-off")
    assert 0.0 <= vent <= rate
    # so cold outside that the linear term is negative, and the other form of the root holds
    t, vent = kernel._vented(1e-3, 9000.0, 500.0, opens, 3.0, 90.0)
    assert 1e-3 * t + vent * (t - 90.0) == pytest.approx(9000.0, rel=1e-9)
    wx = weather(48, 12.0, 9.0, sun=700.0)
    model = house(vents=Vents(opens_at=16.0, band=0.001, air_change_rate=rate), plants=Plants(5.0, 0.5))
    almost, shut = (run(one, wx, gains=sunny(wx, 20.0)) for one in (model, model.changed("vents", None)))
    assert almost.air.max() > 17.0 and almost.closure < 1e-9
    assert np.abs(almost.air - shut.air).max() < 1e-6


@pytest.mark.parametrize(
    ("change", "says"),
    [({"step": 5.0}, "step"), ({"step": 7200.0}, "step"), ({"initial": 200.0}, "start temperature"),
     ({"initial": {"drums": 5.0}}, '"air"'), ({"initial": {"air": 5.0, "drum": 4.0}}, "nearest: drums")],
)  # fmt: skip
def test_refusals(change, says):
    with pytest.raises(ValueError, match=says):
        run(house(), NIGHT, **change)


def test_more_refusals():
    with pytest.raises(ValueError, match="shorter than one step"):
        run(house(), replace(NIGHT, time=NIGHT.time[:2]), 3600.0)
    with pytest.raises(ValueError, match="against each other"):
        run(house(heater=Heater(500.0, 20.0), vents=Vents(15.0)), NIGHT)
    with pytest.raises(ValueError, match="knows no 'bed'"):
        bed = house(stores=(Store("bed", "bed", 1.0, material="gravel", surface=3.0),))
        run(bed, NIGHT, initial=run(house(), NIGHT))


def test_more_of_each_measure_never_makes_the_demo_house_colder():
    """The demo house's coldest hour rises, or stays, from lesson to lesson on the design night."""
    night = design_night(46.5, "2025-01-15", minimum=-24.0, maximum=-12.0, elevation=350.0, snow=True)
    lowest = [run(demo_house(n), night).lowest_air for n in range(11)]
    assert all(after > before - 0.3 for before, after in pairwise(lowest)) and lowest[10] > lowest[0] + 15


def test_the_sky_takes_what_the_sky_module_says(outside):
    """Clear sky at 0 °C, dew point −5 °C, midnight: emissivity 0.6978, sky at −23.50 °C (Berdahl and Martin)."""
    one = replace(
        NIGHT, time=np.array([0.0, 1.0]), temperature=np.zeros(2), dew_point=np.full(2, -5.0),
        cloud=np.array([0.0, 1.0]), start=np.datetime64("2025-01-15T00:00"),
    )  # fmt: skip
    clear, covered = sampler.black_sky_loss(one)
    wanted = 5.670374e-8 * (273.15**4 - (273.15 - 23.50) ** 4)
    outside(
        "house sky loss",
        float(clear),
        wanted,
        source="Berdahl and Martin, check value computed",
        rel=3e-3,
        why="−23.50 ± 0.05",
    )
    assert covered == 0.0


@pytest.mark.filterwarnings("ignore:.*dayofyear.*")
@pytest.mark.parametrize("lesson", [0, 10])
def test_very_cold_skies_are_answered(lesson):
    """Outside down to −45 °C, where the clear sky lies below −60 °C: course and bill go on, and both close."""
    wx = design_night(60.0, "2025-01-15", minimum=-45.0, maximum=-35.0)
    course = run(demo_house(lesson), wx)
    assert course.closure < 1e-9 and np.isfinite(course.air).all() and course.lowest_air > -46
    bill = loss_bill(demo_house(lesson), 5.0, -45.0)
    assert sum(row.watts for row in bill.rows) == pytest.approx(bill.total)


def test_a_place_is_no_higher_than_moist_air_answers_for():
    from heatlib.moist_air import pressure_at

    top = 3000.0
    assert pressure_at(top) > 0 and run(house(**{"place.elevation": top}), NIGHT).closure < 1e-9
    with pytest.raises(ValueError, match="elevation must be between -290 and 3000 m"):
        house(**{"place.elevation": top + 1})
    with pytest.raises(ValueError, match="elevation"):
        pressure_at(top + 1)


def test_soil_of_the_pipes_is_joined_to_the_floor_s(outside):
    """By hand: pipes 0.6 m down, rings of 0.2 m; layers of 0.075, 0.05, 0.06, 0.12, 0.24 and 0.5 m end at 1.045 m.

    0.6 m lies in the sixth; above and below there are 0.2 m of soil with the table's conductivity.
    """
    from heatlib.tables import entry

    model = house(pipes=Pipes(length=6.0, flow=0.15, count=6, spacing=0.4, depth=0.6))
    (link,) = nodes.links(model)
    k = entry("materials", "soil_moist", "conductivity").value
    assert link[:4] == ("pipes", nodes.RINGS - 1, "floor", 5)
    outside("nodes.links", link[4], 2 * k * 6 * 6.0 * 0.4 / 0.2, source="one-dimensional conduction", rel=1e-12,
            why="closed form")  # fmt: skip
    assert nodes.pipe_column(model).to_deep == 0.0
    # the soil of the rings is counted once: the floor's column is lighter by just that much
    ring = np.pi * 0.2**2 * 36.0 * nodes.heat_capacity("soil_moist")
    lost = sum(nodes.floor_column(house(), 0.2).capacity) - sum(nodes.floor_column(model, 0.2).capacity)
    assert lost == pytest.approx(ring, rel=1e-9)
    # twice as many pipes do not fit: 28.8 − 21.6 m² lie beside the floor, half a metre from steady ground
    wide = model.changed("pipes.count", 12)
    assert nodes.links(wide)[0][4] == pytest.approx(2 * k * 21.6 / 0.2)
    assert nodes.pipe_column(wide).to_deep == pytest.approx(2 * k * (28.8 - 21.6) / 0.5)
    deep = model.changed("pipes.depth", 2.0)
    assert nodes.links(deep) == nodes.links(house()) == ()
    assert nodes.pipe_column(deep).to_deep == pytest.approx(2 * k * 14.4 / 0.5)


def test_pipes_pass_from_the_floor_s_soil_to_the_ground_below_it_bit_by_bit():
    """The soil column ends at 1.325 m; half a metre below pipes meet only ground that keeps its own temperature."""
    end = 0.075 + 0.05 + 1.2

    def conductances(depth):
        model = house(pipes=Pipes(length=6.0, flow=0.15, count=6, spacing=0.4, depth=depth))
        joined = nodes.links(model)
        pipes, floor = nodes.pipe_column(model), nodes.floor_column(model, 0.2)
        return np.array([joined[0][4] if joined else 0.0, pipes.to_deep, floor.to_deep, sum(floor.capacity) / 1e5])

    for edge in (end - 0.2, end, end + 0.2, end + 0.5):  # where a ring begins and ceases to reach, and pipes to pass
        assert conductances(edge - 1e-6) == pytest.approx(conductances(edge + 1e-6), rel=1e-4, abs=1e-2)
    within, half, below = (conductances(depth) for depth in (end, end + 0.25, end + 0.5))
    assert half[:2] == pytest.approx((within[:2] + below[:2]) / 2)
    # by way of the pipes flows what no longer flows past them
    assert within[2] - half[2] == pytest.approx(1 / (1 / half[0] + 1 / half[1])) and below[2] == within[2]
    wx = weather(72, 12.0, 9.0)
    warmth = [
        run(house(pipes=Pipes(length=6.0, flow=0.15, count=6, depth=depth, on_above=59.0)), wx, 900.0).stores["pipes"]
        for depth in np.arange(end - 0.02, end + 0.06, 0.02)
    ]
    assert max(float(np.abs(a - b).max()) for a, b in pairwise(warmth)) < 0.1  # K for two centimetres


@pytest.mark.parametrize("depth", [0.3, 0.6, 1.0, 1.4, 1.6, 2.0])
def test_pipes_that_stand_still_change_nothing_in_the_long_run(depth):
    """Settled, the pipes' soil is as warm as what lies round it: air and floor are those without pipes.

    To a thousandth of a kelvin: the sky still swings a little with the hour, and the rings answer that in their time.
    """
    model = house(**{"place.ground_swing": 0.0})
    idle = model.changed("pipes", Pipes(length=6.0, flow=0.15, count=6, depth=depth, on_above=59.0))
    wx = weather(24, -10.0, 0.0)
    with_pipes, without = run(idle, wx), run(model, wx)
    assert np.abs(with_pipes.air - without.air).max() < 1e-3
    assert np.abs(with_pipes.layers["floor"] - without.layers["floor"]).max() < 1e-3


def test_warm_pipes_warm_the_floor():
    model = house(pipes=Pipes(length=6.0, flow=0.15, count=6, on_above=59.0))
    warm, cool = (run(model, weather(120, -5.0, 3.0), initial={"air": 5.0, "pipes": t}) for t in (30.0, 5.0))
    assert warm.floor[-1] > cool.floor[-1] and warm.layers["floor"][5, -1] > cool.layers["floor"][5, -1] + 0.5
    assert warm.closure < 1e-9

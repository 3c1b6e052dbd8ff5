"""The stepping by itself, on made-up houses of one or two nodes whose course is known in closed form.

Sources: one node in steady surroundings decays exponentially and two nodes that share heat approach each other at the
sum of their rates (from memory); what melts or freezes takes its heat at 0 °C (from memory); the rest is heat that must
add up, worked out by hand beside each case.
"""

import math
from dataclasses import replace

import numpy as np
import pytest

from heatlib.house import kernel
from heatlib.house.kernel import Column, Humidity, Inputs, Water, march

TIED = 1e9
"""Loss to the outside [W/K] that holds the air at the outside temperature."""
DRUM = Water("drum", 2.0, 5.0, (0.0, 0.0), 42e3, 21e3, 3.34e6)
"""10 kg of water that meets the air by 10 W/K, whatever the difference."""
APART = Column("floor", 0.0, (1.0,))
"""A floor that touches nothing."""


def made(steps, step, outside=0.0, loss=TIED, **more):
    """Inputs that stay as they are for all steps."""
    given = {name: np.full(steps, float(more.pop(name, 0.0))) for name in ("gain", "sun")}
    given |= {"loss": np.full(steps, loss), "outside": np.full(steps, outside), "deep": {}, "columns": (APART,)}
    return Inputs(step=step, **({"air_capacity": 1e4} | given | more))


def middles(steps, step):
    return (np.arange(steps) + 0.5) * step


# ---- air, water and layers alone


def test_air_alone_decays_as_newton_says(outside):
    """C·dT/dt = P − L·(T − T_out): the time constant is C/L, the end T_out + P/L."""
    out = march(made(300, 20.0, -5.0, 100.0, air_capacity=2e5, gain=900.0), 20.0, [[0.0]], [])
    wanted = 4.0 + 16.0 * np.exp(-middles(300, 20.0) / 2000.0)
    outside("kernel.march air", np.array(out.air), wanted, source="closed form", abs=1e-3, why="steps of τ/100")
    assert out.air_end == pytest.approx(4.0 + 16.0 * math.exp(-3.0), abs=1e-3)
    assert out.heater == out.vent == out.fan == [0.0] * 300 and out.moist == {}


@pytest.mark.parametrize(("start", "air", "capacity"), [(20.0, 4.0, 42e3), (-2.0, -12.0, 21e3), (-12.0, -2.0, 21e3)])
def test_water_and_ice_decay_each_by_their_own_heat_capacity(outside, start, air, capacity):
    out = march(made(200, 60.0, air, waters=(DRUM,)), air, [[0.0]], [DRUM.heat(start)])
    wanted = air + (start - air) * np.exp(-10.0 * middles(200, 60.0) / capacity)
    outside("kernel.march water", np.array(out.water[0]), wanted, source="closed form", abs=2e-3, why="steps of τ/35")
    assert out.touch[0] == [10.0] * 200


@pytest.mark.parametrize(("start", "air", "before", "after"), [(-4.0, 10.0, 21e3, 42e3), (4.0, -10.0, 42e3, 21e3)])
def test_a_drum_thaws_and_freezes_through_when_its_heat_is_up(outside, start, air, before, after):
    """Up or down to 0 °C by τ·ln(14/10), then 3.34 MJ at 100 W: 33 400 s at 0 °C, then on towards the air."""
    steps, step = 700, 60.0
    out = march(made(steps, step, air, waters=(DRUM,)), air, [[0.0]], [DRUM.heat(start)])
    time = middles(steps, step)
    reached = before / 10.0 * math.log(1.4)
    through = reached + 33400.0
    wanted = np.where(time < reached, air + (start - air) * np.exp(-10.0 * time / before), 0.0)
    wanted = np.where(time > through, air * -np.expm1(-10.0 * (time - through) / after), wanted)
    got = np.array(out.water[0])
    outside("kernel.march thaw", got, wanted, source="closed form", abs=0.05, why="0 °C is met within a step")
    assert np.count_nonzero(got == 0.0) == pytest.approx(33400.0 / step, abs=1.5)
    assert np.sign(got[-1]) == np.sign(air) and abs(got[-1]) > 0.5


def test_water_of_exactly_0_degrees_is_no_ice():
    assert DRUM.heat(0.0) == 0.0 and DRUM.heat(-1e-9) == pytest.approx(-3.34e6)
    # half a joule is half a joule, not none
    assert DRUM.temperature(0.5) == 0.5 / 42e3 and DRUM.temperature(0.0) == 0.0
    assert DRUM.temperature(-0.5) == DRUM.temperature(-3.34e6) == 0.0
    assert DRUM.temperature(-3.34e6 - 21e3) == -1.0


def test_what_water_gives_the_air_by_hand():
    """Area 2 m², 5 W/m²K of radiation; natural convection (1 + ½·d^⅙)²: 64 K have the sixth root 2, so 4 W/m²K."""
    assert Water("w", 2.0, 5.0, (1.0, 0.5), 1.0, 1.0, 1.0).to_air(64.0) == pytest.approx(18.0)
    assert DRUM.to_air(5.0) == DRUM.to_air(-5.0) == 10.0


def test_air_and_water_meet_at_the_sum_of_their_rates(outside):
    """Nothing goes out: the mean by heat stays, and the difference decays by g·(1/C₁ + 1/C₂) = 10/(42 000 ∥ 84 000)."""
    steps, step = 400, 20.0
    out = march(made(steps, step, loss=0.0, air_capacity=84e3, waters=(DRUM,)), 16.0, [[0.0]], [DRUM.heat(4.0)])
    apart = 12.0 * np.exp(-middles(steps, step) / 2800.0)
    for name, got, wanted in (("air", out.air, 12.0 + apart / 3), ("water", out.water[0], 12.0 - 2 * apart / 3)):
        outside(f"kernel.march two nodes, {name}", np.array(got), wanted, source="closed form", abs=2e-3,
                why="steps of τ/140")  # fmt: skip
    assert 84e3 * out.air_end + out.water_heat[0] == pytest.approx(84e3 * 12.0 + 42e3 * 12.0, rel=1e-12)


def test_the_sun_s_share_warms_the_water_and_the_rest_does_not():
    """A quarter of 400 W for an hour into water that touches nothing: 360 kJ."""
    drum = Water("drum", 0.0, 5.0, (0.0, 0.0), 42e3, 21e3, 3.34e6, sun_share=0.25)
    out = march(made(60, 60.0, sun=400.0, waters=(drum,)), 0.0, [[0.0]], [0.0])
    assert out.water_heat[0] == pytest.approx(360e3)


def test_layers_as_two_nodes_by_their_eigenvalues(outside):
    """Two layers between air at 10 °C and deep ground at 4 °C, as far from their steady state as one mode says.

    By hand: C = 1000 J/K each, ways of 1, 2 and 1 W/K; the matrix [[3, −2], [−2, 3]]/1000 has the rates 1/1000 with
    (1, 1) and 5/1000 with (1, −1); in the steady state the 6 K fall by 1, ½ and 1 parts of 2½.
    """
    floor = Column("floor", 1.0, (1000.0, 1000.0), (2.0,), to_deep=1.0)
    steps, step = 200, 10.0
    given = made(steps, step, 10.0, columns=(floor,)).__dict__ | {"deep": {"floor": np.full(steps, 4.0)}}
    still = np.array([10.0 - 6.0 * 0.4, 10.0 - 6.0 * 0.6])
    time = middles(steps, step)
    for mode, rate in (((1.0, 1.0), 1e-3), ((1.0, -1.0), 5e-3)):
        out = march(Inputs(**given), 10.0, [(still + 3.0 * np.array(mode)).tolist()], [])
        wanted = still[:, None] + 3.0 * np.array(mode)[:, None] * np.exp(-rate * time)
        outside("kernel.march layers", out.column[0], wanted, source="closed form", abs=5e-3, why="steps of τ/20")


# ---- heater, vent and fan

CONTROLS = (500.0, 20.0, 22.0, 2.0, 50.0, 25.0, 5.0)
"""500 W below 20 °C and none at 22 °C; vents from 25 °C on, 50 W/K from 30 °C on."""


@pytest.mark.parametrize(
    ("b", "cold", "t", "heat", "vent"),
    [
        pytest.param(1000.0, 0.0, 15.0, 500.0, 0.0, id="full heat: (1000 + 500)/100"),
        pytest.param(1600.0, 0.0, 7100.0 / 350.0, 600.0 / 350.0 * 250.0, 0.0, id="in the band: (1600 + 250·22)/350"),
        pytest.param(2300.0, 0.0, 23.0, 0.0, 0.0, id="neither"),
        pytest.param(2200.0, 0.0, 22.0, 0.0, 0.0, id="just warm enough"),
        pytest.param(2500.0, 0.0, 25.0, 0.0, 0.0, id="just not too warm"),
        # 100·(25 + x) + 10·x·(25 + x − 15) = b: x = 2 for 2940, and for 5000 (5000 + 50·15)/150 with open vents
        pytest.param(2940.0, 15.0, 27.0, 0.0, 20.0, id="vents part open"),
        pytest.param(5000.0, 15.0, 5750.0 / 150.0, 0.0, 50.0, id="vents wide open"),
    ],
)
def test_heater_and_vent_by_hand(b, cold, t, heat, vent):
    assert kernel._solved(100.0, b, CONTROLS, cold) == pytest.approx((t, heat, vent), rel=1e-12)


@pytest.mark.parametrize(
    ("a", "extra", "full", "band", "outside"),
    [
        pytest.param(100.0, 1250.0, 500.0, 50.0, 50.0, id="warmer outside: the first term is negative"),
        pytest.param(1.0, 1e-6, 5e6, 50.0, 30.0, id="and so much so that it nearly cancels the root"),
        pytest.param(0.5, 5.0, 1e-20, 3.0, 10.0, id="a vent of nothing and hardly any loss"),
    ],
)
def test_the_heat_through_a_vent_fits_its_opening(a, extra, full, band, outside):
    """Whatever the root: a·t + vent·(t − outside) = b, and the vent stands open by how far t is in its band."""
    b = a * 20.0 + extra
    t, vent = kernel._vented(a, b, full, 20.0, band, outside)
    assert a * t + vent * (t - outside) == pytest.approx(b, rel=1e-9)
    assert vent == pytest.approx(full * min(1.0, (t - 20.0) / band), rel=1e-9)


@pytest.mark.parametrize(
    ("air", "rests", "runs"),
    [(25.0, False, True), (25.1, True, True), (21.0, False, False), (21.1, False, True), (15.0, False, False),
     (2.0, False, True), (1.9, True, True), (6.0, False, False), (5.9, False, True)],
)  # fmt: skip
def test_the_fan_takes_hold_and_lets_go(air, rests, runs):
    """Above 25 °C or below 2 °C, let go 4 K after: at a threshold itself nothing is above or below it yet."""
    assert kernel._fan(False, air, 25.0, 2.0, 4.0) is rests
    assert kernel._fan(True, air, 25.0, 2.0, 4.0) is runs


def test_a_fan_that_first_starts_after_more_than_a_thousand_steps(outside):
    """Soil apart from the air stays as it is; then it nears air of 30 °C by τ = 1 MJ/K / 50 W/K, from 10 °C."""
    pipes = Column("pipes", 50.0, (1e6,), fan=True)
    given = made(1300, 60.0, columns=(APART, pipes), fan=(25.0, -200.0, 1.0, 0.0))
    given = replace(given, outside=np.repeat([10.0, 30.0], [1100, 200]))
    out = march(given, 10.0, [[0.0], [10.0]], [])
    assert not any(out.fan[:1100]) and all(out.fan[1102:])
    soil = np.asarray(out.column[1][0])
    assert soil[:1100] == pytest.approx(10.0, abs=1e-9)
    wanted = 30.0 - 20.0 * np.exp(-(middles(1300, 60.0)[1110:] - 66060.0) / 20e3)
    outside(
        "kernel.march fan", soil[1110:], wanted, source="closed form", abs=0.05, why="begins by a step at the air's"
    )


@pytest.mark.parametrize(("start", "share"), [(9.0, 1.0), (10.0, 1.0), (11.0, 0.75), (14.0, 0.0), (15.0, 0.0)])
def test_a_heater_in_the_water_goes_by_the_water(start, share):
    """4 K of band above 10 °C: at 11 °C three quarters. The air is at 5 °C; the heat goes into the water alone."""
    out = march(made(1, 10.0, 5.0, waters=(DRUM,), heater=(2000.0, 10.0, 4.0, 0)), 5.0, [[0.0]], [DRUM.heat(start)])
    assert out.heater == [pytest.approx(2000.0 * share)]
    taken = out.water_heat[0] - DRUM.heat(start) + 10.0 * out.touch[0][0] * (out.water[0][0] - 5.0)
    assert taken == pytest.approx(10.0 * 2000.0 * share, abs=1e-3)


# ---- stores that change what they are within a step

TINY = [(100.0, 50.0, 5e4, 0.0)]
"""So little water in so long a step that the air's slope is 0.65 W/K as water, 0.33 as ice, 20 while it melts."""


@pytest.mark.parametrize(
    ("mode", "held", "a", "b"),
    [
        pytest.param(0, 2e4, 5.0, 100.0, id="water: 20/(1000 + 3000) of 1000 J/K and of what it holds"),
        pytest.param(1, -2e4, 20.0, 0.0, id="melting: all 20 W/K towards 0 °C"),
        pytest.param(2, -6e4, 20.0 / 7.0, -400.0 / 7.0, id="ice: 20/(500 + 3000) of 500 J/K and of the 10 kJ it lacks"),
    ],
)
def test_what_a_store_asks_of_the_air_in_each_regime(mode, held, a, b):
    """20 W/K for half a step of 150 s, beside 10 W/K and 100 W of the house; two like it ask twice."""
    still = (0.0, 0.0, 1.0, 1.0, 0.0, 1e9, 1.0)
    for n in (1, 2):
        waters = [(1000.0, 500.0, 5e4, 0.0)] * n
        got = kernel._air(10.0, 100.0, [20.0] * n, [held] * n, [mode] * n, waters, 150.0, still, 0.0)
        assert got == (pytest.approx((100.0 + n * b) / (10.0 + n * a)), 0.0, 0.0)


def test_what_a_store_is_by_the_heat_it_holds():
    """From nothing on it is water, from all its heat of fusion down it is ice; half a joule between is half molten."""
    for held, regime in ((0.5, 0), (0.0, 0), (-0.5, 1), (-5e4 + 0.5, 1), (-5e4, 2), (-6e4, 2)):
        assert kernel._regimes(0.0, [20.0], [held], TINY, 150.0) == [regime]
    # by the middle of the step the air has given it 150·20·2 = 6 kJ
    assert kernel._regimes(2.0, [20.0] * 2, [-6000.0, -6001.0], TINY * 2, 150.0) == [0, 1]


@pytest.mark.parametrize("begin", [0, 1, 2])
@pytest.mark.parametrize(("held", "t"), [(-25e3, 1.0), (-92e3, 16.0), (42e3, -16.0)])
def test_circles_are_left_wherever_they_turn(begin, held, t):
    """Half molten at 1 °C; all but frozen at 16 °C, which lies 2 K above what ice needs; all but water at −16 °C."""
    still = (0.0, 0.0, 1.0, 1.0, 0.0, 1e9, 1.0)
    got = kernel._agreed(1.0, 21.0 * t, [20.0], [held], [begin], TINY, 150.0, still, 0.0)
    assert got == (pytest.approx(t), 0.0, 0.0, [1])


@pytest.mark.parametrize("begin", [0, 1, 2])
@pytest.mark.parametrize("room", [(0.0, 5.0, 6.0, 1.0, 0.0, 1e9, 1.0), (63.0, 2.0, 5.0, 3.0, 0.0, 1e9, 1.0),
                                  (0.0, 5.0, 6.0, 1.0, 20.0, 0.5, 0.25)])  # fmt: skip
def test_a_store_whose_regimes_go_in_circles_is_found_melting(begin, room):
    """As water the air would be −85 °C, as ice 139 °C: each asks for the other. While it melts, (1 + 20)·t = b.

    Without controls b = 21 gives 1 °C. With 63 W below 2 °C and none from 5 °C on, 21·t = 10.5 + 21·(5 − t) gives
    2.75 °C. With the vent open by 20 W/K, whole from 0.75 °C on, and −1 °C outside, 21·t + 20·(t + 1) = 61 gives 1 °C.
    """
    power, _, top, band, full, _, _ = room
    b, t = (10.5, 2.75) if power else (61.0 if full else 21.0, 1.0)
    got = kernel._agreed(1.0, b, [20.0], [-25e3], [begin], TINY, 150.0, room, -1.0)
    assert got[0] == pytest.approx(t, rel=1e-9) and got[3] == [1]
    assert got[1] == pytest.approx(power / band * (top - t) if power else 0.0) and got[2] == full


def test_the_same_in_a_whole_step():
    """A first step of 300 s in air of 45 J/K at −19 °C, that loses 0.7 W/K: 2·45/300 + 0.7 = 1 W/K in all.

    Outside is so warm that 0.3·(−19) + 0.7·T = 21 W: as above, the air comes to 1 °C, and 20 W melt ice.
    """
    drop = Water("drop", 4.0, 5.0, (0.0, 0.0), *TINY[0][:3])
    given = made(1, 300.0, (21.0 + 0.3 * 19.0) / 0.7, 0.7, air_capacity=45.0, waters=(drop,))
    out = march(given, -19.0, [[0.0]], [-25e3])
    assert out.air[0] == pytest.approx(1.0) and out.water[0] == [0.0]
    assert out.water_heat[0] == pytest.approx(-25e3 + 300.0 * 20.0)


def test_a_drum_begins_to_melt_beside_open_vents():
    """Ice at −0.01 °C in a warm room: in the step that thaws it, the vents are as open as the air of that step says."""
    given = made(40, 300.0, 5.0, 60.0, air_capacity=6e4, gain=1500.0, waters=(DRUM,), vent=(80.0, 18.0, 4.0))
    out = march(given, 21.0, [[0.0]], [DRUM.heat(-3.0)])
    water, air, vent = np.array(out.water[0]), np.array(out.air), np.array(out.vent)
    assert water[0] < 0.0 and (water[2:] == 0.0).all()
    assert vent == pytest.approx(80.0 * np.clip((air - 18.0) / 4.0, 0.0, 1.0)) and vent.min() > 0.0
    gone = 300.0 * (60.0 + vent) @ (air - 5.0)
    held = 6e4 * (out.air_end - 21.0) + out.water_heat[0] - DRUM.heat(-3.0)
    assert held + gone == pytest.approx(40 * 300.0 * 1500.0, rel=1e-12)


# ---- pipes that run in damp air


def straight(start=-40.0):
    """A made-up saturation: 0.1 g/kg a kelvin above −40 °C."""
    return tuple(1e-4 * (start + 0.5 * k + 40.0) for k in range(1000))


def damp(panes=((), ()), dry=0.0, shining=0.0, mass=60.0):
    """Air whose saturation is a straight line, with no plants unless told."""
    return Humidity(mass, 2.5e6, panes, straight(), -40.0, ((dry,) * 1000,) * 2, ((shining,) * 1000,) * 2)


def test_saturation_is_straight_between_the_half_degrees():
    """Made a straight line, so each value is known; nothing is known to rise after the last."""
    humidity = damp()
    for t in (-40.0, -39.6, 0.0, 20.0, 20.25, 33.3):
        assert humidity.saturated(t) == pytest.approx(1e-4 * (t + 40.0), abs=1e-12)
        assert humidity.saturated_all([t]) == pytest.approx([1e-4 * (t + 40.0)], abs=1e-12)
    assert humidity.rising[0] == pytest.approx((0.0, 5e-5)) and humidity.rising[-1][1] == 0.0


def moisture(steps, flow=1.0, vapour=0.0057, pane=0.0, drawn=0, shine=0.0):
    ones = np.ones(steps)
    return {"air_flow": flow * ones, "vapour": vapour * ones, "shine": shine * ones, "light": [0] * steps,
            "pane": pane * ones, "drawn": [drawn] * steps}  # fmt: skip


def test_running_pipes_dry_the_air_down_to_what_their_soil_and_the_leaks_say():
    """Soil at 5 °C holds 4.5 g/kg, outside 5.7: 1 kg/s through each makes 5.1, and 0.6 g/s drip, 1500 W of latent heat.

    The soil's heat capacity is such that it warms by 1 K for 100 MJ; what it gains is what the air gives it and that.
    """
    pipes = Column("pipes", 1006.0, (1e8,), fan=True)
    given = {"columns": (APART, pipes), "fan": (-100.0, -200.0, 1.0, 0.0), "humidity": damp()}
    still = march(made(40, 60.0, 20.0, **(given | {"fan": None}), **moisture(40)), 20.0, [[0.0], [5.0]], [], 0.0055)
    assert still.moist["vapour"][-1] == pytest.approx(0.0057) and not np.any(still.moist["piped"])
    out = march(made(40, 60.0, 20.0, **given, **moisture(40)), 20.0, [[0.0], [5.0]], [], 0.0055)
    soil = out.column[1][0]
    assert out.fan == [1.0] * 40 and out.moist["vapour"][-1] == pytest.approx((0.0057 + 0.0045) / 2, rel=1e-2)
    assert out.moist["condensed"][-1] == pytest.approx(0.0006, rel=0.1)
    assert out.moist["piped"] == pytest.approx(2.5e6 * out.moist["condensed"])
    got = 60.0 * (1006.0 * (np.array(out.air) - soil) + out.moist["piped"]).sum()
    assert 1e8 * (out.column_end[1][0] - 5.0) == pytest.approx(got, rel=1e-9)
    # in warm pipes nothing drips
    warm = march(made(40, 60.0, 20.0, **given, **moisture(40)), 20.0, [[0.0], [20.5]], [], 0.0055)
    assert warm.moist["vapour"][-1] == pytest.approx(0.0057) and not np.any(warm.moist["piped"])

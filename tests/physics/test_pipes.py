"""Air through buried pipes against worked examples, Moody's chart, closed forms and the integral of the pipe itself."""

import math
import re

import numpy as np
import pytest
from scipy.integrate import solve_ivp

from heatlib import moist_air, pipe_soil, pipes

PIPE = dict(flow=0.02, length=10.0, diameter=0.1)


def test_friction(outside):
    outside(
        "pipes.pipe_friction",
        pipes.pipe_friction([1000.0, 10000.0]),
        [0.064, 0.030883],
        source="64/Re; Colebrook's equation solved by fluids",
        abs=1e-5,
        why="explicit form within 1e-5 of the implicit",
    )
    # Manning 0.016 in a full pipe of 0.1 m: f = 8·g·n²/(D/4)^(1/3), fully rough
    manning = 8 * 9.81 * 0.016**2 / 0.025 ** (1 / 3)
    outside(
        "pipes.pipe_friction",
        pipes.pipe_friction(1e6, corrugated=True),
        manning,
        source="Manning number 0.016 of corrugated drain pipe (from memory)",
        rel=0.08,
        why="Manning's form lacks the Reynolds number",
    )
    f = pipes.pipe_friction(20000.0, corrugated=True)
    right = -2 * math.log10(0.05 / 3.7 + 2.51 / (20000 * math.sqrt(f)))
    outside(
        "pipes.pipe_friction",
        1 / math.sqrt(f),
        right,
        source="Colebrook's implicit equation, inserted",
        rel=1e-6,
        why="solved",
    )
    assert pipes.pipe_friction(1000.0, corrugated=True) == pipes.pipe_friction(1000.0)


def test_nusselt(outside):
    outside(
        "pipes.pipe_nusselt",
        pipes.pipe_nusselt(1500.0, 0.7),
        3.66,
        source="Incropera eq. 8.55",
        rel=0.001,
        why="printed",
    )
    # Gnielinski by hand with f of Colebrook at Re 1e4: 0.030883
    f8 = 0.030883 / 8
    hand = f8 * 9000 * 0.71 / (1 + 12.7 * math.sqrt(f8) * (0.71 ** (2 / 3) - 1))
    outside(
        "pipes.pipe_nusselt",
        pipes.pipe_nusselt(1e4, 0.71),
        hand,
        source="Incropera eq. 8.62 by hand",
        rel=2e-4,
        why="rounded f",
    )
    outside(
        "pipes.pipe_nusselt",
        pipes.pipe_nusselt(35765.0, 0.7154),
        91.4,
        source="Çengel example 8.6 (Dittus–Boelter)",
        rel=0.12,
        why="two correlations for the same flow",
    )
    outside(
        "pipes.pipe_nusselt",
        pipes.pipe_nusselt(1e5, 0.7),
        0.023 * 1e5**0.8 * 0.7**0.3,
        source="Dittus–Boelter, cooling",
        rel=0.15,
        why="two correlations for the same flow",
    )
    # Norris by hand at Re 2e4
    ratio = pipes.pipe_friction(2e4, True) / pipes.pipe_friction(2e4)
    outside(
        "pipes.pipe_nusselt",
        pipes.pipe_nusselt(2e4, 0.71, True) / pipes.pipe_nusselt(2e4, 0.71),
        ratio ** (0.68 * 0.71**0.215),
        source="Norris 1970 by hand (from memory)",
        rel=1e-9,
        why="the same arithmetic",
    )
    at_limit = pipes.pipe_nusselt(1e6, 0.71, True) / pipes.pipe_nusselt(1e6, 0.71)
    outside("pipes.pipe_nusselt", at_limit, 4 ** (0.68 * 0.71**0.215),
            source="Norris 1970: no gain above 4 times the friction",
            rel=1e-9, why="the same arithmetic")  # fmt: skip


def test_nusselt_between_laminar_and_turbulent():
    # Colebrook for a smooth pipe at Re 4000, then Gnielinski (Incropera eq. 8.62), by hand
    root = 0.2
    for _ in range(50):
        root = 1 / (-2 * math.log10(2.51 / (4000 * root)))
    f8 = root**2 / 8
    high = f8 * 3000 * 0.71 / (1 + 12.7 * math.sqrt(f8) * (0.71 ** (2 / 3) - 1))
    low = 3.66
    assert pipes.pipe_nusselt(4000.0, 0.71) == pytest.approx(high, rel=1e-3)
    assert pipes.pipe_nusselt(2300.0, 0.71) == pytest.approx(low)
    assert pipes.pipe_nusselt(3150.0, 0.71) == pytest.approx((low + high) / 2, rel=1e-3)
    assert pipes.pipe_nusselt(4001.0, 0.71) == pytest.approx(high, rel=1e-3)
    assert pipes.pipe_nusselt([1000.0, 8000.0], 0.71)[1] == pipes.pipe_nusselt(8000.0, 0.71)
    assert pipes.pipe_nusselt(8000.0, 5.0) > pipes.pipe_nusselt(8000.0, 0.71)


def test_effectiveness(outside):
    outside(
        "pipes.effectiveness",
        pipes.effectiveness([0.0, 0.5, 1.0, 3.0]),
        [0, 0.39347, 0.63212, 0.95021],
        source="closed form 1 − e^(−NTU)",
        abs=1e-5,
        why="five decimals",
    )
    outside(
        "pipes.effectiveness",
        pipes.effectiveness(0.5715),
        0.435,
        source="Çengel example 8.6",
        abs=6e-4,
        why="three digits",
    )
    assert pipes.effectiveness(1e-12) == pytest.approx(1e-12, rel=1e-9)


def _hand(flow=0.02, length=10.0, diameter=0.1, count=1, t=15.0):
    """Transfer units by hand from air at 15 °C: 1.225 kg/m³, 0.02525 W/m·K, 1.47e-5 m²/s (standard atmosphere)."""
    speed = flow / count / (math.pi * diameter**2 / 4)
    nu = pipes.pipe_nusselt(speed * diameter / 1.461e-5, 0.713)
    return nu * 0.02533 * math.pi * length / (1.225 * flow / count * 1006)


def test_transfer_units(outside):
    outside(
        "pipes.transfer_units",
        pipes.transfer_units(**PIPE, corrugated=False),
        _hand(),
        source="U.S. Standard Atmosphere 1976 at sea level, NTU by hand",
        rel=0.005,
        why="air properties to four digits",
    )
    assert pipes.transfer_units(0.02, 20.0, 0.1) == pytest.approx(2 * pipes.transfer_units(**PIPE))
    assert pipes.transfer_units(0.08, 10.0, 0.1, 4) == pytest.approx(pipes.transfer_units(**PIPE))
    assert pipes.transfer_units(**PIPE, corrugated=True) > pipes.transfer_units(**PIPE, corrugated=False)
    # soil in the way: resistances in series, by metre
    free = pipes.transfer_units(**PIPE)
    mass = 0.02 * 101325 / (287.053 * 288.15)
    film = 10.0 / (free * mass * 1006)
    assert pipes.transfer_units(**PIPE, soil_resistance=0.3) == pytest.approx(10.0 / (film + 0.3) / (mass * 1006))
    both = pipes.transfer_units([0.02, 0.03], 10.0, 0.1)
    assert both.tolist() == pytest.approx([pipes.transfer_units(q, 10.0, 0.1) for q in (0.02, 0.03)], rel=1e-12)


def test_conductance(outside):
    mass = 0.02 * 1.225
    outside(
        "pipes.pipe_conductance",
        pipes.pipe_conductance(**PIPE, corrugated=False),
        mass * 1006 * -math.expm1(-_hand()),
        source="U.S. Standard Atmosphere 1976 at sea level, by hand",
        rel=0.005,
        why="air properties to four digits",
    )
    outside(
        "pipes.pipe_conductance",
        pipes.pipe_conductance(0.02, 500.0, 0.1),
        mass * 1006,
        source="limit of an endless pipe",
        rel=1e-3,
        why="density to four digits",
    )
    assert pipes.pipe_conductance(0.06, 10.0, 0.1, 3) == pytest.approx(3 * pipes.pipe_conductance(**PIPE))
    assert type(pipes.pipe_conductance(**PIPE)) is float
    assert pipes.pipe_conductance(**PIPE, soil_resistance=1.0) < pipes.pipe_conductance(**PIPE)


def test_pressure_drop(outside):
    speed = 0.02 / (math.pi * 0.05**2)
    f = 64 / 1000
    outside(
        "pipes.pressure_drop",
        pipes.pressure_drop(1000 * 1.461e-5 * math.pi * 0.1 / 4, 10.0, 0.1, fittings=0.0),
        f * 10 / 0.1 * 1.225 * (1000 * 1.461e-5 / 0.1) ** 2 / 2,
        source="Darcy with 64/Re and the standard atmosphere",
        rel=0.005,
        why="air properties to four digits",
    )
    bend = pipes.pressure_drop(**PIPE, fittings=2.5) - pipes.pressure_drop(**PIPE, fittings=0.5)
    outside(
        "pipes.pressure_drop",
        bend,
        2 * 1.225 * speed**2 / 2,
        source="two velocity heads at 1.225 kg/m³",
        rel=1e-3,
        why="four digits",
    )
    assert pipes.pressure_drop(**PIPE) == pipes.pressure_drop(**PIPE, fittings=1.5)
    assert pipes.pressure_drop(0.04, 10.0, 0.1, 2) == pytest.approx(pipes.pressure_drop(**PIPE))
    ratio = pipes.pressure_drop(0.04, 10.0, 0.1) / pipes.pressure_drop(**PIPE)
    assert 3.7 < ratio < 4
    rough = pipes.pressure_drop(**PIPE, fittings=0) / pipes.pressure_drop(**PIPE, corrugated=False, fittings=0)
    assert 2.0 < rough < 3.0


def test_fan_power():
    assert pipes.fan_power(0.1, 50.0) == 20.0
    assert pipes.fan_power(0.0, 50.0) == 0.0
    assert pipes.fan_power([0.1, 0.2], 50.0, 0.5).tolist() == [10.0, 20.0]
    assert pipes.fan_power(0.1, 50.0, 1.0) == 5.0


def test_flow_against_the_integral_of_a_pipe(outside):
    result = pipes.pipe_flow(30.0, 12.0, **PIPE)
    ua = result.ntu * 0.02 * 101325 / (287.053 * (21 + 273.15)) * 1006
    capacity = ua / result.ntu
    along = solve_ivp(lambda x, t: -ua / 10 / capacity * (t - 12.0), (0, 10), [30.0], rtol=1e-9, atol=1e-9)
    outside(
        "pipes.pipe_flow",
        result.outlet,
        along.y[0, -1],
        source="scipy's integrator along the pipe",
        rel=1e-6,
        why="rtol 1e-9",
    )
    assert result.heat == pytest.approx(capacity * (30 - result.outlet))
    assert (result.latent, result.condensed, result.sensible) == (0.0, 0.0, result.heat)
    assert result.velocity == pytest.approx(0.02 / (math.pi / 4 * 0.01))
    assert result.ntu == pytest.approx(pipes.transfer_units(**PIPE, temperature=21.0))
    assert result.pressure_drop == pipes.pressure_drop(**PIPE, temperature=21.0)
    assert result.fan_power == pytest.approx(0.02 * result.pressure_drop / 0.25)


def test_flow_of_the_worked_duct(outside):
    # NTU 0.5715 taken over: 80 °C in, wall 60 °C
    outlet = 60 + 20 * (1 - pipes.effectiveness(0.5715))
    outside("pipes.effectiveness", outlet, 71.29, source="Çengel example 8.6", abs=0.01, why="two decimals")
    outside(
        "pipes.effectiveness",
        0.9994 * 0.15 * 1008 * (80 - outlet),
        1316,
        source="Çengel example 8.6",
        rel=0.002,
        why="rounded rates",
    )


def test_flow_brings_heat_in_winter_and_nothing_without_difference():
    winter = pipes.pipe_flow(2.0, 8.0, **PIPE, relative_humidity=0.9)
    assert winter.heat < 0 and winter.condensed == 0 and 2 < winter.outlet < 8
    still = pipes.pipe_flow(8.0, 8.0, **PIPE, relative_humidity=0.5)
    assert still.heat == 0 and still.outlet == 8.0
    many = pipes.pipe_flow([30.0, 2.0], [12.0, 8.0], **PIPE, relative_humidity=0.8)
    one = pipes.pipe_flow(30.0, 12.0, **PIPE, relative_humidity=0.8)
    assert many.heat[0] == pytest.approx(one.heat) and many.condensed[0] == pytest.approx(one.condensed)
    three = pipes.pipe_flow(30.0, 12.0, 0.06, 10.0, 0.1, 3, relative_humidity=0.8)
    assert three.heat == pytest.approx(3 * one.heat) and three.condensed == pytest.approx(3 * one.condensed)
    assert three.outlet == pytest.approx(one.outlet)


@pytest.mark.parametrize(("pressure", "held"), [(101325.0, 0.00874), (79495.0, 0.01117)])
def test_condensation_closes_the_enthalpy(outside, pressure, held):
    # a very long pipe ends saturated at the wall: heat is enthalpy in less out, less that of the water
    result = pipes.pipe_flow(30.0, 12.0, 0.02, 200.0, 0.1, relative_humidity=0.8, pressure=pressure)
    dry = 0.02 * pressure / (287.053 * (21 + 273.15))
    inside = moist_air.enthalpy(30.0, 0.8, pressure) - moist_air.enthalpy(12.0, 1.0, pressure)
    dripped = moist_air.humidity_ratio(30.0, 0.8, pressure) - moist_air.humidity_ratio(12.0, 1.0, pressure)
    outside(
        "pipes.pipe_flow",
        result.heat,
        dry * (inside - dripped * 4186 * 12),
        source="CoolProp's moist air, enthalpy in less out",
        rel=0.01,
        why="constant heat capacities; vapour cools before it drips",
    )
    outside(
        "pipes.pipe_flow",
        result.condensed,
        dry * dripped,
        source="CoolProp's moist air, water in less out",
        rel=1e-6,
        why="the same",
    )
    outside(
        "pipes.pipe_flow",
        result.latent / result.condensed,
        2472e3,
        source="steam tables, 12 °C (from memory)",
        rel=0.001,
        why="four digits",
    )
    # 2,000 m up the pressure is 79,495 Pa: by 0.62195·p_s/(p − p_s) with p_s 1,403 Pa
    outside("pipes.pipe_flow", result.outlet_humidity_ratio, held,
            source="ASHRAE table, saturated air at 12 °C (from memory)",
            rel=0.005, why="three digits")  # fmt: skip
    assert result.heat == pytest.approx(result.sensible + result.latent)
    short = pipes.pipe_flow(30.0, 12.0, **PIPE, relative_humidity=0.8, pressure=pressure)
    assert short.condensed == pytest.approx(
        0.02 * pressure / (287.053 * 294.15) * dripped * pipes.effectiveness(short.ntu)
    )


def test_condensed_only_below_the_dew_point():
    dew = moist_air.dew_point(30.0, 0.5)
    assert pipes.pipe_flow(30.0, dew + 0.1, **PIPE, relative_humidity=0.5).condensed == 0
    assert pipes.pipe_flow(30.0, dew - 0.1, **PIPE, relative_humidity=0.5).condensed > 0


def test_more_pipes_move_more_heat_with_less_fan():
    one = pipes.pipe_flow(30.0, 12.0, 0.08, 10.0, 0.1, 1)
    four = pipes.pipe_flow(30.0, 12.0, 0.08, 10.0, 0.1, 4)
    assert four.heat > one.heat and four.fan_power < one.fan_power / 8


@pytest.mark.parametrize(
    ("function", "bad", "words"),
    [
        (pipes.pipe_friction, dict(reynolds=0.5), "Reynolds number must be between 1 and 1e"),
        (pipes.pipe_friction, dict(reynolds=2e8), "Reynolds number must be between 1 and 1e"),
        (pipes.pipe_friction, dict(reynolds=1e4, corrugated=1), "corrugated must be yes or no"),
        (pipes.pipe_nusselt, dict(reynolds=2e6, prandtl=0.7), "Reynolds number"),
        (pipes.pipe_nusselt, dict(reynolds=0.9, prandtl=0.7), "Reynolds number"),
        (pipes.pipe_nusselt, dict(reynolds=1e4, prandtl=0.4), "Prandtl number must be between 0.5 and 2000"),
        (pipes.pipe_nusselt, dict(reynolds=1e4, prandtl=2001), "Prandtl number must be between 0.5 and 2000"),
        (pipes.pipe_nusselt, dict(reynolds=[1e4, 2e4], prandtl=[0.7] * 3), "same length"),
        (pipes.pipe_nusselt, dict(reynolds=1e4, prandtl=0.7, corrugated="no"), "corrugated must be yes or no"),
        (pipes.effectiveness, dict(ntu=-0.1), "number of transfer units must be at least 0"),
        (pipes.transfer_units, {**PIPE, "flow": 0.0}, "air flow through all pipes must be greater than 0"),
        (pipes.transfer_units, {**PIPE, "flow": 51.0}, "at most 50 m³/s"),
        (
            pipes.transfer_units,
            {**PIPE, "length": 0.0},
            "pipe length must be greater than 0 m and at most 500 m",
        ),
        (pipes.transfer_units, {**PIPE, "length": 501.0}, "pipe length"),
        (pipes.transfer_units, {**PIPE, "diameter": 0.009}, "pipe diameter must be between 0.01 and 2 m"),
        (pipes.transfer_units, {**PIPE, "diameter": 2.1}, "pipe diameter must be between 0.01 and 2 m"),
        (pipes.transfer_units, {**PIPE, "count": 0}, "number of pipes must be between 1 and 10000"),
        (pipes.transfer_units, {**PIPE, "count": 10001}, "number of pipes must be between 1 and 10000"),
        (pipes.transfer_units, {**PIPE, "temperature": 91.0}, "air temperature must be between -60 and 90 °C"),
        (pipes.transfer_units, {**PIPE, "pressure": 49e3}, "air pressure"),
        (pipes.transfer_units, {**PIPE, "soil_resistance": -1.0}, "soil resistance must be between 0 and 100"),
        (pipes.transfer_units, {**PIPE, "soil_resistance": 101.0}, "soil resistance must be between 0 and 100"),
        (pipes.transfer_units, {**PIPE, "length": [1.0, 2.0], "flow": [0.1] * 3}, "same length"),
        (pipes.pipe_conductance, {**PIPE, "flow": True}, "yes or no"),
        (pipes.pressure_drop, {**PIPE, "fittings": -1.0}, "loss of the fittings must be between 0 and 1000"),
        (pipes.pressure_drop, {**PIPE, "fittings": 1001.0}, "loss of the fittings must be between 0 and 1000"),
        (pipes.pressure_drop, {**PIPE, "length": 0.0}, "pipe length"),
        (pipes.pressure_drop, {**PIPE, "length": 501.0}, "pipe length"),
        (pipes.pressure_drop, {**PIPE, "length": [1.0, 2.0], "flow": [0.1] * 3}, "same length"),
        (pipes.fan_power, dict(flow=-0.1, pressure_drop=5.0), "air flow must be between 0 and 50 m³/s"),
        (pipes.fan_power, dict(flow=51, pressure_drop=5.0), "air flow must be between 0 and 50 m³/s"),
        (pipes.fan_power, dict(flow=0.1, pressure_drop=-5.0), "pressure drop must be between 0 and 10000 Pa"),
        (pipes.fan_power, dict(flow=0.1, pressure_drop=10001.0), "pressure drop must be between 0 and 10000 Pa"),
        (pipes.fan_power, dict(flow=0.1, pressure_drop=5.0, efficiency=0.0), "fan efficiency must be greater than 0"),
        (pipes.fan_power, dict(flow=0.1, pressure_drop=5.0, efficiency=1.1), "fan efficiency"),
        (pipes.fan_power, dict(flow=[0.1, 0.2], pressure_drop=[5.0] * 3), "same length"),
        (
            pipes.pipe_flow,
            dict(inlet=91, soil=12, **PIPE),
            "temperature of the air drawn in must be between -60 and 90",
        ),
        (pipes.pipe_flow, dict(inlet=30, soil=-61, **PIPE), "soil temperature must be between -60 and 90"),
        (
            pipes.pipe_flow,
            dict(inlet=30, soil=12, **PIPE, relative_humidity=80),
            "relative humidity .0 to 1. must be between 0 and 1",
        ),
        (
            pipes.pipe_flow,
            dict(inlet=30, soil=12, **PIPE, relative_humidity=-0.1),
            "relative humidity .0 to 1. must be between 0 and 1",
        ),
        (pipes.pipe_flow, dict(inlet=[30, 31], soil=[12] * 3, **PIPE), "same length"),
        (
            pipes.pipe_flow,
            dict(inlet=[30, 31], soil=12, **PIPE, relative_humidity=[0.5] * 3),
            r"same length .*: inlet has \(2,\), soil has \(\), .* relative_humidity has \(3,\)",
        ),
        (
            pipes.pipe_flow,
            dict(inlet=30, soil=[12, 13], **PIPE, efficiency=[0.2] * 3),
            r"same length .*: inlet has \(\), soil has \(2,\), .* efficiency has \(3,\)",
        ),
    ],
)
def test_refusals(function, bad, words):
    with pytest.raises(ValueError, match=words):
        function(**bad)


# --- the soil round the pipe


def test_soil_warming_line_source(outside):
    # E1(0.05) = 2.4679, E1(1) = 0.21938 (Abramowitz & Stegun table 5.1)
    for x, e1 in ((0.05, 2.4679), (1.0, 0.21938)):
        hours = 0.05**2 / (4 * 5e-7 * x) / 3600
        outside(
            "pipe_soil.soil_warming",
            pipe_soil.soil_warming(30.0, 0.05, hours, 1.2, 5e-7),
            30 / (4 * math.pi * 1.2) * e1,
            source="Abramowitz and Stegun table 5.1 (from memory)",
            rel=1e-4,
            why="five digits",
        )
    late = pipe_soil.soil_warming(30.0, 0.05, 2000.0, 1.2, 5e-7) - pipe_soil.soil_warming(30.0, 0.05, 1000.0, 1.2, 5e-7)
    outside(
        "pipe_soil.soil_warming",
        late,
        30 / (4 * math.pi * 1.2) * math.log(2),
        source="late logarithm, Carslaw and Jaeger 10.4",
        rel=1e-3,
        why="the rest of the series has all but died",
    )


def test_neighbours_add_up():
    alone = pipe_soil.soil_warming(30.0, 0.05, 500.0, 1.2, 5e-7)
    beside = pipe_soil.soil_warming(30.0, math.hypot(0.05, 0.4), 500.0, 1.2, 5e-7)
    further = pipe_soil.soil_warming(30.0, math.hypot(0.05, 0.8), 500.0, 1.2, 5e-7)
    got = pipe_soil.soil_warming(30.0, 0.05, 500.0, 1.2, 5e-7, spacing=0.4, neighbours=2)
    assert got == pytest.approx(alone + 2 * beside + 2 * further)
    assert pipe_soil.soil_warming(30.0, 0.05, 500.0, 1.2, 5e-7, spacing=50.0, neighbours=2) == pytest.approx(alone)
    assert pipe_soil.soil_warming(-30.0, 0.05, 500.0, 1.2, 5e-7) == -alone
    assert pipe_soil.soil_warming(30.0, [0.05, 0.1], 500.0, 1.2, 5e-7)[0] == alone


def test_share_radius_keeps_the_area():
    assert math.pi * pipe_soil.share_radius(0.4) ** 2 == pytest.approx(0.16)
    assert math.pi * pipe_soil.share_radius(0.4, 0.6) ** 2 == pytest.approx(0.24)
    assert pipe_soil.share_radius([0.4, 0.8])[1] == pytest.approx(2 * pipe_soil.share_radius(0.4))


def test_rings_hold_the_whole_soil(outside):
    radii = pipe_soil.soil_rings(0.1, 0.3, 12)
    assert radii[0] == 0.05 and radii[-1] == pytest.approx(0.3) and len(radii) == 13
    assert len(pipe_soil.soil_rings(0.1, 0.3)) == 9
    total = pipe_soil.ring_capacities(radii, 1800.0, 1300.0).sum()
    outside(
        "pipe_soil.ring_capacities",
        total,
        math.pi * (0.09 - 0.0025) * 1800 * 1300,
        source="volume of a hollow cylinder",
        rel=1e-9,
        why="exact",
    )
    ways = pipe_soil.ring_conductances(radii, 1.2)
    middle = math.sqrt((radii[-2] ** 2 + 0.09) / 2)
    outside(
        "pipe_soil.ring_conductances",
        np.sum(1 / ways),
        math.log(middle / 0.05) / (2 * math.pi * 1.2),
        source="resistance of a hollow cylinder, Incropera eq. 3.28",
        rel=1e-9,
        why="exact in steady state",
    )


def _course(inlet=30.0, hours=10.0, step=60.0, spacing=0.5, ntu=2.5, rings=30, start=12.0, fan=True):
    radii = pipe_soil.soil_rings(0.1, pipe_soil.share_radius(spacing), rings)
    store = pipe_soil.ring_capacities(radii, 1800.0, 1300.0)
    ways = pipe_soil.ring_conductances(radii, 1.2)
    count = int(hours * 3600 / step)
    course = pipe_soil.soil_course([inlet] * count, [fan] * count, step, 24.0, ntu, 10.0, radii, store, ways, start)
    return course, store, ways


def test_course_against_an_independent_solver(outside):
    course, store, ways = _course()
    way = 1 / (1 / (2.5 * 24.0) + 1 / (ways[0] * 10.0))
    to_air = 24.0 * (1 - math.exp(-way / 24.0)) / 10.0

    def slope(_, t):
        flow = np.concatenate([[to_air * (30.0 - t[0])], ways[1:] * (t[:-1] - t[1:]), [0.0]])
        return (flow[:-1] - flow[1:]) / store

    exact = solve_ivp(slope, (0, 36000), np.full(store.size, 12.0), method="LSODA", rtol=1e-8, atol=1e-8)
    outside("pipe_soil.soil_course", course.rings, exact.y[:, -1], source="scipy's LSODA on the same rings", abs=0.02,
            why="backward Euler of one minute")  # fmt: skip
    # the wall lies between air and first ring: the same heat crosses the half of that ring that is nearer the pipe
    inner = exact.y[0, -1]
    wall = inner + to_air * (30.0 - inner) / ways[0]
    outside("pipe_soil.soil_course", course.wall[-1], wall, source="scipy's LSODA on the same rings", abs=0.02,
            why="backward Euler of one minute")  # fmt: skip
    assert wall - inner > 0.1


def test_course_against_the_line_source(outside):
    # nearly steady heat into wide soil: the wall follows the line source for the mean heat
    course, _, _ = _course(inlet=60.0, ntu=0.05, spacing=3.0, hours=20.0, rings=60)
    heat = course.heat.mean() / 10.0
    outside(
        "pipe_soil.soil_course",
        course.wall[-1] - 12.0,
        pipe_soil.soil_warming(heat, 0.05, 20.0, 1.2, 1.2 / (1800 * 1300)),
        source="line source, Carslaw and Jaeger 10.4",
        rel=0.05,
        why="a pipe of 0.1 m is no line; its heat falls a little",
    )


def test_course_balances_and_tires():
    course, store, _ = _course(step=600.0, rings=8)
    stored = np.sum(store * (course.rings - 12.0)) * 10.0
    assert np.sum(course.heat) * 600.0 == pytest.approx(stored, rel=1e-9)
    assert np.all(np.diff(course.heat) < 0) and np.all(np.diff(course.outlet) > 0)
    assert course.mean[-1] == pytest.approx(12 + stored / 10 / store.sum())
    assert course.outlet[-1] == pytest.approx(30 - course.heat[-1] / 24.0)
    near = _course(spacing=0.2, step=600.0)[0]
    assert near.heat.sum() < 0.8 * _course(spacing=1.0, step=600.0)[0].heat.sum()


def test_course_limits():
    still = _course(fan=False, step=3600.0)[0]
    assert np.all(still.heat == 0) and np.all(still.outlet == 30.0) and still.rings == pytest.approx(np.full(30, 12.0))
    level = _course(inlet=12.0, step=3600.0)[0]
    assert level.heat == pytest.approx(np.zeros(10), abs=1e-9)
    cold = _course(inlet=0.0, step=3600.0)[0]
    assert np.all(cold.heat < 0) and np.all(cold.outlet > 0)
    # the soil ends at the air's temperature if given time
    assert _course(hours=2000.0, step=3600.0, spacing=0.2)[0].mean[-1] == pytest.approx(30.0, abs=0.01)


def test_course_fan_stops():
    radii = pipe_soil.soil_rings(0.1, 0.3, 4)
    parts = radii, pipe_soil.ring_capacities(radii, 1800.0, 1300.0), pipe_soil.ring_conductances(radii, 1.2)
    course = pipe_soil.soil_course([30.0] * 4, [True, True, False, False], 3600.0, 24.0, 2.5, 10.0, *parts, 12.0)
    assert course.heat[1] > 0 and course.heat[2] == 0
    assert course.mean[3] == pytest.approx(course.mean[1]) and course.wall[3] < course.wall[1]


RINGS = dict(radii=[0.05, 0.1], capacities=[5e4], conductances=[5.0])
COURSE = dict(inlet=[30.0], running=[True], step=600.0, capacity_flow=24.0, ntu=2.5, length=10.0, **RINGS, start=12.0)


@pytest.mark.parametrize(
    ("function", "bad", "words"),
    [
        (
            pipe_soil.soil_warming,
            (1001, 0.05, 10, 1.2, 5e-7),
            "heat for each metre of pipe must be between -1000 and 1000",
        ),
        (
            pipe_soil.soil_warming,
            (-1001, 0.05, 10, 1.2, 5e-7),
            "heat for each metre of pipe must be between -1000 and 1000",
        ),
        (
            pipe_soil.soil_warming,
            (10, 0.0, 10, 1.2, 5e-7),
            "distance from the middle of the pipe must be greater than 0",
        ),
        (pipe_soil.soil_warming, (10, 0.05, 0, 1.2, 5e-7), "running time must be greater than 0"),
        (pipe_soil.soil_warming, (10, 0.05, 10, 0.001, 5e-7), "soil conductivity must be between 0.01 and 10"),
        (pipe_soil.soil_warming, (10, 0.05, 10, 11, 5e-7), "soil conductivity must be between 0.01 and 10"),
        (pipe_soil.soil_warming, (10, 0.05, 10, 1.2, 5e-4), "thermal diffusivity of the soil must be between"),
        (pipe_soil.soil_warming, (10, 0.05, 10, 1.2, 5e-9), "thermal diffusivity of the soil must be between"),
        (pipe_soil.soil_warming, (10, 0.05, 10, 1.2, 5e-7, None, 1), "spacing must be given in m"),
        (pipe_soil.soil_warming, (10, 0.05, 10, 1.2, 5e-7, 0.4, 1.5), "must be one whole number"),
        (
            pipe_soil.soil_warming,
            (10, 0.05, 10, 1.2, 5e-7, 0.4, -1),
            "number of neighbours on each side must be between 0 and 500",
        ),
        (
            pipe_soil.soil_warming,
            (10, 0.05, 10, 1.2, 5e-7, 0.4, 501),
            "number of neighbours on each side must be between 0 and 500",
        ),
        (pipe_soil.soil_warming, (10, 0.05, 10, 1.2, 5e-7, 0.0, 1), "pipe spacing must be greater than 0"),
        (pipe_soil.soil_warming, ([10, 20], [0.05] * 3, 10, 1.2, 5e-7), "same length"),
        (pipe_soil.share_radius, (0.0,), "pipe spacing must be greater than 0"),
        (pipe_soil.share_radius, (0.4, 0.0), "height of soil for one layer must be greater than 0"),
        (pipe_soil.share_radius, ([0.4, 0.5], [0.4] * 3), "same length"),
        (pipe_soil.soil_rings, (0.1, 0.05), "radius of the pipe's soil must be greater than 0.05 m"),
        (pipe_soil.soil_rings, (0.005, 0.05), "pipe diameter must be between 0.01 and 2 m"),
        (pipe_soil.soil_rings, (2.1, 5.0), "pipe diameter must be between 0.01 and 2 m"),
        (pipe_soil.soil_rings, (0.1, 0.3, 0), "number of rings must be between 1 and 200"),
        (pipe_soil.soil_rings, (0.1, 0.3, 201), "number of rings must be between 1 and 200"),
        (pipe_soil.soil_rings, (0.1, 0.3, 2.5), "number of rings must be a whole number"),
        (pipe_soil.ring_capacities, ([0.1], 1800, 1300), "at least two that grows outward"),
        (pipe_soil.ring_capacities, ([0.1, 0.1], 1800, 1300), "at least two that grows outward"),
        (pipe_soil.ring_capacities, ([0.0, 0.1], 1800, 1300), "radii of the rings must be greater than 0 m"),
        (pipe_soil.ring_capacities, ([0.1, 0.2], 49, 1300), "density of the soil must be between 50 and 4000"),
        (pipe_soil.ring_capacities, ([0.1, 0.2], 4001, 1300), "density of the soil must be between 50 and 4000"),
        (pipe_soil.ring_capacities, ([0.1, 0.2], 1800, 299), "specific heat of the soil must be between 300 and 5000"),
        (pipe_soil.ring_capacities, ([0.1, 0.2], 1800, 5001), "specific heat of the soil must be between 300 and 5000"),
        (pipe_soil.ring_conductances, ([0.1, 0.2], 0.0), "soil conductivity must be between 0.01 and 10"),
        (pipe_soil.ring_conductances, ([0.2, 0.1], 1.0), "at least two that grows outward"),
    ],
)
def test_soil_refusals(function, bad, words):
    with pytest.raises(ValueError, match=words):
        function(*bad)


@pytest.mark.parametrize(
    ("change", "words"),
    [
        (dict(inlet=[91.0]), "temperature of the air drawn in must be between -60 and 90 °C"),
        (dict(running=[1]), "running must be yes or no"),
        (dict(running=[True, False]), "running must be yes or no"),
        (dict(step=0.5), "time step must be between 1 and 21600 s"),
        (dict(step=21601.0), "time step must be between 1 and 21600 s"),
        (dict(capacity_flow=0.0), "heat capacity flow of the air must be greater than 0"),
        (dict(running=[[True], [True, False]]), "running must be yes or no for each"),
        (dict(running=[1]), r"running must be yes or no .* but it is \[1\]"),
        (dict(running=[True, None]), "running must be yes or no for each"),
        (dict(ntu=0.0), "number of transfer units must be greater than 0"),
        (dict(length=0.0), "pipe length"),
        (dict(length=501.0), "pipe length"),
        (dict(start=-61.0), "soil temperature at the start must be between -60 and 90"),
        (dict(capacities=[0.0]), "heat capacities of the rings must be greater than 0"),
        (dict(conductances=[0.0]), "conductances of the rings must be greater than 0"),
        (dict(conductances=[1.0, 2.0]), "one value for each ring"),
        (dict(capacities=[1.0, 2.0]), "one value for each ring"),
    ],
)
def test_course_refusals(change, words):
    with pytest.raises(ValueError, match=words):
        pipe_soil.soil_course(**{**COURSE, **change})


FLOWS = dict(inlet=30.0, soil=12.0, flow=0.02, length=10.0, diameter=0.1)


@pytest.mark.parametrize(
    ("change", "words"),
    [
        # Re = ρ·v·d/μ of 1e6 in a pipe of 0.1 m is 150 m/s, or 1.2 m³/s
        (dict(flow=5.0), r"air flow must be between 1\.19e-06 and 1\.19 m³/s through 1 of these .* but it is 5 m³/s"),
        (dict(flow=1e-9), r"air flow must be between 1\.19e-06 and 1\.19 m³/s .* but it is 1e-09 m³/s"),
        (dict(flow=[0.02, 5.0]), "but it is 5 m³/s"),
        (dict(flow=0.5, length=500.0), r"air flow must be .* at most 10000 Pa, but it is 0\.5 m³/s, which takes"),
        (dict(flow=[0.02, 0.5], length=500.0), r"at most 10000 Pa, but it is 0\.5 m³/s, which takes"),
        (dict(flow=0.5, length=[1.0, 500.0]), r"at most 10000 Pa, but it is 0\.5 m³/s, which takes"),
        (dict(inlet=70.0, relative_humidity=0.5), "temperature of the air drawn in, .* between -40 and 60 °C"),
        (dict(soil=-50.0, relative_humidity=0.5), "soil temperature, .* between -40 and 60 °C, but it is -50 °C"),
    ],
)
def test_a_flow_is_refused_in_words_of_what_was_given(change, words):
    with pytest.raises(ValueError, match=words) as caught:
        pipes.pipe_flow(**{**FLOWS, **change})
    assert not re.search("Reynolds|pressure drop", str(caught.value))


def test_the_whole_range_of_a_flow_is_answered():
    for flow in (1.2e-6, 0.1):
        assert 12 <= pipes.pipe_flow(**{**FLOWS, "flow": flow}).outlet < 30
    assert pipes.pressure_drop(1.1, 1.0, 0.1) > 10 * pipes.pressure_drop(0.3, 1.0, 0.1)


def test_dry_air_may_be_hotter_and_thinner_than_moist_air_is_tabled_for():
    """Moist air is tabled for −40 to 60 °C and 70 to 105 kPa; where no water counts, that is no limit."""
    result = pipes.pipe_flow(80.0, 12.0, **PIPE, pressure=60e3)
    assert 12 < result.outlet < 80 and result.heat == result.sensible > 0
    assert result.condensed == result.outlet_humidity_ratio == result.latent == 0


def test_defaults_are_those_told():
    """One corrugated pipe at sea level, air of 15 °C, the wall's temperature known; inlet and outlet 0.5 and 1."""
    air = dict(count=1, corrugated=True, temperature=15.0, pressure=101325.0)
    for function in (pipes.transfer_units, pipes.pipe_conductance):
        assert function(**PIPE) == function(**PIPE, **air, soil_resistance=0.0)
    assert pipes.pressure_drop(**PIPE) == pipes.pressure_drop(**PIPE, **air, fittings=1.5)
    del air["temperature"]
    rest = dict(relative_humidity=0.0, soil_resistance=0.0, fittings=1.5, efficiency=0.25)
    assert pipes.pipe_flow(30.0, 12.0, **PIPE) == pipes.pipe_flow(30.0, 12.0, **PIPE, **air, **rest)
    assert pipes.fan_power(0.1, 50.0) == pipes.fan_power(0.1, 50.0, 0.25)


def test_fog_drips_more_than_any_drier_air():
    """Saturated air of 30 °C holds 27.3 g, of 12 °C 8.8 g for each kilogram: the share of 18.5 g that gets there."""
    fog = pipes.pipe_flow(30.0, 12.0, **PIPE, relative_humidity=1.0)
    dry = 0.02 * 101325 / (287.053 * 294.15)
    assert fog.condensed == pytest.approx(dry * 0.0185 * pipes.effectiveness(fog.ntu), rel=0.01)
    both = pipes.pipe_flow(30.0, 12.0, **PIPE, relative_humidity=np.array([0.0, 1.0]))
    assert both.condensed.tolist() == [0.0, pytest.approx(fog.condensed)]

"""Heaters, cables, lamps, compost, people and fuels."""

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.integrate import solve_ivp

from heatlib import other_heat as o
from heatlib import tables

BTU, GALLON, FOOT = 1055.05585262, 3.785411784e-3, 0.3048


def test_electric_heat():
    assert o.electric_heat(150.0) == 150.0
    assert o.electric_heat(150.0, 0.0) == 0.0
    assert o.electric_heat(100.0, 0.5, 0.2) == pytest.approx(40.0)
    assert o.electric_heat([100.0, 200.0], 0.5) == pytest.approx([50.0, 100.0])


def test_people_heat(outside):
    sensible, latent = o.people_heat(3.0)
    source = "ASHRAE handbook, people at light work standing (memory)"
    outside(
        "other_heat.people_heat", [sensible, latent], [225.0, 165.0], source=source, rel=0.05, why="5 W in the table"
    )
    assert np.array(o.people_heat([1.0, 2.0])) == pytest.approx(np.array([[75.0, 150.0], [55.0, 110.0]]))


def test_barrel_heater():
    weak = o.barrel_heater(200.0, 30.0, 5.0, 16.0)
    assert (weak.water, weak.heat, weak.share_of_time, weak.holds) == (17.5, 200.0, 1.0, False)
    strong = o.barrel_heater(1500.0, 30.0, 5.0, 16.0)
    assert (strong.water, strong.heat, strong.holds) == (30.0, 400.0, True)
    assert strong.share_of_time == pytest.approx(400 / 1500)
    just = o.barrel_heater(400.0, 30.0, 5.0, 16.0)
    assert just.holds and just.share_of_time == 1.0
    off = o.barrel_heater(0.0, 30.0, 5.0, 16.0)
    assert (off.water, off.heat, off.share_of_time, off.holds) == (5.0, 0.0, 0.0, False)
    # in a warm room the thermostat stays off and the barrel takes the room's temperature
    warm = o.barrel_heater(1500.0, 10.0, 20.0, 16.0)
    assert (warm.water, warm.heat, warm.share_of_time, warm.holds) == (20.0, 0.0, 0.0, True)
    assert type(strong.water) is float and type(strong.holds) is bool
    both = o.barrel_heater([0.0, 1500.0], 30.0, 5.0, 16.0)
    assert both.water == pytest.approx([5.0, 30.0]) and both.share_of_time == pytest.approx([0.0, 400 / 1500])
    assert list(both.holds) == [False, True] and both.heat == pytest.approx([0.0, 400.0])


def test_warm_up_hours(outside):
    # a drum of 208 L and a heater of 1500 W, almost without loss: 6.2 K an hour
    got = o.warm_up_hours(1500.0, 208 * 4186.0, 5.0, 25.0, 5.0, 1e-3)
    outside(
        "other_heat.warm_up_hours",
        got,
        208 * 4186 * 20 / 1500 / 3600,
        source="m·c·ΔT = P·t",
        rel=1e-3,
        why="loss of mW",
    )
    capacity, way, power, room = 8.7e5, 15.0, 600.0, 2.0
    hit = lambda t, x: x[0] - 30.0  # noqa: E731
    hit.terminal = True
    done = solve_ivp(
        lambda t, x: [(power - way * (x[0] - room)) / capacity], (0, 1e7), [8.0], events=hit, rtol=1e-9, atol=1e-9
    )
    got = o.warm_up_hours(power, capacity, 8.0, 30.0, room, way)
    expected = done.t_events[0][0] / 3600
    outside("other_heat.warm_up_hours", got, expected, source="scipy solve_ivp", rel=1e-6, why="its tolerance")
    assert o.warm_up_hours(600.0, 2 * capacity, 8.0, 30.0, room, way) == pytest.approx(2 * got)
    assert o.warm_up_hours(100.0, capacity, 8.0, 30.0, room, way) == math.inf
    # 20 W hold 10 K over the room at 2 W/K, and never quite get there
    assert o.warm_up_hours(20.0, capacity, 0.0, 10.0, 0.0, 2.0) == math.inf
    assert o.warm_up_hours(0.0, capacity, 8.0, 8.0, 20.0, way) == 0.0
    got = o.warm_up_hours([600.0, 100.0], capacity, 8.0, 30.0, room, way)
    assert got == pytest.approx([o.warm_up_hours(600.0, capacity, 8.0, 30.0, room, way), math.inf])


@given(st.floats(0, 500), st.floats(-20, 40), st.floats(0, 20), st.floats(0.05, 5), st.floats(0.05, 10))
def test_cable_heat_goes_up_or_down(power, room, ground, up, down):
    bed = o.cable_bed(power, room, ground, up, down)
    assert bed.upward + bed.downward == pytest.approx(power, abs=1e-9)
    assert (bed.temperature - room) == pytest.approx(bed.upward * up, abs=1e-9)
    assert (bed.temperature - ground) == pytest.approx(bed.downward * down, abs=1e-9)


def test_cable_bed(outside):
    # 120 W/m² under 0.15 m of soil (1 W/m·K) and a film of 0.13; foam of 2 m²K/W below, 8 °C on both sides
    bed = o.cable_bed(120.0, 8.0, 8.0, 0.28, 2.0)
    expected = 8 + 120 * 0.28 * 2.0 / 2.28
    outside(
        "other_heat.cable_bed", bed.temperature, expected, source="resistances in parallel", rel=1e-9, why="by hand"
    )
    outside(
        "other_heat.cable_bed", bed.upward, 120 * 2.0 / 2.28, source="resistances in parallel", rel=1e-9, why="by hand"
    )


def test_compost_heat(outside):
    # pilot plants recover 4302 kJ for each kg of dry mass; laboratories 1159, commercial plants 7084
    source = "SMITH2017, abstract (memory)"
    got = o.compost_heat(1000.0, 60.0)
    outside(
        "other_heat.compost_heat", got, 1000 * 4302e3 / 60 / 86400, source=source, rel=1e-3, why="two digits in the row"
    )
    row = tables.entry("heat_sources", "compost", "heat_per_dry_mass")
    outside(
        "heat_sources.csv",
        [row.low, row.high],
        [1159e3, 7084e3],
        source=source,
        rel=2e-3,
        why="three digits in the row",
    )
    assert o.compost_heat([500.0, 1000.0], 30.0) == pytest.approx([got, 2 * got])
    assert o.compost_heat(0.0, 60.0) == 0
    assert o.compost_heat(10.0, 10.0, 864e3) == pytest.approx(10.0)


def test_compost_radiator():
    assert o.compost_radiator(800.0, 55.0, 5.0, 30.0) == 800.0
    assert o.compost_radiator(800.0, 55.0, 5.0, 8.0) == 400.0
    assert o.compost_radiator(800.0, 15.0, 20.0, 30.0) == 0.0
    assert o.compost_radiator([100.0, 800.0], 55.0, 5.0, 8.0) == pytest.approx([100.0, 400.0])


def test_fuels_that_saved_the_same_heat(outside):
    # foam on a long house saved 400 gal of oil, or 610 gal of propane, or 558 therms of gas
    source, why = "University of Wisconsin Extension, heat loss", "the three amounts agree to 2 %"
    heat = 558e5 * BTU
    got = o.fuel_needed("heating_oil", heat, 1.0) / 1000
    outside("other_heat.fuel_needed", got, 400 * GALLON, source=source, rel=0.02, why=why)
    got = o.fuel_needed("propane", heat, 1.0) / 1000
    outside("other_heat.fuel_needed", got, 610 * GALLON, source=source, rel=0.02, why=why)
    got = o.fuel_needed("natural_gas", heat, 1.0)
    outside(
        "other_heat.fuel_needed", got, heat / BTU / 1030 * FOOT**3, source="UCONN 1030 Btu/ft³", rel=1e-3, why="digits"
    )
    got = o.fuel_needed("electricity", 3412 * BTU)
    outside("other_heat.fuel_needed", got, 1.0, source="UCONN 3412 Btu/kWh", rel=1e-3, why="four digits")
    got = o.fuel_needed("firewood", 8000 * BTU, 1.0)
    outside("other_heat.fuel_needed", got, 0.45359237, source="Engineering ToolBox 8000 Btu/lb", rel=1e-3, why="digits")


def test_carbon_dioxide(outside):
    # kilograms for each gallon or cubic foot burnt
    source, why = "US EPA emission factors per unit of fuel (memory)", "its heating values differ by 1–2 %"
    for fuel, unit, expected in (
        ("propane", GALLON * 1000, 5.72),
        ("heating_oil", GALLON * 1000, 10.21),
        ("natural_gas", FOOT**3, 0.05444),
    ):
        heat = 3.6e6 * unit * tables.entry("fuels", fuel, "heat_per_unit").value
        outside(
            "other_heat.carbon_dioxide", o.carbon_dioxide(fuel, heat, 1.0), expected, source=source, rel=0.02, why=why
        )
    assert o.carbon_dioxide("propane", 3.6e6, 0.5) == pytest.approx(2 * o.carbon_dioxide("propane", 3.6e6, 1.0))
    assert o.carbon_dioxide("propane", [0.0, 3.6e6], 1.0) == pytest.approx([0.0, 0.2145])


def test_useful_heat_price(outside):
    # propane at 2.50 a gallon in a heater of 80 %: 2.5/(92 500·0.8) for each Btu
    got = o.useful_heat_price("propane", 2.5 / (GALLON * 1000), 0.8)
    expected = 2.5 / (92500 * 0.8) * 3.6e6 / BTU
    outside(
        "other_heat.useful_heat_price", got, expected, source="UCONN 92 500 Btu/gal by hand", rel=1e-3, why="digits"
    )
    assert o.useful_heat_price("propane", 0.0) == 0
    assert o.useful_heat_price("propane", [1.0, 2.0], 0.8) == pytest.approx([0.17458, 0.34916], rel=1e-3)
    assert o.useful_heat_price("propane", 1.0) == pytest.approx(o.useful_heat_price("propane", 1.0, 0.8))


def test_every_fuel_has_its_rows():
    names = tables.keys("fuels")
    assert len(names) == 7
    for name in names:
        row = tables.properties("fuels", name)
        assert set(row) == {"heat_per_unit", "efficiency", "price", "carbon_dioxide"}
        assert "invented" in row["price"].note and row["price"].source == "EXAMPLE"
        assert row["price"].unit == "per " + row["heat_per_unit"].unit.removeprefix("kWh/")
        assert 0 < row["efficiency"].low <= row["efficiency"].value <= row["efficiency"].high <= 1
        assert 0.9 <= row["heat_per_unit"].value < 12 and 0.1 < row["carbon_dioxide"].value < 0.5
        assert all(
            entry.low <= entry.value <= entry.high and entry.source in tables.sources() for entry in row.values()
        )


def test_every_heat_source_has_a_band_and_a_source():
    assert len(tables.keys("heat_sources")) == 5
    for name in tables.keys("heat_sources"):
        for entry in tables.properties("heat_sources", name).values():
            assert entry.low <= entry.value <= entry.high and entry.source in tables.sources()


@pytest.mark.parametrize(
    ("call", "words"),
    [
        (lambda: o.electric_heat(-1.0), "power must be between 0 and 1e[+]06 W, but it is -1 W"),
        (lambda: o.electric_heat(1.001e6), "power"),
        (lambda: o.electric_heat(1.0, 1.01), "share of time"),
        (lambda: o.electric_heat(1.0, -0.1), "share of time"),
        (lambda: o.electric_heat(1.0, 1.0, 1.01), "share of light lost"),
        (lambda: o.electric_heat(1.0, 1.0, -0.1), "share of light lost"),
        (lambda: o.electric_heat([1.0, 2.0], [1.0] * 3), "same length"),
        (lambda: o.people_heat(-1.0), "number of people must be between 0 and 1000"),
        (lambda: o.people_heat(1001.0), "number of people"),
        (lambda: o.barrel_heater(-1.0, 20.0, 5.0, 16.0), "heater power must be between 0 and 20000 W"),
        (lambda: o.barrel_heater(20001.0, 20.0, 5.0, 16.0), "heater power"),
        (lambda: o.barrel_heater(1.0, -1.0, 5.0, 16.0), "thermostat setpoint must be between 0 and 90 °C"),
        (lambda: o.barrel_heater(1.0, 91.0, 5.0, 16.0), "thermostat setpoint"),
        (lambda: o.barrel_heater(1.0, 20.0, -61.0, 16.0), "room temperature"),
        (lambda: o.barrel_heater(1.0, 20.0, 5.0, 0.0), "conductance must be greater than 0 W/K"),
        (lambda: o.barrel_heater(1.0, 20.0, 5.0, 10001.0), "conductance"),
        (lambda: o.barrel_heater([1.0, 2.0], [20.0] * 3, 5.0, 1.0), "same length"),
        (lambda: o.warm_up_hours(1.0, 1e6, 20.0, 10.0, 5.0, 1.0), "a heater can't cool"),
        (lambda: o.warm_up_hours(-1.0, 1e6, 0.0, 10.0, 5.0, 1.0), "heater power"),
        (lambda: o.warm_up_hours(20001.0, 1e6, 0.0, 10.0, 5.0, 1.0), "heater power"),
        (lambda: o.warm_up_hours(1.0, 0.0, 0.0, 10.0, 5.0, 1.0), "heat capacity"),
        (lambda: o.warm_up_hours(1.0, 1.001e10, 0.0, 10.0, 5.0, 1.0), "heat capacity"),
        (lambda: o.warm_up_hours(1.0, 1e6, -1.0, 10.0, 5.0, 1.0), "temperature at the start"),
        (lambda: o.warm_up_hours(1.0, 1e6, 0.0, 91.0, 5.0, 1.0), "wanted temperature"),
        (lambda: o.warm_up_hours(1.0, 1e6, 0.0, 10.0, 91.0, 1.0), "room temperature"),
        (lambda: o.warm_up_hours(1.0, 1e6, 0.0, 10.0, 5.0, 0.0), "conductance"),
        (lambda: o.warm_up_hours(1.0, 1e6, 0.0, 10.0, 5.0, 10001.0), "conductance"),
        (lambda: o.warm_up_hours([1.0, 2.0], 1e6, 0.0, [10.0] * 3, 5.0, 1.0), "same length"),
        (lambda: o.cable_bed(501.0, 8.0, 8.0, 1.0, 1.0), "cable power must be between 0 and 500 W/m²"),
        (lambda: o.cable_bed(-1.0, 8.0, 8.0, 1.0, 1.0), "cable power"),
        (lambda: o.cable_bed(1.0, 91.0, 8.0, 1.0, 1.0), "room temperature"),
        (lambda: o.cable_bed(1.0, 8.0, 91.0, 1.0, 1.0), "ground temperature"),
        (lambda: o.cable_bed(1.0, 8.0, 8.0, 0.0, 1.0), "resistance upward"),
        (lambda: o.cable_bed(1.0, 8.0, 8.0, 101.0, 1.0), "resistance upward"),
        (lambda: o.cable_bed(1.0, 8.0, 8.0, 1.0, 0.0), "resistance downward"),
        (lambda: o.cable_bed(1.0, 8.0, 8.0, 1.0, 101.0), "resistance downward"),
        (lambda: o.cable_bed([1.0, 2.0], [8.0] * 3, 8.0, 1.0, 1.0), "same length"),
        (lambda: o.compost_heat(-1.0, 60.0), "dry mass"),
        (lambda: o.compost_heat(1.001e6, 60.0), "dry mass"),
        (lambda: o.compost_heat(1.0, 4.9), "duration must be between 5 and 730 d"),
        (lambda: o.compost_heat(1.0, 731.0), "duration"),
        (lambda: o.compost_heat(1.0, 60.0, -1.0), "heat per dry mass"),
        (lambda: o.compost_heat(1.0, 60.0, 2.001e7), "heat per dry mass"),
        (lambda: o.compost_heat([1.0, 2.0], [60.0] * 3), "same length"),
        (lambda: o.compost_radiator(-1.0, 55.0, 5.0, 1.0), "heat of the heap"),
        (lambda: o.compost_radiator(1.001e6, 55.0, 5.0, 1.0), "heat of the heap"),
        (lambda: o.compost_radiator(1.0, 91.0, 5.0, 1.0), "heap temperature"),
        (lambda: o.compost_radiator(1.0, 55.0, -61.0, 1.0), "room temperature"),
        (lambda: o.compost_radiator(1.0, 55.0, 5.0, -1.0), "conductance"),
        (lambda: o.compost_radiator(1.0, 55.0, 5.0, 10001.0), "conductance"),
        (lambda: o.compost_radiator([1.0, 2.0], [55.0] * 3, 5.0, 1.0), "same length"),
        (lambda: o.fuel_needed("propan", 1.0), "fuel 'propan' is not known .nearest: propane"),
        (lambda: o.fuel_needed("propane", -1.0), "useful heat"),
        (lambda: o.fuel_needed("propane", 1.001e13), "useful heat"),
        (lambda: o.fuel_needed("propane", 1.0, 0.0), "efficiency must be greater than 0 and at most 1"),
        (lambda: o.fuel_needed("propane", 1.0, 1.01), "efficiency"),
        (lambda: o.fuel_needed("propane", [1.0, 2.0], [0.5] * 3), "same length"),
        (lambda: o.useful_heat_price("propane", -1.0), "price"),
        (lambda: o.useful_heat_price("propane", 10001.0), "price"),
        (lambda: o.carbon_dioxide("propane", -1.0), "useful heat"),
        (lambda: o.carbon_dioxide("propane", 1.001e13), "useful heat"),
        (lambda: o.carbon_dioxide("propane", [1.0, 2.0], [0.5] * 3), "same length"),
    ],
)
def test_refusals(call, words):
    with pytest.raises(ValueError, match=words):
        call()


def test_no_warning_where_a_heater_just_does_not_get_there():
    """200 W hold 10 K over the room at 20 W/K: exactly at the goal, a kelvin below it, and there from the start."""
    with np.errstate(divide="raise", invalid="raise"):
        hours = o.warm_up_hours(200.0, 1e6, [10.0, 10.0, 20.0, 20.5], [20.0, 21.0, 20.0, 20.5], 10.0, 20.0)
    assert hours.tolist() == [math.inf, math.inf, 0.0, 0.0]


def test_a_heater_that_only_just_gets_there():
    """T_end is half a kelvin above the goal: C/(hA)·ln((20 − 10)/(20 − 19.5)) = 1e6/20·ln 20 s."""
    got = o.warm_up_hours(200.0, 1e6, 10.0, 19.5, 10.0, 20.0)
    assert got == pytest.approx(1e6 / 20 * math.log(20) / 3600)


def test_a_heater_of_one_watt_runs_all_the_time():
    tiny = o.barrel_heater(1.0, 30.0, 5.0, 16.0)
    assert (tiny.share_of_time, tiny.heat, tiny.holds) == (1.0, 1.0, False)
    assert o.barrel_heater(0.5, 30.0, 5.0, 16.0).share_of_time == 1.0

"""Heat in stores: against textbooks, IAPWS, and what a barrel weighs."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from heatlib import storage as s

celsius = st.floats(-60, 90)


def test_water_enthalpy_above_freezing(outside):
    from CoolProp.CoolProp import PropsSI

    t = np.arange(5.0, 90.1, 5.0)
    zero = PropsSI("H", "T", 273.16, "P", 101325, "Water") - 0.01 * 4219
    expected = [PropsSI("H", "T", x + 273.15, "P", 101325, "Water") - zero for x in t]
    outside("storage.water_enthalpy", s.water_enthalpy(t), expected, source="IAPWS95", abs=60, why="chords over 10 K")


def test_water_enthalpy_of_ice(outside):
    # IAPWS-06 at 101.325 kPa as the iapws library 1.5.5 computes it [kJ/kg]; liquid at 0 °C has 0.061 there
    t = np.array([-55.0, -40.0, -25.0, -5.0])
    expected = 1000 * (np.array([-437.622, -411.364, -383.481, -343.752]) - 0.061)
    outside("storage.water_enthalpy", s.water_enthalpy(t), expected, source="IAPWS06", abs=120, why="chords over 10 K")
    slope = (s.water_enthalpy(-0.5) - s.water_enthalpy(-1.5)) / 1
    outside(
        "storage.water_enthalpy", slope, 2090, source="OPENSTAX m42224 (ice)", rel=0.02, why="it falls with the cold"
    )


def test_heat_of_freezing(outside):
    freezing = s.water_enthalpy(0.0) - s.water_enthalpy(-1e-9)
    outside("storage.water_enthalpy", freezing, 334e3, source="OPENSTAX m42225", rel=3e-3, why="three digits")
    outside("storage.water_enthalpy", freezing, 333.43e3, source="IAPWS95 minus IAPWS06", rel=1e-4, why="five digits")
    outside(
        "storage.water_enthalpy",
        freezing * 0.450,
        35.9 * 4186,
        source="OPENSTAX m42225 example",
        rel=5e-3,
        why="rounded",
    )
    assert s.FREEZING_HEAT == pytest.approx(freezing, rel=1e-6)


def test_ice_in_a_drink(outside):
    # 0.25 kg of soda at 20 °C and 18 g of ice at 0 °C; the book takes soda as water
    mixed = (0.25 * s.water_enthalpy(20.0) + 0.018 * s.water_enthalpy(-1e-12)) / 0.268
    got = s.water_temperature(mixed)
    outside(
        "storage.water_temperature", got, 13.0, source="OPENSTAX m42225 example (memory)", abs=0.5, why="whole degrees"
    )


def test_water_temperature(outside):
    got = s.water_temperature([-446.078e3, -353.959e3 - 61, -100e3, 0.0, 83.946e3, 251.187e3])
    expected = [-60.0, -10.0, 0.0, 0.0, 20.0, 60.0]
    outside("storage.water_temperature", got, expected, source="IAPWS95 and IAPWS06", abs=1e-3, why="nodes")
    assert s.water_temperature(-333.4e3) == 0 and s.water_temperature(-334e3) < 0 < s.water_temperature(1.0)


@given(celsius)
def test_water_temperature_undoes_water_enthalpy(t):
    assert s.water_temperature(s.water_enthalpy(t)) == pytest.approx(t, abs=1e-9)


@given(celsius, celsius)
def test_warmer_water_holds_more(a, b):
    if a < b:
        assert s.water_enthalpy(a) <= s.water_enthalpy(b)


def test_water_at_zero_is_liquid():
    assert s.water_enthalpy(0.0) == 0.0
    assert s.water_enthalpy(-1e-9) < -333e3
    assert s.water_enthalpy([0.0, 10.0]) == pytest.approx([0.0, s.water_enthalpy(10.0)])


def test_masses(outside):
    got = s.store_mass("water", 0.208)
    outside("storage.store_mass", got, 208, source="COOLPROP (208 L of water)", rel=5e-3, why="whole kilograms")
    outside("storage.store_mass", s.store_mass("concrete", 1.0), 2240, source="ASHRAE2013", rel=1e-9, why="a table row")


def test_heat_capacities_per_volume(outside):
    got = s.heat_capacity("water")
    outside("storage.heat_capacity", got, 4.177e6, source="IAPWS95: 998.2·4184.1", rel=1e-3, why="four digits")
    got = s.heat_capacity("sand_gravel")
    outside("storage.heat_capacity", got, 1950 * 1045, source="EN12524", rel=1e-9, why="table rows")
    got = s.heat_capacity("soil_textbook")
    outside("storage.heat_capacity", got, 0.52 / 1.379e-7, source="INCROPERA example 5.6", rel=1e-3, why="four digits")
    got = s.heat_capacity("brick")
    outside("storage.heat_capacity", got, 1.54e6, source="ASHRAE2013: 1920·800", rel=5e-3, why="three digits")
    got = s.heat_capacity("air") / 3600
    outside(
        "storage.heat_capacity", got, 0.3366, source="COOLPROP, dry air at 20 °C [Wh/m³K]", rel=2e-3, why="4 digits"
    )


def test_heat_content(outside):
    # 0.250 kg of water from 20 to 80 °C
    got = s.heat_content("water", 0.250 / 998.2, 20.0, 80.0)
    outside("storage.heat_content", got, 62.8e3, source="OPENSTAX m42224 example", rel=2e-3, why="constant 4186 there")
    got = s.heat_content("water", 1.0, -10.0, 10.0)
    expected = 998.2 * (10 * 2.06e3 + 333.4e3 + 10 * 4.205e3)
    outside("storage.heat_content", got, expected, source="IAPWS: ice, melting, water", rel=1e-3, why="mean capacities")
    got = s.heat_content("concrete", 2.0, 5.0, 15.0)
    outside("storage.heat_content", got, 2 * 2240 * 900 * 10, source="ASHRAE2013", rel=1e-9, why="closed form")
    got = s.heat_content("granite", 1.0, 5.0, 15.0) / s.store_mass("granite", 1.0) / 10
    outside("storage.heat_content", got, 840, source="OPENSTAX m42224 table", rel=1e-9, why="a table row")


def test_water_holds_twice_what_masonry_does(outside):
    ratio = s.heat_content("water", 1.0, 10.0, 20.0) / s.heat_content("sand_gravel", 1.0, 10.0, 20.0)
    outside(
        "storage.heat_content", ratio, 2.1, source="University of Arizona, solar greenhouses 6", rel=0.1, why="“twice”"
    )
    # "three times the volume in stones": dry stones in air
    ratio = s.heat_capacity("water") / s.bed_heat_capacity("granite", 0.4)
    outside("storage.bed_heat_capacity", ratio, 3.0, source="common practice, no source", rel=0.15, why="rule of thumb")


def test_gravel_bed(outside):
    source = "closed form: shares of stone and filling"
    got = s.bed_density("granite", [0.0, 0.4, 1.0], "water")
    outside("storage.bed_density", got, [2600, 0.6 * 2600 + 0.4 * 998.2, 998.2], source=source, rel=1e-9, why="exact")
    got = s.bed_density("granite", 0.4)
    outside("storage.bed_density", got, 1560.5, source="0.6·2600 and air", rel=1e-4, why="air of 1.2 kg/m³")
    got = s.bed_heat_capacity("granite", 0.4, "water")
    expected = 0.6 * 2600 * 840 + 0.4 * 998.2 * 4184
    outside("storage.bed_heat_capacity", got, expected, source=source, rel=1e-9, why="exact")
    got = s.bed_heat_capacity("granite", 0.4, "air")
    outside("storage.bed_heat_capacity", got, 0.6 * 2600 * 840, source=source, rel=1e-3, why="air adds 0.04 %")
    got = s.bed_heat_content("granite", 2.0, 0.4, -5.0, 15.0, "water")
    water = 0.4 * 2 * 998.2 * (333421 + 62.9e3 + 5 * 2.078e3)
    outside("storage.bed_heat_content", got, 0.6 * 2 * 2600 * 840 * 20 + water, source=source, rel=1e-3, why="chords")
    got = s.bed_heat_content("granite", 2.0, 0.4, 5.0, 15.0)
    outside("storage.bed_heat_content", got, 1.2 * 2600 * 840 * 10, source=source, rel=1e-3, why="air adds 0.04 %")


def test_floor_load(outside):
    footprint = np.pi * 0.58**2 / 4
    got = s.floor_load(208 + 18, footprint)
    outside("storage.floor_load", got, 226 * 9.80665 / 0.26421, source="closed form", rel=1e-4, why="area to 5 digits")
    # 459 lb in 2.84 ft²: 161 lb/ft²
    got = s.floor_load(459 * 0.45359237, 2.844 * 0.3048**2)
    outside("storage.floor_load", got, 161.4 * 47.880, source="closed form in pounds", rel=1e-3, why="4 digits")


@given(
    st.sampled_from(["water", "granite", "soil_wet", "concrete", "brick", "softwood", "air"]), celsius, celsius, celsius
)
def test_heat_adds_up_along_the_way(material, a, b, c):
    direct = s.heat_content(material, 0.2, a, c)
    assert direct == pytest.approx(s.heat_content(material, 0.2, a, b) + s.heat_content(material, 0.2, b, c), abs=1.0)
    assert s.heat_content(material, 0.2, a, a) == 0
    assert s.heat_content(material, 0.4, a, c) == pytest.approx(2 * direct)


def test_array_is_scalar():
    got = s.heat_content("water", [0.1, 0.2], -5.0, [5.0, 40.0])
    assert got == pytest.approx([s.heat_content("water", 0.1, -5.0, 5.0), s.heat_content("water", 0.2, -5.0, 40.0)])
    assert type(s.heat_content("water", 0.1, -5.0, 5.0)) is float
    assert s.water_temperature([1e4, -1e4]) == pytest.approx([s.water_temperature(1e4), s.water_temperature(-1e4)])
    assert type(s.water_temperature(1e4)) is float and type(s.water_enthalpy(4.0)) is float
    assert s.floor_load([1.0, 2.0], 1.0) == pytest.approx([9.80665, 19.6133])


@pytest.mark.parametrize(
    ("call", "words"),
    [
        (lambda: s.water_enthalpy(90.1), "water temperature must be between -60 and 90 °C"),
        (lambda: s.water_enthalpy(-60.1), "water temperature"),
        (lambda: s.water_temperature(-446.1e3), "heat in the water"),
        (lambda: s.water_temperature(377.1e3), "heat in the water"),
        (lambda: s.heat_content("watr", 1.0, 0.0, 1.0), "'watr' is not known .nearest: water"),
        (lambda: s.heat_content("water", -0.1, 0.0, 1.0), "volume must be between 0 and 10000 m³, but it is -0.1 m³"),
        (lambda: s.store_mass("water", 10001.0), "volume"),
        (lambda: s.heat_content("water", 1.0, -61.0, 1.0), "cold temperature"),
        (lambda: s.heat_content("brick", 1.0, 0.0, 91.0), "warm temperature"),
        (lambda: s.heat_content("ice", 1.0, -5.0, 1.0), "ice melts"),
        (lambda: s.heat_content("ice", 1.0, 1.0, -5.0), "ice melts"),
        (lambda: s.bed_density("granite", 1.1), "void fraction must be between 0 and 1"),
        (lambda: s.bed_heat_capacity("granite", -0.1), "void fraction"),
        (lambda: s.bed_heat_content("granite", 1.0, 0.4, 0.0, 1.0, "oil"), "filling of the voids 'oil'"),
        (lambda: s.bed_heat_content("granite", -1.0, 0.4, 0.0, 1.0), "volume"),
        (lambda: s.bed_heat_content("granite", 10001.0, 0.4, 0.0, 1.0), "volume"),
        (lambda: s.bed_heat_content("granite", [1.0, 2.0], [0.3, 0.4, 0.5], 0.0, 1.0), "same length"),
        (
            lambda: s.bed_heat_content("granite", 1.0, [0.3, 0.4], 0.0, [1.0, 2.0, 3.0]),
            r"same length .* void_fraction has \(2,\), .* warm has \(3,\)",
        ),
        (lambda: s.heat_content("water", [1.0, 2.0], [0.3, 0.4, 0.5], 1.0), "same length"),
        (lambda: s.floor_load(-1.0, 1.0), "mass"),
        (lambda: s.floor_load(1.001e7, 1.0), "mass"),
        (lambda: s.floor_load(1.0, 0.0), "footprint must be greater than 0 m² and at most 100000 m²"),
        (lambda: s.floor_load(1.0, 1.001e5), "footprint"),
        (lambda: s.floor_load([1.0, 2.0], [1.0, 2.0, 3.0]), "same length"),
        (lambda: s.store_mass("water", True), "a yes or no"),
    ],
)
def test_refusals(call, words):
    with pytest.raises(ValueError, match=words):
        call()


def test_ice_below_freezing_is_fine():
    assert s.heat_content("ice", 1.0, -10.0, 0.0) == pytest.approx(917 * 2090 * 10)


def test_lists_that_do_not_fit_are_called_by_their_names():
    with pytest.raises(ValueError, match=r"void_fraction has \(2,\), cold has \(3,\)"):
        s.bed_heat_content("granite", 1.0, [0.3, 0.4], [0.0, 1.0, 2.0], 20.0)
    with pytest.raises(ValueError, match=r"volume has \(2,\), .*warm has \(3,\)"):
        s.bed_heat_content("granite", [1.0, 2.0], 0.4, 0.0, [20.0, 21.0, 22.0])

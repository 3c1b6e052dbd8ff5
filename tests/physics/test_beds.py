"""Layers that swing with the day: closed forms of thin and endless layers, and the wave solved on a grid."""

import cmath
import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from heatlib import beds as b

DAY = 86400.0
layers = st.builds(b.Layer, st.floats(0.005, 1.0), st.floats(0.03, 3.0), st.floats(1e4, 4e6))


def on_a_grid(stack, film, behind=None, omega=2 * math.pi / DAY, nodes=1200):
    """Complex admittance of a stack cut into slices, as a network of resistances and capacities."""
    slices = [(one.conductivity * nodes / one.thickness, one.capacity * one.thickness / nodes) for one in stack]
    admittance = 0j if behind is None else 1 / behind
    for conductance, capacity in reversed(slices):
        for _ in range(nodes):
            # half a slice of resistance, its capacity, and the other half
            admittance = 1 / (1 / admittance + 0.5 / conductance) if admittance else 0j
            admittance = admittance + 1j * omega * capacity
            admittance = 1 / (1 / admittance + 0.5 / conductance)
    return admittance / (1 + admittance * film)


@pytest.mark.parametrize("behind", [None, 0.06, 2.0])
@pytest.mark.parametrize("film", [0.0, 0.13])
def test_planted_soil_on_a_bed_of_stone(outside, behind, film):
    stone = b.Layer(0.4, b.bed_conductivity("granite", 0.4, "water"), 2.98e6)
    stack = [b.Layer(0.25, 1.0, 2.3e6), stone]
    got = b.periodic_response(stack, 24.0, film, behind)
    expected = on_a_grid(stack, film, behind)
    source, why = "the wave solved on a grid of 1200 slices a layer", "slices"
    outside("beds.periodic_response", got.admittance, abs(expected), source=source, rel=1e-4, why=why)
    outside(
        "beds.periodic_response", got.capacity, abs(expected) * DAY / (2 * math.pi), source=source, rel=1e-4, why=why
    )
    lead = cmath.phase(expected) * 24 / (2 * math.pi)
    outside("beds.periodic_response", got.lead_hours, lead, source=source, abs=1e-3, why=why)


def test_order_of_layers_matters():
    soil, stone = b.Layer(0.15, 0.8, 2e6), b.Layer(0.3, 2.5, 2.2e6)
    assert b.periodic_response([stone, soil]).capacity > b.periodic_response([soil, stone]).capacity


def test_endless_layer(outside):
    k, c = 1.95, 2.016e6
    got = b.periodic_response([b.Layer(20.0, k, c)], surface_resistance=0.0)
    expected = math.sqrt(k * c * 2 * math.pi / DAY)
    outside("beds.periodic_response", got.admittance, expected, source="ISO13786, endless layer", rel=1e-9, why="exact")
    outside(
        "beds.periodic_response", got.lead_hours, 3.0, source="closed form: an eighth of a day", rel=1e-9, why="exact"
    )
    again = b.periodic_response([b.Layer(3.0, k, c)], surface_resistance=0.0)
    assert again.admittance == pytest.approx(got.admittance, rel=1e-9)
    # so does a poor conductor, two hundred thousand penetration depths thick: no tangent overflows
    poor = b.periodic_response([b.Layer(20.0, 1e-4, 1e7)], 1.0, surface_resistance=0.0)
    assert poor.admittance == pytest.approx(math.sqrt(1e-4 * 1e7 * 2 * math.pi / 3600), rel=1e-12)


def test_thin_layer(outside):
    got = b.periodic_response([b.Layer(0.002, 1.0, 2e6)], surface_resistance=0.0)
    outside("beds.periodic_response", got.capacity, 4000.0, source="closed form C·d", rel=1e-4, why="not quite thin")
    outside(
        "beds.periodic_response",
        got.lead_hours,
        6.0,
        source="closed form: a quarter of a day",
        rel=1e-3,
        why="the same",
    )


def test_slow_swing_is_the_steady_u_value(outside):
    wall = [b.Layer(0.1, 1.0, 1e3), b.Layer(0.05, 0.04, 1e3)]
    got = b.periodic_response(wall, 1e4, 0.13, 0.04)
    expected = 1 / (0.13 + 0.1 + 1.25 + 0.04)
    outside(
        "beds.periodic_response",
        got.admittance,
        expected,
        source="resistances in series",
        rel=1e-6,
        why="nothing stored",
    )


def test_brick_wall(outside):
    # solid brick of 220 mm: conductivity 0.84, 1700 kg/m³, 800 J/kg·K; films 0.12 and 0.06
    got = b.periodic_response([b.Layer(0.22, 0.84, 1700 * 800.0)], 24.0, 0.12, 0.06)
    source = "CIBSE Guide A, table of admittances (memory)"
    outside("beds.periodic_response", got.admittance, 4.6, source=source, rel=0.03, why="two digits, from memory")


@given(st.lists(layers, min_size=1, max_size=4), st.floats(1.0, 1e4))
def test_no_layer_gives_more_than_it_can_hold(stack, hours):
    bare = b.periodic_response(stack, hours, 0.0)
    filmed = b.periodic_response(stack, hours, 0.13)
    assert filmed.admittance <= min(bare.admittance, 1 / 0.13) * (1 + 1e-9)
    assert -1e-9 <= filmed.lead_hours <= hours / 4 + 1e-9
    assert filmed.capacity <= sum(one.capacity * one.thickness for one in stack) * (1 + 1e-6)


def test_penetration_depth(outside):
    got = b.penetration_depth(5e-7, 8760.0)
    outside("beds.penetration_depth", got, 2.240, source="closed form √(D·P/π), a year", rel=1e-3, why="four digits")
    # D = π·10⁻⁶ m²/s and a day of 86 400 s: √0.0864 m
    assert b.penetration_depth(math.pi * 1e-6) == pytest.approx(math.sqrt(0.0864), rel=1e-12)
    # textbook soil: D 1.379e-7 m²/s; a day reaches 6.2 cm
    got = b.penetration_depth(b.thermal_diffusivity(0.52, 2050 * 1840.0))
    outside("beds.penetration_depth", got, 0.06158, source="INCROPERA example 5.6 soil", rel=1e-3, why="four digits")
    outside(
        "beds.thermal_diffusivity",
        b.thermal_diffusivity(0.52, 2050 * 1840.0),
        1.379e-7,
        source="INCROPERA",
        rel=1e-3,
        why="4",
    )
    assert b.penetration_depth(4e-7, 24.0) == pytest.approx(2 * b.penetration_depth(1e-7, 24.0))
    assert b.penetration_depth(1e-7, 96.0) == pytest.approx(2 * b.penetration_depth(1e-7))
    assert b.penetration_depth([1e-7, 4e-7]) == pytest.approx([b.penetration_depth(1e-7), b.penetration_depth(4e-7)])


def test_swing_has_faded_to_a_third_at_the_penetration_depth():
    # march the heat equation in time: explicit steps over 40 days, surface held to a sine
    spread, step, dx = 5e-7, 60.0, 0.01
    ground, deep = np.zeros(120), []
    depth = b.penetration_depth(spread)
    for n in range(int(20 * DAY / step)):
        ground[0] = math.sin(2 * math.pi * n * step / DAY)
        ground[1:-1] += spread * step / dx**2 * (ground[2:] - 2 * ground[1:-1] + ground[:-2])
        if n * step > 19 * DAY:
            deep.append(np.interp(depth, dx * np.arange(120), ground))
    assert (max(deep) - min(deep)) / 2 == pytest.approx(math.exp(-1), rel=0.01)


def test_bed_conductivity(outside):
    got = b.bed_conductivity("granite", [0.4, 0.5])
    outside(
        "beds.bed_conductivity", got, [0.2928, 0.1792], source="JOHANSEN1975, crushed rock", rel=1e-3, why="by hand"
    )
    got = b.bed_conductivity("granite", 0.4, "water")
    outside(
        "beds.bed_conductivity", got, 2.8**0.6 * 0.598**0.4, source="JOHANSEN1975, saturated", rel=1e-9, why="by hand"
    )


@given(st.floats(0.2, 0.6))
def test_bed_conducts_between_its_bounds(void):
    for filling, k in (("air", 0.02587), ("water", 0.598)):
        got = b.bed_conductivity("granite", void, filling)
        assert 1 / ((1 - void) / 2.8 + void / k) < got < (1 - void) * 2.8 + void * k


def test_presets_of_the_swing_are_a_day_and_an_inner_film_of_a_wall():
    wall = [b.Layer(0.1, 1.0, 2e6)]
    assert b.periodic_response(wall) == b.periodic_response(wall, 24.0, 0.13, None)


def test_layer_reads_the_table():
    one = b.layer("concrete", 0.1)
    assert (one.thickness, one.conductivity, one.capacity) == (0.1, 1.95, 2240 * 900)


@pytest.mark.parametrize(
    ("call", "words"),
    [
        (lambda: b.bed_conductivity("granite", 0.19), "void fraction must be between 0.2 and 0.6, but it is 0.19"),
        (lambda: b.bed_conductivity("granite", 0.61), "void fraction"),
        (lambda: b.bed_conductivity("granit", 0.4), "nearest: granite"),
        (lambda: b.bed_conductivity("granite", 0.4, "oil"), "filling of the voids 'oil'"),
        (lambda: b.thermal_diffusivity(0.0, 2e6), "conductivity must be greater than 0 W/m·K"),
        (lambda: b.thermal_diffusivity(501.0, 2e6), "conductivity"),
        (lambda: b.thermal_diffusivity(1.0, 999.0), "heat capacity"),
        (lambda: b.thermal_diffusivity(1.0, 1.001e7), "heat capacity"),
        (lambda: b.thermal_diffusivity([1.0, 2.0], [1e6] * 3), "same length"),
        (lambda: b.penetration_depth(0.99e-8), "diffusivity must be between 1e-08 and 0.0002 m²/s"),
        (lambda: b.penetration_depth(2.01e-4), "diffusivity"),
        (lambda: b.penetration_depth(1e-6, 0.99), "period must be between 1 and 10000 h"),
        (lambda: b.penetration_depth(1e-6, 10001.0), "period"),
        (lambda: b.penetration_depth([1e-6, 1e-7], [24.0] * 3), "same length"),
        (lambda: b.layer("concrete", 0.0), "layer thickness must be greater than 0 m and at most 20 m"),
        (lambda: b.layer("concrete", 20.1), "layer thickness"),
        (lambda: b.periodic_response([]), "at least one Layer"),
        (lambda: b.periodic_response(["concrete"]), "at least one Layer"),
        (lambda: b.periodic_response([b.Layer(0.0, 1.0, 1e6)]), "layer thickness"),
        (lambda: b.periodic_response([b.Layer(20.1, 1.0, 1e6)]), "layer thickness"),
        (lambda: b.periodic_response([b.Layer(0.1, 0.0, 1e6)]), "conductivity"),
        (lambda: b.periodic_response([b.Layer(0.1, 501.0, 1e6)]), "conductivity"),
        (lambda: b.periodic_response([b.Layer(0.1, 1.0, 1.001e7)]), "heat capacity"),
        (lambda: b.periodic_response([b.Layer(0.1, 1.0, 999.0)]), "heat capacity"),
        (lambda: b.periodic_response([b.Layer(0.1, 1.0, 1e6)], 0.9), "period"),
        (lambda: b.periodic_response([b.Layer(0.1, 1.0, 1e6)], 10001.0), "period"),
        (lambda: b.periodic_response([b.Layer(0.1, 1.0, 1e6)], 24.0, -0.1), "surface resistance"),
        (lambda: b.periodic_response([b.Layer(0.1, 1.0, 1e6)], 24.0, 10.1), "surface resistance"),
        (lambda: b.periodic_response([b.Layer(0.1, 1.0, 1e6)], 24.0, 0.1, 0.0), "resistance behind"),
        (lambda: b.periodic_response([b.Layer(0.1, 1.0, 1e6)], 24.0, 0.1, 101.0), "resistance behind"),
    ],
)
def test_refusals(call, words):
    with pytest.raises(ValueError, match=words):
        call()

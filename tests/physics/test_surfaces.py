"""Barrels, beds and walls in still air: textbook plates and pipes, and a view worked out by tracing rays."""

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from heatlib import surfaces as s

SHAPES = ("vertical", "lying", "up", "down")


def test_air_properties(outside):
    from CoolProp.CoolProp import PropsSI

    t = np.array([-20.0, 0.0, 20.0, 40.0])
    k, viscosity, _ = s.air_properties(t, 95e3)
    state = [("T", x + 273.15, "P", 95e3, "Air") for x in t]
    expected = [PropsSI("L", *x) for x in state]
    outside("surfaces.air_properties", k, expected, source="COOLPROP", rel=0.015, why="older fit of measurements")
    expected = [PropsSI("V", *x) / PropsSI("D", *x) for x in state]
    outside("surfaces.air_properties", viscosity, expected, source="COOLPROP", rel=0.01, why="older fit")
    got = s.air_properties(26.85)
    expected = [0.0263, 15.89e-6, 0.707]
    outside(
        "surfaces.air_properties", got, expected, source="INCROPERA table A.4, 300 K", rel=0.015, why="its own fits"
    )


def test_plate_in_three_positions(outside):
    # a plate of 0.6 m by 0.6 m at 90 °C in air at 30 °C: vertical, hot face up, hot face down
    source = "CENGEL example 9.2 (b and c from memory)"
    got = s.natural_convection(90.0, 30.0, 0.6)
    outside("surfaces.natural_convection", got, 5.306, source=source, rel=0.02, why="its air conducts 2 % less")
    area_by_perimeter = 0.36 / 2.4
    got = s.natural_convection(90.0, 30.0, area_by_perimeter, "up")
    outside("surfaces.natural_convection", got, 5.946, source=source, rel=0.1, why="it stays with ¼ past Ra 1e7")
    got = s.natural_convection(90.0, 30.0, area_by_perimeter, "down")
    outside("surfaces.natural_convection", got, 2.971, source=source, rel=0.02, why="its air conducts 2 % less")


def test_hot_water_pipe(outside):
    # 8 cm at 70 °C in a room of 20 °C, 6 m long: 443 W by convection, 553 W by radiation if it were black
    area = math.pi * 0.08 * 6
    source = "CENGEL example 9.1 (memory)"
    got = s.natural_convection(70.0, 20.0, 0.08, "lying")
    outside("surfaces.natural_convection", got, 5.869, source=source, rel=0.02, why="its air conducts 2 % less")
    got = s.surface_coefficient(70.0, 20.0, 0.08, "lying", emissivity=1.0) * area * 50
    outside(
        "surfaces.surface_coefficient", got, 443 + 553, source=source, rel=0.01, why="whole watts, its table of air"
    )


def test_drum(outside):
    # heatlib takes air from the US Standard Atmosphere, the check took it from CoolProp
    got = [s.natural_convection(14 + d / 2, 14 - d / 2, 0.88) for d in (4, 16)]
    outside(
        "surfaces.natural_convection", got, [2.48, 3.80], source="CoolProp and ht", rel=0.02, why="air's properties"
    )
    got = [s.surface_coefficient(14 + d / 2, 14 - d / 2, 0.88) for d in (4, 16)]
    outside("surfaces.surface_coefficient", got, [7.3, 8.6], source="CoolProp and ht", rel=0.02, why="two digits")
    # the handbook's short formula for tall faces, 1.31·ΔT^⅓, is meant for order of size
    got = s.natural_convection(18.0, 10.0, 0.88)
    outside("surfaces.natural_convection", got, 2.62, source="ASHRAE (memory)", rel=0.2, why="short formula")


def test_nusselt_of_churchill_and_chu(outside):
    # the same equation from two textbooks' pages: recover Nu from the coefficient
    from ht import Nu_horizontal_cylinder_Churchill_Chu, Nu_vertical_plate_Churchill

    k, viscosity, prandtl = s.air_properties(15.0)
    grashof = 9.80665 * 10 * 0.6**3 / (288.15 * viscosity**2)
    for shape, law in (("vertical", Nu_vertical_plate_Churchill), ("lying", Nu_horizontal_cylinder_Churchill_Chu)):
        got = s.natural_convection(20.0, 10.0, 0.6, shape)
        expected = law(prandtl, grashof) * k / 0.6
        outside("surfaces.natural_convection", got, expected, source="CHURCHILLCHU1975", rel=1e-9, why="same equation")


@pytest.mark.parametrize("shape", ["vertical", "lying"])
@pytest.mark.parametrize("length", [0.3, 0.58, 0.88, 2.0])
def test_quick_convection(outside, shape, length):
    a, b = s.quick_terms(length, shape)
    pairs = [(air + d, air) for air in (-1.0, 5.0, 15.0, 27.0) for d in (-8.0, -2.0, 0.5, 4.0, 16.0)]
    got = [s.quick_convection(hot - cold, a, b) for hot, cold in pairs]
    expected = [s.natural_convection(hot, cold, length, shape) for hot, cold in pairs]
    why = "film temperature held at 15 °C"
    outside("surfaces.quick_convection", got, expected, source="the full Churchill and Chu", rel=0.05, why=why)
    exact = s.quick_convection(6.0, *s.quick_terms(length, shape, 20.0, 90e3))
    full = s.natural_convection(23.0, 17.0, length, shape, 90e3)
    outside(
        "surfaces.quick_terms", exact, full, source="ht at the same film temperature", rel=1e-3, why="rounded constants"
    )


def test_exposed_fraction(outside):
    # crossed strings for touching cylinders: F = (π/2 − 1)/π, so 2/π of the view is left between two
    got = s.exposed_fraction(0.58, 0.0, [0, 1, 2])
    expected = [1.0, 0.5 + 1 / math.pi, 2 / math.pi]
    outside("surfaces.exposed_fraction", got, expected, source="Hottel's crossed strings", rel=1e-9, why="closed form")
    # radii 1, axes 4 apart: F = (√3 + π/6 − 2)/π
    got = s.exposed_fraction(1.0, 1.0, 1)
    expected = 1 - (math.sqrt(3) + math.pi / 6 - 2) / math.pi
    outside("surfaces.exposed_fraction", got, expected, source="HOWELL C-63", rel=1e-9, why="closed form")


def test_exposed_fraction_by_tracing_rays(outside):
    # rays that leave a circle by Lambert's law and meet the next one or miss it
    draw, diameter, gap, rays = np.random.default_rng(4), 0.58, 0.15, 400_000
    around = draw.uniform(0, 2 * math.pi, rays)
    aside = np.arcsin(draw.uniform(-1, 1, rays))
    start = diameter / 2 * np.stack([np.cos(around), np.sin(around)])
    way = np.stack([np.cos(around + aside), np.sin(around + aside)])
    to_axis = np.array([[diameter + gap], [0.0]]) - start
    along, across = (to_axis * way).sum(0), to_axis[0] * way[1] - to_axis[1] * way[0]
    seen = np.mean((along > 0) & (np.abs(across) < diameter / 2))
    got = s.exposed_fraction(diameter, gap, 1)
    outside("surfaces.exposed_fraction", got, 1 - seen, source="ray tracing", abs=2e-3, why="400 000 random rays")


def test_barrel(outside):
    source = "closed form: cylinder of 0.58 m by 0.88 m"
    got = [s.barrel_surface(0.58, 0.88), s.barrel_surface(0.58, 0.88, "lying")]
    outside("surfaces.barrel_surface", got, [1.86767, 2.13188], source=source, rel=1e-5, why="six digits by hand")
    got = [s.barrel_length(0.58, 0.88), s.barrel_length(0.58, 0.88, "lying")]
    outside("surfaces.barrel_length", got, [0.88, 0.58], source="INCROPERA 9.6.1 and 9.6.3", rel=1e-12, why="given")


@given(st.floats(-30, 60), st.floats(0.05, 25))
def test_convection_has_no_favourite_side(air, difference):
    # upright and round faces don't care which is warmer; level ones swap up with down
    hot, cold = air + difference, air
    for one, other in (("vertical", "vertical"), ("lying", "lying"), ("up", "down")):
        assert s.natural_convection(hot, cold, 0.6, one) == pytest.approx(s.natural_convection(cold, hot, 0.6, other))
    assert s.natural_convection(hot, cold, 0.6, "up") > s.natural_convection(hot, cold, 0.6, "down") > 0


def test_limits():
    for shape in ("up", "down"):
        assert s.natural_convection(12.0, 12.0, 0.5, shape) == 0
    # at no difference the pure conduction term of Churchill and Chu is left: 0.68·k/L and 0.36·k/D
    assert s.natural_convection(12.0, 12.0, 0.5) == pytest.approx(0.825**2 * s.air_properties(12.0)[0] / 0.5)
    assert s.surface_coefficient(12.0, 12.0, 0.5, "up", emissivity=0.0) == 0
    assert s.exposed_fraction(0.58, 100.0, 2) == pytest.approx(1.0, abs=2e-3)
    # black faces at 0 °C: 4σT³ is 4.62
    assert s.surface_coefficient(0.0, 0.0, 1.0, "up", emissivity=1.0) == pytest.approx(4.6225, rel=1e-4)


def test_scaling():
    bare = s.surface_coefficient(20.0, 10.0, 0.88, emissivity=0.0)
    full = s.surface_coefficient(20.0, 10.0, 0.88, emissivity=0.8)
    half = s.surface_coefficient(20.0, 10.0, 0.88, emissivity=0.8, view=0.5)
    assert bare == pytest.approx(s.natural_convection(20.0, 10.0, 0.88))
    assert full - bare == pytest.approx(2 * (half - bare))
    # turbulent on a level face: eight times the difference, twice the coefficient; the size drops out
    assert s.natural_convection(18.0, 2.0, 2.0, "up") == pytest.approx(2 * s.natural_convection(11.0, 9.0, 2.0, "up"))
    assert s.natural_convection(11.0, 9.0, 4.0, "up") == pytest.approx(s.natural_convection(11.0, 9.0, 2.0, "up"))
    # stable: sixteen times the difference, twice the coefficient
    got = s.natural_convection(2.0, 18.0, 1.0, "up")
    assert got == pytest.approx(2 * s.natural_convection(9.5, 10.5, 1.0, "up"))
    # thin air stirs less: Nu goes with the square of the density to the third
    thin, thick = (s.natural_convection(20.0, 10.0, 2.0, "up", p) for p in (60e3, 90e3))
    assert thick / thin == pytest.approx(1.5 ** (2 / 3))
    assert s.barrel_surface(1.2, 1.8) == pytest.approx(4 * s.barrel_surface(0.6, 0.9))
    assert s.quick_convection(-8.0, 0.2, 1.1) == s.quick_convection(8.0, 0.2, 1.1)


@pytest.mark.parametrize("shape", SHAPES)
def test_array_is_scalar(shape):
    hot, cold, size = [20.0, 5.0, 0.0], [10.0, 9.0, -15.0], [0.3, 0.6, 0.9]
    for function in (s.natural_convection, s.surface_coefficient):
        got = function(hot, cold, size, shape)
        one_by_one = [function(*one, shape) for one in zip(hot, cold, size)]
        assert got == pytest.approx(one_by_one)
        assert all(type(value) is float for value in one_by_one)


@pytest.mark.parametrize(
    ("call", "words"),
    [
        (lambda: s.natural_convection(90.1, 20.0, 0.5), "surface temperature must be between -60 and 90 °C"),
        (lambda: s.natural_convection(25.0, -60.1, 0.5), "air temperature"),
        (lambda: s.natural_convection(25.0, 20.0, 0.0), "length must be between 0.01 and 20 m, but it is 0 m"),
        (lambda: s.natural_convection(25.0, 20.0, 20.1), "length"),
        (lambda: s.natural_convection(25.0, 20.0, 0.5, "flat"), "shape 'flat' is not known"),
        (lambda: s.natural_convection(25.0, 20.0, 0.5, "up", 40e3), "air pressure"),
        (lambda: s.natural_convection([1.0, 2.0], [1.0, 2.0, 3.0], 0.5), "same length"),
        (lambda: s.air_properties(91.0), "film temperature"),
        (lambda: s.air_properties(20.0, 111e3), "air pressure"),
        (lambda: s.air_properties([1.0, 2.0], [9e4, 9e4, 9e4]), "same length"),
        (lambda: s.quick_terms(0.5, "up"), "shape 'up'"),
        (lambda: s.quick_terms(0.0099), "length"),
        (lambda: s.quick_terms(20.1), "length"),
        (lambda: s.surface_coefficient(25.0, 20.0, 0.5, emissivity=1.1), "emissivity"),
        (
            lambda: s.surface_coefficient(25.0, 20.0, 0.5, view=1.01),
            "view of the room .0 to 1. must be between 0 and 1",
        ),
        (lambda: s.surface_coefficient(25.0, 20.0, 0.5, view=-0.1), "view of the room"),
        (lambda: s.surface_coefficient(25.0, 20.0, 0.5, view=[0.1, 0.2], emissivity=[0.1] * 3), "same length"),
        (lambda: s.exposed_fraction(0.0, 0.1, 1), "barrel diameter must be greater than 0 m and at most 10 m"),
        (lambda: s.exposed_fraction(10.1, 0.1, 1), "barrel diameter"),
        (lambda: s.exposed_fraction(0.5, -0.1, 1), "gap between barrels"),
        (lambda: s.exposed_fraction(0.5, 101.0, 1), "gap between barrels"),
        (lambda: s.exposed_fraction(0.5, 0.1, 3), "number of neighbours"),
        (lambda: s.exposed_fraction(0.5, 0.1, -1), "number of neighbours"),
        (lambda: s.exposed_fraction(0.5, 0.1, 1.5), "must be 0, 1 or 2, but it is 1.5"),
        (lambda: s.exposed_fraction([0.5, 0.6], [0.1] * 3, 1), "same length"),
        (lambda: s.barrel_length(0.0, 1.0), "barrel diameter"),
        (lambda: s.barrel_length(1.0, 10.1), "barrel height"),
        (lambda: s.barrel_length(1.0, 0.0), "barrel height"),
        (lambda: s.barrel_length(10.1, 1.0), "barrel diameter"),
        (lambda: s.barrel_length(1.0, 1.0, "upright"), "pose 'upright' is not known"),
        (lambda: s.barrel_surface(1.0, 1.0, "upright"), "pose 'upright' is not known"),
        (lambda: s.barrel_surface(0.0, 1.0), "barrel diameter"),
        (lambda: s.barrel_surface(10.1, 1.0), "barrel diameter"),
        (lambda: s.barrel_surface(1.0, 0.0), "barrel height"),
        (lambda: s.barrel_surface(1.0, 10.1), "barrel height"),
        (lambda: s.barrel_surface([1.0, 2.0], [1.0] * 3), "same length"),
    ],
)
def test_refusals(call, words):
    with pytest.raises(ValueError, match=words):
        call()


def test_defaults_are_those_told():
    assert s.quick_terms(0.6) == s.quick_terms(0.6, "vertical", 15.0, 101325.0)
    assert s.natural_convection(20.0, 10.0, 0.6) == s.natural_convection(20.0, 10.0, 0.6, "vertical", 101325.0)
    told = s.surface_coefficient(20.0, 10.0, 0.6, "vertical", 0.9, 1.0, 101325.0)
    assert s.surface_coefficient(20.0, 10.0, 0.6) == told
    assert s.air_properties(20.0) == s.air_properties(20.0, 101325.0)


def test_ends_of_the_ranges_are_allowed():
    assert s.natural_convection(90.0, -60.0, 0.01) > 0 and s.natural_convection(-60.0, 90.0, 20.0) > 0
    assert s.barrel_surface(10.0, 10.0) > 0 and s.barrel_length(10.0, 10.0) == 10
    assert s.exposed_fraction(10.0, 0.0, 0) == 1.0
    assert s.surface_coefficient(25.0, 20.0, 0.5, view=0.0, emissivity=1.0) == s.natural_convection(25.0, 20.0, 0.5)


def test_standard_air(outside):
    """15 °C at 101325 Pa: the sea-level line of the standard atmosphere; Prandtl number with 1006 J/kg·K by hand."""
    expected = [0.025326, 1.4607e-5, 1006 * 1.7894e-5 / 0.025326]
    source = "USSA1976, table IV (from memory)"
    outside("surfaces.air_properties", s.air_properties(15.0), expected, source=source, rel=2e-4, why="five digits")
    # at half the pressure air conducts heat as well and is as sticky, but twice as sticky for its weight
    thin = s.air_properties(15.0, 101325 / 2)
    outside("surfaces.air_properties", thin, expected * np.array([1, 2, 1]), source=source, rel=2e-4, why="five digits")


@pytest.mark.parametrize(("shape", "first", "reference"), [("vertical", 0.825, 0.492), ("lying", 0.6, 0.559)])
def test_quick_terms_by_hand(outside, shape, first, reference):
    """Nu = {a + 0.387·Ra^(1/6)/[1 + (b/Pr)^(9/16)]^(8/27)}², with air of 15 °C, one kelvin and half a metre."""
    k, viscosity, prandtl = s.air_properties(15.0)
    rayleigh = prandtl * 9.80665 * 0.5**3 / (288.15 * viscosity**2)
    nusselt = (first + 0.387 * rayleigh ** (1 / 6) / (1 + (reference / prandtl) ** (9 / 16)) ** (8 / 27)) ** 2
    got = s.quick_convection(1.0, *s.quick_terms(0.5, shape))
    outside("surfaces.quick_terms", got, nusselt * k / 0.5, source="CHURCHILLCHU1975 by hand", rel=1e-9, why="exact")

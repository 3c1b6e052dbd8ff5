"""Frost in wet soil against limits of Neumann's solution and an independent enthalpy model."""

import math

import numpy as np
import pytest

from heatlib import frost

FROZEN, THAWED, LATENT = (2.0, 2.0e6), (1.2, 2.6e6), 100e6


def test_freezing_index():
    assert frost.freezing_index([5.0, -10.0, -10.0, 3.0, -4.0, 9.0]) == 21.0
    assert frost.freezing_index([5.0, 6.0]) == 0.0
    assert frost.freezing_index([-5.0, 20.0, -3.0, -3.0]) == 6.0
    assert frost.freezing_index(-7.0) == 7.0


def test_latent_heat(outside):
    outside(
        "frost.latent_heat_of_soil",
        frost.latent_heat_of_soil(1500.0, 0.2),
        1500 * 0.2 * 334e3,
        source="OpenStax table, 334 kJ/kg",
        rel=0.003,
        why="334 is rounded",
    )
    assert frost.latent_heat_of_soil([1500.0, 3000.0], 0.2)[1] == 2 * frost.latent_heat_of_soil(1500.0, 0.2)
    assert frost.latent_heat_of_soil(1500.0, 0.0) == 0


def test_stefan(outside):
    outside(
        "frost.stefan_depth",
        frost.stefan_depth(500.0, 2.0, 100e6),
        (2 * 2.0 * 500 * 86400 / 100e6) ** 0.5,
        source="Stefan's formula by hand",
        rel=1e-12,
        why="exact",
    )
    assert frost.stefan_depth([500.0, 2000.0, 0.0], 2.0, 100e6).tolist() == pytest.approx(
        [1.31453, 2.62907, 0.0], rel=1e-5
    )


def test_neumann_limits(outside):
    big = frost.freezing_depth(30, -10.0, 0.0, FROZEN, THAWED, 1e12)
    outside(
        "frost.freezing_depth",
        big,
        frost.stefan_depth(300.0, 2.0, 1e12),
        source="Stefan formula, much latent heat",
        rel=1e-4,
        why="the correction is of the order of cρΔT/L",
    )
    same = (0.52, 2050 * 1840.0)
    outside(
        "frost.freezing_depth",
        frost.freezing_depth(60, -15.0, 20.0, same, same, 1.0),
        0.677,
        source="Incropera example 5.6, no latent heat",
        rel=0.001,
        why="three decimals",
    )


@pytest.mark.parametrize(
    ("below", "above", "frozen", "thawed", "latent"),
    [
        (10.0, 5.0, FROZEN, THAWED, LATENT),
        (25.0, 12.0, (1.0, 1.5e6), (2.2, 3.1e6), 3e7),
        (3.0, 0.5, (2.6, 1.9e6), (0.6, 2.9e6), 2e8),
    ],
)
def test_neumann_by_the_textbooks_equation(outside, below, above, frozen, thawed, latent):
    # Carslaw and Jaeger write it with erfc, divided by k1·below/√(π·a1·t); both soils differ in everything
    (k1, c1), (k2, c2), seconds = frozen, thawed, 20 * 86400.0
    depth = frost.freezing_depth(20, -below, above, frozen, thawed, latent)
    kappa, pace = depth / (2 * math.sqrt(k1 / c1 * seconds)), k1 / c1 / (k2 / c2)
    leaves = math.exp(-(kappa**2)) / math.erf(kappa)
    comes = k2 / k1 * math.sqrt(pace) * above / below * math.exp(-(kappa**2) * pace)
    outside(
        "frost.freezing_depth",
        leaves - comes / math.erfc(kappa * math.sqrt(pace)),
        math.sqrt(math.pi) * kappa * latent / (c1 * below),
        source="Carslaw and Jaeger 11.2, equation for λ (from memory)",
        rel=1e-9,
        why="a root found to 1e-13",
    )


def test_neumann_against_an_enthalpy_model(outside):
    """Explicit finite volumes on enthalpy: knows nothing of the closed form."""
    dx, dt, days = 0.02, 80.0, 30
    heat = np.full(200, LATENT + THAWED[1] * 5.0)
    for _ in range(int(days * 86400 / dt)):
        t = np.where(heat < 0, heat / FROZEN[1], np.where(heat > LATENT, (heat - LATENT) / THAWED[1], 0.0))
        half = dx / 2 / np.where(heat < LATENT / 2, FROZEN[0], THAWED[0])
        flow = np.concatenate([[(-10.0 - t[0]) / half[0]], (t[:-1] - t[1:]) / (half[:-1] + half[1:]), [0.0]])
        heat += (flow[:-1] - flow[1:]) * dt / dx
    depth = np.sum(np.clip(1 - heat / LATENT, 0, 1)) * dx
    outside(
        "frost.freezing_depth",
        frost.freezing_depth(days, -10.0, 5.0, FROZEN, THAWED, LATENT),
        depth,
        source="explicit enthalpy model, 2 cm cells",
        rel=0.02,
        why="the front jumps from cell to cell",
    )


def test_freezing_depth_laws():
    one = frost.freezing_depth(10, -10.0, 5.0, FROZEN, THAWED, LATENT)
    assert frost.freezing_depth([10, 40, 0], -10.0, 5.0, FROZEN, THAWED, LATENT).tolist() == pytest.approx(
        [one, 2 * one, 0]
    )
    assert frost.freezing_depth(10, 0.0, 5.0, FROZEN, THAWED, LATENT) == 0.0
    assert (
        frost.freezing_depth(10, -20.0, 5.0, FROZEN, THAWED, LATENT)
        > one
        > frost.freezing_depth(10, -10.0, 9.0, FROZEN, THAWED, LATENT)
    )


BASE = dict(days=10, surface=-10.0, start=5.0, frozen=FROZEN, thawed=THAWED, latent_heat=LATENT)


@pytest.mark.parametrize(
    ("change", "words"),
    [
        (dict(days=-1), "length of the cold must be between 0 and 365"),
        (dict(days=366), "length of the cold"),
        (dict(surface=-61.0), "soil surface temperature must be between -60 and 90"),
        (dict(start=-0.1), "soil temperature before the cold must be between 0 and 90"),
        (dict(start=91.0), "soil temperature before"),
        (dict(latent_heat=0.0), "latent heat of the soil must be greater than 0"),
        (dict(surface=[-1.0, -2.0]), "must be one number"),
        (dict(start=[1.0, 2.0]), "must be one number"),
        (dict(latent_heat=[1.0]), "must be one number"),
        (dict(frozen=2.0), "frozen soil must be two numbers"),
        (dict(thawed=(1.0, 2e6, 3.0)), "thawed soil must be two numbers"),
        (dict(frozen=(0.0, 2e6)), "conductivity of the frozen soil must be between 0.01 and 10"),
        (dict(frozen=(11.0, 2e6)), "conductivity of the frozen soil must be between 0.01 and 10"),
        (dict(thawed=(1.0, 9e4)), "heat capacity of the thawed soil must be between"),
        (dict(thawed=(1.0, 2e7)), "heat capacity of the thawed soil must be between"),
    ],
)
def test_freezing_depth_refusals(change, words):
    with pytest.raises(ValueError, match=words):
        frost.freezing_depth(**{**BASE, **change})


@pytest.mark.parametrize(
    ("function", "bad", "words"),
    [
        (frost.freezing_index, ([91.0],), "daily mean temperature must be between -60 and 90"),
        (frost.freezing_index, ([-61.0],), "daily mean temperature must be between -60 and 90"),
        (frost.latent_heat_of_soil, (99.0, 0.2), "dry density of the soil must be between 100 and 3000"),
        (frost.latent_heat_of_soil, (3001.0, 0.2), "dry density of the soil must be between 100 and 3000"),
        (frost.latent_heat_of_soil, (1500.0, -0.1), "water content by dry mass must be between 0 and 5"),
        (frost.latent_heat_of_soil, (1500.0, 5.1), "water content by dry mass must be between 0 and 5"),
        (frost.latent_heat_of_soil, ([1500.0, 1600.0], [0.1] * 3), "same length"),
        (frost.stefan_depth, (-1.0, 2.0, 1e8), "freezing index must be between 0 and 10000"),
        (frost.stefan_depth, (10001.0, 2.0, 1e8), "freezing index must be between 0 and 10000"),
        (frost.stefan_depth, (500.0, 0.0, 1e8), "conductivity of the frozen soil must be between 0.01 and 10"),
        (frost.stefan_depth, (500.0, 11.0, 1e8), "conductivity of the frozen soil must be between 0.01 and 10"),
        (frost.stefan_depth, (500.0, 2.0, 0.0), "latent heat of the soil must be greater than 0"),
        (frost.stefan_depth, ([500.0, 600.0], [2.0] * 3, 1e8), "same length"),
    ],
)
def test_refusals(function, bad, words):
    with pytest.raises(ValueError, match=words):
        function(*bad)

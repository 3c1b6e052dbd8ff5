"""The ground against ISO 13370, an old table of floors, energy codes, and closed forms of heat conduction."""

import math

import numpy as np
import pytest

from heatlib import ground, tables

FOOT_FACTOR = 1.730735
"""1 Btu/h·ft·°F in W/m·K, worked out from 1055.056 J, 0.3048 m and 5/9 K by hand."""


def test_slab_u_value_by_edge_to_area(outside):
    ratios = np.array([0.1, 0.2, 0.4, 1.0])
    outside(
        "ground.slab_u_value",
        ground.slab_u_value(100.0, 100.0 * ratios),
        [0.22, 0.37, 0.60, 1.05],
        source="CIBSE Guide A table of solid floors, clay, 0.3 m walls (from memory)",
        abs=0.005,
        why="the table is printed to two decimals",
    )
    outside(
        "ground.slab_u_value",
        ground.slab_u_value(100.0, 100.0 * ratios, floor_resistance=1.0),
        [0.158, 0.247, 0.359, 0.495],
        source="ISO 13370 equations worked by hand with d = 2.115 m",
        abs=0.0006,
        why="rounded to three decimals",
    )


def test_slab_u_value_old_table(outside):
    lengths, widths = np.array([60, 30, 30, 15, 15.0]), np.array([60, 30, 7.5, 15, 7.5])
    got = ground.slab_u_value(lengths * widths, 2 * (lengths + widths))
    outside(
        "ground.slab_u_value",
        got,
        [0.15, 0.26, 0.55, 0.45, 0.62],
        source="IHVE Guide A3 1977, solid floors, four edges",
        rel=0.07,
        why="another theory (Macey) with other soil; table of two digits",
    )
    outside(
        "ground.slab_u_value",
        ground.slab_u_value(9.0, 12.0),
        1.47,
        source="IHVE Guide A3 1977, 3 × 3 m",
        rel=0.20,
        why="the two theories part for very small floors",
    )


def test_slab_well_insulated_branch(outside):
    # B = 2·20/20 = 2, d = 0.3 + 1.5·(0.21 + 4) = 6.615 > B: U = 1.5/(0.457·2 + 6.615)
    outside(
        "ground.slab_u_value",
        ground.slab_u_value(20.0, 20.0, floor_resistance=4.0),
        1.5 / 7.529,
        source="ISO 13370, well-insulated slab, by hand",
        rel=1e-9,
        why="the same arithmetic",
    )
    # a floor with d just at B takes the insulated form: d = 0.3 + 2·(0.21 + R) = 2 for R = 0.64
    assert ground.slab_u_value(20.0, 20.0, 2.0, floor_resistance=0.64) == pytest.approx(2 / (0.457 * 2 + 2), rel=1e-9)


def test_a_floor_as_thick_as_wide_counts_as_well_insulated(outside):
    # ISO 13370 takes the second form from d = B on; there the two miss each other by 1.4e-4. B = 2·area/2 = d
    thick = 0.3 + 1.5 * (0.17 + 0.04)
    outside(
        "ground.slab_u_value",
        ground.slab_u_value(thick, 2.0),
        1.5 / (0.457 * thick + thick),
        source="ISO 13370, well-insulated slab, by hand",
        rel=1e-9,
        why="the same arithmetic",
    )


def test_slab_limits_and_scaling():
    assert ground.slab_u_value(20.0, 20.0, floor_resistance=30.0) == pytest.approx(1 / 30.21, rel=0.03)
    # the same equivalent thickness (0.3 + 2·0.21 = 0.3 + 1·0.42) with half the conductivity: half the U-value
    small = ground.slab_u_value(20.0, 20.0, 2.0, 0.3, 0.0)
    large = ground.slab_u_value(20.0, 20.0, 1.0, 0.3, 0.21)
    assert large == pytest.approx(small / 2, rel=1e-12)


def test_slab_with_edge_insulation():
    bare = ground.slab_u_value(20.0, 20.0)
    assert ground.slab_u_value(20.0, 20.0, edge=-0.2) == pytest.approx(bare - 0.2, rel=1e-12)  # 2ψ/B with B = 2
    with pytest.raises(ValueError, match="smaller than the whole loss"):
        ground.slab_u_value(20.0, 20.0, edge=-5.0)
    # 2ψ/B is −U: the floor would lose nothing at all
    with pytest.raises(ValueError, match="smaller than the whole loss"):
        ground.slab_u_value(20.0, 20.0, edge=-bare)
    with pytest.raises(ValueError, match="edge insulation effect"):
        ground.slab_u_value(20.0, 20.0, edge=0.1)


@pytest.mark.parametrize(
    ("bad", "words"),
    [
        (dict(area=0.0, perimeter=10.0), "floor area must be greater than 0 m²"),
        (dict(area=10.0, perimeter=-1.0), "floor perimeter must be greater than 0 m"),
        (dict(area=1000.0, perimeter=10.0), "far too short"),
        (dict(area=10.0, perimeter=14.0, conductivity=0.0), "soil conductivity must be between 0.01 and 10"),
        (dict(area=10.0, perimeter=14.0, wall_thickness=2.1), "wall thickness must be between 0 and 2 m"),
        (dict(area=10.0, perimeter=14.0, floor_resistance=-1.0), "floor resistance must be between 0 and 30"),
        (dict(area=10.0, perimeter=14.0, floor_resistance=31.0), "floor resistance must be between 0 and 30"),
        (dict(area=[10.0, 20.0], perimeter=[14.0, 15.0, 16.0]), "same length"),
        (dict(area=10.0, perimeter=14.0, conductivity=[1.0, 2.0], wall_thickness=[0.1, 0.2, 0.3]), "same length"),
        (dict(area=10.0, perimeter=[14.0] * 3, conductivity=[1.0, 2.0]), r"same length .* conductivity has \(2,\)"),
    ],
)
def test_slab_refusals(bad, words):
    with pytest.raises(ValueError, match=words):
        ground.slab_u_value(**bad)


def test_characteristic_dimension_of_a_strip_and_a_square():
    assert ground.characteristic_dimension(36.0, 24.0) == 3.0  # a square's is half its side
    assert ground.characteristic_dimension(100.0, 2 * 50.0) == 2.0
    assert ground.characteristic_dimension([36.0, 72.0], [24.0, 24.0]).tolist() == [3.0, 6.0]
    edge = 0.1 * 2 * math.sqrt(math.pi * 100)
    assert ground.characteristic_dimension(100.0, edge * 1.001) > 0
    with pytest.raises(ValueError, match=r"3\.54 m is far too short"):
        ground.characteristic_dimension([1.0, 100.0], [5.0, 3.54])


def test_edge_insulation_by_hand(outside):
    # d = 0.3 + 1.5·0.21 = 0.615; d' = 1.5·2 − 0.05 = 2.95
    flat = -1.5 / math.pi * (math.log(1 / 0.615 + 1) - math.log(1 / 3.565 + 1))
    deep = -1.5 / math.pi * (math.log(1.2 / 0.615 + 1) - math.log(1.2 / 3.565 + 1))
    outside(
        "ground.edge_insulation",
        [ground.edge_insulation("horizontal", 1.0, 2.0), ground.edge_insulation("vertical", 0.6, 2.0)],
        [flat, deep],
        source="ISO 13370 edge insulation equations, by hand",
        rel=1e-9,
        why="the same arithmetic",
    )


def test_edge_insulation_against_energy_code(outside):
    # a house of 10 × 10 m on soil of 1.3 W/m·K, F-factor times perimeter against U times area
    area, perimeter, soil = 100.0, 40.0, 1.3
    bare = ground.slab_u_value(area, perimeter, soil, 0.2)
    psi = ground.edge_insulation("vertical", 0.6096, 10 * 0.1761102, 0.05, soil, 0.2)
    saved = (bare - ground.slab_u_value(area, perimeter, soil, 0.2, edge=psi)) * area / perimeter
    outside(
        "ground.edge_insulation",
        saved,
        (0.73 - 0.54) * FOOT_FACTOR,
        source="WAC 51-11C-61061, 2 ft vertical R-10",
        rel=0.35,
        why="codes list F-factors from another model for any size of house",
    )
    outside(
        "ground.slab_u_value",
        bare * area / perimeter,
        0.73 * FOOT_FACTOR,
        source="WAC 51-11C-61061, uninsulated",
        rel=0.15,
        why="a factor by edge alone cannot hold for every size",
    )


def test_edge_insulation_laws():
    assert ground.edge_insulation("horizontal", 0.0, 2.0) == 0.0
    assert ground.edge_insulation("vertical", 0.6, 2.0) < ground.edge_insulation("vertical", 0.3, 2.0) < 0
    several = ground.edge_insulation("vertical", [0.3, 0.6], 2.0)
    assert several.tolist() == [ground.edge_insulation("vertical", w, 2.0) for w in (0.3, 0.6)]
    # insulation no better than soil changes nothing: 0.5 m of soil of 2 W/m·K has exactly 0.25 m²K/W
    assert ground.edge_insulation("vertical", 0.6, 0.25, 0.5, 2.0) == 0.0
    assert ground.edge_insulation("vertical", 0.6, 0.05 / 1.5, 0.05) == pytest.approx(0.0, abs=1e-12)
    assert ground.edge_insulation("vertical", 0.6, 2.0, floor_resistance=5.0) > ground.edge_insulation(
        "vertical", 0.6, 2.0
    )


@pytest.mark.parametrize(
    ("bad", "words"),
    [
        (("sideways", 0.6, 2.0), "edge insulation position 'sideways' is not known"),
        (("vertical", 5.1, 2.0), "width or depth of the edge insulation must be between 0 and 5 m"),
        (("vertical", -0.1, 2.0), "width or depth of the edge insulation must be between 0 and 5 m"),
        (("vertical", 0.6, 31.0), "resistance of the edge insulation must be between 0 and 30"),
        (("vertical", 0.6, 2.0, 1.1), "thickness of the edge insulation must be between 0 and 1 m"),
        (("vertical", 0.6, 0.01, 0.05), "more than that of the soil"),
        (("vertical", 0.6, 2.0, 0.05, 11.0), "soil conductivity must be between 0.01 and 10"),
        (("vertical", [0.1, 0.2], [1.0, 2.0, 3.0]), "same length"),
        (("vertical", [0.6] * 3, 2.0, 0.05, [1.5, 2.0]), r"same length .* conductivity has \(2,\)"),
    ],
)
def test_edge_insulation_refusals(bad, words):
    with pytest.raises(ValueError, match=words):
        ground.edge_insulation(*bad)


CODE = {
    "uninsulated": 0.73, "vertical_2ft_r5": 0.58, "vertical_2ft_r10": 0.54, "vertical_2ft_r15": 0.52,
    "horizontal_2ft_r5": 0.70, "horizontal_2ft_r10": 0.70, "horizontal_2ft_r15": 0.69,
    "horizontal_4ft_r5": 0.67, "horizontal_4ft_r10": 0.64, "horizontal_4ft_r15": 0.63, "heated_uninsulated": 0.84,
}  # fmt: skip


def test_edge_factors_typed_again(outside):
    assert set(tables.keys("edge_factors")) == set(CODE)
    outside(
        "ground.edge_factor",
        [ground.edge_factor(key) for key in CODE],
        [v * FOOT_FACTOR for v in CODE.values()],
        source="WAC 51-11C-61061",
        abs=1e-4,
        why="the table keeps four decimals",
    )
    with pytest.raises(ValueError, match="nearest: "):
        ground.edge_factor("uninsulatd")


def test_edge_heat_loss():
    assert ground.edge_heat_loss(19.2, 1.2634, 5.0, -12.0) == pytest.approx(19.2 * 1.2634 * 17)
    assert ground.edge_heat_loss(19.2, 1.2634, 5.0, 5.0) == 0
    assert ground.edge_heat_loss(19.2, 1.0, 0.0, 10.0) == -192.0
    assert ground.edge_heat_loss([10.0, 20.0], 1.0, 5.0, 0.0).tolist() == [50.0, 100.0]
    assert ground.edge_heat_loss(0.0, 10.0, 5.0, 0.0) == 0.0
    for bad, words in [
        ((-1.0, 1.0, 5.0, 0.0), "floor perimeter"),
        ((1.0, 10.1, 5.0, 0.0), "edge factor must be between 0 and 10"),
        ((1.0, 1.0, 91.0, 0.0), "inside temperature must be between -60 and 90 °C"),
        ((1.0, 1.0, 5.0, -61.0), "outside temperature must be between -60 and 90 °C"),
        (([1.0, 2.0], [1.0, 2.0, 3.0], 5.0, 0.0), "same length"),
    ]:
        with pytest.raises(ValueError, match=words):
            ground.edge_heat_loss(*bad)


def test_damping_depth_and_lag(outside):
    outside(
        "ground.damping_depth",
        ground.damping_depth(5e-7),
        2.240,
        source="closed form √(2a/ω), 365 days",
        rel=0.001,
        why="a year of 365.25 days and three decimals",
    )
    outside(
        "ground.wave_lag",
        ground.wave_lag(2.0, 5e-7) / 86400,
        51.9,
        source="closed form z/d·365/2π",
        rel=0.001,
        why="rounded to a tenth of a day",
    )
    outside(
        "ground.damping_depth",
        ground.damping_depth(1.379e-7, 86400.0),
        math.sqrt(2 * 1.379e-7 / 7.2722e-5),
        source="closed form with the earth's 7.272e-5 rad/s",
        rel=1e-4,
        why="five digits of the angular speed",
    )
    assert ground.damping_depth(4e-6) == pytest.approx(2 * ground.damping_depth(1e-6))
    assert ground.wave_lag([0.0, 1.0, 2.0], 5e-7)[2] == pytest.approx(2 * ground.wave_lag(1.0, 5e-7))
    # one wavelength down the wave is a whole period late
    assert ground.wave_lag(2 * math.pi * ground.damping_depth(5e-7, 86400.0), 5e-7, 86400.0) == pytest.approx(86400)


@pytest.mark.parametrize(
    ("function", "bad", "words"),
    [
        (ground.damping_depth, (9e-9,), "thermal diffusivity of the soil must be between 1e-08 and 1e-05"),
        (ground.damping_depth, (2e-5,), "thermal diffusivity of the soil must be between 1e-08 and 1e-05"),
        (ground.damping_depth, (5e-7, 0.0), "period of the wave must be greater than 0 s"),
        (ground.damping_depth, ([5e-7, 6e-7], [1.0, 2.0, 3.0]), "same length"),
        (ground.wave_lag, (-0.1, 5e-7), "depth must be between 0 and 50 m"),
        (ground.wave_lag, (50.1, 5e-7), "depth must be between 0 and 50 m"),
        (ground.wave_lag, ([1.0, 2.0], [5e-7, 5e-7, 6e-7]), "same length"),
    ],
)
def test_wave_refusals(function, bad, words):
    with pytest.raises(ValueError, match=words):
        function(*bad)


def test_soil_temperature_damped_wave(outside):
    swing = 7.0 - ground.soil_temperature(2.0, 35 + 51.9, 7.0, 12.0, 35, 5e-7)
    outside(
        "ground.soil_temperature",
        swing / 12.0,
        0.410,
        source="closed form exp(−2/2.240) at its own coldest day",
        rel=0.002,
        why="three decimals",
    )
    outside(
        "ground.soil_temperature",
        ground.soil_temperature(0.0, [35, 35 + 365.25 / 4, 35 + 365.25 / 2], 7.0, 12.0, 35),
        [-5.0, 7.0, 19.0],
        source="cosine at its lowest, middle and highest",
        abs=1e-9,
        why="exact",
    )


def test_soil_temperature_obeys_the_heat_equation():
    a, h, dt = 6e-7, 0.01, 0.05
    t = lambda z, day: ground.soil_temperature(z, day, 8.0, 10.0, 30.0, a)  # noqa: E731
    by_time = (t(1.0, 100 + dt) - t(1.0, 100 - dt)) / (2 * dt * 86400)
    by_depth = (t(1 + h, 100) - 2 * t(1.0, 100) + t(1 - h, 100)) / h**2
    assert by_time == pytest.approx(a * by_depth, rel=1e-3)


def test_soil_temperature_limits():
    assert ground.soil_temperature(50.0, 200, 7.0, 12.0) == pytest.approx(7.0, abs=1e-6)
    assert ground.soil_temperature(1.0, 200, 7.0, 0.0) == 7.0
    assert ground.soil_temperature(0.0, 35, 7.0, 12.0) == pytest.approx(-5.0)  # preset coldest day is 35
    many = ground.soil_temperature(np.array([0.5, 1.0]), 60, 7.0, 12.0)
    assert many.tolist() == [ground.soil_temperature(z, 60, 7.0, 12.0) for z in (0.5, 1.0)]
    assert ground.soil_temperature(1.0, 60, 7.0, 12.0) == ground.soil_temperature(1.0, 60, 7.0, 12.0, diffusivity=6e-7)


@pytest.mark.parametrize(
    ("bad", "words"),
    [
        ((-1.0, 35, 7.0, 12.0), "depth must be between 0 and 50 m"),
        ((51.0, 35, 7.0, 12.0), "depth must be between 0 and 50 m"),
        ((1.0, -1, 7.0, 12.0), "day of year must be at least 0 day"),
        ((1.0, 35, -31.0, 12.0), "yearly mean of the soil surface must be between -30 and 40 °C"),
        ((1.0, 35, 41.0, 12.0), "yearly mean of the soil surface must be between -30 and 40 °C"),
        ((1.0, 35, 7.0, -0.1), "yearly amplitude of the soil surface must be between 0 and 40 K"),
        ((1.0, 35, 7.0, 40.1), "yearly amplitude of the soil surface must be between 0 and 40 K"),
        ((1.0, 35, 7.0, 12.0, 0.9), "coldest day must be between 1 and 366"),
        ((1.0, 35, 7.0, 12.0, 366.1), "coldest day must be between 1 and 366"),
        ((1.0, 35, 7.0, 12.0, 35, 2e-5), "thermal diffusivity"),
        ((1.0, float("nan"), 7.0, 12.0), "day of year"),
        ((1.0, "35", 7.0, 12.0), "the text '35'"),
        (([1.0, 2.0], [35, 36, 37], 7.0, 12.0), "same length"),
    ],
)
def test_soil_temperature_refusals(bad, words):
    with pytest.raises(ValueError, match=words):
        ground.soil_temperature(*bad)


def test_frost_depth_of_a_worked_example(outside):
    outside(
        "ground.frost_depth",
        ground.frost_depth(60, -15.0, 20.0, 0.52 / (2050 * 1840)),
        0.677,
        source="Incropera example 5.6 (book 0.68 m)",
        rel=0.001,
        why="three decimals of the companion's arithmetic",
    )
    outside(
        "ground.soil_diffusivity",
        ground.soil_diffusivity("soil_textbook"),
        1.379e-7,
        source="Incropera example 5.6",
        rel=0.001,
        why="four digits printed",
    )


def test_frost_depth_laws():
    one = ground.frost_depth(10, -10.0, 5.0, 5e-7)
    assert ground.frost_depth(40, -10.0, 5.0, 5e-7) == pytest.approx(2 * one)
    assert ground.frost_depth(10, -10.0, 5.0, 2e-6) == pytest.approx(2 * one)
    assert ground.frost_depth(10, [-10.0, 0.0, 5.0], 5.0, 5e-7).tolist() == [one, 0.0, 0.0]
    assert ground.frost_depth(0, -10.0, 5.0, 5e-7) == 0.0


@pytest.mark.parametrize(
    ("bad", "words"),
    [
        ((-1, -15.0, 20.0, 5e-7), "length of the cold must be between 0 and 365 days"),
        ((366, -15.0, 20.0, 5e-7), "length of the cold must be between 0 and 365 days"),
        ((60, -61.0, 20.0, 5e-7), "soil surface temperature must be between -60 and 90 °C"),
        ((60, -15.0, 0.0, 5e-7), "soil temperature before the cold must be greater than 0 °C"),
        ((60, -15.0, 91.0, 5e-7), "soil temperature before the cold"),
        ((60, -15.0, 20.0, 1e-4), "thermal diffusivity"),
        (([60, 70], [-15.0, -14.0, -13.0], 20.0, 5e-7), "same length"),
    ],
)
def test_frost_depth_refusals(bad, words):
    with pytest.raises(ValueError, match=words):
        ground.frost_depth(*bad)


def test_soil_diffusivity_refuses_unknown_soils():
    with pytest.raises(ValueError, match="nearest"):
        ground.soil_diffusivity("soil_moistt")


def test_swing_through_the_edge(outside):
    """ISO 13370's ground of sand: λ = 2 W/m·K, δ = 3.2 m (a = 1e-6 m²/s); wall 0.3 m, so d = 0.3 + 2·0.21 = 0.72 m."""
    expected = 0.37 * 2.0 * math.log(3.2 / 0.72 + 1)
    outside("ground.edge_swing", ground.edge_swing(2.0, 1e-6), expected, source="ISO 13370 annex (from memory)",
            rel=0.01, why="the standard rounds 3.17 m to 3.2 m")  # fmt: skip
    clay = 0.37 * 1.5 * math.log(2.2 / (0.3 + 1.5 * (0.21 + 2.0)) + 1)
    outside("ground.edge_swing", ground.edge_swing(1.5, 1.5 / 3.0e6, floor_resistance=2.0), clay,
            source="ISO 13370 annex (from memory)", rel=0.02, why="δ of clay is 2.24 m, rounded to 2.2")  # fmt: skip


def test_swing_through_the_edge_laws():
    assert ground.edge_swing(1.5, 5e-7, 2.0, 30.0) < 0.05 * ground.edge_swing(1.5, 5e-7, 0.0, 0.0)
    # four times the diffusivity is twice the damping depth
    d = 0.3 + 1.5 * 0.21
    ratio = math.log(2 * ground.damping_depth(5e-7) / d + 1) / math.log(ground.damping_depth(5e-7) / d + 1)
    assert ground.edge_swing(1.5, 2e-6) / ground.edge_swing(1.5, 5e-7) == pytest.approx(ratio)
    many = ground.edge_swing([1.0, 2.0], 5e-7)
    assert many.tolist() == [ground.edge_swing(1.0, 5e-7), ground.edge_swing(2.0, 5e-7)]


@pytest.mark.parametrize(("bad", "words"), [
    ((11.0, 5e-7), "soil conductivity"), ((1.5, 1e-4), "thermal diffusivity"), ((1.5, 5e-7, 2.1), "wall thickness"),
    ((1.5, 5e-7, 0.1, 31.0), "floor resistance"),
    (([1.0, 2.0], [5e-7, 6e-7, 7e-7]), r"same length .* conductivity has \(2,\)"),
])  # fmt: skip
def test_swing_through_the_edge_refusals(bad, words):
    with pytest.raises(ValueError, match=words):
        ground.edge_swing(*bad)


def test_one_formula_for_how_deep_a_wave_goes():
    from heatlib.beds import penetration_depth

    assert penetration_depth(5e-7, 8766.0) == ground.damping_depth(5e-7)

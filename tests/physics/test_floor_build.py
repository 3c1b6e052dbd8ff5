"""Floors in layers against hand sums, closed forms of waves, and finite differences."""

import math

import numpy as np
import pytest

from heatlib import floors, tables

BUILD_UP = [("gravel", 0.075), ("eps", 0.05), ("soil_moist", 1.0)]


def _row(name):
    row = tables.properties("materials", name)
    return row["conductivity"].value, row["density"].value * row["specific_heat"].value


def test_sums(outside):
    outside(
        "floors.floor_resistance",
        floors.floor_resistance([("eps", 0.0508)]),
        4.06 * 2 * 0.1761102,
        source="ASHRAE table, EPS R 4.06 an inch, two inches",
        rel=0.005,
        why="three digits",
    )
    outside(
        "floors.floor_heat_capacity",
        floors.floor_heat_capacity([("sand_gravel", 1.0)]),
        2.04e6,
        source="EN 12524, 1950 × 1045",
        rel=0.01,
        why="three digits",
    )
    parts = [floors.floor_resistance([layer]) for layer in BUILD_UP]
    assert floors.floor_resistance(BUILD_UP) == pytest.approx(sum(parts))
    assert floors.floor_heat_capacity(BUILD_UP) == pytest.approx(
        sum(floors.floor_heat_capacity([layer]) for layer in BUILD_UP)
    )
    assert floors.floor_resistance([("gravel", 0.2)]) == pytest.approx(2 * floors.floor_resistance([("gravel", 0.1)]))


def test_admittance_limits(outside):
    k, store = _row("concrete")
    strength, lead = floors.floor_admittance([("concrete", 3.0)])
    outside(
        "floors.floor_admittance",
        [strength, lead],
        [math.sqrt(2 * math.pi / 86400 * k * store), 86400 / 8],
        source="Carslaw and Jaeger 2.6: endless solid, √(ωλρc), an eighth of a period ahead",
        rel=1e-6,
        why="exact for thick",
    )
    thin, ahead = floors.floor_admittance([("concrete", 0.005)])
    outside(
        "floors.floor_admittance",
        [thin, ahead],
        [2 * math.pi / 86400 * store * 0.005, 86400 / 4],
        source="thin slab: the whole capacity, a quarter of a period ahead",
        rel=1e-3,
        why="nearly thin",
    )
    outside(
        "floors.floor_day_capacity",
        floors.floor_day_capacity([("concrete", 0.005)]),
        store * 0.005,
        source="thin slab: all of it",
        rel=1e-4,
        why="nearly thin",
    )
    assert floors.floor_admittance([("concrete", 3.0)], 4 * 86400.0)[0] == pytest.approx(strength / 2)


def test_admittance_of_a_build_up_by_finite_differences(outside):
    omega, cells = 2 * math.pi / 86400, []
    for name, thick in BUILD_UP:
        k, store = _row(name)
        n = 400
        cells += [(thick / n, k, store)] * n
    dx, k, store = (np.array(column) for column in zip(*cells, strict=True))
    half = dx / 2 / k
    ways = 1 / (half[:-1] + half[1:])
    matrix = np.diag(1j * omega * store * dx)
    i = np.arange(len(cells) - 1)
    for a, b in ((i, i), (i + 1, i + 1)):
        matrix[a, b] += ways
    matrix[i, i + 1] -= ways
    matrix[i + 1, i] -= ways
    matrix[0, 0] += 1 / half[0]
    drive = np.zeros(len(cells), dtype=complex)
    drive[0] = 1 / half[0]
    flow = (1 - np.linalg.solve(matrix, drive)[0]) / half[0]
    outside(
        "floors.floor_admittance",
        floors.floor_admittance(BUILD_UP),
        [abs(flow), np.angle(flow) / omega],
        source="finite differences with 1200 cells",
        rel=1e-3,
        why="cells of a fraction of a millimetre to 2.5 mm",
    )


def test_foam_below_cuts_the_floor_off():
    with_foam = floors.floor_day_capacity(BUILD_UP)
    assert with_foam < floors.floor_day_capacity([("gravel", 0.075), ("soil_moist", 1.05)])
    assert with_foam == pytest.approx(floors.floor_admittance(BUILD_UP)[0] / (2 * math.pi / 86400))
    assert floors.floor_day_capacity(BUILD_UP, 86400.0) == with_foam


@pytest.mark.parametrize(
    ("layers", "words"),
    [
        ([], "at least one"),
        ("gravel", "list of at least one"),
        (["gravel"], "each layer of the floor must be"),
        ([("gravel", 0.1, 2)], "each layer of the floor must be"),
        ([("gravl", 0.1)], "nearest: "),
        ([("gravel", 0.0)], "thickness of the gravel must be greater than 0"),
        ([("gravel", 21.0)], "thickness of the gravel"),
    ],
)
def test_refusals(layers, words):
    for function in (
        floors.floor_resistance,
        floors.floor_heat_capacity,
        floors.floor_admittance,
        floors.floor_day_capacity,
    ):
        with pytest.raises(ValueError, match=words):
            function(layers)


@pytest.mark.parametrize("period", [59.0, 3.3e8])
def test_period_is_refused(period):
    with pytest.raises(ValueError, match="period of the swing must be between 60 and"):
        floors.floor_admittance(BUILD_UP, period)

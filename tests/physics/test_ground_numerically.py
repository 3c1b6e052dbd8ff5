"""A floor on the ground against the heat equation solved on a grid that knows nothing of the standard's formulas."""

import numpy as np
import pytest
from scipy.sparse import coo_matrix
from scipy.sparse.linalg import spsolve

from heatlib import ground

YEAR = 365.25 * 86400


def _widening(first, reach):
    """Cells from the edge outward, each an eighth wider than the last."""
    cells = [first]
    while sum(cells) < reach:
        cells.append(cells[-1] * 1.125)
    return np.array(cells)


def edge_flow(width, k, wall, floor_resistance=0.0, period=None, capacity=3e6):
    """Heat into half an endless strip of floor, inside at 0 °C, outside at 1 °C or swinging by 1 K [W/m]."""
    reach = 12 * max(width, 10.0)
    inward = _widening(0.02, width / 2)
    inward *= width / 2 / inward.sum()
    under, depths, outward = np.full(6, wall / 6), _widening(0.02, reach), _widening(0.02, reach)
    dx, dz = np.concatenate([inward[::-1], under, outward]), depths[:, None]
    number = np.arange(dz.size * dx.size).reshape(dz.size, dx.size)
    entries = []

    def join(a, b, conductance):
        for i, j, sign in ((a, a, 1), (b, b, 1), (a, b, -1), (b, a, -1)):
            entries.append((i.ravel(), j.ravel(), sign * np.broadcast_to(conductance, a.shape).ravel()))

    join(number[:, :-1], number[:, 1:], k * dz / ((dx[:-1] + dx[1:]) / 2))
    join(number[:-1], number[1:], k * dx / ((dz[:-1] + dz[1:]) / 2))
    floor, free = np.s_[: inward.size], np.s_[inward.size + under.size :]
    top = np.zeros(dx.size)  # nothing passes under the wall itself
    top[floor] = dx[floor] / (0.17 + floor_resistance + dz[0, 0] / 2 / k)
    top[free] = dx[free] / (0.04 + dz[0, 0] / 2 / k)
    entries.append((number[0], number[0], top))
    omega = 0.0 if period is None else 2 * np.pi / period
    entries.append((number.ravel(), number.ravel(), (1j * omega * capacity * dz * dx).ravel()))
    i, j, values = (np.concatenate(part) for part in zip(*entries))
    drive = np.zeros(number.size, dtype=complex)
    drive[number[0][free]] = top[free]
    return (top * spsolve(coo_matrix((values, (i, j))).tocsr(), drive)[: dx.size])[floor].sum()


@pytest.mark.parametrize(
    "width, soil, wall, insulation",
    [(3.0, 1.5, 0.3, 0.0), (3.0, 1.5, 0.1, 0.0), (8.0, 2.0, 0.2, 0.0), (8.0, 1.5, 0.3, 1.0), (4.0, 1.5, 0.3, 4.0)],
)
def test_slab_on_a_grid(outside, width, soil, wall, insulation):
    # a strip is as wide as its characteristic dimension
    got = ground.slab_u_value(width * 1000, 2000.0, soil, wall, insulation)
    expected = edge_flow(width, soil, wall, insulation).real / (width / 2)
    outside("ground.slab_u_value", got, expected, source="heat equation solved on a grid", rel=0.07,
            why="it folds films and wall into an equal layer of soil; 2 to 6 % low")  # fmt: skip


@pytest.mark.parametrize("soil, wall, insulation", [(1.5, 0.3, 0.0), (1.5, 0.1, 0.0), (1.5, 0.3, 2.0)])
def test_yearly_swing_on_a_grid(outside, soil, wall, insulation):
    swing = edge_flow(20.0, soil, wall, insulation, YEAR, soil / 5e-7)
    got = ground.edge_swing(soil, 5e-7, wall, insulation)
    outside("ground.edge_swing", got, abs(swing), source="heat equation solved on a grid", rel=0.3,
            why="its 0.37 lies above the 1/π of a straight edge: 15 to 28 % high")  # fmt: skip
    # left out by the library, and said so: it comes some weeks late
    assert 0.05 < -np.angle(swing) / (2 * np.pi) < 0.15

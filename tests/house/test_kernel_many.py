"""Many made-up houses in one go against each by itself: the plain kernel is the outside of the many-house kernel.

Made-up, so that all there is happens within a few hundred quick steps: stores that freeze and thaw, heaters in the air
and in the water, vents that let hot air in, fans both ways, chains of layers of unlike length, links between them.
"""

import math

import numpy as np
import pytest
from test_kernel import APART, DRUM, damp, made, moisture

from heatlib.house import kernel
from heatlib.house.kernel import Column, Inputs, Water, march
from heatlib.house.kernel_many import _Controls, _Waters, march_many
from heatlib.house.network import BLOCK

STEPS, STEP = 160, 300.0
SMALL = Water("small", 0.5, 5.0, (0.9, 0.8), 4e3, 2e3, 3e5, sun_share=0.2)
BUTT = Water("butt", 3.0, 5.0, (0.9, 0.8), 2e4, 1e4, 1.6e6, sun_share=0.1)
TANK = Water("tank", 3.0, 5.0, (0.9, 0.8), 4e5, 2e5, 3.2e7)
BED = Column("bed", 20.0, (3e5, 3e5), (30.0,), sun_share=0.1, sun_to_air=0.05)
PIPES = Column("pipes", 60.0, (2e5, 4e5, 8e5), (40.0, 20.0), fan=True)


def floor(*capacity, deep=2.0):
    return Column("floor", 15.0, capacity, (25.0,) * (len(capacity) - 1), deep, 0.5, 0.2)


def hard(inputs, air, waters=(), layers=6.0):
    """Inputs and their start."""
    columns = [[layers + i for i in range(len(column.capacity))] for column in inputs.columns]
    return inputs, (air, columns, [w.heat(t) for w, t in zip(inputs.waters, waters)], 0.004)


def houses(steps=STEPS, seed=None):
    """Houses that differ in all they have; they follow the vapour where a seed draws it."""
    time = np.arange(steps)
    cold = -6.0 + 9.0 * np.sin(time / 23.0)
    mild = 14.0 + 12.0 * np.sin(time / 31.0)
    sun = np.maximum(0.0, 900.0 * np.sin(time / 29.0))
    rng = np.random.default_rng(seed)

    def one(outside, loss=30.0, **more):
        vapour = {}
        if seed is not None:
            panes = (((rng.uniform(0.005, 0.02), 0.6), (0.01, rng.uniform(0.1, 0.3))), ((0.01, 0.1),))
            humidity = damp(panes, rng.uniform(0.0, 0.02), 2e-7, rng.uniform(40.0, 80.0))
            vapour = moisture(steps, vapour=0.003, pane=outside - 3.0, shine=0.4 * sun) | {"humidity": humidity}
            vapour["air_flow"] = rng.uniform(0.005, 0.03, steps)
            vapour["light"], vapour["drawn"] = (sun > 20.0).astype(int), (outside < rng.uniform(-4.0, 4.0)).astype(int)
        base = made(steps, STEP, loss=loss, **({"columns": (floor(2e5, 4e5),)} | vapour | more)).__dict__
        given = {"outside": outside, "sun": sun, "gain": 0.5 * sun, "deep": {"floor": 8.0 + time / 100.0}}
        return Inputs(**(base | {"air_capacity": 6e4} | given))

    links = (("pipes", 2, "floor", 1, 12.0),)
    return [
        hard(one(cold, waters=(SMALL,)), 1.0, (1.0,)),
        hard(one(cold, waters=(SMALL, BUTT), columns=(floor(1e5, 2e5, 4e5, deep=0.0), BED)), 0.5, (-4.0, 0.3)),
        hard(one(mild, waters=(BUTT,), columns=(APART,)), 14.0, (14.0,)),
        hard(one(cold, heater=(250.0, 4.0, 1.5, -1), vent=(200.0, 12.0, 3.0)), 3.0),
        hard(one(cold, heater=(900.0, 9.0, 2.0, 1), waters=(SMALL, TANK)), 3.0, (3.0, 8.0)),
        hard(
            one(mild, vent=(90.0, 10.0, 8.0), loss=10.0, heater=(500.0, 4.0, 5.0, 0), waters=(DRUM, SMALL, BUTT)),
            9.0,
            (7.5, 6.0, 2.0),
        ),
        hard(one(mild, fan=(18.0, 9.0, 3.0, 40.0), columns=(floor(3e5, 3e5), PIPES), links=links), 12.0),
        hard(one(cold, fan=(11.0, -8.0, 2.0, 15.0), columns=(BED, floor(5e5), PIPES)), 2.0, layers=9.0),
        hard(one(mild, fan=(15.0, -1e9, 4.0, 0.0), columns=(PIPES, floor(5e5)), waters=(SMALL,)), 11.0, (-0.5,)),
        hard(one(mild + 20.0, vent=(5e5, 26.0, 40.0), loss=2.0), 20.0),
        hard(one(mild, vent=(80.0, 10.0, 30.0), waters=(SMALL, DRUM)), 21.0, (-3.0, -8.0)),
    ]


def assert_alike(together, alone):
    """But for round-off: 1e-9 of what there is."""
    for name in ("air", "heater", "vent", "air_end", "water_heat"):
        assert np.asarray(getattr(together, name)) == pytest.approx(np.asarray(getattr(alone, name)), 1e-9, 1e-6), name
    assert np.array_equal(together.fan, alone.fan)
    for name in ("water", "touch", "column", "column_end"):
        ours, theirs = getattr(together, name), getattr(alone, name)
        assert len(ours) == len(theirs)
        for a, b in zip(ours, theirs):
            assert np.asarray(a) == pytest.approx(np.asarray(b), rel=1e-9, abs=1e-7), name
    assert together.moist.keys() == alone.moist.keys()
    for name, values in alone.moist.items():
        assert together.moist[name] == pytest.approx(values, rel=1e-7, abs=1e-9), name


def both(designs):
    alone = [march(inputs, *start) for inputs, start in designs]
    many = [*march_many(*zip(*designs))]
    assert len(many) == len(alone)
    for one, other in zip(many, alone):
        assert_alike(one, other)
    return alone


@pytest.mark.parametrize("seed", [None, 3, 4])
def test_all_kinds_of_houses_side_by_side(seed):
    alone = both(houses(seed=seed))
    for out, stores in zip(alone[:2], (1, 2)):
        for j in range(stores):
            water = np.array(out.water[j])
            assert (water > 0.01).any() and (water == 0.0).any()
    if seed is None:
        assert min(alone[0].water[0]) < -1.0 and min(alone[1].water[0]) < -1.0
        assert all(0.05 < np.mean(out.fan) < 0.95 for out in alone[6:9])
        for k, power, ends in ((3, 250.0, {0.0, 250.0}), (4, 900.0, {900.0}), (5, 500.0, {0.0})):
            heat = np.array(alone[k].heater)
            assert ends < set(heat) and ((heat > 0) & (heat < power)).sum() > 3
        vent = np.array(alone[5].vent)
        assert vent.min() == 0.0 and vent.max() == 90.0 and ((vent > 0) & (vent < 90.0)).sum() > 9
        hot = np.array(alone[9].vent)
        assert 0.0 < hot.max() < 5e5
        # thawed while the vents stood open
        assert alone[10].water[1][0] < 0.0 == alone[10].water[1][5] and min(alone[10].vent[:6]) > 0.0
    else:
        assert max(np.max(out.moist["piped"]) for out in alone[6:9]) > 0


@pytest.mark.parametrize("seed", [None, 5])
@pytest.mark.parametrize("which", [[0], [3], [6], [6, 9], [0, 3], [1, 4, 7], [2, 5, 8], [10]])
def test_few_of_them(which, seed):
    """Alone or by twos and threes: whatever the others lack is not made up for."""
    every = houses(seed=seed)
    both([every[k] for k in which])


def test_longer_than_a_block_of_steps():
    every = houses(BLOCK + 30)
    alone = both([every[1], every[6]])
    assert len(alone[0].air) == BLOCK + 30 and any(alone[1].fan[BLOCK:])


def test_what_is_worked_out_and_not_used_is_no_error():
    """Roots of negative numbers where a vent stands, quotients by the nothing of a vent that is not there."""
    with np.errstate(all="raise", under="ignore"):
        list(march_many(*zip(*houses())))
        faint = [hard(made(20, 300.0, 25.0, 30.0, vent=(1e-68, 5.0, 3.0)), 20.0) for _ in range(2)]
        list(march_many(*zip(*faint)))
        # a hair above its opening, with warm air outside: the root is the linear term but for its sign
        still = made(1, 300.0, 50.0, 1.0, air_capacity=6e4)
        opens = math.nextafter(march(still, 20.0, [[0.0]], []).air[0], 0.0)
        list(march_many(*zip(hard(Inputs(**(still.__dict__ | {"vent": (1e5, opens, 3.0)})), 20.0))))


def test_stores_side_by_side_by_the_heat_they_hold():
    heats = [1e6, 0.5, 0.0, -0.5, -3e6, -3.34e6, -3.34e6 - 0.5, -4e6]
    waters = _Waters([made(1, 300.0, waters=(DRUM,))] * 8, [[heat] for heat in heats], np.zeros(8))
    assert waters.temperature().tolist() == [[DRUM.temperature(heat) for heat in heats]]


@pytest.mark.parametrize("air", [25.0, 25.1, 21.0, 21.1, 15.0, 2.0, 1.9, 6.0, 5.9])
def test_fans_at_their_thresholds(air):
    """As the one house's fan, which is held by hand: above 25 °C or below 2 °C, let go 4 K after."""
    controls = _Controls([made(1, 300.0, fan=(25.0, 2.0, 4.0, 30.0))] * 2)
    controls.fan_on = np.array([False, True])
    controls.turn_fans(np.full(2, air))
    assert controls.fan_on.tolist() == [kernel._fan(running, air, 25.0, 2.0, 4.0) for running in (False, True)]
    assert controls.fan_heat.tolist() == [30.0 * on for on in controls.fan_on] and controls.runs == sum(controls.fan_on)


def test_heaters_and_vents_side_by_side_as_the_one_house_s():
    """Its closed forms are held by hand; here each house has its own, from faint to strong, at and beside the edges."""
    heaters = [None, (500.0, 20.0, 2.0, -1), (0.5, 20.0, 2.0, -1), (3e3, 18.0, 0.5, -1), (800.0, 30.0, 1.0, 0)]
    vents = [None, (50.0, 25.0, 5.0), (1e-20, 22.0, 3.0), (5e5, 24.0, 40.0)]
    kinds = [(heater, vent) for heater in heaters for vent in vents]
    inputs = [made(1, 300.0, waters=(DRUM,), heater=heater, vent=vent) for heater, vent in kinds]
    controls, told = _Controls(inputs), []
    for d, (heater, vent) in enumerate(kinds):
        power, setpoint, band, place = heater or kernel.NO_HEATER
        told.append((0.0 if place == 0 else power, setpoint, setpoint + band, band, *(vent or kernel.NO_VENT)))
        assert controls.of(d) == told[d]
    for a in (0.5, 100.0):
        for warm in (-10.0, 15.0, 18.5, 20.0, 20.001, 22.0, 25.0, 25.001, 26.0, 30.0, 60.0):
            for outside in (-20.0, 24.5, 45.0):
                b = a * warm
                with np.errstate(all="ignore"):
                    got = controls.solve(np.full(20, a), np.full(20, b), np.full(20, outside))
                for d in range(20):
                    wanted = kernel._solved(a, b, told[d], outside)
                    assert [values[d] for values in got] == pytest.approx(wanted, rel=1e-9, abs=1e-9)

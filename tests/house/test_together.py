"""Many houses in one go against the same houses one by one: the plain kernel is the outside of the many-house kernel.

The plain kernel itself is held against independent integrators in test_balance_independent.py and
test_moisture_independent.py; here both must say the same but for round-off.
"""

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from test_balance import houses
from test_balance_independent import house, weather

from heatlib.house.balance import run
from heatlib.house.demo import demo_house
from heatlib.house.greenhouse import Curtain, Heater, Pipes, Plants, Store, Vents
from heatlib.house.network import BLOCK
from heatlib.house.together import run_together
from heatlib.house.weather import design_day

pytestmark = pytest.mark.filterwarnings("ignore:.*dayofyear.*")
PIPES = Pipes(length=6.0, flow=0.15, count=6, fan_power=60.0, on_above=14.0, on_below=1.0)


def assert_alike(together, alone):
    """Temperatures to 1e-9 K and energies to 1e-9 of the largest: thousands of steps of round-off, nothing more."""
    assert together.closure < 1e-9
    assert np.abs(together.air - alone.air).max() < 1e-9
    assert np.abs(together.humidity - alone.humidity).max() < 1e-9
    assert np.array_equal(together.fan, alone.fan)
    assert together.stores.keys() == alone.stores.keys() and together.layers.keys() == alone.layers.keys()
    for name, values in alone.stores.items():
        assert np.abs(together.stores[name] - values).max() < 1e-9
    for name, values in alone.layers.items():
        assert np.abs(together.layers[name] - values).max() < 1e-9
    largest = max(map(abs, alone.energy.values()))
    assert together.energy.keys() == alone.energy.keys()
    for parts, others in ((together.energy, alone.energy), (together.stored, alone.stored)):
        assert max(abs(parts[path] - others[path]) for path in others) < 1e-9 * largest
    for name, share in alone.frozen.items():
        assert together.frozen[name] == pytest.approx(share, abs=1e-9)


def compare(designs, wx, step):
    alone = [run(one, wx, step) for one in designs]
    together = list(run_together(designs, wx, step))
    assert len(together) == len(designs) and [c.house for c in together] == designs
    for one, other in zip(together, alone):
        assert_alike(one, other)
    return alone


def test_every_stage_of_the_demo_house_at_once():
    """Different nodes, controls and moisture side by side, on days of March that use fan, heater and vents."""
    days = design_day(46.5, "2025-03-15", minimum=-12.0, maximum=6.0, days=3)
    warm = demo_house(10).changed("heater.setpoint", 18.0)
    alone = compare([*map(demo_house, range(11)), warm], days, 600.0)
    assert max(c.fan.mean() for c in alone) > 0.1 and max(c.vent.max() for c in alone) > 0
    assert min(c.energy["heater"] for c in alone) < 0 and any(c.fan.max() == 0 for c in alone)


def test_drums_that_freeze_and_thaw_beside_drums_that_do_not():
    """Days about 2 °C: a small drum goes from hard ice through melting, each house at its own hours."""
    small = Store("drums", "barrels", 0.02, count=1, diameter=0.25, height=0.4)
    two = (small, replace(small, name="butt", volume=0.1))
    designs = [house(stores=(small,)), house(stores=two), house(), house(stores=()), demo_house(10)]
    alone = compare(designs, weather(72, 2.0, 9.0), 300.0)
    for course in alone[:2]:
        assert course.stores["drums"].min() < -2.0 and 0.2 < (course.stores["drums"] == 0.0).mean() < 0.8
    assert (alone[1].stores["butt"] == 0.0).any() and alone[4].frozen["drums"] == 0.0


def test_heaters_of_all_kinds_vents_of_all_widths_and_a_fan_both_ways():
    wx = weather(60, 6.0, 12.0)
    designs = [
        house(heater=Heater(900.0, 4.0), vents=Vents(12.0, 0.01, 40.0)),
        house(heater=Heater(20e3, 6.0, 0.001)),
        house(heater=Heater(2000.0, 18.0, 0.5, place="drums"), vents=Vents(19.0, 15.0, 5.0)),
        house(pipes=PIPES, plants=Plants(15.0, 1.0), vents=Vents(10.0)),
        house(pipes=replace(PIPES, on_above=60.0, count=2), plants=Plants(21.0, 0.3)),
        house(vents=Vents(air_change_rate=1e-68, opens_at=5.0), plants=Plants(2.0, 1.0)),
    ]
    alone = compare(designs, wx, 300.0)
    assert alone[3].fan.any() and alone[4].fan.any() and not np.array_equal(alone[3].fan, alone[4].fan)
    assert {c.heater.max() > 0 for c in alone[:3]} == {True}


def test_a_curtain_drawn_in_some_of_them():
    days = design_day(46.5, "2025-11-15", minimum=-6.0, maximum=4.0, days=2)
    base = demo_house(10)
    clock = Curtain(rule="clock", closes=15.0, opens=10.0)
    alone = compare([base, base.changed("curtain", None), base.changed("curtain", clock)], days, 900.0)
    assert len({c.lowest_air for c in alone}) == 3


def test_runs_longer_than_a_block():
    """What drives the layers comes block by block: the steps beside a seam are like all others."""
    days = design_day(46.5, "2025-04-10", minimum=0.0, maximum=14.0, days=12)
    alone = compare([demo_house(9), demo_house(10).changed("pipes.on_above", 26.0)], days, 900.0)
    assert len(alone[0].time) > BLOCK and alone[0].fan[: BLOCK - 1].any() and alone[0].fan[BLOCK:].any()


def test_one_house_and_none():
    wx = weather(24, -15.0, 6.0)
    compare([house()], wx, 300.0)
    (usual,) = run_together([house()], wx)
    assert usual.step == 300.0
    assert list(run_together([], wx)) == []


@settings(max_examples=12, deadline=None, suppress_health_check=[HealthCheck.too_slow, HealthCheck.data_too_large])
@given(st.lists(houses(), min_size=2, max_size=5), st.floats(-25, 22), st.floats(0, 15))
def test_random_houses(designs, mean, swing):
    wx = weather(24, mean, swing)
    for one, other in zip(run_together(designs, wx, 900.0), [run(one, wx, 900.0) for one in designs]):
        # a fan's thermostat may read a tie the other way: then the two are two right answers
        if np.array_equal(one.fan, other.fan):
            assert_alike(one, other)
        assert one.closure < 1e-9


def test_refusals():
    with pytest.raises(ValueError, match="step must be between"):
        list(run_together([house()], weather(24, 0.0, 0.0), 5.0))
    with pytest.raises(ValueError, match="against each other"):
        house(heater=Heater(500.0, 20.0), vents=Vents(15.0))

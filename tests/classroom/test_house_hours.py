"""The arrows of one hour: they sum to nothing, and each carries what the course says."""

import numpy as np
import pytest

from heatlib.classroom.house_hours import flows_of_hour
from heatlib.house.balance import run
from heatlib.house.demo import demo_house
from heatlib.house.weather import design_day


@pytest.fixture(scope="module")
def day():
    return run(demo_house(9), design_day(46.5, "2025-05-05", minimum=2.0, maximum=18.0, elevation=350.0))


@pytest.mark.parametrize("hour", [3, 8, 13, 19])
def test_arrows_sum_to_nothing(day, hour):
    flows = {flow.place: flow.watts for flow in flows_of_hour(day, hour * 3600.0, least=0.0)}
    assert sum(flows.values()) == pytest.approx(0.0, abs=1e-6)


def test_the_pipes_carry_what_the_air_gives_them(day):
    """Energy kept by all stores but the pipes' soil is what the arrow of the stores says, by its own bookkeeping."""
    seen, moments = 0, np.arange(10 * 12, 15 * 12) * 300.0 + 150.0
    pipes = stores = 0.0
    for when in moments:
        flows = {flow.place: flow.watts for flow in flows_of_hour(day, when, least=0.0)}
        seen += flows.get("pipes", 0.0) > 100.0
        pipes += flows.get("pipes", 0.0) * 300.0
        stores += flows["stores"] * 300.0
    assert seen > 30, "the fan runs on a sunny day in May"
    inside = (day.time > moments[0] - 200) & (day.time < moments[-1] + 200)
    assert pipes == pytest.approx(float(day.exchange["pipes"][inside].sum()) * 300.0)
    water = day.house.store("drums")
    rise = np.interp(moments[-1] + 150, day.time, day.stores["drums"]) - np.interp(
        moments[0] - 150, day.time, day.stores["drums"]
    )
    drums = water.count * water.volume * 4.186e6 * rise
    assert 0.3 * stores < drums < stores, "the drums take a good part of what the stores take (OpenStax, 4186 J/kg K)"


def test_places_and_signs(day):
    noon = {flow.place: flow for flow in flows_of_hour(day, 13 * 3600.0)}
    moment = day.at(13 * 3600.0)
    assert noon["sun"].watts == pytest.approx(moment["sun"] + moment["reflected"]) and noon["sun"].watts < 0
    assert noon["stores"].watts > 0 and noon["stores"].label == "Into stores"
    night = {flow.place: flow for flow in flows_of_hour(day, 4 * 3600.0)}
    assert "sun" not in night and night["stores"].watts < 0 and night["stores"].label == "Out of stores"
    assert night["leaks"].watts == pytest.approx(sum(day.at(4 * 3600.0)[p] for p in ("leaks", "door", "vents")))


def test_small_paths_are_left_out(day):
    assert all(abs(flow.watts) >= 100.0 for flow in flows_of_hour(day, 13 * 3600.0, least=100.0)[:-1])

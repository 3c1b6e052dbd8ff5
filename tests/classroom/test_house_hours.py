"""The arrows of one hour: they sum to nothing, and each carries what the course says."""

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
    assert flows["stores"] == pytest.approx(-sum(day.at(hour * 3600.0)[path] for path in day.flows))


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

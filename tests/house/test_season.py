"""A season counted: nights, weeks, hours, heat and its cost, held against counting by hand."""

from dataclasses import replace

import numpy as np
import pytest

from heatlib.house.balance import run
from heatlib.house.demo import demo_house
from heatlib.house.greenhouse import Heater
from heatlib.house.season import fuel_use, season, season_with_measures
from heatlib.house.weather import design_day

pytestmark = pytest.mark.filterwarnings("ignore:.*dayofyear.*")


def spell(lows, warm=20.0):
    """Days in May whose nights fall to the given temperatures, one after the other [°C]."""
    weather = design_day(46.5, "2025-05-01", minimum=warm - 10, maximum=warm, days=len(lows) + 1, elevation=350.0)
    night = ((weather.time - 43200) // 86400).astype(int)
    deep = np.array([warm - 10, *lows, warm - 10])[np.clip(night + 1, 0, len(lows) + 1)]
    low = np.clip((warm - weather.temperature) / 10, 0, 1)
    temperature = warm - low * (warm - deep)
    return replace(weather, temperature=temperature, dew_point=np.minimum(weather.dew_point, temperature) - 15)


def test_nights_outdoors_are_counted():
    """Lettuce wants 10 °C (UGA B792: 50 °F at night for cool-house crops)."""
    lows = [12.0, 9.8, 10.2, -7.0, 5.0, 12.0, 12.0, 13.0]
    result = season(demo_house(0), spell(lows), crops=["lettuce"], step=300.0)
    crop = result.crops["lettuce"]
    assert result.nights == 8
    assert crop.limit == 10
    assert crop.nights_below_outdoors == 3
    assert crop.nights_harmed_outdoors == 1
    assert crop.weeks_outdoors == pytest.approx(4 / 7)


def test_inside_is_counted_by_hand():
    lows = [12.0, 2.0, 11.0, -7.0, 5.0, 12.0]
    weather, house = spell(lows), demo_house(4)
    result = season(house, weather, step=300.0)
    course = run(house, weather, 300.0)
    by_hand = []
    for n in range(len(lows)):
        part = (course.time >= 43200 + n * 86400) & (course.time < 43200 + (n + 1) * 86400)
        by_hand.append(course.air[part].min())
    for crop in result.crops.values():
        assert crop.nights_below == sum(low < crop.limit for low in by_hand)
        assert crop.nights_harmed == sum(low < crop.harm for low in by_hand)
        assert crop.weeks_gained == pytest.approx(crop.weeks - crop.weeks_outdoors)
        assert crop.nights_below <= result.nights
    assert result.lowest == pytest.approx(course.air.min())
    assert result.highest == pytest.approx(course.air.max())
    assert result.hours_above_35 == pytest.approx((course.air > 35).sum() / 12)
    assert result.closure < 1e-9


def test_a_heated_house_gains_all_weeks_and_pays_for_it():
    weather = spell([-9.0] * 7, warm=4.0)
    bare = season(demo_house(0), weather, crops=["lettuce"], step=300.0)
    heated = season(demo_house(0).changed("heater", Heater(20e3, 12.0)), weather, crops=["lettuce"], step=300.0)
    assert bare.heat == 0
    assert heated.heat > 0
    assert heated.crops["lettuce"].nights_below == 0
    assert heated.crops["lettuce"].weeks_gained == pytest.approx(1.0)
    assert heated.lowest > 11.9


def test_fuel_by_hand(outside):
    """100 kWh of heat: electricity 100 kWh; propane 100/(7.16·0.8) L; twice the heat, twice the cost."""
    used = fuel_use(3.6e8, ["electricity", "propane"], prices={"propane": 1.0, "electricity": 0.2})
    outside(
        "season.fuel_use", [used["electricity"].amount, used["propane"].amount],
        [100, 100 / (92500 / 3412 / 3.785 * 0.8)], rel=0.005, why="table rounds",
        source="UCONN: 92,500 Btu per US gallon, 3412 Btu per kWh; 80 % by common practice",
    )  # fmt: skip
    assert used["electricity"].cost == pytest.approx(20)
    assert used["propane"].cost == pytest.approx(used["propane"].amount)
    assert used["propane"].unit == "L"
    assert fuel_use(7.2e8, ["propane"])["propane"].amount == pytest.approx(2 * used["propane"].amount)
    assert fuel_use(0.0, ["propane"])["propane"].cost == 0
    assert used["propane"].carbon_dioxide > 0
    with pytest.raises(ValueError, match="coal_dust"):
        fuel_use(1.0, ["coal_dust"])
    with pytest.raises(ValueError, match="price of propane"):
        fuel_use(1.0, ["propane"], prices={"propane": -1.0})


def test_with_and_without_each_measure():
    weather = spell([-5.0] * 3, warm=6.0)
    measures = {
        "sealing": {"air.air_change_rate": 0.3},
        "heater": {"heater": Heater(5e3, 8.0)},
        "mulch": {"plants.wetness": 0.1},
    }
    table = season_with_measures(demo_house(1), weather, measures, crops=["lettuce"], progress=False)
    assert list(table) == [
        "as it stands", "with sealing", "with heater", "with mulch", "with all", "all but sealing", "all but heater",
        "all but mulch",
    ]  # fmt: skip
    assert table["as it stands"].lowest < table["with sealing"].lowest
    assert table["with heater"].heat > table["with all"].heat > 0
    assert table["all but heater"].heat == table["as it stands"].heat == 0
    alone = season(demo_house(1).changed(**measures["sealing"]), weather, crops=["lettuce"])
    assert table["with sealing"] == alone
    with pytest.raises(ValueError, match="part of"):
        season_with_measures(demo_house(1), weather, {"magic": {"wand": 1}}, progress=False)


def test_refusals():
    with pytest.raises(ValueError, match="no whole night"):
        season(demo_house(0), design_day(46.5, "2025-05-01", minimum=8.0, maximum=18.0))
    with pytest.raises(ValueError, match="bananna"):
        season(demo_house(0), spell([5.0]), crops=["bananna"])

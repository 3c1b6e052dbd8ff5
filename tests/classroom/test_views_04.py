"""Views of lesson 4: leaks that follow wind and frost, the flame's air, lobby against film, the door in the picture."""

import math
import re

import pytest

from heatlib.classroom.views import lesson_04 as views
from heatlib.house.bill import loss_bill
from heatlib.house.demo import demo_house
from heatlib.units import SYSTEMS


def test_the_stated_rate_holds_in_an_ordinary_wind():
    """4 m/s and 10 K: EP406's classes are for ordinary winter weather, a choice of this course."""
    assert views.leak_factor(4.0, 10.0, 0.0) == pytest.approx(1.0)


def test_lift_and_wind_add_as_squares():
    """The basic model of ASHRAE's handbook: √(C_s·ΔT + C_w·v²) with 0.000145 and 0.000174."""
    stated = math.sqrt(0.000145 * 10 + 0.000174 * 16)
    assert views.leak_factor(0.0, 2.0, -24.0) == pytest.approx(math.sqrt(0.000145 * 26) / stated)
    assert views.leak_factor(8.0, 2.0, -24.0) == pytest.approx(math.sqrt(0.000145 * 26 + 0.000174 * 64) / stated)
    assert views.leak_factor(8.0, 2.0, -24.0, "complete") < views.leak_factor(8.0, 2.0, -24.0, "none")


def test_a_flame_asks_for_the_air_that_thins_its_carbon_dioxide():
    """Propane: 62.9 kg CO2 a million Btu = 0.2145 kg/kWh (EPA); at 2 °C and 97.2 kPa CO2 weighs 1.87 kg/m³ by the gas
    law; 5000 less 420 parts in a million: 2 × 0.2145 ÷ 1.87 ÷ 0.00458 m³ an hour. 2 % for rounding."""
    assert views.flame_air(2000.0) == pytest.approx(2 * 0.2145 / 1.87 / 0.00458, rel=0.02)
    assert views.flame_air(4000.0) == pytest.approx(2 * views.flame_air(2000.0))
    assert views.flame_air(0.0) == 0.0


@pytest.mark.parametrize("rival", views.RIVALS)
def test_at_the_crossing_lobby_and_layer_save_the_same(rival):
    """Worked out by whole loss bills at the crossing itself, where the view only scales one opening."""
    crossing = views.rival_saving(rival, -24.0) / views.lobby_saving(10.0, -24.0)
    tight = demo_house(3).changed(**{"air.air_change_rate": views.SEALED, "air.door_openings": crossing})
    lobby = loss_bill(tight, 2.0, -24.0).sensible - loss_bill(tight.changed("air.lobby", True), 2.0, -24.0).sensible
    assert lobby == pytest.approx(views.rival_saving(rival, -24.0), rel=1e-6)
    assert 2 < crossing < 40, "the surprise of the lesson: it depends on how often the door opens"


def test_the_sentence_tells_which_side_of_the_crossing_the_reader_is_on():
    few, many = (views.door(n, 10, -24.0, "film", units="metric").sentence for n in (2, 20))
    assert ", less than one more film" in few and ", more than one more film" in many
    assert few.split("; ")[1] == many.split("; ")[1]


def watts(text):
    return float(re.sub(r"[^\d.]", "", text))


def test_the_picture_bills_cracks_and_door_as_the_loss_bill_does():
    changes = 3.0 * views.leak_factor(6.0, 2.0, -24.0)
    air = {"air.air_change_rate": float(changes), "air.door_openings": 20.0, "air.lobby": True}
    bill = loss_bill(demo_house(3).changed(**air), 2.0, -24.0, 6.0)
    numbers = views.house(3.0, 6.0, 20, True, units="metric").numbers
    assert watts(numbers["lost by the cracks"]) == pytest.approx(bill.watts("leaks"), rel=0.005)
    assert watts(numbers["lost by the door"]) == pytest.approx(bill.watts("door"), rel=0.005)
    assert watts(numbers["lost by the whole house"]) == pytest.approx(bill.total, rel=0.005)


@pytest.mark.parametrize("units", SYSTEMS)
def test_the_lobby_is_seen_and_said(units):
    bare, built = (views.house(3.0, 1.0, 10, lobby, units=units) for lobby in (False, True))
    assert "Door, 10/h" in bare.svg and "Lobby" not in bare.svg
    assert "Lobby, 10/h" in built.svg and "with a lobby" in built.description
    assert watts(built.numbers["lost by the door"]) < watts(bare.numbers["lost by the door"])


def test_a_shut_door_loses_nothing():
    shut = views.house(3.0, 1.0, 0, False, units="metric")
    assert shut.numbers["lost by the door"].startswith("0") and ", 0/h" not in shut.svg


def test_the_flame_is_a_limit_only_where_there_is_one():
    without, with_flame = (views.wind("sealed", 1.0, -24.0, "moderate", f, units="metric") for f in (0.0, 3000.0))
    assert "flame" not in without.svg and "air for a flame of 3\u202f000 W" in with_flame.svg
    assert "more than the cracks let in" in with_flame.sentence
    leaky = views.wind("patched", 1.0, -24.0, "moderate", 3000.0, units="metric")
    assert "less than the cracks let in now" in leaky.sentence

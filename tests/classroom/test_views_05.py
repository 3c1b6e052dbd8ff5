"""Views of lesson 5: what the map, the pane and the house say, against published states and whole loss bills."""

import re

import pytest

from heatlib.classroom.views import lesson_05 as views
from heatlib.house.bill import loss_bill
from heatlib.house.demo import demo_house


def first(text):
    return float(re.search(r"[−\d.\u202f]+", text)[0].replace("−", "-").replace("\u202f", ""))


def test_warmed_fog_has_the_ratio_of_what_fits():
    """Saturation pressures 611 Pa at 0 °C and 1228 Pa at 10 °C (steam tables, from memory): 49.8 %."""
    sentence = views.air_map(10.0, 0.85, 0.0, 1.0, "demo", units="metric").sentence
    assert "only 50% relative humidity" in sentence


def test_the_map_tells_dew_point_and_wet_bulb():
    """20 °C and 60 %: dew point 12.01 °C by CoolProp and PsychroLib; wet bulb 15.2 °C, chart, from memory."""
    numbers = views.air_map(20.0, 0.6, 0.0, 1.0, "sea", units="metric").numbers
    assert first(numbers["dew point inside"]) == pytest.approx(12.0, abs=0.05)
    assert first(numbers["wet bulb inside"]) == pytest.approx(15.2, abs=0.2)


def test_one_change_of_air_carries_its_enthalpy():
    """0 °C saturated 9.475 kJ/kg, 20 °C saturated 57.559 kJ/kg and 0.84979 m³/kg (CoolProp, humid air)."""
    numbers = views.air_map(20.0, 1.0, 0.0, 1.0, "sea", units="metric").numbers
    by_hand = 50.8 / 0.84979 * (57559 - 9475) / 3600
    assert first(numbers["together"]) == pytest.approx(by_hand, rel=0.005)
    assert first(numbers["water it takes out"]) == pytest.approx(50.8 / 0.84979 * (0.0147605 - 0.00379), rel=0.03)


def test_thin_air_carries_less():
    low, high = (views.air_map(10.0, 0.85, -10.0, 1.0, p, units="metric").numbers for p in ("sea", "mountain"))
    assert first(high["sensible heat"]) < 0.8 * first(low["sensible heat"])


def test_air_that_cannot_hold_its_water_fogs_and_brings_heat():
    sentence = views.air_map(5.0, 0.85, 12.0, 0.9, "sea", units="metric").sentence
    assert "it fogs" in sentence and "brings in" in sentence and "it brings" in sentence and "−" not in sentence


@pytest.mark.parametrize(("humidity", "words"), [(0.3, "stays dry"), (0.9, "it drips")])
def test_a_pane_drips_below_the_dew_point(humidity, words):
    """Twin-wall is 18 − 3.3·0.13·23 = 8.1 °C when dry; dew points 0.2 and 16.3 °C, chart, from memory."""
    assert words in views.pane(3.3, 18.0, humidity, -5.0, units="metric").sentence


def test_the_largest_dry_u_value_is_where_the_dry_pane_meets_the_dew_point():
    """21/−1 °C and 50 % (dew point 10.19 °C, CoolProp): U = (21 − 10.19)/0.13/22 by hand."""
    numbers = views.pane(3.0, 21.0, 0.5, -1.0, units="metric").numbers
    largest = first(numbers["largest U-value that stays dry"])
    assert largest == pytest.approx((21 - 10.19) / 0.13 / 22, rel=0.005)
    assert "water" not in " ".join(views.pane(largest - 0.05, 21.0, 0.5, -1.0, units="metric").numbers)
    assert "water" in " ".join(views.pane(largest + 0.05, 21.0, 0.5, -1.0, units="metric").numbers)


def test_a_frozen_pane_has_frost_and_full_air_leaves_none_dry():
    assert "frost grows on it" in views.pane(5.8, 2.0, 0.85, -24.0, units="metric").sentence
    assert "no pane stays dry" in views.pane(1.0, 18.0, 1.0, -5.0, units="metric").sentence


def test_the_house_starts_at_its_loss_bill():
    numbers = views.house(**views.house.spec.start(), units="metric").numbers
    bill = loss_bill(demo_house(4), 2.0, -24.0)
    assert first(numbers["whole loss"]) == pytest.approx(bill.total, rel=0.005)
    assert first(numbers["latent heat"]) == pytest.approx(bill.latent, rel=0.02)


def test_drops_hang_only_where_it_drips():
    dry, wet, wetter = (views.house(18.0, h, -24.0, 0.35, units="metric") for h in (0.3, 0.7, 1.0))
    assert "the panes stay dry" in dry.sentence and "drips " not in dry.svg
    assert "drips " in wet.svg
    assert dry.svg.count("<path") < wet.svg.count("<path") < wetter.svg.count("<path")


def test_mulch_leaves_less_water_in_the_air_and_no_heat_goes_astray():
    wet, mulched = (views.design_course(n) for n in (4, 5))
    assert mulched.humidity.mean() < wet.humidity.mean()
    assert mulched.energy["wet_panes"] < wet.energy["wet_panes"]
    assert max(wet.closure, mulched.closure) < 1e-9

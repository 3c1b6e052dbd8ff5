"""Crops: the rows that a bulletin lists, and who is in danger on a cold night."""

import pytest

from heatlib import crops, tables

MIN_CROPS = 20


def test_night_minima_of_the_bulletin(outside):
    cool = [crops.crop(name).night_minimum.value for name in ("lettuce", "parsley", "radish", "beet")]
    source = "UGAB792, cool house 50 °F and warm house 65 °F"
    outside("crops.crop", cool, [10.0] * 4, source=source, abs=0.01, why="50 °F is 10 °C")
    tomato = crops.crop("tomato").night_minimum.value
    outside("crops.crop", tomato, (65 - 32) / 1.8, source=source, abs=0.5, why="whole degrees")


def test_every_crop_has_its_rows():
    names = crops.crop_names()
    assert len(names) >= MIN_CROPS
    for name in names:
        one = crops.crop(name)
        assert one.name == name
        for entry in (one.night_minimum, one.damage_temperature):
            assert entry.unit == "°C" and entry.low <= entry.value <= entry.high and entry.source in tables.sources()
        assert one.damage_temperature.value < one.night_minimum.value
        assert -15 <= one.damage_temperature.value <= 5 and 0 <= one.night_minimum.value <= 20
        # what is recalled says so
        assert one.damage_temperature.source == "MEMORY" and "recalled" in one.damage_temperature.locator


def test_the_most_tender_sets_the_night():
    assert crops.warmest_minimum(["kale", "tomato", "lettuce"]) == crops.crop("tomato").night_minimum.value
    assert crops.warmest_minimum(["kale"]) == crops.crop("kale").night_minimum.value


def test_at_risk():
    damage = crops.crop("lettuce").damage_temperature
    assert damage.low < damage.high
    assert crops.at_risk(["lettuce"], damage.high + 0.1) == {}
    assert crops.at_risk(["lettuce"], damage.high) == {"lettuce": "may be harmed"}
    assert crops.at_risk(["lettuce"], damage.low) == {"lettuce": "may be harmed"}
    assert crops.at_risk(["lettuce"], damage.low - 0.1) == {"lettuce": "harmed"}
    # hardy before tender: at −5 °C kale stands and basil is gone (common practice, no source)
    assert crops.at_risk(["kale", "basil"], -5.0) == {"basil": "harmed"}


@pytest.mark.parametrize(
    ("call", "words"),
    [
        (lambda: crops.crop("lettuse"), "crop 'lettuse' is not known .nearest: lettuce"),
        (lambda: crops.warmest_minimum([]), "at least one name"),
        (lambda: crops.warmest_minimum("lettuce"), "at least one name, but it is 'lettuce'"),
        (lambda: crops.at_risk(["lettuce"], -61.0), "temperature must be between -60 and 90 °C, but it is -61 °C"),
        (lambda: crops.at_risk(["lettuce", "weed"], 0.0), "'weed' is not known"),
        (lambda: crops.at_risk([], 0.0), "at least one name"),
    ],
)
def test_refusals(call, words):
    with pytest.raises(ValueError, match=words):
        call()


@pytest.mark.parametrize("names", [None, True, 3, "kale", [], len])
def test_crops_are_a_list_of_names(names):
    for asked in (lambda: crops.warmest_minimum(names), lambda: crops.at_risk(names, -3.0)):
        with pytest.raises(ValueError, match=r"^crops must be a list of at least one name, but it is"):
            asked()

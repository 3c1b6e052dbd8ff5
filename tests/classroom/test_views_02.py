"""Lesson 2's own arithmetic: a pane laid out layer by layer, a patched wall, and the house with other panes."""

import re

import pytest

from heatlib.classroom.views import lesson_02 as views
from heatlib.house.bill import loss_bill

NIGHT = {"inside": 2.0, "outside": -24.0}


def u_of(*case, inside, outside):
    return 1 / sum(views.pane_layers(*case, inside, outside).resistances)


def test_a_single_pane_is_two_films_and_glass(outside):
    got = u_of("one", 0.004, 0.02, 4.0, **NIGHT)
    outside("views.pane_layers", got, 5.75, source="ISO 6946 films 0.13 and 0.04, 4 mm of glass at 1.0 W/m·K (memory)",
            rel=0.012, why="the wind's film is 0.0414 at 4 m/s, the standard rounds it to 0.04")  # fmt: skip


@pytest.mark.parametrize(
    "build, gap, expected, source",
    [
        ("two", 0.016, 2.8, "Murphy and McKay, example 9.1: double glazing"),
        ("two", 0.012, 2.9, "EN 673, 4-12-4 with air (memory)"),
        ("three", 0.012, 1.9, "EN 673, three panes with 12 mm of air (memory)"),
    ],
)
def test_sealed_units_come_out_as_published(build, gap, expected, source, outside):
    got = u_of(build, 0.004, gap, 4.0, inside=17.5, outside=2.5)
    outside("views.pane_layers", got, expected, source=source, rel=0.05, why="published to two digits, gap not stated")


def test_the_first_pane_of_a_double_window_takes_its_share():
    pane = views.pane_layers("two", 0.004, 0.02, 4.0, 10.0, -10.0)
    assert pane.temperatures[0] == 10.0 and pane.temperatures[-1] == pytest.approx(-10.0)
    total = sum(pane.resistances)
    for n, resistance in enumerate(pane.resistances):
        fall = pane.temperatures[n] - pane.temperatures[n + 1]
        assert fall == pytest.approx(20 * resistance / total)
    assert pane.names[0] == "inside film of air" and pane.names[-1] == "outside film of air"
    assert pane.kinds == ("film", "glass", "gap", "glass", "film")


def test_a_film_adds_its_gap_and_nothing_of_its_own():
    film = views.pane_layers("film", 0.004, 0.02, 4.0, **NIGHT)
    assert film.names[1] == "plastic film" and film.resistances[1] == 0.0
    assert film.resistances[3] == pytest.approx(0.004)  # 4 mm ÷ 1.0 W/m·K
    assert 0.15 < film.resistances[2] < 0.21  # ISO 6946's table has 0.18 for 20 mm in a wall


def test_a_patched_wall_adds_up():
    """(1.5 × 5.8 + 5 × 3.3 + 2 × 5.4) × 26 = 936 W by hand, with the U-values of the table."""
    picture = views.patchwork(1.5, 5.0, 2.0, -24.0, "bare", "acrylic_single", "metric")
    assert picture.numbers["lost by the wall"] == "936 W"
    assert picture.numbers["area of the wall"] == "8.5 m²"
    assert "24%" in picture.sentence  # 1.5 × 5.8 × 26 = 226 of 936


def test_a_wall_of_one_kind_has_no_share():
    assert "%" not in views.patchwork(0.0, 5.0, 0.0, -24.0, "bare", "acrylic_single", "metric").sentence


def test_boxes_keep_letter_and_colour_when_one_is_gone():
    whole = views.patchwork(1.5, 5.0, 2.0, -24.0, "bare", "acrylic_single", "metric").svg
    without = views.patchwork(0.0, 5.0, 2.0, -24.0, "bare", "acrylic_single", "metric").svg
    assert "B  twin-wall" in whole and "B  twin-wall" in without and "A  " not in without


@pytest.mark.parametrize("count", [0, 3, 10])
def test_sheet_fills_what_the_sashes_leave(count):
    house = views.glazed_house("film_double", "second", count)
    south = [one.area for one in house.surfaces if one.glazing and one.facing == 180 and one.tilt == 90]
    assert sum(south) == pytest.approx(4.8)  # the demo house's south panes: 2.1 + 6 × 0.75 × 0.6
    kinds = {one.glazing for one in house.surfaces if one.glazing}
    assert kinds == ({"film_double", "glass_two_sashes"} if count else {"film_double"})


def test_the_house_view_shows_what_the_bill_says():
    house = views.glazed_house("polycarbonate_twin_8", "film", 6)
    bill = loss_bill(house, 2.0, -24.0, 1.0)
    numbers = views.house("polycarbonate_twin_8", "film", 6, 2.0, -24.0, 1.0, "metric").numbers
    shown = float(re.sub(r"[^\d.]", "", numbers["lost through the panes"]))
    assert shown == pytest.approx(bill.watts("glazing"), rel=0.005)


def test_kinds_are_sorted_and_drops_help_only_films():
    dry = views.kinds(1.0, 26.0, 4.0, False, "metric").numbers
    wet = views.kinds(1.0, 26.0, 4.0, True, "metric").numbers
    watts = [float(value.split(" ")[0]) for value in dry.values()]
    assert watts == sorted(watts, reverse=True)
    assert dry["old sash"] == wet["old sash"] and "one film, wet" in wet
    assert float(wet["one film, wet"].split(" ")[0]) < float(dry["one film, dry"].split(" ")[0])

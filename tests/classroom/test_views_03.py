"""Lesson 3's own arithmetic: a wall with studs and holes, the house with foam in some walls, payback, a curtain."""

import re

import pytest

from heatlib.classroom.views import lesson_03 as views
from heatlib.house.bill import loss_bill
from heatlib.house.demo import demo_house

BOARD, FOAM, STUD = 0.0254 / 0.12, 0.1 / 0.0355, 0.1 / 0.12
"""By hand: a board and studs of softwood, 0.12 W/m·K, and bead board of 0.0355 W/m·K (ASHRAE 2013)."""
FILMS = 0.13 + 0.04


def shown(text):
    """The number at the start of a shown value."""
    return float(re.match(r"[−\d.\u202f]+", text)[0].replace("−", "-").replace("\u202f", ""))


def by_hand(shares, resistances):
    """ISO 6946: the mean of both limits of the resistance, board and films round the foam's layer (memory)."""
    upper = 1 / sum(s / (r + BOARD + FILMS) for s, r in zip(shares, resistances))
    lower = 1 / sum(s / r for s, r in zip(shares, resistances)) + BOARD + FILMS
    return 2 / (upper + lower)


def test_bare_and_whole_walls_by_hand(outside):
    source, why = "ISO 6946 with ASHRAE 2013's conductivities, worked by hand", "same arithmetic"
    bare = views.wall_u_value("eps", 0.0)
    outside("views.wall_u_value", bare, 1 / (FILMS + BOARD), source=source, rel=1e-9, why=why)
    whole = views.wall_u_value("eps", 0.1)
    outside("views.wall_u_value", whole, 1 / (FILMS + BOARD + FOAM), source=source, rel=1e-9, why=why)


@pytest.mark.parametrize("framing, gaps", [(0.12, 0.0), (0.12, 0.05), (0.25, 0.10), (0.0, 0.05)])
def test_studs_and_holes_by_hand(framing, gaps, outside):
    got = views.wall_u_value("eps", 0.1, framing, gaps)
    expected = by_hand((1 - framing - gaps, framing, gaps), (FOAM, STUD, 0.18))
    outside("views.wall_u_value", got, expected, source="ISO 6946, mean of both limits, worked by hand (memory)",
            rel=1e-9, why="same arithmetic")  # fmt: skip


def test_boards_in_place_of_foam_make_no_bridge():
    assert views.wall_u_value("softwood", 0.1, 0.25) == pytest.approx(views.wall_u_value("softwood", 0.1))


def test_thickness_says_what_is_left_and_what_the_first_inch_saves():
    picture = views.thickness("eps", 0.1, 0.0, 0.0, "metric")
    assert shown(picture.numbers["lost by the wall"]) == pytest.approx(26 / (FILMS + BOARD + FOAM), rel=0.006)
    first = 26 / (FILMS + BOARD) - 26 / (FILMS + BOARD + 0.0254 / 0.0355)
    assert shown(picture.sentence.split("first inch saves ")[1]) == pytest.approx(first, rel=0.006)
    assert shown(picture.numbers["let through by studs and gaps"]) == 0
    assert "first inch" not in views.thickness("eps", 0.0, 0.12, 0.0, "metric").sentence


def test_the_measure_of_the_lesson_is_the_demo_house_after_it():
    """100 mm of foam with 12 % studs in all dark parts, and a curtain with 15 % open."""
    ours = loss_bill(views.foamed_house("all", "eps", 0.1, 0.12, True, 0.15), 2.0, -24.0)
    theirs = loss_bill(demo_house(3), 2.0, -24.0)
    assert ours.total == pytest.approx(theirs.total, rel=1e-9)


@pytest.mark.parametrize("walls", ["north_wall", "north_roof", "low", "all"])
def test_foam_goes_only_where_it_was_put(walls):
    house = views.foamed_house(walls, "xps", 0.05, 0.1, False, 0.0)
    foamed = {one.name for one in house.surfaces if len(one.layers) == 3}
    assert foamed == set(views.PARTS[walls]) and house.curtain is None
    assert {one.name for one in house.surfaces if one.layers} == set(views.PARTS["all"])


def test_nothing_done_saves_nothing():
    picture = views.house("none", "eps", 0.1, 0.12, False, 0.15, -24.0, "metric")
    assert picture.numbers["lost in all"] == picture.numbers["lost in all without these measures"]
    assert picture.sentence.endswith("nothing is done yet.")


def test_a_closed_curtain_by_hand(outside):
    """1 ÷ (1 ÷ 3.3 + 0.35 + 0.18) × 26 W/m²."""
    numbers = views.curtain("polycarbonate_twin_8", 0.0, -24.0, "metric").numbers
    for key in ("with these gaps", "one edge sealed"):
        outside("views.curtain", shown(numbers[key]), 26 / (1 / 3.3 + 0.35 + 0.18),
                source="ISO 6946, layers added by hand", rel=0.006, why="three digits shown")  # fmt: skip
    assert shown(numbers["no curtain"]) == pytest.approx(3.3 * 26, rel=0.006)


def test_payback_by_hand():
    """One board at 20 in walls where the foam has 12 % studs; heat at 0.2, 12 K, 5 months of 729.6 h."""
    numbers = views.payback(20.0, 0.2, 10, 12.0, "5", "metric").numbers
    after = by_hand((0.88, 0.12), (0.0254 / 0.0355, 0.0254 / 0.12))
    yearly = (1 / (FILMS + BOARD) - after) * 12 * 5 * 729.6 / 1000 * 0.2
    price = 20 / (1.2192 * 2.4384)
    assert shown(numbers["first board pays for itself in"]) == pytest.approx(price / yearly, abs=0.06)


def test_each_further_board_takes_longer_and_a_dear_one_never_pays():
    picture = views.payback(40.0, 0.05, 1, 4.0, "3", "metric")
    assert picture.sentence.startswith("No board pays")
    numbers = views.payback(15.0, 0.17, 10, 10.0, "5", "metric").numbers
    first, best, last = (shown(value) for key, value in numbers.items() if "board" in key)
    assert first < best < 10 < last, "the best one still pays within the ten years, the last one does not"


def test_free_foam_is_laid_as_thick_as_it_goes():
    assert "Best: 10 boards" in views.payback(0.0, 0.17, 10, 10.0, "5", "metric").sentence

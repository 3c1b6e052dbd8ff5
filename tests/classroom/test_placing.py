"""Words find room: the first free place, else the least bad, and never off the paper while there is another."""

import itertools
import math
import re
import xml.etree.ElementTree as ET

import pytest

from heatlib.classroom.cutaway import FloorLayer, Flow, Section, Store, cutaway
from heatlib.classroom.placing import Room
from heatlib.classroom.svg import FONT_SIZE, text_width

PLACES = [(10, 50, "start"), (150, 50, "start"), (10, 90, "start")]


def test_the_first_place_is_taken_where_all_are_free():
    assert Room(0, 0, 300, 100).place(PLACES, ["word"]) == PLACES[0]


def test_a_taken_place_is_left_and_words_take_theirs():
    room = Room(0, 0, 300, 100)
    room.take(0, 30, 100, 60)
    assert room.place(PLACES, ["word"]) == PLACES[1]
    assert room.place(PLACES, ["word"]) == PLACES[2], "the second place holds words now"


def test_a_line_is_avoided_between_its_points_too():
    room = Room(0, 0, 300, 100)
    room.take_line([(0, 46), (100, 46)])
    assert room.place(PLACES, ["word"]) == PLACES[1]


def test_where_nothing_is_free_the_least_bad_place_is_taken():
    room = Room(0, 0, 300, 100)
    room.take(0, 0, 300, 70, 5.0)
    room.take(0, 70, 300, 100, 1.0)
    assert room.place(PLACES, ["word"]) == PLACES[2]


def test_words_leave_the_paper_last_of_all():
    room = Room(0, 0, 300, 100)
    room.take(0, 0, 300, 100)
    off = (290, 50, "start")
    assert room.place([off, (20, 50, "start")], ["word"]) == (20, 50, "start")
    assert room.place([off], ["word"]) == off


@pytest.mark.parametrize(("anchor", "start"), [("start", 100.0), ("middle", None), ("end", None)])
def test_an_anchor_is_where_the_words_hang(anchor, start):
    """Half of the words lies left of a middle anchor, all of them left of an end."""
    wide = text_width("word", FONT_SIZE, True)
    left = {"start": 100.0, "middle": 100.0 - wide / 2, "end": 100.0 - wide}[anchor]
    room = Room(0, 0, 300, 100)
    room.place([(100, 50, anchor)], ["word"])
    just_left, just_in = (left - wide - 0.5, 50, "start"), (left - wide + 0.5, 50, "start")
    elsewhere = (10, 95, "start")
    assert room.place([just_in, elsewhere], ["word"]) == elsewhere
    if anchor == "start":
        assert room.place([just_left, elsewhere], ["word"]) == just_left


HOUSES = {
    "club": Section(insulation=0.1, panes=2, curtain=True, heater=True, pipes=6, edge_depth=0.6),
    "small": Section(width=1.8, length=2.4, eaves=1.5, ridge=2.1, pipes=2, pipe_depth=0.3),
    "wide": Section(width=6.0, length=12.0, eaves=2.2, ridge=3.8, heater=True, pipes=8, pipe_depth=1.2),
    "floor": Section(floor=(FloorLayer("gravel", 0.1), FloorLayer("foam", 0.1, "foam")), heater=True, pipes=1),
}
PLACES_OF_AN_HOUR = {
    "south_roof": 1.0, "north_roof": 0.2, "sky": 0.1, "leaks": 0.3, "edge": 0.15, "floor": 0.15, "moisture": 0.1,
    "heater": -0.6, "sun": -1.5, "pipes": 0.3, "stores": 0.8,
}  # fmt: skip


def boxes(drawing):
    found = []
    for one in ET.fromstring(drawing).iter("{http://www.w3.org/2000/svg}text"):
        size, x, y = (float(one.get(key)) for key in ("font-size", "x", "y"))
        # the widths are upper bounds; letters without their fringes are what would touch
        wide = 0.9 * text_width("".join(one.itertext()), size, "font-weight:700" in one.get("style"))
        left = x - wide * {None: 0.0, "middle": 0.5, "end": 1.0}[one.get("text-anchor")]
        found.append(("".join(one.itertext()), left, y - 0.6 * size, left + wide, y))
    return found


@pytest.mark.parametrize("units", ["metric", "US"])
@pytest.mark.parametrize("sign", [1, -1])
@pytest.mark.parametrize(("watts", "count"), [(60.0, 9), (2500.0, 9), (9000.0, 18)])
@pytest.mark.parametrize("house", HOUSES)
def test_no_words_of_a_cutaway_lie_on_others(house, watts, count, sign, units):
    flows = [
        Flow(place, "Out of the soil" if place == "pipes" else place.replace("_", " ").title(), share * watts * turn)
        for place, share in PLACES_OF_AN_HOUR.items()
        if place != "heater" or HOUSES[house].heater
        for turn in [sign if place in ("pipes", "stores", "floor") else 1]
    ]
    stores = [Store("barrel", f"{count} barrels", 15.4, 0.7, count), Store("bed", "Bed", 17.3, 0.8)]
    drawing = cutaway(HOUSES[house], flows, stores, inside=4.2, outside=-23.7, units=units)
    for (a, *p), (b, *q) in itertools.combinations(boxes(drawing), 2):
        over = [min(p[n + 2], q[n + 2]) - max(p[n], q[n]) for n in (0, 1)]
        assert min(over) <= 0.5, f"{a!r} lies on {b!r} by {over[0]:.0f} × {over[1]:.0f} points"
    assert all(math.isfinite(edge) for _, *box in boxes(drawing) for edge in box)
    assert re.search(r"Out of the soil", drawing)

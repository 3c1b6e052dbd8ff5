"""Every view of every lesson, drawn at every corner of its controls in both unit systems.

A widget swallows an exception at a slider's end, and a notebook shows only the starting position: so each picture
function is called here as a plain function.
"""

import re
from xml.etree import ElementTree

import pytest

from heatlib.classroom.view import View, all_views
from heatlib.units import SYSTEMS, unit_of

LESSONS = 10
MOST_CORNERS = 400
SPECS = all_views()
OTHER = {
    "metric": re.compile(r"\d\s?(°F|Btu/h|kBtu|gal|ft|lb|mph|cfm)(?!\w)"),
    "US": re.compile(r"\d\s?(°C|m³|m²|kg|m/s|MJ|litres?|L)(?!\w)"),
}
"""Units of the other system; a picture that shows one has forgotten the switch."""


def test_each_lesson_has_views():
    per_lesson = {number: 0 for number in range(1, LESSONS + 1)}
    for spec in SPECS:
        per_lesson[int(re.search(r"views\.lesson_(\d\d)\.", spec.name)[1])] += 1
    assert all(count >= 2 for count in per_lesson.values()), per_lesson


def some(corners):
    """Return all corners, or where there are very many, every n-th of them with the first and the last."""
    corners = list(corners)
    step = -(-len(corners) // MOST_CORNERS)
    return [*corners[::step], corners[-1]] if step > 1 else corners


@pytest.mark.parametrize("spec", SPECS, ids=lambda spec: spec.name.split("views.")[-1])
def test_every_corner_draws(spec):
    seen = set()
    for corner in some(spec.corners()):
        units = corner["units"]
        picture = spec.function(**corner)
        words = " ".join([picture.sentence, picture.description, *picture.numbers.values()])
        assert not re.search(r"\b(nan|inf|None)\b", words), (corner, words)
        assert re.search(r"\d", picture.sentence), f"the sentence carries no number at {corner}"
        assert not OTHER[units].search(words), (corner, OTHER[units].search(words)[0], words)
        ElementTree.fromstring(picture.svg)
        assert not re.search(r'="-?(nan|inf)', picture.svg), corner
        seen.add(picture.sentence)
    assert len(seen) > len(SYSTEMS), "no control changes the sentence"


@pytest.mark.parametrize("spec", SPECS, ids=lambda spec: spec.name.split("views.")[-1])
def test_every_control_changes_something(spec):
    """A slider that moves nothing that the reader sees is a broken slider."""
    start = spec.start()
    for control in spec.controls:
        drawings = set()
        for end in control.ends():
            picture = spec.function(**(start | {control.name: end}), units="metric")
            drawings.add((picture.svg, picture.sentence))
        assert len(drawings) == len(set(control.ends())), f"{control.label} changes nothing in {spec.title}"


@pytest.mark.parametrize("spec", SPECS, ids=lambda spec: spec.name.split("views.")[-1])
def test_drawing_twice_gives_the_same(spec):
    for units in SYSTEMS:
        first, second = (spec.function(**spec.start(), units=units) for _ in range(2))
        assert (first.svg, first.sentence, first.numbers) == (second.svg, second.sentence, second.numbers)


@pytest.mark.parametrize("spec", SPECS, ids=lambda spec: spec.name.split("views.")[-1])
def test_the_live_view_turns_its_units_and_keeps_its_values(spec):
    view = View(spec)
    values, texts = dict(view.values), []
    for system in (*SYSTEMS, SYSTEMS[0]):
        view.units = system
        assert view.values == values, "switching the units must not move a value"
        assert not view.error
        for control, shown in zip(spec.controls, view._controls["items"]):
            if hasattr(control, "quantity"):
                assert shown["unit"] == unit_of(control.quantity, system).label
        texts.append(view.picture.text)
    assert texts[0] == texts[2]

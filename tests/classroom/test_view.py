"""Live views without a browser: values stay SI, bad input is told and kept out, the stored form repeats itself."""

import json
import math

import pytest

from heatlib.classroom import svg as s
from heatlib.classroom.controls import stated
from heatlib.classroom.jupyter import strip_live_views
from heatlib.classroom.picture import Picture
from heatlib.classroom.view import Choice, Slider, Toggle, View, ViewSpec, all_views, view

CONTROLS = (
    Slider(
        "volume", "Water in the barrel", "store_volume", low=0.05, high=1.0, value=0.208, steps={"metric": 10, "US": 5}
    ),
    Slider("warm", "Warm end", "temperature", low=-5.0, high=40.0, value=20.0),
    Slider("count", "Barrels", "count", low=0, high=12, value=9),
    Choice("material", "Store", ("water", "granite"), "water", labels={"water": {"metric": "Wasser", "US": "water"}}),
    Toggle("curtain", "Night curtain"),
)


def draw(volume, warm, count, material, curtain, *, units):
    if material == "granite" and curtain:
        raise ZeroDivisionError("by zero")
    if warm > 39.5:
        raise ValueError("the water would be too hot to touch.")
    assert isinstance(count, int)
    words = f"It holds {volume * 1000:.3f} and {warm:.3f}, {count}, {material}, {units}."
    return Picture(s.document(100, 50, s.text(1, 20, words)), words, words, {"volume": f"{volume * 1000:.1f} L"})


SPEC = ViewSpec("Heat in a barrel", CONTROLS, draw)


def ask(live, serial=1, units=None, **touched):
    """What the page sends: everything the reader has touched, in the unit it saw."""
    live._asked = {"serial": serial, "units": units or live.units, "touched": touched, "reset": 0, "pins": []}


def test_starts_with_its_own_values():
    live = View(SPEC)
    assert live.values == {"volume": 0.208, "warm": 20.0, "count": 9, "material": "water", "curtain": False}
    assert live._shown["sentence"].startswith("It holds 208.000 and 20.000")
    assert live._shown["svg"] == draw(**live.values, units="metric").svg
    assert [item["label"] for item in live._controls["items"]] == [control.label for control in CONTROLS]


def test_start_values_may_be_given_and_unknown_ones_are_refused():
    assert View(SPEC, volume=0.1).values["volume"] == 0.1
    with pytest.raises(ValueError, match="control 'wolume' is not known"):
        View(SPEC, wolume=0.1)
    with pytest.raises(ValueError, match="between 50 and 1000 L, but it is 2000 L"):
        View(SPEC, volume=2.0)


def test_switching_units_changes_no_value_and_no_picture_but_its_words():
    """A US gallon is 3.785411784 L and °F = 1.8 °C + 32, by definition (NIST SP 811, from memory)."""
    live = View(SPEC)
    before = dict(live.values)
    for _ in range(5):
        live.units = "US"
        assert live.values == before
        item = live._controls["items"][0]
        assert item["unit"] == "gal" and item["value"] == pytest.approx(208 / 3.785411784, rel=1e-12)
        assert live._controls["items"][1]["value"] == pytest.approx(68.0)
        live.units = "metric"
        assert live.values == before
    assert live._controls["items"][0]["value"] == pytest.approx(208.0, rel=1e-12)


def test_a_moved_slider_is_read_in_the_unit_it_was_moved_in():
    """55 US gallons are 208.197648 L by the definition of the gallon; the switch may come before the message does."""
    live = View(SPEC)
    live.units = "US"
    ask(live, units="US", volume=55)
    assert live.values["volume"] == pytest.approx(0.208197648, rel=1e-9)
    live.units = "metric"
    ask(live, serial=2, units="US", warm=50)
    assert live.values["warm"] == pytest.approx(10.0)
    assert live.values["volume"] == pytest.approx(0.208197648, rel=1e-9)
    assert live._controls["units"] == "metric" and live._controls["items"][1]["value"] == pytest.approx(10.0)


def test_ends_of_a_slider_can_be_reached_in_both_systems():
    for units in ("metric", "US"):
        live = View(SPEC, units)
        for item in live._controls["items"][:3]:
            for end, control_end in (("min", "low"), ("max", "high")):
                control = live._by_name[item["name"]]
                assert control.read(item[end], units) == getattr(control, control_end)


@pytest.mark.parametrize(
    "touched, words",
    [
        ({"volume": 5000}, "Water in the barrel must be between 50 and 1000 L, but it is 5000 L. The last good"),
        ({"volume": 9999999}, "must be between 50 and 1000 L, but it is 9999999 L. The last good"),
        ({"volume": None}, "Water in the barrel needs a number in L."),
        ({"volume": "12"}, "but it is the text '12'"),
        ({"volume": math.nan}, "Water in the barrel must be"),
        ({"warm": -5.001}, "Warm end must be between −5.0 and 40.0 °C, but it is −5.001 °C"),
        ({"count": 2.5}, "Barrels must be a whole number, but it is 2.5"),
        ({"material": "lead"}, "Store 'lead' is not known"),
        ({"curtain": "yes"}, "Night curtain must be yes or no"),
        ({"wolume": 3}, "Control 'wolume' is not known"),
    ],
)
def test_bad_input_is_told_and_changes_nothing(touched, words):
    live = View(SPEC)
    good, values = live.picture, dict(live.values)
    ask(live, **touched)
    assert words in live._shown["error"] and live._shown["error"].count(". ") <= 1
    assert live.picture is good and live.values == values and live._shown["svg"] == good.svg
    ask(live, serial=2, **({"volume": 300} | touched))
    assert live.values == values, "a good value beside a bad one waits"
    ask(live, serial=3, volume=100)
    assert live._shown["error"] == "" and live.values["volume"] == pytest.approx(0.1)


def test_an_exception_shows_one_sentence_keeps_the_picture_and_is_raised_for_tests():
    live = View(SPEC)
    good = live.picture
    ask(live, material="granite", curtain=True)
    assert live._shown["error"] == (
        "This picture can't be drawn with these values (ZeroDivisionError: by zero). The last good one is kept."
    )
    assert live._shown["svg"] == good.svg and isinstance(live.failure, ZeroDivisionError)
    assert live._shown["case"]["material"] == "water", "the case that is shown, not the one that failed"
    with pytest.raises(ZeroDivisionError):
        SPEC.draw(live.values, "metric")
    with pytest.raises(ZeroDivisionError):
        live.set(volume=0.1)
    ask(live, serial=3, warm=40)
    live.values["curtain"] = False
    ask(live, serial=4, warm=40)
    assert live._shown["error"] == "The water would be too hot to touch. The last good picture is kept."


def test_an_exception_at_the_beginning_is_raised():
    with pytest.raises(ValueError, match="too hot"):
        View(SPEC, warm=40.0)


def test_reset_goes_back_to_the_start_and_outlives_late_moves():
    live = View(SPEC, volume=0.3)
    ask(live, volume=500)
    live._asked = {"serial": 2, "units": "metric", "touched": {"warm": 30}, "reset": 1, "pins": []}
    assert live.values["volume"] == 0.3 and live.values["warm"] == 30.0
    live.set(volume=0.4)
    live.reset()
    assert live.values["volume"] == 0.3 and live.values["warm"] == 20.0


def test_pinned_cases_keep_their_values_and_follow_the_units():
    live = View(SPEC)
    case = json.loads(json.dumps(live._shown["case"]))
    live._asked = {"serial": 1, "units": "metric", "touched": {"volume": 100}, "reset": 0, "pins": [case]}
    assert live._pinned[0]["sentence"].startswith("It holds 208.000")
    assert live._pinned[0]["settings"][0] == ["Water in the barrel", "208 L"]
    live.units = "US"
    assert live._pinned[0]["settings"][0] == ["Water in the barrel", "54.9 gal"]
    assert live._pinned[0]["settings"][3] == ["Store", "water"]
    live._asked = {"serial": 2, "units": "US", "touched": {}, "reset": 0, "pins": [case] * 9}
    assert len(live._pinned) == 3
    bad = case | {"material": "granite", "curtain": True}
    live._asked = {"serial": 3, "units": "US", "touched": {}, "reset": 0, "pins": [bad]}
    assert "ZeroDivisionError" in live._shown["error"] and len(live._pinned) == 3


def test_setting_several_values_is_all_or_nothing():
    live = View(SPEC)
    with pytest.raises(ValueError, match="Warm end"):
        live.set(volume=0.1, warm=99.0)
    assert live.values["volume"] == 0.208
    live.set(volume=0.1, warm=30.0)
    assert live._shown["sentence"].startswith("It holds 100.000 and 30.000")


def test_stored_form_is_the_same_each_time_and_has_the_numbers():
    first, second = (View(SPEC)._repr_mimebundle_() for _ in range(2))
    for kind in ("image/png", "text/plain"):
        assert first[0][kind] == second[0][kind]
    assert first[0]["text/plain"].split("\n") == [draw(**SPEC.start(), units="metric").sentence, "volume: 208.0 L"]
    assert first[0]["image/png"].startswith(b"\x89PNG") and first[1]["image/png"]["width"] == 100
    assert "application/vnd.jupyter.widget-view+json" in first[0]


def test_corners_are_all_ends_in_both_systems():
    corners = list(SPEC.corners())
    assert len(corners) == 2 * 2**3 * 2 * 2
    assert len({tuple(corner.items()) for corner in corners}) == len(corners)
    assert {corner["volume"] for corner in corners} == {0.05, 1.0}


def test_a_view_has_at_most_four_sliders_and_its_function_takes_the_controls():
    many = [Slider(f"x{n}", f"Length {n}", "length", 0, 1, 0.5) for n in range(5)]

    def five(x0, x1, x2, x3, x4, *, units):
        return None

    with pytest.raises(ValueError, match="at most 4 sliders"):
        view(title="Too many", controls=many)(five)
    with pytest.raises(ValueError, match="its controls say"):
        view(title="Wrong", controls=many[:2])(five)


def test_a_wrong_slider_is_refused():
    for changes in ({"low": 2.0}, {"value": 5.0}, {"steps": {"metric": 0, "US": 1}}, {"quantity": "cheese"}):
        good = {"quantity": "length", "low": 0.0, "high": 1.0, "value": 0.5}
        with pytest.raises(ValueError):
            Slider("x", "Length", **(good | changes))


@pytest.mark.parametrize(
    "control, value, units, words",
    [
        (CONTROLS[0], 0.208, "metric", "208 L"),
        (CONTROLS[0], 0.208, "US", "54.9 gal"),
        (CONTROLS[1], -40 / 9, "US", "24 °F"),
        (CONTROLS[1], -0.0, "metric", "0.0 °C"),
        (CONTROLS[1], -5.0, "metric", "−5.0 °C"),
        (CONTROLS[2], 3, "US", "3"),
        (
            Slider("t", "Thickness", "thickness", 0, 0.3, 0.05, {"metric": 5, "US": 0.25}),
            0.0254 * 2.75,
            "US",
            "2.75 in",
        ),
        # 6 kW are 20472.85 Btu/h (1 W = 3.412142 Btu/h), 250 mm are 9.8425 in, 5 m are 16.404 ft
        (Slider("p", "Flame", "heat_flow", 0, 6000, 0, {"metric": 100, "US": 500}), 6000.0, "US", "20470 Btu/h"),
        (Slider("t", "Foam", "thickness", 0, 0.3, 0, {"metric": 5, "US": 0.5}), 0.25, "US", "9.84 in"),
        (Slider("d", "Depth", "length", 0, 5, 0, {"metric": 0.1, "US": 0.5}), 5.0, "US", "16.4 ft"),
        (Slider("d", "Depth", "length", 0, 5, 0, {"metric": 0.1, "US": 0.5}), 2.0, "US", "6.56 ft"),
        (Slider("h", "Humidity", "humidity", 0, 1, 0.5), 0.85, "metric", "85%"),
        (Slider("a", "Tilt", "angle", 0, 90, 0), 35.0, "US", "35°"),
    ],
)
def test_settings_are_written_as_the_page_writes_them(control, value, units, words):
    assert control.say(value, units) == words


@pytest.mark.parametrize(
    "value, quantity, units, words",
    [
        (1.025, "store_volume", "metric", "1\u202f025 L"),
        (0.208, "store_volume", "US", "54.9 gal"),
        (0.05, "store_volume", "metric", "50 L"),
        (8.5, "area", "metric", "8.5 m²"),
        (7.0, "speed", "metric", "7 m/s"),
        (13.4112, "speed", "US", "30 mph"),
        (0.0, "thickness", "metric", "0 mm"),
        (0.35, "share", "metric", "35%"),
        (0.125, "share", "US", "12.5%"),
        (-24.0, "temperature_difference", "metric", "−24 °C"),
    ],
)
def test_what_a_reader_set_is_written_back_as_a_person_would(value, quantity, units, words):
    """1 US gallon is 3.785412 L and 1 mph 0.44704 m/s, so 208 L are 54.948 gal and 13.4112 m/s are 30 mph."""
    assert stated(value, quantity, units) == words


def test_default_steps_are_round_and_fine():
    for control in (CONTROLS[1], Slider("p", "Power", "heat_flow", 0, 3000, 0)):
        for units in ("metric", "US"):
            step = control.step(units)
            head = step / 10 ** math.floor(math.log10(step) + 1e-9)
            assert round(head, 9) in (1, 2, 5)


def test_the_registry_finds_views_by_package():
    @view(title="Here", controls=[])
    def here(*, units):
        return draw(**SPEC.start(), units=units)

    assert here.spec.title == "Here" and here(units="US").sentence.endswith("US.")
    assert here.spec.name not in {spec.name for spec in all_views()}, "views of a test are no views of a lesson"


def test_saving_leaves_pictures_and_words_but_no_live_view():
    live = {"application/vnd.jupyter.widget-view+json": {"model_id": "x"}, "image/png": "abc", "text/plain": "It holds"}
    outputs = [
        {"output_type": "display_data", "data": dict(live), "metadata": {"image/png": {"width": 3}}},
        {"output_type": "display_data", "data": {"application/vnd.jupyter.widget-view+json": {}}, "metadata": {}},
        {"output_type": "stream", "name": "stdout", "text": "3 W"},
    ]
    cells = [
        {"cell_type": "code", "source": "import heatlib", "outputs": outputs},
        {"cell_type": "markdown", "source": "x"},
    ]
    book = {"metadata": {"widgets": {"state": 1}, "kernelspec": {}}, "cells": cells}
    other = json.loads(json.dumps(book).replace("heatlib", "pandas"))
    copy = json.loads(json.dumps(other))
    strip_live_views({"type": "notebook", "content": book})
    assert [sorted(one.get("data", {})) for one in cells[0]["outputs"]] == [["image/png", "text/plain"], []]
    assert cells[0]["outputs"][1]["text"] == "3 W" and book["metadata"] == {"kernelspec": {}}
    strip_live_views({"type": "notebook", "content": other})
    assert other == copy, "a notebook that does not use the project is left alone"
    for model in ({"type": "file", "content": "text"}, {"type": "notebook", "content": None}, {}):
        strip_live_views(model)

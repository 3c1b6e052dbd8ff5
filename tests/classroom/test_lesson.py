"""The object behind a lesson: what it shows, in words as well, and that one switch turns all of it."""

import re
from itertools import pairwise

import ipywidgets
import pytest

from heatlib.classroom import course, guess, installation, words
from heatlib.classroom.bill import bill_after, bill_picture, stored_heat
from heatlib.classroom.lesson import Lesson, check_installation, open_lesson
from heatlib.classroom.picture import Picture
from heatlib.classroom.svg import document, rect
from heatlib.classroom.view import Slider, view
from heatlib.house.demo import MEASURES
from heatlib.units import format_quantity

HEAT = 10e6


@view("Heat in a box", [Slider("volume", "Water", "store_volume", 0.0, 0.4, 0.2)])
def box(volume, units):
    heat = format_quantity(volume * 4.2e6 * 10 + 1, "heat_in_store", units)
    return Picture(
        document(300, 60, rect(0, 0, 600 * volume, 20)), f"It holds {heat}.", f"A bar of {heat}.", {"heat": heat}
    )


@pytest.fixture
def shown(monkeypatch):
    """Collect what a lesson puts on the page."""
    found = []
    for module in ("heatlib.classroom.lesson.display", "IPython.display.display"):
        monkeypatch.setattr(module, found.append)
    guess._kept.clear()
    return found


def bundle(item):
    data = item._repr_mimebundle_()
    return data[0] if isinstance(data, tuple) else data


def texts(found):
    return [bundle(item)["text/plain"] for item in found]


@pytest.fixture
def full(shown):
    lesson = open_lesson(3)
    asked = lesson.guess("How much heat?", "heat_in_store")
    lesson.show(box)
    lesson.pin(box, volume=0.1)
    lesson.say("It gives {heat} at {cold}.", heat=(HEAT, "heat_in_store"), cold=(-24.0, "temperature"))
    lesson.table(["store", "heat"], [("water", (HEAT, "heat_in_store"))], "What a store holds")
    asked.reveal(HEAT)
    lesson.bill_so_far()
    return lesson, shown, asked


def test_everything_has_words_and_numbers(full):
    _, found, _ = full
    assert len(found) == 11, "seven displays, the switch, and a stored sentence for each of three views"
    for text in texts(found):
        assert text.strip() and "Widget" not in text and "children" not in text
    joined = "\n".join(texts(found))
    for piece in (
        "Lesson 3: Insulating the dark walls",
        "It holds 8.40 MJ.",
        "It holds 4.20 MJ.",
        "It gives 10.0 MJ at −24.0 °C.",
    ):
        assert piece in joined
    assert "What a store holds\nstore     heat\nwater  10.0 MJ" in joined


def test_one_switch_turns_everything_and_back(full):
    lesson, found, _ = full
    before = texts(found)
    lesson.units = "US"
    turned = texts(found)
    assert not re.search(r"\d\s(MJ|°C|W)\b", "\n".join(turned[1:])), turned
    for piece in ("It holds 7.96 kBtu.", "It gives 9.48 kBtu at −11.2 °F.", "Your guess (in kBtu)"):
        assert piece in "\n".join(turned)
    lesson.units = "metric"
    assert texts(found) == before


def test_the_switch_starts_where_it_is_told(shown):
    assert open_lesson(1, units="US").units == "US"
    with pytest.raises(ValueError, match="unit system 'imperial' is not known"):
        Lesson(1, "imperial")
    with pytest.raises(ValueError, match="between 1 and 10, but it is 0"):
        Lesson(0)
    with pytest.raises(ValueError, match="but it is True"):
        Lesson(True)


def test_views_keep_picture_and_words_for_a_page_without_a_kernel(full):
    _, found, _ = full
    views = [item for item in found if "image/png" in bundle(item)]
    assert len(views) == 3
    assert all(
        bundle(item)["image/png"].startswith(b"\x89PNG") or isinstance(bundle(item)["image/png"], str) for item in views
    )
    stored = found[found.index(views[0]) + 1]
    assert bundle(stored)["text/plain"] == "It holds 8.40 MJ." and stored.layout.display == "none"


@pytest.mark.parametrize(
    ("typed", "said"),
    [
        ("10", "Your guess was 10.0 MJ: very near."),
        ("7", "Your guess was 7.00 MJ: 30% too low."),
        ("13", "Your guess was 13.0 MJ: 30% too high."),
        ("40", "Your guess was 40.0 MJ: 4 times too high."),
        ("7,5", "Your guess was 7.50 MJ: 25% too low."),
        ("", "You have not guessed yet"),
        ("much", "You have not guessed yet"),
        ("1e5", "You have not guessed yet"),
    ],
)
def test_a_guess_is_compared_also_when_it_comes_late(full, typed, said):
    asked = full[2]
    asked._asked._box.value = typed
    assert said in asked._asked.comparison.text


def test_a_guess_that_is_no_number_gets_a_sentence(full):
    asked = full[2]._asked
    asked._box.value = "a lot"
    assert "Please type a number" in asked._note.value
    assert asked.value is None


def test_a_guess_stays_when_the_units_turn_and_when_the_cell_runs_again(full):
    lesson, _, asked = full
    asked._asked._box.value = "10"
    value = asked.value
    lesson.units = "US"
    assert asked._asked._box.value == "9.478" and asked.value == value == 10e6
    again = lesson.guess("How much heat?", "heat_in_store")
    assert again.value == value


def test_a_temperature_is_compared_in_degrees(shown):
    lesson = open_lesson(1)
    asked = lesson.guess("How cold?", "temperature")
    asked.reveal(-2.0)
    asked._asked._box.value = "−5"
    assert "Your guess was −5.0 °C: 3.0 °C too low." in asked._asked.comparison.text
    lesson.units = "US"
    assert "Your guess was 23.0 °F: 5.4 °F too low." in asked._asked.comparison.text


def test_a_choice_is_compared(shown):
    asked = open_lesson(1).guess("Which?", ["water", "stone"])
    asked.reveal("water")
    assert "You have not guessed yet" in asked._asked.comparison.text
    asked._asked._box.value = "stone"
    assert asked._asked.comparison.text == "The answer: water. Your guess was “stone”."
    asked._asked._box.value = "water"
    assert asked._asked.comparison.text == "The answer: water. Your guess was right."
    with pytest.raises(ValueError, match="answer 'air' is not known"):
        asked.reveal("air")


def test_a_question_unfolds_to_verdict_and_reason_without_a_kernel(shown):
    open_lesson(1).question("What <decides>?", ["colour", "water"], "water", ["No & no.", "Each litre."])
    html, text = shown[-1].html, shown[-1].text
    assert html.count("<details") == html.count("</details>") == 2
    assert "What &lt;decides&gt;?" in html and "No &amp; no." in html and "onclick" not in html
    assert re.search(
        r"a\) colour</summary>.*?<b>Not quite\.</b> No &amp; no\..*b\) water</summary>.*?<b>Right\.</b>", html
    )
    assert text == "What <decides>?\na) colour\n   Not quite. No & no.\nb) water\n   Right. Each litre."
    for options, right, reasons in ((["a"], "a", []), (["a", "b"], "c", ["1", "2"])):
        with pytest.raises(ValueError, match=r"needs a reason|right option 'c' is not known"):
            open_lesson(1).question("Q?", options, right, reasons)


def test_cautions_say_who_decides(shown):
    lesson = open_lesson(1)
    for kind in course.cautions():
        lesson.caution(kind)
        assert "Local codes and licensed trades decide." in shown[-1].text
        assert "Caution" in shown[-1].html
    with pytest.raises(ValueError, match=r"caution 'electricty' is not known \(nearest: electricity"):
        lesson.caution("electricty")


DESIGN = "weight electricity carbon-monoxide trench glass snow heat-illness drums paint mould"


def test_every_caution_of_the_design_is_there():
    assert set(DESIGN.split()) <= set(course.cautions())
    whole = " ".join(f"{box.title} {box.text}" for box in course.cautions().values()).lower()
    for word in (
        "gfci",
        "rcd",
        "carbon monoxide",
        "811",
        "safety glass",
        "snow",
        "lead",
        "food-grade",
        "standing water",
        "slab",
    ):
        assert word in whole


@pytest.mark.parametrize(
    ("call", "said"),
    [
        (lambda lesson: lesson.say("{heat}"), "name in the sentence 'heat' is not known"),
        (lambda lesson: lesson.say("None.", heat=(1.0, "energy")), "no place for heat"),
        (lambda lesson: lesson.say("{heat}", heat=3.0), "must be words or"),
        (lambda lesson: lesson.say("{heat}", heat=(3.0, "heat")), "quantity 'heat' is not known"),
        (lambda lesson: lesson.say("{heat}", heat=(float("nan"), "energy")), "energy must be"),
        (lambda lesson: lesson.table(["a", "b"], [("x",)]), "each row needs 2 cells"),
        (lambda lesson: lesson.pin(box, volumes=1), "control 'volumes' is not known"),
        (lambda lesson: lesson.pin(box, volume=3.0), "Water must be between"),
    ],
)
def test_a_slip_of_the_author_is_named(shown, call, said):
    lesson = open_lesson(1)
    count = len(shown)
    with pytest.raises(ValueError, match=said):
        call(lesson)
    assert len(shown) == count, "nothing half-done is shown"


def test_words_in_both_systems():
    assert words.in_both(-24.0, "temperature") == "−24.0 °C (−11.2 °F)"
    assert words.in_both(2.0, "count") == "2.00"


def test_words_are_escaped():
    html = words.table_html(["<a>", "b"], [("<script>", "x & y")], "c < d", "metric")
    assert "<script>" not in html and "&lt;script&gt;" in html and "x &amp; y" in html and "c &lt; d" in html


def test_the_bill_shrinks_and_each_step_is_computed():
    totals = [bill_after(number).total for number in range(11)]
    assert all(later <= earlier + 1e-9 for earlier, later in pairwise(totals)), totals
    assert totals[10] < 0.5 * totals[0], "ten measures save more than half"
    assert [stored_heat(0), stored_heat(1) > 0, stored_heat(10) > stored_heat(1)] == [0, True, True]
    assert len(MEASURES) == 11


def test_the_bill_picture_follows_the_balance():
    """Water by hand: nine drums of 0.208 m³ at 999 kg/m³ × 4,190 J/kg·K (from memory) over 13 K, to 1 %."""
    assert stored_heat(1) == pytest.approx(9 * 0.208 * 999 * 4190 * 13, rel=0.01)
    for number in range(1, 11):
        for units in ("metric", "US"):
            picture = bill_picture(number, units)
            lost = format_quantity(bill_after(number).total, "heat_flow", units)
            assert lost in picture.sentence and picture.numbers["lost now"] == lost
            assert all(row.label in picture.description for row in bill_after(number).rows)


def test_installation_check_prints_five_good_lines(capsys):
    check_installation()
    lines = capsys.readouterr().out.splitlines()
    assert len(lines) == 5 and all(line.startswith("✓ ") for line in lines), lines


def broken():
    raise OSError("no such file")


@pytest.mark.parametrize(
    ("line", "stand_in", "said"),
    [
        (0, {"python": (3, 10, 2)}, "no, it is 3.10; install a newer Python"),
        (
            1,
            {"requirements": ["numpy~=2.2", "no-such-package>=1", "other; extra == 'test'"]},
            "no-such-package is missing",
        ),
        (2, {"prefix": "/nowhere"}, "jupyterlab-manager, anywidget is missing"),
        (3, {"read_table": broken}, "OSError: no such file"),
        (4, {"draw": broken}, "OSError: no such file"),
    ],
)
def test_installation_check_says_what_to_do(line, stand_in, said):
    found = installation.lines(**stand_in)
    assert [fine for fine, _ in found] == [n != line for n in range(5)]
    text = found[line][1]
    assert text.startswith("✗ ") and said in text and "run the first command of README.md again" in text


def test_live_texts_are_widgets_with_names(full):
    lesson, found, asked = full
    assert lesson.switch.description == "Units"
    assert asked._asked._box.description == "Your guess in MJ:"
    assert all(isinstance(item, ipywidgets.DOMWidget) for item in found)


def test_a_word_is_there_while_something_is_loaded_and_gone_after(monkeypatch):
    """What takes seconds is told before it begins; what is there already is not spoken of."""
    from heatlib.classroom import lesson as module

    seen = []
    head = module._Head(module.UnitsSwitch("Lesson 7", "metric"))

    def slow(name):
        seen.append((name, head.word.value, head.word.layout.display))

    monkeypatch.setattr(module, "import_module", slow)
    head.load("a_module_nobody_has", "the sun")
    ((name, told, display),) = seen
    assert name == "a_module_nobody_has" and display != "none"
    assert "Loading the sun." in told and 'role="status"' in told
    assert head.word.value == "" and head.word.layout.display == "none"
    head.load("sys", "what is there")
    assert len(seen) == 1


def test_the_switch_with_its_word_is_stored_as_the_switch_alone():
    from heatlib.classroom.lesson import UnitsSwitch, _Head

    switch = UnitsSwitch("Lesson 7", "metric")
    stored = [dict(one._repr_mimebundle_()[0]) for one in (switch, _Head(switch))]
    for one in stored:
        one.pop("application/vnd.jupyter.widget-view+json", None)
    assert stored[0] == stored[1] and "metric" in stored[0]["text/plain"]

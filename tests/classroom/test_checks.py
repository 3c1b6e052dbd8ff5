"""Exercise tasks: numbers that round well, answers from the library, checks that judge fairly, and what is refused.

Expected numbers are worked by hand from round textbook figures (a litre of water takes 4.186 kJ for each degree,
OpenStax College Physics m42224; a gallon 8.34 Btu, by the definition of the Btu).
"""

import random

import pytest
from hypothesis import given as cases
from hypothesis import strategies as st

from heatlib.classroom import checks
from heatlib.classroom.checks import Data, Exercise, Given, NotRight, Pick, Reading, Step
from heatlib.classroom.givens import fill, show, steps_as_text
from heatlib.classroom.tasks import as_html, as_plain, draw_task, task_lines
from heatlib.units import SYSTEMS, to_display

WATER = 4.186e6
"""Heat that a cubic metre of water takes for each degree [J/m³·K] (OpenStax College Physics m42224, 4186 J/kg·K)."""


@pytest.fixture(autouse=True)
def quiet(monkeypatch):
    """Show nothing and start without strict checking."""
    monkeypatch.setattr(Exercise, "_put", lambda self, write: write(self.units))
    for name in (checks.STRICT, checks.UNITS, checks.SHEETS):
        monkeypatch.delenv(name, raising=False)


def drum(units="metric", **more):
    """An exercise with one number task: a drum of 200 L (53 gal) cools by 15 °C (28 °F)."""
    sheet = Exercise(1, units)
    sheet.data(water=Data("volumetric_heat_capacity", WATER, "Water: heat for each degree"))
    options = dict(quantity="heat_in_store", hint="take the fall", paper=True) | more

    @sheet.number(
        "Drum",
        "{volume} cools from {warm} to {cold}.",
        given=dict(
            volume=Given("store_volume", 0.2, 0.1, 0.3, step={"metric": 10, "US": 1}),
            warm=Given("temperature", 20, 15, 30),
            cold=Given("temperature", 5, 1, 10),
        ),
        **options,
    )
    def heat(volume, warm, cold):
        return WATER * volume * (warm - cold)

    return sheet


def said(sheet, answer, capsys, name="Drum"):
    sheet.check(name, answer)
    return capsys.readouterr().out.strip()


# ---- numbers --------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("entry", "system", "number", "text"),
    [
        (Given("store_volume", 0.208, step={"metric": 2, "US": 1}), "metric", 208, "208\u00a0L"),
        (Given("store_volume", 0.208, step={"metric": 2, "US": 1}), "US", 55, "55\u00a0gal"),
        (Given("temperature", -24, step={"metric": 1, "US": 5}), "metric", -24, "−24\u00a0°C"),
        (Given("temperature", -24, step={"metric": 1, "US": 5}), "US", -10, "−10\u00a0°F"),
        (Given("length", 3.6, step=0.5), "metric", 3.5, "3.5\u00a0m"),
        (Given("electric_power", 1500, step=100), "US", 1500, "1\u202f500\u00a0W"),
        (Data("volumetric_heat_capacity", WATER, "water"), "metric", 4.19, "4.19\u00a0kJ/L·°C"),
        (Data("volumetric_heat_capacity", WATER, "water"), "US", 8.34, "8.34\u00a0Btu/gal·°F"),
        (Data("heat_of_electric_energy", 1.0, "kWh"), "US", 3.41, "3.41\u00a0kBtu/kWh"),
    ],
)
def test_shown_numbers_are_round_in_the_readers_unit(entry, system, number, text):
    shown = entry.shown(system)
    assert (shown.number, shown.text) == (number, text)
    assert to_display(shown.si, entry.quantity, system) == pytest.approx(number, rel=1e-12)


@cases(st.integers(0, 10**9), st.sampled_from(SYSTEMS), st.sampled_from([1, 2, 5, 0.5]))
def test_drawn_numbers_lie_in_range_and_on_the_step(seed, system, step):
    entry = Given("temperature", 20, 12.3, 31.7, step=step)
    shown = entry.draw(random.Random(seed), system)
    assert 12.3 - 1e-9 <= shown.si <= 31.7 + 1e-9
    assert shown.number / step == pytest.approx(round(shown.number / step))


def test_every_multiple_can_be_drawn_ends_included():
    entry = Given("store_volume", 0.2, 0.2, 0.25, step={"metric": 10, "US": 1})
    drawn = {entry.draw(random.Random(seed), "metric").number for seed in range(200)}
    assert drawn == {200, 210, 220, 230, 240, 250}


@pytest.mark.parametrize(
    ("make", "words"),
    [
        (lambda: Given("temperature", 20, 10), "both low and high"),
        (lambda: Given("temperature", 20, 10, 5), "not below high"),
        (lambda: Given("temperature", 20, 10, 15, step=10), "no two multiples"),
        (lambda: Given("temperature", 20, step=0), "step .* greater than 0"),
        (lambda: Given("temperature", float("nan")), "finite"),
        (lambda: Pick("tea", {"water": "water"}), "not known"),
        (lambda: Step("heat", 3.0), "value with its quantity"),
        (lambda: fill("{volume}", {"volum": "3"}), "nearest: volum"),
        (lambda: Exercise(11), "between 1 and 10"),
        (lambda: Exercise(True), "between 1 and 10"),
        (lambda: Exercise(1, "imperial"), "not known"),
    ],
)
def test_bad_declarations_are_refused(make, words):
    with pytest.raises(ValueError, match=words):
        make()


def test_answers_have_three_digits_and_steps_can_use_earlier_ones():
    assert show(-1234.5, "heat_flow", "metric").text == "−1\u202f230\u00a0W"
    assert show(0.0, "heat_flow", "metric").text == "0\u00a0W"
    lines = steps_as_text(
        [
            Step("fall", 15.0, "temperature_difference", "fall"),
            Step("{fall} again", 30.0, "temperature_difference"),
            "so",
        ],
        {},
        "US",
    )
    assert lines == ["fall = 27.0\u00a0°F", "27.0\u00a0°F again = 54.0\u00a0°F", "so"]


# ---- checking -------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("units", "answer"), [("metric", 4.186 * 200 * 15 / 1000), ("US", 8.34 * 53 * (68 - 41) / 1000)]
)
def test_right_answer_by_hand(units, answer, capsys):
    assert said(drum(units), answer, capsys).startswith("Task 1: right")


@pytest.mark.parametrize("answer", [..., None, "", "...", " "])
def test_not_attempted(answer, capsys):
    assert said(drum(), answer, capsys) == "Task 1: not attempted yet"


@pytest.mark.parametrize(
    ("answer", "words"),
    [
        (9.0, "not yet: take the fall"),
        (12558, "a thousand times too large"),
        (0.012558, "a thousand times too small"),
        (-12.558, "the sign is not"),
        (11.9, "in kBtu, but MJ is wanted"),
        ("12.5", "not yet: the answer must be a number in MJ"),
        (True, "a yes or no"),
        ([12.5, 12.6], "one number is wanted"),
        (float("nan"), "not yet: the answer must be"),
    ],
)
def test_wrong_answer_gets_its_reason(answer, words, capsys):
    line = said(drum(), answer, capsys)
    assert words in line and "right:" not in line


def test_tolerance_is_what_was_declared(capsys):
    exact = 12.558
    for factor, fine in ((1.019, True), (0.981, True), (1.021, False), (0.979, False)):
        line = said(drum(tolerance=0.02), exact * factor, capsys)
        assert ("right:" in line) is fine, factor


def test_known_slips_are_named(capsys):
    sheet = drum(slips=lambda volume, warm: {"only the fall counts": WATER * volume * warm})
    assert said(sheet, 4.186 * 200 * 20 / 1000, capsys) == "Task 1: not yet: only the fall counts"


def test_strict_raises_on_anything_but_right(monkeypatch, capsys):
    monkeypatch.setenv(checks.STRICT, "1")
    sheet = drum()
    sheet.check("Drum", 12.558)
    for answer in (..., 9.0):
        with pytest.raises(NotRight, match="Task 1, Drum: not"):
            sheet.check("Drum", answer)


def test_units_come_from_the_environment_and_turning_forgets_answers(monkeypatch, capsys):
    monkeypatch.setenv(checks.UNITS, "US")
    sheet = drum(None)
    assert sheet.units == "US"
    sheet.check("Drum", 8.34 * 53 * 27 / 1000)
    sheet.turn("metric")
    assert sheet.tasks["Drum"].status == "not attempted yet"
    sheet.close()
    assert "0 of 1 checked tasks are right" in capsys.readouterr().out


def test_numbers_are_those_on_the_sheet():
    sheet = drum("US")
    shown, si = sheet.numbers("Drum"), sheet.numbers("Drum", "SI")
    assert (shown.volume, shown.warm, shown.cold, shown.water) == (53, 68, 41, 8.34)
    assert si.volume == pytest.approx(53 * 3.785411784e-3)
    with pytest.raises(ValueError, match="not known"):
        sheet.numbers("Drum", "metric")


# ---- kinds ----------------------------------------------------------------------------------------------------------


def choosing(merits, options=None, **more):
    sheet = Exercise(1, "metric")
    options = options or {letter: f"number {letter}" for letter in merits}
    sheet.choose("Pick", "Which?", {}, options, "heat_in_store", hint="weigh them", **more)(lambda: merits)
    return sheet


def test_choice_takes_the_greatest_merit_that_is_not_ruled_out(capsys):
    sheet = choosing({"A": 2e6, "B": None, "C": 3e6})
    assert said(sheet, "c", capsys, "Pick") == "Task 1: right: C"
    assert said(sheet, "A", capsys, "Pick") == "Task 1: not yet: weigh them"
    assert "one of the letters A, B, C" in said(sheet, 3, capsys, "Pick")


@pytest.mark.parametrize("merits", [{"A": 1e6, "B": 1.05e6}, {"A": None, "B": None}, {"A": -1.0, "B": None}])
def test_ties_and_hopeless_choices_are_refused(merits):
    with pytest.raises(ValueError, match="no sensible task"):
        choosing(merits)


def test_the_margin_decides_what_is_a_tie():
    choosing({"A": 1e6, "B": 1.05e6}, margin=0.04)
    choosing({"A": 100.0, "B": 90.0}, margin=0.1)  # just far enough apart
    with pytest.raises(ValueError, match="as good as each other"):
        choosing({"A": 100.0, "B": 90.1}, margin=0.1)


def test_letters_must_be_in_order_and_merits_must_match():
    with pytest.raises(ValueError, match="lettered A, B, C"):
        choosing({"A": 1e6, "C": 2e6})
    with pytest.raises(ValueError, match="merits are for A"):
        choosing({"A": 1e6}, options={"A": "a", "B": "b"})


def erring(factor):
    sheet = Exercise(1, "metric")

    def work(hours):
        return [Step("{hours} at 1 kW", 1000 * hours * factor, "electric_energy")]

    @sheet.find_error(
        "Slip", "Find it.", dict(hours=Given("time", 4 * 3600, 3600, 9 * 3600)), work, "electric_energy", hint="look"
    )
    def energy(hours):
        return 1000 * hours

    return sheet


def test_find_the_error_knows_the_result_with_the_mistake(capsys):
    sheet = erring(0.5)
    assert said(sheet, 2.0, capsys, "Slip").endswith("still has the mistake in it. Look")
    assert said(sheet, 4.0, capsys, "Slip") == "Task 1: right: 4.00\u00a0kWh"


def test_a_mistake_without_effect_is_refused():
    with pytest.raises(ValueError, match="makes no difference"):
        erring(1.08)


def measuring():
    sheet = Exercise(1, "metric")
    readings = dict(
        evening=Reading("temperature", 5, 60, "evening temperature"),
        morning=Reading("temperature", 0, 50, "morning temperature"),
    )

    @sheet.measure("Bottle", "Read twice.", readings, "heat_in_store", hint="read again")
    def heat(evening, morning):
        if morning > evening:
            raise ValueError("the morning is warmer than the evening")
        return WATER * 0.002 * (evening - morning)

    return sheet


def test_own_readings_are_believed_or_doubted(capsys):
    sheet = measuring()
    assert "They come to 0.0837\u00a0MJ" in said(sheet, dict(evening=40, morning=30), capsys, "Bottle")
    assert "not attempted yet" in said(sheet, dict(evening=40, morning=...), capsys, "Bottle")
    assert "between 5 and 60 °C, but it is 104 °C" in said(sheet, dict(evening=104, morning=30), capsys, "Bottle")
    assert "warmer than the evening" in said(sheet, dict(evening=30, morning=40), capsys, "Bottle")
    assert "readings wanted are evening, morning" in said(sheet, dict(evening=30), capsys, "Bottle")
    sheet.turn("US")
    assert "right" in said(sheet, dict(evening=104, morning=86), capsys, "Bottle")


def test_an_open_task_has_no_check():
    sheet = Exercise(1, "metric")
    sheet.open("Talk", "What do you think?")
    with pytest.raises(ValueError, match="nothing to check"):
        sheet.check("Talk", "much")


def test_temperature_needs_a_tolerance_in_degrees(capsys):
    sheet = Exercise(1, "metric")
    start = dict(start=Given("temperature", 1))
    with pytest.raises(ValueError, match="give within="):
        sheet.number("T", "{start}", start, "temperature", hint="no")
    sheet.number("T", "{start}", start, "temperature", hint="no", within=0.5, low=-60)(lambda start: start - 1)
    assert "right" in said(sheet, 0.4, capsys, "T")
    assert "not yet" in said(sheet, 0.6, capsys, "T")
    sheet.turn("US")
    # shown in US units: 34 °F, so the answer is 34 − 1.8 = 32.2 °F, and half a kelvin is 0.9 °F
    assert "right" in said(sheet, 33.0, capsys, "T")
    assert "not yet" in said(sheet, 33.2, capsys, "T")


def test_text_with_an_unknown_name_is_refused():
    sheet = Exercise(1, "metric")
    with pytest.raises(ValueError, match="volum"):
        sheet.number("T", "{volum}", dict(volume=Given("store_volume", 0.2)), "mass", hint="")(lambda volume: volume)


def test_answers_out_of_range_are_refused():
    with pytest.raises(ValueError, match="out of range"):
        drum(high=1e6)
    with pytest.raises(ValueError, match="condition of the task"):
        drum(sensible=lambda warm: warm > 25)


# ---- copies ---------------------------------------------------------------------------------------------------------


def keyed(sheet, factor=1.0):
    @sheet.key("Drum")
    def working(volume, warm, cold, water):
        return [Step("{water} × {volume} × fall", factor * water * volume * (warm - cold), "heat_in_store")]

    class Drawn:
        svg, sentence, description = "<svg/>", "one", "one drum of 208 L"

    sheet._drawing = lambda units: Drawn
    sheet.remember("{heat}", heat=(1e6, "heat_in_store"))
    return sheet


def test_a_working_that_misses_the_answer_is_refused():
    keyed(drum(), 1.02)
    with pytest.raises(ValueError, match=r"the working comes to 12\.9\sMJ, the library to 12\.6"):
        keyed(drum(), 1.03)


def test_sentences_after_the_result_are_no_result():
    sheet = keyed(drum())

    @sheet.key("Drum")
    def working_with_words(volume, warm, cold, water):
        heat = water * volume * (warm - cold)
        return ["First this.", Step("heat", heat, "heat_in_store"), Step("and a step without a value"), "Done."]

    task = sheet.sheets(0, 1, "metric")["sheets"][0]["tasks"][0]
    assert task["working"] == ["First this.", "heat = 12.6\u00a0MJ", "and a step without a value", "Done."]


@pytest.mark.parametrize(
    ("units", "more", "margin"),
    [
        ("metric", dict(tolerance=0.04), "±4%"),
        ("metric", dict(within=5e5), "±0.5\u00a0MJ"),
        ("US", dict(within=5e5), "±0.47\u00a0kBtu"),
    ],
)
def test_the_margin_is_printed_in_the_readers_unit(units, more, margin):
    task = keyed(drum(**more)).sheets(0, 1, units)["sheets"][0]["tasks"][0]
    assert task["margin"] == margin and task["checked"]


def test_a_sheet_without_key_drawing_or_number_is_refused():
    sheet = drum()
    with pytest.raises(ValueError, match="no model solution for: Drum"):
        sheet.sheets(1, 1, "metric")
    sheet = keyed(drum())
    sheet._drawing = None
    with pytest.raises(ValueError, match="no drawing"):
        sheet.sheets(1, 1, "metric")
    sheet = keyed(drum())
    sheet._remember = None
    with pytest.raises(ValueError, match="no number to remember"):
        sheet.sheets(1, 1, "metric")


@pytest.mark.parametrize("units", SYSTEMS)
def test_copies_differ_and_the_same_seed_repeats_them(units):
    sheet = keyed(drum())
    first = sheet.sheets(30, 7, units)
    assert first == sheet.sheets(30, 7, units)
    numbers = [tuple(each["tasks"][0]["given"].values()) for each in first["sheets"]]
    assert len(set(numbers)) == 30
    assert first["sheets"] != sheet.sheets(30, 8, units)["sheets"]
    assert [each["number"] for each in first["sheets"]] == list(range(1, 31))
    assert first["sheets"][:5] == sheet.sheets(5, 7, units)["sheets"], "fewer copies begin with the same sheets"


def test_without_copies_the_sheet_has_the_notebooks_numbers():
    sheet = keyed(drum())
    only = sheet.sheets(0, 7, "US")["sheets"]
    assert len(only) == 1 and only[0]["tasks"][0]["given"] == {"volume": 53, "warm": 68, "cold": 41, "water": 8.34}


def test_right_letters_take_turns():
    sheet = keyed(drum())
    sizes = {name: Given("store_volume", value, 0.1, 0.3, step=10) for name, value in (("a", 0.1), ("b", 0.2))}

    @sheet.choose("Pick", "Which?", sizes, {"A": "{a}", "B": "{b}"}, "store_volume", hint="")
    def merit(a, b):
        return {"A": a, "B": b / 1.6}

    sheet.key("Pick", "the larger")
    letters = [each["tasks"][1]["answer"] for each in sheet.sheets(20, 3, "metric")["sheets"]]
    assert letters.count("A") == letters.count("B") == 10


def test_few_numbers_repeat_instead_of_ending():
    sheet = Exercise(1, "metric")
    days = dict(days=Given("count", 2, 1, 3))
    sheet.number("Few", "{days}", days, "count", hint="")(lambda days: days)
    sheet.key("Few")(lambda days: [Step("count", days, "count")])
    sheet._drawing, sheet._remember = keyed(drum())._drawing, keyed(drum())._remember
    drawn = [each["tasks"][0]["given"]["days"] for each in sheet.sheets(7, 1, "metric")["sheets"]]
    assert sorted(drawn[:3]) == [1, 2, 3] and len(drawn) == 7


def test_ranges_without_a_sensible_draw_are_named():
    sheet = keyed(drum(sensible=lambda warm: warm == 20))
    sheet.tasks["Drum"].sensible = lambda warm: warm > 99
    with pytest.raises(ValueError, match=r"Drum: .* widen its ranges"):
        sheet.sheets(1, 1, "metric")


# ---- words ----------------------------------------------------------------------------------------------------------


def test_words_of_a_reader_stay_words():
    lines = [("head", "Task <1>"), ("text", "a & b"), ("item", "A: 3 < 4")]
    assert as_plain(lines) == "Task <1>\na & b\n  A: 3 < 4"
    html = as_html(lines)
    assert "&lt;1&gt;" in html and "a &amp; b" in html and "3 &lt; 4" in html


def test_a_task_says_its_kind_unit_and_lines():
    sheet = erring(0.5)
    lines = task_lines(draw_task(sheet.tasks["Slip"], {}, "US"), "US")
    assert lines[0] == ("head", "Task 1. Slip (find the error, pencil and calculator)")
    assert ("item", "line 1: 4\u00a0h at 1 kW = 2.00\u00a0kWh") in lines
    assert lines[-1] == ("text", "Answer in kWh.")


def test_a_view_serves_as_the_sheets_picture(monkeypatch):
    from heatlib.classroom.view import Slider, view

    @view("one", [Slider("volume", "volume", "store_volume", 0.1, 0.3, 0.2)])
    def one(volume, *, units):
        return volume, units

    monkeypatch.delitem(__import__("heatlib.classroom.view", fromlist=["_registry"])._registry, one.spec.name)
    shown = []
    monkeypatch.setattr("heatlib.classroom.lesson.StillView", lambda spec, units: shown.append(spec))
    monkeypatch.setattr("IPython.display.display", lambda *things: None)
    sheet = Exercise(1, "metric")
    sheet.drawing(one, volume=0.25)
    assert sheet._drawing("US") == (0.25, "US") and len(shown) == 1
    with pytest.raises(ValueError, match="control 'size' is not known"):
        sheet.drawing(one, size=3)


def test_the_data_box_takes_data_only():
    with pytest.raises(ValueError, match="the data box takes Data"):
        Exercise(1, "metric").data(water=Given("store_volume", 0.2))
    with pytest.raises(ValueError, match="must be a Given or a Pick"):
        Exercise(1, "metric").number("T", "{water}", dict(water=3), "mass", hint="")

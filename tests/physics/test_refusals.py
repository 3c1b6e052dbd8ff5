"""Every number that a public function takes is refused in one plain sentence where it makes no sense."""

import inspect
import re
from itertools import combinations

import numpy as np
import pytest
from physics_examples import EXAMPLES, UNCHECKED, call, flat, public_functions

PANE_LISTS = ("facing", "tilt", "solar_transmittance", "dirt", "frame")
"""Arguments that belong to the pane, which stands along other axes than the sun's moments."""
NUMERIC = [name for name, example in EXAMPLES.items() if example.numbers]
WRONG = {
    "NaN": float("nan"),
    "inf": float("inf"),
    "minus inf": float("-inf"),
    "text": "12",
    "bytes": b"12",
    "yes": True,
    "numpy no": np.False_,
    "complex": 1 + 2j,
    "date": np.datetime64("2026-01-01"),
    "list of texts": ["1", "2"],
    "list of booleans": [True, False],
    "ragged list": [[1.0], [1.0, 2.0]],
    "dictionary": {"value": 1},
    "too large for a float": 10**400,
}


def refusal(function, *arguments, **named):
    """Return the sentence with which a call is refused."""
    with pytest.raises(ValueError) as caught:
        function(*arguments, **named)
    assert type(caught.value) is ValueError, "no subclass: a grower reads it, and lessons catch it"
    sentence = str(caught.value)
    assert "\n" not in sentence and not re.search(r"[.!?] [A-Z]", sentence), f"more than one sentence: {sentence}"
    assert 10 < len(sentence) < 260 and not sentence.endswith("."), sentence
    assert not re.search("[A-Z]{2,}", sentence.replace("UTC", "")), f"capitals, or a constant's name: {sentence}"
    return sentence


def spoken(argument, number):
    return (number.called or argument.replace("_", " ")).lower()


def _plain(sentence):
    return sentence.replace("·", "").replace("per hour", "1/h")


def parameters(name):
    """Return what a docstring says of parameters, at the left edge: newer Pythons move them there."""
    return re.search(r"Parameters\n-+\n(.*?\n)\nReturns", inspect.getdoc(public_functions()[name]), re.S)[1]


def unit_in_docstring(name, argument):
    """Return the unit that the docstring states for an argument, without the dots of products; None without one."""
    entry = re.search(rf"^(?:\w+, )*{argument}(?:, \w+)* :.*?\[([^\]]+)\]", parameters(name), re.S | re.M)
    unit = entry and " ".join(entry.group(1).split())
    return (
        None
        if unit in (None, "–", "text", "SI", "display unit") or "," in unit
        else unit.replace("·", "").split(" ")[0]
    )


def test_every_public_function_has_an_example():
    functions = public_functions()
    assert len(functions) > 150
    assert set(functions) - set(EXAMPLES) - set(UNCHECKED) == set(), "add an entry to physics_examples.py"
    assert set(EXAMPLES) - set(functions) == set() and set(UNCHECKED) <= set(functions)


@pytest.mark.parametrize("name", UNCHECKED)
def test_unchecked_functions_say_so(name):
    parameters = public_functions()[name].__code__.co_argcount
    if parameters and name != "air_table.write_table":
        assert "checked" in public_functions()[name].__doc__


@pytest.mark.parametrize("name", EXAMPLES)
def test_the_example_is_a_valid_call(name):
    for array in flat(call(name)):
        assert array.dtype.kind not in "fc" or np.isfinite(array).all()


@pytest.mark.parametrize("name", NUMERIC)
def test_the_second_values_are_valid(name):
    for argument, number in EXAMPLES[name].numbers.items():
        assert isinstance(flat(call(name, **{argument: number.other})), list)


@pytest.mark.parametrize("name", NUMERIC)
def test_no_number(name):
    for argument, number in EXAMPLES[name].numbers.items():
        for kind, value in WRONG.items():
            sentence = refusal(call, name, **{argument: value})
            assert "must be" in sentence and "but it is" in sentence, f"{argument}, {kind}: {sentence}"
            # lists that do not fit are refused by the name of the argument, before anything else is known of them
            assert kind == "ragged list" or spoken(argument, number) in sentence.lower(), (
                f"{argument}, {kind}: {sentence}"
            )


@pytest.mark.parametrize("name", NUMERIC)
def test_out_of_range(name):
    for argument, number in EXAMPLES[name].numbers.items():
        for value in number.bad:
            sentence = refusal(call, name, **{argument: value})
            assert spoken(argument, number) in sentence.lower(), sentence
            assert "must" in sentence, f"no range: {sentence}"
            assert f"{value:.6g}" in sentence or f"{value}" in sentence, f"{value} is not named: {sentence}"
            unit = unit_in_docstring(name, argument)
            assert unit is None or _plain(sentence).count(f" {unit}") >= 2, f"not in {unit}: {sentence}"


@pytest.mark.parametrize("name", NUMERIC)
def test_one_bad_value_in_a_list(name):
    for argument, number in EXAMPLES[name].numbers.items():
        for value in () if number.single else (float("nan"), float("inf"), *number.bad):
            sentence = refusal(call, name, **{argument: np.array([number.value, value, number.value])})
            assert spoken(argument, number) in sentence.lower(), sentence


@pytest.mark.parametrize("name", NUMERIC)
def test_a_list_where_one_number_is_wanted(name):
    for argument, number in EXAMPLES[name].numbers.items():
        if number.single and (EXAMPLES[name].lists, argument) != ("time", "inlet"):
            sentence = refusal(call, name, **{argument: np.array([number.value, number.other, number.value])})
            assert "must" in sentence, sentence


@pytest.mark.parametrize("name", NUMERIC)
def test_lists_that_do_not_fit_together(name):
    example = EXAMPLES[name]
    many = [argument for argument, number in example.numbers.items() if not number.single]
    for one, two in combinations(many, 2):
        if example.lists != "panes" or (one in PANE_LISTS) == (two in PANE_LISTS):
            lengths = {one: np.full(2, example.numbers[one].value), two: np.full(3, example.numbers[two].value)}
            sentence = refusal(call, name, **lengths)
            assert "same length" in sentence and "(2,)" in sentence and "(3,)" in sentence, sentence


@pytest.mark.parametrize("pane", [float("nan"), float("inf"), -1.0, 31.0, True, 1j, [5.8, 5.8]])
def test_a_piece_of_a_wall_is_named_or_has_a_u_value(pane):
    assert "U-value" in refusal(call, "glazing.pieced_u_value", pane=pane)


def numbers_in(text):
    text = re.sub(r"(?<=\d)[ ,\u00a0\u202f\u2009](?=\d{3}\b)", "", text)
    found = re.findall(r"[-−]?\d+(?:\.\d+)?(?:e[-−+]?\d+)?", text)
    return {float(word.replace("−", "-")) for word in found}


OTHER_UNITS = re.compile("kPa|MJ|10¹|years| 6 h")
"""Ranges that a docstring states in a larger unit than the one of the call."""
TWO_CHECKS = {
    ("moisture.pane_drip", "inside"),
    ("moisture.pane_drip", "outside"),
    ("pipe_soil.soil_rings", "outer_radius"),
}
"""Arguments that two functions check, or whose limit is another argument."""


@pytest.mark.parametrize("name", NUMERIC)
def test_the_docstring_states_the_range_that_a_refusal_names(name):
    section = parameters(name)
    for argument, number in EXAMPLES[name].numbers.items():
        entry = re.search(rf"^(?:\w+, )*{argument}(?:, \w+)* : [^\"]*?\n((?:    [^\n]*\n)+)", section, re.M)
        if entry is None or OTHER_UNITS.search(entry[1]) or (name, argument) in TWO_CHECKS or '"' in entry[1]:
            continue
        for value in number.bad:
            allowed = re.search(
                r"must be ((?:between|greater|at least|at most) .*?), but", refusal(call, name, **{argument: value})
            )
            if allowed and "in an hour" not in allowed.string:
                assert numbers_in(allowed[1]) <= numbers_in(entry[1]), f"{argument}: {allowed[1]}"

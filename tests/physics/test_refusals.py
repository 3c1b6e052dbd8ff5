"""Every number that a public function takes is refused in one plain sentence where it makes no sense."""

import inspect
import re
import warnings
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
            # " m" alone also begins words
            named = unit and re.findall(rf" {re.escape(unit)}(?![\w/])", _plain(sentence))
            wanted = 2 if "but it is" in sentence else 1
            assert unit is None or len(named) >= wanted, f"not in {unit}: {sentence}"


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


LIMITS = re.compile(
    r"must be (?:between (?P<low>\S+) and (?P<high>\S+)|greater than (?P<above>\S+)(?:.*? and at most (?P<top>\S+))?"
    r"|at least (?P<least>\S+)|at most (?P<most>\S+)).*?, but it is "
)


def ranges(name, argument):
    """Return the ranges that refusals of an argument name: whole sentence up to the value, and the limits in it."""
    sentences = {refusal(call, name, **{argument: value}) for value in EXAMPLES[name].numbers[argument].bad}
    found = [LIMITS.search(sentence) for sentence in sorted(sentences)]
    return {match.string[: match.end()]: match for match in found if match}


def refused(name, argument, value, beginning):
    """Tell whether a call is refused and, if so, whether for this argument's value and range."""
    with np.errstate(all="ignore"), warnings.catch_warnings(action="ignore"):
        try:
            call(name, **{argument: float(value)})
        except ValueError as error:
            return "for this" if str(error).startswith(f"{beginning}{value:.6g}") else "for another"
    return ""


def upper_limit_in_docstring(name, argument):
    entry = re.search(rf"^(?:\w+, )*{argument}(?:, \w+)* : [^\"]*?\n((?:    [^\n]*\n)+)", parameters(name), re.M)
    return bool(entry and re.search(r"(?:\d to|at most) [\d−]", entry[1]))


@pytest.mark.parametrize("name", NUMERIC)
def test_a_range_ends_where_its_refusal_says(name):
    for argument, number in EXAMPLES[name].numbers.items():
        for beginning, limits in ranges(name, argument).items():
            low, high = limits["low"] or limits["least"], limits["high"] or limits["top"] or limits["most"]
            assert high or not upper_limit_in_docstring(name, argument), f"{argument} has no upper limit"
            for end, outward in ((low, -np.inf), (high, np.inf)):
                if end:
                    assert refused(name, argument, float(end), beginning) != "for this", f"{argument} at {end}"
                    assert refused(name, argument, np.nextafter(float(end), outward), beginning), (argument, end)
            if limits["above"]:
                end = float(limits["above"])
                assert refused(name, argument, end, beginning), f"{argument} at {end}"
                inside = end + 1e-6 * abs(number.value - end)
                assert refused(name, argument, inside, beginning) != "for this", f"{argument} at {inside}"


STATED = {
    ("beds.periodic_response", "thickness"): ({0, 20}, "m"),
    ("beds.periodic_response", "conductivity"): ({0, 500}, "W/m·K"),
    ("beds.periodic_response", "capacity"): ({1e3, 1e7}, "J/m³·K"),
    ("beds.thermal_diffusivity", "capacity"): ({1e3, 1e7}, "J/m³·K"),
    ("conduction.series", "first"): ({0, 1000}, "m²·K/W"),
    ("conduction.series", "second"): ({0, 1000}, "m²·K/W"),
    ("floors.floor_admittance", "thickness"): ({0, 20}, "m"),
    ("floors.floor_admittance", "period"): ({60, 3.2e8}, "s"),
    ("floors.floor_day_capacity", "thickness"): ({0, 20}, "m"),
    ("floors.floor_day_capacity", "period"): ({60, 3.2e8}, "s"),
    ("floors.floor_heat_capacity", "thickness"): ({0, 20}, "m"),
    ("floors.floor_resistance", "thickness"): ({0, 20}, "m"),
    ("frost.freezing_depth", "k_frozen"): ({0.01, 10}, "W/m·K"),
    ("frost.freezing_depth", "k_thawed"): ({0.01, 10}, "W/m·K"),
    ("frost.freezing_depth", "c_frozen"): ({1e5, 1e7}, "J/m³K"),
    ("frost.freezing_depth", "c_thawed"): ({1e5, 1e7}, "J/m³K"),
    ("frost.freezing_index", "first"): ({-60, 90}, "°C"),
    ("glazing.pieced_u_value", "area"): ({0, 1e5}, "m²"),
    ("glazing.pieced_u_value", "share"): ({0, 1}, ""),
    ("glazing.pieced_u_value", "frame"): ({0, 30}, "W/m²·K"),
    ("other_heat.carbon_dioxide", "useful_heat"): ({0, 1e13}, "J"),
    ("other_heat.compost_heat", "heat_per_dry_mass"): ({0, 2e7}, "J/kg"),
    ("other_heat.fuel_needed", "useful_heat"): ({0, 1e13}, "J"),
    ("other_heat.warm_up_hours", "heat_capacity"): ({0, 1e10}, "J/K"),
    ("pipe_soil.soil_course", "step"): ({1, 21600}, "s"),
    ("pipe_soil.soil_course", "first_store"): ({0}, "J/m·K"),
    ("pipe_soil.soil_course", "first_way"): ({0}, "W/m·K"),
    ("shade.horizon_light", "direction"): ({0, 360}, "° from north"),
    ("shade.horizon_light", "height"): ({0, 90}, "°"),
    ("shade.shaded", "zenith"): ({0, 180}, "°"),
    ("shade.shaded", "azimuth"): ({0, 360}, "°"),
    ("shade.tree_light", "zenith"): ({0, 180}, "°"),
    ("shade.tree_light", "azimuth"): ({0, 360}, "°"),
    ("shade.tree_light", "direction"): ({0, 360}, "° from north"),
    ("shade.tree_light", "distance"): ({0, 1000}, "m"),
    ("shade.tree_light", "height"): ({2, 150}, "m"),
    ("shade.tree_light", "crown_base"): ({0, 150}, "m"),
    ("shade.tree_light", "crown_width"): ({0, 100}, "m"),
    ("sun.clear_sky", "zenith"): ({0, 180}, "°"),
    ("sun.cloudy_sky", "zenith"): ({0, 180}, "°"),
    ("sun.cloudy_sky", "beam"): ({0, 1600}, "W/m²"),
    ("sun.cloudy_sky", "diffuse"): ({0, 1600}, "W/m²"),
    ("sun.cloudy_sky", "all_light"): ({0, 1600}, "W/m²"),
    ("sun.incidence_angle", "zenith"): ({0, 180}, "°"),
    ("sun.incidence_angle", "azimuth"): ({0, 360}, "°"),
    ("sun.pane_irradiance", "zenith"): ({0, 180}, "°"),
    ("sun.pane_irradiance", "azimuth"): ({0, 360}, "°"),
    ("sun.pane_irradiance", "beam"): ({0, 1600}, "W/m²"),
    ("sun.pane_irradiance", "diffuse"): ({0, 1600}, "W/m²"),
    ("sun.pane_irradiance", "all_light"): ({0, 1600}, "W/m²"),
    ("sun.pane_irradiance", "outside"): ({1200, 1500}, "W/m²"),
    ("transmission.absorbed_shares", "absorptance"): ({0, 1}, ""),
    ("transmission.absorbed_shares", "area"): ({0}, "m²"),
    ("transmission.sun_through", "beam"): ({0}, "W/m²"),
    ("transmission.sun_through", "circumsolar"): ({0}, "W/m²"),
    ("transmission.sun_through", "sky"): ({0}, "W/m²"),
    ("transmission.sun_through", "ground"): ({0}, "W/m²"),
    ("transmission.sun_through", "incidence"): ({0, 180}, "°"),
}
"""Ranges of numbers that stand inside an object, or that a docstring gives in a larger unit: here in the call's own."""


@pytest.mark.parametrize(("name", "argument"), STATED, ids=[".".join(key) for key in STATED])
def test_a_number_without_a_docstring_of_its_own_has_its_range_and_unit(name, argument):
    wanted, unit = STATED[name, argument]
    for beginning, limits in ranges(name, argument).items():
        stated = {float(limit) for limit in limits.groupdict().values() if limit}
        assert stated == {float(limit) for limit in wanted}
        assert beginning.endswith(f" {unit}, but it is " if unit else ", but it is ")


@pytest.mark.parametrize("name", [name for name in NUMERIC if "pressure" in EXAMPLES[name].numbers])
def test_the_air_pressure_is_allowed_where_the_docstring_says(name):
    entry = re.search(r"pressure : .*?(\d+) to (\d+) kPa", parameters(name), re.S)
    stated = {1000 * float(limit) for limit in entry.groups()}
    refusals = [{float(limits["low"]), float(limits["high"])} for limits in ranges(name, "pressure").values()]
    assert stated in refusals and all(limits in (stated, {50e3, 110e3}) for limits in refusals)

"""Refusals: every kind of bad input is turned away in one sentence that names argument, value, unit and range."""

import math
from dataclasses import dataclass

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from heatlib._check import TEMPERATURE, broadcast, choice, number, plain, shortened, single, whole


def refusal(*args, **kwargs):
    with pytest.raises(ValueError) as caught:
        number(*args, **kwargs)
    return str(caught.value)


@pytest.mark.parametrize("value", [0.1, 2, 0, np.float32(0.5), np.float64(2.0), np.int64(1), np.array(1.5)])
def test_numbers_come_back_as_plain_floats(value):
    got = number("wall thickness", value, "m", 0, 2)
    assert type(got) is float and got == float(value)


@pytest.mark.parametrize("value", [[1, 2], (0.0, 2.0), np.array([1, 2]), np.array([[1.0], [2.0]])])
def test_lists_come_back_as_float_arrays(value):
    got = number("wall thickness", value, "m", 0, 2)
    assert isinstance(got, np.ndarray) and got.dtype == float and got.shape == np.shape(value)


def test_an_array_is_not_the_callers_own():
    mine = np.array([1.0, 2.0])
    number("x", mine, "m")[0] = 5.0
    assert mine[0] == 1.0


@pytest.mark.parametrize("value", [-3, -3.0, np.array(-3.0), [1.0, -3.0, -4.0]])
def test_too_small(value):
    expected = "wall thickness must be between 0 and 2 m, but it is -3 m"
    assert refusal("wall thickness", value, "m", 0, 2) == expected


@pytest.mark.parametrize("value", [2.5, np.array([1.0, 2.5])])
def test_too_large(value):
    assert refusal("wall thickness", value, "m", 0, 2) == "wall thickness must be between 0 and 2 m, but it is 2.5 m"


@pytest.mark.parametrize("value, shown", [(math.nan, "nan"), (math.inf, "inf"), (-math.inf, "-inf")])
def test_no_finite_number(value, shown):
    assert refusal("heat", value, "W") == f"heat must be a finite number, but it is {shown} W"
    assert refusal("heat", [1.0, value], "W") == f"heat must be a finite number, but it is {shown} W"
    assert refusal("heat", value, "W", 0, math.inf).endswith(f"it is {shown} W")


def test_ranges_in_words():
    assert refusal("heat", -1.0, "W", 0) == "heat must be at least 0 W, but it is -1 W"
    assert refusal("heat", 5.0, "W", high=4) == "heat must be at most 4 W, but it is 5 W"
    assert refusal("area", 0.0, "m²", above=0) == "area must be greater than 0 m², but it is 0 m²"
    assert refusal("area", [1.0, 0.0], "m²", above=0) == "area must be greater than 0 m², but it is 0 m²"
    expected = "area must be greater than 0 m² and at most 5 m², but it is 6 m²"
    assert refusal("area", 6.0, "m²", high=5, above=0) == expected
    assert refusal("share", 1.5, "", 0, 1) == "share must be between 0 and 1, but it is 1.5"


def test_ends_of_a_range():
    assert number("x", 0.0, "", 0, 1) == 0.0 and number("x", 1.0, "", 0, 1) == 1.0
    assert number("x", [0.0, 1.0], "", 0, 1).tolist() == [0.0, 1.0]
    assert number("x", 1e-12, "", above=0) == 1e-12
    assert number("x", -1e300, "") == -1e300


@pytest.mark.parametrize("value", [True, False, np.bool_(True)])
def test_yes_and_no_are_no_numbers(value):
    assert refusal("heat", value, "W") == f"heat must be a number in W, but it is {value}, a yes or no"
    assert refusal("share", value, "") == f"share must be a number, but it is {value}, a yes or no"


@pytest.mark.parametrize("value", ["5", "warm", b"5"])
def test_texts_are_no_numbers(value):
    assert refusal("heat", value, "W") == f"heat must be a number in W, but it is the text {value!r}"


@pytest.mark.parametrize("value", [None, 1j, [True, False], ["1", "2"], object(), {"a": 1}])
def test_other_things_are_no_numbers(value):
    assert refusal("heat", value, "W").startswith("heat must be a number in W, but it is ")


def test_ragged_lists():
    expected = "heat must be a number in W or a regular list of them, but it is [[1.0], [1.0, 2.0]]"
    assert refusal("heat", [[1.0], [1.0, 2.0]], "W") == expected


@given(st.floats(allow_nan=True, allow_infinity=True))
def test_scalar_and_list_agree(value):
    try:
        single = number("x", value, "m", -5, 5)
    except ValueError as error:
        assert refusal("x", [value], "m", -5, 5) == str(error)
    else:
        assert number("x", [value], "m", -5, 5)[0] == single == value


def test_temperature_range():
    assert TEMPERATURE == (-60.0, 90.0)


def test_broadcast():
    assert broadcast() == broadcast(a=1.0) == ()
    assert broadcast(a=[1.0, 2.0], b=3.0) == (2,)
    assert broadcast(a=np.zeros((3, 1)), b=np.zeros(4)) == (3, 4)
    expected = "these lists must have the same length or be single numbers: area has (2,), u_value has (3,)"
    with pytest.raises(ValueError) as caught:
        broadcast(area=[1.0, 2.0], u_value=[1.0, 2.0, 3.0])
    assert str(caught.value) == expected


def test_choice():
    names = ["gravel", "granite", "water"]
    assert choice("material", "water", names) == "water"
    with pytest.raises(ValueError) as caught:
        choice("material", "Gravel", names)
    assert str(caught.value) == "material 'Gravel' is not known (nearest: gravel)"
    with pytest.raises(ValueError) as caught:
        choice("material", "zzz", names)
    assert str(caught.value) == "material 'zzz' is not known (known: granite, gravel, water)"
    with pytest.raises(ValueError) as caught:
        choice("letter", "?", "nmlkjihgfedcba")
    assert str(caught.value) == "letter '?' is not known (known: a, b, c, d, e, f, g, h, i, j, k, l …)"
    with pytest.raises(ValueError) as caught:
        choice("letter", "?", "lkjihgfedcba")
    assert str(caught.value).endswith("j, k, l)")


@pytest.mark.parametrize("value", [5, None, True, ["water"], b"water"])
def test_choice_of_something_that_is_no_name(value):
    with pytest.raises(ValueError, match="is not known"):
        choice("material", value, ["water"])


def test_choice_shows_at_most_three():
    with pytest.raises(ValueError) as caught:
        choice("x", "aaaa", ["aaab", "aaac", "aaad", "aaae"])
    assert str(caught.value).count("aaa") == 4


def test_plain():
    assert type(plain(np.float64(2.5))) is float and plain(np.float64(2.5)) == 2.5
    assert type(plain(np.array(2.5))) is float
    array = np.array([1.0])
    assert plain(array) is array


def test_single_takes_one_number_only():
    assert single("tilt", 30, "°", 0, 180) == 30.0 and type(single("tilt", np.int64(30), "°")) is float
    for value, told in (([30.0], "a list of 1"), (np.zeros((2, 3)), "a list of 6"), ([], "a list of 0")):
        with pytest.raises(ValueError) as caught:
            single("tilt", value, "°", 0, 180)
        assert str(caught.value) == f"tilt must be one number in °, but it is {told}"
    with pytest.raises(ValueError, match=r"^share must be one number, but it is a list of 2$"):
        single("share", [0.1, 0.2], "")
    with pytest.raises(ValueError, match=r"^tilt must be greater than 0 ° and at most 90 °, but it is 0 °$"):
        single("tilt", 0.0, "°", high=90, above=0)


def test_a_yes_or_no_hides_in_no_list():
    for value in ([True, 2.0], (1.0, [2.0, False]), [np.True_, 3.0]):
        assert refusal("heat", value, "W").endswith("with a yes or no in it")
    assert refusal("heat", np.array([True]), "W").startswith("heat must be a number in W, but it is [True]")


def test_long_values_are_cut_to_fit_a_sentence():
    told = refusal("heat", 10**400, "W")
    assert told.endswith("000…") and len(told) < 110
    assert refusal("heat", "a" * 500, "W").count("a") < 70
    assert "\n" not in refusal("heat", np.array([["a", "b"], ["c", "d"]]), "W")


SHOWN = (
    ("six", "'six'"),
    ("a\nb\tc", r"'a\nb\tc'"),
    ("x" * 999, "'" + "x" * 58 + "…"),
    (10**5000, "a whole number of thousands of digits"),
    (b"\0", r"b'\x00'"),
    (None, "nothing"),
    (np.array([1, 2]), "[1, 2]"),
    (np.datetime64("2025-01-01"), "the date or time 2025-01-01"),
    (len, "something of another kind"),
    (True, "True"),
    ("\u202e", r"'\u202e'"),
    ([1, 2], "[1, 2]"),
)


@pytest.mark.parametrize(("value", "shown"), SHOWN, ids=range(len(SHOWN)))
def test_anything_is_shown_in_one_line(value, shown):
    assert shortened(value) == shown
    assert shortened("a\n b\u2028c\x07", quoted=False) == r"a b c\x07"
    assert shortened("x" * 60, quoted=False) == "x" * 60 and len(shortened("x" * 61, quoted=False)) == 60
    with pytest.raises(ValueError) as caught:
        choice("material", value, ["gravel"])
    assert "\n" not in str(caught.value) and len(str(caught.value)) < 120


def test_whole_numbers_are_never_rounded():
    assert whole("days", 3, "", 1, 400) == 3 and type(whole("days", 3.0, "", 1, 400)) is int
    for value, says in (
        (1.5, "whole number from 1 to 400, but it is 1.5"),
        (0, "between 1 and 400"),
        ([1, 2], "list of 2"),
    ):
        with pytest.raises(ValueError, match=says):
            whole("days", value, "", 1, 400)
    with pytest.raises(ValueError, match=r"from 1 to 9 barrels, but it is 2\.5 barrels"):
        whole("largest", 2.5, "barrels", 1, 9)


def test_a_whole_number_out_of_range_is_refused_by_name_and_unit():
    with pytest.raises(ValueError, match=r"^days must be between 1 and 400 d, but it is 0 d$"):
        whole("days", 0, "d", 1, 400)


def test_one_value_above_the_top_of_a_half_open_range():
    expected = "area must be greater than 0 m² and at most 5 m², but it is 6 m²"
    assert refusal("area", [1.0, 6.0], "m²", high=5, above=0) == expected


def test_a_list_with_a_yes_is_shown():
    assert (
        refusal("heat", [True, 2.0], "W") == "heat must be a number in W, but it is [True, 2.0], with a yes or no in it"
    )


@dataclass
class Pane:
    area: float


def test_things_are_called_by_their_kind():
    assert shortened(Pane(1.0)) == "a Pane"
    assert shortened(Pane) == "something of another kind"


def test_numbers_are_written_out_up_to_four_thousand_digits():
    assert shortened(10**4000) == shortened(-(10**4000)) == "a whole number of thousands of digits"
    assert shortened(10**4000 - 1) == "9" * 59 + "…"


def test_a_ragged_list_among_several_is_named():
    expected = r"^area must be a number or a regular list of them, but it is \[\[1\.0\], \[1\.0, 2\.0\]\]$"
    with pytest.raises(ValueError, match=expected):
        broadcast(area=[[1.0], [1.0, 2.0]], u_value=[1.0])


@pytest.mark.parametrize(
    ("asked", "names", "hint"),
    [
        # likeness: twice the letters in common over all letters; 12/13, 10/12 and 8/13
        ("gravel", ["gravity", "travel", "gravels"], "nearest: gravels, travel, gravity"),
        # 4/8, just near enough, and 4/10, which is not
        ("abcd", ["abxy"], "nearest: abxy"),
        ("abcde", ["abxyz"], "known: abxyz"),
        ("?", "abcdefghijklm", "known: a, b, c, d, e, f, g, h, i, j, k, l …"),
    ],
)
def test_names_are_near_from_half_alike_on(asked, names, hint):
    with pytest.raises(ValueError) as caught:
        choice("thing", asked, names)
    assert str(caught.value) == f"thing {asked!r} is not known ({hint})"

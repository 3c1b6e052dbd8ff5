"""Every function answers a list element by element as it answers single numbers, in one dimension and in two."""

from dataclasses import fields, is_dataclass
from itertools import pairwise

import numpy as np
import pytest
from physics_examples import EXAMPLES, call, flat, public_functions

ITERATED = {"moist_air.wet_bulb": 1e-6}
"""Answers found by steps that stop when small enough [K]; in a list all elements step until the last is there."""


def lists(name):
    """Arguments that may be lists which stand along the same axis."""
    return [argument for argument, number in EXAMPLES[name].numbers.items() if not number.single]


BROADCASTING = [name for name in EXAMPLES if lists(name)]
PAIRS = [name for name in BROADCASTING if len(lists(name)) > 1 and EXAMPLES[name].lists != "panes"]


def scalars(name, **changed):
    """Return the results of a call with plain numbers, each of them one number."""
    values = flat(call(name, **changed))
    assert all(value.shape == () for value in values), f"{name}: single numbers give no single numbers"
    return np.array([float(value) for value in values])


def held_together(name, result, shape, expected):
    """Assert that each part of a result holds the single answers; a part may leave out an axis that changes nothing."""
    assert len(result) == expected.shape[0], name
    for part, wanted in zip(result, expected):
        np.testing.assert_allclose(
            np.broadcast_to(part, shape).astype(float),
            wanted,
            rtol=1e-12,
            atol=ITERATED.get(name.partition(",")[0], 1e-12),
        )


def test_there_is_enough_to_try():
    assert len(BROADCASTING) > 90 and len(PAIRS) > 70


@pytest.mark.parametrize("name", BROADCASTING)
@pytest.mark.parametrize("kind", [np.array, list])
def test_one_list(name, kind):
    for argument in lists(name):
        number = EXAMPLES[name].numbers[argument]
        values = [number.value, number.other, number.value]
        expected = np.stack([scalars(name, **{argument: value}) for value in values], axis=-1)
        held_together(f"{name}, {argument}", flat(call(name, **{argument: kind(values)})), (3,), expected)


@pytest.mark.parametrize("name", PAIRS)
def test_rows_and_columns(name):
    for one, two in pairwise(lists(name)):
        numbers = EXAMPLES[name].numbers
        down = np.array([numbers[one].value, numbers[one].other])
        across = np.array([numbers[two].value, numbers[two].other, numbers[two].value])
        expected = np.stack([[scalars(name, **{one: a, two: b}) for b in across] for a in down])
        result = flat(call(name, **{one: down[:, np.newaxis], two: across}))
        held_together(f"{name}, {one}, {two}", result, (2, 3), np.moveaxis(expected, -1, 0))


@pytest.mark.parametrize("name", BROADCASTING)
def test_single_numbers_give_plain_numbers(name):
    result = call(name)
    parts = [getattr(result, f.name) for f in fields(result)] if is_dataclass(result) else result
    for part in parts if isinstance(parts, tuple | list) else [parts]:
        assert type(part) in (float, bool), f"{name} gives {type(part)}, which prints and computes otherwise"


@pytest.mark.parametrize("name", BROADCASTING)
def test_whole_numbers_are_numbers(name):
    for argument in lists(name):
        value = round(EXAMPLES[name].numbers[argument].value)
        try:
            expected = scalars(name, **{argument: float(value)})
        except ValueError:
            continue
        np.testing.assert_array_equal(scalars(name, **{argument: value}), expected)
        np.testing.assert_array_equal(scalars(name, **{argument: np.int32(value)}), expected)


@pytest.mark.parametrize("name", BROADCASTING)
def test_lists_stay_as_they_were(name):
    for argument in lists(name):
        number = EXAMPLES[name].numbers[argument]
        given = np.array([number.value, number.other])
        kept = given.copy()
        call(name, **{argument: given})
        np.testing.assert_array_equal(given, kept)


@pytest.mark.parametrize("name", BROADCASTING)
def test_an_empty_list_gives_an_empty_list(name):
    for argument in lists(name):
        for part in flat(call(name, **{argument: np.array([])})):
            assert part.size in (0, 1)


def test_every_function_of_numbers_takes_lists_or_says_float():
    for name, function in public_functions().items():
        if name in EXAMPLES and lists(name):
            assert "array_like" in function.__doc__ or "SunPosition" in function.__doc__, name

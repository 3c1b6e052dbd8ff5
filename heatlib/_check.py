"""Refuse bad input in one plain sentence; every public function of the library checks through here."""

import math
from collections.abc import Iterable
from dataclasses import is_dataclass
from datetime import date, time
from difflib import get_close_matches

import numpy as np

__all__ = ["ELEVATION", "TEMPERATURE", "broadcast", "choice", "number", "plain", "shortened", "single", "whole"]

TEMPERATURE = (-60.0, 90.0)
"""Range [°C] in which the library answers: colder or hotter is a slip of the pen in a greenhouse."""
ELEVATION = (-290.0, 3000.0)
"""Heights above sea level [m] whose standard air pressure lies in the 70 to 105 kPa that moist air is tabled for."""
_WRITABLE = 10**4000
"""Python refuses to write out whole numbers of more than 4300 digits."""


def number(name, value, unit, low=-math.inf, high=math.inf, *, above=None):
    """Return ``value`` as a float or float array, or say in one sentence why it can't be used.

    Parameters
    ----------
    name : str
        What the value is, in a grower's words, e.g. ``"wall thickness"`` [text].
    value : float or array_like
        The value to check [``unit``].
    unit : str
        Unit for the message; ``""`` for a pure number [text].
    low, high : float
        Allowed range, both ends included [``unit``].
    above : float, optional
        Where given, the value must be greater than this (end not included) [``unit``].

    Returns
    -------
    float or numpy.ndarray
        A plain float for scalars, an array of floats otherwise [``unit``].

    Raises
    ------
    ValueError
        If the value is no number, is NaN or infinite, or lies outside the range.

    Examples
    --------
    >>> number("wall thickness", 0.1, "m", 0, 2)
    0.1
    >>> number("wall thickness", -3, "m", 0, 2)
    Traceback (most recent call last):
    ValueError: wall thickness must be between 0 and 2 m, but it is -3 m
    """
    if type(value) is float:
        result, worst = value, value
        fine = (low <= value <= high) and (above is None or value > above) and value - value == 0.0
    else:
        result = _as_float(name, value, unit)
        fine, worst = _fits(result, low, high, above)
    if fine:
        return result
    unit_text = f" {unit}" if unit else ""
    raise ValueError(f"{name} must be {_range(low, high, above, unit_text)}, but it is {worst:.6g}{unit_text}")


def _as_float(name, value, unit):
    wanted = f"a number in {unit}" if unit else "a number"
    if isinstance(value, bool | np.bool_):
        raise ValueError(f"{name} must be {wanted}, but it is {value}, a yes or no")
    if isinstance(value, str | bytes):
        raise ValueError(f"{name} must be {wanted}, but it is the text {shortened(value)}")
    if isinstance(value, list | tuple) and _has_truth(value):
        raise ValueError(f"{name} must be {wanted}, but it is {shortened(value)}, with a yes or no in it")
    array = _regular(name, value, wanted)
    if array.dtype.kind not in "iuf":
        raise ValueError(f"{name} must be {wanted}, but it is {shortened(value)}")
    return float(array) if array.ndim == 0 else array.astype(float)


def _has_truth(values):
    """Whether a list holds a yes or no, which numpy would take for 1 or 0."""
    return any(
        _has_truth(value) if isinstance(value, list | tuple) else isinstance(value, bool | np.bool_) for value in values
    )


def _regular(name, value, wanted="a number"):
    try:
        return np.asarray(value)
    except ValueError:
        raise ValueError(f"{name} must be {wanted} or a regular list of them, but it is {shortened(value)}") from None


def shortened(value, longest=60, *, quoted=True):
    """Show a value in one line of a sentence, however long it is and whatever is in it.

    Parameters
    ----------
    value : any
        What to show [any].
    longest : int
        Most characters, 10 or more [–].
    quoted : bool
        Whether a text stands in quotes [yes/no].

    Returns
    -------
    str
        The value in words that fit a sentence [text].

    Examples
    --------
    >>> shortened("six"), shortened("a  b", quoted=False), shortened("x" * 99, 12, quoted=False)
    ("'six'", 'a b', 'xxxxxxxxxxx…')
    """
    if value is None:
        return "nothing"
    if isinstance(value, np.ndarray):
        value = value.tolist()
    if isinstance(value, int) and abs(value) >= _WRITABLE:
        return "a whole number of thousands of digits"
    if isinstance(value, date | time | np.datetime64):
        return f"the date or time {value}"
    if is_dataclass(value) or repr(value).startswith("<"):
        word = type(value).__name__
        return f"a {word}" if is_dataclass(value) and not isinstance(value, type) else "something of another kind"
    text = value[: 10 * longest] if isinstance(value, str) else value
    text = " ".join((text if isinstance(value, str) and not quoted else repr(text)).split())
    text = "".join(ch if ch.isprintable() else repr(ch)[1:-1] for ch in text)
    return text if len(text) <= longest else f"{text[: longest - 1]}…"


def _fits(result, low, high, above):
    array = np.atleast_1d(result)
    bad = ~(np.isfinite(array) & (array >= low) & (array <= high))
    if above is not None:
        bad |= ~(array > above)
    return (False, float(array[bad][0])) if bad.any() else (True, 0.0)


def _range(low, high, above, unit_text):
    if above is not None:
        upper = f" and at most {high:g}{unit_text}" if math.isfinite(high) else ""
        return f"greater than {above:g}{unit_text}{upper}"
    if math.isfinite(low) and math.isfinite(high):
        return f"between {low:g} and {high:g}{unit_text}"
    if math.isfinite(low):
        return f"at least {low:g}{unit_text}"
    if math.isfinite(high):
        return f"at most {high:g}{unit_text}"
    return "a finite number"


def single(name, value, unit, low=-math.inf, high=math.inf, *, above=None):
    """Return ``value`` as one float, or say in one sentence why it can't be used; a list is refused too.

    Parameters
    ----------
    name, value, unit, low, high, above : str or float
        As in :func:`number` [``unit``].

    Returns
    -------
    float
        The number [``unit``].

    Raises
    ------
    ValueError
        If the value is a list, no number, NaN or infinite, or lies outside the range.

    Examples
    --------
    >>> single("tilt", 30, "°", 0, 180)
    30.0
    >>> single("tilt", [30, 45], "°", 0, 180)
    Traceback (most recent call last):
    ValueError: tilt must be one number in °, but it is a list of 2
    """
    result = number(name, value, unit, low, high, above=above)
    if type(result) is float:
        return result
    wanted = f"one number in {unit}" if unit else "one number"
    raise ValueError(f"{name} must be {wanted}, but it is a list of {result.size}")


def whole(name, value, unit, low, high):
    """Return ``value`` as a whole number, or say in one sentence why it can't be used; it is never rounded.

    Parameters
    ----------
    name, value, unit, low, high : str or float
        As in :func:`number` [``unit``].

    Returns
    -------
    int
        The number [``unit``].

    Raises
    ------
    ValueError
        If the value is no single number, not whole, or outside the range.

    Examples
    --------
    >>> whole("days", 3.0, "", 1, 400)
    3
    >>> whole("days", 1.5, "", 1, 400)
    Traceback (most recent call last):
    ValueError: days must be a whole number from 1 to 400, but it is 1.5
    """
    result = single(name, value, unit, low, high)
    if result != int(result):
        unit_text = f" {unit}" if unit else ""
        raise ValueError(
            f"{name} must be a whole number from {low:g} to {high:g}{unit_text}, but it is {result:g}{unit_text}"
        )
    return int(result)


def broadcast(**arrays):
    """Return the common shape of named arrays, or say which two do not fit together.

    Parameters
    ----------
    **arrays : float or array_like
        Named values whose shapes must broadcast [any unit].

    Returns
    -------
    tuple of int
        The shape they have together [–].

    Raises
    ------
    ValueError
        If the shapes don't fit.

    Examples
    --------
    >>> broadcast(area=2.0, u_value=[1.0, 2.0])
    (2,)
    """
    try:
        return np.broadcast_shapes(*(np.shape(array) for array in arrays.values()))
    except ValueError:
        shapes = ", ".join(f"{name} has {_regular(name, array).shape}" for name, array in arrays.items())
        raise ValueError(f"these lists must have the same length or be single numbers: {shapes}") from None


def choice(name, value, allowed: Iterable[str]):
    """Return ``value`` if it is one of the allowed names; otherwise refuse and show the nearest names.

    Parameters
    ----------
    name : str
        What is being chosen [text].
    value : str
        The chosen name, exactly as listed [text].
    allowed : iterable of str
        The valid names [text].

    Returns
    -------
    str
        The same value [text].

    Raises
    ------
    ValueError
        If the value is not in the list; nothing is guessed.

    Examples
    --------
    >>> choice("material", "gravel", ["gravel", "granite"])
    'gravel'
    """
    names = sorted(allowed)
    if isinstance(value, str) and value in names:
        return value
    shown = shortened(value)
    near = get_close_matches(value[:60] if isinstance(value, str) else shown, names, n=3, cutoff=0.5)
    hint = f"nearest: {', '.join(near)}" if near else f"known: {', '.join(names[:12])}{' …' if len(names) > 12 else ''}"
    raise ValueError(f"{name} {shown} is not known ({hint})")


def plain(value):
    """Return a result as a plain float where it is a single number, so that it prints and computes like one.

    Parameters
    ----------
    value : float or numpy.ndarray
        A result [any unit].

    Returns
    -------
    float or numpy.ndarray
        The same number or array [same unit].

    Examples
    --------
    >>> plain(np.float64(1.5))
    1.5
    """
    return float(value) if np.ndim(value) == 0 else value

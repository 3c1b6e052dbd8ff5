"""Say how much a heat flow is by things everyone has held in their hands: "like two hair dryers"."""

from heatlib import tables
from heatlib._check import number

__all__ = ["like"]

_WORDS = ("no", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten", "eleven", "twelve")
_CLOSE = 0.08
"""A comparison that is off by less than this share is near enough, and then the bigger thing is the better picture."""


def like(watts):
    """Compare a heat flow with everyday things.

    Parameters
    ----------
    watts : float
        Heat flow; its sign is left out [W].

    Returns
    -------
    str
        Words such as ``"like two hair dryers"``; above twelve of the biggest thing a number is written [text].

    Raises
    ------
    ValueError
        If the heat flow is no finite number.

    Examples
    --------
    >>> like(3100)
    'like two hair dryers'
    >>> like(0)
    'like nothing at all'
    """
    watts = abs(number("heat flow", watts, "W"))
    things = sorted(
        ((tables.entry("everyday", key, "power").value, key) for key in tables.keys("everyday")), reverse=True
    )
    if watts < 0.5 * things[-1][0]:
        return "like nothing at all" if watts == 0 else f"less than {_many(1, things[-1][1])}"
    fits = []
    for power, key in things:
        count = max(1, round(watts / power))
        if count < len(_WORDS):
            fits.append((abs(count * power - watts) / watts, count, key))
    if not fits:
        power, key = things[0]
        return f"like {_many(round(watts / power), key)}"
    near = [fit for fit in fits if fit[0] <= _CLOSE] or [min(fits)]
    return f"like {_many(*near[0][1:])}"


def _many(count, key):
    words = _WORDS[count] if count < len(_WORDS) else f"{count}"
    if count == 1:
        return f"{words} {key}"
    return f"{words} {key.replace('person', 'people')}" if key.startswith("person") else f"{words} {key}s"

"""Where to look first when a house loses more or less than its parts say: try one likely mistake after the other.

Each suspect changes one thing in the description and is set beside the same logged night. What brings the model's
course near to the readings may be the cause; two that fit alike can't be told apart by one night.
"""

from dataclasses import dataclass, replace

import numpy as np

from heatlib.house.compared import compare_cooling
from heatlib.house.fabric import rated_u_value
from heatlib.surfaces import barrel_surface

__all__ = ["Suspect", "suspects"]


@dataclass(frozen=True)
class Suspect:
    """One likely mistake and how the house fits its logged night with it."""

    name: str
    """What is tried, in words [text]."""
    ratio: float
    """Measured loss rate over the model's with it; 1 where it explains everything [–]."""
    low: float
    """Low end of the ratio, 19 times out of 20 [–]."""
    high: float
    """High end of the ratio, 19 times out of 20 [–]."""
    off: float
    """How far the model's course lies from the readings (root of the mean square) [K]."""


def suspects(house, record, weather, start=None, end=None, *, stores=None):
    """Try likely mistakes in a house's description against a logged night without heat, the nearest first.

    Neglected: two mistakes at once, and mistakes that are not on the list.

    Parameters
    ----------
    house : Greenhouse
        The house as described [SI inside].
    record, weather, start, end, stores : any
        The logged night, as for :func:`heatlib.house.compared.compare_cooling` [as there].

    Returns
    -------
    tuple of Suspect
        Sorted by how near each comes to the readings; ``"as described"`` is among them [K].

    Raises
    ------
    ValueError
        As :func:`heatlib.house.compared.compare_cooling`.

    Notes
    -----
    Tried: twice and four times the leaks, the curtain left open, half the skin of the barrels covered, dark walls that
    let through twice as much, and the bed's heat left out; only what the house has.

    Examples
    --------
    >>> from heatlib.house.demo import demo_house
    >>> suspects(demo_house(1), None, None)
    Traceback (most recent call last):
    ValueError: record must come from read_logger
    """
    found = []
    for name, changed in _tried(house):
        known = stores and {key: value for key, value in stores.items() if key in {"floor", *_names(changed)}}
        one = compare_cooling(changed, record, weather, start, end, stores=known)
        off = float(np.sqrt(np.mean(one.residuals**2)))
        found.append(Suspect(name, one.ratio, one.low, one.high, off))
    return tuple(sorted(found, key=lambda suspect: suspect.off))


def _names(house):
    return [store.name for store in house.stores if store.count]


def _tried(house):
    """List names and houses to try."""
    leaks, tried = house.air.air_change_rate, [("as described", house)]
    for word, times in (("twice", 2.0), ("four times", 4.0)):
        if 0 < leaks * times <= 30:
            tried.append((f"{word} the leaks", house.changed("air.air_change_rate", leaks * times)))
    if house.curtain:
        tried.append(("curtain left open", house.changed("curtain", None)))
    covered, bedless = house, house
    for store in house.stores:
        if store.kind == "barrels" and store.count:
            skin = store.surface or float(barrel_surface(store.diameter, store.height, store.pose))
            covered = covered.changed(f"stores.{store.name}.surface", skin / 2)
        elif store.count:
            bedless = bedless.changed(f"stores.{store.name}.count", 0)
    tried += [("half the barrels' skin covered", covered)] if covered is not house else []
    tried += [("bed gives nothing", bedless)] if bedless is not house else []
    walls = tuple(_poorer(surface) for surface in house.surfaces)
    if walls != house.surfaces:
        tried.append(("dark walls let through twice as much", house.changed("surfaces", walls)))
    return tried


def _poorer(surface):
    if surface.glazing:
        return surface
    twice = min(2 * rated_u_value(surface), 20.0)
    return replace(surface, layers=(), r_value=None, u_value=twice)

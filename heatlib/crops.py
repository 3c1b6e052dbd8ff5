"""How cold a crop may get: the night it wants, and the temperature that harms it.

Most rows are recalled from memory and say so. They are starting points: variety, age, hardening, humidity and how long
the cold lasts decide as much as the temperature.
"""

from dataclasses import dataclass

from heatlib import tables
from heatlib._check import TEMPERATURE, shortened, single

__all__ = ["at_risk", "crop", "crop_names", "warmest_minimum"]


@dataclass(frozen=True)
class Crop:
    """What one crop stands: night minimum and damage temperature, each with its spread and source [°C]."""

    name: str
    night_minimum: tables.Entry
    damage_temperature: tables.Entry


def crop_names():
    """List the crops of the table.

    Returns
    -------
    tuple of str
        Names [text].

    References
    ----------
    Table crops.csv.

    Examples
    --------
    >>> "lettuce" in crop_names()
    True
    """
    return tables.keys("crops")


def crop(name):
    """Give what one crop stands.

    Parameters
    ----------
    name : str
        A name in the table of crops [text].

    Returns
    -------
    Crop
        Night minimum for fair growth, and the temperature that damages leaves or flowers [°C].

    Raises
    ------
    ValueError
        If the crop is unknown; the nearest names are listed.

    References
    ----------
    UGAB792 for the night minima it lists; MEMORY for the rest, row by row.

    Examples
    --------
    >>> crop("tomato").night_minimum.value > crop("lettuce").night_minimum.value
    True
    """
    rows = tables.properties("crops", name)
    return Crop(name, rows["night_minimum"], rows["damage_temperature"])


def warmest_minimum(names):
    """Give the night temperature that suits every crop in a house: that of the most tender.

    Parameters
    ----------
    names : sequence of str
        The crops, at least one [text].

    Returns
    -------
    float
        Night minimum [°C].

    Raises
    ------
    ValueError
        If a crop is unknown or none is named.

    References
    ----------
    UGAB792; MEMORY.

    Examples
    --------
    >>> warmest_minimum(["kale", "lettuce"]) == crop("lettuce").night_minimum.value
    True
    """
    return max(one.night_minimum.value for one in _crops(names))


def _crops(names):
    if not isinstance(names, list | tuple | set | frozenset | dict) or not names:
        raise ValueError(f"crops must be a list of at least one name, but it is {shortened(names)}")
    return [crop(name) for name in names]


def at_risk(names, temperature):
    """Tell which crops a night's lowest temperature puts in danger.

    How long the cold lasts is neglected, and that leaves under a clear roof are colder than the air.

    Parameters
    ----------
    names : sequence of str
        The crops, at least one [text].
    temperature : float
        Lowest temperature of the plants, −60 to 90 [°C].

    Returns
    -------
    dict
        ``{name: "harmed" or "may be harmed"}`` for those in danger: colder than all that is told of its damage
        temperature, or only than the warmest of it [text].

    Raises
    ------
    ValueError
        If a crop is unknown, none is named or the temperature is outside its range.

    References
    ----------
    MEMORY, row by row.

    Examples
    --------
    >>> at_risk(["kale", "tomato"], -3.0)
    {'tomato': 'harmed'}
    """
    cold = single("temperature", temperature, "°C", *TEMPERATURE)
    told = {one.name: one.damage_temperature for one in _crops(names)}
    return {
        name: "harmed" if cold < damage.low else "may be harmed" for name, damage in told.items() if cold <= damage.high
    }

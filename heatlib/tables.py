"""Read the project's data tables: one row, one value, one source; an unknown name is refused, never guessed.

Every table in ``heatlib/data`` has the columns ``key, property, value, low, high, unit, source, locator, note``;
``source`` names a row of ``sources.csv`` (``key, author, title, year, publisher, status``).
"""

import csv
from dataclasses import dataclass
from functools import lru_cache
from importlib.resources import files

from heatlib._check import choice

__all__ = ["Entry", "entry", "keys", "properties", "sources", "table"]


@dataclass(frozen=True)
class Entry:
    """One row of a table: a typical value with its spread and where it was read."""

    value: float
    low: float
    high: float
    unit: str
    source: str
    locator: str
    note: str


def _rows(name):
    text = files("heatlib.data").joinpath(f"{name}.csv").read_text(encoding="utf-8")
    return list(csv.DictReader(text.splitlines()))


def table(name):
    """Read one table whole.

    Parameters
    ----------
    name : str
        Table name without ending, e.g. ``"materials"`` [text].

    Returns
    -------
    dict
        ``{key: {property: Entry}}`` [units as each row says].

    Raises
    ------
    ValueError
        If there is no table of that name.

    Examples
    --------
    >>> table("materials")["eps"]["conductivity"].unit
    'W/m·K'
    """
    return _table(choice("table", name, _names()))


@lru_cache
def _names():
    """Names of the tables that have the columns of an :class:`Entry`."""
    stems = {path.name.removesuffix(".csv") for path in files("heatlib.data").iterdir() if path.name.endswith(".csv")}
    return stems - {"sources"}


@lru_cache
def _table(name):
    result = {}
    for row in _rows(name):
        numbers = [float(row[column]) for column in ("value", "low", "high")]
        words = [row[column] for column in ("unit", "source", "locator", "note")]
        result.setdefault(row["key"], {})[row["property"]] = Entry(*numbers, *words)
    return result


def keys(name):
    """List the names in a table, in the order of the file.

    Parameters
    ----------
    name : str
        Table name [text].

    Returns
    -------
    tuple of str
        The keys [text].

    Raises
    ------
    ValueError
        If there is no table of that name.

    Examples
    --------
    >>> "eps" in keys("materials")
    True
    """
    return tuple(table(name))


def properties(name, key):
    """Return all entries of one key.

    Parameters
    ----------
    name : str
        Table name [text].
    key : str
        Row key, exactly as in the table [text].

    Returns
    -------
    dict
        ``{property: Entry}`` [units as each row says].

    Raises
    ------
    ValueError
        If the table or the key is unknown; the nearest names are listed.

    Examples
    --------
    >>> sorted(properties("materials", "eps"))[0]
    'conductivity'
    """
    rows = table(name)
    return rows[choice(name.rstrip("s"), key, rows)]


def entry(name, key, property_name):
    """Return one entry of a table.

    Parameters
    ----------
    name, key, property_name : str
        Table, row key and property [text].

    Returns
    -------
    Entry
        Value with low, high, unit and source [as the row says].

    Raises
    ------
    ValueError
        If table, key or property is unknown; the nearest names are listed.

    Examples
    --------
    >>> entry("materials", "eps", "conductivity").value < 0.05
    True
    """
    rows = properties(name, key)
    return rows[choice(f"property of {key}", property_name, rows)]


@lru_cache
def sources():
    """Return the list of sources that table rows and docstrings name.

    Returns
    -------
    dict
        ``{key: row}`` with author, title, year, publisher and status [text].

    Examples
    --------
    >>> sources()["ISO6946"]["publisher"]
    'ISO'
    """
    return {row["key"]: row for row in _rows("sources")}

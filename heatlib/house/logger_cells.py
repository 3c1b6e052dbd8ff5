"""Turn the cells of a logger's file into numbers: °F or °C, decimal comma, per cent, wind; every bad cell is noted."""

import re
from itertools import pairwise

import numpy as np

from heatlib._check import TEMPERATURE, choice
from heatlib.house.logger_record import Finding
from heatlib.house.logger_text import unit_in_header

__all__ = ["TEMPERATURES", "WIND_UNITS", "read_values"]

TEMPERATURES = ("inside", "outside", "temperature")
WIND_UNITS = {
    "mph": 0.44704,
    "km/h": 1 / 3.6,
    "kmh": 1 / 3.6,
    "kph": 1 / 3.6,
    "m/s": 1.0,
    "knots": 1852 / 3600,
}
"""What one of each is in m/s."""
_FASTEST_WIND = 75.0
"""No wind at the ground outside a tornado is faster [m/s]."""
_LONGEST = 40
"""No cell with a reading is longer; patterns are not tried on longer ones [characters]."""
_EMPTY = frozenset(("", "-", "--", "---", "na", "n/a", "nan", "null", "none"))
_PLAIN = re.compile(r"[-+]?(?:\d+\.?\d*|\.\d+)(?:[eE][-+]?\d{1,2})?")
_WITH_UNIT = re.compile(r"(?P<value>[-+]?(?:\d+\.?\d*|\.\d+))\s*(?:(?:°|º|deg)?\s*(?P<unit>[CFcf])|(?P<sign>[℃℉]))")


def read_values(table, places, units, decimal, notes):
    """Read the temperature, humidity and wind columns.

    Parameters
    ----------
    table : heatlib.house.logger_text.Table
        The file in columns of text [text].
    places : dict
        Which column is what, from :func:`heatlib.house.logger_text.find_columns` [–].
    units : tuple
        Told units of temperature, humidity and wind, None where not told [text].
    decimal : str or None
        Decimal mark, None to find it from the cells [text].
    notes : heatlib.house.logger_record.Notes
        Takes what is found [text].

    Returns
    -------
    tuple
        The decimal mark [text] and ``{role: array}``, NaN where missing or bad [°C, 0–1, m/s].

    Raises
    ------
    ValueError
        If a unit or the decimal mark is left open, or what was told contradicts the header.

    Examples
    --------
    >>> from heatlib.house.logger_record import Notes
    >>> from heatlib.house.logger_text import read_table
    >>> table = read_table(b"time,temp F\\n2024-01-01 00:00,32\\n")
    >>> read_values(table, {"time": [0], "temperature": 1}, (None, None, None), None, Notes(table))
    ('.', {'temperature': array([0.])})
    """
    for name, value, allowed in zip(("unit", "humidity_unit", "wind_unit"), units, ("CF", ("%", "share"), WIND_UNITS)):
        if value is not None:
            choice(name, value, allowed)
    roles = [role for role in places if role != "time"]
    decimal = decimal or _decimal([table.columns[places[role]] for role in roles])
    values = {}
    for role in roles:
        name, cells = table.names[places[role]], table.columns[places[role]]
        if role in TEMPERATURES:
            values[role] = _temperature(cells, name, units[0], decimal, notes)
        elif role == "humidity":
            values[role] = _humidity(cells, name, units[1], decimal, notes)
        else:
            values[role] = _wind(cells, name, units[2], decimal, notes)
    stated = {role: unit_in_header(table.names[places[role]]) for role in roles if role in TEMPERATURES}
    if len(set(stated.values())) == 2 and None not in stated.values():
        said = ", ".join(f"{role} in °{unit}" for role, unit in stated.items())
        notes.add_all([Finding(1, "unit", f"the header mixes units ({said}); each column was read as it says")])
    return decimal, values


def _decimal(columns):
    comma = any("," in cell for cells in columns for cell in cells)
    if not comma:
        return "."
    if any(re.fullmatch(r"[-+]?\d+\.\d+", cell) for cells in columns for cell in cells if len(cell) <= _LONGEST):
        raise ValueError("the logger's file writes some numbers with a comma and some with a point: tell decimal=','")
    return ","


def _numbers(cells, decimal):
    """Return numbers with NaN where empty or unreadable, and the indices of the unreadable cells."""
    import pandas as pd

    if decimal == ",":
        cells = [cell.replace(".", "?").replace(",", ".") for cell in cells]
    if "−" in "".join(cells):
        cells = [cell.replace("−", "-") for cell in cells]
    if set("".join(cells)) <= set("0123456789.-+"):
        values = pd.to_numeric(pd.Series(cells, dtype=object), errors="coerce").to_numpy(dtype=float, copy=True)
        empty = np.array([cell in _EMPTY for cell in cells])
    else:
        fit = (len(cell) <= _LONGEST and _PLAIN.fullmatch(cell) for cell in cells)
        values = np.array([float(cell) if good else np.nan for cell, good in zip(cells, fit)])
        empty = np.array([cell.lower() in _EMPTY for cell in cells])
    values[empty | np.isinf(values)] = np.nan
    return values, np.flatnonzero(np.isnan(values) & ~empty), cells


def _temperature(cells, name, unit, decimal, notes):
    values, unread, clean = _numbers(cells, decimal)
    stated = unit_in_header(name)
    if unit and stated and unit != stated:
        raise ValueError(f"the column {name!r} states °{stated}, but unit='{unit}' was told: which is right?")
    celsius = np.full(len(values), np.nan)
    unread, by_cell = _units_in_cells(clean, unread, stated or unit, celsius, name, notes)
    plain = np.isfinite(values)
    unit = stated or unit
    if plain.any() and unit is None:
        raise ValueError(f"the column {name!r} does not say whether it is °F or °C: tell unit='F' or unit='C'")
    celsius[plain] = (values[plain] - 32) / 1.8 if unit == "F" else values[plain]
    for i in unread:
        notes.add(
            i, "unreadable", f"{cells[i][:40]!r} in column {name!r} is no temperature{f' in °{unit}' * bool(unit)}"
        )
    _empty(values, unread, by_cell, name, notes)
    wrong = np.flatnonzero((celsius < TEMPERATURE[0]) | (celsius > TEMPERATURE[1]))
    for i in wrong:
        notes.add(i, "unreadable", f"{cells[i][:40]!r} in column {name!r} is outside −60 to 90 °C: a sensor fault?")
    celsius[wrong] = np.nan
    return celsius


def _units_in_cells(cells, unread, unit, celsius, name, notes):
    """Read cells such as ``21.5 °C``; a cell that contradicts the column's unit stays unreadable."""
    left, said = [], {}
    for i in unread:
        match = _WITH_UNIT.fullmatch(cells[i]) if len(cells[i]) <= _LONGEST else None
        own = match and (match["unit"] or {"℃": "C", "℉": "F"}[match["sign"]]).upper()
        if not match or (unit and own != unit):
            left.append(i)
            continue
        said[i] = own
        celsius[i] = (float(match["value"]) - 32) / 1.8 if own == "F" else float(match["value"])
    changes = [i for last, i in pairwise(said) if said[i] != said[last]]
    for i in changes:
        notes.add(i, "unit", f"column {name!r} goes on in °{said[i]} from here; each cell was read as it says")
    return left, said


def _empty(values, unread, by_cell, name, notes):
    missing = np.isnan(values)
    missing[list(unread)] = False
    missing[list(by_cell)] = False
    for i in np.flatnonzero(missing):
        notes.add(i, "empty", f"no reading in column {name!r}")


def _humidity(cells, name, unit, decimal, notes):
    cells = [cell.rstrip("% ") for cell in cells] if any("%" in cell for cell in cells) else cells
    values, unread, _ = _numbers(cells, decimal)
    if unit is None and "%" not in name and not np.any(values > 1.5):
        raise ValueError(f"the column {name!r} may hold per cent or a share of 1: tell humidity_unit='%' or 'share'")
    share = values if unit == "share" else values / 100
    for i in unread:
        notes.add(i, "unreadable", f"{cells[i][:40]!r} in column {name!r} is no humidity")
    for i in np.flatnonzero((share < 0) | (share > 1)):
        notes.add(i, "humidity", f"{cells[i][:40]} in column {name!r} is no possible humidity; taken as missing")
    _empty(values, unread, (), name, notes)
    return np.where((share >= 0) & (share <= 1), share, np.nan)


def _wind(cells, name, unit, decimal, notes):
    stated = unit or next((word for word in WIND_UNITS if re.search(rf"(?<![a-z]){word}(?![a-z])", name, re.I)), None)
    if stated is None:
        raise ValueError(f"the column {name!r} does not say its unit: tell wind_unit='mph', 'km/h', 'm/s' or 'knots'")
    values, unread, _ = _numbers(cells, decimal)
    speed = values * WIND_UNITS[stated]
    for i in unread:
        notes.add(i, "unreadable", f"{cells[i][:40]!r} in column {name!r} is no wind speed")
    for i in np.flatnonzero((speed < 0) | (speed > _FASTEST_WIND)):
        notes.add(i, "unreadable", f"{cells[i][:40]} {stated} in column {name!r} is no possible wind")
    _empty(values, unread, (), name, notes)
    return np.where((speed >= 0) & (speed <= _FASTEST_WIND), speed, np.nan)

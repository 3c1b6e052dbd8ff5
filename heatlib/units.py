"""Two unit systems, metric and US, at the edges only: inside the library everything is SI.

Temperatures are °C inside; a temperature difference is a different quantity (it has no offset).
"""

import math
import re
from dataclasses import dataclass

import numpy as np
from scipy import constants as c

from heatlib._check import choice, number, shortened, single

__all__ = [
    "QUANTITIES",
    "SYSTEMS",
    "Unit",
    "format_quantity",
    "from_display",
    "parse_quantity",
    "to_display",
    "unit_of",
    "with_label",
]

SYSTEMS = ("metric", "US")


@dataclass(frozen=True)
class Unit:
    """A display unit: ``display = si * scale + offset``, shown with ``digits`` significant digits."""

    label: str
    scale: float
    offset: float = 0.0
    digits: int = 3


_BTU_H = c.Btu / c.hour
_R_US = c.foot**2 * (5 / 9) / _BTU_H
"""One US R (h·ft²·°F/Btu) in m²·K/W."""

QUANTITIES = {
    "temperature": (Unit("°C", 1), Unit("°F", 1.8, 32)),
    "temperature_difference": (Unit("°C", 1), Unit("°F", 1.8)),
    "length": (Unit("m", 1), Unit("ft", 1 / c.foot)),
    "thickness": (Unit("mm", 1000), Unit("in", 1 / c.inch)),
    "area": (Unit("m²", 1), Unit("ft²", 1 / c.foot**2)),
    "room_volume": (Unit("m³", 1), Unit("ft³", 1 / c.foot**3)),
    "store_volume": (Unit("L", 1000), Unit("gal", 1 / c.gallon)),
    "mass": (Unit("kg", 1), Unit("lb", 1 / c.pound)),
    "heat_flow": (Unit("W", 1), Unit("Btu/h", 1 / _BTU_H)),
    "electric_power": (Unit("W", 1), Unit("W", 1)),
    "energy": (Unit("kWh", 1 / c.kilo / c.hour), Unit("kBtu", 1 / c.kilo / c.Btu)),
    "heat_in_store": (Unit("MJ", 1e-6), Unit("kBtu", 1 / c.kilo / c.Btu)),
    "electric_energy": (Unit("kWh", 1 / c.kilo / c.hour), Unit("kWh", 1 / c.kilo / c.hour)),
    "u_value": (Unit("W/m²·K", 1), Unit("Btu/h·ft²·°F", _R_US)),
    "r_value": (Unit("m²·K/W", 1), Unit("R (h·ft²·°F/Btu)", 1 / _R_US)),
    "conductance": (Unit("W/K", 1), Unit("Btu/h·°F", (5 / 9) / _BTU_H)),
    "conductivity": (Unit("W/m·K", 1), Unit("Btu·in/h·ft²·°F", _R_US / c.inch)),
    "linear_conductance": (Unit("W/m·K", 1), Unit("Btu/h·ft·°F", c.foot * (5 / 9) / _BTU_H)),
    "irradiance": (Unit("W/m²", 1), Unit("Btu/h·ft²", c.foot**2 / _BTU_H)),
    "irradiation": (Unit("kWh/m²", 1 / c.kilo / c.hour), Unit("kBtu/ft²", c.foot**2 / c.kilo / c.Btu)),
    "air_flow": (Unit("m³/h", c.hour), Unit("cfm", c.minute / c.foot**3)),
    "speed": (Unit("m/s", 1), Unit("mph", 1 / c.mph)),
    "pressure": (Unit("Pa", 1), Unit("in w.g.", 1 / 249.08891, digits=2)),
    "time": (Unit("h", 1 / c.hour), Unit("h", 1 / c.hour)),
    "air_change_rate": (Unit("per hour", 1), Unit("per hour", 1)),
    "humidity": (Unit("%", 100, digits=2), Unit("%", 100, digits=2)),
    "share": (Unit("%", 100, digits=2), Unit("%", 100, digits=2)),
    "vapour_mass": (Unit("L", 1), Unit("gal", 1e-3 / c.gallon)),
    "volumetric_heat_capacity": (Unit("kJ/L·°C", 1e-6), Unit("Btu/gal·°F", c.gallon * (5 / 9) / c.Btu)),
    "specific_heat": (Unit("kJ/kg·°C", 1e-3), Unit("Btu/lb·°F", c.pound * (5 / 9) / c.Btu)),
    "latent_heat": (Unit("kJ/kg", 1e-3), Unit("Btu/lb", c.pound / c.Btu)),
    "latent_heat_by_volume": (Unit("kJ/L", 1e-6), Unit("Btu/gal", c.gallon / c.Btu)),
    "density": (Unit("kg/L", 1e-3), Unit("lb/gal", c.gallon / c.pound)),
    "air_heat_capacity": (Unit("Wh/m³·°C", 1 / c.hour), Unit("Btu/ft³·°F", c.foot**3 * (5 / 9) / c.Btu)),
    "heat_of_electric_energy": (Unit("MJ/kWh", 3.6), Unit("kBtu/kWh", c.hour / c.Btu)),
    "floor_load": (Unit("kg/m²", 1), Unit("lb/ft²", c.foot**2 / c.pound)),
    "count": (Unit("", 1), Unit("", 1)),
    "angle": (Unit("°", 1), Unit("°", 1)),
    "money": (Unit("", 1), Unit("", 1)),
}
"""Every quantity a lesson shows, with its metric and its US unit; the SI unit is the base of the scale."""

_CLOSE = ("%", "°")
"""Labels that follow their number without a space, as sentences in English write them."""


def unit_of(quantity, system):
    """Return the display unit of a quantity.

    Parameters
    ----------
    quantity : str
        A key of :data:`QUANTITIES` [text].
    system : str
        ``"metric"`` or ``"US"`` [text].

    Returns
    -------
    Unit
        Label, scale and offset [–].

    Raises
    ------
    ValueError
        If the quantity or the system is unknown.

    Examples
    --------
    >>> unit_of("heat_flow", "US").label
    'Btu/h'
    """
    choice("quantity", quantity, QUANTITIES)
    return QUANTITIES[quantity][SYSTEMS.index(choice("unit system", system, SYSTEMS))]


def to_display(value, quantity, system):
    """Convert an SI value to the reader's unit.

    Parameters
    ----------
    value : float or array_like
        SI value; °C for a temperature [SI].
    quantity, system : str
        As in :func:`unit_of` [text].

    Returns
    -------
    float or numpy.ndarray
        The value in the display unit [display unit].

    Raises
    ------
    ValueError
        If the quantity or the system is unknown, or the value is no finite number.

    Examples
    --------
    >>> to_display(-40.0, "temperature", "US")
    -40.0
    """
    unit = unit_of(quantity, system)
    return number(quantity.replace("_", " "), value, "") * unit.scale + unit.offset


def from_display(value, quantity, system):
    """Convert a value in the reader's unit back to SI.

    Parameters
    ----------
    value : float or array_like
        Value in the display unit [display unit].
    quantity, system : str
        As in :func:`unit_of` [text].

    Returns
    -------
    float or numpy.ndarray
        SI value [SI].

    Raises
    ------
    ValueError
        If the quantity or the system is unknown, or the value is no finite number.

    Examples
    --------
    >>> from_display(212.0, "temperature", "US")
    100.0
    """
    unit = unit_of(quantity, system)
    return (number(quantity.replace("_", " "), value, unit.label) - unit.offset) / unit.scale


def format_quantity(value, quantity, system, *, digits=None):
    """Write an SI value with its unit in the reader's system.

    Parameters
    ----------
    value : float
        SI value [SI].
    quantity, system : str
        As in :func:`unit_of` [text].
    digits : int, optional
        Significant digits; temperatures default to one decimal instead, between 1 and 15 [–].

    Returns
    -------
    str
        Number, space, unit; no space before % and the ° of an angle; true minus sign, thousands separated by a thin
        space [text].

    Raises
    ------
    ValueError
        If the quantity or the system is unknown, or the value is no finite number.

    Examples
    --------
    >>> format_quantity(-24.0, "temperature", "metric")
    '−24.0 °C'
    >>> format_quantity(3120.0, "heat_flow", "metric")
    '3\u202f120 W'
    """
    unit = unit_of(quantity, system)
    name = quantity.replace("_", " ")
    checked = number(name, value, "")
    if np.ndim(checked):
        raise ValueError(f"{name} must be a single number to be written out, but it is a list of {checked.size}")
    shown = checked * unit.scale + unit.offset
    if digits is None and quantity == "temperature":
        places = 1
    else:
        shown, places = _rounded(shown, unit.digits if digits is None else _whole(digits))
    text = f"{shown:,.{places}f}".replace(",", "\u202f").replace("-", "−")
    if not any(ch in "123456789" for ch in text):
        text = text.lstrip("−")
    return with_label(text, unit.label)


def with_label(text, label, gap=" "):
    """Join a number as it is written and the label of its unit.

    Parameters
    ----------
    text, label : str
        The number, and its unit as in :attr:`Unit.label`, which may be empty [text].
    gap : str, optional
        What stands between them, such as a space that keeps a line together; nothing before % and the ° of an angle
        [text].

    Returns
    -------
    str
        Number, gap, label [text].

    Examples
    --------
    >>> with_label("80", "%"), with_label("12", "kWh")
    ('80%', '12 kWh')
    """
    return f"{text}{label}" if label in _CLOSE else f"{text}{gap}{label}".rstrip()


def _whole(digits):
    count = single("digits", digits, "", 1, 15)
    if count != int(count):
        raise ValueError(f"digits must be a whole number from 1 to 15, but it is {count:g}")
    return int(count)


def _rounded(shown, digits):
    """Round to significant digits; the decimals follow from the rounded value, since 99.96 rounds to 100."""
    if shown == 0:
        return 0.0, 0
    decimals = digits - 1 - math.floor(math.log10(abs(shown)))
    rounded = round(shown, decimals)
    return rounded, max(0, digits - 1 - math.floor(math.log10(abs(rounded))))


_UNITS = {
    "length": {"m": 1, "cm": c.centi, "mm": c.milli, "in": c.inch, '"': c.inch, "ft": c.foot, "'": c.foot},
    "area": {"m2": 1, "m²": 1, "ft2": c.foot**2, "ft²": c.foot**2, "sq ft": c.foot**2, "sqft": c.foot**2},
    "volume": {"m3": 1, "m³": 1, "L": c.liter, "l": c.liter, "gal": c.gallon, "ft3": c.foot**3, "ft³": c.foot**3},
    "heat_flow": {"W": 1, "kW": c.kilo, "Btu/h": _BTU_H},
    "r_value": {"m2K/W": 1, "m²K/W": 1, "m²·K/W": 1, "R": _R_US},
    "u_value": {"W/m2K": 1, "W/m²K": 1, "W/m²·K": 1, "Btu/h·ft²·°F": 1 / _R_US},
    "air_flow": {
        "m3/s": 1,
        "m³/s": 1,
        "m3/h": 1 / c.hour,
        "m³/h": 1 / c.hour,
        "L/s": c.liter,
        "cfm": c.foot**3 / c.minute,
    },
    "speed": {"m/s": 1, "km/h": c.kmh, "mph": c.mph},
    "mass": {"kg": 1, "lb": c.pound},
    "time": {"s": 1, "min": c.minute, "h": c.hour},
    "pressure": {"Pa": 1, "kPa": c.kilo, "in w.g.": 249.08891},
    "temperature": {"°C": 1, "C": 1, "°F": 1, "F": 1},
    "temperature_difference": {"K": 1, "°C": 1, "C": 1, "°F": 5 / 9, "F": 5 / 9},
}


def parse_quantity(text, quantity, name="value"):
    """Read what a grower writes, such as ``"12 ft"``, ``"R-19"``, ``"55 gal"``, ``"3 in"`` or ``"1.2 kW"``.

    Parameters
    ----------
    text : str or float
        A number with a unit; a plain number is taken as SI (°C for a temperature) [any].
    quantity : str
        One of ``length, area, volume, heat_flow, r_value, u_value, air_flow, speed, mass, time, pressure,
        temperature, temperature_difference`` [text].
    name : str
        Name for the message [text].

    Returns
    -------
    float
        SI value [SI].

    Raises
    ------
    ValueError
        If the number can't be read, or the unit is not one of this quantity.

    Examples
    --------
    >>> round(parse_quantity("12 ft", "length"), 4)
    3.6576
    >>> round(parse_quantity("R-19", "r_value"), 2)
    3.35
    """
    units = _UNITS[choice("quantity", quantity, _UNITS)]
    if not isinstance(text, str):
        return number(name, text, next(iter(units)))
    us_r = re.fullmatch(r"\s*R\s*-?\s*(\d+(?:\.\d+)?)\s*", text)
    if us_r and quantity == "r_value":
        return float(us_r.group(1)) * _R_US
    match = re.fullmatch(r"\s*([-+−]?\d+(?:\.\d+)?(?:[eE][-+]?\d+)?)\s*(\D.*?)?\s*", text)
    if not match or (match.group(2) or next(iter(units))) not in units:
        wanted = f"a number with one of the units {', '.join(units)}"
        raise ValueError(f"{name} must be {wanted}, but it is {shortened(text)}")
    value, unit = float(match.group(1).replace("−", "-")), match.group(2) or next(iter(units))
    result = (value - 32) / 1.8 if quantity == "temperature" and unit in ("°F", "F") else value * units[unit]
    return number(name, result, next(iter(units)))

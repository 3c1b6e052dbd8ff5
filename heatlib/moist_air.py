"""What moist air holds: water, heat, volume, and where it turns to dew.

The numbers are CoolProp's, read from a table made with it (:mod:`heatlib.air_table`), within 1e-4. Amounts are per
kilogram of dry air, as in the psychrometric chart: dry air neither condenses nor evaporates. Relative humidity is
0–1 and below 0 °C counts against ice. The zero of enthalpy is dry air and liquid water at 0 °C.
"""

import numpy as np

from heatlib import air_table
from heatlib._check import ELEVATION, broadcast, number

__all__ = [
    "density",
    "dew_point",
    "enthalpy",
    "humidity_ratio",
    "pressure_at",
    "relative_humidity",
    "saturation_humidity_ratio",
    "saturation_pressure",
    "specific_volume",
    "wet_bulb",
]

TEMPERATURE = (-40.0, 60.0)
PRESSURE = (70e3, 105e3)
DRIEST_DEW = 1e-4
_COLDEST_BULB = -40.49
_ICE_LATENT, _ICE_HEAT, _WATER_HEAT = -333.4e3, 2095.0, 4190.0
"""Enthalpy of ice at 0 °C [J/kg], heat capacities of ice and water [J/kg·K]: enough for a bulb's thin film."""


def _temperature(value, name="air temperature"):
    return number(name, value, "°C", *TEMPERATURE)


def _pressure(value):
    return number("air pressure", value, "Pa", *PRESSURE)


def _state(temperature, relative_humidity, pressure, driest=0.0):
    broadcast(temperature=temperature, relative_humidity=relative_humidity, pressure=pressure)
    humid = number("relative humidity (0 to 1)", relative_humidity, "", driest, 1)
    return _temperature(temperature), humid, _pressure(pressure)


def _plain(value):
    return float(value) if np.ndim(value) == 0 else value


def _saturated(t, p):
    logarithm, factor = air_table.saturation(t, p)
    return factor * np.exp(logarithm)


def _ratio(vapour, p):
    return air_table.EPSILON * vapour / (p - vapour)


def _vapour(ratio, p):
    return p * ratio / (air_table.EPSILON + ratio)


def _enthalpy(t, rh, p, ratio):
    departure = air_table.departures(0, t, rh, p)
    return air_table.ideal_enthalpy(t, ratio) + departure * (1 + ratio / air_table.EPSILON)


def pressure_at(elevation):
    """Give the standard air pressure at an elevation.

    Weather is neglected: it moves the pressure by some 3 %.

    Parameters
    ----------
    elevation : float or array_like
        Height above sea level, −290 to 3000 [m].

    Returns
    -------
    float or numpy.ndarray
        Air pressure [Pa].

    Raises
    ------
    ValueError
        If the elevation is no number or outside the range.

    Notes
    -----
    ``p = 101325·(1 − 2.25577e-5·z)^5.2559``: 12 % less at 1000 m, and air carries as much less heat.

    References
    ----------
    ASHRAE2017PSY, equation 3 and table 1.

    Examples
    --------
    >>> pressure_at(0.0)
    101325.0
    """
    z = number("elevation", elevation, "m", *ELEVATION)
    return 101325.0 * (1 - 2.25577e-5 * z) ** 5.2559


def saturation_pressure(temperature):
    """Give the vapour pressure over water, or over ice below 0.01 °C.

    The small rise by the air around (enhancement factor, 0.4 %) is left out here and taken in everywhere else.

    Parameters
    ----------
    temperature : float or array_like
        Temperature of the surface, −40 to 60 [°C].

    Returns
    -------
    float or numpy.ndarray
        Saturation pressure of pure water [Pa].

    Raises
    ------
    ValueError
        If the temperature is outside the range.

    Notes
    -----
    Doubles about every 10–11 K near room temperature.

    References
    ----------
    COOLPROP; ASHRAE2017PSY, table 3.

    Examples
    --------
    >>> round(saturation_pressure(0.01) / 10)
    61
    """
    return _plain(np.exp(air_table.saturation(_temperature(temperature, "surface temperature"), PRESSURE[0])[0]))


def humidity_ratio(temperature, relative_humidity, pressure=101325.0):
    """Give the water carried by each kilogram of dry air.

    Parameters
    ----------
    temperature : float or array_like
        Air temperature, −40 to 60 [°C].
    relative_humidity : float or array_like
        0 (dry) to 1 (saturated) [–].
    pressure : float or array_like
        Air pressure, 70 to 105 kPa; see :func:`pressure_at` [Pa].

    Returns
    -------
    float or numpy.ndarray
        Humidity ratio [kg/kg dry air].

    Raises
    ------
    ValueError
        If an argument is outside its range or the lists don't fit together.

    Notes
    -----
    ``W = 0.62195·φ·f·p_ws/(p − φ·f·p_ws)``; about 0.004 at 0 °C and 0.015 at 20 °C, both saturated.

    References
    ----------
    COOLPROP, humid air properties; ASHRAE2017PSY, table 2.

    Examples
    --------
    >>> humidity_ratio(20.0, 0.0)
    0.0
    >>> round(humidity_ratio(20.0, 1.0), 4)
    0.0148
    """
    t, rh, p = _state(temperature, relative_humidity, pressure)
    return _plain(_ratio(rh * _saturated(t, p), p))


def saturation_humidity_ratio(temperature, pressure=101325.0):
    """Give the most water that each kilogram of dry air can carry.

    Parameters
    ----------
    temperature : float or array_like
        Air temperature, −40 to 60 [°C].
    pressure : float or array_like
        Air pressure, 70 to 105 kPa [Pa].

    Returns
    -------
    float or numpy.ndarray
        Humidity ratio of saturated air [kg/kg dry air].

    Raises
    ------
    ValueError
        If an argument is outside its range.

    References
    ----------
    COOLPROP; ASHRAE2017PSY, table 2.

    Examples
    --------
    >>> saturation_humidity_ratio(20.0) == humidity_ratio(20.0, 1.0)
    True
    """
    return humidity_ratio(temperature, 1.0, pressure)


def relative_humidity(temperature, humidity_ratio, pressure=101325.0):
    """Give the relative humidity of air that carries a known amount of water.

    Parameters
    ----------
    temperature : float or array_like
        Air temperature, −40 to 60 [°C].
    humidity_ratio : float or array_like
        Water in the air, 0 up to saturation, at most 1 [kg/kg dry air].
    pressure : float or array_like
        Air pressure, 70 to 105 kPa [Pa].

    Returns
    -------
    float or numpy.ndarray
        Relative humidity, 0 to 1 [–].

    Raises
    ------
    ValueError
        If an argument is outside its range, or the air can't hold so much water.

    References
    ----------
    COOLPROP; ASHRAE2017PSY, chapter 1.

    Examples
    --------
    >>> round(relative_humidity(20.0, saturation_humidity_ratio(20.0)), 9)
    1.0
    """
    broadcast(temperature=temperature, humidity_ratio=humidity_ratio, pressure=pressure)
    t, p = _temperature(temperature), _pressure(pressure)
    ratio = number("humidity ratio", humidity_ratio, "kg/kg", 0, 1)
    result = _vapour(ratio, p) / _saturated(t, p)
    if np.any(result > 1 + 1e-9):
        raise ValueError("humidity ratio is more than air of this temperature can hold: the rest would be fog or dew")
    return _plain(np.minimum(result, 1.0))


def enthalpy(temperature, relative_humidity, pressure=101325.0):
    """Give the heat content of moist air, that of its vapour included.

    Parameters
    ----------
    temperature : float or array_like
        Air temperature, −40 to 60 [°C].
    relative_humidity : float or array_like
        0 to 1 [–].
    pressure : float or array_like
        Air pressure, 70 to 105 kPa [Pa].

    Returns
    -------
    float or numpy.ndarray
        Enthalpy, zero for dry air at 0 °C [J/kg dry air].

    Raises
    ------
    ValueError
        If an argument is outside its range or the lists don't fit together.

    Notes
    -----
    ``h ≈ 1006·t + W·(2 500 900 + 1860·t)`` and a small departure read from the table.

    References
    ----------
    COOLPROP, humid air properties; ASHRAE2017PSY, table 2 and equation 30.

    Examples
    --------
    >>> round(enthalpy(20.0, 0.0), -2)
    20100.0
    """
    t, rh, p = _state(temperature, relative_humidity, pressure)
    return _plain(_enthalpy(t, rh, p, _ratio(rh * _saturated(t, p), p)))


def specific_volume(temperature, relative_humidity, pressure=101325.0):
    """Give the volume of moist air that holds one kilogram of dry air.

    Parameters
    ----------
    temperature : float or array_like
        Air temperature, −40 to 60 [°C].
    relative_humidity : float or array_like
        0 to 1 [–].
    pressure : float or array_like
        Air pressure, 70 to 105 kPa [Pa].

    Returns
    -------
    float or numpy.ndarray
        Specific volume [m³/kg dry air].

    Raises
    ------
    ValueError
        If an argument is outside its range or the lists don't fit together.

    References
    ----------
    COOLPROP, humid air properties; ASHRAE2017PSY, table 2.

    Examples
    --------
    >>> round(specific_volume(20.0, 0.0), 2)
    0.83
    """
    t, rh, p = _state(temperature, relative_humidity, pressure)
    dry_share = 1 - rh * _saturated(t, p) / p
    compressibility = air_table.departures(1, t, rh, p)
    return _plain(compressibility * air_table.GAS_CONSTANT * (t + 273.15) / (p * dry_share))


def density(temperature, relative_humidity, pressure=101325.0):
    """Give the mass of a cubic metre of moist air, its vapour included.

    Parameters
    ----------
    temperature : float or array_like
        Air temperature, −40 to 60 [°C].
    relative_humidity : float or array_like
        0 to 1 [–].
    pressure : float or array_like
        Air pressure, 70 to 105 kPa [Pa].

    Returns
    -------
    float or numpy.ndarray
        Density [kg/m³].

    Raises
    ------
    ValueError
        If an argument is outside its range or the lists don't fit together.

    Notes
    -----
    Damp air is lighter than dry air of the same temperature and pressure.

    References
    ----------
    COOLPROP, humid air properties.

    Examples
    --------
    >>> round(density(20.0, 0.0), 1)
    1.2
    """
    ratio = humidity_ratio(temperature, relative_humidity, pressure)
    return (1 + ratio) / specific_volume(temperature, relative_humidity, pressure)


def dew_point(temperature, relative_humidity, pressure=101325.0):
    """Give the temperature to which air must be cooled before it drips; below 0 °C, before frost forms.

    Parameters
    ----------
    temperature : float or array_like
        Air temperature, −40 to 60 [°C].
    relative_humidity : float or array_like
        0.0001 to 1; bone-dry air has no dew point [–].
    pressure : float or array_like
        Air pressure, 70 to 105 kPa [Pa].

    Returns
    -------
    float or numpy.ndarray
        Dew point, or frost point below 0 °C [°C].

    Raises
    ------
    ValueError
        If an argument is outside its range or the lists don't fit together.

    References
    ----------
    COOLPROP, humid air properties.

    Examples
    --------
    >>> round(dew_point(20.0, 1.0), 3)
    20.0
    """
    t, rh, p = _state(temperature, relative_humidity, pressure, driest=DRIEST_DEW)
    return _plain(air_table.dew_temperature(rh * _saturated(t, p), p))


def wet_bulb(temperature, relative_humidity, pressure=101325.0):
    """Give the temperature of a wet (or iced) bulb in moving air: how far evaporation alone can cool.

    Parameters
    ----------
    temperature : float or array_like
        Air temperature, −40 to 60 [°C].
    relative_humidity : float or array_like
        0 to 1 [–].
    pressure : float or array_like
        Air pressure, 70 to 105 kPa [Pa].

    Returns
    -------
    float or numpy.ndarray
        Thermodynamic wet-bulb temperature [°C].

    Raises
    ------
    ValueError
        If an argument is outside its range or the lists don't fit together.

    Notes
    -----
    Solves ``h + (W_s(t*) − W)·h_w(t*) = h_s(t*)``. Where a bulb could be both wet and iced, it is taken as iced.

    References
    ----------
    ASHRAE2017PSY, equation 33; COOLPROP, humid air properties.

    Examples
    --------
    >>> round(wet_bulb(20.0, 1.0), 3)
    20.0
    """
    t, rh, p = _state(temperature, relative_humidity, pressure)
    ratio = _ratio(rh * _saturated(t, p), p)
    goal = _enthalpy(t, rh, p, ratio)
    iced = _bulb_excess(0.0, p, ratio, goal, True)[0] >= 0
    low, high = np.where(iced, _COLDEST_BULB, 0.0), np.where(iced, 0.0, TEMPERATURE[1])
    bulb, step = np.minimum(np.maximum(t, low), high), np.inf
    while np.max(np.abs(step), initial=0.0) > 1e-5:  # the last step leaves a millionth of a kelvin at most
        excess, slope = _bulb_excess(bulb, p, ratio, goal, iced)
        new = np.minimum(np.maximum(bulb - excess / slope, low), high)
        bulb, step = new, new - bulb
    return _plain(bulb)


def _bulb_excess(bulb, p, ratio, goal, iced):
    """How far the energy balance of a wet bulb is from closing [J/kg], and its slope [J/kg·K] for Newton's rule."""
    film = np.where(iced, _ICE_LATENT + _ICE_HEAT * bulb, _WATER_HEAT * bulb)
    held = _ratio(_saturated(bulb, p), p)
    excess = _enthalpy(bulb, 1.0, p, held) - goal - (held - ratio) * film
    latent = air_table.LATENT_HEAT - film
    clausius = latent * air_table.EPSILON / (air_table.GAS_CONSTANT * (bulb + 273.15) ** 2)
    return excess, air_table.DRY_HEAT + latent * held * (1 + held / air_table.EPSILON) * clausius

"""Moist air from CoolProp as a table, so that a year of hours is answered at once and CoolProp need not be loaded.

CoolProp's equations of state are exact and slow: loading them takes two seconds and one state some 10–100 µs. The
table holds what is smooth in them (the departures from ideal gases); :mod:`heatlib.moist_air` does the rest in closed
form. ``python -m heatlib.air_table`` writes the two files anew; a test holds them against the CoolProp installed.
"""

from functools import lru_cache
from importlib.resources import files
from pathlib import Path

import numpy as np

from heatlib._check import choice, single

__all__ = [
    "build_table",
    "departures",
    "dew_temperature",
    "from_coolprop",
    "ideal_enthalpy",
    "saturation",
    "write_table",
]

PRESSURES = (70e3, 87.5e3, 105e3)
HUMIDITIES = (0.0, 0.5, 1.0)
TRIPLE_POINT = 0.01
_FINE, _COARSE = 0.25, 0.5
_SATURATION_NODES = TRIPLE_POINT + _FINE * np.arange(-461, 242)
_MIXTURE_NODES = TRIPLE_POINT + _COARSE * np.arange(-81, 121)
_FILES = ("moist_air_saturation.csv", "moist_air_departures.csv")

EPSILON = 18.015268 / 28.966
GAS_CONSTANT = 8.314472 / 0.028966
DRY_HEAT, VAPOUR_HEAT, LATENT_HEAT = 1006.0, 1860.0, 2500900.0

_OUTPUTS = {"humidity_ratio": "W", "enthalpy": "H", "specific_volume": "V", "dew_point": "D", "wet_bulb": "B"}


def build_table():
    """Compute both tables with CoolProp (some seconds).

    Nothing is neglected; the nodes are 0.25 K apart for saturation and 0.5 K for the departures, with one node on the
    triple point, where the curve of saturation over ice meets that over water.

    Returns
    -------
    tuple of numpy.ndarray
        Saturation: temperature, logarithm of the saturation pressure, enhancement factor at three pressures; and
        departures: temperature, nine of enthalpy, nine compressibilities [°C, ln Pa, –; °C, J/kg, –].

    References
    ----------
    COOLPROP, humid air properties (after ASHRAE RP-1485).

    Examples
    --------
    >>> saturation_rows, departure_rows = build_table()
    >>> saturation_rows.shape, departure_rows.shape
    ((703, 5), (202, 19))
    """
    from CoolProp.CoolProp import HAProps_Aux
    from CoolProp.HumidAirProp import HAPropsSI

    def departure(kelvin, pressure, humidity):
        state = ("T", kelvin, "P", pressure, "R", humidity)
        ratio, enthalpy, volume = (HAPropsSI(name, *state) for name in "WHV")
        dry_share = 1 / (1 + ratio / EPSILON)
        h = (enthalpy - ideal_enthalpy(kelvin - 273.15, ratio)) * dry_share
        return h, volume * pressure * dry_share / (GAS_CONSTANT * kelvin)

    def saturated(name, t, pressure):
        # CoolProp's curves over ice and over water miss each other by 1e-4 at the triple point: take the middle there
        sides = (t - 1e-6, t + 1e-6) if t == TRIPLE_POINT else (t,)
        return np.mean([HAProps_Aux(name, side + 273.15, pressure, 0.0)[0] for side in sides])

    rows = []
    for t in _SATURATION_NODES:
        factors = [saturated("f", t, p) for p in PRESSURES]
        rows.append([t, np.log(saturated("p_ws", t, PRESSURES[0])), *factors])
    mixture = []
    for t in _MIXTURE_NODES:
        pairs = [departure(t + 273.15 + 1e-6, p, r) for p in PRESSURES for r in HUMIDITIES]
        mixture.append([t, *(h for h, _ in pairs), *(z for _, z in pairs)])
    return np.array(rows), np.array(mixture)


def write_table(folder):
    """Write the two tables as CSV files.

    Parameters
    ----------
    folder : str or pathlib.Path
        An existing folder [path].

    Returns
    -------
    list of pathlib.Path
        The files written [path].

    Examples
    --------
    >>> import tempfile
    >>> with tempfile.TemporaryDirectory() as folder:
    ...     [path.name for path in write_table(folder)]
    ['moist_air_saturation.csv', 'moist_air_departures.csv']
    """
    paths = [Path(folder) / name for name in _FILES]
    for path, rows in zip(paths, build_table()):
        np.savetxt(path, rows, fmt=["%.2f", *["%.9g"] * (rows.shape[1] - 1)], delimiter=",")
    return paths


@lru_cache
def _load():
    folder = files("heatlib.data").joinpath("computed")
    texts = [folder.joinpath(name).read_text(encoding="ascii").splitlines() for name in _FILES]
    fine, coarse = (np.loadtxt(text, delimiter=",") for text in texts)
    departure_grid = coarse[:, 1:].T.reshape(2, len(PRESSURES), len(HUMIDITIES), -1)
    return fine[:, 1].copy(), fine[:, 2:].T.copy(), departure_grid


def ideal_enthalpy(temperature, ratio):
    """Give the enthalpy of a mixture of ideal gases: the part of the truth that needs no table.

    The arguments are not checked here: the callers in :mod:`heatlib.moist_air` do.

    Parameters
    ----------
    temperature : float or array_like
        Air temperature, −40 to 60 [°C].
    ratio : float or array_like
        Humidity ratio, 0 or more [kg/kg dry air].

    Returns
    -------
    float or numpy.ndarray
        Enthalpy above dry air and liquid water at 0 °C [J/kg dry air].

    References
    ----------
    ASHRAE2017PSY, chapter 1, moist air as ideal gases.

    Examples
    --------
    >>> ideal_enthalpy(10.0, 0.0), ideal_enthalpy(0.0, 0.01)
    (10060.0, 25009.0)
    """
    return DRY_HEAT * temperature + ratio * (LATENT_HEAT + VAPOUR_HEAT * temperature)


def _place(temperature, nodes, step):
    x = (temperature - nodes[0]) / step
    index = np.minimum(np.asarray(x).astype(np.intp), len(nodes) - 2)
    return index, x - index


def _between(row, index, share):
    return row[index] + share * (row[index + 1] - row[index])


def _weights(x, nodes):
    """Weights of a parabola through three equally spaced nodes."""
    s = (x - nodes[1]) / (nodes[1] - nodes[0])
    return s * (s - 1) / 2, 1 - s * s, s * (s + 1) / 2


def _parabola(rows, weights, index, share):
    """Interpolate in the nodes of ``rows`` (first axis) and in temperature; cheap where the weights are scalars."""
    if all(np.ndim(w) == 0 for w in weights):
        return _between(sum(w * row for w, row in zip(weights, rows)), index, share)
    return sum(w * _between(row, index, share) for w, row in zip(weights, rows))


def saturation(temperature, pressure):
    """Look up the logarithm of the saturation pressure of pure water or ice, and the enhancement factor of air.

    The arguments are not checked here: the callers in :mod:`heatlib.moist_air` do.

    Parameters
    ----------
    temperature : float or array_like
        Air temperature, −115 to 60 [°C].
    pressure : float or array_like
        Air pressure, 70 to 105 kPa [Pa].

    Returns
    -------
    tuple of float or numpy.ndarray
        ``ln p_ws`` and ``f``, so that ``f·p_ws`` is the vapour pressure of saturated air [ln Pa, –].

    References
    ----------
    COOLPROP, humid air properties.

    Examples
    --------
    >>> logarithm, factor = saturation(0.01, 101325.0)
    >>> round(float(np.exp(logarithm))), round(float(factor), 3)
    (612, 1.004)
    """
    logarithms, factors, _ = _load()
    index, share = _place(temperature, _SATURATION_NODES, _FINE)
    return _between(logarithms, index, share), _parabola(factors, _weights(pressure, PRESSURES), index, share)


def dew_temperature(vapour_pressure, pressure):
    """Give the temperature at which air of this vapour pressure is saturated: the saturation table read backwards.

    The arguments are not checked here: the callers in :mod:`heatlib.moist_air` do.

    Parameters
    ----------
    vapour_pressure : float or array_like
        Partial pressure of the water vapour, above 0 [Pa].
    pressure : float or array_like
        Air pressure, 70 to 105 kPa [Pa].

    Returns
    -------
    float or numpy.ndarray
        Dew point, below 0 °C the frost point [°C].

    Notes
    -----
    The enhancement factor is that of the last guess; the third round moves the answer by less than 1e-6 K.

    References
    ----------
    COOLPROP, humid air properties.

    Examples
    --------
    >>> logarithm, factor = saturation(15.0, 101325.0)
    >>> round(float(dew_temperature(factor * np.exp(logarithm), 101325.0)), 6)
    15.0
    """
    logarithms, factors, _ = _load()
    goal, factor = np.log(vapour_pressure), 1.004
    weights = _weights(pressure, PRESSURES)
    for _ in range(3):
        temperature = np.interp(goal - np.log(factor), logarithms, _SATURATION_NODES)
        factor = _parabola(factors, weights, *_place(temperature, _SATURATION_NODES, _FINE))
    return temperature


def departures(quantity, temperature, relative_humidity, pressure):
    """Look up how far moist air departs from a mixture of ideal gases.

    The arguments are not checked here: the callers in :mod:`heatlib.moist_air` do.

    Parameters
    ----------
    quantity : int
        0 for the enthalpy, 1 for the compressibility [–].
    temperature : float or array_like
        Air temperature, −40 to 60 [°C].
    relative_humidity : float or array_like
        0 to 1 [–].
    pressure : float or array_like
        70 to 105 kPa [Pa].

    Returns
    -------
    float or numpy.ndarray
        Departure of the enthalpy, per kg of moist gas counted as air; or the compressibility [J/kg; –].

    References
    ----------
    COOLPROP, humid air properties.

    Examples
    --------
    >>> round(float(departures(1, 20.0, 0.0, 101325.0)), 3)
    1.0
    """
    grid = _load()[2][quantity]
    index, share = _place(temperature, _MIXTURE_NODES, _COARSE)
    by_pressure = _weights(pressure, PRESSURES)
    by_humidity = _weights(relative_humidity, HUMIDITIES)
    # what is one number for all rows is worked into the small table first: three times fewer look-ups
    if np.ndim(relative_humidity) == 0:
        return _parabola(np.tensordot(by_humidity, grid, (0, 1)), by_pressure, index, share)
    if np.ndim(pressure) == 0:
        return _parabola(np.tensordot(by_pressure, grid, (0, 0)), by_humidity, index, share)
    return sum(w * _parabola(rows, by_humidity, index, share) for w, rows in zip(by_pressure, grid))


def from_coolprop(quantity, temperature, relative_humidity, pressure=101325.0):
    """Ask CoolProp itself for one state of moist air: exact, slow, and two seconds for the first question.

    Parameters
    ----------
    quantity : str
        ``humidity_ratio``, ``enthalpy``, ``specific_volume``, ``dew_point`` or ``wet_bulb`` [text].
    temperature : float
        Air temperature, −40 to 60 [°C].
    relative_humidity : float
        0 to 1 [–].
    pressure : float
        Air pressure, 70 to 105 kPa [Pa].

    Returns
    -------
    float
        The quantity, per kg of dry air where it is an amount [kg/kg; J/kg; m³/kg; °C; °C].

    Raises
    ------
    ValueError
        If an argument is outside its range or no single number.

    References
    ----------
    COOLPROP, humid air properties.

    Examples
    --------
    >>> from_coolprop("humidity_ratio", 20.0, 0.0)
    0.0
    """
    choice("quantity", quantity, _OUTPUTS)
    t = single("air temperature", temperature, "°C", -40, 60)
    humid = single("relative humidity (0 to 1)", relative_humidity, "", 0, 1)
    p = single("air pressure", pressure, "Pa", *PRESSURES[::2])
    from CoolProp.HumidAirProp import HAPropsSI

    value = HAPropsSI(_OUTPUTS[quantity], "T", t + 273.15, "P", p, "R", humid)
    return value - 273.15 if _OUTPUTS[quantity] in "DB" else value


if __name__ == "__main__":
    for written in write_table(Path(__file__).parent / "data" / "computed"):
        print(written.name)

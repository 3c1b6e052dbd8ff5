"""How much heat a store takes and gives: water with its ice, stone, gravel beds, soil, walls; what they weigh.

Heat is counted positive when the store takes it, warming from ``cold`` to ``warm``. How fast a surface gives the heat
up is in :mod:`heatlib.surfaces`; how deep a day reaches into a wall or bed in :mod:`heatlib.beds`.
"""

import numpy as np

from heatlib import tables
from heatlib._check import TEMPERATURE, broadcast, choice, number

__all__ = [
    "bed_density",
    "bed_heat_capacity",
    "bed_heat_content",
    "floor_load",
    "heat_capacity",
    "heat_content",
    "store_mass",
    "water_enthalpy",
    "water_temperature",
]

GRAVITY = 9.80665
FREEZING_HEAT = 333.421e3
"""Heat set free by each kilogram of water that freezes at 0 °C [J/kg]."""

_NODES = np.array([-60.0, -50, -40, -30, -20, -10, 0, 0, 10, 20, 30, 40, 50, 60, 70, 80, 90])
_ENTHALPY = 1e3 * np.array(
    # ice, then liquid from the second node at 0 °C on
    [
        *(-446.078, -429.110, -411.425, -393.018, -373.884, -354.020, -333.421),
        *(0, 42.058, 83.946, 125.761, 167.555, 209.357, 251.187, 293.061, 334.994, 377.002),
    ]
)
"""IAPWS-06 for ice and IAPWS-95 for water at 101.325 kPa, counted from liquid at 0 °C [°C, J/kg]."""


def water_enthalpy(temperature):
    """Give the heat in a kilogram of water, counted from liquid at 0 °C; ice is far below zero.

    Supercooling is neglected: water below 0 °C is ice, and at exactly 0 °C it is counted as liquid.

    Parameters
    ----------
    temperature : float or array_like
        Temperature of the water or ice, −60 to 90 [°C].

    Returns
    -------
    float or numpy.ndarray
        Enthalpy; negative for ice [J/kg].

    Raises
    ------
    ValueError
        If the temperature is outside the range.

    Notes
    -----
    Straight lines between points 10 K apart: within 0.1 kJ/kg of the curve. Warming by one kelvin takes
    about 4.19 kJ/kg in water and 2.1 in ice; freezing gives 333.4 kJ/kg, as much as cooling water by 80 K.

    References
    ----------
    IAPWS95; IAPWS06.

    Examples
    --------
    >>> water_enthalpy(0.0)
    0.0
    >>> round((water_enthalpy(20.0) - water_enthalpy(10.0)) / 1000)
    42
    """
    t = number("water temperature", temperature, "°C", *TEMPERATURE)
    # numpy's interpolation takes the later of two equal nodes, so 0 °C is liquid
    result = np.interp(t, _NODES, _ENTHALPY)
    return float(result) if np.ndim(result) == 0 else result


def water_temperature(enthalpy):
    """Give the temperature of water from the heat in it; between ice and liquid it stays at 0 °C.

    Supercooling is neglected.

    Parameters
    ----------
    enthalpy : float or array_like
        Heat in the water, counted from liquid at 0 °C, −446078 to 377002 [J/kg].

    Returns
    -------
    float or numpy.ndarray
        Temperature [°C].

    Raises
    ------
    ValueError
        If the enthalpy is outside the range, i.e. the water outside −60 to 90 °C.

    Notes
    -----
    The exact inverse of :func:`water_enthalpy`. The share of ice at 0 °C is ``−enthalpy/333 421``.

    References
    ----------
    IAPWS95; IAPWS06.

    Examples
    --------
    >>> water_temperature(-100e3)
    0.0
    """
    h = number("heat in the water", enthalpy, "J/kg", _ENTHALPY[0], _ENTHALPY[-1])
    result = np.interp(h, _ENTHALPY, _NODES)
    return float(result) if np.ndim(result) == 0 else result


def store_mass(material, volume):
    """Give the mass of a volume of material.

    The container is not counted: an empty steel drum of 208 L weighs some 18 kg more.

    Parameters
    ----------
    material : str
        ``"water"`` or a name in the table of materials [text].
    volume : float or array_like
        Volume of the material, 0 to 10 000 [m³].

    Returns
    -------
    float or numpy.ndarray
        Mass [kg].

    Raises
    ------
    ValueError
        If the material is unknown or the volume is negative.

    References
    ----------
    IAPWS95 for water at 20 °C; else the source of the material's row.

    Examples
    --------
    >>> round(store_mass("water", 0.208))
    208
    """
    return number("volume", volume, "m³", 0, 1e4) * _density(material)


def _density(material):
    return tables.entry("materials", material, "density").value


def heat_capacity(material):
    """Give the heat that a cubic metre of material takes for each degree.

    The change with temperature is neglected (under 1 % for water, some 2 % for 10 K in stone).

    Parameters
    ----------
    material : str
        ``"water"`` or a name in the table of materials [text].

    Returns
    -------
    float
        Volumetric heat capacity [J/m³·K].

    Raises
    ------
    ValueError
        If the material is unknown; the nearest names are listed.

    Notes
    -----
    Water 4.18 MJ/m³·K; stone and concrete a good 2; wood under 1; air 0.0012.

    References
    ----------
    The source of the material's rows.

    Examples
    --------
    >>> heat_capacity("water") > 1.5 * heat_capacity("concrete")
    True
    """
    return _density(material) * tables.entry("materials", material, "specific_heat").value


def heat_content(material, volume, cold, warm):
    """Give the heat a store takes when it warms from ``cold`` to ``warm``, and gives back when it cools.

    Water is taken with its ice; the frost in moist soil, stone or wood is neglected, and so is the container.

    Parameters
    ----------
    material : str
        ``"water"`` or a name in the table of materials [text].
    volume : float or array_like
        Volume at room temperature, 0 to 10 000 [m³].
    cold, warm : float or array_like
        The two temperatures, −60 to 90 [°C].

    Returns
    -------
    float or numpy.ndarray
        Heat, positive if ``warm`` is warmer than ``cold`` [J].

    Raises
    ------
    ValueError
        If the material is unknown, an argument is outside its range, or ice is to be above 0 °C.

    Notes
    -----
    ``Q = ρ·V·c·(T_warm − T_cold)``; for water ``ρ·V·(h(T_warm) − h(T_cold))``.

    References
    ----------
    OPENSTAX, equation of heat transfer; IAPWS95 and IAPWS06 for water.

    Examples
    --------
    >>> round(heat_content("water", 0.001, 10.0, 20.0) / 1000)
    42
    """
    broadcast(volume=volume, cold=cold, warm=warm)
    mass = store_mass(material, volume)
    low = number("cold temperature", cold, "°C", *TEMPERATURE)
    high = number("warm temperature", warm, "°C", *TEMPERATURE)
    if material == "ice" and max(np.max(low), np.max(high)) > 0:
        raise ValueError("ice melts above 0 °C: take the material water, whose ice is counted")
    if material == "water":
        return mass * (water_enthalpy(high) - water_enthalpy(low))
    return mass * tables.entry("materials", material, "specific_heat").value * (high - low)


def _fill(stone, void_fraction, filling):
    choice("filling of the voids", filling, ("air", "water"))
    void = number("void fraction", void_fraction, "", 0, 1)
    return void, stone, filling


def bed_density(stone, void_fraction, filling="air"):
    """Give the mass of a cubic metre of heaped stones, with what stands between them.

    Parameters
    ----------
    stone : str
        The solid stone, e.g. ``"granite"`` [text].
    void_fraction : float or array_like
        Share of the bed between the stones; 0.35–0.45 in rounded or broken stone of one size, between 0 and 1 [–].
    filling : str
        ``"air"`` or ``"water"`` [text].

    Returns
    -------
    float or numpy.ndarray
        Mass of the bed [kg/m³].

    Raises
    ------
    ValueError
        If a name is unknown or the void fraction is outside 0–1.

    References
    ----------
    The sources of the materials' rows.

    Examples
    --------
    >>> bed_density("granite", 1.0, "water") == store_mass("water", 1.0)
    True
    """
    void, stone, filling = _fill(stone, void_fraction, filling)
    return (1 - void) * _density(stone) + void * _density(filling)


def bed_heat_capacity(stone, void_fraction, filling="air"):
    """Give the heat that a cubic metre of heaped stones takes for each degree.

    Freezing is neglected: use :func:`bed_heat_content` where a wet bed freezes.

    Parameters
    ----------
    stone : str
        The solid stone, e.g. ``"granite"`` [text].
    void_fraction : float or array_like
        Share of the bed between the stones, between 0 and 1 [–].
    filling : str
        ``"air"`` or ``"water"`` [text].

    Returns
    -------
    float or numpy.ndarray
        Volumetric heat capacity of the bed [J/m³·K].

    Raises
    ------
    ValueError
        If a name is unknown or the void fraction is outside 0–1.

    Notes
    -----
    Stone in air keeps about 60 % of solid stone; with the voids full of water it holds more than solid stone.

    References
    ----------
    The sources of the materials' rows.

    Examples
    --------
    >>> bed_heat_capacity("granite", 0.0) == heat_capacity("granite")
    True
    """
    void, stone, filling = _fill(stone, void_fraction, filling)
    return (1 - void) * heat_capacity(stone) + void * heat_capacity(filling)


def bed_heat_content(stone, volume, void_fraction, cold, warm, filling="air"):
    """Give the heat a bed of stones takes from ``cold`` to ``warm``; water in its voids may freeze.

    Parameters
    ----------
    stone : str
        The solid stone, e.g. ``"granite"`` [text].
    volume : float or array_like
        Volume of the whole bed, 0 to 10 000 [m³].
    void_fraction : float or array_like
        Share of the bed between the stones, between 0 and 1 [–].
    cold, warm : float or array_like
        The two temperatures, −60 to 90 [°C].
    filling : str
        ``"air"`` or ``"water"`` [text].

    Returns
    -------
    float or numpy.ndarray
        Heat, positive if ``warm`` is warmer than ``cold`` [J].

    Raises
    ------
    ValueError
        If a name is unknown or an argument is outside its range.

    References
    ----------
    The sources of the materials' rows; IAPWS95 and IAPWS06 for water.

    Examples
    --------
    >>> bed_heat_content("granite", 1.0, 0.0, 10.0, 20.0) == heat_content("granite", 1.0, 10.0, 20.0)
    True
    """
    void, stone, filling = _fill(stone, void_fraction, filling)
    broadcast(volume=volume, void_fraction=void_fraction, cold=cold, warm=warm)
    whole = number("volume", volume, "m³", 0, 1e4)
    return heat_content(stone, whole * (1 - void), cold, warm) + heat_content(filling, whole * void, cold, warm)


def floor_load(mass, footprint):
    """Give the pressure that a store puts on the floor.

    Impact and a footing's spread are neglected. Whether a floor or soil carries the load is for local codes and a
    licensed engineer to decide.

    Parameters
    ----------
    mass : float or array_like
        Mass of the store with its container, 0 to 10 000 000 [kg].
    footprint : float or array_like
        Area on which it stands, greater than 0, at most 100 000 [m²].

    Returns
    -------
    float or numpy.ndarray
        Pressure on the floor [Pa].

    Raises
    ------
    ValueError
        If an argument is outside its range.

    Notes
    -----
    A full drum of 208 L presses with about 8 kPa; house floors are built for about 2.

    References
    ----------
    Closed form: weight over area.

    Examples
    --------
    >>> floor_load(100.0, 1.0)
    980.665
    """
    broadcast(mass=mass, footprint=footprint)
    return number("mass", mass, "kg", 0, 1e7) * GRAVITY / number("footprint", footprint, "m²", high=1e5, above=0)

"""Air that comes in cold and leaves warm: air changes, cracks, doors, and the ventilation a house needs.

An air change rate counts how often an hour the air of the house is replaced [1/h]; a flow is in m³/s of inside air.
Heat flow is positive when the house loses it, and counts the air's warmth only: what the vapour in it carries is in
:mod:`heatlib.moist_air`.
"""

import numpy as np

from heatlib import tables
from heatlib._check import TEMPERATURE, broadcast, choice, number, plain
from heatlib.moist_air import pressure_at
from heatlib.sky import kelvin

__all__ = [
    "air_change_heat_loss",
    "air_density",
    "air_flow_heat_loss",
    "door_flow",
    "leakage_flow",
    "lobby_flow",
    "stack_wind_flow",
    "tightness_air_change_rate",
    "ventilation_for_humidity",
    "ventilation_for_temperature",
    "water_equivalent",
]

GRAVITY = 9.80665
AIR_CONSTANT = 287.055
"""Gas constant of dry air [J/kg·K]."""
AIR_HEAT = 1006.0
"""Specific heat of dry air [J/kg·K]."""
WATER_HEAT = 4.186e6
"""Heat of one cubic metre of water for each kelvin [J/m³·K]."""
FREEZING = 333.4e6
"""Heat that one cubic metre of water gives off when it freezes [J/m³]."""
STACK = 0.000145
"""Stack coefficient for a house of one storey [(L/s)²/(cm⁴·K)]."""
WIND = {"none": 0.000319, "light": 0.000246, "moderate": 0.000174, "heavy": 0.000137, "complete": 0.000104}
"""Wind coefficient for a house of one storey by its shelter [(L/s)²/(cm⁴·(m/s)²)]."""


def _temperatures(inside, outside):
    warm = number("inside temperature", inside, "°C", *TEMPERATURE)
    return warm, number("outside temperature", outside, "°C", *TEMPERATURE)


def air_density(temperature, elevation=0.0):
    """Give the density of dry air.

    Humidity and weather are neglected: damp air is up to 2 % lighter, a deep low 3 %.

    Parameters
    ----------
    temperature : float or array_like
        Temperature, −60 to 90 [°C].
    elevation : float or array_like
        Height above sea level, −290 to 3000 [m].

    Returns
    -------
    float or numpy.ndarray
        Density [kg/m³].

    Raises
    ------
    ValueError
        If an argument is outside its range.

    Notes
    -----
    ``ρ = p/(R·T)``. At sea level 1.29 at freezing and 1.20 at 20 °C.

    References
    ----------
    ASHRAE2017PSY, equations 3 and 28.

    Examples
    --------
    >>> round(air_density(20.0), 2)
    1.2
    """
    broadcast(temperature=temperature, elevation=elevation)
    return pressure_at(elevation) / (AIR_CONSTANT * kelvin(temperature))


def air_flow_heat_loss(flow, inside, outside, elevation=0.0):
    """Give the heat that a flow of air carries out.

    The vapour in the air is neglected.

    Parameters
    ----------
    flow : float or array_like
        Air that leaves, measured at inside temperature, 0 to 1000 [m³/s].
    inside, outside : float or array_like
        Temperatures, −60 to 90 [°C].
    elevation : float or array_like
        Height above sea level, −290 to 3000 [m].

    Returns
    -------
    float or numpy.ndarray
        Heat flow, positive when the house loses it [W].

    Raises
    ------
    ValueError
        If an argument is outside its range.

    Notes
    -----
    ``Q = ρ·c·V̇·(T_inside − T_outside)``, with the density of the inside air.

    References
    ----------
    OPENSTAX, worked example on the turnover of air in a house.

    Examples
    --------
    >>> round(air_flow_heat_loss(0.1, 20.0, 10.0))
    1211
    """
    broadcast(flow=flow, inside=inside, outside=outside, elevation=elevation)
    warm, cold = _temperatures(inside, outside)
    leaving = number("air flow", flow, "m³/s", 0, 1000)
    return air_density(warm, elevation) * AIR_HEAT * leaving * (warm - cold)


def air_change_heat_loss(volume, air_change_rate, inside, outside, elevation=0.0):
    """Give the heat that air changes carry out of a house.

    The vapour in the air is neglected; it can carry as much again.

    Parameters
    ----------
    volume : float or array_like
        Volume of the house, above 0 to 1 000 000 [m³].
    air_change_rate : float or array_like
        How often its air is replaced, 0 to 1000 [1/h].
    inside, outside : float or array_like
        Temperatures, −60 to 90 [°C].
    elevation : float or array_like
        Height above sea level, −290 to 3000 [m].

    Returns
    -------
    float or numpy.ndarray
        Heat flow, positive when the house loses it [W].

    Raises
    ------
    ValueError
        If an argument is outside its range.

    Notes
    -----
    At sea level about ``0.34·n·V·ΔT``, some 4 % less for each 300 m and 4 % more for 10 K colder inside air.

    References
    ----------
    MURPHY, example 9.3; WAC51, table A108.1(2).

    Examples
    --------
    >>> round(air_change_heat_loss(50.0, 1.0, 20.0, 10.0))
    168
    """
    broadcast(volume=volume, air_change_rate=air_change_rate, inside=inside, outside=outside, elevation=elevation)
    size = number("volume", volume, "m³", high=1e6, above=0)
    rate = number("air change rate", air_change_rate, "per hour", 0, 1000)
    warm, cold = _temperatures(inside, outside)
    return air_density(warm, elevation) * AIR_HEAT * size * rate / 3600 * (warm - cold)


def tightness_air_change_rate(name, bound="value"):
    """Give the air change rate of a class of tightness, in ordinary wind.

    Wind and cold are neglected: a stormy night at −20 °C can double the rate.

    Parameters
    ----------
    name : str
        Name in the table of tightness, e.g. ``"old_poor"`` [text].
    bound : str
        ``"low"``, ``"value"`` or ``"high"`` end of the class [text].

    Returns
    -------
    float
        Air change rate [1/h].

    Raises
    ------
    ValueError
        If a name is unknown.

    Notes
    -----
    A new house of sheets has about 1, an old one in poor repair 3.

    References
    ----------
    The source of the row.

    Examples
    --------
    >>> tightness_air_change_rate("old_poor", "low")
    2.0
    """
    row = tables.entry("tightness", name, "air_change_rate")
    return getattr(row, choice("bound", bound, ("low", "value", "high")))


def water_equivalent(heat_flow, hours, cooling, freezing=False):
    """Give the volume of stored water that covers a heat loss for some hours.

    How fast the water gives its heat up is neglected.

    Parameters
    ----------
    heat_flow : float or array_like
        Loss to cover, 0 or more [W].
    hours : float or array_like
        How long, 0 to 10 000 [h].
    cooling : float or array_like
        By how much the water cools, above 0 to 90 [K].
    freezing : bool
        Whether it also freezes through [text].

    Returns
    -------
    float or numpy.ndarray
        Volume of water [m³].

    Raises
    ------
    ValueError
        If an argument is outside its range.

    Notes
    -----
    A cubic metre gives 1.16 kWh for each kelvin, and 93 kWh when it freezes.

    References
    ----------
    OPENSTAX, tables of specific and latent heats.

    Examples
    --------
    >>> round(water_equivalent(1000.0, 12.0, 10.0), 2)
    1.03
    """
    broadcast(heat_flow=heat_flow, hours=hours, cooling=cooling)
    if not isinstance(freezing, bool):
        raise ValueError(f"freezing must be True or False, but it is {freezing!r}")
    heat = number("heat flow", heat_flow, "W", 0) * number("time", hours, "h", 0, 1e4) * 3600
    return heat / (WATER_HEAT * number("cooling", cooling, "K", high=90, above=0) + FREEZING * freezing)


def stack_wind_flow(area, height, inside, outside, wind_speed, discharge=0.65, wind_effect=0.3):
    """Give the flow through openings low and high, driven by warm air's lift and by wind.

    Gusts, screens and the resistance inside the house are neglected.

    Parameters
    ----------
    area : float or array_like
        Free area of the inlets, as large as that of the outlets, 0 to 10 000 [m²].
    height : float or array_like
        Height between the middles of inlets and outlets, 0 to 50 [m].
    inside, outside : float or array_like
        Temperatures, −60 to 90 [°C].
    wind_speed : float or array_like
        Wind at the house, 0 to 60 [m/s].
    discharge : float or array_like
        Discharge coefficient of the openings, above 0 to 1 [–].
    wind_effect : float or array_like
        Share of the wind that passes: 0.5–0.6 straight on, 0.25–0.35 at a slant, 0 to 1 [–].

    Returns
    -------
    float or numpy.ndarray
        Air flow, whichever way it goes, never negative [m³/s].

    Raises
    ------
    ValueError
        If an argument is outside its range.

    Notes
    -----
    ``V̇_s = C·A·√(2·g·(h/2)·|ΔT|/T_warm)``, the level of no pressure being halfway; ``V̇_w = C_v·A·v``; together the
    root of the sum of squares.

    References
    ----------
    ASHRAE2013, chapter on ventilation and infiltration, sections on flow by wind and by thermal forces.

    Examples
    --------
    >>> stack_wind_flow(2.0, 0.0, 20.0, 10.0, 5.0)
    3.0
    """
    opening = {"area": area, "height": height, "discharge": discharge, "wind_effect": wind_effect}
    broadcast(**opening, inside=inside, outside=outside, wind_speed=wind_speed)
    warm, cold = _temperatures(inside, outside)
    free = number("opening area", area, "m²", 0, 1e4)
    lift = GRAVITY * number("height", height, "m", 0, 50) * np.abs(warm - cold) / kelvin(np.maximum(warm, cold))
    by_lift = number("discharge coefficient", discharge, "", high=1, above=0) ** 2 * lift
    by_wind = number("wind effect", wind_effect, "", 0, 1) * number("wind speed", wind_speed, "m/s", 0, 60)
    return plain(free * np.sqrt(by_lift + by_wind**2))


def leakage_flow(leakage_area, inside, outside, wind_speed, shelter="moderate"):
    """Give the air that cracks all over a one-storey house let through.

    The shape of the house and where the cracks are is neglected: a single house can be half or twice as leaky.

    Parameters
    ----------
    leakage_area : float or array_like
        Effective leakage area at 4 Pa, all cracks together, 0 to 100 [m²].
    inside, outside : float or array_like
        Temperatures, −60 to 90 [°C].
    wind_speed : float or array_like
        Wind measured in the open, 0 to 60 [m/s].
    shelter : str
        ``"none"``, ``"light"``, ``"moderate"``, ``"heavy"`` or ``"complete"`` [text].

    Returns
    -------
    float or numpy.ndarray
        Air flow [m³/s].

    Raises
    ------
    ValueError
        If an argument is outside its range or the shelter unknown.

    Notes
    -----
    ``V̇ = A·√(C_s·|ΔT| + C_w·v²)``. A tenth of a square metre of cracks on a calm night at 30 K lets 65 L/s through.

    References
    ----------
    ASHRAE2013, chapter on ventilation and infiltration, basic model.

    Examples
    --------
    >>> leakage_flow(0.1, 5.0, 5.0, 0.0)
    0.0
    """
    broadcast(leakage_area=leakage_area, inside=inside, outside=outside, wind_speed=wind_speed)
    warm, cold = _temperatures(inside, outside)
    cracks = number("leakage area", leakage_area, "m²", 0, 100)
    speed = number("wind speed", wind_speed, "m/s", 0, 60)
    wind = WIND[choice("shelter", shelter, WIND)]
    # the coefficients are made for cm² and L/s
    return plain(cracks * 1e4 * np.sqrt(STACK * np.abs(warm - cold) + wind * speed**2) / 1e3)


def door_flow(width, height, inside, outside, seconds, openings, discharge=0.6):
    """Give the mean flow of cold air through a door that is opened now and then.

    Wind, curtains, people in the doorway and the cooling of the house while it is open are neglected.

    Parameters
    ----------
    width, height : float or array_like
        Clear size of the doorway, above 0 to 10 [m].
    inside, outside : float or array_like
        Temperatures, −60 to 90 [°C].
    seconds : float or array_like
        How long it stays open each time, 0 to 3600 [s].
    openings : float or array_like
        How often, 0 to 1000; ``seconds`` times ``openings`` is at most an hour [1/h].
    discharge : float or array_like
        Discharge coefficient, above 0 to 1 [–].

    Returns
    -------
    float or numpy.ndarray
        Air exchanged, averaged over the hour [m³/s].

    Raises
    ------
    ValueError
        If an argument is outside its range.

    Notes
    -----
    Cold air flows in below, warm air out above: ``V̇ = C/3·W·H·√(g·H·|ΔT|/T_m)`` while it is open. A door of 0.9 by 2 m
    passes about half a cubic metre a second at 20 K.

    References
    ----------
    BROWNSOLVASON1962, exchange through rectangular openings.

    Examples
    --------
    >>> door_flow(0.9, 2.0, 5.0, 5.0, 10.0, 6.0)
    0.0
    """
    door = {"width": width, "height": height, "discharge": discharge}
    broadcast(**door, inside=inside, outside=outside, seconds=seconds, openings=openings)
    time, often = _open_times(seconds, openings)
    return _open_door(width, height, inside, outside, discharge) * (time * often / 3600)


def _open_door(width, height, inside, outside, discharge):
    warm, cold = _temperatures(inside, outside)
    wide, high = (number(f"door {n}", v, "m", high=10, above=0) for n, v in (("width", width), ("height", height)))
    lift = GRAVITY * high * np.abs(warm - cold) / kelvin((warm + cold) / 2)
    return plain(number("discharge coefficient", discharge, "", high=1, above=0) / 3 * wide * high * np.sqrt(lift))


def _open_times(seconds, openings):
    time = number("time the door is open", seconds, "s", 0, 3600)
    often = number("openings", openings, "per hour", 0, 1000)
    number("time the door is open in an hour", time * often, "s", 0, 3600)
    return time, often


def lobby_flow(width, height, inside, outside, seconds, openings, lobby_volume, discharge=0.6):
    """Give the mean flow of outside air that gets in through a lobby with a door on either side.

    Neglected: leaks of the lobby, its warming by the wall, and both doors standing open together, which undoes it.

    Parameters
    ----------
    width, height : float or array_like
        Clear size of each doorway, above 0 to 10 [m].
    inside, outside : float or array_like
        Temperatures, −60 to 90 [°C].
    seconds : float or array_like
        How long each door stays open each time, 0 to 3600 [s].
    openings : float or array_like
        Passages, 0 to 1000; ``seconds`` times ``openings`` is at most an hour [1/h].
    lobby_volume : float or array_like
        Volume of the lobby, above 0 to 1000 [m³].
    discharge : float or array_like
        Discharge coefficient, above 0 to 1 [–].

    Returns
    -------
    float or numpy.ndarray
        Outside air that would carry out the same heat, averaged over the hour [m³/s].

    Raises
    ------
    ValueError
        If an argument is outside its range.

    Notes
    -----
    Each door in turn mixes the share ``e = 1 − exp(−V̇·t/V_L)`` of the lobby with its side; after many passages the
    house loses ``V_L·e/(2 − e)`` of air each time: half the bare door for a quick passage, one lobby full at most.

    References
    ----------
    BROWNSOLVASON1962 for the doors; the mixing is a closed form for two well mixed rooms.

    Examples
    --------
    >>> lobby_flow(0.9, 2.0, 10.0, -10.0, 600.0, 1.0, 3.6) <= 3.6 / 3600
    True
    """
    door = {"width": width, "height": height, "discharge": discharge, "lobby_volume": lobby_volume}
    broadcast(**door, inside=inside, outside=outside, seconds=seconds, openings=openings)
    room = number("lobby volume", lobby_volume, "m³", high=1000, above=0)
    time, often = _open_times(seconds, openings)
    mixed = -np.expm1(-_open_door(width, height, inside, outside, discharge) * time / room)
    return plain(room * mixed / (2 - mixed) * often / 3600)


def ventilation_for_temperature(heat_gain, conductance, inside, outside, elevation=0.0):
    """Give the flow of outside air that keeps a house from getting warmer than wanted.

    Cooling by evaporation is neglected, so a house full of leaves needs less.

    Parameters
    ----------
    heat_gain : float or array_like
        Heat put into the air by the sun and otherwise, 0 or more [W].
    conductance : float or array_like
        What skin and floor lose for each kelvin, 0 or more [W/K].
    inside, outside : float or array_like
        Temperature to hold, and outside temperature, −60 to 90 [°C].
    elevation : float or array_like
        Height above sea level, −290 to 3000 [m].

    Returns
    -------
    float or numpy.ndarray
        Air flow, measured at inside temperature; 0 where the skin loses enough by itself [m³/s].

    Raises
    ------
    ValueError
        If an argument is outside its range, or outside air is too warm to hold the temperature with any flow.

    Notes
    -----
    ``V̇ = (Q − UA·ΔT)/(ρ·c·ΔT)``. Each kilowatt at 5 K needs 0.17 m³/s.

    References
    ----------
    EP406, section on ventilation; heat balance of the air.

    Examples
    --------
    >>> ventilation_for_temperature(500.0, 100.0, 25.0, 20.0)
    0.0
    """
    broadcast(heat_gain=heat_gain, conductance=conductance, inside=inside, outside=outside, elevation=elevation)
    warm, cold = _temperatures(inside, outside)
    gain = number("heat gain", heat_gain, "W", 0)
    surplus = gain - number("conductance", conductance, "W/K", 0) * (warm - cold)
    difference = warm - cold
    if np.any((surplus > 0) & (difference <= 0)):
        raise ValueError(
            f"outside air at {outside} °C can't hold the house at {inside} °C, however much of it: shade it, let water "
            "evaporate, or allow a higher temperature"
        )
    wanted = np.maximum(surplus, 0) / np.where(difference > 0, difference, 1.0)
    return plain(wanted / (air_density(warm, elevation) * AIR_HEAT))


def ventilation_for_humidity(vapour_flow, inside_humidity_ratio, outside_humidity_ratio, density=1.2):
    """Give the flow of outside air that carries away the water which plants and soil give off.

    What condenses on panes is neglected: it carries water away as well.

    Parameters
    ----------
    vapour_flow : float or array_like
        Water given off, 0 or more [kg/s].
    inside_humidity_ratio, outside_humidity_ratio : float or array_like
        Water in each kilogram of dry air, 0 to 0.2 [kg/kg].
    density : float or array_like
        Dry air in each cubic metre inside, above 0 to 2 [kg/m³].

    Returns
    -------
    float or numpy.ndarray
        Air flow, measured inside [m³/s].

    Raises
    ------
    ValueError
        If an argument is outside its range, or outside air is too damp to dry the house with any flow.

    Notes
    -----
    ``V̇ = ṁ/(ρ·(x_inside − x_outside))``. Cold outside air is dry air: a little of it dries much, and costs its heat.

    References
    ----------
    EP406, section on ventilation; water balance of the air.

    Examples
    --------
    >>> round(ventilation_for_humidity(0.006, 0.010, 0.005, 1.2), 3)
    1.0
    """
    broadcast(vapour_flow=vapour_flow, inside=inside_humidity_ratio, outside=outside_humidity_ratio, density=density)
    water = number("vapour flow", vapour_flow, "kg/s", 0)
    damp = number("inside humidity ratio", inside_humidity_ratio, "kg/kg", 0, 0.2)
    carried = damp - number("outside humidity ratio", outside_humidity_ratio, "kg/kg", 0, 0.2)
    if np.any((water > 0) & (carried <= 0)):
        raise ValueError(
            f"outside air with {outside_humidity_ratio} kg/kg of water can't dry a house at {inside_humidity_ratio} "
            "kg/kg, however much of it: heat the house or water less"
        )
    dry = number("air density", density, "kg/m³", high=2, above=0)
    return plain(np.where(water > 0, water, 0.0) / (dry * np.where(carried > 0, carried, 1.0)))

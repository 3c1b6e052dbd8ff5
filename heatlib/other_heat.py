"""Heat from elsewhere: barrel heater, soil cable, lamp, compost, people, fans; and what fuels cost.

Here heat is positive when it comes into the house. Where a flame burns, fumes must leave through a flue and fresh air
must come in: carbon monoxide kills without a smell. Wiring near water needs a ground-fault breaker (GFCI, RCD) and
outdoor-rated parts. Local codes and licensed trades decide.
"""

from dataclasses import dataclass

import numpy as np

from heatlib import tables
from heatlib._check import TEMPERATURE, broadcast, number

__all__ = [
    "barrel_heater",
    "cable_bed",
    "carbon_dioxide",
    "compost_heat",
    "compost_radiator",
    "electric_heat",
    "fuel_needed",
    "people_heat",
    "useful_heat_price",
    "warm_up_hours",
]

JOULES_PER_KWH = 3.6e6


def electric_heat(power, share_of_time=1.0, light_lost=0.0):
    """Give the heat of a lamp, a fan or any other electric device in the house: all its power.

    Light that plants store as sugar (1–2 %) is neglected.

    Parameters
    ----------
    power : float or array_like
        Electric power while on, 0 to 1 000 000 [W].
    share_of_time : float or array_like
        Share of the time it is on, 0 to 1 [–].
    light_lost : float or array_like
        Share of the power that leaves as light through the panes, 0 to 1: none for a fan, up to 0.3 for a lamp that
        shines outward [–].

    Returns
    -------
    float or numpy.ndarray
        Mean heat into the house [W].

    Raises
    ------
    ValueError
        If an argument is outside its range.

    Notes
    -----
    A lamp of 100 W heats like a heater of 100 W, whatever its light is called.

    References
    ----------
    Conservation of energy.

    Examples
    --------
    >>> electric_heat(100.0, 0.5)
    50.0
    """
    broadcast(power=power, share_of_time=share_of_time, light_lost=light_lost)
    watts = number("power", power, "W", 0, 1e6) * number("share of time", share_of_time, "", 0, 1)
    return watts * (1 - number("share of light lost", light_lost, "", 0, 1))


def people_heat(count):
    """Give the heat of people at light work, sensible and latent.

    Parameters
    ----------
    count : float or array_like
        Number of people, 0 to 1000; a mean over time may be a fraction [–].

    Returns
    -------
    tuple of float or numpy.ndarray
        Sensible heat, and heat in breath and sweat [W].

    Raises
    ------
    ValueError
        If the number is outside its range.

    Notes
    -----
    One person warms like a bright old light bulb, and moistens the air by some 0.1 kg an hour.

    References
    ----------
    MEMORY (rows of heat_sources.csv).

    Examples
    --------
    >>> people_heat(0.0)
    (0.0, 0.0)
    """
    people = number("number of people", count, "", 0, 1000)
    row = tables.properties("heat_sources", "person")
    return people * row["sensible"].value, people * row["latent"].value


@dataclass(frozen=True)
class Heater:
    """State of a thermostat heater: water [°C], heat given to the room [W], share of time on [–], whether it holds."""

    water: float
    heat: float
    share_of_time: float
    holds: bool


def barrel_heater(power, setpoint, room, conductance):
    """Tell how a barrel with a thermostat heater in its water settles in a room of steady temperature.

    The barrel's other losses and the thermostat's own band are neglected.

    Parameters
    ----------
    power : float or array_like
        Heater power, 0 to 20 000 [W].
    setpoint : float or array_like
        Thermostat's temperature, 0 to 90 [°C].
    room : float or array_like
        Room temperature, −60 to 90 [°C].
    conductance : float or array_like
        Area times coefficient of the barrel's surface, greater than 0, at most 10 000 [W/K].

    Returns
    -------
    Heater
        Water temperature, heat to the room (negative if the room warms the barrel), share of the time on, and whether
        the setpoint is held [°C, W, –, –].

    Raises
    ------
    ValueError
        If an argument is outside its range.

    Notes
    -----
    ``T = T_room + P/(h·A)`` unless the thermostat stops it sooner. With 1.9 m² at 8 W/m²·K a heater of 1500 W lies
    idle most of the time: the barrel's surface decides, not the heater.

    References
    ----------
    Closed form: steady balance.

    Examples
    --------
    >>> barrel_heater(1500.0, 20.0, 5.0, 20.0).heat
    300.0
    """
    watts = number("heater power", power, "W", 0, 2e4)
    wanted = number("thermostat setpoint", setpoint, "°C", 0, 90)
    around = number("room temperature", room, "°C", *TEMPERATURE)
    way = number("conductance", conductance, "W/K", high=1e4, above=0)
    broadcast(power=watts, setpoint=wanted, room=around, conductance=way)
    needed = way * (wanted - around)
    running = np.clip(needed, 0.0, watts)
    share = np.divide(running, watts, out=np.zeros_like(running + watts), where=np.asarray(watts) > 0)
    result = around + running / way, running, share, needed <= watts
    return Heater(*(x.item() if np.ndim(x) == 0 and hasattr(x, "item") else x for x in result))


def warm_up_hours(power, heat_capacity, start, goal, room, conductance):
    """Give the time a heater takes to warm a store while the store already gives heat to the room.

    Freezing is left out: start from 0 °C or more, or add the heat of the ice.

    Parameters
    ----------
    power : float or array_like
        Heater power, 0 to 20 000 [W].
    heat_capacity : float or array_like
        Of the store, greater than 0, at most 10¹⁰ [J/K].
    start, goal : float or array_like
        Temperature at the beginning and wanted, 0 to 90; the goal not below the start [°C].
    room : float or array_like
        Room temperature, −60 to 90 [°C].
    conductance : float or array_like
        From store to room, greater than 0, at most 10 000 [W/K].

    Returns
    -------
    float or numpy.ndarray
        Time; infinite where the heater is too weak ever to get there [h].

    Raises
    ------
    ValueError
        If an argument is outside its range, or the goal is below the start.

    Notes
    -----
    ``t = C/(hA)·ln((T_end − start)/(T_end − goal))`` with ``T_end = T_room + P/(hA)``.

    References
    ----------
    INCROPERA, equation 5.25 (lumped capacitance with a source).

    Examples
    --------
    >>> warm_up_hours(1000.0, 1e6, 10.0, 10.0, 10.0, 20.0)
    0.0
    """
    way = number("conductance", conductance, "W/K", high=1e4, above=0)
    capacity = number("heat capacity", heat_capacity, "J/K", high=1e10, above=0)
    first = number("temperature at the start", start, "°C", 0, 90)
    last = number("wanted temperature", goal, "°C", 0, 90)
    around = number("room temperature", room, "°C", *TEMPERATURE)
    watts = number("heater power", power, "W", 0, 2e4)
    broadcast(power=watts, heat_capacity=capacity, start=first, goal=last, room=around, conductance=way)
    if np.any(last < first):
        raise ValueError("wanted temperature must not be below the temperature at the start: a heater can't cool")
    gap = around + watts / way - last
    with np.errstate(divide="ignore", invalid="ignore"):
        climb = np.log1p(np.divide(last - first, gap))
    hours = np.where(last == first, 0.0, np.where(gap > 0, capacity / way * climb / 3600, np.inf))
    return float(hours) if hours.ndim == 0 else hours


@dataclass(frozen=True)
class CableBed:
    """A bed with a heating cable: temperature at the cable [°C], heat up to the room and down to the ground [W/m²]."""

    temperature: float
    upward: float
    downward: float


def cable_bed(power_per_area, room, ground, resistance_up, resistance_down):
    """Tell how warm a heated bed gets at its cable, and what share of the heat goes up into the house.

    Steady state; the ripple between the cable's turns and the bed's edge are neglected.

    Parameters
    ----------
    power_per_area : float or array_like
        Mean power of the cable, 0 to 500; soil cables 80–160 while on [W/m²].
    room, ground : float or array_like
        Temperatures above and below, −60 to 90 [°C].
    resistance_up, resistance_down : float or array_like
        From the cable to the room (soil over it and film) and to the ground (insulation), greater than 0, at most 100
        [m²·K/W].

    Returns
    -------
    CableBed
        Temperature at the cable, heat upward and downward, together the cable's power [°C, W/m², W/m²].

    Raises
    ------
    ValueError
        If an argument is outside its range.

    Notes
    -----
    ``T = (q + T_room/R_up + T_ground/R_down)/(1/R_up + 1/R_down)``.

    References
    ----------
    Closed form: two resistances in parallel.

    Examples
    --------
    >>> cable_bed(100.0, 10.0, 10.0, 0.2, 0.2).temperature
    20.0
    """
    q = number("cable power", power_per_area, "W/m²", 0, 500)
    above = number("room temperature", room, "°C", *TEMPERATURE)
    below = number("ground temperature", ground, "°C", *TEMPERATURE)
    up = number("resistance upward", resistance_up, "m²·K/W", high=100, above=0)
    down = number("resistance downward", resistance_down, "m²·K/W", high=100, above=0)
    broadcast(power_per_area=q, room=above, ground=below, resistance_up=up, resistance_down=down)
    temperature = (q + above / up + below / down) / (1 / up + 1 / down)
    return CableBed(temperature, (temperature - above) / up, (temperature - below) / down)


def compost_heat(dry_mass, days, heat_per_dry_mass=None):
    """Give the mean heat that can be drawn from a heap of compost while it lasts.

    The slow start and fading end are averaged over; a cold, dry or soaked heap gives nothing.

    Parameters
    ----------
    dry_mass : float or array_like
        Mass of the heap without its water, 0 to 1 000 000; fresh mixes hold 55–60 % water [kg].
    days : float or array_like
        Time over which it gives this heat, 5 to 730 [d].
    heat_per_dry_mass : float or array_like, optional
        Heat recovered, 0 to 20 MJ/kg; the typical row of heat_sources.csv if left out, with a range of 1.2 to 7.1
        [J/kg].

    Returns
    -------
    float or numpy.ndarray
        Mean heat [W].

    Raises
    ------
    ValueError
        If an argument is outside its range.

    Notes
    -----
    1000 kg of dry mass over two months: some 800 W, but anything between 200 and 1400 W has been measured.

    References
    ----------
    SMITH2017, abstract; HAUG1993.

    Examples
    --------
    >>> round(compost_heat(864.0, 10.0, 1e6))
    1000
    """
    usual = tables.entry("heat_sources", "compost", "heat_per_dry_mass").value
    per_mass = number("heat per dry mass", usual if heat_per_dry_mass is None else heat_per_dry_mass, "J/kg", 0, 20e6)
    mass = number("dry mass", dry_mass, "kg", 0, 1e6)
    broadcast(dry_mass=mass, days=days, heat_per_dry_mass=per_mass)
    return mass * per_mass / (number("duration", days, "d", 5, 730) * 86400)


def compost_radiator(heap_heat, heap_temperature, room, conductance):
    """Give the heat that water pipes carry from a heap to a radiator: the lesser of what is made and what gets through.

    Pipe losses outdoors are neglected: insulate them.

    Parameters
    ----------
    heap_heat : float or array_like
        Heat the heap can keep up, 0 to 1 000 000: see :func:`compost_heat` [W].
    heap_temperature : float or array_like
        Of the working heap, −60 to 90; usually 40–70 [°C].
    room : float or array_like
        Room temperature, −60 to 90 [°C].
    conductance : float or array_like
        From heap to room through pipe coil, water and radiator, 0 to 10 000 [W/K].

    Returns
    -------
    float or numpy.ndarray
        Heat into the room; none if the heap is not warmer [W].

    Raises
    ------
    ValueError
        If an argument is outside its range.

    Notes
    -----
    Drawing more than is made cools the heap until the two agree, or until it dies.

    References
    ----------
    SMITH2017; closed form: steady balance.

    Examples
    --------
    >>> compost_radiator(800.0, 55.0, 5.0, 10.0)
    500.0
    """
    made = number("heat of the heap", heap_heat, "W", 0, 1e6)
    heap = number("heap temperature", heap_temperature, "°C", *TEMPERATURE)
    around = number("room temperature", room, "°C", *TEMPERATURE)
    way = number("conductance", conductance, "W/K", 0, 1e4)
    broadcast(heap_heat=made, heap_temperature=heap, room=around, conductance=way)
    result = np.minimum(made, np.maximum(way * (heap - around), 0.0))
    return float(result) if np.ndim(result) == 0 else result


def _fuel(fuel, efficiency):
    row = tables.properties("fuels", fuel)
    usual = row["efficiency"].value
    share = number("efficiency", usual if efficiency is None else efficiency, "", high=1, above=0)
    return row, share


def fuel_needed(fuel, useful_heat, efficiency=None):
    """Give the amount of fuel that a heat demand takes.

    Parameters
    ----------
    fuel : str
        A name in the table of fuels [text].
    useful_heat : float or array_like
        Heat into the house, 0 to 10¹³ [J].
    efficiency : float or array_like, optional
        Share of the fuel's heat that reaches the house, greater than 0, at most 1; the table's row if left out [–].

    Returns
    -------
    float or numpy.ndarray
        Amount in the fuel's own unit: see the table (kWh, m³, L or kg) [unit of the row].

    Raises
    ------
    ValueError
        If the fuel is unknown or an argument outside its range.

    References
    ----------
    UCONN (heating values).

    Examples
    --------
    >>> fuel_needed("electricity", 3.6e6)
    1.0
    """
    row, share = _fuel(fuel, efficiency)
    heat = number("useful heat", useful_heat, "J", 0, 1e13)
    broadcast(useful_heat=heat, efficiency=share)
    return heat / JOULES_PER_KWH / (row["heat_per_unit"].value * share)


def useful_heat_price(fuel, price_per_unit, efficiency=None):
    """Give the price of a kilowatt-hour of heat that reaches the house.

    The heater itself, its flue and standing charges are neglected.

    Parameters
    ----------
    fuel : str
        A name in the table of fuels [text].
    price_per_unit : float or array_like
        What you pay for each kWh, m³, L or kg, 0 to 10 000; the table's prices are invented [money].
    efficiency : float or array_like, optional
        Share of the fuel's heat that reaches the house, greater than 0, at most 1; the table's row if left out [–].

    Returns
    -------
    float or numpy.ndarray
        Price of useful heat [money/kWh].

    Raises
    ------
    ValueError
        If the fuel is unknown or an argument outside its range.

    References
    ----------
    UCONN (heating values).

    Examples
    --------
    >>> useful_heat_price("electricity", 0.2)
    0.2
    """
    price = number("price", price_per_unit, "money per unit", 0, 1e4)
    needed = fuel_needed(fuel, JOULES_PER_KWH, efficiency)
    broadcast(price_per_unit=price, efficiency=needed)
    return price * needed


def carbon_dioxide(fuel, useful_heat, efficiency=None):
    """Give the carbon dioxide that a heat demand sends into the air.

    Making and carrying the fuel is neglected; wood's is counted, though a regrowing forest takes it back.

    Parameters
    ----------
    fuel : str
        A name in the table of fuels [text].
    useful_heat : float or array_like
        Heat into the house, 0 to 10¹³ [J].
    efficiency : float or array_like, optional
        Share of the fuel's heat that reaches the house, greater than 0, at most 1; the table's row if left out [–].

    Returns
    -------
    float or numpy.ndarray
        Carbon dioxide [kg].

    Raises
    ------
    ValueError
        If the fuel is unknown or an argument outside its range.

    References
    ----------
    EPAHUB, stationary combustion.

    Examples
    --------
    >>> carbon_dioxide("natural_gas", 0.0)
    0.0
    """
    row, share = _fuel(fuel, efficiency)
    heat = number("useful heat", useful_heat, "J", 0, 1e13)
    broadcast(useful_heat=heat, efficiency=share)
    return heat / JOULES_PER_KWH / share * row["carbon_dioxide"].value

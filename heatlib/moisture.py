"""Water on the move: heat lost with moist air, panes that drip, plants and wet soil that dry.

Heat is positive when the house loses it. Water is positive when it leaves the surface for the air, except that
condensation counts what settles on the pane. Air changes are per hour, relative humidity 0–1.
"""

from dataclasses import dataclass

import numpy as np

from heatlib import moist_air
from heatlib._check import TEMPERATURE, broadcast, number
from heatlib.air_table import EPSILON, GAS_CONSTANT
from heatlib.storage import FREEZING_HEAT

__all__ = [
    "condensation_rate",
    "condensed_water",
    "evaporation_heat",
    "evaporation_rate",
    "pane_drip",
    "pane_surface_temperature",
    "vapour_flow",
    "ventilation_loss",
]

AIR_HEAT = 1006.0
LEWIS = 0.87
"""Thermal over mass diffusivity of water vapour in air [–]: 2.12e-5/2.44e-5 m²/s near 20 °C."""
LONGEST_NIGHT = 48.0


def _plain(value):
    return float(value) if np.ndim(value) == 0 else value


def evaporation_heat(temperature):
    """Give the heat that a kilogram of water takes to evaporate; ice takes the melting too.

    Parameters
    ----------
    temperature : float or array_like
        Temperature of the surface, −60 to 90; below 0 °C it is ice or frost [°C].

    Returns
    -------
    float or numpy.ndarray
        Heat of evaporation [J/kg].

    Raises
    ------
    ValueError
        If the temperature is outside the range.

    Notes
    -----
    ``2 500 900 − 2365·t``, a line within 0.1 %: 680 Wh for each litre, as much as a small heater gives in an hour. Ice
    takes the heat of melting more, and then all but the same at any cold: ``2 834 300 − 265·t − 4·t²``.

    References
    ----------
    IAPWS95; IAPWS06.

    Examples
    --------
    >>> round(evaporation_heat(20.0) / 1000)
    2454
    """
    t = number("surface temperature", temperature, "°C", *TEMPERATURE)
    return _plain(2500.9e3 + np.where(t < 0, FREEZING_HEAT - (265.0 + 4.0 * t) * t, -2365.0 * t))


def _transfer(air, humidity, convection, pressure):
    """Mass transfer coefficient [kg/m²·s per kg/kg] from that of heat, after Lewis."""
    h = number("convection coefficient", convection, "W/m²·K", 0, 500)
    return h / ((AIR_HEAT + 1860.0 * moist_air.humidity_ratio(air, humidity, pressure)) * LEWIS ** (2 / 3))


def ventilation_loss(volume, air_change_rate, inside, inside_humidity, outside, outside_humidity, pressure=101325.0):
    """Give the heat that leaves with changed air: the sensible share that warms it and the latent share in its water.

    The air that leaves is taken as well mixed room air.

    Parameters
    ----------
    volume : float or array_like
        Air volume of the house, 0 to 100 000 [m³].
    air_change_rate : float or array_like
        Room volumes that leave each hour, 0 to 200 [1/h].
    inside : float or array_like
        Air temperature, −40 to 60 [°C].
    inside_humidity : float or array_like
        Relative humidity, 0 to 1 [–].
    outside : float or array_like
        Air temperature, −40 to 60 [°C].
    outside_humidity : float or array_like
        Relative humidity, 0 to 1 [–].
    pressure : float or array_like
        Air pressure, 70 to 105 kPa [Pa].

    Returns
    -------
    tuple of float or numpy.ndarray
        Sensible and latent heat flow, each positive when the house loses it [W].

    Raises
    ------
    ValueError
        If an argument is outside its range or the lists don't fit together.

    Notes
    -----
    Together exactly ``m·(h_in − h_out)``, ``m = V·n/(3600·v_in)`` of dry air. Sensible is the change of temperature at
    the lower of the two water contents, latent the rest. A damp house loses a quarter to a half as latent heat.

    References
    ----------
    ASHRAE2017PSY, equation 30; COOLPROP.

    Examples
    --------
    >>> ventilation_loss(50.0, 1.0, 10.0, 0.5, 10.0, 0.5)
    (0.0, 0.0)
    """
    space = number("volume", volume, "m³", 0, 1e5)
    rate = number("air changes per hour", air_change_rate, "1/h", 0, 200)
    states = {"inside": inside, "outside": outside, "pressure": pressure}
    broadcast(**states, inside_humidity=inside_humidity, outside_humidity=outside_humidity, volume=space, rate=rate)
    mass_flow = space * rate / 3600 / moist_air.specific_volume(inside, inside_humidity, pressure)
    h_in = moist_air.enthalpy(inside, inside_humidity, pressure)
    h_out = moist_air.enthalpy(outside, outside_humidity, pressure)
    drier = np.minimum(
        moist_air.humidity_ratio(inside, inside_humidity, pressure),
        moist_air.humidity_ratio(outside, outside_humidity, pressure),
    )
    warm, cool = (
        moist_air.enthalpy(t, moist_air.relative_humidity(t, drier, pressure), pressure) for t in (inside, outside)
    )
    sensible = mass_flow * (warm - cool)
    return _plain(sensible), _plain(mass_flow * (h_in - h_out) - sensible)


def pane_surface_temperature(u_value, inside, outside, surface_resistance=0.13):
    """Give the temperature of a pane's inner surface while it is dry.

    Sun, the pane's edge and its frame are neglected; frames and corners are colder and drip first.

    Parameters
    ----------
    u_value : float or array_like
        Of the pane with its films, greater than 0, at most 20 [W/m²·K].
    inside, outside : float or array_like
        Air temperatures, −60 to 90 [°C].
    surface_resistance : float or array_like
        Inner film contained in the U-value, greater than 0, at most 1 [m²·K/W].

    Returns
    -------
    float or numpy.ndarray
        Surface temperature [°C].

    Raises
    ------
    ValueError
        If an argument is outside its range, or the U-value is too big for such an inner film.

    Notes
    -----
    ``T_s = T_i − U·R_si·(T_i − T_o)``: at U 5.6 a good two thirds of the drop happen in the film inside.

    References
    ----------
    MURPHY, example 9.6; ISO6946.

    Examples
    --------
    >>> pane_surface_temperature(5.0, 20.0, 0.0, 0.1)
    10.0
    """
    u = number("U-value", u_value, "W/m²·K", high=20, above=0)
    film = number("inner surface resistance", surface_resistance, "m²·K/W", high=1, above=0)
    t_in = number("inside temperature", inside, "°C", -60, 90)
    t_out = number("outside temperature", outside, "°C", -60, 90)
    broadcast(u_value=u, surface_resistance=film, inside=t_in, outside=t_out)
    if np.any(u * film >= 1):
        raise ValueError(
            f"U-value must be less than {1 / np.max(film):.3g} W/m²·K with an inner surface resistance of "
            f"{np.max(film):g} m²·K/W, but it is {np.max(u):g} W/m²·K"
        )
    return t_in - u * film * (t_in - t_out)


def vapour_flow(surface, air, relative_humidity, convection=3.0, pressure=101325.0):
    """Give the water that a wet surface gives to the air, or takes from it when it is colder than the dew point.

    The surface is wet all over (or iced below 0 °C); the slight rise of the flow by its own draught is neglected.

    Parameters
    ----------
    surface, air : float or array_like
        Temperatures of surface and air, −40 to 60 [°C].
    relative_humidity : float or array_like
        Of the air, 0 to 1 [–].
    convection : float or array_like
        Convection coefficient without radiation, 0 to 500; still air about 3 [W/m²·K].
    pressure : float or array_like
        Air pressure, 70 to 105 kPa [Pa].

    Returns
    -------
    float or numpy.ndarray
        Water flow, positive into the air, negative onto the surface [kg/m²·s].

    Raises
    ------
    ValueError
        If an argument is outside its range or the lists don't fit together.

    Notes
    -----
    ``g = h_c/(c_p·Le^⅔)·(W_sat(T_s) − W_air)`` with Le 0.87: a wet bulb gives some 10 % more than its balance asks.

    References
    ----------
    INCROPERA, equation 6.60 (analogy of heat and mass transfer).

    Examples
    --------
    >>> vapour_flow(20.0, 20.0, 1.0)
    0.0
    """
    broadcast(surface=surface, air=air, relative_humidity=relative_humidity, convection=convection, pressure=pressure)
    carried = moist_air.humidity_ratio(air, relative_humidity, pressure)
    difference = moist_air.saturation_humidity_ratio(surface, pressure) - carried
    return _plain(_transfer(air, relative_humidity, convection, pressure) * difference)


def condensation_rate(surface, air, relative_humidity, convection=3.0, pressure=101325.0):
    """Give the water that settles on a dry surface of known temperature.

    A dry surface above the dew point stays dry: it has nothing to give. The warming of the surface by the water that
    settles is left to :func:`pane_drip`.

    Parameters
    ----------
    surface, air : float or array_like
        Temperatures of surface and air, −40 to 60 [°C].
    relative_humidity : float or array_like
        Of the air, 0 to 1 [–].
    convection : float or array_like
        Convection coefficient without radiation, 0 to 500 [W/m²·K].
    pressure : float or array_like
        Air pressure, 70 to 105 kPa [Pa].

    Returns
    -------
    float or numpy.ndarray
        Water settling on the surface, 0 or more [kg/m²·s].

    Raises
    ------
    ValueError
        If an argument is outside its range or the lists don't fit together.

    Notes
    -----
    A single pane on a cold night gathers some 50–100 g/m² each hour while the air stays damp.

    References
    ----------
    INCROPERA, equation 6.60.

    Examples
    --------
    >>> condensation_rate(15.0, 20.0, 0.5)
    0.0
    """
    return _plain(np.maximum(0.0, -vapour_flow(surface, air, relative_humidity, convection, pressure)) + 0.0)


@dataclass(frozen=True)
class PaneDrip:
    """What happens at a pane's inner surface: temperatures [°C], water [kg/m²·s], heat set free there [W/m²]."""

    surface_temperature: float
    dew_point: float
    rate: float
    latent_heat: float


def pane_drip(
    u_value,
    inside,
    relative_humidity,
    outside,
    convection=3.0,
    surface_resistance=0.13,
    pressure=101325.0,
):
    """Tell whether a pane drips and how fast, with the warming of the pane by the water that settles.

    The air is taken to stay as damp as it is: see :func:`condensed_water` for a house that dries out.

    Parameters
    ----------
    u_value : float or array_like
        Of the dry pane, greater than 0, at most 20 [W/m²·K].
    inside : float or array_like
        Air temperature, −40 to 60 [°C].
    relative_humidity : float or array_like
        Inside, 0.0001 to 1 [–].
    outside : float or array_like
        Air temperature, −40 to 60 [°C].
    convection : float or array_like
        Convection coefficient at the pane without radiation, 0 to 500 [W/m²·K].
    surface_resistance : float or array_like
        Inner film contained in the U-value, greater than 0 and at most 1 [m²·K/W].
    pressure : float or array_like
        Air pressure, 70 to 105 kPa [Pa].

    Returns
    -------
    PaneDrip
        Surface temperature, dew point, rate and latent heat; the rate is 0 if the pane stays dry
        [°C, °C, kg/m²·s, W/m²].

    Raises
    ------
    ValueError
        If an argument is outside its range or the lists don't fit together.

    Notes
    -----
    Solves ``(T_i − T_s)/R_si + g(T_s)·L = (T_s − T_o)·U_o``, ``1/U_o = 1/U − R_si``, by halving. Settling water warms
    the pane and so slows itself, the more the warmer and damper the house.

    References
    ----------
    MURPHY, example 9.6 for the dry surface; INCROPERA, equation 6.60.

    Examples
    --------
    >>> pane_drip(2.8, 20.0, 0.3, 0.0).rate
    0.0
    """
    air = {"inside": inside, "relative_humidity": relative_humidity, "convection": convection, "pressure": pressure}
    broadcast(u_value=u_value, outside=outside, surface_resistance=surface_resistance, **air)
    dry = pane_surface_temperature(u_value, inside, outside, surface_resistance)
    dew = moist_air.dew_point(inside, relative_humidity, pressure)
    pane, inside, outside, film = (np.asarray(v, dtype=float) for v in (u_value, inside, outside, surface_resistance))
    outward = 1 / (1 / pane - film)
    low, high = dry, np.maximum(dry, dew)
    for _ in range(50):
        middle = (low + high) / 2
        rate = condensation_rate(middle, inside, relative_humidity, convection, pressure)
        gain = (inside - middle) / film + rate * evaporation_heat(middle)
        warmer = gain > (middle - outside) * outward
        low, high = np.where(warmer, middle, low), np.where(warmer, high, middle)
    surface = np.where(dew > dry, (low + high) / 2, dry)
    rate = condensation_rate(surface, inside, relative_humidity, convection, pressure)
    return PaneDrip(_plain(surface), dew, rate, _plain(rate * evaporation_heat(surface)))


def condensed_water(
    hours,
    volume,
    pane_area,
    surface,
    inside,
    relative_humidity,
    evaporation=0.0,
    convection=3.0,
    pressure=101325.0,
):
    """Give the water that settles on the panes of a closed house in some hours, limited by the water that is there.

    The temperatures stay as they are and no air is changed. What has settled runs off and does not evaporate again.

    Parameters
    ----------
    hours : float or array_like
        Duration, 0 to 48 [h].
    volume : float or array_like
        Air volume, greater than 0, at most 100 000 [m³].
    pane_area : float or array_like
        Area of the cold panes, greater than 0, at most 100 000 [m²].
    surface, inside : float or array_like
        Temperatures of pane and air, −40 to 60 [°C].
    relative_humidity : float or array_like
        At the beginning, 0 to 1 [–].
    evaporation : float or array_like
        Water that plants and soil give to the air meanwhile, 0 to 1000 [kg/h].
    convection : float or array_like
        Convection coefficient at the pane, greater than 0, at most 500 [W/m²·K].
    pressure : float or array_like
        Air pressure, 70 to 105 kPa [Pa].

    Returns
    -------
    float or numpy.ndarray
        Water settled on all panes [kg].

    Raises
    ------
    ValueError
        If an argument is outside its range or the lists don't fit together.

    Notes
    -----
    ``m·dW/dt = E − β·A·(W − W_sat(T_s))`` for the dry air ``m`` in the house: the excess fades within a quarter of an
    hour or so (``m/(β·A)``) to what evaporation keeps up. With dry soil the drops stop; with wet soil they run on.

    References
    ----------
    INCROPERA, equation 6.60; closed form of a first-order balance.

    Examples
    --------
    >>> condensed_water(0.0, 50.0, 30.0, 0.0, 10.0, 0.9)
    0.0
    """
    span = 3600 * number("duration", hours, "h", 0, LONGEST_NIGHT)
    space = number("volume", volume, "m³", high=1e5, above=0)
    area = number("pane area", pane_area, "m²", high=1e5, above=0)
    source = number("evaporation", evaporation, "kg/h", 0, 1000) / 3600
    number("convection coefficient", convection, "W/m²·K", high=500, above=0)
    air = {"inside": inside, "relative_humidity": relative_humidity, "convection": convection, "pressure": pressure}
    broadcast(hours=span, volume=space, pane_area=area, evaporation=source, surface=surface, **air)
    carried = moist_air.humidity_ratio(inside, relative_humidity, pressure)
    excess = carried - moist_air.saturation_humidity_ratio(surface, pressure)
    dry_air = space / moist_air.specific_volume(inside, relative_humidity, pressure)
    conductance = area * _transfer(inside, relative_humidity, convection, pressure)
    # air drier than the pane first fills up with what evaporates; only then does the pane drip
    with np.errstate(divide="ignore", invalid="ignore"):
        waiting = np.where(excess < 0, np.divide(-excess * dry_air, source), 0.0)
    wet_time = np.maximum(0.0, span - waiting)
    fading = (np.maximum(excess, 0.0) - source / conductance) * dry_air
    return _plain(source * wet_time + fading * (1 - np.exp(-conductance / dry_air * wet_time)))


def evaporation_rate(
    temperature,
    relative_humidity,
    net_radiation,
    surface_resistance=70.0,
    aerodynamic_resistance=200.0,
    exchange_area=1.0,
    pressure=101325.0,
):
    """Give the water that plants or wet soil give to the air, by Penman and Monteith.

    Heat stored in leaves and soil is neglected, and so is the water they lack: dry soil and wilting leaves give less.

    Parameters
    ----------
    temperature : float or array_like
        Air temperature, 0 to 60 [°C].
    relative_humidity : float or array_like
        0 to 1 [–].
    net_radiation : float or array_like
        Radiation that the surface keeps, less what goes on into the soil, −200 to 1000 [W/m² ground].
    surface_resistance : float or array_like
        Of leaves or soil, 0 to 10 000: wet soil 0–50, plants in light 50–150, plants in the dark 300–1000 [s/m].
    aerodynamic_resistance : float or array_like
        Of the air at the surface, 5 to 1000: a closed house 150–300, outdoors in wind 30–100 [s/m].
    exchange_area : float or array_like
        Surface that meets the air for each square metre of ground, greater than 0, at most 20: 1 for soil or lawn,
        twice the leaf area index for a stand of tall plants [m²/m²].
    pressure : float or array_like
        Air pressure, 70 to 105 kPa [Pa].

    Returns
    -------
    float or numpy.ndarray
        Water flow, positive into the air, negative for dew [kg/m²·s].

    Raises
    ------
    ValueError
        If an argument is outside its range or the lists don't fit together.

    Notes
    -----
    ``λE = (Δ·R_n + a·ρ·c_p·(e_s − e)/r_a)/(Δ + γ·(1 + r_s/r_a))``. A lawn gives 3–6 kg/m² on a summer's day; a planted
    bed in winter 0.2–1, at night a tenth of that. Good to ±20 % where the resistances are known, to a factor of two
    where they are guessed.

    References
    ----------
    FAO56, equation 3 and annex 3; STANGHELLINI1987 for the exchange area of a stand in a greenhouse.

    Examples
    --------
    >>> evaporation_rate(20.0, 1.0, 0.0)
    0.0
    """
    t = number("air temperature", temperature, "°C", 0, 60)
    radiation = number("net radiation", net_radiation, "W/m²", -200, 1000)
    r_s = number("surface resistance", surface_resistance, "s/m", 0, 1e4)
    r_a = number("aerodynamic resistance", aerodynamic_resistance, "s/m", 5, 1000)
    area = number("exchange area", exchange_area, "m²/m²", high=20, above=0)
    air = {"temperature": t, "relative_humidity": relative_humidity, "pressure": pressure, "net_radiation": radiation}
    broadcast(**air, surface_resistance=r_s, aerodynamic_resistance=r_a, exchange_area=area)
    heat = AIR_HEAT * moist_air.density(t, relative_humidity, pressure)
    saturated, latent = moist_air.saturation_pressure(t), evaporation_heat(t)
    slope = saturated * latent * EPSILON / (GAS_CONSTANT * (t + 273.15) ** 2)
    gamma = AIR_HEAT * np.asarray(pressure, dtype=float) / (EPSILON * latent)
    drying = area * heat * saturated * (1 - np.asarray(relative_humidity, dtype=float)) / r_a
    return _plain((slope * radiation + drying) / (slope + gamma * (1 + r_s / r_a)) / latent)

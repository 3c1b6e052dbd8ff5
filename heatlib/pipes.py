"""Air drawn through pipes in the ground: what it gives the soil, how hard it is to push, how much water drips out.

Heat flow is positive when the air of the house gives it to the soil, negative when it brings heat back. ``flow`` is
always that of all pipes together, measured at the mean air temperature in them. How the soil
round the pipe warms and tires is in :mod:`heatlib.pipe_soil`.
"""

import math
from dataclasses import dataclass

import numpy as np

from heatlib import moist_air
from heatlib._check import TEMPERATURE, broadcast, number
from heatlib.surfaces import air_properties

__all__ = [
    "PipeResult",
    "effectiveness",
    "fan_power",
    "pipe_conductance",
    "pipe_flow",
    "pipe_friction",
    "pipe_nusselt",
    "pressure_drop",
    "transfer_units",
]

LAMINAR_LIMIT, TURBULENT_LIMIT = 2300.0, 4000.0
CORRUGATION = 0.05
"""Roughness over diameter that gives corrugated drain pipe the friction of its Manning number, 0.016 [–]."""
FLOWING = (1.0, 1e6)
"""Reynolds numbers in between which the relations for heat and friction are used [–]."""
MOST_PRESSURE = 10000.0
"""What the strongest blower for pipes gives [Pa]; a garden fan gives a hundredth of it."""
_AIR_HEAT, _VAPOUR_HEAT, _GAS = 1006.0, 1860.0, 287.053
_LATENT_0, _LATENT_SLOPE = 2500.9e3, -2.36e3
"""Heat of evaporation at 0 °C and its change by kelvin [J/kg, J/kg·K]."""


@dataclass(frozen=True)
class PipeResult:
    """What comes out of buried pipes, all of them together."""

    outlet: float
    """Temperature of the air that comes back [°C]."""
    heat: float
    """Heat the air gives to the soil, sensible and latent; negative when it brings heat back [W]."""
    sensible: float
    """The part of it that cools the air [W]."""
    latent: float
    """The part of it set free by condensing water; never negative [W]."""
    condensed: float
    """Water that drips out in the pipes [kg/s]."""
    outlet_humidity_ratio: float
    """Water left in the air, by kilogram of dry air [kg/kg]."""
    ntu: float
    """Number of transfer units [–]."""
    pressure_drop: float
    """Pressure the fan must give [Pa]."""
    fan_power: float
    """Electric power of the fan [W]."""
    velocity: float
    """Speed of the air in each pipe [m/s]."""


def _plain(value):
    return float(value) if np.ndim(value) == 0 else value


def pipe_friction(reynolds, corrugated=False):
    """Give the Darcy friction factor of a pipe.

    Joints, holes and dirt are neglected.

    Parameters
    ----------
    reynolds : float or array_like
        Reynolds number, 1 to 1e8 [–].
    corrugated : bool, optional
        True for corrugated drain pipe, False for smooth [yes/no].

    Returns
    -------
    float or numpy.ndarray
        Darcy friction factor (four times Fanning's) [–].

    Raises
    ------
    ValueError
        If the Reynolds number is outside its range.

    Notes
    -----
    64/Re up to 2040, Colebrook's equation above. Corrugated drain pipe is taken as a roughness of 5 % of the
    diameter: some 2.3 times the friction of a smooth pipe; makers differ by a third either way.

    References
    ----------
    FLUIDS, friction_factor.

    Examples
    --------
    >>> pipe_friction(1000.0)
    0.064
    """
    from fluids import friction_factor

    re = number("Reynolds number", reynolds, "", 1, 1e8)
    rough = CORRUGATION if _yes(corrugated) else 0.0
    law = np.vectorize(lambda value: friction_factor(Re=float(value), eD=rough), otypes=[float])
    return _plain(law(re))


def _yes(corrugated):
    if not isinstance(corrugated, bool | np.bool_):
        raise ValueError(f"corrugated must be yes or no (True or False), but it is {corrugated!r}")
    return bool(corrugated)


def pipe_nusselt(reynolds, prandtl, corrugated=False):
    """Give the Nusselt number of air in a long pipe with walls of one temperature.

    The better transfer of the first metre and natural convection are neglected, which is on the cautious side.

    Parameters
    ----------
    reynolds : float or array_like
        Reynolds number, 1 to 1e6 [–].
    prandtl : float or array_like
        Prandtl number, 0.5 to 2000; air 0.71 [–].
    corrugated : bool, optional
        True for corrugated drain pipe, False for smooth [yes/no].

    Returns
    -------
    float or numpy.ndarray
        Nusselt number [–].

    Raises
    ------
    ValueError
        If a value is outside its range.

    Notes
    -----
    Laminar 3.66; above Re 4000 Gnielinski; between 2300 and 4000 a straight line joins them. Ribs stir the air: the
    turbulent value grows with (friction over smooth friction, at most 4) to the power 0.68·Pr^0.215.

    References
    ----------
    GNIELINSKI1976, through ht; NORRIS1970.

    Examples
    --------
    >>> pipe_nusselt(1000.0, 0.71)
    3.66
    >>> 25 < pipe_nusselt(10000.0, 0.71) < 35
    True
    """
    from ht import laminar_T_const

    re = number("Reynolds number", reynolds, "", *FLOWING)
    pr = number("Prandtl number", prandtl, "", 0.5, 2000)
    broadcast(reynolds=re, prandtl=pr)
    share = np.clip((re - LAMINAR_LIMIT) / (TURBULENT_LIMIT - LAMINAR_LIMIT), 0, 1)
    turbulent = _turbulent(np.maximum(re, TURBULENT_LIMIT), pr, _yes(corrugated))
    return _plain((1 - share) * laminar_T_const() + share * turbulent)


def _turbulent(re, pr, corrugated):
    from ht import turbulent_Gnielinski

    smooth = pipe_friction(re)
    nu = np.vectorize(turbulent_Gnielinski, otypes=[float])(re, pr, smooth)
    if corrugated:
        nu = nu * np.minimum(pipe_friction(re, True) / smooth, 4.0) ** (0.68 * pr**0.215)
    return nu


def effectiveness(ntu):
    """Give the share of the difference to the wall that air loses on its way through a pipe.

    The wall is taken to have one temperature all along.

    Parameters
    ----------
    ntu : float or array_like
        Number of transfer units, 0 or more [–].

    Returns
    -------
    float or numpy.ndarray
        Share, 0 to 1 [–].

    Raises
    ------
    ValueError
        If the number is negative.

    Notes
    -----
    1 − exp(−NTU): 63 % at 1, 95 % at 3; a longer pipe than that is wasted.

    References
    ----------
    INCROPERA, equation 8.41b.

    Examples
    --------
    >>> effectiveness(0.0)
    0.0
    """
    return _plain(-np.expm1(-number("number of transfer units", ntu, "", 0)))


def _stream(flow, diameter, count, temperature, pressure):
    """Mass flow by pipe [kg/s], speed [m/s], Reynolds number, Prandtl number, conductivity and density of the air."""
    q = number("air flow through all pipes", flow, "m³/s", 0, 50, above=0)
    d = number("pipe diameter", diameter, "m", 0.01, 2)
    n = number("number of pipes", count, "", 1, 10000)
    t = number("air temperature", temperature, "°C", *TEMPERATURE)
    k, viscosity, pr = air_properties(t, pressure)
    density = np.asarray(pressure) / (_GAS * (t + 273.15))
    speed = q / n / (math.pi * d * d / 4)
    reynolds = _within_reach(q, n, d, speed * d / viscosity)
    return density * q / n, speed, reynolds, pr, k, density


def _within_reach(flow, count, diameter, reynolds):
    """Return the Reynolds number, or refuse a flow for which the relations hold no more, in words of that flow."""
    beyond = (reynolds < FLOWING[0]) | (reynolds > FLOWING[1])
    if np.any(beyond):
        q, n, d, re = (list_.flat[np.argmax(beyond)] for list_ in np.broadcast_arrays(flow, count, diameter, reynolds))
        low, high = (limit * q / re for limit in FLOWING)
        raise ValueError(
            f"air flow must be between {low:.3g} and {high:.3g} m³/s through {n:g} of these pipes {d:g} m wide, "
            f"but it is {q:.6g} m³/s"
        )
    return reynolds


def transfer_units(
    flow, length, diameter, count=1, corrugated=True, temperature=15.0, pressure=101325.0, soil_resistance=0.0
):
    """Give the number of transfer units of buried pipes: how often the air could settle to the wall's temperature.

    Parameters
    ----------
    flow : float or array_like
        Air flow of all pipes together, greater than 0 and at most 50 [m³/s].
    length : float or array_like
        Length of each pipe, greater than 0, at most 500 [m].
    diameter : float or array_like
        Inner diameter, 0.01 to 2 [m].
    count : float or array_like, optional
        Number of equal pipes side by side, 1 to 10000 [–].
    corrugated : bool, optional
        True for corrugated drain pipe, False for smooth [yes/no].
    temperature : float or array_like, optional
        Mean air temperature in the pipe, −60 to 90 [°C].
    pressure : float or array_like, optional
        Air pressure, 50 to 110 kPa [Pa].
    soil_resistance : float or array_like, optional
        Resistance from the wall to where the soil's temperature is known, for one metre of pipe: 0 where that is the
        wall itself, between 0 and 100 [m·K/W].

    Returns
    -------
    float or numpy.ndarray
        Number of transfer units [–].

    Raises
    ------
    ValueError
        If a value is outside its range.

    Notes
    -----
    Conductance of the wall over heat capacity flow of the air. Pipes of 0.1 m and 10 m with 2 m/s reach about 2 to 3.

    References
    ----------
    INCROPERA, section 8.3.3.

    Examples
    --------
    >>> one = transfer_units(0.02, 10.0, 0.1)
    >>> round(transfer_units(0.04, 10.0, 0.1, count=2) / one, 6)
    1.0
    """
    span = number("pipe length", length, "m", 0, 500, above=0)
    behind = number("soil resistance", soil_resistance, "m·K/W", 0, 100)
    broadcast(
        flow=flow,
        length=span,
        diameter=diameter,
        count=count,
        temperature=temperature,
        pressure=pressure,
        soil_resistance=behind,
    )
    mass, _, re, pr, k, _ = _stream(flow, diameter, count, temperature, pressure)
    film = 1 / (math.pi * k * pipe_nusselt(re, pr, corrugated))
    return _plain(span / (film + behind) / (mass * _AIR_HEAT))


def pipe_conductance(
    flow, length, diameter, count=1, corrugated=True, temperature=15.0, pressure=101325.0, soil_resistance=0.0
):
    """Give the heat that buried pipes move by kelvin between the house's air and the soil at the pipe.

    Condensing water is neglected; in summer it adds up to as much again (see :func:`pipe_flow`).

    Parameters
    ----------
    flow : float or array_like
        Air flow of all pipes together, greater than 0 and at most 50 [m³/s].
    length : float or array_like
        Length of each pipe, greater than 0, at most 500 [m].
    diameter : float or array_like
        Inner diameter, 0.01 to 2 [m].
    count : float or array_like, optional
        Number of equal pipes side by side, 1 to 10000 [–].
    corrugated : bool, optional
        True for corrugated drain pipe, False for smooth [yes/no].
    temperature : float or array_like, optional
        Mean air temperature in the pipe, −60 to 90 [°C].
    pressure : float or array_like, optional
        Air pressure, 50 to 110 kPa [Pa].
    soil_resistance : float or array_like, optional
        Resistance from the wall to where the soil's temperature is known, for one metre of pipe, between 0 and
        100 [m·K/W].

    Returns
    -------
    float or numpy.ndarray
        Conductance of all pipes together [W/K].

    Raises
    ------
    ValueError
        If a value is outside its range.

    Notes
    -----
    Mass flow · heat capacity · :func:`effectiveness`; a plain float for plain floats, so that it can be worked out once
    and used in every time step. It can never exceed the heat capacity flow, about 1200 W/K for each m³/s.

    References
    ----------
    INCROPERA, section 8.3.3.

    Examples
    --------
    >>> 15 < pipe_conductance(0.02, 10.0, 0.1) < 25
    True
    """
    ntu = transfer_units(flow, length, diameter, count, corrugated, temperature, pressure, soil_resistance)
    mass = _stream(flow, diameter, count, temperature, pressure)[0]
    return _plain(mass * np.asarray(count) * _AIR_HEAT * effectiveness(ntu))


def pressure_drop(flow, length, diameter, count=1, corrugated=True, temperature=15.0, pressure=101325.0, fittings=1.5):
    """Give the pressure lost in buried pipes, the same for one or for many side by side.

    Headers, grilles and the rise of warm air are neglected unless counted in ``fittings``.

    Parameters
    ----------
    flow : float or array_like
        Air flow of all pipes together, greater than 0 and at most 50 [m³/s].
    length : float or array_like
        Length of each pipe, greater than 0, at most 500 [m].
    diameter : float or array_like
        Inner diameter, 0.01 to 2 [m].
    count : float or array_like, optional
        Number of equal pipes side by side, 1 to 10000 [–].
    corrugated : bool, optional
        True for corrugated drain pipe, False for smooth [yes/no].
    temperature : float or array_like, optional
        Mean air temperature in the pipe, −60 to 90 [°C].
    pressure : float or array_like, optional
        Air pressure, 50 to 110 kPa [Pa].
    fittings : float or array_like, optional
        Loss coefficients added up: inlet 0.5 and outlet 1 are preset; a bend adds about 0.5 to 1, between 0
        and 1000 [–].

    Returns
    -------
    float or numpy.ndarray
        Pressure drop [Pa].

    Raises
    ------
    ValueError
        If a value is outside its range.

    Notes
    -----
    ``(f·L/D + fittings)·ρ·v²/2``. Twice the flow takes almost four times the pressure.

    References
    ----------
    INCROPERA, equation 8.22a; FLUIDS.

    Examples
    --------
    >>> pressure_drop(0.02, 10.0, 0.1) > pressure_drop(0.02, 10.0, 0.1, corrugated=False)
    True
    """
    span = number("pipe length", length, "m", 0, 500, above=0)
    extra = number("loss of the fittings", fittings, "", 0, 1000)
    broadcast(
        flow=flow,
        length=span,
        diameter=diameter,
        count=count,
        temperature=temperature,
        pressure=pressure,
        fittings=extra,
    )
    _, speed, re, _, _, density = _stream(flow, diameter, count, temperature, pressure)
    return _plain((pipe_friction(re, corrugated) * span / np.asarray(diameter) + extra) * density * speed**2 / 2)


def fan_power(flow, pressure_drop, efficiency=0.25):
    """Give the electric power of a fan.

    Parameters
    ----------
    flow : float or array_like
        Air flow, 0 to 50 [m³/s].
    pressure_drop : float or array_like
        Pressure the fan gives, 0 to 10000 [Pa].
    efficiency : float or array_like, optional
        Share of the electricity that moves air: small inline fans 0.15 to 0.35, greater than 0 and at
        most 1 [–].

    Returns
    -------
    float or numpy.ndarray
        Electric power; nearly all of it ends as heat in the air [W].

    Raises
    ------
    ValueError
        If a value is outside its range.

    Notes
    -----
    Flow times pressure over efficiency. The preset efficiency is common practice, no source: read the fan's label.

    References
    ----------
    PRACTICE, for the efficiency.

    Examples
    --------
    >>> fan_power(0.1, 50.0, 0.25)
    20.0
    """
    q = number("air flow", flow, "m³/s", 0, 50)
    drop = number("pressure drop", pressure_drop, "Pa", 0, MOST_PRESSURE)
    eta = number("fan efficiency", efficiency, "", 0, 1, above=0)
    broadcast(flow=q, pressure_drop=drop, efficiency=eta)
    return _plain(q * drop / eta)


def pipe_flow(
    inlet,
    soil,
    flow,
    length,
    diameter,
    count=1,
    corrugated=True,
    relative_humidity=0.0,
    pressure=101325.0,
    soil_resistance=0.0,
    fittings=1.5,
    efficiency=0.25,
):
    """Follow air through buried pipes: temperature, heat, water and the fan's work.

    Evaporation of water that stands in the pipes, fog and the heat of the fan are neglected; heat and vapour are taken
    to cross to the wall at the same pace.

    Parameters
    ----------
    inlet : float or array_like
        Temperature of the air that is drawn in, −60 to 90 [°C].
    soil : float or array_like
        Temperature of the soil at the wall, or where ``soil_resistance`` ends, −60 to 90 [°C].
    flow : float or array_like
        Air flow of all pipes together, greater than 0 and at most 50, and no more than 10000 Pa press through [m³/s].
    length : float or array_like
        Length of each pipe, greater than 0, at most 500 [m].
    diameter : float or array_like
        Inner diameter, 0.01 to 2 [m].
    count : float or array_like, optional
        Number of equal pipes side by side, 1 to 10000 [–].
    corrugated : bool, optional
        True for corrugated drain pipe, False for smooth [yes/no].
    relative_humidity : float or array_like, optional
        Relative humidity of the air drawn in, 0 to 1 [–].
    pressure : float or array_like, optional
        Air pressure, 70 to 105 kPa with humidity [Pa].
    soil_resistance : float or array_like, optional
        Resistance of the soil to where its temperature is known, for one metre of pipe, between 0 and 100 [m·K/W].
    fittings : float or array_like, optional
        Loss coefficients of inlet, bends and outlet added up, between 0 and 1000 [–].
    efficiency : float or array_like, optional
        Share of the fan's electricity that moves air, greater than 0 and at most 1 [–].

    Returns
    -------
    PipeResult
        Outlet [°C], heat (positive when the air gives it to the soil), water, transfer units, pressure and fan [W, …].

    Raises
    ------
    ValueError
        If a value is outside its range.

    Notes
    -----
    Outlet = soil + (inlet − soil)·exp(−NTU). Where the air carries more water than saturated air at the wall, the
    excess shrinks by the same factor, and what is lost drips.

    References
    ----------
    INCROPERA, equation 8.41b and section 6.7 (heat and mass alike).

    Examples
    --------
    >>> result = pipe_flow(30.0, 12.0, 0.02, 10.0, 0.1)
    >>> 12 < result.outlet < 20, result.heat > 0, result.condensed
    (True, True, 0.0)
    """
    hot = number("temperature of the air drawn in", inlet, "°C", *TEMPERATURE)
    wall = number("soil temperature", soil, "°C", *TEMPERATURE)
    broadcast(inlet=hot, soil=wall)
    mean = (hot + wall) / 2
    ntu = transfer_units(flow, length, diameter, count, corrugated, mean, pressure, soil_resistance)
    broadcast(
        inlet=hot, soil=wall, ntu=ntu, relative_humidity=relative_humidity, fittings=fittings, efficiency=efficiency
    )
    share = effectiveness(ntu)
    each, speed = _stream(flow, diameter, count, mean, pressure)[:2]
    mass = each * np.asarray(count)
    carried, dripped = _drip(hot, wall, relative_humidity, pressure, share)
    sensible = mass * (_AIR_HEAT + _VAPOUR_HEAT * carried) * share * (hot - wall)
    condensed = mass * dripped
    latent = condensed * (_LATENT_0 + _LATENT_SLOPE * wall)
    drop = pressure_drop(flow, length, diameter, count, corrugated, mean, pressure, fittings)
    _blowable(flow, drop)
    power = fan_power(flow, drop, efficiency)
    values = (hot - share * (hot - wall), sensible + latent, sensible, latent, condensed, carried - dripped, ntu)
    return PipeResult(*(_plain(value) for value in (*values, drop, power, speed)))


def _blowable(flow, drop):
    """Refuse air that no fan would press through the pipes, in words of the flow that was asked for."""
    most = np.max(drop, initial=0.0)
    if most > MOST_PRESSURE:
        asked = np.broadcast_arrays(flow, drop)[0].flat[np.argmax(drop)]
        raise ValueError(
            f"air flow must be what a fan can press through the pipes with at most {MOST_PRESSURE:g} Pa, "
            f"but it is {asked:.6g} m³/s, which takes {most:.6g} Pa: take less air, or more, wider or shorter pipes"
        )


def _drip(inlet, wall, relative_humidity, pressure, share):
    """Water carried in, and water that drips out on the way, each by kilogram of dry air."""
    humid = number("relative humidity (0 to 1)", relative_humidity, "", 0, 1)
    if np.all(humid == 0):
        return humid, humid
    for name, value in (("temperature of the air drawn in", inlet), ("soil temperature", wall)):
        number(f"{name}, where humidity counts,", value, "°C", *moist_air.TEMPERATURE)
    carried = moist_air.humidity_ratio(inlet, humid, pressure)
    held = moist_air.saturation_humidity_ratio(wall, pressure)
    return carried, np.maximum(carried - held, 0.0) * share

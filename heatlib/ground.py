"""Heat into the ground: a floor on soil with its edge, and the temperature of the soil by depth and day.

Heat flow is positive when the house loses it. A floor's loss is driven by the difference between inside and the outside
air averaged over weeks, not by tonight's: the ground answers slowly. Frost is in :mod:`heatlib.frost`, a floor built in
layers in :mod:`heatlib.floors`.
"""

import math

import numpy as np

from heatlib import tables
from heatlib._check import TEMPERATURE, broadcast, choice, number

__all__ = [
    "characteristic_dimension",
    "damping_depth",
    "edge_factor",
    "edge_heat_loss",
    "edge_insulation",
    "edge_swing",
    "frost_depth",
    "slab_u_value",
    "soil_diffusivity",
    "soil_temperature",
    "wave_lag",
]

DAY = 86400.0
YEAR = 365.25 * DAY
FLOOR_FILMS = 0.17 + 0.04
"""Surface resistances over a floor and outside its edge [m²K/W]."""

_CONDUCTIVITY = (0.01, 10.0)
_DIFFUSIVITY = (1e-8, 1e-5)


def _plain(value):
    return float(value) if np.ndim(value) == 0 else value


def soil_diffusivity(material):
    """Give how fast warmth spreads in a soil of the materials table.

    Drying, wetting and freezing of the soil are neglected: choose the row that fits its state.

    Parameters
    ----------
    material : str
        Row of the materials table, such as ``"soil_moist"`` [text].

    Returns
    -------
    float
        Thermal diffusivity [m²/s].

    Raises
    ------
    ValueError
        If the material is unknown; the nearest names are listed.

    Notes
    -----
    Conductivity over density times specific heat. Soils lie near 3e-7 (dry) to 8e-7 (moist).

    References
    ----------
    INCROPERA, example 5.6 for one soil.

    Examples
    --------
    >>> 1e-7 < soil_diffusivity("soil_moist") < 1e-6
    True
    """
    row = tables.properties("materials", material)
    return row["conductivity"].value / (row["density"].value * row["specific_heat"].value)


def damping_depth(diffusivity, period=YEAR):
    """Give the depth at which a temperature wave has shrunk to 37 %.

    Layers and water that moves through the soil are neglected.

    Parameters
    ----------
    diffusivity : float or array_like
        Thermal diffusivity of the soil, 1e-8 to 1e-5 [m²/s].
    period : float or array_like, optional
        Length of the wave: a year (preset), a day, greater than 0 [s].

    Returns
    -------
    float or numpy.ndarray
        Damping depth [m].

    Raises
    ------
    ValueError
        If a value is outside its range.

    Notes
    -----
    Square root of twice the diffusivity over the angular frequency. About 2.2 m for a year, 0.12 m for a day.

    References
    ----------
    CARSLAW, section 2.6.

    Examples
    --------
    >>> round(damping_depth(5e-7), 2)
    2.24
    """
    a = number("thermal diffusivity of the soil", diffusivity, "m²/s", *_DIFFUSIVITY)
    t = number("period of the wave", period, "s", above=0)
    broadcast(diffusivity=a, period=t)
    return fading_depth(a, t)


def fading_depth(diffusivity, period):
    """Depth [m] at which a wave of ``period`` [s] has shrunk to 37 %; the one formula for soil, walls and beds."""
    return _plain(np.sqrt(diffusivity * period / math.pi))


def wave_lag(depth, diffusivity, period=YEAR):
    """Give how much later a temperature wave comes at a depth than at the surface.

    Parameters
    ----------
    depth : float or array_like
        Depth under the surface, 0 to 50 [m].
    diffusivity : float or array_like
        Thermal diffusivity of the soil, 1e-8 to 1e-5 [m²/s].
    period : float or array_like, optional
        Length of the wave: a year (preset), a day, greater than 0 [s].

    Returns
    -------
    float or numpy.ndarray
        Delay [s].

    Raises
    ------
    ValueError
        If a value is outside its range.

    Notes
    -----
    Depth over damping depth, times the period over 2π: at 2 m the winter comes some seven weeks late.

    References
    ----------
    CARSLAW, section 2.6.

    Examples
    --------
    >>> wave_lag(0.0, 5e-7)
    0.0
    """
    z = number("depth", depth, "m", 0, 50)
    d = damping_depth(diffusivity, period)
    broadcast(depth=z, diffusivity=diffusivity, period=period)
    return _plain(z / d * np.asarray(period) / (2 * math.pi))


def soil_temperature(depth, day_of_year, mean, amplitude, coldest_day=35.0, diffusivity=6e-7):
    """Give the temperature of undisturbed soil by depth and day of the year.

    Freezing, snow cover, layers, water movement and the house itself are neglected.

    Parameters
    ----------
    depth : float or array_like
        Depth under the surface, 0 to 50 [m].
    day_of_year : float or array_like
        Day of the year, 1.0 at the start of 1 January; may run past 366, at least 0 [day].
    mean : float or array_like
        Mean of the surface over the year, −30 to 40 [°C].
    amplitude : float or array_like
        Half the swing of the surface between summer and winter, 0 to 40 [K].
    coldest_day : float or array_like, optional
        Day on which the surface is coldest, 1 to 366 [day of year].
    diffusivity : float or array_like, optional
        Thermal diffusivity of the soil, 1e-8 to 1e-5 [m²/s].

    Returns
    -------
    float or numpy.ndarray
        Soil temperature [°C].

    Raises
    ------
    ValueError
        If a value is outside its range.

    Notes
    -----
    ``T = mean − amplitude · exp(−z/d) · cos(2π/year · (t − coldest) − z/d)`` with damping depth ``d``.

    References
    ----------
    CARSLAW, section 2.6; OKSTATE.

    Examples
    --------
    >>> soil_temperature(0.0, 35, 7.0, 12.0, 35)
    -5.0
    """
    z = number("depth", depth, "m", 0, 50)
    day = number("day of year", day_of_year, "day", 0)
    level = number("yearly mean of the soil surface", mean, "°C", -30, 40)
    swing = number("yearly amplitude of the soil surface", amplitude, "K", 0, 40)
    coldest = number("coldest day", coldest_day, "day of year", 1, 366)
    broadcast(depth=z, day=day, mean=level, amplitude=swing, coldest=coldest, diffusivity=diffusivity)
    phase = z / damping_depth(diffusivity)
    return _plain(level - swing * np.exp(-phase) * np.cos(2 * math.pi * DAY / YEAR * (day - coldest) - phase))


def frost_depth(days, surface, start, diffusivity):
    """Give the depth to which soil cools below 0 °C when its surface turns suddenly cold and stays so.

    The heat that freezing water gives up is neglected, so in wet soil this is too deep (on the safe side for a
    pipe or footing): :func:`heatlib.frost.freezing_depth` takes it in. Snow, which keeps soil warm, is neglected too.

    Parameters
    ----------
    days : float or array_like
        How long the cold lasts, 0 to 365 [days].
    surface : float or array_like
        Temperature of the soil's surface during the cold, −60 to 90 [°C].
    start : float or array_like
        Temperature of all the soil before, above 0, at most 90 [°C].
    diffusivity : float or array_like
        Thermal diffusivity of the soil, 1e-8 to 1e-5 [m²/s].

    Returns
    -------
    float or numpy.ndarray
        Depth of the 0 °C line; 0 where the surface does not freeze [m].

    Raises
    ------
    ValueError
        If a value is outside its range, or the soil is frozen from the start.

    Notes
    -----
    Semi-infinite solid: ``(0 − surface)/(start − surface) = erf(x / (2·√(a·t)))``. Twice the depth takes four times as
    long.

    References
    ----------
    INCROPERA, equation 5.57 and example 5.6.

    Examples
    --------
    >>> round(frost_depth(60, -15.0, 20.0, 1.379e-7), 2)
    0.68
    """
    from scipy.special import erfinv

    t = number("length of the cold", days, "days", 0, 365)
    cold = number("soil surface temperature", surface, "°C", *TEMPERATURE)
    warm = number("soil temperature before the cold", start, "°C", TEMPERATURE[0], TEMPERATURE[1], above=0)
    a = number("thermal diffusivity of the soil", diffusivity, "m²/s", *_DIFFUSIVITY)
    broadcast(days=t, surface=cold, start=warm, diffusivity=a)
    freezing = np.minimum(cold, 0.0)
    return _plain(2 * np.sqrt(a * t * DAY) * erfinv(-freezing / (warm - freezing)))


def characteristic_dimension(area, perimeter):
    """Give the width of the endless strip of floor that loses as much per square metre as this floor.

    Parameters
    ----------
    area : float or array_like
        Floor area, greater than 0 [m²].
    perimeter : float or array_like
        Length of the edge that meets the outside, greater than 0 [m].

    Returns
    -------
    float or numpy.ndarray
        Area over half the perimeter [m].

    Raises
    ------
    ValueError
        If a value is not greater than 0, or the edge is shorter than a circle's round this area.

    Notes
    -----
    A floor that shares an edge with a heated house has a shorter exposed perimeter; even so the shape must be possible,
    so only the plain mistake of a wrong unit is refused: an edge under a tenth of a circle's.

    References
    ----------
    ISO13370, clause 8.1.

    Examples
    --------
    >>> characteristic_dimension(20.0, 20.0)
    2.0
    """
    a = number("floor area", area, "m²", above=0)
    p = number("floor perimeter", perimeter, "m", above=0)
    broadcast(area=a, perimeter=p)
    short = np.atleast_1d(p < 0.1 * 2 * np.sqrt(math.pi * a))
    if short.any():
        at_fault = float(np.broadcast_to(p, short.shape)[short][0])
        raise ValueError(f"floor perimeter must be the edge round the floor area, but {at_fault:g} m is far too short")
    return _plain(2 * a / p)


def slab_u_value(area, perimeter, conductivity=1.5, wall_thickness=0.3, floor_resistance=0.0, edge=0.0):
    """Give the U-value of a floor on the ground, the soil under it included.

    Ground water, a sloping site and the swing of the seasons are neglected: this is the mean over the cold months.

    Parameters
    ----------
    area : float or array_like
        Floor area, greater than 0 [m²].
    perimeter : float or array_like
        Length of the floor's edge that meets the outside, greater than 0 [m].
    conductivity : float or array_like, optional
        Conductivity of the soil, 0.01 to 10; clay 1.5, sand and gravel 2.0 [W/m·K].
    wall_thickness : float or array_like, optional
        Thickness of the wall on the edge, 0 to 2 [m].
    floor_resistance : float or array_like, optional
        Resistance of insulation all under the floor, 0 to 30; dense concrete and gravel count for nothing [m²K/W].
    edge : float or array_like, optional
        What edge insulation adds, from :func:`edge_insulation`, −10 to 0 [W/m·K].

    Returns
    -------
    float or numpy.ndarray
        U-value from inside to the mean outside air [W/m²K].

    Raises
    ------
    ValueError
        If a value is outside its range, or the edge insulation saves more than the floor loses.

    Notes
    -----
    ``d = w + λ(0.17 + R + 0.04)``, ``B`` = :func:`characteristic_dimension`. A floor thin against its width:
    ``U = 2λ/(πB + d)·ln(πB/d + 1)``; a well-insulated one (``d ≥ B``): ``U = λ/(0.457 B + d)``. Edge insulation adds
    ``2ψ/B``. A small greenhouse has 0.8 to 1.4, a hall 0.2.

    References
    ----------
    ISO13370, clauses 9.1 and 9.2, equations for slab-on-ground floors.

    Examples
    --------
    >>> round(slab_u_value(20.0, 20.0), 2)
    1.05
    """
    width = characteristic_dimension(area, perimeter)
    k = number("soil conductivity", conductivity, "W/m·K", *_CONDUCTIVITY)
    psi = number("edge insulation effect", edge, "W/m·K", -10, 0)
    d = _equivalent_thickness(k, wall_thickness, floor_resistance)
    broadcast(area=area, perimeter=perimeter, conductivity=k, depth=d, edge=psi)
    thin = 2 * k / (math.pi * width + d) * np.log(math.pi * width / d + 1)
    u = np.where(d < width, thin, k / (0.457 * width + d)) + 2 * psi / width
    if np.any(u <= 0):
        raise ValueError(
            "edge insulation effect must be smaller than the whole loss of the floor: check depth and area"
        )
    return _plain(u)


def _equivalent_thickness(conductivity, wall_thickness, floor_resistance):
    w = number("wall thickness", wall_thickness, "m", 0, 2)
    r = number("floor resistance", floor_resistance, "m²K/W", 0, 30)
    broadcast(conductivity=conductivity, wall_thickness=w, floor_resistance=r)
    return w + conductivity * (FLOOR_FILMS + r)


def edge_insulation(
    position, width, resistance, thickness=0.05, conductivity=1.5, wall_thickness=0.3, floor_resistance=0.0
):
    """Give how much a strip of insulation along the edge of a floor saves on each metre of edge.

    Parameters
    ----------
    position : str
        ``"horizontal"`` (a skirt laid flat under the floor or outward) or ``"vertical"`` (down the footing) [text].
    width : float or array_like
        Width of the skirt, or depth below the ground, 0 to 5 [m].
    resistance : float or array_like
        Resistance of the strip, 0 to 30 [m²K/W].
    thickness : float or array_like, optional
        Thickness of the strip, which takes the place of soil, 0 to 1 [m].
    conductivity : float or array_like, optional
        Conductivity of the soil, 0.01 to 10 [W/m·K].
    wall_thickness : float or array_like, optional
        Thickness of the wall on the edge, 0 to 2 [m].
    floor_resistance : float or array_like, optional
        Resistance of insulation all under the floor, 0 to 30 [m²K/W].

    Returns
    -------
    float or numpy.ndarray
        Change of the loss by metre of edge and kelvin; negative, for it saves [W/m·K].

    Raises
    ------
    ValueError
        If a value is outside its range, or the strip insulates no better than the soil it replaces.

    Notes
    -----
    ``ψ = −λ/π·[ln(D/d + 1) − ln(D/(d + d′) + 1)]`` with ``d′ = (R − thickness/λ)·λ``; a vertical strip counts with
    twice its depth. 0.6 m of 5 cm foam saves about 0.3.

    References
    ----------
    ISO13370, annex for edge insulation, equations for horizontal and vertical strips.

    Examples
    --------
    >>> edge_insulation("vertical", 0.0, 2.0)
    0.0
    >>> edge_insulation("vertical", 0.5, 2.0) == edge_insulation("horizontal", 1.0, 2.0)
    True
    """
    folds = {"horizontal": 1, "vertical": 2}[choice("edge insulation position", position, ("horizontal", "vertical"))]
    reach = folds * number("width or depth of the edge insulation", width, "m", 0, 5)
    r = number("resistance of the edge insulation", resistance, "m²K/W", 0, 30)
    thick = number("thickness of the edge insulation", thickness, "m", 0, 1)
    k = number("soil conductivity", conductivity, "W/m·K", *_CONDUCTIVITY)
    d = _equivalent_thickness(k, wall_thickness, floor_resistance)
    broadcast(width=reach, resistance=r, thickness=thick, conductivity=k, depth=d)
    added = k * r - thick
    if np.any(added < 0):
        raise ValueError("resistance of the edge insulation must be more than that of the soil whose place it takes")
    return _plain(-k / math.pi * (np.log(reach / d + 1) - np.log(reach / (d + added) + 1)) + 0.0)


def edge_swing(conductivity, diffusivity, wall_thickness=0.3, floor_resistance=0.0):
    """Give how much of a swing outside reaches the floor through its edge.

    Corners are neglected, and so is the delay of some weeks with which the yearly swing comes.

    Parameters
    ----------
    conductivity : float or array_like
        Conductivity of the soil, 0.01 to 10 [W/m·K].
    diffusivity : float or array_like
        Thermal diffusivity of the soil, 1e-8 to 1e-5 [m²/s].
    wall_thickness : float or array_like, optional
        Thickness of the wall on the edge, 0 to 2 [m].
    floor_resistance : float or array_like, optional
        Resistance of insulation all under the floor, 0 to 30 [m²K/W].

    Returns
    -------
    float or numpy.ndarray
        Loss by metre of edge and kelvin of the swing outside [W/m·K].

    Raises
    ------
    ValueError
        If a value is outside its range.

    Notes
    -----
    ``0.37·λ·ln(δ/d + 1)`` with the yearly damping depth δ and the floor's equivalent thickness d. About 0.9 for
    moist soil under a bare floor; with insulation all under the floor it shrinks. The standard errs on the safe side: a
    long straight edge solved on a grid has a fifth less, and has it three to seven weeks late.

    References
    ----------
    ISO13370, annex for periodic heat transfer, external coefficient of a slab (from memory).

    Examples
    --------
    >>> edge_swing(1.5, 5e-7, 0.1) > edge_swing(1.5, 5e-7, 0.1, floor_resistance=2.0) > 0
    True
    """
    k = number("soil conductivity", conductivity, "W/m·K", *_CONDUCTIVITY)
    depth = damping_depth(diffusivity)
    d = _equivalent_thickness(k, wall_thickness, floor_resistance)
    broadcast(conductivity=k, depth=depth, thickness=d)
    return _plain(0.37 * k * np.log(depth / d + 1))


def edge_factor(insulation):
    """Give the loss of a floor by metre of its edge, as energy codes list it for unheated slabs.

    A rougher answer than :func:`slab_u_value`, made for house-sized slabs: it is a check, and known in the trade.

    Parameters
    ----------
    insulation : str
        Row of the table of edge factors, such as ``"uninsulated"`` or ``"vertical_2ft_r10"`` [text].

    Returns
    -------
    float
        Loss by metre of edge and kelvin [W/m·K].

    Raises
    ------
    ValueError
        If the row is unknown; the nearest names are listed.

    References
    ----------
    WAC51, section 51-11C-61061.

    Examples
    --------
    >>> round(edge_factor("uninsulated"), 2)
    1.26
    """
    return tables.entry("edge_factors", insulation, "edge_factor").value


def edge_heat_loss(perimeter, factor, inside, outside):
    """Give a floor's heat loss from its edge factor.

    Parameters
    ----------
    perimeter : float or array_like
        Length of the edge that meets the outside, at least 0 [m].
    factor : float or array_like
        Edge factor, 0 to 10, from :func:`edge_factor` [W/m·K].
    inside, outside : float or array_like
        Temperatures, −60 to 90; outside is the mean of the past weeks [°C].

    Returns
    -------
    float or numpy.ndarray
        Heat flow, positive when the house loses it [W].

    Raises
    ------
    ValueError
        If a value is outside its range.

    References
    ----------
    WAC51, section 51-11C-61061.

    Examples
    --------
    >>> edge_heat_loss(20.0, 1.0, 10.0, -10.0)
    400.0
    """
    p = number("floor perimeter", perimeter, "m", 0)
    f = number("edge factor", factor, "W/m·K", 0, 10)
    warm = number("inside temperature", inside, "°C", *TEMPERATURE)
    cold = number("outside temperature", outside, "°C", *TEMPERATURE)
    broadcast(perimeter=p, factor=f, inside=warm, outside=cold)
    return _plain(p * f * (warm - cold))

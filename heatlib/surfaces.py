"""How fast a barrel, bed or wall exchanges heat with the room: natural convection and radiation.

A coefficient is per square metre and per kelvin between the surface and the room. The heat flow is positive from the
surface to the room; the coefficients themselves are never negative and don't care which of the two is warmer, except
that a warm face looking up stirs the air and a warm one looking down does not.
"""

import math

import numpy as np

from heatlib._check import TEMPERATURE, broadcast, choice, number
from heatlib.sky import radiation_coefficient

__all__ = [
    "air_properties",
    "barrel_length",
    "barrel_surface",
    "exposed_fraction",
    "natural_convection",
    "quick_convection",
    "quick_terms",
    "surface_coefficient",
]

GRAVITY = 9.80665
SHAPES = ("vertical", "lying", "up", "down")
POSES = ("standing", "lying")
_CHURCHILL_CHU = {"vertical": (0.825, 0.492), "lying": (0.6, 0.559)}


def air_properties(film_temperature, pressure=101325.0):
    """Give the properties of dry air that natural convection needs.

    Humidity is neglected: it changes them by less than 2 % up to 30 °C.

    Parameters
    ----------
    film_temperature : float or array_like
        Mean of the temperatures of surface and air, −60 to 90 [°C].
    pressure : float or array_like
        Air pressure, 50 to 110 kPa [Pa].

    Returns
    -------
    tuple of float or numpy.ndarray
        Thermal conductivity, kinematic viscosity and Prandtl number [W/m·K, m²/s, –].

    Raises
    ------
    ValueError
        If an argument is outside its range.

    Notes
    -----
    At 20 °C and sea level about 0.0257 W/m·K, 1.5e-5 m²/s and 0.71.

    References
    ----------
    USSA1976, equations 51 and 53, through the fluids library.

    Examples
    --------
    >>> conductivity, viscosity, prandtl = air_properties(20.0)
    >>> round(conductivity, 3), round(viscosity * 1e6), round(prandtl, 1)
    (0.026, 15, 0.7)
    """
    from fluids.atmosphere import ATMOSPHERE_1976

    t = number("film temperature", film_temperature, "°C", *TEMPERATURE)
    p = number("air pressure", pressure, "Pa", 50e3, 110e3)
    broadcast(film_temperature=t, pressure=p)
    kelvin = t + 273.15
    viscosity, conductivity = (
        np.vectorize(law, otypes=[float])(kelvin)
        for law in (ATMOSPHERE_1976.viscosity, ATMOSPHERE_1976.thermal_conductivity)
    )
    prandtl = 1006.0 * viscosity / conductivity
    return tuple(_plain(x) for x in (conductivity, viscosity * 287.053 * kelvin / p, prandtl))


def _plain(value):
    return float(value) if np.ndim(value) == 0 else value


def natural_convection(surface, air, length, shape="vertical", pressure=101325.0):
    """Give the coefficient of natural convection of a surface in still air.

    Draughts, fans and the nearness of other surfaces are neglected.

    Parameters
    ----------
    surface, air : float or array_like
        Temperatures of the surface and of the room's air, −60 to 90 [°C].
    length : float or array_like
        Height of a vertical face, diameter of a lying barrel, area over perimeter of a level face; 0.01 to 20 [m].
    shape : str
        ``"vertical"``, ``"lying"`` (cylinder), ``"up"`` or ``"down"`` (level face looking up or down) [text].
    pressure : float or array_like
        Air pressure, 50 to 110 kPa [Pa].

    Returns
    -------
    float or numpy.ndarray
        Coefficient, 0 or more [W/m²·K].

    Raises
    ------
    ValueError
        If an argument is outside its range or the shape unknown.

    Notes
    -----
    Nusselt numbers from the Rayleigh number with properties at the film temperature: Churchill and Chu for vertical
    faces and lying cylinders; for level faces 0.54·Ra^¼ or 0.15·Ra^⅓ where the air is stirred (the larger), else
    0.27·Ra^¼. A barrel's side at 10 K is about 3.

    References
    ----------
    CHURCHILLCHU1975 through the ht library; INCROPERA, equations 9.30 to 9.32.

    Examples
    --------
    >>> natural_convection(20.0, 20.0, 0.88, "up")
    0.0
    >>> 2 < natural_convection(15.0, 5.0, 0.88) < 4
    True
    """
    choice("shape", shape, SHAPES)
    hot, cold, size, conductivity, prandtl, grashof = _stirring(surface, air, length, pressure)
    if shape in ("vertical", "lying"):
        from ht import Nu_horizontal_cylinder_Churchill_Chu, Nu_vertical_plate_Churchill

        law = Nu_vertical_plate_Churchill if shape == "vertical" else Nu_horizontal_cylinder_Churchill_Chu
        nusselt = law(prandtl, grashof)
    else:
        rayleigh = prandtl * grashof
        stirred = np.maximum(0.54 * rayleigh**0.25, 0.15 * rayleigh ** (1 / 3))
        upward = hot >= cold if shape == "up" else hot < cold
        nusselt = np.where(upward, stirred, 0.27 * rayleigh**0.25)
    return _plain(nusselt * conductivity / size)


def _stirring(surface, air, length, pressure):
    hot = number("surface temperature", surface, "°C", *TEMPERATURE)
    cold = number("air temperature", air, "°C", *TEMPERATURE)
    size = number("length", length, "m", 0.01, 20)
    broadcast(surface=hot, air=cold, length=size, pressure=pressure)
    film = (hot + cold) / 2
    conductivity, viscosity, prandtl = air_properties(film, pressure)
    grashof = GRAVITY * abs(hot - cold) * size**3 / ((film + 273.15) * viscosity**2)
    return hot, cold, size, conductivity, prandtl, grashof


def quick_terms(length, shape="vertical", film_temperature=15.0, pressure=101325.0):
    """Prepare the two constants of :func:`quick_convection` for one surface, once before a long calculation.

    The change of the air's properties with temperature is neglected from then on.

    Parameters
    ----------
    length : float or array_like
        Height of a vertical face or diameter of a lying barrel, 0.01 to 20 [m].
    shape : str
        ``"vertical"`` or ``"lying"`` [text].
    film_temperature : float or array_like
        Typical mean of surface and air, −60 to 90 [°C].
    pressure : float or array_like
        Air pressure, 50 to 110 kPa [Pa].

    Returns
    -------
    tuple of float or numpy.ndarray
        ``a`` and ``b`` of ``h = (a + b·|ΔT|^(1/6))²`` [W½/m·K½, W½/m·K^(2/3)].

    Raises
    ------
    ValueError
        If an argument is outside its range or the shape unknown.

    Notes
    -----
    This is Churchill and Chu's own form with the film temperature held fixed, no fit: within 5 % of
    :func:`natural_convection` for film temperatures 20 K either side.

    References
    ----------
    CHURCHILLCHU1975; INCROPERA, equations 9.26 and 9.34.

    Examples
    --------
    >>> a, b = quick_terms(0.88)
    >>> round(quick_convection(8.0, a, b))
    3
    """
    offset, reference = _CHURCHILL_CHU[choice("shape", shape, _CHURCHILL_CHU)]
    size = number("length", length, "m", 0.01, 20)
    broadcast(length=size, film_temperature=film_temperature, pressure=pressure)
    conductivity, viscosity, prandtl = air_properties(film_temperature, pressure)
    per_kelvin = prandtl * GRAVITY * size**3 / ((np.asarray(film_temperature) + 273.15) * viscosity**2)
    slope = 0.387 * per_kelvin ** (1 / 6) / (1 + (reference / prandtl) ** (9 / 16)) ** (8 / 27)
    scale = np.sqrt(conductivity / size)
    return _plain(offset * scale), _plain(slope * scale)


def quick_convection(difference, a, b):
    """Give the coefficient of natural convection in plain floats, for a time step that runs a million times.

    Nothing is checked here; :func:`natural_convection` is the full answer.

    Parameters
    ----------
    difference : float
        Surface minus air [K].
    a, b : float
        Constants from :func:`quick_terms` [W½/m·K½, W½/m·K^(2/3)].

    Returns
    -------
    float
        Coefficient, 0 or more [W/m²·K].

    References
    ----------
    CHURCHILLCHU1975.

    Examples
    --------
    >>> quick_convection(64.0, 0.0, 1.0)
    4.0
    """
    return (a + b * abs(difference) ** (1 / 6)) ** 2


def surface_coefficient(surface, air, length, shape="vertical", emissivity=0.9, view=1.0, pressure=101325.0):
    """Give the whole coefficient of a surface in still air: natural convection and radiation to the room.

    The room's surfaces are taken as warm as its air; in a cold greenhouse they are colder and take more.

    Parameters
    ----------
    surface, air : float or array_like
        Temperatures of the surface and of the room's air, −60 to 90 [°C].
    length : float or array_like
        As in :func:`natural_convection`, between 0.01 and 20 [m].
    shape : str
        ``"vertical"``, ``"lying"``, ``"up"`` or ``"down"`` [text].
    emissivity : float or array_like
        Of the surface for heat rays, 0 to 1: paint of any colour and plastic about 0.9, bare steel 0.2 [–].
    view : float or array_like
        Share of what the surface sees that is room and not its own kind, 0 to 1: see :func:`exposed_fraction` [–].
    pressure : float or array_like
        Air pressure, 50 to 110 kPa [Pa].

    Returns
    -------
    float or numpy.ndarray
        Coefficient, 0 or more [W/m²·K].

    Raises
    ------
    ValueError
        If an argument is outside its range or the shape unknown.

    Notes
    -----
    ``h = h_c + F·h_r``. A painted barrel gives 7–9 W/m²·K, more than half of it by radiation.

    References
    ----------
    CHURCHILLCHU1975; CENGEL, equation of the radiation coefficient.

    Examples
    --------
    >>> 7 < surface_coefficient(16.0, 12.0, 0.88) < 8
    True
    """
    share = number("view of the room (0 to 1)", view, "", 0, 1)
    broadcast(surface=surface, air=air, length=length, emissivity=emissivity, view=share, pressure=pressure)
    convection = natural_convection(surface, air, length, shape, pressure)
    return convection + share * radiation_coefficient(surface, air, emissivity)


def exposed_fraction(diameter, gap, neighbours):
    """Give the share of a barrel's side that sees the room and not the barrels beside it.

    The barrels are taken as long against their gap, so it is a little low for short ones.

    Parameters
    ----------
    diameter : float or array_like
        Diameter of all barrels, greater than 0, at most 10 [m].
    gap : float or array_like
        Clear distance to the next barrel, 0 to 100 [m].
    neighbours : int or array_like
        Barrels beside it: 0 alone, 1 at the end of a row, 2 within the row [–].

    Returns
    -------
    float or numpy.ndarray
        Exposed share of the side, 0 to 1 [–].

    Raises
    ------
    ValueError
        If an argument is outside its range or there are not 0, 1 or 2 neighbours.

    Notes
    -----
    View factor of two equal parallel cylinders, ``F = (√(X²−1) + arcsin(1/X) − X)/π`` with ``X = 1 + gap/diameter``;
    ``1 − neighbours·F``. Even touching barrels keep 64 % of their view.

    References
    ----------
    HOWELL, configuration C-63 (equal parallel cylinders); Hottel's crossed strings.

    Examples
    --------
    >>> exposed_fraction(0.58, 0.0, 0)
    1.0
    >>> round(exposed_fraction(0.58, 0.0, 2), 2)
    0.64
    """
    beside = number("number of neighbours", neighbours, "", 0, 2)
    if np.any(beside != np.round(beside)):
        raise ValueError(f"number of neighbours must be 0, 1 or 2, but it is {neighbours}")
    wide = number("barrel diameter", diameter, "m", high=10, above=0)
    broadcast(diameter=wide, gap=gap, neighbours=beside)
    x = 1 + number("gap between barrels", gap, "m", 0, 100) / wide
    return _plain(1 - beside * (np.sqrt(x * x - 1) + np.arcsin(1 / x) - x) / math.pi)


def barrel_length(diameter, height, pose="standing"):
    """Give the length that sets a barrel's natural convection: its height standing, its diameter lying.

    Parameters
    ----------
    diameter, height : float or array_like
        Of the barrel, greater than 0, at most 10 [m].
    pose : str
        ``"standing"`` or ``"lying"`` [text].

    Returns
    -------
    float or numpy.ndarray
        Length for :func:`natural_convection` [m].

    Raises
    ------
    ValueError
        If an argument is outside its range or the pose unknown.

    References
    ----------
    INCROPERA, sections 9.6.1 and 9.6.3.

    Examples
    --------
    >>> barrel_length(0.58, 0.88, "lying")
    0.58
    """
    choice("pose", pose, POSES)
    wide = number("barrel diameter", diameter, "m", high=10, above=0)
    high = number("barrel height", height, "m", high=10, above=0)
    broadcast(diameter=wide, height=high)
    return high if pose == "standing" else wide


def barrel_surface(diameter, height, pose="standing"):
    """Give the area with which a barrel meets the air.

    The bottom of a standing barrel rests on the floor and is not counted; the strip under a lying one is neglected.

    Parameters
    ----------
    diameter, height : float or array_like
        Of the barrel, greater than 0, at most 10 [m].
    pose : str
        ``"standing"``: side and top; ``"lying"``: side and both ends [text].

    Returns
    -------
    float or numpy.ndarray
        Area [m²].

    Raises
    ------
    ValueError
        If an argument is outside its range or the pose unknown.

    Notes
    -----
    A drum of 208 L (0.58 m by 0.88 m) has 1.9 m² standing and 2.1 m² lying.

    References
    ----------
    Closed form: area of a cylinder.

    Examples
    --------
    >>> round(barrel_surface(0.58, 0.88), 1), round(barrel_surface(0.58, 0.88, "lying"), 1)
    (1.9, 2.1)
    """
    choice("pose", pose, POSES)
    broadcast(diameter=diameter, height=height)
    wide = number("barrel diameter", diameter, "m", high=10, above=0)
    high = number("barrel height", height, "m", high=10, above=0)
    ends = 1 if pose == "standing" else 2
    return math.pi * wide * (high + ends * wide / 4)

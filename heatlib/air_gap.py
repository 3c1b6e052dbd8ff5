"""Heat across a closed gap of air: conduction or convection in it, and radiation from face to face.

One face is on the inside, one on the outside; ``tilt`` says how the layer lies: 0 is a level layer with the inside
face below (a flat roof), 90 a wall, 180 a level layer with the inside face on top (a floor). Where the inside face
is the colder one, heat flows the other way, and the layer is turned over accordingly.
"""

import numpy as np

from heatlib._check import TEMPERATURE, broadcast, number, plain
from heatlib.sky import kelvin, pair_emissivity, radiation_coefficient

__all__ = ["air_gap_conductance", "air_gap_resistance", "gap_nusselt_number", "gap_rayleigh_number"]

GRAVITY = 9.80665
TALL = 1.0
"""Height that a gap is taken to have where none is given [m]."""


def gap_rayleigh_number(thickness, warm, cold, pressure=101325.0):
    """Give the Rayleigh number of an air gap: how strongly its air wants to turn over.

    Humidity is neglected.

    Parameters
    ----------
    thickness : float or array_like
        Distance between the faces, above 0 to 1 [m].
    warm, cold : float or array_like
        Temperatures of the two faces, in either order, −60 to 90 [°C].
    pressure : float or array_like
        Air pressure, 50 to 110 kPa [Pa].

    Returns
    -------
    float or numpy.ndarray
        Rayleigh number on the thickness, never negative [–].

    Raises
    ------
    ValueError
        If an argument is outside its range.

    Notes
    -----
    ``Ra = g·ΔT·L³·Pr/(T_m·ν²)``; it grows with the cube of the thickness. A 20 mm gap with 10 K has about 10 000.

    References
    ----------
    INCROPERA, equation 9.25; CENGEL, example 9.4.

    Examples
    --------
    >>> gap_rayleigh_number(0.02, 10.0, 10.0)
    0.0
    """
    from heatlib.surfaces import air_properties

    broadcast(thickness=thickness, warm=warm, cold=cold, pressure=pressure)
    gap = number("gap thickness", thickness, "m", high=1, above=0)
    one, two = _faces(warm, cold)
    _, viscosity, prandtl = air_properties((one + two) / 2, pressure)
    return plain(GRAVITY * np.abs(one - two) * gap**3 * prandtl / (kelvin((one + two) / 2) * viscosity**2))


def _faces(warm, cold):
    names = ("temperature of the inside face", "temperature of the outside face")
    return [number(name, t, "°C", *TEMPERATURE) for name, t in zip(names, (warm, cold))]


def gap_nusselt_number(rayleigh, tilt, slenderness=50.0):
    """Give how many times more heat the moving air carries across a gap than still air would.

    The gap's ends, its edges and any opening to the outside are neglected.

    Parameters
    ----------
    rayleigh : float or array_like
        Rayleigh number, 0 to 1e9 [–].
    tilt : float or array_like
        0 where the warm face lies level below, 90 in a wall, 180 where it lies on top [°].
    slenderness : float or array_like
        Height of the gap over its thickness, 1 to 10 000; counts in walls [–].

    Returns
    -------
    float or numpy.ndarray
        Nusselt number, 1 or more [–].

    Raises
    ------
    ValueError
        If an argument is outside its range.

    Notes
    -----
    Up to 60° the relation of Hollands and others, at 90° that of ElSherbiny and Wright, between them a straight line;
    beyond 90° ``1 + (Nu₉₀ − 1)·sin``, so a layer heated from above stays still. All as the window standard has it.

    References
    ----------
    HOLLANDS1976; ISO15099, section on vertical and inclined cavities.

    Examples
    --------
    >>> gap_nusselt_number(1000.0, 0.0)
    1.0
    """
    broadcast(rayleigh=rayleigh, tilt=tilt, slenderness=slenderness)
    ra = number("Rayleigh number", rayleigh, "", 0, 1e9)
    slope = number("tilt", tilt, "°", 0, 180)
    return plain(_nusselt(ra, slope, number("slenderness", slenderness, "", 1, 1e4)))


def _nusselt(ra, slope, slenderness):
    wall = _upright(ra, slenderness)
    between = _inclined(ra, 60.0) + (wall - _inclined(ra, 60.0)) * (slope - 60) / 30
    turned = 1 + (wall - 1) * np.sin(np.radians(slope))
    return np.where(slope <= 60, _inclined(ra, np.minimum(slope, 60)), np.where(slope <= 90, between, turned))


def _upright(ra, slenderness):
    calm, lively = 1 + 1.7596678e-10 * ra**2.2984755, 0.028154 * ra**0.4134
    core = np.where(ra <= 1e4, calm, np.where(ra <= 5e4, lively, 0.0673838 * ra ** (1 / 3)))
    return np.maximum(core, 0.242 * (ra / slenderness) ** 0.272)


def _inclined(ra, slope):
    # below 1708 the layer stands still; the smallest positive number keeps the quotients finite there
    lift = np.maximum(ra * np.cos(np.radians(slope)), 1e-300)
    rolls = np.maximum(1 - 1708 / lift, 0) * (1 - 1708 * np.sin(np.radians(1.8 * slope)) ** 1.6 / lift)
    return 1 + 1.44 * rolls + np.maximum((lift / 5830) ** (1 / 3) - 1, 0)


def air_gap_conductance(thickness, warm, cold, tilt, emissivity_1=0.9, emissivity_2=0.9, height=TALL):
    """Give the heat that crosses a gap of air, split into what the air carries and what radiates.

    Parameters
    ----------
    thickness : float or array_like
        Distance between the faces, above 0 to 1 [m].
    warm, cold : float or array_like
        Temperatures of the inside and the outside face, −60 to 90 [°C].
    tilt : float or array_like
        0 for a flat roof, 90 for a wall, 180 for a floor [°].
    emissivity_1, emissivity_2 : float or array_like
        Emissivities of the two faces: 0.9 for most things, 0.05 for clean bright foil, above 0 to 1 [–].
    height : float or array_like
        Height of the gap in a wall, above 0 to 20 [m].

    Returns
    -------
    tuple of float or numpy.ndarray
        By the air and by radiation [W/m²·K].

    Raises
    ------
    ValueError
        If an argument is outside its range.

    Notes
    -----
    ``h = Nu·k/L`` and ``h_r`` between parallel faces. In a 20 mm gap radiation carries more than the air. Past a
    Rayleigh number of 1e9 (a gap of half a metre and more) the relations are stretched: there the air turns over so
    strongly that each face has its own film, and thickness no longer counts.

    References
    ----------
    ISO15099; ISO6946, annex for air layers.

    Examples
    --------
    >>> air, radiation = air_gap_conductance(0.02, 12.0, 8.0, 90.0)
    >>> radiation > air
    True
    """
    from heatlib.surfaces import air_properties

    broadcast(
        thickness=thickness,
        warm=warm,
        cold=cold,
        tilt=tilt,
        height=height,
        emissivity_1=emissivity_1,
        emissivity_2=emissivity_2,
    )
    one, two = _faces(warm, cold)
    gap = number("gap thickness", thickness, "m", high=1, above=0)
    slope = number("tilt", tilt, "°", 0, 180)
    slender = np.maximum(number("gap height", height, "m", high=20, above=0) / gap, 1)
    turned = np.where(one >= two, slope, 180 - slope)
    nusselt = _nusselt(gap_rayleigh_number(gap, one, two), turned, np.minimum(slender, 1e4))
    conductivity = air_properties((one + two) / 2)[0]
    radiation = radiation_coefficient(one, two, pair_emissivity(emissivity_1, emissivity_2))
    return plain(nusselt * conductivity / gap), radiation


def air_gap_resistance(thickness, warm, cold, tilt, emissivity_1=0.9, emissivity_2=0.9, height=TALL):
    """Give the thermal resistance of a closed gap of air between two faces.

    Neglected are openings: a gap that the outside air blows through is worth little or nothing.

    Parameters
    ----------
    thickness : float or array_like
        Distance between the faces, above 0 to 1 [m].
    warm, cold : float or array_like
        Temperatures of the inside and the outside face, −60 to 90 [°C].
    tilt : float or array_like
        0 for a flat roof, 90 for a wall, 180 for a floor [°].
    emissivity_1, emissivity_2 : float or array_like
        Emissivities of the two faces, above 0 to 1 [–].
    height : float or array_like
        Height of the gap in a wall, above 0 to 20 [m].

    Returns
    -------
    float or numpy.ndarray
        Resistance from face to face [m²·K/W].

    Raises
    ------
    ValueError
        If an argument is outside its range.

    Notes
    -----
    More than some 20 mm brings next to nothing in a wall, as the air then turns over; about 0.18 m²·K/W is typical.

    References
    ----------
    ISO6946, table of air layers, and ASHRAE2013, table of plane air spaces, agree within 10 %.

    Examples
    --------
    >>> round(air_gap_resistance(0.02, 12.0, 8.0, 90.0), 1)
    0.2
    """
    by_air, radiation = air_gap_conductance(thickness, warm, cold, tilt, emissivity_1, emissivity_2, height)
    return 1 / (by_air + radiation)

"""How deep frost goes into wet soil, with the heat that its freezing water gives up.

:func:`heatlib.ground.frost_depth` leaves that heat out and is therefore too deep in wet soil.
"""

import math

import numpy as np

from heatlib._check import TEMPERATURE, broadcast, number, single

__all__ = ["freezing_depth", "freezing_index", "latent_heat_of_soil", "stefan_depth"]

DAY = 86400.0
FREEZING_HEAT = 333.4e3
"""Heat set free by each kilogram of freezing water [J/kg]."""


def _plain(value):
    return float(value) if np.ndim(value) == 0 else value


def freezing_index(daily_means):
    """Add up the cold of a winter: degrees below zero times days.

    Parameters
    ----------
    daily_means : array_like
        Mean temperature of each day, −60 to 90 [°C].

    Returns
    -------
    float
        Freezing index: how far the running sum falls from its highest to its lowest point after it [K·day].

    Raises
    ------
    ValueError
        If a value is outside its range.

    Notes
    -----
    Thaws between count against it. A mild inland winter has 300, the northern prairie 1500. The soil's surface has 0.3
    (under snow and grass) to 0.9 (swept gravel) of the air's.

    References
    ----------
    MEMORY: definition used in road building.

    Examples
    --------
    >>> freezing_index([5.0, -10.0, -10.0, 3.0])
    20.0
    """
    days = np.atleast_1d(number("daily mean temperature", daily_means, "°C", *TEMPERATURE))
    total = np.concatenate([[0.0], np.cumsum(days)])
    return float(np.max(np.maximum.accumulate(total) - total))


def latent_heat_of_soil(dry_density, water_content):
    """Give the heat that a cubic metre of soil gives up when its water freezes.

    Water that stays liquid below zero in clay is neglected.

    Parameters
    ----------
    dry_density : float or array_like
        Mass of dry soil in a cubic metre, 100 to 3000 [kg/m³].
    water_content : float or array_like
        Mass of water by mass of dry soil, 0 to 5 [–].

    Returns
    -------
    float or numpy.ndarray
        Latent heat [J/m³].

    Raises
    ------
    ValueError
        If a value is outside its range.

    Notes
    -----
    Moist garden soil (1400 kg/m³, 0.2) has 93 MJ/m³: as much as cooling it by 40 K.

    References
    ----------
    OPENSTAX, table of latent heats.

    Examples
    --------
    >>> latent_heat_of_soil(1500.0, 0.2) / 1e6
    100.02
    """
    rho = number("dry density of the soil", dry_density, "kg/m³", 100, 3000)
    w = number("water content by dry mass", water_content, "", 0, 5)
    broadcast(dry_density=rho, water_content=w)
    return _plain(FREEZING_HEAT * w * rho)


def stefan_depth(index, conductivity, latent_heat):
    """Give the frost depth if freezing the water were all the heat there is.

    The warmth of soil below and the cooling of what is frozen are neglected: this is an upper bound, 10 to 40 % deep.

    Parameters
    ----------
    index : float or array_like
        Freezing index of the soil's surface, 0 to 10000 [K·day].
    conductivity : float or array_like
        Conductivity of the frozen soil, 0.01 to 10 [W/m·K].
    latent_heat : float or array_like
        Heat of freezing, from :func:`latent_heat_of_soil`, greater than 0 [J/m³].

    Returns
    -------
    float or numpy.ndarray
        Depth [m].

    Raises
    ------
    ValueError
        If a value is outside its range.

    Notes
    -----
    Stefan: ``√(2·λ·index·86400/L)``. Four times the cold goes twice as deep.

    References
    ----------
    CARSLAW, section 11.2.

    Examples
    --------
    >>> round(stefan_depth(500.0, 2.0, 100e6), 2)
    1.31
    """
    cold = number("freezing index", index, "K·day", 0, 10000)
    k = number("conductivity of the frozen soil", conductivity, "W/m·K", 0.01, 10)
    heat = number("latent heat of the soil", latent_heat, "J/m³", above=0)
    broadcast(index=cold, conductivity=k, latent_heat=heat)
    return _plain(np.sqrt(2 * k * cold * DAY / heat))


def freezing_depth(days, surface, start, frozen, thawed, latent_heat):
    """Give the frost depth in wet soil under a surface that stays cold: the exact solution with freezing.

    Snow, layers and water drawn up to the frost (heave) are neglected.

    Parameters
    ----------
    days : float or array_like
        How long the cold lasts, 0 to 365 [days].
    surface : float
        Temperature of the soil's surface meanwhile, −60 to 90 [°C].
    start : float
        Temperature of all the soil before, 0 to 90 [°C].
    frozen : tuple of float
        Conductivity and heat capacity by volume of the frozen soil [W/m·K, J/m³K].
    thawed : tuple of float
        The same of the thawed soil [W/m·K, J/m³K].
    latent_heat : float
        Heat of freezing, from :func:`latent_heat_of_soil`, greater than 0 [J/m³].

    Returns
    -------
    float or numpy.ndarray
        Depth of the 0 °C line; 0 where the surface does not freeze [m].

    Raises
    ------
    ValueError
        If a value is outside its range.

    Notes
    -----
    Neumann's solution, depth ``2κ√(a·t)``; road builders know it as the modified Berggren formula.
    A month at −10 °C on moist soil of 5 °C reaches some 0.8 m.

    References
    ----------
    CARSLAW, section 11.2, two phases.

    Examples
    --------
    >>> freezing_depth(30, 5.0, 8.0, (2.0, 2.0e6), (1.2, 2.6e6), 100e6)
    0.0
    """
    t = number("length of the cold", days, "days", 0, 365)
    cold = single("soil surface temperature", surface, "°C", *TEMPERATURE)
    warm = single("soil temperature before the cold", start, "°C", 0, TEMPERATURE[1])
    heat = single("latent heat of the soil", latent_heat, "J/m³", above=0)
    soils = _pair("frozen soil", frozen), _pair("thawed soil", thawed)
    kappa = _neumann(-cold, warm, *soils, heat) if cold < 0 else 0.0
    return _plain(2 * kappa * np.sqrt(soils[0][0] / soils[0][1] * np.asarray(t) * DAY))


def _pair(name, pair):
    if not isinstance(pair, tuple | list | np.ndarray) or len(pair) != 2:
        raise ValueError(f"{name} must be two numbers: conductivity in W/m·K and heat capacity in J/m³K")
    k = single(f"conductivity of the {name}", pair[0], "W/m·K", 0.01, 10)
    return k, single(f"heat capacity of the {name}", pair[1], "J/m³K", 1e5, 1e7)


def _neumann(below, above, frozen, thawed, heat):
    """Root of Neumann's equation: what reaches the frost line from below and sets free there, leaves to the top."""
    from scipy.optimize import brentq
    from scipy.special import erf, erfcx

    (k1, c1), (k2, c2) = frozen, thawed
    ratio = math.sqrt(k1 / c1 / (k2 / c2))

    def surplus(kappa):
        leaves = k1 * below * math.exp(-(kappa**2)) / erf(kappa)
        comes = k2 * above * ratio / erfcx(kappa * ratio)
        return leaves - comes - math.sqrt(math.pi) * kappa * heat * k1 / c1

    return brentq(surplus, 1e-9, 10.0, xtol=1e-13)

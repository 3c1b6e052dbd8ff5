"""A floor built in layers - gravel, membrane, foam, soil - as resistance and as a store of heat for the day.

Layers are listed from the top (the air of the house) down, each as the row of the materials table and its thickness.
"""

import math

import numpy as np

from heatlib import tables
from heatlib._check import single

__all__ = ["floor_admittance", "floor_day_capacity", "floor_heat_capacity", "floor_resistance"]


def _layers(layers):
    """Thickness, conductivity and heat capacity by volume of each layer."""
    if isinstance(layers, str) or not len(layers):
        raise ValueError("layers of the floor must be a list of at least one (material, thickness in m)")
    found = []
    for layer in layers:
        if isinstance(layer, str) or len(layer) != 2:
            raise ValueError(f"each layer of the floor must be (material, thickness in m), but one is {layer!r}")
        row = tables.properties("materials", layer[0])
        thick = single(f"thickness of the {layer[0]}", layer[1], "m", 0, 20, above=0)
        found.append((thick, row["conductivity"].value, row["density"].value * row["specific_heat"].value))
    return found


def floor_resistance(layers):
    """Give the resistance of a floor's layers, without films and without the ground below.

    Seams, and water in the gravel, are neglected; a membrane counts almost nothing.

    Parameters
    ----------
    layers : list of tuple
        ``(material, thickness)`` from the top down; the material is a row of the table [text, m].

    Returns
    -------
    float
        Resistance, for ``floor_resistance`` of :func:`heatlib.ground.slab_u_value` [m²K/W].

    Raises
    ------
    ValueError
        If a material is unknown or a thickness not above 0.

    Notes
    -----
    5 cm of foam have 1.4; 7.5 cm of gravel 0.1.

    References
    ----------
    ISO6946, section 6.7.

    Examples
    --------
    >>> 1.3 < floor_resistance([("gravel", 0.075), ("eps", 0.05)]) < 1.7
    True
    """
    return math.fsum(thick / k for thick, k, _ in _layers(layers))


def floor_heat_capacity(layers):
    """Give all the heat that a square metre of layers takes for one kelvin.

    Parameters
    ----------
    layers : list of tuple
        ``(material, thickness)`` from the top down; the material is a row of the table [text, m].

    Returns
    -------
    float
        Heat capacity of the whole thickness, in reach of a day or not [J/m²K].

    Raises
    ------
    ValueError
        If a material is unknown or a thickness not above 0.

    Notes
    -----
    7.5 cm of gravel take about 0.1 MJ for one kelvin, as much as 26 litres of water.

    References
    ----------
    INCROPERA, section 2.2.

    Examples
    --------
    >>> floor_heat_capacity([("gravel", 0.2)]) == 2 * floor_heat_capacity([("gravel", 0.1)])
    True
    """
    return math.fsum(thick * store for thick, _, store in _layers(layers))


def floor_admittance(layers, period=86400.0):
    """Give how strongly a floor's face answers a swing of its own temperature, and how far ahead the heat runs.

    The air's film over the floor is left out; below the last layer the heat is stopped, so list soil a metre deep.

    Parameters
    ----------
    layers : list of tuple
        ``(material, thickness)`` from the top down; the material is a row of the table [text, m].
    period : float, optional
        Length of the swing; a day is preset, 60 s to 10 years [s].

    Returns
    -------
    tuple of float
        Amplitude of the heat into the face for one kelvin of swing, and its lead [W/m²K, s].

    Raises
    ------
    ValueError
        If a material is unknown or a value outside its range.

    Notes
    -----
    Each layer carries temperature and flow of the wave through by the hyperbolic functions of thickness times
    √(iω/a). Thick stone answers with √(ω·λ·ρc) and an eighth of a period ahead; foam just below cuts it down.

    References
    ----------
    CARSLAW, section 3.7; ISO13786.

    Examples
    --------
    >>> strength, lead = floor_admittance([("concrete", 2.0)])
    >>> round(lead / 3600)
    3
    """
    turns = single("period of the swing", period, "s", 60, 3.2e8)
    omega = 2 * math.pi / turns
    temperature, flow = 1.0 + 0j, 0j  # below the last layer, where heat is stopped
    for thick, k, store in reversed(_layers(layers)):
        root = np.sqrt(1j * omega * store / k)
        # both are divided by cosh, which would overflow in a thick layer
        slope = np.tanh(root * thick)
        temperature, flow = temperature + flow * slope / (k * root), flow + temperature * slope * k * root
        temperature, flow = 1.0 + 0j, flow / temperature
    return float(abs(flow)), float(np.angle(flow) / omega)


def floor_day_capacity(layers, period=86400.0):
    """Give the part of a floor's heat capacity that a daily swing reaches.

    The air's film over the floor is left out.

    Parameters
    ----------
    layers : list of tuple
        ``(material, thickness)`` from the top down; the material is a row of the table [text, m].
    period : float, optional
        Length of the swing; a day is preset, 60 s to 10 years [s].

    Returns
    -------
    float
        Heat that goes in and out again, for one kelvin between lowest and highest [J/m²K].

    Raises
    ------
    ValueError
        If a material is unknown or a value outside its range.

    Notes
    -----
    :func:`floor_admittance` over the angular frequency. A thin layer on foam gives all it has; deep soil some 0.2 MJ.

    References
    ----------
    ISO13786.

    Examples
    --------
    >>> thin = [("gravel", 0.02)]
    >>> round(floor_day_capacity(thin) / floor_heat_capacity(thin), 2)
    1.0
    """
    return floor_admittance(layers, period)[0] * period / (2 * math.pi)

"""Heat through walls and roofs: layers in series, films of air at their faces, parts side by side, framing.

A resistance R is per square metre [m²·K/W]; layers one behind the other add their R. A U-value is what passes [W/m²·K];
parts side by side add their U, each with its share. Heat flow is positive when the house loses it. Closed gaps of air
are in :mod:`heatlib.air_gap`, panes and curtains in :mod:`heatlib.glazing`.
"""

import numpy as np

from heatlib._check import TEMPERATURE, broadcast, choice, number, plain, shortened, single
from heatlib.air_gap import air_gap_resistance
from heatlib.sky import radiation_coefficient

__all__ = [
    "air_gap_resistance",
    "bridged_u_value",
    "flow_direction",
    "heat_loss",
    "inside_film",
    "layer_resistance",
    "layer_temperatures",
    "outside_film",
    "parallel_u_value",
    "series",
    "surface_resistance",
    "u_value",
]

DIRECTIONS = ("up", "horizontal", "down")
SIDES = ("inside", "outside")
BOUNDS = ("upper", "lower", "mean")
INSIDE = {"up": 0.10, "horizontal": 0.13, "down": 0.17}
"""Resistance of the film of air on the inside face, by the direction in which the heat flows [m²·K/W]."""
OUTSIDE = 0.04
"""Resistance of the film on the outside face in ordinary wind, some 4 m/s [m²·K/W]."""
INSIDE_CONVECTION = {"up": 5.0, "horizontal": 2.5, "down": 0.7}
"""What the room's air carries to a face, without radiation [W/m²·K]."""


def layer_resistance(thickness, conductivity):
    """Give the thermal resistance of a solid layer.

    Neglected are gaps, moisture and the change of conductivity with temperature.

    Parameters
    ----------
    thickness : float or array_like
        Thickness, above 0 to 10 [m].
    conductivity : float or array_like
        Thermal conductivity, above 0 to 500 [W/m·K].

    Returns
    -------
    float or numpy.ndarray
        Resistance [m²·K/W].

    Raises
    ------
    ValueError
        If an argument is outside its range.

    Notes
    -----
    ``R = d/λ``. 50 mm of white bead board have about 1.4, a pane of glass 0.004.

    References
    ----------
    ISO6946, equation for homogeneous layers.

    Examples
    --------
    >>> layer_resistance(0.1, 0.05)
    2.0
    """
    broadcast(thickness=thickness, conductivity=conductivity)
    depth = number("layer thickness", thickness, "m", high=10, above=0)
    return depth / number("conductivity", conductivity, "W/m·K", high=500, above=0)


def flow_direction(tilt, inside=1.0, outside=0.0):
    """Tell which way heat flows through a surface, as the standard's films count it.

    Parameters
    ----------
    tilt : float
        0 for a level roof, 90 for a wall, 180 for a floor above outside air [°].
    inside, outside : float
        Temperatures on both sides; only which is warmer counts, −60 to 90 [°C].

    Returns
    -------
    str
        ``"up"``, ``"horizontal"`` or ``"down"`` [text].

    Raises
    ------
    ValueError
        If an argument is outside its range.

    Notes
    -----
    Heat that flows within 30° of level counts as horizontal, so a roof steeper than 60° is a wall.

    References
    ----------
    ISO6946, note to the table of surface resistances.

    Examples
    --------
    >>> flow_direction(30.0)
    'up'
    """
    slope = single("tilt", tilt, "°", 0, 180)
    warm = single("inside temperature", inside, "°C", *TEMPERATURE)
    cold = single("outside temperature", outside, "°C", *TEMPERATURE)
    if abs(slope - 90) <= 30:
        return "horizontal"
    return "up" if (slope < 90) == (warm >= cold) else "down"


def surface_resistance(direction, side="inside", wind_speed=None):
    """Give the resistance of the thin film of air on a face, with the face's radiation counted in.

    Neglected is how strongly the room is heated or stirred: a fan thins the film on the inside.

    Parameters
    ----------
    direction : str
        Direction of the heat: ``"up"``, ``"horizontal"`` or ``"down"`` [text].
    side : str
        ``"inside"`` or ``"outside"`` [text].
    wind_speed : float or array_like, optional
        Wind along the outer face, 0 to 60; without it the standard's ordinary wind, some 4 [m/s].

    Returns
    -------
    float or numpy.ndarray
        Resistance [m²·K/W].

    Raises
    ------
    ValueError
        If a name is unknown, the wind is outside its range, or a wind is given for the inside.

    Notes
    -----
    Inside 0.10, 0.13 and 0.17; outside 0.04 in every direction, or one over :func:`outside_film`.

    References
    ----------
    ISO6946, table of surface resistances.

    Examples
    --------
    >>> surface_resistance("horizontal")
    0.13
    """
    choice("direction", direction, DIRECTIONS)
    if choice("side", side, SIDES) == "inside":
        if wind_speed is not None:
            raise ValueError(f"wind_speed belongs to the outside film, but side is 'inside' and it is {wind_speed} m/s")
        return INSIDE[direction]
    return OUTSIDE if wind_speed is None else 1 / outside_film(wind_speed)


def outside_film(wind_speed, temperature=0.0, emissivity=0.9):
    """Give the coefficient of the film of air on an outer face, from the wind along it.

    The sky is neglected: it is taken as warm as the air; :func:`heatlib.sky.sky_loss` adds what it takes.

    Parameters
    ----------
    wind_speed : float or array_like
        Wind along the face, 0 to 60 [m/s].
    temperature : float or array_like
        Mean temperature of face and surroundings, −60 to 90 [°C].
    emissivity : float or array_like
        Emissivity of the face, 0 to 1 [–].

    Returns
    -------
    float or numpy.ndarray
        Coefficient, convection and radiation together [W/m²·K].

    Raises
    ------
    ValueError
        If an argument is outside its range.

    Notes
    -----
    ``h = 4 + 4·v + ε·4·σ·T³``: about 8 in still air, 24 at 4 m/s, 48 at 10 m/s.

    References
    ----------
    ISO6946, annex for surface resistances.

    Examples
    --------
    >>> outside_film(4.0, emissivity=0.0)
    20.0
    """
    broadcast(wind_speed=wind_speed, temperature=temperature, emissivity=emissivity)
    speed = number("wind speed", wind_speed, "m/s", 0, 60)
    return 4 + 4 * speed + radiation_coefficient(temperature, temperature, emissivity)


def inside_film(direction, temperature=20.0, emissivity=0.9):
    """Give the coefficient of the film of air on an inner face whose emissivity or temperature is unusual.

    Draughts and fans are neglected.

    Parameters
    ----------
    direction : str
        Direction of the heat: ``"up"``, ``"horizontal"`` or ``"down"`` [text].
    temperature : float or array_like
        Mean temperature of face and room, −60 to 90 [°C].
    emissivity : float or array_like
        Emissivity of the face, 0 to 1 [–].

    Returns
    -------
    float or numpy.ndarray
        Coefficient, convection and radiation together [W/m²·K].

    Raises
    ------
    ValueError
        If a name is unknown or an argument is outside its range.

    Notes
    -----
    ``h = h_c + ε·4·σ·T³`` with 5.0, 2.5 and 0.7 by direction. At 20 °C this is where 0.10, 0.13 and 0.17 come from.

    References
    ----------
    ISO6946, annex for surface resistances.

    Examples
    --------
    >>> inside_film("up", emissivity=0.0)
    5.0
    """
    return INSIDE_CONVECTION[choice("direction", direction, DIRECTIONS)] + radiation_coefficient(
        temperature, temperature, emissivity
    )


def series(*resistances):
    """Add the resistances of layers and films that lie one behind the other.

    Heat that runs sideways is neglected: see :func:`bridged_u_value` for walls with studs.

    Parameters
    ----------
    *resistances : float or array_like
        Resistances, each 0 to 1000 [m²·K/W].

    Returns
    -------
    float or numpy.ndarray
        Their sum [m²·K/W].

    Raises
    ------
    ValueError
        If there is none, or one is outside the range.

    Notes
    -----
    ``R = R₁ + R₂ + …``

    References
    ----------
    ISO6946, equation for total resistance.

    Examples
    --------
    >>> series(0.13, 2.0, 0.04)
    2.17
    """
    if not resistances:
        raise ValueError("a wall needs at least one layer, but none is given")
    broadcast(**{f"layer {i + 1}": r for i, r in enumerate(resistances)})
    return plain(sum(number("resistance", r, "m²·K/W", 0, 1000) for r in resistances))


def u_value(resistance):
    """Turn a total resistance, films included, into a U-value.

    Parameters
    ----------
    resistance : float or array_like
        Total resistance from air to air, above 0 to 1000 [m²·K/W].

    Returns
    -------
    float or numpy.ndarray
        U-value [W/m²·K].

    Raises
    ------
    ValueError
        If the resistance is outside its range.

    Notes
    -----
    ``U = 1/R``. A single pane has about 6, a well insulated wall 0.2.

    References
    ----------
    ISO6946, equation for thermal transmittance.

    Examples
    --------
    >>> u_value(0.5)
    2.0
    """
    return 1 / number("total resistance", resistance, "m²·K/W", high=1000, above=0)


def heat_loss(area, u_value, inside, outside):
    """Give the heat that a surface loses.

    Heat held in the surface is neglected: this is the flow when temperatures stand still.

    Parameters
    ----------
    area : float or array_like
        Area, above 0 to 1 000 000 [m²].
    u_value : float or array_like
        U-value, 0 to 1000 [W/m²·K].
    inside, outside : float or array_like
        Air temperatures, −60 to 90 [°C].

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
    ``Q = U·A·(T_inside − T_outside)``.

    References
    ----------
    MURPHY, example 9.1; OPENSTAX, section on conduction.

    Examples
    --------
    >>> heat_loss(10.0, 2.0, 5.0, -10.0)
    300.0
    """
    broadcast(area=area, u_value=u_value, inside=inside, outside=outside)
    size = number("area", area, "m²", high=1e6, above=0)
    passing = number("U-value", u_value, "W/m²·K", 0, 1000)
    warm = number("inside temperature", inside, "°C", *TEMPERATURE)
    return passing * size * (warm - number("outside temperature", outside, "°C", *TEMPERATURE))


def layer_temperatures(resistances, inside, outside):
    """Give the temperatures between the layers of a wall, from the inside outward.

    Parameters
    ----------
    resistances : sequence of float
        Resistances from the inside film to the outside film, each 0 to 1000 [m²·K/W].
    inside, outside : float
        Air temperatures, −60 to 90 [°C].

    Returns
    -------
    numpy.ndarray
        One temperature more than layers: inside air, each joint, outside air [°C].

    Raises
    ------
    ValueError
        If there is no layer, the sum is zero, or an argument is outside its range.

    Notes
    -----
    Each layer takes a share of the difference as large as its share of the resistance.

    References
    ----------
    CENGEL, example 3.2.

    Examples
    --------
    >>> layer_temperatures([0.1, 0.3], 20.0, 0.0)
    array([20., 15.,  0.])
    """
    parts = np.atleast_1d(number("resistance", resistances, "m²·K/W", 0, 1000))
    total = single("total resistance", float(parts.sum()), "m²·K/W", above=0)
    warm = single("inside temperature", inside, "°C", *TEMPERATURE)
    cold = single("outside temperature", outside, "°C", *TEMPERATURE)
    return warm - (warm - cold) * np.concatenate([[0.0], np.cumsum(parts) / total])


def parallel_u_value(areas, u_values):
    """Give the mean U-value of parts that lie side by side, such as a wall pieced together from odd panes.

    Heat that runs sideways from one part into its neighbour is neglected.

    Parameters
    ----------
    areas : sequence of float
        Areas of the parts, or their shares, each 0 to 1e6 [m²].
    u_values : sequence of float
        U-value of each part, 0 to 1000 [W/m²·K].

    Returns
    -------
    float
        Mean U-value of the whole [W/m²·K].

    Raises
    ------
    ValueError
        If the lists differ in length, all areas are zero, or a value is outside its range.

    Notes
    -----
    ``U = Σ(A·U)/ΣA``. Average the U-values, never the R-values: the poorest part counts most.

    References
    ----------
    CENGEL, example 3.16 with its slip put right (the U-values are averaged).

    Examples
    --------
    >>> parallel_u_value([1.0, 3.0], [4.0, 2.0])
    2.5
    """
    sizes = np.atleast_1d(number("area", areas, "m²", 0, 1e6))
    passing = np.atleast_1d(number("U-value", u_values, "W/m²·K", 0, 1000))
    if sizes.shape != passing.shape:
        raise ValueError(f"each part needs an area and a U-value, but there are {sizes.size} and {passing.size}")
    whole = single("area of all parts together", float(sizes.sum()), "m²", above=0)
    return float((sizes * passing).sum() / whole)


def bridged_u_value(fractions, layers, inside=0.13, outside=0.04, bound="mean"):
    """Give the U-value of a wall whose insulation is bridged by studs, rafters or bars.

    Metal bridges and nails are neglected: the standard excludes them, and they can double the loss.

    Parameters
    ----------
    fractions : sequence of float
        Share of the face that each section takes, e.g. between the studs and at the studs; together 1 [–].
    layers : sequence
        For each layer one resistance, or one for each section, above 0 to 1000 [m²·K/W].
    inside, outside : float
        Resistances of the two films, 0 to 10 [m²·K/W].
    bound : str
        ``"upper"`` and ``"lower"`` bound of the *resistance*, or ``"mean"`` of the two as the standard asks [text].

    Returns
    -------
    float
        U-value; the smallest with ``"upper"``, the largest with ``"lower"`` [W/m²·K].

    Raises
    ------
    ValueError
        If shares don't add up to 1, a layer doesn't fit the sections, or a value is outside its range.

    Notes
    -----
    Upper bound: no heat runs sideways, ``1/R' = Σ f/R``. Lower bound: every joint is of one temperature, so each layer
    is averaged by itself, ``1/R_j'' = Σ f/R_j``. The truth lies between. Where the bounds differ by more than a half,
    as for stone or metal in foam, the standard rules the mean out: look at both bounds.

    References
    ----------
    ISO6946, section on inhomogeneous layers.

    Examples
    --------
    >>> round(bridged_u_value([0.5, 0.5], [2.0]), 4) == round(1 / 2.17, 4)
    True
    """
    shares = _shares(fractions)
    if not isinstance(layers, list | tuple | np.ndarray) or not len(layers):
        raise ValueError(f"layers must be a list of at least one layer's resistance, but it is {shortened(layers)}")
    rows = np.array([_layer(i, layer, shares.size) for i, layer in enumerate(layers)])
    films = single("inside film", inside, "m²·K/W", 0, 10) + single("outside film", outside, "m²·K/W", 0, 10)
    upper = 1 / (shares / (rows.sum(axis=0) + films)).sum()
    lower = (1 / (shares / rows).sum(axis=1)).sum() + films
    choice("bound", bound, BOUNDS)
    return float(1 / {"upper": upper, "lower": lower, "mean": (upper + lower) / 2}[bound])


def _shares(fractions):
    shares = np.atleast_1d(number("share of a section", fractions, "", 0, 1))
    if abs(shares.sum() - 1) > 1e-6:
        raise ValueError(f"the shares of the sections must add up to 1, but they add up to {shares.sum():.6g}")
    return shares


def _layer(index, layer, sections):
    row = np.atleast_1d(number(f"resistance of layer {index + 1}", layer, "m²·K/W", high=1000, above=0))
    if row.size not in (1, sections):
        raise ValueError(f"layer {index + 1} has {row.size} resistances, but the wall has {sections} sections")
    return np.broadcast_to(row, sections)

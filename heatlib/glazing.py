"""Panes, sheets and films: what they lose by day and under a clear night sky, framed, pieced together, under snow.

The table of glazings gives the U-value of each as it is measured: upright, with the standard's films of air. From it
follows the resistance of the pane itself, and from that its loss in any wind, tilt and under any sky. Thin dry
polyethylene lets heat rays through; that part goes from the house straight out and is counted apart. Heat flow is
positive when the house loses it. Curtains are in :mod:`heatlib.curtain`.
"""

from typing import NamedTuple

import numpy as np

from heatlib import tables
from heatlib._check import TEMPERATURE, broadcast, choice, number, plain, single
from heatlib.conduction import flow_direction, inside_film, outside_film, surface_resistance
from heatlib.sky import SKY, radiation_coefficient, sky_coefficient, sky_loss, sky_view

__all__ = [
    "PaneFlow",
    "framed_u_value",
    "glazing_heat_flow",
    "glazing_names",
    "glazing_resistance",
    "glazing_u_value",
    "pieced_u_value",
    "u_value_with_snow",
]

BOUNDS = ("low", "value", "high")
SNOW = ("snow_fresh", "snow_soft", "snow_settled", "snow_compacted")
STANDARD_WIND = 4.0
ORDINARY = 0.9
"""Emissivity of the faces that the standard's films of air are made for, and of wet film [–]."""


class PaneFlow(NamedTuple):
    """What a square metre of pane passes [W/m²], the part that radiates straight through, and its two faces [°C]."""

    heat: float
    straight_through: float
    inner_face: float
    outer_face: float


def glazing_names():
    """List the names of all glazings, in the order of the table.

    Returns
    -------
    tuple of str
        The names [text].

    Examples
    --------
    >>> "glass_single" in glazing_names()
    True
    """
    return tables.keys("glazings")


def _row(name, property_name, bound="value"):
    return getattr(tables.entry("glazings", name, property_name), choice("bound", bound, BOUNDS))


def _heat_rays(name, wet):
    """Emissivity and share of heat rays let through; a film of water stops them all."""
    if not isinstance(wet, bool):
        raise ValueError(f"wet must be True or False, but it is {wet!r}")
    # a dry pane that stops heat rays has the faces of the standard, whatever the third digit of its emissivity
    if wet or _row(name, "infrared_transmittance") == 0:
        return ORDINARY, 0.0
    return _row(name, "emissivity"), _row(name, "infrared_transmittance")


def _films(emissivity, direction, wind_speed):
    """Resistances of both films; at the standard's emissivity and wind exactly the standard's."""
    inner, outer = surface_resistance(direction), surface_resistance(direction, "outside", wind_speed)
    if emissivity == ORDINARY:
        return inner, outer
    less = ORDINARY - emissivity
    inner_less = inside_film(direction, emissivity=ORDINARY) - inside_film(direction, emissivity=emissivity)
    return 1 / (1 / inner - inner_less), 1 / (1 / outer - radiation_coefficient(0.0, 0.0, less))


def _straight(share):
    return share * radiation_coefficient(20.0, 0.0, 1.0)


def glazing_resistance(name, bound="value", wet=False):
    """Give the resistance of a glazing from face to face, without the films of air.

    The change of an air space with temperature and tilt is neglected.

    Parameters
    ----------
    name : str
        Name in the table of glazings [text].
    bound : str
        ``"low"``, ``"value"`` or ``"high"`` of the table's *U-value* [text].
    wet : bool
        Whether drops or a film of water cover it and stop heat rays; matters for polyethylene [text].

    Returns
    -------
    float
        Resistance [m²·K/W].

    Raises
    ------
    ValueError
        If a name is unknown.

    Notes
    -----
    What the table's U-value leaves after both films and the heat rays that pass straight through.

    References
    ----------
    The source of the glazing's row; ISO6946 for the films.

    Examples
    --------
    >>> round(glazing_resistance("glass_single"), 3)
    0.004
    """
    emissivity, share = _heat_rays(name, wet)
    inner, outer = _films(emissivity, "horizontal", None)
    measured = "u_value_wet" if wet and "u_value_wet" in tables.properties("glazings", name) else "u_value"
    return 1 / (_row(name, measured, bound) - _straight(share)) - inner - outer


def glazing_u_value(name, direction="horizontal", wind_speed=None, wet=False, bound="value"):
    """Give the U-value of a pane, sheet or film in its middle, without frame.

    The sky is taken as warm as the outside air; a clear night takes more, see :func:`glazing_heat_flow`.

    Parameters
    ----------
    name : str
        Name in the table of glazings [text].
    direction : str
        Direction of the heat: ``"up"`` in a roof, ``"horizontal"`` in a wall, ``"down"`` [text].
    wind_speed : float or array_like, optional
        Wind along the pane, 0 to 60; without it the standard's ordinary wind, some 4 [m/s].
    wet : bool
        Whether drops or a film of water cover it and stop heat rays; matters for polyethylene [text].
    bound : str
        ``"low"``, ``"value"`` or ``"high"`` end of the table's spread [text].

    Returns
    -------
    float or numpy.ndarray
        U-value [W/m²·K].

    Raises
    ------
    ValueError
        If a name is unknown or the wind is outside its range.

    Notes
    -----
    ``U = 1/(R_si + R + R_se) + τ·h_r``. A single pane has 5.75 upright, 7 in a roof; twin-wall of 8 mm 3.3.

    References
    ----------
    ISO6946; the source of the glazing's row.

    Examples
    --------
    >>> round(glazing_u_value("glass_single"), 2)
    5.75
    """
    emissivity, share = _heat_rays(name, wet)
    inner, outer = _films(emissivity, direction, wind_speed)
    return 1 / (inner + glazing_resistance(name, bound, wet) + outer) + _straight(share)


def glazing_heat_flow(name, inside, outside, sky, tilt=90.0, wind_speed=STANDARD_WIND, wet=False, bound="value"):
    """Give what a square metre of pane loses to the outside air and to the sky, and how warm its faces are.

    Sun, frames and condensation's heat are neglected; the room's surfaces are taken as warm as its air, the ground
    outside as warm as the outside air.

    Parameters
    ----------
    name : str
        Name in the table of glazings [text].
    inside, outside, sky : float or array_like
        Temperatures of room, outside air and sky, −60 to 90, the sky −120 to 90 [°C].
    tilt : float
        0 for a level roof, 90 for a wall, 0 to 180 [°].
    wind_speed : float or array_like
        Wind along the pane, 0 to 60 [m/s].
    wet : bool
        Whether drops or a film of water cover it and stop heat rays [text].
    bound : str
        ``"low"``, ``"value"`` or ``"high"`` end of the table's spread [text].

    Returns
    -------
    PaneFlow
        Heat flow, positive when the house loses it, the part straight through, and both faces [W/m², W/m², °C, °C].

    Raises
    ------
    ValueError
        If a name is unknown or an argument is outside its range.

    Notes
    -----
    Heat balance of both faces with the full T⁴ law. On a calm clear night a single pane in a roof loses about a tenth
    more than under cloud, a dry film a quarter more.

    References
    ----------
    ISO6946, annex for surface resistances; INCROPERA, equation 1.7.

    Examples
    --------
    >>> clear, cloudy = (glazing_heat_flow("glass_single", 5.0, -20.0, sky) for sky in (-40.0, -20.0))
    >>> clear.heat > cloudy.heat
    True
    """
    broadcast(inside=inside, outside=outside, sky=sky, wind_speed=wind_speed)
    names = ("inside temperature", "outside temperature", "sky temperature")
    limits = (TEMPERATURE, TEMPERATURE, SKY)
    room, air, above = (number(n, t, "°C", *span) for n, t, span in zip(names, (inside, outside, sky), limits))
    emissivity, share = _heat_rays(name, wet)
    convection = _indoor_convection(tilt, room, air), outside_film(wind_speed, emissivity=0.0)
    faces = _faces(convection, emissivity, glazing_resistance(name, bound, wet), (room, air, above), sky_view(tilt))
    straight = share * sky_loss(room, air, above, tilt, 1.0)
    gain = convection[0] + sky_coefficient(faces[0], room, emissivity)
    return PaneFlow(plain(gain * (room - faces[0]) + straight), straight, *map(plain, faces))


def _indoor_convection(tilt, room, air):
    losing, gaining = (inside_film(flow_direction(tilt, *pair), emissivity=0.0) for pair in ((1.0, 0.0), (0.0, 1.0)))
    return np.where(np.asarray(room) >= air, losing, gaining)


def _faces(convection, emissivity, resistance, temperatures, view):
    """Inner and outer face where heat in equals heat out; each round takes the radiation of the last."""
    room, air, above = temperatures
    inner = outer = air
    span = np.minimum(np.minimum(room, air), above), np.maximum(np.maximum(room, air), above)
    for _ in range(40):
        to_room = convection[0] + sky_coefficient(inner, room, emissivity)
        to_air = convection[1] + (1 - view) * sky_coefficient(outer, air, emissivity)
        to_sky = view * sky_coefficient(outer, above, emissivity)
        through = 1 / (1 / to_room + resistance)
        outer = (through * room + to_air * air + to_sky * above) / (through + to_air + to_sky)
        # a mean of the three: no more than round-off is cut, which at 90 °C would be out of range
        outer = np.clip(outer, *span)
        inner = room - through * (room - outer) / to_room
    return inner, outer


def framed_u_value(pane_area, pane_u_value, frame_area, frame_u_value, edge_length=0.0, edge_conductance=0.0):
    """Give the U-value of a window with its frame and the edge where the two meet.

    Leaks at the joints are neglected: they belong to the air changes.

    Parameters
    ----------
    pane_area : float or array_like
        Area of glass seen from outside, above 0, at most 1e5 [m²].
    pane_u_value : float or array_like
        U-value in the middle of the pane, 0 to 30 [W/m²·K].
    frame_area : float or array_like
        Area of the frame seen from outside, 0 to 1e5 [m²].
    frame_u_value : float or array_like
        U-value of the frame, 0 to 30; wood about 2, plastic 1.5 to 2.5, bare metal 6 to 9 [W/m²·K].
    edge_length : float or array_like
        Length of the joint between pane and frame, 0 to 1e6 [m].
    edge_conductance : float or array_like
        What each metre of that joint adds, 0 to 1; 0.06 to 0.11 for a sealed unit, none for single panes [W/m·K].

    Returns
    -------
    float or numpy.ndarray
        U-value of the whole window [W/m²·K].

    Raises
    ------
    ValueError
        If an argument is outside its range.

    Notes
    -----
    ``U = (A_g·U_g + A_f·U_f + l·ψ)/(A_g + A_f)``.

    References
    ----------
    ISO10077, equation for a single window.

    Examples
    --------
    >>> framed_u_value(0.75, 4.0, 0.25, 2.0)
    3.5
    """
    broadcast(
        pane_area=pane_area,
        pane_u_value=pane_u_value,
        frame_area=frame_area,
        frame_u_value=frame_u_value,
        edge_length=edge_length,
        edge_conductance=edge_conductance,
    )
    pane = number("pane area", pane_area, "m²", high=1e5, above=0)
    frame = number("frame area", frame_area, "m²", 0, 1e5)
    edge = number("edge length", edge_length, "m", 0, 1e6) * number("edge conductance", edge_conductance, "W/m·K", 0, 1)
    glass = pane * number("pane U-value", pane_u_value, "W/m²·K", 0, 30)
    return (glass + frame * number("frame U-value", frame_u_value, "W/m²·K", 0, 30) + edge) / (pane + frame)


def pieced_u_value(pieces, bound="value"):
    """Give the mean U-value of a wall pieced together from odd panes, sheets and boards, each with its frame.

    Leaks between the pieces are neglected, and so is heat that runs sideways from piece to piece.

    Parameters
    ----------
    pieces : sequence of tuple
        ``(what, area)`` or ``(what, area, frame_share, frame_u_value)``: ``what`` is the name of a glazing or a
        U-value, ``area`` includes the frame [text or W/m²·K, m², –, W/m²·K].
    bound : str
        ``"low"``, ``"value"`` or ``"high"`` end of the table's spread [text].

    Returns
    -------
    float
        Mean U-value [W/m²·K].

    Raises
    ------
    ValueError
        If there is no piece, a name is unknown or a value is outside its range.

    Notes
    -----
    ``U = Σ(A·U)/ΣA`` over all panes and frames.

    References
    ----------
    ISO10077; ISO6946.

    Examples
    --------
    >>> pieced_u_value([(4.0, 1.0), (2.0, 3.0)])
    2.5
    """
    if not len(pieces):
        raise ValueError("a wall needs at least one piece, but the list is empty")
    areas = [single(f"area of piece {i + 1}", piece[1], "m²", high=1e5, above=0) for i, piece in enumerate(pieces)]
    flows = [area * _piece_u_value(i + 1, piece, bound) for i, (piece, area) in enumerate(zip(pieces, areas))]
    return sum(flows) / sum(areas)


def _piece_u_value(index, piece, bound):
    if len(piece) not in (2, 4):
        raise ValueError(f"piece {index} must have 2 or 4 entries (what, area, frame share, frame U-value): {piece!r}")
    what, share, frame = piece[0], *(piece[2:] or (0.0, 0.0))
    u = glazing_u_value(what, bound=bound) if isinstance(what, str) else single("U-value", what, "W/m²·K", 0, 30)
    bar = single(f"frame share of piece {index}", share, "", 0, 1)
    return (1 - bar) * u + bar * single(f"frame U-value of piece {index}", frame, "W/m²·K", 0, 30)


def u_value_with_snow(u_value, depth, kind="snow_fresh"):
    """Give the U-value of a roof with snow lying on it.

    Neglected are melting at the pane, which starts as soon as the snow's base is above 0 °C, and the light it takes.
    Snow is heavy: whether a roof bears it is for local codes and a licensed engineer to decide.

    Parameters
    ----------
    u_value : float or array_like
        U-value of the bare roof, above 0 to 30 [W/m²·K].
    depth : float or array_like
        Depth of the snow, 0 to 5 [m].
    kind : str
        ``"snow_fresh"``, ``"snow_soft"``, ``"snow_settled"`` or ``"snow_compacted"`` [text].

    Returns
    -------
    float or numpy.ndarray
        U-value [W/m²·K].

    Raises
    ------
    ValueError
        If an argument is outside its range or the kind unknown.

    Notes
    -----
    ``1/U = 1/U₀ + d/λ``. 100 mm of fresh snow are worth 2 m²·K/W: as much as 70 mm of bead board.

    References
    ----------
    EN12524, rows for snow.

    Examples
    --------
    >>> u_value_with_snow(5.0, 0.0)
    5.0
    """
    broadcast(u_value=u_value, depth=depth)
    bare = number("U-value", u_value, "W/m²·K", high=30, above=0)
    deep = number("snow depth", depth, "m", 0, 5)
    conductivity = tables.entry("materials", choice("kind of snow", kind, SNOW), "conductivity").value
    return 1 / (1 / bare + deep / conductivity)

"""Curtains drawn at night and covers laid over a bed: a second skin with a gap, and the draught round its edges.

A curtain keeps a layer of air in front of the pane. Room air that slips in over its top and out below undoes it, so
each function takes the gaps at the edges. Heat flow is positive when the house loses it.
"""

import numpy as np

from heatlib._check import TEMPERATURE, broadcast, number, plain, single
from heatlib.infiltration import AIR_HEAT, GRAVITY, air_density
from heatlib.sky import kelvin

__all__ = ["curtain_edge_flow", "curtain_with_gaps", "temperature_under_cover", "window_with_curtain"]

GAP = 0.18
"""Resistance of the closed gap of air behind a curtain, 25 mm or wider [m²·K/W]."""


def window_with_curtain(u_value, curtain_resistance, gap_resistance=GAP, edge_flow=0.0, open_share=0.0):
    """Give the U-value of a window or roof with a curtain drawn.

    Draught through the fabric itself is neglected: a net or a torn curtain is no skin.

    Parameters
    ----------
    u_value : float or array_like
        U-value of the bare window, above 0 to 30 [W/m²·K].
    curtain_resistance : float or array_like
        Resistance of the fabric: nearly 0 for a sheet, 0.3 for a quilted blanket, 0 to 20 [m²·K/W].
    gap_resistance : float or array_like
        Resistance of the gap between curtain and pane, 0.05 to 5; 0.18 with ordinary faces, 0.6 with a bright one
        [m²·K/W].
    edge_flow : float or array_like
        Room air that slips behind the curtain, for each square metre of it, 0 to 1 [m³/s·m²].
    open_share : float or array_like
        Share of the window that the curtain leaves bare, 0 to 1 [–].

    Returns
    -------
    float or numpy.ndarray
        U-value [W/m²·K].

    Raises
    ------
    ValueError
        If an argument is outside its range.

    Notes
    -----
    Room to gap by two ways, through the fabric and with the air: ``a = 1/(R_c + R_gap) + ρ·c·v̇``. Then
    ``1/U' = 1/a + 1/U``. Single glass falls from 5.8 to 1.5 behind a closed blanket and to 2.8 behind a plain sheet.

    References
    ----------
    ISO6946 for layers and gap; heat balance of the gap's air, at 1.2 kg/m³.

    Examples
    --------
    >>> window_with_curtain(4.0, 0.07)
    2.0
    """
    resistances = {"curtain_resistance": curtain_resistance, "gap_resistance": gap_resistance}
    broadcast(u_value=u_value, **resistances, edge_flow=edge_flow, open_share=open_share)
    bare = number("U-value", u_value, "W/m²·K", high=30, above=0)
    skin = number("curtain resistance", curtain_resistance, "m²·K/W", 0, 20)
    gap = number("gap resistance", gap_resistance, "m²·K/W", 0.05, 5)
    passing = 1 / (skin + gap) + 1.2 * AIR_HEAT * number("edge flow", edge_flow, "m³/s·m²", 0, 1)
    left = number("open share", open_share, "", 0, 1)
    return left * bare + (1 - left) / (1 / passing + 1 / bare)


def curtain_edge_flow(height, top_gap, bottom_gap, room, behind, discharge=0.6):
    """Give the room air that falls through behind a curtain hung in front of a cold pane.

    Fans and wind are neglected; so is the friction in the gap behind, which matters under some 20 mm.

    Parameters
    ----------
    height : float or array_like
        Height of the curtain, above 0 to 20 [m].
    top_gap, bottom_gap : float or array_like
        Width of the opening along its top and its bottom, 0 to 1; sealed is 0 [m].
    room, behind : float or array_like
        Temperatures of the room's air and of that behind the curtain, −60 to 90 [°C].
    discharge : float or array_like
        Discharge coefficient of the openings, above 0 to 1 [–].

    Returns
    -------
    float or numpy.ndarray
        Air flow for each square metre of curtain; 0 if either opening is sealed [m³/s·m²].

    Raises
    ------
    ValueError
        If an argument is outside its range.

    Notes
    -----
    ``v̇ = C·s·√(2·g·H·|ΔT|/T_room)/H`` with ``1/s² = 1/s_top² + 1/s_bottom²``. To seal one edge is enough.

    References
    ----------
    ASHRAE2013, chapter on ventilation and infiltration, flow by thermal forces through two openings.

    Examples
    --------
    >>> curtain_edge_flow(2.0, 0.05, 0.0, 5.0, -10.0)
    0.0
    """
    gaps = {"top_gap": top_gap, "bottom_gap": bottom_gap}
    broadcast(height=height, **gaps, room=room, behind=behind, discharge=discharge)
    tall = number("curtain height", height, "m", high=20, above=0)
    top, bottom = (number(n, v, "m", 0, 1) for n, v in (("top gap", top_gap), ("bottom gap", bottom_gap)))
    warm = number("room temperature", room, "°C", *TEMPERATURE)
    lift = 2 * GRAVITY * tall * np.abs(warm - number("temperature behind", behind, "°C", *TEMPERATURE)) / kelvin(warm)
    # top·bottom/√(top² + bottom²) is the same as the formula of the notes and stays finite for a sealed edge
    both = top * bottom / np.maximum(np.hypot(top, bottom), 1e-300)
    return plain(number("discharge coefficient", discharge, "", high=1, above=0) * both * np.sqrt(lift) / tall)


def curtain_with_gaps(
    u_value, curtain_resistance, height, top_gap, bottom_gap, inside, outside, gap_resistance=GAP, elevation=0.0
):
    """Give the U-value of a window with a curtain whose edges let room air through.

    Neglected are sags and the friction in the gap behind the curtain.

    Parameters
    ----------
    u_value : float
        U-value of the bare window, above 0 to 30 [W/m²·K].
    curtain_resistance : float
        Resistance of the fabric, 0 to 20 [m²·K/W].
    height : float
        Height of the curtain, above 0 to 20 [m].
    top_gap, bottom_gap : float
        Width of the opening along its top and its bottom, 0 to 1 [m].
    inside, outside : float
        Temperatures, −60 to 90 [°C].
    gap_resistance : float
        Resistance of the gap between curtain and pane, 0.05 to 5 [m²·K/W].
    elevation : float
        Height above sea level, −290 to 3000 [m].

    Returns
    -------
    float
        U-value [W/m²·K].

    Raises
    ------
    ValueError
        If an argument is outside its range.

    Notes
    -----
    The temperature behind the curtain is the one at which the heat that comes in equals what leaves through the pane.
    Gaps of 10 mm above and below take a third of what a blanket saves, 50 mm nearly two thirds.

    References
    ----------
    :func:`curtain_edge_flow` and :func:`window_with_curtain`.

    Examples
    --------
    >>> curtain_with_gaps(4.0, 0.07, 2.0, 0.0, 0.02, 5.0, -20.0)
    2.0
    """
    closed = window_with_curtain(u_value, curtain_resistance, gap_resistance)
    warm = single("inside temperature", inside, "°C", *TEMPERATURE)
    cold = single("outside temperature", outside, "°C", *TEMPERATURE)
    fabric = 1 / (curtain_resistance + gap_resistance)
    heat = air_density(warm, elevation) * AIR_HEAT
    curtain_edge_flow(height, top_gap, bottom_gap, warm, cold)
    if any(np.ndim(v) for v in (closed, heat, height, top_gap, bottom_gap)):
        raise ValueError("each number about a curtain with gaps must be one number, but a list was given")
    if warm == cold:
        return closed

    def coming(behind):
        return fabric + heat * curtain_edge_flow(height, top_gap, bottom_gap, warm, behind)

    # warmer behind means less coming in and more going out: one crossing
    from scipy.optimize import brentq

    behind = brentq(lambda t: coming(t) * (warm - t) - u_value * (t - cold), warm, cold, xtol=1e-10)
    return float(u_value * (behind - cold) / (warm - cold))


def temperature_under_cover(soil, air, cover_resistance, soil_coefficient=8.0, air_coefficient=8.0, edge_flow=0.0):
    """Give the temperature of the air under a row cover or cloche laid over a bed inside.

    Leaves, dew under the cover and the sky above the house are neglected.

    Parameters
    ----------
    soil, air : float or array_like
        Temperatures of the bed's surface and of the air above the cover, −60 to 90 [°C].
    cover_resistance : float or array_like
        Resistance of the cover: nearly 0 for fleece or film, 0 to 20 [m²·K/W].
    soil_coefficient, air_coefficient : float or array_like
        Film coefficients from the bed to the air below the cover, and on each face of the cover, above 0 to 100
        [W/m²·K].
    edge_flow : float or array_like
        Air that blows through under the edges, for each square metre of bed, 0 to 1 [m³/s·m²].

    Returns
    -------
    float or numpy.ndarray
        Temperature below the cover, between ``air`` and ``soil`` [°C].

    Raises
    ------
    ValueError
        If an argument is outside its range.

    Notes
    -----
    Mean of soil and air, each weighed by the conductance that leads to it: fleece tucked in keeps two thirds of the
    difference as the air between is held by soil on one side and two films on the other.

    References
    ----------
    Heat balance of the air below, at 1.2 kg/m³.

    Examples
    --------
    >>> round(temperature_under_cover(6.0, 0.0, 0.0), 6)
    4.0
    """
    coefficients = {"soil_coefficient": soil_coefficient, "air_coefficient": air_coefficient}
    broadcast(soil=soil, air=air, cover_resistance=cover_resistance, **coefficients, edge_flow=edge_flow)
    below = number("soil temperature", soil, "°C", *TEMPERATURE)
    above = number("air temperature", air, "°C", *TEMPERATURE)
    up = number("soil coefficient", soil_coefficient, "W/m²·K", high=100, above=0)
    film = number("air coefficient", air_coefficient, "W/m²·K", high=100, above=0)
    out = 1 / (2 / film + number("cover resistance", cover_resistance, "m²·K/W", 0, 20))
    out = out + 1.2 * AIR_HEAT * number("edge flow", edge_flow, "m³/s·m²", 0, 1)
    return (up * below + out * above) / (up + out)

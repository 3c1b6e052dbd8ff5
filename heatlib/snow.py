"""Light through snow that lies on a pane; how snow keeps heat in is told by :mod:`heatlib.glazing`."""

import numpy as np

from heatlib._check import choice, number
from heatlib.tables import entry

__all__ = ["snow_light"]

GRAIN = {"snow_fresh": 1e-4, "snow_soft": 2e-4, "snow_settled": 4e-4, "snow_compacted": 6e-4}
"""Radius of the grains [m], from memory: they grow as snow ages."""
FORWARD = 0.89
"""How much a grain of ice sends light on rather than back (asymmetry factor), from memory [–]."""
ICE = 917.0


def snow_light(depth, kind="snow_fresh"):
    """Give the share of light that gets through a layer of snow.

    What ice itself absorbs is neglected: little for light, more for the sun's heat rays, so this is a little too much.

    Parameters
    ----------
    depth : float or array_like
        Depth of the snow, 0 to 5 [m].
    kind : str, optional
        ``"snow_fresh"``, ``"snow_soft"``, ``"snow_settled"`` or ``"snow_compacted"`` [text].

    Returns
    -------
    float or numpy.ndarray
        Share, 1 where there is none [–].

    Raises
    ------
    ValueError
        If the depth is out of range or the kind is unknown.

    Notes
    -----
    ``1/(1 + 0.75·(1 − g)·τ)`` with ``τ = 1.5·d·ρ/(r·917)``: light that only scatters, in two streams. 20 mm of fresh
    snow let a quarter through, 100 mm some 7 %.

    References
    ----------
    MEMORY: two-stream transmission of a layer that does not absorb.

    Examples
    --------
    >>> snow_light(0.0), 0.2 < snow_light(0.02) < 0.35
    (1.0, True)
    """
    deep = number("snow depth", depth, "m", 0, 5)
    row = choice("kind of snow", kind, GRAIN)
    scattered = 1.5 * deep * entry("materials", row, "density").value / (GRAIN[row] * ICE)
    light = 1 / (1 + 0.75 * (1 - FORWARD) * np.asarray(scattered))
    return float(light) if np.ndim(light) == 0 else light

"""How deep a day reaches into a wall, floor or bed, and how much heat it moves there: layers that swing in a rhythm.

Everything here swings like a sine about a mean; the mean itself is conduction's matter. Heat is positive into the
layer, from the room.
"""

import cmath
import math
from dataclasses import dataclass

from heatlib import tables
from heatlib._check import broadcast, choice, number, single
from heatlib.ground import fading_depth as _fading
from heatlib.storage import heat_capacity

__all__ = [
    "bed_conductivity",
    "layer",
    "penetration_depth",
    "periodic_response",
    "thermal_diffusivity",
]


def bed_conductivity(stone, void_fraction, filling="air"):
    """Give the thermal conductivity of heaped stones.

    Moving air in the voids is neglected: a fan or a warm floor under coarse stones carries much more.

    Parameters
    ----------
    stone : str
        The solid stone, e.g. ``"granite"``; matters only where the voids are full of water [text].
    void_fraction : float or array_like
        Share of the bed between the stones, 0.2 to 0.6 [–].
    filling : str
        ``"air"`` or ``"water"`` [text].

    Returns
    -------
    float or numpy.ndarray
        Conductivity [W/m·K].

    Raises
    ------
    ValueError
        If a name is unknown or the void fraction is outside its range.

    Notes
    -----
    Dry: ``0.039·n^−2.2`` for crushed rock, ±25 %. Full of water: geometric mean ``k_s^(1−n)·k_w^n``. A dry bed with
    40 % voids is about 0.3, less than soil; the same bed full of water about 1.5.

    References
    ----------
    JOHANSEN1975.

    Examples
    --------
    >>> round(bed_conductivity("granite", 0.4), 1)
    0.3
    """
    void = number("void fraction", void_fraction, "", 0.2, 0.6)
    solid = tables.entry("materials", stone, "conductivity").value
    if choice("filling of the voids", filling, ("air", "water")) == "air":
        return 0.039 * void**-2.2
    return solid ** (1 - void) * tables.entry("materials", "water", "conductivity").value ** void


def thermal_diffusivity(conductivity, capacity):
    """Give how fast warmth spreads in a material.

    Parameters
    ----------
    conductivity : float or array_like
        Greater than 0, at most 500 [W/m·K].
    capacity : float or array_like
        Volumetric heat capacity, 1 kJ/m³·K to 10 MJ/m³·K [J/m³·K].

    Returns
    -------
    float or numpy.ndarray
        Thermal diffusivity [m²/s].

    Raises
    ------
    ValueError
        If an argument is outside its range.

    Notes
    -----
    ``D = k/C``; soil and stone lie between 3e-7 and 1.5e-6 m²/s.

    References
    ----------
    INCROPERA, section 2.2.2.

    Examples
    --------
    >>> thermal_diffusivity(2.0, 2e6)
    1e-06
    """
    broadcast(conductivity=conductivity, capacity=capacity)
    k = number("conductivity", conductivity, "W/m·K", high=500, above=0)
    return k / number("heat capacity", capacity, "J/m³·K", 1e3, 1e7)


def penetration_depth(diffusivity, period_hours=24.0):
    """Give the depth at which a swing of temperature has faded to 37 % (1/e).

    The material is taken as thick and alike all through.

    Parameters
    ----------
    diffusivity : float or array_like
        Thermal diffusivity, 1e-8 to 2e-4 [m²/s].
    period_hours : float or array_like
        Length of the swing, 1 to 10 000: a day has 24 [h].

    Returns
    -------
    float or numpy.ndarray
        Penetration depth [m].

    Raises
    ------
    ValueError
        If an argument is outside its range.

    Notes
    -----
    ``d = √(D·P/π)``. A day reaches some 0.1 m into soil, 0.15 m into concrete: mass deeper than twice that sleeps.

    References
    ----------
    INCROPERA, section 5.7 (periodic heating).

    Examples
    --------
    >>> round(penetration_depth(1e-6), 2)
    0.17
    """
    broadcast(diffusivity=diffusivity, period_hours=period_hours)
    spread = number("diffusivity", diffusivity, "m²/s", 1e-8, 2e-4)
    return _fading(spread, 3600 * number("period", period_hours, "h", 1, 1e4))


@dataclass(frozen=True)
class Layer:
    """A layer of a wall or bed: thickness [m], conductivity [W/m·K], volumetric heat capacity [J/m³·K]."""

    thickness: float
    conductivity: float
    capacity: float


def layer(material, thickness):
    """Describe a layer by its material, for :func:`periodic_response`.

    Parameters
    ----------
    material : str
        A name in the table of materials [text].
    thickness : float
        Greater than 0, at most 20 [m].

    Returns
    -------
    Layer
        The layer; make a ``Layer`` yourself for a bed of stones, with :func:`bed_conductivity` and
        ``heatlib.storage.bed_heat_capacity`` [m, W/m·K, J/m³·K].

    Raises
    ------
    ValueError
        If the material is unknown or the thickness outside its range.

    References
    ----------
    The sources of the material's rows.

    Examples
    --------
    >>> layer("concrete", 0.1).thickness
    0.1
    """
    thick = single("layer thickness", thickness, "m", high=20, above=0)
    return Layer(thick, tables.entry("materials", material, "conductivity").value, heat_capacity(material))


@dataclass(frozen=True)
class Response:
    """How layers answer a swinging room: admittance [W/m²·K], working capacity [J/m²·K], lead of the heat flow [h]."""

    admittance: float
    capacity: float
    lead_hours: float


def periodic_response(layers, period_hours=24.0, surface_resistance=0.13, resistance_behind=None):
    """Tell how much heat a wall, floor or bed takes and gives in the rhythm of the day.

    Sideways flow is neglected. For soil under a bed add a last layer thicker than three times its penetration depth.

    Parameters
    ----------
    layers : sequence of Layer
        From the room inwards, at least one: see :func:`layer` [m, W/m·K, J/m³·K].
    period_hours : float
        Length of the swing, 1 to 10 000 [h].
    surface_resistance : float
        Film between room and first layer, 0 to 10; 0 if the surface itself is what swings [m²·K/W].
    resistance_behind : float, optional
        Resistance from the last layer to a place that does not swing, greater than 0, at most 100; none for a
        perfectly insulated back [m²·K/W].

    Returns
    -------
    Response
        Admittance: heat flow into the layer for each kelvin that the room swings from its mean. Working capacity: heat
        moved in half a period for each kelvin from coldest to warmest. Lead: hours by which the heat flow is ahead of
        the temperature [W/m²·K, J/m²·K, h].

    Raises
    ------
    ValueError
        If there is no layer or a number is outside its range.

    Notes
    -----
    Each layer, ``γ = √(jωC/k)``, ``t = tanh(γd)``: ``Y' = kγ·(Y + kγ·t)/(kγ + Y·t)``; each film ``1/Y' = 1/Y + R``.
    A thin layer holds ``C·d`` and leads by a quarter period, an endless one ``√(kC/ω)`` and leads by an eighth.

    References
    ----------
    ISO13786 (transfer of a harmonic swing through layers).

    Examples
    --------
    >>> thin = Layer(0.001, 1.0, 2e6)
    >>> round(periodic_response([thin], surface_resistance=0.0).capacity)
    2000
    """
    stack = list(layers)
    if not stack or not all(isinstance(one, Layer) for one in stack):
        raise ValueError("layers must be a list of at least one Layer: make them with heatlib.beds.layer")
    omega = 2 * math.pi / (3600 * single("period", period_hours, "h", 1, 1e4))
    film = single("surface resistance", surface_resistance, "m²·K/W", 0, 10)
    behind = resistance_behind
    admittance = 0j if behind is None else 1 / single("resistance behind", behind, "m²·K/W", high=100, above=0)
    for one in reversed(stack):
        admittance = _through(one, omega, admittance)
    admittance = admittance / (1 + admittance * film)
    lead = cmath.phase(admittance) / (2 * math.pi) * period_hours
    return Response(abs(admittance), abs(admittance) / omega, lead)


def _through(one, omega, admittance):
    thick = single("layer thickness", one.thickness, "m", high=20, above=0)
    k = single("conductivity", one.conductivity, "W/m·K", high=500, above=0)
    wave = cmath.sqrt(1j * omega * single("heat capacity", one.capacity, "J/m³·K", 1e3, 1e7) / k)
    tangent = cmath.tanh(wave * thick)
    return k * wave * (admittance + k * wave * tangent) / (k * wave + admittance * tangent)

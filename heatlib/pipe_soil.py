"""The soil round buried pipes: how a day of running warms or cools it, and how neighbours get in each other's way.

Two ways to reckon: the closed form of a line source (:func:`soil_warming`), for a steady pull on wide ground; and rings
of soil round each pipe (:func:`soil_course`), for any course of air and fan. Heat is positive from air to soil.
"""

import math
from dataclasses import dataclass

import numpy as np

from heatlib._check import TEMPERATURE, broadcast, number, shortened, single

__all__ = [
    "SoilCourse",
    "ring_capacities",
    "ring_conductances",
    "share_radius",
    "soil_course",
    "soil_rings",
    "soil_warming",
]

FURTHEST_NEIGHBOUR = 500


@dataclass(frozen=True)
class SoilCourse:
    """How air and soil went along one or several equal pipes; the arrays have one value for each step."""

    outlet: np.ndarray
    """Temperature of the air that came back; that of the inlet while the fan stood [°C]."""
    heat: np.ndarray
    """Heat from the air of one pipe to its soil, mean over each step [W]."""
    wall: np.ndarray
    """Soil at the pipe, at the end of each step [°C]."""
    mean: np.ndarray
    """Mean of the soil that belongs to the pipe, at the end of each step [°C]."""
    rings: np.ndarray
    """Rings at the end, from the pipe outward [°C]."""


def _plain(value):
    return float(value) if np.ndim(value) == 0 else value


def soil_warming(heat, distance, hours, conductivity, diffusivity, spacing=None, neighbours=0):
    """Give how much soil warms near a pipe that has given it the same heat for some time.

    The surface of the ground, the pipe's own thickness and water that moves or freezes are neglected.

    Parameters
    ----------
    heat : float or array_like
        Heat for each metre of pipe, positive into the soil, −1000 to 1000 [W/m].
    distance : float or array_like
        Distance from the middle of the pipe, its radius for the wall itself, greater than 0 and at most 100 [m].
    hours : float or array_like
        How long it has run, greater than 0 and at most 1e6 [h].
    conductivity : float or array_like
        Conductivity of the soil, 0.01 to 10 [W/m·K].
    diffusivity : float or array_like
        Thermal diffusivity of the soil, 1e-8 to 1e-5 [m²/s].
    spacing : float, optional
        Distance between the middles of pipes in a row; needed with neighbours, greater than 0 and at most 100 [m].
    neighbours : int, optional
        How many equal pipes lie on each side, 0 to 500 [–].

    Returns
    -------
    float or numpy.ndarray
        Warming, positive for heat into the soil [K].

    Raises
    ------
    ValueError
        If a value is outside its range, or neighbours are given without a spacing.

    Notes
    -----
    Line source: ``q/(4πλ) · E₁(r²/(4at))``; those of the neighbours, a spacing and more away, add up. 30 W/m for ten
    hours warm the wall of a 0.1 m pipe in moist soil by some 4 K.

    References
    ----------
    CARSLAW, section 10.4.

    Examples
    --------
    >>> soil_warming(0.0, 0.05, 10.0, 1.0, 5e-7)
    0.0
    """
    from scipy.special import exp1

    q = number("heat for each metre of pipe", heat, "W/m", -1000, 1000)
    r = number("distance from the middle of the pipe", distance, "m", 0, 100, above=0)
    t = 3600 * np.asarray(number("running time", hours, "h", 0, 1e6, above=0))
    k = number("soil conductivity", conductivity, "W/m·K", 0.01, 10)
    a = number("thermal diffusivity of the soil", diffusivity, "m²/s", 1e-8, 1e-5)
    beside = single("number of neighbours on each side", neighbours, "", 0, FURTHEST_NEIGHBOUR)
    apart = 0.0 if spacing is None else number("pipe spacing", spacing, "m", 0, 100, above=0)
    broadcast(heat=q, distance=r, hours=t, conductivity=k, diffusivity=a, spacing=apart)
    if beside != int(beside):
        raise ValueError(f"number of neighbours on each side must be one whole number, but it is {neighbours}")
    if beside and spacing is None:
        raise ValueError("spacing must be given in m when pipes have neighbours")
    total = exp1(r**2 / (4 * a * t))
    for place in range(1, int(beside) + 1):
        total = total + 2 * exp1(((place * apart) ** 2 + r**2) / (4 * a * t))
    return _plain(q / (4 * math.pi * k) * total)


def share_radius(spacing, depth_spacing=None):
    """Give the radius of the round block of soil that is one pipe's own when pipes lie in rows.

    Parameters
    ----------
    spacing : float or array_like
        Distance between the middles of pipes side by side, greater than 0 and at most 100 [m].
    depth_spacing : float or array_like, optional
        Height of soil that belongs to one layer of pipes; left out, as much as the spacing, greater than 0 and
        at most 100 [m].

    Returns
    -------
    float or numpy.ndarray
        Radius of the circle with the same cross-section [m].

    Raises
    ------
    ValueError
        If a value is not greater than 0.

    References
    ----------
    CARSLAW, section 7.4 (hollow cylinder with no flow through its outside).

    Examples
    --------
    >>> round(share_radius(1.0), 2)
    0.56
    """
    across = number("pipe spacing", spacing, "m", 0, 100, above=0)
    down = (
        across if depth_spacing is None else number("height of soil for one layer", depth_spacing, "m", 0, 100, above=0)
    )
    broadcast(spacing=across, depth_spacing=down)
    return _plain(np.sqrt(across * down / math.pi))


def soil_rings(diameter, outer_radius, count=8):
    """Cut the soil round a pipe into rings, thin ones at the pipe where things change fast.

    Parameters
    ----------
    diameter : float
        Diameter of the pipe, between 0.01 and 2 [m].
    outer_radius : float
        Radius of the soil that belongs to the pipe, from :func:`share_radius` [m].
    count : int, optional
        Number of rings, 1 to 200 [–].

    Returns
    -------
    numpy.ndarray
        Radii of the boundaries, from the pipe's wall outward, one more than rings [m].

    Raises
    ------
    ValueError
        If a value is outside its range, or the soil's radius is not greater than the pipe's.

    Examples
    --------
    >>> [round(float(radius), 3) for radius in soil_rings(0.1, 0.4, 3)]
    [0.05, 0.1, 0.2, 0.4]
    """
    inner = single("pipe diameter", diameter, "m", 0.01, 2) / 2
    outer = single("radius of the pipe's soil", outer_radius, "m", above=inner)
    rings = single("number of rings", count, "", 1, 200)
    if rings != int(rings):
        raise ValueError(f"number of rings must be a whole number, but it is {rings:g}")
    return np.geomspace(inner, outer, int(rings) + 1)


def _radii(radii):
    bounds = np.atleast_1d(number("radii of the rings", radii, "m", above=0))
    if bounds.ndim != 1 or bounds.size < 2 or np.any(np.diff(bounds) <= 0):
        raise ValueError("radii of the rings must be a list of at least two that grows outward, from soil_rings")
    return bounds


def ring_capacities(radii, density, specific_heat):
    """Give the heat each ring of soil takes for one kelvin and one metre of pipe.

    Freezing of water in the soil is neglected.

    Parameters
    ----------
    radii : array_like
        Boundaries of the rings, from :func:`soil_rings` [m].
    density : float
        Density of the soil, 50 to 4000 [kg/m³].
    specific_heat : float
        Specific heat of the soil, 300 to 5000 [J/kg·K].

    Returns
    -------
    numpy.ndarray
        Heat capacity of each ring [J/m·K].

    Raises
    ------
    ValueError
        If a value is outside its range or the radii don't grow.

    Examples
    --------
    >>> bool(ring_capacities([1.0, 2.0], 2000.0, 1000.0)[0] > 18e6)
    True
    """
    bounds = _radii(radii)
    rho = single("density of the soil", density, "kg/m³", 50, 4000)
    c = single("specific heat of the soil", specific_heat, "J/kg·K", 300, 5000)
    return math.pi * np.diff(bounds**2) * rho * c


def ring_conductances(radii, conductivity):
    """Give how well heat passes from the pipe's wall to the first ring, and from ring to ring, for one metre of pipe.

    Parameters
    ----------
    radii : array_like
        Boundaries of the rings, from :func:`soil_rings` [m].
    conductivity : float
        Conductivity of the soil, 0.01 to 10 [W/m·K].

    Returns
    -------
    numpy.ndarray
        Conductances, wall to first ring first; as many as rings [W/m·K].

    Raises
    ------
    ValueError
        If a value is outside its range or the radii don't grow.

    Notes
    -----
    ``2πλ/ln(outer/inner)`` between the circles that stand for the rings: those with half the ring's soil within.

    References
    ----------
    INCROPERA, equation 3.28.

    Examples
    --------
    >>> len(ring_conductances([0.05, 0.1, 0.2], 1.0))
    2
    """
    bounds = _radii(radii)
    k = single("soil conductivity", conductivity, "W/m·K", 0.01, 10)
    middles = np.sqrt((bounds[:-1] ** 2 + bounds[1:] ** 2) / 2)
    return 2 * math.pi * k / np.diff(np.log(np.concatenate([bounds[:1], middles])))


def soil_course(inlet, running, step, capacity_flow, ntu, length, radii, capacities, conductances, start):
    """Follow the soil round a pipe step by step while a fan runs and stands.

    Heat along the pipe, from the neighbours and from above is neglected: the outside of the last ring is closed, which
    is where equal neighbours meet. All of the pipe's length shares one soil temperature.

    Parameters
    ----------
    inlet : array_like
        Temperature of the air drawn in, for each step, −60 to 90 [°C].
    running : array_like
        Whether the fan runs in each step [yes/no].
    step : float
        Length of a step, 1 s to 6 h [s].
    capacity_flow : float
        Mass flow times specific heat of the air in one pipe, greater than 0 [W/K].
    ntu : float
        Transfer units from air to the pipe's wall, from :func:`heatlib.pipes.transfer_units`, greater than 0 [–].
    length : float
        Length of the pipe, greater than 0, at most 500 [m].
    radii : array_like
        Boundaries of the rings, from :func:`soil_rings` [m].
    capacities : array_like
        Their heat capacities, from :func:`ring_capacities` [J/m·K].
    conductances : array_like
        Their conductances, from :func:`ring_conductances` [W/m·K].
    start : float
        Soil temperature at the start, −60 to 90 [°C].

    Returns
    -------
    SoilCourse
        Outlet, heat (positive into the soil), wall, mean and the rings at the end [°C, W].

    Raises
    ------
    ValueError
        If a value is outside its range or lists don't match.

    Notes
    -----
    Backward Euler, which cannot swing; halve the step to see its error. The way through the soil to the middle of the
    first ring is added to that from air to wall before the effectiveness is worked out.

    References
    ----------
    INCROPERA, sections 5.10 and 8.3.3.

    Examples
    --------
    >>> radii = soil_rings(0.1, 0.3)
    >>> soil = ring_capacities(radii, 1800.0, 1300.0), ring_conductances(radii, 1.0)
    >>> day = soil_course([30.0] * 8, [True] * 8, 3600.0, 12.0, 2.5, 10.0, radii, *soil, 12.0)
    >>> bool(day.outlet[-1] > day.outlet[0] > 12)
    True
    """
    air = np.atleast_1d(number("temperature of the air drawn in", inlet, "°C", *TEMPERATURE))
    fan = _yes_or_no(running, air.size)
    seconds = single("time step", step, "s", 1, 21600)
    stream = single("heat capacity flow of the air", capacity_flow, "W/K", above=0)
    units = single("number of transfer units", ntu, "", above=0)
    span = single("pipe length", length, "m", 0, 500, above=0)
    first = single("soil temperature at the start", start, "°C", *TEMPERATURE)
    store, ways = _rings_match(radii, capacities, conductances)
    way = 1 / (1 / (units * stream) + 1 / (ways[0] * span))
    joined = stream * -math.expm1(-way / stream) / span
    return _march(air, fan, seconds, joined, stream, span, store, ways, first)


def _yes_or_no(running, steps):
    listed = np.ravel(np.asarray(running, dtype=object))
    if listed.size != steps or not all(isinstance(runs, bool | np.bool_) for runs in listed):
        raise ValueError(
            f"running must be yes or no for each of the {steps} temperatures of the air drawn in, "
            f"but it is {shortened(running)}"
        )
    return listed


def _rings_match(radii, capacities, conductances):
    store = np.atleast_1d(number("heat capacities of the rings", capacities, "J/m·K", above=0))
    ways = np.atleast_1d(number("conductances of the rings", conductances, "W/m·K", above=0))
    if not store.shape == ways.shape == (_radii(radii).size - 1,):
        raise ValueError("capacities and conductances must be lists with one value for each ring")
    return store, ways


def _march(air, fan, seconds, joined, stream, span, store, ways, start):
    rest = _flows(ways[1:])
    stepper = {state: np.linalg.inv(_system(rest, store, seconds, joined * state)) for state in (0, 1)}
    rings = np.full(store.size, start)
    heat, wall, mean = (np.empty(air.size) for _ in range(3))
    for i, (warm, runs) in enumerate(zip(air, fan)):
        source = store / seconds * rings
        source[0] += joined * runs * warm
        rings = stepper[int(runs)] @ source
        heat[i] = joined * runs * (warm - rings[0]) * span
        wall[i] = rings[0] + heat[i] / span / ways[0]
        mean[i] = np.sum(store * rings) / np.sum(store)
    return SoilCourse(air - heat / stream, heat, wall, mean, rings)


def _flows(between):
    """Matrix of the heat that flows from each ring to its neighbours [W/m·K]."""
    matrix = np.zeros((between.size + 1,) * 2)
    for i, way in enumerate(between):
        matrix[i : i + 2, i : i + 2] += way * np.array([[1.0, -1.0], [-1.0, 1.0]])
    return matrix


def _system(rest, store, seconds, to_air):
    matrix = rest + np.diag(store / seconds)
    matrix[0, 0] += to_air
    return matrix

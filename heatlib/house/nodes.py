"""What holds heat, as nodes of the kernel: barrels, beds, floor, soil, ground round pipes; and who gets the sun."""

import math
from itertools import pairwise

import numpy as np

from heatlib.ground import edge_insulation, edge_swing, soil_diffusivity, soil_temperature
from heatlib.house.fabric import RSI, air_heat, rated_u_value, slab_resistance
from heatlib.house.greenhouse import through_pipes
from heatlib.house.kernel import Column, Water
from heatlib.pipes import effectiveness
from heatlib.sky import radiation_coefficient
from heatlib.storage import heat_capacity, store_mass, water_enthalpy
from heatlib.surfaces import barrel_length, barrel_surface, exposed_fraction, quick_convection, quick_terms
from heatlib.tables import entry
from heatlib.transmission import absorbed_shares

__all__ = ["deep_temperatures", "fan", "floor_column", "links", "pipe_column", "store_nodes", "sun_shares"]

FLOOR_FILM = 1 / 7.0
"""Resistance [m²K/W] between floor and air: midway between heat going down at night and up by day (ISO 6946)."""


SOIL_LAYERS = (0.06, 0.12, 0.24, 0.5, 1.0, 2.0)
"""Thicknesses [m] into which the soil under the floor is cut: thin where a day's wave is steep."""


WALL = 0.1
"""Thickness of the wall on the floor's edge [m]."""


RINGS = 4


DEEP_DISTANCE = 0.5
"""Distance [m] above and below pipes beside the floor at which the ground keeps its own temperature; common practice,
no source. Half or twice of it moves the demo house's coldest air by less than 0.5 K, be there twenty pipes."""


WALL_SHARE = 0.3
"""Part of the sun that no store catches which strikes dark walls and roof, the rest the floor; common practice, no
source. From 0.1 to 0.5 the demo house's coldest air moves by less than 0.5 K and its midday by less than 1 K."""


WALL_ABSORPTANCE = 0.4
"""Boards and light paint inside, between the table's new wood and white paint; what they take up warms the air. From
0.25 to 0.6 the demo house's coldest air moves by less than 0.5 K and its midday by less than 2 K."""


def sun_shares(house):
    """Tell who takes up the sun that comes in, as a share of it, once what is thrown back has found its end.

    A floor or bed takes it up at its surface, from where part goes to the air, see :func:`floor_column`.

    Parameters
    ----------
    house : Greenhouse
        The house [SI inside].

    Returns
    -------
    dict
        By store's name, ``"floor"``, ``"air"`` (by way of the inner walls) and ``"reflected"``, adding up to 1 [–].

    Notes
    -----
    Of what an inner wall takes up, the share U·R_si goes out through the wall; it counts as reflected.
    """
    stores = [store for store in house.stores if store.count]
    rest = max(0.0, 1.0 - sum(store.sun_share for store in stores))
    panes = [surface for surface in house.surfaces if surface.glazing]
    pane_area = sum(surface.area for surface in panes)
    boards = [surface for surface in house.surfaces if not surface.glazing]
    walls = sum(surface.area for surface in boards)
    struck = [store.sun_share for store in stores]
    absorptances = [store.absorptance for store in stores]
    areas = [float(_skin_of(store)[0]) for store in stores]
    on_walls = WALL_SHARE * rest if walls else 0.0
    struck += [rest - on_walls, on_walls]
    absorptances += [house.floor.absorptance, WALL_ABSORPTANCE]
    areas += [house.floor.area, max(walls, 1e-6)]
    out = (
        sum(s.area * entry("glazings", s.glazing, "solar_transmittance").value for s in panes) / pane_area
        if panes
        else 0.0
    )
    kept, lost = absorbed_shares(struck, absorptances, areas, pane_area, out)
    through = kept[-1] * sum(s.area * min(1.0, rated_u_value(s) * RSI) for s in boards) / max(walls, 1e-6)
    names = [*(store.name for store in stores), "floor"]
    rest = {"air": float(kept[-1] - through), "reflected": float(lost + through)}
    return {name: float(share) for name, share in zip(names, kept)} | rest


def store_nodes(house, shares):
    """Turn stores and pipes into the columns and waters of the kernel.

    Parameters
    ----------
    house : Greenhouse
        The house [SI inside].
    shares : dict
        Sun that each takes up, from :func:`sun_shares` [–].

    Returns
    -------
    tuple
        Columns (beds, pipe ground) and waters (barrels) [W/K, J/K].
    """
    used = [store for store in house.stores if store.count]
    waters = tuple(_water(store, shares[store.name]) for store in used if store.material == "water")
    columns = tuple(_bed(store, shares[store.name]) for store in used if store.material != "water")
    return columns + ((pipe_column(house),) if house.pipes and house.pipes.count else ()), waters


def _skin_of(store):
    """Area that meets the air [m²], radiation coefficient [W/m²K] and the two terms of natural convection."""
    flat = store.kind == "bed"
    area = store.count * (store.surface or barrel_surface(store.diameter, store.height, store.pose))
    view = 1.0 if store.gap is None or flat else exposed_fraction(store.diameter, store.gap, 2)
    length = barrel_length(store.diameter, store.height, store.pose)
    shape = "lying" if store.pose == "lying" else "vertical"
    radiation = float(radiation_coefficient(12.0, 8.0, store.emissivity))
    return area, view * radiation, quick_terms(length, shape)


def _water(store, sun):
    mass = float(store_mass("water", store.count * store.volume))
    area, radiation, convection = _skin_of(store)
    return Water(
        name=store.name, area=float(area), radiation=float(radiation), convection=tuple(map(float, convection)),
        liquid=mass * float(water_enthalpy(20.0)) / 20,
        ice=mass * float(water_enthalpy(-1e-9) - water_enthalpy(-20.0)) / 20,
        fusion=-mass * float(water_enthalpy(-1e-9)), sun_share=sun,
    )  # fmt: skip


def _bed(store, sun):
    """A bed or any dry store as equal layers under its surface; its underside is taken as insulated."""
    area, radiation, convection = _skin_of(store)
    volume = store.count * store.volume
    n = int(store.layers)
    thick = volume / area / n
    k = entry("materials", store.material, "conductivity").value
    capacity = volume * float(heat_capacity(store.material)) / n
    film, half = 1 / (radiation + quick_convection(4.0, *convection)), thick / 2 / k
    return Column(
        name=store.name, to_air=float(area / (film + half)), capacity=(capacity,) * n,
        inner=(float(area * k / thick),) * (n - 1), **_split(sun, film, half),
    )  # fmt: skip


def _split(sun, film, half):
    """Part the sun a surface takes up between the air and the middle of the first layer, by their resistances.

    The surface itself holds no heat, so what it takes up leaves it both ways at once: the less the more stands in the
    way.
    """
    inward = float(film / (film + half))
    return {"sun_share": sun * inward, "sun_to_air": sun * (1.0 - inward)}


def floor_column(house, sun_share):
    """Turn the floor, its build-up and the soil under it into a column.

    The sun is taken up at the surface, which passes it to the air and to the first layer.

    Parameters
    ----------
    house : Greenhouse
        The house [SI inside].
    sun_share : float
        Share of the sun it takes up [–].

    Returns
    -------
    Column
        From the surface down [W/K, J/K].
    """
    floor = house.floor
    layers = _floor_layers(floor)
    conductivity = [float(entry("materials", m, "conductivity").value) for m, _ in layers]
    half = [t / 2 / k for (_, t), k in zip(layers, conductivity)]
    film = FLOOR_FILM
    return Column(
        name="floor", to_air=floor.area / (film + half[0]), to_deep=floor.area / half[-1] - _bypass(house),
        capacity=tuple(float(c) for c in _left_by_pipes(house, layers)),
        inner=tuple(floor.area / (a + b) for a, b in pairwise(half)),
        to_outside=_edge(floor), **_split(sun_share, film, half[0]),
    )  # fmt: skip


def _floor_layers(floor):
    """Material and thickness of build-up and soil, from the surface down."""
    return [(layer.material, layer.thickness) for layer in floor.layers] + _soil_layers(floor)


def _left_by_pipes(house, layers):
    """Heat capacity of each layer of the floor [J/K], without the soil that belongs to the rings round pipes."""
    capacity = [house.floor.area * t * heat_capacity(m) for m, t in layers]
    if not house.pipes or not house.pipes.count:
        return capacity
    ring = _ring_size(house.pipes)
    under, plan = _beneath(house)
    ground = heat_capacity(house.floor.soil) * math.pi * ring**2 * house.pipes.count * house.pipes.length
    top, low, high = 0.0, house.pipes.depth - ring, house.pipes.depth + ring
    for i, (_, thickness) in enumerate(layers):
        inside = max(0.0, min(high, top + thickness) - max(low, top)) / (2 * ring)
        capacity[i] -= min(0.9 * capacity[i], inside * ground * under / plan)
        top += thickness
    return capacity


def _ring_size(pipes):
    """Outer radius of the soil that belongs to a pipe [m]: half way to its neighbour."""
    return max(pipes.spacing / 2, pipes.diameter / 2 + 0.06)


def _beneath(house):
    """Ground over which the pipes spread: the part of it that lies under the floor, and the whole [m²]."""
    pipes = house.pipes
    plan = pipes.count * pipes.length * pipes.spacing
    return min(plan, house.floor.area), plan


def _reach(house):
    """Part of the pipes under the floor that meets its soil column, 0–1: all of it where they lie within it.

    Below the column's end the ground keeps its own temperature. Over the distance at which it does so round pipes they
    pass from the one to the other, so that a centimetre of depth never matters much.
    """
    end = sum(thickness for _, thickness in _floor_layers(house.floor))
    return min(1.0, max(0.0, 1.0 - (house.pipes.depth - end) / DEEP_DISTANCE))


def _meetings(house):
    """Conductances of the pipes' outer ring to the floor's soil, from under the floor and from beside it to the deep.

    Above and below alike: over the width of a ring within the floor's soil, over half a metre elsewhere.
    """
    k = float(entry("materials", house.floor.soil, "conductivity").value)
    (under, plan), reach = _beneath(house), _reach(house)
    below = 2 * k * under * (1.0 - reach) / DEEP_DISTANCE
    return 2 * k * under * reach / _ring_size(house.pipes), below, 2 * k * (plan - under) / DEEP_DISTANCE


def _bypass(house):
    """Conductance from the floor's soil to the deep ground by way of pipes just below its end [W/K].

    The floor's own way there is less by that much: pipes that stand still let no more heat down.
    """
    if not house.pipes or not house.pipes.count:
        return 0.0
    to_floor, below, _ = _meetings(house)
    return to_floor * below / (to_floor + below)  # one of them is always there


def links(house):
    """Join the ground round the pipes to the soil under the floor at their own depth, from where its heat spreads.

    Pipes that stand still thus change nothing. Those beside the floor meet the deep ground, and so do those below its
    soil: the more of them, the deeper they lie, all from half a metre below its end.

    Parameters
    ----------
    house : Greenhouse
        The house [SI inside].

    Returns
    -------
    tuple
        ``(column, layer, other column, its layer, conductance)`` for the kernel [W/K].
    """
    pipes = house.pipes
    if not pipes or not pipes.count or not _reach(house):
        return ()
    bottoms = np.cumsum([thickness for _, thickness in _floor_layers(house.floor)])
    layer = min(int(np.searchsorted(bottoms, pipes.depth, "right")), len(bottoms) - 1)
    return (("pipes", RINGS - 1, "floor", layer, _meetings(house)[0]),)


def _edge(floor):
    """Conductance between floor and outside air along the edge [W/K], less what edge insulation saves.

    The middle of the floor is left to the soil column.
    """
    soil = float(entry("materials", floor.soil, "conductivity").value)
    above = sum(slab_resistance(layer.material, layer.thickness) for layer in floor.layers)
    ground = {"conductivity": soil, "wall_thickness": WALL, "floor_resistance": above}
    per_metre = float(edge_swing(diffusivity=soil_diffusivity(floor.soil), **ground))
    if floor.edge_r_value and floor.edge_depth:
        # a strip that is hardly there takes the place of no more soil than it is worth
        thick = min(0.05, soil * floor.edge_r_value)
        strip = (floor.edge_position, floor.edge_depth, floor.edge_r_value, thick)
        per_metre += float(edge_insulation(*strip, **ground))
    return floor.perimeter * max(0.0, per_metre)


def _soil_layers(floor):
    left, layers = floor.depth, []
    for thickness in SOIL_LAYERS:
        if left <= thickness * 1.2:
            break
        layers.append((floor.soil, thickness))
        left -= thickness
    return [*layers, (floor.soil, left)]


def pipe_column(house):
    """Turn the ground round the buried pipes into a column of rings, with the running air at its inner end.

    What lies under the floor meets its soil, see :func:`links`; the rest meets ground that keeps its own temperature.

    Parameters
    ----------
    house : Greenhouse
        The house [SI inside].

    Returns
    -------
    Column
        From the pipes outward [W/K, J/K].
    """
    pipes, soil = house.pipes, house.floor.soil
    k, heat = float(entry("materials", soil, "conductivity").value), float(heat_capacity(soil))
    length, inner = pipes.count * pipes.length, pipes.diameter / 2
    outer = _ring_size(pipes)
    edges = [inner * (outer / inner) ** (i / RINGS) for i in range(RINGS + 1)]
    middles = [math.sqrt((a * a + b * b) / 2) for a, b in pairwise(edges)]
    ring = [2 * math.pi * k * length / math.log(b / a) for a, b in pairwise(middles)]
    # the soil inside the middle of the first ring stands between the pipe's wall and that ring's temperature
    first = math.log(middles[0] / inner) / (2 * math.pi * k)
    effect = effectiveness(through_pipes(pipes, house.place.elevation, first).ntu)
    flow = pipes.flow * air_heat(house.place.elevation)
    return Column(
        name="pipes", to_air=float(flow * effect), inner=tuple(map(float, ring)), fan=True,
        capacity=tuple(float(math.pi * (b * b - a * a) * length * heat) for a, b in pairwise(edges)),
        to_deep=float(sum(_meetings(house)[1:])),
    )  # fmt: skip


def deep_temperatures(house, day, columns):
    """Give the deep boundary of each column at each step.

    Parameters
    ----------
    house : Greenhouse
        The house [SI inside].
    day : numpy.ndarray
        Day of the year [d].
    columns : tuple of Column
        Columns besides the floor [–].

    Returns
    -------
    dict
        Arrays by column name [°C].
    """
    depths = {"floor": house.floor.depth + sum(layer.thickness for layer in house.floor.layers)}
    if house.pipes:
        depths["pipes"] = house.pipes.depth
    none, place, diffusivity = np.zeros(len(day)), house.place, float(soil_diffusivity(house.floor.soil))
    deep = {
        name: soil_temperature(depth, day, place.ground_mean, place.ground_swing, place.coldest_day, diffusivity)
        for name, depth in depths.items()
    }
    return {column.name: none for column in columns} | deep


def fan(house):
    """Give the pipe fan as the kernel wants it; all its power warms the air.

    Parameters
    ----------
    house : Greenhouse
        The house [SI inside].

    Returns
    -------
    tuple or None
        On above, on below, hysteresis, power [°C, °C, K, W].
    """
    pipes = house.pipes
    if pipes is None or not pipes.count:
        return None
    below = -1e9 if pipes.on_below is None else pipes.on_below
    power = through_pipes(pipes, house.place.elevation).fan_power if pipes.fan_power is None else pipes.fan_power
    return pipes.on_above, below, pipes.hysteresis, float(power)

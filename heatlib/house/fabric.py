"""Turn a described house into conductances: skin, leaks, floor, stores, pipes; every physical relation is called from
the physics floor, this module only says which numbers of the house go where.

The outside film of each piece follows the wind, so a piece keeps its resistance *without* that film.
"""

import math
from dataclasses import dataclass
from itertools import pairwise

import numpy as np
from scipy import constants

from heatlib.conduction import (
    bridged_u_value,
    flow_direction,
    layer_resistance,
    outside_film,
    series,
    surface_resistance,
    u_value,
)  # fmt: skip
from heatlib.curtain import window_with_curtain
from heatlib.glazing import glazing_u_value
from heatlib.ground import damping_depth, edge_insulation, soil_diffusivity, soil_temperature
from heatlib.house.greenhouse import Curtain
from heatlib.house.kernel import Column, Humidity, Water
from heatlib.infiltration import air_flow_heat_loss, door_flow, leakage_flow, lobby_flow
from heatlib.moist_air import humidity_ratio, pressure_at, saturation_humidity_ratio
from heatlib.moisture import condensation_rate, evaporation_heat, evaporation_rate
from heatlib.pipes import effectiveness, pipe_flow
from heatlib.sky import cloudy_sky_temperature, kelvin, radiation_coefficient, sky_temperature_berdahl_martin, sky_view
from heatlib.storage import heat_capacity, store_mass, water_enthalpy
from heatlib.surfaces import barrel_length, barrel_surface, exposed_fraction, quick_convection, quick_terms
from heatlib.tables import entry
from heatlib.transmission import absorbed_shares, glazing_kind, solar_property, sun_through

__all__ = [
    "Piece",
    "air_conductance",
    "curtain_drawn",
    "door_conductance",
    "floor_column",
    "pieces",
    "pipe_column",
    "store_nodes",
]

STEFAN_BOLTZMANN = constants.Stefan_Boltzmann
RATED_FILM = 25.0
"""Outside film [W/m²K] at which the tables rate a pane: that of ISO 6946."""
RSI = 0.13
"""Resistance of the inside film [m²K/W] of ISO 6946 on an upright pane, with which its inside temperature is told."""
REFERENCE = 10.0
"""Air temperature [°C] at which the density of leaking air is taken: leaks then are a fixed conductance."""


@dataclass(frozen=True)
class Piece:
    """One piece of the skin as the balance sees it: ``resistance`` without the outside film, ``straight`` through rays.

    ``sky_view`` is what it sees of the sky; ``emissivity`` that of its outside, ``infrared`` what it lets through.
    """

    name: str
    glazed: bool
    area: float
    resistance: float
    straight: float
    curtain: Curtain | None
    sky_view: float
    emissivity: float
    infrared: float
    absorptance: float

    def u_value(self, film, drawn=False):
        """U-value under an outside film [W/m²K], with the curtain drawn or not."""
        bare = 1.0 / (self.resistance + 1.0 / film) + self.straight
        if not drawn or self.curtain is None:
            return bare
        return window_with_curtain(bare, self.curtain.r_value, open_share=self.curtain.edge_leak)

    def sky_factor(self, film, drawn=False):
        """Loss per W/m² that a black outside would lose to the sky [m²].

        What its face absorbs, and what goes through.
        """
        bare = self.u_value(film)
        behind = self.u_value(film, drawn) / bare
        outer = (bare - self.straight) / film
        return self.area * self.sky_view * (self.emissivity * outer + self.infrared) * behind


def pieces(house):
    """List the pieces of the skin with their resistances.

    Parameters
    ----------
    house : Greenhouse
        The house [SI inside].

    Returns
    -------
    tuple of Piece
        In the order of the house's surfaces [m²K/W, m²].
    """
    return tuple(_piece(surface, house.curtain) for surface in house.surfaces)


def _piece(surface, curtain):
    emissivity, infrared = _rays(surface.glazing)
    straight = infrared * float(radiation_coefficient(20.0, 0.0, 1.0))
    return Piece(
        name=surface.name, glazed=surface.glazing is not None, area=surface.area, straight=straight,
        resistance=max(1e-3, 1 / (rated_u_value(surface) - straight) - 1 / RATED_FILM),
        curtain=curtain if surface.curtain else None, sky_view=float(sky_view(surface.tilt)), emissivity=emissivity,
        infrared=infrared, absorptance=0.0 if surface.glazing else surface.absorptance,
    )  # fmt: skip


def rated_u_value(surface):
    """Give a surface's U-value in the standard's ordinary wind, studs included and frames not.

    Parameters
    ----------
    surface : Surface
        The surface [SI inside].

    Returns
    -------
    float
        U-value [W/m²K].
    """
    direction = str(flow_direction(surface.tilt))
    films = float(surface_resistance(direction)), 1 / RATED_FILM
    if surface.u_value is not None:
        return surface.u_value
    if surface.glazing is not None:
        return float(glazing_u_value(surface.glazing, direction))
    if surface.r_value is not None:
        return float(u_value(series(films[0], surface.r_value, films[1])))
    resistances = [_resistance(layer.material, layer.thickness) for layer in surface.layers]
    if not surface.framing:
        return float(u_value(series(films[0], *resistances, films[1])))
    studs = [_resistance(surface.framing_material, layer.thickness) for layer in surface.layers]
    # boards lie across the studs; only what insulates is interrupted by them
    rows = [[r, min(r, stud)] for r, stud in zip(resistances, studs)]
    return float(bridged_u_value([1 - surface.framing, surface.framing], rows, *films))


def _resistance(material, thickness):
    return float(layer_resistance(thickness, entry("materials", material, "conductivity").value))


def _rays(glazing):
    """Emissivity and infrared transmittance of a piece's outside."""
    if glazing is None:
        return 0.9, 0.0
    return tuple(entry("glazings", glazing, name).value for name in ("emissivity", "infrared_transmittance"))


@dataclass(frozen=True)
class Gains:
    """Sun at the weather's own times: through each pane [W], without shade, and on each piece of dark skin [W/m²]."""

    through: dict
    on_walls: dict


def gains(house, weather):
    """Work out the sun through each pane and on each dark piece of skin, at the weather's own times.

    Parameters
    ----------
    house : Greenhouse
        The house [SI inside].
    weather : Weather
        The weather [SI inside].

    Returns
    -------
    Gains
        By name of surface [W, W/m²].
    """
    times = weather.start + (np.asarray(weather.time) * 1000).astype("timedelta64[ms]")
    if not np.any(weather.global_horizontal):
        return Gains({}, {})
    from heatlib.sun import Sky, extraterrestrial, pane_irradiance, sun_position

    place = house.place
    position = sun_position(times, weather.latitude, weather.longitude, weather.utc_offset, place.elevation)
    sky = Sky(weather.beam_normal, weather.diffuse_horizontal, weather.global_horizontal, extraterrestrial(times))
    ground = np.where(weather.snow, *(solar_property(name, "solar_reflectance") for name in (place.snow, place.ground)))
    through, on_walls = {}, {}
    for surface in house.surfaces:
        if surface.glazing is None and not surface.absorptance:
            continue
        pane = pane_irradiance(position, sky, surface.facing, surface.tilt, ground)
        if surface.glazing is None:
            on_walls[surface.name] = pane.total
            continue
        straight_on = entry("glazings", surface.glazing, "solar_transmittance").value
        kind = glazing_kind(surface.glazing)
        inside = sun_through(pane, kind, straight_on, surface.tilt, surface.dirt, surface.frame)
        through[surface.name] = surface.area * inside
    return Gains(through, on_walls)


@dataclass(frozen=True)
class Skin:
    """The skin step by step: ``loss`` [W/K] and its ``conductances`` by path; ``sky``, ``sun``, ``walls_sun`` [W]."""

    loss: np.ndarray
    conductances: dict
    sky: np.ndarray
    sun: np.ndarray
    walls_sun: np.ndarray
    film: np.ndarray
    drawn: np.ndarray


def skin(house, sample, gains):
    """Work out the skin at each step.

    Parameters
    ----------
    house : Greenhouse
        The house [SI inside].
    sample : Sampler
        Weather at the middle of each step [SI inside].
    gains : Gains
        Sun through panes and on walls, at the weather's times [W, W/m²].

    Returns
    -------
    Skin
        Arrays of one value a step [W/K, W].
    """
    film = sample.film
    drawn = curtain_drawn(house.curtain, sample)
    parts = pieces(house)
    ua = {True: np.zeros_like(film), False: np.zeros_like(film)}
    sky, walls_sun = np.zeros_like(film), np.zeros_like(film)
    for piece in parts:
        u = np.where(drawn, piece.u_value(film, True), piece.u_value(film))
        ua[piece.glazed] += piece.area * u
        sky += np.where(drawn, piece.sky_factor(film, True), piece.sky_factor(film)) * sample.sky_exchange
        if piece.name in gains.on_walls:
            walls_sun += sample.at(gains.on_walls[piece.name]) * piece.area * piece.absorptance * u / film
    sun = sum((sample.at(flow) for flow in gains.through.values()), np.zeros_like(film)) * sun_kept(
        house.shade, sample.day
    )
    conductances = {
        "glazing": ua[True],
        "walls": ua[False],
        "leaks": air_conductance(house, sample),
        "door": door_conductance(house, sample),
    }
    return Skin(sum(conductances.values()), conductances, sky, sun, walls_sun, film, drawn)


def curtain_drawn(curtain, sample):
    """Tell at which steps the curtain is drawn: by the clock (local standard time) or below a sun limit.

    Parameters
    ----------
    curtain : Curtain or None
        The curtain [SI inside].
    sample : Sampler
        Weather at the steps [SI inside].

    Returns
    -------
    numpy.ndarray
        True where drawn [yes/no].
    """
    if curtain is None:
        return np.zeros(len(sample.hour), bool)
    if curtain.rule == "sun":
        return sample.sun < curtain.sun_limit
    if curtain.closes > curtain.opens:
        return (sample.hour >= curtain.closes) | (sample.hour < curtain.opens)
    return (sample.hour >= curtain.closes) & (sample.hour < curtain.opens)


def sun_kept(shade, day):
    """Give what a shade leaves of the sun on each day of the year; it may hang over the turn of the year.

    Parameters
    ----------
    shade : Shade or None
        The shade [–].
    day : numpy.ndarray
        Day of the year [d].

    Returns
    -------
    numpy.ndarray
        Share that is left, 0–1 [–].
    """
    if shade is None:
        return np.ones_like(day)
    first, last = shade.first_day, shade.last_day + 1
    hung = (day >= first) & (day < last) if first < last else (day >= first) | (day < last)
    return np.where(hung, 1 - shade.factor, 1.0)


def _air_heat(elevation):
    """Heat that a cubic metre of air takes for each degree [J/m³K]."""
    return float(air_flow_heat_loss(1.0, REFERENCE + 0.5, REFERENCE - 0.5, elevation))


def air_capacity(house):
    """Give the heat that inside air, with plants, benches and inner skins, takes for each degree.

    Parameters
    ----------
    house : Greenhouse
        The house [SI inside].

    Returns
    -------
    float
        Heat capacity [J/K].
    """
    return house.volume * _air_heat(house.place.elevation) + house.air.contents * house.floor.area


def air_conductance(house, sample):
    """Give the leaks as a conductance at each step.

    Where they depend on the wind, the stated rate holds at 4 m/s and 10 K difference, and the cracks follow wind and
    lift from there.

    Parameters
    ----------
    house : Greenhouse
        The house [SI inside].
    sample : Sampler
        Weather at the steps [SI inside].

    Returns
    -------
    numpy.ndarray
        Conductance [W/K].
    """
    factor = np.ones_like(sample.temperature)
    if house.air.wind_dependent:
        stated = leakage_flow(0.01, REFERENCE, REFERENCE - 10.0, 4.0)
        factor = leakage_flow(0.01, REFERENCE, sample.temperature, sample.wind) / stated
    return factor * house.volume * house.air.air_change_rate / 3600 * _air_heat(house.place.elevation)


def store_nodes(house, shares):
    """Turn stores and pipes into the columns and waters of the kernel.

    Parameters
    ----------
    house : Greenhouse
        The house [SI inside].
    shares : dict
        Sun that each keeps, from :func:`sun_shares` [–].

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
    film = radiation + quick_convection(4.0, *convection)
    return Column(
        name=store.name, to_air=float(area / (1 / film + thick / 2 / k)), capacity=(capacity,) * n,
        inner=(float(area * k / thick),) * (n - 1), sun_share=sun,
    )  # fmt: skip


SOIL_LAYERS = (0.06, 0.12, 0.24, 0.5, 1.0, 2.0)
"""Thicknesses [m] into which the soil under the floor is cut: thin where a day's wave is steep."""


def floor_column(house, sun_share):
    """Turn the floor, its build-up and the soil under it into a column.

    Parameters
    ----------
    house : Greenhouse
        The house [SI inside].
    sun_share : float
        Share of the sun it keeps [–].

    Returns
    -------
    Column
        From the surface down [W/K, J/K].
    """
    floor = house.floor
    layers = [(layer.material, layer.thickness) for layer in floor.layers] + _soil_layers(floor)
    conductivity = [float(entry("materials", m, "conductivity").value) for m, _ in layers]
    half = [t / 2 / k for (_, t), k in zip(layers, conductivity)]
    film = FLOOR_FILM
    return Column(
        name="floor", to_air=floor.area / (film + half[0]), to_deep=floor.area / half[-1],
        capacity=tuple(float(floor.area * t * heat_capacity(m)) for m, t in layers),
        inner=tuple(floor.area / (a + b) for a, b in pairwise(half)),
        to_outside=_edge(floor), sun_share=sun_share,
    )  # fmt: skip


FLOOR_FILM = 1 / 7.0
"""Resistance [m²K/W] between floor and air: midway between heat going down at night and up by day (ISO 6946)."""


def _edge(floor):
    """Conductance between floor and outside air along the edge [W/K].

    The share of a swing outside that reaches the floor by ISO 13370 (from memory): 0.37·P·λ·ln(δ/d + 1) with the yearly
    damping depth δ, less what edge insulation saves; the middle of the floor is left to the soil column.
    """
    soil = float(entry("materials", floor.soil, "conductivity").value)
    wall, above = 0.1, sum(_resistance(layer.material, layer.thickness) for layer in floor.layers)
    depth = float(damping_depth(soil_diffusivity(floor.soil)))
    per_metre = 0.37 * soil * math.log(depth / (wall + soil * (0.21 + above)) + 1)
    if floor.edge_r_value and floor.edge_depth:
        ground = {"conductivity": soil, "wall_thickness": wall, "floor_resistance": above}
        per_metre += float(edge_insulation(floor.edge_position, floor.edge_depth, floor.edge_r_value, **ground))
    return floor.perimeter * max(0.0, per_metre)


def _soil_layers(floor):
    left, layers = floor.depth, []
    for thickness in SOIL_LAYERS:
        if left <= thickness * 1.2:
            break
        layers.append((floor.soil, thickness))
        left -= thickness
    return [*layers, (floor.soil, left)] if left > 1e-6 else layers


def pipe_column(house):
    """Turn the ground round the buried pipes into a column of rings, with the running air at its inner end.

    Neglected: heat that rises from the pipes to the floor above, and condensation in the pipes.

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
    outer = max(pipes.spacing / 2, inner + 0.06)
    edges = [inner * (outer / inner) ** (i / RINGS) for i in range(RINGS + 1)]
    middles = [math.sqrt((a * a + b * b) / 2) for a, b in pairwise(edges)]
    ring = [2 * math.pi * k * length / math.log(b / a) for a, b in pairwise(middles)]
    # the soil inside the middle of the first ring stands between the pipe's wall and that ring's temperature
    first = math.log(middles[0] / inner) / (2 * math.pi * k)
    effect = effectiveness(_through_pipes(house, first).ntu)
    flow = pipes.flow * _air_heat(house.place.elevation)
    return Column(
        name="pipes", to_air=float(flow * effect), inner=tuple(map(float, ring)), fan=True,
        capacity=tuple(float(math.pi * (b * b - a * a) * length * heat) for a, b in pairwise(edges)),
        to_deep=float(2 * k * length * pipes.spacing / DEEP_DISTANCE),
    )  # fmt: skip


def _through_pipes(house, soil_resistance=0.0):
    """The pipes' own numbers at a typical warm afternoon; the number of transfer units hardly depends on it."""
    p = house.pipes
    return pipe_flow(
        25.0, 15.0, p.flow, p.length, p.diameter, count=p.count, corrugated=p.corrugated,
        pressure=float(pressure_at(house.place.elevation)), soil_resistance=soil_resistance,
    )  # fmt: skip


RINGS = 4
DEEP_DISTANCE = 0.5
"""Distance [m] above and below the bed of pipes at which the ground keeps its own temperature."""


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
        Lists by column name [°C].
    """
    depths = {"floor": house.floor.depth + sum(layer.thickness for layer in house.floor.layers)}
    if house.pipes:
        depths["pipes"] = house.pipes.depth
    none, place, diffusivity = [0.0] * len(day), house.place, float(soil_diffusivity(house.floor.soil))
    deep = {
        name: soil_temperature(
            depth, day, place.ground_mean, place.ground_swing, place.coldest_day, diffusivity
        ).tolist()
        for name, depth in depths.items()
    }
    return {column.name: none for column in columns} | deep


WALL_SHARE = 0.3
"""Part of the sun that no store catches which strikes dark walls and roof; the rest strikes the floor (no source)."""
WALL_ABSORPTANCE = 0.4
"""Boards and light paint inside, near the table's new wood and white paint; what they keep warms the air."""


def sun_shares(house):
    """Tell who keeps the sun that comes in, as a share of it, once what is thrown back has found its end.

    Parameters
    ----------
    house : Greenhouse
        The house [SI inside].

    Returns
    -------
    dict
        By store's name, ``"floor"``, ``"air"`` (through the inner walls) and ``"reflected"``, adding up to 1 [–].
    """
    stores = [store for store in house.stores if store.count]
    rest = max(0.0, 1.0 - sum(store.sun_share for store in stores))
    panes = [surface for surface in house.surfaces if surface.glazing]
    pane_area = sum(surface.area for surface in panes)
    walls = sum(surface.area for surface in house.surfaces) - pane_area
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
    names = [*(store.name for store in stores), "floor", "air"]
    return {name: float(share) for name, share in zip(names, kept)} | {"reflected": float(lost)}


def vent(house):
    """Give the vents as the kernel wants them.

    Parameters
    ----------
    house : Greenhouse
        The house [SI inside].

    Returns
    -------
    tuple or None
        Conductance fully open, opening temperature, band [W/K, °C, K].
    """
    vents = house.vents
    if vents is None or vents.air_change_rate == 0:
        return None
    full = house.volume * vents.air_change_rate / 3600 * _air_heat(house.place.elevation)
    return float(full), vents.opens_at, vents.band


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
    above = 1e9 if pipes.on_above is None else pipes.on_above
    below = -1e9 if pipes.on_below is None else pipes.on_below
    power = _through_pipes(house).fan_power if pipes.fan_power is None else pipes.fan_power
    return above, below, pipes.hysteresis, float(power)


def door_conductance(house, sample):
    """Give the door's loss as a conductance at each step.

    Parameters
    ----------
    house : Greenhouse
        The house [SI inside].
    sample : Sampler
        Weather at the steps [SI inside].

    Returns
    -------
    numpy.ndarray
        Conductance [W/K].
    """
    air = house.air
    if not air.door_openings:
        return np.zeros_like(sample.temperature)
    door = (air.door_width, air.door_height, REFERENCE, sample.temperature, air.door_seconds, air.door_openings)
    flow = lobby_flow(*door, air.lobby_volume) if air.lobby else door_flow(*door)
    return flow * _air_heat(house.place.elevation)


def black_sky_loss(weather):
    """Give what a black level surface at air temperature loses to the sky, at the weather's times.

    Parameters
    ----------
    weather : Weather
        The weather [SI inside].

    Returns
    -------
    numpy.ndarray
        Net loss [W/m²].
    """
    hour = ((weather.start - weather.start.astype("datetime64[D]")) / np.timedelta64(1, "s") + weather.time) / 3600 % 24
    air, dew = np.asarray(weather.temperature, float), np.minimum(weather.dew_point, weather.temperature)
    sky = cloudy_sky_temperature(air, sky_temperature_berdahl_martin(air, dew, hour), weather.cloud)
    return STEFAN_BOLTZMANN * (kelvin(air) ** 4 - kelvin(sky) ** 4)


TABLE_START, TABLE_END = -90.0, 130.0
"""Range [°C] of the moisture tables; beyond −40 to 60 °C, where moist air has no answer, they go on level."""
NIGHT_LIGHT = 20.0
"""Sun outside [W/m²] below which leaves keep their pores shut."""
PANE_CONVECTION = 3.0


def humidity(house):
    """Prepare the moisture of the house, or None where nothing gives off vapour.

    Plants and soil evaporate nothing below 0 °C; frozen leaves and soil are dry.

    Parameters
    ----------
    house : Greenhouse
        The house [SI inside].

    Returns
    -------
    Humidity or None
        Tables and exchanges for the kernel [kg/s, J/kg].
    """
    plants = house.plants
    if not plants.area or not plants.wetness:
        return None
    pressure = float(pressure_at(house.place.elevation))
    nodes = np.arange(TABLE_START, TABLE_END + 0.5, 0.5)
    ratio = np.asarray(saturation_humidity_ratio(np.clip(nodes, -40, 60), pressure))
    live = np.clip(nodes, 0, 60)
    half = np.asarray(humidity_ratio(live, 0.5, pressure))
    full = np.asarray(saturation_humidity_ratio(live, pressure))
    drying, shining = [], []
    for resistance in (plants.resistance_night, plants.resistance_day):
        scale = plants.area * plants.wetness * (nodes >= 0)
        dry = evaporation_rate(live, 0.5, 0.0, surface_resistance=resistance, pressure=pressure)
        sunny = evaporation_rate(live, 1.0, 1.0, surface_resistance=resistance, pressure=pressure)
        drying.append(tuple((scale * dry / (full - half)).tolist()))
        shining.append(tuple((scale * sunny).tolist()))
    return Humidity(
        air_mass=house.volume * _air_heat(house.place.elevation) / SPECIFIC_HEAT,
        latent=float(evaporation_heat(10.0)), panes=wet_panes(house, pressure), table=tuple(ratio.tolist()),
        table_start=TABLE_START, drying=tuple(drying), shining=tuple(shining),
    )  # fmt: skip


SPECIFIC_HEAT = 1006.0


def wet_panes(house, pressure):
    """Exchange [kg/s per kg/kg] and U·R_si of each pane, open and with the curtain drawn."""
    rate = condensation_rate(5.0, 15.0, 0.9, PANE_CONVECTION, pressure)
    per_area = float(rate / (humidity_ratio(15.0, 0.9, pressure) - saturation_humidity_ratio(5.0, pressure)))
    panes = [piece for piece in pieces(house) if piece.glazed]
    result = []
    for drawn in (False, True):
        exchange = {}
        for p in panes:
            share = round(min(0.95, float(p.u_value(RATED_FILM, drawn)) * RSI), 6)
            exchange[share] = exchange.get(share, 0.0) + per_area * p.area
        result.append(tuple((exchange[share], share) for share in sorted(exchange, reverse=True)))
    return tuple(result)


def vapour_inputs(house, sample, skin, floor_share):
    """Give the kernel's inputs for moisture at each step.

    Parameters
    ----------
    house : Greenhouse
        The house [SI inside].
    sample : Sampler
        Weather at the steps [SI inside].
    skin : Skin
        The skin at the steps [W/K].
    floor_share : float
        Share of the sun that no store catches [–].

    Returns
    -------
    dict
        Keyword arguments of the kernel's inputs [kg/s, kg/kg, W/m²].
    """
    flow = (skin.conductances["leaks"] + skin.conductances["door"]) / SPECIFIC_HEAT
    return {
        "vapour": sample.vapour(house.place.elevation).tolist(), "air_flow": flow.tolist(),
        "shine": (skin.sun * floor_share / house.floor.area).tolist(),
        "light": (sample.sun > NIGHT_LIGHT).astype(int).tolist(),
        "pane": (sample.temperature - sample.sky_exchange / skin.film).tolist(),
        "drawn": skin.drawn.astype(int).tolist(), "specific_heat": SPECIFIC_HEAT,
    }  # fmt: skip


class Sampler:
    """Weather at given times: each value linear between those of the record."""

    def __init__(self, weather, time):
        self.weather, self.time = weather, time
        self.at = lambda values: np.interp(time, weather.time, np.asarray(values, float))
        self.temperature, self.wind = self.at(weather.temperature), self.at(weather.wind_speed)
        self.sun = self.at(weather.global_horizontal)
        midnight = weather.start.astype("datetime64[D]")
        new_year = weather.start.astype("datetime64[Y]")
        self.hour = ((weather.start - midnight) / np.timedelta64(1, "s") + time) / 3600 % 24
        elapsed = (weather.start - new_year) / np.timedelta64(1, "s") + time
        self.day = elapsed / 86400 % 365.25 + 1
        self.film = outside_film(self.wind)
        self.sky_exchange = self.at(black_sky_loss(weather))

    def vapour(self, elevation):
        """Humidity ratio outside [kg/kg]."""
        dew = np.minimum(self.at(self.weather.dew_point), self.temperature)
        return np.asarray(saturation_humidity_ratio(dew, float(pressure_at(elevation))))

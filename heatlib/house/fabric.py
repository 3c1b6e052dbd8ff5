"""Turn the skin of a described house into conductances: panes, walls, sky, leaks, door, curtain and the sun let in.

Every physical relation is called from the physics floor; this module only says which numbers of the house go where.
The outside film of each piece follows the wind, so a piece keeps its resistance *without* that film.
"""

from dataclasses import dataclass, replace
from functools import lru_cache

import numpy as np

from heatlib.conduction import bridged_u_value, flow_direction, layer_resistance, series, surface_resistance, u_value
from heatlib.curtain import window_with_curtain
from heatlib.glazing import glazing_u_value
from heatlib.house.greenhouse import Curtain
from heatlib.house.sunlight import Gains, gains, snow_lies_on, sun_kept
from heatlib.infiltration import air_flow_heat_loss, door_flow, leakage_flow, lobby_flow
from heatlib.sky import radiation_coefficient, sky_view
from heatlib.tables import entry

__all__ = [
    "Gains",
    "Piece",
    "Skin",
    "air_capacity",
    "air_conductance",
    "air_heat",
    "curtain_drawn",
    "door_conductance",
    "gains",
    "pieces",
    "rated_u_value",
    "skin",
    "slab_resistance",
    "snowed",
    "sun_kept",
    "vent",
]

RATED_FILM = 25.0
"""Outside film [W/m²K] at which the tables rate a pane: that of ISO 6946."""


RSI = 0.13
"""Resistance of the inside film [m²K/W] of ISO 6946 on an upright pane, with which its inside temperature is told."""


REFERENCE = 10.0
"""Air temperature [°C] at which the density of leaking air is taken: leaks then are a fixed conductance."""


SNOW_EMISSIVITY = 0.98
"""Of snow, for the heat it sends to the sky; from memory."""


SNOW_ABSORPTANCE = 0.2
"""Of fresh snow on a dark roof, for the sun: what the table's 0.8 of reflectance leaves."""


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


def pieces(house, snow=False):
    """List the pieces of the skin with their resistances.

    Parameters
    ----------
    house : Greenhouse
        The house [SI inside].
    snow : bool
        Whether its snow cover lies on those it stays on [yes/no].

    Returns
    -------
    tuple of Piece
        In the order of the house's surfaces [m²K/W, m²].
    """
    bare = [(surface, _piece(surface, house.curtain)) for surface in house.surfaces]
    return tuple(
        snowed(piece, house.snow_cover) if snow and snow_lies_on(house, surface) else piece for surface, piece in bare
    )


@lru_cache(maxsize=2048)
def _piece(surface, curtain):
    emissivity, infrared = _rays(surface.glazing)
    straight = infrared * float(radiation_coefficient(20.0, 0.0, 1.0))
    return Piece(
        name=surface.name, glazed=surface.glazing is not None, area=surface.area, straight=straight,
        resistance=max(1e-3, 1 / (rated_u_value(surface) - straight) - 1 / RATED_FILM),
        curtain=curtain if surface.curtain else None, sky_view=float(sky_view(surface.tilt)), emissivity=emissivity,
        infrared=infrared, absorptance=0.0 if surface.glazing else surface.absorptance,
    )  # fmt: skip


def snowed(piece, cover):
    """Put snow on a piece of the skin: its resistance in series, and its own face towards the sky.

    Neglected: heat the snow takes up or gives off as it melts.

    Parameters
    ----------
    piece : Piece
        The piece, bare [SI inside].
    cover : SnowCover
        The snow [m].

    Returns
    -------
    Piece
        The same piece under snow [m²K/W].
    """
    under = 1.0 / (1.0 / piece.resistance + piece.straight)
    snow = slab_resistance(cover.kind, cover.depth)
    darkness = 0.0 if piece.glazed else SNOW_ABSORPTANCE
    return replace(
        piece, resistance=under + snow, straight=0.0, infrared=0.0, emissivity=SNOW_EMISSIVITY, absorptance=darkness
    )


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
    resistances = [slab_resistance(layer.material, layer.thickness) for layer in surface.layers]
    if not surface.framing:
        return float(u_value(series(films[0], *resistances, films[1])))
    studs = [slab_resistance(surface.framing_material, layer.thickness) for layer in surface.layers]
    # boards lie across the studs; only what insulates is interrupted by them
    rows = [[r, min(r, stud)] for r, stud in zip(resistances, studs)]
    return float(bridged_u_value([1 - surface.framing, surface.framing], rows, *films))


def slab_resistance(material, thickness):
    """Give the resistance of a layer of a material of the table.

    Parameters
    ----------
    material : str
        Name in the table of materials [text].
    thickness : float
        Thickness [m].

    Returns
    -------
    float
        Resistance [m²K/W].
    """
    return float(layer_resistance(thickness, entry("materials", material, "conductivity").value))


def _rays(glazing):
    """Emissivity and infrared transmittance of a piece's outside."""
    if glazing is None:
        return 0.9, 0.0
    return tuple(entry("glazings", glazing, name).value for name in ("emissivity", "infrared_transmittance"))


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
    parts, covered = pieces(house), pieces(house, snow=True)
    ua = {True: np.zeros_like(film), False: np.zeros_like(film)}
    sky, walls_sun = np.zeros_like(film), np.zeros_like(film)
    for piece, under in zip(parts, covered):
        u, seen, taken = _by_step(piece, film, drawn)
        if under is not piece and sample.snow.any():
            below = _by_step(under, film, drawn)
            u, seen, taken = (np.where(sample.snow, a, b) for a, b in zip(below, (u, seen, taken)))
        ua[piece.glazed] += piece.area * u
        sky += seen * sample.sky_exchange
        if piece.name in gains.on_walls:
            walls_sun += sample.at(gains.on_walls[piece.name]) * piece.area * taken * u / film
    behind = {piece.name: piece.curtain.light for piece in parts if piece.curtain}
    let_in = (sample.at(flow) * np.where(drawn, behind.get(name, 1.0), 1.0) for name, flow in gains.through.items())
    sun = sum(let_in) * sun_kept(house.shade, sample.day, sample.hour)
    conductances = {
        "glazing": ua[True],
        "walls": ua[False],
        "leaks": air_conductance(house, sample),
        "door": door_conductance(house, sample),
    }
    return Skin(sum(conductances.values()), conductances, sky, sun, walls_sun, film, drawn)


def _by_step(piece, film, drawn):
    """U-value [W/m²K], sky factor [m²] and absorptance [–] of a piece at each step."""
    u = np.where(drawn, piece.u_value(film, True), piece.u_value(film))
    return u, np.where(drawn, piece.sky_factor(film, True), piece.sky_factor(film)), piece.absorptance


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


def air_heat(elevation):
    """Give the heat that a cubic metre of air takes for each degree, at the temperature leaks are counted at.

    Parameters
    ----------
    elevation : float
        Above sea level [m].

    Returns
    -------
    float
        Volumetric heat capacity [J/m³K].

    Examples
    --------
    >>> round(air_heat(0.0), -2)
    1300.0
    """
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
    return house.volume * air_heat(house.place.elevation) + house.air.contents * house.floor.area


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
    return factor * house.volume * house.air.air_change_rate / 3600 * air_heat(house.place.elevation)


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
    full = house.volume * vents.air_change_rate / 3600 * air_heat(house.place.elevation)
    return float(full), vents.opens_at, vents.band


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
    return flow * air_heat(house.place.elevation)

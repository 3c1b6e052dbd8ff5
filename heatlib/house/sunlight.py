"""Sun that gets into a house: through each pane by the hour, past hills, trees, cloth and snow on the panes.

What depends on weather and orientation alone is worked out once and kept: a second run of the same days with other
barrels, other leaks or another curtain finds it ready. It is kept by the weather's content, not by its name or object.
"""

from dataclasses import dataclass, replace
from functools import lru_cache
from hashlib import blake2b

import numpy as np

from heatlib.snow import snow_light
from heatlib.tables import entry
from heatlib.transmission import glazing_kind, solar_property, sun_through

__all__ = ["Gains", "gains", "snow_lies_on", "sun_kept"]


@dataclass(frozen=True)
class Gains:
    """Sun at the weather's own times: through each pane [W], without shade, and on each piece of dark skin [W/m²]."""

    through: dict
    on_walls: dict


class _Shone:
    """A weather known by what its sun is, so that equal suns find the same results."""

    def __init__(self, weather):
        self.weather = weather
        arrays = (weather.time, weather.beam_normal, weather.diffuse_horizontal, weather.global_horizontal)
        digest = blake2b(digest_size=16)
        for values in arrays:
            digest.update(np.ascontiguousarray(values, dtype=float).tobytes())
        digest.update(np.ascontiguousarray(weather.snow, dtype=bool).tobytes())
        place = (weather.latitude, weather.longitude, weather.utc_offset)
        self.key = (digest.digest(), str(weather.start), *map(float, place))

    def __hash__(self):
        return hash(self.key)

    def __eq__(self, other):
        return self.key == other.key

    @property
    def times(self):
        return self.weather.start + (np.asarray(self.weather.time) * 1000).astype("timedelta64[ms]")


def gains(house, weather):
    """Work out the sun through each pane and on each dark piece of skin, at the weather's own times.

    Hills and trees are taken as seen from one point of the house.

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
    if not np.any(weather.global_horizontal):
        return Gains({}, {})
    shone, around = _Shone(weather), (house.place, house.horizon, house.trees)
    through, on_walls = {}, {}
    for surface in house.surfaces:
        if surface.glazing is None:
            if surface.absorptance:
                on_walls[surface.name] = _pane(shone, *around, surface.facing, surface.tilt).total
            continue
        cover = house.snow_cover if snow_lies_on(house, surface) else None
        pane = (surface.facing, surface.tilt, surface.glazing, surface.dirt, surface.frame, cover)
        through[surface.name] = surface.area * _inside(shone, *around, *pane)
    return Gains(through, on_walls)


@lru_cache(maxsize=8)
def _sun(shone, elevation):
    """Where the sun stands, and what comes from it."""
    from heatlib.sun import Sky, extraterrestrial, sun_position

    weather, times = shone.weather, shone.times
    position = sun_position(times, weather.latitude, weather.longitude, weather.utc_offset, elevation)
    sun = (weather.beam_normal, weather.diffuse_horizontal, weather.global_horizontal)
    return position, Sky(*sun, extraterrestrial(times))


@lru_cache(maxsize=8)
def _past(shone, elevation, horizon, trees):
    """Shares of the beam and of the sky's light that hills and trees leave."""
    from heatlib import shade

    position = _sun(shone, elevation)[0]
    beam, sky = 1.0, 1.0
    if horizon:
        sightings = [one.facing for one in horizon], [one.height for one in horizon]
        beam = np.where(shade.shaded(position, *sightings), 0.0, 1.0)
        sky = shade.horizon_light(*sightings)
    times = shone.times
    day = (times.astype("datetime64[D]") - times.astype("datetime64[Y]")).astype(float) + 1
    for one in trees:
        leaves = np.ones_like(day) if one.evergreen else shade.leafage(day)
        box = shade.Tree(one.facing, one.distance, one.height, one.crown_base, one.crown_width)
        beam = beam * shade.tree_light(position, box, shade.tree_transmittance(leaves))
    return beam, sky


@lru_cache(maxsize=64)
def _pane(shone, place, horizon, trees, facing, tilt):
    """What strikes a surface from outside, past hills and trees [W/m²]."""
    from heatlib.sun import pane_irradiance

    position, sky = _sun(shone, place.elevation)
    lies = shone.weather.snow
    ground = np.where(lies, *(solar_property(name, "solar_reflectance") for name in (place.snow, place.ground)))
    pane = pane_irradiance(position, sky, facing, tilt, ground)
    if not horizon and not trees:
        return pane
    beam, open_sky = _past(shone, place.elevation, horizon, trees)
    return replace(pane, beam=pane.beam * beam, circumsolar=pane.circumsolar * beam, sky=pane.sky * open_sky)


@lru_cache(maxsize=256)
def _inside(shone, place, horizon, trees, facing, tilt, glazing, dirt, frame, cover):
    """Sun through a square metre of pane [W/m²]; nobody may write into it."""
    pane = _pane(shone, place, horizon, trees, facing, tilt)
    straight_on = entry("glazings", glazing, "solar_transmittance").value
    inside = sun_through(pane, glazing_kind(glazing), straight_on, tilt, dirt, frame)
    if cover is not None:
        inside = np.where(shone.weather.snow, inside * snow_light(cover.depth, cover.kind), inside)
    inside.setflags(write=False)
    return inside


def snow_lies_on(house, surface):
    """Tell whether snow stays on a surface, once it has fallen.

    Parameters
    ----------
    house : Greenhouse
        The house [SI inside].
    surface : Surface
        One of its surfaces [SI inside].

    Returns
    -------
    bool
        True where it is flatter than the snow slides [yes/no].
    """
    cover = house.snow_cover
    return cover is not None and cover.depth > 0 and surface.tilt < cover.slides_from


def sun_kept(shade, day, hour=None):
    """Give what a shade leaves of the sun at each moment; it may hang over the turn of the year, or of the day.

    Parameters
    ----------
    shade : Shade or None
        The shade [–].
    day : numpy.ndarray
        Day of the year [d].
    hour : numpy.ndarray, optional
        Hour of the day, 0–24; left out, it hangs all day [h].

    Returns
    -------
    numpy.ndarray
        Share that is left, 0–1 [–].
    """
    if shade is None:
        return np.ones_like(day)
    hung = _between(day, shade.first_day, shade.last_day + 1)
    if hour is not None and shade.from_hour != shade.to_hour:
        hung = hung & _between(hour, shade.from_hour, shade.to_hour)
    return np.where(hung, 1 - shade.factor, 1.0)


def _between(value, first, end):
    return (value >= first) & (value < end) if first < end else (value >= first) | (value < end)

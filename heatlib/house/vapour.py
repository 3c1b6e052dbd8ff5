"""Moisture of the house as the kernel wants it: what evaporates, what drips on panes, what leaks carry."""

from functools import lru_cache

import numpy as np

from heatlib.house.fabric import RATED_FILM, RSI, air_heat, pieces
from heatlib.house.kernel import Humidity
from heatlib.moist_air import humidity_ratio, pressure_at, saturation_humidity_ratio
from heatlib.moisture import condensation_rate, evaporation_heat, evaporation_rate

__all__ = ["SPECIFIC_HEAT", "humidity", "pane_list", "vapour_inputs", "wet_panes"]

TABLE_START, TABLE_END = -120.0, 600.0
"""Range [°C] of the moisture tables, so wide that no closed glass box leaves it; beyond −40 to 60 °C, where moist
air has no answer, they go on level."""
_NODES = np.arange(TABLE_START, TABLE_END + 0.5, 0.5)

NIGHT_LIGHT = 20.0
"""Sun outside [W/m²] below which leaves keep their pores shut."""


PANE_CONVECTION = 3.0


def humidity(house):
    """Prepare the moisture of the house, or None where no area of plants or soil is told.

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
    if not plants.area:
        return None
    pressure = float(pressure_at(house.place.elevation))
    drying, shining = [], []
    for resistance in (plants.resistance_night, plants.resistance_day):
        scale = plants.area * plants.wetness * (_NODES >= 0)
        dry, sunny, range_ = _evaporation(resistance, pressure)
        drying.append(tuple((scale * dry / range_).tolist()))
        shining.append(tuple((scale * sunny).tolist()))
    return Humidity(
        air_mass=house.volume * air_heat(house.place.elevation) / SPECIFIC_HEAT,
        latent=float(evaporation_heat(10.0)), panes=wet_panes(house, pressure), table=_saturation(pressure),
        table_start=TABLE_START, drying=tuple(drying), shining=tuple(shining),
    )  # fmt: skip


@lru_cache(maxsize=32)
def _saturation(pressure):
    """Humidity ratio of saturated air at the nodes [kg/kg]."""
    return tuple(np.asarray(saturation_humidity_ratio(np.clip(_NODES, -40, 60), pressure)).tolist())


@lru_cache(maxsize=64)
def _evaporation(resistance, pressure):
    """Evaporation in half-dry air in the dark, by sun alone, and what that dryness is, at the nodes."""
    live = np.clip(_NODES, 0, 60)
    half = np.asarray(humidity_ratio(live, 0.5, pressure))
    full = np.asarray(saturation_humidity_ratio(live, pressure))
    dry = evaporation_rate(live, 0.5, 0.0, surface_resistance=resistance, pressure=pressure)
    sunny = evaporation_rate(live, 1.0, 1.0, surface_resistance=resistance, pressure=pressure)
    return dry, sunny, full - half


SPECIFIC_HEAT = 1006.0


def wet_panes(house, pressure):
    """Give what lets water settle on the panes, those that cool alike taken together, the coldest first.

    There are four lists: open panes, behind a drawn curtain, and both again under snow.

    Parameters
    ----------
    house : Greenhouse
        The house [SI inside].
    pressure : float
        Air pressure [Pa].

    Returns
    -------
    tuple
        ``(exchange, share)`` of each pane in each list; share is U·R_si [kg/s per kg/kg, –].
    """
    per_area = _settling(pressure)
    result = []
    for snow, drawn in ((False, False), (False, True), (True, False), (True, True)):
        exchange = {}
        for p in (piece for piece in pieces(house, snow) if piece.glazed):
            share = round(min(0.95, float(p.u_value(RATED_FILM, drawn)) * RSI), 6)
            exchange[share] = exchange.get(share, 0.0) + per_area * p.area
        result.append(tuple((exchange[share], share) for share in sorted(exchange, reverse=True)))
    return tuple(result)


@lru_cache(maxsize=32)
def _settling(pressure):
    """Water that settles on a square metre of pane for each kg/kg the air holds too much [kg/m²s]."""
    rate = condensation_rate(5.0, 15.0, 0.9, PANE_CONVECTION, pressure)
    return float(rate / (humidity_ratio(15.0, 0.9, pressure) - saturation_humidity_ratio(5.0, pressure)))


def pane_list(skin, sample):
    """Tell which list of :func:`wet_panes` holds at each step.

    Parameters
    ----------
    skin : Skin
        The skin at the steps [–].
    sample : Sampler
        Weather at the steps [–].

    Returns
    -------
    numpy.ndarray
        0 to 3 [–].
    """
    return skin.drawn.astype(int) + 2 * sample.snow.astype(int)


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
        "vapour": sample.vapour(house.place.elevation), "air_flow": flow,
        "shine": skin.sun * floor_share / house.floor.area,
        "light": (sample.sun > NIGHT_LIGHT).astype(int),
        "pane": sample.temperature - sample.sky_exchange / skin.film,
        "drawn": pane_list(skin, sample), "specific_heat": SPECIFIC_HEAT,
    }  # fmt: skip

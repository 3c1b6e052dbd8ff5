"""A season in numbers: cold nights by crop, weeks gained, heat and its cost, hours too hot; measures compared."""

from dataclasses import dataclass

import numpy as np

from heatlib._check import number
from heatlib.crops import crop, crop_names
from heatlib.house.balance import run
from heatlib.other_heat import carbon_dioxide, fuel_needed
from heatlib.tables import entry

__all__ = ["CropSeason", "FuelUse", "Season", "crop_rows", "fuel_use", "season", "season_of", "season_with_measures"]

_WEEK = 7


@dataclass(frozen=True)
class CropSeason:
    """How one crop fares inside and outdoors."""

    limit: float
    """Night temperature it wants [°C]."""
    harm: float
    """Temperature that damages it [°C]."""
    nights_below: int
    """Nights inside colder than it wants [–]."""
    nights_harmed: int
    """Nights inside cold enough to damage it [–]."""
    nights_below_outdoors: int
    """Nights outdoors colder than it wants [–]."""
    nights_harmed_outdoors: int
    """Nights outdoors cold enough to damage it [–]."""
    weeks: float
    """Longest run of nights inside without damage [weeks]."""
    weeks_outdoors: float
    """Longest run of nights outdoors without damage [weeks]."""

    @property
    def weeks_gained(self):
        """Weeks the house adds to growing outdoors [weeks]."""
        return self.weeks - self.weeks_outdoors


@dataclass(frozen=True)
class FuelUse:
    """What a season's heat takes of one fuel."""

    amount: float
    """In the fuel's own unit [unit of the table]."""
    unit: str
    """The fuel's own unit, such as L [text]."""
    cost: float
    """At the price told, or the table's invented one [money]."""
    carbon_dioxide: float
    """[kg]"""


@dataclass(frozen=True)
class Season:
    """One house through one stretch of weather."""

    house: str
    """Name of the house [text]."""
    nights: int
    """Nights from noon to noon [–]."""
    lowest: float
    """Coldest air inside [°C]."""
    highest: float
    """Warmest air inside [°C]."""
    hours_hot: float
    """Hours above the house's own upper limit [h]."""
    hours_above_35: float
    """Hours above 35 °C [h]."""
    heat: float
    """Heat from the heater [J]."""
    fan_energy: float
    """Electricity for the pipe fan [J]."""
    crops: dict
    """By crop: :class:`CropSeason` [text]."""
    energy: dict
    """Energy by path, positive where the house loses it [J]."""
    closure: float
    """What the balance misses as a part of all heat moved [–]."""


def season(house, weather, *, crops=None, step=900.0):
    """Run a house through a season and count what a grower asks about.

    Neglected: plants that die once and are dead; a run of good nights is taken from the whole stretch.

    Parameters
    ----------
    house : Greenhouse
        The house [SI inside].
    weather : Weather
        A season or a year, two days or more [°C].
    crops : sequence of str, optional
        Names in the table of crops; all of them when left out [text].
    step : float
        Step of the run, 10 to 3600; 300 where the very coldest moment matters [s].

    Returns
    -------
    Season
        Nights, weeks, hours and heat [–, weeks, h, J].

    Raises
    ------
    ValueError
        If a crop is unknown, the weather holds no whole night, or the step is out of range.

    Examples
    --------
    >>> from heatlib.house.demo import demo_house
    >>> from heatlib.house.weather import design_day
    >>> week = design_day(46.5, "2025-05-01", minimum=8.0, maximum=18.0, days=7)
    >>> season(demo_house(4), week, crops=["lettuce"]).crops["lettuce"].nights_harmed_outdoors
    0
    """
    table = crop_rows(crops)
    return season_of(run(house, weather, step), table)


def crop_rows(crops=None):
    """Look up the crops a season is counted for.

    Parameters
    ----------
    crops : sequence of str, optional
        Names in the table of crops; all of them when left out [text].

    Returns
    -------
    dict
        Rows of the table by name [°C].

    Raises
    ------
    ValueError
        If a crop is unknown.

    Examples
    --------
    >>> list(crop_rows(["lettuce"]))
    ['lettuce']
    """
    return {name: crop(name) for name in (crop_names() if crops is None else tuple(crops))}


def season_of(course, table):
    """Count a season in a course that has been run.

    Parameters
    ----------
    course : Course
        Two days or more [SI inside].
    table : dict
        Crops from :func:`crop_rows` [°C].

    Returns
    -------
    Season
        Nights, weeks, hours and heat [–, weeks, h, J].

    Raises
    ------
    ValueError
        If the course holds no whole night.

    Examples
    --------
    >>> from heatlib.house.demo import demo_house
    >>> from heatlib.house.weather import design_day
    >>> days = design_day(46.5, "2025-05-01", minimum=8.0, maximum=18.0, days=3)
    >>> season_of(run(demo_house(4), days), crop_rows(["lettuce"])).nights
    2
    """
    house = course.house
    inside, outside = (_night_lows(course.clock, air, course.step) for air in (course.air, course.outside))
    if not len(inside):
        raise ValueError("the weather holds no whole night from noon to noon")
    rows = {name: _crop_season(row, inside, outside) for name, row in table.items()}
    return Season(
        house=house.name, nights=len(inside), lowest=course.lowest_air, highest=course.highest_air,
        hours_hot=course.hours_above(house.limits.maximum), hours_above_35=course.hours_above(35.0),
        heat=-course.energy["heater"], fan_energy=-course.energy.get("fan", 0.0), crops=rows,
        energy=dict(course.energy), closure=course.closure,
    )  # fmt: skip


def _night_lows(clock, air, step):
    """Return the lowest of each whole night, noon to noon [°C]."""
    shifted = (clock - np.timedelta64(12, "h")).astype("datetime64[D]")
    _, first, counts = np.unique(shifted, return_index=True, return_counts=True)
    return np.minimum.reduceat(air, first)[counts >= 86400 / step - 1]


def _crop_season(row, inside, outside):
    limit, harm = row.night_minimum.value, row.damage_temperature.value
    counts = [int((lows < mark).sum()) for lows in (inside, outside) for mark in (limit, harm)]
    weeks = [_longest_run(lows >= harm) / _WEEK for lows in (inside, outside)]
    return CropSeason(limit, harm, counts[0], counts[1], counts[2], counts[3], *weeks)


def _longest_run(good):
    """Return the longest unbroken run of True [–]."""
    edges = np.diff(np.concatenate([[0], good.astype(int), [0]]))
    lengths = np.flatnonzero(edges == -1) - np.flatnonzero(edges == 1)
    return int(lengths.max()) if len(lengths) else 0


def fuel_use(heat, fuels, *, prices=None):
    """Say what heat takes of each fuel, and what it costs.

    Neglected: the heater itself, standing charges, and heat that a flue or a pilot flame loses beyond the efficiency.

    Parameters
    ----------
    heat : float
        Heat into the house, 0 to 10¹³ [J].
    fuels : sequence of str
        Names in the table of fuels [text].
    prices : dict, optional
        Price of the fuel's own unit; the table's are invented, so tell yours [money].

    Returns
    -------
    dict
        By fuel: :class:`FuelUse` [fuel's unit, money, kg].

    Raises
    ------
    ValueError
        If a fuel is unknown or a price is negative.

    Examples
    --------
    >>> fuel_use(3.6e9, ["electricity"], prices={"electricity": 0.2})["electricity"].cost
    200.0
    """
    prices = prices or {}
    result = {}
    for fuel in fuels:
        amount = fuel_needed(fuel, heat)
        unit = entry("fuels", fuel, "price").unit.removeprefix("per ")
        price = number(f"price of {fuel}", prices.get(fuel, entry("fuels", fuel, "price").value), "money", 0, 1e4)
        result[fuel] = FuelUse(float(amount), unit, float(amount * price), float(carbon_dioxide(fuel, heat)))
    return result


def season_with_measures(house, weather, measures, *, crops=None, step=900.0, executor=None, progress=True):
    """Compare a season without measures, with each alone, with all, and with all but each.

    Neglected: measures that exclude each other are not noticed.

    Parameters
    ----------
    house : Greenhouse
        The house as it stands [SI inside].
    weather : Weather
        A season or a year [°C].
    measures : dict
        By name: the changes it makes, as ``{dotted path: value}`` for ``house.changed`` [text].
    crops : sequence of str, optional
        As for :func:`season` [text].
    step : float
        As for :func:`season` [s].
    executor : object, optional
        As for :func:`heatlib.house.sweep.sweep` [–].
    progress : bool
        Whether a bar shows on the error stream after a second [yes/no].

    Returns
    -------
    dict
        ``"as it stands"``, ``"with NAME"``, ``"with all"``, ``"all but NAME"``: one :class:`Season` each [–].

    Raises
    ------
    ValueError
        If a change does not fit the house, or as :func:`season`.

    Examples
    --------
    >>> from heatlib.house.demo import demo_house
    >>> from heatlib.house.weather import design_day
    >>> week = design_day(46.5, "2025-05-01", minimum=8.0, maximum=18.0, days=3)
    >>> both = {"mulch": {"plants.wetness": 0.2}, "seal": {"air.air_change_rate": 0.5}}
    >>> list(season_with_measures(demo_house(0), week, both, progress=False))[-2:]
    ['all but mulch', 'all but seal']
    """
    from heatlib.house.sweep import sweep

    def built(names):
        result = house
        for name in names:
            result = result.changed(**measures[name])
        return result

    names = list(measures)
    houses = {"as it stands": house} | {f"with {name}": built([name]) for name in names}
    if len(names) > 1:
        houses["with all"] = built(names)
        houses |= {f"all but {name}": built([other for other in names if other != name]) for name in names}
    results = sweep(list(houses.values()), weather, executor=executor, crops=crops, step=step, progress=progress)
    return dict(zip(houses, results))

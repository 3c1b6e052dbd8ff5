"""The loss bill of a house at one moment of a dark night: each path in watts, and what measures would save.

Positive = the house loses. The bill is steady: stores and soil layers are taken as settled, so nothing comes out.
"""

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from heatlib._check import choice, shortened, single
from heatlib.house import fabric, nodes, sampler, vapour
from heatlib.house.balance import PATHS
from heatlib.house.greenhouse import checked_house
from heatlib.house.weather import Weather
from heatlib.moist_air import humidity_ratio, pressure_at, saturation_humidity_ratio
from heatlib.moisture import evaporation_heat
from heatlib.units import to_display

__all__ = ["BillRow", "LossBill", "Savings", "loss_bill", "savings"]

LATENT = ("vapour_leaks", "wet_panes")


@dataclass(frozen=True)
class BillRow:
    """One path: key, words, watts (positive = lost), share of the whole, sensible or latent, and its parts [W]."""

    key: str
    label: str
    watts: float
    share: float
    kind: str
    parts: dict

    @property
    def btu_per_hour(self):
        """The same in US units [Btu/h]."""
        return to_display(self.watts, "heat_flow", "US")


@dataclass(frozen=True)
class LossBill:
    """All paths, the greatest first; ``total``, ``sensible`` and ``latent`` [W]."""

    rows: tuple
    total: float
    sensible: float
    latent: float

    def watts(self, key):
        """Loss by one path of the bill [W]."""
        by_key = {row.key: row.watts for row in self.rows}
        return by_key[choice("path of the bill", key, by_key)]


@dataclass(frozen=True)
class Savings:
    """What measures save [W]: each ``alone``, each as it comes in turn (``in_order``), and all ``together``.

    Together is seldom the sum of alone: two measures can't save the same watt twice.
    """

    before: float
    after: float
    alone: dict
    in_order: dict
    together: float


def loss_bill(
    house,
    inside,
    outside,
    wind_speed=1.0,
    *,
    dew_point=None,
    cloud=0.0,
    humidity=None,
    day_of_year=15.0,
    snow=False,
):
    """Work out where the heat goes at one moment of a night, by path.

    Sun and everything that stores heat are left out; the curtain, where there is one, is drawn.

    Parameters
    ----------
    house : Greenhouse
        The house [SI inside].
    inside, outside : float
        Air temperatures, −60 to 90 [°C].
    wind_speed : float
        Wind at the house, 0 to 40 [m/s].
    dew_point : float, optional
        Dew point outside; 4 K below the air where left out [°C].
    cloud : float
        Share of the sky covered, 0–1; 0 is a clear night [–].
    humidity : float, optional
        Relative humidity inside, 0–1; the house's own where left out [–].
    day_of_year : float
        Sets the temperature of the ground [day].
    snow : bool
        Whether the house's ``snow_cover`` lies on all that is flat enough [yes/no].

    Returns
    -------
    LossBill
        Rows sorted by watts, positive = lost; they sum to the total [W].

    Raises
    ------
    ValueError
        If a value is out of range, or snow is to lie on a house that tells of none.

    Examples
    --------
    >>> from heatlib.house.demo import demo_house
    >>> bill = loss_bill(demo_house(), 2.0, -24.0)
    >>> abs(sum(row.watts for row in bill.rows) - bill.total) < 1e-9 * bill.total
    True
    """
    checked_house(house)
    inside = single("temperature inside", inside, "°C", -60, 90)
    outside = single("temperature outside", outside, "°C", -60, 90)
    dew = outside - 4.0 if dew_point is None else single("dew point outside", dew_point, "°C", -60, outside)
    moist = house.air.relative_humidity if humidity is None else single("relative humidity inside", humidity, "", 0, 1)
    sample = _moment(
        house, outside, single("wind speed", wind_speed, "m/s", 0, 40), dew, single("cloud", cloud, "", 0, 1)
    )
    sample.day[:] = single("day of the year", day_of_year, "day", 1, 366)
    sample.snow[:] = _snow(house, snow)
    skin = fabric.skin(house, sample, fabric.Gains({}, {}))
    difference = inside - outside
    watts = {path: float(g[0]) * difference for path, g in skin.conductances.items()}
    watts["sky"] = float(skin.sky[0])
    watts["edge"], watts["ground"] = _floor(house, inside, outside, sample.day)
    if house.plants.area:
        watts["vapour_leaks"], watts["wet_panes"] = _latent(house, inside, moist, dew, skin, sample)
    return _bill(watts, _parts(house, skin, sample, difference))


def _snow(house, snow):
    if not isinstance(snow, (bool, np.bool_)):
        raise ValueError(f"snow must be true or false, but it is {snow!r}: how deep it lies stands in the snow_cover")
    if snow and house.snow_cover is None:
        raise ValueError("the house has no snow_cover: tell its depth, its kind and from which tilt it slides off")
    return bool(snow)


def _moment(house, outside, wind, dew, cloud):
    two, place = np.ones(2), house.place
    weather = Weather(
        time=np.array([0.0, 1.0]), temperature=outside * two, dew_point=dew * two, wind_speed=wind * two,
        beam_normal=0 * two, diffuse_horizontal=0 * two, global_horizontal=0 * two, cloud=cloud * two,
        snow=np.zeros(2, bool), start=np.datetime64("2025-01-15T00:00"), latitude=place.latitude,
        longitude=place.longitude, utc_offset=0.0, elevation=place.elevation, name="one moment",
    )  # fmt: skip
    return sampler.Sampler(weather, np.zeros(1))


def _floor(house, inside, outside, day):
    """Settled flow through the edge and into the deep ground [W], from the chain of layers with nothing stored."""
    column = nodes.floor_column(house, 1.0)
    deep = nodes.deep_temperatures(house, day, ())["floor"][0]
    n = len(column.capacity)
    matrix, right = np.zeros((n, n)), np.zeros(n)
    for i, g in enumerate(column.inner):
        matrix[i : i + 2, i : i + 2] += g * np.array([[1, -1], [-1, 1]])
    for i, g, t in ((0, column.to_air, inside), (0, column.to_outside, outside), (n - 1, column.to_deep, deep)):
        matrix[i, i] += g
        right[i] += g * t
    layers = np.linalg.solve(matrix, right)
    return float(column.to_outside * (layers[0] - outside)), float(column.to_deep * (layers[-1] - deep))


def _in_tables(temperature):
    """Hold a temperature where moist air is answered, as the course does: colder air holds next to nothing [°C]."""
    return min(60.0, max(-40.0, temperature))


def _latent(house, inside, moist, dew, skin, sample):
    """Heat of the vapour that leaks out, and of what condenses on panes and goes through them [W]."""
    pressure, latent = float(pressure_at(house.place.elevation)), float(evaporation_heat(10.0))
    held = float(humidity_ratio(_in_tables(inside), moist, pressure))
    leaks = float(skin.conductances["leaks"][0] + skin.conductances["door"][0]) / vapour.SPECIFIC_HEAT
    carried = latent * leaks * (held - float(saturation_humidity_ratio(_in_tables(dew), pressure)))
    pane = float(sample.temperature[0] - sample.sky_exchange[0] / skin.film[0])
    drips = 0.0
    for exchange, share in vapour.wet_panes(house, pressure)[vapour.pane_list(skin, sample)[0]]:
        surface = _in_tables(inside - share * (inside - pane))
        drips += latent * share * exchange * max(0.0, held - float(saturation_humidity_ratio(surface, pressure)))
    return carried, drips


def _parts(house, skin, sample, difference):
    """Loss of each surface within the rows of panes, walls and sky [W]."""
    film, drawn = float(skin.film[0]), bool(skin.drawn[0])
    parts = {"glazing": {}, "walls": {}, "sky": {}}
    for piece in fabric.pieces(house, bool(sample.snow[0])):
        parts["glazing" if piece.glazed else "walls"][piece.name] = float(
            piece.area * piece.u_value(film, drawn) * difference
        )
        parts["sky"][piece.name] = float(piece.sky_factor(film, drawn) * sample.sky_exchange[0])
    return parts


def _bill(watts, parts):
    total = sum(watts.values())
    rows = [
        BillRow(key, PATHS[key], value, value / total if total > 0 else 0.0, _kind(key), parts.get(key, {}))
        for key, value in watts.items()
    ]
    latent = sum(row.watts for row in rows if row.kind == "latent")
    rows.sort(key=lambda row: -row.watts)
    return LossBill(tuple(rows), total, total - latent, latent)


def _kind(key):
    return "latent" if key in LATENT else "sensible"


def savings(house, measures, inside, outside, wind_speed=1.0, **moment):
    """Work out what each of a list of measures would save at one moment, alone and together.

    Parameters
    ----------
    house : Greenhouse
        The house before any of them [SI inside].
    measures : mapping
        ``{name: {dotted path: value}}`` as for :meth:`Greenhouse.changed` [any].
    inside, outside : float
        Air temperatures [°C].
    wind_speed : float
        Wind at the house [m/s].
    **moment : any
        Further arguments of :func:`loss_bill` [as there].

    Returns
    -------
    Savings
        Positive = saved [W].

    Raises
    ------
    ValueError
        If a measure names something the house has not.

    Examples
    --------
    >>> from heatlib.house.demo import demo_house
    >>> tight = {"seal it": {"air.air_change_rate": 0.5}}
    >>> savings(demo_house(), tight, 2.0, -24.0).alone["seal it"] > 0
    True
    """
    if not isinstance(measures, Mapping) or not measures:
        raise ValueError('measures must be a table {"name": {"dotted path": value}} with at least one entry')

    def total(changed):
        return loss_bill(changed, inside, outside, wind_speed, **moment).total

    for name, changes in measures.items():
        if not isinstance(changes, Mapping) or not all(isinstance(path, str) for path in changes):
            raise ValueError(
                f'measure {shortened(name)} must be {{"dotted path": value}}, but it is {shortened(changes)}'
            )
    before, running, alone, in_order = total(house), house, {}, {}
    left = before
    for name, changes in measures.items():
        alone[name] = before - total(house.changed(**changes))
        running = running.changed(**changes)
        now = total(running)
        in_order[name], left = left - now, now
    return Savings(before, left, alone, in_order, before - left)

"""What a plan needs besides the house: the cold night it must stand, an ordinary winter, and prices.

Kept in a TOML file of its own, so that the house file holds the house alone. The start values are the invented ones of
the demo scenario; every price is invented until the reader puts in theirs. The ordinary winter is made up here, unless
the reader names a file with the hours of a year.
"""

from dataclasses import dataclass, field, fields, replace
from pathlib import Path
from types import MappingProxyType

import numpy as np
import tomlkit
from tomlkit.exceptions import ParseError

from heatlib._check import TEMPERATURE, choice, number
from heatlib.house.demo import DESIGN_NIGHT
from heatlib.house.recorded import read_year
from heatlib.house.weather import design_day, design_night
from heatlib.tables import entry, keys

__all__ = ["FUELS", "PRICES", "Conditions", "conditions_text", "night_weather", "parse_conditions", "winter_weather"]

PRICES = tuple(keys("prices"))
FUELS = tuple(keys("fuels"))
_SPELL = (3.0, 3.0, 3.0, 3.0, 3.0, 3.0, 3.0, -7.0, -7.0, -7.0)
"""Ten days of a winter: a week milder than its mean, three colder; sums to nothing; common practice, no source [K]."""
_SKY = (0.7, 0.7, 0.7, 0.7, 0.7, 0.7, 0.7, 0.1, 0.1, 0.1)
"""Share of the sky covered on these days: cold spells are clear; common practice, no source [0–1]."""
_DAYS = 182
_BASE = -20.0


def _price(key):
    return entry("prices", key, "price").value if key in PRICES else entry("fuels", key, "price").value


def _start_prices():
    return MappingProxyType({key: _price(key) for key in (*PRICES, *FUELS)})


@dataclass(frozen=True)
class Conditions:
    """Weather and money of a plan."""

    coldest: float = DESIGN_NIGHT["coldest"]
    """Outside on the coldest night to be stood [°C]."""
    warmest: float = DESIGN_NIGHT["warmest"]
    """Warmest of the day before it [°C]."""
    winter_night: float = -14.0
    """Ordinary night of the coldest month [°C]."""
    winter_day: float = -5.0
    """Ordinary day of the coldest month [°C]."""
    year_mean: float = 5.0
    """Mean of the air over the year [°C]."""
    year_file: str = ""
    """Name of a file with the hours of a year (TMY3 or EPW); without one, an ordinary winter is made up [text]."""
    fuel: str = "electricity"
    """What the heater burns, or electricity [name in the table of fuels]."""
    currency: str = "dollars"
    """Word for the money [text]."""
    prices: dict = field(default_factory=_start_prices)
    """Price by key of the tables of prices and of fuels [money per piece, m², m³, m, kWh, L or kg]."""

    def __post_init__(self):
        low, high = TEMPERATURE
        for name, words in _WORDS.items():
            object.__setattr__(self, name, number(words, getattr(self, name), "°C", low + 10, high - 40))
        for warm, cold in (("warmest", "coldest"), ("winter_day", "winter_night")):
            number(_WORDS[warm], getattr(self, warm), "°C", getattr(self, cold))
        if not isinstance(self.currency, str) or not self.currency.strip():
            raise ValueError(f"the word for the money must be a text, but it is {self.currency!r}")
        if not isinstance(self.year_file, str):
            raise ValueError(f"the weather file must be a file name in quotes, but it is {self.year_file!r}")
        choice("fuel", self.fuel, FUELS)
        known = _start_prices()
        for key in self.prices:
            choice("price", key, known)
        prices = {k: number(f"price of {k}", self.prices.get(k, known[k]), "money", 0, 1e6) for k in known}
        object.__setattr__(self, "prices", MappingProxyType(prices))

    def changed(self, **changes):
        """Return new conditions; ``prices={…}`` changes only the prices it names."""
        if "prices" in changes:
            changes["prices"] = {**self.prices, **changes["prices"]}
        return replace(self, **changes)


_WORDS = {
    "coldest": "coldest night",
    "warmest": "warmest of the day before",
    "winter_night": "ordinary night of the coldest month",
    "winter_day": "ordinary day of the coldest month",
    "year_mean": "mean of the year",
}


def conditions_text(conditions, template=None):
    """Write conditions as TOML; comments and order of a template stay."""
    if template is None:
        document = tomlkit.document()
        document.add(tomlkit.comment("Weather and prices for the plan of my greenhouse. Temperatures in °C."))
        document.add(tomlkit.comment("All prices are invented until you put in your own."))
    else:
        document = tomlkit.parse(template)
    for item in fields(conditions):
        value = getattr(conditions, item.name)
        unsaid = value == item.default and item.name not in document and item.name in ("year_file", "fuel")
        if item.name != "prices" and not unsaid and document.get(item.name) != value:
            document[item.name] = value
    if "prices" not in document:
        document["prices"] = tomlkit.table()
    for key, value in conditions.prices.items():
        if document["prices"].get(key) != value:
            document["prices"][key] = value
    return tomlkit.dumps(document)


def parse_conditions(text, name="the file"):
    """Read conditions from TOML; a key that is left out keeps its start value, an unknown one is refused."""
    try:
        rows = tomlkit.parse(text).unwrap()
    except ParseError as error:
        raise ValueError(f"{name}, line {error.line}: this is not readable as TOML ({error})") from None
    try:
        for key in rows:
            choice("key", key, [item.name for item in fields(Conditions)])
        if not isinstance(rows.get("prices", {}), dict):
            raise ValueError(f"prices must be a table of prices, but it is {rows['prices']!r}")
        return Conditions(**rows)
    except ValueError as error:
        raise ValueError(f"{name}: {error}") from None


def night_weather(house, conditions):
    """Return the design night at the house, clear and calm, with two days as cold before it."""
    place = house.place
    return design_night(
        place.latitude, _midwinter(house), minimum=conditions.coldest, maximum=conditions.warmest,
        longitude=place.longitude, utc_offset=place.utc_offset, elevation=place.elevation,
    )  # fmt: skip


def winter_weather(house, conditions, folder="."):
    """Return the year of the reader's weather file, or a made-up ordinary winter of 182 days in spells of ten days.

    Neglected in the made-up one, whose coldest month is in the middle: wind beyond a light air, snow on the panes, and
    winters that are no ordinary ones.
    """
    if conditions.year_file.strip():
        name = conditions.year_file.strip()
        return read_year(Path(folder) / name, "epw" if name.lower().endswith(".epw") else "tmy3")
    place = house.place
    sky = np.resize(_SKY, _DAYS)
    reach = conditions.winter_day - conditions.winter_night
    weather = design_day(
        place.latitude, _first_day(house), minimum=_BASE, maximum=_BASE + reach, cloud=sky,
        days=_DAYS, wind_speed=1.0, longitude=place.longitude, utc_offset=place.utc_offset, elevation=place.elevation,
        step=1800.0,
    )  # fmt: skip
    day = weather.time / 86400.0
    middle = (conditions.winter_night + conditions.winter_day) / 2
    swing = conditions.year_mean - middle
    mean = conditions.year_mean - swing * np.cos(2 * np.pi * (day - _DAYS / 2) / 365.25)
    shift = mean - reach / 2 - _BASE + np.resize(_SPELL, _DAYS + 1)[np.minimum(day.astype(int), _DAYS)]
    temperature = np.clip(weather.temperature + shift, *TEMPERATURE)
    dew = np.clip(weather.dew_point + shift, -50.0, temperature)
    return replace(weather, temperature=temperature, dew_point=dew, name="an ordinary winter")


def _midwinter(house):
    """A date some four weeks after the shortest day, when nights are coldest."""
    return "2025-01-20" if house.place.latitude >= 0 else "2025-07-21"


def _first_day(house):
    return "2024-10-20" if house.place.latitude >= 0 else "2024-04-20"

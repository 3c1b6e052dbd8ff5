"""After building: a cold night's readings beside what the plan expects, and what to look at first.

A logger's file goes through the fits of :mod:`heatlib.house`. Some ten readings by hand are too few for these; here
they get a fit of their own, with an interval that is honest about how few they are, and the house as described is put
through the same night and the same fit.
"""

import re
from dataclasses import dataclass
from math import exp, log
from pathlib import Path

import numpy as np

from heatlib._check import TEMPERATURE, number
from heatlib.house.balance import run
from heatlib.house.compared import compare_cooling, compare_heated
from heatlib.house.logger import read_logger
from heatlib.house.measured import FEWEST, fit_cooling, fit_heated
from heatlib.house.recorded import coldest_night, weather_from_record
from heatlib.house.suspects import suspects
from heatlib.house.weather import Weather, design_night
from heatlib.house.weather_sun import checked_place, sun_from_cloud

__all__ = ["Verdict", "by_hand", "from_logger", "is_file", "made_up_house", "made_up_readings"]

_DRY = 2.0
_STEP = 300


@dataclass(frozen=True)
class Verdict:
    """What a night says of the house."""

    clock: tuple
    """Times of the readings [text]."""
    outside: tuple
    """[°C]"""
    measured: tuple
    """Air inside [°C]."""
    expected: tuple
    """Air inside of the house as described [°C]."""
    loss: str
    """The fitted loss with its interval in words [text]."""
    ratio: float
    """Measured loss over expected [–]."""
    low: float
    """19 times out of 20 the ratio is above this [–]."""
    high: float
    """19 times out of 20 the ratio is below this [–]."""
    look_first: str
    """What to look at first [text]."""

    @property
    def sentence(self):
        """The verdict in one sentence [text]."""
        if self.low > 1:
            how = "more than expected"
        elif self.high < 1:
            how = "less than expected"
        else:
            how = "as expected, as far as one night can tell"
        return f"Your house loses {self.ratio:.2f} times what its parts say ({self.low:.2f} to {self.high:.2f}): {how}."


def made_up_house():
    """Return the demo house whose night is made up in :func:`made_up_readings` [Greenhouse]."""
    from heatlib.house.demo import demo_house

    return demo_house(8).changed("heater", None)


def made_up_readings():
    """Make up ten readings of the invented house with a leak that nobody told of: rows, and the water at first [°C]."""
    house, hour = made_up_house(), 3600
    leaky = house.changed("air.air_change_rate", 4 * house.air.air_change_rate)
    place, evening = house.place, 2 * 86400 + 19 * hour
    night = design_night(place.latitude, "2025-01-20", minimum=-24.0, maximum=-12.0, longitude=place.longitude,
                         utc_offset=place.utc_offset, elevation=place.elevation)  # fmt: skip
    course = run(leaky, night)
    seen = [evening + n * hour for n in range(10)]
    rows = [
        (f"{(19 + n) % 24:02d}:00", *(round(float(np.interp(when, course.time, values)), 1)
                                      for values in (course.air, course.outside)))
        for n, when in enumerate(seen)
    ]  # fmt: skip
    return rows, round(float(np.interp(evening, course.time, course.stores["drums"])), 1)


def by_hand(house, rows, *, water=None, floor=None, date="2026-01-15", unit="°C", cloud=0.0, wind_speed=1.0):
    """Judge a house by some ten readings of a night without heater and sun.

    Neglected: layers in floor and bed at the first reading.

    Parameters
    ----------
    house : Greenhouse
        The house as described; its heater is taken as off [SI].
    rows : sequence of (str, float, float)
        Clock time such as ``"18:00"``, air inside, air outside; in order, through midnight [``unit``].
    water : float, optional
        Water in the barrels at the first reading; needed where there are barrels [``unit``].
    floor : float, optional
        Floor and bed at the first reading; left out, between the air and half-way to the water, which widens the
        interval [``unit``].
    date : str
        Day on whose evening the readings begin [date].
    unit : str
        ``"°C"`` or ``"°F"`` [text].
    cloud : float
        Share of the sky covered, 0–1 [–].
    wind_speed : float
        Wind at the house [m/s].

    Returns
    -------
    Verdict
        Measured beside expected [°C].

    Raises
    ------
    ValueError
        If a row can't be read, there are fewer than eight, or the house did not cool.
    """
    seconds, inside, outside = _rows(rows, unit)
    barrels = [store.name for store in house.stores if store.kind == "barrels" and store.count]
    if barrels and water is None:
        raise ValueError("the water in the barrels at the first reading is needed: give it as water=…")
    start = np.datetime64(f"{np.datetime64(date, 'D')}T00:00", "s") + np.timedelta64(int(seconds[0]), "s")
    seconds = seconds - seconds[0]
    weather = _night(house.place, start, seconds, outside, cloud, wind_speed)
    hours = seconds / 3600
    courses = []
    for ground in _grounds(inside[0], water, floor, unit):
        initial = {"air": inside[0], "floor": ground}
        initial |= {store.name: ground for store in house.stores if store.kind == "bed" and store.count}
        if barrels:
            initial |= dict.fromkeys(barrels, _celsius("water in the barrels", water, unit))
        course = run(house.changed("heater", None), weather, _STEP, initial=initial)
        courses.append(course.air_at(seconds, inside[0]))
    rate, low, high = _few(hours, inside, outside)
    models = [_rate(hours, air, outside).x[0] for air in courses]
    expected, model = np.mean(courses, axis=0), exp(np.mean(models))
    low_ratio, high_ratio = low / exp(max(models)), high / exp(min(models))
    loss = (
        f"Without heat the house loses {rate:.1%} of its lead over the outside each hour (between {low:.1%} and "
        f"{high:.1%}, 19 times out of 20)."
    )
    clock = tuple(row[0] for row in rows)
    return Verdict(
        clock, tuple(outside.tolist()), tuple(inside.tolist()), tuple(expected.tolist()), loss, rate / model,
        low_ratio, high_ratio, _advice(house, low_ratio, high_ratio),
    )  # fmt: skip


def _grounds(air, water, floor, unit):
    """List where floor and bed may have begun [°C]."""
    if floor is not None:
        return [_celsius("floor", floor, unit)]
    warm = air if water is None else _celsius("water in the barrels", water, unit)
    return sorted({float(air), max(air + 2.0, (air + warm) / 2)})


def from_logger(house, source, *, unit=None, start=None, end=None, power=None, water=None, cloud=0.0, wind_speed=1.0):
    """Judge a house by a logger's file with air inside and outside.

    Neglected: as in the fits of :mod:`heatlib.house.measured`.

    Parameters
    ----------
    house : Greenhouse
        The house as described [SI].
    source : str, pathlib.Path or bytes
        The logger's CSV; it is only read [path].
    unit : str, optional
        ``"°C"`` or ``"°F"`` where the file does not state it [text].
    start, end : str, optional
        The part without sun; eight in the evening to six in the morning of the coldest night where left out [date
        and time].
    power : float, optional
        Heat put in all that time; left out for a night without heat [W].
    water : float, optional
        Water in the barrels at ``start``; not needed where the file begins a day earlier [°C].
    cloud : float
        Share of the sky covered, 0–1 [–].
    wind_speed : float
        Wind at the house [m/s].

    Returns
    -------
    Verdict
        Measured beside expected [°C].

    Raises
    ------
    ValueError
        If the file can't be read, or the night says too little.
    """
    record, _ = read_logger(source, unit=unit.strip("° ") if unit else None)
    if start is None or end is None:
        noon = coldest_night(record).start
        start, end = noon + np.timedelta64(8, "h"), noon + np.timedelta64(18, "h")
    start, end = np.datetime64(start, "s"), np.datetime64(end, "s")
    outside = record.column("outside")
    place = house.place
    weather = weather_from_record(
        record, place.latitude, cloud=cloud, column="outside", dew_point=float(np.nanmin(outside)) - _DRY,
        start=None if water is None else start, wind_speed=wind_speed, longitude=place.longitude,
        utc_offset=place.utc_offset, elevation=place.elevation,
    )  # fmt: skip
    names = [store.name for store in house.stores if store.kind == "barrels" and store.count]
    stores = None if water is None else dict.fromkeys(names, number("water in the barrels", water, "°C", *TEMPERATURE))
    if power:
        fit = fit_heated(record, power, start, end)
        against = compare_heated(house, record, power, weather, start, end, stores=stores)
        advice = _advice(house, against.low, against.high)
    else:
        fit = fit_cooling(record, start, end)
        against = compare_cooling(house, record, weather, start, end, stores=stores)
        advice = _by_suspects(suspects(house, record, weather, start, end, stores=stores), against, house)
    seen = np.interp(fit.time.astype(float), record.time.astype(float), outside)
    every = slice(None, None, max(1, len(fit.time) // 10))
    return Verdict(
        tuple(str(when)[11:16] for when in fit.time[every]), tuple(seen[every].tolist()),
        tuple(against.inside[every].tolist()), tuple(against.modelled[every].tolist()), fit.sentence, against.ratio,
        against.low, against.high, advice,
    )  # fmt: skip


def _by_suspects(tried, against, house):
    best = tried[0]
    if against.low <= 1 <= against.high or best.name == "as described":
        return _advice(house, against.low, against.high)
    alike = [one.name for one in tried[1:3] if one.off < 1.3 * best.off and one.name != "as described"]
    more = f" ({' and '.join(alike)} would fit about as well)" if alike else ""
    return f"look first for: {best.name}{more}."


def _advice(house, low, high):
    if low > 1:
        parts = ["leaks (hold a thin strip of paper along joints and the door on a windy day)"]
        parts += ["whether the curtain closes all round"] if house.curtain else []
        parts += ["wet or missing insulation in the dark walls"]
        return f"look first at {', then '.join(parts)}."
    if high < 1:
        return "look first at the readings: is a thermometer near the barrels, in the sun or under the curtain?"
    return "nothing stands out: read again in a night with wind, which shows leaks."


def _rows(rows, unit):
    rows = list(rows)
    if len(rows) < FEWEST:
        raise ValueError(f"the night must have {FEWEST} readings or more, but has {len(rows)}")
    seconds, inside, outside, last = [], [], [], -1
    for n, row in enumerate(rows, 1):
        if len(row) != 3:
            raise ValueError(f"reading {n} must be a time, the air inside and the air outside, but it is {row!r}")
        match = re.fullmatch(r"([01]?\d|2[0-3]):([0-5]\d)", str(row[0]).strip())
        if not match:
            raise ValueError(f'reading {n}: the time must be such as "18:30", but it is {row[0]!r}')
        now = int(match[1]) * 3600 + int(match[2]) * 60
        while now <= last:
            now += 86400
        seconds.append(now)
        last = now
        inside.append(_celsius(f"reading {n}, inside", row[1], unit))
        outside.append(_celsius(f"reading {n}, outside", row[2], unit))
    if seconds[-1] - seconds[0] > 16 * 3600:
        raise ValueError("the readings must be those of one night, in their order, but they span more than 16 hours")
    return np.array(seconds, dtype=float), np.array(inside), np.array(outside)


def _celsius(name, value, unit):
    if unit not in ("°C", "°F"):
        raise ValueError(f"unit must be '°C' or '°F', but it is {unit!r}")
    if unit == "°F":
        low, high = (1.8 * end + 32 for end in TEMPERATURE)
        return (number(name, value, "°F", low, high) - 32) / 1.8
    return number(name, value, "°C", *TEMPERATURE)


def _night(place, start, seconds, outside, cloud, wind_speed):
    """Weather on a regular grid through the readings outside, straight between them."""
    steps = int(np.ceil(seconds[-1] / _STEP)) + 1
    time = np.arange(steps + 1) * float(_STEP)
    temperature = np.interp(time, seconds, outside)
    where = checked_place(place.latitude, place.longitude, place.utc_offset, place.elevation)
    cloud = number("cloud", cloud, "", 0, 1)
    times = start + time.astype("timedelta64[s]")
    sun = sun_from_cloud(times, where[0], cloud, longitude=where[1], utc_offset=where[2], elevation=where[3])
    flat = np.ones_like(time)
    columns = [np.broadcast_to(np.asarray(c, dtype=float), time.shape).copy() for c in sun]
    return Weather(
        time, temperature, temperature - _DRY, number("wind speed", wind_speed, "m/s", 0, 40) * flat, *columns,
        cloud * flat, np.zeros(len(time), bool), start, *where, "a night read by hand",
    )  # fmt: skip


def _lump(hours, outside, rate, first):
    """Temperature of one lump that loses heat in proportion to its lead; exact for an outside straight between."""
    values = [first]
    for n in range(1, len(hours)):
        step = hours[n] - hours[n - 1]
        slope = (outside[n] - outside[n - 1]) / step
        lead = values[-1] - outside[n - 1] + slope / rate
        values.append(outside[n] - slope / rate + lead * exp(-rate * step))
    return np.array(values)


def _rate(hours, inside, outside):
    """Fit a lump to readings by least squares: logarithm of its rate, and where it begins."""
    from scipy.optimize import least_squares

    def misses(x):
        return _lump(hours, outside, exp(min(max(x[0], -9.0), 2.0)), x[1]) - inside

    guesses = [(log(guess), inside[0]) for guess in (0.02, 0.1, 0.5)]
    return min((least_squares(misses, guess) for guess in guesses), key=lambda found: found.cost)


def _few(hours, inside, outside):
    """Fit the share of its lead a house loses each hour; returns it with its interval, 19 times out of 20 [1/h]."""
    from scipy.stats import t as student

    if inside[0] - outside[0] < 2 or inside[-1] >= inside[0]:
        raise ValueError("the house must begin 2 °C or more above the outside and cool: take a colder night")
    best, free = _rate(hours, inside, outside), len(hours) - 2
    covariance = np.linalg.inv(best.jac.T @ best.jac) * max(2 * best.cost / free, 1e-12)
    spread = float(student.ppf(0.975, free) * np.sqrt(covariance[0, 0]))
    rate = exp(best.x[0])
    return rate, rate * exp(-min(spread, 5.0)), rate * exp(min(spread, 5.0))


def is_file(source):
    """Tell whether a source is a logger's file and not a list of readings [yes/no]."""
    return isinstance(source, str | bytes | Path)

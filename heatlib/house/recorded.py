"""Weather that was recorded: a logger's readings, an hourly year from a file, and the coldest night in either.

Hourly years state the sun as the mean of the hour before their label; here it stands in the middle of that hour, and
temperatures stand at the label. Half-hourly values carry both without loss.
"""

from dataclasses import dataclass
from pathlib import Path

import numpy as np

from heatlib._check import choice, number, shortened
from heatlib.house.logger_record import Record
from heatlib.house.weather import Weather, make_weather
from heatlib.house.weather_sun import checked_place, sun_from_cloud
from heatlib.moist_air import dew_point as dew_point_of

__all__ = ["Night", "coldest_night", "read_year", "weather_from_record"]

_HOUR = np.timedelta64(3600, "s")
_LONGEST_HOLE = 3.0
"""A night with a longer hole in its readings can't be judged [h]."""


@dataclass(frozen=True)
class Night:
    """A night from noon to noon."""

    start: np.datetime64
    """Noon before [date and time]."""
    end: np.datetime64
    """Noon after [date and time]."""
    lowest: float
    """Coldest reading [°C]."""
    coldest_at: np.datetime64
    """When it was read [date and time]."""
    passed_over: tuple
    """Noons that begin nights passed over for holes in their readings although they read colder [date and time]."""


def coldest_night(record, column=None):
    """Find the night, noon to noon, with the coldest reading.

    Neglected: how long the cold lasted and how windy it was; a longer, milder night can ask for more heat.

    Parameters
    ----------
    record : Record or Weather
        A logger's readings, or weather [°C].
    column : str, optional
        Which temperature of a record; ``"outside"`` where there is one, else the only one [text].

    Returns
    -------
    Night
        Noon before, noon after, and the coldest reading [°C].

    Raises
    ------
    ValueError
        If no night from noon to noon is whole: no hole longer than 3 hours.

    Examples
    --------
    >>> from heatlib.house.weather import design_night
    >>> str(coldest_night(design_night(46.5, "2025-01-20", minimum=-24.0, maximum=-12.0)).start)[:13]
    '2025-01-18T12'
    """
    times, values = _series(record, column)
    good = np.isfinite(values)
    times, values = times[good], values[good]
    noons = np.unique((times - 12 * _HOUR).astype("datetime64[D]")).astype("datetime64[s]") + 12 * _HOUR
    whole, broken = [], []
    for noon in noons:
        first, last = np.searchsorted(times, [noon, noon + 24 * _HOUR + np.timedelta64(1, "s")])
        part = values[first:last]
        edges = np.concatenate([[noon], times[first:last], [noon + 24 * _HOUR]])
        hole = np.diff(edges).max() / _HOUR
        (whole if hole <= _LONGEST_HOLE else broken).append(
            (float(part.min()), noon, times[first + int(part.argmin())])
        )
    if not whole:
        raise ValueError("the record holds no whole night, from noon to noon without a hole of more than 3 h")
    lowest, noon, at = min(whole)
    colder = tuple(start for low, start, _ in broken if low < lowest)
    return Night(noon, noon + 24 * _HOUR, lowest, at, colder)


def _series(record, column):
    if isinstance(record, Weather):
        return record.clock.astype("datetime64[s]"), record.temperature
    if column is None and "outside" in record.temperatures:
        column = "outside"
    return record.time.astype("datetime64[s]"), record.column(column)


def weather_from_record(
    record,
    latitude,
    *,
    cloud,
    start=None,
    end=None,
    column=None,
    dew_point=None,
    wind_speed=None,
    snow=False,
    longitude=0.0,
    utc_offset=None,
    elevation=0.0,
    name="a logger's record",
):
    """Make weather of a logger's readings outside, between two moments.

    Neglected: sun and cloud were not logged: the cloud is told and gives sun and sky.

    Parameters
    ----------
    record : Record
        A logger's readings on standard time [°C].
    latitude : float
        North positive, −66 to 66 [°].
    cloud : float or array_like
        Share of the sky covered, 0–1: one number, or one for each value [–].
    start, end : str or numpy.datetime64, optional
        The part wanted; the whole record when left out [date and time].
    column : str, optional
        Which temperature; ``"outside"`` where there is one, else the only one [text].
    dew_point : float, optional
        Dew point outside; left out, from the logged humidity, which must then be there [°C].
    wind_speed : float, optional
        Wind at the house; left out, the logged wind, which must then be there [m/s].
    snow : bool
        Whether snow lies on the ground [yes/no].
    longitude : float
        East positive [°].
    utc_offset : float, optional
        Clock minus UTC; left out, what the file stated, else that of the longitude's own zone [h].
    elevation : float
        Above sea level [m].
    name : str
        What this weather is [text].

    Returns
    -------
    Weather
        Values at the record's usual step [°C, m/s, W/m²].

    Raises
    ------
    ValueError
        If a reading is missing in the part wanted (bridge it first, or choose another part), or something not logged
        was not told.

    Examples
    --------
    >>> from heatlib.house.logger import read_logger
    >>> record, _ = read_logger(b"time,temp C\\n2024-01-01 00:00,0\\n2024-01-01 01:00,-2\\n2024-01-01 02:00,-3\\n")
    >>> weather_from_record(record, 46.5, cloud=0.0, dew_point=-5.0, wind_speed=1.0).temperature.tolist()
    [0.0, -2.0, -3.0]
    """
    if not isinstance(record, Record):
        raise ValueError("record must come from read_logger")
    part = record.between(start or record.time[0], end or record.time[-1])
    times, values = _series(part, column)
    grid = np.arange(times[0], times[-1] + np.timedelta64(1, "s"), np.timedelta64(round(record.step), "s"))
    offset = record.utc_offset if utc_offset is None else utc_offset
    place = checked_place(latitude, longitude, offset, elevation)
    temperature = _on_grid(grid, times, values, record.step, "temperature")
    dew = _dew(part, grid, temperature, dew_point, record.step)
    if wind_speed is None and part.wind_speed is not None:
        wind = _on_grid(grid, times, part.wind_speed, record.step, "wind speed")
    else:
        wind = _told("wind speed", wind_speed, "m/s", 0, 75)
    sun = sun_from_cloud(grid, place[0], cloud, longitude=place[1], utc_offset=place[2], elevation=place[3])
    return make_weather(grid, temperature, dew, wind, sun, cloud, snow, place, name)


def _on_grid(grid, times, values, step, word):
    good = np.isfinite(values)
    known = times[good].astype(np.int64)
    if not len(known):
        raise ValueError(f"the record has no {word} between {grid[0]} and {grid[-1]}")
    edges = np.concatenate([[grid[0].astype(np.int64)], known, [grid[-1].astype(np.int64)]])
    holes = np.flatnonzero(np.diff(edges) > 1.5 * step)
    if len(holes):
        at = edges[holes[0]].astype("datetime64[s]")
        hours = (edges[holes[0] + 1] - edges[holes[0]]) / 3600
        raise ValueError(f"the record has no {word} for {hours:g} h after {at}: bridge it, or choose another part")
    return np.interp(grid.astype(np.int64), known, values[good])


def _told(word, value, unit, low, high):
    if value is None:
        raise ValueError(f"the logger did not record the {word}: tell it in {unit}")
    return number(word, value, unit, low, high)


def _dew(part, grid, temperature, told, step):
    if told is not None or part.humidity is None:
        return np.minimum(_told("dew point", told, "°C", -80, 40), temperature)
    humidity = _on_grid(grid, part.time.astype("datetime64[s]"), part.humidity, step, "humidity")
    return np.minimum(dew_point_of(temperature, np.maximum(humidity, 0.01)), temperature)


def read_year(path, kind, *, year=2001, shelter=1.0, snow=False):
    """Read an hourly year through pvlib: a TMY3 file or an EPW file.

    Neglected: such years are put together from typical months and their sun is mostly modelled; they do not hold the
    coldest night of ten years.

    Parameters
    ----------
    path : str or pathlib.Path
        The file [path].
    kind : str
        ``"tmy3"`` or ``"epw"`` [text].
    year : int
        Year written over the months, 1950 to 2100; leap days are not in such files [year].
    shelter : float
        Wind at the house as a share of that at the station, 0 to 1 [–].
    snow : bool
        Whether snow lies on the ground [yes/no].

    Returns
    -------
    Weather
        A year from midnight of 1 January, half-hourly [°C, m/s, W/m²].

    Raises
    ------
    ValueError
        If the file can't be read, is not a whole year, or a value is missing or impossible. Many such files write 99 or
        -9900 where nobody looked at the sky.

    Examples
    --------
    >>> read_year("no such file.csv", "tmy3")
    Traceback (most recent call last):
    ValueError: the weather file 'no such file.csv' can't be opened
    """
    choice("kind of weather file", kind, ("tmy3", "epw"))
    year = int(number("year", year, "", 1950, 2100))
    shelter = number("shelter", shelter, "", 0, 1)
    if not Path(path).is_file():
        raise ValueError(f"the weather file {str(path)!r} can't be opened")
    table, place, cloud, name = _read(path, kind, year)
    if len(table) != 8760:
        raise ValueError(f"the weather file {str(path)!r} must hold 8760 hours, but it holds {len(table)}")
    at_label = [_within(table[key], *rest) for key, *rest in _AT_LABEL]
    at_label.append(_within(cloud, "cloud", 0, 10, "tenths") / 10)
    sun = [_means(_within(table[key], f"{what} sun", 0, 1500, "W/m²")) for key, what in _SUN]
    temperature, dew, wind, sky = (_at_ends(values) for values in at_label)
    start = np.datetime64(f"{year}-01-01T00:00:00", "s")
    times = start + np.arange(2 * 8760 + 1) * (_HOUR // 2)
    dew = np.minimum(dew, temperature)
    return make_weather(times, temperature, dew, wind * shelter, sun, sky, snow, place, name)


_AT_LABEL = (
    ("temp_air", "air temperature", -60, 60, "°C"),
    ("temp_dew", "dew point", -80, 40, "°C"),
    ("wind_speed", "wind speed", 0, 75, "m/s"),
)
_SUN = (("dni", "beam"), ("dhi", "diffuse"), ("ghi", "global"))


def _read(path, kind, year):
    from pvlib import iotools

    try:
        if kind == "tmy3":
            table, about = iotools.read_tmy3(path, coerce_year=year)
            cloud, name = table["TotCld (tenths)"], about["Name"]
        else:
            table, about = iotools.read_epw(path, coerce_year=year)
            cloud, name = table["total_sky_cover"], about["city"]
    except (ValueError, KeyError, IndexError, TypeError, OSError) as error:
        raise ValueError(f"the weather file {str(path)!r} can't be read as {kind}: {_why(error)}") from None
    place = checked_place(about["latitude"], about["longitude"], about["TZ"], about["altitude"])
    return table, place, cloud, f"an hourly year of {str(name).strip(chr(34))}"


def _why(error):
    """What stopped a reader, without its own words for lines and keys."""
    if isinstance(error, KeyError):
        return f"it does not state {shortened(error.args[0] if error.args else 'what it must', quoted=False)}"
    if type(error).__name__ in ("ParserError", "EmptyDataError"):
        return "its lines are not those of such a file"
    return str(error)


def _within(column, what, low, high, unit):
    import pandas as pd

    values = pd.to_numeric(column, errors="coerce").to_numpy(dtype=float)
    bad = np.flatnonzero(~((values >= low) & (values <= high)))
    if len(bad):
        raw = column.iloc[bad[0]]
        shown = shortened(raw) if isinstance(raw, str) else f"{raw:g}" if raw == raw else "none"
        raise ValueError(
            f"{what} must be between {low} and {high} {unit} in each hour of the weather file, "
            f"but in hour {bad[0] + 1} it is {shown}"
        )
    return values


def _at_ends(values):
    """Put values that hold at the end of each hour on the half-hours; the year closes on itself."""
    ends = np.concatenate([values[-1:], values])
    result = np.empty(2 * len(values) + 1)
    result[::2] = ends
    result[1::2] = (ends[1:] + ends[:-1]) / 2
    return result


def _means(values):
    """Put hourly means at the middle of their hour, and halfway between them at its ends."""
    result = np.empty(2 * len(values) + 1)
    result[1::2] = values
    result[2:-1:2] = (values[1:] + values[:-1]) / 2
    result[[0, -1]] = (values[0] + values[-1]) / 2
    return result

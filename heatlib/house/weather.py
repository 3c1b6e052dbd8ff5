"""The weather a greenhouse stands in: a design night, equal days, days without sun.

Values are instantaneous at ``time`` and linear in between; sun and clock follow local standard time.
"""

import datetime
from dataclasses import dataclass, fields, replace

import numpy as np

from heatlib._check import TEMPERATURE, choice, number, shortened, single, whole
from heatlib.house.weather_sun import checked_place, sun_from_cloud, sunrise_and_noon

__all__ = ["Weather", "design_day", "design_night", "sunless_days"]

_WARMEST_AFTER_NOON = 2.5
"""The air is warmest some two to three hours after the sun stands highest; common practice, no source [h]."""
_DEW_BELOW_MINIMUM = 2.0
"""Where no dew point is told, the coldest hour is taken as near saturation; common practice, no source [K]."""
_DAY = 86400


@dataclass(frozen=True)
class Weather:
    """Regularly spaced weather, instantaneous at ``time`` and linear in between.

    All arrays have the same length; ``start`` is local standard time (no summer time), ``utc_offset`` its distance
    from UTC [h].
    """

    time: np.ndarray
    """Seconds from ``start`` [s]."""
    temperature: np.ndarray
    """Air temperature outside [°C]."""
    dew_point: np.ndarray
    """Dew point outside [°C]."""
    wind_speed: np.ndarray
    """Wind speed at the house [m/s]."""
    beam_normal: np.ndarray
    """Beam sun on a plane that faces it [W/m²]."""
    diffuse_horizontal: np.ndarray
    """Diffuse sun on the level [W/m²]."""
    global_horizontal: np.ndarray
    """All sun on the level [W/m²]."""
    cloud: np.ndarray
    """Share of the sky covered, 0–1 [–]."""
    snow: np.ndarray
    """Whether snow lies on the ground [yes/no]."""
    start: np.datetime64
    """Local standard time of ``time == 0`` [date and time]."""
    latitude: float
    """North positive [°]."""
    longitude: float
    """East positive [°]."""
    utc_offset: float
    """Local standard time minus UTC [h]."""
    elevation: float
    """Above sea level [m]."""
    name: str
    """What this weather is, in words [text]."""

    @property
    def step(self):
        """Spacing of the values [s]."""
        return float(self.time[1] - self.time[0])

    @property
    def clock(self):
        """Local standard time of each value [date and time]."""
        return self.start + np.round(self.time * 1000).astype("timedelta64[ms]")

    def between(self, start, end):
        """Return the part from ``start`` to ``end``, both included, with its own time from 0 [weather]."""
        start, end = moment("start", start), moment("end", end)
        keep = (self.clock >= start) & (self.clock <= end)
        if keep.sum() < 2:
            raise ValueError(f"the weather {self.name!r} has less than two values between {start} and {end}")
        first = int(np.flatnonzero(keep)[0])
        arrays = {f.name: getattr(self, f.name)[keep] for f in fields(self) if f.type is np.ndarray}
        arrays["time"] = arrays["time"] - self.time[first]
        return replace(self, **arrays, start=self.clock[first].astype("datetime64[s]"))


def make_weather(times, temperature, dew_point, wind_speed, sun, cloud, snow, place, name):
    """Build a Weather from clock times (regular, local standard) and columns that broadcast to them."""
    latitude, longitude, utc_offset, elevation = place
    shape = times.shape
    seconds = (times - times[0]).astype("timedelta64[ms]").astype(float) / 1000
    columns = [np.broadcast_to(np.asarray(c, dtype=float), shape).copy() for c in (temperature, dew_point, wind_speed)]
    sun = [np.broadcast_to(np.asarray(c, dtype=float), shape).copy() for c in sun]
    sky = np.broadcast_to(np.asarray(cloud, dtype=float), shape).copy()
    ground = np.broadcast_to(np.asarray(snow, dtype=bool), shape).copy()
    start = times[0].astype("datetime64[s]")
    return Weather(seconds, *columns, *sun, sky, ground, start, latitude, longitude, utc_offset, elevation, name)


def _daily_curve(hours, sunrise, noon, minimum, maximum):
    """Half a cosine up from sunrise to the warmest hour, half a cosine down to the next sunrise."""
    warmest = noon + _WARMEST_AFTER_NOON
    since = (hours - sunrise) % 24
    up = (warmest - sunrise) % 24
    phase = np.where(since < up, since / up - 1, (since - up) / (24 - up))
    return minimum + (maximum - minimum) * (1 + np.cos(np.pi * phase)) / 2


def design_day(
    latitude,
    date,
    *,
    minimum,
    maximum,
    cloud=0.0,
    days=1,
    wind_speed=0.5,
    dew_point=None,
    snow=False,
    longitude=0.0,
    utc_offset=None,
    elevation=0.0,
    step=900.0,
):
    """Make equal days from midnight to midnight: coldest at sunrise, warmest in the afternoon.

    Neglected: fronts, and clouds that come and go within the day.

    Parameters
    ----------
    latitude : float
        North positive, −66 to 66 [°].
    date : str
        First day, such as ``"2025-01-20"`` [date].
    minimum, maximum : float
        Coldest and warmest air of each day [°C].
    cloud : float or array_like
        Share of the sky covered, 0–1; one number, or one for each day [–].
    days : int
        How many days, 1 to 400 [–].
    wind_speed : float
        Wind at the house; 0.5 is calm [m/s].
    dew_point : float, optional
        Dew point outside; left out, 2 K below ``minimum`` [°C].
    snow : bool
        Whether snow lies on the ground [yes/no].
    longitude : float
        East positive [°].
    utc_offset : float, optional
        Clock minus UTC; left out, that of the longitude's own zone [h].
    elevation : float
        Above sea level [m].
    step : float
        Spacing of the values, 60 to 3600 [s].

    Returns
    -------
    Weather
        Temperatures [°C], wind [m/s] and sun [W/m²] at each step.

    Raises
    ------
    ValueError
        If a value is out of range, or the maximum is below the minimum.

    Examples
    --------
    >>> day = design_day(46.5, "2025-01-20", minimum=-24.0, maximum=-12.0)
    >>> len(day.time), round(float(day.temperature.min()), 1), round(float(day.temperature.max()), 1)
    (97, -24.0, -12.0)
    """
    days = whole("days", days, "", 1, 400)
    cloud = number("cloud", cloud, "", 0, 1)
    if np.ndim(cloud) and np.shape(cloud) != (days,):
        raise ValueError(f"cloud must be one number, or one for each of the {days} days, but it is {shortened(cloud)}")
    cloud = np.broadcast_to(cloud, (days,))
    place = checked_place(latitude, longitude, utc_offset, elevation)
    air = (wind_speed, dew_point, snow, step)
    return _days(days * 24, place, date, (minimum, maximum), cloud, air, f"{days} equal day{'s' * (days > 1)}")


def design_night(latitude, date, *, minimum, maximum, cloud=0.0, days_before=2, **more):
    """Make the coldest night and the days that lead up to it, from midnight to the noon after.

    Neglected: a milder spell before it; the days before are as cold as the last one.

    Parameters
    ----------
    latitude : float
        North positive, −66 to 66 [°].
    date : str
        Day on whose evening the night begins [date].
    minimum, maximum : float
        Coldest air of the night and warmest of the day [°C].
    cloud : float
        Share of the sky covered, 0–1 [–].
    days_before : int
        Whole days before ``date``, 0 to 60: they show what the sun really put into the stores [–].
    **more : float, optional
        ``wind_speed`` [m/s], ``dew_point`` [°C], ``snow`` [yes/no], ``longitude`` [°], ``utc_offset`` [h],
        ``elevation`` [m] and ``step`` [s], as for :func:`design_day`.

    Returns
    -------
    Weather
        Temperatures [°C], wind [m/s] and sun [W/m²] at each step; the night is its last 24 hours [h].

    Raises
    ------
    ValueError
        If a value is out of range, or the maximum is below the minimum.

    Examples
    --------
    >>> night = design_night(46.5, "2025-01-20", minimum=-24.0, maximum=-12.0, elevation=350.0)
    >>> str(night.clock[0]), str(night.clock[-1])
    ('2025-01-18T00:00:00.000', '2025-01-21T12:00:00.000')
    """
    before = whole("days before", days_before, "", 0, 60)
    cloud = single("cloud", cloud, "", 0, 1)
    return _spell(latitude, date, (minimum, maximum), [cloud] * (before + 1), more, "a design night")


def sunless_days(latitude, date, *, minimum, maximum, sunless=3, days_before=2, cloud=0.0, **more):
    """Make a run of covered days after some clear ones, with the night after the last of them, to noon.

    Neglected: that covered nights are milder; take the minimum for what it is.

    Parameters
    ----------
    latitude : float
        North positive, −66 to 66 [°].
    date : str
        Last of the covered days, on whose evening the night begins [date].
    minimum, maximum : float
        Coldest and warmest air of each day [°C].
    sunless : int
        How many covered days, 1 to 30 [–].
    days_before : int
        Whole days with the sky of ``cloud`` before them, 0 to 60 [–].
    cloud : float
        Share of the sky covered before the covered days, 0–1 [–].
    **more : float, optional
        As for :func:`design_night` [as there].

    Returns
    -------
    Weather
        Temperatures [°C], wind [m/s] and sun [W/m²] at each step; the night is its last 24 hours [h].

    Raises
    ------
    ValueError
        If a value is out of range, or the maximum is below the minimum.

    Examples
    --------
    >>> spell = sunless_days(46.5, "2025-01-20", minimum=-10.0, maximum=-4.0)
    >>> str(spell.clock[0]), float(spell.beam_normal[-288:].max())
    ('2025-01-16T00:00:00.000', 0.0)
    """
    dark = whole("sunless days", sunless, "", 1, 30)
    before = whole("days before", days_before, "", 0, 60)
    cloud = single("cloud", cloud, "", 0, 1)
    words = f"{dark} days without sun"
    return _spell(latitude, date, (minimum, maximum), [cloud] * before + [1.0] * dark, more, words)


def _spell(latitude, date, limits, cloud, more, words):
    """Build days of the given clouds that end with the noon after ``date``."""
    own = dict(wind_speed=0.5, dew_point=None, snow=False, step=900.0, longitude=0.0, utc_offset=None, elevation=0.0)
    for name in more:
        choice("argument", name, own)
    own |= more
    place = checked_place(latitude, own["longitude"], own["utc_offset"], own["elevation"])
    air = tuple(own[name] for name in ("wind_speed", "dew_point", "snow", "step"))
    first = _day(date) - np.timedelta64(len(cloud) - 1, "D")
    return _days(len(cloud) * 24 + 12, place, first, limits, cloud, air, words)


def _days(hours, place, date, limits, cloud, air, words):
    """Build so many hours of equal days from midnight; ``cloud`` is one number a day, the last one goes on."""
    wind_speed, dew_point, snow, step = air
    low = single("minimum", limits[0], "°C", *TEMPERATURE)
    high = single("maximum", limits[1], "°C", low, TEMPERATURE[1])
    step = single("step", step, "s", 60, 3600)
    dew = low - _DEW_BELOW_MINIMUM if dew_point is None else single("dew point", dew_point, "°C", -80, high)
    if not isinstance(snow, bool | np.bool_):
        raise ValueError(f"snow must be true or false, but it is {shortened(snow)}")
    first = _day(date)
    seconds = np.arange(0, hours * 3600 + 1, step)
    times = first.astype("datetime64[s]") + seconds.astype("timedelta64[s]")
    sunrise, noon = sunrise_and_noon(first, place)
    temperature = _daily_curve(seconds / 3600, sunrise, noon, low, high)
    sky = np.asarray(cloud)[np.minimum((seconds // _DAY).astype(int), len(cloud) - 1)]
    latitude, longitude, utc_offset, elevation = place
    sun = sun_from_cloud(times, latitude, sky, longitude=longitude, utc_offset=utc_offset, elevation=elevation)
    wind = single("wind speed", wind_speed, "m/s", 0, 60)
    name = f"{words}, {low:g} to {high:g} °C, from {first} at {latitude:g}° latitude"
    return make_weather(times, temperature, np.minimum(dew, temperature), wind, sun, sky, snow, place, name)


def _day(date):
    day = moment("date", date, "a day such as '2025-01-20'")
    return day.astype("datetime64[D]")


def moment(name, value, wanted="a date and time such as '2025-01-20T18:00'"):
    """Return a told time to the millisecond, or say what it must be."""
    try:
        told = np.datetime64(value if isinstance(value, str | datetime.date | np.datetime64) else "", "ms")
    except ValueError:
        told = np.datetime64("NaT", "ms")
    if np.isnat(told):
        raise ValueError(f"{name} must be {wanted}, but it is {shortened(value)}")
    return told


def checked_weather(value):
    """Return a weather, or say that it is none."""
    if not isinstance(value, Weather):
        raise ValueError(f"weather must be a Weather, such as design_night gives, but it is {shortened(value)}")
    return value

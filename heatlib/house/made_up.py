"""A made-up log of a described house: what a grower's logger would have written, with the scatter of a cheap sensor.

It stands in where a reader has no log yet. It is the same on every machine, and whoever shows it says it is made up.
"""

import numpy as np

from heatlib._check import single, whole
from heatlib.house.balance import run
from heatlib.house.greenhouse import checked_house
from heatlib.house.weather import checked_weather, moment

__all__ = ["made_up_log"]


def made_up_log(house, weather, start=None, end=None, *, step=600.0, noise=0.2, seed=8):
    """Write the log of a house in its weather as a logger's CSV, made up by running the house.

    Neglected: what a real sensor gets wrong besides scatter: sun on it, slowness, a shift of its whole scale.

    Parameters
    ----------
    house : Greenhouse
        The house [SI inside].
    weather : Weather
        The weather; the house is run through all of it [SI inside].
    start, end : str or numpy.datetime64, optional
        First and last reading; the whole weather when left out [date and time].
    step : float
        From reading to reading, 60 to 3600 [s].
    noise : float
        Scatter of each reading (standard deviation), 0 to 5 [K].
    seed : int
        Another number gives another scatter, 0 to 1e6 [–].

    Returns
    -------
    str
        CSV with time, air inside and air outside, to be read by :func:`heatlib.house.logger.read_logger` [°C].

    Raises
    ------
    ValueError
        If a value is out of range, or no reading lies between start and end.

    Examples
    --------
    >>> from heatlib.house.demo import demo_house
    >>> from heatlib.house.weather import design_night
    >>> night = design_night(46.5, "2025-01-15", minimum=-24.0, maximum=-12.0, cloud=1.0, days_before=0)
    >>> made_up_log(demo_house(1), night, step=3600.0, noise=0.0).splitlines()[0]
    'time,inside (°C),outside (°C)'
    """
    checked_house(house), checked_weather(weather)
    apart = single("step of the log", step, "s", 60, 3600)
    spread = single("noise", noise, "K", 0, 5)
    course = run(house, weather, min(300.0, weather.step))
    first = weather.start if start is None else moment("start", start).astype("datetime64[s]")
    last = weather.clock[-1].astype("datetime64[s]") if end is None else moment("end", end).astype("datetime64[s]")
    times = np.arange(first, last + np.timedelta64(1, "s"), np.timedelta64(round(apart), "s"))
    seconds = (times - weather.start).astype("timedelta64[s]").astype(float)
    kept = (seconds >= 0) & (seconds <= weather.time[-1])
    times, seconds = times[kept], seconds[kept]
    if not len(times):
        raise ValueError(f"the weather holds no moment between {first} and {last} to make a log of")
    scatter = spread * _scatter(whole("seed", seed, "", 0, 1e6), 2 * len(times)).reshape(2, -1)
    inside = course.air_at(seconds) + scatter[0]
    outside = np.interp(seconds, weather.time, weather.temperature) + scatter[1]
    stamps = np.datetime_as_string(times, "m" if (times == times.astype("datetime64[m]")).all() else "s")
    rows = [f"{when},{warm:.1f},{cold:.1f}" for when, warm, cold in zip(stamps, inside, outside)]
    return "\n".join(["time,inside (°C),outside (°C)", *rows]) + "\n"


def _scatter(seed, count):
    """Draw ``count`` numbers with mean 0 and spread 1, the same for ever.

    Numpy keeps its raw generator's numbers but not those of its distributions; twelve even numbers less six do.
    """
    raw = np.random.PCG64(seed).random_raw((count, 12))
    return (raw / 2.0**64).sum(axis=1) - 6.0

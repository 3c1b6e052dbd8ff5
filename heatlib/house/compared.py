"""The model of a house beside its own logged night: how many times what its parts say it loses, and where to look."""

from dataclasses import dataclass

import numpy as np

from heatlib.house.balance import run
from heatlib.house.greenhouse import Heater
from heatlib.house.logger_record import Record
from heatlib.house.measured import fit_cooling, fit_heated

__all__ = ["Comparison", "compare_cooling", "compare_heated"]

_RUN_UP = 18
"""Weather this long before a night shows what the stores hold when it begins [h]."""


@dataclass(frozen=True)
class Comparison:
    """The model of the house beside what was measured."""

    measured: float
    """Fitted to the log: [1/h] without heat, [W/K] heated."""
    model: float
    """The same of the model in the same weather: [1/h] or [W/K]."""
    ratio: float
    """Measured over model [–]."""
    low: float
    """Low end of the ratio, 19 times out of 20 [–]."""
    high: float
    """High end of the ratio, 19 times out of 20 [–]."""
    time: np.ndarray
    """Times of the readings [date and time]."""
    inside: np.ndarray
    """Air inside as logged [°C]."""
    modelled: np.ndarray
    """Air inside as the house model has it [°C]."""
    sentence: str
    """The result in words [text]."""

    @property
    def residuals(self):
        """Measured minus house model [K]."""
        return self.inside - self.modelled


def compare_cooling(house, record, weather, start=None, end=None, *, stores=None):
    """Set the model of the house beside a logged night without heat.

    Neglected: the model's own uncertainty; the interval is that of the measurement.

    Parameters
    ----------
    house : Greenhouse
        The house as described; its heater is switched off here [SI inside].
    record : Record
        Readings ``inside`` and ``outside`` [°C].
    weather : Weather
        The outside of that night and of 18 h or more before it, such as
        :func:`heatlib.house.recorded.weather_from_record` makes [°C].
    start, end : str or numpy.datetime64, optional
        The part without heat and sun [date and time].
    stores : dict, optional
        Temperatures of stores and ``floor`` at the start where known; left out, the model comes to them by itself
        from the start of the weather [°C].

    Returns
    -------
    Comparison
        Both loss rates, their ratio and the two courses [1/h, °C].

    Raises
    ------
    ValueError
        As :func:`fit_cooling`, or if the weather does not cover the night.

    Notes
    -----
    Both courses, logged and modelled, go through the same one-lump fit, so that what the fit leaves out cancels.

    Examples
    --------
    >>> compare_cooling(None, None, None)
    Traceback (most recent call last):
    ValueError: record must come from read_logger
    """
    fit = fit_cooling(record, start, end)
    _, air, _ = _model_course(house.changed("heater", None), fit, weather, stores)
    model = fit_cooling(_as_logged(fit, air, record))
    return _comparison(fit, fit.rate, (fit.low, fit.high), model.rate, air, "loses heat", "as fast as")


def compare_heated(house, record, power, weather, start=None, end=None, *, stores=None):
    """Set the model of the house beside a logged heated night.

    Neglected: the model's own uncertainty; the interval is that of the measurement.

    Parameters
    ----------
    house : Greenhouse
        The house as described; its own heater is replaced by one that holds the logged mean [SI inside].
    record : Record
        Readings ``inside`` and ``outside`` [°C].
    power : float or array_like
        Heat put in, as for :func:`fit_heated` [W].
    weather : Weather
        The outside of that night and of 18 h or more before it [°C].
    start, end : str or numpy.datetime64, optional
        The heated part without sun [date and time].
    stores : dict, optional
        Temperatures of stores and ``floor`` at the start where known; left out, the model comes to them by itself
        from the start of the weather [°C].

    Returns
    -------
    Comparison
        Both losses, their ratio and the two courses [W/K, °C].

    Raises
    ------
    ValueError
        As :func:`fit_heated`, or if the weather does not cover the night.

    Notes
    -----
    The model's W/K is the heat it takes to hold the logged mean over its lead on the outside, both summed over the
    night; what floor and stores give counts on neither side.

    Examples
    --------
    >>> compare_heated(None, None, -1.0, None)
    Traceback (most recent call last):
    ValueError: power must be between 0 and 1e+06 W, but it is -1 W
    """
    fit = fit_heated(record, power, start, end)
    heater = Heater(power=1e5, setpoint=float(fit.measured.mean()), band=0.01)
    course, air, begins = _model_course(house.changed("heater", heater), fit, weather, stores)
    night = course.time >= begins
    model = float(course.heater[night].sum() / (course.air - course.outside)[night].sum())
    if model <= 0:
        raise ValueError("by its parts the house would not have needed heat that night: there is nothing to compare")
    return _comparison(fit, fit.loss, (fit.low, fit.high), model, air, "loses", "what")


def _model_course(house, fit, weather, stores):
    first, last = fit.time[0].astype("datetime64[s]"), fit.time[-1].astype("datetime64[s]")
    late = np.timedelta64(round(weather.step), "s")
    if weather.start > first + late or weather.clock[-1] < last - late:
        raise ValueError("the weather does not cover the logged night")
    if stores is None and first - weather.start < np.timedelta64(_RUN_UP, "h"):
        raise ValueError(
            f"the weather must begin {_RUN_UP} h or more before the night, to show what the stores hold; or tell their "
            "temperatures with stores={…}"
        )
    part = weather.between(first if stores is not None else weather.start, last)
    initial = None if stores is None else {"air": float(fit.measured[0])} | stores
    course = run(house, part, min(300.0, part.step), initial=initial)
    seconds = (fit.time - part.start).astype("timedelta64[s]").astype(float)
    return course, course.air_at(seconds, initial and initial["air"]), seconds[0]


def _as_logged(fit, air, record):
    outside = np.interp(fit.time.astype(float), record.time.astype(float), record.column("outside"))
    columns = {"inside": air, "outside": outside}
    return Record(fit.time, columns, None, None, np.arange(len(air)), record.step, None)


def _comparison(fit, measured, limits, model, air, loses, how):
    ratio, low, high = (value / model for value in (measured, *limits))
    lead = f"your house {loses} {ratio:.2g} times {how} its parts say"
    if low > 1:
        words = f"{lead}: look for leaks first"
    elif high < 1:
        words = f"{lead}: something holds more heat or insulates better than described"
    else:
        words = f"your house {loses} as its parts say, within what one night can tell ({low:.2g} to {high:.2g} times)"
    return Comparison(measured, float(model), float(ratio), float(low), float(high), fit.time, fit.measured, air, words)

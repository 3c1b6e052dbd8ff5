"""What a grower's own thermometer says: loss against storage from a night without heat, W/K from a heated night.

The house is taken as one lump that loses heat in proportion to the difference to the outside air. Noise may be
correlated from reading to reading; the standard errors allow for it.
"""

from dataclasses import dataclass
from math import exp, expm1

import numpy as np

from heatlib._check import number
from heatlib.house.logger_record import Record

__all__ = ["FEWEST", "CoolingFit", "HeatedFit", "fit_cooling", "fit_heated"]

FEWEST = 8
"""Fewer readings of a night than this give no honest standard error; ten by hand do [–]."""
_SHORT, _SHORT_CORRELATION = 12, 0.2
"""Fewer readings than 12 can't tell how far one error carries over to the next: it is taken as 0.2 at least [–]."""
_RATES, _LAGS = (0.01, 0.03, 0.1, 0.3, 1.0), (0.3, 1.0, 3.0, 10.0, 40.0)
"""Losses over storage [1/h] and storages over loss [h] of which the nearest is where a fit begins."""
_FEW, _MANY = 12, 60
"""Up to so few readings their carry-over is taken a whole standard error higher, from so many on none at all [–]."""
_USUAL_LAG, _LAG_SPREAD = 5.0, 3.0
"""A steady heated night says nothing of storage: it is taken as 5 h of loss, to within a factor of 20 (e³) [h]."""


@dataclass(frozen=True)
class CoolingFit:
    """Loss over storage from a night without heat; ``low`` to ``high`` holds the true value 19 times out of 20."""

    rate: float
    """Loss coefficient over heat capacity [1/h]."""
    standard_error: float
    """[1/h]"""
    low: float
    """[1/h]"""
    high: float
    """[1/h]"""
    time: np.ndarray
    """Times of the readings used [date and time]."""
    measured: np.ndarray
    """Air inside as logged [°C]."""
    modelled: np.ndarray
    """Air inside as the fitted lump has it [°C]."""
    noise: float
    """Scatter of the readings about the fit [K]."""
    correlation: float
    """How much one reading's error carries over to the next, 0–1 [–]."""
    sentence: str
    """The result in words [text]."""

    @property
    def residuals(self):
        """Measured minus fitted [K]."""
        return self.measured - self.modelled

    @property
    def time_constant(self):
        """Hours in which the difference to a steady outside falls to 37 % [h]."""
        return 1 / self.rate


@dataclass(frozen=True)
class HeatedFit:
    """Loss in W/K from a heated night; ``low`` to ``high`` holds the true value 19 times out of 20."""

    loss: float
    """[W/K]"""
    standard_error: float
    """[W/K]"""
    low: float
    """[W/K]"""
    high: float
    """[W/K]"""
    storage: float
    """Heat capacity that took part; the poorer known the steadier the night [J/K]."""
    time: np.ndarray
    """Times of the readings used [date and time]."""
    measured: np.ndarray
    """Air inside as logged [°C]."""
    modelled: np.ndarray
    """Air inside as the fitted lump has it [°C]."""
    noise: float
    """Scatter of the readings about the fit [K]."""
    correlation: float
    """How much one reading's error carries over to the next, 0–1 [–]."""
    sentence: str
    """The result in words [text]."""

    @property
    def residuals(self):
        """Measured minus fitted [K]."""
        return self.measured - self.modelled


def fit_cooling(record, start=None, end=None):
    """Fit loss over storage to a logged night without heater and sun.

    Neglected: that air, barrels and floor have temperatures of their own; start an hour or two after the sun has gone.

    Parameters
    ----------
    record : Record
        Readings ``inside`` and ``outside`` [°C].
    start, end : str or numpy.datetime64, optional
        The part without heat and sun; the whole record when left out [date and time].

    Returns
    -------
    CoolingFit
        Loss over storage with its standard error [1/h].

    Raises
    ------
    ValueError
        If there are fewer than 8 readings, or the readings don't show the house cooling.

    Notes
    -----
    ``dT/dt = −k (T − outside)``, outside linear between readings, least squares in T with errors correlated from
    reading to reading (first-order); interval by Student's t. A barrel house has a k of some 0.02–0.1 per hour.

    Examples
    --------
    >>> import numpy as np
    >>> hours = np.arange(13.0)
    >>> time = np.datetime64("2024-01-01T18", "s") + (hours * 3600).astype("timedelta64[s]")
    >>> inside = 10 * np.exp(-0.1 * hours)  # outside 0 °C
    >>> record = Record(time, {"inside": inside, "outside": 0 * hours}, None, None, hours, 3600.0, None)
    >>> round(fit_cooling(record).rate, 6)
    0.1
    """
    time, hours, inside, outside, _ = _readings(record, start, end)
    if np.ptp(inside - outside) < 1e-9 and abs(inside[0] - outside[0]) < 1e-9:
        raise ValueError("inside and outside are the same all night: nothing can be fitted")

    def model(parameters):
        return _lump(hours, outside, exp(min(parameters[0], 5.0)), parameters[1])

    guesses = [(np.log(k), inside[0]) for k in _RATES]
    values, cov, fitted, noise, rho, quantile = _fit(model, guesses, inside, hours)
    rate, error = float(np.exp(values[0])), float(np.exp(values[0]) * np.sqrt(cov[0, 0]))
    _told_something(error, rate, "cooling")
    low, high = rate * np.exp(-quantile * error / rate), rate * np.exp(quantile * error / rate)
    sentence = (
        f"Without heat the house loses {rate:.1%} of its lead over the outside each hour (between {low:.1%} and "
        f"{high:.1%}, 19 times out of 20); after {1 / rate:.0f} h some 37% of the lead is left."
    )
    return CoolingFit(rate, error, float(low), float(high), time, inside, fitted, float(noise), float(rho), sentence)


def fit_heated(record, power, start=None, end=None):
    """Fit the loss in W/K to a logged heated night.

    Neglected: as in :func:`fit_cooling`; heat that the floor or stores gave up counts as stored heat of one lump.

    Parameters
    ----------
    record : Record
        Readings ``inside`` and ``outside`` [°C].
    power : float or array_like
        Heat put in: one number, or the mean from each reading to the next, one for each reading [W].
    start, end : str or numpy.datetime64, optional
        The heated part without sun; the whole record when left out [date and time].

    Returns
    -------
    HeatedFit
        Loss with its standard error [W/K].

    Raises
    ------
    ValueError
        If there are fewer than 8 readings, the power is not positive on the mean, or the night says too little.

    Notes
    -----
    ``C dT/dt = P − L (T − outside)``, fitted as in :func:`fit_cooling`. On a steady night L is mean power over mean
    difference, and C hardly matters.

    Examples
    --------
    >>> import numpy as np
    >>> hours = np.arange(13.0)
    >>> time = np.datetime64("2024-01-01T18", "s") + (hours * 3600).astype("timedelta64[s]")
    >>> inside = 10 - 5 * np.exp(-0.2 * hours)  # on its way to 10 K above the outside with 1000 W
    >>> record = Record(time, {"inside": inside, "outside": 0 * hours}, None, None, hours, 3600.0, None)
    >>> round(fit_heated(record, 1000.0).loss, 3)
    100.0
    """
    watts = number("power", power, "W", 0, 1e6)
    if np.ndim(watts) and np.shape(watts) != record.time.shape:
        raise ValueError(f"power must be one number or one for each of {len(record.time)} readings")
    time, hours, inside, outside, kept = _readings(record, start, end)
    watts = np.broadcast_to(watts, record.time.shape)[kept]
    lead = float(np.mean(inside - outside))
    if watts.mean() <= 0 or lead <= 0:
        raise ValueError("the night must be heated and warmer inside than outside")

    def model(parameters):
        loss, storage = exp(min(parameters[0], 20.0)), exp(min(max(parameters[1], 0.0), 40.0))
        return _lump(hours, outside, loss * 3600 / storage, parameters[2], watts / loss)

    first = np.log(watts.mean() / lead)
    guesses = [(first, first + np.log(3600 * lag), inside[0]) for lag in _LAGS]
    prior = (1, first + np.log(3600 * _USUAL_LAG), _LAG_SPREAD)
    values, cov, fitted, noise, rho, quantile = _fit(model, guesses, inside, hours, prior)
    loss, error = float(np.exp(values[0])), float(np.exp(values[0]) * np.sqrt(cov[0, 0]))
    _told_something(error, loss, "heated")
    low, high = loss * np.exp(-quantile * error / loss), loss * np.exp(quantile * error / loss)
    sentence = (
        f"The house needs {loss:.3g} W for each K (°C) it is warmer than outside, between {low:.3g} and {high:.3g} "
        "W/K, 19 times out of 20."
    )
    storage = float(np.exp(values[1]))
    return HeatedFit(
        loss, error, float(low), float(high), storage, time, inside, fitted, float(noise), float(rho), sentence
    )


def _readings(record, start, end):
    if not isinstance(record, Record):
        raise ValueError("record must come from read_logger")
    for name in ("inside", "outside"):
        record.column(name)
    first = record.time[0] if start is None else np.datetime64(start, "s")
    last = record.time[-1] if end is None else np.datetime64(end, "s")
    inside, outside = record.temperatures["inside"], record.temperatures["outside"]
    kept = (record.time >= first) & (record.time <= last) & np.isfinite(inside) & np.isfinite(outside)
    if kept.sum() < FEWEST:
        raise ValueError(f"the night must have {FEWEST} readings or more inside and outside, but has {kept.sum()}")
    time = record.time[kept]
    hours = (time - time[0]).astype("timedelta64[s]").astype(float) / 3600
    return time, hours, inside[kept].astype(float), outside[kept].astype(float), kept


def _lump(hours, outside, rate, first, lift=None):
    """Temperature of one lump [°C]: exact between readings for a straight-line outside and a constant ``lift`` [K]."""
    result, value = [first], first
    extra = [0.0] * len(hours) if lift is None else lift.tolist()
    times, around = hours.tolist(), outside.tolist()
    for i in range(1, len(times)):
        x = max(rate * (times[i] - times[i - 1]), 1e-12)
        kept = exp(-x)
        mean = -expm1(-x) / x
        u0, u1 = around[i - 1] + extra[i - 1], around[i] + extra[i - 1]
        value = kept * value + u1 * (1 - mean) + u0 * (mean - kept)
        result.append(value)
    return np.array(result)


def _fit(model, guesses, measured, hours, prior=None):
    """Least squares with first-order correlated errors: fit, estimate the correlation, whiten, fit again.

    ``prior`` is ``(index, value, spread)`` of a parameter known only roughly; it enters as one more reading.
    """
    from scipy.optimize import least_squares
    from scipy.stats import t as student

    n, p = len(measured), len(guesses[0])
    steps = np.diff(hours) / np.median(np.diff(hours))
    scatter = max(float(np.std(np.diff(measured))) / np.sqrt(2), 1e-9)

    def misses(x, rho):
        errors = _white(model(x) - measured, rho, steps)
        return errors if prior is None else np.append(errors, scatter * (x[prior[0]] - prior[1]) / prior[2])

    first = min(guesses, key=lambda guess: float(np.sum(misses(guess, 0.0) ** 2)))
    best = least_squares(misses, first, method="lm", args=(0.0,))
    for _ in range(3):
        rho = _correlation(measured - model(best.x), p)
        rho = max(rho, _SHORT_CORRELATION) if n < _SHORT else rho
        scatter = max(float(np.std(_white(model(best.x) - measured, rho, steps))), 1e-9)
        best = least_squares(misses, best.x, method="lm", args=(rho,))
    information = best.jac.T @ best.jac
    if not np.all(np.isfinite(information)) or np.linalg.cond(information) > 1e16:
        raise ValueError("this night says too little: take a longer one, with a greater difference to the outside")
    cov = np.linalg.inv(information) * 2 * best.cost / (n - p)
    fitted = model(best.x)
    freedom = max(n * (1 - rho) / (1 + rho) - p, 3.0)
    return best.x, cov, fitted, np.std(measured - fitted), rho, float(student.ppf(0.975, freedom))


def _correlation(errors, parameters):
    """First-order correlation of fit errors, corrected for what the fit itself took out of it.

    Few readings show it poorly, and taken too low it makes errors look smaller than they are: up to a dozen it is taken
    one standard error, √((1 − ρ²)/n), higher; from five dozen on it is known well enough.
    """
    n = len(errors)
    square = float(errors @ errors)
    if square < 1e-18 * n:
        return 0.0
    raw = float(errors[1:] @ errors[:-1]) / square
    shown = raw + (1 + 3 * (1 + parameters) * max(raw, 0.0)) / n
    few = min(1.0, max(0.0, (_MANY - n) / (_MANY - _FEW)))
    cautious = shown + few * np.sqrt(max(0.0, 1 - shown**2) / n)
    return float(min(max(cautious, 0.0), 0.97))


def _white(errors, rho, steps):
    kept = rho**steps
    return np.concatenate([errors[:1], (errors[1:] - kept * errors[:-1]) / np.sqrt(1 - kept**2)])


def _told_something(error, value, word):
    if not np.isfinite(error) or error > value:
        raise ValueError(f"this {word} night says too little: the loss comes out as uncertain as it is large")

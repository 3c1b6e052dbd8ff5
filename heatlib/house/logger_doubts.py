"""Look a logger's readings over for what a careful eye would doubt: spikes, a stuck sensor, a change of unit, gaps.

Nothing is changed here: each function names the places, the grower decides. The limits are common practice, no
source: air outdoors or in a small house does not do these things between two readings.
"""

import numpy as np

from heatlib._check import number

__all__ = ["gaps", "spikes", "stuck", "unit_changes", "usual_step"]

_SPIKE = 8.0
"""A single reading this far off both neighbours, on the same side, is called a spike [K]."""
_NEIGHBOURS = 3.0
"""The neighbours of a spike agree within this [K]."""
_STUCK_READINGS, _STUCK_HOURS = 12, 6.0
"""A sensor that says exactly the same for so many readings and hours is called stuck."""
_NEAR_HOURS = 2.0
"""Readings further apart say nothing about each other [h]."""
_SWITCH = 10.0
"""A step smaller than this can't be told from weather when looking for a change of unit [K]."""
_SWITCH_MATCH = 1.0
"""How well the step must fit a change between °F and °C [K]."""


def usual_step(times):
    """Return the time between readings that occurs most often.

    Parameters
    ----------
    times : numpy.ndarray
        Clock times in any order [date and time].

    Returns
    -------
    float
        The most frequent positive step; the shortest of them on a tie [s].

    Raises
    ------
    ValueError
        If there are fewer than two different times.

    Examples
    --------
    >>> usual_step(np.array(["2024-01-01T00", "2024-01-01T01", "2024-01-01T02", "2024-01-01T05"], "datetime64[s]"))
    3600.0
    """
    steps = np.diff(np.sort(times)).astype(np.int64)
    values, counts = np.unique(steps[steps > 0], return_counts=True)
    if not len(values):
        raise ValueError("the logger's file needs readings at two different times or more")
    return float(values[np.argmax(counts)])


def gaps(times, step):
    """Find the places where readings are missing.

    Parameters
    ----------
    times : numpy.ndarray
        Increasing times [date and time].
    step : float
        The usual time between two readings [s].

    Returns
    -------
    list of tuple
        ``(index, hours)``: the reading before the gap and the time to the next one [h].

    Raises
    ------
    ValueError
        If the step is not positive.

    Examples
    --------
    >>> gaps(np.array(["2024-01-01T00", "2024-01-01T01", "2024-01-01T05"], "datetime64[s]"), 3600.0)
    [(1, 4.0)]
    """
    number("step", step, "s", above=0)
    apart = np.diff(times).astype(float)
    return [(int(i), float(apart[i] / 3600)) for i in np.flatnonzero(apart > 1.5 * step)]


def spikes(times, values):
    """Find single readings far off both neighbours while the neighbours agree.

    Parameters
    ----------
    times : numpy.ndarray
        Increasing times [date and time].
    values : numpy.ndarray
        Temperatures, NaN where missing [°C].

    Returns
    -------
    numpy.ndarray
        Indices of the spikes [–].

    Raises
    ------
    ValueError
        Never for arrays of the same length.

    Examples
    --------
    >>> times = np.arange("2024-01-01T00", "2024-01-01T05", dtype="datetime64[h]").astype("datetime64[s]")
    >>> spikes(times, np.array([1.0, 1.5, 30.0, 1.0, 0.5])).tolist()
    [2]
    """
    where = np.flatnonzero(np.isfinite(values))
    v, t = values[where], times[where].astype("datetime64[s]").astype(np.int64)
    left, right = v[1:-1] - v[:-2], v[1:-1] - v[2:]
    off = np.minimum(np.abs(left), np.abs(right)) >= _SPIKE  # on one side of both, for these agree
    near = (t[2:] - t[:-2] <= 2 * _NEAR_HOURS * 3600) & (np.abs(v[2:] - v[:-2]) <= _NEIGHBOURS)
    return where[1:-1][off & near]


def stuck(times, values):
    """Find runs in which a sensor says exactly the same thing.

    Water that freezes, or a thermometer in it, may really stand still: a run is a question, not a verdict.

    Parameters
    ----------
    times : numpy.ndarray
        Increasing times [date and time].
    values : numpy.ndarray
        Temperatures, NaN where missing [°C].

    Returns
    -------
    list of tuple
        ``(first, last)`` index of each run of 12 readings and 6 h or more [–].

    Raises
    ------
    ValueError
        Never for arrays of the same length.

    Examples
    --------
    >>> times = np.arange("2024-01-01T00", "2024-01-02T00", dtype="datetime64[h]").astype("datetime64[s]")
    >>> stuck(times, np.where(np.arange(24) < 10, np.arange(24), 3.5))
    [(10, 23)]
    """
    same = np.concatenate([[False], values[1:] == values[:-1], [False]])
    edges = np.diff(same.astype(int))
    firsts, lasts = np.flatnonzero(edges == 1), np.flatnonzero(edges == -1)
    hours = (times[lasts] - times[firsts]).astype("timedelta64[s]").astype(float) / 3600
    long = (lasts - firsts + 1 >= _STUCK_READINGS) & (hours >= _STUCK_HOURS)
    return [(int(a), int(b)) for a, b in zip(firsts[long], lasts[long])]


def unit_changes(times, values):
    """Find steps that look as if the logger was switched between °F and °C.

    Parameters
    ----------
    times : numpy.ndarray
        Increasing times [date and time].
    values : numpy.ndarray
        Numbers as written in the file, NaN where missing [°C or °F].

    Returns
    -------
    numpy.ndarray
        Indices of the first readings after such a step [–].

    Raises
    ------
    ValueError
        Never for arrays of the same length.

    Examples
    --------
    >>> times = np.arange("2024-01-01T00", "2024-01-01T06", dtype="datetime64[h]").astype("datetime64[s]")
    >>> unit_changes(times, np.array([60.0, 59.5, 59.0, 14.9, 14.8, 14.7])).tolist()
    [3]
    """
    where = np.flatnonzero(np.isfinite(values))
    v, t = values[where], times[where].astype("datetime64[s]").astype(np.int64)
    before, after = v[1:-2], v[2:-1]
    step = np.abs(after - before)
    fits = np.minimum(np.abs(after - (before - 32) / 1.8), np.abs(after - (before * 1.8 + 32))) <= _SWITCH_MATCH
    stays = (np.abs(v[3:] - after) < step / 3) & (np.abs(before - v[:-3]) < step / 3)
    near = np.diff(t)[1:-1] <= _NEAR_HOURS * 3600
    return where[2:-1][fits & stays & near & (step >= _SWITCH)]

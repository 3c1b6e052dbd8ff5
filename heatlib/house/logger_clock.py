"""Read a logger's dates and clock times: 12 or 24 hours, day or month first, summer time; nothing is guessed.

Times come back as local clock time without zone; where the file states offsets from UTC they become local standard
time (the smallest offset in the file).
"""

import re
from datetime import datetime

import numpy as np

from heatlib._check import choice

__all__ = ["ORDERS", "clock_jumps", "read_clock"]

ORDERS = ("day first", "month first", "year first")
_SHAPE = re.compile(
    r"(?P<a>\d{1,4})(?P<sep>[-/.])(?P<b>\d{1,2})(?P=sep)(?P<c>\d{1,4})(?P<join>,? +|T)"
    r"\d{1,2}(?P<colon>:)\d{2}(?P<sec>:\d{2})?(?P<frac>[.]\d{1,6})?(?P<gap> ?)(?P<half>[AaPp]\.?[Mm]\.?)?"
    r"(?P<space> ?)(?P<zone>Z|[+-]\d{2}:?\d{2})?"
)
_NAMED = re.compile(
    r"(?:(?P<d>\d{1,2})(?P<sep>[- /.])[A-Za-z]{3}(?P=sep)(?P<y>\d{4}|\d{2})|[A-Za-z]{3} \d{1,2}(?P<comma>,?) \d{4})"
    r"(?P<join>,? +|T)\d{1,2}:\d{2}(?P<sec>:\d{2})?(?P<gap> ?)(?P<half>[AaPp]\.?[Mm]\.?)?"
)
_SAMPLE = 500
_JUMP_TOLERANCE = 60
"""How exactly a jump must be one hour to be a change of the clock [s]."""


def read_clock(texts, *, date_order=None):
    """Read a column of dates with clock times.

    Neglected: time zones by name, dates without a clock time, serial day numbers.

    Parameters
    ----------
    texts : list of str
        Cells such as ``"2024-01-05 18:30"``, ``"1/5/2024 6:30 PM"``, ``"5.1.2024 18:30:00"`` [text].
    date_order : str, optional
        ``"day first"``, ``"month first"`` or ``"year first"``; needed where the dates can be read in two ways [text].

    Returns
    -------
    tuple
        ``(times, order, offset)``: ``numpy.datetime64`` to the second (NaT where a cell can't be read) [date and time],
        the date order [text], and the offset from UTC [h] where the file states one, else None.

    Raises
    ------
    ValueError
        If no cell looks like a date with a clock time, or the date order is open.

    Examples
    --------
    >>> times, order, offset = read_clock(["13/01/2024 6:30 PM", "14/01/2024 12:05 AM"])
    >>> str(times[0]), str(times[1]), order
    ('2024-01-13T18:30:00', '2024-01-14T00:05:00', 'day first')
    """
    if date_order is not None:
        choice("date order", date_order, ORDERS)
    texts = [text.replace(".m.", "m").replace(".M.", "M") for text in texts] if _dotted(texts) else texts
    match, named = _shape(texts)
    if named:
        times = _parse(texts, _named_format(match))
        return times, "month by name", None
    orders = [order for order in _possible_orders(match) if date_order in (None, order)]
    if not orders:
        raise ValueError(f"the dates, such as {match.group()!r}, can't be read {date_order}")
    readings = _read_parts(texts, match, orders)
    order = _decide(readings, match.group())
    times = readings[order]
    if match["zone"]:
        return (*_to_standard_time(times, texts, order),)
    return times, order, None


def _dotted(texts):
    return any(re.search(r"[ap]\.m\.", text, re.I) for text in texts[:_SAMPLE])


def _shape(texts):
    for text in texts[:_SAMPLE]:
        for pattern, named in ((_SHAPE, False), (_NAMED, True)):
            match = pattern.fullmatch(text)
            if match:
                return match, named
    shown = next((text for text in texts if text), "")
    raise ValueError(
        f"the time column must hold a date with a clock time, such as 2024-01-05 18:30, but it holds {shown[:40]!r}"
    )


def _possible_orders(match):
    if len(match["a"]) == 4:
        return ("year first",)
    if len(match["c"]) == 4:
        return ("day first", "month first")
    return ORDERS


def _date_format(match, order):
    year = "%Y" if 4 in (len(match["a"]), len(match["c"])) else "%y"
    date = {"year first": (year, "%m", "%d"), "day first": ("%d", "%m", year), "month first": ("%m", "%d", year)}[order]
    return match["sep"].join(date)


def _clock_format(match):
    hour = "%I:%M" if match["half"] else "%H:%M"
    text = hour + (":%S" if match["sec"] else "")
    parts = match.groupdict()
    text += ".%f" if parts.get("frac") else ""
    text += match["gap"] + "%p" if match["half"] else ""
    if parts.get("zone"):
        text += (parts["space"] or ("" if match["half"] else match["gap"])) + "%z"
    return text


def _named_format(match):
    if match["d"]:
        year = "%Y" if len(match["y"]) == 4 else "%y"
        date = match["sep"].join(("%d", "%b", year))
    else:
        date = f"%b %d{match['comma']} %Y"
    return date + match["join"] + _clock_format(match)


def _parse(texts, form, zoned=False):
    import pandas as pd

    times = pd.to_datetime(pd.Series(texts, dtype=object), format=form, errors="coerce", utc=zoned)
    if zoned:
        times = times.dt.tz_localize(None)
    return times.to_numpy().astype("datetime64[s]")


def _read_parts(texts, match, orders):
    """Read dates and clock times apart, each different text once: a log has few days and few times of day."""
    import pandas as pd

    parts = [text.partition(match["join"]) for text in texts]
    whole = np.array([bool(part[1]) for part in parts])
    day, days = pd.factorize(np.array([part[0] for part in parts], dtype=object))
    hour, hours = pd.factorize(np.array([part[2] for part in parts], dtype=object))
    clock = _parse(hours, _clock_format(match), bool(match["zone"])) - np.datetime64("1900-01-01", "s")
    readings = {}
    for order in orders:
        dates = _parse(days, _date_format(match, order))
        readings[order] = np.where(whole, dates[day] + clock[hour], np.datetime64("NaT", "s"))
    return readings


def _decide(readings, shown):
    """Choose the one order that the dates themselves allow; refuse where two fit or none fits all."""
    good = {order: int(np.sum(~np.isnat(times))) for order, times in readings.items()}
    best = max(good, key=good.get)
    rivals = [order for order in readings if order != best and good[order] and _contests(readings, best, order)]
    if rivals:
        both = " or ".join(sorted({best, *rivals}))
        raise ValueError(f"the dates, such as {shown!r}, can be read {both}: tell date_order='{best}' or another order")
    return best


def _contests(readings, best, other):
    """A reading contests if it reads rows the best one can't, or reads the same rows as smoothly or more so."""
    a, b = readings[best], readings[other]
    if np.any(np.isnat(a) & ~np.isnat(b)):
        return True
    return bool(np.all(np.isnat(b) == np.isnat(a))) or _jumps(b) < _jumps(a)


def _jumps(times):
    """Count the steps of more than a day, either way: a wrong date order makes one every midnight."""
    steps = np.diff(times[~np.isnat(times)]).astype(float)
    return int(np.sum(np.abs(steps) > 86400))


def _to_standard_time(utc, texts, order):
    offsets = sorted({_offset(end) for end in {text[-6:] for text in texts}} - {None})
    return utc + np.timedelta64(round(offsets[0] * 3600), "s"), order, offsets[0]


def _offset(end):
    if end.endswith("Z"):
        return 0.0
    match = re.search(r"([+-])(\d{2}):?(\d{2})$", end)
    return None if not match else (1 if match[1] == "+" else -1) * (int(match[2]) + int(match[3]) / 60)


def clock_jumps(times, step):
    """Find where the clock was put forward or back one hour for summer time.

    Such a jump lies on a Sunday between midnight and five, is one hour on top of the usual step to within a minute,
    lies between readings less than three hours apart, and falls in February to May or August to November.

    Parameters
    ----------
    times : numpy.ndarray
        Clock times in the order of the file, without NaT [date and time].
    step : float
        The usual time between two readings [s].

    Returns
    -------
    list of tuple
        ``(index, hours)``: the first reading after the jump, and +1 (put forward) or −1 (put back) [h].

    Raises
    ------
    ValueError
        Never for times as described.

    Examples
    --------
    >>> times = np.array(["2023-11-05T00:30", "2023-11-05T01:30", "2023-11-05T01:00"], "datetime64[s]")
    >>> clock_jumps(times, 1800.0)
    [(2, -1)]
    """
    extra = np.diff(times).astype(float) - step
    near = np.flatnonzero(np.abs(np.abs(extra) - 3600) <= _JUMP_TOLERANCE)
    return [(int(i) + 1, 1 if extra[i] > 0 else -1) for i in near if _is_changeover(times[i], times[i + 1])]


def _is_changeover(before, after):
    earlier, later = (t.astype(datetime) for t in (min(before, after), max(before, after)))
    sunday = later.weekday() == 6 and later.hour <= 4
    return sunday and later.month in (2, 3, 4, 5, 8, 9, 10, 11) and (later - earlier).total_seconds() < 3 * 3600

"""Put a logger's rows in order of time: newest first, out of order, summer time, repeats; every step is noted."""

from itertools import pairwise

import numpy as np

from heatlib._check import choice
from heatlib.house.logger_cells import TEMPERATURES
from heatlib.house.logger_clock import clock_jumps
from heatlib.house.logger_doubts import usual_step
from heatlib.house.logger_record import Record

__all__ = ["in_order"]


def in_order(times, values, table, offset, options, notes):
    """Sort by time, settle summer time and repeats as told, and note each step of it.

    Parameters
    ----------
    times : numpy.ndarray
        Clock times in the order of the file, NaT where unreadable [date and time].
    values : dict
        One array for each role, as :func:`heatlib.house.logger_cells.read_values` gives [°C, 0–1, m/s].
    table : heatlib.house.logger_text.Table
        The file, for its row numbers [–].
    offset : float or None
        Offset from UTC the file states [h].
    options : tuple
        ``(repeats, summer_time)`` as in :func:`heatlib.house.logger.read_logger` [text].
    notes : heatlib.house.logger_record.Notes
        Takes what is found [text].

    Returns
    -------
    Record
        The readings in order of time [°C, 0–1, m/s].

    Raises
    ------
    ValueError
        If fewer than two rows are left, the clock was put back or a time repeats and nobody told what to do.

    Examples
    --------
    >>> from heatlib.house.logger_record import Notes
    >>> from heatlib.house.logger_text import read_table
    >>> table = read_table(b"time,temp C\\n2024-01-01 01:00,2\\n2024-01-01 00:00,1\\n")
    >>> times = np.array(["2024-01-01T01", "2024-01-01T00"], "datetime64[s]")
    >>> in_order(times, {"inside": np.array([2.0, 1.0])}, table, None, ("stop", "stop"), Notes(table)).column()
    array([1., 2.])
    """
    repeats, summer_time = options
    choice("repeats", repeats, ("stop", "first", "last", "mean"))
    choice("summer_time", summer_time, ("stop", "remove", "keep"))
    keep = np.flatnonzero(~np.isnat(times))
    if len(keep) < 2:
        raise ValueError("the logger's file needs at least two readable rows")
    if np.sum(np.diff(times[keep]).astype(float) < 0) > len(keep) / 2:
        keep = keep[::-1]
        notes.add(keep[0], "order", "the file is newest first; read from its end")
    step = usual_step(times[keep])
    clock = _clock(times[keep], step, summer_time, keep, notes)
    for i in np.flatnonzero(np.diff(clock).astype(float) < 0):
        notes.add(keep[i + 1], "order", "it is earlier than the row before; sorted by time")
    rank = np.argsort(clock, kind="stable")
    clock, keep = clock[rank], keep[rank]
    columns = {role: column[keep] for role, column in values.items()}
    clock, columns, keep = _settle_repeats(clock, columns, keep, repeats, notes)
    temperatures = {role: columns[role] for role in columns if role in TEMPERATURES}
    rows = np.asarray(table.rows)[keep]
    return Record(clock, temperatures, columns.get("humidity"), columns.get("wind"), rows, step, offset)


def _clock(clock, step, summer_time, keep, notes):
    jumps = [] if summer_time == "keep" else clock_jumps(clock, step)
    back = next((at for at, hours in jumps if hours < 0), None)
    if back is not None and summer_time == "stop":
        raise ValueError(
            f"row {notes.rows[keep[back]]} of the logger's file: the clock was put back at {clock[back]} (summer time "
            "ends?): tell summer_time='remove' for standard time throughout, or 'keep' if the clock stands as it is"
        )
    if summer_time == "stop":
        for at, _ in jumps:
            notes.add(keep[at], "summer time", "the clock jumps one hour forward: tell summer_time='remove' if so")
        return clock
    shift = np.zeros(len(clock), dtype=np.int64)
    summer = bool(jumps) and jumps[0][1] < 0
    for at, end in zip([0, *(at for at, _ in jumps)], [*(at for at, _ in jumps), len(clock)]):
        shift[at:end] = 3600 if summer else 0
        summer = not summer
    if any(a[1] == b[1] for a, b in pairwise(jumps)):
        raise ValueError("the clock of the logger's file was put the same way twice: tell summer_time='keep'")
    for at, hours in jumps:
        word = "forward" if hours > 0 else "back"
        notes.add(keep[at], "summer time", f"the clock was put {word} one hour; times turned to standard time")
    return clock - shift.astype("timedelta64[s]")


def _settle_repeats(clock, columns, keep, repeats, notes):
    same = np.diff(clock).astype(np.int64) == 0
    if not same.any():
        return clock, columns, keep
    firsts = np.flatnonzero(np.concatenate([[True], ~same]))
    ends = np.append(firsts[1:], len(clock))
    chosen = {role: column[firsts].copy() for role, column in columns.items()}
    for n in np.flatnonzero(ends - firsts > 1):
        group = range(firsts[n], ends[n])
        readings = {tuple(np.nan_to_num(column[i], nan=-1e9) for column in columns.values()) for i in group}
        _one_repeat(n, group, readings, chosen, columns, (clock, keep, repeats, notes))
    return clock[firsts], chosen, keep[firsts]


def _one_repeat(n, group, readings, chosen, columns, context):
    clock, keep, repeats, notes = context
    when = f"{clock[group[0]]} again"
    if len(readings) == 1:
        for i in group[1:]:
            notes.add(keep[i], "repeat", f"{when} with the same readings; counted once")
        return
    if repeats == "stop":
        raise ValueError(
            f"row {notes.rows[keep[group[1]]]} of the logger's file: {when} with other readings than row "
            f"{notes.rows[keep[group[0]]]}: tell repeats='first', 'last' or 'mean'"
        )
    for i in group[1:]:
        notes.add(keep[i], "repeat", f"{when} with other readings; kept the {repeats}")
    for role, column in columns.items():
        part = column[group.start : group.stop]
        finite = part[np.isfinite(part)]
        mean = finite.mean() if len(finite) else np.nan
        chosen[role][n] = {"first": part[0], "last": part[-1], "mean": mean}[repeats]

"""What a logger's file became: its readings in order of time, and a report of everything found in it."""

from dataclasses import dataclass

import numpy as np

from heatlib._check import choice, single
from heatlib.house.logger_doubts import gaps
from heatlib.house.weather import moment

__all__ = ["Finding", "Notes", "Record", "Report", "bridge_gaps"]

_MAX_BRIDGE = 3.0
_MOST_ROWS = 2_000_000
"""Bridging adds no more rows than this: a file that needs more has gaps between most of its readings."""


@dataclass(frozen=True)
class Finding:
    """One thing found in a logger's file: where, what kind, and in words."""

    row: int
    """Line number in the file [–]."""
    kind: str
    """``unreadable, empty, repeat, order, summer time, gap, bridged, stuck, spike, unit, humidity`` [text]."""
    text: str
    """What was found and what was done about it [text]."""


@dataclass(frozen=True)
class Report:
    """Everything found while a logger's file was read, and how the file was understood."""

    findings: tuple
    """All findings in the order of the rows [text]."""
    rows: int
    """Rows below the header, empty lines not counted [–]."""
    understood: dict
    """How it was read: encoding, delimiter, decimal mark, date order, columns with their units, step [text]."""

    def count(self, kind):
        """Return how many findings are of one kind [–]."""
        return sum(finding.kind == kind for finding in self.findings)

    def __str__(self):
        lines = [f"{self.rows} rows; " + "; ".join(f"{key}: {value}" for key, value in self.understood.items())]
        lines += [f"row {finding.row}: {finding.text}" for finding in self.findings]
        return "\n".join(lines + ([] if self.findings else ["nothing doubtful found"]))


@dataclass(frozen=True)
class Record:
    """A logger's readings in order of time."""

    time: np.ndarray
    """Increasing local clock time [date and time]."""
    temperatures: dict
    """``inside``, ``outside`` or ``temperature``: one array each, NaN where missing [°C]."""
    humidity: np.ndarray | None
    """Relative humidity, NaN where missing [0–1]."""
    wind_speed: np.ndarray | None
    """Wind speed, NaN where missing [m/s]."""
    row: np.ndarray
    """Line number in the file; 0 where a gap was bridged [–]."""
    step: float
    """Usual time between two readings [s]."""
    utc_offset: float | None
    """Clock minus UTC where the file states it [h]."""

    def column(self, name=None):
        """Return one temperature column by name, or the only one there is [°C]."""
        if name is None and len(self.temperatures) == 1:
            return next(iter(self.temperatures.values()))
        return self.temperatures[choice("temperature column", name or "", self.temperatures)]

    def between(self, start, end):
        """Return the part of the record from ``start`` to ``end``, both included [record]."""
        start, end = (moment(name, value).astype("datetime64[s]") for name, value in (("start", start), ("end", end)))
        keep = (self.time >= start) & (self.time <= end)
        if not keep.any():
            raise ValueError(f"the record holds no reading between {start} and {end}")
        return self._selected(keep)

    def _selected(self, keep):
        columns = {name: values[keep] for name, values in self.temperatures.items()}
        extra = [None if a is None else a[keep] for a in (self.humidity, self.wind_speed)]
        return Record(self.time[keep], columns, *extra, self.row[keep], self.step, self.utc_offset)


class Notes:
    """Collects findings while a file is read; cells that can't be read may stop the import."""

    def __init__(self, table):
        self.rows = table.rows
        self.found = [Finding(row, "unreadable", f"{text[:60]!r}: {why}") for row, text, why in table.odd]

    def add(self, index, kind, text):
        """Note something about the row of this index."""
        self.found.append(Finding(int(self.rows[index]), kind, text))

    def add_all(self, findings):
        """Note findings made elsewhere."""
        self.found.extend(findings)

    def sorted(self):
        """Return all findings in the order of the rows."""
        return tuple(sorted(self.found, key=lambda finding: finding.row))

    def stop_or_go(self, unreadable):
        """Refuse the file at its first unreadable cell unless told to drop such cells."""
        bad = [finding for finding in self.sorted() if finding.kind == "unreadable"]
        if bad and unreadable == "stop":
            more = f" ({len(bad) - 1} more like it)" if len(bad) > 1 else ""
            raise ValueError(
                f"row {bad[0].row} of the logger's file can't be read: {bad[0].text}{more}; correct the row, or tell "
                "unreadable='drop' to leave such readings out"
            )


def bridge_gaps(record, hours):
    """Fill gaps along a straight line where they are short enough; longer ones stay as they are.

    Neglected: whatever the weather did in the gap; an hour or two of a calm night bridge well, a cloudy noon does not.

    Parameters
    ----------
    record : Record
        Readings in order of time [°C].
    hours : float
        Longest time between two readings to fill; 0 to 3 [h].

    Returns
    -------
    tuple
        ``(Record, findings)``: the fuller record (added rows have row number 0) [°C] and a list of
        :class:`Finding` [text].

    Raises
    ------
    ValueError
        If ``hours`` is outside 0 to 3, or the gaps would take more than two million rows to fill.

    Examples
    --------
    >>> from heatlib.house.logger import read_logger
    >>> record, _ = read_logger(b"time,temp C\\n2024-01-01 00:00,0\\n2024-01-01 01:00,2\\n2024-01-01 03:00,6\\n")
    >>> filled, findings = bridge_gaps(record, 2)
    >>> filled.column().tolist(), len(findings)
    ([0.0, 2.0, 4.0, 6.0], 1)
    """
    hours = single("bridge", hours, "h", 0, _MAX_BRIDGE)
    longer = _with_rows(record, [(i, apart) for i, apart in gaps(record.time, record.step) if apart <= hours])
    findings, columns = [], {}
    seconds = longer.time.astype("datetime64[s]").astype(np.int64)
    for name, values in _all_columns(longer).items():
        columns[name] = _fill(seconds, values, hours * 3600, longer.row, name, findings)
    temperatures = {name: columns[name] for name in longer.temperatures}
    extra = (columns.get("humidity"), columns.get("wind"))
    return Record(longer.time, temperatures, *extra, longer.row, longer.step, longer.utc_offset), findings


def _all_columns(record):
    extra = {"humidity": record.humidity, "wind": record.wind_speed}
    return record.temperatures | {name: values for name, values in extra.items() if values is not None}


def _with_rows(record, places):
    """Insert empty rows, marked 0, at the usual step into each gap named."""
    if not places:
        return record
    needed = sum(apart for _, apart in places) * 3600 / record.step
    if needed > _MOST_ROWS:
        raise ValueError(
            f"to bridge the gaps at one reading in {record.step:g} s would take {needed:.0f} rows, and at most "
            f"{_MOST_ROWS} are added: tell bridge=0, or a shorter time"
        )
    at, when = [], []
    for i, apart in places:
        count = round(apart * 3600 / record.step) - 1
        at += [i + 1] * count
        fractions = np.arange(1, count + 1) / (count + 1) * apart * 3600
        when += list(record.time[i] + np.round(fractions).astype("timedelta64[s]"))
    times = np.insert(record.time, at, np.array(when))
    columns = {name: np.insert(values, at, np.nan) for name, values in _all_columns(record).items()}
    rows = np.insert(record.row, at, 0)
    temperatures = {name: columns[name] for name in record.temperatures}
    extra = (columns.get("humidity"), columns.get("wind"))
    return Record(times, temperatures, *extra, rows, record.step, record.utc_offset)


def _fill(seconds, values, longest, rows, name, findings):
    finite = np.flatnonzero(np.isfinite(values))
    result = values.copy()
    first, last = finite[:-1], finite[1:]
    short = (last - first > 1) & (seconds[last] - seconds[first] <= longest)
    for a, b in zip(first[short], last[short]):
        inner = slice(a + 1, b)
        result[inner] = np.interp(seconds[inner], seconds[[a, b]], values[[a, b]])
        apart = (seconds[b] - seconds[a]) / 3600
        findings.append(Finding(int(rows[a]), "bridged", f"{name}: {apart:g} h filled along a straight line"))
    return result

"""Read a grower's logger: times and temperatures from a CSV, with a report of everything found, row by row.

The file itself is never changed. A row that can't be read stops the import unless told otherwise; repeats, gaps and
summer time are never put right silently.
"""

import numpy as np

from heatlib._check import choice, single
from heatlib.house.logger_cells import TEMPERATURES, WIND_UNITS, read_values
from heatlib.house.logger_clock import read_clock
from heatlib.house.logger_doubts import gaps, spikes, stuck, unit_changes
from heatlib.house.logger_order import in_order
from heatlib.house.logger_record import Finding, Notes, Record, Report, bridge_gaps
from heatlib.house.logger_text import find_columns, read_table

__all__ = ["Finding", "Record", "Report", "bridge_gaps", "read_logger"]


def read_logger(
    source,
    *,
    unit=None,
    unreadable="stop",
    repeats="stop",
    summer_time="stop",
    bridge=0.0,
    date_order=None,
    decimal=None,
    delimiter=None,
    humidity_unit=None,
    wind_unit=None,
    **columns,
):
    """Read a logger's CSV: a column of date and time, one or two temperatures, perhaps humidity and wind.

    Neglected: sensor error and response; what the sensor was shaded from or shone on by.

    Parameters
    ----------
    source : str, pathlib.Path or bytes
        The file or its content; it is only read [path].
    unit : str, optional
        ``"C"`` or ``"F"``; needed where neither header nor cells state it [text].
    unreadable : str
        ``"stop"`` refuses the file at its first unreadable cell; ``"drop"`` leaves such cells out and reports
        them [text].
    repeats : str
        Two different readings at one time: ``"stop"``, or keep the ``"first"``, the ``"last"``, the ``"mean"`` [text].
    summer_time : str
        ``"remove"`` turns the clock to standard time throughout, ``"keep"`` takes the clock as it is, ``"stop"``
        refuses a file whose clock was put back [text].
    bridge : float
        Gaps up to this long are filled along a straight line and marked; 0 to 3 [h].
    date_order : str, optional
        ``"day first"``, ``"month first"`` or ``"year first"`` [text].
    decimal : str, optional
        ``"."`` or ``","``; found from the cells when left out [text].
    delimiter : str, optional
        What separates the cells; found from the header when left out [text].
    humidity_unit : str, optional
        ``"%"`` or ``"share"`` (0–1); needed where the header has no % and no value is above 1.5 [text].
    wind_unit : str, optional
        ``"mph"``, ``"km/h"``, ``"m/s"`` or ``"knots"``; needed where the header does not state it [text].
    **columns : str, optional
        Names of the columns ``time, inside, outside, temperature, humidity, wind`` as in the header [text].

    Returns
    -------
    tuple
        ``(Record, Report)``: the readings [°C, 0–1, m/s] and what was found [text].

    Raises
    ------
    ValueError
        If the file is empty or no text, a row can't be read (the row is named), or something is left open that
        must be told: unit, date order, columns, a clock put back, contradicting repeats.

    Notes
    -----
    A reading outside −60 to 90 °C (−999, −127) counts as unreadable, an empty cell as missing. Repeated equal rows
    count once. Spikes and a stuck sensor are reported and left in.

    Examples
    --------
    >>> record, report = read_logger(b"time;temp (\\xc2\\xb0F)\\n2024-01-15 06:00;14,0\\n2024-01-15 07:00;23,0\\n")
    >>> record.column().round(3).tolist(), report.count("gap")
    ([-10.0, -5.0], 0)
    """
    _check_options(unit, unreadable, repeats, summer_time, decimal, humidity_unit, wind_unit, columns)
    bridge = single("bridge", bridge, "h", 0, 3)
    table = read_table(source, delimiter=delimiter)
    places = find_columns(table, **columns)
    notes = Notes(table)
    times, order, offset = _times(table, places, date_order, notes)
    decimal, values = read_values(table, places, (unit, humidity_unit, wind_unit), decimal, notes)
    notes.stop_or_go(unreadable)
    record = in_order(times, values, table, offset, (repeats, summer_time), notes)
    _doubts(record, notes)
    if bridge:
        record, filled = bridge_gaps(record, bridge)
        notes.add_all(filled)
    known = dict(encoding=table.encoding, delimiter=repr(table.delimiter), decimal=repr(decimal), dates=order)
    known |= {role: table.names[at] for role, at in places.items() if role != "time"}
    known["usual step"] = f"{record.step / 60:g} min"
    return record, Report(notes.sorted(), len(table.rows) + len(table.odd), known)


def _check_options(unit, unreadable, repeats, summer_time, decimal, humidity_unit, wind_unit, columns):
    choice("unreadable", unreadable, ("stop", "drop"))
    choice("repeats", repeats, ("stop", "first", "last", "mean"))
    choice("summer_time", summer_time, ("stop", "remove", "keep"))
    optional = (("unit", unit, "CF"), ("decimal", decimal, ".,"), ("wind_unit", wind_unit, WIND_UNITS))
    for name, value, allowed in (*optional, ("humidity_unit", humidity_unit, ("%", "share"))):
        if value is not None:
            choice(name, value, allowed)
    for name in columns:
        choice("argument", name, ("time", "humidity", "wind", *TEMPERATURES))


def _times(table, places, date_order, notes):
    texts = table.columns[places["time"][0]]
    if len(places["time"]) == 2:
        texts = [f"{day} {clock}" for day, clock in zip(texts, table.columns[places["time"][1]])]
    if not table.rows:
        notes.stop_or_go("stop")
    times, order, offset = read_clock(texts, date_order=date_order)
    for i in np.flatnonzero(np.isnat(times)):
        notes.add(i, "unreadable", f"{texts[i][:60]!r} is no date and time like the others")
    return times, order, offset


def _doubts(record, notes):
    def row(i):
        return int(record.row[i])

    found = [
        Finding(row(i), "gap", f"no rows for {hours:g} h after {record.time[i]}")
        for i, hours in gaps(record.time, record.step)
    ]
    for name, values in record.temperatures.items():
        for i in spikes(record.time, values):
            found.append(Finding(row(i), "spike", f"{name} jumps to {values[i]:.1f} °C for one reading; left in"))
        for first, last in stuck(record.time, values):
            text = f"{name} stands at {values[first]:.1f} °C until row {row(last)}: a stuck sensor, or water freezing?"
            found.append(Finding(row(first), "stuck", text))
        for i in unit_changes(record.time, values):
            found.append(Finding(row(i), "unit", f"{name} steps as if switched between °F and °C; left as written"))
    notes.add_all(found)

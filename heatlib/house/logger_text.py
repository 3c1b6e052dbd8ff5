"""Take a logger's CSV apart: bytes to text, text to lines, lines to the columns that matter.

One line of the file is one row; the row number is the line number a text editor shows. The file is only read.
"""

import csv
import re
from dataclasses import dataclass
from pathlib import Path

from heatlib._check import choice, shortened

__all__ = ["Table", "find_columns", "read_table", "unit_in_header"]

_DELIMITERS = (";", "\t", ",", "|")
_HEADER_SEARCH = 60
"""A header is looked for in this many lines: some loggers write a title and serial numbers above it."""
_MOST_COLUMNS = 1000
_LONGEST_NAME = 200
"""A header has no more columns and no longer names: what has is another kind of file."""
_TIME = re.compile(r"\b(?:date|time|timestamp|datetime|datum|zeit|uhrzeit|fecha|hora|heure|data|ora)\b", re.I)
_DATE = re.compile(r"\b(?:date|datum|fecha|data)\b", re.I)
_HUMIDITY = re.compile(r"humid|\brh\b|feuchte|humedad|umidit|humidit", re.I)
_DEW = re.compile(r"dew|taupunkt|roc[ií]o|ros[ée]e", re.I)
_TEMPERATURE = re.compile(r"temp|\binside\b|\boutside\b|\bindoor\b|\boutdoor\b", re.I)
_WIND = re.compile(r"wind.?speed|\bwind\b(?!.*(?:dir|gust))", re.I)
_INSIDE = re.compile(r"\b(?:in|inside|indoor|indoors|greenhouse|house)\b", re.I)
_OUTSIDE = re.compile(r"\b(?:out|outside|outdoor|outdoors|ambient|weather)\b", re.I)
_FAHRENHEIT = re.compile(r"℉|fahrenheit|(?:°|º|\bdeg(?:rees?)?[ .]?)\s*f\b|(?:^|[\s(\[/,])f[)\]]?$", re.I)
_CELSIUS = re.compile(r"℃|celsius|centigrade|(?:°|º|\bdeg(?:rees?)?[ .]?)\s*c\b|(?:^|[\s(\[/,])c[)\]]?$", re.I)


@dataclass(frozen=True)
class Table:
    """The text of a logger's file in columns, not yet read as times and numbers."""

    names: tuple
    """Column names of the header line [text]."""
    columns: tuple
    """One list of cell texts for each name; only rows of the right length [text]."""
    rows: list
    """Line number in the file of each row kept [–]."""
    odd: list
    """``(line number, text, what is wrong)`` of lines that can't be split into the header's columns [text]."""
    encoding: str
    """How the bytes were read [text]."""
    delimiter: str
    """What separates the cells [text]."""


def read_table(source, *, delimiter=None):
    """Read a delimited text file into columns of text.

    Neglected: cells that run over several lines (loggers write none); they count as rows that can't be split.

    Parameters
    ----------
    source : str, pathlib.Path or bytes
        The file, or its content as bytes [path].
    delimiter : str, optional
        ``","``, ``";"``, tab or ``"|"``; found from the header when left out [text].

    Returns
    -------
    Table
        Header, columns and the lines that don't fit [text].

    Raises
    ------
    ValueError
        If the file can't be opened or decoded, is empty, has no header line, or nothing below it.

    Examples
    --------
    >>> read_table(b"time;temp C\\n2024-01-05 06:00;-3,5\\n").columns
    (['2024-01-05 06:00'], ['-3,5'])
    """
    if delimiter is not None:
        choice("delimiter", delimiter, _DELIMITERS)
    text, encoding = _decode(_bytes(source))
    lines = text.replace("\r\n", "\n").replace("\r", "\n").split("\n")
    if not any(line.strip() for line in lines):
        raise ValueError("the logger's file is empty: there is nothing to read in it")
    at, mark, names = _header(lines, delimiter)
    rows, columns, odd = _split(lines, at, mark, len(names))
    if not rows and not odd:
        raise ValueError(f"the logger's file has a header (line {at + 1}) but no readings below it")
    return Table(names, columns, rows, odd, encoding, mark)


def _bytes(source):
    if isinstance(source, bytes | bytearray):
        return bytes(source)
    if not isinstance(source, str | Path):
        raise ValueError(f"the logger's file must be a path or bytes, but it is {type(source).__name__}")
    try:
        return Path(source).read_bytes()
    except (OSError, ValueError) as error:
        reason = getattr(error, "strerror", None) or "the name is not a valid path"
        raise ValueError(f"the logger's file {shortened(str(source), 200)} can't be opened: {reason}") from None


def _decode(data):
    if data.startswith((b"\xff\xfe", b"\xfe\xff")):
        tries = ("utf-16",)
    elif data.startswith(b"\xef\xbb\xbf"):
        tries = ("utf-8-sig",)
    else:
        tries = ("utf-8", "cp1252")
    for encoding in tries:
        try:
            text = data.decode(encoding)
        except UnicodeDecodeError:
            continue
        if "\0" not in text:
            return text, encoding
    raise ValueError("the logger's file is no readable text (UTF-8, UTF-16 with its mark, or Windows-1252)")


def _cells(line, delimiter):
    """Split one line; quotes are honoured, and an unclosed one is an error of this line only."""
    if '"' not in line:
        return [cell.strip() for cell in line.split(delimiter)]
    try:
        return [cell.strip() for cell in next(csv.reader([line], delimiter=delimiter, strict=True))]
    except csv.Error:
        return None


def _header(lines, delimiter):
    """Find the header: the first line that names a time column and splits into two cells or more."""
    for at, line in enumerate(lines[:_HEADER_SEARCH]):
        for mark in (delimiter,) if delimiter else _by_count(line):
            if line.count(mark) >= _MOST_COLUMNS:
                found = f"line {at + 1} of the logger's file has {line.count(mark) + 1} columns"
                raise ValueError(f"{found}, and at most {_MOST_COLUMNS} can be read")
            names = _cells(line, mark)
            if not names or len(names) < 2 or max(map(len, names)) > _LONGEST_NAME:
                continue
            if any(_TIME.search(_words(name)) for name in names):
                return at, mark, _checked(names)
    raise ValueError(
        "the logger's file needs a header line that names its columns, separated by comma, semicolon, tab or |, "
        "such as 'time, temperature (°C)'; none of its first lines names a date or time column"
    )


def _by_count(line):
    return sorted((mark for mark in _DELIMITERS if mark in line), key=line.count, reverse=True)


def _checked(names):
    while names and not names[-1]:
        names = names[:-1]  # a delimiter at the end of each line
    twice = next((name for name in names if names.count(name) > 1 and name), None)
    if twice:
        raise ValueError(f"the logger's file has two columns named {shortened(twice)}: rename one of them")
    return tuple(names)


def _split(lines, at, mark, width):
    columns, rows, odd = [[] for _ in range(width)], [], []
    appends = [column.append for column in columns]
    for number, line in enumerate(lines[at + 1 :], at + 2):
        if not line.strip():
            continue
        cells = _cells(line, mark)
        if cells is None:
            odd.append((number, line, "an opening quote mark is never closed"))
        elif len(cells) < width or any(cells[width:]):
            odd.append((number, line, _wrong_length(cells, width, mark)))
        else:
            rows.append(number)
            for append, cell in zip(appends, cells):
                append(cell)
    return rows, tuple(columns), odd


def _wrong_length(cells, width, mark):
    hint = " (a decimal comma with commas between the cells?)" if mark == "," and len(cells) > width else ""
    return f"it has {len(cells)} cells where the header has {width}{hint}"


def _words(name):
    """Split CamelCase and underscores so that word limits work."""
    return re.sub(r"(?<=[a-z])(?=[A-Z])|_", " ", name)


def unit_in_header(name):
    """Return the temperature unit a column name states.

    Parameters
    ----------
    name : str
        Column name, such as ``"Temp (°F)"`` [text].

    Returns
    -------
    str or None
        ``"F"``, ``"C"``, or None where the name states none or both [text].

    Raises
    ------
    ValueError
        Never for a text.

    Examples
    --------
    >>> unit_in_header("Temp (°F)"), unit_in_header("outside_temp_C"), unit_in_header("sensor 1")
    ('F', 'C', None)
    """
    words = _words(name)
    found = [unit for unit, pattern in (("F", _FAHRENHEIT), ("C", _CELSIUS)) if pattern.search(words)]
    return found[0] if len(found) == 1 else None


def find_columns(table, *, time=None, inside=None, outside=None, temperature=None, humidity=None, wind=None):
    """Decide which column is what: as told, else by the words of the header; never by the values.

    Parameters
    ----------
    table : Table
        A file from :func:`read_table` [text].
    time, inside, outside, temperature, humidity, wind : str, optional
        Column names as in the header; a part not told is looked for in the names [text].

    Returns
    -------
    dict
        ``{"time": [indices], "inside"|"outside"|"temperature"|"humidity"|"wind": index}``; time has two indices where
        date and clock time stand apart [–].

    Raises
    ------
    ValueError
        If a told name is not in the header, or the header leaves it open which column is meant.

    Examples
    --------
    >>> find_columns(read_table(b"time,inside C,outside C\\n1,2,3\\n"))
    {'time': [0], 'inside': 1, 'outside': 2}
    """
    told = dict(inside=inside, outside=outside, temperature=temperature, humidity=humidity, wind=wind)
    names = table.names
    found = {"time": [_index(names, time, "time column")] if time is not None else _time_columns(names)}
    roles = {role: _index(names, name, f"{role} column") for role, name in told.items() if name is not None}
    taken = set(found["time"]) | set(roles.values())
    if not {"inside", "outside", "temperature"} & set(roles):
        roles |= _temperatures(names, taken)
        taken |= set(roles.values())
    for role, pattern in (("humidity", _HUMIDITY), ("wind", _WIND)):
        if role not in roles:
            matches = [i for i, n in enumerate(names) if i not in taken and pattern.search(_words(n))]
            if len(matches) == 1:
                roles[role] = matches[0]
    if len(set(roles.values()) | set(found["time"])) < len(roles) + len(found["time"]):
        raise ValueError("one column of the logger's file was named for two purposes")
    return found | roles


def _index(names, name, what):
    return names.index(choice(what, name, names))


def _listed(names, places):
    """Names of columns for a sentence, the first eight of them."""
    return ", ".join(shortened(names[i], 30) for i in places[:8]) + " …" * (len(places) > 8)


def _time_columns(names):
    matches = [i for i, name in enumerate(names) if _TIME.search(_words(name))]
    dates = [i for i in matches if _DATE.search(_words(names[i]))]
    if len(matches) == 1:
        return matches
    if len(matches) == 2 and len(dates) == 1:
        return dates + [i for i in matches if i not in dates]
    listed = _listed(names, matches) or "none"
    raise ValueError(f"say which column holds date and time with time='…' (candidates: {listed})")


def _temperatures(names, taken):
    free = [i for i in range(len(names)) if i not in taken and not _DEW.search(names[i])]
    free = [i for i in free if not _HUMIDITY.search(_words(names[i])) and not _WIND.search(_words(names[i]))]
    matches = [i for i in free if _TEMPERATURE.search(_words(names[i])) or unit_in_header(names[i])]
    if len(matches) == 1:
        words = _words(names[matches[0]])
        role = "inside" if _INSIDE.search(words) else "outside" if _OUTSIDE.search(words) else "temperature"
        return {role: matches[0]}
    inside = [i for i in matches if _INSIDE.search(_words(names[i]))]
    outside = [i for i in matches if _OUTSIDE.search(_words(names[i]))]
    if len(inside) == len(outside) == 1 and inside != outside:
        return {"inside": inside[0], "outside": outside[0]}
    listed = _listed(names, matches or range(len(names)))
    raise ValueError(
        f"say which column is which with inside='…' and outside='…', or temperature='…' (candidates: {listed})"
    )

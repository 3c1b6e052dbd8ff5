"""Read and write a house file: TOML that a grower writes by hand, with units in quotes or plain metric numbers.

A message names the file, the line or key, the value, the allowed range and the nearest valid name. Saving writes a
temporary file, forces it to disk and then puts it in place, after a copy of what stood there before; comments, order
and units of the writer stay.
"""

import os
import re
import shutil
import tempfile
import warnings
from dataclasses import MISSING, fields
from difflib import get_close_matches
from math import isclose
from pathlib import Path

import tomlkit
from tomlkit.exceptions import ParseError

from heatlib.house.greenhouse import COMPASS, FORMAT, LEAKAGE, Air, Greenhouse, Surface, checked
from heatlib.units import parse_quantity

__all__ = ["HouseFileError", "house_text", "parse_house", "read_house", "save_house"]

SIZES = ("width", "height", "count")
"""Keys that may stand for a surface's area: width × height × count."""
_ONE = {"surfaces": "surface", "stores": "store", "layers": "layer", "trees": "tree", "horizon": "sighting"}
_INLINE = ("layers", "horizon")
"""Lists whose parts have no name of their own; they are written one after the other in brackets."""


class HouseFileError(ValueError):
    """A house file that can't be read, with the place and the reason in one sentence."""


def read_house(path):
    """Read a house from a TOML file.

    Parameters
    ----------
    path : str or pathlib.Path
        The file [path].

    Returns
    -------
    Greenhouse
        The house [SI inside].

    Raises
    ------
    HouseFileError
        If the file is missing, is no TOML, or holds something unknown, missing or out of range.

    Examples
    --------
    >>> read_house("no-such-house.toml")
    Traceback (most recent call last):
    heatlib.house.housefile.HouseFileError: no-such-house.toml: there is no such file
    """
    path = Path(path)
    try:
        text = path.read_text(encoding="utf-8-sig")
    except FileNotFoundError:
        raise HouseFileError(f"{path}: there is no such file") from None
    except UnicodeDecodeError:
        raise HouseFileError(f"{path}: this is not a text file in UTF-8") from None
    except OSError as error:
        raise HouseFileError(f"{path}: it can't be read ({error.strerror})") from None
    return parse_house(text, str(path))


def parse_house(text, name="house file"):
    """Read a house from the text of a house file.

    Parameters
    ----------
    text : str
        TOML [text].
    name : str
        What to call the file in messages [text].

    Returns
    -------
    Greenhouse
        The house [SI inside].

    Raises
    ------
    HouseFileError
        As :func:`read_house`.

    Examples
    --------
    >>> parse_house("name = 'shed'\\nvolme = 20")
    Traceback (most recent call last):
    heatlib.house.housefile.HouseFileError: house file, line 2: volme is not known here (nearest: volume)
    """
    text, found = _current(text, name)
    if found < FORMAT:
        warnings.warn(
            f"{name} is in format {found}, read as format {FORMAT}; it is written in the new one when it is saved",
            stacklevel=2,
        )
    return _Reader(text, name).house()


def house_text(house, template=None):
    """Write a house as TOML; a template's comments, order and units stay where the value allows.

    Parameters
    ----------
    house : Greenhouse
        The house [SI inside].
    template : str, optional
        Text of an earlier house file to keep the writing of [text].

    Returns
    -------
    str
        TOML [text].

    Raises
    ------
    HouseFileError
        If the template is no house file.
    """
    if template is None:
        document = tomlkit.document()
        document.add(tomlkit.comment("A house file of heatlib. Numbers are metric; units may be written in quotes."))
        document["format"] = FORMAT
        _write(document, house, None)
        return tomlkit.dumps(document)
    template, _ = _current(template, "template")
    old = _Reader(template, "template").house()
    document = tomlkit.parse(template)
    _write(document, house, old)
    return tomlkit.dumps(document)


def save_house(house, path, like=None):
    """Save a house so that a power cut leaves either the old file or the new one, never half a file.

    Parameters
    ----------
    house : Greenhouse
        The house [SI inside].
    path : str or pathlib.Path
        Where to; what stands there is copied to the same name with ``.bak`` first [path].
    like : str or pathlib.Path, optional
        A house file whose comments and units to keep; the file at ``path`` where left out [path].

    Returns
    -------
    pathlib.Path
        The file written [path].

    Raises
    ------
    HouseFileError
        If the file to keep the writing of is no house file: it is not overwritten.
    """
    path = Path(path)
    source = Path(like) if like is not None else path
    template = source.read_text(encoding="utf-8-sig") if source.exists() else None
    try:
        text = house_text(house, template)
    except HouseFileError as error:
        raise HouseFileError(f"{source} is no house file, so it is left as it is ({error})") from None
    if path.exists():
        shutil.copy2(path, path.with_name(path.name + ".bak"))
    _write_atomically(path, text)
    return path


def _write_atomically(path, text):
    handle, temporary = tempfile.mkstemp(dir=path.parent, prefix=f".{path.name}.", suffix=".tmp")
    try:
        with os.fdopen(handle, "w", encoding="utf-8", newline="") as stream:
            stream.write(text)
            stream.flush()
            os.fsync(stream.fileno())
        if path.exists():
            shutil.copymode(path, temporary)
        else:
            os.chmod(temporary, 0o644)
        os.replace(temporary, path)
    except BaseException:
        Path(temporary).unlink(missing_ok=True)
        raise


_OLDER = (
    (r"(?m)^(\s*\[\[\s*)surface(\s*\]\])", r"\1surfaces\2"),
    (r"(?m)^(\s*\[\[\s*)store(\s*\]\])", r"\1stores\2"),
    (r"(?m)^(\s*\[\s*)leaks(\s*\])", r"\1air\2"),
    (r"(?m)^(\s*)air_changes(\s*=)", r"\1air_change_rate\2"),
    (r"(?m)^(\s*format\s*=\s*)1\b", rf"\g<1>{FORMAT}"),
)
"""How format 1 differs: its tables were called surface, store and leaks, and its air change rate air_changes."""


def _current(text, name):
    """Bring the text to today's format; returns it and the format it was in."""
    stated = re.search(r"(?m)^\s*format\s*=\s*([^\s#]+)", text.split("[", 1)[0])
    if stated is None:
        return text, FORMAT
    if not stated.group(1).isdigit():
        raise HouseFileError(f"{name}: format must be a whole number, but it is {stated.group(1)}")
    found = int(stated.group(1))
    if not 1 <= found <= FORMAT:
        newer = "; it was written by a newer version of this program, which is needed to read it" * (found > FORMAT)
        raise HouseFileError(f"{name}: format must be between 1 and {FORMAT}, but it is {found}{newer}")
    if found == 1:
        for old, new in _OLDER:
            text = re.sub(old, new, text)
    return text, found


class _Reader:
    """One pass over a parsed file; knows where it is for the messages."""

    def __init__(self, text, name):
        self.text, self.name = text, name
        try:
            self.data = tomlkit.parse(text).unwrap()
        except ParseError as error:
            raise HouseFileError(f"{name}, line {error.line}: this is not readable as TOML ({error})") from None

    def house(self):
        if not self.data:
            raise HouseFileError(f"{self.name}: the file is empty")
        self.data.pop("format", None)
        return self.part(Greenhouse, self.data, ())

    def refuse(self, path, reason):
        line = _line_of(self.text, path)
        place = f", line {line}" if line else ""
        raise HouseFileError(f"{self.name}{place}: {reason}") from None

    def part(self, cls, table, path):
        if not isinstance(table, dict):
            self.refuse(path, f"{path[-1]} must be a table of keys, but it is {table!r}")
        known = {item.name: item for item in fields(cls)}
        for key in table:
            if key not in known and not (cls is Surface and key in SIZES):
                near = get_close_matches(key, [*known, *(SIZES if cls is Surface else ())], n=3, cutoff=0.5)
                hint = f"nearest: {', '.join(near)}" if near else f"known: {', '.join(known)}"
                self.refuse((*path, key), f"{key} is not known here ({hint})")
        if cls is Air and all(key in table for key in LEAKAGE):
            self.refuse((*path, "tightness"), "air takes either tightness or air_change_rate, not both")
        values = {key: self.value(known[key], table[key], (*path, key)) for key in table if key in known}
        if cls is Surface and any(key in table for key in SIZES):
            values["area"] = self.area(table, path)
        for key, item in known.items():
            if item.default is MISSING and key not in values:
                owner = table.get("name") or (path[-1] if path else "the house")
                owner = (
                    _ONE.get(path[-2], "part") + f" {owner}" if len(path) > 1 and isinstance(path[-1], int) else owner
                )
                self.refuse(path, f"{owner} needs {key}, and it is missing")
        try:
            return cls(**values)
        except ValueError as error:
            self.refuse(path, str(error))

    def area(self, table, path):
        if "area" in table:
            self.refuse((*path, "area"), "a surface takes either its area or width and height, not both")
        sizes = []
        for key, default in (("width", None), ("height", None), ("count", 1)):
            value = table.get(key, default)
            if value is None:
                self.refuse(path, f"a surface with a width or height needs both, and {key} is missing")
            rule = {
                "kind": "number",
                "quantity": "length" if key != "count" else "",
                "unit": "m" if key != "count" else "",
            }
            rule |= {"low": 0, "high": 500, "above": 0}
            sizes.append(self.number(rule, value, (*path, key)))
        return sizes[0] * sizes[1] * sizes[2]

    def value(self, item, raw, path):
        rule = item.metadata
        if rule["kind"] == "part":
            return self.part(rule["class"], raw, path)
        if rule["kind"] == "parts":
            if not isinstance(raw, list):
                self.refuse(path, f"{path[-1]} must be a list of tables, but it is {raw!r}")
            return tuple(self.part(rule["class"], table, (*path, i)) for i, table in enumerate(raw))
        if rule["kind"] == "number":
            return self.number(rule, raw, path)
        try:
            return checked(path[-1], raw, rule)
        except ValueError as error:
            self.refuse(path, str(error))

    def number(self, rule, raw, path):
        try:
            value = read_quantity(raw, rule["quantity"], rule["unit"], path[-1].replace("_", " "))
            return checked(path[-1], value, rule)
        except ValueError as error:
            self.refuse(path, str(error))


def read_quantity(raw, quantity, unit, name):
    """Turn what stands in the file into an SI number.

    A number, or a text with a unit, a compass word, a time or a date.
    """
    if not isinstance(raw, str):
        return raw
    if quantity == "compass":
        if raw in COMPASS:
            return COMPASS[raw]
        near = get_close_matches(raw, COMPASS, n=2, cutoff=0.4) or list(COMPASS)
        raise ValueError(
            f"{name} must be degrees from north or one of the words for it, but it is {raw!r} "
            f"(nearest: {', '.join(near)})"
        )
    if quantity == "clock":
        match = re.fullmatch(r"([01]?\d|2[0-4]):([0-5]\d)", raw)
        if match:
            return int(match.group(1)) + int(match.group(2)) / 60
        raise ValueError(f'{name} must be a time such as "17:30" or hours from 0 to 24, but it is {raw!r}')
    if not quantity:
        wanted = f"a number in {unit}" if unit else "a plain number"
        raise ValueError(f"{name} must be {wanted} without quotes, but it is the text {raw!r}")
    return parse_quantity(raw, quantity, name)


def _line_of(text, path):
    """Line on which a key stands, or its table starts; None where it can't be told (an inline table within a list)."""
    steps = [p for p in path if isinstance(p, str)]
    numbers = [p for p in path if isinstance(p, int)]
    here, counts, table_line = [], {}, None
    wanted_table = steps[:-1] if path and isinstance(path[-1], str) else steps
    for number, line in enumerate(text.splitlines(), 1):
        header = re.match(r"\s*(\[\[?)\s*([^\]]+?)\s*\]", line)
        if header:
            here = [part.strip().strip("\"'") for part in header.group(2).split(".")]
            if header.group(1) == "[[":
                counts[tuple(here)] = counts.get(tuple(here), -1) + 1
        inside = here == wanted_table[: len(here)] and (not here or counts.get(tuple(here), 0) == (numbers or [0])[0])
        if header and inside and here == steps[: len(here)] and here:
            table_line = number
            if here == steps and (not path or not isinstance(path[-1], str) or len(numbers) == 0):
                return number
        rest = steps[len(here) :]
        if not header and rest and (inside or (here == [] and not wanted_table)) and here == steps[: len(here)]:
            if re.match(rf"\s*[\"']?{re.escape(rest[0])}[\"']?\s*[=.]", line):
                return number
    return table_line


def _write(table, part, old):
    """Put a part's values into a TOML table; only what differs from ``old`` is touched."""
    for item in fields(part):
        value, before = _stated(part, item), _stated(old, item) if old is not None else item.default
        if value == before:
            continue
        kind = item.metadata["kind"]
        if kind == "parts":
            _write_list(table, item.name, value, before if old is not None else ())
        elif value is None:
            table.pop(item.name, None)
        elif kind == "part":
            if item.name not in table:
                table[item.name] = tomlkit.table()
                before = None
            _write(table[item.name], value, before if before is not MISSING else None)
        else:
            if item.name == "area":
                for key in SIZES:
                    table.pop(key, None)
            table[item.name] = _as_written(value, item.metadata, table.get(item.name))


def _stated(part, item):
    """A value as a file states it: the rate that follows from a class of tightness is not."""
    if isinstance(part, Air) and item.name == "air_change_rate" and part.tightness is not None:
        return None
    return getattr(part, item.name)


def _write_list(table, name, parts, before):
    if name in _INLINE:
        array = tomlkit.array()
        for part in parts:
            entry = tomlkit.inline_table()
            entry.update({item.name: getattr(part, item.name) for item in fields(part)})
            array.append(entry)
        table.pop(name, None)
        if parts:
            table[name] = array
        return
    known = {part.name: (part, written) for part, written in zip(before, table.get(name, ()))}
    if [part.name for part in parts] == list(known):
        for part in parts:
            old, written = known[part.name]
            _write(written, part, old)
        return
    tables = tomlkit.aot()
    for part in parts:
        old, written = known.get(part.name, (None, tomlkit.table()))
        _write(written, part, old)
        tables.append(written)
    table.pop(name, None)
    if parts:
        table[name] = tables


def _as_written(value, rule, written):
    """A value in the unit the writer used before, where there was one."""
    if isinstance(value, bool) or rule["kind"] != "number":
        return value
    unit = re.fullmatch(r"\s*[-+−]?[\d.]+(?:[eE][-+]?\d+)?\s*(\D.*?)\s*", written) if isinstance(written, str) else None
    us_r = isinstance(written, str) and re.fullmatch(r"\s*R\s*-?\s*[\d.]+\s*", written)
    quantity = rule["quantity"]
    if us_r:
        return _shortest(value, quantity, "R-{}", 0.0, parse_quantity("R-1", quantity))
    if unit and quantity not in ("", "compass", "clock"):
        word = unit.group(1)
        zero, one = (parse_quantity(f"{n} {word}", quantity) for n in (0, 1))
        return _shortest(value, quantity, "{} " + word, zero, one - zero)
    return int(value) if float(value).is_integer() and abs(value) < 1e15 else float(value)


def _shortest(value, quantity, form, zero, one):
    """The number in a unit with the fewest digits that read back as the same value, to round-off."""
    texts = [form.format(f"{(value - zero) / one:.{digits}g}") for digits in range(3, 18)]
    return next((text for text in texts if isclose(parse_quantity(text, quantity), value, rel_tol=1e-14)), texts[-1])

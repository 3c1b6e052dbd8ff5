"""Read and write a house file: TOML that a grower writes by hand, with units in quotes or plain metric numbers.

A message names the file, the line or key, the value, the allowed range and the nearest valid name. Saving writes a
temporary file, forces it to disk and then puts it in place, after a copy of what stood there before; comments, order
and units of the writer stay.
"""

import os
import re
import shutil
import tempfile
import tomllib
import warnings
from dataclasses import MISSING, fields
from datetime import date, time
from difflib import get_close_matches
from math import isclose
from pathlib import Path

import tomlkit
from tomlkit.exceptions import KeyAlreadyPresent, TOMLKitError

from heatlib._check import shortened
from heatlib.house.greenhouse import COMPASS, FORMAT, LEAKAGE, Air, Greenhouse, Surface, checked
from heatlib.units import parse_quantity

__all__ = ["HouseFileError", "house_text", "parse_house", "read_house", "save_house"]

SIZES = ("width", "height", "count")
"""Keys that may stand for a surface's area: width × height × count."""
_ONE = {"surfaces": "surface", "stores": "store", "layers": "layer", "trees": "tree", "horizon": "sighting"}
_INLINE = ("layers", "horizon")
"""Lists whose parts have no name of their own; they are written one after the other in brackets."""
_LARGEST = 1_000_000
"""A house file longer than this is some other file; one of 200 panes has 20,000 [bytes]."""


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
    if not isinstance(path, str | Path):
        raise HouseFileError(f"the house file must be told by its path, but it is {shortened(path)}")
    return parse_house(_text_of(Path(path)), str(path))


def _text_of(path):
    """Text of a file with its line ends as they are, so that saving can keep them."""
    try:
        with path.open("rb") as stream:
            data = stream.read(_LARGEST + 1)
        if len(data) > _LARGEST:
            raise HouseFileError(f"{path}: a house file has at most {_LARGEST // 1000} kB, but this one has more")
        return data.decode("utf-8-sig")
    except FileNotFoundError:
        raise HouseFileError(f"{path}: there is no such file") from None
    except UnicodeDecodeError:
        raise HouseFileError(f"{path}: this is not a text file in UTF-8") from None
    except OSError as error:
        raise HouseFileError(f"{path}: it can't be read ({error.strerror})") from None
    except ValueError as error:  # a null character in the path
        raise error if isinstance(error, HouseFileError) else HouseFileError(f"{str(path)!r} is no path") from None


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
    text, document, found = _current(text, name)
    if found < FORMAT:
        warnings.warn(
            f"{name} is in format {found}, read as format {FORMAT}; it is written in the new one when it is saved",
            stacklevel=2,
        )
    return _Reader(text, document, name).house()


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
        If the template is no house file, or what is to be written is no house.

    Examples
    --------
    >>> from heatlib.house.demo import demo_house
    >>> parse_house(house_text(demo_house(9))) == demo_house(9)
    True
    """
    if not isinstance(house, Greenhouse):
        raise HouseFileError(f"what is to be written must be a Greenhouse, but it is {shortened(house)}")
    if template is None:
        document = tomlkit.document()
        document.add(tomlkit.comment("A house file of heatlib. Numbers are metric; units may be written in quotes."))
        document["format"] = FORMAT
        _write(document, house, None)
        return tomlkit.dumps(document)
    template, document, _ = _current(template, "template")
    old = _Reader(template, document, "template").house()
    _write(document, house, old)
    text = tomlkit.dumps(document)
    only_crlf = "\r\n" in template and not re.search(r"(?<!\r)\n", template)
    return re.sub(r"(?<!\r)\n", "\r\n", text) if only_crlf else text


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
        If the file to keep the writing of is no house file: it is not overwritten; or if there is no such folder, no
        leave to write there or no room: an older file stays as it was.

    Examples
    --------
    >>> from heatlib.house.demo import demo_house
    >>> save_house(demo_house(), "no-such-folder/shed.toml")
    Traceback (most recent call last):
    heatlib.house.housefile.HouseFileError: no-such-folder/shed.toml: it can't be written (No such file or directory)
    """
    if not isinstance(path, str | Path) or "\0" in str(path):
        raise HouseFileError(f"where to save must be told by a path, but it is {shortened(path)}")
    path = Path(path)
    source = Path(like) if like is not None else path
    try:
        text = house_text(house, _text_of(source) if source.exists() else None)
    except HouseFileError as error:
        raise HouseFileError(f"{source} is no house file, so it is left as it is ({error})") from None
    try:
        if path.exists():
            shutil.copy2(path, path.with_name(path.name + ".bak"))
        _write_atomically(path, text)
    except OSError as error:
        kept = "; the older file is as it was" * path.exists()
        raise HouseFileError(f"{path}: it can't be written ({error.strerror or error}){kept}") from None
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
    (r"(?m)^([ \t]*\[\[[ \t]*)surface([ \t]*\]\])", r"\1surfaces\2"),
    (r"(?m)^([ \t]*\[\[[ \t]*)store([ \t]*\]\])", r"\1stores\2"),
    (r"(?m)^([ \t]*\[[ \t]*)leaks([ \t]*\])", r"\1air\2"),
    (r"(?m)^([ \t]*)air_changes([ \t]*=)", r"\1air_change_rate\2"),
    (r"(?m)^([ \t]*format[ \t]*=[ \t]*)1\b", rf"\g<1>{FORMAT}"),
)
"""How format 1 differs: its tables were called surface, store and leaks, and its air change rate air_changes."""


def _parsed(text, name):
    """Parse TOML, or say what is wrong with it and on which line."""
    if not isinstance(text, str):
        raise HouseFileError(f"{name}: a house file must be text, but it is {shortened(text)}")
    try:
        return tomlkit.parse(text)
    except KeyAlreadyPresent as error:
        key = str(error).removeprefix('Key "').removesuffix('" already exists.')
        reason = f"{key} is stated twice"
        line = _line_that_stops(text)
    except TOMLKitError as error:
        reason = re.sub(r"\.? at line \d+ col \d+$", "", str(error))
        reason = (
            f"this is not readable as TOML ({reason[:1].lower() if reason[1:2].islower() else reason[:1]}{reason[1:]})"
        )
        line = getattr(error, "line", None)
    except (ValueError, RecursionError):
        reason, line = "this is not readable as TOML", _line_that_stops(text)
    place = f", line {line}" if line else ""
    raise HouseFileError(f"{name}{place}: {shortened(reason, 200, quoted=False)}")


def _line_that_stops(text):
    """Line on which Python's own reader stops too; None where it doesn't."""
    try:
        tomllib.loads(text)
    except (ValueError, RecursionError) as error:
        found = re.search(r"\(at line (\d+), column \d+\)$", str(error))
        return found[1] if found else None


def _current(text, name):
    """Bring the text to today's format; returns it, its TOML and the format it was in."""
    document = _parsed(text, name)
    found = document.get("format", FORMAT)
    if not isinstance(found, int) or isinstance(found, bool):
        raise HouseFileError(f"{name}: format must be a whole number, but it is {_as_read(found)}")
    if not 1 <= found <= FORMAT:
        newer = "; it was written by a newer version of this program, which is needed to read it" * (found > FORMAT)
        raise HouseFileError(f"{name}: format must be between 1 and {FORMAT}, but it is {_as_read(found)}{newer}")
    if found == FORMAT:
        return text, document, FORMAT
    for old, new in _OLDER:
        text = re.sub(old, new, text)
    return text, _parsed(text, name), int(found)


def _as_read(raw):
    """What stands in the file, short and without a programmer's names."""
    raw = raw.unwrap() if hasattr(raw, "unwrap") else raw
    if isinstance(raw, bool):
        return f"{str(raw).lower()}, a yes or no"
    if isinstance(raw, date | time):
        return f"the date or time {raw}"
    if isinstance(raw, dict | list):
        return "a table of keys" if isinstance(raw, dict) else f"a list of {len(raw)}"
    return shortened(raw)


class _Reader:
    """One pass over a parsed file; knows where it is for the messages."""

    def __init__(self, text, document, name):
        self.text, self.name, self.data = text, name, document.unwrap()

    def house(self):
        if not self.data:
            raise HouseFileError(f"{self.name}: the file is empty")
        self.data.pop("format", None)
        return self.part(Greenhouse, self.data, ())

    def refuse(self, path, reason):
        line = _line_of(self.text, path)
        place = f", line {line}" if line else ""
        raise HouseFileError(f"{self.name}{place}: {reason}") from None

    def called(self, step):
        """A key, or which one of a list, short enough for a sentence."""
        return f"entry {step + 1}" if isinstance(step, int) else shortened(step, 40, quoted=False)

    def part(self, cls, table, path):
        if not isinstance(table, dict):
            self.refuse(path, f"{self.called(path[-1])} must be a table of keys, but it is {_as_read(table)}")
        known = {item.name: item for item in fields(cls)}
        for key in table:
            if key not in known and not (cls is Surface and key in SIZES):
                near = get_close_matches(key[:40], [*known, *(SIZES if cls is Surface else ())], n=3, cutoff=0.5)
                hint = f"nearest: {', '.join(near)}" if near else f"known: {', '.join(known)}"
                self.refuse((*path, key), f"{self.called(key)} is not known here ({hint})")
        if cls is Air and all(key in table for key in LEAKAGE):
            self.refuse((*path, "tightness"), "air takes either tightness or air_change_rate, not both")
        values = {key: self.value(known[key], table[key], (*path, key)) for key in table if key in known}
        if cls is Surface and any(key in table for key in SIZES):
            values["area"] = self.area(table, path)
        for key, item in known.items():
            if item.default is MISSING and key not in values:
                owner = self.owner(table, path)
                self.refuse(path, f"{owner} needs {key}, and it is missing")
        try:
            return cls(**values)
        except ValueError as error:
            self.refuse(path, str(error))

    def owner(self, table, path):
        name = table.get("name")
        called = shortened(name, 60, quoted=False) if name and isinstance(name, str) else ""
        if len(path) > 1 and isinstance(path[-1], int):
            return f"{_ONE.get(path[-2], 'part')} {called or self.called(path[-1])}"
        return called or (path[-1] if path else "the house")

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
                self.refuse(path, f"{path[-1]} must be a list of tables, but it is {_as_read(raw)}")
            return tuple(self.part(rule["class"], table, (*path, i)) for i, table in enumerate(raw))
        if rule["kind"] == "number":
            return self.number(rule, raw, path)
        if not isinstance(raw, str | bool):
            wanted = "true or false" if rule["kind"] == "yes" else "a text in quotes"
            self.refuse(path, f"{path[-1].replace('_', ' ')} must be {wanted}, but it is {_as_read(raw)}")
        try:
            return checked(path[-1], raw, rule)
        except ValueError as error:
            self.refuse(path, str(error))

    def number(self, rule, raw, path):
        try:
            name = path[-1].replace("_", " ")
            if isinstance(raw, bool | dict | list | date | time):
                wanted = f"a number in {rule['unit']}" if rule["unit"] else "a number"
                raise ValueError(f"{name} must be {wanted}, but it is {_as_read(raw)}")
            value = read_quantity(raw, rule["quantity"], rule["unit"], name)
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
        near = get_close_matches(raw[:40], COMPASS, n=2, cutoff=0.4) or list(COMPASS)
        raise ValueError(
            f"{name} must be degrees from north or one of the words for it, but it is {shortened(raw)} "
            f"(nearest: {', '.join(near)})"
        )
    if quantity == "clock":
        match = re.fullmatch(r"([01]?\d|2[0-4]):([0-5]\d)", raw)
        if match:
            return int(match.group(1)) + int(match.group(2)) / 60
        raise ValueError(f'{name} must be a time such as "17:30" or hours from 0 to 24, but it is {shortened(raw)}')
    if not quantity:
        wanted = f"a number in {unit}" if unit else "a plain number"
        raise ValueError(f"{name} must be {wanted} without quotes, but it is the text {shortened(raw)}")
    return parse_quantity(raw, quantity, name)


def _line_of(text, path):
    """Line on which a key stands, or its table starts; None where it can't be told (an inline table within a list)."""
    steps = [p for p in path if isinstance(p, str)]
    numbers = [p for p in path if isinstance(p, int)]
    here, counts, table_line = [], {}, None
    wanted_table = steps[:-1] if path and isinstance(path[-1], str) else steps
    for number, line in enumerate(text.split("\n"), 1):
        header = re.match(r"\s*(\[\[?)([^\]]+)\]", line)
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

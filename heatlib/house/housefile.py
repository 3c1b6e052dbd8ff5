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
from copy import deepcopy
from dataclasses import MISSING, fields
from datetime import date, time
from difflib import SequenceMatcher, get_close_matches
from math import isclose
from pathlib import Path

import tomlkit
from tomlkit.container import Container
from tomlkit.exceptions import KeyAlreadyPresent, TOMLKitError
from tomlkit.items import AoT, Array, Table, Whitespace

from heatlib._check import shortened
from heatlib.house.greenhouse import COMPASS, FORMAT, LEAKAGE, Air, Greenhouse, Surface, checked
from heatlib.units import parse_quantity

__all__ = ["HouseFileError", "house_text", "parse_house", "read_house", "save_house"]

SIZES = ("width", "height", "count")
"""Keys that may stand for a surface's area: width × height × count."""
_ONE = {"surfaces": "surface", "stores": "store", "layers": "layer", "trees": "tree", "horizon": "sighting"}
_INLINE = ("layers", "horizon")
"""Lists whose parts have no name of their own; they are written one after the other in brackets."""
_MARK = "\N{ZERO WIDTH NO-BREAK SPACE}"
"""What some editors of Windows put before a text in UTF-8, and need there to read its ° again."""
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
    except UnicodeDecodeError as error:
        ends = data.count(b"\n", 0, error.start)
        place = f", line {ends + 1}" if b"\0" not in data else ""
        raise HouseFileError(
            f"{path}{place}: this is not a text file in UTF-8; open it in the editor and save it with that encoding"
        ) from None
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
        mark = _MARK if source.exists() and source.read_bytes().startswith(_MARK.encode()) else ""
    except HouseFileError as error:
        raise HouseFileError(f"{source} is no house file, so it is left as it is ({error})") from None
    try:
        if path.exists():
            _write_atomically(path.with_name(path.name + ".bak"), path.read_bytes(), like=path)
        _write_atomically(path, (mark + text).encode(), like=path)
    except OSError as error:
        kept = "; the older file is as it was" * path.exists()
        raise HouseFileError(f"{path}: it can't be written ({error.strerror or error}){kept}") from None
    return path


def _write_atomically(path, data, like):
    handle, temporary = tempfile.mkstemp(dir=path.parent, prefix=f".{path.name}.", suffix=".tmp")
    try:
        with os.fdopen(handle, "wb") as stream:
            stream.write(data)
            stream.flush()
            os.fsync(stream.fileno())
        if like.exists():
            shutil.copymode(like, temporary)
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
        reason, line = f"{key} is stated twice", _line_that_stops(text)
    except TOMLKitError as error:
        reason, line = _reason(error, text), getattr(error, "line", None)
        if "already exists" in str(error):
            line = _line_that_stops(text) or line
    except (ValueError, RecursionError):
        reason, line = "this is not readable as TOML", _line_that_stops(text)
    place = f", line {line}" if line else ""
    raise HouseFileError(f"{name}{place}: {shortened(reason, 200, quoted=False)}")


_SLIPS = (
    (r"[“”„‘’«»]", "quotes must be straight ones"),
    (
        r"\s*\[[^\[\]]*$|\s*\[\[[^\[\]]*\]?$",
        "the name of a section stands in [ ], or in [[ ]] where there are several of it",
    ),
    (r"[^=]*$", "each line needs a key, an equals sign and a value, such as tilt = 60"),
    (r"[^=]*=\s*(#.*)?$", "a value is missing after the equals sign"),
    (r"\s*[\w-]+\s+[\w-]", "a key is one word, with _ in place of a blank"),
    (r"[^=]*=\s*[-+]?\d+,\d", "a number has a decimal point and no comma, such as 34.5 or 1200"),
    (r"[^=]*=\s*[-+]?\.\d", "a number needs a digit before its decimal point, such as 0.5"),
    (r"[^=]*=\s*[-+]?0\d", "a number does not begin with a 0 that means nothing"),
    (r"[^=]*=\s*[-+]?[\d.]+\s*[^\d\s.,#]", 'a value with a unit stands in quotes, such as "12 ft"'),
    (r"(?i)[^=]*=\s*(yes|no|true|false|on|off)\b", "yes and no are written true and false"),
    (r"[^=]*=\s*[^\W\d_]", 'a word stands in quotes, such as "south"'),
    (r"""[^"]*("[^"]*"[^"]*)*"[^"]*$""", "a quote is opened and not closed"),
)
"""What writers of a house file do to a line so that it is no TOML, the surest sign first."""


def _reason(error, text):
    """Why the text is no TOML, in a grower's words where the line shows it."""
    told = re.sub(r"\.? at line \d+ col \d+$", "", str(error))
    double = re.fullmatch(r'Key "(.+)" already exists', told)
    if double:
        words = "a section stands once, and one of several has two brackets, such as [[stores]]"
        return f"{double[1]} is stated twice; {words}"
    lines, line = text.split("\n"), getattr(error, "line", None)
    written = lines[line - 1].rstrip() if line and line <= len(lines) else ""
    for form, words in _SLIPS if written else ():
        if re.match(form, written) or (form.startswith("[“") and re.search(form, written)):
            return f"this is not readable as TOML: {words}"
    return f"this is not readable as TOML ({told[:1].lower() if told[1:2].islower() else told[:1]}{told[1:]})"


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
                wanted = 'a time in quotes, such as "17:30"' if rule["quantity"] == "clock" else wanted
                raise ValueError(f"{name} must be {wanted}, but it is {_as_read(raw)}")
            value = read_quantity(raw, rule["quantity"], rule["unit"], name)
        except ValueError as error:
            self.refuse(path, str(error))
        try:
            return checked(path[-1], value, rule)
        except ValueError as error:
            self.refuse(path, f"{error}, written as {shortened(raw)}" if isinstance(raw, str) else str(error))


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
    try:
        return parse_quantity(raw, quantity, name)
    except ValueError as error:
        raise ValueError(f"{error}{_number_slip(raw)}") from None


def _number_slip(text):
    """What to write in place of a number in a form that isn't read; nothing where the number is fine."""
    if re.match(r"\s*\d+,\d", text):
        return "; a number has a decimal point and no comma, such as 34.5 or 1200"
    if re.match(r"\s*(\d+\s+)?\d+\s*/\s*\d", text):
        return "; write a fraction as a decimal, such as 0.5 or 1.75"
    if re.match(r"\s*\d[\d.]*\s*('|ft)\s*\d", text):
        return "; write feet and inches as one number, such as 6.5 ft"
    return ""


def _line_of(text, path):
    """Line on which a key stands, or the part of the house nearest around it; None where nothing of it is there."""
    best, found = 0, None
    for number, here in _places(text):
        same = next((i for i, (a, b) in enumerate(zip(here, path)) if a != b), min(len(here), len(path)))
        if same > best:
            best, found = same, number
    return found


_KEY = r"""(?:[\w-]+|"[^"]*"|'[^']*')"""
_KEYS = rf"{_KEY}(?:[ \t]*\.[ \t]*{_KEY})*"


def _places(text):
    """Number of each line that begins a section or states a key, with the path it stands for."""
    here, counts, inside = (), {}, False
    for number, line in enumerate(text.split("\n"), 1):
        quotes = line.count('"""') + line.count("'''")
        header = re.match(rf"\s*(\[\[?)\s*({_KEYS})\s*\]", line)
        key = re.match(rf"\s*({_KEYS})\s*=", line)
        if inside or not (header or key):
            pass
        elif header:
            here = ()
            *outer, last = _steps(header[2])
            for step in outer:
                here += (step,)
                here += (counts[here],) if here in counts else ()
            here += (last,)
            if header[1] == "[[":
                counts[here] = counts.get(here, -1) + 1
                here += (counts[here],)
            yield number, here
        else:
            yield number, (*here, *_steps(key[1]))
        inside ^= quotes % 2


def _steps(dotted):
    return [step.strip("\"'") for step in re.findall(_KEY, dotted)]


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
            _take_out(table, item.name)
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
    """Bring a list in step: what stays keeps its place and its comments, the rest is taken out, put in or rewritten."""
    written = table.get(name)
    if not parts or not written:
        _take_out(table, name)
        if parts:
            table[name] = _new_list(name, parts)
        return
    kept = {_mark(part): (part, deepcopy(item)) for part, item in zip(before, written)}
    marks = [_mark(part) for part in parts]
    moves = SequenceMatcher(None, list(kept), marks, autojunk=False).get_opcodes()
    for tag, i, i_end, j, j_end in reversed(moves):
        if tag == "equal" or (i_end - i == j_end - j and not any(mark in kept for mark in marks[j:j_end])):
            for n in range(i_end - i):
                _write(written[i + n], parts[j + n], before[i + n])
            continue
        for n in reversed(range(i, i_end)):
            _take_out(written, n)
        for n in reversed(range(j, j_end)):
            old, item = kept.get(marks[n], (None, None))
            inline = not isinstance(written, AoT)
            entry = _entry(parts[n], old, item, inline=inline)
            if item is None and not inline:
                entry.add(tomlkit.nl())
            written.insert(i, entry)


def _mark(part):
    """What tells a part of a list from the others: its name, or all of it where it has none."""
    return getattr(part, "name", part)


def _new_list(name, parts):
    tables = tomlkit.array() if name in _INLINE else tomlkit.aot()
    for part in parts:
        tables.append(_entry(part, None, None, inline=name in _INLINE))
    return tables


def _entry(part, old, item, *, inline):
    """One entry of a list, written as ``item`` before, or new."""
    if item is None:
        item = tomlkit.inline_table() if inline else tomlkit.table()
    _write(item, part, old)
    return item


def _take_out(table, key):
    """Take a part away, but not the comment below it: that speaks of what comes next."""
    if isinstance(table, AoT):
        comment = _comment_below(table[key])
        del table[key]
        if key < len(table):
            table[key].trivia.indent = comment + table[key].trivia.indent
        elif key:
            table[key - 1].value.body.append((None, Whitespace(comment)))
    elif isinstance(table, Array):
        del table[key]
    elif key in table:
        body = table.body if isinstance(table, Container) else table.value.body
        place = next(n for n, (at, _) in enumerate(body) if at is not None and at.key == key)
        comment = _comment_below(table[key])
        table.remove(key)
        if comment:
            body[place] = (None, Whitespace(comment))


def _comment_below(item):
    """The comment lines that stand below all keys of a section [text]."""
    if isinstance(item, AoT):
        return _comment_below(item[-1])
    if not isinstance(item, Table) or not item.value.body:
        return ""
    key, last = item.value.body[-1]
    if key is not None:
        return _comment_below(last)
    text = ""
    for key, part in reversed(item.value.body):
        if key is not None:
            break
        text = part.as_string() + text
    return text[text.index("#") :] if "#" in text else ""


def _as_written(value, rule, written):
    """A value in the unit the writer used before, where there was one."""
    if isinstance(value, bool) or rule["kind"] != "number":
        return value
    unit = re.fullmatch(r"\s*[-+−]?[\d.]+(?:[eE][-+]?\d+)?\s*(\D.*?)\s*", written) if isinstance(written, str) else None
    us_r = isinstance(written, str) and re.fullmatch(r"\s*R\s*-?\s*[\d.]+\s*", written)
    quantity = rule["quantity"]
    if isinstance(written, str) and quantity in ("clock", "compass"):
        return _worded(value, quantity)
    if us_r:
        return _shortest(value, quantity, "R-{}", 0.0, parse_quantity("R-1", quantity))
    if unit and quantity:
        word = unit.group(1)
        zero, one = (parse_quantity(f"{n} {word}", quantity) for n in (0, 1))
        return _shortest(value, quantity, "{} " + word, zero, one - zero)
    return _plain(value)


def _plain(value):
    return int(value) if float(value).is_integer() and abs(value) < 1e15 else float(value)


def _worded(value, quantity):
    """A direction or a time of day in the words of the file, where there are words for it."""
    if quantity == "compass":
        return next((word for word, degrees in COMPASS.items() if degrees == value), _plain(value))
    minutes = round(value * 60)
    return f"{minutes // 60}:{minutes % 60:02d}" if isclose(minutes / 60, value, rel_tol=1e-14) else _plain(value)


def _shortest(value, quantity, form, zero, one):
    """The number in a unit with the fewest digits that read back as the same value, to round-off."""
    texts = [form.format(f"{(value - zero) / one:.{digits}g}") for digits in range(3, 18)]
    return next((text for text in texts if isclose(parse_quantity(text, quantity), value, rel_tol=1e-14)), texts[-1])

"""Broken files for the two readers that take a stranger's file, and what a reader may say to them.

Used by ``test_random_files.py`` for some seconds and by ``.ci/fuzz`` for as long as one likes. A case is a few
random cuts and pastes on a good file; anything but a documented refusal in one plain sentence, or a sound result, is a
finding.
"""

import math
import random
import re
import signal
import warnings
from contextlib import contextmanager

import numpy as np

from heatlib.house.demo import demo_house, demo_text
from heatlib.house.housefile import HouseFileError, house_text, read_house
from heatlib.house.logger import read_logger

SECONDS = 10.0
"""A case that takes the processor longer counts as a hang."""
JARGON = re.compile(
    r"\b(numpy|ndarray|dtype|float64|int64|object|NoneType|array\(|datetime\.|np\.|Traceback|TypeError|KeyError|tuple|str|dict"
    r"|int\(\)|base 10|unhashable|iterable|subscript\w*|attribute|positional|keyword|broadcast\w*|codec|decode|None)\b"
)


def is_plain(sentence):
    """Whether a refusal is one plain sentence: one line, short, no word that only a programmer knows."""
    own = re.sub(r"'[^']*'|\"[^\"]*\"|\(candidates:.*\)", "''", sentence)  # what the file says is the writer's affair
    good = sentence.isprintable() or all(ch.isprintable() or ch in "\u202f\xa0" for ch in sentence)
    return bool(good and 10 < len(sentence) <= 500 and not re.search(r"[.!?] [A-Z]", own) and not JARGON.search(own))


class Hang(BaseException):
    """A case took too long."""


@contextmanager
def time_limit(seconds=SECONDS):
    def stop(*_):
        raise Hang(f"longer than {seconds:g} s")

    before = signal.signal(signal.SIGPROF, stop)
    signal.setitimer(signal.ITIMER_PROF, seconds)
    try:
        yield
    finally:
        signal.setitimer(signal.ITIMER_PROF, 0)
        signal.signal(signal.SIGPROF, before)


SHED = """# our shed
name = "shed"
volume = "350 ft3"       # measured by Ann
note = \"\"\"two
lines\"\"\"
horizon = [{ facing = "east", height = 8 }, { facing = "south-west", height = 3.5 }]
[place]
latitude = 45
[floor]
area = 6.0
perimeter = "33 ft"
edge_r_value = "R-10"
layers = [{ material = "gravel", thickness = "3 in" }]
[[surfaces]]
name = "pane"
facing = "south-east"
width = "12 ft"   # outside
height = 2
glazing = "glass_single"
[[surfaces]]
name = "wall"
area = 10
r_value = "R-19"
[[stores]]
name = "drums"
kind = "barrels"
volume = "55 gal"
count = 3
[heater]
power = "1.2 kW"
setpoint = "35 °F"
[curtain]
closes = "17:30"
rule = "clock"
"""
OLD = "format = 1\n" + SHED.replace("[[surfaces]]", "[[surface]]").replace("[[stores]]", "[[store]]")
OLD += "[leaks]\nair_changes = 2.5\n"
HOUSES = tuple(text.encode() for text in (SHED, OLD, demo_text(), *(house_text(demo_house(n)) for n in (0, 3, 9, 10))))
HOUSE_WORDS = tuple(
    word.encode()
    for word in (
        "[[surfaces]]", "[", "]", "{", "}", "=", ".", ",", '"', "'", '"""', "\\", "#", "\n", "\r\n", "\r", "\t", "\0",
        "nan", "inf", "-inf", "1e999", "-0.0", "0x1F", "9" * 400, "9" * 5000, "1_000", "true", "false", "null",
        "2024-01-01", "2024-02-30", "17:30:00", "2024-01-01T12:00:00Z", '"12 ft"', '"R-19"', '"55 gal"', '"1e999 kW"',
        '"−5 °C"', '"٣ m"', '"½ in"', '"12 parsec"', "[1, 2]", "[]", "{}", "[[1]]", "{ a = 1 }", "[" * 200, "]" * 200,
        "[" * 30000, "a." * 3000 + "a = 1\n", "x = 1\n", "format = 1\n", "format = 2\n", "format = 3\n", "format = ²\n",
        "format = true\n", "layers", "surfaces = 1\n", "stores = []\n", "stores = [[]]\n", "pipes = {}\n", "air = []\n",
        "count = 1e308\n", "count = 0.5\n", "latitude = [45.0, 46.0]\n", "name = 'a\\nb'\n", 'name = "\\u0000"\n',
        'name = "a.b"\n', "name = ''\n", "'' = 1\n", '"a\\nb" = 1\n', "tightness = 'sealed'\n", "wind_dependent = 1\n",
        " " * 3000, "\n" * 3000, "\ufeff", "é", "\u2028", "\u202e", "𝟙",
    )
)  # fmt: skip


def _log(header, row, count=30):
    return "\n".join([header, *(row(i) for i in range(count))]).encode() + b"\n"


LOGGERS = (
    _log("time,temp C", lambda i: f"2024-01-{1 + i // 24:02d} {i % 24:02d}:00,{-5 + i / 10:.1f}"),
    _log("time;inside °F;outside °F;humidity %",
         lambda i: f"1/{13 + i // 12}/2024 {12 if i % 12 == 0 else i % 12}:30 AM;{40 + i},5;{20 - i},25;{60 + i % 9}"),
    _log("Date\tTime\tgreenhouse temp (C)\twind speed mph",
         lambda i: f"{1 + i // 24:02d}.03.2023\t{i % 24:02d}:15:00\t{i}.25\t{i % 7}"),
    _log("timestamp|inside_temp_C|outside_temp_C",
         lambda i: f"2023-11-05T{i % 24:02d}:00:00{'-04:00' if i < 2 else '-05:00'}|{10 - i / 4}|{-i / 2}"),
    _log('"Logger 7, serial 123"\n\n"time","temp"', lambda i: f'"{i % 28 + 1} Jan 2024 {i % 24}:00","{i}.5 °C"'),
    _log("time,temp C", lambda i: f"2023-11-05 {i // 4 if i < 8 else i // 4 - 1:02d}:{i % 4 * 15:02d},{3 + i % 2}"),
    _log("temps,temp,time", lambda i: f"{i},{i} F,Jan {i % 28 + 1}, 2024 {i % 12 + 1}:00 p.m."),
)  # fmt: skip
LOGGER_WORDS = tuple(
    word.encode()
    for word in (
        ",", ";", "\t", "|", '"', '""', "'", "\n", "\r\n", "\r", "\0", " ", "time", "date", "temp", "inside", "outside",
        "humidity", "wind", "mph", "°C", "°F", "C", "F", "%", "nan", "inf", "-inf", "-0.0", "1e99", "1e999", "-999",
        "−5,5",
        "٣٫٥", "²", "½", "0001-01-01 00:00", "9999-12-31 23:59", "9999-12-31T23:59:59-12:00",
        "0001-01-01T00:00:00+14:00",
        "0000-00-00 00:00", "2024-02-30 12:00", "2024-03-10 02:00", "12:00 AM", "24:00", "1/2/24 1:00 pm", "Z",
        "+99:99",
        "2024-01-01 00:00,1\n", "2024-01-01 00:00,2\n", "2262-04-12 00:00,1\n", "1677-09-20 00:00,1\n", "N/A", "null",
        "1,234.5", "1.234,5", "9" * 400, "1" * 20000, "x" * 3000, "," * 3000, " " * 3000, "\n" * 3000, '"' * 999,
        "wind " * 2000, "\ufeff", "é", "\u2028", "\x0b", "\x0c", "\x1c", "\x85", "\u202e", "𝟙", "=cmd|' /C calc'!A0",
    )
)  # fmt: skip


def mutated(rng, seeds, words):
    """Return a good file with one to eight random cuts and pastes."""
    data = bytearray(rng.choice(seeds))
    for _ in range(rng.choice((1, 1, 1, 2, 2, 3, 5, 8))):
        at = rng.randrange(len(data) + 1)
        end = min(len(data), at + rng.choice((0, 1, 2, 5, 20, 100)))
        kind = rng.randrange(9)
        if kind == 0:
            data[at:at] = rng.choice(words)
        elif kind == 1:
            data[at:end] = rng.choice(words)
        elif kind == 2:
            del data[at:end]
        elif kind == 3:
            data[at:at] = rng.randbytes(rng.choice((1, 2, 4, 16)))
        elif kind == 4:
            other = rng.choice(seeds)
            start = rng.randrange(len(other))
            data[at:at] = other[start : start + rng.choice((5, 50, 500))]
        elif kind == 5:
            lines = bytes(data).split(b"\n")
            lines.insert(rng.randrange(len(lines)), rng.choice(lines))
            data[:] = b"\n".join(lines)
        elif kind == 6:
            lines = bytes(data).split(b"\n")
            line = rng.randrange(len(lines))
            head, mark, _ = lines[line].partition(b"=")
            lines[line] = head + mark + b" " + rng.choice(words) if mark else rng.choice(words)
            data[:] = b"\n".join(lines)
        elif kind == 7:
            found = [m.span() for m in re.finditer(rb"[-\d.]+", bytes(data))]
            if found:
                a, b = rng.choice(found)
                data[a:b] = rng.choice((b"0", b"-1", b"1e9", b"0.5", b"99", b"-0.0", b"1e-300", rng.choice(words)))
        else:
            data[:] = _recoded(rng, bytes(data))
    return bytes(data[:200_000])


def _recoded(rng, data):
    text = data.decode("utf-8", "replace")
    ways = ("utf-16", "utf-16-le", "utf-8-sig", "latin-1", "cp1252", "crlf", "cr")
    way = rng.choice(ways)
    if way in ("crlf", "cr"):
        return text.replace("\n", "\r\n" if way == "crlf" else "\r").encode()
    return text.encode(way, "replace")


def try_house_file(data, folder):
    """Read the bytes as a house file; return what is wrong with the answer, or nothing, and whether it was read."""
    path = folder / "house.toml"
    path.write_bytes(data)
    with warnings.catch_warnings(record=True) as told:
        warnings.simplefilter("always")
        try:
            house = read_house(path)
        except HouseFileError as error:
            said = str(error)
            good = said.startswith(str(path)) and is_plain(said[len(str(path)) :])
            return ([] if good else [f"not plain: {said[:500]!r}"]), False
    if any(not issubclass(one.category, UserWarning) for one in told):
        return [f"warns: {told[0].message}"], True
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        wrong = [] if _same_as_written(house, data.decode("utf-8-sig")) else ["does not come back as it was written"]
    return wrong, True


def _same_as_written(house, text):
    from heatlib.house.housefile import parse_house

    return parse_house(house_text(house)) == house and parse_house(house_text(house, text)) == house


CHOICES = {
    "unit": (None, None, "C", "F"),
    "unreadable": ("stop", "drop", "drop"),
    "repeats": ("stop", "first", "last", "mean"),
    "summer_time": ("stop", "remove", "keep"),
    "bridge": (0.0, 0.0, 1.0, 3.0),
    "date_order": (None, None, "day first", "month first", "year first"),
    "decimal": (None, None, ".", ","),
    "delimiter": (None, None, None, ",", ";", "|"),
    "humidity_unit": (None, "%", "share"),
    "wind_unit": (None, "mph"),
}


def options(rng):
    return {name: rng.choice(values) for name, values in CHOICES.items()}


def try_logger(data, told):
    """Read the bytes as a logger's file; return what is wrong with the answer, or nothing, and whether it was read."""
    with warnings.catch_warnings():
        warnings.simplefilter("error")
        try:
            record, report = read_logger(data, **told)
        except ValueError as error:
            good = type(error) is ValueError and is_plain(str(error))
            return ([] if good else [f"not plain: {str(error)[:500]!r}"]), False
    wrong = []
    if not (np.diff(record.time).astype(float) > 0).all() or np.isnat(record.time).any():
        wrong.append("times do not increase")
    for values in record.temperatures.values():
        if len(values) != len(record.time) or np.isinf(values).any() or np.nanmax(np.abs(values), initial=0) > 90:
            wrong.append("impossible temperatures")
    if record.humidity is not None and not np.nanmax(record.humidity, initial=0) <= 1:
        wrong.append("impossible humidity")
    if not (math.isfinite(record.step) and record.step > 0):
        wrong.append(f"impossible step {record.step}")
    if len(record.time) > 2_000_000 or len(str(report)) < 10:
        wrong.append("too long a record")
    lines = data.count(b"\n") + data.count(b"\r") + 1
    if record.row.min() < 0 or record.row.max() > lines:
        wrong.append("a row that is not in the file")
    return wrong, True


def case_of(kind, seed):
    """Return one random case: the bytes and, for a logger, what is told with them."""
    rng = random.Random(seed)
    if kind == "house-file":
        return mutated(rng, HOUSES, HOUSE_WORDS), None
    return mutated(rng, LOGGERS, LOGGER_WORDS), options(rng)


def findings(kind, data, told, folder, seconds=SECONDS):
    """Try one case; return what is wrong and whether it was read. Nothing but a result or a plain refusal is right."""
    try:
        with time_limit(seconds):
            return try_house_file(data, folder) if kind == "house-file" else try_logger(data, told)
    except (Exception, Hang) as error:
        last = error.__traceback__
        while last.tb_next:
            last = last.tb_next
        place = f"{last.tb_frame.f_code.co_filename.rpartition('/')[2]}:{last.tb_lineno}"
        return [f"{type(error).__name__} in {place}: {str(error)[:200]}"], False

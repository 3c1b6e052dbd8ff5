"""Five hundred wrong inputs, drawn over all that a house, its weather, its runs and its sizing take: each is refused.

A refusal is one plain sentence (:func:`fuzz_inputs.is_plain`) that names what is wrong, and nothing else ever comes
out: no other exception, no result.
"""

import datetime
import random
from dataclasses import fields

import numpy as np
from fuzz_inputs import is_plain

from heatlib.house import greenhouse as g
from heatlib.house.balance import run
from heatlib.house.bill import loss_bill, savings
from heatlib.house.demo import demo_house
from heatlib.house.housefile import house_text, parse_house, read_house, save_house
from heatlib.house.logger import bridge_gaps, read_logger
from heatlib.house.made_up import made_up_log
from heatlib.house.sizing import barrels_needed, curtain_needed, heater_needed, insulation_needed, pipe_needed
from heatlib.house.weather import design_day, design_night, sunless_days

NIGHT = design_night(46.5, "2025-01-15", minimum=-10.0, maximum=-5.0, days_before=1)
HOUSE = demo_house(9)
LOG = b"time,temp C\n2024-01-01 00:00,1\n2024-01-01 01:00,2\n2024-01-01 02:00,3\n"
NO_NUMBER = (
    "12", b"12", True, {"a": 1}, [1.0, 2.0], [[1], [1, 2]], (), 1 + 2j, np.datetime64("2025-01-01"), len, float("nan"),
    float("inf"), -float("inf"), 10**400, np.array([True]), datetime.date(2025, 1, 1), object(),
)  # fmt: skip
NO_TEXT = (5, b"shed", None, True, ["shed"], {"a": 1}, "a\nb", "\0", "x" * 5000, "\ud800", 1.5)
NO_NAME = ("glas_single", "", 5, None, b"granite", ["granite"], True, "granite ", "x" * 5000, "a\nb", ("a",), 1e400)
NO_PART = (5, "heater", [1], {"power": 5}, True, (1, 2), g.Heater, object())

PARTS = {
    g.Place: dict(latitude=46.0), g.Layer: dict(material="gravel", thickness=0.1),
    g.Surface: dict(name="pane", area=2.0, u_value=3.0), g.Air: {}, g.Plants: {},
    g.Floor: dict(area=20.0, perimeter=18.0), g.Store: dict(name="drums", kind="barrels", volume=0.2),
    g.Pipes: dict(length=5.0, flow=0.05), g.Heater: dict(power=500.0), g.Curtain: {}, g.Vents: {}, g.Shade: {},
    g.Tree: dict(name="maple", facing=90.0, distance=10.0, height=8.0, crown_width=5.0),
    g.Sighting: dict(facing=90.0, height=5.0), g.SnowCover: {}, g.Limits: {},
    g.Greenhouse: {item.name: getattr(HOUSE, item.name) for item in fields(g.Greenhouse)},
}  # fmt: skip


def wrong_field(draw):
    """A part of a house with one field that it can't have."""
    cls = draw.choice(list(PARTS))
    item = draw.choice(fields(cls))
    rule, kind = item.metadata, item.metadata["kind"]
    optional = item.default is None
    if kind == "number":
        low, high = rule["low"], rule["high"]
        bad = [low - draw.choice((1e-3, 1.0, 1e9)), high + draw.choice((1e-3, 1.0, 1e9)), *NO_NUMBER]
        bad += [] if rule["above"] is None else [rule["above"]]
    elif kind == "name":
        bad = [value for value in NO_NAME if value is not None or not optional]
    elif kind == "yes":
        bad = ["true", 1, 0, None, [True], "yes"]
    elif kind == "text":
        bad = [value for value in NO_TEXT if not (rule["lines"] and isinstance(value, str) and value != "\0")]
    elif kind == "parts":
        bad = [*NO_PART, "ab", None]
    else:
        bad = [*NO_PART, *([] if optional else [None])]
    return cls, PARTS[cls] | {item.name: draw.choice(bad)}, item.name.replace("_", " ")


CALLS = (
    (
        run,
        dict(house=HOUSE, weather=NIGHT),
        {
            "step": (*NO_NUMBER, 1.0, 5000.0, -300.0, 0),
            "initial": (-70.0, "warm", {"air": 99.0}, {"drum": 5.0}, {"floor": 5.0}, [1, 2], float("nan")),
            "house": (None, 5, "shed", NIGHT),
            "weather": (None, 5, "cold", HOUSE),
        },
    ),
    (
        loss_bill,
        dict(house=HOUSE, inside=5.0, outside=-10.0),
        {
            "inside": (*NO_NUMBER, -61.0, 91.0),
            "outside": (*NO_NUMBER, -61.0, 200.0),
            "wind_speed": (*NO_NUMBER, -1.0, 41.0),
            "dew_point": (*NO_NUMBER, -5.0, -61.0),
            "cloud": (*NO_NUMBER, -0.1, 1.1),
            "humidity": (*NO_NUMBER, 80.0, -1.0),
            "day_of_year": (*NO_NUMBER, 0, 367),
            "house": (None, 5, "shed", NIGHT),
        },
    ),
    (
        savings,
        dict(house=HOUSE, measures={"seal": {"air.air_change_rate": 0.5}}, inside=5.0, outside=-10.0),
        {
            "measures": (
                None,
                {},
                [],
                5,
                "seal",
                {"a": None},
                {"a": 5},
                {"a": {"air.x": 1}},
                {"a": {5: 1}},
                {"a": {"air.air_change_rate": -1.0}},
                {"a": {"": 1}},
                {"a": {"stores.tank.count": 1}},
                {"a": {"volume.x": 1}},
            ),
            "inside": NO_NUMBER,
        },
    ),
    (
        design_night,
        dict(latitude=46.0, date="2025-01-15", minimum=-10.0, maximum=-5.0),
        {
            "latitude": (*NO_NUMBER, 67.0, -90.0),
            "date": ("15.1.2025", "soon", None, 5.5, b"x", "2025-02-30", [1], "NaT", ""),
            "minimum": (*NO_NUMBER, -61.0, 5.0),
            "maximum": (*NO_NUMBER, -11.0, 91.0),
            "cloud": (*NO_NUMBER, -0.1, 2.0),
            "days_before": (*NO_NUMBER, -1, 61, 1.5),
            "wind_speed": (*NO_NUMBER, -1.0, 61.0),
            "dew_point": (*NO_NUMBER, -81.0, 50.0),
            "longitude": (*NO_NUMBER, 181.0),
            "utc_offset": (*NO_NUMBER, 15.0),
            "elevation": (*NO_NUMBER, 5000.0),
            "step": (*NO_NUMBER, 59.0, 3601.0),
            "wind": (1.0,),
            "snow": ("yes", 5, None, [True]),
        },
    ),
    (
        design_day,
        dict(latitude=46.0, date="2025-01-15", minimum=-10.0, maximum=-5.0),
        {
            "days": (*NO_NUMBER, 0, 401, 1.5),
            "cloud": ("x", -0.1, [0.1, 0.2], True),
            "maximum": NO_NUMBER,
            "snow": ("yes", 5, None, [True]),
        },
    ),
    (
        sunless_days,
        dict(latitude=46.0, date="2025-01-15", minimum=-10.0, maximum=-5.0),
        {"sunless": (*NO_NUMBER, 0, 31, 1.5), "days_before": (*NO_NUMBER, -1, 61), "cloud": (*NO_NUMBER, 1.5)},
    ),
    (
        barrels_needed,
        dict(house=HOUSE, weather=NIGHT),
        {
            "limit": (*NO_NUMBER, -21.0, 31.0),
            "store": ("tank", 5, b"x", ["drums"]),
            "largest": (*NO_NUMBER, 0, 1001),
            "weather": (None, 5, "cold", [], [5], HOUSE),
        },
    ),
    (
        heater_needed,
        dict(house=HOUSE, weather=NIGHT),
        {
            "limit": (*NO_NUMBER, -21.0, 31.0),
            "unit": (*NO_NUMBER, 0.5, 5001.0),
            "largest": (*NO_NUMBER, 1.0, 2e6),
            "house": (None, 5, "shed", NIGHT),
        },
    ),
    (
        insulation_needed,
        dict(house=HOUSE, weather=NIGHT),
        {
            "material": NO_NAME,
            "surfaces": (["none"], [5], 5, "x"),
            "unit": (*NO_NUMBER, 0.0, 0.2),
            "largest": (*NO_NUMBER, 5.0),
        },
    ),
    (
        pipe_needed,
        dict(house=HOUSE, weather=NIGHT),
        {"unit": (*NO_NUMBER, 0.0, 11.0), "largest": (*NO_NUMBER, 501.0), "limit": NO_NUMBER},
    ),
    (
        curtain_needed,
        dict(house=HOUSE, weather=NIGHT),
        {"unit": (*NO_NUMBER, 0.0, 2.0), "largest": (*NO_NUMBER, 6.0), "limit": NO_NUMBER},
    ),
    (
        read_logger,
        dict(source=LOG),
        {
            "source": (None, 5, b"", b"\0", "no/such.csv", b"time,temp C\n", b"\xff\xfe\x01", ["a"], b"x,y\n1,2\n"),
            "unit": ("K", 5, b"C", "c", True),
            "unreadable": ("skip", None, 5),
            "repeats": ("all", None),
            "summer_time": ("yes", None, True),
            "bridge": (*NO_NUMBER, -1.0, 3.5),
            "date_order": ("american", 5, ""),
            "decimal": (";", 5),
            "delimiter": (":", 5, ""),
            "humidity_unit": ("kg", 5),
            "wind_unit": ("bft", 5),
            "inside": ("none", 5),
            "time": ("temp", 5, "when"),
            "rain": ("x",),
        },
    ),
    (bridge_gaps, dict(record=read_logger(LOG)[0], hours=1.0), {"hours": (*NO_NUMBER, -0.1, 4.0)}),
    (
        made_up_log,
        dict(house=HOUSE, weather=NIGHT),
        {
            "step": (*NO_NUMBER, 59.0, 3601.0),
            "noise": (*NO_NUMBER, -1.0, 6.0),
            "seed": (*NO_NUMBER, -1, 1e7),
            "start": ("soon", "2030-01-01", 5.5, b"x", [1]),
        },
    ),
    (demo_house, {}, {"after_lesson": (*NO_NUMBER, -1, 11, 1.5)}),
    (
        parse_house,
        dict(text="x = 1"),
        {
            "text": (
                None,
                5,
                b"x",
                "",
                "volume = ",
                "name = 5",
                "\0",
                "[[",
                "surfaces = 3",
                "place = []",
                "[place]\nlatitude = inf",
            )
        },
    ),
    (read_house, {}, {"path": (None, 5, b"x", "\0", "/", "no-such.toml", [1])}),
    (house_text, dict(house=HOUSE), {"house": (None, 5, "x"), "template": ("x = 1", "[", 5, b"x")}),
    (
        save_house,
        dict(house=HOUSE, path="no-such-folder/x.toml"),
        {"path": ("no-such-folder/x.toml", None, 5, "\0"), "house": (None, 5)},
    ),
    (
        HOUSE.changed,
        {},
        {
            "path": (
                "heater.watts",
                "",
                ".",
                "volume.x",
                "stores.tank.count",
                "stores.99.count",
                "x" * 5000,
                5,
                "heater..power",
                "horizon.0.facing",
            ),
            "volume": (-1.0, "12", None),
        },
    ),
    (
        NIGHT.between,
        dict(start="2025-01-15", end="2025-01-16"),
        {"start": ("soon", "2030-01-01", None, [1], b"x"), "end": ("later", "2020-01-01")},
    ),
    (run(HOUSE, NIGHT, 3600.0).at, {}, {"when": (*NO_NUMBER, -1.0, 1e9)}),
)


def wrong_argument(draw):
    """A function of this floor, called with one argument that it can't have."""
    function, good, bad = draw.choice(CALLS)
    name = draw.choice(list(bad))
    return function, good | {name: draw.choice(bad[name])}, name


def refused(function, named):
    """Return the sentence of a refusal, or what went wrong instead."""
    try:
        function(**named)
    except ValueError as error:
        said = str(error)
        return said, (is_plain(said) and type(error).__module__ in ("builtins", "heatlib.house.housefile"))
    except Exception as error:
        return f"{type(error).__name__}: {error}", False
    return "accepted", False


def cases(count):
    draw = random.Random(8)
    return [wrong_field(draw) if draw.random() < 0.5 else wrong_argument(draw) for _ in range(count)]


def test_five_hundred_wrong_inputs_are_refused_in_one_plain_sentence():
    wrong = {}
    for function, named, name in cases(500):
        said, good = refused(function, named)
        if not good:
            wrong[f"{function.__name__} {name}={named.get(name, named.get(name.replace(' ', '_')))!r:.60}"] = said[:200]
    assert wrong == {}, "\n".join(f"{key}: {said}" for key, said in wrong.items())


def test_a_number_of_a_house_is_refused_by_name_value_unit_and_range():
    seen = 0
    for cls, good in PARTS.items():
        for item in fields(cls):
            rule = item.metadata
            if rule["kind"] == "number":
                said, plain = refused(cls, good | {item.name: rule["high"] + 1.0})
                seen += 1
                assert plain and item.name.replace("_", " ") in said and f"{rule['high'] + 1.0:.6g}" in said, said
                assert rule["unit"] in said and f"{rule['high']:g}" in said, said
    assert seen > 80


def test_the_judge_of_sentences_knows_bad_ones():
    strange = (
        "only 0-dimensional arrays can be converted to Python scalars\n",
        "operands could not be broadcast together",
        "'NoneType' object is not iterable",
        "One thing. Another thing",
        "x" * 600,
        "bad",
        "volume\tmust be less",
    )
    for bad in strange:
        assert not is_plain(bad), bad
    assert is_plain("heater power must be between 0 and 1e+06 W, but it is -5 W")

"""Each number that the house floor takes is refused beyond the range its docstring states, by name, range and unit.

Only the documented range is typed here; how a refusal is made stands in ``heatlib/_check.py`` and is tested there.
"""

import re

import numpy as np
import pytest

from heatlib.house.bill import loss_bill
from heatlib.house.compared import compare_heated
from heatlib.house.demo import demo_house
from heatlib.house.logger import read_logger
from heatlib.house.made_up import made_up_log
from heatlib.house.recorded import read_year, weather_from_record
from heatlib.house.weather import design_day, design_night, sunless_days
from heatlib.house.weather_sun import sun_from_cloud, sun_from_global

HOUSE = demo_house(1)
DAY = dict(latitude=46.5, date="2025-01-20", minimum=-24.0, maximum=-12.0)
NOON = np.array(["2025-01-20T12:00"], "datetime64[s]")
RECORD = read_logger(b"time,temp C\n2024-01-01 00:00,0\n2024-01-01 01:00,-2\n2024-01-01 02:00,-3\n")[0]
LOGGED = dict(record=RECORD, latitude=46.5, cloud=0.0, dew_point=-5.0, wind_speed=1.0)
NIGHT = design_night(**DAY, days_before=0, step=3600.0)

PLACE = (
    ("latitude", "latitude", -66, 66, "°"),
    ("longitude", "longitude", -180, 180, "°"),
    ("utc_offset", "UTC offset", -12, 14, "h"),
    ("elevation", "elevation", -290, 3000, "m"),
)
CALLS = (
    (
        loss_bill,
        dict(house=HOUSE, inside=2.0, outside=-24.0),
        ("inside", "temperature inside", -60, 90, "°C"),
        ("outside", "temperature outside", -60, 90, "°C"),
        ("dew_point", "dew point outside", -60, -24, "°C"),
        ("wind_speed", "wind speed", 0, 40, "m/s"),
        ("cloud", "cloud", 0, 1, ""),
        ("humidity", "relative humidity inside", 0, 1, ""),
        ("day_of_year", "day of the year", 1, 366, "day"),
    ),
    (
        design_day,
        DAY,
        *PLACE,
        ("minimum", "minimum", -60, 90, "°C"),
        ("maximum", "maximum", -24, 90, "°C"),
        ("cloud", "cloud", 0, 1, ""),
        ("days", "days", 1, 400, ""),
        ("wind_speed", "wind speed", 0, 60, "m/s"),
        ("dew_point", "dew point", -80, -12, "°C"),
        ("step", "step", 60, 3600, "s"),
    ),
    (
        design_night,
        DAY,
        *PLACE,
        ("cloud", "cloud", 0, 1, ""),
        ("days_before", "days before", 0, 60, ""),
    ),
    (
        sunless_days,
        DAY,
        ("sunless", "sunless days", 1, 30, ""),
        ("days_before", "days before", 0, 60, ""),
        ("cloud", "cloud", 0, 1, ""),
    ),
    (sun_from_cloud, dict(times=NOON, latitude=46.5, cloud=0.0), *PLACE, ("cloud", "cloud", 0, 1, "")),
    (
        sun_from_global,
        dict(times=NOON, latitude=46.5, global_horizontal=100.0),
        *PLACE,
        ("global_horizontal", "sun on the level", 0, 1500, "W/m²"),
    ),
    (
        weather_from_record,
        LOGGED,
        *PLACE,
        ("cloud", "cloud", 0, 1, ""),
        ("dew_point", "dew point", -80, 40, "°C"),
        ("wind_speed", "wind speed", 0, 75, "m/s"),
    ),
    (
        read_year,
        dict(path="no such file", kind="epw"),
        ("year", "year", 1950, 2100, ""),
        ("shelter", "shelter", 0, 1, ""),
    ),
    (
        made_up_log,
        dict(house=HOUSE, weather=NIGHT),
        ("step", "step of the log", 60, 3600, "s"),
        ("noise", "noise", 0, 5, "K"),
        ("seed", "seed", 0, 1e6, ""),
    ),
    (
        compare_heated,
        dict(house=HOUSE, record=RECORD, power=0.0, weather=NIGHT),
        ("power", "power", 0, 1e6, "W"),
    ),
    (demo_house, {}, ("after_lesson", "lesson", 0, 10, "")),
)
ROWS = [
    pytest.param(function, given, *row, id=f"{function.__name__}-{row[0]}")
    for function, given, *rows in CALLS
    for row in rows
]


@pytest.mark.filterwarnings("ignore:.*dayofyear.*")
@pytest.mark.parametrize(("function", "given", "argument", "word", "low", "high", "unit"), ROWS)
def test_a_number_is_refused_just_beyond_its_documented_range(function, given, argument, word, low, high, unit):
    unit_text = f" {unit}" if unit else ""
    for value in (low - 1, high + 1):
        wanted = f"{word} must be between {low:g} and {high:g}{unit_text}, but it is {value:.6g}{unit_text}"
        with pytest.raises(ValueError, match=f"^{re.escape(wanted)}$"):
            function(**(given | {argument: value}))


@pytest.mark.parametrize(
    ("argument", "ends"),
    [("inside", (-60.0, 90.0)), ("outside", (-60.0, 90.0)), ("dew_point", (-60.0, -24.0)), ("wind_speed", (0.0, 40.0)),
     ("cloud", (0.0, 1.0)), ("humidity", (0.0, 1.0)), ("day_of_year", (1.0, 366.0))],
)  # fmt: skip
def test_the_bill_is_answered_at_both_ends_of_every_range(argument, ends):
    for value in ends:
        given = {"inside": 2.0, "outside": -24.0} | {argument: value}
        given |= {"dew_point": -60.0} if argument == "outside" else {}
        assert np.isfinite(loss_bill(HOUSE, **given).total)

"""Design nights, sunless spells, sun from cloud, hourly years, weather from a record."""

import csv
import warnings
from pathlib import Path

import numpy as np
import pytest

from heatlib.house.logger import read_logger
from heatlib.house.recorded import coldest_night, read_year, weather_from_record
from heatlib.house.weather import design_day, design_night, sunless_days
from heatlib.house.weather_sun import sun_from_cloud, sun_from_global

DEMO = dict(minimum=-24.0, maximum=-12.0, elevation=350.0)


@pytest.fixture(autouse=True)
def _quiet_libraries():
    with warnings.catch_warnings():
        warnings.filterwarnings("ignore", message=".*dayofyear.*")
        yield


def declination(day):
    """Cooper's formula (Duffie and Beckman, eq. 1.6.1a, from memory) [rad]."""
    return np.radians(23.45) * np.sin(2 * np.pi * (284 + day) / 365)


@pytest.mark.parametrize(("date", "day", "latitude"), [("2025-01-20", 20, 46.5), ("2025-06-21", 172, 30.0)])
def test_coldest_at_sunrise_warmest_in_the_afternoon(outside, date, day, latitude):
    night = design_day(latitude, date, minimum=-24.0, maximum=-12.0, step=60.0)
    half = np.degrees(np.arccos(-np.tan(np.radians(latitude)) * np.tan(declination(day)))) / 15
    b = 2 * np.pi * (day - 81) / 364
    noon = 12 - (9.87 * np.sin(2 * b) - 7.53 * np.cos(b) - 1.5 * np.sin(b)) / 60
    coldest, warmest = night.time[night.temperature.argmin()] / 3600, night.time[night.temperature.argmax()] / 3600
    outside(
        "weather.design_day", coldest, noon - half, source="sunrise by hour angle and equation of time, closed form",
        abs=0.15, why="Cooper's declination is good to 0.4°, some 5 min; clock in steps of 1 min",
    )  # fmt: skip
    assert warmest == pytest.approx(noon + 2.5, abs=0.1)
    assert (night.temperature.min(), night.temperature.max()) == (
        pytest.approx(-24, abs=1e-3),
        pytest.approx(-12, abs=1e-3),
    )


def test_equal_days_repeat_and_the_curve_never_leaves_its_limits():
    days = design_day(46.5, "2025-01-20", days=3, **DEMO)
    assert len(days.time) == 3 * 96 + 1
    assert days.temperature[:97] == pytest.approx(days.temperature[96:193], abs=1e-9)
    assert days.temperature.min() >= -24
    assert days.temperature.max() <= -12
    assert np.abs(np.diff(days.temperature)).max() < 12 * 0.25 * np.pi / 2 / 5
    assert (days.dew_point <= days.temperature).all()
    assert days.dew_point == pytest.approx(-26)
    still = design_day(46.5, "2025-01-20", minimum=3.0, maximum=3.0)
    assert still.temperature == pytest.approx(3.0)


def test_design_night_ends_at_the_noon_after_and_has_days_before():
    night = design_night(46.5, "2025-01-20", days_before=3, **DEMO)
    assert str(night.start) == "2025-01-17T00:00:00"
    assert str(night.clock[-1]) == "2025-01-21T12:00:00.000"
    assert night.wind_speed.max() == 0.5
    assert not night.snow.any()
    assert design_night(46.5, "2025-01-20", snow=True, wind_speed=3.0, **DEMO).snow.all()


def test_sunless_days_are_covered_after_clear_ones():
    spell = sunless_days(46.5, "2025-01-20", sunless=3, days_before=2, **DEMO)
    clear, dark = spell.time < 2 * 86400, spell.time >= 2 * 86400
    assert spell.beam_normal[clear].max() > 500
    assert spell.beam_normal[dark].max() == 0
    assert spell.cloud[dark].min() == 1
    assert spell.cloud[clear].max() == 0
    one, three = (
        sunless_days(46.5, "2025-01-20", sunless=n, days_before=2, **DEMO).global_horizontal[-5 * 96 :].sum()
        for n in (1, 3)
    )
    assert three < one


def test_cloud_by_day():
    days = design_day(46.5, "2025-06-20", minimum=10.0, maximum=20.0, cloud=[0.0, 1.0], days=2)
    assert days.cloud[[0, 95, 97, 192]].tolist() == [0, 0, 1, 1]


def test_clear_sun_against_another_formula(outside):
    """Haurwitz (1945): global = 1098 cos z exp(−0.057/cos z)."""
    times = np.arange("2025-03-20T08:00", "2025-03-20T17:00", 3600, dtype="datetime64[s]")
    beam, diffuse, whole = sun_from_cloud(times, 46.5, 0.0, elevation=350.0)
    hour = (times - np.datetime64("2025-03-20T12:07:30")).astype(float) / 3600 * np.radians(15)
    cosine = np.cos(np.radians(46.5)) * np.cos(hour)  # equinox
    expected = 1098 * cosine * np.exp(-0.057 / cosine)
    outside(
        "weather_sun.sun_from_cloud", whole, expected, source="Haurwitz 1945, from memory", rel=0.12, abs=10,
        why="two clear-sky formulas differ by their turbidity",
    )  # fmt: skip
    assert beam * cosine + diffuse == pytest.approx(whole, rel=0.02)


def test_sun_under_cloud(outside):
    times = np.arange("2025-06-21T06:00", "2025-06-21T19:00", 1800, dtype="datetime64[s]")
    clear = sun_from_cloud(times, 46.5, 0.0)
    shares = [sun_from_cloud(times, 46.5, n)[2].sum() / clear[2].sum() for n in (0.5, 1.0)]
    outside(
        "weather_sun.sun_from_cloud", shares, [1 - 0.75 * 0.0947323, 0.25],
        source="Kasten and Czeplak 1980, from memory (0.5 to the 3.4th is 0.0947)", rel=1e-5, why="same formula",
    )  # fmt: skip
    assert sun_from_cloud(times, 46.5, 0.5)[0] == pytest.approx(clear[0] / 2)
    assert sun_from_cloud(times, 46.5, 1.0)[0].max() == 0
    for n in (0.0, 0.3, 0.7, 1.0):
        _, diffuse, whole = sun_from_cloud(times, 46.5, n)
        assert (diffuse >= -1e-9).all()
        assert (whole >= 0).all()


def test_no_sun_at_night():
    beam, diffuse, whole = sun_from_cloud(np.array(["2025-06-21T00:00"], "datetime64[s]"), 46.5, 0.0)
    assert beam[0] == diffuse[0] == whole[0] == 0
    assert [float(v[0]) for v in sun_from_global(np.array(["2025-06-21T00:00"], "datetime64[s]"), 46.5, 3.0)] == [
        0,
        3,
        3,
    ]


def test_split_of_measured_sun(outside):
    """Erbs at a clearness of 0.5: 0.9511 − 0.1604/2 + 4.388/4 − 16.638/8 + 12.336/16 = 0.6592."""
    when = np.array(["2025-03-20T12:07:30"], "datetime64[s]")
    outside_air = 1361 * (1 + 0.033 * np.cos(2 * np.pi * 79 / 365)) * np.cos(np.radians(46.5))
    _, diffuse, whole = sun_from_global(when, 46.5, outside_air / 2)
    outside(
        "weather_sun.sun_from_global", diffuse / whole, [0.6592], source="Erbs 1982 polynomial, from memory", rel=0.02,
        why="declination and distance of the sun by short formulas: 1 % in clearness",
    )  # fmt: skip


@pytest.mark.parametrize(
    ("options", "words"),
    [
        (dict(minimum=-24.0, maximum=-30.0), "maximum must be between -24"),
        (dict(minimum=-70.0, maximum=-12.0), "minimum must be between -60"),
        (dict(minimum=-24.0, maximum=-12.0, cloud=1.2), "cloud must be between 0 and 1"),
        (dict(minimum=-24.0, maximum=-12.0, step=10.0), "step must be between 60"),
        (dict(minimum=-24.0, maximum=-12.0, breeze=3), "argument 'breeze' is not known"),
        (dict(minimum=-24.0, maximum=-12.0, days_before=-1), "days before"),
    ],
)
def test_refusals(options, words):
    with pytest.raises(ValueError, match=words):
        design_night(46.5, "2025-01-20", **options)


def test_refused_places_and_dates():
    with pytest.raises(ValueError, match="latitude must be between"):
        design_night(80.0, "2025-01-20", **DEMO)
    with pytest.raises(ValueError, match="date must be a day"):
        design_night(46.5, "20th of January", **DEMO)


def test_part_of_a_weather():
    night = design_night(46.5, "2025-01-20", **DEMO)
    part = night.between("2025-01-19T12:00", "2025-01-20T12:00")
    assert part.time[0] == 0
    assert part.time[-1] == 86400
    assert str(part.start) == "2025-01-19T12:00:00"
    assert part.temperature[0] == night.temperature[36 * 4]
    assert part.latitude == 46.5
    with pytest.raises(ValueError, match="less than two values"):
        night.between("2026-01-19", "2026-01-20")


# ---- hourly years


def tmy3():
    import pvlib

    return Path(pvlib.__file__).parent / "data" / "723170TYA.CSV"


@pytest.fixture(scope="module")
def greensboro():
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        return read_year(tmy3(), "tmy3")


def rows():
    with open(tmy3(), newline="") as file:
        next(file)
        return list(csv.DictReader(file))


def test_year_holds_what_the_file_says(greensboro, outside):
    file = rows()
    assert len(greensboro.time) == 2 * 8760 + 1
    assert greensboro.step == 1800
    temperatures = [float(row["Dry-bulb (C)"]) for row in file]
    assert greensboro.temperature[2::2].tolist() == temperatures
    assert greensboro.temperature[0] == temperatures[-1]
    assert greensboro.temperature[3] == pytest.approx((temperatures[0] + temperatures[1]) / 2)
    outside(
        "recorded.read_year", greensboro.temperature.min(), -16.7, source="the TMY3 file of Greensboro, coldest hour",
        abs=1e-9, why="read, not computed",
    )  # fmt: skip
    for name, column in (
        ("global_horizontal", "GHI (W/m^2)"),
        ("beam_normal", "DNI (W/m^2)"),
        ("diffuse_horizontal", "DHI (W/m^2)"),
    ):
        values = np.array([float(row[column]) for row in file])
        assert getattr(greensboro, name)[1::2] == pytest.approx(values)
        integral = np.trapezoid(getattr(greensboro, name), greensboro.time) / 3600
        assert integral == pytest.approx(values.sum(), rel=1e-9)
    assert (greensboro.latitude, greensboro.longitude, greensboro.utc_offset, greensboro.elevation) == (
        36.1,
        -79.95,
        -5,
        273,
    )
    assert greensboro.wind_speed[2] == float(file[0]["Wspd (m/s)"])


def test_hour_ending_sun_stands_in_the_middle_of_its_hour(greensboro):
    """With labels taken an hour wrong, the sun would shine an hour (some 12°) before it rises."""
    import pandas as pd
    from pvlib.solarposition import get_solarposition

    utc = pd.DatetimeIndex(greensboro.clock[1::2] + np.timedelta64(5, "h"), tz="UTC")
    height = get_solarposition(utc, 36.1, -79.95)["apparent_elevation"].to_numpy()
    sun = greensboro.global_horizontal[1::2]
    assert height[sun > 20].min() > -2  # it may rise late in the hour
    assert (sun[height > 8] > 0).all()


def epw(tmp_path, change=None, hours=8760):
    head = ["LOCATION,Testing,-,-,-,000000,46.50,-91.00,-6.0,350.0"]
    head += [
        "DESIGN CONDITIONS,0",
        "TYPICAL/EXTREME PERIODS,0",
        "GROUND TEMPERATURES,0",
        "HOLIDAYS/DAYLIGHT SAVINGS,No,0,0,0",
    ]
    head += ["COMMENTS 1,made up", "COMMENTS 2,", "DATA PERIODS,1,1,Data,Sunday, 1/ 1,12/31"]
    lines = []
    for hour in range(hours):
        t = np.datetime64("2001-01-01") + np.timedelta64(hour // 24, "D")
        month, day = str(t)[5:7], str(t)[8:10]
        cells = ["2001", int(month), int(day), hour % 24 + 1, 60, "?", hour % 40 - 20.0, -30.0, 50, 97000, 0, 0, 300]
        cells += [hour % 24 * 10, hour % 24 * 20, hour % 24 * 5, 0, 0, 0, 0, 180, 4.0, 5, 5, 20, 77777, 9, "999999999"]
        cells += [10, 0.1, 0, 88, 0, 0, 1]
        lines.append(",".join(map(str, cells)))
    if change:
        lines = change(lines)
    path = tmp_path / "year.epw"
    path.write_text("\n".join(head + lines) + "\n")
    return path


def test_epw_labels_end_their_hour(tmp_path):
    year = read_year(epw(tmp_path), "epw", shelter=0.5)
    assert year.temperature[[2, 4, 6]].tolist() == [-20, -19, -18]
    assert year.global_horizontal[[1, 3, 5]].tolist() == [0, 10, 20]
    assert year.beam_normal[5] == 40
    assert year.diffuse_horizontal[5] == 10
    assert year.cloud[2] == 0.5
    assert year.wind_speed[2] == 2.0
    assert (year.latitude, year.utc_offset, year.elevation) == (46.5, -6, 350)


@pytest.mark.parametrize(
    ("change", "words"),
    [
        (lambda lines: lines[:8000], "8760 hours, but it holds 8000"),
        (
            lambda lines: [lines[0].replace("-20.0", "99.9"), *lines[1:]],
            "^air temperature must .* hour 1 it is 99.9$",
        ),
        (lambda lines: ["nonsense"] * 8760, "can't be read as epw: its lines are not those of such a file$"),
        (
            lambda lines: [lines[0].replace("-20.0", "cold"), *lines[1:]],
            "^air temperature must .* hour 1 it is 'cold'$",
        ),
        (lambda lines: [], "8760 hours, but it holds 0"),
    ],
)
def test_bad_years_are_refused(tmp_path, change, words):
    with pytest.raises(ValueError, match=words):
        read_year(epw(tmp_path, change), "epw")


def test_a_file_cut_off_in_its_head_is_no_year(tmp_path):
    for kind, whole, lines, says in (
        ("epw", epw(tmp_path), 0, "it does not state "),
        ("tmy3", tmy3(), 1, "its lines are not those of such a file$"),
    ):
        path = tmp_path / "cut"
        path.write_text("".join(f"{line}\n" for line in Path(whole).read_text().splitlines()[:lines]))
        with pytest.raises(ValueError, match=f"cut' can't be read as {kind}: {says}"):
            read_year(path, kind)


def test_unknown_kind_and_missing_file(tmp_path):
    with pytest.raises(ValueError, match="kind of weather file"):
        read_year(tmp_path / "x", "tmy4")
    with pytest.raises(ValueError, match="can't be opened"):
        read_year(tmp_path / "x", "epw")
    (tmp_path / "y.csv").write_text("hello\n")
    with pytest.raises(ValueError, match="can't be read as tmy3"):
        read_year(tmp_path / "y.csv", "tmy3")


# ---- weather from a record, and its coldest night


def record(values, start="2024-01-10T00:00", leave_out=(), extra=(), step=3600):
    times = np.datetime64(start, "s") + np.arange(len(values)) * np.timedelta64(step, "s")
    lines = ["time,temp (°C)" + "".join("," + name for name, _ in extra)]
    for i, value in enumerate(values):
        if i not in leave_out:
            lines.append(f"{str(times[i]).replace('T', ' ')},{value}" + "".join(f",{v}" for _, v in extra))
    return read_logger(("\n".join(lines) + "\n").encode())[0]


def test_coldest_night_from_noon_to_noon():
    values = np.full(96, 5.0) + np.arange(96) / 1000
    values[53] = -11.0  # 12 January, 5 o'clock
    values[30] = -10.0
    night = coldest_night(record(values))
    assert str(night.start) == "2024-01-11T12:00:00"
    assert str(night.end) == "2024-01-12T12:00:00"
    assert night.lowest == -11
    assert str(night.coldest_at) == "2024-01-12T05:00:00"
    assert night.passed_over == ()


def test_a_broken_night_is_passed_over_and_named():
    values = np.full(96, 5.0) + np.arange(96) / 1000
    values[53], values[30] = -11.0, -10.0
    night = coldest_night(record(values, leave_out=range(55, 60)))
    assert night.lowest == -10
    assert [str(t) for t in night.passed_over] == ["2024-01-11T12:00:00"]
    assert coldest_night(record(values, leave_out=range(55, 57))).lowest == -11
    with pytest.raises(ValueError, match="no whole night"):
        coldest_night(record(values[:20]))


def test_weather_from_a_record(outside):
    r = record([20.0] * 12, extra=[("RH %", 50), ("wind (km/h)", 36)])
    weather = weather_from_record(r, 46.5, cloud=0.0, elevation=0.0)
    outside(
        "recorded.weather_from_record", weather.dew_point[0], 9.27, source="psychrometric chart, from memory",
        abs=0.05, why="last digit of the table",
    )  # fmt: skip
    assert weather.wind_speed == pytest.approx(10)
    assert weather.step == 3600
    assert weather_from_record(r, 46.5, cloud=0.0, dew_point=-3.0, wind_speed=1.0).dew_point == pytest.approx(-3)
    dry = record([20.0] * 12)
    with pytest.raises(ValueError, match="did not record the dew point"):
        weather_from_record(dry, 46.5, cloud=0.0, wind_speed=1.0)
    with pytest.raises(ValueError, match="did not record the wind speed"):
        weather_from_record(dry, 46.5, cloud=0.0, dew_point=1.0)


def test_a_hole_in_the_record_is_refused():
    r = record(np.arange(12.0), leave_out=[5, 6])
    with pytest.raises(ValueError, match=r"no temperature for 3 h after 2024-01-10T04:00:00"):
        weather_from_record(r, 46.5, cloud=0.0, dew_point=-3.0, wind_speed=1.0)
    part = weather_from_record(
        r, 46.5, cloud=0.0, dew_point=-30.0, wind_speed=1.0, start="2024-01-10T07:00", end="2024-01-10T10:00"
    )
    assert part.temperature.tolist() == [7, 8, 9, 10]

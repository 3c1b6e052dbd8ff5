"""Weather at its edges: ends of parts, of days and of years, exact curves, what is told against what is logged."""

import re
from dataclasses import replace
from datetime import date
from types import SimpleNamespace

import numpy as np
import pytest
from test_weather import record

from heatlib.house import recorded, weather_sun
from heatlib.house.logger import read_logger
from heatlib.house.recorded import coldest_night, read_year, weather_from_record
from heatlib.house.weather import (
    _daily_curve,
    checked_weather,
    design_day,
    design_night,
    make_weather,
    moment,
    sunless_days,
)
from heatlib.house.weather_sun import checked_place, sun_from_cloud, sun_from_global, sunrise_and_noon
from heatlib.moist_air import dew_point

pytestmark = pytest.mark.filterwarnings("ignore:.*dayofyear.*")
COLD = dict(minimum=-24.0, maximum=-12.0)


# ---- the daily curve


def test_the_curve_of_a_day_is_two_half_cosines():
    """Sunrise at 6, noon at 12: −10 °C at 6, 10 °C at 14:30, 0 °C half way up (10:15) and half way down (22:15).

    A third of the way up in time it stands at a quarter of the height: (1 − cos 60°)/2.
    """
    hours = np.array([6.0, 14.5, 10.25, 22.25, 6.0 + 8.5 / 3, 30.0, 54.0, 2.125])
    got = _daily_curve(hours, 6.0, 12.0, -10.0, 10.0)
    eighth = -10.0 + 20.0 * (1 + np.cos(np.pi * 0.75)) / 2  # three quarters of the way down
    assert got == pytest.approx([-10.0, 10.0, 0.0, 0.0, -5.0, -10.0, -10.0, eighth], abs=1e-9)


def test_a_warmest_hour_after_midnight_still_follows_its_sunrise():
    """Clocks far from the sun: sunrise at 20, noon at 1; the curve is the same, eight hours late."""
    hours = np.arange(0.0, 24.0, 0.5)
    early, late = _daily_curve(hours, 6.0, 11.0, 0.0, 8.0), _daily_curve(hours + 14.0, 20.0, 1.0, 0.0, 8.0)
    assert late == pytest.approx(early, abs=1e-9)


# ---- design days


def test_a_design_day_is_what_was_told():
    day = design_day(
        46.5, "2025-03-02", minimum=-3.0, maximum=7.0, cloud=[0.25, 0.75], days=2, wind_speed=2.5, dew_point=-1.0,
        snow=True, longitude=-90.0, utc_offset=-5.5, elevation=350.0, step=1800.0,
    )  # fmt: skip
    assert (day.latitude, day.longitude, day.utc_offset, day.elevation) == (46.5, -90.0, -5.5, 350.0)
    assert day.time.tolist() == [1800.0 * i for i in range(97)] and day.step == 1800.0
    assert day.start == np.datetime64("2025-03-02T00:00:00") and day.clock[-1] == np.datetime64("2025-03-04T00:00")
    assert set(day.wind_speed) == {2.5} and day.snow.all() and day.snow.dtype == bool
    # the last value, midnight after the last day, goes on with that day's sky
    assert day.cloud.tolist() == [0.25] * 48 + [0.75] * 49
    # the dew point stays where it is told, but never above the air
    assert np.array_equal(day.dew_point, np.minimum(-1.0, day.temperature))
    sun = sun_from_cloud(day.clock, 46.5, day.cloud, longitude=-90.0, utc_offset=-5.5, elevation=350.0)
    for got, expected in zip((day.beam_normal, day.diffuse_horizontal, day.global_horizontal), sun):
        assert np.array_equal(got, expected) and got.max() > 50
    assert day.name == "2 equal days, -3 to 7 °C, from 2025-03-02 at 46.5° latitude"


def test_what_is_left_out_of_a_design_day():
    """Clear, calm (0.5 m/s), dew point 2 K below the minimum, no snow, sea level, steps of 900 s, one day."""
    plain = design_day(46.5, "2025-01-20", **COLD)
    told = design_day(
        46.5, date(2025, 1, 20), **COLD, cloud=0.0, days=1, wind_speed=0.5, dew_point=-26.0, snow=False,
        longitude=0.0, utc_offset=0.0, elevation=0.0, step=900.0,
    )  # fmt: skip
    assert plain.name == told.name == "1 equal day, -24 to -12 °C, from 2025-01-20 at 46.5° latitude"
    for name in (
        "time",
        "temperature",
        "dew_point",
        "wind_speed",
        "beam_normal",
        "diffuse_horizontal",
        "cloud",
        "snow",
    ):
        assert np.array_equal(getattr(plain, name), getattr(told, name))
    assert len(plain.time) == 97


def test_what_is_left_out_of_a_design_night():
    night = design_night(46.5, "2025-01-20", **COLD)
    assert night.start == np.datetime64("2025-01-18T00:00:00") and night.clock[-1] == np.datetime64("2025-01-21T12:00")
    assert len(night.time) == 84 * 4 + 1 and set(night.cloud) == {0.0} and set(night.dew_point) == {-26.0}
    assert (night.longitude, night.utc_offset, night.elevation) == (0.0, 0.0, 0.0) and not night.snow.any()
    assert night.name.startswith("a design night, -24 to -12 °C, from 2025-01-18 at 46.5")
    only = design_night(46.5, "2025-01-20", **COLD, days_before=0, cloud=0.5, step=3600.0, longitude=100.0)
    assert only.start == np.datetime64("2025-01-20T00:00:00") and len(only.time) == 37 and set(only.cloud) == {0.5}
    assert only.utc_offset == 7.0


def test_what_is_left_out_of_sunless_days():
    spell = sunless_days(46.5, "2025-01-20", **COLD, step=3600.0)
    assert spell.start == np.datetime64("2025-01-16T00:00:00") and len(spell.time) == 5 * 24 + 13
    assert spell.cloud.tolist() == [0.0] * 48 + [1.0] * (3 * 24 + 13)
    assert spell.name.startswith("3 days without sun, ")
    half = sunless_days(46.5, "2025-01-20", **COLD, sunless=1, days_before=1, cloud=0.5, step=3600.0)
    assert half.cloud.tolist() == [0.5] * 24 + [1.0] * 37
    assert sunless_days(46.5, "2025-01-20", **COLD, sunless=1, days_before=0, step=3600.0).beam_normal.max() == 0.0


def test_a_part_has_both_its_ends_and_begins_at_zero():
    night = design_night(46.5, "2025-01-20", **COLD, step=3600.0)
    part = night.between("2025-01-19T06:00", "2025-01-19T07:00")
    assert part.time.tolist() == [0.0, 3600.0] and part.start == np.datetime64("2025-01-19T06:00:00")
    assert part.temperature.tolist() == night.temperature[30:32].tolist() and part.snow.shape == (2,)
    assert replace(night, time=night.time + 7200.0).step == 3600.0
    with pytest.raises(ValueError, match="less than two values between 2025-01-19T06:00"):
        night.between("2025-01-19T06:00", "2025-01-19T06:59")
    with pytest.raises(ValueError, match="end must be a date and time such as '2025-01-20T18:00', but it is 'noon'"):
        night.between("2025-01-19T06:00", "noon")
    with pytest.raises(ValueError, match="start must be a date and time"):
        night.between(5, "2025-01-19")


def test_columns_of_a_weather_are_its_own():
    """Numbers spread over all times; nobody else's array is kept; times to the millisecond."""
    times = np.datetime64("2025-01-01T00:00", "ms") + np.arange(3) * np.timedelta64(1500, "ms")
    air = np.array([1.0, 2.0, 3.0])
    made = make_weather(times, air, -1.0, 2, (0, 1, 2), 0.5, 1, (50.0, 8.0, 1.0, 300.0), "own")
    air[:] = 9.0
    assert made.temperature.tolist() == [1.0, 2.0, 3.0] and made.time.tolist() == [0.0, 1.5, 3.0]
    assert made.wind_speed.tolist() == [2.0] * 3 and made.wind_speed.dtype == float
    assert made.beam_normal.dtype == made.global_horizontal.dtype == float
    assert (made.beam_normal[0], made.diffuse_horizontal[1], made.global_horizontal[2]) == (0.0, 1.0, 2.0)
    assert made.cloud.tolist() == [0.5] * 3 and made.snow.tolist() == [True] * 3 and made.snow.dtype == bool
    assert (made.latitude, made.longitude, made.utc_offset, made.elevation, made.name) == (50.0, 8.0, 1.0, 300.0, "own")
    assert made.clock.tolist() == times.tolist() and made.start == np.datetime64("2025-01-01T00:00:00")
    whole = make_weather(times, 1, 0, 2, (0, 1, 2), 1, 0, (50.0, 8.0, 1.0, 300.0), "whole numbers")
    assert {whole.cloud.dtype, whole.temperature.dtype, whole.dew_point.dtype} == {np.dtype(float)}
    made.cloud[0] = 1.0  # each column can be written in
    assert made.cloud.tolist() == [1.0, 0.5, 0.5]


def test_moments_are_told_in_four_ways():
    for told in ("2025-01-20T18:00:00.250", np.datetime64("2025-01-20T18:00:00.250")):
        assert moment("start", told) == np.datetime64("2025-01-20T18:00:00.250", "ms")
    assert moment("start", "2025-01-20").dtype == "datetime64[ms]"
    assert moment("start", date(2025, 1, 20)) == np.datetime64("2025-01-20T00:00", "ms")
    for bad in ("soon", np.datetime64("NaT", "s"), 5, None):
        with pytest.raises(ValueError, match=r"^start must be a date and time such as"):
            moment("start", bad)
    with pytest.raises(ValueError, match=r"^weather must be a Weather, .* it is 'cold'"):
        checked_weather("cold")


@pytest.mark.parametrize(
    ("make", "says"),
    [
        (lambda: design_day(46.5, "2025-01-20", **COLD, days=2, cloud=[0.1, 0.2, 0.3]),
         r"cloud must be one number, or one for each of the 2 days, but it is \[0.1, 0.2, 0.3\]"),
        (lambda: design_day(46.5, "2025-01-20", **COLD, snow=1), "snow must be true or false, but it is 1"),
        (lambda: design_day(46.5, "2025-13-20", **COLD), "date must be a day such as '2025-01-20', but it is '2025-13"),
        (lambda: design_night(46.5, "2025-01-20", **COLD, cloud=[0.1, 0.2, 0.3]), "cloud must be one number"),
        (lambda: design_day(46.5, "2025-01-20", **COLD, cloud=1.5), "^cloud must be between 0 and 1, but it is 1.5$"),
        (lambda: design_day(46.5, "2025-01-20", **COLD, dew_point=-11.0),
         "^dew point must be between -80 and -12 °C, but it is -11 °C$"),
    ],
)  # fmt: skip
def test_slips_are_shown(make, says):
    with pytest.raises(ValueError, match=says):
        make()
    assert design_day(46.5, "2025-01-20", **COLD, snow=np.True_, step=3600.0).snow.all()


# ---- sun


def test_a_place_s_own_zone_is_its_longitude_in_hours():
    """15° an hour, rounded; a told one stays, also one of half an hour."""
    assert checked_place(46.5, -88.0, None, 350.0) == (46.5, -88.0, -6, 350.0)
    assert checked_place(46.5, 7.6, None, 0.0)[2] == 1 and checked_place(46.5, 7.4, None, 0.0)[2] == 0
    assert checked_place(20.0, 80.0, 5.5, 0.0) == (20.0, 80.0, 5.5, 0.0)


def test_the_clock_s_zone_moves_the_sun_and_half_hours_count():
    times = np.array(["2025-06-21T12:00", "2025-06-21T12:30"], "datetime64[s]")
    half = sun_from_cloud(times + np.timedelta64(30, "m"), 46.5, 0.2, longitude=20.0, utc_offset=1.5)
    whole = sun_from_cloud(times, 46.5, 0.2, longitude=20.0, utc_offset=1.0)
    for one, other in zip(half, whole):
        assert np.array_equal(one, other)
    left_out = sun_from_cloud(times, 46.5, 0.2, longitude=16.0)
    assert np.array_equal(left_out[0], sun_from_cloud(times, 46.5, 0.2, longitude=16.0, utc_offset=1.0)[0])
    split = sun_from_global(times, 46.5, 500.0, longitude=16.0)
    assert np.array_equal(split[0], sun_from_global(times, 46.5, 500.0, longitude=16.0, utc_offset=1.0)[0])
    assert not np.array_equal(split[0], sun_from_global(times, 46.5, 500.0, longitude=16.0, utc_offset=3.0)[0])


def test_higher_up_the_clear_sun_is_stronger():
    noon = np.array(["2025-06-21T12:00"], "datetime64[s]")
    low, high = (sun_from_cloud(noon, 46.5, 0.0, elevation=e)[0][0] for e in (0.0, 2500.0))
    assert high > 1.03 * low
    assert np.array_equal(sun_from_cloud(noon, 46.5, 0.0)[0], [low])


def test_beam_and_diffuse_make_up_the_whole():
    """Under a half-covered sky: beam × (1 − N); what is on the level is the beam's part and the diffuse."""
    from pvlib.location import Location

    times = np.arange("2025-06-21T03:00", "2025-06-21T21:00", 1800, dtype="datetime64[s]")
    beam, diffuse, whole = sun_from_cloud(times, 46.5, 0.5)
    import pandas as pd

    height = (
        Location(46.5, 0.0, altitude=0.0)
        .get_solarposition(pd.DatetimeIndex(times, tz="UTC"))["apparent_elevation"]
        .to_numpy()
    )
    level = np.sin(np.radians(height))
    up = height > 0
    assert up.any() and not up.all()
    assert beam[up] * level[up] + diffuse[up] == pytest.approx(whole[up], rel=1e-9)
    # Kasten and Czeplak 1980, from memory: 0.5 to the 3.4th is 0.0947323
    assert whole[up] == pytest.approx(sun_from_cloud(times, 46.5, 0.0)[2][up] * (1 - 0.75 * 0.0947323), rel=1e-6)
    assert not beam[~up].any() and not whole[~up].any() and not diffuse[~up].any()
    measured, rest, given = sun_from_global(times, 46.5, whole)
    zenith = np.cos(
        np.radians(
            90 - Location(46.5, 0.0, altitude=0.0).get_solarposition(pd.DatetimeIndex(times, tz="UTC"))["elevation"]
        )
    )
    assert measured * zenith.to_numpy() + rest == pytest.approx(whole, abs=1e-9)
    assert np.array_equal(given, whole) and given is not whole
    given[0] = 99.0
    assert sun_from_global(times[:1], 46.5, 7.0)[2].tolist() == [7.0]


def test_a_list_of_clouds_must_fit_the_times():
    times = np.array(["2025-06-21T12:00", "2025-06-21T12:30"], "datetime64[s]")
    with pytest.raises(ValueError, match="cloud"):
        sun_from_cloud(times, 46.5, [0.1, 0.2, 0.3])
    with pytest.raises(ValueError, match="sun"):
        sun_from_global(times, 46.5, [0.1, 0.2, 0.3])
    with pytest.raises(ValueError, match=r"^sun on the level must be between 0 and 1500 W/m², but it is 1501 W/m²"):
        sun_from_global(times, 46.5, 1501.0)
    beam = sun_from_cloud(times, 46.5, [0.0, 1.0])[0]
    assert beam[0] > 500 and beam[1] == 0.0
    assert sun_from_cloud("2025-06-21T12:00", 46.5, 0.0)[0].shape == (1,)
    assert sun_from_global("2025-06-21T12:00", 46.5, 600.0)[0].shape == (1,)


def test_hours_of_sunrise_and_noon():
    """At the equinox on the equator day and night are alike: the sun rises some minutes before 6, by its own clock.

    Equation of time on 20 March: the sun is 7.5 min late (almanacs). The centre of the sun, without refraction, counts.
    """
    rise, noon = sunrise_and_noon(np.datetime64("2025-03-20"), (0.0, 0.0, 0.0, 0.0))
    assert noon == pytest.approx(12 + 7.5 / 60, abs=0.02) and rise == pytest.approx(6 + 7.5 / 60, abs=0.03)
    rise, noon = sunrise_and_noon(np.datetime64("2025-03-20"), (0.0, 60.0, 0.0, 0.0))
    assert noon == pytest.approx(8 + 7.5 / 60, abs=0.02) and rise == pytest.approx(2 + 7.5 / 60, abs=0.03)


@pytest.mark.parametrize(
    ("height", "rise", "noon"),
    [
        # rises within minute 300, stands highest at minute 600
        ([-1.0] * 300 + [0.5] * 300 + [30.0] + [0.5] * 400 + [-1.0] * 439, 5.0, 10.0),
        # up at midnight, down for a while: the sunrise counts, not the sun that was up
        ([0.5] * 100 + [-1.0] * 200 + [0.5] * 300 + [30.0] + [0.5] * 400 + [-1.0] * 439, 5.0, 10.0),
        # exactly on the horizon is not yet up
        ([-1.0] * 299 + [0.0] + [0.5] * 300 + [30.0] + [0.5] * 400 + [-1.0] * 439, 5.0, 10.0),
        # never up: six hours before it stands highest, also over midnight
        ([-9.0] * 600 + [-5.0] + [-9.0] * 839, 4.0, 10.0),
        ([-9.0] * 60 + [-5.0] + [-9.0] * 1379, 19.0, 1.0),
        ([9.0] * 600 + [12.0] + [9.0] * 839, 4.0, 10.0),
    ],
)
def test_sunrise_where_it_does_and_does_not_rise(monkeypatch, height, rise, noon):
    import pandas as pd

    site = SimpleNamespace(get_solarposition=lambda _: pd.DataFrame({"elevation": height}))
    monkeypatch.setattr(weather_sun, "_site", lambda times, place: (site, times))
    assert weather_sun.sunrise_and_noon.__wrapped__(np.datetime64("2025-01-01"), ()) == (rise, noon)


# ---- records


def test_a_night_has_both_its_noons_and_a_hole_of_three_hours():
    values = np.full(49, 5.0) + np.arange(49) / 1000
    values[36] = -3.0  # noon of the 11th: the end of the first night and the start of the second
    night = coldest_night(record(values))
    assert (str(night.start), str(night.end)) == ("2024-01-10T12:00:00", "2024-01-11T12:00:00")
    assert night.lowest == -3.0 and str(night.coldest_at) == "2024-01-11T12:00:00" and night.passed_over == ()
    values[20] = -9.0
    # readings at 22 and 1 o'clock: three hours apart is still whole; four is not
    assert coldest_night(record(values, leave_out=(23, 24))).lowest == -9.0
    with pytest.raises(ValueError, match="no whole night"):
        coldest_night(record(values[:37], leave_out=(23, 24, 25)))


def test_a_record_may_begin_three_hours_late_and_end_three_hours_early():
    """Hourly from 15 o'clock to 9 o'clock: three hours from noon at either end; one more and the night is not whole."""
    values = np.full(34, 5.0) + np.arange(34) / 1000
    night = coldest_night(record(values, leave_out=range(15)))
    assert str(night.start) == "2024-01-10T12:00:00" and night.lowest == 5.015
    for late, last in ((16, 34), (15, 33)):
        with pytest.raises(ValueError, match="no whole night"):
            coldest_night(record(values[:last], leave_out=range(late)))


def test_nights_of_the_same_cold_are_not_passed_over():
    values = np.full(61, 5.0) + np.arange(61) / 1000
    values[20], values[44] = -9.0, -9.0
    night = coldest_night(record(values, leave_out=range(22, 30)))
    assert night.lowest == -9.0 and str(night.start) == "2024-01-11T12:00:00" and night.passed_over == ()


def test_a_reading_just_after_noon_is_the_next_night_s():
    values = np.full(49, 5.0)
    values[24] = -9.0  # a second after noon of the 11th
    assert str(coldest_night(record(values, start="2024-01-10T12:00:01")).start) == "2024-01-11T12:00:00"


def test_a_night_that_has_hardly_begun_is_named_where_it_read_colder():
    """Half-hourly from noon to half an hour after the next noon, where it is coldest: that night has begun, no more."""
    values = np.full(50, 5.0) + np.arange(50) / 1000
    values[49] = -9.0
    night = coldest_night(record(values, start="2024-01-10T12:00", step=1800))
    assert night.lowest == 5.0 and str(night.start) == "2024-01-10T12:00:00"
    assert [str(noon) for noon in night.passed_over] == ["2024-01-11T12:00:00"]


def test_the_outside_column_is_taken_unless_another_is_told():
    text = "time,inside (°C),outside (°C)\n" + "".join(
        f"2024-01-{10 + i // 24:02d} {i % 24:02d}:00,{10 + i / 100},{-5 - i / 100}\n" for i in range(49)
    )
    two = read_logger(text.encode())[0]
    assert coldest_night(two).lowest == -5.36 and coldest_night(two, "inside").lowest == 10.12
    told = dict(cloud=0.0, dew_point=-20.0, wind_speed=1.0)
    assert weather_from_record(two, 46.5, **told).temperature[0] == -5.0
    assert weather_from_record(two, 46.5, column="inside", **told).temperature[0] == 10.0


def test_a_record_becomes_weather_with_what_is_told():
    whole = record(np.arange(12.0), extra=[("wind (m/s)", 2)])
    got = weather_from_record(
        whole, 46.5, cloud=0.5, dew_point=5.0, snow=True, longitude=-90.0, utc_offset=-5.0, elevation=350.0,
        start="2024-01-10T02:00", end="2024-01-10T09:00", name="our shed",
    )  # fmt: skip
    assert got.temperature.tolist() == list(range(2, 10)) and got.start == np.datetime64("2024-01-10T02:00:00")
    # told at 5 °C, but no wetter than the air can be
    assert got.dew_point.tolist() == [2.0, 3.0, 4.0, 5.0, 5.0, 5.0, 5.0, 5.0]
    assert set(got.wind_speed) == {2.0} and set(got.cloud) == {0.5} and got.snow.all() and got.name == "our shed"
    assert (got.latitude, got.longitude, got.utc_offset, got.elevation) == (46.5, -90.0, -5.0, 350.0)
    sun = sun_from_cloud(got.clock, 46.5, 0.5, longitude=-90.0, utc_offset=-5.0, elevation=350.0)
    assert np.array_equal(got.global_horizontal, sun[2])
    # a file may state its own distance from UTC; what is told goes first
    stated, told = replace(whole, utc_offset=-7.0), dict(cloud=0.5, dew_point=5.0, longitude=-90.0)
    assert weather_from_record(stated, 46.5, **told).utc_offset == -7.0
    assert weather_from_record(stated, 46.5, **told, utc_offset=-5.0).utc_offset == -5.0
    plain = weather_from_record(whole, 46.5, cloud=0.5, dew_point=5.0, wind_speed=0.0)
    assert (plain.longitude, plain.utc_offset, plain.elevation, plain.name) == (0.0, 0.0, 0.0, "a logger's record")
    assert set(plain.wind_speed) == {0.0} and not plain.snow.any() and len(plain.time) == 12


def test_logged_humidity_gives_the_dew_point():
    """Saturated air has its dew point at its own temperature; bone-dry air counts as of one part in a hundred."""
    told = dict(cloud=0.0, wind_speed=1.0)
    damp = weather_from_record(record([12.0] * 4, extra=[("RH %", 100)]), 46.5, **told)
    assert damp.dew_point == pytest.approx(12.0, abs=0.02) and (damp.dew_point <= damp.temperature).all()
    dry = weather_from_record(record([30.0] * 4, extra=[("RH %", 0)]), 46.5, **told)
    assert dry.dew_point == pytest.approx(float(dew_point(30.0, 0.01)), abs=1e-9)
    over = weather_from_record(record([12.0] * 4, extra=[("RH %", 50)]), 46.5, dew_point=-9.0, **told)
    assert set(over.dew_point) == {-9.0}


def test_a_single_missing_reading_is_bridged_and_two_are_named():
    told = dict(cloud=0.0, dew_point=-30.0, wind_speed=1.0)
    values = np.arange(12.0)
    with pytest.raises(ValueError, match="no temperature for 2 h after 2024-01-10T04:00:00: bridge it"):
        weather_from_record(record(values, leave_out=(5,)), 46.5, **told)
    late = record(values, extra=[("RH %", 50)])
    late.humidity[:] = np.nan
    with pytest.raises(ValueError, match="the record has no humidity between 2024-01-10T00:00:00 and 2024-01-10T11"):
        weather_from_record(late, 46.5, cloud=0.0, wind_speed=1.0)
    with pytest.raises(ValueError, match="did not record the wind speed: tell it in m/s"):
        weather_from_record(record(values), 46.5, cloud=0.0, dew_point=-30.0)
    with pytest.raises(ValueError, match="did not record the dew point: tell it in °C"):
        weather_from_record(record(values), 46.5, cloud=0.0, wind_speed=1.0)
    with pytest.raises(ValueError, match="record must come from read_logger"):
        weather_from_record(values, 46.5, **told)


def test_a_grid_is_filled_by_half_a_step_more_than_its_own():
    """Readings up to one and a half steps apart are joined by a line; anything longer is a hole, at the ends too."""
    grid = np.datetime64("2024-01-10T00:00", "s") + np.arange(5) * np.timedelta64(600, "s")
    times = np.datetime64("2024-01-10T00:00", "s") + np.array([0, 900, 1500, 2400]) * np.timedelta64(1, "s")
    got = recorded._on_grid(grid, times, np.array([0.0, 9.0, 15.0, 24.0]), 600, "wind")
    assert got.tolist() == [0.0, 6.0, 12.0, 18.0, 24.0]
    with pytest.raises(ValueError, match=r"no wind for 0.25.* h after 2024-01-10T00:00:00"):
        recorded._on_grid(grid, times[1:] + np.timedelta64(1, "s"), np.array([9.0, 15.0, 24.0]), 600, "wind")
    with pytest.raises(ValueError, match=r"no wind for 0.5 h after 2024-01-10T00:10:00"):
        recorded._on_grid(grid, grid[:2], np.array([0.0, 1.0]), 600, "wind")


# ---- hourly years


class _File:
    """An hourly year in memory, as pvlib hands it over."""

    def __init__(self, **changed):
        import pandas as pd

        hour = np.arange(8760)
        self.table = pd.DataFrame({
            "temp_air": hour % 40 - 20.0, "temp_dew": np.full(8760, -15.0), "wind_speed": hour % 7 * 1.0,
            "dni": hour % 24 * 10.0, "dhi": hour % 24 * 5.0, "ghi": hour % 24 * 20.0,
            "total_sky_cover": hour % 11 * 1.0, "TotCld (tenths)": 10.0 - hour % 11,
        })  # fmt: skip
        self.about = {"latitude": 46.5, "longitude": -91.0, "TZ": -7, "altitude": 350.0, "city": '"Testing"',
                      "Name": "Test field"}  # fmt: skip
        for key, (row, value) in changed.items():
            self.table.loc[row, key] = value

    def __call__(self, path, coerce_year=None):
        self.path, self.year = path, coerce_year
        return self.table, self.about


@pytest.fixture
def year(monkeypatch, tmp_path):
    from pvlib import iotools

    path = tmp_path / "year.file"
    path.write_text("x")

    def reading(kind, **changed):
        more = {key: changed.pop(key) for key in ("year", "shelter", "snow") if key in changed}
        file = _File(**changed)
        monkeypatch.setattr(iotools, f"read_{kind}", file)
        return read_year(path, kind, **more), file

    return reading


def test_an_hourly_year_stands_at_its_hours(year):
    """Labels end their hour: the first value holds at 01:00, the last at midnight, where the year closes on itself."""
    got, file = year("epw", year=2010, shelter=0.5, snow=True)
    hour = np.arange(8760)
    assert (
        file.path.name == "year.file"
        and file.year == 2010
        and got.start == np.datetime64("2010-01-01T00:00:00")
        and got.step == 1800.0
    )
    assert got.clock[-1] == np.datetime64("2011-01-01T00:00:00")
    assert np.array_equal(got.temperature[2::2], hour % 40 - 20.0) and got.temperature[0] == got.temperature[-1]
    assert got.temperature[5] == (got.temperature[4] + got.temperature[6]) / 2
    assert np.array_equal(got.wind_speed[2::2], 0.5 * (hour % 7))
    assert np.array_equal(got.cloud[2::2], hour % 11 / 10)
    assert np.array_equal(got.dew_point, np.minimum(-15.0, got.temperature))
    # the sun is a mean of the hour and stands in its middle; between two middles their mean
    for name, factor in (("beam_normal", 10), ("diffuse_horizontal", 5), ("global_horizontal", 20)):
        values = getattr(got, name)
        assert np.array_equal(values[1::2], hour % 24 * factor)
        assert values[2] == 0.5 * factor and values[4] == 1.5 * factor and values[0] == values[-1] == 23 * factor / 2
    assert (got.latitude, got.longitude, got.utc_offset, got.elevation) == (46.5, -91.0, -7.0, 350.0)
    assert got.name == "an hourly year of Testing"
    assert got.snow.all()


def test_the_other_kind_of_year_has_its_own_names(year):
    got, file = year("tmy3")
    assert (
        file.path.name == "year.file"
        and file.year == 2001
        and got.start == np.datetime64("2001-01-01T00:00:00")
        and not got.snow.any()
    )
    assert (
        np.array_equal(got.cloud[2::2], (10.0 - np.arange(8760) % 11) / 10)
        and got.name == "an hourly year of Test field"
    )
    assert got.wind_speed.max() == 6.0


@pytest.mark.parametrize(
    ("key", "low", "high"),
    [("temp_air", -60.0, 60.0), ("temp_dew", -80.0, 40.0), ("wind_speed", 0.0, 75.0), ("total_sky_cover", 0.0, 10.0),
     ("dni", 0.0, 1500.0), ("dhi", 0.0, 1500.0), ("ghi", 0.0, 1500.0)],
)  # fmt: skip
def test_values_of_a_year_are_taken_to_the_ends_of_their_range(key, low, high):
    table = _File().table
    for value in (low, high):
        table.loc[10, key] = value
        assert recorded._within(table[key], "value", low, high, "°C")[10] == value


@pytest.mark.parametrize(
    ("key", "value", "words", "shown"),
    [("temp_air", -60.5, "air temperature must be between -60 and 60 °C", "-60.5"),
     ("temp_air", 60.5, "air temperature must be between -60 and 60 °C", "60.5"),
     ("temp_dew", -80.5, "dew point must be between -80 and 40 °C", "-80.5"),
     ("temp_dew", 40.5, "dew point must be between -80 and 40 °C", "40.5"),
     ("wind_speed", -0.5, "wind speed must be between 0 and 75 m/s", "-0.5"),
     ("wind_speed", 75.5, "wind speed must be between 0 and 75 m/s", "75.5"),
     ("dni", -0.5, "beam sun must be between 0 and 1500 W/m²", "-0.5"),
     ("dhi", 1500.5, "diffuse sun must be between 0 and 1500 W/m²", "1500.5"),
     ("ghi", np.nan, "global sun must be between 0 and 1500 W/m²", "none"),
     # 99 is how such a file says that nobody looked at the sky: neither a covered nor a clear one (EPW, from memory)
     ("total_sky_cover", 99.0, "cloud must be between 0 and 10 tenths", "99"),
     ("total_sky_cover", -1.0, "cloud must be between 0 and 10 tenths", "-1")],
)  # fmt: skip
def test_an_impossible_hour_is_named(year, key, value, words, shown):
    sentence = f"{words} in each hour of the weather file, but in hour 12 it is {shown}"
    with pytest.raises(ValueError, match=f"^{re.escape(sentence)}$"):
        year("epw", **{key: (11, value)})


def test_a_year_of_another_length_or_an_unreadable_one_is_refused(year, monkeypatch, tmp_path):
    from pvlib import iotools

    path = tmp_path / "some.epw"
    path.write_text("x")
    short = _File()
    short.table = short.table.iloc[:8759]
    monkeypatch.setattr(iotools, "read_epw", short)
    with pytest.raises(ValueError, match=r"some.epw' must hold 8760 hours, but it holds 8759$"):
        read_year(path, "epw")
    for error in (ValueError, KeyError, IndexError, TypeError, OSError):

        def broken(*_, error=error, **__):
            raise error("torn")

        monkeypatch.setattr(iotools, "read_epw", broken)
        says = "it does not state torn" if error is KeyError else "torn"
        with pytest.raises(ValueError, match=rf"some.epw' can't be read as epw: {says}$"):
            read_year(path, "epw")
    for shelter in (-0.1, 1.1):
        with pytest.raises(ValueError, match="shelter must be between 0 and 1, but it is"):
            year("epw", shelter=shelter)

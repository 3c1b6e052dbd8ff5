"""Weather at the middle of a step: straight between readings, clock and day by the calendar, the sky's share."""

import numpy as np
import pytest

from heatlib.conduction import outside_film
from heatlib.house.sampler import Sampler, black_sky_loss
from heatlib.house.weather import Weather
from heatlib.moist_air import pressure_at, saturation_humidity_ratio
from heatlib.sky import sky_emissivity_berdahl_martin

SIGMA = 5.670374419e-8
"""Stefan and Boltzmann's constant, CODATA 2018 [W/m²K⁴]."""


def weather(start="2025-12-31T22:30", **more):
    """Three values an hour apart."""
    given = {
        "time": np.array([0.0, 3600.0, 7200.0]), "temperature": np.array([-10.0, -14.0, -20.0]),
        "dew_point": np.array([-12.0, -14.0, -50.0]), "wind_speed": np.array([1.0, 3.0, 3.0]),
        "beam_normal": np.zeros(3), "diffuse_horizontal": np.zeros(3), "global_horizontal": np.array([0.0, 80.0, 40.0]),
        "cloud": np.array([0.0, 0.5, 1.0]), "snow": np.array([False, True, True]),
    }  # fmt: skip
    return Weather(
        **(given | more), start=np.datetime64(start), latitude=46.5, longitude=0.0, utc_offset=0.0, elevation=0.0,
        name="three hours",
    )  # fmt: skip


def test_values_lie_straight_between_the_readings():
    got = Sampler(weather(), np.array([900.0, 3600.0, 5400.0]), 60.0)
    assert got.temperature.tolist() == [-11.0, -14.0, -17.0]
    assert got.wind.tolist() == [1.5, 3.0, 3.0] and got.sun.tolist() == [20.0, 80.0, 60.0]
    assert got.film == pytest.approx(outside_film(got.wind), rel=1e-12)
    assert got.at([1, 3, 5]).tolist() == [1.5, 3.0, 4.0] and got.step == 60.0


def test_snow_lies_from_half_way_to_the_reading_that_says_so():
    got = Sampler(weather(), np.array([0.0, 1799.0, 1800.0, 3600.0]))
    assert got.snow.tolist() == [False, False, True, True]


def test_hour_and_day_follow_the_calendar_over_new_year():
    """From 22:30 on 31 December, the 365th day: 1.5 h later it is midnight, 1 January again (a year has 365.25 d)."""
    got = Sampler(weather(), np.array([0.0, 3600.0, 5400.0, 7200.0]))
    assert got.hour == pytest.approx([22.5, 23.5, 0.0, 0.5], abs=1e-9)
    assert got.day[0] == pytest.approx(365 + 22.5 / 24, abs=1e-9)
    assert got.day[-1] == pytest.approx(366 + 0.5 / 24, abs=1e-9)
    year = Sampler(weather("2025-01-01T00:00"), np.array([0.0, 86400.0 * 31, 365.25 * 86400]))
    assert year.day == pytest.approx([1.0, 32.0, 1.0], abs=1e-9) and year.hour[1] == pytest.approx(0.0, abs=1e-9)


def test_the_sky_takes_what_cloud_leaves():
    """σT⁴(1 − ε)(1 − cloud), with ε at the dew point, which never stands above the air."""
    got = black_sky_loss(weather())
    emissivity = sky_emissivity_berdahl_martin(np.array([-12.0, -14.0]), np.array([22.5, 23.5]))
    expected = SIGMA * np.array([263.15, 259.15]) ** 4 * (1 - emissivity) * [1.0, 0.5]
    assert got[:2] == pytest.approx(expected, rel=1e-9) and got[2] == 0.0
    damp = black_sky_loss(weather(dew_point=np.array([5.0, 0.0, 0.0])))
    saturated = black_sky_loss(weather(dew_point=np.array([-10.0, -14.0, -20.0])))
    assert np.array_equal(damp, saturated)
    sampled = Sampler(weather(), np.array([1800.0])).sky_exchange
    assert sampled == pytest.approx([got[:2].mean()], rel=1e-12)


def test_dew_points_beyond_the_sky_s_formula_count_as_its_ends():
    """The formula for the sky is made for dew points of −60 to 34 °C."""
    for air, beyond, end in ((40.0, 39.0, 34.0), (-20.0, -79.0, -60.0)):
        far, near = (
            black_sky_loss(weather(temperature=np.full(3, air), dew_point=np.full(3, dew))) for dew in (beyond, end)
        )
        assert np.array_equal(far, near)
    nearer = black_sky_loss(weather(temperature=np.full(3, 40.0), dew_point=np.full(3, 33.0)))
    assert nearer[0] > black_sky_loss(weather(temperature=np.full(3, 40.0), dew_point=np.full(3, 34.0)))[0]


def test_vapour_outside_is_that_of_the_dew_point_and_no_drier_than_at_minus_forty():
    pressure = float(pressure_at(1000.0))
    got = Sampler(weather(dew_point=np.array([-12.0, 0.0, -50.0])), np.array([0.0, 3600.0, 7200.0])).vapour(1000.0)
    expected = saturation_humidity_ratio(np.array([-12.0, -14.0, -40.0]), pressure)
    assert got == pytest.approx(expected, rel=1e-12)

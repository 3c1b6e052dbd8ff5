"""The tables of moist air, read again from their files by hand: straight lines in temperature, parabolas else."""

import math
from importlib.resources import files

import numpy as np
import pytest

from heatlib import air_table

PRESSURES, HUMIDITIES = np.array([70e3, 87.5e3, 105e3]), np.array([0.0, 0.5, 1.0])


def rows(name):
    text = files("heatlib.data").joinpath("computed", f"moist_air_{name}.csv").read_text(encoding="utf-8")
    return np.array([[float(word) for word in line.split(",")] for line in text.splitlines()])


def parabola(x, nodes):
    """Weights of the parabola through three nodes, as Lagrange writes them."""
    a, b, c = nodes
    return np.array(
        [
            (x - b) * (x - c) / ((a - b) * (a - c)),
            (x - a) * (x - c) / ((b - a) * (b - c)),
            (x - a) * (x - b) / ((c - a) * (c - b)),
        ]
    )


def straight(table, t):
    return np.array([np.interp(t, table[:, 0], column) for column in table.T[1:]])


@pytest.mark.parametrize("pressure", [70e3, 80e3, 101325.0, 105e3])
@pytest.mark.parametrize("t", [-40.0, -12.34, 0.01, 0.2, 33.3, 59.9, 60.0])
def test_departures_by_hand(outside, t, pressure):
    table = straight(rows("departures"), t)
    for humidity in (0.0, 0.3, 0.5, 1.0):
        weights = np.outer(parabola(pressure, PRESSURES), parabola(humidity, HUMIDITIES)).ravel()
        got = [air_table.departures(quantity, t, humidity, pressure) for quantity in (0, 1)]
        expected = [weights @ table[:9], weights @ table[9:]]
        source = "the file's own rows between by hand: line in temperature, parabolas in pressure and humidity"
        outside("air_table.departures", got, expected, source=source, rel=1e-9, abs=1e-9, why="round-off")


@pytest.mark.parametrize("t", [-115.0, -40.0, -0.1, 0.01, 0.2, 59.9, 60.0, 60.2])
def test_saturation_by_hand(outside, t):
    for pressure in (70e3, 95e3, 105e3):
        logarithm, *factors = straight(rows("saturation"), t)
        expected = [logarithm, parabola(pressure, PRESSURES) @ factors]
        got = air_table.saturation(t, pressure)
        source = "the file's own rows between by hand: line in temperature, parabola in pressure"
        outside("air_table.saturation", got, expected, source=source, rel=1e-9, why="round-off")
        # and backwards; the notes promise a millionth of a kelvin
        back = air_table.dew_temperature(expected[1] * np.exp(logarithm), pressure)
        outside("air_table.dew_temperature", back, t, source="saturation read backwards", abs=1e-6, why="three rounds")


def test_the_hottest_air_of_the_table_is_saturated_at_its_own_temperature():
    # vapour beyond the last row: the answer stays the last row's temperature
    assert air_table.dew_temperature(30e3, 101325.0) == pytest.approx(rows("saturation")[-1, 0], abs=1e-9)


def test_the_triple_point_lies_between_ice_and_water(outside, monkeypatch):
    """Air over ice at 0.01 °C takes up a little more than over water of 0.01 °C: the row there stands in the middle."""
    from CoolProp.CoolProp import HAProps_Aux

    monkeypatch.setattr(air_table, "_SATURATION_NODES", np.array([0.01]))
    monkeypatch.setattr(air_table, "_MIXTURE_NODES", np.array([]))
    (got,), _ = air_table.build_table()
    ice, water = (HAProps_Aux("f", 273.16 + side, 70e3, 0.0)[0] for side in (-1e-4, 1e-4))
    assert ice - water > 5e-5
    source = "COOLPROP, mean of both sides"
    outside(
        "air_table.build_table", got[2], (ice + water) / 2, source=source, abs=1e-6, why="sides nearer by a hundred"
    )
    source = "IAPWS95, triple point at 611.657 Pa (memory)"
    outside("air_table.build_table", got[1], math.log(611.657), source=source, abs=2e-6, why="six digits")


def test_files_keep_hundredths_of_a_degree_and_nine_digits(tmp_path, monkeypatch):
    """Enough for what is read from them, and small enough to ship."""
    both = np.array([[-115.24, 2 / 3, 20000 / 3], [0.01, 1.0, -200 / 3]]), np.array([[60.0, 1 / 3]])
    monkeypatch.setattr(air_table, "build_table", lambda: both)
    one, two = air_table.write_table(tmp_path)
    assert one.read_text() == "-115.24,0.666666667,6666.66667\n0.01,1,-66.6666667\n"
    assert two.read_text() == "60.00,0.333333333\n"


def test_coolprop_is_asked_at_sea_level_where_no_pressure_is_given():
    at_sea = air_table.from_coolprop("specific_volume", 20.0, 0.5, 101325.0)
    assert air_table.from_coolprop("specific_volume", 20.0, 0.5) == at_sea

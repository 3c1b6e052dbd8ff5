"""The tables of moist air, read again from their files by hand: straight lines in temperature, parabolas else."""

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

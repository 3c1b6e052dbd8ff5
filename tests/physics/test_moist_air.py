"""Moist air: against ASHRAE's tables, OpenStax, psychrolib, and CoolProp itself."""

import subprocess
import sys

import numpy as np
import psychrolib
import pytest
from scipy.optimize import brentq

from heatlib import air_table
from heatlib import moist_air as m

psychrolib.SetUnitSystem(psychrolib.SI)
TABLE = "ASHRAE2017PSY, table 2 (through psychrolib's tests)"


@pytest.fixture(scope="module")
def states():
    """Random states over the whole range, with its corners, saturated and dry air, and both sides of 0 °C."""
    draw = np.random.default_rng(20)
    t, rh, p = draw.uniform(-40, 60, 1500), draw.uniform(0, 1, 1500), draw.uniform(70e3, 105e3, 1500)
    t[:80], rh[80:160], rh[160:200] = draw.uniform(-1, 1, 80), 1.0, 0.0
    corners = np.array([(a, b, c) for a in (-40, 60) for b in (0, 1) for c in (70e3, 105e3)], dtype=float)
    return np.concatenate([np.column_stack([t, rh, p]), corners]).T


def coolprop(name, states):
    return np.array([air_table.from_coolprop(name, *state) for state in states.T])


@pytest.mark.parametrize("name", ["humidity_ratio", "specific_volume"])
def test_amounts_are_coolprops_over_the_whole_range(outside, states, name):
    got, expected = getattr(m, name)(*states), coolprop(name, states)
    outside(f"moist_air.{name}", got, expected, source="COOLPROP", rel=1e-4, abs=1e-12, why="accuracy asked")


def test_enthalpy_is_coolprops_over_the_whole_range(outside, states):
    got, expected = m.enthalpy(*states), coolprop("enthalpy", states)
    # the zero of enthalpy is arbitrary: near it, 1e-4 is counted on 1 kJ/kg (the heat of one kelvin)
    outside("moist_air.enthalpy", got, expected, source="COOLPROP", rel=1e-4, abs=0.1, why="1e-4, or 0.1 J near zero")


def test_dew_point_is_coolprops(outside, states):
    damp = states[:, states[1] >= m.DRIEST_DEW]
    got, expected = m.dew_point(*damp), coolprop("dew_point", damp)
    outside("moist_air.dew_point", got, expected, source="COOLPROP", abs=5e-3, why="1e-4 of the vapour pressure")


def test_wet_bulb_is_coolprops(outside, states):
    got, expected = m.wet_bulb(*states), coolprop("wet_bulb", states)
    # between these a bulb can be wet or iced, and CoolProp takes one or the other as its solver falls
    sure = (np.minimum(got, expected) < -0.3) | (np.maximum(got, expected) > 1.0)
    assert sure.sum() > 1300
    outside("moist_air.wet_bulb", got[sure], expected[sure], source="COOLPROP", abs=0.01, why="solver and film's heat")


def test_shipped_table_is_what_the_installed_coolprop_gives(tmp_path):
    paths = air_table.write_table(tmp_path)
    assert [path.name for path in paths] == ["moist_air_saturation.csv", "moist_air_departures.csv"]
    shipped = air_table.files("heatlib.data").joinpath("computed")
    for path in paths:
        new = np.loadtxt(path, delimiter=",")
        old = np.loadtxt(shipped.joinpath(path.name).read_text().splitlines(), delimiter=",")
        np.testing.assert_allclose(old, new, rtol=1e-6, atol=1e-2)


def test_answers_without_loading_coolprop():
    code = "import sys; from heatlib import moist_air as m; m.wet_bulb(20.0, 0.5); sys.exit('CoolProp' in sys.modules)"
    assert subprocess.run([sys.executable, "-c", code]).returncode == 0


def test_saturation_pressure(outside):
    source = "ASHRAE2017PSY, table 3"
    got = m.saturation_pressure([-20.0, 5.0, 25.0])
    outside(
        "moist_air.saturation_pressure", got, [103.24, 872.6, 3169.7], source=source, rel=3e-4, why="printed digits"
    )
    # 611.657 Pa at the triple point is a defined fixed point of IAPWS
    outside(
        "moist_air.saturation_pressure", m.saturation_pressure(0.01), 611.657, source="IAPWS95", rel=1e-4, why="table"
    )


def test_humidity_ratio(outside):
    got = m.saturation_humidity_ratio([-20.0, 5.0, 25.0])
    outside(
        "moist_air.humidity_ratio", got, [0.0006373, 0.005425, 0.020173], source=TABLE, rel=5e-3, why="as psychrolib"
    )
    got = m.saturation_humidity_ratio([0.0, 20.0])
    outside(
        "moist_air.humidity_ratio", got, [0.00379, 0.01476], source="ASHRAE RP-1485", rel=1e-3, why="printed digits"
    )


def test_enthalpy(outside):
    got = m.enthalpy([-20.0, 5.0, 25.0], 1.0)
    outside("moist_air.enthalpy", got, [-18542, 18639, 76504], source=TABLE, rel=2e-3, why="RP-1485 was fitted anew")
    outside("moist_air.enthalpy", m.enthalpy(25.0, 0.0), 25148, source=TABLE, rel=1e-3, why="the same, dry")
    rh = m.relative_humidity(30.0, 0.02, 95461.0)
    outside("moist_air.enthalpy", m.enthalpy(30.0, rh, 95461.0), 81316, source=TABLE, rel=1e-3, why="ideal gas there")


def test_volume(outside):
    outside("moist_air.specific_volume", m.specific_volume(25.0, 0.0), 0.8443, source=TABLE, rel=5e-4, why="4 digits")
    rh = m.relative_humidity(30.0, 0.02, 95461.0)
    got = m.specific_volume(30.0, rh, 95461.0)
    outside("moist_air.specific_volume", got, 0.940855, source=TABLE, rel=1e-3, why="ideal gas there")
    got = m.specific_volume([0.0, 20.0], 1.0)
    outside("moist_air.specific_volume", got, [0.77804, 0.84979], source="ASHRAE RP-1485", rel=1e-4, why="5 digits")


def test_worked_example_of_the_handbook(outside):
    # 40 °C dry bulb, 20 °C wet bulb: read off the chart, so to its last digit
    rh = m.relative_humidity(40.0, 0.0065)
    source = "ASHRAE2017PSY, example 1"
    outside("moist_air.relative_humidity", rh, 0.14, source=source, abs=0.005, why="printed as 14 %")
    outside("moist_air.dew_point", m.dew_point(40.0, rh), 7.0, source=source, abs=0.6, why="read off a chart as 7 °C")
    outside("moist_air.wet_bulb", m.wet_bulb(40.0, rh), 20.0, source=source, abs=0.1, why="given")
    outside("moist_air.enthalpy", m.enthalpy(40.0, rh), 56.7e3, source=source, rel=7e-3, why="chart, W to 2 digits")
    outside("moist_air.specific_volume", m.specific_volume(40.0, rh), 0.896, source=source, rel=1e-3, why="3 digits")


def test_dew_points_of_three_rooms(outside):
    got = m.dew_point([10.0, 20.0, 0.0], [0.9, 0.6, 0.9])
    outside(
        "moist_air.dew_point", got, [8.44, 12.01, -1.27], source="psychrolib and CoolProp", abs=0.02, why="2 digits"
    )


def test_textbook_vapour(outside):
    t = np.array([-20.0, 0.0, 5.0, 10.0, 20.0, 25.0, 30.0])
    grams = 1000 * m.saturation_humidity_ratio(t) / m.specific_volume(t, 1.0)
    table = [0.89, 4.84, 6.80, 9.40, 17.2, 23.0, 30.4]
    # over ice at −20 °C saturation is 18 % below the book's value, which is over water
    outside(
        "moist_air.humidity_ratio", grams[1:], table[1:], source="OPENSTAX m42219 table", rel=0.01, why="its digits"
    )
    got = m.relative_humidity(25.0, 9.40e-3 * m.specific_volume(25.0, 0.409))
    outside("moist_air.relative_humidity", got, 0.409, source="OPENSTAX m42219 example", rel=0.01, why="three digits")


def test_pressure_at(outside):
    got = m.pressure_at([0.0, 500.0])
    outside(
        "moist_air.pressure_at", got, [101325, 95461], source="ASHRAE2017PSY, table 1", abs=1.0, why="whole pascals"
    )
    outside("moist_air.pressure_at", m.pressure_at(2000.0), 79495, source="USSA1976 (memory)", rel=1e-4, why="5 digits")


@pytest.mark.parametrize("t", [-20.0, -5.0, 5.0, 20.0, 35.0])
@pytest.mark.parametrize("rh", [0.2, 0.6, 1.0])
@pytest.mark.parametrize("p", [75e3, 101325.0])
def test_psychrolib_agrees_within_its_half_percent(outside, t, rh, p):
    ratio = psychrolib.GetHumRatioFromRelHum(t, rh, p)
    source, why = "psychrolib, ideal gases", "no enhancement factor: its known 0.5 %"
    outside("moist_air.humidity_ratio", m.humidity_ratio(t, rh, p), ratio, source=source, rel=6e-3, why=why)
    volume = psychrolib.GetMoistAirVolume(t, ratio, p)
    outside("moist_air.specific_volume", m.specific_volume(t, rh, p), volume, source=source, rel=1.5e-3, why=why)
    heavy = psychrolib.GetMoistAirDensity(t, ratio, p)
    outside("moist_air.density", m.density(t, rh, p), heavy, source=source, rel=1.5e-3, why=why)
    h = psychrolib.GetMoistAirEnthalpy(t, ratio)
    outside("moist_air.enthalpy", m.enthalpy(t, rh, p), h, source=source, rel=5e-3, abs=150, why=why)
    bulb = psychrolib.GetTWetBulbFromHumRatio(t, ratio, p)
    outside("moist_air.wet_bulb", m.wet_bulb(t, rh, p), bulb, source=source, abs=0.06, why=why)
    got = m.relative_humidity(t, ratio * 0.99, p)
    outside("moist_air.relative_humidity", got, 0.99 * rh, source=source, rel=7e-3, why=why)


def test_limits():
    assert m.humidity_ratio(20.0, 0.0) == 0
    assert m.dew_point(17.3, 1.0, 88e3) == pytest.approx(17.3, abs=1e-9)
    assert m.wet_bulb(17.3, 1.0, 88e3) == pytest.approx(17.3, abs=1e-6)
    assert m.wet_bulb(-17.3, 1.0, 88e3) == pytest.approx(-17.3, abs=1e-6)
    assert m.density(20.0, 0.9) < m.density(20.0, 0.1)
    assert m.relative_humidity(12.0, 0.0) == 0


def test_scaling():
    # an ideal gas thins with the pressure; half the pressure's air carries the same vapour pressure
    assert m.specific_volume(20.0, 0.0, 70e3) * 70e3 == pytest.approx(
        m.specific_volume(20.0, 0.0, 105e3) * 105e3, rel=3e-4
    )
    assert m.saturation_humidity_ratio(20.0, 70e3) == pytest.approx(
        1.52 * m.saturation_humidity_ratio(20.0, 105e3), rel=1e-2
    )


@pytest.mark.parametrize("name", ["humidity_ratio", "enthalpy", "specific_volume", "density", "dew_point", "wet_bulb"])
def test_array_is_scalar(name):
    function = getattr(m, name)
    t, rh, p = [-12.0, 3.0, 24.0], [0.7, 0.5, 0.3], [90e3, 101325.0, 72e3]
    got = function(t, rh, p)
    one_by_one = [function(*state) for state in zip(t, rh, p)]
    assert all(type(value) is float for value in one_by_one)
    assert got == pytest.approx(one_by_one, rel=1e-9, abs=1e-6)
    assert function(t, 0.5, 101325.0) == pytest.approx([function(a, 0.5, 101325.0) for a in t], rel=1e-9, abs=1e-6)


def test_defaults_are_sea_level():
    for name in ("humidity_ratio", "enthalpy", "specific_volume", "density", "dew_point", "wet_bulb"):
        assert getattr(m, name)(20.0, 0.5) == getattr(m, name)(20.0, 0.5, 101325.0)
    assert m.saturation_humidity_ratio(20.0) == m.saturation_humidity_ratio(20.0, 101325.0)
    assert m.relative_humidity(20.0, 0.005) == m.relative_humidity(20.0, 0.005, 101325.0)


def test_relative_humidity_undoes_humidity_ratio():
    t, rh = np.linspace(-40, 60, 41), np.linspace(0, 1, 41)
    assert m.relative_humidity(t, m.humidity_ratio(t, rh, 80e3), 80e3) == pytest.approx(rh, abs=1e-9)


@pytest.mark.parametrize("name", ["humidity_ratio", "enthalpy", "specific_volume", "density", "dew_point", "wet_bulb"])
@pytest.mark.parametrize(
    ("state", "words"),
    [
        ((-40.1, 0.5, 101325.0), "air temperature must be between -40 and 60 °C, but it is -40.1 °C"),
        ((60.1, 0.5, 101325.0), "air temperature must be between -40 and 60 °C, but it is 60.1 °C"),
        ((20.0, 1.01, 101325.0), "relative humidity .*1, but it is 1.01"),
        ((20.0, -0.01, 101325.0), "relative humidity"),
        ((20.0, 0.5, 69e3), "air pressure must be between 70000 and 105000 Pa, but it is 69000 Pa"),
        ((20.0, 0.5, 106e3), "air pressure"),
        ((float("nan"), 0.5, 101325.0), "air temperature"),
        (("20", 0.5, 101325.0), "air temperature must be a number in °C"),
        (([1.0, 2.0], [0.1, 0.2, 0.3], 101325.0), "same length"),
    ],
)
def test_refusals(name, state, words):
    with pytest.raises(ValueError, match=words):
        getattr(m, name)(*state)


def test_other_refusals():
    with pytest.raises(ValueError, match="relative humidity"):
        m.dew_point(20.0, 0.0)
    with pytest.raises(ValueError, match="more than air of this temperature can hold"):
        m.relative_humidity(0.0, 0.01)
    with pytest.raises(ValueError, match="humidity ratio"):
        m.relative_humidity(0.0, -0.01)
    with pytest.raises(ValueError, match="surface temperature"):
        m.saturation_pressure(61.0)
    for z in (-291.0, 3001.0):
        with pytest.raises(ValueError, match="elevation must be between -290 and 3000 m"):
            m.pressure_at(z)
    with pytest.raises(ValueError, match=r"^quantity 'humidity' is not known \(nearest: humidity_ratio\)"):
        air_table.from_coolprop("humidity", 20.0, 0.5)
    with pytest.raises(ValueError, match="must be one number"):
        air_table.from_coolprop("enthalpy", [20.0, 21.0], 0.5)


def test_relative_humidity_ends_at_saturation():
    t = np.linspace(-40, 60, 201)
    most = m.saturation_humidity_ratio(t)
    full = m.relative_humidity(t, most)
    assert full.max() == 1.0 and full == pytest.approx(np.ones(201), abs=1e-9)
    for temperature, ratio in zip(t[::20], most[::20]):
        with pytest.raises(ValueError, match="more than air of this temperature can hold"):
            m.relative_humidity(temperature, 1.001 * ratio)


@pytest.mark.parametrize(("bulb", "ice"), [(-2e-4, True), (-0.2, True), (0.4, False), (0.7, False)])
def test_wet_bulb_at_the_freezing_point(outside, bulb, ice):
    """The air is sought whose energy balance closes at this bulb; the film is ice (−333.4 + 2.095·t kJ/kg) or water.

    In air of 5 °C a bulb that closes the balance as ice is iced, however little below 0 °C.
    """
    film = -333.4e3 + 2095 * bulb if ice else 4190 * bulb
    held = m.saturation_humidity_ratio(bulb)

    def balance(rh):
        return m.enthalpy(5.0, rh) + (held - m.humidity_ratio(5.0, rh)) * film - m.enthalpy(bulb, 1.0)

    rh = brentq(balance, 0.0, 1.0, xtol=1e-15)
    outside("moist_air.wet_bulb", m.wet_bulb(5.0, rh), bulb, source="ASHRAE2017PSY, equation 33", abs=1e-6, why="steps")

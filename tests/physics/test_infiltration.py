"""Air that comes and goes: against worked examples, published coefficients, and two rooms mixed step by step."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from heatlib import infiltration as a

G, R, CP = 9.80665, 287.055, 1006.0


@pytest.mark.parametrize("temperature, expected", [(0.0, 1.292), (20.0, 1.204), (-20.0, 1.394)])
def test_air_density(outside, temperature, expected):
    got = a.air_density(temperature)
    outside("infiltration.air_density", got, expected, source="COOLPROP dry air (table)", rel=1e-3, why="four digits")


def test_air_density_by_coolprop(outside):
    from CoolProp.CoolProp import PropsSI

    t = np.array([-40.0, 0.0, 25.0, 60.0])
    expected = [PropsSI("D", "T", x + 273.15, "P", 101325, "Air") for x in t]
    outside("infiltration.air_density", a.air_density(t), expected, source="COOLPROP", rel=2e-3, why="ideal gas")
    high = PropsSI("D", "T", 273.15, "P", 95461, "Air")
    source = "COOLPROP at 95461 Pa (ASHRAE2017PSY, 500 m)"
    outside("infiltration.air_density", a.air_density(0.0, 500.0), high, source=source, rel=2e-3, why="ideal gas")


def test_air_is_that_of_sea_level_where_no_elevation_is_given():
    assert a.air_density(20.0) == a.air_density(20.0, 0.0)
    low, told = (a.ventilation_for_temperature(1000.0, 0.0, 25.0, 20.0, *at) for at in ((), (0.0,)))
    assert low == told


def test_dry_air_volume_of_the_handbook(outside):
    got = 1 / a.air_density(25.0)
    outside("infiltration.air_density", got, 0.8443, source="ASHRAE2017PSY table 2", rel=1e-3, why="four digits")


def test_room_air_at_altitude(outside):
    # 600 m³ at 84.6 kPa and 10 °C hold 625 kg; 84.6 kPa is some 1500 m up
    got = 600 * a.air_density(10.0, 1495.0)
    outside("infiltration.air_density", got, 624.96, source="CENGEL example 1.4", rel=2e-3, why="elevation read back")


@pytest.mark.parametrize("elevation, expected", [(0.0, 0.0180), (914.4, 0.0162)])
def test_heat_of_a_cubic_foot(outside, elevation, expected):
    got = a.air_flow_heat_loss(1.0, 20.0, 19.0, elevation) * 0.3048**3 * 5 / 9 / 1055.056
    source = "WAC51 table A108.1(2), Btu/ft³·°F"
    outside("infiltration.air_flow_heat_loss", got, expected, source=source, rel=0.01, why="three digits")


@pytest.mark.parametrize("inside, expected", [(20.0, 0.3366), (0.0, 0.3612)])
def test_heat_of_an_air_change(outside, inside, expected):
    got = a.air_change_heat_loss(1.0, 1.0, inside, inside - 1)
    source = "COOLPROP, Wh/m³K of dry air"
    outside("infiltration.air_change_heat_loss", got, expected, source=source, rel=2e-3, why="four digits")


def test_factor_of_the_textbook(outside):
    got = a.air_change_heat_loss(1.0, 1.0, 20.0, 19.0)
    source = "MURPHY example 9.3 (0.33·N·V·ΔT)"
    outside("infiltration.air_change_heat_loss", got, 0.33, source=source, rel=0.025, why="two digits")


def test_house_turning_over_its_air(outside):
    # 12 × 18 × 3 m turned over in 30 min, 10 K, with 1.29 kg/m³: the density of the book is that of 0 °C air
    got = a.air_change_heat_loss(648.0, 2.0, 0.0, -10.0)
    source = "OPENSTAX section 14.6 air turnover"
    outside("infiltration.air_change_heat_loss", got, 4640, source=source, rel=0.01, why="the book takes c = 1000")
    outside("infiltration.air_density", 648 * a.air_density(0.0), 836, source=source, rel=3e-3, why="three digits")


def test_heat_loss_laws():
    one = a.air_change_heat_loss(50.0, 1.0, 10.0, -10.0)
    assert a.air_change_heat_loss(100.0, 1.0, 10.0, -10.0) == pytest.approx(2 * one)
    assert a.air_change_heat_loss(50.0, 3.0, 10.0, -10.0) == pytest.approx(3 * one)
    assert a.air_change_heat_loss(50.0, 1.0, 10.0, 10.0) == 0.0
    assert a.air_change_heat_loss(50.0, 1.0, 10.0, 30.0) == pytest.approx(-one)
    assert a.air_flow_heat_loss(50 / 3600, 10.0, -10.0) == pytest.approx(one)
    assert a.air_change_heat_loss(50.0, 1.0, 10.0, -10.0, 1000.0) == pytest.approx(one * 0.88699, rel=1e-4)
    assert a.air_change_heat_loss([50.0, 100.0], 1.0, 10.0, -10.0).tolist() == pytest.approx([one, 2 * one])
    assert a.air_change_heat_loss(50.0, 0.0, 10.0, -10.0) == a.air_flow_heat_loss(0.0, 10.0, -10.0) == 0.0


@pytest.mark.parametrize(
    "function, args, word",
    [
        ("air_density", (91.0,), "temperature"),
        ("air_density", (20.0, 3001.0), "elevation"),
        ("air_flow_heat_loss", (-0.1, 5.0, 0.0), "air flow"),
        ("air_flow_heat_loss", (0.1, 95.0, 0.0), "inside temperature"),
        ("air_flow_heat_loss", (0.1, 5.0, -65.0), "outside temperature"),
        ("air_change_heat_loss", (0.0, 1.0, 5.0, 0.0), "volume"),
        ("air_change_heat_loss", (50.0, -1.0, 5.0, 0.0), "air change rate must be between 0 and 1000 per hour"),
        ("air_change_heat_loss", (50.0, float("nan"), 5.0, 0.0), "air change rate"),
        ("water_equivalent", (-1.0, 1.0, 1.0), "heat flow"),
        ("water_equivalent", (1.0, -1.0, 1.0), "time"),
        ("water_equivalent", (1.0, 1.0, 0.0), "cooling"),
        ("water_equivalent", (1.0, 1.0, 1.0, 1), "freezing must be True or False"),
        ("stack_wind_flow", (-1.0, 1.0, 5.0, 0.0, 1.0), "opening area"),
        ("stack_wind_flow", (1.0, -1.0, 5.0, 0.0, 1.0), "height"),
        ("stack_wind_flow", (1.0, 1.0, 5.0, 0.0, -1.0), "wind speed"),
        ("stack_wind_flow", (1.0, 1.0, 5.0, 0.0, 1.0, 0.0), "discharge coefficient"),
        ("stack_wind_flow", (1.0, 1.0, 5.0, 0.0, 1.0, 0.6, 1.1), "wind effect"),
        ("leakage_flow", (-1.0, 5.0, 0.0, 1.0), "leakage area"),
        ("leakage_flow", (1.0, 5.0, 0.0, 61.0), "wind speed"),
        ("leakage_flow", (1.0, 5.0, 0.0, 1.0, "some"), "shelter 'some' is not known"),
        ("door_flow", (0.0, 2.0, 5.0, 0.0, 10.0, 1.0), "door width"),
        ("door_flow", (0.9, 11.0, 5.0, 0.0, 10.0, 1.0), "door height"),
        ("door_flow", (0.9, 2.0, 5.0, 0.0, -10.0, 1.0), "time the door is open must"),
        ("door_flow", (0.9, 2.0, 5.0, 0.0, 10.0, -1.0), "openings"),
        ("door_flow", (0.9, 2.0, 5.0, 0.0, 600.0, 7.0), "time the door is open in an hour .* 4200 s"),
        (
            "door_flow",
            (0.9, 2.0, 5.0, 0.0, 60.01, 60.0),
            "time the door is open in an hour must be between 0 and 3600 s",
        ),
        ("door_flow", (0.9, 2.0, 5.0, 0.0, 10.0, 1.0, 1.1), "discharge coefficient"),
        ("lobby_flow", (0.9, 2.0, 5.0, 0.0, 10.0, 1.0, 0.0), "lobby volume"),
        ("lobby_flow", (0.9, 2.0, 5.0, 0.0, 600.0, 7.0, 4.0), "time the door is open in an hour"),
        ("ventilation_for_temperature", (-1.0, 0.0, 25.0, 20.0), "heat gain"),
        ("ventilation_for_temperature", (1.0, -1.0, 25.0, 20.0), "conductance"),
        ("ventilation_for_humidity", (-1.0, 0.01, 0.005), "vapour flow"),
        ("ventilation_for_humidity", (1.0, 0.3, 0.005), "inside humidity ratio"),
        ("ventilation_for_humidity", (1.0, 0.01, -0.1), "outside humidity ratio"),
        ("ventilation_for_humidity", (1.0, 0.01, 0.005, 0.0), "air density"),
    ],
)
def test_refusals(function, args, word):
    with pytest.raises(ValueError, match=word):
        getattr(a, function)(*args)


@pytest.mark.parametrize(
    "name, low, high",
    [("new_glass", 0.75, 1.5), ("new_double_film", 0.5, 1.0), ("old_good", 1.0, 2.0), ("old_poor", 2.0, 4.0)],
)
def test_classes_of_tightness(outside, name, low, high):
    got = [a.tightness_air_change_rate(name, b) for b in ("low", "high")]
    source = "EP406 table of natural air exchange (memory)"
    outside("infiltration.tightness_air_change_rate", got, [low, high], source=source, abs=1e-9, why="tabulated")
    assert low < a.tightness_air_change_rate(name) < high


def test_sealed_class_and_refusals(outside):
    got = a.tightness_air_change_rate("sealed")
    source = "WAC51 51-11C-61081, default for a dwelling"
    outside("infiltration.tightness_air_change_rate", got, 0.35, source=source, abs=1e-9, why="a tabulated value")
    with pytest.raises(ValueError, match="'leaky' is not known"):
        a.tightness_air_change_rate("leaky")
    with pytest.raises(ValueError, match="bound"):
        a.tightness_air_change_rate("sealed", "mean")


def test_water_for_a_night(outside):
    # 1 kWh warms 86 kg of water by 10 K; freezing 1 kg gives 334 kJ
    got = a.water_equivalent(1000.0, 1.0, 10.0)
    outside("infiltration.water_equivalent", got, 3.6e6 / 41860e3, source="OPENSTAX m42224", rel=1e-9, why="c = 4186")
    frozen = a.water_equivalent(1000.0, 1.0, 10.0, True)
    expected = 3.6e6 / (41860e3 + 334e6)
    outside("infiltration.water_equivalent", frozen, expected, source="OPENSTAX m42225", rel=3e-3, why="three digits")
    assert a.water_equivalent(0.0, 12.0, 5.0) == 0.0
    assert a.water_equivalent(500.0, 12.0, 5.0) == pytest.approx(a.water_equivalent(1000.0, 6.0, 5.0))
    assert a.water_equivalent([100.0, 200.0], 12.0, 5.0)[1] == pytest.approx(a.water_equivalent(200.0, 12.0, 5.0))
    assert a.water_equivalent(100.0, 12.0, 5.0) == a.water_equivalent(100.0, 12.0, 5.0, False)


def test_stack_by_the_handbooks_equation(outside):
    # Q = C·A·√(2·g·ΔH·(Ti − To)/Ti) with ΔH half the height
    expected = 0.65 * 1.5 * np.sqrt(2 * G * 1.2 * 20 / 293.15)
    got = a.stack_wind_flow(1.5, 2.4, 20.0, 0.0, 0.0)
    source = "ASHRAE2013 flow by thermal forces (memory)"
    outside("infiltration.stack_wind_flow", got, expected, source=source, rel=1e-9, why="the same equation")
    # summer, outside warmer: the same with the warmer of the two below
    back = a.stack_wind_flow(1.5, 2.4, 0.0, 20.0, 0.0)
    outside("infiltration.stack_wind_flow", back, expected, source=source, rel=1e-9, why="the same equation")


def test_wind_by_the_handbooks_equation(outside):
    got = a.stack_wind_flow(2.0, 0.0, 20.0, 0.0, 3.0, wind_effect=0.55)
    source = "ASHRAE2013 flow by wind, Q = C·A·v (memory)"
    outside("infiltration.stack_wind_flow", got, 3.3, source=source, rel=1e-9, why="the same equation")


def test_stack_and_wind_together():
    stack, wind = a.stack_wind_flow(1.0, 2.0, 20.0, 0.0, 0.0), a.stack_wind_flow(1.0, 0.0, 20.0, 0.0, 2.0)
    assert a.stack_wind_flow(1.0, 2.0, 20.0, 0.0, 2.0) == pytest.approx(np.hypot(stack, wind))
    assert a.stack_wind_flow(1.0, 2.0, 5.0, 5.0, 0.0) == a.stack_wind_flow(0.0, 2.0, 5.0, 0.0, 3.0) == 0.0
    assert a.stack_wind_flow(3.0, 2.0, 20.0, 0.0, 0.0) == pytest.approx(3 * stack)
    assert a.stack_wind_flow(1.0, 8.0, 20.0, 0.0, 0.0) == pytest.approx(2 * stack)
    assert a.stack_wind_flow(1.0, 2.0, 20.0, 0.0, 0.0, 0.325) == pytest.approx(stack / 2)
    assert a.stack_wind_flow([1.0, 3.0], 2.0, 20.0, 0.0, 0.0).tolist() == pytest.approx([stack, 3 * stack])
    assert wind == pytest.approx(0.6)


@pytest.mark.parametrize(
    "shelter, coefficient",
    [("none", 0.000319), ("light", 0.000246), ("moderate", 0.000174), ("heavy", 0.000137), ("complete", 0.000104)],
)
def test_basic_leakage_model(outside, shelter, coefficient):
    # Q [L/s] = A [cm²]·√(C_s·ΔT + C_w·v²) with C_s = 0.000145 for one storey
    for difference, wind in ((20.0, 0.0), (0.0, 5.0), (30.0, 4.0)):
        expected = 500 * np.sqrt(0.000145 * difference + coefficient * wind**2) / 1000
        got = a.leakage_flow(0.05, difference - 10.0, -10.0, wind, shelter)
        source = "ASHRAE2013 basic infiltration model (memory)"
        outside("infiltration.leakage_flow", got, expected, source=source, rel=1e-9, why="the same equation")


def test_handbook_house(outside):
    # worked example: leakage area 500 cm², one storey, moderate shelter, 39 K, 6.7 m/s: 58 L/s
    got = a.leakage_flow(0.05, 20.0, -19.0, 6.7, "moderate") * 1000
    source = "ASHRAE example of a one-storey house (memory)"
    outside("infiltration.leakage_flow", got, 58, source=source, rel=0.03, why="two digits")


def test_leakage_laws():
    one = a.leakage_flow(0.05, 20.0, 0.0, 3.0)
    assert (
        one == a.leakage_flow(0.05, 20.0, 0.0, 3.0, "moderate") == pytest.approx(a.leakage_flow(0.05, 0.0, 20.0, 3.0))
    )
    assert a.leakage_flow(0.1, 20.0, 0.0, 3.0) == pytest.approx(2 * one)
    assert a.leakage_flow(0.05, 20.0, 0.0, 0.0) < one
    assert a.leakage_flow([0.05, 0.1], 20.0, 0.0, 3.0).tolist() == pytest.approx([one, 2 * one])


def test_open_door_against_the_pressure_profile(outside):
    # Bernoulli over the upper half of the doorway, integrated numerically: the closed form has C/3·W·H·√(g·H·ΔT/T)
    from scipy.integrate import quad

    warm, cold, width, height = 10.0, -14.0, 0.9, 2.0
    dense, light = 1 / 259.15, 1 / 283.15
    mean = 1 / ((259.15 + 283.15) / 2)
    speed = lambda z: np.sqrt(2 * G * z * (dense - light) / mean)  # noqa: E731
    expected = 0.6 * width * quad(speed, 0, height / 2)[0]
    got = a.door_flow(width, height, warm, cold, 3600.0, 1.0)
    source = "BROWNSOLVASON1962 (Bernoulli integrated)"
    outside("infiltration.door_flow", got, expected, source=source, rel=3e-3, why="one mean density")
    # both sides warm: the mean of 30 and 20 °C is 298.15 K
    got = a.door_flow(width, height, 30.0, 20.0, 3600.0, 1.0)
    expected = 0.6 / 3 * width * height * np.sqrt(9.80665 * height * 10 / 298.15)
    outside("infiltration.door_flow", got, expected, source="BROWNSOLVASON1962, by hand", rel=1e-4, why="closed form")


def test_door_laws():
    one = a.door_flow(0.9, 2.0, 10.0, -10.0, 20.0, 6.0)
    assert a.door_flow(1.8, 2.0, 10.0, -10.0, 20.0, 6.0) == pytest.approx(2 * one)
    assert a.door_flow(0.9, 2.0, 10.0, -10.0, 40.0, 6.0) == pytest.approx(2 * one)
    assert a.door_flow(0.9, 2.0, 10.0, -10.0, 20.0, 18.0) == pytest.approx(3 * one)
    # once in two hours, and never
    assert a.door_flow(0.9, 2.0, 10.0, -10.0, 20.0, [0.5, 0.0]).tolist() == pytest.approx([one / 12, 0.0])
    assert a.door_flow(0.9, 4.0, 10.0, -10.0, 20.0, 6.0) == pytest.approx(2**1.5 * one)
    assert a.door_flow(0.9, 2.0, 10.0, -10.0, 20.0, 6.0, 0.3) == pytest.approx(one / 2)
    assert a.door_flow(0.9, 2.0, -10.0, 10.0, 20.0, 6.0) == pytest.approx(one)
    assert a.door_flow(0.9, 2.0, 5.0, 5.0, 20.0, 6.0) == a.door_flow(0.9, 2.0, 5.0, 0.0, 0.0, 6.0) == 0.0
    assert a.door_flow([0.9, 1.8], 2.0, 10.0, -10.0, 20.0, 6.0).tolist() == pytest.approx([one, 2 * one])


@pytest.mark.parametrize("seconds, volume", [(3.0, 4.0), (15.0, 4.0), (60.0, 8.0)])
def test_lobby_against_a_step_by_step_mixing(outside, seconds, volume):
    # the lobby is mixed with outside, then with the house, a hundred passages long, in steps of a hundredth of a second
    flow = a.door_flow(0.9, 2.0, 10.0, -10.0, 3600.0, 1.0)
    lobby, carried = 0.5, 0.0
    kept = (1 - flow * 0.01 / volume) ** round(seconds / 0.01)
    for _ in range(100):
        lobby *= kept
        mixed = 1 - (1 - lobby) * kept
        carried, lobby = volume * (mixed - lobby), mixed
    got = a.lobby_flow(0.9, 2.0, 10.0, -10.0, seconds, 6.0, volume)
    source = "two rooms mixed step by step"
    outside("infiltration.lobby_flow", got, carried * 6 / 3600, source=source, rel=5e-3, why="finite steps")


def test_lobby_limits():
    quick, door = (f(0.9, 2.0, 10.0, -10.0, 0.001, 6.0, *v) for f, v in ((a.lobby_flow, (4.0,)), (a.door_flow, ())))
    assert quick == pytest.approx(door / 2, rel=1e-3)
    assert a.lobby_flow(0.9, 2.0, 10.0, -10.0, 600.0, 6.0, 4.0) == pytest.approx(4.0 * 6 / 3600)
    assert a.lobby_flow(0.9, 2.0, 5.0, 5.0, 10.0, 6.0, 4.0) == 0.0
    assert a.lobby_flow([0.9, 0.9], 2.0, 10.0, -10.0, 0.001, 6.0, 4.0).tolist() == pytest.approx([quick, quick])
    assert a.lobby_flow(0.9, 2.0, 10.0, -10.0, 5.0, 6.0, 4.0, 0.3) < a.lobby_flow(0.9, 2.0, 10.0, -10.0, 5.0, 6.0, 4.0)


@given(st.floats(0.5, 2), st.floats(-40, 20), st.floats(0, 300), st.floats(1, 50))
def test_a_lobby_never_does_harm(width, cold, seconds, volume):
    bare = a.door_flow(width, 2.0, 20.0, cold, seconds, 10.0)
    assert a.lobby_flow(width, 2.0, 20.0, cold, seconds, 10.0, volume) <= bare / 2 + 1e-12


def test_ventilation_for_temperature(outside):
    # one kilowatt at 5 K: 1000/(1.184·1006·5)
    expected = 1000 / (1.1839 * 1006 * 5)
    got = a.ventilation_for_temperature(1000.0, 0.0, 25.0, 20.0)
    source = "heat balance by hand, air of 25 °C 1.184 kg/m³"
    outside("infiltration.ventilation_for_temperature", got, expected, source=source, rel=1e-3, why="four digits")
    # the answer closes the balance of the house
    flow = a.ventilation_for_temperature(8000.0, 120.0, 28.0, 18.0, 500.0)
    lost = 120 * 10 + a.air_flow_heat_loss(flow, 28.0, 18.0, 500.0)
    outside("infiltration.ventilation_for_temperature", lost, 8000, source="heat balance", rel=1e-9, why="exact")


def test_ventilation_limits():
    assert a.ventilation_for_temperature(0.0, 100.0, 25.0, 20.0) == 0.0
    assert a.ventilation_for_temperature(500.0, 100.0, 25.0, 20.0) == 0.0
    assert a.ventilation_for_temperature(0.0, 0.0, 20.0, 25.0) == 0.0
    assert a.ventilation_for_temperature([0.0, 1000.0], 0.0, 25.0, 20.0)[0] == 0.0
    one, two = (a.ventilation_for_temperature(q, 0.0, 25.0, 20.0) for q in (1000.0, 2000.0))
    assert two == pytest.approx(2 * one)
    for outside_air in (25.0, 30.0):
        with pytest.raises(ValueError, match=r"can't hold the house at 25\.0 °C, however much"):
            a.ventilation_for_temperature(1000.0, 0.0, 25.0, outside_air)
    with pytest.raises(ValueError, match="shade it"):
        a.ventilation_for_temperature(0.0, 10.0, 25.0, 30.0)


def test_ventilation_for_humidity(outside):
    # 3 kg of water an hour from 0.0025 to 0.0075 kg/kg needs 600 kg of air an hour
    got = a.ventilation_for_humidity(3 / 3600, 0.0075, 0.0025, 1.25)
    source = "water balance by hand"
    outside(
        "infiltration.ventilation_for_humidity",
        got,
        600 / 3600 / 1.25,
        source=source,
        rel=1e-9,
        why="the same equation worked by hand",
    )
    assert a.ventilation_for_humidity(0.001, 0.01, 0.005) == a.ventilation_for_humidity(0.001, 0.01, 0.005, 1.2)
    assert a.ventilation_for_humidity(0.0, 0.005, 0.010) == 0.0
    one = a.ventilation_for_humidity(0.001, 0.01, 0.005)
    assert a.ventilation_for_humidity([0.001, 0.002], 0.01, 0.005).tolist() == pytest.approx([one, 2 * one])
    for damp in (0.01, 0.012):
        with pytest.raises(ValueError, match=r"can't dry a house at 0\.01"):
            a.ventilation_for_humidity(0.001, 0.01, damp)


def test_ventilation_where_a_little_decides():
    """Half a watt is too much for air as warm as the house; half a kelvin is enough to carry heat away."""
    with pytest.raises(ValueError, match="can't hold the house"):
        a.ventilation_for_temperature(0.5, 0.0, 25.0, 25.0)
    # 100 W at half a kelvin, air of 1.1839 kg/m³ at 25 °C
    flow = a.ventilation_for_temperature(100.0, 0.0, 25.0, 24.5)
    assert flow == pytest.approx(100 / (1.1839 * 1006 * 0.5), rel=1e-3)
    assert a.ventilation_for_temperature(0.0, 0.0, 20.0, 20.0) == 0.0
    assert a.ventilation_for_humidity(0.0, 0.005, 0.005) == 0.0

"""Units: every conversion against factors typed from the handbooks, there and back, and what a grower may write."""

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from heatlib import units as u

NIST = "NIST Special Publication 811, appendix B (memory)"
FACTORS = [
    # quantity, SI value, US value of the same thing
    ("temperature", 100.0, 212.0),
    ("temperature", -40.0, -40.0),
    ("temperature_difference", 10.0, 18.0),
    ("length", 0.3048, 1.0),
    ("thickness", 0.0254, 1.0),
    ("area", 0.09290304, 1.0),
    ("room_volume", 0.02831685, 1.0),
    ("store_volume", 0.003785412, 1.0),
    ("mass", 0.45359237, 1.0),
    ("heat_flow", 0.2930711, 1.0),
    ("electric_power", 1500.0, 1500.0),
    ("energy", 3.6e6, 3.412142),
    ("heat_in_store", 1.055056e6, 1.0),
    ("electric_energy", 3.6e6, 1.0),
    ("u_value", 5.678263, 1.0),
    ("r_value", 0.1761102, 1.0),
    ("conductance", 0.5275279, 1.0),
    ("conductivity", 0.1442279, 1.0),
    ("linear_conductance", 1.730735, 1.0),
    ("irradiance", 3.154591, 1.0),
    ("irradiation", 11356527.0, 1.0),
    ("air_flow", 4.719474e-4, 1.0),
    ("speed", 0.44704, 1.0),
    ("pressure", 249.0889, 1.0),
    ("time", 3600.0, 1.0),
    ("air_change_rate", 1.5, 1.5),
    ("humidity", 0.55, 55.0),
    ("share", 0.25, 25.0),
    ("vapour_mass", 3.785412, 1.0),
    ("volumetric_heat_capacity", 501.7e3, 1.0),
    ("specific_heat", 4186.8, 1.0),
    ("latent_heat", 2326.0, 1.0),
    ("latent_heat_by_volume", 278716.0, 1.0),
    ("density", 119.8264, 1.0),
    ("air_heat_capacity", 67066.1, 1.0),
    ("heat_of_electric_energy", 1.0, 3.412142),
    ("floor_load", 4.882428, 1.0),
    ("count", 9.0, 9.0),
    ("angle", 45.0, 45.0),
    ("money", 20.0, 20.0),
]
METRIC = {
    "thickness": 1000.0,
    "store_volume": 1000.0,
    "energy": 1 / 3.6e6,
    "electric_energy": 1 / 3.6e6,
    "heat_in_store": 1e-6,
    "irradiation": 1 / 3.6e6,
    "air_flow": 3600.0,
    "time": 1 / 3600.0,
    "humidity": 100.0,
    "share": 100.0,
    "volumetric_heat_capacity": 1e-6,
    "specific_heat": 1e-3,
    "latent_heat": 1e-3,
    "latent_heat_by_volume": 1e-6,
    "density": 1e-3,
    "air_heat_capacity": 1 / 3600.0,
    "heat_of_electric_energy": 3.6,
}


@pytest.mark.parametrize("quantity, si, us", FACTORS)
def test_us_units(outside, quantity, si, us):
    got = u.to_display(si, quantity, "US")
    outside("units.to_display", got, us, source=NIST, rel=2e-4, abs=1e-9, why="Btu of the International Table")
    assert u.from_display(us, quantity, "US") == pytest.approx(si, rel=2e-4)


def test_every_quantity_is_covered():
    # a quantity that a lesson adds needs a line in FACTORS
    assert {f[0] for f in FACTORS} == set(u.QUANTITIES)


@pytest.mark.parametrize("quantity", [f[0] for f in FACTORS])
def test_metric_units(quantity):
    assert u.to_display(1.0, quantity, "metric") == pytest.approx(METRIC.get(quantity, 1.0), rel=1e-12)
    assert u.to_display(0.0, quantity, "metric") == 0.0


@given(st.sampled_from(sorted(u.QUANTITIES)), st.sampled_from(u.SYSTEMS), st.floats(-1e6, 1e6))
def test_there_and_back(quantity, system, value):
    assert u.from_display(u.to_display(value, quantity, system), quantity, system) == pytest.approx(value, abs=1e-6)


def test_arrays():
    assert u.to_display(np.array([0.0, 100.0]), "temperature", "US").tolist() == [32.0, 212.0]
    assert u.from_display(np.array([32.0, 212.0]), "temperature", "US").tolist() == [0.0, 100.0]


def test_unknown_names():
    with pytest.raises(ValueError, match="quantity 'heat' is not known"):
        u.unit_of("heat", "US")
    with pytest.raises(ValueError, match="unit system 'us' is not known"):
        u.unit_of("length", "us")


def test_labels():
    assert u.unit_of("temperature", "metric").label == "°C" and u.unit_of("temperature", "US").label == "°F"
    assert u.unit_of("heat_flow", "US").label == "Btu/h" and u.unit_of("length", "metric").label == "m"
    for metric, us in u.QUANTITIES.values():
        assert (metric.label == us.label) == (metric.scale == us.scale and metric.offset == us.offset)


@pytest.mark.parametrize(
    "value, quantity, system, digits, text",
    [
        (-24.0, "temperature", "metric", None, "−24.0 °C"),
        (-24.0, "temperature", "US", None, "−11.2 °F"),
        (-0.01, "temperature", "metric", None, "0.0 °C"),
        (21.26, "temperature", "metric", 2, "21 °C"),
        (3120.0, "heat_flow", "metric", None, "3\u202f120 W"),
        (3124.0, "heat_flow", "metric", None, "3\u202f120 W"),
        (1234567.0, "heat_flow", "metric", None, "1\u202f230\u202f000 W"),
        (0.0, "heat_flow", "metric", None, "0 W"),
        (-0.5, "heat_flow", "metric", None, "−0.500 W"),
        (99.96, "heat_flow", "metric", None, "100 W"),
        (0.9996, "heat_flow", "metric", None, "1.00 W"),
        (0.012345, "heat_flow", "metric", 2, "0.012 W"),
        (0.55, "humidity", "metric", None, "55%"),
        (9.0, "count", "metric", None, "9.00"),
        (1.0, "air_change_rate", "metric", None, "1.00 per hour"),
        (0.208, "store_volume", "US", None, "54.9 gal"),
    ],
)
def test_written_out(value, quantity, system, digits, text):
    assert u.format_quantity(value, quantity, system, digits=digits) == text


@pytest.mark.parametrize(
    ("text", "label", "gap", "written"),
    [
        ("80", "%", "\u00a0", "80%"),
        ("30", "°", " ", "30°"),
        ("21", "°C", "\u00a0", "21\u00a0°C"),
        ("12", "kWh", " ", "12 kWh"),
        ("3", "", "\u00a0", "3"),
    ],
)
def test_number_and_label_are_joined_as_sentences_write_them(text, label, gap, written):
    assert u.with_label(text, label, gap) == written


@pytest.mark.parametrize("text", ["350" + "[" * 2000, "6 ft" + " " * 2000 + "x", "R-" + "9" * 300 + " " + "9" * 300])
def test_a_quantity_of_absurd_length_is_refused_in_a_sentence_one_can_read(text):
    with pytest.raises(ValueError, match=r"^pane must be a number with one of the units .*, but it is '") as refusal:
        u.parse_quantity(text, "r_value" if text[0] == "R" else "length", "pane")
    assert len(str(refusal.value)) < 200 and "\n" not in str(refusal.value)


def test_a_reading_is_refused_in_the_words_and_the_unit_of_the_reader():
    with pytest.raises(ValueError, match=r"^heat flow must be a finite number, but it is nan Btu/h$"):
        u.from_display(math.nan, "heat_flow", "US")
    with pytest.raises(ValueError, match=r"^room volume must be a number in m³, but it is the text 'large'$"):
        u.from_display("large", "room_volume", "metric")
    with pytest.raises(ValueError, match=r"^room volume must be a finite number, but it is inf$"):
        u.to_display(math.inf, "room_volume", "US")


def test_writing_refuses():
    with pytest.raises(ValueError, match="heat flow must be a finite number"):
        u.format_quantity(math.nan, "heat_flow", "metric")
    with pytest.raises(ValueError, match=r"heat flow must be a single number .* list of 2"):
        u.format_quantity([1.0, 2.0], "heat_flow", "metric")
    for bad in (0, 16):
        with pytest.raises(ValueError, match="digits must be between 1 and 15"):
            u.format_quantity(1.0, "heat_flow", "metric", digits=bad)


@pytest.mark.parametrize(
    "text, quantity, expected",
    [
        ("12 ft", "length", 3.6576),
        ("12ft", "length", 3.6576),
        ("  6' ", "length", 1.8288),
        ('2"', "length", 0.0508),
        ("3 in", "length", 0.0762),
        ("20 cm", "length", 0.2),
        ("5 mm", "length", 0.005),
        ("1.5", "length", 1.5),
        (1.5, "length", 1.5),
        ("10 sq ft", "area", 0.9290304),
        ("10 sqft", "area", 0.9290304),
        ("10 ft2", "area", 0.9290304),
        ("2 m²", "area", 2.0),
        ("2 m2", "area", 2.0),
        ("55 gal", "volume", 0.2081976),
        ("208 L", "volume", 0.208),
        ("208 l", "volume", 0.208),
        ("10 ft³", "volume", 0.2831685),
        ("1 m3", "volume", 1.0),
        ("1.2 kW", "heat_flow", 1200.0),
        ("1000 Btu/h", "heat_flow", 293.0711),
        ("R-19", "r_value", 3.346094),
        ("R19", "r_value", 3.346094),
        ("R 10", "r_value", 1.761102),
        ("19 R", "r_value", 3.346094),
        ("2 m²K/W", "r_value", 2.0),
        ("1 Btu/h·ft²·°F", "u_value", 5.678263),
        ("3.3 W/m²K", "u_value", 3.3),
        ("100 cfm", "air_flow", 0.04719474),
        ("360 m3/h", "air_flow", 0.1),
        ("50 L/s", "air_flow", 0.05),
        ("0.1", "air_flow", 0.1),
        (0.1, "air_flow", 0.1),
        ("0.1 m³/s", "air_flow", 0.1),
        ("10 mph", "speed", 4.4704),
        ("36 km/h", "speed", 10.0),
        ("50 lb", "mass", 22.67962),
        ("5 min", "time", 300.0),
        ("2 h", "time", 7200.0),
        ("1 in w.g.", "pressure", 249.0889),
        ("84 kPa", "pressure", 84000.0),
        ("−11.2 °F", "temperature", -24.0),
        ("50 F", "temperature", 10.0),
        ("-24 °C", "temperature", -24.0),
        ("-24", "temperature", -24.0),
        ("18 °F", "temperature_difference", 10.0),
        ("18 F", "temperature_difference", 10.0),
        ("10 K", "temperature_difference", 10.0),
        ("+3 m", "length", 3.0),
        ("1e-3 m", "length", 0.001),
        ("1E-3 m", "length", 0.001),
    ],
)
def test_what_a_grower_writes(outside, text, quantity, expected):
    got = u.parse_quantity(text, quantity)
    outside("units.parse_quantity", got, expected, source=NIST, rel=1e-6, abs=1e-12, why="seven digits")


@pytest.mark.parametrize(
    "text, quantity",
    [
        ("12 feet", "length"),
        ("twelve ft", "length"),
        ("", "length"),
        ("1,000 m", "length"),
        ("5' 6\"", "length"),
        ("3 m2", "length"),
        ("1 2 m", "length"),
        ("R-19", "u_value"),
        ("R-", "r_value"),
        ("--3 m", "length"),
        ("nan", "length"),
        ("inf m", "length"),
    ],
)
def test_what_cannot_be_read(text, quantity):
    with pytest.raises(ValueError, match=r"^bench must be a number with one of the units"):
        u.parse_quantity(text, quantity, "bench")


def test_reading_refusals():
    with pytest.raises(ValueError, match="quantity 'width' is not known"):
        u.parse_quantity("1 m", "width")
    with pytest.raises(ValueError, match="bench must be a number in m, but it is True"):
        u.parse_quantity(True, "length", "bench")
    with pytest.raises(ValueError, match="bench must be a finite number, but it is inf m"):
        u.parse_quantity("1e999 ft", "length", "bench")
    with pytest.raises(ValueError, match="finite"):
        u.parse_quantity("1e999 °F", "temperature")
    with pytest.raises(ValueError, match=r"^value must be .* units m, cm, mm, in"):
        u.parse_quantity("1 mile", "length")

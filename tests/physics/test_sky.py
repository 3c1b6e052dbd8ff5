"""Radiation and night sky: against textbooks, the published formulas and their limits."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from heatlib import sky

celsius = st.floats(-60, 90)
SIGMA = 5.670374419e-8


@pytest.mark.parametrize("temperature, expected", [(0.0, 273.15), (-40.0, 233.15), (0.01, 273.16), (-60.0, 213.15)])
def test_kelvin(outside, temperature, expected):
    got = sky.kelvin(temperature)
    outside("sky.kelvin", got, expected, source="SI2019 (273.15; triple point 273.16)", abs=1e-9, why="definition")


def test_kelvin_of_a_list_and_refusals():
    assert sky.kelvin([0.0, 10.0]).tolist() == [273.15, 283.15]
    for bad in (-60.1, 90.1, float("nan"), True, "5"):
        with pytest.raises(ValueError, match="temperature"):
            sky.kelvin(bad)


def test_radiation_coefficient_between_black_faces(outside):
    got = sky.radiation_coefficient(278 - 273.15, 295 - 273.15, 1.0)
    outside("sky.radiation_coefficient", got, 5.338, source="CENGEL example 3.7", rel=1e-3, why="four digits")


def test_radiation_coefficient_at_the_standards_temperatures(outside):
    t = np.array([-10.0, 0.0, 10.0, 20.0])
    outside(
        "sky.radiation_coefficient",
        sky.radiation_coefficient(t, t, 1.0),
        [4.1, 4.6, 5.1, 5.7],
        source="ISO6946 annex, table of black-body coefficients (memory)",
        abs=0.051,
        why="printed to one decimal",
    )


def test_radiation_of_a_hot_pipe(outside):
    # pipe of 70 mm, ε 0.8, at 200 °C in a room of 25 °C radiates E − αG = 2273 − 0.8·448 W/m²; here scaled into range:
    # the coefficient is symmetric in T⁴, so it is checked at 90 and 25 °C against the law itself
    expected = 0.8 * SIGMA * (363.15**4 - 298.15**4) / 65
    got = sky.radiation_coefficient(90.0, 25.0, 0.8)
    outside(
        "sky.radiation_coefficient", got, expected, source="INCROPERA equation 1.7 (closed form)", rel=1e-7, why="exact"
    )


def test_radiation_from_a_room_wall(outside):
    # a person of 1.5 m², ε 0.97, skin 33 °C in a room of 22 °C loses 99 W by radiation
    got = 1.5 * sky.radiation_coefficient(33.0, 22.0, 0.97) * 11
    outside("sky.radiation_coefficient", got, 99, source="OPENSTAX m42230 example (memory)", rel=0.01, why="two digits")


@given(celsius, celsius, st.floats(0, 1))
def test_radiation_coefficient_is_symmetric_and_proportional(t1, t2, emissivity):
    h = sky.radiation_coefficient(t1, t2, emissivity)
    assert h == pytest.approx(sky.radiation_coefficient(t2, t1, emissivity), rel=1e-12)
    assert h == pytest.approx(emissivity * sky.radiation_coefficient(t1, t2, 1.0), rel=1e-12, abs=1e-15)
    exact = emissivity * SIGMA * ((t1 + 273.15) ** 4 - (t2 + 273.15) ** 4)
    assert h * (t1 - t2) == pytest.approx(exact, rel=1e-6, abs=1e-7)


def test_radiation_coefficient_default_emissivity():
    assert sky.radiation_coefficient(0.0, 10.0) == pytest.approx(0.9 * sky.radiation_coefficient(0.0, 10.0, 1.0))


def test_radiation_coefficient_arrays_and_refusals():
    both = sky.radiation_coefficient([0.0, 20.0], 5.0, 0.5)
    assert both.tolist() == [sky.radiation_coefficient(0.0, 5.0, 0.5), sky.radiation_coefficient(20.0, 5.0, 0.5)]
    for bad in (-0.1, 1.1):
        with pytest.raises(ValueError, match="emissivity"):
            sky.radiation_coefficient(0.0, 5.0, bad)
    with pytest.raises(ValueError, match="t1 has"):
        sky.radiation_coefficient([1.0, 2.0], [1.0, 2.0, 3.0])


@pytest.mark.parametrize(
    "one, two, expected",
    # handbook table of effective emittances of air spaces: ordinary faces, foil, aluminium sheet, paint
    [(0.9, 0.9, 0.82), (0.05, 0.9, 0.05), (0.05, 0.05, 0.03), (0.2, 0.9, 0.20), (0.12, 0.9, 0.12), (0.5, 0.9, 0.47)],
)
def test_pair_emissivity(outside, one, two, expected):
    outside(
        "sky.pair_emissivity",
        sky.pair_emissivity(one, two),
        expected,
        source="ASHRAE2013 table of effective emittances of air spaces (memory)",
        abs=0.0051,
        why="printed to two decimals",
    )


def test_pair_emissivity_limits_and_refusals():
    assert sky.pair_emissivity(1.0, 1.0) == 1.0
    assert sky.pair_emissivity(0.3, 0.7) == pytest.approx(sky.pair_emissivity(0.7, 0.3))
    assert sky.pair_emissivity([0.9, 1.0], 1.0) == pytest.approx([0.9, 1.0])
    for bad in ((0.0, 0.9), (0.9, 0.0), (1.01, 0.5)):
        with pytest.raises(ValueError, match="emissivity must be greater than 0"):
            sky.pair_emissivity(*bad)


@pytest.mark.parametrize(
    "dew, hour, expected",
    [
        (-5.0, 0.0, 0.6978),  # check value worked from the published coefficients
        (0.0, 6.0, 0.711),  # the two terms that are zero leave the constant
        (0.0, 0.0, 0.724),
        (0.0, 12.0, 0.698),
        (10.0, 18.0, 0.711 + 0.056 + 0.0073),
        (20.0, 6.0, 0.711 + 0.112 + 0.0292),
    ],
)
def test_sky_emissivity(outside, dew, hour, expected):
    outside(
        "sky.sky_emissivity_berdahl_martin",
        sky.sky_emissivity_berdahl_martin(dew, hour),
        expected,
        source="BERDAHL1984 (coefficients 0.711, 0.0056, 0.000073, 0.013)",
        abs=5e-5,
        why="four decimals",
    )


def test_sky_emissivity_does_not_turn_up_again_in_the_cold():
    cold = sky.sky_emissivity_berdahl_martin([-60.0, -50.0, -38.4, -30.0, -20.0], 6.0)
    assert cold[0] == cold[1] == pytest.approx(cold[2], abs=1e-4)
    assert cold[2] < cold[3] < cold[4]
    assert isinstance(sky.sky_emissivity_berdahl_martin(0.0), float)


def test_sky_emissivity_refusals():
    for bad in (-61.0, 41.0):
        with pytest.raises(ValueError, match="dew point"):
            sky.sky_emissivity_berdahl_martin(bad)
    for bad in (-0.1, 24.1):
        with pytest.raises(ValueError, match="hour"):
            sky.sky_emissivity_berdahl_martin(0.0, bad)


def test_sky_temperature_berdahl_martin(outside):
    got = sky.sky_temperature_berdahl_martin(0.0, -5.0, 0.0)
    outside(
        "sky.sky_temperature_berdahl_martin", got, -23.50, source="BERDAHL1984, worked", abs=0.05, why="four digits"
    )
    # by definition a black ceiling at this temperature sends what the sky sends
    air, dew, hour = 7.0, -3.0, 3.0
    sent = SIGMA * (sky.sky_temperature_berdahl_martin(air, dew, hour) + 273.15) ** 4
    law = (0.711 - 0.56 * 0.03 + 0.73 * 0.03**2 + 0.013 * np.cos(np.pi / 4)) * SIGMA * (air + 273.15) ** 4
    outside("sky.sky_temperature_berdahl_martin", sent, law, source="BERDAHL1984 (closed form)", rel=1e-9, why="exact")


def test_sky_is_colder_than_the_air_by_what_is_measured(outside):
    # ASHRAE's chapter on radiant cooling and Berdahl's maps: clear dry winter nights 20 to 28 K below the air
    below = -10.0 - sky.sky_temperature_berdahl_martin(-10.0, -15.0)
    outside("sky.sky_temperature_berdahl_martin", below, 24, source="BERDAHL1984 (memory)", abs=4, why="a band")


def test_sky_temperature_arrays_and_refusals():
    both = sky.sky_temperature_berdahl_martin([0.0, 10.0], -5.0)
    assert both.tolist() == pytest.approx([sky.sky_temperature_berdahl_martin(t, -5.0) for t in (0.0, 10.0)])
    assert sky.sky_temperature_berdahl_martin(5.0, 5.0) < 5.0
    with pytest.raises(ValueError, match="dew point must not be above the air temperature"):
        sky.sky_temperature_berdahl_martin(5.0, 5.1)
    with pytest.raises(ValueError, match="air temperature must be between -60 and 60"):
        sky.sky_temperature_berdahl_martin(61.0, 5.0)
    with pytest.raises(ValueError, match="dew point must be between"):
        sky.sky_temperature_berdahl_martin(50.0, 41.0)


@pytest.mark.parametrize("air, expected", [(0.0, -23.95), (20.0, 3.91)])
def test_sky_temperature_swinbank(outside, air, expected):
    got = sky.sky_temperature_swinbank(air)
    outside("sky.sky_temperature_swinbank", got, expected, source="SWINBANK1963, worked", abs=0.01, why="two decimals")


def test_swinbank_scaling_and_refusals():
    # doubling the kelvin multiplies by 2^1.5; within the range 1.5 times 213.15 K is still allowed
    low, high = (sky.sky_temperature_swinbank(t - 273.15) + 273.15 for t in (213.15, 1.49 * 213.15))
    assert high / low == pytest.approx(1.49**1.5)
    assert sky.sky_temperature_swinbank(45.0) < 45.0
    with pytest.raises(ValueError, match="air temperature must be between -60 and 45 °C"):
        sky.sky_temperature_swinbank(45.1)


def test_the_two_skies_agree_within_what_humidity_does(outside):
    # Swinbank's data had ordinary humidity: dew points a few kelvin below the air
    outside(
        "sky.sky_temperature_berdahl_martin",
        sky.sky_temperature_berdahl_martin(10.0, 5.0, 6.0),
        sky.sky_temperature_swinbank(10.0),
        source="SWINBANK1963 against BERDAHL1984",
        abs=4,
        why="two independent fits; the literature quotes some 3 to 4 K between them",
    )


@given(st.floats(-60, 60), st.floats(0, 40), st.floats(0, 1))
def test_cloudy_sky_lies_between(air, colder, cover):
    clear = max(air - colder, -60.0)
    got = sky.cloudy_sky_temperature(air, clear, cover)
    assert clear - 1e-9 <= got <= air + 1e-9
    assert sky.cloudy_sky_temperature(air, clear, 0.0) == pytest.approx(clear, abs=1e-9)
    assert sky.cloudy_sky_temperature(air, clear, 1.0) == pytest.approx(air, abs=1e-9)


def test_cloudy_sky_mixes_radiation(outside):
    # half of a black ceiling of 0 °C and half of one of −30 °C send 255.7 W/m² together
    got = SIGMA * (sky.cloudy_sky_temperature(0.0, -30.0, 0.5) + 273.15) ** 4
    sent = 0.5 * SIGMA * (273.15**4 + 243.15**4)
    outside("sky.cloudy_sky_temperature", got, sent, source="Stefan–Boltzmann (closed form)", rel=1e-9, why="exact")
    quarter = SIGMA * (sky.cloudy_sky_temperature(0.0, -30.0, 0.25) + 273.15) ** 4
    law = SIGMA * (0.25 * 273.15**4 + 0.75 * 243.15**4)
    outside("sky.cloudy_sky_temperature", quarter, law, source="Stefan–Boltzmann (closed form)", rel=1e-9, why="exact")
    with pytest.raises(ValueError, match="cloud cover must be between 0 and 1"):
        sky.cloudy_sky_temperature(0.0, -20.0, 1.1)


@pytest.mark.parametrize(
    "tilt, expected", [(0.0, 1.0), (60.0, 0.75), (90.0, 0.5), (120.0, 0.25), (180.0, 0.0), (30.0, 0.9330127)]
)
def test_sky_view(outside, tilt, expected):
    source = "DUFFIEBECKMAN, view of the sky (1 + cos β)/2 (memory)"
    outside("sky.sky_view", sky.sky_view(tilt), expected, source=source, abs=1e-7, why="closed form")


def test_sky_view_refusals():
    for bad in (-1.0, 181.0):
        with pytest.raises(ValueError, match="tilt must be between 0 and 180 °"):
            sky.sky_view(bad)
    assert isinstance(sky.sky_view(40.0), float)


def test_sky_loss_of_a_house_roof(outside):
    # the book's black-and-white roof: 275 m², ε 0.9, roof at 30 °C, surroundings at 15 °C
    got = 275 * sky.sky_loss(30.0, 15.0, 15.0, 0.0, 0.9)
    outside("sky.sky_loss", got, 21.7e3, source="OPENSTAX m42230 exercise on a roof", rel=5e-3, why="three digits")


def test_sky_loss_of_a_plate_under_the_sun(outside):
    # surface at 320 K, sky at 260 K, sun 400·cos 20° + 300 W/m²: gains 306 W/m² at α = ε = 0.9, and 34 at 0.1
    sun = 400 * np.cos(np.radians(20)) + 300
    for share, net in ((0.9, 306), (0.1, 34)):
        lost = sky.sky_loss(320 - 273.15, 0.0, 260 - 273.15, 0.0, share)
        outside("sky.sky_loss", share * sun - lost, net, source="CENGEL example 12.5", abs=1, why="whole watts")


def test_sky_loss_splits_by_tilt():
    roof, wall, ceiling = (sky.sky_loss(5.0, 0.0, -20.0, tilt) for tilt in (0.0, 90.0, 180.0))
    assert wall == pytest.approx((roof + ceiling) / 2)
    assert ceiling == pytest.approx(0.9 * SIGMA * (278.15**4 - 273.15**4), rel=1e-6)
    assert roof == pytest.approx(0.9 * SIGMA * (278.15**4 - 253.15**4), rel=1e-6)
    assert sky.sky_loss(5.0, 0.0, -20.0) == roof
    assert sky.sky_loss(-10.0, 0.0, 0.0) < 0 < sky.sky_loss(10.0, 0.0, 0.0)
    assert sky.sky_loss([5.0, 5.0], 0.0, -20.0, [0.0, 90.0]).tolist() == [roof, wall]
    with pytest.raises(ValueError, match="tilt"):
        sky.sky_loss(5.0, 0.0, -20.0, 200.0)


def test_skies_are_colder_than_any_air():
    """Clear skies over air of −45 °C lie below −60 °C; they are answered for down to −120 °C by the same T⁴ law."""
    cold = sky.sky_temperature_berdahl_martin(-45.0, -48.0, 6.0)
    assert -90 < cold < -60
    expected = 0.9 * SIGMA * (233.15**4 - (cold + 273.15) ** 4)
    assert sky.sky_loss(-40.0, -45.0, cold) == pytest.approx(expected, rel=1e-9)
    assert sky.cloudy_sky_temperature(-45.0, cold, 0.0) == pytest.approx(cold)
    assert sky.sky_loss(-40.0, -45.0, -120.0) == pytest.approx(0.9 * SIGMA * (233.15**4 - 153.15**4), rel=1e-9)
    for call in (lambda t: sky.sky_loss(0.0, 0.0, t), lambda t: sky.cloudy_sky_temperature(0.0, t, 0.5)):
        for bad in (-120.1, 90.1):
            with pytest.raises(ValueError, match="sky temperature must be between -120 and 90 °C"):
                call(bad)
    with pytest.raises(ValueError, match="temperature must be between -60 and 90"):
        sky.sky_loss(-61.0, 0.0, -20.0)


def test_a_night_without_an_hour_is_midnight():
    assert sky.sky_emissivity_berdahl_martin(5.0) == sky.sky_emissivity_berdahl_martin(5.0, 0.0)
    assert sky.sky_temperature_berdahl_martin(9.0, 5.0) == sky.sky_temperature_berdahl_martin(9.0, 5.0, 0.0)
    # the air of a fog may be saturated to the last digit
    assert sky.sky_temperature_berdahl_martin(5.0, 5.0 + 5e-7) < 5.0

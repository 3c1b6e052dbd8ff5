"""Sun, panes, horizon and tree against worked examples and handbook tables, all of them recalled from memory."""

import math

import numpy as np
import pytest

from heatlib import shade, sun
from heatlib import transmission as tr

BTU = 3.15459
"""One Btu an hour and square foot [W/m²]."""
HOUR = 1e6 / 3600
"""One megajoule in an hour [W]."""
# the sun of the 21st at 40° N: hours before noon, altitude, azimuth from south, beam in Btu/h·ft²
ASHRAE_SUN = {
    "2023-01-21": ([4, 3, 2, 1, 0], [8.1, 16.8, 23.8, 28.4, 30.0], [55.3, 44.0, 30.9, 16.0, 0.0],
                   [142, 239, 274, 289, 294]),
    "2023-12-21": ([4, 3, 2, 1, 0], [5.5, 14.0, 20.7, 25.0, 26.6], [53.0, 41.9, 29.4, 15.2, 0.0],
                   [89, 217, 261, 280, 285]),
    "2023-06-21": ([6, 5, 4, 3, 2, 1, 0], [14.8, 26.0, 37.4, 48.8, 59.8, 69.2, 73.5],
                   [108.4, 99.7, 90.7, 80.2, 65.8, 41.9, 0.0], [155, 216, 246, 263, 272, 277, 279]),
}  # fmt: skip
ASHRAE = "ASHRAE Handbook of Fundamentals (1985), solar position and irradiation, 40° N (from memory)"


def at_solar_time(latitude, declination, hours):
    """Place the sun some hours after its noon, as the textbooks do: no refraction, declination given."""
    lat, dec, turn = (math.radians(x) for x in (latitude, declination, 15 * hours))
    height = math.asin(math.sin(lat) * math.sin(dec) + math.cos(lat) * math.cos(dec) * math.cos(turn))
    west = math.atan2(math.sin(turn), math.cos(turn) * math.sin(lat) - math.tan(dec) * math.cos(lat))
    return sun.SunPosition(90 - math.degrees(height), 180 + math.degrees(west))


def before_noon(date, latitude, hours):
    """Return the sun of heatlib so many hours before it stands highest, at longitude 0."""
    times = sun.day_times(np.datetime64(date), 10.0)
    whole = sun.sun_position(times, latitude, 0.0, 0.0)
    chosen = np.argmin(whole.zenith) - 360 * np.asarray(hours)
    return times[chosen], sun.SunPosition(whole.zenith[chosen], whole.azimuth[chosen])


def daily(watts):
    return float(np.sum(watts[1:] + watts[:-1]) / 2 / 6)


@pytest.mark.parametrize("date", ASHRAE_SUN)
def test_sun_of_the_handbook(outside, date):
    hours, altitude, azimuth, beam = ASHRAE_SUN[date]
    times, place = before_noon(date, 40.0, hours)
    outside("sun.sun_position", place.elevation, altitude, source=ASHRAE, abs=0.25,
            why="declination of one year in four, and 0.15° of refraction near the horizon")  # fmt: skip
    outside(
        "sun.sun_position",
        place.azimuth,
        180 - np.array(azimuth),
        source=ASHRAE,
        abs=0.2,
        why="one decimal, 10 s steps",
    )
    # its clear sky is one of a mean US day: turbidity 2.5 in winter and 3.5 in summer, chosen here, one number a day
    haze = 3.5 if date == "2023-06-21" else 2.5
    sky = sun.clear_sky(place, haze, 0.0, sun.extraterrestrial(times))
    high = np.array(altitude) > 13.9
    outside("sun.clear_sky", sky.beam_normal[high], np.array(beam)[high] * BTU, source=ASHRAE, rel=0.065,
            why="another model of the air: 4 %, at 15° of height 6 %")  # fmt: skip


@pytest.mark.parametrize(
    ("date", "haze", "normal", "level"),
    [("2023-01-21", 2.5, 2182, 948), ("2023-12-21", 2.5, 1978, 782), ("2023-06-21", 3.5, 3180, 2648)],
)
def test_days_of_the_handbook(outside, date, haze, normal, level):
    _, _, sky = sun.clear_day(np.datetime64(date), 40.0, 0.0, 0.0, haze)
    got = [daily(sky.beam_normal), daily(sky.global_horizontal)]
    outside("sun.clear_day", got, np.array([normal, level]) * BTU, source=ASHRAE, rel=0.03, why="another model")


def test_sun_by_another_reckoning(outside):
    # pvlib's short ephemeris shares nothing with the algorithm that heatlib calls
    import pandas
    from pvlib.solarposition import ephemeris

    times = np.datetime64("2023-01-01T00:17") + np.arange(0, 365 * 24, 13).astype("timedelta64[h]")
    told = ephemeris(pandas.DatetimeIndex(times).tz_localize("Etc/GMT+6"), 46.5, -90.0, temperature=12.0)
    up = told["apparent_elevation"].to_numpy() > 1
    got = sun.sun_position(times[up], 46.5, -90.0, -6.0)
    outside("sun.sun_position", got.elevation, told["apparent_elevation"].to_numpy()[up], abs=0.05,
            source="pvlib's ephemeris", why="short series, another law of refraction")  # fmt: skip
    outside("sun.sun_position", got.azimuth, told["azimuth"].to_numpy()[up], source="pvlib's ephemeris", abs=0.05,
            why="short series")  # fmt: skip


@pytest.mark.parametrize(
    ("date", "latitude", "hours"),
    [("2023-12-21", 45.0, 8.77), ("2023-06-21", 45.0, 15.62), ("2023-12-21", 60.0, 5.87), ("2023-06-21", 60.0, 18.88)],
)
def test_length_of_the_day(outside, date, latitude, hours):
    # from the first to the last of the sun's upper edge, 0.267° above its middle
    times = sun.day_times(np.datetime64(date), 60.0)
    up = sun.sun_position(times, latitude, 0.0, 0.0).elevation > -0.267
    outside("sun.sun_position", up.sum() / 60, hours, source="almanac, length of the day (from memory)", abs=0.05,
            why="minutes; refraction at the horizon varies")  # fmt: skip


@pytest.mark.parametrize(
    ("date", "latitude", "megajoules", "rel"),
    [
        ("2023-09-03", -20.0, 32.2, 0.013),
        ("2023-04-15", 13.73, 38.06, 0.005),
        ("2023-07-06", 50.80, 41.09, 0.005),
    ],
)
def test_sun_outside_the_air_in_the_irrigation_paper(outside, date, latitude, megajoules, rel):
    times = sun.day_times(np.datetime64(date))
    height = np.cos(np.radians(sun.sun_position(times, latitude, 0.0, 0.0).zenith))
    got = daily(np.maximum(height, 0) * sun.extraterrestrial(times)) * 3.6e-3
    outside("sun.extraterrestrial", got, megajoules, source="FAO56 examples 8, 17 and 18 (from memory)", rel=rel,
            why="its short series misses the declination by up to 1° in autumn")  # fmt: skip


def test_hour_outside_the_air(outside):
    minutes = [at_solar_time(43.0, 9.4, -2 + (minute + 0.5) / 60).zenith for minute in range(60)]
    got = np.mean(np.cos(np.radians(minutes))) * sun.extraterrestrial(np.datetime64("2023-04-15")) / HOUR
    outside("sun.extraterrestrial", got, 3.79, source="Duffie and Beckman example 1.10.2 (from memory)", rel=0.003,
            why="three digits")  # fmt: skip


def test_incidence_of_the_textbook(outside):
    # 43° N, 13 February, half past ten, tilted 45° and 15° to the west of south
    got = sun.incidence_angle(at_solar_time(43.0, -14.0, -1.5), 195.0, 45.0)
    outside("sun.incidence_angle", got, 35.0, source="Duffie and Beckman example 1.6.1 (from memory)", abs=0.25,
            why="cosine rounded to three digits there")  # fmt: skip
    # 40° N, 16 February, nine to ten: pane of 30° to the south against the level
    place = at_solar_time(40.0, -13.0, -2.5)
    ratio = math.cos(math.radians(sun.incidence_angle(place, 180.0, 30.0))) / math.cos(math.radians(place.zenith))
    outside("sun.incidence_angle", ratio, 1.61, source="Duffie and Beckman example 1.8.1, R_b (from memory)", rel=0.005,
            why="three digits")  # fmt: skip


def test_tilted_hour_of_the_textbook(outside):
    # 40° N, 20 February, nine to ten: 60° to the south, snow of 0.6; level 1.04 MJ/m², 0.80 of it from the sky
    place = at_solar_time(40.0, -11.6, -2.5)
    upright = math.cos(math.radians(place.zenith))
    sky = sun.Sky(0.24 * HOUR / upright, 0.80 * HOUR, 1.04 * HOUR, 2.34 * HOUR / upright)
    got = sun.pane_irradiance(place, sky, 180.0, 60.0, 0.6, "isotropic")
    parts = np.array([got.beam, got.sky, got.ground, got.total]) / HOUR
    outside("sun.pane_irradiance", parts, [0.41, 0.60, 0.16, 1.17], source="Duffie and Beckman example 2.15.1 (memory)",
            abs=0.006, why="two decimals")  # fmt: skip
    brighter = sun.pane_irradiance(place, sky, 180.0, 60.0, 0.6)
    assert brighter.circumsolar > 0 and brighter.total > got.total


def test_wall_ten_metres_away(outside):
    # a long wall 2.5 m above and 10 m to the south of the panes, seen straight, at 45° and at 60° to the side
    source, tops = "Duffie and Beckman example 1.9.1 (from memory)", [14.0, 10.0, 7.1]
    tree = shade.Tree(180.0, 10.0, 2.5, 0.0, 20.0)
    below, above = (shade.tree_light(sun.SunPosition(90 - at, 180.0), tree, 0.0) for at in (13.9, 14.1))
    outside("shade.tree_light", [below, above], [0.0, 1.0], source=source, abs=1e-12, why="hidden or not")
    directions = [180.0 + x for x in (-60, -45, 0, 45, 60)]
    wall = directions, [7.1, 10.0, 14.0, 10.0, 7.1]
    for aside, top in zip((0.0, 45.0, 60.0), tops, strict=True):
        sight = math.degrees(math.atan(2.5 / (10 / math.cos(math.radians(aside)))))
        assert abs(sight - top) < 0.1
        got = shade.horizon_height(180.0 + aside, *wall)
        outside("shade.horizon_height", got, sight, source=source, abs=0.1, why="one decimal in the example")
        hidden = [shade.shaded(sun.SunPosition(90 - sight + d, 180.0 + aside), *wall) for d in (0.15, -0.15)]
        outside("shade.shaded", hidden, [1, 0], source=source, abs=1e-12, why="hidden or not")


@pytest.mark.parametrize(("height", "base", "hours"), [(10.0, 0.0, 3.0), (17.3205, 10.0, 1.0)])
def test_tree_in_the_path_of_an_even_sun(outside, height, base, hours):
    # at the equator and the equinox the sun climbs 15° an hour straight up from the east
    clock = (np.arange(4320) + 0.5) / 360
    climbing = sun.SunPosition(90 - 15 * np.minimum(clock, 12 - clock), np.where(clock < 6, 90.0, 270.0))
    light = shade.tree_light(climbing, shade.Tree(90.0, 10.0, height, base, 6.0), 0.25)
    outside("shade.tree_light", np.sum(1 - light) / 360 / 0.75, hours, abs=0.006,
            source="closed form: arctangent over 15° an hour", why="steps of ten seconds")  # fmt: skip


def test_breadth_of_a_tree_in_hours(outside):
    # a level sun that goes round: 8 m wide and 15 m away covers 2·atan(4/15) = 29.86°
    around = np.arange(0.05, 360, 0.1)
    light = shade.tree_light(sun.SunPosition(80.0, around), shade.Tree(350.0, 15.0, 10.0, 0.0, 8.0), 0.0)
    outside("shade.tree_light", np.sum(1 - light) / 10, 29.863, source="closed form: two arctangents", abs=0.11,
            why="steps of 0.1°")  # fmt: skip


@pytest.mark.parametrize(
    ("month", "air", "altitude", "aside", "gain"),
    [
        # the air of its clear day: A [Btu/h·ft²], B and C; then the sun, and the gain through a sheet of 3 mm
        ("January south noon", (390, 0.142, 0.058), 30.0, 0.0, 254),
        ("January south nine", (390, 0.142, 0.058), 16.8, 44.0, 158),
        ("April south noon", (360, 0.180, 0.097), 61.6, 0.0, 154),
        ("June south noon", (345, 0.205, 0.134), 73.5, 0.0, 95),
        ("June east eight", (345, 0.205, 0.134), 37.4, 0.7, 216),
        ("December south noon", (391, 0.142, 0.057), 26.6, 0.0, 253),
    ],
)
def test_solar_heat_gain_factors(outside, month, air, altitude, aside, gain):
    up, strength = math.sin(math.radians(altitude)), air[0] * math.exp(-air[1] / math.sin(math.radians(altitude)))
    shine = math.cos(math.radians(altitude)) * math.cos(math.radians(aside))
    sky = air[2] * strength * max(0.45, 0.55 + 0.437 * shine + 0.313 * shine**2)
    ground = 0.2 * strength * (up + air[2]) / 2
    pane = sun.PaneSun(strength * shine, 0.0, sky, ground, math.degrees(math.acos(shine)))
    outside("transmission.sun_through", tr.sun_through(pane, "glass", 0.87, 90.0), gain,
            source=f"ASHRAE Handbook of Fundamentals (1985), solar heat gain factors, 40° N, {month} (from memory)",
            rel=0.03, why="whole numbers; its factors count the heat that warmed glass hands on")  # fmt: skip


def test_fall_with_angle_of_a_handbook_pane(outside):
    got = tr.angle_modifier([40.0, 50.0, 60.0, 70.0, 80.0], "glass")
    outside("transmission.angle_modifier", got, np.array([0.82, 0.80, 0.75, 0.64, 0.39]) / 0.83, rel=0.05,
            source="ASHRAE Handbook of Fundamentals (2013), transmittance of 3 mm clear glass (from memory)",
            why="two digits; its glass has more iron than the 4/m taken here")  # fmt: skip


def test_handbook_panes_from_their_glass(outside):
    # clear float glass of 3 mm takes up some 9 % straight on: extinction 30 for each metre
    angles, told = [0.0, 40.0, 50.0, 60.0, 70.0, 80.0], "ASHRAE Handbook of Fundamentals (2013), 3 mm clear"
    one = tr.incidence_transmittance(angles, 1.526, 30.0, 0.003)
    outside("transmission.incidence_transmittance", one, [0.83, 0.82, 0.80, 0.75, 0.64, 0.39], rel=0.015,
            source=f"{told}, one pane (from memory)", why="two digits")  # fmt: skip
    two = tr.incidence_transmittance(angles, 1.526, 30.0, 0.003, 2)
    outside("transmission.incidence_transmittance", two, [0.70, 0.68, 0.65, 0.58, 0.44, 0.21], rel=0.07,
            source=f"{told}, two panes (from memory)",
            why="it forgets between the panes that the first one polarised the light: 3 to 6 % low aslant")  # fmt: skip


def test_angle_of_even_light_on_a_slope(outside):
    outside("transmission.diffuse_angle", tr.diffuse_angle(45.0), 57.0, abs=1.0,
            source="Duffie and Beckman example 5.6.1 (from memory)", why="read off a curve there")  # fmt: skip


@pytest.mark.parametrize(("reflectance", "ports", "multiplier"), [(0.98, 0.05, 14.2), (0.95, 0.05, 9.74)])
def test_room_as_an_integrating_sphere(outside, reflectance, ports, multiplier):
    # light that goes out = share that was thrown back at first, each bounce offering the ports once more
    kept, gone = tr.absorbed_shares([1.0], [1 - reflectance], [1 - ports], ports, 1.0)
    outside("transmission.absorbed_shares", gone / ports, multiplier, rel=0.005, why="three digits",
            source="multiplier of integrating spheres, ρ/(1 − ρ(1 − f)) (from memory)")  # fmt: skip
    outside("transmission.absorbed_shares", kept[0], 1 - gone, source="what is not out is kept", abs=1e-12, why="exact")

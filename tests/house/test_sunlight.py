"""Sun that gets in: past hills, trees, snow and cloth; and kept results that are the same to the last bit."""

import warnings
from dataclasses import replace

import numpy as np
import pytest

from heatlib.house import sunlight, vapour
from heatlib.house.balance import run
from heatlib.house.demo import demo_house
from heatlib.house.fabric import gains, pieces, skin, snowed
from heatlib.house.greenhouse import Shade, Sighting, SnowCover, Tree, through_pipes
from heatlib.house.sampler import Sampler
from heatlib.house.weather import design_day, design_night
from heatlib.sun import incidence_angle, sun_position

KEPT = (sunlight._sun, sunlight._past, sunlight._pane, sunlight._inside, vapour._saturation, vapour._evaporation,
        vapour._settling, through_pipes)  # fmt: skip
PLACE = {"longitude": -90.0, "utc_offset": -6.0, "elevation": 350.0}
pytestmark = pytest.mark.filterwarnings("ignore:.*dayofyear.*")


def night(**more):
    return design_night(46.5, "2025-01-15", minimum=-24.0, maximum=-12.0, **(PLACE | more))


def forget():
    for kept in KEPT:
        kept.cache_clear()


def test_kept_results_are_the_same_to_the_last_bit():
    house, wx = demo_house(10), night()
    others = [house.changed("stores.drums.count", 20), house.changed("air.air_change_rate", 0.8),
              house.changed("stores.drums.surface", 1.2), house.changed("place.ground", "grass"),
              house.changed("surfaces.sashes.tilt", 60.0), house.changed("plants.resistance_day", 200.0)]  # fmt: skip
    warm = [run(one, wx) for one in (house, *others, house)]
    for course in warm:
        forget()
        cold = run(course.house, wx)
        assert np.array_equal(cold.air, course.air) and cold.energy == course.energy
        assert all(np.array_equal(cold.flows[path], course.flows[path]) for path in cold.flows)


def test_equal_weather_is_found_again_and_other_weather_is_not():
    house = demo_house(10)
    forget()
    run(house, night())
    before = sunlight._pane.cache_info()
    run(house.changed("stores.drums.count", 3), night())
    assert sunlight._pane.cache_info().misses == before.misses
    for other in (night(cloud=0.4), night(snow=True), night(longitude=-85.0)):
        seen = sunlight._pane.cache_info().misses
        run(house, other)
        assert sunlight._pane.cache_info().misses > seen


def test_a_weather_written_over_in_place_is_no_longer_the_old_one():
    house, wx = demo_house(1), night()
    first = gains(house, wx).through["south wall"].sum()
    wx.beam_normal[:] *= 0.5
    assert gains(house, wx).through["south wall"].sum() < first


def test_what_is_kept_can_not_be_spoiled():
    house, wx = demo_house(1), night()
    got = gains(house, wx).through["south wall"]
    value = got.copy()
    got[:] = 0.0
    assert np.array_equal(gains(house, wx).through["south wall"], value)


def position(wx):
    return sun_position(wx.clock, wx.latitude, wx.longitude, wx.utc_offset, wx.elevation)


def test_a_horizon_above_the_sun_leaves_only_its_part_of_the_sky(outside):
    """At 46.5° N in mid-January the sun stays below 23.5°: hills of 40° all round hide it the whole day."""
    wx = night()
    assert position(wx).elevation.max() < 25
    ring = tuple(Sighting(float(a), 40.0) for a in range(0, 360, 30))
    house = demo_house(1).changed("horizon", ring)
    hidden = gains(house, wx).on_walls["north wall"]
    open_ = gains(demo_house(1), wx).on_walls["north wall"]
    assert (hidden <= open_ + 1e-9).all()
    shone = sunlight._Shone(wx)
    open_south, behind_hills = (sunlight._pane(shone, house.place, h, (), 180.0, 90.0).beam for h in ((), ring))
    assert open_south.max() > 300 and not behind_hills.any()
    # the north wall sees no beam: what is left is ground, and the sky's even light times cos² of 40° all round
    pane = sunlight._pane(shone, demo_house(1).place, (), (), 0.0, 90.0)
    expected = pane.ground + pane.sky * np.cos(np.radians(40.0)) ** 2
    outside("house.gains horizon", hidden, expected, source="DUFFIEBECKMAN 2.15 (isotropic sky), cos² of the horizon",
            rel=1e-9, abs=1e-9, why="closed form")  # fmt: skip


def test_a_horizon_behind_the_house_takes_no_beam():
    wx = night()
    house = demo_house(1).changed("horizon", (Sighting(0.0, 30.0), Sighting(90.0, 0.0), Sighting(270.0, 0.0)))
    shone = sunlight._Shone(wx)
    beam = [sunlight._pane(shone, h.place, h.horizon, (), 180.0, 90.0).beam for h in (house, demo_house(1))]
    assert np.array_equal(*beam)


def test_a_wide_tree_to_the_south_takes_what_its_bare_crown_takes(outside):
    """A wall of trees, bare in January: 0.65 of the beam passes (the table's bare crown), the sky's light stays."""
    wx = night()
    # 100 m wide at 2 m: ±87.7°; 30 m high: up to 86°; so every ray onto the south wall goes through it
    tree = Tree("maples", facing=180.0, distance=2.0, height=30.0, crown_width=100.0)
    shone, place = sunlight._Shone(wx), demo_house(1).place
    bare, shaded = (sunlight._pane(shone, place, (), trees, 180.0, 90.0) for trees in ((), (tree,)))
    near_south = np.abs(position(wx).azimuth - 180) < 87
    assert (bare.beam[near_south] > 100).any()
    outside("house.gains tree", shaded.beam[near_south], 0.65 * bare.beam[near_south], abs=1e-9,
            source="MEMORY: share that passes a bare crown", why="exact")  # fmt: skip
    assert np.array_equal(bare.sky, shaded.sky)
    green = sunlight._pane(shone, place, (), (replace(tree, evergreen=True),), 180.0, 90.0)
    assert np.allclose(green.beam[near_south], 0.2 * bare.beam[near_south])


def test_a_leafy_tree_shades_in_july_more_than_in_january():
    tree = Tree("maple", facing=180.0, distance=8.0, height=40.0, crown_width=60.0)
    house = demo_house(1)
    days = [design_day(46.5, date, minimum=5.0, maximum=20.0, **PLACE) for date in ("2025-01-15", "2025-07-15")]
    left = []
    for day in days:
        with_tree, without = (sum(g.sum() for g in gains(h, day).through.values())
                              for h in (house.changed("trees", (tree,)), house))  # fmt: skip
        left.append(with_tree / without)
    assert left[1] < left[0] < 1


def test_snow_keeps_heat_in_and_light_out(outside):
    """100 mm of fresh snow: 2 m²K/W (EN 12524: 0.05 W/m·K) in series with the pane, and a few per cent of the light."""
    cover = SnowCover(0.1, "snow_fresh", slides_from=45.0)
    bare, house = demo_house(1), demo_house(1).changed("snow_cover", cover)
    wx, clear = night(snow=True), night()
    roof = next(p for p in pieces(bare) if p.name == "south roof")
    film = 12.0
    expected = 1 / (1 / roof.u_value(film) + 0.1 / 0.05)
    outside("house.snowed", snowed(roof, cover).u_value(film), expected, source="EN12524, snow 0.05 W/m·K", rel=1e-12,
            why="resistances in series")  # fmt: skip
    with_snow, without = gains(house, wx).through, gains(bare, wx).through
    share = with_snow["south roof"].sum() / without["south roof"].sum()
    outside("house.gains snow", share, 0.06, source="common practice, no source", abs=0.04, why="a few per cent")
    assert np.array_equal(with_snow["south wall"], without["south wall"])  # it slides off a wall
    assert np.array_equal(gains(house, clear).through["south roof"], gains(bare, clear).through["south roof"])
    covered, open_ = run(house, wx, initial=5.0), run(bare, wx, initial=5.0)
    flow = [c.flows["glazing"] / (c.air - c.outside) for c in (covered, open_)]
    assert (flow[0] < flow[1]).all()
    assert np.array_equal(run(house, clear, initial=5.0).air, run(bare, clear, initial=5.0).air)
    assert covered.closure < 1e-9


def test_snow_on_boards_keeps_heat_in_too():
    house, wx = demo_house(1), night(snow=True)
    sample = Sampler(wx, np.arange(0.5, 24) * 3600)
    parts = [skin(h, sample, sunlight.Gains({}, {})).conductances["walls"]
             for h in (house, house.changed("snow_cover", SnowCover(0.2, slides_from=45.0)))]  # fmt: skip
    # only the north roof is flat enough: 25 mm of softwood under 4 m²K/W of snow
    roof = next(p for p in pieces(house) if p.name == "north roof")
    saved = roof.area * (roof.u_value(sample.film) - 1 / (1 / roof.u_value(sample.film) + 0.2 / 0.05))
    assert np.allclose(parts[0] - parts[1], saved, rtol=1e-9)


def test_cloth_for_the_afternoon_only():
    wx = design_day(46.5, "2025-07-15", minimum=10.0, maximum=25.0, **PLACE)
    house = demo_house(1)
    cloth = Shade(0.6, from_hour=12.0, to_hour=18.0)
    plain, shaded = run(house, wx, initial=15.0), run(house.changed("shade", cloth), wx, initial=15.0)
    hour = shaded.time / 3600 % 24
    afternoon = (hour >= 12) & (hour < 18)
    assert np.allclose(shaded.sun[afternoon], 0.4 * plain.sun[afternoon], rtol=1e-12)
    assert np.array_equal(shaded.sun[~afternoon], plain.sun[~afternoon])
    over_night = sunlight.sun_kept(Shade(1.0, from_hour=20.0, to_hour=6.0), np.full(4, 200.0),
                                   np.array([5.0, 6.0, 19.0, 20.0]))  # fmt: skip
    assert over_night.tolist() == [0.0, 1.0, 1.0, 0.0]


def test_the_sun_meets_the_wall_where_geometry_says(outside):
    """The south wall's beam is the weather's beam times the cosine of its angle (DUFFIEBECKMAN 1.6)."""
    wx = night()
    shone = sunlight._Shone(wx)
    pane = sunlight._pane(shone, demo_house(1).place, (), (), 180.0, 90.0)
    sun = position(wx)
    angle = np.radians(incidence_angle(sun, 180.0, 90.0))
    up = sun.zenith < 90
    outside("house.gains beam", pane.beam[up], (wx.beam_normal * np.clip(np.cos(angle), 0, None))[up], abs=1e-6,
            source="DUFFIEBECKMAN 1.6", why="round-off; the place's elevation only bends the light")  # fmt: skip


def test_no_warning_reaches_the_reader():
    with warnings.catch_warnings():
        warnings.simplefilter("error")
        design_day(46.5, "2025-07-15", minimum=10.0, maximum=25.0, cloud=0.31, **PLACE)

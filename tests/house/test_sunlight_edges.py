"""Sun through a pane at the edges: the days of a shade, the tilt at which snow slides, what makes suns equal."""

from dataclasses import replace

import numpy as np
import pytest

from heatlib import shade
from heatlib.house import sunlight
from heatlib.house.greenhouse import Floor, Greenhouse, Place, Shade, Sighting, SnowCover, Surface, Tree
from heatlib.house.weather import design_day
from heatlib.snow import snow_light
from heatlib.sun import Sky, extraterrestrial, pane_irradiance, sun_position
from heatlib.tables import entry
from heatlib.transmission import glazing_kind, solar_property, sun_through

pytestmark = pytest.mark.filterwarnings("ignore:.*dayofyear.*")
PANE = Surface("pane", 4.0, facing=150.0, tilt=60.0, glazing="glass_double", dirt=0.1, frame=0.2)
WALL = Surface("wall", 9.0, facing=200.0, r_value=2.0, absorptance=0.5)


def house(*surfaces, **more):
    place = Place(46.5, -90.0, 350.0, utc_offset=-6.0, ground="gravel_grey", snow="snow_dirty")
    parts = {"place": place, "floor": Floor(12.0, 14.0), "surfaces": surfaces or (PANE, WALL)} | more
    return Greenhouse(name="box", volume=30.0, **parts)


def day(date="2025-06-10", **more):
    return design_day(
        46.5, date, minimum=10.0, maximum=20.0, step=3600.0, **({"longitude": -90.0, "utc_offset": -6.0} | more)
    )


def struck(wx, surface, ground):
    """What strikes a surface, by the physics floor alone."""
    position = sun_position(wx.clock, wx.latitude, wx.longitude, wx.utc_offset, 350.0)
    sky = Sky(wx.beam_normal, wx.diffuse_horizontal, wx.global_horizontal, extraterrestrial(wx.clock))
    return position, pane_irradiance(
        position, sky, surface.facing, surface.tilt, solar_property(ground, "solar_reflectance")
    )


@pytest.mark.parametrize(("snow", "ground"), [(False, "gravel_grey"), (True, "snow_dirty")])
def test_sun_through_a_pane_and_on_a_wall_is_the_physics_floor_s(snow, ground):
    wx = day(snow=snow)
    got = sunlight.gains(house(), wx)
    straight_on = entry("glazings", "glass_double", "solar_transmittance").value
    _, on_pane = struck(wx, PANE, ground)
    expected = 4.0 * sun_through(on_pane, glazing_kind("glass_double"), straight_on, 60.0, 0.1, 0.2)
    assert got.through["pane"] == pytest.approx(expected, rel=1e-12) and expected.max() > 500
    assert got.on_walls["wall"] == pytest.approx(struck(wx, WALL, ground)[1].total, rel=1e-12)


def test_walls_that_take_nothing_up_and_nights_are_left_out():
    white = replace(WALL, absorptance=0.0)
    assert sunlight.gains(house(PANE, white), day()).on_walls == {}
    dark = replace(day(), global_horizontal=np.zeros(25))
    assert sunlight.gains(house(), dark) == sunlight.Gains({}, {})


def test_hills_and_trees_each_take_their_part():
    """An oak coming into leaf before a hill: the beam passes both; the sky loses what is hidden; the ground stays."""
    wx = day("2025-05-20")
    hill = (Sighting(90.0, 5.0), Sighting(180.0, 25.0), Sighting(270.0, 5.0))
    oak, fir = Tree("oak", 160.0, 6.0, 9.0, 8.0, 1.0), Tree("fir", 120.0, 10.0, 12.0, 6.0, evergreen=True)
    shone, place = sunlight._Shone(wx), house().place
    position, pane = struck(wx, PANE, "gravel_grey")
    got = sunlight._pane(shone, place, hill, (oak, fir), 150.0, 60.0)
    leafage = shade.leafage(np.where(np.arange(25) < 24, 140.0, 141.0))  # 20 May is the 140th day of the year
    assert leafage[0] < leafage[24]
    beam = np.where(shade.shaded(position, [90.0, 180.0, 270.0], [5.0, 25.0, 5.0]), 0.0, 1.0)
    for tree, leaves in ((oak, leafage), (fir, np.ones(25))):
        box = shade.Tree(tree.facing, tree.distance, tree.height, tree.crown_base, tree.crown_width)
        beam = beam * shade.tree_light(position, box, shade.tree_transmittance(leaves))
    up = wx.global_horizontal > 0
    assert len(set(np.round(beam[up], 6))) > 2
    assert got.beam == pytest.approx(pane.beam * beam, rel=1e-12)
    assert got.circumsolar == pytest.approx(pane.circumsolar * beam, rel=1e-12)
    open_sky = shade.horizon_light([90.0, 180.0, 270.0], [5.0, 25.0, 5.0])
    assert got.sky == pytest.approx(pane.sky * open_sky, rel=1e-12) and np.array_equal(got.ground, pane.ground)
    # either alone: hills of the hill's beam, trees of the trees'
    hidden = np.where(shade.shaded(position, [90.0, 180.0, 270.0], [5.0, 25.0, 5.0]), 0.0, 1.0)
    alone = sunlight._pane(shone, place, hill, (), 150.0, 60.0)
    assert alone.beam == pytest.approx(pane.beam * hidden, rel=1e-12) and (hidden[up] == 0).any()
    wood = sunlight._pane(shone, place, (), (oak, fir), 150.0, 60.0)
    assert (wood.beam * hidden) == pytest.approx(got.beam, rel=1e-12) and (wood.beam < pane.beam).any()
    # what is kept for the next to ask is held against being written over
    kept = sunlight._inside(shone, place, hill, (), 150.0, 60.0, "glass_double", 0.1, 0.2, None)
    with pytest.raises(ValueError, match="read-only"):
        kept[0] = 1.0
    straight_on = entry("glazings", "glass_double", "solar_transmittance").value
    through = 4.0 * sun_through(got, glazing_kind("glass_double"), straight_on, 60.0, 0.1, 0.2)
    behind = sunlight.gains(house(horizon=hill, trees=(oak, fir)), wx)
    assert behind.through["pane"] == pytest.approx(through, rel=1e-12)
    assert behind.on_walls["wall"].sum() < sunlight.gains(house(), wx).on_walls["wall"].sum()


def test_snow_on_a_pane_lets_its_share_of_light_through():
    wx = day(snow=True)
    cover = SnowCover(0.05, "snow_settled", slides_from=61.0)
    bare, snowed = (sunlight.gains(house(snow_cover=c), wx).through["pane"] for c in (None, cover))
    share = float(snow_light(0.05, "snow_settled"))
    assert snowed == pytest.approx(bare * share, rel=1e-12)
    morning = replace(wx, snow=np.arange(25) < 12)
    bare, snowed = (sunlight.gains(house(snow_cover=c), morning).through["pane"] for c in (None, cover))
    assert snowed == pytest.approx(np.where(morning.snow, bare * share, bare), rel=1e-12) and snowed.dtype == float
    bare = sunlight.gains(house(), wx).through["pane"]
    assert np.array_equal(sunlight.gains(house(snow_cover=replace(cover, slides_from=60.0)), wx).through["pane"], bare)


def test_snow_slides_from_its_tilt_on():
    cover = SnowCover(0.1, slides_from=60.0)
    steeper = replace(PANE, tilt=59.9)
    assert not sunlight.snow_lies_on(house(snow_cover=cover), PANE)
    assert sunlight.snow_lies_on(house(snow_cover=cover), steeper)
    assert not sunlight.snow_lies_on(house(snow_cover=replace(cover, depth=0.0)), steeper)
    assert not sunlight.snow_lies_on(house(), steeper)


def test_suns_are_equal_by_what_shines_alone():
    wx = day()
    shone = sunlight._Shone(wx)
    same = replace(
        wx, temperature=wx.temperature + 5.0, cloud=wx.cloud + 0.1, name="other", wind_speed=wx.wind_speed + 1
    )
    assert sunlight._Shone(same) == shone and hash(sunlight._Shone(same)) == hash(shone)
    for name in ("time", "beam_normal", "diffuse_horizontal", "global_horizontal"):
        assert sunlight._Shone(replace(wx, **{name: getattr(wx, name) + 1.0})) != shone
    others = {"snow": ~wx.snow, "latitude": 46.6, "longitude": -90.1, "utc_offset": -5.0,
              "start": wx.start + np.timedelta64(1, "D")}  # fmt: skip
    for name, value in others.items():
        assert sunlight._Shone(replace(wx, **{name: value})) != shone
    assert sunlight._Shone(replace(wx, time=np.array([0.0, 0.25]))).times.tolist() == [
        wx.start.astype("datetime64[ms]").item(), (wx.start.astype("datetime64[ms]") + np.timedelta64(250, "ms")).item()
    ]  # fmt: skip


def test_cloth_hangs_from_its_first_day_to_its_last():
    """Days count from 1 at midnight of 1 January; the last day is hung to its end. Over the new year too."""
    days = np.array([99.99, 100.0, 150.0, 200.99, 201.0])
    summer, winter = Shade(0.25, 100.0, 200.0), Shade(0.25, 201.0, 99.0)
    assert sunlight.sun_kept(summer, days).tolist() == [1.0, 0.75, 0.75, 0.75, 1.0]
    assert sunlight.sun_kept(winter, days).tolist() == [0.75, 1.0, 1.0, 1.0, 0.75]
    # from day 201 to day 200 is the whole year
    assert sunlight.sun_kept(Shade(0.25, 201.0, 200.0), days).tolist() == [0.75] * 5
    assert sunlight.sun_kept(None, days).tolist() == [1.0] * 5
    hours, noon = np.array([0.0, 11.99, 12.0, 17.99, 18.0]), np.full(5, 150.0)
    part = replace(summer, from_hour=12.0, to_hour=18.0)
    assert sunlight.sun_kept(part, noon, hours).tolist() == [1.0, 1.0, 0.75, 0.75, 1.0]
    assert sunlight.sun_kept(part, noon + 100, hours).tolist() == [1.0] * 5
    assert sunlight.sun_kept(replace(part, to_hour=12.0), noon, hours).tolist() == [0.75] * 5
    assert sunlight.sun_kept(part, noon).tolist() == [0.75] * 5

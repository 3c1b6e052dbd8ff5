"""Views of lesson 7: sums of the day against the house's own sun, the noon's height, and what the sentences claim."""

import re
from xml.etree import ElementTree

import numpy as np
import pytest

from heatlib.classroom.cutaway import Section
from heatlib.classroom.sunlit import sunlit_section
from heatlib.classroom.views import lesson_07 as views
from heatlib.house import fabric
from heatlib.house.demo import demo_house
from heatlib.house.weather import design_day

LABELS = {"head": "Let in", "rows": [("South roof", "1 kWh")], "sun": "noon sun", "ground": "grass"}


@pytest.mark.parametrize("month", [1, 4, 6, 10])
def test_the_house_gets_the_sun_that_its_balance_counts(month):
    """Without a tree the sums are those of the house's own gains; the haze is read a little differently: 3 %."""
    house = demo_house(after_lesson=views.HOUSE_BEFORE)
    place = house.place
    day = design_day(
        place.latitude, f"2025-{month:02d}-21", minimum=0.0, maximum=1.0, longitude=place.longitude,
        utc_offset=place.utc_offset, elevation=place.elevation,
    )  # fmt: skip
    counted = sum(float(watts[:-1].sum()) * 900.0 for watts in fabric.gains(house, day).through.values())
    shown = sum(float(by_month[month - 1]) for by_month in views.house_sun().values())
    assert shown == pytest.approx(counted, rel=0.03)


@pytest.mark.parametrize(("month", "degrees"), [(3, 43.5), (6, 66.94), (12, 20.06)])
def test_the_noon_sun_stands_as_high_as_the_almanac_says(month, degrees):
    """90 − 46.5 in March, 23.44 more in June and less in December; a day after the equinox it is 0.4 higher."""
    height, azimuths = views.noon(month)
    assert height == pytest.approx(degrees, abs=0.6)
    assert min(azimuths) + max(azimuths) == pytest.approx(360, abs=8)
    if month != 3:
        assert (min(azimuths) < 90) == (month == 6), "the summer sun rises in the north-east"


def test_the_south_pane_gets_more_than_twice_as_much_in_december_as_in_june():
    on, through = views.pane_sun("south")
    assert through[11] > 2 * through[5]
    # published for 45° N: a south wall on 21 December and 21 June with haze of 3, computed with pvlib: 4.084 and 3.222
    assert on[11] / 3.6e6 == pytest.approx(4.9, abs=1.0) and on[5] / 3.6e6 == pytest.approx(3.222, rel=0.1)


def test_east_and_west_get_the_same_and_a_covered_sky_knows_no_direction():
    east, west = (views.pane_sun(side)[0] for side in ("east", "west"))
    assert east == pytest.approx(west, rel=0.02)
    dull = [views.pane_sun(side, cloud=1.0)[0] for side in views.FACING]
    assert all(other == pytest.approx(dull[0], rel=1e-6) for other in dull)


def test_snow_gives_a_wall_half_of_what_it_throws_back():
    """Fresh snow less grass is 0.8 − 0.2 of the level sun, and an upright pane sees half the ground."""
    level = views.pane_sun("south", tilt=0.0)[0]
    gained = views.pane_sun("south", ground="snow_fresh")[0] - views.pane_sun("south", ground="grass")[0]
    assert gained == pytest.approx(0.6 * 0.5 * level, rel=1e-6)


def test_a_tree_takes_only_what_stands_behind_it():
    plain, south, west = (sum(views.house_sun(tree=tree).values()) for tree in ("none", "south", "west"))
    assert south[0] < plain[0] and south[5] == plain[5], "the tree to the south shades in winter only"
    assert west[0] == plain[0] and west[5] < plain[5], "the tree to the west shades in summer only"


def test_what_the_sentence_says_of_tree_and_ground():
    picture = views.sun_in_the_house(1, 0.0, "snow_fresh", "south", "metric")
    amounts = {name: float(words.split()[0]) for name, words in picture.numbers.items()}
    taken = 1 - amounts["let in"] / amounts["without a tree"]
    given = amounts["let in"] / amounts["with grass in front"] - 1
    found = [int(x) for x in re.findall(r"(\d+)%", picture.sentence)]
    assert found == [pytest.approx(100 * taken, abs=0.7), pytest.approx(100 * given, abs=0.7)]
    less = views.sun_in_the_house(1, 0.0, "soil_dark_wet", "none", "metric").sentence
    assert "less than grass" in less and "tree" not in less


def test_dark_drums_warm_the_night_more_than_the_day():
    """The surprise about paint: water takes up the heat, so noon stays cool and dawn mild."""
    black, white = (views.winter_night(colour, 0.45, "snow_old") for colour in ("drums_black", "drums_white"))
    night = float(black.air[-144:].min() - white.air[-144:].min())
    day = float(black.air.max() - white.air.max())
    assert night > day > 0


@pytest.mark.parametrize("catcher", views.CATCHERS)
def test_shares_in_the_bars_add_up_to_the_whole(catcher):
    picture = views.where_it_lands(catcher, 0.45, "snow_old", "US")
    shares = [int(x) for x in re.findall(r"(\d+)%", picture.description.split(".")[0])]
    assert sum(shares) == pytest.approx(100, abs=2)


def test_a_dark_wall_keeps_more_and_helps_the_night_more_than_a_white_one():
    """All else equal, paint of 0.95 against paint of 0.25; of 0.8 of the sun, black keeps 0.95 and more."""
    black, white = (views.winter_night(colour, 0.45, "snow_old") for colour in ("wall_black", "wall_white"))
    assert black.air[-144:].min() > white.air[-144:].min() + 1
    assert black.stores["wall"].max() > white.stores["wall"].max() + 10
    kept = int(re.search(r"wall keeps (\d+)%", views.where_it_lands("wall_black", 0.8, "grass", "metric").sentence)[1])
    assert 76 <= kept <= 84


def test_an_unknown_catcher_is_refused():
    with pytest.raises(ValueError, match="what the sun meets"):
        views.winter_night("a cat")


def test_the_summer_house_is_as_hot_as_the_trade_knows_it():
    """Common practice, no source: shut and unshaded 45 to 60 °C; vents and shade bring it near the 29 °C outside."""
    shut, shaded, vented, both = (views.summer_peak(vents, shade) for vents in (False, True) for shade in (0.0, 0.5))
    assert 45 < shut < 60 and both < 32.5
    assert both < vented < shaded < shut


def test_each_measure_of_the_demo_house_shows_in_the_night():
    assert views.coldest_after(7) > views.coldest_after(6)


@pytest.mark.parametrize("elevation", [0.0, 20.0, 67.0, 90.0])
def test_the_rays_have_the_slope_of_the_sun(elevation):
    svg = sunlit_section(Section(), elevation, (90.0, 180.0, 270.0), snow=True, glare=0.8, tree=None, labels=LABELS)
    disc = next(e for e in ElementTree.fromstring(svg).iter("{http://www.w3.org/2000/svg}circle") if e.get("r") == "17")
    # the third of the four rays ends half way up the south roof: 0.25 of the width from the wall, 0.55 m over the eaves
    x, y = 196 + 0.75 * 3.6 * 60, 312 - (1.8 + 0.55) * 60
    slope = np.degrees(np.arctan2(y - float(disc.get("cy")), float(disc.get("cx")) - x))
    assert slope == pytest.approx(elevation, abs=0.2)


def test_a_sun_below_the_ground_is_refused():
    with pytest.raises(ValueError, match="height of the sun at noon"):
        sunlit_section(Section(), -5.0, (), snow=False, glare=0.2, tree=None, labels=LABELS)

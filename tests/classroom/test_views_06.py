"""Views of lesson 6: dates, the floor as it is built, and what the sentences claim."""

import math
import re

import pytest

from heatlib.classroom.views import lesson_06 as views
from heatlib.house.balance import run
from heatlib.house.weather import design_night


@pytest.mark.parametrize(
    ("day", "words"), [(1, "1 January"), (31, "31 January"), (32, "1 February"), (60, "1 March"), (365, "31 December")]
)
def test_a_day_of_the_year_becomes_its_date(day, words):
    """Days of the calendar of an ordinary year."""
    assert views.date_words(day) == words


def test_each_floor_is_built_from_the_top_down():
    built = {floor: [layer.material for layer in views.floor_house(floor).floor.layers] for floor in views.FLOORS}
    assert built == {
        "soil": [], "gravel": ["gravel"], "gravel_foam": ["gravel", "eps"], "slab_foam": ["concrete", "eps"],
        "boards_foam": ["softwood", "eps"],
    }  # fmt: skip
    assert views.floor_house("gravel_foam", foam=0.1).floor.layers[1].thickness == 0.1


def test_an_unknown_floor_is_refused():
    with pytest.raises(ValueError, match="floor"):
        views.floor_house("carpet")


@pytest.mark.parametrize(("inside", "way"), [(0.0, "gives"), (18.0, "takes")])
def test_the_deep_ground_gives_to_a_cool_house_and_takes_from_a_warm_one(inside, way):
    """Heat runs from warm to cold: soil of 0 to 12 °C lies between the two."""
    picture = views.floor_and_edge(0.0, 1.4, "soil", inside, "metric")
    assert f"the deep ground {way}" in picture.sentence
    deep = picture.numbers["lost into the deep ground (− comes out of it)"]
    assert deep.startswith("−") == (way == "gives")


def test_no_foam_saves_nothing_and_more_foam_saves_more():
    saved = [
        float(views.floor_and_edge(d, 1.4, "soil", 2.0, "metric").numbers["saved by the foam down the edge"].split()[0])
        for d in (0.0, 0.3, 0.6, 1.2)
    ]
    assert saved[0] == 0 and saved == sorted(saved)
    assert saved[1] > saved[2] - saved[1] > 0


def test_the_lag_in_the_sentence_is_that_of_the_wave():
    """Carslaw and Jaeger: depth × √(year / 4πa), with the moist soil's conductivity, density and specific heat."""
    lag = 2.0 * math.sqrt(365.25 * 86400 / (4 * math.pi * 1.0 / (1750 * 1350))) / 86400
    found = re.search(r"(\d+) days after the surface", views.soil_year(2.0, 15, "soil_moist", "metric").sentence)
    assert int(found[1]) == round(lag)


def test_the_surface_is_coldest_on_its_own_day():
    picture = views.soil_year(0.0, 35, "soil_moist", "metric")
    assert "It is coldest about 4 February and" in picture.sentence
    assert "swings between −5" in picture.sentence and "19" in picture.sentence  # 7 − 12 and 7 + 12


def test_the_night_is_that_of_a_finer_run():
    """Steps of a minute instead of ten: what is shown with one decimal may differ by no more than 0.2 K."""
    weather = design_night(
        46.5, views.DATE, minimum=-24.0, maximum=-12.0, snow=True, longitude=-90.0, utc_offset=-6, elevation=350.0
    )
    fine = run(views.floor_house("gravel_foam", edge_depth=0.6), weather, 60.0)
    assert views.coldest_air("gravel_foam") == pytest.approx(float(fine.air[-1440:].min()), abs=0.2)


def test_the_floor_that_loses_least_has_the_coldest_night():
    """The surprise of the lesson, in both unit systems: light boards on foam hold nothing for the night."""
    coldest = {floor: views.coldest_air(floor) for floor in views.FLOORS}
    assert min(coldest, key=coldest.get) == "boards_foam" and max(coldest, key=coldest.get) == "slab_foam"
    for units, degree in (("metric", "°C"), ("US", "°F")):
        picture = views.night_on_the_floor("boards_foam", 0.05, 0.6, "clear", units)
        shown = [float(x.replace("−", "-")) for x in re.findall(rf"(−?\d+\.\d) {degree}", picture.sentence)]
        assert shown[1] - shown[0] == pytest.approx(shown[2], abs=0.051) and "colder" in picture.sentence


def test_bare_soil_is_not_compared_with_itself():
    assert "held against" in views.night_on_the_floor("soil", 0.05, 0.6, "clear", "metric").sentence

"""Lesson 10's own reckoning: the map against single runs, other heat against the balance, costs by hand."""

import numpy as np
import pytest

from heatlib.classroom.views import heat_besides, map_of_drums, nights
from heatlib.classroom.views import lesson_10 as views
from heatlib.house.balance import run
from heatlib.house.demo import demo_house
from heatlib.house.greenhouse import Heater
from heatlib.house.sizing import heater_needed
from heatlib.house.weather import design_night


@pytest.fixture(scope="module")
def design():
    return views.drum_map("design", 2.0)


def test_the_map_agrees_with_the_search_for_a_heater(design):
    """Two ways to the least heater: closing in on the map's column, and the library's own search."""
    night = views.the_weather("clear", -24.0)
    for column in (0, 1):
        drums = views.COLUMNS[column]
        found = heater_needed(views.house_with(drums), night, unit=map_of_drums.STEP)
        assert design.least[column] == found.answer


def test_each_cell_of_the_map_has_the_sign_of_a_run_of_its_own(design):
    for row, power in enumerate(map_of_drums.ROWS):
        for column in (0, 1, 2, 4):
            one = views.night_of(views.COLUMNS[column], power)
            assert (design.margins[row][column] >= 0) == (one.lowest >= 2.0), (power, views.COLUMNS[column])


def test_at_the_least_heater_the_limit_holds_and_one_step_less_fails(design):
    drums, power = views.COLUMNS[1], design.least[1]
    assert power > 0
    assert views.night_of(drums, power).lowest >= 2.0 > views.night_of(drums, power - map_of_drums.STEP).lowest


def test_more_drums_ask_for_less_heater():
    least = views.drum_map("design", 10.0).least
    assert list(least) == sorted(least, reverse=True) and least[-1] > 0


def test_a_shifted_night_is_the_night_made_so():
    """The sun does not hang on the cold: shifting a night by 5 K gives what the maker of nights gives."""
    place = demo_house().place
    made = design_night(place.latitude, nights.DATE, minimum=-19.0, maximum=-7.0, snow=True, longitude=place.longitude,
                        utc_offset=place.utc_offset, elevation=place.elevation)  # fmt: skip
    shifted = views.the_weather("clear", -19.0)
    for name in ("temperature", "dew_point", "beam_normal", "diffuse_horizontal"):
        assert getattr(shifted, name) == pytest.approx(getattr(made, name), abs=1e-9)


def test_drums_behind_the_front_row_catch_no_sun():
    shares = [views.house_with(n).store("drums").sun_share for n in (0, 3, 9, 30)]
    whole = demo_house(9).store("drums").sun_share
    assert shares == pytest.approx([0.0, whole / 3, whole, whole])


@pytest.mark.parametrize("limit", [2.0, 10.0])
def test_drums_bring_the_coldest_hour_toward_the_mean_and_never_past_it(limit):
    """Stores carry heat and make none: the lowest air stays below the mean of the day, and the gap shrinks."""
    nights = [views.night_of(n, 0.0, limit) for n in (9, 40, 250)]
    gaps = [one.mean - one.lowest for one in nights]
    assert gaps[0] > gaps[1] > gaps[2] > 0
    assert nights[-1].lowest < 10.0, "the lesson says that seedlings are out of reach"


def test_other_heat_is_in_the_balance():
    bare, held, given = heat_besides.helped(500.0, 300.0, 200.0)
    for one in (bare, held):
        assert one.course.closure < 1e-9
    added = -float(held.course.flows["other"][held.last].sum() * held.course.step)
    assert added == pytest.approx(sum(given.values()), rel=1e-9)
    assert held.lowest >= views.LIMITS["greens"] > heat_besides.helped(0.0, 0.0, 0.0)[0].lowest


def test_each_source_gives_what_it_is_rated_for():
    hours = np.arange(0.0, 24.0, 1 / 12)
    parts = heat_besides.other_heat(500.0, 1000.0, 100.0, hours)
    # 500 kg · 4.3 MJ/kg over 60 days (SMITH2017, typical of its range)
    assert parts["compost heap"][0] == pytest.approx(500 * 4.3e6 / (60 * 86400), rel=1e-6)
    # 100 W for six hours: 0.6 kWh, all of it heat (conservation of energy)
    assert parts["grow light"].mean() * 24 == pytest.approx(600.0)
    # a very large heap gives what coil and radiator let through: 15 W/K from 55 °C to 2 °C
    assert heat_besides.other_heat(1e5, 0.0, 0.0, hours)["compost heap"][0] == pytest.approx(15 * 53)
    # foam below sends nine tenths of a cable's heat up: resistances of 0.15 m soil and a film against 1 m soil and
    # 50 mm foam, with the conductivities 0.9 to 1.5 of moist soil and 0.026 to 0.032 of the foam
    assert 0.85 < parts["soil cable"][0] / 1000 < 0.97


def test_heat_of_a_known_size_lifts_a_house_as_a_heater_does():
    """The same watts as steady other heat, or from a heater that never stops, make the same night."""
    ready = heat_besides.ready_for_others()
    house = ready.house.changed(**{"heater": Heater(700.0, 24.0), "vents.opens_at": 30.0})
    steady = run(house, ready.weather)
    other = views.with_other_heat(ready, 700.0).run()
    assert steady.heater.min() == pytest.approx(700.0)
    assert other.air == pytest.approx(steady.air, abs=1e-6)


def test_a_winter_is_priced_as_by_hand():
    # 9 drums at 30 over 15 years are 18; 10 nights of 5 kWh at 0.30 are 15
    assert views._winter_cost(9, 5 * 3.6e6, 10, 0.3) == pytest.approx(33.0)


def test_the_picture_says_whether_the_limit_is_held():
    weak, strong = (views.choices(0, power, 15, 0.2, "greens", "design", units="metric") for power in (500.0, 2500.0))
    assert "is missed by" in weak.sentence and "is held with" in strong.sentence
    assert "too cold" in views.night(0, 0.0, -24.0, 0.5, True, "greens", "clear", "hours", units="metric").sentence
    assert "to spare" in views.night(40, 0.0, -24.0, 0.5, True, "greens", "clear", "hours", units="metric").sentence

"""Lesson 8's views: vessels by plain geometry, the clock, and what its tables must show."""

import math

import pytest

from heatlib.classroom.views import lesson_08 as views


def test_vessels_hold_the_water_and_have_the_skin_of_their_shape():
    volume = 9 * 0.208
    for vessel in views.VESSELS:
        count, wide, high, skin = views.vessel_skin(vessel, volume)
        # side and top of a standing cylinder
        assert skin == pytest.approx(count * math.pi * wide * (high + wide / 4))
        # ordinary sizes hold what they say, less walls and air space
        assert count * math.pi / 4 * wide**2 * high == pytest.approx(volume, rel=0.06)


def test_the_house_keeps_its_water_in_every_vessel():
    for vessel in views.VESSELS:
        store = views.with_water(views.demo_house(8), 9, vessel).store("drums")
        assert store.count * store.volume == pytest.approx(9 * 0.208)
    assert views.with_water(views.demo_house(8), 0).store("drums").count == 0


@pytest.mark.parametrize(("hour", "words"), [(6.0, "06:00"), (24.0, "00:00"), (32.46, "08:30"), (23.99, "00:00")])
def test_clock(hour, words):
    assert views.clock_words(hour) == words


def test_more_skin_is_faster_and_warmer():
    rows = views.in_vessels()
    by_skin = [rows[name] for name in ("one big tank", "drums", "pails", "bottles")]
    assert [row[0] for row in by_skin] == sorted(row[0] for row in by_skin)
    assert [row[2] for row in by_skin] == sorted((row[2] for row in by_skin), reverse=True)
    assert rows["eleven drums"][2] == pytest.approx(rows["drums"][2]), "the pace does not depend on the number"
    assert rows["drums, twice the water in the same skin"][2] == pytest.approx(2 * rows["drums"][2])


def test_the_curtain_has_a_best_hour():
    found = views.curtain_opens(7.5, 9.0, 11.0)
    assert found["09:00"] > max(found["07:30"], found["11:00"])


def test_no_cloud_at_night_is_colder():
    skies = views.under_skies()
    assert skies["clear day, covered night"] > skies["clear day, clear night"] > skies["covered days, covered night"]


def test_the_line_meets_the_dots_at_the_fault_that_was_put_in():
    leaks = views.demo_house(8).air.air_change_rate
    off = {x: views.logged(x * leaks, 1.0, True, units="metric").numbers["off the readings"] for x in (1.0, 4.0, 8.0)}
    far = {x: float(words.split()[0]) for x, words in off.items()}
    assert far[4.0] < 0.3 < far[1.0] and far[4.0] < far[8.0]

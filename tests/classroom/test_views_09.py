"""Lesson 9's views: the pipes as their own physics has them, and what its tables must show."""

import math

import pytest

from heatlib.classroom.views import lesson_09 as views


def test_through_is_the_demo_bed_in_open_ground():
    result = views.through("july", humid=False)
    moment, ground = views.MOMENTS["july"], views.soil(views.MOMENTS["july"].day, 0.6)
    # closed form: what divides the air from the soil shrinks by e^-NTU
    assert result.outlet == pytest.approx(ground + (moment.air - ground) * math.exp(-result.ntu))


def test_soil_swings_less_and_later_with_depth():
    days = range(1, 366, 5)
    shallow, deep = ([views.soil(day, depth) for day in days] for depth in (0.3, 2.0))
    assert max(shallow) - min(shallow) > 2 * (max(deep) - min(deep))
    assert shallow.index(min(shallow)) < deep.index(min(deep))


def test_the_same_pipes_cool_far_better_than_they_heat():
    july = views.through("july").heat
    assert views.through("january").heat > 0, "open ground at this depth chills"
    assert 0 < -views.through("january", wall=views.floor_soil()).heat < july / 4


def test_only_deep_pipes_help_on_the_design_night():
    found = views.cold_nights()
    still = found.pop("the fan stands still")
    assert found[0.6] < still < found[1.5] < found[2.0]


def test_measures_come_in_order_of_use():
    found = views.measures()
    air = [found[name] for name in ("closed", "vents", "and shade cloth", "and the door open", "and buried pipes")]
    assert air == sorted(air, reverse=True)
    # common practice, no source: closed and unshaded 45 °C and more; with everything 0 to 5 K above outside
    assert found["closed"] > 45 and abs(found["and buried pipes"] - found["outside"]) < 5


def test_no_pipes_is_a_house_without_them():
    course = views.course_of("july", count=0)
    assert "pipes" not in course.layers and not course.fan.any()
    assert "There is no fan" in views.day(**(views.day.spec.start() | {"count": 0}), units="metric").sentence


def test_neither_vents_nor_door_is_closed():
    assert views.course_of("july", vents=False).flows["vents"].max() == 0
    assert views.course_of("july", vents=False, door=True).flows["vents"].max() > 0

"""Lesson 9's views: the pipes as their own physics has them, and what its tables must show."""

import math

import pytest

from heatlib.classroom.views import lesson_09 as views
from heatlib.tables import entry


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


def test_open_ground_chills_and_the_soil_under_the_house_helps():
    july = views.through("july").heat
    assert views.through("january").heat > 0, "open ground at this depth chills"
    assert 0 < -views.through("january", wall=views.floor_soil()).heat < july / 4
    off, on = views.cold_nights().values()
    assert 0.3 < on - off < 3


def test_tired_soil_takes_less_than_fresh():
    assert 0 < views.most_heat("july") < views.through("july").heat / 2


def test_bed_pace_by_hand():
    # moist soil of 2.1 to 2.6 MJ/m³K and 1 to 1.6 W/mK (usual values): 6 × 6 m of round bed 0.45 m wide, less the
    # pipes, over a plan of 36 × 0.45 m, joined above and below through half its width
    plan, width = 36 * 0.45, 0.225
    block = 36 * math.pi * (width**2 - 0.05**2)
    slow, fast = (block * heat / (2 * k * plan / width) for heat, k in ((2.6e6, 1.0), (2.1e6, 1.6)))
    assert fast < views.bed_pace() < slow
    # and the same with the very soil of the demo house, by the table's row
    soil = [entry("materials", "soil_moist", name).value for name in ("density", "specific_heat", "conductivity")]
    exact = block * soil[0] * soil[1] / (2 * soil[2] * plan / width)
    assert views.bed_pace() == pytest.approx(exact, rel=1e-6), "capacity over what joins it to the ground, no band"


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

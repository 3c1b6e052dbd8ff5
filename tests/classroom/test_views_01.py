"""Lesson 1's own reckoning: the tank against an independent solver, and the drums' weight and heat by hand."""

import math

import numpy as np
import pytest
from scipy.integrate import solve_ivp

from heatlib.classroom.views import lesson_01 as views

WATER, ICE, MELT = 4205.8, 2060.0, 333.4e3
"""Specific heats near freezing and heat of freezing, from IAPWS-95 and IAPWS-06 [J/kg·K, J/kg]."""
MASS = 0.2 * 998.0


def _solved(around, conductance, power, hours):
    """Follow the heat content of 200 L by scipy; the thermostat is a steep ramp below its set point."""

    def temperature(heat):
        if heat >= 0:
            return heat / WATER
        return 0.0 if heat > -MELT else (heat + MELT) / ICE

    def slope(_, heat):
        t = temperature(heat[0])
        on = power * min(max((views.THERMOSTAT - t) / 0.002, 0.0), 1.0)
        return [(on - conductance * (t - around)) / MASS]

    times = np.asarray(hours) * 3600
    run = solve_ivp(slope, (0, times[-1]), [WATER * views.TANK_START], t_eval=times, rtol=1e-6, method="LSODA",
                    max_step=1800)  # fmt: skip
    return [temperature(heat) for heat in run.y[0]]


@pytest.mark.parametrize(("around", "conductance", "power"), [
    (-12.0, 12.7, 0.0), (-24.0, 5.0, 0.0), (-12.0, 12.7, 80.0), (-12.0, 12.7, 165.0), (-12.0, 12.7, 400.0),
])  # fmt: skip
def test_the_tank_follows_an_independent_solver(around, conductance, power):
    hours = [1, 5, 9, 20, 60, 120, 160]
    course = views.tank_course(0.2, around, conductance, power)
    # the closed form takes one specific heat from 8 °C to 0 °C; density differs by 0.2 % with temperature
    assert [course.at(3600 * h) for h in hours] == pytest.approx(_solved(around, conductance, power, hours), abs=0.06)


def test_the_tank_freezes_when_its_heat_is_spent():
    """Closed form: all of the freezing heat, divided by what a tank at 0 °C loses."""
    course = views.tank_course(0.2, -10.0, 10.0, 0.0)
    assert course.frozen - course.first_ice == pytest.approx(MASS * MELT / 100.0, rel=3e-3)
    assert course.first_ice == pytest.approx(MASS * WATER / 10.0 * math.log(18.0 / 10.0), rel=3e-3)


def test_a_heater_that_is_just_enough_holds_and_a_weaker_one_settles():
    needed = 10.0 * (views.THERMOSTAT + 10.0)
    held = views.tank_course(0.2, -10.0, 10.0, needed)
    assert held.settles == views.THERMOSTAT and held.share_of_time == pytest.approx(1.0)
    assert math.isinf(held.first_ice) and math.isinf(held.frozen)
    weak = views.tank_course(0.2, -10.0, 10.0, 110.0)
    assert weak.settles == pytest.approx(1.0) and math.isinf(weak.first_ice)
    assert views.tank_course(0.2, -10.0, 10.0, 4 * needed).share_of_time == pytest.approx(0.25)


def test_foam_cuts_the_tanks_loss_as_resistances_add():
    bare, foam = (views.tank_conductance(0.2, -12.0, t) for t in (0.0, 0.05))
    # a cylinder 1.5 times as high as wide, without its bottom; film 7 to 9 W/m²K (CHURCHILLCHU1975 and radiation)
    diameter = (0.2 * 4 / (1.5 * math.pi)) ** (1 / 3)
    area = math.pi * diameter * 1.5 * diameter + math.pi * diameter**2 / 4
    assert 7 * area < bare < 9 * area
    # bead foam conducts 0.0355 W/m·K (ASHRAE's table by way of ht, 5 %)
    assert area * (1 / foam - 1 / bare) == pytest.approx(0.05 / 0.0355, rel=0.06)
    assert views.tank_conductance(0.2, -12.0, 1e-9) == pytest.approx(bare, rel=1e-6)


def test_drums_weigh_and_give_as_worked_by_hand():
    picture = views.drums_in_house(9, 20.0, 5.0, units="metric")
    # 9 · 208 L · 0.998 kg/L · 4.19 kJ/kg·K · 15 K, over 14 h; 18 kg of empty drum each
    assert picture.numbers["heat given back"] == "118 MJ"
    assert picture.numbers["mean over the night"].replace("\u202f", "") == "2330 W"
    assert picture.numbers["weight of all drums"].replace("\u202f", "") == "2030 kg"
    frozen = views.drums_in_house(9, 20.0, -5.0, units="metric")
    # 623 MJ of 9 · 208 L freezing, in 799 MJ
    assert "78% comes from freezing" in frozen.sentence
    assert "needed to warm" in views.drums_in_house(9, 5.0, 20.0, units="metric").sentence


def test_granite_needs_twice_the_room_of_water():
    words = views.same_volume("granite", 0.208, 20.0, 5.0, units="metric").sentence
    # 4.18 MJ/m³K against 2600 kg/m³ · 840 J/kg·K (OPENSTAX, table of specific heats): 1.91 times 208 L
    litres = float(words.split("needs ")[1].split(" L")[0])
    assert litres == pytest.approx(208 * 4.18 / (2.6 * 0.84), rel=0.02)

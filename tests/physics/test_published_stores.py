"""Stores, surfaces, buried pipes, other heat, fuels, crops against worked examples and tables recalled from memory."""

import math

import numpy as np
import pytest
from scipy.integrate import solve_ivp
from scipy.optimize import brentq
from scipy.special import erfc

from heatlib import beds, crops, pipe_soil, pipes, storage, surfaces, tables
from heatlib import other_heat as o

POUND, GALLON, FOOT, BTU = 0.45359237, 3.785412, 0.3048, 1055.056


def test_days_depth_in_soils(outside):
    # sand, clay (dry, moist, wet) and peat (dry, moist): conductivity, MJ/m³·K and depth of the day's wave in cm
    soils = [
        (0.29, 1.26, 8.0), (1.76, 2.09, 15.2), (2.18, 2.93, 14.3),
        (0.25, 1.26, 7.4), (1.17, 2.09, 12.4), (1.59, 2.93, 12.2), (0.06, 1.47, 3.3), (0.29, 3.14, 5.1),
    ]  # fmt: skip
    conductivity, capacity, depth = np.array(soils).T
    spread = beds.thermal_diffusivity(conductivity, capacity * 1e6)
    outside("beds.penetration_depth", beds.penetration_depth(spread), depth / 100, rel=0.017, why="two digits",
            source="van Wijk and de Vries 1963, table of thermal properties of soils (from memory)")  # fmt: skip


def test_diffusivity_of_water_and_ice(outside):
    got = [
        beds.thermal_diffusivity(tables.entry("materials", name, "conductivity").value, storage.heat_capacity(name))
        for name in ("water", "ice")
    ]
    outside("beds.thermal_diffusivity", got, [0.14e-6, 1.2e-6], source="CENGEL, table of diffusivities (from memory)",
            rel=0.05, why="two digits, ice at 0 °C")  # fmt: skip


@pytest.mark.parametrize("void", [0.40, 0.45])
def test_conductivity_of_a_bed_by_another_model(outside, void):
    def zehner(solid, fluid):
        shape, ratio = 1.25 * ((1 - void) / void) ** (10 / 9), solid / fluid
        left, spread = 1 - shape / ratio, math.sqrt(1 - void)
        core = (1 - 1 / ratio) * shape / left**2 * math.log(ratio / shape) - (shape + 1) / 2 - (shape - 1) / left
        return fluid * (1 - spread + 2 * spread / left * core)

    stone = tables.entry("materials", "granite", "conductivity").value
    source = "Zehner and Schlünder 1970, packed beds of spheres (from memory)"
    wet = beds.bed_conductivity("granite", void, "water")
    outside("beds.bed_conductivity", wet, zehner(stone, 0.598), source=source, rel=0.05, why="another model")
    dry = beds.bed_conductivity("granite", void)
    outside("beds.bed_conductivity", dry, zehner(stone, 0.0257), source=source, rel=0.28, why="±25 %, rays left out")


def test_heaped_stone(outside):
    got = [storage.bed_density("granite", 0.4), storage.bed_density("granite", 0.4, "water")]
    outside("storage.bed_density", got, [1650, 2002], source="densities of broken granite and wet gravel (from memory)",
            rel=0.07, why="by voids and make")  # fmt: skip
    got = storage.bed_heat_capacity("granite", 0.4) / (BTU / FOOT**3 * 1.8)
    outside("storage.bed_heat_capacity", got, 20.0, rel=0.1, why="one digit, by stone",
            source="rule for rock storage: 20 Btu/ft³·°F (from memory)")  # fmt: skip


def test_ton_of_refrigeration(outside):
    got = storage.heat_content("water", 2000 * POUND / storage.store_mass("water", 1.0), -1e-6, 0.0)
    outside("storage.heat_content", got, 12000 * 24 * BTU, rel=0.006,
            source="ton of refrigeration: 2000 lb of ice in a day", why="144 Btu/lb there, 143.4 measured")  # fmt: skip


def test_hot_iron_in_a_tank(outside):
    # 50 kg of iron at 80 °C dropped into 0.5 m³ of water at 25 °C
    warm = brentq(lambda t: 50 * 450 * (80 - t) - storage.heat_content("water", 0.5, 25.0, t), 25, 80)
    outside("storage.heat_content", warm, 25.6, source="Çengel and Boles, Thermodynamics, iron block (from memory)",
            abs=0.05, why="one decimal")  # fmt: skip


def test_walls_of_a_duct(outside):
    # 0.75 m wide and 0.3 m high at 45 °C in air of 15 °C; level faces by area over perimeter, half the width
    source = "INCROPERA example 9.3 (from memory)"
    side = surfaces.natural_convection(45.0, 15.0, 0.3)
    top, bottom = (surfaces.natural_convection(45.0, 15.0, 0.375, way) for way in ("up", "down"))
    outside("surfaces.natural_convection", [top, bottom], [5.47, 2.07], source=source, rel=0.02, why="its table of air")
    outside("surfaces.natural_convection", side, 4.23, source=source, rel=0.17,
            why="Churchill and Chu's one curve for all heights; the example takes theirs for smooth flow")  # fmt: skip
    heat = 30 * (2 * 0.3 * side + 0.75 * (top + bottom))
    outside("surfaces.natural_convection", heat, 246.0, source=source, rel=0.06, why="the sides, as above")


def test_tall_plate(outside):
    # 4 m high and 10 m wide at 60 °C in air of 10 °C
    got = surfaces.natural_convection(60.0, 10.0, 4.0)
    source = "Holman, Heat Transfer, example 7.1 (from memory)"
    outside("surfaces.natural_convection", [got, got * 40 * 50], [4.80, 9606], source=source, rel=0.012, why="its air")


@pytest.mark.parametrize("difference", [5.0, 20.0])
def test_short_formulas_for_air(outside, difference):
    near = 25 + difference / 2, 25 - difference / 2
    got = [surfaces.natural_convection(*near, 0.2), surfaces.natural_convection(*near, 0.1, "lying"),
           surfaces.natural_convection(*near, 2.0), surfaces.natural_convection(*near, 2.0, "lying")]  # fmt: skip
    turbulent = difference ** (1 / 3)
    told = [1.42 * (difference / 0.2) ** 0.25, 1.32 * (difference / 0.1) ** 0.25, 1.31 * turbulent, 1.24 * turbulent]
    outside("surfaces.natural_convection", got, told, source="Holman, Heat Transfer, table 7.2 (from memory)", rel=0.12,
            why="short formulas without the air's properties")  # fmt: skip


def test_tubes_that_touch(outside):
    outside("surfaces.exposed_fraction", surfaces.exposed_fraction(0.5, 0.0, 1), 1 - (1 / 2 - 1 / math.pi), rel=1e-12,
            source="textbook view factor of touching tubes, ½ − 1/π", why="exact")  # fmt: skip


def test_friction_of_smooth_pipes(outside):
    got = pipes.pipe_friction([4e3, 1e4, 1e5, 1e6, 1e7, 1e8])
    outside("pipes.pipe_friction", got, [0.0399, 0.0309, 0.0180, 0.0116, 0.0081, 0.0059], rel=0.008, why="4 decimals",
            source="White, Fluid Mechanics, Prandtl's smooth pipe in figures (from memory)")  # fmt: skip


def test_plastic_duct(outside):
    # 150 m for 0.35 m³/s of air at 35 °C may lose 20 m of that air: 0.267 m wide
    got = pipes.pressure_drop(0.35, 150.0, 0.267, corrugated=False, temperature=35.0, fittings=0.0)
    outside("pipes.pressure_drop", got, 1.145 * 9.81 * 20, source="Çengel and Cimbala example 8.4 (from memory)",
            rel=0.015, why="diameter in whole millimetres")  # fmt: skip


def test_gases_in_pipes(outside):
    re = np.array([1e4, 3e4, 1e5, 3e5])
    got, source = pipes.pipe_nusselt(re, 0.7), "for gases (from memory)"
    outside("pipes.pipe_nusselt", got, 0.021 * re**0.8 * 0.7**0.5, source=f"Kays, short formula {source}", rel=0.06,
            why="a power law through a curve")  # fmt: skip
    outside("pipes.pipe_nusselt", got, 0.0214 * (re**0.8 - 100) * 0.7**0.4, rel=0.07,
            source=f"Gnielinski, short formula {source}", why="his own simplification")  # fmt: skip
    got = pipes.pipe_nusselt(20384.0, 0.70)
    outside("pipes.pipe_nusselt", got, 57.9, source="INCROPERA example 8.6, sheet metal duct (from memory)", rel=0.12,
            why="Dittus and Boelter there, ±15 % and high for gases")  # fmt: skip


def test_air_horsepower(outside):
    # 1000 ft³/min against an inch of water by a fan of one half: cfm·in/6356/0.5
    got = pipes.fan_power(1000 * FOOT**3 / 60, 249.089, 0.5)
    outside("pipes.fan_power", got, 2000 / 6356 * 745.7, source="air horsepower, cfm·in/6356 (from memory)", rel=0.003,
            why="water at 20 °C in the one and at 4 °C in the other")  # fmt: skip


def test_a_wide_row_of_pipes_is_a_heated_plane(outside):
    k, a, apart, off, hours = 1.2, 5e-7, 0.3, 0.3, 200.0
    got = pipe_soil.soil_warming(30.0, off, hours, k, a, apart, 60)
    reach = math.sqrt(a * hours * 3600)
    bell = reach * math.exp(-((off / reach) ** 2) / 4) / math.sqrt(math.pi) - off / 2 * erfc(off / reach / 2)
    outside("pipe_soil.soil_warming", got, 30 / apart / k * bell, source="CARSLAW section 2.9, steady flux at a plane",
            rel=0.004, why="the row's ripple at one spacing away")  # fmt: skip


def test_cartridge_heater(outside):
    # 2 kW in a rod of 20 mm by 200 mm in water of 20 °C with 5000 W/m²·K
    way = 5000 * math.pi * 0.02 * 0.2
    got = o.barrel_heater(2000.0, 90.0, 20.0, way)
    outside("other_heat.barrel_heater", [got.water, got.heat], [51.8, 2000.0], rel=0.001, why="three digits",
            source="INCROPERA, problem of a cartridge heater in chapter 1 (from memory)")  # fmt: skip
    assert not got.holds and got.share_of_time == 1.0


def test_barrel_heater_against_a_clicking_thermostat(outside):
    # on below, off above, second by second for two days from a barrel of 0.87 MJ/K
    power, setpoint, room, way, water = 1500.0, 20.0, 5.0, 15.0, 12.0
    on = 0
    for second in range(172800):
        heat = power if water < setpoint else 0.0
        water += (heat - way * (water - room)) / 0.87e6
        on += heat > 0 and second >= 86400
    got = o.barrel_heater(power, setpoint, room, way)
    outside("other_heat.barrel_heater", [got.water, got.share_of_time], [water, on / 86400], rel=0.001,
            source="thermostat followed second by second", why="it clicks within some thousandths")  # fmt: skip


@pytest.mark.parametrize(("made", "way"), [(800.0, 30.0), (800.0, 8.0)])
def test_compost_radiator_against_its_heap(outside, made, way):
    # the heap keeps its warmth at 55 °C by itself (what is too much leaves by its steam) and cools when overdrawn
    def change(_, state):
        drawn = way * (state[0] - 5.0)
        return [(made - drawn - 500 * max(state[0] - 55.0, 0)) / 4e6]

    end = solve_ivp(change, (0, 60 * 86400), [55.0], method="LSODA", rtol=1e-8).y[0, -1]
    got = o.compost_radiator(made, 55.0, 5.0, way)
    outside("other_heat.compost_radiator", got, way * (end - 5.0), rel=0.02,
            source="scipy's LSODA, sixty days of a heap", why="the heap sheds its surplus by 500 W/K")  # fmt: skip


def test_water_heater_label(outside):
    # an element of 4500 W recovers 21 gallons an hour through 90 °F
    tank = 21 * GALLON / 1000 * storage.heat_capacity("water")
    got = o.warm_up_hours(4500.0, tank, 10.0, 60.0, 10.0, 1e-6)
    outside("other_heat.warm_up_hours", got, 1.0, source="labels of US water heaters, 21 gal/h (from memory)", rel=0.03,
            why="whole gallons")  # fmt: skip


def test_person_standing(outside):
    got = sum(o.people_heat(1.0))
    outside("other_heat.people_heat", got, 1.2 * 58.2 * 1.8, source="ASHRAE 55: standing 1.2 met of 58.2 W/m² (memory)",
            rel=0.1, why="a man of 1.8 m²; light work a little more")  # fmt: skip


@pytest.mark.parametrize(
    ("fuel", "pounds", "british", "joules", "gross"),
    [
        ("natural_gas", 116.65, 0.1829, 56.1, 0.90),
        ("propane", 138.63, 0.2145, 63.1, 0.92),
        ("heating_oil", 163.45, 0.2565, 74.1, 0.94),
        ("kerosene", 161.35, 0.2467, 71.9, 0.95),
    ],
)
def test_carbon_of_other_agencies(outside, fuel, pounds, british, joules, gross):
    got, why = o.carbon_dioxide(fuel, 3.6e6, 1.0), "blends differ, kerosene most"
    outside("other_heat.carbon_dioxide", got, pounds * POUND / 1e6 / BTU * 3.6e6, rel=0.03, why=why,
            source="US EIA, pounds of carbon dioxide for a million Btu (from memory)")  # fmt: skip
    outside("other_heat.carbon_dioxide", got, british, source="UK DEFRA/DESNZ factors, gross (from memory)", rel=0.045,
            why="with some methane; blends differ, kerosene most")  # fmt: skip
    outside("other_heat.carbon_dioxide", got, joules * 3.6e-3 * gross, rel=0.05, why="net turned to gross heat roughly",
            source="IPCC 2006 guidelines, kg of carbon dioxide for a GJ of net heat (from memory)")  # fmt: skip


def test_heating_values_of_the_energy_agency(outside):
    told = {"propane": (91452, GALLON), "heating_oil": (137381, GALLON), "kerosene": (135000, GALLON),
            "natural_gas": (1037, FOOT**3)}  # fmt: skip
    got = [1 / o.fuel_needed(fuel, 3.6e6, 1.0) for fuel in told]
    outside("other_heat.fuel_needed", got, [btu / 3412.14 / unit for btu, unit in told.values()], rel=0.015,
            source="US EIA, heat contents (from memory)", why="by blend")  # fmt: skip
    wood = tables.entry("fuels", "firewood", "heat_per_unit")
    pellets = tables.entry("fuels", "wood_pellets", "heat_per_unit")
    # 8600 Btu/lb when dry, a fifth of it water; pellets 16.5 million Btu a short ton: within what the rows allow
    assert wood.low <= 0.8 * 8600 / 3412.14 / POUND <= wood.high
    assert pellets.low <= 16.5e6 / 3412.14 / (2000 * POUND) <= pellets.high


@pytest.mark.parametrize(
    ("name", "fahrenheit"),
    # orchard and garden bulletins: open strawberry blossom 30 °F, fruit of citrus 28 °F, leaves of a potato 29 °F,
    # tomato and pepper 31 to 32 °F; hardened lettuce 25 °F
    [("strawberry", 30.0), ("citrus", 28.0), ("potato", 29.0), ("tomato", 31.5), ("pepper", 31.5), ("lettuce", 25.0)],
)
def test_damage_of_the_bulletins_is_within_the_rows(outside, name, fahrenheit):
    row, told = crops.crop(name).damage_temperature, (fahrenheit - 32) / 1.8
    assert row.low <= told <= row.high
    outside("crops.crop", row.value, told, source="extension bulletins on frost (from memory)", abs=1.5,
            why="variety, hardening and hours of cold")  # fmt: skip


def test_hardy_and_tender_of_the_bulletins():
    # a light frost, 29 to 32 °F, kills the tender; kale, spinach and corn salad stand below 28 °F (from memory)
    names = crops.crop_names()
    light = crops.at_risk(names, -1.5)
    assert all(light[name] == "harmed" for name in ("tomato", "cucumber", "pepper", "basil"))
    assert not {"kale", "spinach", "mache", "parsley"} & set(crops.at_risk(names, -3.9))

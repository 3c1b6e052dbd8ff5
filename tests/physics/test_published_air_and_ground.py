"""Moist air, wet surfaces, soil and frost against worked examples and tables that other tests don't use.

Values marked (memory) are recalled: each tolerance covers the printed digits and the method's spread.
"""

import math

import numpy as np
import pytest

from heatlib import floors, frost, ground, moist_air, moisture

DAY, BTU, FOOT = 86400.0, 1055.056, 0.3048


def test_saturated_air_of_the_handbook(outside):
    t = np.array([-10.0, 10.0, 15.0, 30.0, 40.0, 50.0])
    source = "ASHRAE handbook, table of moist air at sea level (memory)"
    expected = [0.0016062, 0.007661, 0.010694, 0.027333, 0.049145, 0.086863]
    got = moist_air.saturation_humidity_ratio(t)
    outside("moist_air.saturation_humidity_ratio", got, expected, source=source, rel=5e-4, why="printed digits")
    expected = [-6072, 29353, 42113, 99977, 166683, 275345]
    outside("moist_air.enthalpy", moist_air.enthalpy(t, 1.0), expected, source=source, rel=1e-3, why="two editions")
    expected = [0.7468, 0.8116, 0.8962, 1.0425]
    got = moist_air.specific_volume(t[[0, 1, 3, 5]], 1.0)
    outside("moist_air.specific_volume", got, expected, source=source, rel=3e-4, why="four digits")


def test_vapour_pressure_over_ice_and_water(outside):
    got = moist_air.saturation_pressure([-40.0, -10.0, 10.0, 20.0, 30.0, 40.0, 50.0, 60.0])
    expected = [12.84, 259.9, 1228.0, 2339.3, 4247.0, 7384.9, 12352.0, 19946.0]
    source = "ASHRAE handbook, table of water at saturation (memory)"
    outside("moist_air.saturation_pressure", got, expected, source=source, rel=4e-4, why="four digits")


def test_pressures_of_the_standard_atmosphere(outside):
    got = moist_air.pressure_at([-200.0, 1000.0, 1500.0, 2500.0, 3000.0]) / 1000
    expected = [103.75, 89.875, 84.556, 74.682, 70.108]
    source = "USSA1976 (memory)"
    outside("moist_air.pressure_at", got, expected, source=source, rel=1e-4, why="five digits")
    # a mile up
    got = moist_air.pressure_at(1610.0) / 1000
    outside("moist_air.pressure_at", got, 83.4, source="CENGEL text on Denver (memory)", rel=1e-3, why="three digits")


def test_air_of_a_room(outside):
    # 5 × 5 × 3 m at 25 °C, 100 kPa, 75 %
    source = "Çengel and Boles, Thermodynamics, example 14.1 (memory)"
    got = moist_air.humidity_ratio(25.0, 0.75, 1e5)
    outside("moist_air.humidity_ratio", got, 0.0152, source=source, rel=4e-3, why="three digits")
    got = moist_air.enthalpy(25.0, 0.75, 1e5)
    outside("moist_air.enthalpy", got, 63.8e3, source=source, rel=3e-3, why="three digits, ideal gases")
    dry = 75 / moist_air.specific_volume(25.0, 0.75, 1e5)
    outside("moist_air.specific_volume", dry, 85.61, source=source, rel=1e-3, why="ideal gases")
    got = dry * moist_air.humidity_ratio(25.0, 0.75, 1e5)
    outside("moist_air.humidity_ratio", got, 1.30, source=source, rel=5e-3, why="three digits")


def test_fog_on_a_window(outside):
    got = moist_air.dew_point(20.0, 0.75)
    source = "Çengel and Boles, Thermodynamics, example 14.2 (memory)"
    outside("moist_air.dew_point", got, 15.4, source=source, abs=0.06, why="one decimal")


def test_sling_psychrometer(outside):
    # 25 °C dry, 15 °C wet
    source = "Çengel and Boles, Thermodynamics, example 14.3 (memory)"
    outside("moist_air.wet_bulb", moist_air.wet_bulb(25.0, 0.332), 15.0, source=source, abs=0.05, why="33.2 %")
    got = moist_air.relative_humidity(25.0, 0.00653)
    outside("moist_air.relative_humidity", got, 0.332, source=source, abs=0.002, why="three digits")
    got = moist_air.enthalpy(25.0, 0.332)
    outside("moist_air.enthalpy", got, 41.8e3, source=source, rel=2e-3, why="three digits")


def test_wet_bulb_by_the_weather_service(outside):
    got = moist_air.wet_bulb(20.0, 0.5)
    outside("moist_air.wet_bulb", got, 13.7, source="Stull 2011, worked example (memory)", abs=0.3,
            why="his fit is good to 0.3 K")  # fmt: skip


def test_density_for_weighing(outside):
    got = moist_air.density(20.0, 0.5)
    outside("moist_air.density", got, 1.1992, source="CIPM-2007, 20 °C, 101325 Pa, 50 % (memory)", rel=5e-4,
            why="carbon dioxide differs")  # fmt: skip


def test_warming_and_damping_of_a_flow(outside):
    # 45 m³/min at 10 °C, 30 %, 100 kPa brought to 25 °C, 60 %: 55.2 kg/min, ω 0.0023 and 0.01206, heated to 22 °C with
    # 673 kJ/min; the loss is the other way and counts what leaves, so the volume is that of the warm air
    source = "Çengel and Boles, Thermodynamics, example 14.5 (memory)"
    warm = 55.2 * moist_air.specific_volume(25.0, 0.6, 1e5)
    sensible, latent = moisture.ventilation_loss(60 * warm, 1.0, 25.0, 0.6, 10.0, 0.3, 1e5)
    sensible, latent = sensible * 60 / 1e3, latent * 60 / 1e3  # kJ/min
    outside("moisture.ventilation_loss", sensible, 673 * 15 / 12, source=source, rel=7e-3,
            why="the book takes the difference of two three-digit enthalpies")  # fmt: skip
    outside("moisture.ventilation_loss", latent, 55.2 * 0.00976 * 2546.5, source=source, rel=8e-3,
            why="their ω, steam table's vapour at 25 °C")  # fmt: skip


def test_cooling_of_damp_air(outside):
    # 10 m³/min at 30 °C, 80 % cooled to saturated 14 °C: h 85.4 and 39.3 kJ/kg, v 0.889
    source = "Çengel and Boles, Thermodynamics, example 14.6 (memory)"
    whole = sum(moisture.ventilation_loss(600.0, 1.0, 30.0, 0.8, 14.0, 1.0)) * 60 / 1e3
    outside("moisture.ventilation_loss", whole, 11.25 * (85.4 - 39.3), source=source, rel=5e-3, why="three digits")
    water = 11.25 * (moist_air.humidity_ratio(30.0, 0.8) - moist_air.humidity_ratio(14.0, 1.0))
    outside("moist_air.humidity_ratio", water, 0.131, source=source, rel=6e-3, why="three digits")


def test_sublimation(outside):
    # Ls = 2834.1 − 0.29·t − 0.004·t² kJ/kg
    t = np.array([-5.0, -15.0, -25.0, -40.0])
    source = "Rogers and Yau, A Short Course in Cloud Physics (memory)"
    expected = 1e3 * (2834.1 - 0.29 * t - 0.004 * t**2)
    outside("moisture.evaporation_heat", moisture.evaporation_heat(t), expected, source=source, rel=5e-4, why="a fit")
    got = moisture.evaporation_heat([10.0, 50.0])
    outside("moisture.evaporation_heat", got, [2477.2e3, 2382.0e3], source="steam tables (memory)", rel=1e-3,
            why="a line")  # fmt: skip


def test_a_quiet_pool(outside):
    # water 27 °C, hall 28 °C and 50 %: 0.089·(p_w − p_a)/λ, halved for a pool that nobody swims in
    excess = 3.567 - 0.5 * 3.783
    got = moisture.vapour_flow(27.0, 28.0, 0.5)
    source = "ASHRAE Applications handbook, natatoriums, activity factor 0.5 (memory)"
    outside("moisture.vapour_flow", got, 0.089 * excess / 2438 * 0.5, source=source, rel=0.25,
            why="still air is 2.5–3.5")  # fmt: skip


@pytest.mark.parametrize(
    "soil, expected",
    # edge over area 0.05, 0.1, 0.2 and 0.3 per metre
    [(1.5, [0.13, 0.22, 0.37, 0.49]), (2.0, [0.16, 0.28, 0.47, 0.63]), (3.5, [0.27, 0.45, 0.74, 0.97])],
)
def test_floors_on_three_soils(outside, soil, expected):
    got = ground.slab_u_value(100.0, 100 * np.array([0.05, 0.1, 0.2, 0.3]), soil)
    source = "CIBSE Guide A, solid floors on clay, sand and rock (memory)"
    outside("ground.slab_u_value", got, expected, source=source, abs=0.01, why="two decimals, recalled")


@pytest.mark.parametrize("width, expected", [(0.5, -0.18), (1.0, -0.27)])
def test_edge_insulation_of_the_guide(outside, width, expected):
    got = ground.edge_insulation("horizontal", width, 1.0)
    source = "CIBSE Guide A, edge insulation of 1 m²·K/W on clay (memory, unsure)"
    outside("ground.edge_insulation", got, expected, source=source, abs=0.02, why="recalled without certainty")


def test_water_main_under_a_frost(outside):
    # soil of 15 °C, k 0.4, a 0.15e-6; the surface at −10 °C for 90 days
    got = ground.frost_depth(90, -10.0, 15.0, 0.15e-6)
    outside("ground.frost_depth", got, 0.80, source="CENGEL example 4.6 (memory)", rel=0.01, why="read off a chart")


def test_waves_in_sand(outside):
    # dry sand 0.24e-6, soaked 0.74e-6 m²/s: the day's wave fades over 8.0 and 14.3 cm
    got = ground.damping_depth(np.array([0.24e-6, 0.74e-6]), DAY)
    source = "van Wijk and de Vries 1963, and Oke's table of soils (memory)"
    outside("ground.damping_depth", got, [0.080, 0.143], source=source, rel=0.03, why="two to three digits")
    # the same table's diffusivities against rows put together from conductivity, density and heat
    got = [ground.soil_diffusivity("sand_dry"), ground.soil_diffusivity("soil_clay")]
    outside("ground.soil_diffusivity", got, [0.24e-6, 0.51e-6], source=source, rel=0.1, why="no two sands are alike")


def test_yearly_wave_by_kusuda(outside):
    # T = Tm − A·exp[−z·√(π/365a)]·cos{2π/365·[t − t0 − z/2·√(365/πa)]}, a in m²/day
    day, depth, a = np.array([30.0, 120.0, 210.0, 300.0]), 1.5, 0.05
    fade, late = depth * math.sqrt(math.pi / 365 / a), depth / 2 * math.sqrt(365 / math.pi / a)
    expected = 9 - 14 * math.exp(-fade) * np.cos(2 * math.pi / 365 * (day - 35 - late))
    got = ground.soil_temperature(depth, day, 9.0, 14.0, 35.0, a / DAY)
    source = "Kusuda and Achenbach 1965 (memory)"
    outside("ground.soil_temperature", got, expected, source=source, abs=0.05, why="a year of 365 days, not 365.25")
    outside("ground.wave_lag", ground.wave_lag(depth, a / DAY) / DAY, late, source=source, rel=1e-3, why="the same")


@pytest.mark.parametrize("stefan, root", [(0.1, 0.2200), (0.5, 0.4648), (1.0, 0.6201)])
def test_frost_front_by_the_stefan_number(outside, stefan, root):
    # soil at 0 °C from the start: depth 2·λ·√(a·t), λ·exp(λ²)·erf(λ) = Ste/√π
    got = frost.freezing_depth(10, -10.0, 0.0, (2.0, 2e6), (2.0, 2e6), 2e7 / stefan)
    source = "Alexiades and Solomon, roots of the one-phase problem (memory)"
    outside("frost.freezing_depth", got / (2 * math.sqrt(1e-6 * 10 * DAY)), root, source=source, abs=6e-5,
            why="4 digits")  # fmt: skip


def test_ice_on_a_lake(outside):
    # black ice without snow: 3.5 cm times the root of the degree-days; ice has 2.2 W/m·K, 917 kg/m³
    got = frost.stefan_depth(1.0, 2.2, 917 * 333.4e3)
    outside("frost.stefan_depth", got, 0.035, source="Ashton 1986, River and Lake Ice Engineering (memory)", rel=0.01,
            why="two digits")  # fmt: skip


def test_frost_in_the_engineers_units(outside):
    # 144 Btu/lb: 100 lb/ft³ of dry soil with 15 % of water hold 2160 Btu/ft³; depth √(48·k·n·F/L) ft
    source = "US Army TM 5-852-6, calculation methods for frost (memory)"
    latent = frost.latent_heat_of_soil(100 * 0.45359237 / FOOT**3, 0.15)
    outside("frost.latent_heat_of_soil", latent * FOOT**3 / BTU, 2160.0, source=source, rel=6e-3, why="144 is rounded")
    got = frost.stefan_depth(2000 / 1.8, 1.730735, latent) / FOOT
    outside("frost.stefan_depth", got, math.sqrt(48 * 1.0 * 2000 / 2160), source=source, rel=4e-3, why="144 is rounded")


def test_floor_of_foam_and_gravel_in_us_units(outside):
    # two inches of XPS are sold as R-10; three inches of dry gravel bring next to nothing
    got = floors.floor_resistance([("xps", 2 * 0.0254)]) * 5.678263
    outside("floors.floor_resistance", got, 10.0, source="common practice, label R-5 an inch", rel=0.03, why="rounded")
    heat = floors.floor_heat_capacity([("concrete", 4 * 0.0254)]) * FOOT**2 * 5 / 9 / BTU
    outside("floors.floor_heat_capacity", heat, 9.6, source="ASHRAE handbook, 4 in of concrete at 144 lb/ft³ and 0.2 "
            "Btu/lb·°F (memory)", rel=0.08, why="140 lb/ft³ and 0.215 in the table of materials")  # fmt: skip

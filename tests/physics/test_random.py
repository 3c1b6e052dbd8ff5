"""Laws that hold for every valid input, tried on wide random ones: what is conserved, what grows, which limits stand.

No value here comes from the library: each test states a law of physics or of arithmetic.
Tolerances are round-off unless a test says otherwise.
"""

import numpy as np
import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from heatlib import (
    air_gap,
    beds,
    conduction,
    curtain,
    glazing,
    ground,
    infiltration,
    moist_air,
    moisture,
    other_heat,
    pipe_soil,
    pipes,
    sky,
    storage,
    sun,
    surfaces,
    transmission,
)

settings.register_profile("laws", deadline=None, max_examples=200)
settings.load_profile("laws")


def between(low, high):
    return st.floats(low, high, allow_nan=False)


def log_between(low, high):
    return st.floats(np.log10(low), np.log10(high)).map(lambda power: float(np.clip(10.0**power, low, high)))


temperature = between(-60.0, 90.0)
moist_temperature = between(-40.0, 60.0)
pressure = between(70e3, 105e3)
share = between(0.0, 1.0)
resistance = log_between(1e-3, 30.0)
name_of_glazing = st.sampled_from(glazing.glazing_names())


@given(log_between(1e-3, 1e5), log_between(1e-3, 30.0), temperature, temperature)
def test_loss_follows_difference_and_area(area, u, inside, outside):
    flow = conduction.heat_loss(area, u, inside, outside)
    assert np.sign(flow) == np.sign(inside - outside)
    assert conduction.heat_loss(area, u, inside, inside) == 0
    assert conduction.heat_loss(2 * area, u, inside, outside) == pytest.approx(2 * flow, rel=1e-12)
    assert conduction.heat_loss(area, u, outside, inside) == pytest.approx(-flow, rel=1e-12)


@given(st.lists(resistance, min_size=1, max_size=8))
def test_layers_in_series_resist_more_than_any_of_them(parts):
    whole = conduction.series(*parts)
    assert whole >= max(parts) and whole <= len(parts) * max(parts) * (1 + 1e-12)
    assert conduction.series(*reversed(parts)) == pytest.approx(whole, rel=1e-12)


@given(st.lists(resistance, min_size=1, max_size=8), temperature, temperature)
def test_temperature_falls_in_a_wall_as_resistance_adds_up(parts, inside, outside):
    course = conduction.layer_temperatures(parts, inside, outside)
    assert course[0] == pytest.approx(inside) and course[-1] == pytest.approx(outside, abs=1e-9)
    flows = -np.diff(course) / np.array(parts)
    assert flows == pytest.approx((inside - outside) / sum(parts), rel=1e-6, abs=1e-9)


@st.composite
def bridged(draw):
    sections, layers = draw(st.integers(1, 4)), draw(st.integers(1, 4))
    weights = np.array(draw(st.lists(between(0.05, 1.0), min_size=sections, max_size=sections)))
    rows = draw(st.lists(st.lists(resistance, min_size=sections, max_size=sections), min_size=layers, max_size=layers))
    return list(weights / weights.sum()), rows


@given(bridged())
def test_bounds_of_a_bridged_wall_are_ordered(wall):
    least, mean, most = (1 / conduction.bridged_u_value(*wall, bound=bound) for bound in ("lower", "mean", "upper"))
    assert least <= mean * (1 + 1e-12) and mean <= most * (1 + 1e-12)
    assert mean == pytest.approx((least + most) / 2, rel=1e-12)
    shares, rows = wall
    plain = [[row[0]] * len(row) for row in rows]
    assert conduction.bridged_u_value(shares, plain, bound="upper") == pytest.approx(
        conduction.bridged_u_value(shares, plain, bound="lower"), rel=1e-12
    )


@given(st.lists(st.tuples(log_between(0.01, 1e3), log_between(0.05, 20.0)), min_size=1, max_size=6))
def test_parts_side_by_side_lie_between_their_extremes(parts):
    areas, u_values = zip(*parts)
    mean = conduction.parallel_u_value(areas, u_values)
    assert min(u_values) * (1 - 1e-12) <= mean <= max(u_values) * (1 + 1e-12)
    flows = [conduction.heat_loss(area, u, 10.0, 0.0) for area, u in parts]
    assert conduction.heat_loss(sum(areas), mean, 10.0, 0.0) == pytest.approx(sum(flows), rel=1e-9)


@given(log_between(0.003, 0.3), temperature, temperature, between(0.0, 180.0), between(0.05, 1.0), between(0.05, 1.0))
def test_a_gap_conducts_at_least_as_still_air_and_turns_over_alike(thickness, warm, cold, tilt, e1, e2):
    by_air, rays = air_gap.air_gap_conductance(thickness, warm, cold, tilt, e1, e2)
    still = surfaces.air_properties((warm + cold) / 2)[0] / thickness
    assert by_air >= still * (1 - 1e-9) and rays > 0
    assert rays <= sky.radiation_coefficient(warm, cold, min(e1, e2)) * (1 + 1e-12)
    turned = air_gap.air_gap_conductance(thickness, cold, warm, 180.0 - tilt, e2, e1)
    if warm != cold:
        assert turned == pytest.approx((by_air, rays), rel=1e-6)


@given(temperature, temperature, share)
def test_radiation_coefficient_is_that_of_the_fourth_powers(one, two, emissivity):
    assume(abs(one - two) > 1e-3)
    flow = sky.radiation_coefficient(one, two, emissivity) * (one - two)
    powers = (one + 273.15) ** 4 - (two + 273.15) ** 4
    assert flow == pytest.approx(emissivity * 5.670374419e-8 * powers, rel=1e-9)
    assert sky.radiation_coefficient(two, one, emissivity) == sky.radiation_coefficient(one, two, emissivity)


@given(temperature, temperature, share)
def test_a_cloudy_sky_lies_between_clear_sky_and_air(air, clear, cover):
    assume(clear <= air)
    result = sky.cloudy_sky_temperature(air, clear, cover)
    assert clear - 1e-9 <= result <= air + 1e-9


@given(between(-40.0, 34.0), between(0.0, 40.0), between(0.0, 24.0))
def test_clear_sky_is_colder_than_the_air_and_warmer_when_damp(air, drier, hour):
    damp = sky.sky_temperature_berdahl_martin(air, air - 0.1, hour)
    assert sky.sky_temperature_berdahl_martin(air, max(air - drier - 0.2, -60.0), hour) <= damp + 1e-9
    assert damp < air


@given(name_of_glazing, temperature, between(0.0, 180.0), between(0.0, 60.0))
def test_a_pane_between_equal_temperatures_carries_nothing(name, level, tilt, wind):
    flow = glazing.glazing_heat_flow(name, level, level, level, tilt, wind)
    assert flow.heat == pytest.approx(0, abs=1e-7) and flow.straight_through == pytest.approx(0, abs=1e-9)
    assert flow.inner_face == pytest.approx(level) and flow.outer_face == pytest.approx(level)


@given(name_of_glazing, between(0.0, 30.0), between(-50.0, 0.0), between(0.0, 20.0), between(0.0, 90.0))
def test_a_colder_sky_takes_more(name, inside, outside, colder, tilt):
    mild, clear = (
        glazing.glazing_heat_flow(name, inside, outside, s, tilt) for s in (outside, max(outside - colder, -60))
    )
    assert clear.heat >= mild.heat - 1e-7
    assert clear.inner_face <= inside + 1e-9


@given(log_between(0.3, 20.0), between(0.0, 5.0), st.sampled_from(glazing.SNOW))
def test_snow_only_insulates(u, depth, kind):
    covered = glazing.u_value_with_snow(u, depth, kind)
    assert 0 < covered <= u * (1 + 1e-12)
    assert glazing.u_value_with_snow(u, 0.0, kind) == pytest.approx(u, rel=1e-12)


@given(log_between(0.3, 20.0), between(0.0, 5.0), between(0.05, 2.0), between(0.0, 0.01), share)
def test_a_curtain_never_adds_loss_and_an_open_one_does_nothing(u, fabric, gap, leak, open_share):
    closed = curtain.window_with_curtain(u, fabric, gap, leak)
    partly = curtain.window_with_curtain(u, fabric, gap, leak, open_share)
    assert 0 < closed <= partly * (1 + 1e-12) and partly <= u * (1 + 1e-12)
    assert curtain.window_with_curtain(u, fabric, gap, leak, 1.0) == pytest.approx(u, rel=1e-12)
    assert curtain.window_with_curtain(u, fabric, gap) <= closed * (1 + 1e-12)


@given(log_between(1.0, 1e5), log_between(0.01, 100.0), temperature, temperature, between(-290.0, 3000.0))
def test_air_changes_carry_heat_with_the_difference(volume, rate, inside, outside, elevation):
    flow = infiltration.air_change_heat_loss(volume, rate, inside, outside, elevation)
    way = np.sign(inside - outside)
    # the heat of a difference next to nothing is less than the least number there is; it never goes the other way
    assert np.sign(flow) in ((way, 0) if abs(inside - outside) < 1e-300 else (way,))
    assert infiltration.air_change_heat_loss(2 * volume, rate / 2, inside, outside, elevation) == pytest.approx(flow)
    by_flow = (
        infiltration.air_flow_heat_loss(volume * rate / 3600, inside, outside, elevation)
        if volume * rate < 3e6
        else flow
    )
    assert by_flow == pytest.approx(flow, rel=1e-9)


@given(log_between(0.01, 10.0), between(0.1, 10.0), temperature, temperature, between(0.0, 30.0))
def test_leakage_needs_a_drive(area, height, inside, outside, wind):
    flow = infiltration.stack_wind_flow(area, height, inside, outside, wind)
    still = infiltration.stack_wind_flow(area, height, inside, outside, 0.0)
    windy = infiltration.stack_wind_flow(area, height, inside, inside, wind)
    assert max(still, windy) <= flow * (1 + 1e-12) <= (still + windy) * (1 + 1e-9) + 1e-300
    assert infiltration.stack_wind_flow(area, height, inside, inside, 0.0) == 0
    assert infiltration.stack_wind_flow(2 * area, height, inside, outside, wind) == pytest.approx(2 * flow)


@given(between(0.5, 3.0), between(1.0, 4.0), temperature, temperature, between(0, 60), between(0, 30), between(0.5, 50))
def test_a_lobby_never_lets_more_through_than_the_door(width, height, inside, outside, seconds, openings, lobby):
    door = infiltration.door_flow(width, height, inside, outside, seconds, openings)
    through = infiltration.lobby_flow(width, height, inside, outside, seconds, openings, lobby)
    assert -1e-12 <= through <= door * (1 + 1e-9) + 1e-12


@given(moist_temperature, moist_temperature, pressure)
def test_saturated_air_holds_more_the_warmer_it_is(one, two, p):
    low, high = sorted((one, two))
    assume(high - low > 1e-6)
    assert moist_air.saturation_pressure(low) < moist_air.saturation_pressure(high)
    assert moist_air.saturation_humidity_ratio(low, p) < moist_air.saturation_humidity_ratio(high, p)


@given(moist_temperature, between(0.02, 1.0), pressure)
def test_wet_bulb_and_dew_point_lie_in_order(t, humid, p):
    dew, bulb = moist_air.dew_point(t, humid, p), moist_air.wet_bulb(t, humid, p)
    # 0.05 K: below freezing the table's ice and the bulb's ice come from two fits
    assert dew <= bulb + 0.05 and bulb <= t + 0.05
    assert moist_air.relative_humidity(t, moist_air.humidity_ratio(t, humid, p), p) == pytest.approx(humid, abs=1e-9)


@given(moist_temperature, between(0.02, 1.0), pressure)
def test_air_cooled_to_its_dew_point_is_full(t, humid, p):
    dew = moist_air.dew_point(t, humid, p)
    assume(dew >= -40.0)
    held = moist_air.saturation_humidity_ratio(min(dew, 60.0), p)
    # the dew point is stated to 5 mK, at which the saturated ratio moves by 0.05 %
    assert held == pytest.approx(moist_air.humidity_ratio(t, humid, p), rel=1e-3)


@given(moist_temperature, share, share, pressure)
def test_damper_air_is_lighter_and_holds_more_heat(t, one, two, p):
    dry, damp = sorted((one, two))
    assume(damp - dry > 1e-3)
    assert moist_air.density(t, damp, p) <= moist_air.density(t, dry, p) * (1 + 1e-7)
    assert moist_air.enthalpy(t, damp, p) > moist_air.enthalpy(t, dry, p)


@given(log_between(1, 1e4), between(0, 50), moist_temperature, between(0.05, 1), moist_temperature, between(0.05, 1))
def test_ventilation_loss_is_the_difference_of_enthalpies(volume, rate, inside, humid, outside, humid_out):
    sensible, latent = moisture.ventilation_loss(volume, rate, inside, humid, outside, humid_out)
    mass = volume * rate / 3600 / moist_air.specific_volume(inside, humid)
    whole = mass * (moist_air.enthalpy(inside, humid) - moist_air.enthalpy(outside, humid_out))
    assert sensible + latent == pytest.approx(whole, rel=1e-9, abs=1e-6)
    assert np.sign(np.round(sensible, 9)) in (0, np.sign(inside - outside))


@given(log_between(0.3, 7.0), between(-10.0, 40.0), share, between(-40.0, 40.0))
def test_a_pane_drips_only_below_the_dew_point(u, inside, humid, outside):
    humid = max(humid, 0.02)
    pane = moisture.pane_drip(u, inside, humid, outside)
    dry = moisture.pane_surface_temperature(u, inside, outside)
    assert pane.rate >= 0 and pane.latent_heat >= 0
    assert pane.surface_temperature >= dry - 1e-9, "dripping water warms the pane"
    if dry > pane.dew_point + 0.02:
        assert pane.rate == 0


@given(between(-60.0, 90.0))
def test_heat_in_water_and_back(t):
    heat = storage.water_enthalpy(t)
    back = storage.water_temperature(heat)
    assert back == pytest.approx(t, abs=1e-6) if abs(t) > 1e-9 else abs(back) < 1e-6


@given(between(-446.0e3, 377.0e3))
def test_temperature_of_water_and_back(heat):
    t = storage.water_temperature(heat)
    if not -333421.0 <= heat <= 0.0:
        assert storage.water_enthalpy(t) == pytest.approx(heat, abs=1e-3)
    else:
        assert t == 0.0, "water and ice side by side stay at the freezing point"


@given(temperature, temperature, temperature, log_between(1e-3, 100.0))
def test_heat_contents_add_up_over_any_way(a, b, c, volume):
    for material in ("water", "granite", "concrete"):
        one, two = storage.heat_content(material, volume, a, b), storage.heat_content(material, volume, b, c)
        whole = storage.heat_content(material, volume, a, c)
        assert one + two == pytest.approx(whole, rel=1e-9, abs=1e-3 * volume)
        assert storage.heat_content(material, volume, a, a) == 0
        assert np.sign(one) == np.sign(b - a) or abs(b - a) < 1e-9


@given(log_between(1e-8, 2e-4), log_between(1.0, 1e3))
def test_a_longer_wave_goes_deeper_by_the_root_of_its_length(diffusivity, hours):
    deep = beds.penetration_depth(diffusivity, hours)
    assert beds.penetration_depth(diffusivity, 4 * hours) == pytest.approx(2 * deep, rel=1e-12)


@given(log_between(0.01, 5.0), log_between(0.05, 5.0), log_between(1e5, 1e7), log_between(2.0, 1e3))
def test_a_layer_answers_a_swing_with_no_more_than_its_heat_capacity(thickness, conductivity, capacity, hours):
    found = beds.periodic_response([beds.Layer(thickness, conductivity, capacity)], hours, 0.0)
    whole = thickness * capacity
    # a slab insulated behind can respond up to 1.14 times its capacity near the depth of the wave (tanh overshoots)
    assert 0 < found.capacity <= 1.15 * whole
    endless = np.sqrt(2 * np.pi / (3600 * hours) * conductivity * capacity)
    assert found.admittance <= 1.15 * endless


@given(between(0.0, 50.0), between(0.0, 366.0), between(-10.0, 20.0), between(0.0, 25.0), log_between(1e-8, 1e-5))
def test_soil_swings_less_the_deeper(depth, day, mean, swing, diffusivity):
    t = ground.soil_temperature(depth, day, mean, swing, 35.0, diffusivity)
    damping = ground.damping_depth(diffusivity)
    assert abs(t - mean) <= swing * np.exp(-depth / damping) + 1e-9
    year_later = ground.soil_temperature(depth, day + 365.25, mean, swing, 35.0, diffusivity)
    assert year_later == pytest.approx(t, abs=1e-8)
    assert ground.soil_temperature(0.0, 35.0, mean, swing) == pytest.approx(mean - swing, abs=1e-9)


@given(log_between(4.0, 1e3), between(1.0, 4.0), log_between(0.3, 4.0), between(0.0, 1.0), between(0.0, 10.0))
def test_a_slab_loses_less_when_insulated_and_when_wide(area, stretch, soil, wall, insulation):
    perimeter = 2 * np.sqrt(np.pi * area) * stretch
    bare = ground.slab_u_value(area, perimeter, soil, wall)
    assert 0 < ground.slab_u_value(area, perimeter, soil, wall, insulation) <= bare * (1 + 1e-12)
    assert ground.slab_u_value(4 * area, 2 * perimeter, soil, wall) <= bare * (1 + 1e-12)


@given(between(0.0, 5.0), between(0.1, 5.0), between(0.0, 0.1), between(0.3, 4.0))
def test_edge_insulation_only_helps_and_more_helps_more(width, r, thickness, soil):
    assume(soil * r > thickness)
    found = ground.edge_insulation("vertical", width, r, thickness, soil)
    assert found <= 0 and ground.edge_insulation("vertical", 0.0, r, thickness, soil) == 0
    assert ground.edge_insulation("vertical", width, r + 1.0, thickness, soil) <= found + 1e-12
    assert ground.edge_insulation("horizontal", width, r, thickness, soil) >= found - 1e-12


@given(temperature, temperature, log_between(0.02, 10.0), st.sampled_from(surfaces.SHAPES))
def test_still_air_at_the_same_temperature_moves_nothing_and_both_ways_are_alike(surface, air, length, shape):
    h = surfaces.natural_convection(surface, air, length, shape)
    assert h >= 0
    if shape in ("vertical", "lying"):
        assert surfaces.natural_convection(air, surface, length, shape) == pytest.approx(h, rel=1e-9)
    else:
        other = "down" if shape == "up" else "up"
        if surface != air:
            assert surfaces.natural_convection(air, surface, length, other) == pytest.approx(h, rel=1e-9)


@given(log_between(0.1, 5.0), log_between(1e-3, 50.0), st.sampled_from([0, 1, 2]))
def test_barrels_apart_see_the_room(diameter, gap, neighbours):
    free = surfaces.exposed_fraction(diameter, gap, neighbours)
    assert 0 < free <= 1
    assert surfaces.exposed_fraction(diameter, 2 * gap, neighbours) >= free - 1e-12
    assert surfaces.exposed_fraction(diameter, gap, 0) == 1


@st.composite
def pipe(draw):
    return {
        "inlet": draw(between(-30.0, 55.0)),
        "soil": draw(between(-30.0, 55.0)),
        "flow": draw(log_between(1e-3, 2.0)),
        "length": draw(log_between(0.5, 100.0)),
        "diameter": draw(between(0.05, 0.5)),
        "count": draw(st.integers(1, 20)),
        "corrugated": draw(st.booleans()),
        "relative_humidity": draw(share),
    }


def reynolds_fits(given_pipe):
    speed = given_pipe["flow"] / given_pipe["count"] / (np.pi * given_pipe["diameter"] ** 2 / 4)
    # rough pipe with a friction factor of 0.12 at most: the library takes fans of up to 10 kPa
    if (0.12 * 3 * given_pipe["length"] / given_pipe["diameter"] + 1.5) * 0.75 * speed**2 > 9e3:
        return False
    return 1 < speed * given_pipe["diameter"] / 1.2e-5 < 9e5


@given(pipe().filter(reynolds_fits))
def test_pipe_air_leaves_between_inlet_and_soil_and_heat_is_counted(given_pipe):
    found = pipes.pipe_flow(**given_pipe)
    low, high = sorted((given_pipe["inlet"], given_pipe["soil"]))
    assert low - 1e-9 <= found.outlet <= high + 1e-9
    assert found.heat == pytest.approx(found.sensible + found.latent, rel=1e-12, abs=1e-12)
    assert found.condensed >= 0 and found.latent >= 0
    cooled = given_pipe["inlet"] - found.outlet
    dry = pipes.pipe_flow(**given_pipe | {"relative_humidity": 0.0})
    mean = (given_pipe["inlet"] + given_pipe["soil"]) / 2 + 273.15
    mass = given_pipe["flow"] * 101325.0 / (287.053 * mean)
    assert dry.heat == pytest.approx(mass * 1006.0 * cooled, rel=1e-6, abs=1e-6)
    assert dry.condensed == 0 and found.pressure_drop > 0 and found.fan_power > 0


@given(pipe().filter(reynolds_fits), between(1.05, 3.0))
def test_a_longer_pipe_brings_the_air_nearer_to_the_soil(given_pipe, longer):
    one = pipes.pipe_flow(**given_pipe)
    two = pipes.pipe_flow(**given_pipe | {"length": given_pipe["length"] * longer})
    assert abs(two.outlet - given_pipe["soil"]) <= abs(one.outlet - given_pipe["soil"]) + 1e-9
    assert two.pressure_drop > one.pressure_drop


@given(st.lists(st.tuples(between(-20.0, 50.0), st.booleans()), min_size=1, max_size=60), between(-5.0, 25.0))
def test_soil_round_a_pipe_keeps_what_the_air_gave(course, start):
    inlet, running = zip(*course)
    radii = pipe_soil.soil_rings(0.1, 0.5, 6)
    stores = pipe_soil.ring_capacities(radii, 1600.0, 1200.0)
    ways = pipe_soil.ring_conductances(radii, 1.5)
    found = pipe_soil.soil_course(list(inlet), list(running), 1800.0, 30.0, 1.2, 15.0, radii, stores, ways, start)
    gained = np.sum(stores * (found.rings - start)) * 15.0
    assert np.sum(found.heat) * 1800.0 == pytest.approx(gained, rel=1e-9, abs=1.0)
    assert np.all(found.heat[~np.array(running)] == 0)
    ends = (min(start, *inlet) - 1e-9, max(start, *inlet) + 1e-9)
    assert np.all((found.outlet >= ends[0]) & (found.outlet <= ends[1]))


@given(between(0.0, 20e3), between(0.0, 90.0), temperature, log_between(0.1, 1e4))
def test_a_thermostat_gives_no_more_than_needed_nor_than_it_has(power, setpoint, room, conductance):
    found = other_heat.barrel_heater(power, setpoint, room, conductance)
    assert 0 <= found.heat <= power * (1 + 1e-12)
    assert found.water == pytest.approx(room + found.heat / conductance, rel=1e-9, abs=1e-9)
    assert found.water <= max(setpoint, room) + 1e-9


@given(between(0.0, 500.0), temperature, temperature, log_between(0.01, 50.0), log_between(0.01, 50.0))
def test_a_cable_gives_all_its_heat_up_or_down(power, room, soil, up, down):
    found = other_heat.cable_bed(power, room, soil, up, down)
    assert found.upward + found.downward == pytest.approx(power, rel=1e-9, abs=1e-6 / min(up, down))


@given(between(0.0, 89.9), between(1.05, 2.5))
def test_a_clear_surface_reflects_or_passes_all(angle, index):
    reflected = transmission.fresnel_reflectance(angle, index)
    assert 0 <= reflected <= 1 and transmission.fresnel_reflectance(90.0, index) == pytest.approx(1)
    # one sheet that takes nothing up: each polarisation passes (1 − r)/(1 + r), so all is at most the mean's bound
    passed = transmission.incidence_transmittance(angle, index, 0.0, 0.003, 1)
    assert 0 <= passed <= 1 - reflected + 1e-12


@given(between(0.0, 89.0), between(1.05, 2.5), between(0.0, 500.0), between(1e-4, 0.02), st.integers(1, 4))
def test_each_sheet_takes_its_part(angle, index, extinction, thickness, sheets):
    one = transmission.incidence_transmittance(angle, index, extinction, thickness, sheets)
    two = transmission.incidence_transmittance(angle, index, extinction, thickness, sheets + 1)
    assert 0 <= two <= one <= 1
    assert transmission.incidence_transmittance(angle, index, extinction, 2 * thickness, sheets) <= one + 1e-12


@st.composite
def room(draw):
    count = draw(st.integers(1, 5))
    weights = np.array(draw(st.lists(between(0.01, 1.0), min_size=count, max_size=count)))
    alphas = draw(st.lists(between(0.05, 1.0), min_size=count, max_size=count))
    areas = draw(st.lists(between(0.5, 50.0), min_size=count, max_size=count))
    return list(weights / weights.sum()), alphas, areas, draw(between(0.0, 50.0)), draw(share)


@given(room())
def test_light_that_came_in_is_kept_or_goes_out_again(given_room):
    kept, out = transmission.absorbed_shares(*given_room)
    assert np.sum(kept) + out == pytest.approx(1, rel=1e-9)
    assert np.all(kept >= 0) and out >= 0


@given(between(0.0, 360.0), between(0.0, 90.0), between(0.0, 360.0), between(0.0, 180.0), share)
def test_a_pane_sees_sky_and_ground_and_nothing_else(azimuth, zenith, facing, tilt, albedo):
    light = sun.Sky(0.0, 100.0, 100.0)
    pane = sun.pane_irradiance(sun.SunPosition(zenith, azimuth), light, facing, tilt, albedo)
    view = (1 + np.cos(np.radians(tilt))) / 2
    assert pane.total == pytest.approx(100.0 * (view + albedo * (1 - view)), rel=1e-9, abs=1e-9)
    assert pane.beam == 0 and 0 <= pane.incidence <= 180


@given(between(0.0, 120.0), between(1.0, 9.0), share)
def test_clouds_dim_and_spread_the_sun(zenith, haze, cover):
    position = sun.SunPosition(zenith, 180.0)
    clear = sun.clear_sky(position, haze)
    clouded = sun.cloudy_sky(clear, position, cover)
    assert 0 <= clouded.global_horizontal <= clear.global_horizontal + 1e-9
    assert 0 <= clouded.beam_normal <= clear.beam_normal + 1e-9
    level = clouded.beam_normal * max(np.cos(np.radians(zenith)), 0) + clouded.diffuse_horizontal
    # the clear-sky model rounds its parts apart by less than a watt near the horizon
    assert level == pytest.approx(clouded.global_horizontal, rel=1e-6, abs=1.0)

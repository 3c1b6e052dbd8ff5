"""Water on the move: FAO's worked examples, a pane from a textbook, and balances solved another way."""

import numpy as np
import psychrolib
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.integrate import solve_ivp
from scipy.optimize import brentq

from heatlib import moist_air
from heatlib import moisture as m

psychrolib.SetUnitSystem(psychrolib.SI)
P = 101325.0
HIGH = 79495.0
"""Air pressure 2,000 m above the sea, ISO 2533 (memory) [Pa]."""


def ratio(t, rh, p=P):
    return psychrolib.GetHumRatioFromRelHum(t, rh, p)


def saturation_kpa(t):
    """FAO56, equation 11 (memory)."""
    return 0.6108 * np.exp(17.27 * t / (t + 237.3))


@pytest.mark.parametrize("p", [P, HIGH])
def test_ventilation_loss(outside, p):
    sensible, latent = m.ventilation_loss(50.0, 1.0, 10.0, 0.85, -10.0, 0.8, p)
    flow = 50 / 3600 / psychrolib.GetMoistAirVolume(10.0, ratio(10.0, 0.85, p), p)
    whole = psychrolib.GetMoistAirEnthalpy(10.0, ratio(10.0, 0.85, p)) - psychrolib.GetMoistAirEnthalpy(
        -10.0, ratio(-10.0, 0.8, p)
    )
    outside(
        "moisture.ventilation_loss", sensible + latent, flow * whole, source="psychrolib", rel=6e-3, why="its 0.5 %"
    )
    outside(
        "moisture.ventilation_loss",
        sensible,
        flow * 1009 * 20,
        source="closed form m·c·ΔT",
        rel=5e-3,
        why="c of moist air",
    )
    expected = flow * (ratio(10.0, 0.85, p) - ratio(-10.0, 0.8, p)) * 2519e3
    outside(
        "moisture.ventilation_loss", latent, expected, source="steam table: vapour at 10 °C", rel=8e-3, why="psychrolib"
    )


@pytest.mark.parametrize("inside", [24.0, 30.0, 36.0])
def test_sensible_loss_of_warm_damp_air_at_height(outside, inside):
    """The water both airs hold warms along: 1,006 and 1,860 J/kg·K (ASHRAE2017PSY, equation 30)."""
    sensible, _ = m.ventilation_loss(50.0, 1.0, inside, 0.9, 60.0 - inside, 0.9, HIGH)
    flow = 50 / 3600 / psychrolib.GetMoistAirVolume(inside, ratio(inside, 0.9, HIGH), HIGH)
    drier = ratio(min(inside, 60.0 - inside), 0.9, HIGH)
    expected = flow * (1006 + 1860 * drier) * (2 * inside - 60.0)
    outside("moisture.ventilation_loss", sensible, expected, source="psychrolib's water and volume", rel=5e-3, abs=1e-9,
            why="its 0.5 %")  # fmt: skip


def test_ventilation_loss_of_dry_air_is_the_trade_factor(outside):
    sensible, latent = m.ventilation_loss(100.0, 1.0, 20.0, 0.0, 0.0, 0.0)
    outside(
        "moisture.ventilation_loss",
        sensible,
        0.33 * 100 * 20,
        source="MURPHY 9.3: 0.33·N·V·ΔT",
        rel=0.02,
        why="2 digits",
    )
    assert latent == pytest.approx(0, abs=1e-9)


@given(*[st.floats(-30, 45)] * 2, *[st.floats(0, 1)] * 2)
def test_ventilation_shares_make_the_whole(inside, outside_air, rh_in, rh_out):
    sensible, latent = m.ventilation_loss(60.0, 2.0, inside, rh_in, outside_air, rh_out)
    flow = 60 * 2 / 3600 / moist_air.specific_volume(inside, rh_in)
    whole = flow * (moist_air.enthalpy(inside, rh_in) - moist_air.enthalpy(outside_air, rh_out))
    assert sensible + latent == pytest.approx(whole, abs=1e-6)
    assert sensible * (inside - outside_air) >= 0
    drier = moist_air.humidity_ratio(inside, rh_in) - moist_air.humidity_ratio(outside_air, rh_out)
    assert latent * drier >= -1e-9


def test_pane_surface_temperature(outside):
    got = m.pane_surface_temperature(5.6, 21.0, -1.0, 0.123)
    outside("moisture.pane_surface_temperature", got, 5.85, source="MURPHY example 9.6", abs=0.01, why="two digits")
    # single pane: U 7.393 with an inner film of 10 W/m²K
    got = m.pane_surface_temperature(1 / 0.1352564, 20.0, -10.0, 0.1)
    outside("moisture.pane_surface_temperature", got, -2.18, source="CENGEL example 3.2", abs=0.01, why="two digits")
    assert m.pane_surface_temperature(5.0, 12.0, 12.0) == 12.0


@pytest.mark.parametrize("p", [P, HIGH])
@pytest.mark.parametrize(("t", "rh"), [(40.0, 0.14), (25.0, 0.5), (15.0, 0.3), (5.0, 0.7)])
def test_wet_bulb_gives_off_what_the_air_brings(outside, t, rh, p):
    # at the wet bulb the heat brought by the air evaporates the water; without radiation a real bulb is near that,
    # by the factor Le^⅔ = 0.91 of the analogy
    bulb = psychrolib.GetTWetBulbFromHumRatio(t, ratio(t, rh, p), p)
    got = m.vapour_flow(bulb, t, rh, 5.0, p) * (2501e3 - 2.365e3 * bulb)
    expected = 5.0 * (t - bulb) / 0.911
    outside(
        "moisture.vapour_flow",
        got,
        expected,
        source="psychrometer equation",
        rel=0.03,
        why="its ideal gas; W against h",
    )


def test_vapour_flow_and_condensation(outside):
    # Lewis' rule by hand: h/(c_p·0.87^⅔)·ΔW with psychrolib's humidity ratios
    expected = 4.0 / ((1006 + 1860 * ratio(20.0, 0.8)) * 0.9115) * (ratio(20.0, 0.8) - ratio(5.0, 1.0))
    got = m.condensation_rate(5.0, 20.0, 0.8, 4.0)
    outside(
        "moisture.condensation_rate",
        got,
        expected,
        source="INCROPERA equation 6.60",
        rel=0.01,
        why="psychrolib's 0.5 %",
    )
    assert m.vapour_flow(5.0, 20.0, 0.8, 4.0) == pytest.approx(-got)
    assert m.condensation_rate([10.0, 20.0], 20.0, 0.5, 4.0) == pytest.approx([0.0, 0.0], abs=2e-6)
    assert m.condensation_rate(15.0, 20.0, 0.5) == 0.0
    assert m.vapour_flow(15.0, 20.0, 0.5) > 0
    assert m.vapour_flow(5.0, 20.0, 0.8, 8.0) == pytest.approx(-2 * got)
    assert m.vapour_flow(5.0, 20.0, 0.8) == pytest.approx(-got * 3 / 4)
    assert type(m.condensation_rate(5.0, 20.0, 0.8)) is float


def test_vapour_of_warm_damp_air_at_height(outside):
    """Its water makes the air a tenth harder to warm, so a kilogram of it carries a tenth less away."""
    expected = (
        4.0 / ((1006 + 1860 * ratio(40.0, 0.9, HIGH)) * 0.9115) * (ratio(40.0, 0.9, HIGH) - ratio(25.0, 1.0, HIGH))
    )
    got = m.condensation_rate(25.0, 40.0, 0.9, 4.0, HIGH)
    source, why = "INCROPERA equation 6.60", "psychrolib's 0.5 %"
    outside("moisture.condensation_rate", got, expected, source=source, rel=0.01, why=why)


@pytest.mark.parametrize("p", [P, HIGH])
@pytest.mark.parametrize(
    ("u", "inside", "rh", "outside_air"), [(5.6, 10.0, 0.85, -24.0), (2.8, 18.0, 0.9, -5.0), (5.6, 25.0, 0.95, 2.0)]
)
def test_pane_drip(outside, u, inside, rh, outside_air, p):
    def balance(surface):
        latent = 2501e3 - 2365 * surface if surface >= 0 else 2834.4e3 - 200 * surface
        held, carried = ratio(surface, 1.0, p), ratio(inside, rh, p)
        rate = 3 / ((1006 + 1860 * carried) * 0.9115) * (carried - held)
        return (inside - surface) / 0.13 + rate * latent - (surface - outside_air) / (1 / u - 0.13), rate

    surface = brentq(lambda t: balance(t)[0], outside_air, inside)
    drip = m.pane_drip(u, inside, rh, outside_air, pressure=p)
    source = "scipy brentq with psychrolib"
    outside("moisture.pane_drip", drip.surface_temperature, surface, source=source, abs=0.02, why="psychrolib's 0.5 %")
    outside("moisture.pane_drip", drip.rate, balance(surface)[1], source=source, rel=0.015, why="psychrolib's 0.5 %")
    dry = m.pane_surface_temperature(u, inside, outside_air)
    assert dry < drip.surface_temperature < drip.dew_point == moist_air.dew_point(inside, rh, p)
    assert drip.rate < m.condensation_rate(dry, inside, rh, pressure=p)
    # the latent heat is what the balance lacks
    got = (drip.surface_temperature - outside_air) / (1 / u - 0.13) - (inside - drip.surface_temperature) / 0.13
    assert drip.latent_heat == pytest.approx(got, rel=1e-9)


def test_pane_that_stays_dry():
    drip = m.pane_drip(2.8, 20.0, 0.3, 0.0)
    assert drip.rate == drip.latent_heat == 0
    assert drip.surface_temperature == m.pane_surface_temperature(2.8, 20.0, 0.0)
    assert drip.dew_point == moist_air.dew_point(20.0, 0.3)


def test_textbook_pane_is_wet():
    # MURPHY 9.6: 21/−1 °C and 50 % on a single pane of U 5.6: wet; a double one of 2.8 stays dry
    assert m.pane_drip(5.6, 21.0, 0.5, -1.0, surface_resistance=0.123).rate > 0
    assert m.pane_drip(2.8, 21.0, 0.5, -1.0, surface_resistance=0.123).rate == 0


def test_frost_sets_more_heat_free():
    # 0.01 K either side of freezing the heat of evaporation differs by that of melting
    assert m.evaporation_heat(-0.001) - m.evaporation_heat(0.001) == pytest.approx(333.4e3, rel=1e-3)
    assert m.evaporation_heat(0.0) == pytest.approx(2500.9e3, rel=1e-3)
    assert type(m.evaporation_heat(0.0)) is float
    with pytest.raises(ValueError, match="surface temperature"):
        m.evaporation_heat(91.0)


def test_evaporation_heat(outside):
    got = m.evaporation_heat(np.array([0.01, 20.0, 30.0]))
    outside("moisture.evaporation_heat", got, [2500.9e3, 2453.5e3, 2429.8e3], source="IAPWS95", rel=1e-3, why="a line")
    ice = [2836.6e3, 2838.1e3, 2838.7e3, 2838.6e3]  # worked out from IAPWS's vapour less its ice
    got = m.evaporation_heat(np.array([-10.0, -20.0, -30.0, -40.0]))
    outside("moisture.evaporation_heat", got, ice, source="IAPWS95 and IAPWS06", rel=1e-4, why="a parabola")


@pytest.mark.parametrize("p", [P, HIGH])
@pytest.mark.parametrize("evaporation", [0.0, 0.5])
@pytest.mark.parametrize("rh", [0.4, 0.85])
def test_condensed_water(outside, evaporation, rh, p):
    volume, area, surface, inside, convection = 50.0, 30.0, 3.0, 12.0, 3.0
    air = volume / psychrolib.GetMoistAirVolume(inside, ratio(inside, rh, p), p)
    beta = area * convection / ((1006 + 1860 * ratio(inside, rh, p)) * 0.9115)

    def rates(_, state):
        settling = beta * max(0.0, state[0] - ratio(surface, 1.0, p))
        return [(evaporation / 3600 - settling) / air, settling]

    for hours in (0.2, 1.0, 6.0):
        done = solve_ivp(rates, (0, 3600 * hours), [ratio(inside, rh, p), 0.0], rtol=1e-8, atol=1e-10, max_step=30)
        got = m.condensed_water(hours, volume, area, surface, inside, rh, evaporation, convection, p)
        why = "psychrolib's 0.5 % in what is held and what settles"
        outside("moisture.condensed_water", got, done.y[1, -1], source="scipy solve_ivp", rel=0.02, abs=2e-3, why=why)


def test_condensed_water_is_limited_by_the_water_that_is_there():
    carried = (
        50
        / moist_air.specific_volume(12.0, 0.9)
        * (moist_air.humidity_ratio(12.0, 0.9) - moist_air.saturation_humidity_ratio(0.0))
    )
    assert m.condensed_water(48.0, 50.0, 30.0, 0.0, 12.0, 0.9) == pytest.approx(carried, rel=1e-9)
    assert m.condensed_water(48.0, 50.0, 30.0, 11.0, 12.0, 0.5) == 0
    assert m.condensed_water([0.0, 1.0], 50.0, 30.0, 0.0, 12.0, 0.9)[0] == 0
    # saturated air on a pane just as warm: nothing to settle and nothing that evaporates
    assert m.condensed_water(1.0, 50.0, 30.0, 10.0, 10.0, 1.0) == 0.0
    one, two = m.condensed_water([10.0, 11.0], 50.0, 30.0, 0.0, 12.0, 0.9, 0.3)
    assert two - one == pytest.approx(0.3, rel=1e-6)


def test_evaporation_of_a_lawn(outside):
    # reference grass: surface resistance 70 s/m, aerodynamic 208/u2; vapour pressures are means of day and night
    source, why = "FAO56 example 17, Bangkok in April (memory)", "FAO rounds its constants (900, 0.34, λ 2.45)"
    held = (saturation_kpa(34.8) + saturation_kpa(25.6)) / 2 - 2.85
    rh = 1 - held / saturation_kpa(30.2)
    got = m.evaporation_rate(30.2, rh, 14.19e6 / 86400, 70.0, 208 / 2.0) * 86400
    outside("moisture.evaporation_rate", got, 5.72, source=source, rel=0.01, why=why)
    source = "FAO56 example 18, Uccle in July (memory)"
    held = (saturation_kpa(21.5) + saturation_kpa(12.3)) / 2 - 1.409
    rh = 1 - held / saturation_kpa(16.9)
    got = m.evaporation_rate(16.9, rh, 13.28e6 / 86400, 70.0, 208 / 2.078, pressure=100.1e3) * 86400
    outside("moisture.evaporation_rate", got, 3.88, source=source, rel=0.01, why=why)
    source = "FAO56 example 19, N'Diaye, an hour of day and of night (memory)"
    got = m.evaporation_rate(38.0, 0.52, 1.574e6 / 3600, 70.0, 208 / 3.3) * 3600
    outside("moisture.evaporation_rate", got, 0.63, source=source, rel=0.015, why="two digits")
    got = m.evaporation_rate(28.0, 0.90, -0.05e6 / 3600, 70.0, 208 / 1.9) * 3600
    outside("moisture.evaporation_rate", got, 0.0, source=source, abs=0.006, why="printed as 0.00 mm")


def test_evaporation_in_saturated_air(outside):
    # only radiation drives it then: Δ/(Δ + γ), with FAO's Δ 0.145 and γ 0.0674 kPa/K at 20 °C
    got = m.evaporation_rate(20.0, 1.0, 100.0, 0.0) * 2453.5e3 / 100
    outside("moisture.evaporation_rate", got, 0.145 / 0.2124, source="FAO56 annex 2 (memory)", rel=5e-3, why="3 digits")
    # and one metre of bare water evaporated by 1 kW/m² for an hour, all heat in water: 1.48 kg at most
    outside_bound = m.evaporation_rate(37.0, 1.0, 1000.0, 0.0) * 3600
    assert 0.8 * 1.48 < outside_bound < 1.48


def test_evaporation_of_a_tall_stand(outside):
    # STANGHELLINI: 2·LAI times the leaf's exchange; by hand at 20 °C, 80 %, dark, LAI 2
    slope, gamma, heat = 145.0, 66.6, 1.194 * 1006
    latent = (4 * heat * 2338 * 0.2 / 200) / (slope + gamma * (1 + 300 / 200)) / 2453.5e3
    got = m.evaporation_rate(20.0, 0.8, 0.0, 300.0, 200.0, 4.0)
    outside("moisture.evaporation_rate", got, latent, source="STANGHELLINI1987 by hand", rel=0.015, why="3 digits")


def test_evaporation_scales():
    base = m.evaporation_rate(20.0, 0.8, 0.0)
    assert m.evaporation_rate(20.0, 0.6, 0.0) == pytest.approx(2 * base, rel=2e-3)
    assert m.evaporation_rate(20.0, 0.8, 0.0, exchange_area=2.0) == pytest.approx(2 * base)
    assert m.evaporation_rate(20.0, 1.0, 100.0) == pytest.approx(-m.evaporation_rate(20.0, 1.0, -100.0))
    assert m.evaporation_rate(20.0, 0.8, 0.0, 400.0, 400.0) == pytest.approx(
        0.5 * m.evaporation_rate(20.0, 0.8, 0.0, 200.0, 200.0)
    )
    assert m.evaporation_rate(20.0, 0.8, 0.0, 70.0, 200.0, 1.0, P) == base


def test_defaults_are_those_told():
    assert m.vapour_flow(5.0, 12.0, 0.8) == m.vapour_flow(5.0, 12.0, 0.8, 3.0, P)
    assert m.condensation_rate(5.0, 12.0, 0.8) == m.condensation_rate(5.0, 12.0, 0.8, 3.0, P)
    assert m.pane_drip(5.0, 12.0, 0.8, 0.0) == m.pane_drip(5.0, 12.0, 0.8, 0.0, 3.0, 0.13, P)
    assert m.pane_surface_temperature(5.0, 12.0, 0.0) == m.pane_surface_temperature(5.0, 12.0, 0.0, 0.13)
    dripped = m.condensed_water(0.1, 50.0, 30.0, 0.0, 12.0, 0.9)
    assert dripped == m.condensed_water(0.1, 50.0, 30.0, 0.0, 12.0, 0.9, 0.0, 3.0, P)
    assert m.evaporation_rate(20.0, 0.8, 50.0) == m.evaporation_rate(20.0, 0.8, 50.0, 70.0, 200.0, 1.0, P)
    changed = m.ventilation_loss(50.0, 1.0, 12.0, 0.9, 0.0, 0.5)
    assert changed == m.ventilation_loss(50.0, 1.0, 12.0, 0.9, 0.0, 0.5, P)


def test_array_is_scalar():
    got = m.ventilation_loss(50.0, [1.0, 2.0], 10.0, 0.8, [-5.0, 0.0], 0.7)
    one = [m.ventilation_loss(50.0, n, 10.0, 0.8, t, 0.7) for n, t in ((1.0, -5.0), (2.0, 0.0))]
    assert np.array(got).T == pytest.approx(np.array(one))
    drip = m.pane_drip([5.6, 1.0], 10.0, 0.8, -10.0)
    ones = [m.pane_drip(u, 10.0, 0.8, -10.0) for u in (5.6, 1.0)]
    assert drip.rate == pytest.approx([x.rate for x in ones], rel=1e-6)
    assert drip.surface_temperature == pytest.approx([x.surface_temperature for x in ones])
    got = m.condensed_water([1.0, 2.0], 50.0, 30.0, [2.0, 14.0], 12.0, 0.8, [0.0, 1.0])
    assert got == pytest.approx(
        [
            m.condensed_water(1.0, 50.0, 30.0, 2.0, 12.0, 0.8, 0.0),
            m.condensed_water(2.0, 50.0, 30.0, 14.0, 12.0, 0.8, 1.0),
        ]
    )
    got = m.evaporation_rate([5.0, 20.0], [0.5, 0.9], 50.0)
    assert got == pytest.approx([m.evaporation_rate(5.0, 0.5, 50.0), m.evaporation_rate(20.0, 0.9, 50.0)])
    assert m.vapour_flow([5.0, 9.0], 12.0, 0.8) == pytest.approx([m.vapour_flow(t, 12.0, 0.8) for t in (5.0, 9.0)])


@pytest.mark.parametrize(
    ("call", "words"),
    [
        (lambda: m.ventilation_loss(-1.0, 1.0, 10.0, 0.5, 0.0, 0.5), "volume must be between 0 and 100000 m³"),
        (lambda: m.ventilation_loss(1.001e5, 1.0, 10.0, 0.5, 0.0, 0.5), "volume"),
        (
            lambda: m.ventilation_loss(1.0, -1.0, 10.0, 0.5, 0.0, 0.5),
            "air changes per hour must be between 0 and 200 1/h",
        ),
        (lambda: m.ventilation_loss(1.0, 201.0, 10.0, 0.5, 0.0, 0.5), "air changes per hour"),
        (
            lambda: m.ventilation_loss(1.0, 1.0, 10.0, 50, 0.0, 0.5),
            "relative humidity .0 to 1. must be between 0 and 1",
        ),
        (lambda: m.ventilation_loss(1.0, 1.0, 70.0, 0.5, 0.0, 0.5), "air temperature"),
        (lambda: m.ventilation_loss([1.0, 2.0], [1.0] * 3, 10.0, 0.5, 0.0, 0.5), "same length"),
        (lambda: m.pane_surface_temperature(0.0, 10.0, 0.0), "U-value must be greater than 0 W/m²·K and at most 20"),
        (lambda: m.pane_surface_temperature(20.1, 10.0, 0.0, 0.01), "U-value"),
        (lambda: m.pane_surface_temperature(8.0, 10.0, 0.0), "U-value must be less than 7.69 W/m²·K with an inner"),
        (lambda: m.pane_surface_temperature(10.0, 10.0, 0.0, 0.1), "U-value must be less than 10 W/m²·K"),
        (lambda: m.pane_surface_temperature(5.0, 91.0, 0.0), "inside temperature"),
        (lambda: m.pane_surface_temperature(5.0, 10.0, -61.0), "outside temperature"),
        (lambda: m.pane_surface_temperature(5.0, 10.0, 0.0, 0.0), "inner surface resistance"),
        (lambda: m.pane_surface_temperature(0.5, 10.0, 0.0, 1.01), "inner surface resistance"),
        (lambda: m.pane_surface_temperature([5.0, 4.0], [1.0] * 3, 0.0), "same length"),
        (lambda: m.vapour_flow(5.0, 20.0, 0.8, -1.0), "convection coefficient must be between 0 and 500"),
        (lambda: m.vapour_flow(5.0, 20.0, 0.8, 501.0), "convection coefficient"),
        (lambda: m.vapour_flow([5.0, 6.0], [20.0] * 3, 0.8), "same length"),
        (lambda: m.condensation_rate(61.0, 20.0, 0.8), "air temperature"),
        (lambda: m.pane_drip(5.0, 20.0, 0.0, 0.0), "relative humidity"),
        (lambda: m.condensed_water(-1.0, 50.0, 30.0, 0.0, 10.0, 0.9), "duration must be between 0 and 48 h"),
        (lambda: m.condensed_water(48.1, 50.0, 30.0, 0.0, 10.0, 0.9), "duration"),
        (lambda: m.condensed_water(1.0, 0.0, 30.0, 0.0, 10.0, 0.9), "volume"),
        (lambda: m.condensed_water(1.0, 1.001e5, 30.0, 0.0, 10.0, 0.9), "volume"),
        (lambda: m.condensed_water(1.0, 50.0, 0.0, 0.0, 10.0, 0.9), "pane area"),
        (lambda: m.condensed_water(1.0, 50.0, 1.001e5, 0.0, 10.0, 0.9), "pane area"),
        (lambda: m.condensed_water(1.0, 50.0, 30.0, 0.0, 10.0, 0.9, -1.0), "evaporation"),
        (lambda: m.condensed_water(1.0, 50.0, 30.0, 0.0, 10.0, 0.9, 1001.0), "evaporation"),
        (
            lambda: m.condensed_water(1.0, 50.0, 30.0, 0.0, 10.0, 0.9, 0.0, 0.0),
            "convection coefficient must be greater than 0",
        ),
        (lambda: m.condensed_water([1.0, 2.0], [50.0] * 3, 30.0, 0.0, 10.0, 0.9), "same length"),
        (lambda: m.evaporation_rate(-1.0, 0.5, 100.0), "air temperature must be between 0 and 60 °C"),
        (lambda: m.evaporation_rate(61.0, 0.5, 100.0), "air temperature"),
        (lambda: m.evaporation_rate(20.0, 1.5, 100.0), "relative humidity"),
        (lambda: m.evaporation_rate(20.0, 0.5, 1001.0), "net radiation must be between -200 and 1000 W/m²"),
        (lambda: m.evaporation_rate(20.0, 0.5, -201.0), "net radiation"),
        (lambda: m.evaporation_rate(20.0, 0.5, 100.0, -1.0), "surface resistance"),
        (lambda: m.evaporation_rate(20.0, 0.5, 100.0, 10001.0), "surface resistance"),
        (
            lambda: m.evaporation_rate(20.0, 0.5, 100.0, 70.0, 4.0),
            "aerodynamic resistance must be between 5 and 1000 s/m",
        ),
        (lambda: m.evaporation_rate(20.0, 0.5, 100.0, 70.0, 1001.0), "aerodynamic resistance"),
        (lambda: m.evaporation_rate(20.0, 0.5, 100.0, 70.0, 200.0, 0.0), "exchange area"),
        (lambda: m.evaporation_rate(20.0, 0.5, 100.0, 70.0, 200.0, 20.1), "exchange area"),
        (lambda: m.evaporation_rate(20.0, 0.5, 100.0, pressure=60e3), "air pressure"),
        (lambda: m.evaporation_rate([20.0, 21.0], 0.5, [100.0] * 3), "same length"),
        (lambda: m.evaporation_rate([20.0, 21.0], 0.5, 100.0, [70.0] * 3), "same length"),
    ],
)
def test_refusals(call, words):
    with pytest.raises(ValueError, match=words):
        call()


def test_no_warning_where_nothing_evaporates():
    """Air drier than the pane, just as damp, damper: with dry soil the first waits for ever, and nothing is settled."""
    with np.errstate(divide="raise", invalid="raise"):
        dry, even, damp = m.condensed_water(1.0, 50.0, 30.0, [15.0, 10.0, 2.0], 10.0, 1.0)
    assert dry == even == 0 < damp


def test_the_first_seconds_drip_at_the_full_rate():
    """In 3.6 s the excess of the air, which fades in a quarter of an hour, has hardly changed."""
    got = m.condensed_water(1e-3, 50.0, 30.0, 2.0, 12.0, 0.9)
    assert got == pytest.approx(3.6 * 30 * m.condensation_rate(2.0, 12.0, 0.9), rel=0.01)


def test_a_film_that_would_be_all_of_a_pane_is_refused():
    """U 5 with an inner film of 0.2 leaves no pane: 1/5 − 0.2 = 0."""
    with pytest.raises(
        ValueError, match=r"U-value must be less than 5 W/m²·K with .* of 0\.2 m²·K/W, but it is 5 W/m²·K"
    ):
        m.pane_surface_temperature(5.0, 20.0, 0.0, 0.2)
    with pytest.raises(ValueError, match="U-value must be less than 5 W/m²·K"):
        m.pane_surface_temperature([4.0, 7.5], 20.0, 0.0, 0.2)
    assert m.pane_surface_temperature(4.999, 20.0, 0.0, 0.2) == pytest.approx(20 - 0.9998 * 20)


@pytest.mark.parametrize("t", [5.0, 20.0, 35.0])
def test_slope_of_saturation_in_evaporation(outside, t):
    """Saturated air and no leaf in the way: E·λ/R is Δ/(Δ + γ), which gives the slope Δ of the vapour pressure back."""
    latent = m.evaporation_heat(t)
    share = m.evaporation_rate(t, 1.0, 100.0, 0.0) * latent / 100
    gamma = 1006 * P / (0.621945 * latent)
    pressures = [psychrolib.GetSatVapPres(t + d) for d in (-0.05, 0.05)]
    slope = (pressures[1] - pressures[0]) / 0.1
    outside("moisture.evaporation_rate", gamma * share / (1 - share), slope, source="psychrolib's vapour pressure",
            rel=2.5e-3, why="vapour as an ideal gas")  # fmt: skip


def test_dry_surfaces_give_plain_zero():
    """Not −0.0, which would be printed with its sign."""
    rates = m.condensation_rate([20.0, 25.0], 20.0, 1.0)
    assert not np.signbit(rates).any() and str(m.condensation_rate(20.0, 20.0, 1.0)) == "0.0"


def test_a_pane_in_saturated_air_at_freezing():
    """A dew point of exactly 0 °C is a number like any other."""
    drip = m.pane_drip(5.0, 0.0, 1.0, -10.0)
    assert drip.dew_point == pytest.approx(0.0, abs=1e-6)
    assert m.pane_surface_temperature(5.0, 0.0, -10.0) < drip.surface_temperature < 0 < drip.rate

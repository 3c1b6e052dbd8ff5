"""Panes, films, curtains and snow: against published U-values, closed heat balances and their limits."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from heatlib import conduction as c
from heatlib import curtain as k
from heatlib import glazing as g
from heatlib.sky import radiation_coefficient

SIGMA = 5.670374419e-8
FILMS = [n for n in g.glazing_names() if n.startswith("film")]


@pytest.mark.parametrize("name, expected", [("glass_single", 5.6), ("glass_double", 2.8)])
def test_u_values_of_the_textbook(outside, name, expected):
    got = g.glazing_u_value(name)
    outside("glazing.glazing_u_value", got, expected, source="MURPHY examples 9.1 and 9.6", rel=0.05, why="two digits")


@pytest.mark.parametrize(
    "name, low, high",
    [
        ("glass_single", 6.2, 6.3),
        ("glass_double", 2.8, 4.0),
        ("film_single", 6.2, 6.8),
        ("film_double", 4.0, 4.0),
        ("polycarbonate_twin_8", 3.2, 3.6),
        ("acrylic_double", 3.2, 3.6),
    ],
)
def test_u_values_of_greenhouse_practice(outside, name, low, high):
    # the greenhouse standard reckons with 6.7 m/s of wind
    outside(
        "glazing.glazing_u_value",
        g.glazing_u_value(name, wind_speed=6.7),
        (low + high) / 2,
        source="EP406 (memory)",
        rel=0.1,
        abs=(high - low) / 2,
        why="printed as ranges, kinds of sheet not stated",
    )


def test_single_glass_by_hand(outside):
    for thickness, expected in ((0.004, 5.75), (0.006, 5.68)):
        r = c.series(0.13, c.layer_resistance(thickness, 1.0), 0.04)
        outside("glazing.glazing_u_value", c.u_value(r), expected, source="EN673 (k = 1.0)", rel=2e-3, why="rounded")
    got = g.glazing_resistance("glass_single")
    outside("glazing.glazing_resistance", got, 0.004, source="EN673: 4 mm over 1.0 W/m·K", rel=0.03, why="two digits")


@pytest.mark.parametrize(
    "name, mm, expected",
    [("polycarbonate_twin_4", 4, 3.9), ("polycarbonate_twin_6", 6, 3.5), ("polycarbonate_twin_10", 10, 3.0)],
)
def test_twin_wall_by_its_air_space(outside, name, mm, expected):
    # two thin skins and a gap crossed by webs: near the resistance of the bare gap, a little less for the webs
    gap = c.air_gap_resistance(mm / 1000 - 0.001, 12.0, 2.0, 90.0)
    bare = 1 / (0.17 + gap + 2 * 0.0005 / 0.2)
    outside(
        "glazing.glazing_u_value", g.glazing_u_value(name), bare, source="ISO15099 gap, no webs", rel=0.15, why="webs"
    )
    source = "sheet makers' common values (memory)"
    outside("glazing.glazing_u_value", g.glazing_u_value(name), expected, source=source, rel=0.02, why="two digits")


@pytest.mark.parametrize("name", g.glazing_names())
def test_every_row_gives_back_its_u_value(name):
    from heatlib.tables import entry

    row = entry("glazings", name, "u_value")
    for bound in ("low", "value", "high"):
        assert g.glazing_u_value(name, bound=bound) == pytest.approx(getattr(row, bound), rel=1e-12)
        assert g.glazing_resistance(name, bound) >= 0
        assert g.glazing_resistance(name, bound, wet=True) >= 0
    assert g.glazing_u_value(name, "up") > g.glazing_u_value(name) > g.glazing_u_value(name, "down")
    winds = [g.glazing_u_value(name, wind_speed=w) for w in (0.0, 2.0, 5.0, 20.0)]
    assert winds == sorted(winds) and winds[0] < winds[-1]
    if name in FILMS:
        assert g.glazing_u_value(name, wet=True) < g.glazing_u_value(name)
    else:
        assert g.glazing_u_value(name, wet=True) == g.glazing_u_value(name)


def test_wet_film_has_no_rays_straight_through(outside):
    # a wet film is a skin like any other: the films of air are all it has
    got = g.glazing_u_value("film_single", wet=True)
    outside(
        "glazing.glazing_u_value",
        got,
        1 / 0.17,
        source="ISO6946 films only",
        rel=0.03,
        why="the skin itself has next to no resistance",
    )
    assert g.glazing_resistance("film_double", wet=True) == pytest.approx(1 / 3.15 - 0.17)
    flow = g.glazing_heat_flow("film_single", 5.0, -10.0, -30.0, wet=True)
    assert flow.straight_through == 0.0
    assert flow.heat < g.glazing_heat_flow("film_single", 5.0, -10.0, -30.0).heat


def test_u_value_in_wind(outside):
    # single glass: 0.13 + 0.0039 inside and pane, outside 1/(4 + 4v + 4.14)
    r = 1 / 5.75 - 0.04
    for wind in (0.0, 1.0, 8.0):
        expected = 1 / (r + 1 / (4 + 4 * wind + 0.9 * 4 * SIGMA * 273.15**3))
        got = g.glazing_u_value("glass_single", wind_speed=wind)
        outside("glazing.glazing_u_value", got, expected, source="ISO6946 annex (closed form)", rel=1e-7, why="exact")


def test_dry_film_by_hand(outside):
    # straight through goes 0.7 of a black pair at 20 and 0 °C; films with ε 0.2
    straight = 0.7 * radiation_coefficient(20.0, 0.0, 1.0)
    inner = 1 / 0.13 - 0.7 * 4 * SIGMA * 293.15**3
    outer = 1 / 0.04 - 0.7 * 4 * SIGMA * 273.15**3
    expected = 1 / (6.6 - straight) - 1 / inner - 1 / outer
    got = g.glazing_resistance("film_single")
    outside("glazing.glazing_resistance", got, expected, source="ISO6946 annex (closed form)", rel=1e-6, why="exact")


def test_pane_without_a_cold_sky_is_near_its_u_value(outside):
    # at a mean of some 10 °C, sky as warm as the air, 4 m/s, wall: the standard's own case
    flow = g.glazing_heat_flow("glass_double", 20.0, 0.0, 0.0)
    outside(
        "glazing.glazing_heat_flow", flow.heat, 20 * 2.8, source="ISO6946 (limit)", rel=0.02, why="film temperature"
    )
    outside(
        "glazing.glazing_heat_flow", flow.inner_face, 20 - 56 * 0.13, source="ISO6946 (limit)", abs=0.3, why="films"
    )


@pytest.mark.parametrize("name", ["glass_single", "polycarbonate_twin_8", "film_single", "film_double"])
@pytest.mark.parametrize("tilt, wet", [(0.0, False), (35.0, True), (90.0, False)])
def test_pane_balances_against_a_root_finder(outside, name, tilt, wet):
    from scipy.optimize import fsolve

    room, air, above, wind = 6.0, -18.0, -38.0, 1.5
    rays, share = (
        (0.9, 0.0) if wet or not name.startswith("film") else {"film_single": (0.2, 0.7)}.get(name, (0.25, 0.5))
    )
    inside = 2.5 if tilt > 60 else 5.0
    view = (1 + np.cos(np.radians(tilt))) / 2
    r = g.glazing_resistance(name, wet=wet)

    def fourth(t):
        return SIGMA * (t + 273.15) ** 4

    def flows(faces):
        i, o = faces
        come = inside * (room - i) + rays * (fourth(room) - fourth(i))
        go = (4 + 4 * wind) * (o - air) + rays * (fourth(o) - view * fourth(above) - (1 - view) * fourth(air))
        return come, go

    i, o = fsolve(lambda f: [flows(f)[0] - flows(f)[1], flows(f)[0] * r - (f[0] - f[1])], [0.0, -10.0], xtol=1e-12)
    straight = share * (fourth(room) - view * fourth(above) - (1 - view) * fourth(air))
    got = g.glazing_heat_flow(name, room, air, above, tilt, wind, wet)
    source = "heat balance of both faces solved by scipy fsolve"
    expected = [flows((i, o))[0] + straight, straight, i, o]
    outside("glazing.glazing_heat_flow", list(got), expected, source=source, rel=1e-7, abs=1e-7, why="same physics")


@given(st.sampled_from(g.glazing_names()), st.floats(-40, 40), st.floats(-40, 40), st.floats(0, 20))
def test_pane_flow_limits(name, inside, outside_, colder):
    sky = outside_ - colder
    flow = g.glazing_heat_flow(name, inside, outside_, sky, 40.0, 3.0)
    even = g.glazing_heat_flow(name, inside, inside, inside, 40.0, 3.0)
    assert even.heat == pytest.approx(0.0, abs=1e-9)
    assert flow.heat >= g.glazing_heat_flow(name, inside, outside_, outside_, 40.0, 3.0).heat - 1e-9
    low, high = min(inside, sky), max(inside, outside_)
    assert low - 1e-9 <= flow.inner_face <= high + 1e-9 and low - 1e-9 <= flow.outer_face <= high + 1e-9


def test_a_dry_film_in_a_roof_by_hand(outside):
    # the table's 6.6 is for a wall in ordinary wind; of heat rays the film takes up 0.2 and lets 0.7 through
    warm, cold = 293.15, 273.15
    straight = 0.7 * SIGMA * (warm**2 + cold**2) * (warm + cold)
    inside, outside_ = (0.7 * 4 * SIGMA * t**3 for t in (warm, cold))
    skin = 1 / (6.6 - straight) - 1 / (1 / 0.13 - inside) - 1 / (1 / 0.04 - outside_)
    wind = 4 + 4 * 2.0 + 0.9 * 4 * SIGMA * cold**3
    expected = 1 / (1 / (1 / 0.10 - inside) + skin + 1 / (wind - outside_)) + straight
    source = "ISO6946 films with the rays taken out that the film does not take up, by hand"
    got = g.glazing_u_value("film_single", "up", 2.0)
    outside("glazing.glazing_u_value", got, expected, source=source, rel=1e-6, why="the same equation")


@pytest.mark.parametrize(
    ("room", "air", "sky", "convection"),
    # under a level pane heat that rises moves the air seven times as well as heat that sinks: 5.0 and 0.7
    # and the sky chills the pane below the air where house and air are as cold as can be
    [(5.0, -10.0, -30.0, 5.0), (0.0, 0.0, -30.0, 5.0), (-5.0, 20.0, 20.0, 0.7), (-60.0, -60.0, -100.0, 5.0)],
)
def test_a_level_pane_balances_at_both_faces(outside, room, air, sky, convection):
    flow = g.glazing_heat_flow("glass_single", room, air, sky, 0.0, 1.0)

    def rays(one, two):
        return 0.9 * SIGMA * ((one + 273.15) ** 4 - (two + 273.15) ** 4)

    inside = convection * (room - flow.inner_face) + rays(room, flow.inner_face)
    gone = (4 + 4 * 1.0) * (flow.outer_face - air) + rays(flow.outer_face, sky)
    source = "ISO6946 annex: 5.0 up, 0.7 down, 4 + 4·v outside; fourth powers"
    outside("glazing.glazing_heat_flow", [inside, gone], [flow.heat] * 2, source=source, rel=1e-6, why="both balances")


@pytest.mark.parametrize("level", [-60.0, 90.0])
@pytest.mark.parametrize("name", ["glass_single", "film_single"])
@pytest.mark.parametrize("tilt", [0.0, 30.0, 90.0])
def test_a_pane_at_the_end_of_the_range_is_answered(tilt, name, level):
    # in one wind or another the sum of the balance comes out a last digit above the range
    flow = g.glazing_heat_flow(name, level, level, level, tilt, [0.0, 1.0, 2.0, 4.0, 10.0])
    assert flow.heat == pytest.approx(0.0, abs=1e-9) and flow.straight_through == pytest.approx(0.0, abs=1e-9)
    assert flow.inner_face.tolist() == flow.outer_face.tolist() == [pytest.approx(level)] * 5


def test_pane_flow_arrays_bounds_and_refusals():
    both = g.glazing_heat_flow("glass_single", [5.0, 10.0], -10.0, -30.0, 30.0, [1.0, 4.0])
    one = g.glazing_heat_flow("glass_single", 10.0, -10.0, -30.0, 30.0, 4.0)
    assert both.heat[1] == pytest.approx(one.heat, abs=1e-9) and isinstance(one.heat, float)
    assert both.outer_face[1] == pytest.approx(one.outer_face)
    heats = [g.glazing_heat_flow("glass_double", 5.0, -10.0, -30.0, bound=b).heat for b in ("low", "value", "high")]
    assert heats == sorted(heats)
    assert g.glazing_heat_flow("glass_single", 5.0, -10.0, -10.0) == g.glazing_heat_flow(
        "glass_single", 5.0, -10.0, -10.0, 90.0, 4.0
    )
    # left out, the pane is a wall's, which sees half the sky
    upright = g.glazing_heat_flow("glass_single", 5.0, -10.0, -30.0, 90.0, 4.0)
    assert g.glazing_heat_flow("glass_single", 5.0, -10.0, -30.0) == upright
    for args, word in (
        (("glass", 5.0, 0.0, 0.0), "glazing 'glass' is not known"),
        (("glass_single", 95.0, 0.0, 0.0), "inside temperature"),
        (("glass_single", 5.0, -70.0, 0.0), "outside temperature"),
        (("glass_single", 5.0, 0.0, -121.0), "sky temperature"),
        (("glass_single", 5.0, 0.0, 0.0, 200.0), "tilt"),
        (("glass_single", 5.0, 0.0, 0.0, 90.0, -1.0), "wind speed"),
        (("glass_single", 5.0, 0.0, 0.0, 90.0, 4.0, "yes"), "wet must be True or False"),
        (("glass_single", 5.0, 0.0, 0.0, 90.0, 4.0, False, "most"), "bound 'most' is not known"),
    ):
        with pytest.raises(ValueError, match=word):
            g.glazing_heat_flow(*args)
    with pytest.raises(ValueError, match="direction"):
        g.glazing_u_value("glass_single", "sideways")


def test_framed_window(outside):
    # 1.23 × 1.48 m, sealed unit 2.8, wooden frame 1.8 over 30 %, aluminium spacer 0.06 W/m·K over 4.5 m
    area = 1.23 * 1.48
    got = g.framed_u_value(0.7 * area, 2.8, 0.3 * area, 1.8, 4.5, 0.06)
    outside("glazing.framed_u_value", got, 2.65, source="ISO10077 (equation, memory)", abs=0.01, why="two decimals")
    # the standard's table for 30 % of frame: pane 2.8, frame 1.8 gives 2.7
    outside("glazing.framed_u_value", got, 2.7, source="ISO10077 annex table (memory)", abs=0.1, why="one decimal")


def test_framed_limits_and_refusals():
    assert g.framed_u_value(2.0, 3.0, 0.0, 9.0) == 3.0
    assert g.framed_u_value(1.0, 0.0, 1.0, 30.0) == g.framed_u_value(1.0, 30.0, 1.0, 0.0) == 15.0
    assert g.framed_u_value(1.0, 3.0, 1.0, 5.0) == 4.0
    assert g.framed_u_value(1.0, 3.0, 1.0, 5.0, 10.0, 0.1) == 4.5
    # without a length, or without what a metre of it adds, the edge counts nothing
    assert (
        g.framed_u_value(1.0, 3.0, 1.0, 5.0, 10.0) == g.framed_u_value(1.0, 3.0, 1.0, 5.0, edge_conductance=0.1) == 4.0
    )
    assert g.framed_u_value([1.0, 2.0], 3.0, 0.0, 5.0).tolist() == [3.0, 3.0]
    for args, word in (
        ((0.0, 3.0, 1.0, 2.0), "pane area"),
        ((1.0, -3.0, 1.0, 2.0), "pane U-value"),
        ((1.0, 3.0, -1.0, 2.0), "frame area"),
        ((1.0, 3.0, 1.0, 31.0), "frame U-value"),
        ((1.0, 3.0, 1.0, 2.0, -1.0), "edge length"),
        ((1.0, 3.0, 1.0, 2.0, 1.0, 2.0), "edge conductance"),
    ):
        with pytest.raises(ValueError, match=word):
            g.framed_u_value(*args)


def test_pieced_wall(outside):
    # two sashes (5.8 with a fifth of wood at 2.0), 3 m² of twin-wall 3.3 and 4 m² of boards at 2.5
    pieces = [
        ("glass_salvaged", 1.0, 0.2, 2.0),
        ("glass_salvaged", 1.0, 0.2, 2.0),
        ("polycarbonate_twin_8", 3.0),
        (2.5, 4.0),
    ]
    expected = (2 * (0.8 * 5.8 + 0.2 * 2.0) + 3 * 3.3 + 4 * 2.5) / 9
    got = g.pieced_u_value(pieces)
    outside("glazing.pieced_u_value", got, expected, source="ISO6946 (area-weighted by hand)", rel=1e-9, why="exact")
    assert g.pieced_u_value(pieces, "low") < got < g.pieced_u_value(pieces, "high")
    assert g.pieced_u_value([("glass_single", 2.0)]) == pytest.approx(5.75)


def test_pieced_refusals():
    for pieces, word in (
        ([], "at least one piece"),
        ([("glass_single", 0.0)], "area of piece 1"),
        ([(1.0, 1.0), ("glass_single", 1.0, 0.2)], "piece 2 must have 2 or 4 entries"),
        ([("window", 1.0)], "glazing 'window' is not known"),
        ([(31.0, 1.0)], "U-value must be between 0 and 30 W/m²·K, but it is 31 W/m²·K"),
        ([(1.0, 1.0, 1.2, 2.0)], "frame share of piece 1"),
        ([(1.0, 1.0, 0.2, -2.0)], "frame U-value of piece 1"),
    ):
        with pytest.raises(ValueError, match=word):
            g.pieced_u_value(pieces)


@pytest.mark.parametrize(
    "kind, depth, worth",
    [("snow_fresh", 0.1, 2.0), ("snow_soft", 0.06, 0.5), ("snow_settled", 0.23, 1.0), ("snow_compacted", 0.3, 0.5)],
)
def test_snow_on_the_roof(outside, kind, depth, worth):
    got = 1 / g.u_value_with_snow(5.0, depth, kind) - 0.2
    source = "EN12524 rows for snow (0.05, 0.12, 0.23, 0.60 W/m·K)"
    outside("glazing.u_value_with_snow", got, worth, source=source, rel=1e-9, why="the same equation worked by hand")


def test_snow_limits_and_refusals():
    assert g.u_value_with_snow(5.0, 0.0) == 5.0
    assert g.u_value_with_snow([5.0, 2.0], 0.1).tolist() == pytest.approx([1 / 2.2, 1 / 2.5])
    assert g.u_value_with_snow(5.0, 0.1) == g.u_value_with_snow(5.0, 0.1, "snow_fresh")
    with pytest.raises(ValueError, match="snow depth must be between 0 and 5 m"):
        g.u_value_with_snow(5.0, 5.1)
    with pytest.raises(ValueError, match="kind of snow 'powder' is not known"):
        g.u_value_with_snow(5.0, 0.1, "powder")
    with pytest.raises(ValueError, match="U-value must be greater than 0"):
        g.u_value_with_snow(0.0, 0.1)


# curtains


def test_closed_curtain(outside):
    # a curtain that holds its air adds its own resistance and the gap's, as an inner shutter does
    expected = 1 / (1 / 5.75 + 0.3 + 0.18)
    got = k.window_with_curtain(5.75, 0.3)
    outside(
        "curtain.window_with_curtain",
        got,
        expected,
        source="ISO10077 shutter: R_sh + ΔR",
        rel=1e-9,
        why="the same equation worked by hand",
    )


def test_curtain_saving_is_what_was_measured(outside):
    # a Vermont house under double film saved 25 to 31 % of its fuel with a curtain, leaks and ground included; closed
    # cloth over the whole skin of 4.0 should therefore save somewhat more than that of the skin's own loss
    saved = 1 - k.window_with_curtain(4.0, 0.01, open_share=0.1) / 4.0
    outside(
        "curtain.window_with_curtain", saved, 0.38, source="SARE LNE10-299 (25–31 % of fuel)", abs=0.08, why="a band"
    )


def test_curtain_limits():
    assert k.window_with_curtain(4.0, 0.3, open_share=1.0) == pytest.approx(4.0)
    assert k.window_with_curtain(4.0, 0.3, edge_flow=1.0) == pytest.approx(4.0, rel=0.005)
    half = k.window_with_curtain(4.0, 0.3, open_share=0.5)
    assert half == pytest.approx((4.0 + k.window_with_curtain(4.0, 0.3)) / 2)
    assert k.window_with_curtain([4.0, 2.0], 0.07).tolist() == pytest.approx([2.0, 1 / 0.75])
    assert k.window_with_curtain(4.0, 0.07, 0.68) == pytest.approx(1.0)


def test_curtain_draught_by_hand(outside):
    # 1 L/s·m² of air carries 1.207 W/K; beside 1/(0.07 + 0.18) = 4 W/K through the cloth, then 4 W/K to the outside
    expected = 1 / (1 / (4 + 1.2 * 1006 * 0.001) + 1 / 4)
    got = k.window_with_curtain(4.0, 0.07, edge_flow=0.001)
    source = "heat balance by hand (ρ = 1.2, c = 1006)"
    outside("curtain.window_with_curtain", got, expected, source=source, rel=1e-9, why="exact")


def test_curtain_refusals():
    for args, word in (
        ((0.0, 0.1), "U-value"),
        ((31.0, 0.1), "U-value"),
        ((4.0, -0.1), "curtain resistance"),
        ((4.0, 0.1, 0.01), "gap resistance"),
        ((4.0, 0.1, 0.18, -1.0), "edge flow"),
        ((4.0, 0.1, 0.18, 0.0, 1.1), "open share"),
    ):
        with pytest.raises(ValueError, match=word):
            k.window_with_curtain(*args)


def test_edge_flow_by_hand(outside):
    # 2 m high, 20 mm above and below: s = 20/√2 mm; v = 0.6·√(2·g·2·15/278.15)
    expected = 0.6 * 0.02 / np.sqrt(2) * np.sqrt(2 * 9.80665 * 2 * 15 / 278.15) / 2
    got = k.curtain_edge_flow(2.0, 0.02, 0.02, 5.0, -10.0)
    source = "ASHRAE2013 thermal forces, two openings in series (memory)"
    outside("curtain.curtain_edge_flow", got, expected, source=source, rel=1e-9, why="the same equation")
    uneven = k.curtain_edge_flow(2.0, 0.03, 0.04, 5.0, -10.0)
    ratio = uneven / got
    outside(
        "curtain.curtain_edge_flow",
        ratio,
        0.024 / (0.02 / np.sqrt(2)),
        source=source,
        rel=1e-9,
        why="the same equation worked by hand",
    )


def test_edge_flow_limits_and_refusals():
    one = k.curtain_edge_flow(2.0, 0.02, 0.02, 5.0, -10.0)
    assert k.curtain_edge_flow(2.0, 0.0, 0.02, 5.0, -10.0) == k.curtain_edge_flow(2.0, 0.02, 0.0, 5.0, -10.0) == 0.0
    assert k.curtain_edge_flow(2.0, 0.0, 0.0, 5.0, -10.0) == 0.0
    assert k.curtain_edge_flow(2.0, 0.02, 0.02, 5.0, 5.0) == 0.0
    assert k.curtain_edge_flow(2.0, 0.04, 0.04, 5.0, -10.0) == pytest.approx(2 * one)
    assert k.curtain_edge_flow(8.0, 0.02, 0.02, 5.0, -10.0) == pytest.approx(one / 2)
    assert k.curtain_edge_flow(2.0, 0.02, 0.02, 5.0, -10.0, 0.3) == pytest.approx(one / 2)
    assert k.curtain_edge_flow([2.0, 8.0], 0.02, 0.02, 5.0, -10.0).tolist() == pytest.approx([one, one / 2])
    for args, word in (
        ((0.0, 0.02, 0.02, 5.0, 0.0), "curtain height"),
        ((2.0, -0.02, 0.02, 5.0, 0.0), "top gap"),
        ((2.0, 0.02, 1.02, 5.0, 0.0), "bottom gap"),
        ((2.0, 0.02, 0.02, 95.0, 0.0), "room temperature"),
        ((2.0, 0.02, 0.02, 5.0, -70.0), "temperature behind"),
        ((2.0, 0.02, 0.02, 5.0, 0.0, 0.0), "discharge coefficient"),
    ):
        with pytest.raises(ValueError, match=word):
            k.curtain_edge_flow(*args)


def test_leaky_curtain_closes_its_balance(outside):
    inside, outside_air, bare, cloth = 5.0, -20.0, 5.75, 0.3
    u = k.curtain_with_gaps(bare, cloth, 2.0, 0.01, 0.02, inside, outside_air)
    behind = outside_air + u / bare * (inside - outside_air)
    flow = k.curtain_edge_flow(2.0, 0.01, 0.02, inside, behind)
    density = 101325 / (287.055 * 278.15)
    come = (inside - behind) * (1 / 0.48 + density * 1006 * flow)
    go = bare * (behind - outside_air)
    outside("curtain.curtain_with_gaps", come, go, source="heat balance of the gap", rel=1e-6, why="root finder")
    thin = k.curtain_with_gaps(bare, cloth, 2.0, 0.01, 0.02, inside, outside_air, elevation=2000.0)
    assert k.window_with_curtain(bare, cloth) < thin < u < bare


def test_leaky_curtain_limits():
    closed = k.window_with_curtain(5.75, 0.3)
    assert k.curtain_with_gaps(5.75, 0.3, 2.0, 0.0, 0.05, 5.0, -20.0) == pytest.approx(closed)
    assert k.curtain_with_gaps(5.75, 0.3, 2.0, 0.05, 0.05, 5.0, 5.0) == closed
    gaps = [k.curtain_with_gaps(5.75, 0.3, 2.0, s, s, 5.0, -20.0) for s in (0.0, 0.005, 0.02, 0.1, 1.0)]
    assert gaps == sorted(gaps) and gaps[-1] < 5.75
    assert closed < k.curtain_with_gaps(5.75, 0.3, 2.0, 0.01, 0.01, -5.0, 20.0) < 5.75
    still = k.curtain_with_gaps(5.75, 0.3, 2.0, 0.05, 0.05, 5.0, 5.0, 0.6)
    assert still == k.window_with_curtain(5.75, 0.3, 0.6)
    wide = k.curtain_with_gaps(5.75, 0.3, 2.0, 0.0, 0.0, 5.0, -20.0, 0.6)
    assert wide == pytest.approx(k.window_with_curtain(5.75, 0.3, 0.6))
    with pytest.raises(ValueError, match="inside temperature"):
        k.curtain_with_gaps(5.75, 0.3, 2.0, 0.01, 0.01, 95.0, -20.0)
    with pytest.raises(ValueError, match="outside temperature"):
        k.curtain_with_gaps(5.75, 0.3, 2.0, 0.01, 0.01, 5.0, -65.0)


def test_under_a_row_cover(outside):
    # bed 6 °C, house 0 °C, all films 8: up 8, out 1/(2/8) = 4 W/m²·K, so two thirds of the way
    got = k.temperature_under_cover(6.0, 0.0, 0.0)
    outside("curtain.temperature_under_cover", got, 4.0, source="heat balance by hand", rel=1e-9, why="exact")
    blown = k.temperature_under_cover(6.0, 0.0, 0.0, edge_flow=4 / (1.2 * 1006))
    outside("curtain.temperature_under_cover", blown, 3.0, source="heat balance by hand", rel=1e-9, why="exact")
    quilt = k.temperature_under_cover(6.0, 0.0, 0.25, 2.0, 8.0)
    outside("curtain.temperature_under_cover", quilt, 3.0, source="heat balance by hand", rel=1e-9, why="exact")


def test_row_cover_adds_what_growers_say(outside):
    # fleece over a bed: frost protection of some 2 to 4 K, says the trade
    got = k.temperature_under_cover(6.0, 0.0, 0.005, edge_flow=0.001)
    source = "common practice, no source (2–4 K)"
    outside("curtain.temperature_under_cover", got, 3.0, source=source, abs=1.0, why="a band")


def test_row_cover_refusals():
    assert k.temperature_under_cover([6.0, 3.0], 0.0, 0.0).tolist() == pytest.approx([4.0, 2.0])
    assert k.temperature_under_cover(5.0, 5.0, 0.1) == pytest.approx(5.0)
    for args, word in (
        ((95.0, 0.0, 0.0), "soil temperature"),
        ((5.0, -65.0, 0.0), "air temperature"),
        ((5.0, 0.0, -0.1), "cover resistance"),
        ((5.0, 0.0, 0.1, 0.0), "soil coefficient"),
        ((5.0, 0.0, 0.1, 8.0, 101.0), "air coefficient"),
        ((5.0, 0.0, 0.1, 8.0, 8.0, 2.0), "edge flow"),
    ):
        with pytest.raises(ValueError, match=word):
            k.temperature_under_cover(*args)

"""What holds heat, by hand: chains keep resistance and heat, rings are logarithms, water is the handbook's."""

from itertools import pairwise
from math import log, pi, sqrt

import numpy as np
import pytest

from heatlib.ground import edge_insulation, edge_swing, soil_diffusivity, soil_temperature
from heatlib.house import nodes
from heatlib.house.fabric import air_heat
from heatlib.house.greenhouse import Floor, Greenhouse, Layer, Pipes, Place, Store, Surface
from heatlib.pipes import effectiveness, pipe_flow
from heatlib.sky import radiation_coefficient
from heatlib.storage import heat_capacity, store_mass
from heatlib.surfaces import barrel_length, barrel_surface, exposed_fraction, quick_convection, quick_terms
from heatlib.tables import entry
from heatlib.transmission import absorbed_shares


def k(material):
    return entry("materials", material, "conductivity").value


def house(**more):
    surfaces = Surface("wall", 20.0, r_value=1.0), Surface("pane", 8.0, glazing="glass_single")
    parts = {"place": Place(50.0), "floor": Floor(12.0, 14.0), "surfaces": surfaces} | more
    return Greenhouse(name="box", volume=30.0, **parts)


# ---- floor


@pytest.mark.parametrize(
    ("depth", "cut"),
    [
        (0.2, [0.06, 0.14]),
        (1.2, [0.06, 0.12, 0.24, 0.5, 0.28]),
        (1.5, [0.06, 0.12, 0.24, 0.5, 0.58]),
        (5.0, [0.06, 0.12, 0.24, 0.5, 1.0, 2.0, 1.08]),
        # 0.24 m are left where a layer of 0.24 m would follow: it takes the rest as a whole
        (0.42, [0.06, 0.12, 0.24]),
        # what is left is thicker than the next layer, but by less than a fifth: no sliver of it stays over
        (0.46, [0.06, 0.12, 0.28]),
        (0.50, [0.06, 0.12, 0.24, 0.08]),
    ],
)
def test_soil_is_cut_thin_at_the_top_and_whole(depth, cut):
    soil = nodes._soil_layers(Floor(12.0, 14.0, depth=depth))
    assert [thickness for _, thickness in soil] == pytest.approx(cut, rel=1e-9)
    assert {material for material, _ in soil} == {"soil_moist"}


def test_a_floor_keeps_its_resistance_and_its_heat():
    """Film, build-up and soil in series from air to deep ground; ρ·c·d of each layer; the sun by its two ways."""
    floor = Floor(12.0, 14.0, layers=(Layer("tile", 0.02), Layer("eps", 0.08)), soil="sand_dry", depth=0.2)
    column = nodes.floor_column(house(floor=floor), 0.6)
    slabs = [("tile", 0.02), ("eps", 0.08), ("sand_dry", 0.06), ("sand_dry", 0.14)]
    ways = [1 / column.to_air, *(1 / g for g in column.inner), 1 / column.to_deep]
    halves = [d / 2 / k(m) for m, d in slabs]
    expected = [1 / 7 + halves[0], *(a + b for a, b in pairwise(halves)), halves[-1]]
    assert [way * 12.0 for way in ways] == pytest.approx(expected, rel=1e-12)
    assert column.capacity == pytest.approx([12.0 * d * heat_capacity(m) for m, d in slabs], rel=1e-12)
    inward = (1 / 7) / (1 / 7 + halves[0])
    assert (column.sun_share, column.sun_to_air) == (pytest.approx(0.6 * inward), pytest.approx(0.6 * (1 - inward)))
    assert column.name == "floor" and not column.fan


def test_the_edge_loses_by_its_length_less_what_a_strip_saves():
    layers = (Layer("eps", 0.05),)
    ground = {"conductivity": k("soil_moist"), "wall_thickness": 0.1, "floor_resistance": 0.05 / k("eps")}
    swing = edge_swing(diffusivity=soil_diffusivity("soil_moist"), **ground)
    bare = Floor(12.0, 14.0, layers=layers)
    assert nodes.floor_column(house(floor=bare), 0.5).to_outside == pytest.approx(14.0 * swing, rel=1e-12)
    for r_value, thick in ((1.4, 0.05), (0.01, 0.01 * k("soil_moist"))):
        floor = Floor(12.0, 14.0, layers=layers, edge_r_value=r_value, edge_depth=0.6, edge_position="horizontal")
        saved = edge_insulation("horizontal", 0.6, r_value, thick, **ground)
        assert nodes.floor_column(house(floor=floor), 0.5).to_outside == pytest.approx(
            14.0 * (swing + saved), rel=1e-12
        )
    for without in ({"edge_r_value": 2.0}, {"edge_depth": 0.6}):
        floor = Floor(12.0, 14.0, layers=layers, **without)
        assert nodes.floor_column(house(floor=floor), 0.5).to_outside == pytest.approx(14.0 * swing, rel=1e-12)


def test_an_edge_can_save_no_more_than_it_loses():
    best = Floor(12.0, 14.0, layers=(Layer("eps", 1.0),), edge_r_value=20.0, edge_depth=3.0)
    assert nodes.floor_column(house(floor=best), 0.5).to_outside >= 0.0


# ---- stores


def test_a_drum_s_water_by_the_handbook():
    """Water: 4.19 kJ/kgK and near 1 kg/L about 10 °C; ice: near 2.05 kJ/kgK; melting: 334 kJ/kg (handbooks)."""
    drums = Store("drums", "barrels", 0.2, count=3, emissivity=0.7, gap=0.1)
    _, (water,) = nodes.store_nodes(house(stores=(drums,)), {"drums": 0.4})
    assert water.liquid == pytest.approx(600 * 4190, rel=0.004)
    assert water.ice == pytest.approx(600 * 2050, rel=0.03)
    # 333.55 kJ/kg at 0 °C, so nothing of what ice gives off as it gets colder
    assert water.fusion == pytest.approx(store_mass("water", 0.6) * 333.55e3, rel=0.001)
    assert (water.name, water.sun_share) == ("drums", 0.4)
    assert water.area == pytest.approx(3 * barrel_surface(0.572, 0.851, "standing"), rel=1e-12)
    # in a row each drum has two neighbours; the two ways of convection are the physics floor's
    view = exposed_fraction(0.572, 0.1, 2)
    assert water.radiation == pytest.approx(float(view * radiation_coefficient(12.0, 8.0, 0.7)), rel=1e-12)
    assert water.convection == pytest.approx(quick_terms(barrel_length(0.572, 0.851, "standing"), "vertical"))
    lying = Store("drums", "barrels", 0.2, pose="lying", surface=1.1)
    _, (water,) = nodes.store_nodes(house(stores=(lying,)), {"drums": 0.4})
    assert water.area == 1.1
    assert water.radiation == pytest.approx(float(radiation_coefficient(12.0, 8.0, 0.9)), rel=1e-12)
    assert water.convection == pytest.approx(quick_terms(barrel_length(0.572, 0.851, "lying"), "lying"))
    bare = Store("drums", "barrels", 0.2, count=2, pose="lying", diameter=0.6, height=0.9)
    _, (water,) = nodes.store_nodes(house(stores=(bare,)), {"drums": 0.4})
    assert water.area == pytest.approx(2 * barrel_surface(0.6, 0.9, "lying"), rel=1e-12)


def test_a_bed_is_a_chain_of_equal_layers_under_its_face():
    """1.2 m³ under 4 m² is 0.3 m deep: three layers of 0.1 m. A bed has no neighbours to hide it."""
    bed = Store("bed", "bed", 0.6, material="gravel", count=2, surface=2.0, layers=3, gap=0.1)
    (column,), waters = nodes.store_nodes(house(stores=(bed,)), {"bed": 0.3})
    terms = quick_terms(barrel_length(0.572, 0.851, "standing"), "vertical")
    film = 1 / (float(radiation_coefficient(12.0, 8.0, 0.9)) + quick_convection(4.0, *terms))
    half = 0.05 / k("gravel")
    assert waters == () and (column.name, column.to_deep, column.to_outside, column.fan) == ("bed", 0.0, 0.0, False)
    assert column.to_air == pytest.approx(4.0 / (film + half), rel=1e-12)
    assert column.inner == pytest.approx((4.0 * k("gravel") / 0.1,) * 2, rel=1e-12)
    assert column.capacity == pytest.approx((0.4 * heat_capacity("gravel"),) * 3, rel=1e-12)
    assert column.sun_share == pytest.approx(0.3 * film / (film + half), rel=1e-12)
    assert column.sun_to_air == pytest.approx(0.3 * half / (film + half), rel=1e-12)


def test_stores_that_are_none_are_left_out():
    bed = Store("bed", "bed", 1.0, "gravel", 0, surface=1.0)
    stores = Store("none", "barrels", 0.2, count=0), Store("some", "barrels", 0.2), bed
    columns, waters = nodes.store_nodes(house(stores=stores), {"some": 0.1})
    assert columns == () and [water.name for water in waters] == ["some"]
    idle = house(pipes=Pipes(6.0, 0.1, count=0))
    assert nodes.store_nodes(idle, {}) == ((), ()) and nodes.fan(idle) is None and nodes.links(idle) == ()
    assert nodes.floor_column(idle, 0.5) == nodes.floor_column(house(), 0.5)


# ---- sun


def test_sun_is_thrown_about_between_stores_floor_and_walls():
    """What no store catches strikes walls to three tenths and the floor; walls pass U·R_si of theirs outside."""
    stores = (
        Store("drums", "barrels", 0.2, surface=5.0, sun_share=0.2, absorptance=0.8),
        Store("spare", "barrels", 0.2, count=0, sun_share=0.5),
    )
    floor = Floor(12.0, 14.0, absorptance=0.6)
    walls = Surface("thick", 20.0, r_value=1.83), Surface("thin", 5.0, u_value=10.0)
    panes = Surface("glass", 8.0, glazing="glass_single"), Surface("film", 2.0, glazing="film_single")
    got = nodes.sun_shares(house(stores=stores, floor=floor, surfaces=walls + panes))
    out = (8.0 * light("glass_single") + 2.0 * light("film_single")) / 10.0
    struck, kept = [0.2, 0.8 * 0.7, 0.8 * 0.3], [0.8, 0.6, 0.4]
    shares, lost = absorbed_shares(struck, kept, [5.0, 12.0, 25.0], 10.0, out)
    # thick: U = 0.5, so 0.5·0.13; thin: 10·0.13 is more than all, so all
    through = (20.0 * 0.065 + 5.0 * 1.0) / 25.0
    expected = {
        "drums": shares[0], "floor": shares[1], "air": shares[2] * (1 - through),
        "reflected": lost + shares[2] * through,
    }  # fmt: skip
    assert got == {name: pytest.approx(float(share), rel=1e-9) for name, share in expected.items()}


def light(glazing):
    return entry("glazings", glazing, "solar_transmittance").value


def test_a_house_all_of_glass_and_one_without():
    glass = nodes.sun_shares(house(surfaces=(Surface("pane", 30.0, glazing="glass_single"),)))
    assert glass["air"] == pytest.approx(0.0, abs=1e-6)
    kept, lost = absorbed_shares([1.0, 0.0], [0.75, 0.4], [12.0, 1e-6], 30.0, light("glass_single"))
    assert glass["floor"] == pytest.approx(float(kept[0]), rel=1e-9)
    assert glass["reflected"] == pytest.approx(float(lost), abs=1e-6)
    dark = nodes.sun_shares(house(surfaces=(Surface("wall", 30.0, r_value=1.83),)))
    # nothing goes out by panes; the walls pass 0.5·0.13 of what they take up
    assert dark["reflected"] == pytest.approx(dark["air"] * 0.065 / 0.935, rel=1e-9)
    full = house(stores=(Store("drums", "barrels", 0.2, sun_share=1.0, absorptance=1.0),))
    assert nodes.sun_shares(full)["drums"] == pytest.approx(1.0)


def test_a_board_of_half_a_square_metre_is_a_wall_too():
    """It is struck by its three tenths and passes U·R_si = 2·0.13 of what it keeps, however small it is."""
    small = Surface("pane", 30.0, glazing="glass_single"), Surface("hatch", 0.5, u_value=2.0)
    got = nodes.sun_shares(house(surfaces=small))
    kept, lost = absorbed_shares([0.7, 0.3], [0.75, 0.4], [12.0, 0.5], 30.0, light("glass_single"))
    assert got["air"] == pytest.approx(float(kept[1]) * 0.74, rel=1e-9)
    assert got["reflected"] == pytest.approx(float(lost + kept[1] * 0.26), rel=1e-9)


# ---- pipes


PIPES = Pipes(length=5.0, flow=0.1, count=4, diameter=0.1, depth=0.5, spacing=0.5)


def test_rings_round_a_pipe_are_logarithms():
    """From the first ring's middle to the last one's: ln(r₂/r₁)/(2πkL) in all; ρ·c of the soil within 0.25 m."""
    floor = Floor(12.0, 14.0, soil="sand_dry")
    column = nodes.pipe_column(house(pipes=PIPES, place=Place(50.0, elevation=800.0), floor=floor))
    soil, length = k("sand_dry"), 20.0
    edges = np.geomspace(0.05, 0.25, 5)
    middles = [sqrt((a * a + b * b) / 2) for a, b in pairwise(edges)]
    assert len(column.inner) == 3
    assert sum(1 / g for g in column.inner) == pytest.approx(log(middles[-1] / middles[0]) / (2 * pi * soil * length))
    whole = pi * (0.25**2 - 0.05**2) * length * heat_capacity("sand_dry")
    assert sum(column.capacity) == pytest.approx(whole, rel=1e-12)
    first = log(middles[0] / 0.05) / (2 * pi * soil)
    from heatlib.moist_air import pressure_at

    ntu = pipe_flow(25.0, 15.0, 0.1, 5.0, 0.1, count=4, pressure=float(pressure_at(800.0)), soil_resistance=first).ntu
    assert column.to_air == pytest.approx(float(0.1 * air_heat(800.0) * effectiveness(ntu)), rel=1e-9)
    assert column.fan and column.name == "pipes" and column.sun_share == 0.0


def test_close_pipes_still_have_six_centimetres_of_soil():
    close = Pipes(length=5.0, flow=0.1, diameter=0.1, spacing=0.12)
    column = nodes.pipe_column(house(pipes=close))
    assert sum(column.capacity) == pytest.approx(pi * (0.11**2 - 0.05**2) * 5.0 * heat_capacity("soil_moist"))


def test_the_fan_s_rule_and_power():
    assert nodes.fan(house()) is None
    told = house(pipes=Pipes(5.0, 0.1, count=4, fan_power=40.0, on_above=22.0, on_below=3.0, hysteresis=2.0))
    assert nodes.fan(told) == (22.0, 3.0, 2.0, 40.0)
    above, below, _, power = nodes.fan(house(pipes=Pipes(5.0, 0.1, count=4)))
    assert above == 24.0 and below < -1e6, "the rule for cold air is left out: it never switches the fan on"
    assert power == pytest.approx(float(pipe_flow(25.0, 15.0, 0.1, 5.0, 0.1, count=4).fan_power), rel=1e-9)


def test_deep_ground_has_the_temperature_of_its_depth():
    """The floor's column ends at its build-up and its soil; pipes lie at their own depth; beds have no ground."""
    place = Place(50.0, ground_mean=9.0, ground_swing=11.0, coldest_day=40.0)
    floor = Floor(12.0, 14.0, layers=(Layer("eps", 0.1),), soil="sand_dry", depth=1.0)
    bed = Store("bed", "bed", 1.0, "gravel", surface=4.0)
    day, model = np.array([10.0, 200.0]), house(place=place, floor=floor, stores=(bed,), pipes=PIPES)
    columns, _ = nodes.store_nodes(model, {"bed": 0.1})
    deep = nodes.deep_temperatures(model, day, columns)
    for name, depth in (("floor", 1.1), ("pipes", 0.5)):
        expected = soil_temperature(depth, day, 9.0, 11.0, 40.0, soil_diffusivity("sand_dry"))
        assert deep[name] == pytest.approx(expected, rel=1e-12)
    assert deep["bed"].tolist() == [0.0, 0.0] and set(deep) == {"floor", "pipes", "bed"}
    assert set(nodes.deep_temperatures(house(), day, ())) == {"floor"}


def test_pipes_meet_the_layer_that_they_lie_in():
    """Layers end at 0.06, 0.18, 0.42, 0.92 and 1.2 m. Below the last one pipes still meet it, less and less."""
    at = {0.06: 1, 0.059: 0, 0.3: 2, 0.42: 3, 1.0: 4, 1.2: 4, 1.6: 4}
    for depth, layer in at.items():
        model = house(pipes=Pipes(5.0, 0.1, depth=depth, spacing=0.5), floor=Floor(12.0, 14.0, soil="sand_dry"))
        ((pipes, ring, floor, met, conductance),) = nodes.links(model)
        assert (pipes, ring, floor, met) == ("pipes", 3, "floor", layer)
        reach = 1.0 if depth <= 1.2 else 1 - (depth - 1.2) / 0.5
        assert conductance == pytest.approx(2 * k("sand_dry") * 2.5 * reach / 0.25, rel=1e-9)
    assert nodes.links(house(pipes=Pipes(5.0, 0.1, depth=1.7))) == ()


def test_soil_of_the_rings_is_taken_from_the_layers_they_lie_in():
    """Rings of 0.25 m about 0.3 m reach from 0.05 to 0.55 m: they take 1, 12, 24 and 13 of 50 parts from the layers.

    No layer gives more than nine tenths of what it has.
    """
    bare = nodes.floor_column(house(), 0.5).capacity
    few = Pipes(2.5, 0.1, count=2, diameter=0.1, depth=0.3, spacing=0.5)
    assert nodes.floor_column(house(pipes=few), 0.5).to_deep == nodes.floor_column(house(), 0.5).to_deep
    ring = pi * 0.25**2 * 5.0 * heat_capacity("soil_moist")
    lost = np.subtract(bare, nodes.floor_column(house(pipes=few), 0.5).capacity)
    assert lost == pytest.approx(ring * np.array([0.02, 0.24, 0.48, 0.26, 0.0]), rel=1e-9, abs=1e-3)
    # 24 m of pipes spread over 12 m²; of 30 m a fifth lies beside the floor
    many = Pipes(60.0, 0.1, diameter=0.1, depth=0.3, spacing=0.5)
    lost = np.subtract(bare, nodes.floor_column(house(pipes=many), 0.5).capacity)
    rings = 12 * ring * 12.0 / 30.0
    wanted = [min(0.9 * c, rings * part) for c, part in zip(bare, (0.02, 0.24, 0.48, 0.26, 0.0))]
    assert lost == pytest.approx(wanted, rel=1e-9, abs=1e-3)
    dense = Pipes(200.0, 0.1, diameter=0.2, depth=0.3, spacing=0.05)
    reached = np.subtract(bare, nodes.floor_column(house(pipes=dense), 0.5).capacity) / bare
    assert reached[1:3] == pytest.approx([0.9, 0.9], rel=1e-9)


def test_pipes_below_the_column_take_over_part_of_its_way_down():
    """1.45 m deep, a quarter metre below the column's end: half of their 7.5 m² meets it, half the deep ground.

    40 m of pipes at 0.5 m would spread over 20 m²: what lies beside the floor meets the deep ground too.
    """
    floor, soil = Floor(12.0, 14.0, soil="sand_dry"), k("sand_dry")
    bare = nodes.floor_column(house(floor=floor), 0.5)
    few = house(pipes=Pipes(15.0, 0.1, depth=1.45, spacing=0.5), floor=floor)
    up, down = 2 * soil * 7.5 * 0.5 / 0.25, 2 * soil * 7.5 * 0.5 / 0.5
    assert nodes.links(few)[0][4] == pytest.approx(up, rel=1e-9)
    assert nodes.pipe_column(few).to_deep == pytest.approx(down, rel=1e-9)
    assert nodes.floor_column(few, 0.5).to_deep == pytest.approx(bare.to_deep - up * down / (up + down), rel=1e-9)
    wide = nodes.pipe_column(house(pipes=Pipes(40.0, 0.1, depth=1.45, spacing=0.5), floor=floor))
    assert wide.to_deep == pytest.approx(2 * soil * (12.0 * 0.5 + 8.0) / 0.5, rel=1e-9)

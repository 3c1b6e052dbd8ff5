"""Moisture as the kernel gets it: tables at their nodes and beyond their ends, panes in order, inputs step by step."""

from types import SimpleNamespace

import numpy as np
import pytest

from heatlib.curtain import window_with_curtain
from heatlib.glazing import glazing_u_value
from heatlib.house import vapour
from heatlib.house.fabric import air_heat
from heatlib.house.greenhouse import Curtain, Floor, Greenhouse, Place, Plants, SnowCover, Surface
from heatlib.moist_air import humidity_ratio, pressure_at, saturation_humidity_ratio
from heatlib.moisture import condensation_rate, evaporation_heat, evaporation_rate
from heatlib.tables import entry

PRESSURE = float(pressure_at(800.0))
PANES = (
    Surface("old", 4.0, glazing="glass_single", curtain=True),
    Surface("new", 2.0, glazing="glass_double", curtain=True),
    Surface("older", 3.0, glazing="glass_single", curtain=True),
    Surface("wall", 20.0, r_value=2.0),
)


def house(**more):
    parts = {"plants": Plants(6.0, 0.5, 80.0, 400.0), "surfaces": PANES} | more
    return Greenhouse(name="wet", volume=40.0, place=Place(50.0, elevation=800.0), floor=Floor(15.0, 16.0), **parts)


def at(table, temperature):
    """Value at a node: tables go from −120 °C in steps of 0.5 K."""
    return table[round((temperature + 120.0) / 0.5)]


def test_no_plants_no_moisture():
    assert vapour.humidity(house(plants=Plants())) is None


def test_the_tables_hold_the_physics_floor_s_values():
    got = vapour.humidity(house())
    assert len(got.table) == 1441 and got.table_start == -120.0
    for told, held in (
        (20.0, 20.0),
        (0.5, 0.5),
        (-40.0, -40.0),
        (-39.5, -39.5),
        (-90.0, -40.0),
        (59.5, 59.5),
        (300.0, 60.0),
    ):
        assert at(got.table, told) == pytest.approx(float(saturation_humidity_ratio(held, PRESSURE)), rel=1e-12)
    assert got.air_mass == pytest.approx(40.0 * air_heat(800.0) / 1006.0, rel=1e-12)
    assert got.latent == pytest.approx(float(evaporation_heat(10.0)), rel=1e-12)
    assert got.panes == vapour.wet_panes(house(), PRESSURE)


@pytest.mark.parametrize(("light", "resistance"), [(0, 400.0), (1, 80.0)])
def test_what_evaporates_by_dryness_and_by_sun(light, resistance):
    """By night pores are nearly shut, by day open: per kg/kg of dryness, and per W/m² of sun. Frozen ground gives 0."""
    got = vapour.humidity(house())
    for told, held in ((0.0, 0.0), (20.0, 20.0), (60.0, 60.0), (80.0, 60.0)):
        dryness = saturation_humidity_ratio(held, PRESSURE) - humidity_ratio(held, 0.5, PRESSURE)
        dry = evaporation_rate(held, 0.5, 0.0, surface_resistance=resistance, pressure=PRESSURE) / dryness
        sunny = evaporation_rate(held, 1.0, 1.0, surface_resistance=resistance, pressure=PRESSURE)
        assert at(got.drying[light], told) == pytest.approx(6.0 * 0.5 * float(dry), rel=1e-9)
        assert at(got.shining[light], told) == pytest.approx(6.0 * 0.5 * float(sunny), rel=1e-9)
    assert at(got.drying[light], -0.5) == at(got.shining[light], -0.5) == 0.0


def test_panes_that_cool_alike_go_together_the_coldest_first():
    settling = condensation_rate(5.0, 15.0, 0.9, 3.0, PRESSURE) / (
        humidity_ratio(15.0, 0.9, PRESSURE) - saturation_humidity_ratio(5.0, PRESSURE)
    )
    curtain = Curtain(r_value=0.5, edge_leak=0.1)
    snowy = house(curtain=curtain, snow_cover=SnowCover(0.1, "snow_fresh", slides_from=90.0))
    lists = vapour.wet_panes(snowy.changed("surfaces", tuple(upright_roof(s) for s in PANES)), PRESSURE)
    u_values = [float(glazing_u_value(kind, "horizontal")) for kind in ("glass_single", "glass_double")]
    snow = 0.1 / entry("materials", "snow_fresh", "conductivity").value
    # under snow: the pane without its film of 1/25, the snow, the film
    deep = [1 / (1 / u + snow) for u in u_values]
    for panes, us, drawn in zip(lists, (u_values, u_values, deep, deep), (False, True, False, True)):
        us = [float(window_with_curtain(u, 0.5, open_share=0.1)) if drawn else u for u in us]
        assert [share for _, share in panes] == pytest.approx([u * 0.13 for u in us], abs=1e-6)
        assert [exchange for exchange, _ in panes] == pytest.approx([7.0 * settling, 2.0 * settling], rel=1e-9)


def upright_roof(surface):
    """The same pane all but upright, where snow that slides from 90° stays."""
    return surface if not surface.glazing else Surface(
        surface.name, surface.area, tilt=89.0, glazing=surface.glazing, curtain=True
    )  # fmt: skip


def test_a_pane_never_cools_all_the_way(monkeypatch):
    """Where U·R_si passes 0.95 it counts as that: no pane is colder inside than its own outside."""
    leaky = SimpleNamespace(glazed=True, area=2.0, u_value=lambda film, drawn: 0.951 / 0.13)
    monkeypatch.setattr(vapour, "pieces", lambda house, snow: (leaky,))
    ((_, share),) = vapour.wet_panes(house(), PRESSURE)[0]
    assert share == 0.95


def test_the_kernel_s_inputs_at_each_step():
    sample = SimpleNamespace(
        sun=np.array([0.0, 20.0, 20.5, 300.0]), temperature=np.array([-5.0, -5.0, 0.0, 5.0]),
        sky_exchange=np.array([100.0, 80.0, 60.0, 0.0]), snow=np.array([False, False, True, True]),
        vapour=lambda elevation: np.full(4, elevation),
    )  # fmt: skip
    skin = SimpleNamespace(
        conductances={"leaks": np.array([10.06, 0.0, 5.03, 0.0]), "door": np.array([10.06, 10.06, 5.03, 0.0])},
        sun=np.array([0.0, 150.0, 300.0, 3000.0]), film=np.array([20.0, 20.0, 20.0, 20.0]),
        drawn=np.array([False, True, False, True]),
    )  # fmt: skip
    got = vapour.vapour_inputs(house(), sample, skin, 0.6)
    assert got["vapour"].tolist() == [800.0] * 4
    assert got["air_flow"] == pytest.approx([0.02, 0.01, 0.01, 0.0], rel=1e-12)
    # per square metre of a floor of 15 m²
    assert got["shine"] == pytest.approx([0.0, 6.0, 12.0, 120.0], rel=1e-12)
    assert got["light"].tolist() == [0, 0, 1, 1]
    assert got["pane"].tolist() == [-10.0, -9.0, -3.0, 5.0]
    assert got["drawn"].tolist() == [0, 1, 2, 3] and got["specific_heat"] == 1006.0
    # which list of panes holds, and whether it is light, must be whole numbers: the kernel looks them up
    assert got["drawn"].dtype.kind == got["light"].dtype.kind == "i"

"""Tables: every row plausible and sourced, a good part of them against values typed again from the source."""

from importlib.resources import files

import numpy as np
import pytest

from heatlib import materials as m
from heatlib import tables as t

UNITS = {
    "materials": {"conductivity": "W/m·K", "density": "kg/m³", "specific_heat": "J/kg·K"},
    "glazings": {
        "u_value": "W/m²·K",
        "u_value_wet": "W/m²·K",
        "solar_transmittance": "–",
        "thickness": "m",
        "panes": "–",
        "infrared_transmittance": "–",
        "emissivity": "–",
    },
    "tightness": {"air_change_rate": "1/h"},
}
BANDS = {
    "conductivity": (0.015, 400),
    "density": (1, 9000),
    "specific_heat": (370, 4300),
    "u_value": (0.8, 7),
    "u_value_wet": (2, 6),
    "solar_transmittance": (0.35, 0.93),
    "thickness": (5e-5, 0.25),
    "panes": (1, 3),
    "infrared_transmittance": (0, 0.85),
    "emissivity": (0.05, 0.96),
    "air_change_rate": (0.1, 10),
}
OPTIONAL = {"u_value_wet"}
ROWS = [
    pytest.param(name, key, prop, row, id=f"{name}-{key}-{prop}")
    for name in UNITS
    for key in t.keys(name)
    for prop, row in t.properties(name, key).items()
]


def test_there_are_enough_rows():
    assert len(t.keys("materials")) >= 65
    assert len(t.keys("glazings")) >= 20
    assert len(t.keys("tightness")) >= 6
    assert len(ROWS) >= 65 * 3 + 20 * 6 + 6


@pytest.mark.parametrize("name, key, prop, row", ROWS)
def test_row(name, key, prop, row):
    assert row.low <= row.value <= row.high
    low, high = BANDS[prop]
    assert low <= row.low and row.high <= high
    assert row.unit == UNITS[name][prop]
    assert row.source in t.sources() and row.locator
    assert key == key.strip().lower()


@pytest.mark.parametrize("name", UNITS)
def test_every_key_is_complete_and_stands_once(name):
    rows = t._rows(name)
    assert len({(r["key"], r["property"]) for r in rows}) == len(rows)
    for key in t.keys(name):
        assert set(t.properties(name, key)) | OPTIONAL == set(UNITS[name]) | OPTIONAL, key
    assert all(list(r) == "key property value low high unit source locator note".split() for r in rows)


def test_sources_are_complete_and_none_is_a_wiki():
    assert len(t._rows("sources")) == len(t.sources())
    for key, row in t.sources().items():
        for column in ("author", "title", "year", "publisher", "status"):
            assert row[column], f"{key} lacks {column}"
        assert "wiki" not in " ".join(row.values()).lower()
        assert 1900 <= int(row["year"]) <= 2026


def test_wet_rows_stand_only_with_films_that_let_heat_rays_through():
    for key in t.keys("glazings"):
        rows = t.properties("glazings", key)
        assert ("u_value_wet" in rows) == (rows["infrared_transmittance"].value > 0), key


# typed again from the tables of the handbook and of the standard: conductivity, density, specific heat
TYPED = {
    "ASHRAE2013": {
        "eps": (0.0355, 20, 1470),
        "polyiso": (0.0235, 30, None),
        "polyurethane_spray": (0.026, 40, 1470),
        "mineral_wool": (0.040, 32, 840),
        "glass_fibre": (0.043, 12, 840),
        "cellulose": (0.042, 42.5, 1380),
        "straw": (0.07, 240, None),
        "softwood": (0.12, 445, 1630),
        "spruce": (0.09, 400, 1630),
        "douglas_fir": (0.145, 557.5, 1630),
        "hardwood": (0.17, 705, 1630),
        "plywood": (0.0127 / 0.14, 460, 1880),
        "concrete": (1.95, 2240, 900),
        "brick": (0.895, 1920, 800),
        "vermiculite": (0.068, 120, 1340),
    },
    "EN12524": {
        "osb": (0.13, 650, 1700),
        "granite": (2.8, 2600, None),
        "sand_gravel": (2.0, 1950, 1045),
        "soil_clay": (1.5, 1500, 2085),
        "acrylic": (0.18, 1180, 1500),
        "polycarbonate": (0.20, 1200, 1200),
        "polyethylene_film": (0.33, 920, 2200),
        "steel": (50, 7800, 450),
        "aluminium": (160, 2800, 880),
        "snow_fresh": (0.05, 100, 2000),
        "snow_soft": (0.12, 200, 2000),
        "snow_settled": (0.23, 300, 2000),
        "snow_compacted": (0.60, 500, 2000),
        "glass": (1.0, 2500, None),
        "cork": (0.05, 200, 1500),
    },
    "INCROPERA": {"soil_textbook": (0.52, 2050, 1840)},
    "OPENSTAX": {"ice": (None, None, 2090), "granite": (None, None, 840), "glass": (None, None, 840)},
}


@pytest.mark.parametrize("source, key", [(s, k) for s, rows in TYPED.items() for k in rows])
def test_row_against_its_source(outside, source, key):
    found = m.material(key)
    for prop, expected in zip(("conductivity", "density", "specific_heat"), TYPED[source][key]):
        if expected is not None:
            got = getattr(found, prop)
            outside("materials.material", got, expected, source=f"{source}, {key}", rel=5e-3, why="typed again")


@pytest.mark.parametrize("key, fluid", [("water", "Water"), ("air", "Air")])
def test_water_and_air(outside, key, fluid):
    from CoolProp.CoolProp import PropsSI

    found = m.material(key)
    for prop, letter in (("conductivity", "L"), ("density", "D"), ("specific_heat", "C")):
        expected = PropsSI(letter, "T", 293.15, "P", 101325, fluid)
        got = getattr(found, prop)
        outside("materials.material", got, expected, source="COOLPROP, 20 °C", rel=2e-3, why="four digits")


@pytest.mark.parametrize("key, inch", [("eps", 4.06), ("xps", 5.0), ("polyiso", 6.1), ("mineral_wool", 3.6)])
def test_resistance_of_an_inch(outside, key, inch):
    got = 0.1442279 / m.material(key).conductivity
    outside("materials.material", got, inch, source="labels of boards (memory)", rel=0.03, why="two digits")


def test_fibreglass_batt(outside):
    got = 0.0889 / m.material("glass_fibre").conductivity * 5.678263
    outside("materials.material", got, 11.0, source="OPENSTAX m42228: 3.5 in is R-11", rel=0.1, why="another batt")


def test_diffusivity(outside):
    got = m.material("soil_textbook").diffusivity
    outside(
        "materials.Material.diffusivity", got, 1.379e-7, source="INCROPERA example 5.6", rel=1e-3, why="four digits"
    )


def test_materials_by_name():
    assert m.material_names() == t.keys("materials")
    assert m.material("eps").name == "eps" and m.material("eps").source == "ASHRAE2013"
    assert "polystyrene" in m.material("eps").note
    spread = m.material("eps").spread("conductivity")
    assert (spread.low, spread.value, spread.high) == (0.033, 0.0355, 0.039)
    wanted = (
        "eps xps polyiso mineral_wool glass_fibre cellulose straw softwood plywood osb concrete brick gravel granite"
    )
    wanted += " soil_dry soil_moist soil_wet glass acrylic polycarbonate snow_fresh snow_compacted"
    wanted += " ice water air steel compost ground_cover"
    assert set(wanted.split()) <= set(m.material_names())


def test_unknown_names_are_refused_with_the_nearest():
    with pytest.raises(ValueError, match=r"material 'epps' is not known \(nearest: eps"):
        m.material("epps")
    with pytest.raises(ValueError, match="property of eps 'colour' is not known"):
        t.entry("materials", "eps", "colour")
    with pytest.raises(ValueError, match="property of eps"):
        m.material("eps").spread("colour")
    with pytest.raises(ValueError, match="glazing 5 is not known"):
        t.properties("glazings", 5)


def test_spread_over_every_corner():
    got = m.spread(lambda a, b, c: (a - b) * c, a=(1.0, 2.0, 4.0), b=(0.0, 0.5, 1.0), c=2.0)
    assert (got.low, got.value, got.high) == (0.0, 3.0, 8.0)
    plain = m.spread(lambda a: 2 * a, a=3.0)
    assert (plain.low, plain.value, plain.high) == (6.0, 6.0, 6.0)
    bent = m.spread(lambda a: a * a, a=(-1.0, 0.0, 1.0))
    assert (bent.low, bent.value, bent.high) == (0.0, 0.0, 1.0)
    lists = m.spread(lambda a, b: b / a, a=(1.0, 2.0, 4.0), b=t.entry("materials", "eps", "density"))
    assert (lists.low, lists.value, lists.high) == (15 / 4, 10.0, 30.0)
    again = m.spread(lambda a: -a, a=m.Spread(1.0, 2.0, 3.0))
    assert (again.low, again.value, again.high) == (-3.0, -2.0, -1.0)


def test_spread_of_a_list_of_results_is_taken_one_by_one():
    """What rises and what falls keep a spread of their own, also where two arguments are spread."""
    got = m.spread(lambda a, b: np.array([a, -a, 10 * b]), a=(1.0, 2.0, 3.0), b=(0.1, 0.2, 0.4))
    assert got.low.tolist() == [1.0, -3.0, 1.0]
    assert got.value.tolist() == [2.0, -2.0, 2.0]
    assert got.high.tolist() == [3.0, -1.0, 4.0]


def test_spread_tries_every_combination_of_ends_and_nothing_else():
    tried = []
    m.spread(lambda a, b: tried.append((a, b)) or a * b, a=(1.0, 2.0, 3.0), b=(4.0, 5.0, 7.0))
    assert sorted(tried) == [(1.0, 4.0), (1.0, 7.0), (2.0, 5.0), (3.0, 4.0), (3.0, 7.0)]


def test_spread_carries_a_wall(outside):
    from heatlib.conduction import layer_resistance

    row = t.entry("materials", "eps", "conductivity")
    got = m.spread(layer_resistance, thickness=0.05, conductivity=row)
    expected = [0.05 / 0.039, 0.05 / 0.0355, 0.05 / 0.033]
    values = [got.low, got.value, got.high]
    outside("materials.spread", values, expected, source="closed form", rel=1e-9, why="exact")


def test_spread_refusals():
    for bad in ((3.0, 2.0, 4.0), (1.0, 2.0, 1.5)):
        with pytest.raises(ValueError, match="a must rise from low over typical to high"):
            m.spread(lambda a: a, a=bad)
    with pytest.raises(ValueError, match="a must be a number"):
        m.spread(lambda a: a, a=(1.0, "2", 3.0))
    assert m.spread(lambda a: a[1], a=(1.0, 2.0)).value == 2.0
    assert m.spread(lambda a: a, a=(1.0, 1.0, 1.0)).high == 1.0


NO_TABLE = ["material", None, True, ["materials"], [[1], [1, 2]], {1}, "../data/materials", "sources"]


@pytest.mark.parametrize("name", NO_TABLE)
def test_an_unknown_table_is_refused(name):
    for asked in (lambda: t.table(name), lambda: t.keys(name), lambda: t.entry(name, "eps", "density")):
        with pytest.raises(ValueError, match=r"^table .* is not known"):
            asked()


def test_tables_are_read_alike_where_a_machine_presets_another_encoding(monkeypatch):
    """As on Windows: m² must not become mÂ² there."""

    class Preset:
        def joinpath(self, name):
            self.path = files("heatlib.data") / name
            return self

        def read_text(self, encoding=None):
            return self.path.read_bytes().decode(encoding or "cp1252")

    monkeypatch.setattr(t, "files", lambda _: Preset())
    units = {row["unit"] for row in t._rows("glazings") if row["property"] == "u_value"}
    assert units == {"W/m²·K"}

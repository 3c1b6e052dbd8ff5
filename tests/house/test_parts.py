"""Each part of a house at the ends of its rules: what is just taken, what is just refused, and what the words name."""

from dataclasses import MISSING, fields

import pytest
from test_random_refusals import PARTS

from heatlib._check import ELEVATION
from heatlib.house import greenhouse as g
from heatlib.house.demo import MEASURES, demo_house
from heatlib.moist_air import pressure_at
from heatlib.pipes import pipe_flow
from heatlib.tables import entry, keys

HOUSE = demo_house(10)
WALL = g.Surface("wall", 4.0, u_value=1.0)


def small(**more):
    parts = {"name": "shed", "volume": 10.0, "place": g.Place(45.0), "floor": g.Floor(6.0, 10.0), "surfaces": (WALL,)}
    return g.Greenhouse(**(parts | more))


# ---- fields as they are told


def test_a_field_puts_down_what_house_file_and_checks_ask_for():
    """The check, the house file and the form read a field's rule by these keys; what has no default must be told."""
    number = g._number("length", "m", 0, 5, 1.5, above=0)
    rule = {"kind": "number", "quantity": "length", "unit": "m", "low": 0, "high": 5, "above": 0}
    assert (number.default, dict(number.metadata)) == (1.5, rule)
    assert g._number("", "", 0, 5).default is MISSING and g._number("", "", 0, 5, None).default is None
    assert dict(g._number("", "h", -1, 5).metadata) == {
        "kind": "number", "quantity": "", "unit": "h", "low": -1, "high": 5, "above": None
    }  # fmt: skip
    others = (
        (g._name(("a", "b"), "a"), "a", {"kind": "name", "allowed": ("a", "b")}),
        (g._name("materials"), MISSING, {"kind": "name", "allowed": "materials"}),
        (g._yes(True), True, {"kind": "yes"}),
        (g._text("x", lines=True), "x", {"kind": "text", "lines": True}),
        (g._text(), MISSING, {"kind": "text", "lines": False}),
        (g._parts(g.Layer), (), {"kind": "parts", "class": g.Layer}),
        (g._part(g.Air, None), None, {"kind": "part", "class": g.Air}),
        (g._part(g.Floor), MISSING, {"kind": "part", "class": g.Floor}),
    )
    for field, default, rule in others:
        assert field.default == default and dict(field.metadata) == rule


# ---- every field by its own statement of range

NEEDED = {cls: given for cls, given in PARTS.items() if cls is not g.Greenhouse}
NUMBERS = [(cls, item) for cls in NEEDED for item in fields(cls) if item.metadata["kind"] == "number"]


@pytest.mark.parametrize(("cls", "item"), NUMBERS, ids=lambda x: getattr(x, "name", getattr(x, "__name__", "")))
def test_a_number_out_of_its_range_is_named_with_its_part(cls, item):
    rule = item.metadata
    name, unit = item.name.replace("_", " "), f" {rule['unit']}" if rule["unit"] else ""
    for value in (rule["low"] - 1, rule["high"] + 1):
        with pytest.raises(ValueError) as error:
            cls(**(NEEDED[cls] | {item.name: value}))
        said = str(error.value)
        assert said.startswith(cls.__name__.lower()) and f" {name} must be " in said
        assert said.endswith(f", but it is {value:.6g}{unit}") and f"{rule['high']:g}{unit}" in said


def test_what_needs_no_telling_may_be_none():
    """None stands for "not told" only where that is the default; elsewhere it is refused."""
    assert g.Place(45.0, utc_offset=None).utc_offset is None and g.Store("d", "barrels", 0.2, gap=None).gap is None
    for cls, item in NUMBERS:
        if item.default is not None and item.default is not MISSING:
            with pytest.raises(ValueError, match=r"must be a number.*, but it is nothing$"):
                cls(**(NEEDED[cls] | {item.name: None}))


def test_labels_name_a_part_by_its_own_name():
    with pytest.raises(ValueError, match=r"^store 'drums', sun share must be between 0 and 1, but it is 2$"):
        g.Store("drums", "barrels", 0.2, sun_share=2.0)
    with pytest.raises(ValueError, match=r"^heater setpoint must be between -20 and 40 °C, but it is 50 °C$"):
        g.Heater(5.0, 50.0)
    with pytest.raises(ValueError, match=r"^store name must be a text in quotes, but it is 5$"):
        g.Store(5, "barrels", 0.2)
    with pytest.raises(ValueError, match=r"^surface volume must be"):
        g.checked("surface volume", -1.0, {"kind": "number", "unit": "m³", "low": 0, "high": 9, "above": None})


@pytest.mark.parametrize(
    ("make", "says"),
    [
        (lambda: g.Air(lobby="yes"), "^air lobby must be true or false, but it is 'yes'$"),
        (lambda: g.Limits(crop=["kale"]), r"^limits crop must be a text in quotes, but it is \['kale'\]$"),
        (lambda: small(stores=5), "^greenhouse 'shed', stores must be a list of parts, but it is 5$"),
        (lambda: small(stores=(WALL,)), "^greenhouse 'shed', stores must be a Store, but it is a Surface$"),
        (lambda: small(heater=5), "^greenhouse 'shed', heater must be a Heater, but it is 5$"),
        (lambda: g.Store("d", "tub", 0.2), r"^store 'd', kind 'tub' is not known \(known: barrels, bed\)$"),
        (lambda: g.Layer("gravle", 0.1), r"^layer material 'gravle' is not known \(nearest: gravel"),
        (lambda: g.Store("d", "barrels", 0.2, layers=1.5), "^store 'd', layers must be a whole number, but it is 1.5$"),
        (lambda: g.Store("d", "barrels", 0.2, count=1.5), "^store 'd', count must be a whole number, but it is 1.5$"),
        (lambda: g.Floor(6.0, 10.0, soil="copper"), "^floor soil must be what ground is made of, .* it is 'copper'$"),
        (lambda: g.Air(3.0, "sealed"), "^air takes either .*: 'sealed' means 0.35 per hour, but the rate is 3$"),
        (lambda: g.Air(door_openings=180.0, door_seconds=20.003), "at most 3600 s in an hour, but it is 3600.54 s$"),
        (lambda: g.Air(door_openings=200.0, door_seconds=20.0), "at most 3600 s in an hour, but it is 4000 s$"),
        (lambda: g.Surface("w", 1.0, u_value=2.0, layers=(g.Layer("gravel", 0.1),)), "'w' .* found layers and u_value"),
        (lambda: small(surfaces=(WALL, g.Surface(" ", 1.0, u_value=1.0))), "^a name in surfaces must be .* it is ' '$"),
        (lambda: small(plants=g.Plants(60.1)), "at most 10 times the floor of 6 m², but it is 60.1 m²$"),
        (lambda: small(horizon=(g.Sighting(0.0, 5.0), g.Sighting(360.0, 6.0))), "two sightings of the horizon"),
        (lambda: g.Tree("t", 0.0, 5.0, 4.0, 3.0, 4.0), "^tree 't', height must be greater than 4 m and at most 150 m"),
        (lambda: small(stores=[g.Store(n, "barrels", 0.2, sun_share=0.51) for n in "ab"]),
         "^sum of the stores' sun_share must be between 0 and 1, but it is 1.02$"),
        (lambda: small(heater=g.Heater(5.0, place="tank")), r"^heater place 'tank' is not known \(known: air\)$"),
        (lambda: g.checked_house("shed"), "^house must be a Greenhouse, .* it is 'shed'$"),
    ],
)  # fmt: skip
def test_refusals_name_what_was_told(make, says):
    with pytest.raises(ValueError, match=says):
        make()


def test_the_last_value_that_is_taken():
    full = g.Air(door_openings=180.0, door_seconds=20.0)
    assert full.door_openings * full.door_seconds == 3600.0
    assert small(plants=g.Plants(60.0)).plants.area == 60.0
    halves = tuple(g.Store(n, "barrels", 0.2, sun_share=0.5) for n in "ab")
    assert len(small(stores=halves).stores) == 2
    # a store of no pieces takes no sun
    none = g.Store("c", "barrels", 0.2, count=0, sun_share=0.5)
    assert len(small(stores=(*halves, none)).stores) == 3
    assert small(horizon=(g.Sighting(0.0, 5.0), g.Sighting(359.0, 6.0))).horizon[1].height == 6.0
    assert small(heater=g.Heater(5.0, place="a"), stores=halves).heater.place == "a"
    assert g.Store("d", "barrels", 0.2, count=2.0).count == 2 and isinstance(
        g.Store("d", "barrels", 0.2, count=3.0).count, int
    )
    assert g.Store("b", "bed", 1.0, "gravel", surface=2.0, layers=8).layers == 8
    assert isinstance(small(stores=list(halves)).stores, tuple)
    # the heater may run up to where the vents open, and no further
    vents = g.Vents(2.5)
    assert small(heater=g.Heater(5.0, 2.0, 0.5), vents=vents).vents == vents
    with pytest.raises(ValueError, match=r"runs up to 2.6 °C but the vents open at 2.5 °C"):
        small(heater=g.Heater(5.0, 2.1, 0.5), vents=vents)


def test_soils_conduct_heat_as_ground_does():
    """Ground spreads heat at 1e-8 to 1e-5 m²/s (from memory: soils 2e-7 to 1e-6); metals and air do it faster."""
    for name in keys("materials"):
        if name.startswith(("soil_", "sand_", "gravel", "peat")):
            assert g.Floor(6.0, 10.0, soil=name).soil == name
    for name in ("copper", "aluminium", "air"):
        with pytest.raises(ValueError, match=f"floor soil must be .* it is '{name}'"):
            g.Floor(6.0, 10.0, soil=name)


def test_leakage_is_a_rate_or_a_class_or_the_usual_one():
    """One air change an hour where nothing is said; a class gives its table's rate and may stand beside it."""
    sealed = entry("tightness", "sealed", "air_change_rate").value
    assert g.Air().air_change_rate == 1.0 and g.Air().tightness is None
    assert g.Air(tightness="sealed").air_change_rate == sealed == g.class_rate("sealed")
    assert g.Air(sealed, "sealed").air_change_rate == sealed and g.Air(0.0).air_change_rate == 0.0


def test_letters_that_no_page_prints():
    assert small(name="x" * 200).name == "x" * 200 and small(note="a\n" * 10_000).note.count("\n") == 10_000
    with pytest.raises(ValueError, match=r"name must have at most 200 letters, but it has 201$"):
        small(name="x" * 201)
    with pytest.raises(ValueError, match=r"note must have at most 20000 letters, but it has 20001$"):
        small(note="x" * 20_001)
    assert small(note="a\tb\r\nc").note == "a\tb\r\nc"
    for letter, code in (
        ("\x07", "0007"),
        ("\ud800", "D800"),
        ("\uffff", "FFFF"),
        ("\u2028", "2028"),
        ("\u2029", "2029"),
    ):
        for field, wanted in (("name", "one line of letters"), ("note", "letters")):
            with pytest.raises(ValueError, match=rf"{field} must be {wanted} that can be printed.* U\+{code} in it$"):
                small(**{field: f"a{letter}"})
    with pytest.raises(ValueError, match=r"name must be one line .*U\+000A"):
        small(name="a\nb")
    assert small(name="grüße – 温室 🌱").name.endswith("🌱")


def test_pipes_carry_what_a_fan_presses():
    pipes = g.Pipes(6.0, 0.15, count=6, corrugated=False)
    expected = pipe_flow(
        25.0, 15.0, 0.15, 6.0, 0.1, count=6, corrugated=False, pressure=float(pressure_at(500.0)), soil_resistance=0.1
    )
    assert g.through_pipes(pipes, 500.0, 0.1) == expected
    bare = pipe_flow(25.0, 15.0, 0.15, 6.0, 0.1, count=6, corrugated=False, pressure=float(pressure_at(500.0)))
    assert g.through_pipes(pipes, 500.0) == bare
    low, high = ELEVATION
    assert small(place=g.Place(45.0, elevation=low)).place.elevation == low
    assert small(place=g.Place(45.0, elevation=high)).place.elevation == high


# ---- changes


def test_parts_go_by_name_or_by_number():
    drums, bed = HOUSE.stores
    assert HOUSE.store("drums") == HOUSE.store("0") == drums and HOUSE.store("1") == HOUSE.store("bed") == bed
    assert HOUSE.surface("0") == HOUSE.surfaces[0]
    with pytest.raises(ValueError, match=r"^store '2' is not known \(known: bed, drums\)$"):
        HOUSE.store("2")
    with pytest.raises(ValueError, match=r"^surface 5 is not known"):
        HOUSE.surface(5)
    # a name of digits is a name first
    odd = small(surfaces=(WALL, g.Surface("0", 7.0, u_value=1.0)))
    assert odd.surface("0").area == 7.0 and odd.surface("1").area == 7.0 and odd.surface("wall") == WALL


def test_a_path_that_leads_nowhere_says_where_it_stops():
    for path, says in (
        ("heater.power.x", "^'heater.power.x' leads to a part this house does not have$"),
        ("heater.pwer", r"^part of heater 'pwer' is not known \(nearest: power"),
        ("stores.5.count", "^part '5' is not known"),
        ("surfaces.north roof.layers.7", r"^part '7' is not known \(known: 0, 1, 2\)$"),
        ("horizon.0", "^part '0' is not known"),
    ):
        with pytest.raises(ValueError, match=says):
            HOUSE.changed(path, 1.0)
    with pytest.raises(ValueError, match=r"^what to change must be a dotted path such as 'heater.power', not 5$"):
        HOUSE.changed(5, 1.0)


def test_one_entry_of_a_list_is_changed_and_its_neighbours_stay():
    layers = tuple(g.Layer("gravel", t) for t in (0.1, 0.2, 0.3))
    house = small(floor=g.Floor(6.0, 10.0, layers=layers))
    moved = house.changed("floor.layers.1.thickness", 0.25)
    assert [layer.thickness for layer in moved.floor.layers] == [0.1, 0.25, 0.3]
    assert house.changed("floor.layers.1", None).floor.layers == (layers[0], layers[2])
    assert house.changed("floor.layers.2", g.Layer("sand_dry", 0.5)).floor.layers[2].material == "sand_dry"
    both = house.changed("floor.area", 7.0, **{"floor.perimeter": 11.0, "name": "hut"})
    assert (both.floor.area, both.floor.perimeter, both.name, house.floor.area) == (7.0, 11.0, "hut", 6.0)


def test_two_ways_of_telling_leaks_take_each_other_s_place():
    sealed = HOUSE.changed("air.tightness", "sealed")
    assert (sealed.air.tightness, sealed.air.air_change_rate) == ("sealed", g.class_rate("sealed"))
    assert sealed.changed("air.air_change_rate", 2.0).air == HOUSE.changed("air.air_change_rate", 2.0).air
    assert sealed.changed("air.lobby", False).air.tightness == "sealed"
    both = HOUSE.changed(**{"air.lobby": False, "air.tightness": "sealed"}).air
    assert HOUSE.air.lobby and not both.lobby and both.tightness == "sealed"


# ---- the demo house


def test_what_each_lesson_does_to_the_demo_house():
    """The measures of the scenario, invented, as its list tells them: one change after the other, nothing else."""
    houses = [demo_house(n) for n in range(11)]
    drums = g.Store("drums", "barrels", 0.208, count=9, gap=0.0, sun_share=0.15)
    assert houses[1] == houses[0].changed("stores", (drums,))
    assert houses[2] == houses[1].changed("surfaces.sashes.glazing", "glass_and_film")
    for before, after in zip(houses[2].surfaces, houses[3].surfaces):
        if before.layers:
            assert after.layers == (g.Layer("plywood", 0.009), g.Layer("eps", 0.1), *before.layers)
            assert after.framing == 0.12
        else:
            assert after == before
    assert houses[3].curtain == g.Curtain() and houses[2].curtain is None
    assert houses[3].changed("surfaces", houses[2].surfaces).changed("curtain", None) == houses[2]
    sealed = {"air.air_change_rate": g.class_rate("sealed"), "air.lobby": True}
    assert houses[4] == houses[3].changed(**sealed) and not houses[3].air.lobby
    assert houses[5] == houses[4].changed(**{"plants.wetness": 0.2, "air.relative_humidity": 0.7})
    assert houses[6] == houses[5].changed(**{"floor.edge_r_value": 1.4, "floor.edge_depth": 0.6})
    light = {"stores.drums.sun_share": 0.45, "place.snow": "snow_fresh", "place.ground": "white_stones"}
    assert houses[7] == houses[6].changed(**light)
    bed = g.Store("bed", "bed", 1.2, "gravel", surface=4.0, layers=3, sun_share=0.15, absorptance=0.8)
    apart = houses[7].changed("stores.drums.gap", 0.15)
    assert houses[8] == apart.changed("stores", (apart.store("drums"), bed))
    pipes = g.Pipes(6.0, 0.15, count=6, spacing=0.45, on_above=20.0)
    assert houses[9] == houses[8].changed("pipes", pipes)
    sized = {"stores.drums.count": 14, "heater": g.Heater(1800.0, houses[9].limits.minimum)}
    assert houses[10] == houses[9].changed(**sized)
    assert demo_house() == houses[0] and demo_house(3.0) == houses[3] and len(MEASURES) == 11
    with pytest.raises(ValueError, match=r"^lesson must be a whole number, but it is 1.5$"):
        demo_house(1.5)

"""The own-house form: entries read and written in both unit systems, its geometry, its live checks."""

import dataclasses
import json
import math
import re

import pytest

from heatlib.classroom.conditions import Conditions, conditions_text, night_weather, parse_conditions, winter_weather
from heatlib.classroom.lesson import Lesson
from heatlib.classroom.own_fields import Draft, entries, foam_of, front, measures_of, stretched, turned
from heatlib.classroom.own_house import OwnHouse
from heatlib.house.demo import demo_house
from heatlib.house.greenhouse import Layer, Pipes, Shade, Sighting, SnowCover, Store, Tree, Vents
from heatlib.units import SYSTEMS

HOSTILE = '<script>alert(1)</script> "><img src=x onerror=alert(1)> #panic("x") $x$ *b*'


@pytest.fixture
def own(tmp_path):
    return OwnHouse(tmp_path)


def named(draft):
    return {entry.name: entry for group in entries(draft).values() for entry in group}


def ask(form, *steps):
    """Send what the page would send."""
    form._asked = {"steps": [list(step) for step in steps]}


def item(form, name):
    return next(one for group in form._form["groups"] for one in group["items"] if one["name"] == name)


# ---- entries --------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("system", SYSTEMS)
@pytest.mark.parametrize("lesson", [0, 1, 10])
def test_every_entry_reads_back_what_it_shows(system, lesson):
    draft = Draft(demo_house(lesson), Conditions())
    every = named(draft)
    assert len(every) >= 60
    for entry in every.values():
        shown = entry.shown(draft, system)
        if entry.kind == "button":
            continue
        if entry.kind == "number" and not draft.house.stores and entry.name.startswith("barrel_"):
            continue
        again = entry.read(shown, draft, system)
        if entry.kind != "number":
            assert entry.get(again) == entry.get(draft), entry.name
            continue
        # four digits are shown, so reading back is near; degrees near 0 °F are rounded absolutely
        if shown == "":
            assert entry.get(again) is None
            continue
        assert entry.get(again) == pytest.approx(entry.get(draft), rel=6e-4, abs=0.06), entry.name
        assert entry.shown(again, system) == shown, entry.name


@pytest.mark.parametrize(
    "name, typed, system, expected",
    [
        # by hand: 1 ft = 0.3048 m, 1 in = 25.4 mm, °F = 1.8 °C + 32, 1 gal = 3.785 412 L
        ("length", "20", "US", 6.096),
        ("length", "20 ft", "metric", 6.096),
        ("length", "19'6\"", "metric", 5.9436),
        ("length", "19 ft 6 in", "US", 5.9436),
        ("length", "6,5", "metric", 6.5),
        ("length", "650 cm", "US", 6.5),
        ("conditions.coldest", "−40", "US", -40.0),
        ("conditions.coldest", "-4", "US", -20.0),
        ("conditions.coldest", "5 °F", "metric", -15.0),
        ("barrel_size", "55", "US", 0.20819766),
        ("floor.edge_r_value", "R-10", "metric", 1.7611),
        ("floor.edge_r_value", "10", "US", 1.7611),
        ("barrel_sun", "45", "metric", 0.45),
        ("price.film", "1", "US", 10.7639),
        ("price.foam", "1", "US", 35.3147),
        ("price.sealing", "1", "US", 3.28084),
        ("price.electricity", "0,31", "US", 0.31),
        ("heater", "1.5 kW", "metric", 1500.0),
    ],
)
def test_typed_in_either_system(own, name, typed, system, expected):
    own.change(name, typed, system)
    assert named(own.draft)[name].get(own.draft) == pytest.approx(expected, rel=2e-5)


@pytest.mark.parametrize(
    "name, typed, system, words",
    [
        ("length", "long", "metric", "length must be a number in m"),
        ("length", "", "US", "length must be a number in ft"),
        ("length", "-3", "metric", "length must be between 1 and 200 m, but it is −3 m"),
        ("length", "1", "US", "length must be between 3.281 and 656.2 ft, but it is 1 ft"),
        ("length", "1e3", "metric", "length must be between 1 and 200 m, but it is 1000 m"),
        ("length", "nan", "metric", "number"),
        ("length", "6 gal", "metric", "length must be a number with one of the units"),
        ("ridge", "0.5", "metric", "the ridge must not be lower than the eaves"),
        ("barrels", "2.5", "metric", "whole number"),
        ("name", "  ", "metric", "some words"),
        ("conditions.warmest", "-30", "metric", "warmest of the day before must be"),
        ("air.lobby", "yes", "metric", "yes or no"),
        ("surface.0.covering", "ice", "metric", "not known"),
        ("price.barrel", "-1", "metric", "barrel must be between 0"),
        ("wdth", "3", "metric", "nearest: width"),
    ],
)
def test_refusals_change_and_save_nothing(own, tmp_path, name, typed, system, words):
    before = own.draft
    with pytest.raises(ValueError, match=re.escape(words)):
        own.change(name, typed, system)
    assert own.draft == before and list(tmp_path.iterdir()) == []


# ---- geometry, by hand ----------------------------------------------------------------------------------------------


def area(house, name):
    return house.surface(name).area


def test_twice_as_long_doubles_the_long_sides_and_leaves_the_ends():
    house = demo_house(1)
    long = stretched(house, length=12.0)
    for name in ("south roof", "north roof", "south wall", "sashes", "north wall"):
        assert area(long, name) == pytest.approx(2 * area(house, name), rel=1e-5)
    for name in ("east gable", "west boards"):
        assert area(long, name) == pytest.approx(area(house, name), rel=1e-5)
    assert long.floor.area == pytest.approx(43.2) and long.floor.perimeter == pytest.approx(31.2)
    assert long.volume == pytest.approx(2 * house.volume, rel=1e-5)


def test_a_higher_ridge_steepens_the_roof():
    """3.6 m wide, eaves 1.8 m: a ridge at 3.6 m rises 1.8 m over 1.8 m, which is 45°."""
    house = stretched(demo_house(1), eaves=1.8, ridge=3.6)
    assert house.surface("south roof").tilt == pytest.approx(45.0, abs=1e-4)
    assert house.volume == pytest.approx(21.6 * 2.7, rel=1e-6)
    old = measures_of(demo_house(1))
    slope = math.hypot(1.8, 1.8) / math.hypot(1.8, old["ridge"] - old["eaves"])
    assert area(house, "south roof") == pytest.approx(12.7 * slope, rel=1e-5)


def test_sizes_come_back_as_they_were_set(own):
    for name, typed in (("length", "8"), ("width", "4"), ("eaves", "2.1"), ("ridge", "3.3")):
        own.change(name, typed)
    assert measures_of(own.house) == pytest.approx({"length": 8, "width": 4, "eaves": 2.1, "ridge": 3.3}, abs=2e-3)


def test_turning_the_house_turns_every_surface():
    house = turned(demo_house(1), 135.0)
    assert front(house) == 135.0
    assert house.surface("east gable").facing == 45.0 and house.surface("north wall").facing == 315.0
    assert turned(house, 180.0) == demo_house(1)


def test_insulation_is_put_in_stretched_and_taken_out(own):
    at = [surface.name for surface in own.house.surfaces].index("north wall")
    name = f"surface.{at}.foam"
    assert foam_of(own.house.surface("north wall")) == 0
    own.change(name, "50")
    wall = own.house.surface("north wall")
    assert [layer.material for layer in wall.layers] == ["eps", "softwood"] and foam_of(wall) == pytest.approx(0.05)
    own.change(name, "100")
    assert foam_of(own.house.surface("north wall")) == pytest.approx(0.10)
    own.change(name, "0")
    assert own.house.surface("north wall").layers == demo_house(1).surface("north wall").layers


def test_another_covering(own):
    own.change("surface.0.covering", "glass_double")
    assert own.house.surfaces[0].glazing == "glass_double" and own.house.surfaces[0].curtain
    own.change("surface.0.covering", "boards")
    assert own.house.surfaces[0].glazing is None and own.house.surfaces[0].layers
    assert "surface.0.foam" in named(own.draft) and "surface.0.curtain" not in named(own.draft)


def test_barrels_heater_and_curtain_come_and_go(tmp_path):
    own = OwnHouse(tmp_path, demo_house(0))
    own.change("barrels", "4")
    assert own.house.stores[0].count == 4 and own.house.stores[0].volume == 0.208
    own.change("barrels", "0")
    own.change("heater", "1500")
    assert own.house.heater.power == 1500 and own.house.heater.setpoint == own.house.limits.minimum
    own.change("limits.minimum", "5")
    assert own.house.heater.setpoint == 5.0
    own.change("heater", "0")
    assert own.house.heater is None
    own.change("curtain", True)
    assert own.house.curtain is not None
    own.change("curtain", False)
    assert own.house.curtain is None


def test_a_barrel_of_half_the_water_keeps_its_shape(own):
    before = own.house.store("drums")
    own.change("barrel_size", "104")
    after = own.house.store("drums")
    assert after.diameter / after.height == pytest.approx(before.diameter / before.height)
    ratio = (after.diameter / before.diameter) ** 2 * after.height / before.height
    assert ratio == pytest.approx(0.5)


# ---- whatever the file can say --------------------------------------------------------------------------------------


def test_every_field_of_a_house_has_an_entry():
    """A house with every part in it: each number, name, word and yes-or-no of the file can be changed in the form."""
    full = full_house()
    names = set(named(Draft(full, Conditions())))
    elsewhere = {"name", "volume", "note", "floor.area", "floor.perimeter", "air.tightness", "air.door_width",
                 "air.door_height", "air.lobby_volume", "air.contents", "plants.resistance_day",
                 "plants.resistance_night"}  # fmt: skip
    parts = {"place": full.place, "floor": full.floor, "air": full.air, "plants": full.plants, "limits": full.limits,
             "pipes": full.pipes, "vents": full.vents, "shade": full.shade, "heater": full.heater,
             "curtain": full.curtain, "snow_cover": full.snow_cover, "trees.0": full.trees[0],
             "horizon.0": full.horizon[0], "store.0": full.stores[0], "store.1": full.stores[1],
             "floor.layers.0": full.floor.layers[0]}  # fmt: skip
    alike = {"heater.power": "heater", "heater.fuel": "fuel", "store.0.kind": "barrels", "store.1.kind": "barrels"}
    wanted = {f"{stem}.{one.name}" for stem, part in parts.items() for one in dataclasses.fields(part)
              if one.metadata["kind"] not in ("part", "parts")} - elsewhere  # fmt: skip
    assert len(wanted) > 70
    assert sorted(one for one in wanted if alike.get(one, one) not in names) == []


def full_house():
    house = demo_house(10)
    bed = Store("second bed", "bed", 1.0, "gravel", surface=4.0)
    return house.changed(
        stores=(house.stores[0], bed), trees=(Tree("maple", 200.0, 12.0, 9.0, 6.0),),
        horizon=(Sighting(180.0, 8.0),), snow_cover=SnowCover(), shade=Shade(), vents=Vents(), pipes=Pipes(8.0, 0.05),
        **{"floor.layers": (Layer("gravel", 0.1),)},
    )  # fmt: skip


def test_a_surface_is_added_named_sized_and_taken_away(own):
    before = own.house
    own.change("surface.add", True)
    at = len(before.surfaces)
    for name, typed in (("name", "porch"), ("facing", "90"), ("tilt", "60"), ("covering", "film_double"),
                        ("area", "4 ft2")):  # fmt: skip
        own.change(f"surface.{at}.{name}", typed, "metric")
    new = own.house.surface("porch")
    assert (new.facing, new.tilt, new.glazing) == (90.0, 60.0, "film_double")
    assert new.area == pytest.approx(4 * 0.3048**2)
    assert OwnHouse(own.folder).house == own.house
    own.change(f"surface.{at}.remove", True)
    assert own.house == before


def test_a_surface_of_its_own_u_value(own):
    own.change("surface.0.covering", "u_value")
    own.change("surface.0.u_value", "0.5", "US")
    assert own.house.surfaces[0].u_value == pytest.approx(0.5 * 5.678263, rel=1e-6)
    own.change("surface.0.covering", "r_value")
    own.change("surface.0.r_value", "R-10")
    assert own.house.surfaces[0].r_value == pytest.approx(1.7611, rel=1e-4)


def test_the_last_surface_stays(tmp_path):
    house = demo_house(1)
    own = OwnHouse(tmp_path, house.changed("surfaces", house.surfaces[:1]))
    with pytest.raises(ValueError, match="at least one surface"):
        own.change("surface.0.remove", True)


def test_pipes_vents_shade_trees_and_beds_come_and_go(own):
    before = own.house
    steps = (("pipes", True), ("pipes.length", "20 ft"), ("pipes.flow", "180"), ("vents", True),
             ("vents.opens_at", "26"), ("shade", True), ("shade.factor", "60"), ("trees.add", True),
             ("trees.0.distance", "12"),
             ("horizon.add", True), ("horizon.0.height", "7"), ("snow_cover", True), ("store.add.bed", True),
             ("store.1.surface", "6"), ("store.1.volume", "1500"), ("floor.layers.add", True))  # fmt: skip
    for name, typed in steps:
        own.change(name, typed)
    house = own.house
    assert house.pipes.length == pytest.approx(6.096) and house.pipes.flow == pytest.approx(0.05)
    assert house.vents.opens_at == 26.0 and house.shade.factor == 0.6 and house.trees[0].distance == 12.0
    assert house.horizon[0].height == 7.0 and house.stores[1].volume == 1.5 and house.stores[1].surface == 6.0
    assert OwnHouse(own.folder).house == house
    for name in ("pipes", "vents", "shade", "snow_cover"):
        own.change(name, False)
    for name in ("trees.0.remove", "horizon.0.remove", "store.1.remove"):
        own.change(name, True)
    own.change(f"floor.layers.{len(house.floor.layers) - 1}.remove", True)
    assert own.house == before.changed("vents", None)


def test_an_empty_entry_means_worked_out(own):
    own.change("store.0.gap", "0.1")
    assert own.house.stores[0].gap == pytest.approx(0.1)
    own.change("store.0.gap", " ")
    assert own.house.stores[0].gap is None
    with pytest.raises(ValueError, match="must be a number"):
        own.change("store.0.volume", "")


def test_fuel_of_the_heater_and_its_price(own):
    """By hand: 1 US gallon is 3.785 412 L, so 3 a gallon are 0.7925 a litre."""
    own.change("fuel", "propane")
    own.change("price.propane", "3", "US")
    assert own.conditions.fuel == "propane" and own.conditions.prices["propane"] == pytest.approx(3 / 3.785412)
    own.change("heater", "1500")
    own.change("fuel", "firewood")
    assert own.house.heater.fuel == "firewood"


def test_a_year_file_must_be_there(own):
    before = own.draft
    with pytest.raises(ValueError, match="can't be opened"):
        own.change("conditions.year_file", "no such file.epw")
    assert own.draft == before


# ---- the form -------------------------------------------------------------------------------------------------------


def test_a_good_entry_is_taken_and_a_bad_one_stays_in_the_form(own):
    ask(own.form, (1, "edit", "length", "7"), (2, "edit", "width", "wide"))
    assert own.house.floor.area == pytest.approx(25.2)
    wrong = item(own.form, "width")
    assert wrong["value"] == "wide" and wrong["error"].startswith("Width must be a number in m")
    assert item(own.form, "length") | {"value": "7", "error": ""} == item(own.form, "length")
    assert own.form._form["done"] == 2 and own.form._form["wrong"] == 1
    ask(own.form, (3, "edit", "width", "4"))
    assert item(own.form, "width")["error"] == "" and own.house.floor.area == pytest.approx(28.0)


def test_each_step_is_done_once(own):
    ask(own.form, (1, "edit", "barrels", "5"))
    own.change("barrels", "6")
    ask(own.form, (1, "edit", "barrels", "5"), (2, "edit", "air.lobby", True))
    assert own.house.store("drums").count == 6 and own.house.air.lobby


def test_the_switch_turns_the_form_and_no_value(own):
    before = own.draft
    own.form.turn("US")
    assert item(own.form, "length")["unit"] == "ft" and own.draft == before
    assert float(item(own.form, "conditions.coldest")["value"]) == pytest.approx(-11.2)
    assert any("Btu/h" in value for _, value in own.form._form["numbers"])
    ask(own.form, (1, "edit", "conditions.coldest", "-22"))
    assert own.conditions.coldest == pytest.approx(-30.0)


def test_reading_again_drops_what_was_wrong(own):
    ask(own.form, (1, "edit", "width", "wide"), (2, "read", "", ""))
    assert own.form._form["wrong"] == 0 and item(own.form, "width")["value"] == "3.6"


def test_stored_form_is_the_same_each_time_and_names_no_folder(own, tmp_path):
    data, _ = own.form._repr_mimebundle_()
    again, _ = OwnHouse(tmp_path).form._repr_mimebundle_()
    assert data["text/plain"] == again["text/plain"] and data["text/html"] == again["text/html"]
    assert "invented" in data["text/plain"] and str(tmp_path) not in json.dumps([data["text/plain"], data["text/html"]])
    assert re.search(r"heat lost then, at 2.0 °C inside: \d\u202f\d{3} W", data["text/plain"])


def test_a_hostile_name_stays_text(own):
    own.change("name", HOSTILE)
    data, _ = own.form._repr_mimebundle_()
    assert "<script" not in data["text/html"] and "<img" not in data["text/html"]
    assert "&lt;script&gt;" in data["text/html"]
    assert item(own.form, "name")["value"] == HOSTILE
    assert OwnHouse(own.folder).house.name == HOSTILE


def test_page_sets_words_as_text_only(own):
    """The page side must not read any word as markup."""
    assert "innerHTML" not in own.form._esm and "insertAdjacentHTML" not in own.form._esm


def test_the_lesson_shows_it_and_its_switch_turns_it(tmp_path, monkeypatch):
    shown = []
    monkeypatch.setattr("heatlib.classroom.lesson.display", shown.append)
    lesson = Lesson(10)
    own = lesson.own_house(folder=tmp_path)
    assert shown == [own.form]
    lesson.units = "US"
    assert own.units == "US" and item(own.form, "length")["unit"] == "ft"


# ---- weather and prices ---------------------------------------------------------------------------------------------


def test_conditions_round_trip_with_comments():
    text = "# the winter of my valley\ncoldest = -31.0  # in 1994\nwarmest = -20.0\n[prices]\nbarrel = 12.5\n"
    read = parse_conditions(text)
    assert read.coldest == -31.0 and read.prices["barrel"] == 12.5
    assert read.prices["electricity"] == Conditions().prices["electricity"]
    written = conditions_text(read.changed(prices={"barrel": 14.0}), text)
    assert "# in 1994" in written and "# the winter of my valley" in written
    assert parse_conditions(written) == read.changed(prices={"barrel": 14.0})


@pytest.mark.parametrize(
    "text, words",
    [
        ("coldest = ", "line 1"),
        ("coldst = 3", "nearest: coldest"),
        ("coldest = 'cold'", "coldest night must be"),
        ("coldest = -90", "coldest night must be between"),
        ("prices = 3", "prices must be a table"),
        ("[prices]\nfoamm = 3", "nearest: foam"),
        ("[prices]\nfoam = -3", "price of foam"),
        ("currency = 3", "word for the money"),
        ("coldest = -10\nwarmest = -12", "warmest of the day before"),
    ],
)
def test_conditions_refuse(text, words):
    with pytest.raises(ValueError, match=re.escape(words)):
        parse_conditions(text, "my-greenhouse-plan.toml")


def test_the_night_is_as_cold_as_told():
    night = night_weather(demo_house(1), Conditions(coldest=-20.0, warmest=-8.0))
    assert night.temperature.min() == pytest.approx(-20.0, abs=0.05)
    assert night.temperature.max() == pytest.approx(-8.0, abs=0.05)


def test_the_winter_has_the_means_it_is_told():
    """Closed form: mean over 182 days of year − swing·cos(2π d/365.25) is year − swing·sin(x)/x, x = π·182/365.25."""
    told = Conditions(winter_night=-14.0, winter_day=-5.0, year_mean=5.0)
    weather = winter_weather(demo_house(1), told)
    swing, x = 5.0 + 9.5, math.pi * 182 / 365.25
    mean = 5.0 - swing * math.sin(x) / x
    # the last spell is cut short, and a day's curve is not symmetric: half a degree at most
    assert weather.temperature.mean() == pytest.approx(mean, abs=0.6)
    day = weather.time / 86400
    middle = weather.temperature[abs(day - 91) < 15]
    assert middle.mean() == pytest.approx(-9.5, abs=0.8)


def test_winter_is_in_july_south_of_the_equator():
    south = demo_house(1).changed(**{"place.latitude": -42.0, "place.longitude": 147.0, "place.utc_offset": 10.0})
    weather = winter_weather(south, Conditions())
    coldest = weather.clock[weather.temperature.argmin()]
    assert str(coldest)[5:7] in ("07", "08")
    north = winter_weather(demo_house(1), Conditions())
    assert str(north.clock[north.temperature.argmin()])[5:7] in ("01", "02")

"""The description of a house: every part checks itself, and changing one thing changes nothing else."""

import dataclasses

import pytest

from heatlib.house.demo import MEASURES, demo_house, demo_text
from heatlib.house.greenhouse import Air, Floor, Greenhouse, Heater, Layer, Pipes, Place, Store, Surface
from heatlib.house.housefile import parse_house


def small(**more):
    parts = {
        "name": "shed",
        "volume": 10.0,
        "place": Place(45.0),
        "floor": Floor(6.0, 10.0),
        "surfaces": (Surface("pane", 4.0, glazing="glass_single"), Surface("wall", 10.0, r_value=2.0)),
    }
    return Greenhouse(**(parts | more))


def test_parts_are_frozen():
    house = small()
    with pytest.raises(dataclasses.FrozenInstanceError):
        house.volume = 20.0


def test_changed_by_dotted_path_leaves_the_old_house_alone():
    house = small(stores=(Store("drums", "barrels", 0.2, count=3),), heater=Heater(500.0))
    new = house.changed(**{"heater.power": 1500, "stores.drums.count": 12, "surfaces.0.area": 5})
    assert (new.heater.power, new.store("drums").count, new.surface("pane").area) == (1500.0, 12, 5.0)
    assert (house.heater.power, house.store("drums").count, house.surface("pane").area) == (500.0, 3, 4.0)
    assert new.changed("heater", None).heater is None
    assert new.changed("stores.drums", None).stores == ()
    assert dataclasses.replace(new, heater=house.heater, stores=house.stores, surfaces=house.surfaces) == house


@pytest.mark.parametrize(
    ("path", "value", "says"),
    [
        ("heater.power", 5.0, "does not have"),
        ("heter", None, "nearest: heater"),
        ("stores.drum.count", 1, "drum"),
        (
            "surfaces.pane.area",
            -1.0,
            "surface 'pane', area must be greater than 0 m² and at most 5000 m², but it is -1 m²",
        ),
        ("surfaces.pane.area", "12", "text"),
        ("surfaces.pane.glazing", "glass_singel", "nearest: glass_single"),
        ("air.lobby", 1, "true or false"),
        ("place.latitude", float("nan"), "latitude"),
        ("volume", True, "yes or no"),
    ],
)
def test_a_bad_change_is_refused_in_words(path, value, says):
    with pytest.raises(ValueError, match=says):
        small().changed(path, value)


@pytest.mark.parametrize(
    ("make", "says"),
    [
        (lambda: Surface("a", 1.0), "exactly one of glazing, layers, u_value, r_value: found none"),
        (lambda: Surface("a", 1.0, u_value=2.0, r_value=1.0), "found u_value and r_value"),
        (lambda: small(surfaces=()), "at least one surface"),
        (lambda: small(surfaces=(Surface("a", 1.0, u_value=1.0),) * 2), "two surfaces have the name 'a'"),
        (lambda: small(surfaces=(Surface("a.b", 1.0, u_value=1.0),)), "full stop"),
        (lambda: small(heater=Heater(100.0, place="drums")), "heater place 'drums'"),
        (lambda: Store("d", "barrels", 0.2, count=1.5), "whole number"),
        (lambda: Store("b", "bed", 1.0, material="gravel"), "needs its surface"),
        (lambda: small(stores=tuple(Store(n, "barrels", 0.2, sun_share=0.6) for n in "ab")), "sun_share"),
        (lambda: Layer("gravle", 0.1), "nearest: gravel"),
        (lambda: Air(relative_humidity=80), "between 0 and 1"),
        (lambda: Pipes(0.0, 0.1), "length must be greater than 0"),
    ],
)
def test_impossible_parts_are_refused(make, says):
    with pytest.raises(ValueError, match=says):
        make()


def test_the_demo_house_says_it_is_invented_and_has_the_scenario_s_measures():
    """Design of the scenario: 3.6 m by 6.0 m, 1.8 m at the eaves, 2.9 m at the ridge; six sashes, nine 208 L drums."""
    house = demo_house()
    assert "invented" in house.name.lower() and "invented" in house.note.lower() and "INVENTED" in demo_text()
    assert house.floor.area == pytest.approx(3.6 * 6.0) and house.floor.perimeter == pytest.approx(2 * (3.6 + 6.0))
    assert house.volume == pytest.approx((3.6 * 1.8 + 3.6 * 1.1 / 2) * 6.0, rel=0.01)
    roof = (1.8**2 + 1.1**2) ** 0.5 * 6.0
    assert house.surface("south roof").area == pytest.approx(roof, rel=0.01)
    walls = 2 * 6.0 * 1.8 + 2 * (3.6 * 1.8 + 3.6 * 1.1 / 2)
    assert sum(s.area for s in house.surfaces) == pytest.approx(2 * roof + walls, rel=0.02)
    assert (house.place.latitude, house.place.elevation) == (46.5, 350.0)
    assert house.stores == () and house.heater is None and house.curtain is None
    drums = demo_house(1).store("drums")
    assert (drums.count, drums.volume) == (9, 0.208)


def test_each_lesson_changes_the_demo_house_once():
    houses = [demo_house(n) for n in range(11)]
    assert len(MEASURES) == 11 and len(set(map(repr, houses))) == 11
    assert houses[10].heater.power > 0 and houses[9].pipes and not houses[8].pipes
    assert houses[2].surface("sashes").glazing != houses[1].surface("sashes").glazing
    for bad in (11, -1, 1.5, "one"):
        with pytest.raises(ValueError, match="lesson"):
            demo_house(bad)


def test_reading_the_demo_text_gives_the_demo_house():
    assert parse_house(demo_text()) == demo_house(0)

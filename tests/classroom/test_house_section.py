"""The demo house becomes the right section: its invented measures are the expected values, the bill sums up."""

import re

import pytest

from heatlib.classroom.cutaway import cutaway, cutaway_words
from heatlib.classroom.house_section import flows_of_bill, section_of, stores_of
from heatlib.classroom.picture import Picture
from heatlib.house.bill import loss_bill
from heatlib.house.demo import demo_house
from heatlib.house.greenhouse import Layer


def test_section_has_the_measures_of_the_demo_house():
    """Stated with the scenario: 3.6 m × 6.0 m, 1.8 m at the eaves, 2.9 m at the ridge, the lower metre boarded."""
    section = section_of(demo_house())
    assert section.width == pytest.approx(3.6, abs=0.01) and section.length == pytest.approx(6.0, abs=0.01)
    assert section.eaves == pytest.approx(1.8, abs=0.03) and section.ridge == pytest.approx(2.9, abs=0.03)
    assert section.boarded_base == pytest.approx(1.0, abs=0.01)
    assert section.insulation == 0 and not section.curtain and not section.heater and section.pipes == 0
    assert not section.north_glazed and section.panes == 2, "twin-wall sheets are two skins"


def test_section_follows_the_measures_of_the_lessons():
    section = section_of(demo_house(10))
    assert section.insulation == pytest.approx(0.1) and section.curtain and section.heater and section.pipes == 6
    assert section.edge_depth == pytest.approx(0.6) and not section_of(demo_house(10), curtain=False).curtain


@pytest.mark.parametrize(
    "names, parts",
    [
        ((), ()),
        (("north wall",), ("north_wall",)),
        (("north roof",), ("north_roof",)),
        (("east boards and door", "south boards"), ("base",)),
        (("north wall", "north roof", "west boards"), ("north_roof", "north_wall", "base")),
    ],
)
def test_foam_is_drawn_only_where_it_is(names, parts):
    house = demo_house()
    for name in names:
        house = house.changed(f"surfaces.{name}.layers", (Layer("eps", 0.05), Layer("softwood", 0.0254)))
    section = section_of(house)
    assert section.insulated == parts and section.insulation == (0.05 if names else 0)
    drawing = cutaway(section, inside=2.0, outside=-24.0, units="metric")
    strips = re.findall(r"<path[^>]*url\(#hl-foam\)[^>]*>", drawing)
    assert len(strips) == len(parts)


@pytest.mark.parametrize("lesson", range(11))
def test_arrows_sum_to_the_bill_and_the_picture_can_be_drawn(lesson):
    house = demo_house(lesson)
    bill = loss_bill(house, 2.0, -24.0)
    flows = flows_of_bill(house, bill)
    assert sum(flow.watts for flow in flows) == pytest.approx(bill.total, rel=1e-9)
    assert len({flow.place for flow in flows}) == len(flows) >= 8
    stores = stores_of(house, {store.name: 6.0 for store in house.stores})
    for units in ("metric", "US"):
        case = {"inside": 2.0, "outside": -24.0, "units": units}
        words = cutaway_words(section_of(house), flows, stores, **case)
        Picture(cutaway(section_of(house), flows, stores, **case), words, words)


def test_each_surface_goes_to_its_side():
    house = demo_house()
    bill = loss_bill(house, 2.0, -24.0)
    parts = {name: w for row in bill.rows if row.key in ("glazing", "walls") for name, w in row.parts.items()}
    watts = {flow.place: flow.watts for flow in flows_of_bill(house, bill)}
    assert watts["north_roof"] == pytest.approx(parts["north roof"]) and watts["north_wall"] == pytest.approx(
        parts["north wall"]
    )
    assert watts["south_wall"] == pytest.approx(parts["south wall"] + parts["sashes"])
    assert watts["south_base"] == pytest.approx(parts["south boards"])
    ends = [name for name in parts if name.startswith(("east", "west"))]
    assert len(ends) == 4 and watts["ends"] == pytest.approx(sum(parts[name] for name in ends))


def test_emphasis():
    house = demo_house()
    flows = flows_of_bill(house, loss_bill(house, 2.0, -24.0), strong=["leaks"])
    assert {flow.place for flow in flows if flow.strong} == {"leaks"}


def test_stores_are_filled_between_empty_and_full():
    house = demo_house(8)
    drums, bed = stores_of(house, {"drums": 5.0, "bed": 30.0}, empty=0.0, full=20.0, ice={"drums": 0.1})
    assert (drums.label, drums.fill, drums.ice, drums.count) == ("9 barrels", 0.25, 0.1, 9)
    assert (bed.label, bed.fill, bed.kind) == ("Bed", 1.0, "bed")
    assert stores_of(house.changed("stores.drums.count", 1), {"drums": 5, "bed": 5})[0].label == "1 barrel"
    assert len(stores_of(house.changed("stores.drums.count", 0), {"bed": 5})) == 1
    with pytest.raises(ValueError, match="full store"):
        stores_of(house, {"drums": 5.0, "bed": 5.0}, empty=20.0, full=20.0)

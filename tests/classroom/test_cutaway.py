"""The section through the house: to scale, arrows as wide as the watts, the way they point, and their words."""

import math
import re
import xml.etree.ElementTree as ET
from itertools import pairwise

import pytest

from heatlib.classroom.cutaway import PLACES, FloorLayer, Flow, Section, Store, cutaway, cutaway_words
from heatlib.classroom.picture import Picture

HOUSE = Section(insulation=0.1, panes=2, floor=(FloorLayer("gravel", 0.1), FloorLayer("foam", 0.05, "foam")), pipes=4)


def draw(section=HOUSE, flows=(), stores=(), inside=5.0, outside=-24.0, units="metric", **more):
    return cutaway(section, flows, stores, inside=inside, outside=outside, units=units, **more)


def parts(drawing, kind):
    root = ET.fromstring(drawing)
    for definitions in root.findall("{*}defs"):
        root.remove(definitions)
    return list(root.iter(f"{{http://www.w3.org/2000/svg}}{kind}"))


def words(drawing):
    return ["".join(one.itertext()) for one in parts(drawing, "text")]


def points(path):
    return [tuple(map(float, pair.split(","))) for pair in re.findall(r"[-\d.]+,[-\d.]+", path.get("d"))]


def arrows(drawing):
    """Shaft width and the vector from tail to point of each arrow but the one of the key, which comes last."""
    found = []
    for one in parts(drawing, "path"):
        corners = points(one)
        if len(corners) == 7 and one.get("d").endswith("Z"):
            tail = [(corners[0][k] + corners[6][k]) / 2 for k in (0, 1)]
            found.append((math.dist(corners[0], corners[6]), (corners[3][0] - tail[0], corners[3][1] - tail[1])))
    return found[:-1]


def test_an_arrow_is_as_wide_as_its_watts():
    flows = [
        Flow("south_roof", "South roof", 800.0),
        Flow("north_wall", "North wall", 200.0),
        Flow("leaks", "Leaks", 400),
    ]
    wide = [width for width, _ in arrows(draw(flows=flows))]
    assert wide[0] / wide[1] == pytest.approx(2, rel=0.01), "drawn from the widest to the thinnest"
    assert wide[0] / wide[2] == pytest.approx(4, rel=0.01)


def test_a_drawing_without_arrows_has_no_key_for_them():
    assert "is this wide" not in words(draw(flows=[])) and "1 m" in words(draw(flows=[]))


def test_the_scale_of_the_arrows_is_the_one_the_key_states():
    drawing = draw(flows=[Flow("leaks", "Leaks", 500.0)])
    key = [points(one) for one in parts(drawing, "path") if len(points(one)) == 7][-1]
    assert "500 W is this wide" in words(drawing)
    assert math.dist(key[0], key[6]) == pytest.approx(arrows(drawing)[0][0], abs=0.02)
    us = draw(flows=[Flow("leaks", "Leaks", 2000 * 0.29307107)], units="US")
    key = [points(one) for one in parts(us, "path") if len(points(one)) == 7][-1]
    assert "2\u202f000 Btu/h is this wide" in words(us)
    assert math.dist(key[0], key[6]) == pytest.approx(arrows(us)[0][0], abs=0.02)


def test_the_widest_arrow_stays_on_the_paper_and_a_full_scale_keeps_the_scale():
    big = arrows(draw(flows=[Flow("leaks", "Leaks", 50e3), Flow("floor", "Floor", 5e3)]))
    assert big[0][0] <= 44.01 and big[0][0] / big[1][0] == pytest.approx(10, rel=0.01)
    half = arrows(draw(flows=[Flow("leaks", "Leaks", 4000.0)], full_scale=8000))
    assert half[0][0] == pytest.approx(22, abs=0.02)


@pytest.mark.parametrize("place", sorted(set(PLACES) - {"ends"}))
def test_an_arrow_turns_round_with_the_sign(place):
    (_, out), (_, back) = (arrows(draw(flows=[Flow(place, "x", watts)]))[0] for watts in (300.0, -300.0))
    assert out[0] == pytest.approx(-back[0], abs=0.02) and out[1] == pytest.approx(-back[1], abs=0.02)


@pytest.mark.parametrize(
    "place, watts, across, down",
    [
        ("south_wall", 300, 1, 0),
        ("north_wall", 300, -1, 0),
        ("leaks", 300, 0, -1),
        ("floor", 300, 0, 1),
        ("edge", 300, 1, 1),
        ("south_roof", 300, 1, -1),
        ("north_roof", 300, -1, -1),
        ("sky", 300, 0, -1),
        ("moisture", 300, 0, -1),
        ("sun", -300, -1, 1),
        ("heater", -300, 0, -1),
        ("stores", -300, 1, 0),
        ("pipes", -300, 0, -1),
    ],
)
def test_losses_point_out_and_gains_point_in(place, watts, across, down):
    """South is on the right, up is towards smaller y: a loss leaves the house, sun and heater enter its air."""
    (_, (dx, dy)) = arrows(draw(flows=[Flow(place, "x", watts)]))[0]
    assert (round(dx, 1) > 0) - (round(dx, 1) < 0) == across and (round(dy, 1) > 0) - (round(dy, 1) < 0) == down


def test_no_watts_no_arrow():
    assert arrows(draw(flows=[Flow("leaks", "Leaks", 0.0)])) == [] and "Leaks" not in words(draw())


def test_the_house_is_to_scale():
    """The bar of one metre, the height of the wall and a barrel of 0.88 m all follow one scale."""
    drawing = draw(stores=[Store("barrel", "9 barrels", 6.0, 1.0, count=9)])
    bar = next(o for o in parts(drawing, "line") if o.get("x1") == "10" and o.get("y1") == o.get("y2"))
    metre = float(bar.get("x2")) - float(bar.get("x1"))
    barrel = next(o for o in parts(drawing, "rect") if "--hl-metal" in o.get("style"))
    assert float(barrel.get("height")) == pytest.approx(0.88 * metre, rel=1e-3)
    assert float(barrel.get("width")) == pytest.approx(0.58 * metre, rel=1e-3)
    outline = next(points(o) for o in parts(drawing, "path") if len(points(o)) == 5 and "--hl-inside" in o.get("style"))
    xs, ys = [x for x, _ in outline], [y for _, y in outline]
    assert max(xs) - min(xs) == pytest.approx(3.6 * metre, rel=1e-3)
    assert max(ys) - min(ys) == pytest.approx(2.9 * metre, rel=1e-3)


def test_insulation_and_floor_layers_are_as_thick_as_they_are():
    def foam(thickness):
        drawing = draw(Section(insulation=thickness))
        strips = [points(o) for o in parts(drawing, "path") if "url(#hl-foam)" in o.get("style")]
        return [math.dist(strip[1], strip[2]) for strip in strips]

    assert foam(0.0) == []
    assert len(foam(0.1)) == 3, "north wall, north roof and the boards below the south panes"
    assert foam(0.2) == pytest.approx([2 * t for t in foam(0.1)], rel=0.02)
    floors = [o for o in parts(draw(), "rect") if "hl-gravel" in o.get("style") or "hl-foam" in o.get("style")]
    assert float(floors[0].get("height")) == pytest.approx(2 * float(floors[1].get("height")), rel=0.01)


def test_a_store_is_filled_to_its_heat_and_says_its_temperature():
    def level(fill, units="metric"):
        drawing = draw(stores=[Store("barrel", "9 barrels", 10.0, fill, count=9)], units=units)
        full = next(o for o in parts(drawing, "rect") if "--hl-metal" in o.get("style"))
        water = [o for o in parts(drawing, "rect") if "--hl-water," in o.get("style")]
        return float(water[0].get("height")) / float(full.get("height")), words(drawing)

    for fill in (0.0, 0.25, 1.0):
        assert level(fill)[0] == pytest.approx(fill, abs=0.001)
    assert "10.0 °C" in level(0.5)[1] and "50.0 °F" in level(0.5, "US")[1] and "9 barrels" in level(0.5)[1]
    icy = draw(stores=[Store("barrel", "9 barrels", 0.0, 0.5, count=9, ice=0.25)])
    assert {"0.0 °C", "25% ice", "9 barrels"} <= set(words(icy))


def test_panes_curtain_heater_pipes_and_snow_are_seen():
    plain = Section()
    for changes in (
        {"panes": 2},
        {"curtain": True},
        {"heater": True},
        {"pipes": 3},
        {"snow": 0.2},
        {"edge_depth": 0.6},
    ):
        assert draw(Section(**changes)) != draw(plain), changes
    assert len(parts(draw(Section(pipes=3)), "circle")) == 3


@pytest.mark.parametrize("units", ["metric", "US"])
@pytest.mark.parametrize(
    "size", [(1.2, 1.5, 1.0, 1.8), (3.6, 6, 1.8, 2.9), (9, 30, 2.5, 5), (40, 100, 4, 9), (3, 4, 2, 2)]
)
@pytest.mark.parametrize("watts", [0.0, 3.0, 900.0, 60e3])
def test_nothing_leaves_the_paper(size, units, watts):
    width, length, eaves, ridge = size
    section = Section(
        width, length, eaves, ridge, insulation=0.3, panes=3, pipes=6, curtain=True, heater=True, snow=0.3
    )
    flows = [Flow(place, "East and west ends", watts if n % 2 else -watts) for n, place in enumerate(PLACES)]
    stores = [Store("barrel", "200 barrels", 6.0, 0.5, count=200), Store("bed", "Bed", 4.0, 0.5)]
    drawing = draw(section, flows, stores, units=units)
    Picture(drawing, "One 1.", cutaway_words(section, flows, stores, inside=5, outside=-24, units=units))
    for one in parts(drawing, "path"):
        for x, y in points(one):
            assert -30 <= x <= 670 and -30 <= y <= 450
    for one in parts(drawing, "text"):
        assert 0 <= float(one.get("x")) <= 640 and 10 <= float(one.get("y")) <= 420


def test_words_on_a_side_do_not_lie_on_each_other():
    flows = [Flow(place, place, 300.0) for place in PLACES]
    for side, x in (("left", "8"), ("right", "632")):
        names = [place for place, where in PLACES.items() if where == side]
        found = [o for o in parts(draw(flows=flows), "text") if o.get("x") == x and "".join(o.itertext()) in names]
        heights = sorted(float(o.get("y")) for o in found)
        assert len(heights) == len(names) and all(b - a >= 36 for a, b in pairwise(heights))


def test_description_has_every_number():
    flows = [Flow("leaks", "Leaks", 812.0), Flow("sun", "Sun", -305.0), Flow("heater", "Heater", -1500.0)]
    stores = [Store("barrel", "9 barrels", 6.2, 0.6, count=9)]
    said = cutaway_words(HOUSE, flows, stores, inside=5, outside=-24, units="metric")
    # fmt: off
    for part in ("3.60 m wide", "2.90 m", "inside 5.0 °C", "outside −24.0 °C", "100 mm of insulation",
                 "9 barrels at 6.2 °C", "Leaks: 812 W out", "Sun: 305 W in",
                 "Heater: 1\u202f500 W in"):
        assert part.lower() in said.lower(), part
    assert said.index("Heater: ") < said.index("Leaks: ") < said.index("Sun: "), "the largest first"
    assert "Btu/h" in cutaway_words(HOUSE, flows, stores, inside=5, outside=-24, units="US")


def test_words_can_not_become_markup():
    nasty = '"><img src=x onerror=alert(1)><script>'
    drawing = draw(flows=[Flow("leaks", nasty, 300.0)], stores=[Store("bed", nasty, 3.0, 0.5)])
    Picture(drawing, "One 1.", "One 1.")
    assert "<img" not in drawing and "<script" not in drawing


@pytest.mark.parametrize(
    "make, clue",
    [
        (lambda: Flow("cellar", "x", 3.0), "place of a heat path"),
        (lambda: Flow("leaks", "Leaks", float("nan")), "heat flow of Leaks"),
        (lambda: Store("pond", "x", 3.0, 0.5), "kind of store"),
        (lambda: Store("bed", "Bed", 3.0, 1.2), "fill of Bed"),
        (lambda: Section(width=-3), "width of the house"),
        (lambda: Section(eaves=3, ridge=2), "height at the ridge"),
        (lambda: draw(Section(floor=(FloorLayer("gravel", 0.1, "lava"),))), "look of a floor layer"),
    ],
)
def test_what_can_not_be_drawn_is_refused(make, clue):
    with pytest.raises(ValueError, match=clue):
        make()

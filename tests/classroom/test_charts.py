"""Charts: lengths and places on the paper hold the numbers, axes stay put, and words are there beside colours."""

import re
import xml.etree.ElementTree as ET
from itertools import pairwise

import pytest

from heatlib.classroom.charts import (
    Axis,
    Line,
    bars,
    comparison,
    course,
    grouped_bars,
    heat_map,
    lines,
    shortfall_words,
)
from heatlib.classroom.picture import Picture

ROWS = [("North wall", 260.0), ("South roof", 900.0), ("Leaks", 450.0)]
HOURS = tuple(range(0, 25, 3))
NIGHT = Line("Air", HOURS, (6, 5, 4, 2, 0, -2, 0, 4, 6))


def shapes(drawing, kind, colour=None):
    root = ET.fromstring(drawing)
    for definitions in root.findall("{*}defs"):
        root.remove(definitions)
    found = [one for one in root.iter(f"{{http://www.w3.org/2000/svg}}{kind}")]
    return [one for one in found if colour is None or f"--hl-{colour}," in one.get("style").split("stroke")[0]]


def words(drawing):
    return ["".join(one.itertext()) for one in shapes(drawing, "text")]


def points(path):
    return [tuple(map(float, pair.split(","))) for pair in re.findall(r"[-\d.]+,[-\d.]+", path.get("d"))]


def stroked(drawing, colour):
    return [one for one in shapes(drawing, "path") if f"stroke:var(--hl-{colour}," in one.get("style")]


def test_bars_are_sorted_and_as_long_as_their_amounts():
    drawing = bars(ROWS, "W", 1000)
    found = shapes(drawing, "rect", "heat")
    assert [float(one.get("y")) for one in found] == sorted(float(one.get("y")) for one in found)
    lengths = [float(one.get("width")) for one in found]
    assert lengths[0] / lengths[1] == pytest.approx(2.0, rel=1e-3) and lengths[0] / lengths[2] == pytest.approx(
        900 / 260, rel=1e-3
    )
    assert [w for w in words(drawing) if w in dict(ROWS)] == ["South roof", "Leaks", "North wall"]
    assert "900 W (56%)" in words(drawing), "900 of 1610 W"


def test_bars_keep_their_scale_while_amounts_change_and_grow_when_they_must():
    first, second = (shapes(bars([("Leaks", w)], "W", 1000), "rect", "heat")[0] for w in (200, 400))
    assert float(second.get("width")) == pytest.approx(2 * float(first.get("width")), rel=1e-3)
    long = shapes(bars([("Leaks", 4000.0)], "W", 1000), "rect", "heat")[0]
    assert float(long.get("x")) + float(long.get("width")) < 640


def test_change_since_last_look_is_written_with_its_direction():
    drawing = bars(ROWS, "W", 1000, before={"South roof": 1000.0, "Leaks": 400.0, "North wall": 260.0})
    assert {"▼ 100", "▲ 50", "as before"} <= set(words(drawing))
    plain = bars(ROWS, "W", 1000)
    assert not any(sign in "".join(words(plain)) for sign in "▼▲")


def test_gains_go_to_the_other_side_and_shares_are_left_out():
    drawing = bars([("Leaks", 400.0), ("Sun", -100.0)], "W", 500)
    loss, gain = shapes(drawing, "rect", "heat")[0], shapes(drawing, "rect", "water")[0]
    assert float(gain.get("x")) + float(gain.get("width")) == pytest.approx(float(loss.get("x")), abs=0.02)
    assert float(loss.get("width")) == pytest.approx(4 * float(gain.get("width")), rel=1e-3)
    assert "−100 W" in words(drawing) and "%" not in "".join(words(drawing))


def test_bars_of_nothing():
    assert "0 W" in words(bars([("Leaks", 0.0)], "W", 100))


def test_a_line_goes_through_its_points():
    line = Line("", (0, 50, 100), (0, 10, 40))
    drawing = lines([line], Axis("Thickness, mm", 0, 100), Axis("Heat, W", 0, 40), point=(50, 10, "now"))
    (x0, y0), (x1, y1), (x2, y2) = points(stroked(drawing, "water")[0])
    assert x1 - x0 == pytest.approx(x2 - x1, abs=0.02)
    assert (y0 - y2) == pytest.approx(4 * (y0 - y1), abs=0.05)
    mark = shapes(drawing, "circle")[0]
    assert float(mark.get("cx")) == pytest.approx(x1, abs=0.02) and float(mark.get("cy")) == pytest.approx(y1, abs=0.02)
    assert {"now", "Thickness, mm", "Heat, W"} <= set(words(drawing))


def test_axes_stay_put_while_values_move_and_grow_when_a_value_leaves_them():
    def paper(top):
        axis = Axis("Heat, W", 0, 100)
        return lines([Line("", (0, 1), (0, top))], Axis("x", 0, 1), axis)

    ticks = [[w for w in words(paper(top)) if w.isdigit()] for top in (10, 90, 100, 240)]
    assert ticks[0] == ticks[1] == ticks[2] and "100" in ticks[0]
    assert ticks[3] != ticks[0] and "200" in ticks[3]
    assert all(y >= 0 for _, y in points(stroked(paper(240), "water")[0]))


def test_lines_differ_by_dash_and_are_named_at_their_end():
    rows = [
        Line(name, (0, 1), (n, n), n) for n, name in enumerate(("Water", "Granite", "Gravel", "Soil", "Brick", "Wood"))
    ]
    drawing = lines(rows, Axis("x", 0, 1), Axis("y", 0, 6))
    dashes = [re.search(r"dasharray:([\d ]+)", one.get("style")) for one in shapes(drawing, "path")]
    assert len({d and d.group(1) for d in dashes}) == 6
    assert {row.name for row in rows} <= set(words(drawing))


def test_names_at_the_end_do_not_lie_on_each_other():
    rows = [Line(f"Line {n}", (0, 1), (5, 5 + 0.01 * n), n) for n in range(6)]
    drawing = lines(rows, Axis("x", 0, 1), Axis("y", 0, 6))
    heights = sorted(float(t.get("y")) for t in shapes(drawing, "text") if "".join(t.itertext()).startswith("Line"))
    assert all(b - a >= 14 for a, b in pairwise(heights)) and heights[-1] < 380


def test_hours_below_the_limit_are_shaded_where_the_line_crosses_it():
    """The line falls through 2 at hour 9 and rises through it at hour 19.5 (from 0 at 18 to 4 at 21): 10.5 hours."""
    axes = Axis("Hour", 0, 24), Axis("°C", -10, 10)
    drawing = course([NIGHT], *axes, crop_limit=(2, "2 °C"))
    shaded = shapes(drawing, "rect", "alarm-soft")
    assert len(shaded) == 1
    xs = [x for x, _ in points(stroked(drawing, "water")[0])]
    per_hour = (xs[-1] - xs[0]) / 24
    assert float(shaded[0].get("x")) == pytest.approx(xs[0] + 9 * per_hour, abs=0.05)
    assert float(shaded[0].get("width")) == pytest.approx(10.5 * per_hour, abs=0.05)
    assert shapes(course([NIGHT], *axes, crop_limit=(-3, "−3 °C")), "rect", "alarm-soft") == []
    assert len(shapes(course([NIGHT], *axes, crop_limit=(5.5, "5.5 °C")), "rect", "alarm-soft")) == 1
    whole = shapes(course([NIGHT], *axes, crop_limit=(9, "9 °C")), "rect", "alarm-soft")[0]
    assert float(whole.get("width")) == pytest.approx(24 * per_hour, abs=0.05)


@pytest.mark.parametrize(
    "limit, words_",
    [
        (2, "The air stays below the crop's limit of 2 °C for 10.5 hours, at its lowest −2 °C."),
        (-2, "The air never falls below the crop's limit of −2 °C: at its lowest it has −2 °C."),
        (9, "The air stays below the crop's limit of 9 °C for 24 hours, at its lowest −2 °C."),
    ],
)
def test_hours_below_the_limit_in_words(limit, words_):
    assert shortfall_words(NIGHT, limit, "The air", "°C") == words_


def test_heater_band_is_drawn_only_where_it_runs():
    drawing = course([NIGHT], Axis("Hour", 0, 24), Axis("°C", -10, 10), heater=((0, 6, 12, 24), (0, 0.5, 1, 0)))
    band = shapes(drawing, "rect", "sun")
    assert len(band) == 2 and float(band[1].get("height")) == pytest.approx(2 * float(band[0].get("height")))


def test_bars_of_months_stand_on_one_foot_and_have_hatches():
    series = {"South": [10.0, 40.0], "East": [20.0, 5.0]}
    drawing = grouped_bars(["Jan", "Jul"], series, "kWh/m²", 50, title="Sun", chosen=1)
    south = sorted(shapes(drawing, "rect", "water"), key=lambda one: float(one.get("y")))
    tall = [float(one.get("height")) for one in south if float(one.get("height")) != 14]
    assert max(tall) == pytest.approx(4 * min(tall), rel=1e-3)
    assert "url(#hl-slant)" in drawing and {"South", "East", "Jan", "Jul", "Sun, kWh/m²"} <= set(words(drawing))
    with pytest.raises(ValueError, match="3 amounts for 2 groups"):
        grouped_bars(["Jan", "Jul"], {"South": [1, 2, 3]}, "W", 5)
    with pytest.raises(ValueError, match="one to five kinds"):
        grouped_bars(["Jan"], {}, "W", 5)


def areas(drawing, colour):
    return [points(one) for one in shapes(drawing, "path", colour) if "Z" in one.get("d")]


def size_of(outline):
    """Area by the shoelace formula [square points]."""
    pairs = zip(outline, outline[1:] + outline[:1])
    return abs(sum(x1 * y2 - x2 * y1 for (x1, y1), (x2, y2) in pairs)) / 2


def test_map_cuts_its_shades_along_the_frontier():
    """From corner to corner the line halves the field, so each side has half of it and no shade lies across."""
    grid = [[-2.0, -1.0, 0.0], [-1.0, 0.0, 1.0]]
    drawing = heat_map(Axis("Drums", 0, 2), Axis("Heater, W", 0, 100), grid, frontier=[(0, 100), (2, 0)])
    warm, cold = areas(drawing, "plant"), areas(drawing, "alarm")
    assert sum(map(size_of, warm)) == pytest.approx(sum(map(size_of, cold)), rel=1e-3)
    (x0, y0), (x1, y1) = points(stroked(drawing, "ink")[0])
    assert sum(map(size_of, warm + cold)) == pytest.approx((x1 - x0) * (y1 - y0), rel=1e-3)
    for side, outlines in ((1, warm), (-1, cold)):
        for x, y in (corner for outline in outlines for corner in outline):
            assert side * (y0 + (x - x0) / (x1 - x0) * (y1 - y0) - y) >= -0.05


def test_map_colours_each_knot_by_its_sign_and_draws_the_frontier():
    grid = [[-2.0, -1.0, 0.0], [-1.0, 0.0, 1.0]]
    drawing = heat_map(
        Axis("Barrels", 0, 2), Axis("Heater, W", 0, 100), grid, frontier=[(0, 100), (2, 0)], point=(1, 50, "now")
    )
    whole = heat_map(Axis("Barrels", 0, 2), Axis("Heater, W", 0, 100), grid, frontier=[])
    assert len(areas(whole, "plant")) == 3 and len(areas(whole, "alarm")) == 3
    (x0, y0), (x1, y1) = points(stroked(drawing, "ink")[0])
    mark = shapes(drawing, "circle")[0]
    assert float(mark.get("cx")) == pytest.approx((x0 + x1) / 2, abs=0.02)
    assert float(mark.get("cy")) == pytest.approx((y0 + y1) / 2, abs=0.02)
    assert {"warm enough", "too cold", "now"} <= set(words(drawing))
    with pytest.raises(ValueError, match="two rows"):
        heat_map(Axis("x", 0, 1), Axis("y", 0, 1), [[1.0, 2.0]], frontier=[])


def test_comparison_stands_in_order_and_to_scale():
    drawing = comparison([("Water", 20.0), ("Stone", 10.0), ("Air", 0.004)], "MJ", 20, title="Heat")
    water, stone = shapes(drawing, "rect", "water")[0], shapes(drawing, "rect", "heat")[0]
    assert float(water.get("height")) == pytest.approx(2 * float(stone.get("height")), rel=1e-3)
    assert {"20", "10", "0.004"} <= set(words(drawing))
    with pytest.raises(ValueError, match="kind of comparison"):
        comparison([("Water", 1.0)], "MJ", 1, title="Heat", kind="pies")
    with pytest.raises(ValueError, match="Water"):
        comparison([("Water", -1.0)], "MJ", 1, title="Heat")


@pytest.mark.parametrize("low, high", [(0, 100), (-30, 20), (0, 0.35), (0, 7300), (-0.02, 0.07), (2, 3)])
def test_ticks_are_round_inside_and_not_crowded(low, high):
    ticks = Axis("x", low, high).ticks()
    assert 3 <= len(ticks) <= 8
    assert all(low - 1e-9 <= at <= high + 1e-9 for at, _ in ticks)
    for at, said in ticks:
        assert float(said.replace("\u202f", "").replace("−", "-")) == pytest.approx(at, abs=1e-9)
    assert all("e" not in said for _, said in ticks)


def test_axes_and_lines_that_make_no_sense_are_refused():
    with pytest.raises(ValueError, match="axis Heat"):
        Axis("Heat", 3, 3)
    with pytest.raises(ValueError, match="as many x as y"):
        Line("Air", (1, 2), (1,))
    with pytest.raises(ValueError, match="Leaks"):
        bars([("Leaks", float("nan"))], "W", 100)


NASTY = '"><img src=x onerror=alert(1)> <script>'


@pytest.mark.parametrize(
    "drawing",
    [
        bars([(NASTY, 3.0)], "W", 5, before={NASTY: 2.0}, title=NASTY),
        lines(
            [Line(NASTY, (0, 1), (0, 1))], Axis(NASTY, 0, 1), Axis(NASTY, 0, 1), point=(0, 0, NASTY), limit=(1, NASTY)
        ),
        course([Line(NASTY, (0, 1), (0, 1))], Axis(NASTY, 0, 1), Axis(NASTY, 0, 1), crop_limit=(1, NASTY)),
        grouped_bars([NASTY], {NASTY: [1.0]}, NASTY, 2, title=NASTY),
        comparison([(NASTY, 1.0)], NASTY, 2, title=NASTY),
        heat_map(Axis(NASTY, 0, 1), Axis("y", 0, 1), [[1.0, 1], [1, 1.0]], frontier=[], point=(0, 0, NASTY), yes=NASTY),
    ],
    ids=["bars", "lines", "course", "grouped_bars", "comparison", "heat_map"],
)
def test_a_reader_s_words_can_not_become_markup(drawing):
    Picture(drawing, "One 1.", "One 1.")
    assert "<img" not in drawing and "<script" not in drawing and "&lt;" in drawing

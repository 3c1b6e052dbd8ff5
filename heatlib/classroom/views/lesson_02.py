"""Views of lesson 2: the layers of a pane, a wall of odd panes, the kinds of glazing, the panes of the house."""

from functools import lru_cache
from typing import NamedTuple

from heatlib import tables
from heatlib.classroom import svg as s
from heatlib.classroom.charts import Axis
from heatlib.classroom.controls import stated
from heatlib.classroom.cutaway import cutaway, cutaway_words
from heatlib.classroom.house_section import flows_of_bill, section_of
from heatlib.classroom.palette import ink
from heatlib.classroom.picture import Picture
from heatlib.classroom.view import Choice, Slider, Toggle, view
from heatlib.conduction import air_gap_resistance, layer_resistance, layer_temperatures, series, surface_resistance
from heatlib.glazing import glazing_u_value, pieced_u_value
from heatlib.house.bill import loss_bill
from heatlib.house.demo import demo_house
from heatlib.units import format_quantity, to_display, unit_of

__all__ = ["house", "kinds", "layers", "pane_layers", "patchwork"]

INSIDE = 2.0
"""Inside temperature where a view has no control for it: what leafy greens need in the demo house [°C]."""
WIDTH, HEIGHT = 640, 380
ONE = {"metric": (1.0, "1 m²"), "US": (0.3048**2, "1 ft²")}
"""The reader's unit of area, in SI and in words [m²]."""

BUILDS = {
    "one": "one pane of glass",
    "film": "glass with a film behind it",
    "two": "two panes of glass",
    "three": "three panes of glass",
}
PANES = {"one": 1, "film": 1, "two": 2, "three": 3}
GAPS = {"one": 0, "film": 1, "two": 1, "three": 2}

NAMES = {
    "glass_single": "single glass",
    "glass_salvaged": "old sash",
    "acrylic_single": "acrylic sheet",
    "film_single": "one film, dry",
    "film_double": "two films, dry",
    "polycarbonate_twin_8": "twin-wall sheet",
    "polycarbonate_twin_16": "thick twin-wall sheet",
    "acrylic_double": "hollow acrylic sheet",
    "glass_and_film": "old sash and film",
    "glass_and_bubble_film": "old sash and bubble film",
    "glass_two_sashes": "two sashes, one behind the other",
    "glass_double": "sealed double glass",
}
"""Words for the glazings of the table that this lesson shows."""


class PaneLayers(NamedTuple):
    """Names, resistances [m²·K/W] and kinds of a pane's layers from the inside outward, and the temperatures [°C]."""

    names: tuple
    resistances: tuple
    kinds: tuple
    temperatures: tuple


def _show(value, quantity, units, digits=None):
    return format_quantity(value, quantity, units, digits=digits)


def pane_layers(panes, glass, gap, wind, inside, outside):
    """Lay out an upright pane from film of air to film of air; each air gap is worked out at its own temperatures.

    Parameters
    ----------
    panes : str
        A key of :data:`BUILDS`; a film is taken as wet, so that it stops heat rays, and as resisting nothing [text].
    glass, gap : float
        Thickness of each pane and of each gap of air [m].
    wind : float
        Wind along the pane [m/s].
    inside, outside : float
        Air temperatures [°C].

    Returns
    -------
    PaneLayers
        From the inside outward [m²·K/W, °C].
    """
    count, pane = GAPS[panes], layer_resistance(glass, tables.entry("materials", "glass", "conductivity").value)
    skins = 0.0 if panes == "film" else pane
    names, kinds = ["inside film of air"], ["film"]
    for _ in range(count):
        names += ["plastic film" if panes == "film" else "glass", "air gap"]
        kinds += ["glass", "gap"]
    names, kinds = [*names, "glass", "outside film of air"], [*kinds, "glass", "film"]
    gaps = [0.18] * count
    for _ in range(6 if count else 1):
        resistances = [surface_resistance("horizontal")]
        for one in gaps:
            resistances += [skins, one]
        resistances += [pane, surface_resistance("horizontal", "outside", wind)]
        degrees = layer_temperatures(resistances, inside, outside)
        gaps = [air_gap_resistance(gap, degrees[2 + 2 * n], degrees[3 + 2 * n], 90.0) for n in range(count)]
    return PaneLayers(tuple(names), tuple(resistances), tuple(kinds), tuple(float(t) for t in degrees))


def _field(across, up, x0, x1, y0, y1):
    """Draw a field with its axes; return the pieces and two functions from values to points."""

    def x(value):
        return x0 + (value - across.low) / (across.high - across.low) * (x1 - x0)

    def y(value):
        return y0 + (value - up.low) / (up.high - up.low) * (y1 - y0)

    pieces = [s.line(x0, y0, x1, y0, "muted", 1.2), s.text(8, 18, up.label, bold=True)]
    for at, words in up.ticks():
        pieces += [s.line(x0, y(at), x1, y(at), "grid"), s.text(x0 - 8, y(at) + 5, words, anchor="end", colour="muted")]
    for at, words in across.ticks():
        pieces += [
            s.line(x(at), y0, x(at), y0 + 5, "muted"),
            s.text(x(at), y0 + 20, words, anchor="middle", colour="muted"),
        ]
    pieces.append(s.text(x1, y0 + 40, across.label, anchor="end", bold=True))
    return pieces, x, y


def _patterns():
    paper = {"colour": "paper", "width": 1.6, "opacity": 0.75}
    slant = [s.line(-2, 10, 10, -2, **paper), s.line(-2, 2, 2, -2, **paper), s.line(6, 10, 10, 6, **paper)]
    dots = s.tag("circle", cx=4, cy=4, r=1.6, style=f"fill:{ink('paper')};opacity:0.85")
    shapes = {"hl-l2-slant": slant, "hl-l2-dots": [dots], "hl-l2-flat": [s.line(0, 4, 8, 4, **paper)]}
    return "".join(
        s.tag("pattern", *parts, id=name, width=8, height=8, patternUnits="userSpaceOnUse")
        for name, parts in shapes.items()
    )


LOOKS = {"film": ("sun", "hl-l2-dots"), "glass": ("water", None), "gap": ("plant", "hl-l2-slant")}
"""Colour and hatch of a band: the kinds must differ without colour."""


def _band(x, y, width, height, kind):
    colour, hatch = LOOKS[kind]
    pieces = s.rect(x, y, width, height, colour)
    return pieces + (s.rect(x, y, width, height, f"url(#{hatch})") if hatch and width > 3 else "")


@view(
    title="Through the pane, layer by layer",
    controls=[
        Choice("panes", "What the window is made of", BUILDS, "film", BUILDS),
        Slider("glass", "Thickness of the glass", "thickness", 0.002, 0.020, 0.004, {"metric": 1, "US": 0.02}),
        Slider("gap", "Width of each air gap", "thickness", 0.005, 0.100, 0.020, {"metric": 5, "US": 0.25}),
        Slider("wind", "Wind along the pane", "speed", 0.0, 12.0, 4.0, {"metric": 0.5, "US": 1}),
        Slider("outside", "Outside temperature", "temperature", -40.0, 0.0, -24.0, {"metric": 1, "US": 2}),
    ],
)
def layers(panes, glass, gap, wind, outside, units):
    """Draw the layers as wide as they resist, and the temperature falling through them in a straight line."""
    pane = pane_layers(panes, glass, gap, wind, INSIDE, outside)
    total = series(*pane.resistances)
    loss = (INSIDE - outside) / total
    shares = {kind: sum(r for r, k in zip(pane.resistances, pane.kinds) if k == kind) / total for kind in LOOKS}
    area, words = ONE[units]
    lost = _show(area * loss, "heat_flow", units)
    face = _show(pane.temperatures[1], "temperature", units)
    name = BUILDS[panes][0].upper() + BUILDS[panes][1:]
    parts = f"the glass is {shares['glass']:.1%} of what resists, the two films of air are {shares['film']:.0%}"
    if GAPS[panes]:
        parts += f" and the air {'gap is' if GAPS[panes] == 1 else 'gaps are'} {shares['gap']:.0%}"
    listed = ", ".join(
        f"{n} {_show(r, 'r_value', units, 2)}" if r else f"{n} next to nothing"
        for n, r in zip(pane.names, pane.resistances)
    )
    return Picture(
        _layers_drawing(pane, total, units),
        f"{name}: {words} loses {lost}; {parts}.",
        f"Bands as wide as each layer resists, from the inside at {_show(INSIDE, 'temperature', units)} to the outside "
        f"at {_show(outside, 'temperature', units)}: {listed}. The temperature falls through them in a straight line; "
        f"the inner face has {face}.",
        {
            f"lost by {words}": lost,
            "R-value, all layers": _show(total, "r_value", units),
            "U-value": _show(1 / total, "u_value", units),
            "inner face": face,
        },
    )


def _layers_drawing(pane, total, units):
    def r(value):
        return float(to_display(value, "r_value", units))

    def t(value):
        return float(to_display(value, "temperature", units))

    across = Axis(f"R-value, {unit_of('r_value', units).label}", 0, r(0.7)).holding([r(total)])
    up = Axis(f"Temperature, {unit_of('temperature', units).label}", t(-40.0), t(10.0))
    frame, x, y = _field(across, up, 62, WIDTH - 22, HEIGHT - 52, 92)
    bands, at, runs = [], 0.0, [0.0]
    for resistance, kind in zip(pane.resistances, pane.kinds):
        left, right = x(r(at)), x(r(at + resistance))
        bands.append(_band(left, y(up.high), max(right - left, 1.5), y(up.low) - y(up.high), kind))
        at += resistance
        runs.append(at)
    degrees = [t(value) for value in pane.temperatures]
    curve = s.polyline([x(r(value)) for value in runs], [y(value) for value in degrees], "paper", 6)
    curve += s.polyline([x(r(value)) for value in runs], [y(value) for value in degrees], "ink", 3)
    dots = [s.tag("circle", cx=x(r(a)), cy=y(b), r=4.5, style=f"fill:{ink('paper')};stroke:{ink('ink')};stroke-width:2")
            for a, b in zip(runs[1:-1], degrees[1:-1])]  # fmt: skip
    inner = f"inner face {_show(pane.temperatures[1], 'temperature', units)}"
    wide, at = s.text_width(inner, bold=True), x(r(runs[1])) + 12
    label = [s.rect(at - 4, y(degrees[1]) - 25, wide + 8, 20, "paper", radius=3, opacity=0.9),
             s.text(at, y(degrees[1]) - 10, inner, bold=True)]  # fmt: skip
    return s.document(
        WIDTH, HEIGHT, *frame, *bands, *_layers_key(pane, units), curve, *dots, *label, definitions=_patterns()
    )


def _layers_key(pane, units):
    """Name the kinds of band with what each adds up to, in one row above the field."""
    pieces, x = [], 62.0
    for kind, words in (("film", "films of air"), ("gap", "air gap"), ("glass", "glass and film")):
        found = [r for r, k in zip(pane.resistances, pane.kinds) if k == kind]
        if not found:
            continue
        if kind == "glass" and "plastic film" not in pane.names:
            words = "glass"
        if kind == "gap" and len(found) > 1:
            words = "air gaps"
        text = f"{words} {_show(sum(found), 'r_value', units, 2).split(' ')[0]}"
        pieces += [_band(x, 42, 18, 16, kind), s.text(x + 24, 55, text, bold=True)]
        x += 24 + s.text_width(text, bold=True) + 20
    pieces.append(s.text(62, 80, "from the inside …", colour="muted"))
    pieces.append(s.text(WIDTH - 22, 80, "… to the outside", anchor="end", colour="muted"))
    return pieces


SASHES = {
    "bare": "nothing",
    "film": "a film behind them",
    "bubble": "bubble film on them",
    "second": "a second sash behind them",
}
SASH_GLAZING = {
    "bare": "glass_salvaged",
    "film": "glass_and_film",
    "bubble": "glass_and_bubble_film",
    "second": "glass_two_sashes",
}
ODD = ("acrylic_single", "acrylic_double", "film_single", "film_double", "glass_single", "glass_double")


@view(
    title="A wall pieced together from odd windows",
    controls=[
        Slider("sashes", "Area of old sashes", "area", 0.0, 8.0, 1.5, {"metric": 0.5, "US": 5}),
        Slider("twin", "Area of twin-wall sheet", "area", 1.0, 8.0, 5.0, {"metric": 0.5, "US": 5}),
        Slider("odd", "Area of the odd sheet", "area", 0.0, 8.0, 2.0, {"metric": 0.5, "US": 5}),
        Slider("outside", "Outside temperature", "temperature", -40.0, 0.0, -24.0, {"metric": 1, "US": 2}),
        Choice("layer", "The old sashes get", SASHES, "bare", SASHES),
        Choice("kind", "The odd sheet is", ODD, "acrylic_single", NAMES),
    ],
)
def patchwork(sashes, twin, odd, outside, layer, kind, units):
    """Draw each piece as a box: as wide as its area, as high as what a square metre of it loses."""
    pieces = [(SASH_GLAZING[layer], sashes), ("polycarbonate_twin_8", twin), (kind, odd)]
    rows = [(NAMES[name], area, glazing_u_value(name), n) for n, (name, area) in enumerate(pieces) if area > 0]
    mean, whole = pieced_u_value([(row[2], row[1]) for row in rows]), sum(row[1] for row in rows)
    difference = INSIDE - outside
    total = mean * whole * difference
    worst = max(rows, key=lambda row: row[2])
    share, part = worst[1] * worst[2] / mean / whole, worst[1] / whole
    said = (
        f"{stated(whole, 'area', units)} of wall lose {_show(total, 'heat_flow', units)}; "
        f"the {worst[0]} is {part:.0%} of the area and {share:.0%} of the loss."
    )
    if len(rows) == 1:
        said = f"{stated(whole, 'area', units)} of {worst[0]} lose {_show(total, 'heat_flow', units)}."
    listed = ", ".join(
        f"{name} {stated(area, 'area', units)}, {_show(area * u * difference, 'heat_flow', units)}"
        for name, area, u, _ in rows
    )
    return Picture(
        _patchwork_drawing(rows, mean, difference, units),
        said,
        f"Boxes side by side, as wide as the area of a piece and as high as its loss for each unit of area, at "
        f"{_show(INSIDE, 'temperature', units)} inside and {_show(outside, 'temperature', units)} outside: {listed}. "
        f"A dashed line marks the mean of the wall, a U-value of {_show(mean, 'u_value', units)}.",
        {
            "lost by the wall": _show(total, "heat_flow", units),
            "area of the wall": stated(whole, "area", units),
            "mean U-value": _show(mean, "u_value", units),
        },
    )


PIECES = (("A", "heat", None), ("B", "water", "hl-l2-slant"), ("C", "sun", "hl-l2-dots"))
"""Letter, colour and hatch of the three pieces: sashes, twin-wall sheet, odd sheet."""


def _patchwork_drawing(rows, mean, difference, units):
    def size(value):
        return float(to_display(value, "area", units))

    def flux(value):
        return float(to_display(value, "irradiance", units))

    across = Axis(f"Area, {unit_of('area', units).label}", 0, size(24.0))
    up = Axis(f"Loss of each {unit_of('area', units).label}, {unit_of('heat_flow', units).label}", 0, flux(300.0))
    frame, x, y = _field(across, up, 62, WIDTH - 22, HEIGHT - 52, 112)
    boxes, key, at = [], [], 0.0
    for index, (name, area, u, kind) in enumerate(rows):
        letter, colour, hatch = PIECES[kind]
        left, right, top = x(size(at)), x(size(at + area)), y(flux(u * difference))
        for fill in (colour, f"url(#{hatch})" if hatch else None):
            if fill:
                boxes.append(s.rect(left, top, right - left, y(0) - top, fill, "paper"))
        if right - left > 16:
            boxes.append(
                s.text((left + right) / 2, (top + y(0)) / 2 + 5, letter, anchor="middle", bold=True, halo=True)
            )
        heat = _show(area * u * difference, "heat_flow", units)
        row = 40 + 21 * index
        key.append(s.rect(62, row - 12, 15, 14, colour))
        key.append(s.rect(62, row - 12, 15, 14, f"url(#{hatch})") if hatch else "")
        key.append(s.text(84, row, f"{letter}  {name}: {stated(area, 'area', units)} lose {heat}"))
        at += area
    level = y(flux(mean * difference))
    line = s.line(x(0), level, x(size(at)) + 14, level, "ink", 2, "7 4")
    mean_words = f"mean U {_show(mean, 'u_value', units)}"
    fits = x(size(at)) + 18 + s.text_width(mean_words, bold=True) < WIDTH
    place = (x(size(at)) + 18, level + 5) if fits else (x(0) + 6, level - 8)
    words = s.text(*place, mean_words, bold=True, halo=True)
    return s.document(WIDTH, HEIGHT, *frame, *key, *boxes, line, words, definitions=_patterns())


SHOWN = (
    "film_single", "glass_salvaged", "acrylic_single", "film_double", "polycarbonate_twin_8", "glass_and_film",
    "acrylic_double", "glass_double", "polycarbonate_twin_16",
)  # fmt: skip


@view(
    title="One kind of glazing beside the other",
    controls=[
        Slider("area", "Area", "area", 0.5, 20.0, 1.0, {"metric": 0.5, "US": 1}),
        Slider(
            "difference",
            "Inside warmer than outside by",
            "temperature_difference",
            5.0,
            45.0,
            26.0,
            {"metric": 1, "US": 1},
        ),
        Slider("wind", "Wind along the pane", "speed", 0.0, 12.0, 4.0, {"metric": 0.5, "US": 1}),
        Toggle("wet", "Drops on the films", False),
    ],
)
def kinds(area, difference, wind, wet, units):
    """Draw one bar a glazing, as long as it resists, cut into the films of air and what the pane itself adds."""
    rows = []
    for name in SHOWN:
        rays = tables.entry("glazings", name, "infrared_transmittance").value > 0
        rows.append((_kind_name(name, wet), name, glazing_u_value(name, wind_speed=wind, wet=wet), rays and not wet))
    rows.sort(key=lambda row: -row[2])
    heats = {row[0]: row[2] * area * difference for row in rows}
    most, least = rows[0][0], rows[-1][0]
    listed = ", ".join(f"{name} {_show(heat, 'heat_flow', units)}" for name, heat in heats.items())
    case = f"{stated(area, 'area', units)}, {stated(difference, 'temperature_difference', units)} warmer inside"
    return Picture(
        _kinds_drawing(rows, heats, wind, units),
        f"{case}, wind {stated(wind, 'speed', units)}: {most} loses {_show(heats[most], 'heat_flow', units)}, "
        f"{least} {_show(heats[least], 'heat_flow', units)}.",
        f"Bars as long as each glazing resists. Heat lost by {case}: {listed}.",
        {name: _show(heat, "heat_flow", units) for name, heat in heats.items()},
    )


def _kind_name(name, wet):
    return NAMES[name].replace("dry", "wet") if wet else NAMES[name]


def _kinds_drawing(rows, heats, wind, units):
    outer = surface_resistance("horizontal", "outside", wind)
    inner = surface_resistance("horizontal")
    left, right = 182, 470
    scale = (right - left) / 0.46
    pieces, key = [], 8.0
    for kind, words in (("film", "films of air"), ("gap", "what the pane adds"), ("glass", "all: rays go through")):
        pieces += [_band(key, 10, 18, 16, kind), s.text(key + 24, 23, words)]
        key += 24 + s.text_width(words) + 20
    pieces.append(s.text(WIDTH - 8, 44, "heat lost", anchor="end", bold=True))
    pieces.append(s.text(left, 44, "longer bar = resists more", bold=True))
    for index, (name, _, u, rays) in enumerate(rows):
        y = 54 + 35 * index
        lines = [name] if s.text_width(name) < left - 18 else name.split(", ")
        for n, line in enumerate(lines):
            pieces.append(s.text(left - 10, y + 18 + (n - (len(lines) - 1) / 2) * 15, line, anchor="end"))
        parts = [("glass", 1 / u)] if rays else [("film", inner), ("gap", 1 / u - inner - outer), ("film", outer)]
        x = left
        for kind, resistance in parts:
            pieces.append(_band(x, y, max(resistance * scale, 0), 26, kind))
            x += resistance * scale
        pieces.append(s.text(WIDTH - 8, y + 18, _show(heats[name], "heat_flow", units), anchor="end", bold=True))
    return s.document(WIDTH, HEIGHT, *pieces, definitions=_patterns())


SHEETS = {
    "glass_single": "single glass",
    "acrylic_single": "single acrylic sheet",
    "film_single": "one film, dry",
    "film_double": "two films, dry",
    "polycarbonate_twin_8": {"metric": "twin-wall sheet, 8 mm", "US": "twin-wall sheet, 5/16 in"},
    "polycarbonate_twin_16": {"metric": "twin-wall sheet, 16 mm", "US": "twin-wall sheet, 5/8 in"},
}
SASH_AREA, SOUTH_GLAZED = 0.45, 4.8
"""One sash, and all that is glazed in the south wall of the demo house; sheet fills what the sashes leave [m²]."""


@lru_cache(maxsize=256)
def glazed_house(sheet, layer, count):
    """Return the demo house after lesson 1 with other sheets, another layer on its sashes, another number of them."""
    now = demo_house(after_lesson=1)
    for name in ("south roof", "south wall", "east gable", "west gable"):
        now = now.changed(f"surfaces.{name}.glazing", sheet)
    now = now.changed("surfaces.south wall.area", SOUTH_GLAZED - count * SASH_AREA)
    if not count:
        return now.changed("surfaces.sashes", None)
    return now.changed(**{"surfaces.sashes.glazing": SASH_GLAZING[layer], "surfaces.sashes.area": count * SASH_AREA})


@view(
    title="The panes of the club's house",
    controls=[
        Choice("sheet", "Roof, gables and rest of the south wall", SHEETS, "polycarbonate_twin_8", SHEETS),
        Choice("layer", "The old sashes get", ("bare", "film", "second"), "bare", SASHES),
        Slider("count", "Number of old sashes", "count", 0, 10, 6),
        Slider("inside", "Inside temperature", "temperature", 0.0, 15.0, 2.0, {"metric": 1, "US": 1}),
        Slider("outside", "Outside temperature", "temperature", -30.0, 0.0, -24.0, {"metric": 1, "US": 2}),
        Slider("wind", "Wind at the house", "speed", 0.0, 12.0, 1.0, {"metric": 0.5, "US": 1}),
    ],
)
def house(sheet, layer, count, inside, outside, wind, units):
    """Draw the demo house with the heat through its panes strong and every other path pale."""
    now = glazed_house(sheet, layer, count)
    bill = loss_bill(now, inside, outside, wind)
    panes, glazed = bill.watts("glazing"), sum(one.area for one in now.surfaces if one.glazing)
    sashes = next((row.parts.get("sashes", 0.0) for row in bill.rows if row.key == "glazing"), 0.0)
    section = section_of(now)
    flows = flows_of_bill(now, bill, strong=("south_roof", "south_wall", "ends"))
    case = {"inside": inside, "outside": outside, "units": units}
    night = f"At {_show(inside, 'temperature', units)} inside and {_show(outside, 'temperature', units)} outside"
    return Picture(
        cutaway(section, flows, **case, full_scale=4000.0),
        f"{night} the panes lose {_show(panes, 'heat_flow', units)} of the house's "
        f"{_show(bill.total, 'heat_flow', units)}; the old sashes {_show(sashes, 'heat_flow', units)} of that.",
        cutaway_words(section, flows, **case),
        {
            "lost through the panes": _show(panes, "heat_flow", units),
            "of that through the sashes": _show(sashes, "heat_flow", units),
            "lost by each unit of glazed area": _show(panes / glazed, "irradiance", units),
            "radiated to the sky": _show(bill.watts("sky"), "heat_flow", units),
            "lost in all": _show(bill.total, "heat_flow", units),
        },
    )

"""Drawings of lesson 2: the layers of a pane, a wall of odd panes, and bars of glazings, told apart without colour."""

from heatlib.classroom import svg as s
from heatlib.classroom.charts import Axis
from heatlib.classroom.controls import stated
from heatlib.classroom.palette import ink
from heatlib.conduction import surface_resistance
from heatlib.units import format_quantity, to_display, unit_of

__all__ = ["LOOKS", "kinds_drawing", "layers_drawing", "patchwork_drawing"]

WIDTH, HEIGHT = 640, 380


def _show(value, quantity, units, digits=None):
    return format_quantity(value, quantity, units, digits=digits)


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


def layers_drawing(pane, total, units):
    """Draw the layers of a pane as bands as wide as they resist, with the temperature falling through them."""

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


PIECES = (("A", "heat", None), ("B", "water", "hl-l2-slant"), ("C", "sun", "hl-l2-dots"))
"""Letter, colour and hatch of the three pieces: sashes, twin-wall sheet, odd sheet."""


def patchwork_drawing(rows, mean, difference, units):
    """Draw the pieces of a wall as boxes, as wide as their area and as high as their loss for each unit of it."""

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


def kinds_drawing(rows, heats, wind, units):
    """Draw a bar for each glazing, as long as it resists, cut into films of air and what the pane adds."""
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

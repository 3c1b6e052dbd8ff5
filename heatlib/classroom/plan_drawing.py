"""The house of a plan drawn to scale, section and floor, with its sizes; one point of the drawing is one on paper."""

from heatlib._check import choice
from heatlib.classroom import svg as s
from heatlib.classroom.house_section import section_of
from heatlib.classroom.own_fields import front, turned
from heatlib.units import SYSTEMS, format_quantity

__all__ = ["drawing"]

POINTS = 72 / 0.0254
"""Points to a metre of paper."""
SCALES = {
    "metric": tuple((n, f"1 : {n}") for n in (20, 25, 33, 50, 75, 100, 150, 200, 300, 500, 1000, 2000)),
    "US": (
        (24, "½ in = 1 ft"),
        (32, "⅜ in = 1 ft"),
        (48, "¼ in = 1 ft"),
        (64, "3/16 in = 1 ft"),
        (96, "⅛ in = 1 ft"),
        (192, "1/16 in = 1 ft"),
        (384, "1/32 in = 1 ft"),
        (768, "1/64 in = 1 ft"),
        (2304, "1/192 in = 1 ft"),
    ),
}
SIZE = 7.5
_EDGE = 40.0
"""Room for sizes beside and between the two drawings [points]."""
_BETWEEN = 14.0
_ABOVE, _BELOW = 10.0, 30.0


def drawing(house, units, width=499.0, height=190.0):
    """Draw section and floor of a house at the largest round scale that fits.

    Parameters
    ----------
    house : Greenhouse
        The house [SI].
    units : str
        ``"metric"`` or ``"US"`` [text].
    width, height : float
        Room on the paper [points].

    Returns
    -------
    tuple of str
        The drawing, its words for a reader who can't see it, and a caption with the scale [SVG, text, text].
    """
    choice("unit system", units, SYSTEMS)
    house, facing = turned(house, 180.0), front(house)
    section = section_of(house)
    below = max(section.edge_depth, section.pipe_depth + section.pipe_diameter if section.pipes else 0.0)
    for ratio, named in SCALES[units]:
        words = named
        scale = POINTS / ratio
        tall = max(section.ridge + below, section.width) * scale + _ABOVE + _BELOW
        if (section.width + section.length) * scale + 3 * _EDGE + _BETWEEN <= width and tall <= height:
            break
    left, ground = _EDGE, _ABOVE + section.ridge * scale
    pieces = [*_section(house, section, scale, left, ground, units)]
    floor_left = left + section.width * scale + _EDGE + _BETWEEN
    pieces += _floor(house, section, scale, floor_left, _ABOVE, units)
    total = max(ground + below * scale, _ABOVE + section.width * scale) + _BELOW
    wide = floor_left + section.length * scale + _EDGE
    svg = s.document(wide, total, *pieces, definitions=_foam_pattern())
    return svg, _words(house, section, units, words), _caption(facing, words)


def _caption(facing, scale):
    side = "south" if abs(facing - 180) < 30 else f"the side that faces {facing:.0f}°"
    return f"Section with {side} on the right, floor with it below. Scale {scale}."


def _foam_pattern():
    return s.tag(
        "pattern", s.rect(0, 0, 4, 4, "foam"), s.line(0, 4, 4, 0, "wood-dark", 0.6),
        id="hl-plan-foam", width=4, height=4, patternUnits="userSpaceOnUse",
    )  # fmt: skip


def _show(value, units):
    return format_quantity(value, "length", units)


def _across(x1, x2, y, words):
    """A size along a level line, its words below."""
    ends = [s.line(x, y - 3, x, y + 3, "ink", 0.7) for x in (x1, x2)]
    return [s.line(x1, y, x2, y, "ink", 0.7), *ends, s.text((x1 + x2) / 2, y + 10, words, SIZE, "middle")]


def _up(x, y1, y2, words, side=-1):
    """A size along an upright line, its words beside it; ``side`` −1 left, +1 right."""
    ends = [s.line(x - 3, y, x + 3, y, "ink", 0.7) for y in (y1, y2)]
    anchor = "end" if side < 0 else "start"
    return [s.line(x, y1, x, y2, "ink", 0.7), *ends, s.text(x + 5 * side, (y1 + y2) / 2 + 3, words, SIZE, anchor)]


def _section(house, section, scale, left, ground, units):
    wide = section.width * scale
    right, middle = left + wide, left + wide / 2
    eaves, ridge = ground - section.eaves * scale, ground - section.ridge * scale
    foam = max(section.insulation * scale, 0.0)
    pieces = []
    outline = [(left, ground), (left, eaves), (middle, ridge), (right, eaves), (right, ground)]
    pieces.append(s.path(outline, "panel", "ink", 1.6, close=False))
    if foam:
        pieces.append(s.rect(left, eaves, foam, ground - eaves, "url(#hl-plan-foam)", "ink", 0.5))
    base = ground - min(section.boarded_base, section.eaves) * scale
    sunny = [(right, base), (right, eaves), (middle, ridge)]
    pieces += [s.path(sunny, None, "glass", 3.2), s.path(sunny, None, "ink", 0.7)]
    if section.north_glazed:
        other = [(left, ground), (left, eaves), (middle, ridge)]
        pieces += [s.path(other, None, "glass", 3.2), s.path(other, None, "ink", 0.7)]
    if section.curtain:
        inner = [(right - 5, base), (right - 5, eaves + 2), (middle, ridge + 7)]
        pieces.append(s.path(inner, None, "plant-text", 1.2, "4 2"))
    if section.edge_depth:
        deep = section.edge_depth * scale
        pieces += [s.rect(x, ground, 4, deep, "url(#hl-plan-foam)", "ink", 0.5) for x in (left - 4, right)]
    for n in range(min(section.pipes, 12)):
        x = left + (n + 0.5) * wide / min(section.pipes, 12)
        y = ground + section.pipe_depth * scale
        pieces.append(s.tag("circle", cx=x, cy=y, r=max(section.pipe_diameter * scale / 2, 1.5),
                            style="fill:none;stroke:#000000;stroke-width:0.8"))  # fmt: skip
    barrel = next((store for store in house.stores if store.kind == "barrels" and store.count), None)
    if barrel:
        d, h = _seen(barrel, scale)
        x = right - 8 - d if _in_sun(barrel) else left + foam + 2
        pieces.append(s.rect(x, ground - h, d, h, "ice", "water", 1, radius=2))
    pieces.append(s.line(left - 22, ground, right + 22, ground, "ink", 1.2))
    low = ground + max(section.edge_depth, section.pipe_depth if section.pipes else 0.0) * scale
    pieces += _across(left, right, low + 12, _show(section.width, units))
    pieces += _up(left - 8, eaves, ground, _show(section.eaves, units))
    pieces += _up(right + 8, ridge, ground, _show(section.ridge, units), 1)
    pieces.append(s.line(middle, ridge, right + 11, ridge, "muted", 0.5, "2 2"))
    return pieces


def _seen(barrel, scale):
    wide, high = (barrel.height, barrel.diameter) if barrel.pose == "lying" else (barrel.diameter, barrel.height)
    return wide * scale, high * scale


def _in_sun(barrel):
    return barrel.sun_share >= 0.3


def _floor(house, section, scale, left, top, units):
    long, wide = section.length * scale, section.width * scale
    pieces = [s.rect(left, top, long, wide, "panel", "ink", 1.6)]
    if not section.north_glazed and section.insulation:
        pieces.append(s.rect(left, top, long, section.insulation * scale, "url(#hl-plan-foam)", "ink", 0.5))
    pieces += [s.line(left, top + wide, left + long, top + wide, "glass", 3.2),
               s.line(left, top + wide, left + long, top + wide, "ink", 0.7)]  # fmt: skip
    for store in house.stores:
        if store.count and store.kind == "bed":
            pieces += _bed(store, scale, left, top, long, wide)
    for store in house.stores:
        if store.count and store.kind == "barrels":
            pieces += _barrels(store, section, scale, left, top, long, wide)
    pieces += _across(left, left + long, top + wide + 12, _show(section.length, units))
    pieces += _up(left + long + 8, top, top + wide, _show(section.width, units), 1)
    return pieces


def _bed(store, scale, left, top, long, wide):
    deep = min(0.35 * wide, store.count * store.surface * scale**2 / (0.9 * long))
    across = min(0.9 * long, store.count * store.surface * scale**2 / deep)
    x, y = left + (long - across) / 2, top + wide * 0.62 - deep / 2
    return [s.rect(x, y, across, deep, "soil", "wood-dark", 0.7),
            s.text(x + across / 2, y + deep / 2 + 3, store.name[:40], SIZE, "middle", halo=True)]  # fmt: skip


def _barrels(store, section, scale, left, top, long, wide):
    """Set barrels row by row from the wall they stand at; all are drawn that find room on the floor."""
    d = store.diameter * scale
    pitch = d + max(store.gap or 0.0, 0.0) * scale
    inner = 0.0 if section.north_glazed else section.insulation * scale
    row = max(1, int((long - 4 + pitch - d) // pitch))
    rows = max(1, int((wide - inner - 6) // d))
    shown = min(store.count, row * rows)
    pieces = []
    for n in range(shown):
        x = left + 3 + d / 2 + (n % row) * pitch
        away = 3 + d / 2 + (n // row) * d
        y = top + wide - away if _in_sun(store) else top + inner + away
        pieces.append(s.tag("circle", cx=x, cy=y, r=d / 2, style="fill:#cfe8f7;stroke:#0072b2;stroke-width:1"))
    side = "sunny side" if _in_sun(store) else "dark side"
    words = f"{store.count} barrels at the {side}" + ("" if shown == store.count else f", {shown} fit")
    pieces.append(s.text(left + long / 2, top + wide / 2 + (-8 if _in_sun(store) else 18), words, SIZE, "middle",
                         halo=True))  # fmt: skip
    return pieces


def _words(house, section, units, scale):
    parts = [
        f"Drawing to scale, {scale}. Section: {_show(section.width, units)} wide, {_show(section.eaves, units)} high "
        f"at the eaves, {_show(section.ridge, units)} at the ridge. Floor: {_show(section.length, units)} long"
    ]
    if section.insulation:
        parts.append(f"{format_quantity(section.insulation, 'thickness', units)} of insulation in the dark walls")
    if section.edge_depth:
        parts.append(f"insulation down the edge to {_show(section.edge_depth, units)}")
    parts += [f"{store.count} barrels" for store in house.stores if store.kind == "barrels" and store.count]
    if section.pipes:
        parts.append(f"{section.pipes} pipes {_show(section.pipe_depth, units)} deep")
    return ". ".join(part[0].upper() + part[1:] for part in parts) + "."

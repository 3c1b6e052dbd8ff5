"""What stands in the cutaway: ground and floor, the shell with its insulation and panes, barrels, bed, heater, pipes.

Everything is drawn to the scale of its :class:`~heatlib.classroom.section.Frame`.
"""

import math

from heatlib._check import choice, number
from heatlib.classroom import svg as s
from heatlib.classroom.palette import ink
from heatlib.classroom.section import GROUND, HEIGHT, WIDTH
from heatlib.units import format_quantity

__all__ = ["around", "barrels", "bed", "fills", "floor", "heater", "pipes", "shell"]


def fills():
    """Define the patterns of foam, gravel and boards."""
    hatch = s.tag(
        "pattern",
        s.rect(0, 0, 7, 7, "foam"),
        s.path([(0, 0), (3.5, 7), (7, 0)], None, "wood-dark", 0.9),
        id="hl-foam", width=7, height=7, patternUnits="userSpaceOnUse",
    )  # fmt: skip
    stones = "".join(
        s.tag("circle", cx=x, cy=y, r=r, style=f"fill:{ink('gravel')};stroke:{ink('metal')};stroke-width:0.7")
        for x, y, r in ((4, 4, 3.2), (12, 6, 3.8), (6, 12, 3.4), (14, 14, 2.6))
    )
    gravel = s.tag(
        "pattern", s.rect(0, 0, 17, 17, "soil"), stones,
        id="hl-gravel", width=17, height=17, patternUnits="userSpaceOnUse",
    )  # fmt: skip
    boards = s.tag(
        "pattern", s.rect(0, 0, 8, 12, "wood"), s.line(0, 11.5, 8, 11.5, "wood-dark", 1),
        id="hl-boards", width=8, height=12, patternUnits="userSpaceOnUse",
    )  # fmt: skip
    return hatch + gravel + boards


_LOOKS = {
    "gravel": "url(#hl-gravel)",
    "foam": "url(#hl-foam)",
    "concrete": "concrete",
    "wood": "url(#hl-boards)",
    "soil": "soil",
}


def around(frame):
    """Draw sky, ground and snow."""
    section = frame.section
    pieces = [
        s.rect(0, 0, WIDTH, GROUND, "sky"),
        s.rect(0, GROUND, WIDTH, HEIGHT - GROUND, "soil"),
        s.rect(0, GROUND + 70, WIDTH, HEIGHT - GROUND - 70, "soil-deep", opacity=0.55),
        s.line(0, GROUND, WIDTH, GROUND, "wood-dark", 1.5),
    ]
    if section.snow > 0:
        deep = section.snow * frame.scale
        pieces += [s.rect(x, GROUND - deep, w, deep, "snow", "outside", 0.6)
                   for x, w in ((0, frame.left - 3), (frame.right + 3, WIDTH - frame.right - 3))]  # fmt: skip
    return pieces


def floor(frame):
    """Draw the layers of the floor and the foam at its edge."""
    pieces, top = [], GROUND
    for layer in frame.section.floor:
        thick = number(f"thickness of {layer.name}", layer.thickness, "m", 0, 2) * frame.scale
        look = _LOOKS[choice("look of a floor layer", layer.look, _LOOKS)]
        pieces.append(s.rect(frame.left + 4, top, frame.right - frame.left - 8, thick, look, "wood-dark", 0.6))
        top += thick
    deep = frame.section.edge_depth * frame.scale
    if deep > 0:
        for x in (frame.left - 7, frame.right):
            frame.room.take(x, GROUND, x + 7, GROUND + deep)
            pieces.append(s.rect(x, GROUND, 7, deep, "url(#hl-foam)", "wood-dark", 0.8))
    return pieces


def pipes(frame):
    """Draw the buried pipes, cut across."""
    section, pieces = frame.section, []
    if not section.pipes:
        return pieces
    y, r = frame.y(-section.pipe_depth), max(section.pipe_diameter * frame.scale / 2, 3.5)
    shown = min(section.pipes, 8)
    words = f"{section.pipes} buried pipe{'' if section.pipes == 1 else 's'}"
    frame.room.take_words(frame.right - 8, y + r + 15, [words], anchor="end")
    pieces.append(s.text(frame.right - 8, y + r + 15, words, anchor="end", halo=True))
    for index in range(shown):
        x = frame.left + (index + 0.5) * (frame.right - frame.left) / shown
        style = f"fill:{ink('paper')};stroke:{ink('metal')};stroke-width:2"
        frame.room.take(x - r, y - r, x + r, y + r)
        pieces.append(s.tag("circle", cx=x, cy=y, r=r, style=style))
    return pieces


def _strip(corners, inward, thick, fill, stroke="wood-dark"):
    """A slab along the line ``corners`` = two points, ``thick`` points deep towards ``inward``."""
    (x1, y1), (x2, y2) = corners
    dx, dy = inward[0] * thick, inward[1] * thick
    outline = [(x1, y1), (x2, y2), (x2 + dx, y2 + dy), (x1 + dx, y1 + dy)]
    return s.path(outline, fill, stroke, 0.8, close=True)


def shell(frame):
    """Draw walls and roof: boards and insulation as thick as they are, glass as one line a pane."""
    section, left, right, middle = frame.section, frame.left, frame.right, frame.middle
    inside = [(left, GROUND), (left, frame.eaves), (middle, frame.ridge), (right, frame.eaves), (right, GROUND)]
    pieces = [s.path(inside, "inside", None or "inside", 0.5, close=True)]
    base = frame.y(min(section.boarded_base, section.eaves))
    foam = section.insulation * frame.scale
    nx, ny = frame.out_of_roof(-1)
    dark = [("base", ((right, GROUND), (right, base)), (-1, 0))]
    if not section.north_glazed:
        dark += [("north_wall", ((left, GROUND), (left, frame.eaves)), (1, 0)),
                 ("north_roof", ((left, frame.eaves), (middle, frame.ridge)), (-nx, -ny))]  # fmt: skip
    else:
        dark += [("base", ((left, GROUND), (left, base)), (1, 0))]
    for part, corners, inward in dark:
        if foam > 0 and part in section.insulated:
            pieces.append(_strip(corners, inward, foam, "url(#hl-foam)"))
    for _, corners, inward in dark:
        pieces.append(_strip(_overhang(corners, frame), (-inward[0], -inward[1]), 5, "wood"))
    glazed = [((right, base), (right, frame.eaves), (1, 0)),
              ((right, frame.eaves), (middle, frame.ridge), frame.out_of_roof(1))]  # fmt: skip
    if section.north_glazed:
        glazed += [((left, base), (left, frame.eaves), (-1, 0)), ((left, frame.eaves), (middle, frame.ridge), (nx, ny))]
    for start, end, (ox, oy) in glazed:
        (x1, y1), (x2, y2) = _overhang((start, end), frame)
        for pane in range(section.panes):
            dx, dy = ox * (1.5 + 4 * pane), oy * (1.5 + 4 * pane)
            pieces.append(s.line(x1 + dx, y1 + dy, x2 + dx, y2 + dy, "water-text", 2.6))
            pieces.append(s.line(x1 + dx, y1 + dy, x2 + dx, y2 + dy, "ice", 1.2))
    if section.curtain:
        ox, oy = frame.out_of_roof(1)
        x1, y1, x2, y2 = right - 11, base, middle - ox * 11, frame.ridge - oy * 11 + 4
        knee = (right - 11, frame.eaves + 6)
        pieces.append(s.path([(x1, y1), knee, (x2, y2)], None, "plant-text", 3.4, "7 4"))
    if section.snow > 0:
        for side in (-1, 1):
            ox, oy = frame.out_of_roof(side)
            lift = 6 if side < 0 else 2 + 4 * section.panes
            ends = [(x + ox * lift, y + oy * lift) for x, y in (frame.on_roof(0.02, side), frame.on_roof(0.96, side))]
            pieces.append(_strip(ends, (ox, oy), section.snow * frame.scale, "snow", "outside"))
    return pieces


def _overhang(corners, frame):
    """Let a roof reach a little past the wall; a wall stays as it is."""
    (x1, y1), (x2, y2) = corners
    if y1 != frame.eaves or x1 == x2:
        return corners
    return (x1 - (x2 - x1) * 0.06, y1 - (y2 - y1) * 0.06), (x2, y2)


def barrels(frame, store, units):
    """Draw barrels side by side at the north wall; as many rows as do not fit in one row along the house."""
    diameter, height = store.diameter * frame.scale, store.height * frame.scale
    foam = frame.section.insulation * frame.scale
    rows = max(1, math.ceil(store.count * store.diameter / frame.section.length))
    room = max(1, int((0.62 * (frame.right - frame.left) - foam) // (diameter + 3)))
    pieces = []
    for row in range(min(rows, room)):
        x, top = frame.left + foam + 6 + row * (diameter + 3), GROUND - height
        level = height * store.fill
        pieces += [
            s.rect(x, top, diameter, height, "panel", radius=4),
            s.rect(x, GROUND - level, diameter, level, "water", radius=min(4, level / 2)),
            s.rect(x, top, diameter, height * store.ice, "ice", radius=4) if store.ice > 0 else "",
            s.rect(x, top, diameter, height, None, "metal", 2, radius=4),
            *(s.line(x, top + height * rib, x + diameter, top + height * rib, "metal", 1) for rib in (0.33, 0.67)),
        ]
    foot = frame.left + foam + 6
    frame.stores_end = foot + min(rows, room) * (diameter + 3)
    frame.room.take(foot, GROUND - height, frame.stores_end, GROUND)
    degrees = format_quantity(store.temperature, "temperature", units)
    said = [degrees, *([f"{store.ice:.0%} ice"] if store.ice > 0 else []), store.label]
    for index, words in enumerate(said):
        pieces.append(s.text(foot, GROUND - height - 7 - 16 * index, words, halo=True, bold=index == 0))
        frame.room.take_words(foot, GROUND - height - 7 - 16 * index, [words], bold=index == 0)
    return pieces


def bed(frame, store, units):
    """Draw the planted bed, filled to its heat."""
    wide, high = min(1.0 * frame.scale, 0.3 * (frame.right - frame.left)), 0.34 * frame.scale
    foam = frame.section.insulation * frame.scale
    x, top = frame.right - foam - 12 - wide, GROUND - high
    level = high * store.fill
    frame.room.take(x, top - 12, x + wide, GROUND)
    frame.room.take_words(x + wide / 2, top - 19, [store.label], anchor="middle")
    pieces = [
        s.rect(x, top, wide, high, "soil-deep", "wood-dark", 1.2),
        s.rect(x, GROUND - level, wide, level, "water", opacity=0.45),
        s.rect(x, top, wide, high, None, "wood-dark", 2),
    ]
    for index in range(5):
        px, tall = x + wide * (index + 0.5) / 5, 9 + 3 * (index % 2)
        for lean in (-5, 0, 5):
            leaf = [
                (px, top),
                (px + lean - 1.5, top - tall * 0.6),
                (px + lean * 1.3, top - tall),
                (px + lean + 1.5, top - tall * 0.5),
            ]
            pieces.append(s.path(leaf, "plant", "plant-text", 0.5, close=True))
    degrees = format_quantity(store.temperature, "temperature", units)
    pieces.append(s.text(x + wide / 2, top - 19, store.label, anchor="middle", halo=True))
    pieces.append(s.text(x + wide / 2, top + high / 2 + 5, degrees, anchor="middle", halo=True, bold=True))
    return pieces


def heater(frame):
    """Draw the heater."""
    x, y = frame.middle + 8, GROUND
    frame.room.take(x, y - 24, x + 26, y)
    pieces = [s.rect(x, y - 24, 26, 20, "panel", "metal", 2, radius=3), s.line(x + 4, y - 4, x + 4, y, "metal", 2),
              s.line(x + 22, y - 4, x + 22, y, "metal", 2)]  # fmt: skip
    return pieces + [s.line(x + 6 + 5 * i, y - 20, x + 6 + 5 * i, y - 8, "heat", 2) for i in range(4)]

"""The greenhouse in section, to scale: what stands there, how warm it is, and arrows as wide as the watts.

The section looks east: north on the left, south on the right. It takes plain numbers, so any house can be drawn;
:mod:`heatlib.classroom.house_section` makes them from a :class:`heatlib.house.greenhouse.Greenhouse`.
"""

import math
from dataclasses import dataclass, field

from heatlib._check import choice, number
from heatlib.classroom import svg as s
from heatlib.classroom.palette import ink
from heatlib.units import format_quantity, from_display, to_display

__all__ = ["PLACES", "FloorLayer", "Flow", "Section", "Store", "cutaway", "cutaway_words"]

WIDTH, HEIGHT = 640, 420
GROUND = 298
"""Height on the picture where the outside ground lies [points]."""

WATTS_PER_POINT = 45.0
"""Usual thickness of an arrow; a house that loses more is drawn with thinner arrows, and the key says so."""
WIDEST = 44.0
DARK = ("north_roof", "north_wall", "base")
"""The dark parts of the shell: roof and wall on the north, and the boarded base."""


@dataclass(frozen=True)
class FloorLayer:
    """A layer of the floor from above downwards: ``look`` is gravel, foam, concrete, wood or soil; thickness [m]."""

    name: str
    thickness: float
    look: str = "gravel"


@dataclass(frozen=True)
class Section:
    """What stands there. Lengths [m]; counts [–]; ``insulated`` names the dark parts that hold the insulation."""

    width: float = 3.6
    length: float = 6.0
    eaves: float = 1.8
    ridge: float = 2.9
    boarded_base: float = 1.0
    insulation: float = 0.0
    insulated: tuple[str, ...] = DARK
    panes: int = 1
    north_glazed: bool = False
    floor: tuple[FloorLayer, ...] = ()
    edge_depth: float = 0.0
    curtain: bool = False
    heater: bool = False
    pipes: int = 0
    pipe_depth: float = 0.6
    pipe_diameter: float = 0.1
    snow: float = 0.0
    vent_open: bool = False

    def __post_init__(self):
        number("width of the house", self.width, "m", 0.5, 60)
        number("length of the house", self.length, "m", 0.5, 500)
        number("height at the eaves", self.eaves, "m", 0.3, 10)
        number("height at the ridge", self.ridge, "m", self.eaves, 15)
        number("insulation thickness", self.insulation, "m", 0, 1)
        for part in self.insulated:
            choice("insulated part", part, DARK)


@dataclass(frozen=True)
class Store:
    """Barrels or a bed: temperature [°C], ``fill`` the share of its heat [0–1], ``ice`` the share frozen [0–1]."""

    kind: str
    label: str
    temperature: float
    fill: float
    count: int = 1
    ice: float = 0.0
    diameter: float = 0.58
    height: float = 0.88

    def __post_init__(self):
        choice("kind of store", self.kind, ("barrel", "bed"))
        number(f"fill of {self.label}", self.fill, "", 0, 1)
        number(f"frozen share of {self.label}", self.ice, "", 0, 1)


@dataclass(frozen=True)
class Flow:
    """One heat path: ``place`` is a key of :data:`PLACES`; heat flow positive when the house loses it [W]."""

    place: str
    label: str
    watts: float
    strong: bool = True

    def __post_init__(self):
        choice("place of a heat path", self.place, PLACES)
        number(f"heat flow of {self.label}", self.watts, "W")


PLACES = {
    "south_roof": "right",
    "south_wall": "right",
    "south_base": "right",
    "edge": "right",
    "sun": "right",
    "sky": "right",
    "moisture": "left",
    "north_roof": "left",
    "north_wall": "left",
    "leaks": "middle",
    "ends": "middle",
    "floor": "middle",
    "heater": "middle",
    "stores": "middle",
    "pipes": "middle",
}
"""Where an arrow can be, and the side on which its words stand."""


@dataclass
class _Frame:
    """Metres to points, and the corners of the house."""

    section: Section
    scale: float = field(init=False)
    stores_end: float = field(init=False)

    def __post_init__(self):
        w, r = self.section.width, self.section.ridge
        deepest = max(self.section.pipe_depth if self.section.pipes else 0.0, self.section.edge_depth, 0.5)
        self.scale = min(78.0, 284.0 / w, 236.0 / r, 96.0 / deepest)
        self.left, self.right = WIDTH / 2 - w * self.scale / 2, WIDTH / 2 + w * self.scale / 2
        self.middle, self.stores_end = WIDTH / 2, self.left + 60
        self.eaves, self.ridge = self.y(self.section.eaves), self.y(r)

    def y(self, height):
        return GROUND - height * self.scale

    def on_roof(self, share, side):
        """Return a point on the roof, ``share`` of the way from eaves to ridge; side +1 south, −1 north."""
        foot = self.right if side > 0 else self.left
        return foot + (self.middle - foot) * share, self.eaves + (self.ridge - self.eaves) * share

    def out_of_roof(self, side):
        """Return the direction square to the roof, pointing out."""
        run, rise = self.right - self.middle, self.eaves - self.ridge
        length = math.hypot(run, rise) or 1.0
        return side * rise / length, -run / length


def _patterns():
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


def _around(frame):
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


def _floor(frame):
    pieces, top = [], GROUND
    for layer in frame.section.floor:
        thick = number(f"thickness of {layer.name}", layer.thickness, "m", 0, 2) * frame.scale
        look = _LOOKS[choice("look of a floor layer", layer.look, _LOOKS)]
        pieces.append(s.rect(frame.left + 4, top, frame.right - frame.left - 8, thick, look, "wood-dark", 0.6))
        top += thick
    deep = frame.section.edge_depth * frame.scale
    if deep > 0:
        pieces += [s.rect(x, GROUND, 7, deep, "url(#hl-foam)", "wood-dark", 0.8) for x in (frame.left - 7, frame.right)]
    return pieces


def _pipes(frame):
    section, pieces = frame.section, []
    if not section.pipes:
        return pieces
    y, r = frame.y(-section.pipe_depth), max(section.pipe_diameter * frame.scale / 2, 3.5)
    shown = min(section.pipes, 8)
    pieces.append(s.text(frame.right - 8, y + r + 15, f"{section.pipes} buried pipes", anchor="end", halo=True))
    for index in range(shown):
        x = frame.left + (index + 0.5) * (frame.right - frame.left) / shown
        style = f"fill:{ink('paper')};stroke:{ink('metal')};stroke-width:2"
        pieces.append(s.tag("circle", cx=x, cy=y, r=r, style=style))
    return pieces


def _strip(corners, inward, thick, fill, stroke="wood-dark"):
    """A slab along the line ``corners`` = two points, ``thick`` points deep towards ``inward``."""
    (x1, y1), (x2, y2) = corners
    dx, dy = inward[0] * thick, inward[1] * thick
    outline = [(x1, y1), (x2, y2), (x2 + dx, y2 + dy), (x1 + dx, y1 + dy)]
    return s.path(outline, fill, stroke, 0.8, close=True)


def _shell(frame):
    """Walls and roof: boards and insulation as thick as they are, glass as one line a pane."""
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


def _barrels(frame, store, units):
    """Barrels side by side at the north wall; as many rows as do not fit in one row along the house."""
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
    degrees = format_quantity(store.temperature, "temperature", units)
    said = [degrees, *([f"{store.ice:.0%} ice"] if store.ice > 0 else []), store.label]
    for index, words in enumerate(said):
        pieces.append(s.text(foot, GROUND - height - 7 - 16 * index, words, halo=True, bold=index == 0))
    return pieces


def _bed(frame, store, units):
    wide, high = min(1.0 * frame.scale, 0.3 * (frame.right - frame.left)), 0.34 * frame.scale
    foam = frame.section.insulation * frame.scale
    x, top = frame.right - foam - 12 - wide, GROUND - high
    level = high * store.fill
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


def _heater(frame):
    x, y = frame.middle + 8, GROUND
    pieces = [s.rect(x, y - 24, 26, 20, "panel", "metal", 2, radius=3), s.line(x + 4, y - 4, x + 4, y, "metal", 2),
              s.line(x + 22, y - 4, x + 22, y, "metal", 2)]  # fmt: skip
    return pieces + [s.line(x + 6 + 5 * i, y - 20, x + 6 + 5 * i, y - 8, "heat", 2) for i in range(4)]


def _arrow_line(frame, place, watts):
    """Where an arrow of loss starts and ends; a gain runs the other way."""
    left, right, middle = frame.left, frame.right, frame.middle
    sx, sy = frame.out_of_roof(1)
    base = frame.y(min(frame.section.boarded_base, frame.section.eaves))
    roof, north = frame.on_roof(0.4, 1), frame.on_roof(0.4, -1)
    wall, low = (base + frame.eaves) / 2, (GROUND + base) / 2
    lines = {
        "south_roof": (roof[0] - sx * 14, roof[1] - sy * 14, roof[0] + sx * 50, roof[1] + sy * 50),
        "north_roof": (north[0] + sx * 14, north[1] - sy * 14, north[0] - sx * 50, north[1] + sy * 50),
        "south_wall": (right - 16, wall, right + 40, wall),
        "south_base": (right - 16, low, right + 40, low),
        "north_wall": (left + 16, frame.y(0.78 * frame.section.eaves), left - 44, frame.y(0.78 * frame.section.eaves)),
        "leaks": (middle, frame.ridge + 16, middle, max(frame.ridge - 40, 6)),
        "edge": (right - 14, GROUND + 4, right + 44, GROUND + 42),
        "floor": (middle - 40, GROUND - 6, middle - 40, GROUND + 62),
        "sky": (*_lifted(frame.on_roof(0.66, 1), 12), *_lifted(frame.on_roof(0.66, 1), -44)),
        "moisture": (*_lifted(frame.on_roof(0.66, -1), 12), *_lifted(frame.on_roof(0.66, -1), -44)),
        "sun": (WIDTH - 40, 14, *frame.on_roof(0.78, 1)),
        "heater": (middle + 21, GROUND - 27, middle + 21, GROUND - 64),
        "stores": (frame.stores_end - 4, GROUND - 46, frame.stores_end + 36, GROUND - 46),
        "pipes": (middle - 2, frame.y(-frame.section.pipe_depth) - 4, middle - 2, GROUND - 16),
        "ends": (middle - 34, frame.eaves + 17, middle - 34, frame.eaves + 17),
    }
    line = lines[place]
    gains = place in ("sun", "heater", "stores", "pipes")
    return line if (watts >= 0) != gains else (*line[2:], *line[:2])


def _lifted(point, down):
    return point[0], max(point[1] + down, 8)


_COLOUR = {"moisture": "air", "sun": "sun", "stores": "water", "pipes": "water", "heater": "sun"}


def _arrows(frame, flows, per_point):
    pieces, words = [], {"left": [], "right": [], "middle": []}
    for flow in flows:
        if flow.watts == 0:
            continue
        wide = abs(flow.watts) / per_point
        x1, y1, x2, y2 = _arrow_line(frame, flow.place, flow.watts)
        colour = _COLOUR.get(flow.place, "heat" if flow.watts > 0 else "water")
        opacity = None if flow.strong else 0.38
        if flow.place == "ends":
            r = max(wide / 2, 3)
            style = f"fill:{ink(colour)};stroke:{ink('paper')};stroke-width:1;opacity:{opacity or 1}"
            pieces.append(s.tag("circle", cx=x1, cy=y1, r=r, style=style))
            pieces.append(s.tag("circle", cx=x1, cy=y1, r=max(r / 4, 1.2), style=f"fill:{ink('paper')}"))
        else:
            pieces.append(s.arrow(x1, y1, x2, y2, max(wide, 1.2), colour, opacity))
        words[PLACES[flow.place]].append((flow, x1, y1, x2, y2, wide))
    return pieces, words


def _two_lines(flow, units):
    return flow.label, watts_text(flow.watts, units)


def watts_text(watts, units):
    """Write a heat flow without needless places: 7.5 W, 42 W, 418 W, 3 120 W."""
    shown = abs(to_display(watts, "heat_flow", units))
    return format_quantity(abs(watts), "heat_flow", units, digits=3 if shown >= 99.5 else 2)


def _spread(wanted, gap, low, high):
    """Move label heights apart until none overlap, keeping their order and staying on the picture."""
    placed = []
    for y in wanted:
        placed.append(max(y, placed[-1] + gap if placed else low))
    over = placed[-1] - high if placed else 0
    if over > 0:
        placed[-1] -= over
        for index in range(len(placed) - 2, -1, -1):
            placed[index] = min(placed[index], placed[index + 1] - gap)
    return placed


def _side_words(words, side, units):
    pieces = []
    found = sorted(words, key=lambda one: _label_height(one))
    heights = _spread([_label_height(one) for one in found], 37, 50, HEIGHT - 44)
    for (flow, *_), y in zip(found, heights):
        x, anchor = (8, "start") if side == "left" else (WIDTH - 8, "end")
        colour = "ink" if flow.strong else "muted"
        name, amount = _two_lines(flow, units)
        pieces.append(s.text(x, y, name, anchor=anchor, colour=colour, halo=True))
        pieces.append(s.text(x, y + 16, amount, anchor=anchor, colour=colour, bold=True, halo=True))
    return pieces


def _label_height(one):
    _flow, _x1, y1, _x2, y2, wide = one
    if one[0].place == "edge":
        return GROUND + 34
    return (y1 + y2) / 2 - 2 if one[0].place in ("south_wall", "south_base", "north_wall") else min(y2, y1) - wide / 4


def _middle_words(words, units):
    pieces = []
    for flow, x1, y1, x2, y2, wide in words:
        name, amount = _two_lines(flow, units)
        colour = "ink" if flow.strong else "muted"
        x, y, anchor = {
            "floor": (x1 - wide / 2 - 10, GROUND + 44, "end"),
            "leaks": (x1 - max(0.8 * wide, 6) - 6, max(min(y1, y2) - 14, 16), "end"),
            "pipes": (x1 + wide / 2 + 8, GROUND + 20, "start"),
            "heater": (x1, min(y1, y2) - 22, "middle"),
            "stores": (min(min(x1, x2) + 2, WIDTH / 2 - 10 - s.text_width(name)), GROUND - 22, "start"),
            "ends": (x1 + max(wide / 2, 3) + 6, y1 - 2, "start"),
        }.get(flow.place, (max(x1, x2) + wide / 2 + 6, min(y1, y2) + 18, "start"))
        pieces.append(s.text(x, y, name, anchor=anchor, colour=colour, halo=True))
        pieces.append(s.text(x, y + 16, amount, anchor=anchor, colour=colour, bold=True, halo=True))
    return pieces


def _key(frame, per_point, units):
    """Scale bar of lengths and the thickness that stands for a round number of watts."""
    metres, name = (1.0, "1 m") if units == "metric" else (0.9144, "3 ft")
    y = HEIGHT - 12
    watts = from_display(500.0 if units == "metric" else 2000.0, "heat_flow", units)
    round_text = watts_text(watts, units)
    thick = watts / per_point
    return [
        s.line(10, y - 4, 10 + metres * frame.scale, y - 4, "ink", 2),
        s.line(10, y - 8, 10, y, "ink", 2),
        s.line(10 + metres * frame.scale, y - 8, 10 + metres * frame.scale, y, "ink", 2),
        s.text(16 + metres * frame.scale, y, name, halo=True),
        s.arrow(WIDTH - 40, y - 5, WIDTH - 8, y - 5, max(thick, 1.2), "heat"),
        s.text(WIDTH - 46, y, f"{round_text} is this wide", anchor="end", halo=True),
    ]


def cutaway(section, flows=(), stores=(), *, inside, outside, units, full_scale=None):
    """Draw the house in section with its stores and heat paths.

    Parameters
    ----------
    section : Section
        What stands there [m].
    flows : iterable of Flow
        Heat paths [W].
    stores : iterable of Store
        Barrels and bed [°C].
    inside, outside : float
        Air temperatures [°C].
    units : str
        ``"metric"`` or ``"US"`` [text].
    full_scale : float, optional
        Heat flow that the widest arrow stands for, so that a moving slider doesn't change the scale [W].

    Returns
    -------
    str
        The drawing [SVG].
    """
    flows, frame = tuple(flows), _Frame(section)
    biggest = max((abs(flow.watts) for flow in flows), default=0.0)
    per_point = max(WATTS_PER_POINT, biggest / WIDEST, (full_scale or 0.0) / WIDEST)
    things = []
    for store in stores:
        things += _barrels(frame, store, units) if store.kind == "barrel" else _bed(frame, store, units)
    if section.heater:
        things += _heater(frame)
    arrows, words = _arrows(frame, flows, per_point)
    degrees = [format_quantity(t, "temperature", units) for t in (inside, outside)]
    return s.document(
        WIDTH, HEIGHT,
        *_around(frame), *_floor(frame), *_pipes(frame), *_shell(frame), *things, *arrows,
        *_side_words(words["left"], "left", units), *_side_words(words["right"], "right", units),
        *_middle_words(words["middle"], units),
        s.text(frame.middle, frame.eaves - 12, f"Inside {degrees[0]}", 15, "middle", bold=True, halo=True),
        s.text(8, 20, f"Outside {degrees[1]}", 15, bold=True, halo=True),
        s.text(frame.left - 12, GROUND - 6, "North", anchor="end", halo=True),
        s.text(frame.right + 12, GROUND - 6, "South", halo=True),
        *_key(frame, per_point, units),
        definitions=_patterns(),
    )  # fmt: skip


def cutaway_words(section, flows=(), stores=(), *, inside, outside, units):
    """Describe the drawing for a reader who can't see it, with all its numbers."""

    def show(value, quantity):
        return format_quantity(value, quantity, units)

    size = f"{show(section.width, 'length')} wide, {show(section.eaves, 'length')} high at the eaves"
    parts = [
        f"Greenhouse in section, {size} and {show(section.ridge, 'length')} at the ridge, south on the right",
        f"inside {show(inside, 'temperature')}, outside {show(outside, 'temperature')}",
    ]
    if section.insulation > 0:
        parts.append(f"{show(section.insulation, 'thickness')} of insulation in the dark walls")
    for layer in section.floor:
        parts.append(f"floor layer {layer.name}, {show(layer.thickness, 'thickness')}")
    parts += [f"{one.label} at {show(one.temperature, 'temperature')}" for one in stores]
    for flow in sorted(flows, key=lambda one: -abs(one.watts)):
        gains = flow.place in ("sun", "heater", "stores", "pipes")
        way = "in" if flow.watts < 0 or (gains and flow.watts == 0) else "out"
        parts.append(f"{flow.label}: {watts_text(flow.watts, units)} {way}")
    return ". ".join(part[0].upper() + part[1:] for part in parts) + "."

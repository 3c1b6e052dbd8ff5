"""The arrows of the cutaway: one a heat path, as wide as its watts, with its name and number beside it."""

from heatlib.classroom import svg as s
from heatlib.classroom.palette import ink
from heatlib.classroom.section import GROUND, HEIGHT, PLACES, WIDTH
from heatlib.units import format_quantity, to_display

__all__ = ["arrow_words", "arrows", "watts_text"]


def _arrow_line(frame, place, watts, wide):
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
        "sun": (WIDTH - 40, 14 + 0.3 * wide, *frame.on_roof(0.78, 1)),
        "heater": (middle + 21, GROUND - 27, middle + 21, GROUND - 64),
        "stores": (frame.stores_end + 2, GROUND - 40, frame.stores_end + 42, GROUND - 40),
        "pipes": (middle - 2, frame.y(-frame.section.pipe_depth) - 4, middle - 2, GROUND - 16),
        "ends": (middle - 34, frame.eaves + 17, middle - 34, frame.eaves + 17),
    }
    line = lines[place]
    gains = place in ("sun", "heater", "stores", "pipes")
    return line if (watts >= 0) != gains else (*line[2:], *line[:2])


def _lifted(point, down):
    return point[0], max(point[1] + down, 8)


_COLOUR = {"moisture": "air", "sun": "sun", "stores": "water", "pipes": "water", "heater": "sun"}


def arrows(frame, flows, per_point):
    """Draw the arrows; return them, and what their words need, by the side where these stand."""
    pieces, words = [], {"left": [], "right": [], "middle": []}
    for flow in sorted(flows, key=lambda one: -abs(one.watts)):  # thin ones on wide ones
        if flow.watts == 0:
            continue
        wide = abs(flow.watts) / per_point
        x1, y1, x2, y2 = _arrow_line(frame, flow.place, flow.watts, wide)
        colour = _COLOUR.get(flow.place, "heat" if flow.watts > 0 else "water")
        opacity = None if flow.strong else 0.38
        if flow.place == "ends":
            r = max(wide / 2, 3)
            style = f"fill:{ink(colour)};stroke:{ink('paper')};stroke-width:1;opacity:{opacity or 1}"
            frame.room.take(x1 - r, y1 - r, x1 + r, y1 + r)
            pieces.append(s.tag("circle", cx=x1, cy=y1, r=r, style=style))
            pieces.append(s.tag("circle", cx=x1, cy=y1, r=max(r / 4, 1.2), style=f"fill:{ink('paper')}"))
        else:
            _take_arrow(frame.room, x1, y1, x2, y2, max(wide, 1.2))
            pieces.append(s.arrow(x1, y1, x2, y2, max(wide, 1.2), colour, opacity))
        words[PLACES[flow.place]].append((flow, x1, y1, x2, y2, wide))
    return pieces, words


def _take_arrow(room, x1, y1, x2, y2, wide):
    """Mark an arrow as taken, in short pieces where it lies aslant."""
    parts = 1 if x1 == x2 or y1 == y2 else 6
    half = wide / 2 + 3
    for n in range(parts):
        (left, right), (top, bottom) = (
            sorted((start + (end - start) * n / parts, start + (end - start) * (n + 1) / parts))
            for start, end in ((x1, x2), (y1, y2))
        )
        room.take(
            left - half * (x1 == x2), top - half * (x1 != x2), right + half * (x1 == x2), bottom + half * (x1 != x2)
        )


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


def _write(flow, units, x, y, anchor):
    colour = "ink" if flow.strong else "muted"
    name, amount = _two_lines(flow, units)
    return [s.text(x, y, name, anchor=anchor, colour=colour, halo=True),
            s.text(x, y + 16, amount, anchor=anchor, colour=colour, bold=True, halo=True)]  # fmt: skip


def _side_words(words, side, units):
    pieces = []
    found = sorted(words, key=lambda one: (one[0].place != "sun", _label_height(one)))
    heights = _spread([_label_height(one) for one in found], 37, 50, HEIGHT - 44)
    for (flow, *_), y in zip(found, heights):
        x, anchor = (8, "start") if side == "left" else (WIDTH - 8, "end")
        pieces += _write(flow, units, x, y, anchor)
    return pieces


def _label_height(one):
    _flow, _x1, y1, _x2, y2, wide = one
    if one[0].place == "sun":
        return min(y1, y2) + wide / 2 + 24
    if one[0].place == "edge":
        return GROUND + 34
    return (y1 + y2) / 2 - 2 if one[0].place in ("south_wall", "south_base", "north_wall") else min(y2, y1) - wide / 4


def _places(frame, place, line, wide):
    """Return where the words of an arrow inside or below the house may stand, the best place first."""
    x1, y1, x2, y2 = line
    top, right, half = min(y1, y2), max(x1, x2), wide / 2
    if place == "floor":
        return [(x, GROUND + down, anchor) for down in (44, 78, 20)
                for x, anchor in ((x1 - half - 10, "end"), (x1 + half + 10, "start"))]  # fmt: skip
    if place == "leaks":
        high, aside = max(top - 14, 16), max(0.8 * wide, 6) + 6
        return [(x1 - aside, high, "end"), (x1 + aside, high, "start")]
    if place == "pipes":
        return [(x, GROUND + down, anchor) for down in (20, 66, 78, -40)
                for x, anchor in ((x1 + half + 8, "start"), (x1 - half - 8, "end"))]  # fmt: skip
    if place == "heater":
        return [*((x1, top - up, "middle") for up in (22, 30, 44, 60)), (x1 - half - 10, top - 4, "end")]
    if place == "stores":
        reach = half + max(3.0, 0.28 * wide)
        above = (GROUND - 40 - reach - 24, GROUND - 104, GROUND - 122, GROUND - 138, frame.eaves + 14)
        beside = frame.left + 0.3 * (frame.right - frame.left)
        starts = (frame.stores_end + 4, beside, beside + 20, beside + 40, beside + 60)
        return [(right + 8, GROUND - 44, "start"), *((x, y, "start") for y in above for x in starts)]
    aside = max(half, 3) + 6
    return [(x1 + aside, y1 - 2, "start"), (x1 - aside, y1 - 2, "end"), (x1 + aside, y1 + 20, "start")]


def _middle_words(frame, words, units):
    """Write the words of the arrows inside and below the house, each where the others leave room."""
    pieces = []
    for flow, *line, wide in sorted(words, key=lambda one: one[0].place == "stores"):
        x, y, anchor = frame.room.place(_places(frame, flow.place, line, wide), _two_lines(flow, units))
        pieces += _write(flow, units, x, y, anchor)
    return pieces


def arrow_words(frame, words, units):
    """Write the names and numbers of the arrows."""
    pieces = _side_words(words["left"], "left", units) + _side_words(words["right"], "right", units)
    return pieces + _middle_words(frame, words["middle"], units)

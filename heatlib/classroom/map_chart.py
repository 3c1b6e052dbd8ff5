"""The map of pairs: which of them are enough, which are too little, and the line between."""

from itertools import pairwise

from numpy import interp

from heatlib._check import number
from heatlib.classroom import svg as s
from heatlib.classroom.axes import HEIGHT, WIDTH, Plot
from heatlib.classroom.line_charts import dot, mark_words, room_of

__all__ = ["heat_map"]


def heat_map(across, up, reached, *, frontier, point=None, yes="warm enough", no="too cold", costs=None):
    """Draw which pairs (barrels, heater) keep the crop warm, with the frontier between them.

    Parameters
    ----------
    across, up : Axis
        Barrels and heater power [display units].
    reached : sequence of sequence
        Lowest temperature minus the limit at the knots of a regular grid over the whole field, rows from the foot
        up; zero or more is enough [K].
    frontier : sequence of (float, float)
        Points between enough and too little [display units].
    point : (float, float, str), optional
        The house as it is [display units].
    yes, no : str
        Words for the two sides [text].
    costs : sequence of (float, float, str), optional
        Words at points along the frontier [display units].

    Returns
    -------
    str
        The drawing [SVG].
    """
    plot = Plot(across, up, right=24)
    rows, columns = len(reached), len(reached[0])
    if rows < 2 or columns < 2:
        raise ValueError("a map needs at least two rows and two columns")
    pieces, sides = [], {True: [], False: []}
    for row, cells in enumerate(reached):
        for column, margin in enumerate(cells):
            number("margin", margin, "K")
            cell = _cell(across, column, columns), _cell(up, row, rows)
            parts = _split(*cell, frontier) if frontier else {margin >= 0: _corners(*cell)}
            for good, outline in parts.items():
                outline = [(plot.x(x), plot.y(y)) for x, y in outline]
                pieces += _area(outline, good, margin if (margin >= 0) == good else 0.0, len(parts) > 1)
                sides[good].append(_middle(outline))
    pieces += plot.frame()
    if frontier:
        pieces.append(s.polyline([plot.x(x) for x, _ in frontier], [plot.y(y) for _, y in frontier], "ink", 3))
    room = room_of(plot, ())
    if frontier:
        room.take_line([(plot.x(x), plot.y(y)) for x, y in frontier])
    costs, points = list(costs or ()), [point] if point else []
    dots = [dot(plot, room, x, y, "paper") for x, y, _ in costs] + [dot(plot, room, *one[:2], "heat") for one in points]
    marks = [mark_words(plot, room, *one) for one in points + costs]
    for good, words in ((True, yes), (False, no)):
        if len(sides[good]) >= 3:
            pieces.append(_side_words(room, sides[good], words))
    return s.document(WIDTH, HEIGHT, *pieces, *dots, *marks)


def _cell(axis, index, count):
    """Return the ends of a cell round a knot, along one axis."""
    step = (axis.high - axis.low) / (count - 1)
    return max(axis.low + (index - 0.5) * step, axis.low), min(axis.low + (index + 0.5) * step, axis.high)


def _corners(across, up):
    (left, right), (low, high) = across, up
    return [(left, low), (right, low), (right, high), (left, high)]


def _split(across, up, frontier):
    """Cut a cell along the frontier, so that no shade of one side lies on the other: {side: outline}."""
    (left, right), (low, high) = across, up
    xs, ys = zip(*frontier)
    turns = {left, right, *(x for x in xs if left < x < right)}
    for (x1, y1), (x2, y2) in pairwise(frontier):
        turns |= {x1 + (level - y1) / (y2 - y1) * (x2 - x1) for level in up if (y1 < level) != (y2 < level)}
    edge = [(x, min(max(float(interp(x, xs, ys)), low), high)) for x in sorted(turns) if left <= x <= right]
    parts = {True: _beyond(edge, high), False: _beyond(edge, low)}
    parts = {good: outline for good, outline in parts.items() if outline}
    return parts if len(parts) == 2 else dict.fromkeys(parts, _corners(across, up))


def _beyond(edge, level):
    """Return the outline between a line and a level that it touches but does not cross, without the touching ends."""
    apart = [n for n, (_, y) in enumerate(edge) if y != level]
    if not apart:
        return []
    edge = edge[max(apart[0] - 1, 0) : apart[-1] + 2]
    return [*edge, *((x, level) for x, y in (edge[-1], edge[0]) if y != level)]


def _area(outline, good, margin, cut):
    """Shade a part of a cell: the deeper, the farther from the limit; the cold side has a stroke as well."""
    shade = 0.16 + 0.3 * min(abs(margin), 8.0) / 8.0
    pieces = [s.path(outline, "plant" if good else "alarm", None, opacity=shade, close=True)]
    if not good:
        x, y = _middle(outline)
        size = 0.4 * min(max(values) - min(values) for values in zip(*outline))
        # beside the line only the half that leads away from it
        end = (x, y) if cut else (x + size, y - size)
        pieces.append(s.line(x - size, y + size, *end, "alarm", 0.8, opacity=0.5))
    return pieces


def _middle(outline):
    return tuple(sum(values) / len(values) for values in zip(*outline))


def _side_words(room, cells, words):
    """Name a side in its middle, or at its free cell nearest to the middle."""
    x, y = (sum(cell[axis] for cell in cells) / len(cells) for axis in (0, 1))
    near = sorted(cells, key=lambda cell: (cell[0] - x) ** 2 + (cell[1] - y) ** 2)
    x, y, anchor = room.place([(px, py, "middle") for px, py in [(x, y), *near]], [words], 16)
    return s.text(x, y, words, 16, anchor, bold=True, halo=True)

"""The map of pairs: which of them are enough, which are too little, and the line between."""

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
    dx, dy = (plot.x1 - plot.x0) / (columns - 1), (plot.y0 - plot.y1) / (rows - 1)
    pieces, sides = [], {True: [], False: []}
    for row, cells in enumerate(reached):
        for column, margin in enumerate(cells):
            good = number("margin", margin, "K") >= 0
            shade = min(abs(margin), 8.0) / 8.0
            x, y = max(plot.x0 + (column - 0.5) * dx, plot.x0), max(plot.y0 - (row + 0.5) * dy, plot.y1)
            wide = min(plot.x0 + (column + 0.5) * dx, plot.x1) - x
            high = min(plot.y0 - (row - 0.5) * dy, plot.y0) - y
            pieces.append(s.rect(x, y, wide, high, "plant" if good else "alarm", opacity=0.16 + 0.3 * shade))
            if not good:
                size = min(wide, high) - 4
                pieces.append(s.line(x + 2, y + 2 + size, x + 2 + size, y + 2, "alarm", 0.8, opacity=0.5))
            sides[good].append((x + wide / 2, y + high / 2))
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


def _side_words(room, cells, words):
    """Name a side in its middle, or at its free cell nearest to the middle."""
    x, y = (sum(cell[axis] for cell in cells) / len(cells) for axis in (0, 1))
    near = sorted(cells, key=lambda cell: (cell[0] - x) ** 2 + (cell[1] - y) ** 2)
    x, y, anchor = room.place([(px, py, "middle") for px, py in [(x, y), *near]], [words], 16)
    return s.text(x, y, words, 16, anchor, bold=True, halo=True)

"""Charts of lines: a quantity over another with the present point, and the hours of a night against a crop's limit.

Lines are named at their end, and differ by dash as well as by colour.
"""

from heatlib.classroom import svg as s
from heatlib.classroom.axes import HEIGHT, STYLES, WIDTH, Plot, amount_words, wrap
from heatlib.classroom.palette import ink
from heatlib.classroom.placing import Room

__all__ = ["course", "dot", "lines", "mark_words", "room_of", "shortfall_words"]


def lines(rows, across, up, *, point=None, limit=None, notes=()):
    """Draw lines over a fixed field, named at their end; ``point`` marks where the reader stands now.

    Parameters
    ----------
    rows : iterable of Line
        The lines [display units].
    across, up : Axis
        The axes [display units].
    point : (float, float, str), optional
        Present point with its words [display units].
    limit : (float, str), optional
        A level to stay above or below, with its words [display unit].
    notes : iterable of (float, float, str)
        Further points with words [display units].

    Returns
    -------
    str
        The drawing [SVG].
    """
    rows = tuple(rows)
    up = up.holding([y for row in rows for y in row.ys] + ([point[1]] if point else []))
    across = across.holding([x for row in rows for x in row.xs] + ([point[0]] if point else []))
    named = max([s.text_width(word, bold=True) for row in rows for word in wrap(row.name, 120)], default=0)
    plot = Plot(across, up, right=20 + (named if len(rows) > 1 or rows[0].name else 0))
    pieces = plot.frame()
    room = room_of(plot, rows)
    if limit:
        room.take_line([(plot.x0, plot.y(limit[0])), (plot.x1, plot.y(limit[0]))])
    notes, points = list(notes), [point] if point else []
    dots = [dot(plot, room, x, y, "paper") for x, y, _ in notes] + [dot(plot, room, *one[:2], "heat") for one in points]
    marks = [mark_words(plot, room, *one) for one in points + notes]
    edge, words_on_top = _limit(plot, room, *limit) if limit else ([], [])
    pieces += [*edge, *_curves(plot, rows), *words_on_top]
    for x, y, _ in points:
        pieces += [s.line(plot.x(x), plot.y0, plot.x(x), plot.y(y), "muted", 1, "3 3"),
                   s.line(plot.x0, plot.y(y), plot.x(x), plot.y(y), "muted", 1, "3 3")]  # fmt: skip
    return s.document(WIDTH, HEIGHT, *pieces, *dots, *marks)


def room_of(plot, rows=()):
    """Return the room for words on a plot in which lines are drawn."""
    room = Room(plot.x0 + 2, plot.y1 - 14, plot.x1 - 2, plot.y0 - 2)
    for row in rows:
        room.take_line([(plot.x(x), plot.y(y)) for x, y in zip(row.xs, row.ys)])
    return room


def _limit(plot, room, level, words):
    """Return the line of a limit, and its words to be written after the curves where these leave room."""
    y = plot.y(level)
    ends = ((plot.x0 + 6, "start"), (plot.x1 - 6, "end"), ((plot.x0 + plot.x1) / 2, "middle"))
    places = [(x, y + off, anchor) for off in (-6, 17, -24, 35, -42, 53, -60) for x, anchor in ends]
    x, at, anchor = room.place(places, [words], bold=False)
    edge = s.line(plot.x0, y, plot.x1, y, "alarm", 1.6, "9 4")
    return [edge], [s.text(x, at, words, anchor=anchor, colour="alarm", halo=True)]


def _curves(plot, rows):
    pieces, ends = [], []
    for row in rows:
        colour, words, dash = STYLES[row.style % len(STYLES)]
        pieces.append(s.polyline([plot.x(x) for x in row.xs], [plot.y(y) for y in row.ys], colour, 2.6, dash))
        if row.name:
            ends.append([plot.y(row.ys[-1]), row.name, words])
    ends.sort(key=lambda one: one[0])
    low = plot.y1 + 8
    for one in ends:
        block = wrap(one[1], 120)
        one[0] = max(one[0] - 7.5 * (len(block) - 1), low)
        low = one[0] + 15 * len(block) + 3
    over = max(0.0, low - 18 - (plot.y0 + 4))
    for at, name, words in ends:
        for n, line in enumerate(wrap(name, 120)):
            pieces.append(s.text(plot.x1 + 8, at - over + 5 + 15 * n, line, colour=words, bold=True))
    return pieces


def dot(plot, room, x, y, fill):
    """Mark a point of a plot."""
    px, py = plot.x(x), plot.y(y)
    room.take(px - 7, py - 7, px + 7, py + 7, 2.0)
    return s.tag("circle", cx=px, cy=py, r=6, style=f"fill:{ink(fill)};stroke:{ink('ink')};stroke-width:2")


def mark_words(plot, room, x, y, words):
    """Write the words of a marked point beside it, where there is room."""
    px, py = plot.x(x), plot.y(y)
    near = [(x, py + off, anchor) for x, anchor in ((px + 10, "start"), (px - 10, "end")) for off in (-12, 24, 5)]
    far = [(x, py + off, anchor) for off in (-30, 42) for x, anchor in ((px + 10, "start"), (px - 10, "end"))]
    places = [*near, (px, py - 14, "middle"), (px, py + 26, "middle"), *far]
    x, at, anchor = room.place(places, [words])
    return s.text(x, at, words, anchor=anchor, bold=True, halo=True)


def course(rows, across, up, *, crop_limit=None, watched=0, heater=None):
    """Draw the hours of a night or day: temperatures, the crop's limit, and the hours below it shaded.

    Parameters
    ----------
    rows : iterable of Line
        Temperatures over the hours: air first, then water, bed, outside [display units].
    across, up : Axis
        Hours and temperature [h, display unit].
    crop_limit : (float, str), optional
        The crop's limit with its words [display unit].
    watched : int
        Which line must stay above the limit [–].
    heater : (sequence, sequence), optional
        Hours and share of its power at which a heater runs, drawn as a band at the foot [h, 0–1].

    Returns
    -------
    str
        The drawing [SVG].
    """
    rows = tuple(rows)
    up = up.holding([y for row in rows for y in row.ys])
    named = max(s.text_width(word, bold=True) for row in rows for word in wrap(row.name, 120))
    plot = Plot(across, up, right=20 + named)
    pieces = []
    if crop_limit:
        for begin, end in _below(rows[watched], crop_limit[0]):
            pieces.append(s.rect(plot.x(begin), plot.y1, plot.x(end) - plot.x(begin), plot.y0 - plot.y1, "alarm-soft"))
    pieces += plot.frame()
    if heater:
        pieces += _heater_band(plot, *heater)
    room = room_of(plot, rows)
    if heater:
        room.take_words(plot.x0 + 4, plot.y0 - 16, ["heater on"])
    edge, words_on_top = _limit(plot, room, *crop_limit) if crop_limit else ([], [])
    return s.document(WIDTH, HEIGHT, *pieces, *edge, *_curves(plot, rows), *words_on_top)


def _heater_band(plot, hours, share):
    pieces = [s.text(plot.x0 + 4, plot.y0 - 16, "heater on", colour="muted", halo=True)]
    for begin, end, part in zip(hours[:-1], hours[1:], share[:-1]):
        if part > 0:
            high = 12 * min(part, 1.0)
            pieces.append(s.rect(plot.x(begin), plot.y0 - high, plot.x(end) - plot.x(begin), high, "sun"))
    return pieces


def _below(line, level):
    """Return the stretches (begin, end) in which a line lies below a level, with the crossing between two points."""
    spans, begin = [], line.xs[0] if line.ys[0] < level else None
    for x1, y1, x2, y2 in zip(line.xs[:-1], line.ys[:-1], line.xs[1:], line.ys[1:]):
        if (y1 < level) != (y2 < level):
            crossing = x1 + (x2 - x1) * (level - y1) / (y2 - y1)
            if begin is None:
                begin = crossing
            else:
                spans.append((begin, crossing))
                begin = None
    if begin is not None:
        spans.append((begin, line.xs[-1]))
    return spans


def shortfall_words(line, level, what, unit, crop="the crop's limit"):
    """Tell in words for how many hours a line lies below a level, and its lowest point.

    Parameters
    ----------
    line : Line
        Temperatures over hours [h, display unit].
    level : float
        The limit [display unit].
    what : str
        What is watched, e.g. ``"The air"`` [text].
    unit : str
        Unit of the temperatures [text].
    crop : str
        What the limit is called [text].

    Returns
    -------
    str
        One sentence [text].

    Examples
    --------
    >>> from heatlib.classroom.axes import Line
    >>> shortfall_words(Line("air", (0, 1, 2, 3), (4, 4, 0, 0)), 2, "The air", "°C")
    "The air stays below the crop's limit of 2 °C for 1.5 hours, at its lowest 0 °C."
    """
    hours = sum(end - begin for begin, end in _below(line, level))
    lowest = amount_words(round(min(line.ys), 1))
    limit = f"{crop} of {amount_words(level)} {unit}"
    if hours == 0:
        return f"{what} never falls below {limit}: at its lowest it has {lowest} {unit}."
    return f"{what} stays below {limit} for {amount_words(round(hours, 1))} hours, at its lowest {lowest} {unit}."

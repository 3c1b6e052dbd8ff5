"""Charts that answer one question each, as plain functions from numbers to SVG.

Numbers come in display units. Axes are fixed by the caller (``top`` or ``limits``), so that a moving slider moves the
line and not the paper; where a value leaves the axis the axis grows and its ticks tell. Lines are named at their end,
and differ by dash as well as by colour.
"""

import math
from dataclasses import dataclass

from heatlib._check import choice, number
from heatlib.classroom import svg as s
from heatlib.classroom.palette import ink

__all__ = [
    "Axis",
    "Line",
    "bars",
    "comparison",
    "course",
    "grouped_bars",
    "heat_map",
    "lines",
    "shortfall_words",
]

WIDTH, HEIGHT = 640, 380
STYLES = (
    ("water", "water-text", None),
    ("heat", "heat-text", "8 4"),
    ("plant", "plant-text", "2 4"),
    ("sun", "sun-text", "10 3 2 3"),
    ("outside", "muted", "5 5"),
    ("air", "ink", "1 3"),
)
"""Colour of a line, colour of its words, and its dash, in the order in which lines take them."""
HATCHES = ("hl-plain", "hl-slant", "hl-dots", "hl-cross", "hl-flat")


@dataclass(frozen=True)
class Axis:
    """A fixed axis: what it shows with its unit, and its ends in display units."""

    label: str
    low: float
    high: float
    names: tuple[tuple[float, str], ...] = ()

    def __post_init__(self):
        number(f"low end of the axis {self.label}", self.low, "")
        number(f"high end of the axis {self.label}", self.high, "", above=self.low)

    def holding(self, values):
        """Return the axis, grown where a value lies outside."""
        low, high = min([self.low, *values]), max([self.high, *values])
        if low == self.low and high == self.high:
            return self
        step = _step(high - low)
        return Axis(self.label, math.floor(low / step) * step if low < self.low else self.low,
                    math.ceil(high / step) * step if high > self.high else self.high, self.names)  # fmt: skip

    def ticks(self):
        """Return round numbers along the axis with their words."""
        if self.names:
            return [(at, words) for at, words in self.names if self.low <= at <= self.high]
        step = _step(self.high - self.low)
        first = math.ceil(self.low / step - 1e-9)
        count = math.floor(self.high / step + 1e-9) - first + 1
        return [(index * step, tick_words(index * step, step)) for index in range(first, first + count)]


@dataclass(frozen=True)
class Line:
    """A line of a chart; ``style`` is an index of :data:`STYLES`."""

    name: str
    xs: tuple
    ys: tuple
    style: int = 0

    def __post_init__(self):
        if len(self.xs) != len(self.ys) or not len(self.xs):
            raise ValueError(f"the line {self.name!r} needs as many x as y values, and at least one")


def _step(reach, most=6):
    rough = reach / most
    power = 10.0 ** math.floor(math.log10(rough))
    return next(power * nice for nice in (1, 2, 2.5, 5, 10) if power * nice >= rough * 0.9999)


def tick_words(value, step):
    """Write the number at a tick with no more places than the step needs."""
    places = next((p for p in range(9) if abs(step * 10**p - round(step * 10**p)) < 1e-6), 9)
    text = f"{value:,.{places}f}".replace(",", "\u202f").replace("-", "−")
    return text if any(sign in "123456789" for sign in text) else text.lstrip("−")


def _patterns():
    def one(name, *shapes, size=8):
        return s.tag("pattern", *shapes, id=name, width=size, height=size, patternUnits="userSpaceOnUse")

    paper = {"colour": "paper", "width": 1.6, "opacity": 0.75}
    return (
        one("hl-slant", s.line(-2, 10, 10, -2, **paper), s.line(-2, 2, 2, -2, **paper), s.line(6, 10, 10, 6, **paper))
        + one("hl-dots", s.tag("circle", cx=4, cy=4, r=1.6, style=f"fill:{ink('paper')};opacity:0.85"))
        + one("hl-cross", s.line(0, 0, 8, 8, **paper), s.line(0, 8, 8, 0, **paper))
        + one("hl-flat", s.line(0, 4, 8, 4, **paper))
    )


def _hatched(x, y, width, height, colour, hatch):
    pieces = s.rect(x, y, width, height, colour, radius=2)
    if hatch and width > 0 and height > 0:
        pieces += s.rect(x, y, width, height, f"url(#{HATCHES[hatch]})", radius=2)
    return pieces


class _Plot:
    """The field of a chart with its two axes; draws grid, ticks and axis names."""

    def __init__(self, across, up, left=66, right=20, top=34, bottom=50, width=WIDTH, height=HEIGHT):
        self.across, self.up, self.width, self.height = across, up, width, height
        self.x0, self.x1, self.y0, self.y1 = left, width - right, height - bottom, top

    def x(self, value):
        return self.x0 + (value - self.across.low) / (self.across.high - self.across.low) * (self.x1 - self.x0)

    def y(self, value):
        return self.y0 + (value - self.up.low) / (self.up.high - self.up.low) * (self.y1 - self.y0)

    def frame(self):
        pieces = []
        for at, words in self.up.ticks():
            y = self.y(at)
            pieces.append(s.line(self.x0, y, self.x1, y, "grid", 1))
            pieces.append(s.text(self.x0 - 8, y + 5, words, anchor="end", colour="muted"))
        for at, words in self.across.ticks():
            x = self.x(at)
            pieces.append(s.line(x, self.y0, x, self.y0 + 5, "muted", 1))
            pieces.append(s.text(x, self.y0 + 20, words, anchor="middle", colour="muted"))
        pieces.append(s.line(self.x0, self.y0, self.x1, self.y0, "muted", 1.2))
        pieces.append(s.text(8, 18, self.up.label, bold=True))
        pieces.append(s.text(self.x1, self.height - 8, self.across.label, anchor="end", bold=True))
        return pieces


def _wrap(words, width, size=s.FONT_SIZE):
    """Break words into lines no wider than ``width``; the last of three lines takes what is left, cut with …."""
    found, now = [], ""
    for word in str(words).split():
        trial = f"{now} {word}".strip()
        if now and s.text_width(trial, size) > width:
            found.append(now)
            now = word
        else:
            now = trial
    found.append(now)
    if len(found) > 2:
        found = [found[0], " ".join(found[1:])]
    cut = []
    for one in found:
        while s.text_width(one, size) > width and len(one) > 2:
            one = one.rstrip("…")[:-1].rstrip() + "…"
        cut.append(one)
    return cut


def bars(rows, unit, top, *, before=None, title="", styles=None):
    """Draw sorted bars with their amount, their share, and what changed since the last look.

    Parameters
    ----------
    rows : iterable of (str, float)
        Name and amount; amounts below zero (gains) go to the left [display unit].
    unit : str
        Unit of the amounts [text].
    top : float
        Amount at the right end; grows where a bar is longer [display unit].
    before : dict of float, optional
        Amounts at the last look by name, drawn as a mark with the change written out [display unit].
    title : str
        Words above the bars [text].
    styles : dict of int, optional
        Hatch by name, where bars are of several kinds [–].

    Returns
    -------
    str
        The drawing [SVG].
    """
    rows = sorted(((name, number(name, amount, unit)) for name, amount in rows), key=lambda row: -row[1])
    before = before or {}
    least = min([0.0, *(amount for _, amount in rows), *before.values()])
    most = max([top, *(amount for _, amount in rows), *before.values()])
    total = sum(amount for _, amount in rows)
    pitch = 34 if len(rows) <= 9 else max(24.0, 320 / len(rows))
    height = 44 + pitch * len(rows) + 14
    left, right = 172, WIDTH - (190 if before else 128)
    scale = (right - left) / (most - least)
    zero = left - least * scale
    pieces = [s.text(8, 20, title or unit, bold=True),
              s.line(zero, 34, zero, height - 10, "muted", 1.2)]  # fmt: skip
    for index, (name, amount) in enumerate(rows):
        y = 40 + pitch * index
        colour = "heat" if amount >= 0 else "water"
        x, wide = zero + min(amount, 0) * scale, abs(amount) * scale
        lines = _wrap(name, left - 20)
        for n, line in enumerate(lines):
            pieces.append(s.text(left - 10, y + pitch / 2 + 1 + (n - (len(lines) - 1) / 2) * 15, line, anchor="end"))
        pieces.append(_hatched(x, y, wide, pitch - 10, colour, (styles or {}).get(name, 0)))
        end = max(zero + amount * scale, zero) + 8
        share = f" ({amount / total:.0%})" if total > 0 and least == 0 else ""
        amount_words = f"{_amount(amount)} {unit}{share}"
        if name in before:
            mark = zero + before[name] * scale
            pieces.append(s.line(mark, y - 3, mark, y + pitch - 7, "ink", 2.5))
            end = max(end, mark + 8)
        pieces.append(s.text(end, y + pitch / 2, amount_words, bold=True))
        if name in before:
            change = amount - before[name]
            colour, sign = ("plant-text", "▼") if change < 0 else ("heat-text", "▲")
            same = abs(change) < 0.005 * max(most, 1e-9)
            words = "as before" if same else f"{sign} {_amount(abs(change))}"
            pieces.append(s.text(WIDTH - 8, y + pitch / 2, words, anchor="end", colour="muted" if same else colour))
    if before:
        pieces.append(s.text(WIDTH - 8, 20, "since last look (black mark)", anchor="end", colour="muted"))
    return s.document(WIDTH, height, *pieces, definitions=_patterns())


def _amount(value):
    """Write an amount with about three figures."""
    size = abs(value)
    places = 0 if size >= 99.5 or size == 0 else min(6, max(1, 1 - math.floor(math.log10(size))))
    text = f"{value:,.{places}f}".replace(",", "\u202f").replace("-", "−")
    return text.rstrip("0").rstrip(".") if "." in text else text


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
    named = max([s.text_width(word, bold=True) for row in rows for word in _wrap(row.name, 120)], default=0)
    plot = _Plot(across, up, right=20 + (named if len(rows) > 1 or rows[0].name else 0))
    pieces = plot.frame()
    edge, words_on_top = _limit(plot, *limit) if limit else ([], [])
    pieces += [*edge, *_curves(plot, rows), *words_on_top]
    for x, y, words in notes:
        pieces += _mark(plot, x, y, words, "paper")
    if point:
        x, y, words = point
        pieces += [s.line(plot.x(x), plot.y0, plot.x(x), plot.y(y), "muted", 1, "3 3"),
                   s.line(plot.x0, plot.y(y), plot.x(x), plot.y(y), "muted", 1, "3 3")]  # fmt: skip
        pieces += _mark(plot, x, y, words, "heat")
    return s.document(WIDTH, HEIGHT, *pieces)


def _limit(plot, level, words):
    """Return the line of a limit, and its words to be written after the curves."""
    y = plot.y(level)
    return [s.line(plot.x0, y, plot.x1, y, "alarm", 1.6, "9 4")], [
        s.text(plot.x0 + 6, y - 6, words, colour="alarm", halo=True)
    ]


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
        block = _wrap(one[1], 120)
        one[0] = max(one[0] - 7.5 * (len(block) - 1), low)
        low = one[0] + 15 * len(block) + 3
    over = max(0.0, low - 18 - (plot.y0 + 4))
    for at, name, words in ends:
        for n, line in enumerate(_wrap(name, 120)):
            pieces.append(s.text(plot.x1 + 8, at - over + 5 + 15 * n, line, colour=words, bold=True))
    return pieces


def _mark(plot, x, y, words, fill):
    px, py = plot.x(x), plot.y(y)
    wide = s.text_width(words, bold=True)
    right_side = px + 12 + wide < plot.x1
    low = py - 26 > plot.y1
    style = f"fill:{ink(fill)};stroke:{ink('ink')};stroke-width:2"
    anchor, at = ("start", px + 10) if right_side else ("end", max(px - 10, plot.x0 + wide + 4))
    return [s.tag("circle", cx=px, cy=py, r=6, style=style),
            s.text(at, py - 12 if low else py + 24, words, anchor=anchor, bold=True, halo=True)]  # fmt: skip


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
    named = max(s.text_width(word, bold=True) for row in rows for word in _wrap(row.name, 120))
    plot = _Plot(across, up, right=20 + named)
    pieces = []
    if crop_limit:
        for begin, end in _below(rows[watched], crop_limit[0]):
            pieces.append(s.rect(plot.x(begin), plot.y1, plot.x(end) - plot.x(begin), plot.y0 - plot.y1, "alarm-soft"))
    pieces += plot.frame()
    if heater:
        pieces += _heater_band(plot, *heater)
    edge, words_on_top = _limit(plot, *crop_limit) if crop_limit else ([], [])
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
    >>> shortfall_words(Line("air", (0, 1, 2, 3), (4, 4, 0, 0)), 2, "The air", "°C")
    "The air stays below the crop's limit of 2 °C for 1.5 hours, at its lowest 0 °C."
    """
    hours = sum(end - begin for begin, end in _below(line, level))
    lowest = _amount(round(min(line.ys), 1))
    limit = f"{crop} of {_amount(level)} {unit}"
    if hours == 0:
        return f"{what} never falls below {limit}: at its lowest it has {lowest} {unit}."
    return f"{what} stays below {limit} for {_amount(round(hours, 1))} hours, at its lowest {lowest} {unit}."


def grouped_bars(groups, series, unit, top, *, title="", chosen=None):
    """Draw upright bars in groups, such as the sun by month and direction.

    Parameters
    ----------
    groups : iterable of str
        Names along the foot, e.g. months [text].
    series : dict of sequence
        Amounts per group by name, at most five [display unit].
    unit : str
        Unit of the amounts [text].
    top : float
        Amount at the top; grows where a bar is higher [display unit].
    title : str
        What is shown [text].
    chosen : int, optional
        Group to underlay [–].

    Returns
    -------
    str
        The drawing [SVG].
    """
    groups, count = list(groups), len(series)
    if not 1 <= count <= 5:
        raise ValueError(f"a chart of bars shows one to five kinds, but this has {count}")
    for name, amounts in series.items():
        if len(amounts) != len(groups):
            raise ValueError(f"{name} has {len(amounts)} amounts for {len(groups)} groups")
    up = Axis(f"{title}, {unit}" if title else unit, 0, top).holding([a for row in series.values() for a in row])
    plot = _Plot(Axis("", 0, len(groups), tuple((i + 0.5, g) for i, g in enumerate(groups))), up, top=58, bottom=34)
    pitch = plot.x(1) - plot.x(0)
    wide = 0.82 * pitch / count
    pieces = []
    if chosen is not None:
        pieces.append(s.rect(plot.x(chosen), plot.y1, pitch, plot.y0 - plot.y1, "panel"))
    pieces += plot.frame()
    x = plot.x0
    for index, (name, amounts) in enumerate(series.items()):
        colour = STYLES[index][0]
        for group, amount in enumerate(amounts):
            left, y = plot.x(group) + 0.09 * pitch + index * wide, plot.y(amount)
            pieces.append(_hatched(left, y, wide * 0.92, plot.y0 - y, colour, index))
        pieces += [_hatched(x, 31, 16, 14, colour, index), s.text(x + 21, 43, name)]
        x += 21 + s.text_width(name) + 18
    return s.document(WIDTH, HEIGHT, *pieces, definitions=_patterns())


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
    plot = _Plot(across, up, right=24)
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
    for good, words in ((True, yes), (False, no)):
        if len(sides[good]) >= 3:
            x = sum(p[0] for p in sides[good]) / len(sides[good])
            y = sum(p[1] for p in sides[good]) / len(sides[good])
            pieces.append(s.text(x, y, words, 16, "middle", bold=True, halo=True))
    for x, y, words in costs or ():
        pieces += _mark(plot, x, y, words, "paper")
    if point:
        pieces += _mark(plot, *point, "heat")
    return s.document(WIDTH, HEIGHT, *pieces)


def comparison(rows, unit, top, *, title, kind="bars"):
    """Draw a few things side by side, upright, each with its amount on top and its name below.

    Parameters
    ----------
    rows : iterable of (str, float)
        Name and amount, in the order to show; at most eight [display unit].
    unit : str
        Unit of the amounts [text].
    top : float
        Amount at the top; grows where one is higher [display unit].
    title : str
        What is compared [text].
    kind : str
        ``"bars"``, or ``"barrels"`` for bars drawn as drums [text].

    Returns
    -------
    str
        The drawing [SVG].
    """
    rows = [(name, number(name, amount, unit, 0)) for name, amount in rows]
    choice("kind of comparison", kind, ("bars", "barrels"))
    up = Axis(f"{title}, {unit}", 0, top).holding([amount for _, amount in rows])
    plot = _Plot(Axis("", 0, max(len(rows), 1), ((-1.0, ""),)), up, bottom=46)
    pitch = plot.x(1) - plot.x(0)
    wide = min(0.66 * pitch, 110)
    pieces = plot.frame()
    for index, (name, amount) in enumerate(rows):
        x, y = plot.x(index + 0.5), plot.y(amount)
        colour = STYLES[index % 5][0]
        pieces.append(_hatched(x - wide / 2, y, wide, plot.y0 - y, colour, index % 5))
        if kind == "barrels":
            pieces += [s.line(x - wide / 2, y + (plot.y0 - y) * r, x + wide / 2, y + (plot.y0 - y) * r, "ink", 1.5)
                       for r in (0.33, 0.67)]  # fmt: skip
        pieces.append(s.text(x, y - 7, _amount(amount), anchor="middle", bold=True, halo=True))
        for n, line in enumerate(_wrap(name, pitch - 4)):
            pieces.append(s.text(x, plot.y0 + 18 + 15 * n, line, anchor="middle"))
    return s.document(WIDTH, HEIGHT, *pieces, definitions=_patterns())

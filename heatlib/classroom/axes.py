"""The paper of a chart: fixed axes with round ticks, the field between them, and marks that tell areas apart.

Numbers come in display units. Axes are fixed by the caller, so that a moving slider moves the line and not the paper;
where a value leaves the axis the axis grows and its ticks tell.
"""

import math
from dataclasses import dataclass

from heatlib._check import number
from heatlib.classroom import svg as s
from heatlib.classroom.palette import ink

__all__ = [
    "HEIGHT", "STYLES", "WIDTH", "Axis", "Line", "Plot", "amount_words", "hatched", "patterns", "tick_words", "wrap",
]  # fmt: skip

WIDTH, HEIGHT = 640, 380
STYLES = (
    ("water", "water-text", None),
    ("heat", "heat-text", "8 4"),
    ("plant", "plant-text", "2 4"),
    ("sun", "sun-text", "10 3 2 3"),
    ("outside", "muted", "5 5"),
    ("ink", "ink", "1 3"),
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


def patterns():
    """Define the marks of :data:`HATCHES`, to be put into a drawing once."""

    def one(name, *shapes, size=8):
        return s.tag("pattern", *shapes, id=name, width=size, height=size, patternUnits="userSpaceOnUse")

    paper = {"colour": "paper", "width": 1.6, "opacity": 0.75}
    return (
        one("hl-slant", s.line(-2, 10, 10, -2, **paper), s.line(-2, 2, 2, -2, **paper), s.line(6, 10, 10, 6, **paper))
        + one("hl-dots", s.tag("circle", cx=4, cy=4, r=1.6, style=f"fill:{ink('paper')};opacity:0.85"))
        + one("hl-cross", s.line(0, 0, 8, 8, **paper), s.line(0, 8, 8, 0, **paper))
        + one("hl-flat", s.line(0, 4, 8, 4, **paper))
    )


def hatched(x, y, width, height, colour, hatch):
    """Draw a bar with one of :data:`HATCHES` on it, by its number."""
    pieces = s.rect(x, y, width, height, colour, radius=2)
    if hatch and width > 0 and height > 0:
        pieces += s.rect(x, y, width, height, f"url(#{HATCHES[hatch]})", radius=2)
    return pieces


class Plot:
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


def wrap(words, width, size=s.FONT_SIZE):
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


def amount_words(value):
    """Write an amount with about three figures."""
    size = abs(value)
    places = 0 if size >= 99.5 or size == 0 else min(6, max(1, 1 - math.floor(math.log10(size))))
    text = f"{value:,.{places}f}".replace(",", "\u202f").replace("-", "−")
    return text.rstrip("0").rstrip(".") if "." in text else text

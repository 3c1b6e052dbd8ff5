"""The numbers that an exercise hands out: drawn from sensible ranges, rounded for a pocket calculator.

A number is rounded in the unit in which the reader sees it, and everything that follows is computed from the rounded
number. So a metric sheet and a US sheet of one task both carry round numbers, and each has its own right answer.
"""

import math
import string
from dataclasses import dataclass, field

from heatlib._check import choice, number
from heatlib.units import SYSTEMS, from_display, to_display, unit_of, with_label

__all__ = ["Data", "Given", "Pick", "Shown", "Step", "fill", "show", "steps_as_text"]


@dataclass(frozen=True)
class Shown:
    """A value as the reader sees it: the number in their unit, its words, and the SI value that the words stand for."""

    si: object
    number: object
    text: str

    def __format__(self, spec):
        return self.text if not spec else format(self.number, spec)


@dataclass(frozen=True)
class Given:
    """A number in a task; with ``low`` and ``high`` each printed copy gets another one.

    Parameters
    ----------
    quantity : str
        Key of :data:`heatlib.units.QUANTITIES` [text].
    value : float
        Number of the notebook, before rounding [SI, °C for a temperature].
    low, high : float, optional
        Range for the copies, both ends included [SI].
    step : float or dict
        What the shown number is a multiple of, for both unit systems or one each, e.g.
        ``{"metric": 10, "US": 5}`` [display unit].
    """

    quantity: str
    value: float
    low: float | None = None
    high: float | None = None
    step: float | dict = 1

    def __post_init__(self):
        number(f"value of a given {self.quantity}", self.value, "SI")
        if (self.low is None) != (self.high is None):
            raise ValueError(f"a given {self.quantity} needs both low and high, or neither")
        if self.low is not None and not self.low < self.high:
            raise ValueError(f"a given {self.quantity} has low {self.low:g}, which is not below high {self.high:g}")
        for system in SYSTEMS:
            number(f"step of a given {self.quantity}", self._step(system), "", above=0)
            if self.low is not None and len(self._multiples(system)) < 2:
                raise ValueError(f"a given {self.quantity} has no two multiples of its step in its range ({system})")

    def _step(self, system):
        return self.step[system] if isinstance(self.step, dict) else self.step

    def _multiples(self, system):
        step, slack = self._step(system), 1e-9
        ends = [to_display(end, self.quantity, system) / step for end in (self.low, self.high)]
        return range(math.ceil(ends[0] - slack), math.floor(ends[1] + slack) + 1)

    def shown(self, system):
        """Return the notebook's own number, rounded to the step."""
        step = self._step(system)
        return self._as_shown(round(to_display(self.value, self.quantity, system) / step), system)

    def draw(self, random, system):
        """Return another number from the range, a multiple of the step."""
        if self.low is None:
            return self.shown(system)
        return self._as_shown(random.choice(self._multiples(system)), system)

    def _as_shown(self, multiple, system):
        step = self._step(system)
        places = _places(step)
        value = round(multiple * step, places)
        return Shown(
            from_display(value, self.quantity, system), value, _with_unit(f"{value:,.{places}f}", self.quantity, system)
        )


@dataclass(frozen=True)
class Data:
    """A fixed number of the data box, with its name and its source; the same on every sheet.

    Parameters
    ----------
    quantity : str
        Key of :data:`heatlib.units.QUANTITIES` [text].
    value : float
        The number [SI].
    label : str
        What it is, in a grower's words [text].
    digits : int
        Significant digits shown and used [–].
    """

    quantity: str
    value: float
    label: str
    digits: int = 3

    def shown(self, system):
        """Return the number rounded to its digits in the reader's unit."""
        value = to_display(number(self.label, self.value, "SI"), self.quantity, system)
        text, value = _significant(value, self.digits)
        return Shown(from_display(value, self.quantity, system), value, _with_unit(text, self.quantity, system))

    def draw(self, random, system):
        """Return the same number: a property of a material is no matter of chance."""
        return self.shown(system)


@dataclass(frozen=True)
class Pick:
    """A name in a task, such as a material; each copy gets one of ``options`` (key → words).

    Parameters
    ----------
    value : str
        The notebook's own key [text].
    options : dict
        Key as the library knows it → words for the reader [text].
    """

    value: str
    options: dict = field(default_factory=dict)

    def __post_init__(self):
        choice("picked name", self.value, self.options)

    def shown(self, system):
        """Return the notebook's own name."""
        return Shown(self.value, self.value, self.options[self.value])

    def draw(self, random, system):
        """Return one of the names."""
        key = random.choice(sorted(self.options))
        return Shown(key, key, self.options[key])


@dataclass(frozen=True)
class Step:
    """One line of a working: words or a formula with ``{names}`` in it, and the value it comes to.

    Parameters
    ----------
    words : str
        What is done; ``{volume}`` is replaced by the shown number with its unit [text].
    value : float, optional
        What it comes to [SI].
    quantity : str, optional
        Its quantity [text].
    name : str, optional
        Name under which later steps of the same working can show the value [text].
    """

    words: str
    value: float | None = None
    quantity: str | None = None
    name: str | None = None

    def __post_init__(self):
        if (self.value is None) != (self.quantity is None):
            raise ValueError(f"the step {self.words!r} needs a value with its quantity, or neither")


def show(value, quantity, system, digits=3):
    """Write an SI value as an answer: three significant digits and the unit.

    Parameters
    ----------
    value : float
        The value [SI].
    quantity, system : str
        As in :func:`heatlib.units.unit_of` [text].
    digits : int
        Significant digits [–].

    Returns
    -------
    Shown
        Number in the reader's unit, words, and the unrounded SI value [display unit].

    Examples
    --------
    >>> show(15_660_000.0, "heat_in_store", "metric").text.split()
    ['15.7', 'MJ']
    """
    text, rounded = _significant(to_display(number("answer", value, "SI"), quantity, system), digits)
    return Shown(value, rounded, _with_unit(text, quantity, system))


def fill(template, shown):
    """Set shown values into a text with ``{names}``; a name that is not given is refused.

    Parameters
    ----------
    template : str
        Text such as ``"A drum holds {volume}."`` [text].
    shown : dict
        Name → :class:`Shown` or str [text].

    Returns
    -------
    str
        The text with its numbers [text].

    Raises
    ------
    ValueError
        If a name in the text is not among those given.

    Examples
    --------
    >>> fill("It holds {volume}.", {"volume": "208 L"})
    'It holds 208 L.'
    """
    names = [name for _, name, _, _ in string.Formatter().parse(template) if name is not None]
    for name in names:
        choice(f"name in the text {template!r}:", name, shown)
    return template.format(**shown)


def steps_as_text(steps, shown, system):
    """Write a working as lines ``words = value unit``; each named step can be used by those after it."""
    known, lines = dict(shown), []
    for step in steps:
        step = Step(step) if isinstance(step, str) else step
        words = fill(step.words, known)
        if step.value is not None:
            result = show(step.value, step.quantity, system)
            words = f"{words} = {result.text}"
            if step.name:
                known[step.name] = result
        lines.append(words)
    return lines


def _significant(value, digits):
    """Return the words and the number of ``value`` at that many significant digits (whole numbers stay whole)."""
    if value == 0:
        return "0", 0.0
    places = digits - 1 - math.floor(math.log10(abs(value)))
    rounded = round(value, places)
    return f"{rounded:,.{max(places, 0)}f}", rounded


def _places(step):
    """Count the decimals that a multiple of ``step`` needs."""
    return next(places for places in range(9) if abs(round(step, places) - step) < 1e-9)


def _with_unit(text, quantity, system):
    label = unit_of(quantity, system).label
    words = text.replace(",", "\u202f").replace("-", "−")
    return with_label(words, label, "\u00a0")

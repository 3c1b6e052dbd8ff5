"""The controls of a live view: a slider with its unit, a choice, a yes or no.

Values are SI inside; a control reads and writes them in the reader's unit and refuses what lies outside its range.
"""

import math
from dataclasses import dataclass

from heatlib._check import choice, number
from heatlib.units import SYSTEMS, format_quantity, from_display, to_display, unit_of, with_label

__all__ = ["Choice", "Slider", "Toggle", "stated"]


@dataclass(frozen=True)
class Slider:
    """A number to move: ``low``, ``high`` and ``value`` in SI, ``steps`` in each system's display unit."""

    name: str
    label: str
    quantity: str
    low: float
    high: float
    value: float
    steps: dict | None = None

    def __post_init__(self):
        number(f"low end of {self.label}", self.low, "SI")
        number(f"high end of {self.label}", self.high, "SI", above=self.low)
        self.check(self.value)
        for system in SYSTEMS:
            number(f"step of {self.label}", self.step(system), unit_of(self.quantity, system).label, above=0)

    def step(self, system):
        """Return the step in the display unit; without a given one, about a hundredth of the range."""
        if self.steps:
            return self.steps[choice("unit system", system, self.steps)]
        if self.quantity == "count":
            return 1
        reach = to_display(self.high, self.quantity, system) - to_display(self.low, self.quantity, system)
        power = 10 ** math.floor(math.log10(reach / 100))
        return next(power * nice for nice in (1, 2, 5, 10) if power * nice >= reach / 100 * 0.999)

    def check(self, value, system="metric"):
        """Return a value inside the range (whole for counts) or refuse it in the reader's unit."""
        unit = unit_of(self.quantity, system).label
        shown = to_display(number(self.label, value, unit), self.quantity, system)
        low, high = (to_display(end, self.quantity, system) for end in (self.low, self.high))
        slack = 1e-9 * (high - low)
        if not low - slack <= shown <= high + slack:
            text = [_plain(end, self.step(system)) for end in (low, high)]
            raise ValueError(
                f"{self.label} must be between {text[0]} and {with_label(text[1], unit)}, but it is "
                f"{with_label(_as_typed(shown), unit)}"
            )
        if self.quantity == "count":
            if value != round(value):
                raise ValueError(f"{self.label} must be a whole number, but it is {value:g}")
            return round(value)
        return min(max(float(value), self.low), self.high) if slack else float(value)

    def read(self, shown, system):
        """Take a number as the reader sees it."""
        if shown is None:
            unit = unit_of(self.quantity, system).label
            raise ValueError(f"{self.label} needs a number{f' in {unit}' if unit else ''}")
        return self.check(from_display(number(self.label, shown, ""), self.quantity, system), system)

    def say(self, value, system):
        """Write a value with its unit."""
        shown = to_display(value, self.quantity, system)
        return with_label(_plain(shown, self.step(system)), unit_of(self.quantity, system).label)

    def describe(self, value, start, system):
        """Describe the control for the page."""
        show = lambda v: float(to_display(v, self.quantity, system))  # noqa: E731
        step = self.step(system)
        return {
            "kind": "slider", "name": self.name, "label": self.label, "unit": unit_of(self.quantity, system).label,
            "min": show(self.low), "max": show(self.high), "step": step, "decimals": _decimals(step),
            "value": show(value), "start": show(start),
        }  # fmt: skip

    def ends(self):
        """Return the values a test tries."""
        return (self.check(self.low), self.check(self.high))


@dataclass(frozen=True)
class Choice:
    """One of several named options; ``labels`` gives the words the reader sees."""

    name: str
    label: str
    options: tuple
    value: str
    labels: dict | None = None

    def __post_init__(self):
        object.__setattr__(self, "options", tuple(self.options))
        self.check(self.value)

    def check(self, value, system="metric"):
        """Return a known option or refuse it."""
        return choice(self.label, value, self.options)

    read = check

    def say(self, value, system):
        """Write an option in words; a label may differ between unit systems."""
        words = (self.labels or {}).get(value, value.replace("_", " "))
        return words[system] if isinstance(words, dict) else words

    def describe(self, value, start, system):
        """Describe the control for the page."""
        options = [[option, self.say(option, system)] for option in self.options]
        return {"kind": "choice", "name": self.name, "label": self.label, "options": options,
                "value": value, "start": start}  # fmt: skip

    def ends(self):
        """Return the values a test tries."""
        return self.options


@dataclass(frozen=True)
class Toggle:
    """A yes or no."""

    name: str
    label: str
    value: bool = False

    def __post_init__(self):
        self.check(self.value)

    def check(self, value, system="metric"):
        """Return a yes or no or refuse anything else."""
        if not isinstance(value, bool):
            raise ValueError(f"{self.label} must be yes or no, but it is {value!r}")
        return value

    read = check

    def say(self, value, system):
        """Write it in words."""
        return "yes" if value else "no"

    def describe(self, value, start, system):
        """Describe the control for the page."""
        return {"kind": "toggle", "name": self.name, "label": self.label, "value": value, "start": start}

    def ends(self):
        """Return the values a test tries."""
        return (False, True)


def _decimals(step):
    return next((places for places in range(6) if abs(step * 10**places - round(step * 10**places)) < 1e-6), 6)


def _plain(shown, step):
    """Write a number with the places of its step; between two steps one figure finer than the step, and no more."""
    text = f"{shown:.{_decimals(step)}f}"
    if abs(float(text) - shown) > 1e-6 * step:
        places = 1 - math.floor(math.log10(step) + 1e-9)
        near = round(shown, places)
        text = f"{near:.{_decimals(step)}f}"
        text = text if float(text) == near else f"{near:.{max(places, 0)}f}"
    text = text if float(text) else text.lstrip("-")
    return text.replace("-", "−")


def stated(value, quantity, system):
    """Write an SI value that the reader has set, as a person would: whole if it is whole, else with three figures.

    What is reckoned keeps three figures (``7.00``). In a value that somebody chose the last zeros say nothing, and the
    fourth figure of ``1 025`` may not be rounded away.
    """
    shown, label = float(to_display(value, quantity, system)), unit_of(quantity, system).label
    if abs(shown - round(shown)) < 1e-6 * max(1.0, abs(shown)):
        return format_quantity(value, quantity, system, digits=max(1, len(str(abs(round(shown))))))
    text = format_quantity(value, quantity, system, digits=3).removesuffix(label)
    number = text.rstrip()
    return f"{number.rstrip('0').rstrip('.') if '.' in number else number}{text[len(number) :]}{label}"


def _as_typed(shown):
    """Write a number as somebody may have typed it: a long one with its zeros, not as a power of ten."""
    text = f"{shown:.0f}" if 1e6 <= abs(shown) < 1e15 else f"{shown:.6g}"
    return text.replace("-", "−")

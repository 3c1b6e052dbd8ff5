"""One entry of the own-house form: its name, how it is shown in either unit system, how what is typed is read."""

import math
import re
from collections.abc import Callable
from dataclasses import dataclass

from heatlib._check import choice, number
from heatlib.classroom.conditions import Conditions
from heatlib.house.greenhouse import Greenhouse
from heatlib.units import from_display, parse_quantity, to_display, unit_of

__all__ = ["Draft", "Entry"]

_PARSED = {
    "length": "length",
    "thickness": "length",
    "area": "area",
    "store_volume": "volume",
    "electric_power": "heat_flow",
    "temperature": "temperature",
    "r_value": "r_value",
}
"""Quantities that may be typed with a unit of their own, such as 12 ft."""
_FEET_AND_INCHES = r"(\d+) ?(?:ft|'|’) ?(\d+(?:\.\d+)?) ?(?:in|\"|”)"


@dataclass(frozen=True)
class Draft:
    """What the form edits: the house and the conditions of its plan."""

    house: Greenhouse
    conditions: Conditions


@dataclass(frozen=True)
class Entry:
    """One labelled entry of the form."""

    name: str
    label: str
    kind: str
    """``number``, ``text``, ``choice``, ``toggle`` or ``button``."""
    get: Callable
    put: Callable
    quantity: str = ""
    unit: str = ""
    """Unit for quantities that have the same in both systems, such as per hour."""
    low: float = -math.inf
    high: float = math.inf
    options: tuple = ()
    """Pairs of value and words."""
    hint: str = ""
    per: str = ""
    """Quantity that a price is for one of, such as ``area``."""
    optional: bool = False
    """Whether nothing may be entered; the value is then None."""

    def unit_in(self, system):
        """Return the unit the reader sees beside the entry."""
        if self.per:
            return f"{self.unit} per {unit_of(self.per, system).label}"
        return unit_of(self.quantity, system).label if self.quantity else self.unit

    def shown(self, draft, system):
        """Return the value as the form shows it: a text, or yes and no."""
        value = self.get(draft)
        if value is None and self.optional:
            return ""
        if self.kind != "number":
            return value
        seen = self._seen(value, system)
        exact = (f"{seen:.{digits}g}" for digits in range(1, 7))
        return _plain(next((text for text in exact if abs(float(text) - seen) < 1e-9), f"{seen:.4g}"))

    def _seen(self, value, system):
        """Turn an SI value into what the reader sees."""
        if self.per:
            return value / to_display(1.0, self.per, system)
        return to_display(value, self.quantity, system) if self.quantity else value

    def _meant(self, seen, system):
        """Turn what the reader sees into SI."""
        if self.per:
            return seen * to_display(1.0, self.per, system)
        return from_display(seen, self.quantity, system) if self.quantity else seen

    def words(self, draft, system):
        """Return the value with its unit, for reading."""
        value = self.shown(draft, system)
        if self.kind == "number" and value != "":
            return f"{value} {self.unit_in(system)}".strip().replace("-", "−")
        if self.kind == "choice":
            return dict(self.options)[value]
        return ("yes" if value else "no") if self.kind == "toggle" else value

    def read(self, typed, draft, system):
        """Return the draft with what the reader typed, or refuse it in one sentence."""
        if self.optional and not str(typed).strip():
            value = None
        elif self.kind == "number":
            value = self._number(str(typed), system)
        elif self.kind == "choice":
            value = choice(self.label, typed, [value for value, _ in self.options])
        elif self.kind in ("toggle", "button"):
            if not isinstance(typed, bool):
                raise ValueError(f"{self.label} must be yes or no, but it is {typed!r}")
            value = typed
        else:
            value = str(typed).strip()
            if not value:
                raise ValueError(f"{self.label} must be some words")
        return self.put(draft, value)

    def _number(self, typed, system):
        text = re.sub(r"[\u2009\u202f\u00a0]", "", typed.strip()).replace("−", "-")
        unit = self.unit_in(system)
        plain = re.fullmatch(r"[-+]?(\d+([.,]\d*)?|[.,]\d+)", text)
        if plain:
            value = self._meant(float(text.replace(",", ".")), system)
        elif self.quantity == "length" and (feet := re.fullmatch(_FEET_AND_INCHES, text)):
            value = parse_quantity(f"{float(feet[1]) + float(feet[2]) / 12} ft", "length", self.label)
        elif self.quantity in _PARSED and re.search(r"\d", text):
            value = parse_quantity(text, _PARSED[self.quantity], self.label)
        else:
            raise ValueError(f"{self.label} must be a number{f' in {unit}' if unit else ''}, but it is {typed!r}")
        seen = self._seen(value, system)
        low, high = (self._seen(end, system) for end in (self.low, self.high))
        slack = 1e-9 * max(1.0, abs(seen))
        try:
            number(self.label, round(seen, 9), unit, low - slack, high + slack)
        except ValueError:
            ends = [f"{_plain(f'{end:.4g}')}".replace("-", "−") for end in (low, high)]
            raise ValueError(
                f"{self.label} must be between {ends[0]} and {f'{ends[1]} {unit}'.strip()}, but it is "
                f"{_plain(f'{seen:.6g}').replace('-', '−')} {unit}".rstrip()
            ) from None
        return min(max(value, self.low), self.high)


def _plain(text):
    """Write 1.2e+03 as 1200."""
    return f"{float(text):.0f}" if "e+" in text else text

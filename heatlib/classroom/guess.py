"""A guess before the number: asked first, kept for the reader, compared when the number comes."""

import re

import ipywidgets

from heatlib._check import choice
from heatlib.classroom.markup import escape
from heatlib.classroom.words import TEXT_STYLE, LiveText, _bundle
from heatlib.units import format_quantity, from_display, to_display, unit_of

__all__ = ["Guess"]

_kept = {}
"""Guesses of this session by lesson and question, so that running the cell again does not lose one."""


class Guess(ipywidgets.VBox):
    """One question with a box for a number or a few options to choose from.

    Parameters
    ----------
    lesson : int
        Number of the lesson [–].
    question : str
        What to guess [text].
    answer : str or sequence of str
        A quantity such as ``"heat_in_store"`` for a number, or the options [text].
    system : str
        The reader's unit system [text].
    """

    def __init__(self, lesson, question, answer, system):
        self._key, self.question, self._system, self.comparison = (lesson, question), question, system, None
        self.quantity = answer if isinstance(answer, str) else None
        self.options = () if self.quantity else tuple(answer)
        self._note = ipywidgets.HTML()
        if self.quantity:
            self._box = ipywidgets.Text(
                placeholder="a number", continuous_update=False, style={"description_width": "initial"}
            )
        else:
            self._box = ipywidgets.RadioButtons(
                options=self.options, index=None, description="Your guess", layout={"width": "max-content"}
            )
        asked = ipywidgets.HTML(f'<div style="{TEXT_STYLE}"><b>{escape(question)}</b></div>')
        super().__init__([asked, self._box, self._note])
        self.turn(system)
        self._box.observe(self._on_guess, names="value")

    @property
    def value(self):
        """The guess so far: SI value or option, None while there is none."""
        return _kept.get(self._key)

    def turn(self, system):
        """Show the box in one unit system."""
        self._system = system
        if self.quantity:
            label = unit_of(self.quantity, system).label
            self._box.description = f"Your guess{f' in {label}' if label else ''}:"
            if self.value is not None:
                self._box.value = f"{to_display(self.value, self.quantity, system):.4g}"
        elif self.value in self.options:
            self._box.value = self.value

    def _on_guess(self, change):
        if self.quantity is None:
            _kept[self._key] = self._box.value
        elif self._box.value.strip():
            self._take(self._box.value)
        else:
            _kept.pop(self._key, None)
        if self.comparison is not None:
            self.comparison.again()

    def _take(self, typed):
        text = typed.strip().replace(",", ".").replace("−", "-")
        if not re.fullmatch(r"[-+]?\d{1,9}(\.\d*)?", text):
            self._note.value = "Please type a number with digits only, such as 12 or 12.5."
            return
        self._note.value = "Kept. Read on; the answer comes further down."
        shown = None if self.value is None else f"{to_display(self.value, self.quantity, self._system):.4g}"
        if shown != text:
            _kept[self._key] = from_display(float(text), self.quantity, self._system)

    def reveal(self, answer):
        """Show the answer and compare it with the guess; the line follows if the guess comes later."""
        from IPython.display import display

        if self.quantity is None:
            choice("answer", answer, self.options)

        def write(system):
            words = self._compared(answer, system)
            return f'<div style="{TEXT_STYLE}">{escape(words)}</div>', words

        self.comparison = LiveText(write, self._system)
        display(self.comparison)

    def _compared(self, answer, system):
        if self.quantity is None:
            if self.value is None:
                return f"The answer: {answer}. You have not guessed yet: choose above, and this line compares it."
            return f"The answer: {answer}. Your guess was {'right' if self.value == answer else f'“{self.value}”'}."
        right = format_quantity(answer, self.quantity, system)
        if self.value is None:
            return f"The answer: {right}. You have not guessed yet: type a number above, and this line compares it."
        guess = format_quantity(self.value, self.quantity, system)
        return f"The answer: {right}. Your guess was {guess}{self._off(answer, system)}."

    def _off(self, answer, system):
        difference = self.value - answer
        direction = "too high" if difference > 0 else "too low"
        if self.quantity == "temperature":
            near = abs(difference) < 0.5
            size = format_quantity(abs(difference), "temperature_difference", system, digits=2)
        else:
            near = abs(difference) <= 0.05 * abs(answer)
            size = (
                f"{abs(difference / answer):.0%}" if answer else format_quantity(abs(difference), self.quantity, system)
            )
            if answer and self.value / answer >= 2:
                return f": {self.value / answer:.2g} times too high"
        return ": very near" if near else f": {size} {direction}"

    def _repr_mimebundle_(self, **kwargs):
        asked = unit_of(self.quantity, self._system).label if self.quantity else ", ".join(self.options)
        hint = f"Your guess ({'in ' if self.quantity else ''}{asked})" if asked else "Your guess"
        html = f'<div style="{TEXT_STYLE}"><b>{escape(self.question)}</b><br>{escape(hint)}: …</div>'
        return _bundle(super()._repr_mimebundle_(**kwargs), html, f"{self.question}\n{hint}: …")

"""What a lesson notebook calls: one object that shows views, words and boxes, all behind one units switch."""

import sys
from importlib import import_module

import ipywidgets
from IPython.display import display

from heatlib._check import choice
from heatlib.classroom import course, words
from heatlib.classroom.guess import Guess
from heatlib.classroom.markup import escape
from heatlib.classroom.view import View, ViewSpec
from heatlib.units import SYSTEMS, format_quantity

__all__ = ["Lesson", "check_installation", "open_lesson"]

LOADS = {number: ("pvlib", "pvlib, which knows where the sun stands") for number in (7, 8, 9, 10)}
"""What a lesson needs before its first live picture, and what that is: it takes long enough for a word."""
LABELS = {"metric": "metric (°C, W, L)", "US": "US (°F, Btu/h, gal)"}


def open_lesson(number, units="metric"):
    """Open a lesson: show its units switch and return the object whose methods show everything else.

    Parameters
    ----------
    number : int
        Number of the lesson, 1 to 10 [–].
    units : str
        Unit system at the start, ``"metric"`` or ``"US"`` [text].

    Returns
    -------
    Lesson
        The open lesson [–].
    """
    lesson = Lesson(number, units)
    head = _Head(lesson.switch)
    display(head)
    if number in LOADS:
        head.load(*LOADS[number])
    return lesson


class UnitsSwitch(ipywidgets.RadioButtons):
    """The one switch of a lesson."""

    def __init__(self, title, units):
        super().__init__(
            options=[(LABELS[system], system) for system in SYSTEMS],
            value=units,
            description="Units",
            layout={"width": "max-content"},
        )
        self._text = f"{title}\nUnits: {LABELS[units]}. The switch turns them when the page runs."

    def stored(self, live):
        """Return the bundle to store: what the page shows while it runs, and words for a page without a kernel."""
        return words._bundle(live, f'<div style="{words.TEXT_STYLE}">{escape(self._text)}</div>', self._text)

    def _repr_mimebundle_(self, **kwargs):
        return self.stored(super()._repr_mimebundle_(**kwargs))


class _Head(ipywidgets.VBox):
    """The switch, and below it a word on what is being loaded; stored like the switch alone."""

    def __init__(self, switch):
        self._switch, self.word = switch, ipywidgets.HTML(layout={"display": "none"})
        super().__init__([switch, self.word])

    def load(self, module, what):
        """Load a module and say so while it takes time; nothing is said where it is there already."""
        if module in sys.modules:
            return
        told = f"Loading {what}. The first pictures come in a few seconds."
        self.word.layout.display = ""
        self.word.value = f'<div class="hl-loading" role="status" style="{words.TEXT_STYLE}">{escape(told)}</div>'
        import_module(module)
        self.word.value, self.word.layout.display = "", "none"

    def _repr_mimebundle_(self, **kwargs):
        return self._switch.stored(super()._repr_mimebundle_(**kwargs))


class StillView(View):
    """A view at one named case: picture and sentence without controls; it follows the units switch."""

    _css = View._css + "\n.hl-still .hl-buttons { display: none; }\n"

    def __init__(self, spec, units):
        super().__init__(spec, units=units)
        self.add_class("hl-still")


class StoredSentence(ipywidgets.HTML):
    """The sentence of a view for a page without a kernel, where only its picture is seen; hidden while it runs."""

    def __init__(self, shown):
        super().__init__(layout={"display": "none"})
        self._shown = shown

    def _repr_mimebundle_(self, **kwargs):
        sentence = self._shown.picture.sentence
        html = f'<div style="{words.TEXT_STYLE}"><b>{escape(sentence)}</b></div>'
        return words._bundle(super()._repr_mimebundle_(**kwargs), html, sentence)


class Lesson:
    """An open lesson.

    Parameters
    ----------
    number : int
        Number of the lesson [–].
    units : str
        Unit system at the start [text].
    """

    def __init__(self, number, units="metric"):
        self.row = course.lesson(number)
        self.number = number
        choice("unit system", units, SYSTEMS)
        self.switch = UnitsSwitch(f"Lesson {number}: {self.row.title}", units)
        self.switch.observe(self._on_switch, names="value")
        self._followers = []

    @property
    def units(self):
        """The reader's unit system, ``"metric"`` or ``"US"``; setting it turns everything shown."""
        return self.switch.value

    @units.setter
    def units(self, system):
        self.switch.value = choice("unit system", system, SYSTEMS)

    def _on_switch(self, change):
        for shown in self._followers:
            if isinstance(shown, View):
                shown.units = change["new"]
            else:
                shown.turn(change["new"])

    def _put(self, shown):
        self._followers.append(shown)
        display(shown)
        if isinstance(shown, View):
            display(StoredSentence(shown))

    def show(self, view_function, **start):
        """Show a live view, starting from its own values or from those given in SI."""
        self._put(View(view_function, units=self.units, **start))

    def pin(self, view_function, **values):
        """Show one named case of a view without its controls: the same function at fixed values in SI."""
        spec = view_function.spec
        known = {control.name: control for control in spec.controls}
        given = {name: known[choice("control", name, known)].check(value) for name, value in values.items()}
        case = spec.start() | given

        def still(units):
            return spec.draw(case, units)

        self._put(StillView(ViewSpec(spec.title, (), still), self.units))

    def picture(self, draw, title=""):
        """Show a picture without controls; ``draw(units)`` returns it."""
        self._put(StillView(ViewSpec(title, (), draw), self.units))

    def say(self, template, **values):
        """Show a sentence with ``{names}``, each a pair ``(SI value, quantity)``, in the reader's units."""

        def write(system):
            text = words.fill(template, values, system)
            return f'<div style="{words.TEXT_STYLE}">{escape(text)}</div>', text

        self._put(words.LiveText(write, self.units))

    def table(self, head, rows, caption=""):
        """Show a table; a cell is words or a pair ``(SI value, quantity)``."""
        rows = [tuple(row) for row in rows]
        for row in rows:
            if len(row) != len(head):
                raise ValueError(f"each row needs {len(head)} cells, but one has {len(row)}: {row}")

        def write(system):
            return words.table_html(head, rows, caption, system), words.table_text(head, rows, caption, system)

        self._put(words.LiveText(write, self.units))

    def answers(self, view_function):
        """Show, folded, what the tasks beside a view come to, so that nobody need wonder whether they got it right."""
        from heatlib.classroom.answers import answers_to

        found = answers_to(view_function)

        def write(system):
            return words.answers_html(found(system)), words.answers_text(found(system))

        self._put(words.LiveText(write, self.units))

    def format(self, value, quantity, digits=None):
        """Write an SI value in the units of the moment, for a picture or a plain print."""
        return format_quantity(value, quantity, self.units, digits=digits)

    def guess(self, question, answer):
        """Ask for a guess: a number of a quantity such as ``"heat_in_store"``, or one of several options.

        Returns the :class:`~heatlib.classroom.guess.Guess`, whose ``reveal`` compares it with the answer.
        """
        asked = Guess(self.number, question, answer, self.units)
        self._followers.append(asked)
        display(asked)
        return _Asked(asked, self)

    def question(self, text, options, right, reasons):
        """Ask a check-yourself question; each option unfolds to its verdict and reason, also without a kernel."""
        display(words.question_box(text, list(options), right, list(reasons)))

    def caution(self, kind):
        """Show a safety box, e.g. ``"electricity"``; the kinds stand in ``data/cautions.toml``."""
        display(words.caution_box(course.caution(kind)))

    def bill_so_far(self):
        """Show the demo house's loss bill after this lesson's measure, beside the one before it."""
        from heatlib.classroom.bill import bill_picture

        def draw(units):
            return bill_picture(self.number, units)

        self.picture(draw, "The house so far")

    def own_house(self, start=None, folder=None):
        """Show the form of the reader's own house and return it; without a saved file it holds the demo house."""
        from heatlib.classroom.own_house import OwnHouse

        own = OwnHouse(folder, start, self.units, self._put)
        self._put(own.form)
        return own

    def after_building(self, readings=None, *, folder=None, **more):
        """Set a night's readings beside what the reader's house, or the demo house, would have done.

        Parameters
        ----------
        readings : sequence of (str, float, float), str or path, optional
            Some ten readings by hand, each a time, the air inside and the air outside; or a logger's CSV; ten made-up
            ones where left out [–].
        folder : path, optional
            Where the reader's house and log are kept; the folder of the notebook where left out [–].
        **more : any
            As for :func:`heatlib.classroom.after_building.by_hand` or ``from_logger`` [as there].
        """
        from heatlib.classroom import after_building, words
        from heatlib.classroom.own_house import OwnHouse, verdict_forms

        house = after_building.made_up_house()
        if readings is None:
            print("MADE-UP READINGS of the invented house")
            rows, water = after_building.made_up_readings()
            verdict = after_building.by_hand(house, rows, water=water, date="2025-01-20", wind_speed=0.5)
            self._put(words.LiveText(lambda system: verdict_forms(verdict, system), self.units))
            return
        own = OwnHouse(folder, house, self.units, self._put)
        print("Your readings beside", "the invented house" if own.is_demo else f"the house in {own.folder_file}")
        own.after_building(readings, **more)


class _Asked:
    """What ``guess`` gives back; it shows nothing itself when it ends a cell."""

    def __init__(self, asked, lesson):
        self._asked, self._lesson = asked, lesson

    @property
    def value(self):
        """The reader's guess in SI, or the option; None while there is none."""
        return self._asked.value

    def reveal(self, answer):
        """Show the answer and compare it with the guess."""
        self._asked.reveal(answer)
        self._lesson._followers.append(self._asked.comparison)

    def _repr_mimebundle_(self, **kwargs):
        return {}

    def _ipython_display_(self):
        """Show nothing: the question stands already."""


def check_installation():
    """Print five lines: is everything there that a lesson needs, and what to do where something is missing."""
    from heatlib.classroom.installation import lines

    print("\n".join(text for _, text in lines()))

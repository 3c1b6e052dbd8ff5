"""Exercise tasks and their checks: one declaration gives the notebook's task, its check, and every printed sheet.

A solution notebook opens an :class:`Exercise`, declares each task by decorating a plain function that computes the
right answer with ``heatlib``, asks for an answer, checks it, and closes. Nothing that a sheet prints is typed twice:
:meth:`Exercise.close` draws the copies from the very same functions when the sheet printer asks for them.

A check says "not attempted yet", "right" or "not yet" with a hint; with ``HEATLIB_STRICT=1`` in the environment
anything but "right" raises :class:`NotRight`.
"""

import json
import os
import random

from heatlib._check import choice
from heatlib.classroom import course
from heatlib.classroom.givens import Data, Given, Pick, Step, fill, show
from heatlib.classroom.judging import judge
from heatlib.classroom.tasks import (
    Reading,
    Task,
    as_html,
    as_plain,
    draw_other,
    draw_task,
    printed,
    task_lines,
    working,
)
from heatlib.units import SYSTEMS, unit_of

__all__ = ["Data", "Exercise", "Given", "NotRight", "Pick", "Reading", "Step", "open_exercise"]

STRICT = "HEATLIB_STRICT"
UNITS = "HEATLIB_UNITS"
SHEETS = "HEATLIB_SHEETS"
LETTERS = "ABCDEFGH"


class NotRight(AssertionError):
    """An answer is missing or wrong while strict checking is switched on."""


def open_exercise(lesson, units=None):
    """Open the exercise of a lesson: show its units switch and return the object that holds its tasks.

    Parameters
    ----------
    lesson : int
        Number of the lesson, 1 to 10 [–].
    units : str, optional
        ``"metric"`` or ``"US"``; where left out, the environment variable ``HEATLIB_UNITS``, else metric [text].

    Returns
    -------
    Exercise
        The open exercise [–].
    """
    from IPython.display import display

    from heatlib.classroom.lesson import UnitsSwitch

    sheet = Exercise(lesson, units)
    switch = UnitsSwitch(f"Exercise {lesson}: {sheet.title}", sheet.units)
    switch.observe(lambda change: sheet.turn(change["new"]), names="value")
    display(switch)
    return sheet


class Exercise:
    """The exercise of one lesson.

    Parameters
    ----------
    lesson : int
        Number of the lesson, 1 to 10 [–].
    units : str, optional
        ``"metric"`` or ``"US"``; where left out, the environment variable ``HEATLIB_UNITS``, else metric [text].
    """

    def __init__(self, lesson, units=None):
        self.lesson, self.title = lesson, course.lesson(lesson).title
        self.units = choice("units", units or os.environ.get(UNITS) or "metric", SYSTEMS)
        self.tasks, self._data, self._cautions = {}, {}, []
        self._remember, self._drawing, self._followers = None, None, []

    def turn(self, units):
        """Show every task in the other unit system; answers have to be given anew."""
        self.units = choice("units", units, SYSTEMS)
        for task in self.tasks.values():
            task.status = "not attempted yet"
        for shown in self._followers:
            shown.turn(units)

    def _put(self, write):
        """Show the words of ``write(units)`` and keep them following the units switch."""
        from IPython.display import display

        from heatlib.classroom.words import LiveText

        shown = LiveText(lambda units: (as_html(write(units)), as_plain(write(units))), self.units)
        self._followers.append(shown)
        display(shown)

    # ---- what the whole sheet carries -------------------------------------------------------------------------

    def data(self, **entries):
        """Name the fixed numbers of the data box; every task and key can use them by name."""
        for name, entry in entries.items():
            if not isinstance(entry, Data):
                raise ValueError(f"the data box takes Data(quantity, value, label), but {name} is {entry!r}")
        self._data.update(entries)
        self._put(
            lambda units: [
                ("head", "Numbers you may need"),
                *(("item", f"{row.label}: {row.shown(units).text}") for row in entries.values()),
            ]
        )

    def cautions(self, *kinds):
        """Show the safety boxes (kinds of ``data/cautions.toml``) that belong to the tasks, and print them."""
        from IPython.display import display

        from heatlib.classroom.words import caution_box

        for kind in kinds:
            display(caution_box(course.caution(kind)))
            self._cautions.append(kind)

    def remember(self, text, **values):
        """Name the lesson's one number; each ``{name}`` in ``text`` is ``(SI value, quantity)`` or a Given."""
        self._remember = (text, values)
        self._put(lambda units: [("head", "The number to remember"), ("text", self._remember_text(units))])

    def drawing(self, draw, **values):
        """Show the sheet's picture and keep it: ``draw(units) -> Picture``, or a view at its start or at ``values``."""
        from IPython.display import display

        from heatlib.classroom.lesson import StillView
        from heatlib.classroom.view import ViewSpec

        if hasattr(draw, "spec"):
            spec = draw.spec
            case = spec.start() | {choice("control", name, spec.start()): value for name, value in values.items()}
            self.drawing(lambda units: spec.draw(case, units))
            return
        self._drawing = draw
        shown = StillView(ViewSpec("The picture of the sheet", (), draw), self.units)
        self._followers.append(_Turned(shown))
        display(shown)

    # ---- kinds of task ----------------------------------------------------------------------------------------

    def number(self, name, text, given, quantity, *, hint, **more):
        """Decorate a function of the given values that returns the right number.

        Parameters
        ----------
        name, text : str
            Name of the task; its text with ``{names}`` of givens and data [text].
        given : dict
            Name → :class:`Given` or :class:`Pick` [–].
        quantity : str
            Quantity of the answer, which is given in the reader's unit [text].
        hint : str
            What helps after a wrong answer [text].
        **more
            ``tolerance`` of the check (0.05 of the answer) or ``within``, an absolute tolerance in SI, which a
            temperature needs; ``low`` and ``high``, the range of sensible answers in SI (0 up, where left out):
            other draws are thrown away; ``sensible``, a function of the same values that is true where they make
            a sensible task; ``slips``, a function of the same values returning ``{what went wrong: wrong value}``;
            ``paper=True`` where pencil and calculator are enough; ``room``, lines to write on [SI].
        """
        return self._declare(name, "number", text, given, quantity=quantity, hint=hint, **more)

    def choose(self, name, text, given, options, quantity, *, hint, **more):
        """Decorate a function returning ``{letter: merit}``; the option with the greatest merit is the right answer.

        ``options`` holds letter → text with ``{names}``; ``quantity`` is that of the merit. With ``least=True`` the
        smallest value wins, such as a cost. A merit of ``None`` rules an option out. Draws in which the best and the
        next differ by less than ``margin`` (0.1) of the greater are thrown away: no ties. ``paper``, ``sensible`` and
        ``room`` as in :meth:`number`.
        """
        if not 2 <= len(options) <= len(LETTERS) or list(options) != list(LETTERS[: len(options)]):
            raise ValueError(f"{name}: options are lettered A, B, C …, but they are {', '.join(options)}")
        return self._declare(name, "choice", text, given, options=options, quantity=quantity, hint=hint, **more)

    def find_error(self, name, text, given, work, quantity, *, hint, paper=True, **more):
        """Decorate a function returning the right result of a working that has a mistake in it.

        ``work`` is a function of the given values returning the steps as somebody wrote them, mistake included; draws
        in which the mistake makes no difference are thrown away. The rest as in :meth:`number`.
        """
        return self._declare(
            name, "find the error", text, given, work=work, quantity=quantity, hint=hint, paper=paper, **more
        )

    def measure(self, name, text, readings, quantity, *, hint, given=None, room=4):
        """Decorate a function of the reader's own readings; the check looks whether they are believable.

        The answer is a dict with the names of ``readings`` (name → :class:`Reading`), in the reader's units.
        """
        return self._declare(
            name, "measure", text, given or {}, readings=readings, quantity=quantity, hint=hint, room=room
        )

    def open(self, name, text, given=None, room=4):
        """Declare a task without a check; its model answer is given with :meth:`key`."""
        self._declare(name, "open", text, given or {}, room=room)(lambda: None)

    def _declare(self, name, kind, text, given, **more):
        for key, entry in given.items():
            if not isinstance(entry, Given | Pick):
                raise ValueError(f"{name}: {key} must be a Given or a Pick, but it is {entry!r}")
        if more.get("quantity"):
            unit_of(more["quantity"], self.units)
        if more.get("quantity") == "temperature" and kind in ("number", "find the error") and "within" not in more:
            raise ValueError(f"{name}: a temperature has no relative tolerance; give within=")

        def keep(function):
            position = self.tasks[name].number if name in self.tasks else len(self.tasks) + 1
            task = Task(position, name, kind, text, given, function, **more)
            draw_task(task, self._data, self.units)
            self.tasks[name] = task
            self._put(lambda units: task_lines(draw_task(task, self._data, units), units))
            return function

        return keep

    # ---- in the notebook --------------------------------------------------------------------------------------

    def numbers(self, name, units=None):
        """Return the numbers of a task and of the data box by name: as the reader sees them, or with ``"SI"`` in SI."""
        choice("units of the numbers", units or self.units, (self.units, "SI"))
        drawn = draw_task(self._task(name), self._data, self.units)
        return _Numbers({key: value.si if units == "SI" else value.number for key, value in drawn.shown.items()})

    def key(self, name, text=None):
        """Keep the model solution of a task: a text, or (as decorator) a function returning its steps.

        The function takes the given values, the data and ``answer`` by name and returns a list of :class:`Step` and
        str. In a number task the last step comes to the answer by pencil and calculator; where that differs from
        what the library computes by more than half the tolerance, the exercise is refused.
        """
        task = self._task(name)
        if text is not None:
            task.key = lambda: [text]
            self._put_key(task)
            return None

        def keep(function):
            task.key = function
            self._put_key(task)
            return function

        return keep

    def _put_key(self, task):
        self._put(
            lambda units: [
                ("head", f"One way to do task {task.number}"),
                *(("item", line) for line in working(draw_task(task, self._data, units), units)),
            ]
        )

    def check(self, name, answer):
        """Say whether an answer is right; raise where strict checking is on."""
        task = self._task(name)
        drawn = draw_task(task, self._data, self.units)
        task.status, words = judge(drawn, answer, self.units)
        print(f"Task {task.number}: {words}")
        if os.environ.get(STRICT) == "1" and task.status != "right":
            raise NotRight(f"Task {task.number}, {name}: {words}")

    def close(self):
        """Say how many tasks are done; draw the printed copies where the sheet printer asks for them."""
        checked = [task for task in self.tasks.values() if task.kind != "open"]
        right = sum(task.status == "right" for task in checked)
        rest = len(self.tasks) - len(checked)
        print(f"{right} of {len(checked)} checked tasks are right. {rest} more to think about and talk over.")
        request = os.environ.get(SHEETS)
        if request:
            with open(request, encoding="utf-8") as page:
                wanted = json.load(page)
            result = self.sheets(wanted["copies"], wanted["seed"], wanted["units"])
            with open(wanted["output"], "w", encoding="utf-8") as page:
                json.dump(result, page, ensure_ascii=False)

    # ---- for the printer --------------------------------------------------------------------------------------

    def sheets(self, copies, seed, units):
        """Draw the printed copies.

        Parameters
        ----------
        copies : int
            Number of copies with their own numbers; 0 is one sheet with the notebook's numbers [–].
        seed : int
            The same seed gives the same numbers [–].
        units : str
            ``"metric"`` or ``"US"`` [text].

        Returns
        -------
        dict
            Everything that is printed, as words [display units].
        """
        own, self.units = self.units, choice("units", units, SYSTEMS)
        try:
            return self._sheets(copies, seed, units)
        finally:
            self.units = own

    def _sheets(self, copies, seed, units):
        """Draw them while the exercise itself is in that unit system: a key may read ``units`` for its words."""
        missing = [task.name for task in self.tasks.values() if task.key is None]
        if missing:
            raise ValueError(f"exercise {self.lesson} has no model solution for: {', '.join(missing)}")
        used, sheets = {}, []
        for copy in range(1, copies + 1):
            generator = random.Random(f"{seed}/{self.lesson}/{copy}/{units}")  # noqa: S311 (no secret)
            drawn = [draw_other(task, self._data, units, generator, used) for task in self.tasks.values()]
            sheets.append({"number": copy, "tasks": [printed(each, units) for each in drawn]})
        if not copies:
            drawn = [draw_task(task, self._data, units) for task in self.tasks.values()]
            sheets = [{"number": 0, "tasks": [printed(each, units) for each in drawn]}]
        return {
            "lesson": self.lesson,
            "title": self.title,
            "units": units,
            "seed": seed if copies else None,
            "data": [[entry.label, entry.shown(units).text] for entry in self._data.values()],
            "cautions": [[box.title, box.text] for box in map(course.caution, self._cautions)],
            "cautions_end": course.caution(self._cautions[0]).ends if self._cautions else "",
            "remember": self._remember_text(units),
            "picture": self._picture(units),
            "sheets": sheets,
        }

    def _remember_text(self, units):
        if self._remember is None:
            raise ValueError(f"exercise {self.lesson} names no number to remember")
        text, values = self._remember
        shown = {
            name: value.shown(units) if isinstance(value, Given) else show(*value, units)
            for name, value in values.items()
        }
        return fill(text, shown)

    def _picture(self, units):
        if self._drawing is None:
            raise ValueError(f"exercise {self.lesson} has no drawing")
        picture = self._drawing(units)
        return {"svg": picture.svg, "sentence": picture.sentence, "description": picture.description}

    def _task(self, name):
        return self.tasks[choice("task", name, self.tasks)]


class _Turned:
    """A still picture that turns with the units switch."""

    def __init__(self, shown):
        self.shown = shown

    def turn(self, units):
        self.shown.units = units


class _Numbers:
    """Numbers by name, as they stand on the sheet."""

    def __init__(self, values):
        self.__dict__.update(values)

    def __repr__(self):
        return ", ".join(f"{name} = {value}" for name, value in self.__dict__.items())

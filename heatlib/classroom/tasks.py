"""One exercise task: its numbers, its right answer, and its words on the page and on paper.

Everything here follows from the task's declaration and one set of numbers: :func:`draw_task` fixes the numbers and
computes the answer, the other functions say it in words. :mod:`heatlib.classroom.judging` judges an answer.
"""

import inspect
import math
from dataclasses import dataclass, field

from heatlib._check import choice, number
from heatlib.classroom.givens import Step, fill, show, steps_as_text
from heatlib.classroom.markup import escape
from heatlib.units import unit_of, with_label

__all__ = [
    "Drawn",
    "Reading",
    "Task",
    "allowed",
    "answer_unit",
    "as_html",
    "as_plain",
    "draw_other",
    "draw_task",
    "last_value",
    "printed",
    "task_lines",
    "working",
]

TRIES = 500
TURNS = 250
REPEATS = 40
"""Draws until a task gives up: without a sensible one, on a letter's turn, without numbers no other sheet has."""


class _Redraw(Exception):
    """These numbers make no sensible task; draw others."""


@dataclass(frozen=True)
class Reading:
    """Something to read off at home, with the range in which a reading is believable.

    Parameters
    ----------
    quantity : str
        Key of :data:`heatlib.units.QUANTITIES` [text].
    low, high : float
        Believable range [SI, °C for a temperature].
    label : str
        What to read and when, in a grower's words [text].
    """

    quantity: str
    low: float
    high: float
    label: str


@dataclass
class Task:
    """One task as declared; ``function`` computes its answer from SI values."""

    number: int
    name: str
    kind: str
    text: str
    given: dict
    function: object
    quantity: str | None = None
    tolerance: float = 0.05
    within: float | None = None
    low: float = 0.0
    high: float = math.inf
    paper: bool = False
    hint: str = ""
    options: dict = field(default_factory=dict)
    margin: float = 0.1
    least: bool = False
    slips: object = None
    work: object = None
    readings: dict = field(default_factory=dict)
    sensible: object = None
    room: int = 3
    key: object = None
    status: str = "not attempted yet"


@dataclass
class Drawn:
    """A task with one set of numbers and the answer that follows from them."""

    task: Task
    shown: dict
    answer: object
    merits: dict = field(default_factory=dict)

    def call(self, function, **more):
        return _call(function, self.shown, **more)


def _call(function, shown, **more):
    """Call with the SI values that the function names as its parameters."""
    values = {name: value.si for name, value in shown.items()} | more
    wanted = inspect.signature(function).parameters
    for name in wanted:
        choice("number wanted by a task", name, values)
    return function(**{name: values[name] for name in wanted})


def draw_task(task, data, units, generator=None):
    """Fix the numbers (the notebook's own, or drawn ones) and compute the answer."""
    entries = data | task.given
    shown = {name: entry.draw(generator, units) if generator else entry.shown(units) for name, entry in entries.items()}
    drawn = Drawn(task, shown, None)
    try:
        _solve(drawn, units)
    except _Redraw as error:
        if generator:
            raise
        raise ValueError(f"{task.name}: the notebook's own numbers make no sensible task: {error}") from None
    return drawn


def _solve(drawn, units):
    task = drawn.task
    fill(task.text, drawn.shown)
    if task.sensible and not drawn.call(task.sensible):
        raise _Redraw("the condition of the task does not hold")
    if task.kind in ("number", "find the error"):
        drawn.answer = float(number(f"answer of {task.name}", drawn.call(task.function), "SI"))
        if not (task.low <= drawn.answer <= task.high) or (drawn.answer == 0 and task.within is None):
            raise _Redraw(f"the answer {show(drawn.answer, task.quantity, units).text} is out of range")
    if task.kind == "find the error":
        if abs(last_value(drawn.call(task.work)) - drawn.answer) <= 2 * allowed(task, drawn.answer):
            raise _Redraw("the mistake makes no difference")
    if task.kind == "choice":
        _pick_winner(drawn)


def last_value(steps):
    """Return the last value of a working, or infinity where it has none."""
    values = [step.value for step in steps if isinstance(step, Step) and step.value is not None]
    return values[-1] if values else math.inf


def allowed(task, answer):
    """Return how far from the right answer still counts as right [SI]."""
    return task.tolerance * abs(answer) if task.within is None else task.within


def _pick_winner(drawn):
    task = drawn.task
    drawn.merits = drawn.call(task.function)
    if list(drawn.merits) != list(task.options):
        raise ValueError(f"{task.name}: merits are for {', '.join(drawn.merits)}, not {', '.join(task.options)}")
    ranked = sorted(
        (letter for letter in drawn.merits if drawn.merits[letter] is not None),
        key=drawn.merits.get,
        reverse=not task.least,
    )
    if not ranked or drawn.merits[ranked[0]] <= 0:
        raise _Redraw("no option is any good")
    best = [drawn.merits[letter] for letter in ranked[:2]]
    if len(best) > 1 and abs(best[0] - best[1]) < task.margin * max(best):
        raise _Redraw("two options are as good as each other")
    drawn.answer = ranked[0]


def draw_other(task, data, units, generator, used):
    """Draw numbers that no earlier copy has while there are any left; the right letters of a choice take turns.

    ``used`` remembers what went before: marks of numbers, and how often each letter was right.
    """
    spare, repeats, wanted = None, 0, _letters_wanted(task, used)
    for attempt in range(TRIES):
        try:
            drawn = draw_task(task, data, units, generator)
        except _Redraw:
            continue
        mark = (task.name, *(drawn.shown[name].text for name in task.given))
        if mark in used:
            spare, repeats = drawn, repeats + 1
            if repeats >= REPEATS or len(mark) == 1:
                break
        elif attempt < TURNS and drawn.answer not in wanted:
            spare = drawn
        else:
            return _count(drawn, mark, used)
    if spare is None:
        raise ValueError(f"{task.name}: {TRIES} draws gave no sensible numbers; widen its ranges")
    return _count(spare, None, used)


def _letters_wanted(task, used):
    """Return the letters of a choice that were right least often so far; any answer does for other tasks."""
    if task.kind != "choice":
        return _Anything()
    counts = {letter: used.get((task.name, "right", letter), 0) for letter in task.options}
    return {letter for letter in counts if counts[letter] == min(counts.values())}


class _Anything:
    def __contains__(self, item):
        return True


def _count(drawn, mark, used):
    used[mark] = True
    turn = (drawn.task.name, "right", drawn.answer)
    used[turn] = used.get(turn, 0) + 1
    return drawn


_KINDS = {
    "number": "",
    "choice": "Choose",
    "find the error": "Find the error",
    "measure": "Measure at home",
    "open": "Think and talk",
}


def _marks(task):
    words = [_KINDS[task.kind], "pencil and calculator" if task.paper else ""]
    return ", ".join(word for word in words if word).lower()


def _lines(drawn, units):
    """The lettered options, the numbered lines of a working, or the readings to take."""
    task = drawn.task
    if task.kind == "choice":
        return [[letter, fill(text, drawn.shown)] for letter, text in task.options.items()]
    if task.kind == "find the error":
        work = steps_as_text(drawn.call(task.work), drawn.shown, units)
        return [[f"line {index}", text] for index, text in enumerate(work, start=1)]
    return [[f"{reading.label} [{unit_of(reading.quantity, units).label}]", ""] for reading in task.readings.values()]


def answer_unit(task, units):
    return unit_of(task.quantity, units).label if task.kind in ("number", "find the error") else ""


def task_lines(drawn, units):
    """A task as pairs of kind of line and words."""
    task = drawn.task
    marks = f" ({_marks(task)})" if _marks(task) else ""
    unit = answer_unit(task, units)
    return [
        ("head", f"Task {task.number}. {task.name}{marks}"),
        ("text", fill(task.text, drawn.shown)),
        *(("item", f"{name}: {text}" if text else name) for name, text in _lines(drawn, units)),
        *([("text", f"Answer in {unit}.")] if unit else []),
    ]


def as_html(lines):
    """Write lines of :func:`task_lines` as HTML."""
    shapes = {"head": "<p><b>{}</b></p>", "text": "<p>{}</p>", "item": '<p style="margin:2px 0 2px 22px">{}</p>'}
    return "".join(shapes[kind].format(escape(words)) for kind, words in lines)


def as_plain(lines):
    """Write lines of :func:`task_lines` as plain text."""
    return "\n".join({"item": "  "}.get(kind, "") + words for kind, words in lines)


def working(drawn, units):
    """Write the model solution with every step; a working that misses the library's answer is refused."""
    task = drawn.task
    more = {"answer": drawn.answer} if "answer" in inspect.signature(task.key).parameters else {}
    steps = drawn.call(task.key, **more)
    if task.kind in ("number", "find the error"):
        got = last_value(steps)
        if abs(got - drawn.answer) > 0.5 * allowed(task, drawn.answer):
            words = show(got, task.quantity, units).text if math.isfinite(got) else "no value"
            raise ValueError(f"{task.name}: the working comes to {words}, the library to {_answer_text(drawn, units)}")
    return _merit_lines(drawn, units) + steps_as_text(steps, drawn.shown, units)


def _merit_lines(drawn, units):
    words = [
        f"{letter} {'is ruled out' if merit is None else show(merit, drawn.task.quantity, units).text}"
        for letter, merit in drawn.merits.items()
    ]
    return [f"The library says: {', '.join(words)}."] if words else []


def _answer_text(drawn, units):
    kind = drawn.task.kind
    if kind in ("number", "find the error"):
        return show(drawn.answer, drawn.task.quantity, units).text
    return drawn.answer if kind == "choice" else {"measure": "own readings", "open": "in words"}[kind]


def printed(drawn, units):
    """Return all words of a task that go on paper, its key among them, and its numbers in display units."""
    task = drawn.task
    return {
        "number": task.number,
        "name": task.name,
        "kind": task.kind,
        "marks": _marks(task),
        "text": fill(task.text, drawn.shown),
        "lines": _lines(drawn, units),
        "unit": answer_unit(task, units),
        "room": task.room,
        "checked": task.kind in ("number", "choice", "find the error"),
        "margin": _margin_text(task, units),
        "answer": _answer_text(drawn, units),
        "working": working(drawn, units),
        "given": {name: drawn.shown[name].number for name in (*task.given, *_constants(drawn))},
    }


def _margin_text(task, units):
    if task.kind not in ("number", "find the error"):
        return ""
    if task.within is None:
        return f"±{100 * task.tolerance:.0f}%"
    return with_label(f"±{task.within * unit_of(task.quantity, units).scale:.2g}", answer_unit(task, units), "\u00a0")


def _constants(drawn):
    return [name for name in drawn.shown if name not in drawn.task.given]

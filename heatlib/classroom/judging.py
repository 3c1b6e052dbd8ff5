"""Judge a reader's answer: not attempted, right, or not yet, with the reason where the wrong number betrays it."""

from heatlib._check import number
from heatlib.classroom.givens import show
from heatlib.classroom.tasks import allowed, answer_unit, last_value
from heatlib.units import SYSTEMS, unit_of

__all__ = ["judge"]


def judge(drawn, answer, units):
    """Return the state of the task and what to tell the reader."""
    task = drawn.task
    if task.kind == "open":
        raise ValueError(f"{task.name} is an open task: there is nothing to check, talk it over")
    if _is_missing(answer):
        return "not attempted yet", "not attempted yet"
    judge = {"choice": _judge_choice, "measure": _judge_readings}.get(task.kind, _judge_number)
    return judge(drawn, answer, units)


def _is_missing(answer):
    if isinstance(answer, dict):
        return any(_is_missing(value) for value in answer.values())
    return answer is None or answer is ... or (isinstance(answer, str) and not answer.strip(" ."))


def _judge_choice(drawn, answer, units):
    letter = str(answer).strip().upper()
    if letter not in drawn.task.options:
        return "not yet", f'not yet: write one of the letters {", ".join(drawn.task.options)} in quotes, such as "A"'
    if letter == drawn.answer:
        return "right", f"right: {letter}"
    return "not yet", f"not yet: {drawn.task.hint}"


def _judge_number(drawn, answer, units):
    task = drawn.task
    unit = answer_unit(task, units)
    try:
        value = number("the answer", answer, unit)
    except ValueError as error:
        return "not yet", f"not yet: {error}"
    if not isinstance(value, float):
        return "not yet", "not yet: one number is wanted, not a list"
    if _near(value, drawn.answer, task, units):
        return "right", f"right: {show(drawn.answer, task.quantity, units).text}"
    return "not yet", f"not yet: {_reason(drawn, value, units)}"


def _near(value, expected, task, units):
    """Whether a number in the reader's unit is the expected SI value within the tolerance."""
    unit = unit_of(task.quantity, units)
    wanted = expected * unit.scale + unit.offset
    return abs(value - wanted) <= allowed(task, expected) * unit.scale


def _reason(drawn, value, units):
    """Name the slip where the wrong number betrays it; otherwise give the hint."""
    task = drawn.task
    for reason, wrong in (drawn.call(task.slips) if task.slips else {}).items():
        if _near(value, wrong, task, units):
            return reason
    for factor, words in ((1000, "large"), (0.001, "small")):
        if _near(value / factor, drawn.answer, task, units):
            return f"that is a thousand times too {words}. The answer is wanted in {answer_unit(task, units)}"
    if _near(-value, drawn.answer, task, units):
        return "the size is right, the sign is not"
    other = next(system for system in SYSTEMS if system != units)
    if answer_unit(task, other) != answer_unit(task, units) and _near(value, drawn.answer, task, other):
        return f"that is the answer in {answer_unit(task, other)}, but {answer_unit(task, units)} is wanted"
    if task.kind == "find the error" and _near(value, last_value(drawn.call(task.work)), task, units):
        return f"that result still has the mistake in it. {_sentence(task.hint)}"
    return task.hint


def _sentence(words):
    """Begin a hint with a capital where it stands after a full stop."""
    return words[:1].upper() + words[1:]


def _judge_readings(drawn, answer, units):
    task = drawn.task
    if not isinstance(answer, dict) or set(answer) != set(task.readings):
        return "not yet", f"not yet: the readings wanted are {', '.join(task.readings)}"
    values = {}
    for name, reading in task.readings.items():
        unit = unit_of(reading.quantity, units)
        ends = [end * unit.scale + unit.offset for end in (reading.low, reading.high)]
        try:
            values[name] = (number(reading.label, answer[name], unit.label, *ends) - unit.offset) / unit.scale
        except ValueError as error:
            return "not yet", f"not yet: {error}. Read it again; look at the unit"
    try:
        result = drawn.call(task.function, **values)
    except ValueError as error:
        return "not yet", f"not yet: {error}. {_sentence(task.hint)}"
    return "right", f"right: the readings are believable. They come to {show(result, task.quantity, units).text}"

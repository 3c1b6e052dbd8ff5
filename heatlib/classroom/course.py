"""The course map: which lessons there are, what each asks, and the safety boxes; read from ``data/``."""

import tomllib
from dataclasses import dataclass
from functools import lru_cache
from importlib.resources import files
from pathlib import Path

from heatlib._check import choice

__all__ = ["Caution", "CourseLesson", "cautions", "find_root", "lesson", "lessons", "scenario"]

FOLDERS = ("lessons", "exercises", "solutions")


@dataclass(frozen=True)
class CourseLesson:
    """One row of the course map."""

    number: int
    slug: str
    title: str
    question: str
    minutes: int
    moves: str
    measure: str

    @property
    def file(self):
        """File name of the lesson, of its exercise and of its solution."""
        return f"{self.slug}.ipynb"


@dataclass(frozen=True)
class Caution:
    """One safety box: what can hurt, and what to do about it."""

    kind: str
    title: str
    text: str
    ends: str


def _toml(name):
    return tomllib.loads(files("heatlib.classroom.data").joinpath(name).read_text(encoding="utf-8"))


@lru_cache
def lessons():
    """Return all lessons in their order."""
    return tuple(CourseLesson(**row) for row in _toml("course.toml")["lesson"])


@lru_cache
def scenario():
    """Return the sentence that says that the demo house is invented."""
    return _toml("course.toml")["scenario"]["note"]


def lesson(number):
    """Return one lesson by its number; refuse a number that the course does not have."""
    known = {entry.number: entry for entry in lessons()}
    if isinstance(number, bool) or number not in known:
        raise ValueError(f"the lesson must be a whole number between 1 and {len(known)}, but it is {number!r}")
    return known[number]


@lru_cache
def cautions():
    """Return all safety boxes by kind."""
    rows = _toml("cautions.toml")
    ends = rows.pop("ends")
    return {kind: Caution(kind, row["title"], row["text"], ends) for kind, row in rows.items()}


def caution(kind):
    """Return one safety box; an unknown kind is refused with the nearest names."""
    return cautions()[choice("caution", kind, cautions())]


def find_root(start=None):
    """Return the course folder: the nearest folder upward from ``start`` that holds lessons, exercises and solutions.

    Without ``start`` the search begins where the command runs, then where the library itself lies.
    """
    starts = [Path(start)] if start is not None else [Path.cwd(), Path(__file__)]
    for place in starts:
        for folder in (place.resolve(), *place.resolve().parents):
            if all((folder / name).is_dir() for name in FOLDERS):
                return folder
    where = " or ".join(str(place) for place in starts)
    raise ValueError(f"no folder with {', '.join(FOLDERS)} was found upward from {where}")

"""The words of the course: each with the lesson where it is first needed and the name it has in the library.

``name`` is the function, parameter or table column that carries the word in ``heatlib``; a test holds the two together.
"""

import csv
from dataclasses import dataclass
from functools import lru_cache
from importlib.resources import files

from heatlib._check import choice

__all__ = ["Term", "term", "terms", "terms_of", "words_cell", "words_table"]


@dataclass(frozen=True)
class Term:
    """One word with its unit and meaning; ``name`` is empty where the library needs no name for it."""

    term: str
    name: str
    lesson: int
    unit: str
    meaning: str


@lru_cache
def terms():
    """Return all terms, in the order in which the lessons need them."""
    text = files("heatlib.classroom.data").joinpath("glossary.csv").read_text(encoding="utf-8")
    rows = [Term(**{**row, "lesson": int(row["lesson"])}) for row in csv.DictReader(text.splitlines())]
    return tuple(sorted(rows, key=lambda row: row.lesson))


def term(word):
    """Return one term; an unknown word is refused with the nearest ones."""
    known = {row.term: row for row in terms()}
    return known[choice("term", word, known)]


def terms_of(number):
    """Return the terms first needed in one lesson."""
    return tuple(row for row in terms() if row.lesson == number)


def words_cell(number):
    """Write the folded cell "words of this lesson" as Markdown."""
    items = "".join(f"<li><b>{row.term}</b>{_in_unit(row)}: {row.meaning}</li>\n" for row in terms_of(number))
    return f"<details><summary>Words of this lesson</summary>\n<ul>\n{items}</ul>\n</details>"


def words_table():
    """Write the whole glossary as a Markdown table, sorted by word."""
    head = "| word | lesson | unit | name in `heatlib` | meaning |\n|---|---|---|---|---|\n"
    rows = sorted(terms(), key=lambda row: row.term.lower())
    return head + "".join(
        f"| {row.term} | {row.lesson} | {row.unit} | {f'`{row.name}`' if row.name else '–'} | {row.meaning} |\n"
        for row in rows
    )


def _in_unit(row):
    return "" if row.unit == "–" else f" [{row.unit}]"

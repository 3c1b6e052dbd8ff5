"""The words of the course carry the names of the library, and each has its lesson."""

import importlib
import inspect
import pkgutil
import re

import pytest
from course_files import NUMBERS, notebook

import heatlib
from heatlib import tables
from heatlib.classroom.glossary import term, terms, terms_of, words_cell, words_table


def library_names():
    """Return every name a reader can meet in physics and house: functions, parameters, fields, columns."""
    found = set()
    for package in ("heatlib", "heatlib.house"):
        for info in pkgutil.iter_modules(importlib.import_module(package).__path__, package + "."):
            if info.ispkg or info.name.split(".")[-1].startswith("_"):
                continue
            module = importlib.import_module(info.name)
            for name in getattr(module, "__all__", ()):
                found.add(name)
                item = getattr(module, name)
                if inspect.isfunction(item) or hasattr(item, "__dataclass_fields__"):
                    found |= set(inspect.signature(item).parameters)
                found |= (
                    {field for field in vars(item) if not field.startswith("_")} if inspect.isclass(item) else set()
                )
                found |= set(getattr(item, "__dataclass_fields__", {}))
    for table in ("materials", "glazings"):
        found |= {column for key in tables.keys(table) for column in tables.properties(table, key)}
    return found


def test_names_are_those_of_the_library():
    names = library_names()
    assert len(names) > 100
    missing = {row.term: row.name for row in terms() if row.name and row.name not in names}
    assert not missing, missing
    assert sum(bool(row.name) for row in terms()) >= 20


def test_each_word_stands_once_and_is_said_in_a_sentence():
    words = [row.term for row in terms()]
    assert len(words) == len(set(words)) >= 35
    for row in terms():
        assert row.meaning.endswith(".") and row.unit, row
        assert row.lesson in NUMBERS


@pytest.mark.parametrize("number", NUMBERS)
def test_each_lesson_explains_its_words(number):
    assert 2 <= len(terms_of(number)) <= 9
    cells = notebook("lessons", number).cells
    assert [cell.source for cell in cells if "words" in cell.metadata.get("tags", [])] == [words_cell(number)]


@pytest.mark.parametrize("row", terms(), ids=lambda row: row.term)
def test_a_word_is_not_used_before_its_lesson(row):
    """A lesson may not lean on a word that comes later; words of everyday speech are left out."""
    everyday = {"store", "heat", "margin", "sizing", "radiation", "air gap", "lobby", "density"}
    if row.term in everyday:
        return
    longer = [other.term for other in terms() if row.term.lower() in other.term.lower() and other.term != row.term]
    pattern = re.compile(rf"(?<![\w-]){re.escape(row.term)}(?![\w-])", re.I)
    for number in range(1, row.lesson):
        text = "\n".join(
            cell.source
            for cell in notebook("lessons", number).cells
            if cell.cell_type == "markdown" and not {"words", "navigation"} & set(cell.metadata.get("tags", []))
        )
        text = "\n".join(line for line in text.splitlines() if not re.search(r"lesson \d", line, re.I))
        for other in longer:
            text = re.sub(re.escape(other), "", text, flags=re.I)
        assert not pattern.search(text), f"lesson {number} uses {row.term!r}, which lesson {row.lesson} explains"


def test_the_table_has_every_word():
    table = words_table()
    assert all(f"| {row.term} |" in table for row in terms())
    assert heatlib.__doc__


def test_an_unknown_word_is_refused():
    assert term("U-value").name == "u_value"
    with pytest.raises(ValueError, match="term 'U value' is not known"):
        term("U value")

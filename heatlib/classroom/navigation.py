"""Cells and README parts that follow from the course map: never written by hand, always by ``heatlib-course build``."""

import re

import nbformat

from heatlib.classroom import course
from heatlib.classroom.glossary import words_cell, words_table
from heatlib.classroom.pictures import readme_pictures

__all__ = ["GENERATED", "last_cell", "readme_parts", "refresh", "refresh_readme", "top_cell"]

GENERATED = ("navigation", "words")
"""Tags of cells that the build command writes anew each time."""

HOW_TO_RUN = (
    "To run this page choose **Run → Run All Cells** in the menu; then move the sliders with the mouse or, "
    "after pressing Tab, with the arrow keys."
)


def top_cell(kind, number):
    """Return the first cell of a lesson, an exercise or a solution as Markdown."""
    row = course.lesson(number)
    titles = {
        "lessons": f"# Lesson {number}. {row.title}",
        "exercises": f"# Exercise {number}. {row.title}",
        "solutions": f"# Exercise {number}, worked out. {row.title}",
    }
    return f"{titles[kind]}\n\n{_links(kind, number)}\n\n{HOW_TO_RUN}"


def last_cell(kind, number):
    """Return the last cell of a lesson, an exercise or a solution as Markdown."""
    return f"---\n\n{_links(kind, number)}"


def _links(kind, number):
    row, count = course.lesson(number), len(course.lessons())
    parts = ["[All ten lessons](../README.md#the-ten-lessons)" if count == 10 else "[All lessons](../README.md)"]
    if kind == "lessons":
        parts += _neighbours(number, count)
        parts.append(f"[exercise](../exercises/{row.file})")
    else:
        parts.append(f"[lesson {number}](../lessons/{row.file})")
    if kind == "exercises":
        parts.append(f"[worked out](../solutions/{row.file})")
    if kind == "solutions":
        parts.append(f"[exercise without answers](../exercises/{row.file})")
    return " · ".join(parts)


def _neighbours(number, count):
    parts = []
    if number > 1:
        parts.append(f"before: [{course.lesson(number - 1).title}]({course.lesson(number - 1).file})")
    if number < count:
        parts.append(f"next: [{course.lesson(number + 1).title}]({course.lesson(number + 1).file})")
    return parts


def refresh(notebook, kind, number):
    """Put the generated cells of a notebook in place, in its own order; the author's cells stay as they are."""
    own = [cell for cell in notebook.cells if "navigation" not in _tags(cell)]
    words = [cell for cell in own if "words" in _tags(cell)]
    if kind == "lessons":
        if not words:
            words = [_cell("", ["words"])]
            own.append(words[0])
        words[0].cell_type, words[0].source = "markdown", words_cell(number)
    top = _cell(top_cell(kind, number), ["navigation"], "navigation-top")
    last = _cell(last_cell(kind, number), ["navigation"], "navigation-end")
    notebook.cells = [top, *own, last]
    return notebook


def _tags(cell):
    return cell.metadata.get("tags", [])


def _cell(source, tags, name="words"):
    cell = nbformat.v4.new_markdown_cell(source, metadata={"tags": tags})
    cell["id"] = name
    return cell


def readme_parts(root):
    """Return the generated parts of the README by name; its pictures are those stored in the lessons."""
    rows = ["| lesson | question it answers | what you can move | minutes | exercise |", "|---|---|---|---|---|"]
    for row in course.lessons():
        rows.append(
            f"| [{row.number}. {row.title}](lessons/{row.file}) | {row.question} | {row.moves} | {row.minutes} "
            f"| [tasks](exercises/{row.file}), [worked out](solutions/{row.file}) |"
        )
    return {
        "pictures": readme_pictures(root),
        "lessons": "\n".join(rows),
        "cautions": _caution_list(),
        "glossary": words_table().rstrip(),
    }


def _caution_list():
    boxes = course.cautions().values()
    return "\n".join(f"- **{box.title}.** {box.text}" for box in boxes) + f"\n\n{next(iter(boxes)).ends}"


def refresh_readme(text, root):
    """Return the README with its generated parts written anew; each stands between two comment lines."""
    for name, part in readme_parts(root).items():
        pattern = re.compile(rf"(<!-- {name} begins[^\n]*-->\n).*?(<!-- {name} ends -->)", re.S)
        text, count = pattern.subn(lambda match, part=part: f"{match[1]}{part}\n{match[2]}", text)
        if count != 1:
            raise ValueError(f"README.md must hold the generated part {name!r} once, but it is there {count} times")
    return text

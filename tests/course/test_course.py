"""The thirty notebooks: count, form, links that lead somewhere, exercises as their solutions make them."""

import re

import pytest
from course_files import COUNT, KINDS, NUMBERS, ROOT, notebook, path_of

from heatlib.classroom import course, manuscript, notebooks
from heatlib.classroom.navigation import refresh_readme
from heatlib.classroom.pictures import SHOWN, wanted

BOTH = pytest.mark.parametrize("kind", KINDS)
EACH = pytest.mark.parametrize("number", NUMBERS)


@BOTH
def test_ten_of_each_and_nothing_else(kind):
    names = sorted(path.name for path in (ROOT / kind).iterdir() if not path.name.startswith("."))
    assert names == [row.file for row in course.lessons()]
    assert len(names) == COUNT


def test_the_course_map_is_whole():
    rows = course.lessons()
    assert [row.number for row in rows] == list(NUMBERS)
    for row in rows:
        assert row.slug.startswith(f"{row.number:02}-") and row.question.endswith("?")
        assert manuscript.MINUTES[0] <= row.minutes <= manuscript.MINUTES[1]
    assert "invented" in course.scenario()


@EACH
def test_lesson_keeps_the_style(number):
    book = notebook("lessons", number)
    found = manuscript.findings(book, number)
    assert not found, f"{manuscript.measure(book)}\n" + "\n".join(found)
    assert manuscript.measure(book).grade is not None, "the reading level was not measured"


@EACH
@pytest.mark.parametrize("kind", ["exercises", "solutions"])
def test_exercise_and_solution_are_stored_well(kind, number):
    book = notebook(kind, number)
    assert not manuscript.source_findings(book) + manuscript.stored_findings(book, numeric=4)


@EACH
def test_four_to_six_tasks_each_with_a_check(number):
    text = "\n".join(cell.source for cell in notebook("exercises", number).cells)
    tasks = re.findall(r"^## Task (\d+)", text, re.M)
    assert tasks == [str(n) for n in range(1, len(tasks) + 1)] and 4 <= len(tasks) <= 6
    assert text.count("sheet.check(") >= 4
    for kind in ("sheet.number(", "sheet.find_error(", "sheet.measure("):
        assert kind in text, f"a task of the kind {kind} is missing"
    assert text.count("paper=True") + text.count("sheet.find_error(") >= 2, "two tasks can be done on paper"


@EACH
def test_an_exercise_carries_no_answer(number):
    book = notebook("exercises", number)
    assert not [cell for cell in book.cells if "solution" in cell.metadata.get("tags", [])]
    text = "\n".join(cell.source for cell in book.cells)
    assert "solution begins" not in text and ".key(" not in text
    said = "\n".join(out.get("text", "") for cell in book.cells for out in cell.get("outputs", []))
    assert said.count("not attempted yet") >= 4 and ": right" not in said


@EACH
@BOTH
def test_sources_are_as_the_build_makes_them(kind, number):
    made = notebooks.static(ROOT, kind, number)
    stored = notebook(kind, number)

    def sources(book):
        return [(cell["id"], cell.cell_type, cell.source, dict(cell.metadata)) for cell in book.cells]

    assert sources(stored) == sources(made), "run heatlib-course build"


def test_readme_and_its_pictures_are_as_the_build_makes_them():
    text = (ROOT / "README.md").read_text(encoding="utf-8")
    assert refresh_readme(text, ROOT) == text, "run heatlib-course build"
    pictures = wanted(ROOT)
    assert len(pictures) == len(SHOWN) == 2
    for path, (png, words) in pictures.items():
        assert (ROOT / path).read_bytes() == png and len(png) < 200_000
        assert re.search(r"\d", words), "the picture's words carry no number"
        assert path.as_posix() in text


@EACH
@BOTH
def test_links_lead_somewhere(kind, number):
    folder = path_of(kind, number).parent
    text = "\n".join(cell.source for cell in notebook(kind, number).cells if cell.cell_type == "markdown")
    links = re.findall(r"\]\(([^)\s]+)\)", text)
    assert len(links) >= 2
    for link in links:
        if link.startswith("http"):
            continue
        target, _, mark = link.partition("#")
        path = (folder / target) if target else path_of(kind, number)
        assert path.resolve().is_file(), f"{link} leads nowhere"
        if mark and path.suffix == ".md":
            heads = re.findall(r"^#+ (.+)$", path.read_text(encoding="utf-8"), re.M)
            assert mark in {re.sub(r"[^\w -]", "", head).strip().lower().replace(" ", "-") for head in heads}, link


@EACH
def test_navigation_reaches_the_neighbours(number):
    top, last = notebook("lessons", number).cells[0].source, notebook("lessons", number).cells[-1].source
    for other in (number - 1, number + 1):
        if other in NUMBERS:
            assert course.lesson(other).file in top and course.lesson(other).file in last
    assert f"../exercises/{course.lesson(number).file}" in top
    assert "Run All Cells" in top


@EACH
def test_a_lesson_names_its_sources(number):
    text = "\n".join(cell.source for cell in notebook("lessons", number).cells if cell.cell_type == "markdown")
    sources = text.split("## Sources")[1]
    assert re.search(r"(18|19|20)\d\d", sources), "a source has a year"


CAUTIONS = {
    1: {"weight", "electricity"}, 2: {"glass", "paint"}, 3: {"carbon-monoxide"}, 4: {"carbon-monoxide"}, 6: {"trench"},
    7: {"snow", "heat-illness"}, 8: {"weight"}, 9: {"trench", "mould", "electricity"}, 10: {"electricity"},
}  # fmt: skip
"""Where a thing of the lesson can hurt; lesson 3 closes the house tighter, so what burns in it matters."""


@pytest.mark.parametrize("number", CAUTIONS)
def test_cautions_stand_where_it_can_hurt(number):
    code = "\n".join(cell.source for cell in notebook("lessons", number).cells if cell.cell_type == "code")
    assert CAUTIONS[number] <= set(re.findall(r'lesson\.caution\("([\w-]+)"\)', code))


def test_every_caution_is_shown_somewhere():
    code = "\n".join(cell.source for n in NUMBERS for cell in notebook("lessons", n).cells if cell.cell_type == "code")
    missing = set(course.cautions()) - set(re.findall(r'lesson\.caution\("([\w-]+)"\)', code))
    assert not missing


def test_the_demo_house_is_called_invented_where_it_comes_first():
    assert "invented" in "\n".join(cell.source for cell in notebook("lessons", 1).cells)

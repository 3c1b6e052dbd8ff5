"""The build command: what it keeps, what it strips, that it gives the same bytes twice, and what it refuses."""

import nbformat
import pytest
from course_files import DEMO, DEMO_SOLUTION, run_nbval

from heatlib.classroom import course, notebooks
from heatlib.classroom.cli import course as command
from heatlib.classroom.drafts import notebook_from_script, script_from_notebook
from heatlib.classroom.manuscript import STORED_BYTES, findings, frame, measure, prose, source_findings, stored_findings
from heatlib.classroom.navigation import GENERATED

FILE = course.lesson(1).file


@pytest.fixture(scope="module")
def built(tmp_path_factory):
    """Build a small course of one lesson once; the tests of this file read it and copy what they change."""
    root = tmp_path_factory.mktemp("course")
    for kind in course.FOLDERS:
        (root / kind).mkdir()
    notebooks.write(notebooks.clean(notebook_from_script(DEMO)), root / "lessons" / FILE)
    notebooks.write(notebooks.clean(notebook_from_script(DEMO_SOLUTION)), root / "solutions" / FILE)
    said = []
    notebooks.build(root, [1], report=said.append)
    assert [line.split(": ")[1] for line in said] == ["written"] * 3
    return root


def test_a_second_build_gives_the_same_bytes(built):
    before = {kind: (built / kind / FILE).read_bytes() for kind in course.FOLDERS}
    assert notebooks.build(built, [1], report=lambda line: None) == []
    assert {kind: (built / kind / FILE).read_bytes() for kind in course.FOLDERS} == before


@pytest.mark.parametrize("name", ["my-greenhouse.toml", "my-greenhouse-2.toml", "my-greenhouse-plan.toml"])
def test_a_house_of_whoever_builds_is_refused_and_left_alone(built, name):
    """A lesson that finds it would store it as the course's own."""
    own, before = built / "lessons" / name, (built / "lessons" / FILE).read_bytes()
    own.write_text('name = "Mine"', encoding="utf-8")
    try:
        with pytest.raises(notebooks.BuildError, match=f"lessons holds {name}.*Move it out"):
            notebooks.build(built, [1], report=lambda line: None)
        assert own.read_text(encoding="utf-8") == 'name = "Mine"'
        assert (built / "lessons" / FILE).read_bytes() == before
    finally:
        own.unlink()


def test_the_stored_form_has_words_and_pictures_but_nothing_random(built):
    notebook = notebooks.read(built / "lessons" / FILE)
    assert stored_findings(notebook, numeric=5) == []
    outputs = [output for cell in notebook.cells if cell.cell_type == "code" for output in cell.outputs]
    assert sum("image/png" in output.get("data", {}) for output in outputs) == 2
    assert any("The barrel gives 13.1 MJ." in output.get("data", {}).get("text/plain", "") for output in outputs)
    text = (built / "lessons" / FILE).read_text(encoding="utf-8")
    assert "widget-view" not in text and "model_id" not in text
    assert len(text) < STORED_BYTES
    assert notebook.metadata == {
        "kernelspec": {"display_name": "Python 3 (ipykernel)", "language": "python", "name": "python3"},
        "language_info": {"name": "python"},
    }
    hidden = [cell for cell in notebook.cells if cell.metadata.get("jupyter", {}).get("source_hidden")]
    assert len(hidden) == 1 and "def barrel" in hidden[0].source


def test_nbval_passes_what_was_built(built):
    done = run_nbval(*(built / kind / FILE for kind in course.FOLDERS))
    assert done.returncode == 0 and " passed" in done.stdout, done.stdout[-3000:]


WRONG = {
    "a view's sentence": ("The barrel gives 13.1 MJ.", "The barrel gives 13.2 MJ."),
    "a pinned case": ("The barrel gives 6.29 MJ.", "The barrel gives 6.92 MJ."),
    "a sentence": ("It gives 8.40 MJ.", "It gives 8.41 MJ."),
    "the answer after a guess": ("The answer: 8.40 MJ.", "The answer: 8.60 MJ."),
}


def test_nbval_sees_each_wrong_stored_number(built, tmp_path):
    """The guard of the guards: were these numbers not compared, a lesson could show anything."""
    text = (built / "lessons" / FILE).read_text(encoding="utf-8")
    for true, false in WRONG.values():
        assert true in text
        text = text.replace(true, false)
    (tmp_path / FILE).write_text(text, encoding="utf-8")
    done = run_nbval(tmp_path / FILE)
    assert done.returncode == 1 and f"{len(WRONG)} failed" in done.stdout, done.stdout[-2000:]


def test_nbval_sees_a_wrong_printed_number(built, tmp_path):
    text = (built / "lessons" / FILE).read_text(encoding="utf-8")
    assert "in MJ: 8.4" in text
    (tmp_path / FILE).write_text(text.replace("in MJ: 8.4", "in MJ: 8.5"), encoding="utf-8")
    done = run_nbval(tmp_path / FILE)
    assert done.returncode == 1 and "1 failed" in done.stdout, done.stdout[-2000:]


def test_the_exercise_has_no_answer(built):
    text = (built / "exercises" / FILE).read_text(encoding="utf-8")
    assert "answer = None" in text
    for gone in ("answer = 4", "Two and two", "the working", "solution begins"):
        assert gone not in text
    assert notebooks.ANSWER_HERE in text
    assert "Task 1: not attempted yet" in text
    assert "Task 1: right" in (built / "solutions" / FILE).read_text(encoding="utf-8")


def test_strict_and_lenient(built):
    exercise = notebooks.read(built / "exercises" / FILE)
    notebooks.execute(exercise, built)
    with pytest.raises(notebooks.BuildError, match="Task 1 is missing or wrong"):
        notebooks.execute(exercise, built, strict=True)


def test_drift_is_seen_with_and_without_running(built, tmp_path, capsys):
    for kind in course.FOLDERS:
        (tmp_path / kind).mkdir()
        (tmp_path / kind / FILE).write_bytes((built / kind / FILE).read_bytes())
    arguments = ["--root", str(tmp_path), "build", "1", "--check", "--static"]
    assert command(arguments) == 0
    page = tmp_path / "exercises" / FILE
    page.write_text(page.read_text(encoding="utf-8").replace("answer = None", "answer = 5"), encoding="utf-8")
    assert command(arguments) == 1
    assert f"exercises/{FILE}: differs" in capsys.readouterr().out
    assert command(["--root", str(tmp_path), "build", "1"]) == 0
    assert page.read_bytes() == (built / "exercises" / FILE).read_bytes()
    lesson = tmp_path / "lessons" / FILE
    lesson.write_text(lesson.read_text(encoding="utf-8").replace("8.40 MJ", "8.50 MJ"), encoding="utf-8")
    assert command(["--root", str(tmp_path), "build", "1", "--check"]) == 1


def test_a_check_writes_nothing(built, tmp_path):
    for kind in course.FOLDERS:
        (tmp_path / kind).mkdir()
        (tmp_path / kind / FILE).write_bytes((built / kind / FILE).read_bytes().replace(b"How much", b"How  much"))
    before = {path: path.read_bytes() for path in tmp_path.rglob("*.ipynb")}
    command(["--root", str(tmp_path), "build", "1", "--check", "--static"])
    assert {path: path.read_bytes() for path in tmp_path.rglob("*") if path.is_file()} == before


def test_a_script_and_its_notebook_say_the_same(built):
    notebook = notebooks.read(built / "lessons" / FILE)
    again = notebook_from_script(script_from_notebook(notebook, generated=GENERATED))
    own = [cell for cell in notebook.cells if not set(cell.metadata.get("tags", [])) & set(GENERATED)]
    assert [(c.cell_type, c.source) for c in again.cells] == [(c.cell_type, c.source) for c in own]
    assert [c["id"] for c in again.cells] == [c["id"] for c in own]


def test_text_between_quotation_marks_and_tags():
    script = '# %% [markdown] tags=["words"]\n"""\n# Head\n\n- one\n"""\n# %% tags=["hide"]\nx = 1\n'
    first, second = notebook_from_script(script).cells
    assert (first.source, first.metadata.tags) == ("# Head\n\n- one", ["words"])
    assert (second.source, second.metadata.tags) == ("x = 1", ["hide"])


def test_equal_cells_get_different_ids():
    cells = notebook_from_script("# %%\nx = 1\n# %%\nx = 1\n# %%\nx = 1\n").cells
    assert len({cell["id"] for cell in cells}) == 3


@pytest.mark.parametrize(
    ("script", "words"),
    [
        ("x = 1\n", "line 1 stands before the first cell head"),
        ("# %% [text]\nx\n", "line 1 looks like the head of a cell"),
        ('# %% tags=["hide"\nx\n', "line 1 looks like the head of a cell"),
        ("# %% tags=[hide]\nx\n", "line 1: tags must be written like"),
        ("", "the script has no cell"),
    ],
)
def test_a_bad_script_is_refused(script, words):
    with pytest.raises(ValueError, match=words.replace("[", r"\[")):
        notebook_from_script(script)


@pytest.mark.parametrize(
    ("source", "words"),
    [
        ("# solution begins\nx = 1", "has no '# solution ends'"),
        ("x = 1\n# solution ends", "stands without"),
        ("# solution begins\n# solution begins\n# solution ends", "stands twice"),
    ],
)
def test_an_unclosed_answer_is_refused(source, words):
    solution = nbformat.v4.new_notebook(cells=[nbformat.v4.new_code_cell(source)])
    with pytest.raises(notebooks.BuildError, match=words):
        notebooks.exercise_from(solution)


def test_making_an_exercise_leaves_the_solution_alone():
    solution = notebook_from_script(DEMO_SOLUTION)
    before = notebooks.to_text(solution)
    notebooks.exercise_from(solution)
    assert notebooks.to_text(solution) == before


@pytest.mark.parametrize(
    ("code", "words"),
    [("1 / 0", "ZeroDivisionError"), ("import sys\nprint('careful', file=sys.stderr)", "careful")],
)
def test_a_cell_that_fails_or_warns_stops_the_build(tmp_path, code, words):
    notebook = nbformat.v4.new_notebook(cells=[nbformat.v4.new_code_cell(code)])
    with pytest.raises(notebooks.BuildError, match=words):
        notebooks.execute(notebook, tmp_path)


def test_a_file_that_is_no_notebook_is_refused(tmp_path):
    for text in ("", "{}", "no json", '{"cells": []}'):
        page = tmp_path / "page.ipynb"
        page.write_text(text, encoding="utf-8")
        with pytest.raises(notebooks.BuildError, match=r"page\.ipynb can't be read as a notebook"):
            notebooks.read(page)
    with pytest.raises(notebooks.BuildError, match="can't be read"):
        notebooks.read(tmp_path / "missing.ipynb")


def test_the_command_says_what_is_wrong(tmp_path, capsys):
    assert command(["--root", str(tmp_path), "build", "11"]) == 2
    assert "the lesson must be a whole number between 1 and 10, but it is 11" in capsys.readouterr().err
    assert command(["--root", str(tmp_path), "build", "1", "--check"]) == 1
    assert "is not there" in capsys.readouterr().out
    script = tmp_path / "draft.py"
    script.write_text("mine\n", encoding="utf-8")
    assert command(["--root", str(tmp_path), "new", "lesson", "2", str(script)]) == 2
    assert script.read_text(encoding="utf-8") == "mine\n", "a file of the reader must not be overwritten"


def test_import_and_export_by_command(tmp_path):
    script, page, back = tmp_path / "draft.py", tmp_path / "page.ipynb", tmp_path / "back.py"
    script.write_text(DEMO, encoding="utf-8")
    assert command(["--root", str(tmp_path), "import", str(script), str(page)]) == 0
    assert command(["--root", str(tmp_path), "export", str(page), str(back)]) == 0
    assert notebook_from_script(back.read_text(encoding="utf-8")).cells == notebook_from_script(DEMO).cells


def test_the_frame_of_a_new_lesson_has_its_headings_in_order():
    notebook = notebook_from_script(frame("lesson", 3))
    assert not [line for line in findings(notebook, 3) if line.startswith("headings")]
    assert "open_lesson(3)" in notebooks.to_text(notebook)
    assert "open_exercise(4)" in frame("solution", 4)


@pytest.mark.parametrize(
    ("source", "words"),
    [
        ("from numpy import *", "star import"),
        ("!ls", "shell command"),
        ("%matplotlib inline", "magic"),
        ("open_page('http://example.org')", "address"),
        ("# NBVAL_CHECK_OUTPUT", "switches a test off"),
        ("html = '<style>p {}</style>'", "style"),
    ],
)
def test_what_no_notebook_may_hold_is_seen(source, words):
    notebook = nbformat.v4.new_notebook(cells=[nbformat.v4.new_code_cell(source)])
    assert any(words in line for line in source_findings(notebook))


def test_an_equation_that_would_not_show_is_seen():
    notebook = nbformat.v4.new_notebook(cells=[nbformat.v4.new_markdown_cell("$$Q = \\\\rho V$$")])
    assert any("backslash" in line for line in source_findings(notebook))
    notebook.cells[0].source = "$$Q = \\rho V$$"
    assert not source_findings(notebook)


def test_what_no_stored_notebook_may_hold_is_seen(built):
    def with_output(change):
        notebook = notebooks.read(built / "lessons" / FILE)
        cell = next(c for c in notebook.cells if c.cell_type == "code" and c.outputs)
        change(notebook, cell)
        return " ".join(stored_findings(notebook, numeric=5))

    def add(kind, value):
        return lambda notebook, cell: cell.outputs[0].data.update({kind: value})

    def error(notebook, cell):
        cell.outputs.append(nbformat.v4.new_output("error", ename="E", evalue="broken", traceback=[]))

    def stderr(notebook, cell):
        cell.outputs.append(nbformat.v4.new_output("stream", name="stderr", text="warning"))

    def count(notebook, cell):
        cell.execution_count = 77

    def state(notebook, cell):
        notebook.metadata["widgets"] = {}

    assert "widget-view" in with_output(add("application/vnd.jupyter.widget-view+json", {"model_id": "1"}))
    assert "no words" in with_output(add("text/plain", " "))
    assert "program's own" in with_output(add("text/plain", "View(children=(1,))"))
    assert "an error is stored" in with_output(error)
    assert "error stream" in with_output(stderr)
    assert "run once" in with_output(count)
    assert "widget state" in with_output(state)
    assert with_output(lambda notebook, cell: None) == ""


def test_the_course_folder_is_found_from_within_and_from_the_library(built, tmp_path, monkeypatch):
    assert course.find_root(built / "lessons") == built
    monkeypatch.chdir(built / "solutions")
    assert course.find_root() == built
    monkeypatch.chdir(tmp_path)
    assert (course.find_root() / "heatlib" / "classroom").is_dir()
    with pytest.raises(ValueError, match="no folder with lessons, exercises, solutions was found upward from"):
        course.find_root(tmp_path)


def test_an_interrupted_write_leaves_the_old_notebook(built, tmp_path, monkeypatch):
    page = tmp_path / FILE
    page.write_bytes((built / "lessons" / FILE).read_bytes())

    def full_disk(*names):
        raise OSError("no space left on device")

    monkeypatch.setattr(notebooks.os, "replace", full_disk)
    notebook = notebooks.read(page)
    notebook.cells = notebook.cells[:3]
    with pytest.raises(OSError, match="no space left"):
        notebooks.write(notebook, page)
    assert page.read_bytes() == (built / "lessons" / FILE).read_bytes()
    assert [path.name for path in tmp_path.iterdir()] == [FILE], "no half file is left behind"


def prose_notebook(*texts):
    return nbformat.v4.new_notebook(cells=[nbformat.v4.new_markdown_cell(text) for text in texts])


def test_prose_is_what_a_reader_reads():
    head, table = "## A head\n\nOne line\nthat goes on. $Q = m$ is heat.\n", "| a | b |\n\n$$x$$\n"
    text = f"{head}\n- first *item*\n  goes on\n- second\n\n{table}"
    assert prose(prose_notebook(text)) == "A head\nOne line that goes on. it is heat.\nfirst item goes on\nsecond"
    generated = prose_notebook("left out")
    generated.cells[0].metadata["tags"] = ["navigation"]
    assert prose(generated) == ""


def test_reading_level_does_not_depend_on_where_lines_are_broken():
    """Wrapped lines once counted as sentences; then every text was child's play."""
    sentence = (
        "The temperature of the ventilated greenhouse decreases considerably during an exceptionally clear night. "
    )
    long, wrapped = sentence * 8, (sentence * 8).replace(" ", "\n")
    assert measure(prose_notebook(long)).grade == measure(prose_notebook(wrapped)).grade
    assert measure(prose_notebook(long)).grade > 15
    assert any("reading grade" in line for line in findings(prose_notebook(long), 1))


def test_reading_level_against_the_published_formula():
    """Kincaid et al. 1975, from memory: 0.39 words/sentence + 11.8 syllables/word − 15.59; counted by hand: 15, 3, 17.

    Half a grade of slack: the package counts syllables by hyphenation.
    """
    grade = measure(prose_notebook("The water is so cold. The house is so warm. The barrel holds much heat.")).grade
    assert grade == pytest.approx(0.39 * 15 / 3 + 11.8 * 17 / 15 - 15.59, abs=0.55)

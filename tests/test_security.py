"""Nothing that a stranger writes is ever run: no eval, no pickle, no shell; names are text wherever they are shown."""

import ast
import csv
import io
import json
import re
import zlib
from dataclasses import replace
from pathlib import Path

import pytest

from heatlib.classroom.conditions import Conditions
from heatlib.classroom.own_entry import Draft
from heatlib.classroom.plan import make_plan
from heatlib.classroom.plan_drawing import drawing
from heatlib.classroom.plan_pages import content, night_csv, to_markdown, to_pages
from heatlib.classroom.words import table_html
from heatlib.house.demo import demo_house
from heatlib.house.housefile import house_text, parse_house

ROOT = Path(__file__).resolve().parent.parent
NEVER = {"eval", "exec", "compile", "__import__", "breakpoint"}
MODULES = {"pickle", "cPickle", "marshal", "shelve", "dill", "joblib", "pty", "telnetlib", "ftplib", "smtplib"}
CALLS = re.compile(r"^(os\.(system|popen|exec\w*|spawn\w*)|subprocess\.\w+|yaml\.(load|unsafe_load)|\w+\.read_pickle)$")


def dangers(text):
    """Return the calls and imports in a module's text that could run what a stranger wrote."""
    found = []
    for node in ast.walk(ast.parse(text)):
        names = [alias.name for alias in node.names] if isinstance(node, ast.Import) else []
        names += [node.module or ""] if isinstance(node, ast.ImportFrom) else []
        found += [name for name in names if name.split(".")[0] in MODULES]
        if isinstance(node, ast.Call):
            called = ast.unparse(node.func)
            shell = any(word.arg == "shell" and ast.unparse(word.value) != "False" for word in node.keywords)
            found += [called] if called in NEVER or CALLS.match(called) or shell else []
    return found


def test_heatlib_runs_nothing_that_it_reads():
    files = sorted((ROOT / "heatlib").rglob("*.py"))
    assert len(files) > 70
    assert {path.name: found for path in files if (found := dangers(path.read_text(encoding="utf-8")))} == {}


DANGERS = (
    "eval('1')",
    "import pickle",
    "from marshal import loads",
    "import os; os.system('x')",
    "import subprocess; subprocess.run(['x'])",
    "f(shell=True)",
    "pd.read_pickle('x')",
)


@pytest.mark.parametrize("text", DANGERS)
def test_a_danger_would_be_seen(text):
    assert dangers(text)


def test_notebooks_carry_nothing_of_the_machine_or_person_that_ran_them():
    paths = sorted(path for folder in ("lessons", "exercises", "solutions") for path in (ROOT / folder).glob("*.ipynb"))
    assert len(paths) == 30
    for path in paths:
        text = path.read_text(encoding="utf-8")
        notebook = json.loads(text)
        assert set(notebook["metadata"]) <= {"kernelspec", "language_info"}, path.name
        assert "trusted" not in json.dumps([cell["metadata"] for cell in notebook["cells"]]), path.name
        outputs = [out for cell in notebook["cells"] for out in cell.get("outputs", ())]
        kinds = {kind for out in outputs for kind in out.get("data", ())}
        assert kinds <= {"text/plain", "text/html", "image/png"}, f"{path.name}: {kinds}"
        html = " ".join("".join(out.get("data", {}).get("text/html", "")) for out in outputs)
        assert not re.search(r"<script|\bon\w+\s*=|javascript:|<iframe", html, re.I), path.name
        told = re.sub(r'"image/png": "[^"]*"', "", text)
        assert not re.search(r"/home/|/root/|/tmp/|/Users/|[A-Z]:\\\\|file://", told), path.name


NAMES = (
    "<script>alert(1)</script>",
    '"><img src=x onerror=alert(1)>',
    '#read("/etc/passwd") $x^2$ *b* _i_ @cite \\ `raw` <label>',
    "=cmd|' /C calc'!A0",
    "+1+1|`id`|",
    "@SUM(1+1)*cmd",
)


def named(name):
    """Return the demo house with a stranger's words wherever it takes words, as a house file would bring them."""
    house = demo_house(1).changed(**{"name": name, "limits.crop": name, "note": name})
    barrels = replace(house.stores[0], name=name.replace(".", " "))
    return parse_house(house_text(house.changed("stores", (barrels, *house.stores[1:]))))


@pytest.fixture(scope="module")
def plan():
    return make_plan(Draft(demo_house(1), Conditions()), is_demo=True)


@pytest.fixture(scope="module", params=NAMES)
def evil(request, plan):
    """Return a name, and a plan whose house and barrels have it; its course is that of the demo house renamed."""
    house, name = named(request.param), request.param
    old, new = "drums", house.stores[0].name

    def renamed(course):
        return replace(course, house=house, stores={new if key == old else key: v for key, v in course.stores.items()})

    made = replace(plan, draft=Draft(house, plan.conditions), is_demo=False)
    return name, replace(made, course=renamed(made.course), today=renamed(made.today))


def test_pictures_tables_and_sentences_show_a_name_as_text(evil):
    name, plan = evil
    svg, *_ = drawing(plan.draft.house, "metric")
    html = table_html([name, "b"], [(name, name)], name, "metric")
    for text in (svg, html):
        assert not re.search(r"<(script|img)\b", text)
    assert html.count("&lt;") >= name.count("<")


def test_markdown_shows_a_name_as_text(evil):
    _, plan = evil
    for line in to_markdown(content(plan, "metric")).splitlines():
        bare = re.sub(r"\\.", "", line)
        assert "<" not in bare and "`" not in bare and "$" not in bare, line
        if line.startswith("|"):
            assert bare.startswith("|") and bare.endswith("|")


def test_tables_of_the_plan_keep_their_columns(evil):
    _, plan = evil
    widths, inside = set(), False
    for line in to_markdown(content(plan, "metric")).splitlines():
        if line.startswith("|"):
            widths.add(re.sub(r"\\.", "", line).count("|"))
            inside = True
        elif inside:
            assert len(widths) == 1
            widths, inside = set(), False


def test_no_cell_of_the_csv_is_a_formula(evil):
    _, plan = evil
    rows = list(csv.reader(io.StringIO(night_csv(plan, "metric"))))
    assert len({len(row) for row in rows}) == 1 and len(rows) == 26  # noon to noon, and the header
    for row in rows:
        for cell in row:
            assert not re.match(r"[=+@\t\r]", cell) and (not cell.startswith("-") or float(cell) <= 0), cell


def test_the_printed_plan_runs_nothing(evil):
    _, plan = evil
    data = to_pages(content(plan, "metric"))
    streams = b"".join(_inflated(part) for part in re.findall(rb"stream\r?\n(.*?)endstream", data, re.S))
    for word in (b"/JavaScript", b"/Launch", b"/EmbeddedFile", b"root:"):
        assert word not in data and word not in streams


def _inflated(part):
    try:
        return zlib.decompress(part.strip(b"\r\n"))
    except zlib.error:
        return b""

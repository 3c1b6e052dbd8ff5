"""Nothing that a stranger writes is ever run: no eval, no pickle, no shell; names are text wherever they are shown."""

import ast
import csv
import io
import json
import re
import zlib
from dataclasses import fields, replace
from html import unescape
from html.parser import HTMLParser
from pathlib import Path

import mistune
import pytest

from heatlib.classroom.conditions import Conditions
from heatlib.classroom.markup import escape, escape_markdown
from heatlib.classroom.own_entry import Draft
from heatlib.classroom.own_house import OwnHouse
from heatlib.classroom.plan import make_plan
from heatlib.classroom.plan_box import PlanBox
from heatlib.classroom.plan_drawing import drawing
from heatlib.classroom.plan_pages import content, night_csv, to_markdown, to_pages
from heatlib.classroom.words import table_html
from heatlib.house.demo import demo_house
from heatlib.house.housefile import house_text, parse_house
from heatlib.house.logger import read_logger

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
    r"$\href{javascript:alert(1)}{x}$ \(y\) \[z\] $$w$$ \begin{equation}v\end{equation}",
    "from 5$ to 10$",
    "</svg><style>*{display:none}</style><a href='javascript:alert(1)'>x</a>",
    "]]><b> <!-- &lt;script&gt; {{x}} {% x %} {name} %s %(x)s {0} ${x} \u202egnp",
)


def words_of(part, name):
    """Return a part of a house with a stranger's words in each field that takes words, and how many there are."""
    changes, count = {}, 0
    for item in fields(part):
        value, kind = getattr(part, item.name), item.metadata["kind"]
        if kind == "text" and item.name != "place":  # this one names a store
            changes[item.name], count = name, count + 1
        elif kind == "part" and value is not None:
            changes[item.name], more = words_of(value, name)
            count += more
        elif kind == "parts":
            rows = [words_of(row, f"{name} {n}".replace(".", " ")) for n, row in enumerate(value)]
            changes[item.name], count = tuple(row for row, _ in rows), count + sum(more for _, more in rows)
    return replace(part, **changes), count


def named(name):
    """Return the demo house with a stranger's words wherever it takes words, as a house file would bring them."""
    house, count = words_of(demo_house(1).changed("heater", None), name)
    assert count > 12  # name, crop and note; surfaces and stores
    return parse_house(house_text(house))


@pytest.fixture(scope="module")
def plan():
    return make_plan(Draft(demo_house(1), Conditions()), is_demo=True)


@pytest.fixture(scope="module", params=NAMES)
def evil(request, plan):
    """Return a name, a plan whose house and money have it, and its words; its course is the demo house's renamed."""
    house, name = named(request.param), request.param
    new = dict(zip((store.name for store in demo_house(1).stores), (store.name for store in house.stores)))

    def renamed(course):
        stores = {new.get(key, key): values for key, values in course.stores.items()}
        return replace(course, house=house, stores=stores)

    conditions = plan.conditions.changed(currency=name, year_file=name)
    made = replace(plan, draft=Draft(house, conditions), is_demo=False)
    made = replace(made, course=renamed(made.course), today=renamed(made.today))
    return name, made, content(made, "metric")


class Page(HTMLParser):
    """What a browser would make of HTML: its elements, their attributes, and each run of text between two tags."""

    def __init__(self, html):
        super().__init__(convert_charrefs=True)
        self.tags, self.attributes, self.runs = set(), set(), [""]
        self.feed(html)
        self.close()

    def handle_starttag(self, tag, attributes):
        self.tags.add(tag)
        self.attributes |= {name for name, _ in attributes}
        self.runs.append("")

    def handle_endtag(self, tag):
        self.runs.append("")

    def handle_data(self, text):
        self.runs[-1] += text

    def handle_comment(self, text):
        self.tags.add("comment")

    @property
    def text(self):
        return "".join(self.runs)

    def harmless(self):
        """Tell whether there is no element but those of a table and no mathematics; what else is found fails."""
        assert self.tags <= set("a p div b br h1 h2 ul li em strong table caption thead tbody tr th td span".split())
        assert self.attributes <= {"style", "scope", "href"}
        for run in self.runs:  # JupyterLab's MathJax looks within one run only; tests/browser asks it
            assert not re.search(r"\$[^$]*\$|\\\(|\\\[|\\begin", run), run
        return True


def test_pictures_tables_and_sentences_show_a_name_as_text(evil):
    name, plan, _ = evil
    svg, *_ = drawing(plan.draft.house, "metric")
    assert not re.search(r"<(?!/?(?:svg|g|defs|style|title|desc|rect|line|path|polygon|polyline|circle|ellipse|text|"
                         r"tspan|pattern|clipPath|marker)\b)", svg)  # fmt: skip
    page = Page(table_html([name, "b"], [(name, name)], name, "metric"))
    assert page.harmless() and page.text.count(name) == 4
    assert Page(f"<div>{escape(name)}</div>").text == name


def test_the_page_shows_a_plan_and_a_form_as_text(evil, tmp_path):
    name, plan, words = evil
    own = OwnHouse(tmp_path, plan.draft.house)
    assert Page(own.form._html()).harmless() and name in Page(own.form._html()).text
    own.made_plan = lambda: plan
    html, text = PlanBox(own, "metric")._forms(words)
    assert Page(html).harmless() and words["title"] in text and words["title"] in Page(html).text


def test_markdown_shows_a_name_as_text(evil):
    name, _, words = evil
    text = to_markdown(words)
    for line in text.splitlines():
        bare = re.sub(r"\\.|</?span>", "", line)
        assert "<" not in bare and "`" not in bare and "$" not in bare, line
        if line.startswith("|"):
            assert bare.startswith("|") and bare.endswith("|")
    page = Page(mistune.create_markdown(escape=False, plugins=["table", "strikethrough", "math"])(text))
    assert page.harmless()
    shown = Page(mistune.create_markdown(escape=False)(f"x {escape_markdown(name)}")).text.strip()
    assert unescape(shown) == unescape(f"x {name}")


def test_tables_of_the_plan_keep_their_columns(evil):
    widths, inside = set(), False
    for line in to_markdown(evil[2]).splitlines():
        if line.startswith("|"):
            widths.add(re.sub(r"\\.", "", line).count("|"))
            inside = True
        elif inside:
            assert len(widths) == 1
            widths, inside = set(), False


def test_no_cell_of_the_csv_is_a_formula(evil):
    _, plan, _ = evil
    rows = list(csv.reader(io.StringIO(night_csv(plan, "metric"))))
    assert len({len(row) for row in rows}) == 1 and len(rows) == 26  # noon to noon, and the header
    for row in rows:
        for cell in row:
            assert not re.match(r"[=+@\t\r]", cell) and (not cell.startswith("-") or float(cell) <= 0), cell


def test_the_printed_plan_runs_nothing(evil):
    words = evil[2]
    data = to_pages(words)
    streams = b"".join(_inflated(part) for part in re.findall(rb"stream\r?\n(.*?)endstream", data, re.S))
    for word in (b"/JavaScript", b"/Launch", b"/EmbeddedFile", b"/URI", b"root:"):
        assert word not in data and word not in streams
    title = re.search(rb"<dc:title>.*?<rdf:li[^>]*>(.*?)</rdf:li>", data + streams, re.S)[1].decode()
    assert unescape(title) == words["title"]  # the very words, not what they would do


def _inflated(part):
    try:
        return zlib.decompress(part.strip(b"\r\n"))
    except zlib.error:
        return b""


@pytest.mark.parametrize("name", NAMES)
def test_a_strangers_column_is_only_a_name(name):
    quoted = name.replace('"', '""')
    lines = [f'time;"{quoted}";"other {quoted}"', *(f"2024-01-15 {h:02d}:00;{20 - h};{-h}" for h in range(12))]
    record, report = read_logger("\n".join(lines).encode(), unit="C", inside=name, outside=f"other {name}")
    assert record.column("inside").tolist() == [20.0 - h for h in range(12)]
    assert report.understood["inside"] == name
    with pytest.raises(ValueError, match="say which column is which"):
        read_logger("\n".join(lines).encode(), unit="C")

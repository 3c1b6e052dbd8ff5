"""Measure a lesson against the course's style: order, length, code, reading level, what its stored form carries."""

import re
from dataclasses import dataclass

from heatlib.classroom import course
from heatlib.classroom.glossary import terms_of
from heatlib.classroom.navigation import GENERATED
from heatlib.classroom.notebooks import STRIPPED, to_text

__all__ = ["Measure", "findings", "frame", "measure", "prose", "stored_findings"]

CELLS, WORDS, MINUTES = (30, 45), (1200, 1800), (45, 60)
CODE_LINES, CELL_LINES, IDEAS, GRADE = 75, 15, 3, 9.0
VIEWS, QUESTIONS, NUMERIC_OUTPUTS, STORED_BYTES = (2, 3), (3, 4), 8, 400_000
BEFORE = ("The question", "After this lesson you can", "The house", "Guess first")
AFTER = ("What this leaves out", "Check yourself", "Remember", "The house so far", "Exercise", "Sources")
IDEA = re.compile(r"^(First|Second|Third) idea: .+")
FORBIDDEN = {
    r"^\s*from\s+\S+\s+import\s+\*": "a star import",
    r"^\s*[!%]": "a shell command or a magic",
    r"https?://": "an address on the network",
    r"<style|<script": "style or script",
    r"NBVAL|raises-exception": "a mark that switches a test off",
}


@dataclass(frozen=True)
class Measure:
    """Size of a lesson; the grade is that of Flesch and Kincaid, None where textstat is not installed."""

    cells: int
    words: int
    code_lines: int
    longest_cell: int
    grade: float | None

    def __str__(self):
        grade = "" if self.grade is None else f", reading grade {self.grade:.1f}"
        return (
            f"{self.cells} cells, {self.words} words, {self.code_lines} lines of code, "
            f"longest cell {self.longest_cell} lines{grade}"
        )


def _tags(cell):
    return set(cell.metadata.get("tags", []))


def _lines(cell):
    return [line for line in cell.source.splitlines() if line.strip()]


def prose(notebook):
    """Return the author's prose without equations, code, tables, links' targets and markup."""
    parts = []
    for cell in notebook.cells:
        if cell.cell_type == "markdown" and not _tags(cell) & set(GENERATED):
            parts.append(_plain(cell.source))
    return "\n\n".join(part for part in parts if part)


def _plain(text):
    text = re.sub(r"```.*?```|\$\$.*?\$\$", " ", text, flags=re.S)
    text = re.sub(r"\$[^$\n]+\$", "it", text)
    text = re.sub(r"!?\[([^\]]*)\]\([^)]*\)", r"\1", text)
    text = re.sub(r"<[^>]+>", "", text)
    blocks = [""]
    for line in (line.strip() for line in text.splitlines()):
        item = re.match(r"([-+*•]|\d+[.)])\s+", line)
        if not line or line.startswith("|") or item or line.startswith("#"):
            blocks.append("")
        if not line.startswith("|"):
            blocks[-1] += " " + (line[item.end() :] if item else line)
        if line.startswith("#"):
            blocks.append("")
    plain = (" ".join(re.sub(r"[*_`#>]", "", block).split()) for block in blocks)
    return "\n".join(block for block in plain if block)


def measure(notebook):
    """Measure cells, words, lines of code and reading level."""
    code = [_lines(cell) for cell in notebook.cells if cell.cell_type == "code"]
    text = prose(notebook)
    return Measure(
        len(notebook.cells),
        len(re.findall(r"\w[\w’'.,-]*", text)),
        sum(map(len, code)),
        max(map(len, code), default=0),
        _grade(text),
    )


def _grade(text):
    try:
        import textstat
    except ImportError:
        return None
    sentences = "\n".join(line if line[-1] in ".!?:" else f"{line}." for line in text.splitlines() if line)
    return textstat.flesch_kincaid_grade(sentences)


def findings(notebook, number):
    """Return what a lesson has against the style, one sentence each; an empty list is a lesson in good form."""
    return [
        *_size_findings(measure(notebook)),
        *_order_findings(notebook),
        *_call_findings(notebook, number),
        *_word_findings(notebook, number),
        *source_findings(notebook),
        *stored_findings(notebook),
    ]


def _outside(value, band, what):
    low, high = band
    return [] if low <= value <= high else [f"{what}: {value}, where {low} to {high} are wanted"]


def _size_findings(size):
    found = _outside(size.cells, CELLS, "cells") + _outside(size.words, WORDS, "words of prose")
    found += _outside(size.code_lines, (1, CODE_LINES), "lines of code")
    found += _outside(size.longest_cell, (1, CELL_LINES), "lines of the longest code cell")
    if size.grade is not None and size.grade > GRADE:
        found.append(f"reading grade {size.grade:.1f}, where at most {GRADE:g} is wanted: shorter sentences and words")
    return found


def _headings(notebook):
    for cell in notebook.cells:
        if cell.cell_type == "markdown" and not _tags(cell) & set(GENERATED):
            yield from re.findall(r"^## (.+?)\s*$", cell.source, re.M)


def _order_findings(notebook):
    heads = list(_headings(notebook))
    ideas = [head for head in heads if IDEA.match(head)]
    wanted = [*BEFORE, *ideas, *AFTER]
    found = [] if heads == wanted else [f"headings are {heads}, where {wanted} are wanted"]
    if [head.split()[0] for head in ideas] != ["First", "Second", "Third"][: len(ideas)] or not ideas:
        found.append(f"one to {IDEAS} ideas are wanted, named First idea: …, Second idea: …, Third idea: …")
    tags = [_tags(cell) for cell in notebook.cells]
    if not tags or "navigation" not in tags[0] or "navigation" not in tags[-1]:
        found.append("the first and the last cell must be the generated navigation")
    return found


def _call_findings(notebook, number):
    code = "\n".join(cell.source for cell in notebook.cells if cell.cell_type == "code")
    calls = re.findall(r"\blesson\.(\w+)\(", code)
    found = [] if f"open_lesson({number})" in code else [f"the lesson must open with open_lesson({number})"]
    found += _outside(calls.count("show"), VIEWS, "live views")
    found += _outside(calls.count("question"), QUESTIONS, "questions to check oneself")
    found += _outside(calls.count("bill_so_far"), (1, 1), "loss bills so far")
    found += [] if "pin" in calls else ["explore, then pin: no case is pinned"]
    if "guess" not in calls or set(calls[: calls.index("guess")]) - {"picture", "pin", "caution"}:
        found.append("the guess must come before any number")
    found += [] if ".reveal(" in code else ["the guess is never revealed"]
    found += [] if re.search(r"^\s*assert ", code, re.M) else ["no sanity check or worked example is asserted"]
    return found


def _word_findings(notebook, number):
    text = " ".join(cell.source for cell in notebook.cells if not _tags(cell) & set(GENERATED)).lower()
    row = course.lesson(number)
    spaced, known = text.replace("-", " "), terms_of(number)
    missing = [term.term for term in known if term.term.lower().replace("-", " ") not in spaced]
    found = [f"the word {word!r} is in the glossary of this lesson but not in its text" for word in missing]
    if f"{row.minutes} minutes" not in text:
        found.append(f"the minutes of the course map, {row.minutes}, must stand under The question")
    found += [] if "$$" in text else ["no equation is written out"]
    found += [f"a task {task!r} is missing" for task in ("**find", "**push", "**why") if task not in text]
    return found


def source_findings(notebook):
    """Return what no notebook of the course may hold in its cells."""
    found = []
    for cell in notebook.cells:
        where = " ".join(cell.source.split())[:60]
        if cell.cell_type == "markdown" and re.search(r"\\\\[A-Za-z,]", cell.source):
            found.append(f"an equation with a doubled backslash does not show: {where}")
        if cell.cell_type == "code":
            words = f"{cell.source}\n{' '.join(_tags(cell))}"
            found += [f"{name} in: {where}" for mark, name in FORBIDDEN.items() if re.search(mark, words, re.M)]
        elif re.search(r"<style|<script", cell.source):
            found.append(f"style or script in: {where}")
    return found


def stored_findings(notebook, numeric=NUMERIC_OUTPUTS):
    """Return what is wrong with the stored form: a test compares its words, a fresh clone shows its pictures."""
    found, texts, counts = [], 0, []
    text = to_text(notebook)
    if len(text.encode()) > STORED_BYTES:
        found.append(f"{len(text.encode())} bytes are stored, where at most {STORED_BYTES} are wanted")
    for cell in notebook.cells:
        if cell.cell_type != "code":
            continue
        counts.append(cell.execution_count)
        for output in cell.outputs:
            found += _output_findings(output)
            texts += bool(re.search(r"\d", output.get("text", "") or output.get("data", {}).get("text/plain", "")))
    if counts != list(range(1, len(counts) + 1)):
        found.append("not every cell was run once, in order, in a fresh kernel")
    if texts < numeric:
        found.append(f"{texts} outputs with numbers as text, where at least {numeric} are wanted")
    if "widgets" in notebook.metadata:
        found.append("widget state is stored")
    if notebook.metadata.get("kernelspec", {}).get("name") != "python3":
        found.append("the kernel must be python3")
    return found


def _output_findings(output):
    if output.output_type == "error":
        return [f"an error is stored: {output.evalue}"]
    if output.output_type == "stream":
        return [f"the error stream is stored: {output.text[:60]}"] if output.name == "stderr" else []
    data = output.data
    found = [f"{kind} is stored" for kind in STRIPPED if kind in data]
    if data and not str(data.get("text/plain", "")).strip():
        found.append(f"an output has no words, only {', '.join(data)}")
    if re.search(r"\b(at 0x[0-9a-f]{6,}|Widget\(|\w+\(children=)", str(data.get("text/plain", ""))):
        found.append(f"an output's words are a program's own: {data['text/plain'][:60]}")
    return found


def frame(kind, number):
    """Return the script of an empty lesson or solution, with its headings in order, to be filled in."""
    row = course.lesson(number)
    if kind == "solution":
        return _SOLUTION.format(number=number)
    parts = [_part("The question", f"… ({row.question}) Plan {row.minutes} minutes.")]
    parts.append(f"# %%\nfrom heatlib.classroom.lesson import open_lesson\n\nlesson = open_lesson({number})\n")
    parts += [_part(head, "…") for head in BEFORE[1:]]
    parts += [_part(f"{name} idea: …", "…") for name in ("First", "Second")]
    parts += [_part(head, "…") for head in AFTER]
    return "\n".join(parts)


def _part(head, text):
    return f"# %% [markdown]\n# ## {head}\n#\n# {text}\n"


_SOLUTION = """# %% tags=["hide"]
from heatlib.classroom.checks import Data, Given, Pick, Reading, Step, open_exercise

sheet = open_exercise({number})

# %% [markdown]
# ## Task 1
"""

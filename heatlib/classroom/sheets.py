"""Printable handouts of the exercises: one sheet for each member with numbers of its own, and one key for the leader.

The solution notebook is the source. It runs once in a Jupyter kernel; its last cell draws the copies from the same
functions that check an answer on the screen, and typst sets them as tagged PDF (PDF/UA-1) with DejaVu Sans.
"""

import argparse
import json
import os
import re
import subprocess
import sys
import tempfile
from functools import lru_cache
from importlib.resources import files
from pathlib import Path

from heatlib.classroom import course
from heatlib.classroom.checks import SHEETS, STRICT, UNITS
from heatlib.classroom.palette import light_only
from heatlib.classroom.raster import font_folder, let_go
from heatlib.classroom.saving import SavingError, check_folder, save
from heatlib.units import SYSTEMS

__all__ = ["SheetError", "collect", "main", "typeset"]

PAPERS = {"A4": "a4", "Letter": "us-letter"}
MOST_COPIES = 200
MOST_PAGES = {False: 2, True: 4}
"""Pages of one sheet; large print may take two leaves printed on both sides."""
ROOM = (2.0, 1.75, 1.5, 1.25, 1.0, 0.8, 0.6, 0.45, 0.3)
MOST_LINES = 3
"""Lines that a task gets more where there is room on the page."""
TIMEOUT = 180
NOTE = "The club and its greenhouse are invented."


class SheetError(Exception):
    """Sheets could not be made; the message says why and what to do."""


# ---- from the notebook ----------------------------------------------------------------------------------------------


def collect(number, copies, seed, units, root, tick=None):
    """Run a solution notebook and return everything that its sheets print.

    Parameters
    ----------
    number : int
        Number of the exercise [–].
    copies, seed : int
        Copies with numbers of their own (0: one sheet with the notebook's numbers), and the seed they follow from [–].
    units : str
        ``"metric"`` or ``"US"`` [text].
    root : pathlib.Path
        Folder of the course [–].
    tick : callable, optional
        Called with a share of the work done [–].

    Returns
    -------
    dict
        As :meth:`heatlib.classroom.checks.Exercise.sheets` returns it [display units].

    Raises
    ------
    SheetError
        If the notebook is missing or does not run.
    """
    path = Path(root) / "solutions" / course.lesson(number).file
    if not path.exists():
        raise SheetError(f"exercise {number} has no solution notebook: {path} is not there")
    with tempfile.TemporaryDirectory() as folder:
        request, output = Path(folder) / "request.json", Path(folder) / "sheets.json"
        wanted = {"copies": copies, "seed": seed, "units": units, "output": str(output)}
        request.write_text(json.dumps(wanted), encoding="utf-8")
        _run(path, {SHEETS: str(request)}, tick or (lambda share: None))
        if not output.exists():
            raise SheetError(f"{path.name} does not end with sheet.close(), so it gives no sheets")
        return json.loads(output.read_text(encoding="utf-8"))


def _run(path, more, tick):
    import nbformat
    from nbclient import NotebookClient
    from nbclient.exceptions import CellExecutionError, CellTimeoutError, DeadKernelError

    try:
        notebook = nbformat.read(path, as_version=4)
    except (OSError, ValueError) as error:
        raise SheetError(f"{path} can't be read as a notebook: {str(error).splitlines()[0]}") from error
    environment = {name: value for name, value in os.environ.items() if name not in (STRICT, UNITS, SHEETS)} | more
    share = 1 / max(1, sum(cell.cell_type == "code" for cell in notebook.cells))
    client = NotebookClient(
        notebook,
        timeout=TIMEOUT,
        kernel_name="python3",
        resources={"metadata": {"path": str(path.parent)}},
        on_cell_complete=lambda cell, cell_index: tick(share),
    )
    try:
        client.execute(env=environment, stderr=subprocess.DEVNULL)
    except (CellExecutionError, DeadKernelError, CellTimeoutError) as error:
        raise SheetError(f"{path.name} stops with an error: {_last_line(error)}") from error


def _last_line(error):
    lines = [line for line in re.sub(r"\x1b\[[0-9;]*m", "", str(error)).splitlines() if line.strip()]
    return lines[-1] if lines else "unknown"


# ---- to paper -------------------------------------------------------------------------------------------------------


@lru_cache
def _fonts():
    import typst

    return typst.Fonts(include_system_fonts=False, include_embedded_fonts=False, font_paths=[font_folder()])


def _compiler(name, job):
    import typst

    folder = Path(str(files("heatlib.classroom").joinpath("typst")))
    return typst.Compiler(
        str(folder / f"{name}.typ"),
        root=str(folder),
        font_paths=_fonts(),
        ignore_system_fonts=True,
        sys_inputs={"job": json.dumps(job, ensure_ascii=False, sort_keys=True)},
    )


def typeset(content, paper="A4", large=False, two_sided=False):
    """Set sheets and key as PDF.

    Parameters
    ----------
    content : dict
        What :func:`collect` returned [display units].
    paper : str
        ``"A4"`` or ``"Letter"`` [text].
    large, two_sided : bool
        Large print; each sheet begins on a leaf of its own where pages are printed on both sides [–].

    Returns
    -------
    tuple of bytes
        The sheets and the answer key [PDF].

    Raises
    ------
    SheetError
        If a sheet needs too many pages even with little room to write.
    """
    job = _job(content, paper, large, two_sided)
    try:
        job["room"] = _room(job)
        job["more"] = _more_lines(job)
        return _compile("sheet", job), _compile("key", job)
    except RuntimeError as error:
        raise SheetError(f"the pages of exercise {job['lesson']} could not be set: {error}") from error
    finally:
        let_go()


def _job(content, paper, large, two_sided):
    row = course.lesson(content["lesson"])
    picture = content["picture"] | {"svg": _grey(light_only(content["picture"]["svg"]))}
    first, sheets = content["sheets"][0]["tasks"], content["sheets"]
    common = [
        task
        for index, task in enumerate(first)
        if len(sheets) > 1 and all(sheet["tasks"][index]["working"] == task["working"] for sheet in sheets)
    ]
    note = f"{NOTE} Units: {content['units']}."
    more = {"paper": PAPERS[paper], "large": large, "two-sided": two_sided, "room": 1.0, "note": note}
    more["more"] = [0] * len(first)
    return content | more | {"question": row.question, "picture": picture, "common": common}


def _grey(svg):
    """Turn every colour of a drawing into the grey that a copier makes of it."""

    def grey(match):
        red, green, blue = (int(match[1][place : place + 2], 16) for place in (0, 2, 4))
        level = round(0.299 * red + 0.587 * green + 0.114 * blue)
        return f"#{level:02x}{level:02x}{level:02x}"

    return re.sub(r"#([0-9a-fA-F]{6})\b", grey, svg)


def _room(job):
    """Find the most room to write with which no sheet grows past its pages."""
    most = MOST_PAGES[job["large"]]
    few = job | {"sheets": job["sheets"][:3]}
    for room in ROOM:
        if _most_pages(few | {"room": room}) <= most and _most_pages(job | {"room": room}) <= most:
            return room
    raise SheetError(f"exercise {job['lesson']} needs more than {most} pages a sheet; shorten its tasks")


def _more_lines(job):
    """Give what is left of the pages to the tasks, a line to each in turn, as long as no sheet grows past its pages."""
    most, few = MOST_PAGES[job["large"]], job | {"sheets": job["sheets"][:3]}
    more, open_tasks = list(job["more"]), list(range(len(job["more"])))
    for _ in range(MOST_LINES):
        for task in tuple(open_tasks):
            more[task] += 1
            if _most_pages(few | {"more": more}) > most:
                more[task] -= 1
                open_tasks.remove(task)
    while any(more) and _most_pages(job | {"more": more}) > most:
        more = [max(0, lines - 1) for lines in more]
    return more


def _most_pages(job):
    ends = json.loads(_compiler("sheet", job).query("<sheet-end>", field="value"))
    return max(end["pages"] for end in ends)


def _compile(name, job):
    return _compiler(name, job).compile(format="pdf", pdf_standards=["ua-1"], timestamp=0)


# ---- the command ----------------------------------------------------------------------------------------------------


def main(arguments=None):
    """Run ``heatlib-sheets`` and return its exit code: 0 done, 1 some sheets could not be made, 2 wrong call."""
    options = _parser().parse_args(arguments)
    try:
        numbers = _numbers(options.exercise)
        copies = _whole("--copies", options.copies, 0, MOST_COPIES)
        seed = _whole("--seed", options.seed, 0, 10**9)
        folder = Path(options.folder).expanduser()
        check_folder(folder)
        root = course.find_root(options.root)
    except (SheetError, SavingError, ValueError) as error:
        print(f"heatlib-sheets: {error}", file=sys.stderr)
        return 2
    try:
        return _make(options, numbers, copies, seed, folder, root)
    except KeyboardInterrupt:
        print("heatlib-sheets: stopped; no file was left half-written", file=sys.stderr)
        return 130


def _make(options, numbers, copies, seed, folder, root):
    from tqdm import tqdm

    written, failed = [], []
    with tqdm(total=100 * len(numbers), unit="%", bar_format="{desc} {bar} {percentage:3.0f}% {elapsed}") as bar:
        for place, number in enumerate(numbers):
            bar.set_description(f"exercise {number}")
            try:
                content = collect(number, copies, seed, options.units, root, lambda share: bar.update(80 * share))
                bar.set_description(f"exercise {number}, setting pages")
                written += _save_both(content, options, folder)
            except (SheetError, SavingError) as error:
                failed.append(str(error))
            bar.update(100 * (place + 1) - bar.n)
    for path in written:
        print(path)
    for words in failed:
        print(f"heatlib-sheets: {words}", file=sys.stderr)
    return 1 if failed else 0


def _save_both(content, options, folder):
    sheets, key = typeset(content, options.paper, options.large_print, options.two_sided)
    stem = Path(course.lesson(content["lesson"]).file).stem
    marks = [f"exercise-{stem}", content["units"], options.paper, *(["large-print"] if options.large_print else [])]
    if content["seed"] is not None:
        marks.append(f"{len(content['sheets'])}-copies-seed-{content['seed']}")
    paths = [folder / f"{'-'.join(marks)}.pdf", folder / f"{'-'.join(marks)}-answer-key.pdf"]
    for data, path in zip((sheets, key), paths):
        save(data, path)
    return paths


def _numbers(words):
    known = [row.number for row in course.lessons()]
    if words == ["all"]:
        return known
    numbers = []
    for word in words:
        if not word.isdecimal() or int(word) not in known:
            raise SheetError(
                f"there is no exercise {word!r}; give numbers from {known[0]} to {known[-1]}, or the word all"
            )
        numbers.append(int(word))
    return sorted(set(numbers))


def _whole(name, word, low, high):
    if not re.fullmatch(r"[0-9]+", str(word)) or not low <= int(word) <= high:
        raise SheetError(f"{name} must be a whole number between {low} and {high}, but it is {word!r}")
    return int(word)


def _parser():
    parser = argparse.ArgumentParser(
        prog="heatlib-sheets",
        usage="heatlib-sheets EXERCISE ... [options]",
        description="Print an EXERCISE of the course, several, or all of them as PDF handouts, each with an answer key "
        "for the leader. Give every member other numbers with --copies.",
        epilog="Example: heatlib-sheets 1 --copies 30 --seed 7 --units US --paper Letter",
    )
    parser.add_argument("exercise", nargs="+", metavar="EXERCISE", help="is a number from 1 to 10, or the word all")
    parser.add_argument(
        "--copies", default="0", metavar="N", help="makes N sheets, each with other numbers and its own sheet number"
    )
    parser.add_argument(
        "--seed",
        default="1",
        metavar="S",
        help="makes other numbers for each S; the same S makes the same sheets again (1 where left out)",
    )
    parser.add_argument(
        "--units",
        choices=SYSTEMS,
        default="metric",
        help="chooses litres, °C and watts, or gallons, °F and Btu/h (metric where left out)",
    )
    parser.add_argument("--paper", choices=tuple(PAPERS), default="A4", help="chooses the paper (A4 where left out)")
    parser.add_argument(
        "--large-print", action="store_true", help="sets letters of 16 points, on up to four pages a sheet"
    )
    parser.add_argument(
        "--two-sided",
        action="store_true",
        help="begins each member's sheet on a leaf of its own where the printer uses both sides",
    )
    parser.add_argument(
        "--folder", default=".", metavar="FOLDER", help="says where the files go (the present folder where left out)"
    )
    parser.add_argument("--root", metavar="FOLDER", help="says where the course is, if not around the present folder")
    return parser

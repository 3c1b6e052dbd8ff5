"""Printed sheets: every answer worked again by plain arithmetic, the same bytes each time, and nothing lost on errors.

The numbers of a sheet are read back as they are printed and worked by the arithmetic of ``by_hand_NN.py`` beside this
file, one for each exercise. Its textbook constants differ from the library's water (IAPWS-95) by up to 1 % near
freezing: hence 1.5 %, where the file of an exercise names no other tolerance.
"""

import ast
import errno
import json
import operator
import os
import re

import pytest
from by_hand import worked

from heatlib.classroom import cli, course, sheets
from heatlib.classroom.checks import STRICT, UNITS
from heatlib.classroom.saving import SavingError, save
from heatlib.classroom.sheets import SheetError, collect, typeset

ROOT = course.find_root()
NUMBERS = [row.number for row in course.lessons() if (ROOT / "solutions" / row.file).exists()]
COPIES = 100
"""Sheets a unit system: 200 an exercise."""
CLOSE = 0.015


@pytest.fixture(scope="module", params=[(number, units) for number in NUMBERS for units in ("metric", "US")], ids=str)
def printed(request):
    number, units = request.param
    return collect(number, COPIES, 11, units, ROOT)


def test_there_are_solutions():
    assert NUMBERS and 1 in NUMBERS


def _number(text):
    return float(re.match(r"[−\d.\u202f]+", text)[0].replace("−", "-").replace("\u202f", ""))


def test_each_answer_by_plain_arithmetic(printed):
    page, units = worked(printed["lesson"]), printed["units"]
    checked = 0
    for sheet in printed["sheets"]:
        assert {task["name"] for task in sheet["tasks"] if task["checked"]} == set(page.BY_HAND)
        for task in sheet["tasks"]:
            if task["checked"]:
                _compare(page, task, page.BY_HAND[task["name"]](task["given"], units), sheet["number"], units)
                checked += 1
    assert checked == COPIES * len(page.BY_HAND)


def _compare(page, task, by_hand, sheet, units):
    where = (sheet, task["name"], task["given"], by_hand)
    if task["kind"] == "choice":
        ranked = sorted(by_hand, key=by_hand.get, reverse=True)
        assert task["answer"] == ranked[0], where
        assert len(ranked) == 1 or by_hand[ranked[0]] > 1.05 * by_hand[ranked[1]], f"a tie: {where}"
        return
    answer = _number(task["answer"])
    assert answer == pytest.approx(by_hand, rel=getattr(page, "CLOSE", {}).get(task["name"], CLOSE)), where
    low, high = page.SANE[task["name"]]
    assert low <= answer <= high, where


def test_the_numbers_stand_in_the_text(printed):
    for sheet in printed["sheets"]:
        for task in sheet["tasks"]:
            words = task["text"] + " ".join(text for _, text in task["lines"])
            assert "{" not in words and "}" not in words
            assert not re.search(r"\d[\s\u00a0](%|°(?![CF]))", words), "as sentences in English write them: 80%, 30°"
            own = set(task["given"]) - _data_names(printed)
            shown = [
                float(x.replace("−", "-").replace("\u202f", "")) for x in re.findall(r"−?\d[\d\u202f]*\.?\d*", words)
            ]
            for name in own:
                value = task["given"][name]
                assert isinstance(value, str) or any(abs(value - x) < 1e-9 for x in shown), (name, value, words)


def _data_names(printed):
    first = [set(task["given"]) for task in printed["sheets"][0]["tasks"]]
    return set.intersection(*first)


def test_sheets_differ_from_each_other(printed):
    whole = [json.dumps([task["given"] for task in sheet["tasks"]]) for sheet in printed["sheets"]]
    assert len(set(whole)) == COPIES


def test_every_letter_wins_somewhere(printed):
    for index, task in enumerate(printed["sheets"][0]["tasks"]):
        if task["kind"] == "choice":
            winners = [sheet["tasks"][index]["answer"] for sheet in printed["sheets"]]
            assert set(winners) == {letter for letter, _ in task["lines"]}
            assert max(map(winners.count, winners)) <= 0.6 * COPIES


def test_kinds_of_task(printed):
    tasks = printed["sheets"][0]["tasks"]
    kinds = [task["kind"] for task in tasks]
    assert 4 <= len(tasks) <= 6
    assert sum("pencil" in task["marks"] for task in tasks) >= 2
    for kind in ("measure", "find the error", "choice", "open"):
        assert kind in kinds, kind


def test_each_working_has_its_steps(printed):
    for sheet in printed["sheets"]:
        for task in sheet["tasks"]:
            assert task["working"] and all(line.strip() for line in task["working"])
            if task["kind"] in ("number", "find the error"):
                assert sum(" = " in line for line in task["working"]) >= 2, task["name"]


_SIGNS = {"×": "*", "÷": "/", "−": "-", "less": "-", "+": "+", "and": "+", "(": "(", ")": ")"}
_PART = re.compile(r"(−?\d[\d\u202f]*(?:\.\d+)?)(\u00a0[^ ()=]+(?: ?\([^)]*Btu\))?| minutes|[%°])?|([×÷−+()]|less|and)")


def _value(words):
    """Work out the left side of a printed line, or None where it is more than numbers, units and signs."""
    sums, place = [], 0
    words = words.strip()
    while place < len(words):
        part = _PART.match(words, place)
        if part is None:
            return None
        figure, unit, sign = part.groups()
        sums.append(_SIGNS[sign] if sign else f"({_number(figure)}{'/100' if unit == '%' else ''})")
        place = part.end()
        place += len(words[place:]) - len(words[place:].lstrip(" "))
    try:
        return _worked(ast.parse("".join(sums), mode="eval").body)
    except SyntaxError:
        return None


def _sum_alone(words):
    """Leave out the words before a sum: "Fall: 20 °C less 5 °C" is 20 °C less 5 °C."""
    before = r"^[^\d]*?(?:line \d[^:]*)?[:,] |^(?:The|Line|A|B|C|From)\b[^\d(]*(?:\d should be )?"
    words = re.sub(before, "", words, flags=re.I)
    return re.sub(r"^([^,×÷]+ less [^,×÷]+), ×", r"(\1) ×", words)


def _worked(node):
    if isinstance(node, ast.UnaryOp):
        return -_worked(node.operand)
    if isinstance(node, ast.BinOp):
        signs = {ast.Add: operator.add, ast.Sub: operator.sub, ast.Mult: operator.mul, ast.Div: operator.truediv}
        return signs[type(node.op)](_worked(node.left), _worked(node.right))
    return float(node.value)


def test_each_line_of_the_key_comes_to_what_it_says(printed):
    """Each "3 × 4 °F = 12 °F" of the key is worked from its own printed numbers; those have three digits."""
    worked_lines, names = 0, set()
    for sheet in printed["sheets"][:25]:
        for task in sheet["tasks"]:
            for line in task["working"]:
                left, equals, right = line.rpartition(" = ")
                value = _value(_sum_alone(left)) if equals else None
                if value is None:
                    continue
                # a line that only turns one unit of energy into the other: 1 kWh is 3.6 MJ
                value /= 3.6 if "MJ" in left and right.endswith("kWh") else 1
                said = _number(right) * (0.01 if right.endswith("%") else 1)
                # each number is printed to three digits; a difference loses one of them
                near = 0.02 * abs(said) + (0.06 if "less" in left or "−" in left else 0)
                assert abs(value - said) <= near, (task["name"], line, value)
                worked_lines, names = worked_lines + 1, names | {task["name"]}
    assert worked_lines >= 25 * 4 and len(names) >= 3, "too few lines could be read"


# ---- paper ----------------------------------------------------------------------------------------------------------


@pytest.fixture(scope="module")
def three():
    return collect(1, 3, 5, "metric", ROOT)


def _ends(content, paper="A4", large=False, two_sided=False):
    """Return for each sheet how many pages it takes and on which page of the file it begins."""
    job = sheets._job(content, paper, large, two_sided)
    job["room"] = sheets._room(job)
    job["more"] = sheets._more_lines(job)
    ends = json.loads(sheets._compiler("sheet", job).query("<sheet-end>", field="value"))
    sheets.let_go()
    assert [end["sheet"] for end in ends] == [sheet["number"] for sheet in content["sheets"]]
    return [end["pages"] for end in ends], [end["first"] for end in ends]


@pytest.mark.parametrize("paper", ["A4", "Letter"])
@pytest.mark.parametrize("large", [False, True])
def test_a_sheet_takes_one_or_two_pages(printed, paper, large):
    content = printed | {"sheets": printed["sheets"][:3]}
    assert max(_ends(content, paper, large)[0]) <= (4 if large else 2)


def test_pdf_is_tagged_titled_and_in_english(three):
    for data, title in zip(typeset(three), ("Exercise 1. Why", "Answer key, exercise 1. Why")):
        assert data.startswith(b"%PDF-1.7") and data.rstrip().endswith(b"%%EOF")
        for mark in (b"/StructTreeRoot", b"/Lang", b"pdfuaid:part>1<", title.encode()):
            assert mark in data, mark


def test_many_handouts_take_no_more_memory_than_one_exercise_of_them(three):
    """Typst keeps all its steps for ten more pages; all exercises for a large club once took more than 5 GB."""
    import psutil

    many = three | {"sheets": [sheet | {"number": n + 1} for n, sheet in enumerate(three["sheets"] * 13)]}
    taken = []
    for n in range(4):
        typeset(many | {"remember": f"{many['remember']} {n}"})
        taken.append(psutil.Process().memory_info().rss / 1e6)
    assert taken[-1] - taken[0] < 100, taken  # it was some 440


def test_the_picture_has_words(three):
    assert re.search(rb"/Alt\s*[(<]", typeset(three)[0])
    three = three | {"picture": three["picture"] | {"description": ""}}
    with pytest.raises(SheetError, match=r"could not be set: .*alt"):
        typeset(three)


def test_same_seed_same_bytes_other_seed_other_bytes(three):
    again = collect(1, 3, 5, "metric", ROOT)
    assert again == three
    assert typeset(again) == typeset(three)
    assert typeset(collect(1, 3, 6, "metric", ROOT)) != typeset(three)


def test_a_members_sheet_holds_nothing_of_the_key(three):
    bare = json.loads(json.dumps(three))
    for sheet in bare["sheets"]:
        for task in sheet["tasks"]:
            task["answer"] = "?" if not task["checked"] else task["answer"][:1]
            task["working"] = ["?", str(sheet["number"]), task["name"]]
    assert typeset(bare)[0] == typeset(three)[0]
    assert typeset(bare)[1] != typeset(three)[1]


def test_paper_and_letter_size_change_the_page(three):
    plain = typeset(three)[0]
    for changed in (dict(paper="Letter"), dict(large=True)):
        assert typeset(three, **changed)[0] != plain


def test_each_sheet_begins_on_a_leaf_of_its_own_where_asked(three):
    brief = three | {"sheets": [sheet | {"tasks": sheet["tasks"][:1]} for sheet in three["sheets"]]}
    brief["cautions"] = []
    assert _ends(brief) == ([1, 1, 1], [1, 2, 3])
    assert _ends(brief, two_sided=True) == ([1, 1, 1], [1, 3, 5])


def test_colours_become_grey():
    grey = sheets._grey('fill="#d55e00" stroke="#0072b2"')
    for tone in re.findall(r"#(\w{6})", grey):
        assert tone[:2] == tone[2:4] == tone[4:]
    assert "#ffffff" in sheets._grey("#ffffff") and "#000000" in sheets._grey("#000000")


def test_too_long_an_exercise_is_refused(three):
    long = three | {"sheets": [sheet | {"tasks": sheet["tasks"] * 4} for sheet in three["sheets"]]}
    with pytest.raises(SheetError, match="more than 2 pages"):
        typeset(long)


# ---- the command ----------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("arguments", "words"),
    [
        (["11"], "there is no exercise '11'; give numbers from 1 to 10, or the word all"),
        (["one"], "there is no exercise 'one'"),
        (["1", "--copies", "-3"], None),
        (["1", "--copies", "many"], "--copies must be a whole number between 0 and 200, but it is 'many'"),
        (["1", "--copies", "900"], "between 0 and 200"),
        (["1", "--seed", "1.5"], "--seed must be a whole number"),
        (["1", "--folder", "not/there"], "the folder not/there is not there; make it first"),
    ],
)
def test_wrong_calls_get_a_plain_sentence(arguments, words, capsys):
    try:
        code = cli.sheets(arguments)
    except SystemExit as end:
        code = end.code
    said = capsys.readouterr().err
    assert code == 2 and (words is None or words in said) and "Traceback" not in said


def test_a_file_in_place_of_the_folder_is_named(tmp_path, capsys):
    (tmp_path / "thing").write_text("mine", encoding="utf-8")
    assert cli.sheets(["1", "--folder", str(tmp_path / "thing")]) == 2
    assert "is not a folder" in capsys.readouterr().err


def test_a_folder_that_may_not_be_written_is_named_before_the_work(tmp_path, capsys, monkeypatch):
    monkeypatch.setattr(os, "access", lambda path, mode: False)
    monkeypatch.setattr(sheets, "collect", lambda *args: pytest.fail("the notebook ran"))
    assert cli.sheets(["1", "--folder", str(tmp_path)]) == 2
    assert f"you may not write in {tmp_path}" in capsys.readouterr().err


def test_stopping_by_hand_is_no_crash(tmp_path, capsys, monkeypatch):
    def stop(*_):
        raise KeyboardInterrupt

    monkeypatch.setattr(sheets, "collect", stop)
    assert cli.sheets(["1", "--folder", str(tmp_path)]) == 130
    assert "no file was left half-written" in capsys.readouterr().err and not os.listdir(tmp_path)


def test_one_bad_exercise_does_not_lose_the_others(tmp_path, capsys, monkeypatch, three):
    def some(number, *_):
        if number != 2:
            return three | {"lesson": number}
        raise SheetError("exercise 2 is ill")

    monkeypatch.setattr(sheets, "collect", some)
    assert cli.sheets(["1", "2", "3", "--folder", str(tmp_path)]) == 1
    assert "exercise 2 is ill" in capsys.readouterr().err and len(os.listdir(tmp_path)) == 4


def test_help_reads_like_a_sentence(capsys):
    with pytest.raises(SystemExit) as end:
        cli.sheets(["--help"])
    said = " ".join(capsys.readouterr().out.split())
    assert end.value.code == 0
    for words in ("Print an EXERCISE of the course", "--copies N makes N sheets", "EXERCISE is a number from 1 to 10"):
        assert words in said


def test_the_command_writes_sheets_and_key(tmp_path, capsys):
    folder = tmp_path / "Größe und Platz"
    folder.mkdir()
    arguments = ["1", "--copies", "2", "--seed", "3", "--units", "US", "--paper", "Letter", "--folder", str(folder)]
    assert cli.sheets(arguments) == 0
    stem = "exercise-01-why-barrels-of-water-US-Letter-2-copies-seed-3"
    assert sorted(path.name for path in folder.iterdir()) == [f"{stem}-answer-key.pdf", f"{stem}.pdf"]
    assert all(path.read_bytes().startswith(b"%PDF") for path in folder.iterdir())
    assert str(folder / f"{stem}.pdf") in capsys.readouterr().out


def test_a_missing_or_broken_notebook_is_named(tmp_path, capsys):
    for name in ("lessons", "exercises", "solutions"):
        (tmp_path / name).mkdir()
    assert cli.sheets(["1", "--root", str(tmp_path), "--folder", str(tmp_path)]) == 1
    assert "exercise 1 has no solution notebook" in capsys.readouterr().err
    path = tmp_path / "solutions" / course.lesson(1).file
    path.write_text("{ half", encoding="utf-8")
    assert cli.sheets(["1", "--root", str(tmp_path), "--folder", str(tmp_path)]) == 1
    assert "can't be read as a notebook" in capsys.readouterr().err


@pytest.mark.parametrize(
    ("source", "words"),
    [("1 / 0", "stops with an error: ZeroDivisionError"), ("x = 1", r"does not end with sheet.close\(\)")],
)
def test_a_notebook_that_fails_is_named(tmp_path, source, words):
    import nbformat

    (tmp_path / "solutions").mkdir()
    page = nbformat.v4.new_notebook(cells=[nbformat.v4.new_code_cell(source)])
    nbformat.write(page, tmp_path / "solutions" / course.lesson(1).file)
    with pytest.raises(SheetError, match=words):
        collect(1, 0, 1, "metric", tmp_path)


@pytest.mark.parametrize(
    ("code", "words"),
    [
        (errno.ENOSPC, "the disk is full"),
        (errno.EROFS, "can only be read"),
        (errno.EACCES, "you may not write"),
        (errno.EIO, "rror"),
    ],
)
def test_a_failed_write_keeps_the_older_file(tmp_path, monkeypatch, code, words):
    path = tmp_path / "sheet.pdf"
    path.write_bytes(b"older")

    def fail(*_):
        raise OSError(code, os.strerror(code))

    monkeypatch.setattr(os, "fsync", fail)
    with pytest.raises(SavingError, match=words) as refused:
        save(b"newer", path)
    assert "The older file of that name is as it was" in str(refused.value)
    assert path.read_bytes() == b"older" and os.listdir(tmp_path) == ["sheet.pdf"]


def test_saving_into_no_folder_says_so(tmp_path):
    with pytest.raises(SavingError, match="is not there; make it first") as refused:
        save(b"x", tmp_path / "no" / "sheet.pdf")
    assert "older file" not in str(refused.value)


# ---- the notebooks --------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("number", NUMBERS)
def test_solutions_pass_strict_in_us_units_too(number):
    """In metric units the course's own tests run them."""
    import nbformat
    from nbclient import NotebookClient

    path = ROOT / "solutions" / course.lesson(number).file
    plain = {name: value for name, value in os.environ.items() if not name.startswith("HEATLIB_")}
    where = {"metadata": {"path": path.parent}}
    client = NotebookClient(nbformat.read(path, as_version=4), timeout=180, kernel_name="python3", resources=where)
    client.execute(env=plain | {STRICT: "1", UNITS: "US"})

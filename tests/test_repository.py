"""What lies in the repository: its top level, no traces of a machine, spelling, commands of the README that exist."""

import re
import shutil
import subprocess
import sys
import tomllib
from pathlib import Path

import pytest

ROOT = Path(__file__).parent.parent
TOP = {"README.md", "DEVELOPERS.md", "pyproject.toml", "lessons", "heatlib", "tests", "exercises", "solutions"}
TRACES = {
    "a path of one machine": r"(?<![\w/.~-])/(home|Users|root|work|tmp|opt|mnt)/\w+",
    "a Windows path of one machine": r"\b[A-Z]:\\Users\\",
    "an address of a package registry": r"files\.pythonhosted|pypi\.org|registry\.npmjs|deb\.debian",
    "an open end": r"\b(TODO|FIXME|XXX|HACK)\b|NotImplementedError|pragma: no cover",
    "a switched-off test": r"pytest\.(mark\.)?(skip|xfail)|importorskip|NBVAL_(SKIP|IGNORE)",
    "a secret": r"BEGIN [A-Z ]*PRIVATE KEY|\b(api|secret)_?key\s*=",
}
HERE = "tests/test_repository.py"
"""This file names what it looks for."""


def git(*words):
    """Return what git says; nothing where there is none, or in a copy without its history."""
    if not shutil.which("git"):
        return ""
    return subprocess.run(["git", *words], cwd=ROOT, capture_output=True, text=True).stdout


def tracked():
    listed = git("ls-files", "-z")
    if listed:
        names = [name for name in listed.split("\0") if name and (ROOT / name).exists()]
    else:  # without git, or a copy without its history: everything that is not hidden, built or installed
        paths = (path.relative_to(ROOT) for path in ROOT.rglob("*") if path.is_file())
        names = [
            path.as_posix() for path in paths if not any(p.startswith(".") or p == "__pycache__" for p in path.parts)
        ]
    assert len(names) > 60, "the list of files looks wrong"
    return names


def texts():
    for name in tracked():
        data = (ROOT / name).read_bytes()
        if b"\0" not in data and name != HERE:
            yield name, data.decode("utf-8")


def traces(name, text):
    text = re.sub(r'"image/png": "[^"]*"', "", text)
    return [f"{name}: {what}: {match[0]}" for what, mark in TRACES.items() for match in re.finditer(mark, text)]


def test_top_level_holds_exactly_what_belongs_there():
    top = {name.split("/")[0] for name in tracked()}
    assert {name for name in top if not name.startswith(".")} == TOP


def test_no_traces_in_any_file():
    found = [line for name, text in texts() for line in traces(name, text)]
    assert not found, "\n".join(found)


@pytest.mark.parametrize(
    "text", ["open('/home/anna/x.csv')", "C:\\Users\\Anna", "# TODO", "pytest.mark.skip", "/" + "tmp/w/x"]
)
def test_a_trace_is_seen(text):
    assert traces("a.py", text)


def test_text_files_are_tidy():
    for name, text in texts():
        assert "\r" not in text, f"{name}: line ends of Windows"
        assert text.endswith("\n") or not text, f"{name}: the last line has no end"


def test_no_large_files():
    large = {name: (ROOT / name).stat().st_size for name in tracked() if (ROOT / name).stat().st_size > 700_000}
    assert not large


def test_spelling():
    names = [name for name in tracked() if name.endswith((".md", ".py", ".toml", ".csv", ".ipynb", ".typ"))]
    done = subprocess.run(
        [
            sys.executable,
            "-m",
            "codespell_lib",
            "--ignore-regex",
            r'"image/png": "[^"]*"',
            "-L",
            "fo,te,hass,warmup,bale,linke,yau,tempreature,temprature,electricty",
            *names,
        ],
        cwd=ROOT,
        capture_output=True,
        text=True,
    )
    assert done.returncode == 0, done.stdout + done.stderr


def test_spelling_would_be_seen(tmp_path):
    page = tmp_path / "page.md"
    page.write_text("The temprature of the barel.\n", encoding="utf-8")
    done = subprocess.run([sys.executable, "-m", "codespell_lib", str(page)], capture_output=True, text=True)
    assert done.returncode != 0 and "temperature" in done.stdout


def test_code_is_in_one_form():
    for command in (["check"], ["format", "--check"]):
        done = subprocess.run([sys.executable, "-m", "ruff", *command, "."], cwd=ROOT, capture_output=True, text=True)
        assert done.returncode == 0, done.stdout[-3000:]


def readme_commands():
    text = (ROOT / "README.md").read_text(encoding="utf-8")
    return dict(re.findall(r"<!-- command: ([\w-]+) -->\n```\w+\n(.+?)\n```", text))


def test_readme_says_how_to_start_and_test():
    commands = readme_commands()
    assert set(commands) == {"lesson", "lesson-windows", "test", "test-windows", "sheets"}
    # The page is given as an address and not as a file: a file's own folder would be all that JupyterLab serves, and
    # the links to README.md and to the exercises would lead nowhere.
    assert commands["lesson"].endswith("lab --LabApp.default_url=/lab/tree/lessons/01-why-barrels-of-water.ipynb")
    for name in ("lesson", "test"):
        assert commands[name].startswith("python3 -m venv .venv && .venv/bin/pip install -e ")
        there = (
            commands[name]
            .replace(" && ", "; ")
            .replace(".venv/bin/", ".venv\\Scripts\\")
            .replace("python3 -m", "py -m")
        )
        assert commands[f"{name}-windows"] == there, "the two forms differ"


def test_commands_of_the_readme_are_installed():
    scripts = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["project"]["scripts"]
    assert set(scripts) == {"heatlib-course", "heatlib-sheets"}
    assert readme_commands()["sheets"].split()[0] == ".venv/bin/heatlib-sheets"


def test_dependencies_are_bounded_above():
    project = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["project"]
    lines = project["dependencies"] + [line for extra in project["optional-dependencies"].values() for line in extra]
    assert len(lines) >= 20
    for line in lines:
        assert "~=" in line or "<" in line or "==" in line, f"{line} has no upper bound"


def test_constraints_name_every_dependency():
    project = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["project"]
    lines = project["dependencies"] + [line for extra in project["optional-dependencies"].values() for line in extra]
    pinned = re.findall(r"^([\w.-]+)==", (ROOT / ".ci/constraints.txt").read_text(encoding="utf-8"), re.M)
    same = {re.sub(r"[-_.]+", "-", name).lower() for name in pinned}
    missing = [line for line in lines if re.sub(r"[-_.]+", "-", re.match(r"[\w.-]+", line)[0]).lower() not in same]
    assert not missing
    assert len(same) > 60


def test_the_check_script_can_run():
    script = ROOT / ".ci" / "run"
    assert script.read_text(encoding="utf-8").startswith("#!/bin/bash\n")
    assert script.stat().st_mode & 0o111 or sys.platform == "win32"
    assert (git("ls-files", "-s", ".ci/run") or "100755").startswith("100755"), "the run bit is not in the repository"


def test_links_in_the_guides_resolve():
    for page in ("README.md", "DEVELOPERS.md"):
        text = (ROOT / page).read_text(encoding="utf-8")
        targets = [t for t in re.findall(r"\]\(([^)\s]+)\)", text) if not t.startswith(("http", "#"))]
        assert targets or page == "DEVELOPERS.md"
        missing = [target for target in targets if not (ROOT / target.split("#")[0]).exists()]
        assert not missing, f"{page}: {missing}"


def test_no_licence_is_given_and_the_demo_is_called_invented():
    assert not [name for name in tracked() if re.match(r"(?i)(licen[cs]e|copying)", Path(name).name)]
    assert "invented" in (ROOT / "README.md").read_text(encoding="utf-8")

"""Say in five lines whether everything that a lesson needs is installed, and what to do where it isn't."""

import re
import sys
from importlib import metadata
from pathlib import Path

__all__ = ["lines"]

REPAIR = "close JupyterLab and run the first command of README.md again in the course folder"
PYTHON = (3, 11)


def lines(python=None, requirements=None, prefix=None, read_table=None, draw=None):
    """Return five pairs of "fine?" and a line of words; the arguments stand in for the real things in a test."""
    return [
        _python(python or sys.version_info),
        _packages(metadata.requires("heatlib") if requirements is None else requirements),
        _sliders(Path(prefix or sys.prefix)),
        _try("the tables of materials can be read", read_table or _read_table),
        _try("a picture can be drawn", draw or _draw),
    ]


def _line(fine, words, advice=""):
    return fine, f"{'✓' if fine else '✗'} {words}{'' if fine else f': {advice}'}"


def _python(version):
    wanted = ".".join(map(str, PYTHON))
    have = ".".join(map(str, version[:2]))
    return _line(
        tuple(version[:2]) >= PYTHON,
        f"Python is {wanted} or newer",
        f"no, it is {have}; install a newer Python, delete the folder .venv, then {REPAIR}",
    )


def _packages(requirements):
    names = [re.match(r"[\w.-]+", line)[0] for line in requirements or [] if "extra ==" not in line]
    missing = [name for name in names if not _installed(name)]
    return _line(not missing, "all packages are there", f"{', '.join(missing)} is missing; {REPAIR}")


def _installed(name):
    try:
        metadata.version(name)
    except metadata.PackageNotFoundError:
        return False
    return True


def _sliders(prefix):
    folder = prefix / "share" / "jupyter" / "labextensions"
    missing = [name for name in ("@jupyter-widgets/jupyterlab-manager", "anywidget") if not (folder / name).is_dir()]
    return _line(not missing, "JupyterLab can show sliders", f"its part {', '.join(missing)} is missing; {REPAIR}")


def _try(words, action):
    try:
        action()
    except Exception as error:  # whatever is broken there, the reader gets one line and not a traceback
        return _line(False, words, f"no ({type(error).__name__}: {error}); {REPAIR}")
    return _line(True, words)


def _read_table():
    from heatlib.tables import keys

    if not keys("materials"):
        raise ValueError("the table of materials is empty")


def _draw():
    from heatlib.classroom.picture import Picture

    size = 'width="20" height="10" viewBox="0 0 20 10"'
    svg = f'<svg xmlns="http://www.w3.org/2000/svg" {size}><rect width="9" height="9"/></svg>'
    Picture(svg, "A test.", "A square of 9 points.").png(1)

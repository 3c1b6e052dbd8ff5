"""One JupyterLab and one Chromium for all browser tests; without them these tests fail and are not skipped."""

import os
import shutil
from importlib.util import find_spec
from pathlib import Path

import pytest
from lab import browser, server

ROOT = Path(__file__).parents[2]
os.environ.setdefault("AXE", str(Path(find_spec("axe_playwright_python").origin).parent / "axe.min.js"))
"""The rules of axe-core; the package of this name ships them, so that no second package manager is needed."""


@pytest.fixture(scope="session")
def served(tmp_path_factory):
    """Serve a copy of the course: a browser saves notebooks by itself, and the stored ones must stay as they are."""
    copy = tmp_path_factory.mktemp("served")
    for name in ("lessons", "exercises", "solutions"):
        shutil.copytree(ROOT / name, copy / name)
    shutil.copy(ROOT / "README.md", copy)
    with server(copy) as lab:
        yield lab


@pytest.fixture(scope="module")
def session(served):
    """One browser a module: Playwright allows one at a time."""
    with browser(served) as window:
        yield window

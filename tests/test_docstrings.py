"""Read every public docstring of the library: sections, parameters as in the signature, a unit for each value."""

import importlib
import inspect
import pkgutil
import re

import pytest

FLOORS = ("heatlib", "heatlib.house")
MIN_FUNCTIONS = 20


def public_functions():
    found = []
    for floor in FLOORS:
        package = importlib.import_module(floor)
        for info in pkgutil.iter_modules(package.__path__, floor + "."):
            if info.ispkg:
                continue
            module = importlib.import_module(info.name)
            for name in getattr(module, "__all__", ()):
                item = getattr(module, name)
                if inspect.isfunction(item) and item.__module__ == info.name:
                    found.append(pytest.param(item, id=f"{info.name}.{name}"))
    return found


def _section(doc, title):
    match = re.search(rf"^{title}\n-+\n(.*?)(?=^\w[^\n]*\n-+\n|\Z)", doc, re.S | re.M)
    return match.group(1) if match else ""


def _entries(section):
    """Split a numpydoc section into ``(names, text)`` pairs."""
    blocks = re.findall(r"^(\S[^\n]*?) :[^\n]*\n((?:[ ]{4}[^\n]*\n?|\n)*)", section + "\n", re.M)
    return [([n.strip().lstrip("*") for n in names.split(",")], text) for names, text in blocks]


def test_enough_public_functions():
    assert len(public_functions()) >= MIN_FUNCTIONS


def test_modules_name_their_public_functions():
    for floor in FLOORS:
        package = importlib.import_module(floor)
        for info in pkgutil.iter_modules(package.__path__, floor + "."):
            if not info.ispkg:
                assert importlib.import_module(info.name).__all__, info.name


@pytest.mark.parametrize("function", public_functions())
def test_docstring(function):
    doc = inspect.getdoc(function)
    assert doc, "a docstring is missing"
    first = doc.splitlines()[0]
    assert first.endswith("."), "the first line is one sentence"
    parameters = [p for p in inspect.signature(function).parameters if not p.startswith("_")]
    entries = _entries(_section(doc, "Parameters"))
    assert [name for names, _ in entries for name in names] == parameters
    for names, text in entries:
        assert re.search(r"\[[^\]]+\]", text), f"{names}: no unit in square brackets"
    returns = _section(doc, "Returns")
    assert returns and re.search(r"\[[^\]]+\]", returns), "Returns needs a unit in square brackets"
    if "_check" in inspect.getsource(inspect.getmodule(function)) and parameters:
        assert ">>>" in _section(doc, "Examples"), "an example that can be checked in the head"


def test_importing_the_library_loads_nothing_heavy():
    import subprocess
    import sys

    code = (
        "import sys, heatlib; "
        "bad = [m for m in ('CoolProp', 'pvlib', 'pandas', 'matplotlib.pyplot', 'ipywidgets') if m in sys.modules]; "
        "sys.exit(', '.join(bad) or 0)"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True)
    assert done.returncode == 0, done.stderr

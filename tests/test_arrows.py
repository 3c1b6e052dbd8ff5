"""The floors: physics knows no house, a house knows no widget, and no module does what its floor may not."""

import ast
from pathlib import Path

import pytest

import heatlib

HOME = Path(heatlib.__file__).parent
FLOORS = {"heatlib": 0, "heatlib.house": 1, "heatlib.classroom": 2}
HEAVY = {"CoolProp", "pvlib", "pandas", "ht", "fluids", "matplotlib", "ipywidgets", "anywidget", "typst"}
WIDGETS = {"ipywidgets", "anywidget", "IPython", "matplotlib", "typst"}
FORBIDDEN_CALLS = {"eval", "exec", "__import__"}
FORBIDDEN_MODULES = {"pickle", "marshal", "shelve"}


def modules():
    found = sorted(HOME.rglob("*.py"))
    assert len(found) >= 20, found
    return found


def name_of(path):
    parts = path.relative_to(HOME.parent).with_suffix("").parts
    return ".".join(parts[:-1] if parts[-1] == "__init__" else parts)


def floor_of(module):
    return max(
        (level for start, level in FLOORS.items() if module == start or module.startswith(start + ".")), default=0
    )


def imports(tree):
    """Yield ``(module, at the top of the file?)`` for every import."""
    top = {id(node) for node in tree.body}
    for node in ast.walk(tree):
        if isinstance(node, ast.Import):
            yield from ((alias.name, id(node) in top) for alias in node.names)
        elif isinstance(node, ast.ImportFrom):
            assert node.level == 0, "imports are written out in full"
            yield node.module, id(node) in top
            yield from ((f"{node.module}.{alias.name}", id(node) in top) for alias in node.names)


def _is_main_block(node):
    return isinstance(node, ast.If) and "__main__" in ast.dump(node.test)


def breaches(name, source):
    """Return what a module does that its floor may not; what only runs as a command of its own may print."""
    tree, found, own = ast.parse(source), [], floor_of(name)
    tree.body = [node for node in tree.body if not _is_main_block(node)]
    for module, top in imports(tree):
        package = module.split(".")[0]
        if package == "heatlib" and floor_of(module) > own:
            found.append(f"{name} imports {module}, which lies on a higher floor")
        if own < 2 and package in WIDGETS:
            found.append(f"{name} imports {package}")
        if own < 2 and top and package in HEAVY:
            found.append(f"{name} loads {package} at once; load it where it is needed")
        if package in FORBIDDEN_MODULES:
            found.append(f"{name} imports {package}")
    for node in ast.walk(tree):
        if isinstance(node, ast.Call) and isinstance(node.func, ast.Name) and node.func.id in FORBIDDEN_CALLS:
            found.append(f"{name} calls {node.func.id}")
        if isinstance(node, ast.keyword) and node.arg == "shell" and getattr(node.value, "value", False):
            found.append(f"{name} uses a shell")
        if isinstance(node, ast.Call) and own == 0 and isinstance(node.func, ast.Name) and node.func.id == "print":
            found.append(f"{name} prints")
    return found


@pytest.mark.parametrize("path", modules(), ids=name_of)
def test_imports_go_down_only(path):
    assert not breaches(name_of(path), path.read_text(encoding="utf-8"))


@pytest.mark.parametrize(
    ("name", "source"),
    [
        ("heatlib.conduction", "from heatlib.house.greenhouse import Greenhouse"),
        ("heatlib.conduction", "from heatlib import house"),
        ("heatlib.house.balance", "def f():\n    from heatlib.classroom.view import View"),
        ("heatlib.house.balance", "def f():\n    import ipywidgets"),
        ("heatlib.sun", "import pvlib"),
        ("heatlib.sun", "eval('1')"),
        ("heatlib.sun", "def f():\n    print(1)"),
        ("heatlib.house.greenhouse", "import pickle"),
        ("heatlib.classroom.sheets", "run('ls', shell=True)"),
    ],
)
def test_a_breach_is_seen(name, source):
    assert breaches(name, source)


def test_what_is_allowed_is_let_through():
    assert not breaches("heatlib.sun", "def f():\n    import pvlib")
    assert not breaches("heatlib.classroom.view", "import anywidget\nfrom heatlib.house.balance import run")

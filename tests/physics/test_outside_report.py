"""The record of checks against outside values: enough of them, every function named, and a report that can be read."""

import ast
import re
import subprocess
import sys
from pathlib import Path

import pytest
from physics_examples import public_functions

HERE = Path(__file__).parent
WITHOUT = {
    "air_table.from_coolprop": "is itself the outside source",
    "air_table.ideal_enthalpy": "part of moist_air.enthalpy, which is checked",
    "air_table.write_table": "writes what build_table gives",
    "beds.layer": "names rows of the table; periodic_response is checked with it",
    "conduction.flow_direction": "a definition: which way heat goes",
    "crops.at_risk": "compares with rows of the table, which are checked",
    "crops.crop_names": "a list of names",
    "crops.warmest_minimum": "the largest of rows that are checked",
    "frost.freezing_index": "a definition: a sum of degrees",
    "glazing.glazing_names": "a list of names",
    "ground.characteristic_dimension": "a definition: area over half the perimeter",
    "ground.edge_heat_loss": "a product of three numbers; edge_factor is checked",
    "materials.material_names": "a list of names",
    "other_heat.electric_heat": "conservation: what goes in comes out",
    "pipe_soil.share_radius": "geometry: a circle of the same area",
    "pipe_soil.soil_rings": "geometry: rings in proportion",
    "shade.leafage": "straight lines between given days",
    "sun.day_times": "a list of times",
    "sun.linke_turbidity": "reads the table of pvlib",
    "tables.entry": "reads a row; the rows are checked in test_tables.py",
    "tables.keys": "a list of names",
    "tables.properties": "reads rows; they are checked in test_tables.py",
    "tables.table": "reads rows; they are checked in test_tables.py",
    "transmission.glazing_kind": "a name for a name",
    "units.format_quantity": "writes a number out; to_display is checked",
    "units.from_display": "the way back of to_display, checked there and back",
    "units.parse_quantity": "checked in tests/test_units.py",
    "units.to_display": "checked in tests/test_units.py",
    "units.unit_of": "a row of units",
    "units.with_label": "joins two texts",
}
"""Public functions that no outside check in this folder names, each with its reason."""


def outside_calls():
    """Return the call of every outside check in this folder, read without running."""
    found = []
    for path in sorted(HERE.glob("test_*.py")):
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            if isinstance(node, ast.Call) and isinstance(node.func, ast.Name) and node.func.id == "outside":
                found.append((path.name, node))
    return found


def names_in(node):
    return {part.value for part in ast.walk(node) if isinstance(part, ast.Constant) and isinstance(part.value, str)}


def test_at_least_150_outside_checks():
    calls = [ast.unparse(node) for _, node in outside_calls()]
    assert len(calls) >= 300
    # those that work an equation of the library by hand find slips of the pen, not a wrong equation
    assert len([call for call in calls if not re.search("by hand|same equation|same arithmetic", call)]) >= 150


def test_every_outside_check_states_source_and_tolerance():
    for name, node in outside_calls():
        given = {keyword.arg for keyword in node.keywords}
        assert {"source", "why"} <= given and given & {"rel", "abs"}, f"{name}:{node.lineno}"


def test_every_public_function_is_checked_or_has_its_reason():
    texts = {path.name: path.read_text(encoding="utf-8") for path in HERE.glob("test_*.py")}
    with_checks = {name for name, _ in outside_calls()}
    written = "\n".join(text for name, text in texts.items() if name in with_checks and name != Path(__file__).name)
    named = set().union(*(names_in(node.args[0]) for _, node in outside_calls()))
    functions = set(public_functions())
    # a name handed on by a table of cases stands as a string in the same file
    unnamed = {name for name in functions - named if f'"{name}"' not in written}
    assert unnamed - set(WITHOUT) == set(), "add an outside check, or the reason why there is none"
    assert set(WITHOUT) - functions == set(), "these functions are no more"
    assert {name for name in WITHOUT if name in named} == set(), "these are checked now: take the reason out"


SMALL = """
def test_one(outside):
    outside("sky.kelvin", 273.15, 273.15, source="definition | of °C", abs=1e-9, why="exact")


def test_two(outside):
    outside("storage.store_mass", [1001.0, 999.0], [1000.0, 1000.0], source="SI", rel=0.002, why="round value")


def test_a_miss_is_no_record_of_success(outside):
    outside("sky.kelvin", 1.0, 2.0, source="nobody", abs=0.5, why="fails")
"""


@pytest.mark.parametrize("workers", ["0", "2"])
def test_the_report_is_written_with_and_without_workers(tmp_path, workers):
    (tmp_path / "test_small.py").write_text(SMALL, encoding="utf-8")
    (tmp_path / "conftest.py").write_bytes((HERE.parent / "conftest.py").read_bytes())
    report = tmp_path / "report.md"
    command = [sys.executable, "-m", "pytest", "-q", "-n", workers, "-p", "no:cacheprovider", "-c", "/dev/null"]
    done = subprocess.run(
        [*command, f"--rootdir={tmp_path}", f"--outside-report={report}", str(tmp_path / "test_small.py")],
        capture_output=True, text=True, cwd=tmp_path,
    )  # fmt: skip
    assert done.returncode == 1 and "1 failed, 2 passed" in done.stdout, done.stdout + done.stderr
    assert "3 checks against outside sources (4 values, 2 functions)" in done.stdout
    lines = report.read_text(encoding="utf-8").splitlines()
    assert len(lines) == 5 and all(line.replace("\\|", "").count("|") == 7 for line in lines), lines
    rows = [line for line in lines if "`storage.store_mass`" in line]
    # 1 in 1000 is the deviation, of 2 in 1000 allowed: half
    assert rows == ["| `storage.store_mass` | SI | 2 | 0.001 | 50% | round value |"]
    assert any("400%" in line or "200%" in line for line in lines), "a miss shows as more than allowed"

"""Exercises and solutions in both modes: solutions pass strict, exercises pass lenient and fail strict."""

import pytest
from course_files import NUMBERS, ROOT, notebook

from heatlib.classroom import notebooks

EACH = pytest.mark.parametrize("number", NUMBERS)


@EACH
def test_solution_passes_strict(number):
    book = notebooks.execute(notebook("solutions", number), ROOT / "solutions", strict=True)
    said = "\n".join(out.get("text", "") for cell in book.cells for out in cell.get("outputs", []))
    assert said.count(": right") >= 4 and "not yet" not in said and "not attempted" not in said


@EACH
def test_exercise_passes_lenient_and_fails_strict(number):
    """Lenient is what nbval runs; so only the strict run is made here, which must stop at the first check."""
    with pytest.raises(notebooks.BuildError, match="not attempted yet"):
        notebooks.execute(notebook("exercises", number), ROOT / "exercises", strict=True)

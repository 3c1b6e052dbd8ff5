"""Where the course's notebooks lie and how many there must be; shared by the tests of this folder."""

import subprocess
import sys
from pathlib import Path

import nbformat

from heatlib.classroom import course

ROOT = Path(__file__).parents[2]
COUNT = 10
KINDS = ("lessons", "exercises", "solutions")
NUMBERS = range(1, COUNT + 1)


def path_of(kind, number):
    return ROOT / kind / course.lesson(number).file


def notebook(kind, number):
    return nbformat.read(path_of(kind, number), as_version=4)


def run_nbval(*paths):
    """Let nbval compare notebooks strictly, as the README's test command does, and return the finished process."""
    command = [sys.executable, "-m", "pytest", "-q", "-n0", "-p", "no:cacheprovider", "--nbval", "-c", "empty.ini"]
    folder = paths[0].parent
    (folder / "empty.ini").write_text("[pytest]\n", encoding="utf-8")
    names = [str(path) for path in paths]
    return subprocess.run(
        [*command, "--rootdir", str(folder.parent), *names], cwd=folder, capture_output=True, text=True, timeout=300
    )


DEMO = """# %% [markdown]
# ## The question
#
# How much heat? Plan 50 minutes.

# %%
from heatlib.classroom.lesson import open_lesson

lesson = open_lesson(1)

# %%
guess = lesson.guess("How much heat does one full drum give?", "heat_in_store")

# %% tags=["hide"]
from heatlib.classroom.picture import Picture
from heatlib.classroom.svg import document, rect, text
from heatlib.classroom.view import Slider, view
from heatlib.units import format_quantity


@view("Heat in a barrel", [Slider("volume", "Water", "store_volume", 0.02, 0.4, 0.208)])
def barrel(volume, units):
    heat = format_quantity(volume * 4.19e6 * 15, "heat_in_store", units)
    drawing = document(400, 120, rect(10, 40, 900 * volume, 40, fill="water"), text(10, 20, heat))
    return Picture(drawing, f"The barrel gives {heat}.", f"A bar of {heat}.", {"heat": heat})


# %%
lesson.show(barrel)

# %%
lesson.pin(barrel, volume=0.1)

# %%
heat = 0.2 * 4.2e6 * 10
lesson.say("It gives {heat}.", heat=(heat, "heat_in_store"))
print("in MJ:", heat / 1e6)

# %%
guess.reveal(heat)
"""

DEMO_SOLUTION = """# %% [markdown]
# ## Task 1

# %%
answer = None
# solution begins
answer = 4
# solution ends

# %%
import os

if answer == 4:
    print("Task 1: right")
elif os.environ.get("HEATLIB_STRICT") == "1":
    raise AssertionError("Task 1 is missing or wrong")
else:
    print("Task 1: not attempted yet")

# %% [markdown] tags=["solution"]
# Two and two are four.

# %% tags=["solution", "hide"]
print("the working")
"""

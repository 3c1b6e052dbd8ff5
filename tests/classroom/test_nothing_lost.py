"""Nothing the reader wrote is lost: damaged files, a killed program, a full disk, two notebooks at once."""

import errno
import os
import random
import resource
import signal
import subprocess
import sys
import textwrap
import time

import pytest

from heatlib.classroom import keeping
from heatlib.classroom.keeping import KeepingError, Kept, put_with_copy
from heatlib.classroom.own_house import CONDITIONS_FILE, HOUSE_FILE, OwnHouse
from heatlib.house.demo import demo_text
from heatlib.house.housefile import read_house

NAMES = ("plain", "with spaces", "Gewächshaus «Süd» 温室")


def shown_files(folder):
    return sorted(path.name for path in folder.iterdir() if not path.name.startswith("."))


def everything_in(folder):
    return [path.read_bytes() for path in folder.iterdir() if path.is_file()]


@pytest.fixture(params=NAMES)
def folder(tmp_path, request):
    made = tmp_path / request.param
    made.mkdir()
    return made


@pytest.fixture
def hand_written(tmp_path):
    """A house file written by hand, with a comment and sizes in feet."""
    text = demo_text().replace('name = "Tamarack Lane (invented)"', 'name = "Mine"  # as my neighbour calls it')
    (tmp_path / HOUSE_FILE).write_text(text, encoding="utf-8")
    return tmp_path


def test_opening_writes_nothing(folder):
    own = OwnHouse(folder)
    assert own.is_demo and "invented" in own.state and "invented" in own.house.name
    assert list(folder.iterdir()) == []


def test_found_again_next_time(folder):
    first = OwnHouse(folder)
    first.change("name", "Grünes Haus „Süd“ 温室")
    first.change("barrels", "12")
    first.change("price.electricity", "0.31")
    again = OwnHouse(folder)
    assert again.house == first.house and again.conditions == first.conditions
    assert again.house.name == "Grünes Haus „Süd“ 温室" and again.house.store("drums").count == 12
    assert again.conditions.prices["electricity"] == 0.31
    assert not again.is_demo and "invented" not in again.state
    assert read_house(folder / HOUSE_FILE) == first.house


def test_each_change_leaves_a_copy_of_what_stood_there(hand_written):
    before = (hand_written / HOUSE_FILE).read_bytes()
    own = OwnHouse(hand_written)
    own.change("name", "Second")
    second = (hand_written / HOUSE_FILE).read_bytes()
    own.change("name", "Third")
    assert (hand_written / f"{HOUSE_FILE}.bak").read_bytes() == second != before
    assert (hand_written / f"{HOUSE_FILE}.opened.bak").read_bytes() == before
    assert read_house(hand_written / HOUSE_FILE).name == "Third"


def test_comments_and_units_of_a_hand_written_file_stay(hand_written):
    OwnHouse(hand_written).change("barrels", "3")
    text = (hand_written / HOUSE_FILE).read_text(encoding="utf-8")
    assert "# as my neighbour calls it" in text and '"1 in"' in text
    assert "of the soil's surface over the year" in text


def test_an_entry_that_changes_nothing_writes_nothing(hand_written):
    stamp = (hand_written / HOUSE_FILE).stat().st_mtime_ns
    OwnHouse(hand_written).change("name", "Mine")
    assert (hand_written / HOUSE_FILE).stat().st_mtime_ns == stamp
    assert shown_files(hand_written) == [HOUSE_FILE]


DAMAGED = {
    "half-written": demo_text()[: len(demo_text()) // 2].rstrip() + "\n[[surf",
    "nonsense": "this was a shopping list\n- film\n- foam\n",
    "a word misspelt": demo_text().replace("air_change_rate", "air_chnge_rate", 1),
    "empty": "",
    "too cold": demo_text().replace("latitude = 46.5", "latitude = 146.5"),
}


@pytest.mark.parametrize("what", DAMAGED)
def test_a_damaged_file_is_left_alone_and_work_goes_on_beside_it(tmp_path, what):
    path = tmp_path / HOUSE_FILE
    path.write_text(DAMAGED[what], encoding="utf-8")
    own = OwnHouse(tmp_path)
    note = "\n".join(own.notes)
    assert HOUSE_FILE in note and "left as it is" in note and "Read the file again" in note
    assert str(tmp_path) not in note
    own.change("name", "Written meanwhile")
    assert path.read_text(encoding="utf-8") == DAMAGED[what]
    assert read_house(tmp_path / "my-greenhouse-2.toml").name == "Written meanwhile"
    assert "my-greenhouse-2.toml" in own.notes[0] and "Nothing was written over" in own.notes[0]
    own.change("name", "And more")
    assert path.read_text(encoding="utf-8") == DAMAGED[what]
    assert read_house(tmp_path / "my-greenhouse-2.toml").name == "And more"


def test_the_message_names_the_line(tmp_path):
    text = demo_text().replace("latitude = 46.5", "latitude = 146.5")
    (tmp_path / HOUSE_FILE).write_text(text, encoding="utf-8")
    line = next(n for n, row in enumerate(text.splitlines(), 1) if "146.5" in row)
    assert f"line {line}" in OwnHouse(tmp_path).notes[0]


def test_a_file_in_another_encoding_is_left_alone(tmp_path):
    data = demo_text().encode("utf-16")
    (tmp_path / HOUSE_FILE).write_bytes(data)
    own = OwnHouse(tmp_path)
    assert "UTF-8" in own.notes[0]
    own.change("name", "New")
    assert (tmp_path / HOUSE_FILE).read_bytes() == data


def test_a_file_that_an_editor_marked_as_utf_8_is_read(tmp_path):
    """Some editors put three bytes before the text."""
    (tmp_path / HOUSE_FILE).write_bytes(b"\xef\xbb\xbf" + demo_text().replace("Tamarack Lane", "Grünes").encode())
    own = OwnHouse(tmp_path)
    assert own.notes == [] and own.house.name.startswith("Grünes")
    own.change("barrels", "3")
    assert read_house(tmp_path / HOUSE_FILE).stores[0].count == 3


def test_the_last_good_copy_is_shown_where_the_file_is_damaged(hand_written):
    OwnHouse(hand_written).change("name", "Newer")
    (hand_written / HOUSE_FILE).write_text("name = ", encoding="utf-8")
    own = OwnHouse(hand_written)
    assert own.house.name == "Mine" and f"{HOUSE_FILE}.bak" in own.notes[0]


def test_damaged_conditions_do_not_take_the_house_with_them(hand_written):
    (hand_written / CONDITIONS_FILE).write_text("coldest = -24\nwarmst = 3\n", encoding="utf-8")
    own = OwnHouse(hand_written)
    assert own.house.name == "Mine" and "warmst" in own.notes[0] and "warmest" in own.notes[0]
    own.change("conditions.coldest", "-20")
    assert (hand_written / CONDITIONS_FILE).read_text(encoding="utf-8") == "coldest = -24\nwarmst = 3\n"
    assert (hand_written / "my-greenhouse-plan-2.toml").exists()


def test_put_right_and_read_again(tmp_path):
    path = tmp_path / HOUSE_FILE
    path.write_text("name = ", encoding="utf-8")
    own = OwnHouse(tmp_path)
    path.write_text(demo_text().replace("Tamarack Lane (invented)", "Put right"), encoding="utf-8")
    own.read()
    assert own.house.name == "Put right" and own.notes == []
    own.change("name", "Saved in place")
    assert read_house(path).name == "Saved in place" and shown_files(tmp_path)[0] == HOUSE_FILE


# ---- two at once ----------------------------------------------------------------------------------------------------


def test_two_notebooks_keep_both(hand_written):
    one, other = OwnHouse(hand_written), OwnHouse(hand_written)
    one.change("name", "From the first")
    other.change("name", "From the second")
    assert read_house(hand_written / HOUSE_FILE).name == "From the first"
    assert read_house(hand_written / "my-greenhouse-2.toml").name == "From the second"
    assert "changed elsewhere" in other.notes[0] and "my-greenhouse-2.toml" in other.notes[0]
    other.change("barrels", "7")
    one.change("barrels", "8")
    assert read_house(hand_written / HOUSE_FILE).store("barrels").count == 8
    assert read_house(hand_written / "my-greenhouse-2.toml").store("barrels").count == 7


def test_two_notebooks_that_begin_without_a_file_keep_both(tmp_path):
    one, other = OwnHouse(tmp_path), OwnHouse(tmp_path)
    one.change("name", "First")
    other.change("name", "Second")
    names = {read_house(tmp_path / name).name for name in (HOUSE_FILE, "my-greenhouse-2.toml")}
    assert names == {"First", "Second"}


def test_what_was_kept_beside_is_named_next_time(hand_written):
    one, other = OwnHouse(hand_written), OwnHouse(hand_written)
    one.change("name", "From the first")
    other.change("name", "From the second")
    again = OwnHouse(hand_written)
    assert again.house.name == "From the first" and len(again.notes) == 1
    assert "my-greenhouse-2.toml" in again.notes[0] and "Put what you want" in again.notes[0]


def test_the_same_text_from_two_is_no_conflict(tmp_path):
    one, other = Kept(tmp_path / "a.toml"), Kept(tmp_path / "a.toml")
    one.read(), other.read()
    one.save("same"), other.save("same")
    assert shown_files(tmp_path) == ["a.toml"]


def test_a_deleted_file_is_written_anew(hand_written):
    own = OwnHouse(hand_written)
    (hand_written / HOUSE_FILE).unlink()
    own.change("name", "Back again")
    assert read_house(hand_written / HOUSE_FILE).name == "Back again"


RACE = """
import sys, time
from pathlib import Path
from heatlib.classroom.keeping import Kept
kept = Kept(Path(sys.argv[1]))
kept.read()
print("ready", flush=True)
sys.stdin.readline()
kept.save(sys.argv[2] * 50_000)
"""


def test_six_programs_that_save_at_the_same_moment_all_keep_theirs(tmp_path):
    path = tmp_path / "my-greenhouse.toml"
    path.write_text("old", encoding="utf-8")
    running = [
        subprocess.Popen([sys.executable, "-c", RACE, path, letter], stdin=subprocess.PIPE, stdout=subprocess.PIPE)
        for letter in "ABCDEF"
    ]
    for one in running:
        assert one.stdout.readline().strip() == b"ready"
    for one in running:
        one.stdin.write(b"go\n")
        one.stdin.flush()
    assert [one.communicate(timeout=60) and one.returncode for one in running] == [0] * 6
    texts = everything_in(tmp_path)
    for letter in (b"A", b"B", b"C", b"D", b"E", b"F"):
        assert letter * 50_000 in texts
    assert b"old" in texts


# ---- killed while saving --------------------------------------------------------------------------------------------

LOOP = """
import sys
from pathlib import Path
from heatlib.classroom.keeping import Kept
kept = Kept(Path(sys.argv[1]))
kept.read()
n = 0
print("ready", flush=True)
while True:
    n += 1
    kept.save(f"begin {n}\\n" + "x" * 400_000 + f"\\nend {n}\\n")
"""


def test_a_kill_while_saving_leaves_a_whole_file(tmp_path):
    """SIGKILL can't be caught: whatever it hits, the file must be one whole version."""
    path, chance = tmp_path / "my-greenhouse.toml", random.Random(4)
    parts_seen = 0
    for _ in range(12):
        process = subprocess.Popen([sys.executable, "-c", LOOP, path], stdout=subprocess.PIPE)
        assert process.stdout.readline().strip() == b"ready"
        time.sleep(0.02 + 0.15 * chance.random())
        process.send_signal(signal.SIGKILL)
        process.wait()
        process.stdout.close()
        parts_seen += any(name.name.endswith(".part") for name in tmp_path.iterdir())
        for name in (path, path.with_name(f"{path.name}.bak")):
            if name.exists():
                lines = name.read_text(encoding="utf-8").splitlines()
                assert lines[0].replace("begin", "end") == lines[-1] and len(lines[1]) == 400_000
    assert path.exists()
    assert parts_seen, "no kill fell into a save: the test has shown nothing"
    kept = Kept(path)
    kept.read()
    kept.save("after all")
    assert not [name for name in tmp_path.iterdir() if name.name.endswith(".part")]
    assert path.read_text(encoding="utf-8") == "after all"


def test_a_kill_does_not_lock_the_others_out(tmp_path):
    path = tmp_path / "my-greenhouse.toml"
    hold = (
        "import sys, time\nfrom pathlib import Path\nfrom heatlib.classroom.keeping import _alone\n"
        "with _alone(Path(sys.argv[1])):\n    print('held', flush=True)\n    time.sleep(60)\n"
    )
    process = subprocess.Popen([sys.executable, "-c", hold, path], stdout=subprocess.PIPE)
    assert process.stdout.readline().strip() == b"held"
    process.send_signal(signal.SIGKILL)
    process.wait()
    process.stdout.close()
    kept = Kept(path)
    kept.read()
    assert kept.save("mine").name == path.name


# ---- no room, no permission -----------------------------------------------------------------------------------------


def in_own_process(code, *arguments):
    return subprocess.run(
        [sys.executable, "-c", textwrap.dedent(code), *map(str, arguments)],
        capture_output=True, text=True, timeout=120, check=False,
    )  # fmt: skip


def test_no_room_on_the_disk_keeps_the_old_file_and_shows_what_was_entered(hand_written):
    """A limit on the size of files stands in for a full disk: the write itself fails half-way."""
    before = (hand_written / HOUSE_FILE).read_bytes()
    done = in_own_process(
        """
        import resource, sys
        from heatlib.classroom.own_house import OwnHouse
        own = OwnHouse(sys.argv[1])
        resource.setrlimit(resource.RLIMIT_FSIZE, (500, 500))
        own.change("name", "Entered with no room")
        print("\\n".join(own.notes)); print(own.state); print(own.unsaved)
        """,
        hand_written,
    )
    assert done.returncode == 0, done.stderr
    assert "the disk is full" in done.stdout and "as it was" in done.stdout and "NOT SAVED" in done.stdout
    assert 'name = "Entered with no room"' in done.stdout and "[[surfaces]]" in done.stdout
    assert (hand_written / HOUSE_FILE).read_bytes() == before
    assert not [path for path in hand_written.iterdir() if path.name.endswith(".part")]


def test_what_could_not_be_saved_is_saved_with_the_next_entry(hand_written):
    soft, hard = resource.getrlimit(resource.RLIMIT_FSIZE)
    own = OwnHouse(hand_written)
    resource.setrlimit(resource.RLIMIT_FSIZE, (500, hard))
    try:
        own.change("name", "First try")
    finally:
        resource.setrlimit(resource.RLIMIT_FSIZE, (soft, hard))
    assert "First try" in own.unsaved and "NOT SAVED" in own.state
    own.change("conditions.coldest", "-21")
    assert own.unsaved == "" and read_house(hand_written / HOUSE_FILE).name == "First try"


@pytest.mark.parametrize(
    "code, words",
    [
        (errno.ENOSPC, "the disk is full"),
        (errno.EROFS, "can only be read"),
        (errno.EACCES, "you may not write in this folder"),
        (errno.EPERM, "you may not write in this folder"),
    ],
)
@pytest.mark.parametrize("step", ["mkstemp", "fsync", "replace"])
def test_each_step_of_a_save_may_fail(hand_written, monkeypatch, code, words, step):
    before = (hand_written / HOUSE_FILE).read_bytes()
    own = OwnHouse(hand_written)

    def fail(*args, **kwargs):
        raise OSError(code, os.strerror(code))

    with monkeypatch.context() as patched:
        patched.setattr(keeping.tempfile if step == "mkstemp" else keeping.os, step, fail)
        own.change("name", "Entered")
    assert words in own.notes[0] and str(hand_written) not in own.notes[0]
    assert "Entered" in own.unsaved and own.house.name == "Entered"
    assert (hand_written / HOUSE_FILE).read_bytes() == before
    assert not [path for path in hand_written.iterdir() if path.name.endswith(".part")]


def test_a_file_where_the_folder_should_be(tmp_path):
    (tmp_path / "lessons").write_text("a file", encoding="utf-8")
    own = OwnHouse(tmp_path / "lessons")
    own.change("name", "Entered")
    assert "could not be saved" in own.notes[-1] and "Entered" in own.unsaved


def test_a_folder_that_has_gone(tmp_path):
    gone = tmp_path / "lessons"
    gone.mkdir()
    own = OwnHouse(gone)
    gone.rmdir()
    own.change("name", "Entered")
    assert "no longer there" in own.notes[-1] and "Entered" in own.unsaved


def test_a_folder_with_the_name_of_the_file(tmp_path):
    (tmp_path / HOUSE_FILE).mkdir()
    own = OwnHouse(tmp_path)
    assert "a folder has the name of the file" in own.notes[0]
    own.change("name", "Entered")
    assert read_house(tmp_path / "my-greenhouse-2.toml").name == "Entered"


# ---- what is made anew ----------------------------------------------------------------------------------------------


def test_a_plan_file_is_copied_before_it_is_made_anew(tmp_path):
    path = tmp_path / "my-greenhouse-plan" / "plan.md"
    put_with_copy(path, b"first, with notes of mine")
    put_with_copy(path, b"second")
    assert path.read_bytes() == b"second"
    assert path.with_name("plan.md.bak").read_bytes() == b"first, with notes of mine"
    put_with_copy(path, b"second")
    assert path.with_name("plan.md.bak").read_bytes() == b"first, with notes of mine"


def test_a_plan_that_can_not_be_written_says_so(tmp_path):
    (tmp_path / "my-greenhouse-plan").write_text("a file", encoding="utf-8")
    with pytest.raises(KeepingError, match=r"plan\.md could not be written"):
        put_with_copy(tmp_path / "my-greenhouse-plan" / "plan.md", b"x")
    assert (tmp_path / "my-greenhouse-plan").read_text(encoding="utf-8") == "a file"

"""Keep what a reader wrote: one text file beside the lessons that no mishap loses.

A save goes to a temporary file, to the disk, then into place, after a copy of what stood there. A file that changed
since it was read, or that can't be read, is never written over: the reader's text goes to a new name beside it.
"""

import contextlib
import errno
import os
import re
import tempfile
from dataclasses import dataclass
from pathlib import Path

__all__ = ["KeepingError", "Kept", "Saved", "put_with_copy"]

MOST_NAMES = 1000
"""Beside one damaged file there is room for so many others."""


class KeepingError(Exception):
    """The text could not be saved; the message says why and what to do."""


@dataclass(frozen=True)
class Saved:
    """Where the text went, and what the reader should know."""

    name: str
    """Name of the file [text]."""
    beside: bool
    """Whether another file stood in its place and was left as it is [yes/no]."""
    note: str
    """What the reader should know, or nothing [text]."""


class Kept:
    """One file of the reader's.

    Parameters
    ----------
    path : pathlib.Path
        Where it is, or will be [–].
    """

    def __init__(self, path):
        self.path = Path(path)
        self._seen, self._damaged, self._copied = None, "", False

    def read(self):
        """Return the text, or None where there is no such file yet; remembers what it saw.

        Raises
        ------
        KeepingError
            If the file can't be read as text; it will not be written over.
        """
        self._damaged, self._copied = "", False
        try:
            self._seen = self.path.read_bytes()
        except FileNotFoundError:
            self._seen, self._copied = None, True
            return None
        except OSError as error:
            self._damaged = f"{self.path.name} can't be read: {_reason(error)}"
            raise KeepingError(self._damaged) from error
        try:
            return self._seen.decode("utf-8-sig")
        except UnicodeDecodeError as error:
            self.mark_damaged("it is not a text file in UTF-8")
            raise KeepingError(self._damaged) from error

    def mark_damaged(self, why):
        """Say that what was read is of no use: the next save goes beside it."""
        self._damaged = f"{self.path.name} can't be read ({why}), so it is left as it is"

    def others(self):
        """Return the names of files that were put beside this one because it could not be written over [text]."""
        form = re.compile(rf"{re.escape(self.path.stem)}-\d+{re.escape(self.path.suffix)}")
        folder = self.path.parent
        return sorted(path.name for path in folder.iterdir() if form.fullmatch(path.name)) if folder.is_dir() else []

    def save(self, text):
        """Save the text; what stood there is copied first, and a stranger's file is left alone.

        Parameters
        ----------
        text : str
            The whole text [text].

        Returns
        -------
        Saved
            Where it went [–].

        Raises
        ------
        KeepingError
            If it could not be saved; the file is then as it was.
        """
        data = text.encode("utf-8")
        try:
            with _alone(self.path):
                return self._save(data)
        except OSError as error:
            still = f" {self.path.name} is as it was." if self._seen is not None else ""
            raise KeepingError(f"This could not be saved: {_reason(error)}.{still}") from error

    def _save(self, data):
        _sweep(self.path)
        if self._damaged:
            return self._beside(data, self._damaged)
        try:
            now = self.path.read_bytes()
        except FileNotFoundError:
            now = None
        if now not in (None, self._seen, data):
            return self._beside(
                data, f"{self.path.name} was changed elsewhere since it was read here (another notebook or an editor)"
            )
        if now is not None and now != data:
            if not self._copied:
                _put(self.path.with_name(self.path.name + ".opened.bak"), now)
                self._copied = True
            _put(self.path.with_name(self.path.name + ".bak"), now)
        if now != data:
            _put(self.path, data)
        self._seen = data
        return Saved(self.path.name, False, "")

    def _beside(self, data, why):
        old, number = self.path, 2
        while True:
            new = old.with_name(f"{old.stem}-{number}{old.suffix}")
            if not new.exists():
                break
            number += 1
            if number > MOST_NAMES:
                raise OSError(errno.EEXIST, f"too many files named like {old.name}")
        _put(new, data)
        self.path, self._seen, self._damaged, self._copied = new, data, "", False
        note = (
            f"{why}. Nothing was written over: your entries are kept in {new.name} beside it. Open both in a text "
            f"editor, put into {old.name} what you want to keep, and press “Read the file again”."
        )
        return Saved(new.name, True, note)


def put_with_copy(path, data):
    """Write a file that is made anew each time; another version that stands there is copied to ``.bak`` first.

    Parameters
    ----------
    path : pathlib.Path
        Where; its folder is made where it is missing [–].
    data : bytes
        What to write [bytes].

    Raises
    ------
    KeepingError
        If it could not be written; an older file is then as it was.
    """
    try:
        path.parent.mkdir(exist_ok=True)
        with _alone(path.with_name("plan")):
            _sweep(path)
            if path.exists() and (now := path.read_bytes()) != data:
                _put(path.with_name(path.name + ".bak"), now)
            _put(path, data)
    except OSError as error:
        raise KeepingError(f"{path.name} could not be written: {_reason(error)}.") from error


def _put(path, data):
    """Write a file at one stroke."""
    part = None
    try:
        handle, part = tempfile.mkstemp(dir=path.parent, prefix=f".{path.name}.", suffix=".part")
        with os.fdopen(handle, "wb") as stream:
            stream.write(data)
            stream.flush()
            os.fsync(stream.fileno())
        os.chmod(part, 0o644)
        os.replace(part, path)
    except BaseException:
        if part is not None:
            with contextlib.suppress(OSError):
                os.unlink(part)
        raise


def _sweep(path):
    """Take away what a killed save left; whoever saves this file holds the lock, so nobody is writing one."""
    for left in path.parent.iterdir():
        if left.name.startswith(f".{path.name}.") and left.name.endswith(".part"):
            left.unlink(missing_ok=True)


@contextlib.contextmanager
def _alone(path):
    """Let one program at a time save this file; the system frees the lock where a program is killed."""
    with open(path.with_name(f".{path.name}.lock"), "a+b") as door:
        try:
            import fcntl
        except ImportError:
            import msvcrt

            door.seek(0)
            msvcrt.locking(door.fileno(), msvcrt.LK_LOCK, 1)
            try:
                yield
            finally:
                door.seek(0)
                msvcrt.locking(door.fileno(), msvcrt.LK_UNLCK, 1)
        else:
            fcntl.flock(door, fcntl.LOCK_EX)
            yield


def _reason(error):
    room = "the disk is full: make room, then change any entry again"
    closed = (
        "you may not write in this folder, or the file is open in another program: close it there, or copy the course "
        "into a folder of your own"
    )
    plain = {
        errno.ENOSPC: room,
        errno.EFBIG: room,
        getattr(errno, "EDQUOT", -1): "your share of the disk is full: make room, then change any entry again",
        errno.ENOENT: "the folder is no longer there: open the lesson again from where it is now",
        errno.ENOTDIR: "the folder is no folder: open the lesson again from where it is now",
        errno.EACCES: closed,
        errno.EPERM: closed,
        errno.EROFS: "this folder can only be read: copy the course into a folder of your own",
        errno.EISDIR: "a folder has the name of the file: give the folder another name",
    }
    return plain.get(error.errno, error.strerror or str(error))

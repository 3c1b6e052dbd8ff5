"""Write a file so that a failure half-way loses nothing, and say in plain words what went wrong."""

import errno
import os
import tempfile
from pathlib import Path

__all__ = ["SavingError", "check_folder", "save"]


class SavingError(Exception):
    """A file could not be written; the message says why and what to do."""


def save(data, path):
    """Write a file at one stroke: where that fails, an older file of that name stays as it was.

    Parameters
    ----------
    data : bytes
        What to write [bytes].
    path : pathlib.Path
        Where [–].

    Raises
    ------
    SavingError
        If there is no such folder, no permission, or no room on the disk.
    """
    part = None
    try:
        with tempfile.NamedTemporaryFile(dir=path.parent, prefix=".sheet-", delete=False) as page:
            part = page.name
            page.write(data)
            page.flush()
            os.fsync(page.fileno())
        os.chmod(part, 0o644)
        os.replace(part, path)
    except OSError as error:
        if part is not None:
            Path(part).unlink(missing_ok=True)
        raise SavingError(f"{path} could not be written: {_reason(error, path.parent)}{_kept(path)}") from error


def _reason(error, folder):
    closed = (
        f"you may not write in {folder}, or the file is open in another program; close it there or choose another "
        "folder with --folder"
    )
    plain = {
        errno.ENOSPC: "the disk is full; make room or choose another folder with --folder",
        getattr(
            errno, "EDQUOT", -1
        ): "your share of the disk is full; make room or choose another folder with --folder",
        errno.ENOENT: f"the folder {folder} is not there; make it first or choose another with --folder",
        errno.ENOTDIR: f"{folder} is not a folder; choose one with --folder",
        errno.EACCES: closed,
        errno.EPERM: closed,
        errno.EROFS: f"{folder} can only be read; choose another folder with --folder",
    }
    return plain.get(error.errno, error.strerror or str(error))


def _kept(path):
    return ". The older file of that name is as it was" if path.exists() else ""


def check_folder(folder):
    """Refuse a folder that is missing, no folder, or closed for writing, before any work is done.

    Parameters
    ----------
    folder : pathlib.Path
        Where files are to go [–].

    Raises
    ------
    SavingError
        With what is wrong and what to do.
    """
    for wrong, code in ((not folder.exists(), errno.ENOENT), (not folder.is_dir(), errno.ENOTDIR)):
        if wrong:
            raise SavingError(_reason(OSError(code, ""), folder))
    if not os.access(folder, os.W_OK):
        raise SavingError(_reason(OSError(errno.EACCES, ""), folder))

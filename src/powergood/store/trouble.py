"""What the disk or the database refuses, told as a WorkshopError that says what to do."""

from __future__ import annotations

import errno
import sqlite3
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from sqlalchemy.exc import DBAPIError

from powergood.errors import DiskFull, WorkshopError

_FULL = {errno.ENOSPC, errno.EFBIG, errno.EDQUOT}
STORED = "What you sent last was not stored; everything stored before is safe."
_FORBIDDEN = {errno.EACCES, errno.EPERM, errno.EROFS}


@contextmanager
def in_plain_words(folder: Path, safe: str = STORED) -> Iterator[None]:
    """Turn troubles of the disk and of SQLite met in `folder` into errors a person can act on.

    `safe` says what was not done and what is safe.
    What only a mistake in this program can cause (a broken constraint, wrong SQL) passes through.
    """
    try:
        yield
    except DBAPIError as error:
        if isinstance(error.orig, sqlite3.Error):
            worded = _of_sqlite(error.orig, folder, safe)
            if worded:
                raise worded from error
        raise
    except sqlite3.Error as error:
        worded = _of_sqlite(error, folder, safe)
        if worded:
            raise worded from error
        raise
    except OSError as error:
        raise of_disk(error, folder, safe) from error


def of_disk(error: OSError, folder: Path, safe: str = STORED) -> WorkshopError:
    """Return the plain words for an error of the file system."""
    if error.errno in _FULL:
        return disk_full(folder, safe)
    if error.errno in _FORBIDDEN:
        return not_writable(folder)
    return WorkshopError(
        f"The folder {folder} could not be used ({error}). {safe} "
        "Look at the disk or the connection to it, then try again."
    )


def disk_full(folder: Path, safe: str = STORED) -> DiskFull:
    """Return the error for a disk that takes no more."""
    return DiskFull(
        f"There is no room left on the disk of {folder}. {safe} Make room on that disk, then try again."
    )


def not_writable(folder: Path) -> WorkshopError:
    """Return the error for a folder that may not be written to."""
    return WorkshopError(
        f"The folder {folder} may not be written to. Give yourself the right to write there, "
        "or copy the workshop to a folder of your own."
    )


def _of_sqlite(error: sqlite3.Error, folder: Path, safe: str) -> WorkshopError | None:
    match getattr(error, "sqlite_errorcode", sqlite3.SQLITE_ERROR) & 0xFF:
        case sqlite3.SQLITE_FULL:
            return disk_full(folder, safe)
        case sqlite3.SQLITE_READONLY | sqlite3.SQLITE_CANTOPEN | sqlite3.SQLITE_PERM:
            return not_writable(folder)
        case sqlite3.SQLITE_BUSY | sqlite3.SQLITE_LOCKED:
            return WorkshopError(
                f"Another program has the database in {folder} locked. Nothing was changed. "
                "Close that program and try again."
            )
        case sqlite3.SQLITE_CORRUPT | sqlite3.SQLITE_NOTADB:
            return WorkshopError(
                f"The database in {folder} is damaged ({error}). Do not write to it any more: "
                "copy the folder as it is, then restore the last backup with `powergood restore`."
            )
        case sqlite3.SQLITE_IOERR:
            return WorkshopError(
                f"The disk of {folder} did not read or write as it should ({error}). {safe} "
                "Look at the disk, its free room and its limits, then try again."
            )
    return None

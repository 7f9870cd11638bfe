"""Files written so that a crash leaves the whole file or none: temporary, synced, renamed."""

from __future__ import annotations

import os
import sys
from pathlib import Path

TEMPORARY = ".tmp"


def write_durably(path: Path, data: bytes) -> None:
    """Write `data` at `path`, whole and on the disk when this returns; make its folder if need be."""
    make_folder(path.parent)
    part = path.with_name(path.name + TEMPORARY)
    try:
        with part.open("wb") as file:
            file.write(data)
            file.flush()
            os.fsync(file.fileno())
    except OSError:
        part.unlink(missing_ok=True)
        raise
    put_in_place(part, path)


def put_in_place(part: Path, path: Path) -> None:
    """Rename a file that is synced to its own name, and sync the folder that names it."""
    part.replace(path)
    sync_folder(path.parent)


def make_folder(folder: Path) -> None:
    """Make a folder, with those above it, and sync the ones that name them."""
    missing = [one for one in (folder, *folder.parents) if not one.exists()]
    for one in reversed(missing):
        one.mkdir(exist_ok=True)
        sync_folder(one.parent)


def sync_file(path: Path) -> None:
    """Have what was written to a file on the disk when this returns."""
    with path.open("rb+") as file:
        os.fsync(file.fileno())


def sync_folder(folder: Path) -> None:
    """Have the names in a folder on the disk when this returns; Windows does so of itself."""
    if sys.platform == "win32":
        return
    descriptor = os.open(folder, os.O_RDONLY)
    try:
        os.fsync(descriptor)
    finally:
        os.close(descriptor)


def sweep(folder: Path) -> int:
    """Delete the temporary files that a crash left under `folder`; return how many."""
    strays = list(folder.rglob(f"*{TEMPORARY}"))
    for stray in strays:
        stray.unlink(missing_ok=True)
    return len(strays)

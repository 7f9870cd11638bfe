"""A strict reader of backups.

An archive is read as something a stranger may have made: nothing in it is used before its name, size
and digest have been looked at.
"""

from __future__ import annotations

import hashlib
import stat
import zipfile
import zlib
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import IO

from powergood.errors import BadInput
from powergood.store.layout import DATABASE_NAME
from powergood.store.manifest import MANIFEST_NAME, Entry, Manifest, allowed_name, manifest_from, refused

CHUNK_BYTES = 1 << 20
_MANIFEST_MOST_BYTES = 64 << 20
_NEEDED_NAMES = {DATABASE_NAME}


@contextmanager
def opened_archive(path: Path) -> Iterator[tuple[zipfile.ZipFile, Manifest]]:
    """Open a backup and give its files and manifest, after looking at every name and size.

    Raises
    ------
    BadInput : no backup, cut short, or with names or files it should not hold; all of them are named.
    """
    if not path.is_file():
        raise BadInput(f"There is no file {path}. Look at the name of the backup.")
    try:
        with zipfile.ZipFile(path) as archive:
            _refuse_odd_members(archive, path)
            data = _manifest_data(archive, path)
            manifest = manifest_from(data, path)
            _refuse_unlisted(archive, manifest, path)
            yield archive, manifest
    except (zipfile.BadZipFile, zlib.error, EOFError, NotImplementedError) as error:
        raise BadInput(
            f"{path} is not a whole backup: it is damaged, was cut short, or is another kind of file "
            f"({error}). Nothing was changed. Take another copy of it, or an earlier backup."
        ) from error


def copied(source: IO[bytes], target: IO[bytes], most: int) -> Entry:
    """Copy at most `most` bytes and one more; return the digest and size of what was copied."""
    digest, size = hashlib.sha256(), 0
    while size <= most and (data := source.read(min(CHUNK_BYTES, most + 1 - size))):
        target.write(data)
        digest.update(data)
        size += len(data)
    return Entry(digest.hexdigest(), size)


def entry_of(source: IO[bytes]) -> Entry:
    """Return the digest and size of what can be read from `source`."""
    digest, size = hashlib.sha256(), 0
    while data := source.read(CHUNK_BYTES):
        digest.update(data)
        size += len(data)
    return Entry(digest.hexdigest(), size)


def _refuse_odd_members(archive: zipfile.ZipFile, path: Path) -> None:
    problems, seen = [], set[str]()
    for info in archive.infolist():
        name = info.orig_filename
        if name != MANIFEST_NAME and not allowed_name(name):
            problems.append(f"it holds {name[:200]!r}, which no backup holds")
        if name.casefold() in seen:
            problems.append(f"it holds {name[:200]!r} twice")
        if info.flag_bits & 0x1:
            problems.append(f"{name[:200]!r} is encrypted")
        if stat.S_ISLNK(info.external_attr >> 16):
            problems.append(f"{name[:200]!r} is a link, not a file")
        seen.add(name.casefold())
    if problems:
        raise refused(path, problems)


def _manifest_data(archive: zipfile.ZipFile, path: Path) -> bytes:
    if MANIFEST_NAME not in archive.namelist():
        raise refused(path, [f"it has no {MANIFEST_NAME}"])
    with archive.open(MANIFEST_NAME) as file:
        data = file.read(_MANIFEST_MOST_BYTES + 1)
    if len(data) > _MANIFEST_MOST_BYTES:
        raise refused(path, [f"its {MANIFEST_NAME} is far too large"])
    return data


def _refuse_unlisted(archive: zipfile.ZipFile, manifest: Manifest, path: Path) -> None:
    sizes = {info.filename: info.file_size for info in archive.infolist() if info.filename != MANIFEST_NAME}
    problems = [f"{name!r} is not in its list" for name in sorted(sizes.keys() - manifest.files.keys())]
    wanted = manifest.files.keys() | _NEEDED_NAMES
    problems += [f"{name[:200]!r} is missing from it" for name in sorted(wanted - sizes.keys())]
    problems += [
        f"{name!r} has {sizes[name]} bytes where its list says {entry.size}"
        for name, entry in sorted(manifest.files.items())
        if name in sizes and sizes[name] != entry.size
    ]
    if problems:
        raise refused(path, problems)

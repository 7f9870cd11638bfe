"""Putting a backup back into an empty folder, every file checked before the workshop can be opened."""

from __future__ import annotations

import shutil
import zipfile
from dataclasses import dataclass
from pathlib import Path

from sqlalchemy import func, select
from sqlalchemy.exc import DBAPIError

from powergood.errors import DiskFull, WorkshopError
from powergood.store import tables as t
from powergood.store.archive import copied, opened_archive
from powergood.store.backup import Progress, silent
from powergood.store.durable import put_in_place, sync_file, sync_folder
from powergood.store.engine import reading
from powergood.store.inspect import integrity_troubles, structure_troubles
from powergood.store.layout import DATABASE_NAME, PACKS_NAME, PHOTOS_NAME, refuse_unless_free
from powergood.store.manifest import Manifest, refused
from powergood.store.store import Store
from powergood.store.trouble import in_plain_words
from powergood.store.version import HEAD, revision_of

_SAFE = "Nothing was restored; the backup itself is unharmed."
_STAGING = ".restoring"
_ROOM_TO_SPARE_BYTES = 16 << 20


@dataclass(frozen=True, slots=True)
class RestoreReport:
    """What was put back. `missing` are photos that were gone already when the backup was made."""

    folder: Path
    facts: int
    photos: int
    made_at: str
    missing: tuple[str, ...] = ()


def restore(archive: Path, folder: Path, progress: Progress = silent) -> RestoreReport:
    """Put the backup `archive` into `folder`, which must be empty or not there yet.

    The database gets its name last, so that the folder is no workshop until everything is in it. A
    backup of an older version is brought up to date.

    Raises
    ------
    BadInput : the archive is no whole backup, or holds what it should not; nothing was changed.
    NewerWorkshop : it was made by a newer version.
    WorkshopError, DiskFull : the folder is not empty or cannot be written; nothing was changed.
    """
    archive, folder = Path(archive), Path(folder)
    refuse_unless_free(folder)
    made = not folder.exists()
    staging = folder / _STAGING
    with in_plain_words(folder, _SAFE), opened_archive(archive) as (files, manifest):
        try:
            shutil.rmtree(staging, ignore_errors=True)
            staging.mkdir(parents=True)
            _refuse_too_large(staging, manifest)
            _unpack(files, manifest, staging, archive, progress)
            _look_over(staging, manifest, archive)
            _move_into_place(staging, folder)
        except BaseException:
            _clear_away(folder, whole=made)
            raise
    Store.open(folder).close()
    progress(len(manifest.files), len(manifest.files), "done")
    return RestoreReport(folder, manifest.facts, manifest.photos, manifest.made_at, manifest.missing)


def _refuse_too_large(staging: Path, manifest: Manifest) -> None:
    needed = sum(entry.size for entry in manifest.files.values()) + _ROOM_TO_SPARE_BYTES
    free = shutil.disk_usage(staging).free
    if needed > free:
        raise DiskFull(
            f"The backup needs {needed / 1e6:.0f} MB and the disk has {free / 1e6:.0f} MB free. {_SAFE} "
            "Make room, or restore to another disk."
        )


def _unpack(
    files: zipfile.ZipFile, manifest: Manifest, staging: Path, archive: Path, progress: Progress
) -> None:
    problems: list[str] = []
    for done, (name, listed) in enumerate(sorted(manifest.files.items())):
        progress(
            done,
            len(manifest.files),
            "restoring the photos" if name.startswith(PHOTOS_NAME) else f"restoring {name}",
        )
        target = staging / name
        target.parent.mkdir(parents=True, exist_ok=True)
        with files.open(name) as source, target.open("wb") as out:
            found = copied(source, out, listed.size)
        sync_file(target)
        if found != listed:
            problems.append(f"{name!r} is not what its list says: its digest differs")
        elif target.suffix == ".jpg" and name.startswith(f"{PHOTOS_NAME}/") and found.sha256 != target.stem:
            problems.append(f"{name!r} is not the photo its name says")
    if problems:
        raise refused(archive, problems)


def _look_over(staging: Path, manifest: Manifest, archive: Path) -> None:
    database = staging / DATABASE_NAME
    problems = [f"its database: {trouble}" for trouble in integrity_troubles(database)]
    if problems:
        raise refused(archive, problems)
    try:
        revision = revision_of(database)
    except WorkshopError as error:
        if type(error) is not WorkshopError:
            raise
        raise refused(archive, ["its database is not that of a workshop"]) from error
    try:
        with reading(database).begin() as connection:
            if revision == HEAD:
                problems += structure_troubles(connection)
            facts = connection.scalar(select(func.count()).select_from(t.fact))
            digests = connection.execute(select(t.photo.c.digest)).scalars().all()
    except DBAPIError as error:
        raise refused(archive, [f"its database: {error.orig}"]) from error
    if facts != manifest.facts:
        problems.append(f"its database holds {facts} facts where its list says {manifest.facts}")
    problems += [
        f"the photo {digest[:12]} is in its book but not among its files"
        for digest in digests
        if digest not in manifest.missing and f"{PHOTOS_NAME}/{digest[:2]}/{digest}.jpg" not in manifest.files
    ]
    if problems:
        raise refused(archive, problems)


def _move_into_place(staging: Path, folder: Path) -> None:
    for inner in sorted({path.parent for path in staging.rglob("*")}):
        sync_folder(inner)
    for name in (PHOTOS_NAME, PACKS_NAME):
        if (staging / name).is_dir():
            (staging / name).replace(folder / name)
    sync_folder(folder.parent)
    put_in_place(staging / DATABASE_NAME, folder / DATABASE_NAME)
    shutil.rmtree(staging, ignore_errors=True)


def _clear_away(folder: Path, *, whole: bool) -> None:
    """Take out of a folder that was empty what a failed restore has put there."""
    if (folder / DATABASE_NAME).exists():
        return
    for path in [folder] if whole else [folder / name for name in (_STAGING, PHOTOS_NAME, PACKS_NAME)]:
        shutil.rmtree(path, ignore_errors=True)

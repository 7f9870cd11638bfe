"""A whole copy of a workshop in one file, made while others write, and read back before it counts."""

from __future__ import annotations

import io
import json
import tempfile
import zipfile
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path
from typing import IO

from sqlalchemy import select

from powergood import __version__
from powergood.errors import WorkshopError
from powergood.store import tables as t
from powergood.store.admit import iso_utc
from powergood.store.archive import copied, entry_of, opened_archive
from powergood.store.bodies import read_facts
from powergood.store.durable import TEMPORARY, put_in_place, sync_file
from powergood.store.engine import reading
from powergood.store.export import write_facts
from powergood.store.inspect import integrity_troubles
from powergood.store.layout import DATABASE_NAME, PACKS_NAME, PHOTOS_NAME
from powergood.store.manifest import (
    FACTS_NAME,
    MANIFEST_NAME,
    README_NAME,
    SETTINGS_NAME,
    Entry,
    Manifest,
    allowed_name,
)
from powergood.store.store import Clock, Store, utc_now
from powergood.store.trouble import in_plain_words

Progress = Callable[[int, int, str], None]
"""Is told how many of how many pieces are done, and in words what is done now."""

_SAFE = "No backup was made; the workshop itself is unharmed."
_LARGEST_FILE = 1 << 62


@dataclass(frozen=True, slots=True)
class BackupReport:
    """What a backup holds. `missing` are photos in the book whose files are gone or damaged."""

    path: Path
    facts: int
    photos: int
    size: int
    missing: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class _Snapshot:
    database: Path
    facts_text: Path
    settings: Mapping[str, str]
    facts: int
    digests: tuple[str, ...]


def silent(done: int, total: int, words: str) -> None:
    """Tell nobody."""


def backup(
    folder: Path, target: Path, progress: Progress = silent, *, clock: Clock = utc_now
) -> BackupReport:
    """Write a whole copy of the workshop in `folder` to the zip file `target`.

    Where `target` is a folder, the file is made in it and named after the workshop and the time. Others
    may go on writing; what they add after the start is not in the copy. The file gets its name only when
    every byte of it has been read back and agrees.

    Raises
    ------
    WorkshopError : no workshop, no room, or a file of that name is there already. Nothing is left behind.
    """
    folder, moment = Path(folder), clock()
    path = _target(folder, Path(target), moment)
    with (
        Store.open(folder, clock=clock) as store,
        in_plain_words(path.parent, _SAFE),
        tempfile.TemporaryDirectory(prefix=".backup-", dir=path.parent) as work,
    ):
        progress(0, 1, "copying the database")
        snapshot = _snapshot(store, Path(work))
        part = Path(work) / f"backup{TEMPORARY}"
        manifest = _write(part, folder, snapshot, moment, progress)
        _read_back(part, manifest, progress)
        sync_file(part)
        _refuse_existing(path)
        put_in_place(part, path)
    return BackupReport(path, manifest.facts, manifest.photos, path.stat().st_size, manifest.missing)


def _target(folder: Path, target: Path, moment: datetime) -> Path:
    if target.is_dir():
        stamp = moment.strftime("%Y-%m-%d-%H%M%S")
        target = target / f"{folder.resolve().name or 'workshop'}-{stamp}.zip"
    if not target.parent.is_dir():
        raise WorkshopError(f"There is no folder {target.parent} to put the backup in. Make it first.")
    _refuse_existing(target)
    return target


def _refuse_existing(path: Path) -> None:
    if path.exists():
        raise WorkshopError(f"There is a file {path} already, and a backup never replaces one. Name another.")


def _snapshot(store: Store, work: Path) -> _Snapshot:
    database, facts_text = work / DATABASE_NAME, work / FACTS_NAME
    store.copy_database(database)
    troubles = integrity_troubles(database)
    if troubles:
        raise WorkshopError(
            f"The database in {store.folder} is damaged, so no backup was made of it: {'; '.join(troubles)}. "
            "Keep the folder as it is and restore the last good backup into another one."
        )
    with reading(database).begin() as connection:
        facts = read_facts(connection)
        digests = tuple(connection.execute(select(t.photo.c.digest).order_by(t.photo.c.digest)).scalars())
        rows = connection.execute(select(t.setting.c.name, t.setting.c.value).order_by(t.setting.c.name))
        settings = {row.name: row.value for row in rows}
    with facts_text.open("w", encoding="utf-8", newline="\n") as out:
        write_facts(facts, out)
    return _Snapshot(database, facts_text, settings, len(facts), digests)


def _write(part: Path, folder: Path, snapshot: _Snapshot, moment: datetime, progress: Progress) -> Manifest:
    photos = dict(_photo_files(folder, snapshot.digests))
    packs = dict(_pack_files(folder))
    total = 2 * (len(photos) + len(packs) + 4)
    files: dict[str, Entry] = {}
    missing: list[str] = []
    with zipfile.ZipFile(part, "w", zipfile.ZIP_DEFLATED) as archive:

        def add(name: str, source: IO[bytes]) -> Entry:
            progress(len(files) + len(missing), total, _words("copying", name))
            with archive.open(_member(name, moment), "w", force_zip64=True) as out:
                return copied(source, out, _LARGEST_FILE)

        for name, path in {
            DATABASE_NAME: snapshot.database,
            FACTS_NAME: snapshot.facts_text,
            **packs,
        }.items():
            with path.open("rb") as file:
                files[name] = add(name, file)
        settings = json.dumps(snapshot.settings, indent=1, ensure_ascii=False)
        files[SETTINGS_NAME] = add(SETTINGS_NAME, io.BytesIO(settings.encode()))
        for name, path in photos.items():
            if _whole(path):
                with path.open("rb") as file:
                    files[name] = add(name, file)
            elif path.suffix == ".jpg":
                missing.append(path.stem)
        whole = len(snapshot.digests) - len(missing)
        readme = _readme(folder, snapshot.facts, whole, missing, moment)
        files[README_NAME] = add(README_NAME, io.BytesIO(readme.encode()))
        manifest = Manifest(
            made_at=iso_utc(moment),
            made_by=f"powergood {__version__}",
            facts=snapshot.facts,
            photos=whole,
            missing=tuple(missing),
            files=files,
        )
        add(MANIFEST_NAME, io.BytesIO(manifest.as_json().encode()))
    return manifest


def _member(name: str, moment: datetime) -> zipfile.ZipInfo:
    info = zipfile.ZipInfo(name, date_time=moment.timetuple()[:6])
    info.external_attr = 0o644 << 16
    # Photos are compressed already.
    info.compress_type = zipfile.ZIP_STORED if name.startswith(f"{PHOTOS_NAME}/") else zipfile.ZIP_DEFLATED
    return info


def _photo_files(folder: Path, digests: tuple[str, ...]) -> Iterator[tuple[str, Path]]:
    for digest in digests:
        for suffix in (".jpg", ".webp"):
            name = f"{PHOTOS_NAME}/{digest[:2]}/{digest}{suffix}"
            yield name, folder / name


def _whole(path: Path) -> bool:
    if not path.is_file():
        return False
    if path.suffix != ".jpg":
        return True
    with path.open("rb") as file:
        return entry_of(file).sha256 == path.stem


def _pack_files(folder: Path) -> Iterator[tuple[str, Path]]:
    for path in sorted((folder / PACKS_NAME).rglob("*")):
        name = path.relative_to(folder).as_posix()
        if path.is_symlink() or not path.is_file():
            continue
        if not allowed_name(name):
            raise WorkshopError(
                f"The file {path} has a name that cannot be kept on every kind of computer. Rename it, then "
                f"make the backup again. {_SAFE}"
            )
        yield name, path


def _read_back(part: Path, manifest: Manifest, progress: Progress) -> None:
    total = 2 * len(manifest.files)
    with opened_archive(part) as (archive, listed):
        for done, (name, entry) in enumerate(sorted(listed.files.items()), start=len(manifest.files)):
            progress(done, total, _words("reading back", name))
            with archive.open(name) as file:
                if entry_of(file) != entry:
                    raise WorkshopError(
                        f"The backup did not read back as it was written ({name}). {_SAFE} "
                        "The disk it went to may be failing; use another."
                    )
    progress(total, total, "done")


def _words(doing: str, name: str) -> str:
    return f"{doing} the photos" if name.startswith(f"{PHOTOS_NAME}/") else f"{doing} {name}"


def _readme(folder: Path, facts: int, photos: int, missing: list[str], moment: datetime) -> str:
    lost = "".join(f"    {digest}\n" for digest in missing)
    return (
        f"This is a backup of the powergood workshop {folder.resolve().name!r}, made {iso_utc(moment)}\n"
        f"by powergood {__version__}. It holds {facts} facts and {photos} photos.\n\n"
        "To put it back, into a folder that is empty or not there yet:\n\n"
        "    powergood restore THIS-FILE.zip FOLDER\n\n"
        "To read it without powergood:\n\n"
        "    facts.jsonl      every fact, one JSON object a line, in the order they were written\n"
        "    workshop.sqlite  the same in a SQLite database: the table fact, and one table a kind of fact\n"
        "    photos/          JPEG files named by the SHA-256 digest of what is in them\n"
        "    settings.json    what the owner has set\n"
        "    packs/           knowledge added to this workshop, in YAML\n"
        "    manifest.json    the SHA-256 digest and size of every file\n"
        + (f"\nThese photos were gone or damaged when the backup was made:\n\n{lost}" if lost else "")
    )

"""Which files a pack is made of, and what each of them holds."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, fields
from pathlib import Path
from typing import Any

from powergood.errors import Issue, Location
from powergood.knowledge.model import Family, ModelSheet, Subsystem
from powergood.knowledge.problems import did_you_mean
from powergood.packs.formats import FORMATS, Formats, upgraded
from powergood.packs.marked import Document, Trail, read_document
from powergood.packs.pack import CautionList, PackHead, SourceList
from powergood.packs.shape import Shaped, shaped
from powergood.packs.worked import WorkedCase

MOST_FILES = 2000
"""Files in one pack (judgement: the largest pack so far has under a hundred)."""

FILES: Mapping[str, type] = {"pack.yaml": PackHead, "sources.yaml": SourceList, "cautions.yaml": CautionList}
"""The files at the top of a pack and the class each holds."""

FOLDERS: Mapping[str, type] = {
    "families": Family, "subsystems": Subsystem, "sheets": ModelSheet, "worked": WorkedCase,
}  # fmt: skip
"""The folders of a pack and the class that each .yaml file in them holds."""


@dataclass(frozen=True, slots=True)
class Entry:
    """One file of a pack: its class, its value if it could be read, and its marks.

    `lost` are the ids that were written in it but could not be read; `doubts` the trails of what was
    left out.
    """

    kind: type
    value: Any
    document: Document
    lost: frozenset[str] = frozenset()
    doubts: tuple[Trail, ...] = ()

    @property
    def id(self) -> str:
        """The id of what the file holds, as written; empty where it has none."""
        data = self.document.data
        found = data.get("id") if isinstance(data, dict) else None
        return str(found) if found is not None else ""


def read_folder(path: Path, formats: Formats = FORMATS) -> tuple[list[Entry], list[Issue]]:
    """Return everything a pack folder holds and every mistake of reading or shape, file by file."""
    if not path.is_dir():
        what = "is not a folder" if path.exists() else "does not exist"
        return [], [_about(path, f"the pack {what}")]
    issues: list[Issue] = []
    if not (path / "pack.yaml").is_file():
        issues.append(_about(path, "there is no pack.yaml in this folder, so it is not a pack"))
    files = sorted(pack_files(path), key=lambda file: file.relative_to(path).as_posix())
    if len(files) > MOST_FILES:
        return [], [_about(path, f"the pack has {len(files)} files; at most {MOST_FILES} are read")]
    entries: list[Entry] = []
    for file in files:
        kind = kind_of(file.relative_to(path))
        if isinstance(kind, str):
            issues.append(_about(file, kind, warning=True))
            continue
        document, mistakes = read_document(file)
        issues += mistakes
        if document is None:
            entries.append(Entry(kind, None, Document(str(file), {"id": file.stem})))
            continue
        entry, mistakes = read_entry(document, kind, formats)
        issues += mistakes
        entries.append(entry)
    return entries, issues


def read_entry(document: Document, kind: type, formats: Formats = FORMATS) -> tuple[Entry, tuple[Issue, ...]]:
    """Return what a file of a pack holds, of whatever format, with every mistake of its shape."""
    data = document.data
    if not isinstance(data, dict):
        return Entry(kind, None, document), (
            document.issue("shape", "this file should hold `name: value` fields", ()),
        )
    newest = upgraded(document, kind, formats)
    if isinstance(newest, Issue):
        return Entry(kind, None, document), (newest,)
    read: Shaped[Any] = shaped(newest, kind)
    lost = _lost(newest.data, read.value) if isinstance(newest.data, dict) else frozenset[str]()
    return Entry(kind, read.value, newest, lost, read.doubts), read.issues


def pack_files(path: Path) -> Iterator[Path]:
    """Yield every file in a pack's folder; hidden files and folders are no part of it."""
    for file in path.rglob("*"):
        if file.is_file() and not any(part.startswith(".") for part in file.relative_to(path).parts):
            yield file


def _about(path: Path, message: str, *, warning: bool = False) -> Issue:
    return Issue("pack-folder", "warning" if warning else "error", message, Location(str(path)))


def kind_of(inside: Path) -> type | str:
    """Return the class that a file holds by its way in the pack, or why it is not read as part of it."""
    name, folder = inside.name, inside.parts[0]
    if len(inside.parts) == 1:
        if name in FILES:
            return FILES[name]
        return f"the file {name} has no place in a pack{did_you_mean(name, FILES)}"
    if folder not in FOLDERS:
        return f"the folder `{folder}` has no place in a pack{did_you_mean(folder, FOLDERS)}"
    if inside.suffix != ".yaml":
        return "this file is not read: the files of a pack end in .yaml"
    return FOLDERS[folder]


def _lost(data: Mapping[str, object], value: object) -> frozenset[str]:
    """Return the ids of listed items that stand in `data` but did not make it into `value`."""
    written = {
        str(item["id"])
        for items in data.values()
        if isinstance(items, list)
        for item in items
        if isinstance(item, dict) and "id" in item
    }
    kept: set[str] = set()
    if value is not None:
        for field in fields(value):  # type: ignore[arg-type]  # every class in FILES and FOLDERS is a dataclass
            items = getattr(value, field.name)
            if isinstance(items, tuple):
                kept |= {item.id for item in items if hasattr(item, "id")}
    return frozenset(written - kept)

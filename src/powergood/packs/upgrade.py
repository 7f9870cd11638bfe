"""Bring the files of a pack to the newest format on disk: beside the old ones, or in their place.

Reading needs none of this, for an older file is upgraded in memory each time. It is for those who go on
writing a pack. A file of which a step changes nothing but the format keeps its very text; of any other the
comments inside are lost, those at its head are kept.
"""

from __future__ import annotations

import re
import shutil
from dataclasses import dataclass
from pathlib import Path

import yaml

from powergood.errors import BadInput, Issue, PackError
from powergood.packs.folder import kind_of, pack_files
from powergood.packs.formats import FORMATS, Formats, upgraded, written_format
from powergood.packs.marked import Document, read_document
from powergood.packs.read import read_pack
from powergood.packs.sheet_text import WIDTH

_FORMAT_LINE = re.compile(r"^format:[ \t]*[0-9]+", re.MULTILINE)


@dataclass(frozen=True, slots=True)
class OldFile:
    """A file of an older format: where it is inside its pack, its format, and its text in the newest.

    `comments` is true when comments inside the file are lost by rewriting it.
    """

    name: str
    format: int
    text: str
    comments: bool = False


def old_files(path: Path, formats: Formats = FORMATS) -> tuple[OldFile, ...]:
    """Return the files of a pack that are of an older format, with their new text. Nothing is written.

    Raises
    ------
    PackError : the pack has mistakes; they are mended first, so that nothing is lost by rewriting.
    """
    pack, issues = read_pack(path, formats)
    if pack is None:
        errors = [issue for issue in issues if issue.severity == "error"]
        raise PackError(f"the pack {path} has mistakes; mend them before it is upgraded", errors)
    found = []
    for file in sorted(pack_files(path)):
        kind = kind_of(file.relative_to(path))
        document, _ = read_document(file)
        if isinstance(kind, str) or document is None:
            continue
        written, newest = written_format(document), upgraded(document, kind, formats)
        if isinstance(written, int) and written < formats.newest and not isinstance(newest, Issue):
            name = file.relative_to(path).as_posix()
            found.append(_old_file(name, written, document, newest))
    return tuple(found)


def _old_file(name: str, written: int, document: Document, newest: Document) -> OldFile:
    before, after = document.data, newest.data
    assert isinstance(before, dict)
    assert isinstance(after, dict)
    text = "\n".join(document.lines) + "\n"
    if {**before, "format": 0} == {**after, "format": 0}:
        return OldFile(name, written, _FORMAT_LINE.sub(f"format: {after['format']}", text, count=1))
    head = [line for line in document.lines if line.startswith("#")]
    kept = document.lines[: next(at for at, line in enumerate(document.lines) if not line.startswith("#"))]
    said = yaml.safe_dump(after, sort_keys=False, allow_unicode=True, width=WIDTH)
    inside = any(line.lstrip().startswith("#") or " #" in line for line in document.lines[len(kept) :])
    return OldFile(name, written, "\n".join([*kept, said]) if head else said, comments=inside)


def upgrade_into(path: Path, target: Path, formats: Formats = FORMATS) -> tuple[OldFile, ...]:
    """Write the pack, its old files in the newest format, to a new folder; the pack itself stays as it is.

    Nothing is written when no file is old.

    Raises
    ------
    PackError : the pack has mistakes. BadInput : there is something at `target`; nothing was written.
    """
    found = old_files(path, formats)
    if target.exists():
        raise BadInput(f"{target} exists already; name a folder that does not. Nothing was written.")
    if found:
        shutil.copytree(path, target)
    for file in found:
        (target / file.name).write_text(file.text, encoding="utf-8")
    return found


def upgrade_over(path: Path, formats: Formats = FORMATS) -> tuple[tuple[OldFile, ...], Path]:
    """Rewrite the old files of a pack in place, a copy of the whole pack as it was kept beside it.

    Return the files and the folder of the copy.

    Raises
    ------
    PackError : the pack has mistakes. BadInput : the copy's folder exists; nothing was written.
    """
    found = old_files(path, formats)
    oldest = min((file.format for file in found), default=formats.newest)
    backup = path.resolve().with_name(f"{path.resolve().name}.format-{oldest}")
    if found:
        if backup.exists():
            raise BadInput(f"{backup} exists already; move it away first. Nothing was written.")
        shutil.copytree(path, backup)
    for file in found:
        (path / file.name).write_text(file.text, encoding="utf-8")
    return found, backup

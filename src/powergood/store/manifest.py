"""The form of a backup: which files an archive holds, and the manifest that lists them.

A backup is one zip file: `README.txt`, `manifest.json` (the SHA-256 digest and size of every other
file), `workshop.sqlite`, `facts.jsonl`, `settings.json`, and the folders `photos` and `packs`.
"""

from __future__ import annotations

import json
import re
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path

from powergood.errors import BadInput, NewerWorkshop
from powergood.store.layout import DATABASE_NAME, PACKS_NAME, PHOTOS_NAME

ARCHIVE_FORMAT = 1
MANIFEST_NAME = "manifest.json"
README_NAME = "README.txt"
FACTS_NAME = "facts.jsonl"
SETTINGS_NAME = "settings.json"
_FIXED_NAMES = {README_NAME, DATABASE_NAME, FACTS_NAME, SETTINGS_NAME}
_PHOTO_NAME = re.compile(rf"{PHOTOS_NAME}/([0-9a-f]{{2}})/\1[0-9a-f]{{62}}\.(?:jpg|webp)")
_PACK_PART = re.compile(r"[^\x00-\x1f/\\:*?\"<>|]*[^\x00-\x1f/\\:*?\"<>|. ]")


@dataclass(frozen=True, slots=True)
class Entry:
    """A file of an archive as its manifest lists it."""

    sha256: str
    size: int


@dataclass(frozen=True, slots=True)
class Manifest:
    """What a backup says of itself. `missing` are photos that were gone when it was made."""

    made_at: str
    made_by: str
    facts: int
    photos: int
    missing: tuple[str, ...]
    files: Mapping[str, Entry]

    def as_json(self) -> str:
        """Return the manifest as it stands in an archive."""
        return json.dumps(
            {
                "format": ARCHIVE_FORMAT,
                "made_at": self.made_at,
                "made_by": self.made_by,
                "facts": self.facts,
                "photos": self.photos,
                "missing": list(self.missing),
                "files": {n: {"sha256": e.sha256, "size": e.size} for n, e in sorted(self.files.items())},
            },
            indent=1,
            ensure_ascii=False,
        )


def manifest_from(data: bytes, archive: Path) -> Manifest:
    """Return the manifest that `data` holds; raise BadInput where it is none, NewerWorkshop where too new."""
    try:
        found = json.loads(data)
        structure = int(found["format"])
        if structure > ARCHIVE_FORMAT:
            raise NewerWorkshop(
                f"The backup {archive} was made by a newer version of this program (format {structure}). "
                "Nothing was changed. Install the newer version, then restore."
            )
        return Manifest(
            made_at=str(found["made_at"]),
            made_by=str(found["made_by"]),
            facts=int(found["facts"]),
            photos=int(found["photos"]),
            missing=tuple(str(name) for name in found["missing"]),
            files={str(n): Entry(str(e["sha256"]), int(e["size"])) for n, e in found["files"].items()},
        )
    except (ValueError, KeyError, TypeError, AttributeError, RecursionError, OverflowError) as error:
        raise refused(archive, [f"its {MANIFEST_NAME} cannot be read"]) from error


def allowed_name(name: str) -> bool:
    """Return whether a backup may hold a file of that name: one of ours, a photo, or a file of a pack."""
    if name in _FIXED_NAMES or _PHOTO_NAME.fullmatch(name):
        return True
    first, *rest = name.split("/")
    return first == PACKS_NAME and bool(rest) and all(_PACK_PART.fullmatch(part) for part in rest)


def refused(archive: Path, problems: list[str]) -> BadInput:
    """Return the error for a backup that is not as it should be, naming what is wrong with it."""
    shown = problems[:20] + ([f"and {len(problems) - 20} more"] if len(problems) > 20 else [])
    return BadInput(
        f"The backup {archive} was not used; nothing was changed:\n"
        + "\n".join(f"  {problem}" for problem in shown)
        + "\nTake another copy of it, or an earlier backup."
    )

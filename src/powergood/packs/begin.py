"""Begin a pack: a small whole one to start from, each file saying in comments what to change."""

from __future__ import annotations

import json
import re
import unicodedata
from pathlib import Path

from powergood.errors import BadInput
from powergood.packs.locate import builtin_pack
from powergood.packs.scalars import core_value

TEMPLATE = Path(__file__).parent / "data" / "new"
"""The files that a new pack begins with; the two words below stand for its id and its title."""

ID, TITLE = "PACK-ID", "PACK-TITLE"

LONGEST_ID = 60
_ID = re.compile(r"[a-z0-9]+(?:-[a-z0-9]+)*")


def begin_pack(path: Path, *, id: str = "", title: str = "") -> tuple[Path, ...]:
    """Write a new pack to `path`, which is made, and return its files. Its family has the pack's id.

    Id and title are made from the folder's name where they are not given.

    Raises
    ------
    BadInput : something is at `path`, or the id cannot be one or is taken; nothing was written.
    """
    if path.exists() and not (path.is_dir() and not any(path.iterdir())):
        raise BadInput(f"{path} exists already; name a folder that does not. Nothing was written.")
    name = id or _id_of(path.resolve().name)
    if not _ID.fullmatch(name) or len(name) > LONGEST_ID:
        raise BadInput(
            f"{id or path.name!r} cannot be an id: give one by --id, of small letters, digits and hyphens, "
            f"at most {LONGEST_ID}. Nothing was written."
        )
    shipped = builtin_pack()
    if name in {shipped.id, *shipped.families, *shipped.sheets}:
        raise BadInput(f"The pack that ships has the id {name!r}; give another by --id. Nothing was written.")
    said = "".join(filter(str.isprintable, " ".join(title.split()))) or name.replace("-", " ").capitalize()
    texts = {
        path / file.relative_to(TEMPLATE).as_posix().replace(ID, name): file.read_text(encoding="utf-8")
        for file in sorted(TEMPLATE.rglob("*.yaml"))
    }
    for target, text in texts.items():
        try:
            target.parent.mkdir(parents=True, exist_ok=True)
            target.write_text(text.replace(ID, name).replace(TITLE, _written(said)), encoding="utf-8")
        except OSError as error:
            raise BadInput(f"{target} cannot be written: {error.strerror}.") from error
    return tuple(texts)


def _id_of(name: str) -> str:
    """Return an id made of a name's letters and digits; empty when it has none."""
    plain = unicodedata.normalize("NFKD", name).encode("ascii", "ignore").decode()
    return re.sub(r"[^a-z0-9]+", "-", plain.lower()).strip("-")[:LONGEST_ID].strip("-")


def _written(title: str) -> str:
    """Return a title as YAML has it: in quotes unless it is plain words."""
    if re.fullmatch(r"[A-Za-z][A-Za-z0-9 ,.()/-]*", title) and core_value(title) == title:
        return title
    return json.dumps(title, ensure_ascii=False)

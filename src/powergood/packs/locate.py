"""Which packs there are: the one that ships with the program, then the user's own, with the user's sheets.

The same id in two packs is an issue and never a silent win of one over the other.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from functools import cache
from pathlib import Path

from powergood.errors import Issue, Location
from powergood.packs.own_sheets import OWN, with_own_sheets
from powergood.packs.pack import Pack
from powergood.packs.read import load_pack, read_pack

BUILTIN = Path(__file__).parent / "data" / "core"
"""The folder of the pack that ships with the program."""


@dataclass(frozen=True, slots=True)
class Found:
    """The packs that can be used, and what is wrong with those that cannot."""

    packs: tuple[Pack, ...]
    issues: tuple[Issue, ...]


@cache
def builtin_pack() -> Pack:
    """Return the pack that ships with the program."""
    return load_pack(BUILTIN)


def pack_folders(workshop: Path | None = None) -> tuple[Path, ...]:
    """Return the folders of all packs: the built-in one, then the workshop's by name."""
    own = workshop / "packs" if workshop else None
    found = sorted(own.iterdir()) if own and own.is_dir() else []
    packs = (folder for folder in found if folder.is_dir() and not folder.name.startswith("."))
    return (BUILTIN, *(folder for folder in packs if folder.name != OWN))


def find_packs(workshop: Path | None = None) -> Found:
    """Return every pack that can be used; a pack with a mistake, or with an id that is taken, is left out."""
    packs: list[Pack] = []
    issues: list[Issue] = []
    for folder in pack_folders(workshop):
        pack, mistakes = (builtin_pack(), ()) if folder == BUILTIN else read_pack(folder)
        issues += [issue for issue in mistakes if issue.severity == "error"]
        if pack is None:
            continue
        clashes = list(_clashes(pack, packs))
        issues += clashes
        packs += [] if clashes else [pack]
    if workshop is None:
        return Found(tuple(packs), tuple(issues))
    whole, mistaken = with_own_sheets(packs, workshop)
    return Found(whole, (*issues, *mistaken))


def _clashes(pack: Pack, others: list[Pack]) -> Iterator[Issue]:
    """Report each id of `pack` that another pack has too: its own, and those of what one can take in."""
    for other in others:
        if pack.id == other.id:
            yield _clash("pack", pack.id, pack.path / "pack.yaml", other)
        for name in sorted({*pack.sheets, *pack.families} & {*other.sheets, *other.families}):
            yield _clash("family or sheet", name, pack.path, other)


def _clash(what: str, name: str, at: Path, other: Pack) -> Issue:
    message = f"there is a {what} `{name}` in {other.path} already; give one of the two another id"
    return Issue("pack-clash", "error", message, Location(str(at)))

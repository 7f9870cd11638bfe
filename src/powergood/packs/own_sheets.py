"""Model sheets made or taken in by the user: one file each in the workshop, beside the packs they belong to.

They lie in `packs/own/sheets/` of the workshop's folder, so that a backup holds them. The same id as a
sheet or family of a pack is an issue and never a silent win.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass, replace
from pathlib import Path

from powergood.errors import Issue, Location
from powergood.knowledge.checks import sense
from powergood.knowledge.compose import joined
from powergood.knowledge.model import ModelSheet
from powergood.knowledge.problems import Problem, did_you_mean
from powergood.packs.folder import Entry, read_entry
from powergood.packs.marked import read_document, read_text
from powergood.packs.pack import Pack
from powergood.packs.places import Places

OWN = "own"
"""The folder in a workshop's `packs` that holds the user's own sheets and is no pack."""


_ID = re.compile(r"[a-z0-9](?:[a-z0-9-]{0,78}[a-z0-9])?")
"""Ids that are names of files on every kind of computer."""


@dataclass(frozen=True, slots=True)
class ReadSheet:
    """A sheet as read, if it can be used, and every mistake and warning in it."""

    sheet: ModelSheet | None
    issues: tuple[Issue, ...] = ()

    @property
    def errors(self) -> tuple[Issue, ...]:
        """The issues that keep it from being used."""
        return tuple(issue for issue in self.issues if issue.severity == "error")


def own_folder(workshop: Path) -> Path:
    """Return the folder of a workshop's own sheets."""
    return workshop / "packs" / OWN / "sheets"


def own_file(workshop: Path, sheet: str) -> Path:
    """Return the file in which an own sheet lies."""
    return own_folder(workshop) / f"{sheet}.yaml"


def sheet_of_text(text: str, name: str, packs: Sequence[Pack]) -> ReadSheet:
    """Return the sheet that YAML text holds; `name` is what its issues call the file."""
    document, issues = read_text(text, name)
    if document is None:
        return ReadSheet(None, issues)
    entry, mistakes = read_entry(document, ModelSheet)
    return _joined(entry, (*issues, *mistakes), packs)


def sheet_problems(sheet: ModelSheet, packs: Sequence[Pack]) -> tuple[Problem, ...]:
    """Return what a sheet has wrong that its family has not; nothing for an unknown family."""
    pack = next((each for each in packs if sheet.family in each.families), None)
    if pack is None:
        return ()
    family = pack.families[sheet.family]
    kinds = (pack.subsystems.values(), pack.cautions, pack.sources)
    assembly, problems = joined(family, kinds[0], sheet, kinds[1], kinds[2])
    found = (*problems, *sense(assembly, problems))
    bare, bare_problems = joined(family, kinds[0], None, kinds[1], kinds[2])
    usual = {*bare_problems, *sense(bare, bare_problems)}
    return tuple(each for each in found if each not in usual and _counts(each))


def _counts(problem: Problem) -> bool:
    """Tell whether a problem is the sheet's: its own, or a mistake it makes elsewhere.

    A check whose last listed fault is gone with a part may stay: it still proves its function.
    """
    if problem.where.file == "sheet":
        return True
    return problem.severity == "error" and problem.check != "check-tells"


def _joined(entry: Entry, issues: tuple[Issue, ...], packs: Sequence[Pack]) -> ReadSheet:
    sheet = entry.value
    if not isinstance(sheet, ModelSheet):
        return ReadSheet(None, issues)
    if not _ID.fullmatch(sheet.id):
        message = f"`{sheet.id[:80]}` cannot be an id: write small letters, digits and hyphens"
        return ReadSheet(None, (*issues, entry.document.issue("sheet-id", message, ("id",))))
    families = {name for pack in packs for name in pack.families}
    if sheet.family not in families:
        hint = did_you_mean(sheet.family, families) or "; the pack that has it must be here first"
        message = f"there is no family `{sheet.family}`{hint}"
        return ReadSheet(None, (*issues, entry.document.issue("known-id", message, ("family",))))
    places = Places(entry.document.file, [entry])
    found = tuple(places.issue(problem) for problem in sheet_problems(sheet, packs))
    issues = tuple(dict.fromkeys((*issues, *found)))
    usable = not any(issue.severity == "error" for issue in issues)
    return ReadSheet(sheet if usable else None, issues)


def with_own_sheets(packs: Sequence[Pack], workshop: Path) -> tuple[tuple[Pack, ...], tuple[Issue, ...]]:
    """Return the packs with the workshop's own sheets added to those of their families, and what is wrong."""
    folder = own_folder(workshop)
    issues: list[Issue] = []
    found = list(packs)
    for file in sorted(folder.glob("*.yaml")) if folder.is_dir() else ():
        read = _of_file(file, found)
        clash = read.sheet and clash_with(read.sheet.id, found)
        issues += read.errors
        if clash:
            issues.append(Issue("pack-clash", "error", clash, Location(str(file))))
        elif read.sheet is not None:
            found = [with_sheet(pack, read.sheet) for pack in found]
    return tuple(found), tuple(issues)


def _of_file(file: Path, packs: Sequence[Pack]) -> ReadSheet:
    document, issues = read_document(file)
    if document is None:
        return ReadSheet(None, issues)
    entry, mistakes = read_entry(document, ModelSheet)
    return _joined(entry, (*issues, *mistakes), packs)


def clash_with(sheet: str, packs: Sequence[Pack]) -> str:
    """Return the sentence that says whose id a sheet's is already; empty when it is free."""
    for pack in packs:
        if sheet in pack.families:
            return f"`{sheet}` is the id of a family in the pack `{pack.id}`; give the sheet another id"
        if sheet in pack.sheets:
            return f"the pack `{pack.id}` has a sheet `{sheet}` already; give one of the two another id"
    return ""


def with_sheet(pack: Pack, sheet: ModelSheet) -> Pack:
    """Return a pack with a sheet of one of its families added or replaced; another pack as it is."""
    if sheet.family not in pack.families:
        return pack
    return replace(pack, sheets={**pack.sheets, sheet.id: sheet})

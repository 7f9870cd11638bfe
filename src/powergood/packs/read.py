"""Read a pack: every mistake of every file in one pass, or the pack itself.

Three gates: the shape of each file, the names they use of each other, the sense of the whole. A later
gate says nothing that an earlier one's mistake could have caused.

Nothing read is kept on disk: the 220 files of five families and ten sheets take about 0.7 s (measured on two
shared cores, `benchmarks/loading.py`), so a stored copy would save little and could go stale.
"""

from __future__ import annotations

import gc
from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from dataclasses import replace
from pathlib import Path
from typing import TypeVar

from powergood.errors import Issue, PackError
from powergood.knowledge.checks import Doubt, sense
from powergood.knowledge.compose import joined
from powergood.knowledge.digest import digest
from powergood.knowledge.model import Caution, Family, ModelSheet, Source, Subsystem
from powergood.knowledge.problems import Problem, Where, did_you_mean, error, warning
from powergood.packs.cases import case_issues
from powergood.packs.folder import Entry, read_folder
from powergood.packs.formats import FORMATS, Formats
from powergood.packs.marked import Trail
from powergood.packs.pack import CautionList, Pack, PackHead, SourceList
from powergood.packs.places import Places
from powergood.packs.worked import WorkedCase

T = TypeVar("T")


@contextmanager
def collection_waits() -> Iterator[None]:
    """Let the collector wait: what reading makes is hardly garbage, and looking for some takes a fifth."""
    was_on = gc.isenabled()
    gc.disable()
    try:
        yield
    finally:
        if was_on:
            gc.enable()


def load_pack(path: Path) -> Pack:
    """Return the pack in a folder; `PackError`, with every mistake found, when it has any."""
    pack, issues = read_pack(path)
    if pack is None:
        errors = [issue for issue in issues if issue.severity == "error"]
        count = "1 mistake; mend it" if len(errors) == 1 else f"{len(errors)} mistakes; mend them"
        raise PackError(f"the pack {path} has {count} and load the pack again", errors)
    return pack


def check_pack(path: Path) -> tuple[Issue, ...]:
    """Return every mistake and every warning in a pack, in the order of its files and lines."""
    return read_pack(path)[1]


def read_pack(path: Path, formats: Formats = FORMATS) -> tuple[Pack | None, tuple[Issue, ...]]:
    """Return the pack, if it can be used at all, and every mistake and warning in it."""
    with collection_waits():
        return _read(path, formats)


def _read(path: Path, formats: Formats) -> tuple[Pack | None, tuple[Issue, ...]]:
    entries, issues = read_folder(path, formats)
    places = Places(str(path), entries)
    issues += _same_ids(entries)
    issues += [places.issue(problem) for problem in _problems(entries)]
    pack = None
    if not any(issue.severity == "error" for issue in issues):
        pack = _pack(path, entries)
        issues += case_issues(pack, entries)
    ordered = tuple(sorted(dict.fromkeys(issues), key=_order))
    return (None if any(issue.severity == "error" for issue in issues) else pack), ordered


def _order(issue: Issue) -> tuple[str, int, int, str]:
    return issue.location.file, issue.location.line, issue.location.column, issue.message


def _values(entries: list[Entry], kind: type[T]) -> list[T]:
    return [entry.value for entry in entries if entry.kind is kind and entry.value is not None]


def _cautions(entries: list[Entry]) -> tuple[Caution, ...]:
    return tuple(caution for listed in _values(entries, CautionList) for caution in listed.cautions)


def _sources(entries: list[Entry]) -> tuple[Source, ...]:
    return tuple(source for listed in _values(entries, SourceList) for source in listed.sources)


def _same_ids(entries: list[Entry]) -> Iterator[Issue]:
    """Report two files with one id. Families and sheets are taken in by the same name."""
    first: dict[tuple[str, str], Entry] = {}
    for entry in entries:
        if not entry.id or entry.kind in (SourceList, CautionList):
            continue
        space = "machine" if entry.kind in (Family, ModelSheet) else entry.kind.__name__
        other = first.setdefault((space, entry.id), entry)
        if other is not entry:
            message = f"the id `{entry.id}` is used twice (the first is in {other.document.file})"
            yield entry.document.issue("one-id", message, ("id",))


def _problems(entries: list[Entry]) -> Iterator[Problem]:
    """Yield what is wrong with the names and the sense of each family and each sheet."""
    lost = frozenset[str]().union(*(entry.lost for entry in entries))
    doubts = [_doubt(entry, trail) for entry in entries for trail in entry.doubts]
    broken = {entry.id for entry in entries if entry.value is None}
    if any(entry.value is None and entry.kind in (SourceList, CautionList) for entry in entries):
        return
    cautions, sources = _cautions(entries), _sources(entries)
    subsystems = _values(entries, Subsystem)
    families = {family.id: family for family in _values(entries, Family)}
    of_family: dict[str, frozenset[Problem]] = {}
    machines: list[tuple[Family, ModelSheet | None]] = [(family, None) for family in families.values()]
    for sheet in _values(entries, ModelSheet):
        if sheet.family in families:
            machines.append((families[sheet.family], sheet))
        elif sheet.family not in broken:
            yield _no_family(sheet, families)
    for family, sheet_of_it in machines:
        if not broken.intersection(family.subsystems):
            assembly, problems = joined(family, subsystems, sheet_of_it, cautions, sources, lost)
            found = [*problems, *sense(assembly, problems, doubts)]
            if sheet_of_it is None:
                of_family[family.id] = frozenset(found)
            yield from found if sheet_of_it is None else _of_sheet(found, sheet_of_it, of_family)
    if not broken:
        used = {name for family in families.values() for name in family.subsystems}
        for subsystem in subsystems:
            if subsystem.id not in used:
                message = f"no family uses the subsystem `{subsystem.id}`, so it was not checked further"
                yield warning("subsystem-used", message, Where("subsystem", subsystem.id, ("id",)))


def _of_sheet(
    found: list[Problem], sheet: ModelSheet, of_family: Mapping[str, frozenset[Problem]]
) -> Iterator[Problem]:
    """Yield the problems that a sheet brings, each saying so where it stands in another file.

    A check whose last listed fault is gone with a part may stay: it still proves its function.
    """
    for problem in found:
        if problem.where.file == "sheet":
            yield problem
        elif problem not in of_family[sheet.family] and problem.check != "check-tells":
            yield replace(problem, message=f"{problem.message} (in the sheet `{sheet.id}`)")


def _no_family(sheet: ModelSheet, families: dict[str, Family]) -> Problem:
    message = f"there is no family `{sheet.family}`{did_you_mean(sheet.family, families)}"
    return error("known-id", message, Where("sheet", sheet.id, ("family",)))


def _doubt(entry: Entry, trail: Trail) -> Doubt:
    """Return a doubt of the rules of sense for what was left out of a file."""
    kind, name = (*map(str, trail), "")[:2]
    return Doubt(kind, name)


def _pack(path: Path, entries: list[Entry]) -> Pack:
    """Return the pack that entries without a mistake amount to."""
    (head,) = _values(entries, PackHead)
    values = [entry.value for entry in entries]
    return Pack(
        path=path,
        id=head.id,
        title=head.title,
        version=head.version,
        families={family.id: family for family in _values(entries, Family)},
        subsystems={subsystem.id: subsystem for subsystem in _values(entries, Subsystem)},
        sheets={sheet.id: sheet for sheet in _values(entries, ModelSheet)},
        sources=_sources(entries),
        cautions=_cautions(entries),
        digest=digest(*sorted(values, key=lambda value: (type(value).__name__, getattr(value, "id", "")))),
        worked={case.id: case for case in _values(entries, WorkedCase)},
    )

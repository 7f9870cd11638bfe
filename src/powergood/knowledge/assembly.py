"""A machine while it is being put together: every item with the place it was written in.

An `Assembly` may still be wrong; `compose` turns a right one into a `MachineModel`.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field
from typing import Any, Generic, TypeAlias, TypeVar

from powergood.knowledge.model import (
    Area,
    Caution,
    Cell,
    Check,
    Complaint,
    Family,
    Fault,
    Fix,
    Function,
    Gate,
    IntakeFact,
    ModelSheet,
    Opening,
    Part,
    Sign,
    Source,
    Stage,
    Subsystem,
)
from powergood.knowledge.problems import FileKind, Problem, Where, did_you_mean, error

T = TypeVar("T")


@dataclass(frozen=True, slots=True)
class Placed(Generic[T]):
    """An item and where it was written."""

    item: T
    where: Where


Items: TypeAlias = dict[str, Placed[T]]
"""Items by id, in the order they were written."""


@dataclass(slots=True)
class Assembly:
    """All items of one machine by kind and id. `heads` are the family, its subsystems and the sheet."""

    family: Family
    sheet: ModelSheet | None
    heads: list[Placed[Family | Subsystem | ModelSheet]]
    areas: Items[Area] = field(default_factory=dict)
    parts: Items[Part] = field(default_factory=dict)
    functions: Items[Function] = field(default_factory=dict)
    signs: Items[Sign] = field(default_factory=dict)
    faults: Items[Fault] = field(default_factory=dict)
    checks: Items[Check] = field(default_factory=dict)
    fixes: Items[Fix] = field(default_factory=dict)
    openings: Items[Opening] = field(default_factory=dict)
    gates: Items[Gate] = field(default_factory=dict)
    complaints: Items[Complaint] = field(default_factory=dict)
    intake: Items[IntakeFact] = field(default_factory=dict)
    cells: Items[Cell] = field(default_factory=dict)
    cautions: Items[Caution] = field(default_factory=dict)
    sources: Items[Source] = field(default_factory=dict)
    stages: Items[Stage] = field(default_factory=dict)

    def kind(self, name: str) -> Items[Any]:
        """Return the items of a kind, by the kind's field name."""
        items: Items[Any] = getattr(self, name)
        return items


KINDS = (
    "areas", "parts", "functions", "signs", "faults", "checks", "fixes", "openings", "gates", "complaints",
    "intake", "cells", "cautions", "sources", "stages",
)  # fmt: skip

NAMESPACES = (("functions", "signs"), ("checks", "fixes", "openings"), ("gates", "stages"))
"""Kinds that are named in the same places, so that an id may stand in one of them only."""

_OVERRIDDEN = ("parts", "openings", "faults", "checks", "fixes", "cells", "sources")


def assemble(
    family: Family,
    subsystems: Iterable[Subsystem],
    sheet: ModelSheet | None,
    cautions: Iterable[Caution],
    sources: Iterable[Source],
) -> tuple[Assembly, list[Problem]]:
    """Return all items of a family and a sheet in one place, with what stood in the way of that."""
    problems: list[Problem] = []
    used = _used(family, {subsystem.id: subsystem for subsystem in subsystems}, problems)
    heads: list[Placed[Family | Subsystem | ModelSheet]] = [Placed(family, Where("family", family.id))]
    heads += [Placed(subsystem, Where("subsystem", subsystem.id)) for subsystem in used]
    assembly = Assembly(family, sheet, heads)
    for kind in KINDS:
        found = [placed for head in heads for placed in _items(head.item, head.where, kind)]
        _enter(assembly, kind, found, problems)
    for kind, given in (("cautions", tuple(cautions)), ("sources", tuple(sources))):
        file: FileKind = "cautions" if kind == "cautions" else "sources"
        _enter(assembly, kind, list(_placed(given, Where(file, "", (kind,)))), problems)
    if sheet is not None:
        _lay_over(assembly, sheet, problems)
    problems += _shared_names(assembly)
    return assembly, problems


def _used(family: Family, known: Mapping[str, Subsystem], problems: list[Problem]) -> list[Subsystem]:
    used: dict[str, Subsystem] = {}
    for place, name in enumerate(family.subsystems):
        where = Where("family", family.id, ("subsystems", place))
        if name not in known:
            problems.append(
                error("known-id", f"there is no subsystem `{name}`{did_you_mean(name, known)}", where)
            )
        elif name in used:
            problems.append(error("one-id", f"the subsystem `{name}` is named twice", where))
        else:
            used[name] = known[name]
    return list(used.values())


def _items(head: Family | Subsystem | ModelSheet, where: Where, kind: str) -> Iterator[Placed[Any]]:
    """Yield the items of a kind in one file, each with its place; a Fix of a subsystem, say."""
    items = getattr(head, kind, ())
    if isinstance(items, tuple):
        base = Where(where.file, where.id, (kind,))
        yield from _placed(items, base)


def _placed(items: Iterable[Any], base: Where) -> Iterator[Placed[Any]]:
    seen: dict[str, int] = {}
    for item in items:
        seen[item.id] = seen.get(item.id, 0) + 1
        yield Placed(item, Where(base.file, base.id, (*base.path, item.id), nth=seen[item.id]))


def _enter(assembly: Assembly, kind: str, found: list[Placed[Any]], problems: list[Problem]) -> None:
    items = assembly.kind(kind)
    for placed in found:
        first = items.setdefault(placed.item.id, placed)
        if first is not placed:
            problems.append(_twice(placed, first))


def _twice(placed: Placed[Any], first: Placed[Any]) -> Problem:
    same = (placed.where.file, placed.where.id) == (first.where.file, first.where.id)
    other = "above" if same else f"in {first.where.file} `{first.where.id}`"
    message = f"the id `{placed.item.id}` is used twice (the first is {other})"
    return error("one-id", message, placed.where.at("id"))


def _lay_over(assembly: Assembly, sheet: ModelSheet, problems: list[Problem]) -> None:
    """Let the sheet's items replace those of the same id, and join the new ones."""
    where = Where("sheet", sheet.id)
    assembly.heads.append(Placed(sheet, where))
    if sheet.family != assembly.family.id:
        message = f"the sheet is of family `{sheet.family}`, not of `{assembly.family.id}`"
        problems.append(error("known-id", message, where.at("family")))
    for kind in _OVERRIDDEN:
        own: Items[Any] = {}
        for placed in _items(sheet, where, kind):
            first = own.setdefault(placed.item.id, placed)
            if first is not placed:
                problems.append(_twice(placed, first))
        assembly.kind(kind).update(own)


def _shared_names(assembly: Assembly) -> Iterator[Problem]:
    for kinds in NAMESPACES:
        first: dict[str, str] = {}
        for kind in kinds:
            for name, placed in assembly.kind(kind).items():
                if first.setdefault(name, kind) != kind:
                    message = f"`{name}` is also the id of one of the {first[name]}; the two are named alike"
                    yield error("one-id", message, placed.where.at("id"))

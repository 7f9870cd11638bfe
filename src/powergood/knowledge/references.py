"""The second gate: does every name that is used belong to something?

One table says which field names which kinds of thing; what cannot be said in it stands below it.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any

from powergood.knowledge.assembly import Assembly, Placed
from powergood.knowledge.naming import Names
from powergood.knowledge.outcome_names import unknown_outcomes
from powergood.knowledge.problems import Problem, Where, error
from powergood.knowledge.sourcing import unknown_sources
from powergood.knowledge.stops import stops

REFERENCES: Mapping[str, tuple[tuple[str, tuple[str, ...]], ...]] = {
    "parts": (("area", ("areas",)), ("opening", ("openings",))),
    "functions": (
        ("area", ("areas",)),
        ("needs", ("functions",)),
        ("either", ("functions",)),
        ("of", ("parts",)),
    ),
    "signs": (("area", ("areas",)),),
    "faults": (("breaks", ("functions",)), ("signs", ("signs",)), ("makes", ("faults",))),
    "checks": (
        ("of", ("functions", "signs")),
        ("open", ("openings",)),
        ("closed", ("openings",)),
        ("fitted", ("parts",)),
        ("out", ("parts",)),
        ("instead", ("parts",)),
        ("each_copy_of", ("parts",)),
        ("cautions", ("cautions",)),
    ),
    "fixes": (
        ("replaces", ("parts",)),
        ("cures", ("faults",)),
        ("disturbs", ("faults",)),
        ("open", ("openings",)),
        ("cautions", ("cautions",)),
    ),
    "openings": (("behind", ("openings",)), ("cautions", ("cautions",))),
    "areas": (("open", ("openings",)),),
    "gates": (("but", ("checks", "stages")), ("cautions", ("cautions",))),
    "stages": (
        ("fitted", ("parts",)),
        ("out", ("parts",)),
        ("open", ("openings",)),
        ("check", ("checks",)),
        ("meets", ("gates",)),
        ("cautions", ("cautions",)),
    ),
    "intake": (("multiplies", ("faults", "parts", "areas")),),
}
"""For each kind of item: the fields that name others, and the kinds they may name."""


def unknown_names(assembly: Assembly, lost: frozenset[str] = frozenset()) -> Iterator[Problem]:
    """Yield a problem for each name that belongs to nothing.

    `lost` are ids that were written but could not be read; a name of theirs is no second mistake.
    """
    names = Names(assembly, lost)
    for kind, fields in REFERENCES.items():
        for placed in assembly.kind(kind).values():
            for field, targets in fields:
                yield from _in_field(placed, field, targets, names)
    for head in assembly.heads:
        if area := getattr(head.item, "area", ""):
            yield from names.wrong(area, ("areas",), head.where.at("area"))
    yield from _owners(assembly, names)
    for check in assembly.checks.values():
        for stop in stops(check.item):
            if stop.path != ("of",):
                yield from names.wrong(stop.of, ("functions", "signs"), check.where.at(*stop.path))
        if check.item.grid and check.item.grid.copies_of:
            yield from names.wrong(check.item.grid.copies_of, ("parts",), check.where.at("grid", "copies_of"))
    yield from _holds(assembly, names)
    yield from _complaints(assembly, names)
    yield from _stages(assembly, names)
    yield from unknown_outcomes(assembly, names)
    yield from _copies(assembly, names)
    yield from unknown_sources(assembly, REFERENCES, lost)


def _in_field(placed: Placed[Any], field: str, targets: tuple[str, ...], names: Names) -> Iterator[Problem]:
    value = getattr(placed.item, field)
    if isinstance(value, str):
        if value:
            yield from names.wrong(value, targets, placed.where.at(field))
    elif isinstance(value, Mapping):
        for name in value:
            if not names.known(name, targets):
                yield from names.wrong(name, targets, placed.where.at(field, name, on_key=True))
    else:
        for place, name in enumerate(value):
            if not names.known(name, targets):
                yield from names.wrong(name, targets, placed.where.at(field, place))


def _owners(assembly: Assembly, names: Names) -> Iterator[Problem]:
    for fault in assembly.faults.values():
        part, dot, mode = fault.item.id.partition(".")
        if not dot or not part or not mode or "." in mode:
            message = f"a fault is named `part.mode`; `{fault.item.id}` is not"
            yield error("id-form", message, fault.where.at("id"))
        else:
            yield from names.wrong(part, ("parts",), fault.where.at("id"))


def _holds(assembly: Assembly, names: Names) -> Iterator[Problem]:
    for gate in assembly.gates.values():
        if gate.item.but and "power" not in gate.item.holds:
            message = f"`{gate.item.id}` leaves steps free with `but`; it has to hold `power` for that"
            yield error("known-id", message, gate.where.at("but"))
        for place, hold in enumerate(gate.item.holds):
            where = gate.where.at("holds", place)
            if hold.startswith("step:"):
                step = hold.removeprefix("step:").strip()
                yield from names.wrong(step, ("checks", "fixes", "openings"), where)
            elif hold not in ("power", "opening"):
                message = f"a gate holds `power`, `opening` or `step:ID`, not `{hold}`"
                yield error("known-id", message, where)


def _complaints(assembly: Assembly, names: Names) -> Iterator[Problem]:
    for complaint in assembly.complaints.values():
        for place, answer in enumerate(complaint.item.answers):
            where = complaint.where.at("answers", place, "complaint")
            yield from names.wrong(answer.complaint, ("complaints",), where)


def _copies(assembly: Assembly, names: Names) -> Iterator[Problem]:
    if assembly.sheet is None:
        return
    where = Where("sheet", assembly.sheet.id, ("copies",))
    for part, copies in assembly.sheet.copies.items():
        if copies < 0:
            yield error("copies", f"there cannot be {copies} copies of a part", where.at(part))
        elif copies > 0:
            yield from names.wrong(part, ("parts",), where.at(part, on_key=True))


def _stages(assembly: Assembly, names: Names) -> Iterator[Problem]:
    """Yield each name that a stage's stop list, or the order of the stages, has wrong."""
    for stage in assembly.stages.values():
        for stop in stage.item.stop_if:
            for place, gate in enumerate(stop.unmeets):
                yield from names.wrong(gate, ("gates",), stage.where.at("stop_if", stop.id, "unmeets", place))
    if assembly.sheet is None:
        head = Where("family", assembly.family.id, ("bring_up",))
        for place, name in enumerate(assembly.family.bring_up):
            yield from names.wrong(name, ("stages",), head.at(place))

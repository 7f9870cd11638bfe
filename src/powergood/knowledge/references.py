"""The second gate: does every name that is used belong to something?

One table says which field names which kinds of thing; what cannot be said in it stands below it.
"""

from __future__ import annotations

import dataclasses
from collections.abc import Iterator, Mapping
from typing import Any

from powergood.knowledge.assembly import Assembly, Placed
from powergood.knowledge.model import Claim, Complaint
from powergood.knowledge.problems import Problem, Where, did_you_mean, error
from powergood.knowledge.stops import outcome_named, outcomes, stops

UNSOURCED = ("judgement", "common practice")
"""Sources that need no entry in `sources.yaml`."""

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

_SINGULAR = {
    "areas": "area", "parts": "part", "functions": "function", "signs": "sign", "faults": "fault",
    "checks": "check", "fixes": "fix", "openings": "opening", "cautions": "caution",
    "complaints": "complaint", "gates": "gate", "stages": "stage",
}  # fmt: skip


def unknown_names(assembly: Assembly, lost: frozenset[str] = frozenset()) -> Iterator[Problem]:
    """Yield a problem for each name that belongs to nothing.

    `lost` are ids that were written but could not be read; a name of theirs is no second mistake.
    """
    names = _Names(assembly, lost)
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
    yield from _ticks(assembly, names)
    yield from _stages(assembly, names)
    yield from _copies(assembly, names)
    yield from _sources(assembly, lost)


class _Names:
    """The known ids of each kind."""

    def __init__(self, assembly: Assembly, lost: frozenset[str]) -> None:
        self.assembly, self.lost = assembly, lost

    def of(self, kinds: tuple[str, ...]) -> set[str]:
        """Return the ids of some kinds together."""
        return {name for kind in kinds for name in self.assembly.kind(kind)}

    def known(self, name: str, kinds: tuple[str, ...]) -> bool:
        """Tell whether a name belongs to something of these kinds, or to what could not be read."""
        return name in self.lost or any(name in self.assembly.kind(kind) for kind in kinds)

    def wrong(self, name: str, kinds: tuple[str, ...], where: Where) -> Iterator[Problem]:
        """Yield the problem that a name is unknown, if it is."""
        if self.known(name, kinds):
            return
        known = self.of(kinds)
        wanted = " or ".join(_SINGULAR[kind] for kind in kinds)
        if not name:
            yield error("known-id", f"the name of a {wanted} is missing here", where)
            return
        message = f"there is no {wanted} `{name}`{self._elsewhere(name, kinds) or did_you_mean(name, known)}"
        yield error("known-id", message, where)

    def _elsewhere(self, name: str, kinds: tuple[str, ...]) -> str:
        for kind in _SINGULAR:
            if kind not in kinds and name in self.assembly.kind(kind):
                return f" (there is a {_SINGULAR[kind]} of that name)"
        return ""


def _in_field(placed: Placed[Any], field: str, targets: tuple[str, ...], names: _Names) -> Iterator[Problem]:
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


def _owners(assembly: Assembly, names: _Names) -> Iterator[Problem]:
    for fault in assembly.faults.values():
        part, dot, mode = fault.item.id.partition(".")
        if not dot or not part or not mode or "." in mode:
            message = f"a fault is named `part.mode`; `{fault.item.id}` is not"
            yield error("id-form", message, fault.where.at("id"))
        else:
            yield from names.wrong(part, ("parts",), fault.where.at("id"))


def _holds(assembly: Assembly, names: _Names) -> Iterator[Problem]:
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


def _complaints(assembly: Assembly, names: _Names) -> Iterator[Problem]:
    for complaint in assembly.complaints.values():
        yield from _told(complaint, assembly, names)
        for place, answer in enumerate(complaint.item.answers):
            where = complaint.where.at("answers", place, "complaint")
            yield from names.wrong(answer.complaint, ("complaints",), where)


def _told(complaint: Placed[Complaint], assembly: Assembly, names: _Names) -> Iterator[Problem]:
    for place, told in enumerate(complaint.item.findings):
        yield from _finding(told.check, told.outcome, assembly, names, complaint.where.at("findings", place))


def _ticks(assembly: Assembly, names: _Names) -> Iterator[Problem]:
    for gate in assembly.gates.values():
        for place, said in enumerate(gate.item.stands_for):
            yield from _finding(said.check, said.outcome, assembly, names, gate.where.at("stands_for", place))


def _finding(name: str, outcome: str, assembly: Assembly, names: _Names, where: Where) -> Iterator[Problem]:
    """Yield what is wrong with a check and its outcome that are named together."""
    yield from names.wrong(name, ("checks",), where.at("check"))
    check = assembly.checks.get(name)
    if check is None:
        return
    known = outcomes(check.item)
    if outcome_named(check.item, outcome) not in known:
        listed = ", ".join(f"`{each}`" for each in known)
        message = f"`{outcome}` is no outcome of `{name}`, which has {listed}"
        yield error("known-outcome", message + did_you_mean(outcome, known), where.at("outcome"))


def _stages(assembly: Assembly, names: _Names) -> Iterator[Problem]:
    """Yield each name that a stage's limits or its stop list, or the order of the stages, has wrong."""
    for stage in assembly.stages.values():
        for limit in stage.item.limits:
            where = stage.where.at("limits", limit.id)
            for field in ("below", "above", "nothing"):
                if outcome := getattr(limit, field):
                    yield from _outcome_of(stage.item.check, outcome, assembly, where.at(field))
        for stop in stage.item.stop_if:
            where = stage.where.at("stop_if", stop.id)
            for place, gate in enumerate(stop.unmeets):
                yield from names.wrong(gate, ("gates",), where.at("unmeets", place))
            if stop.check or stop.outcome:
                yield from names.wrong(stop.check, ("checks",), where.at("check"))
                yield from _outcome_of(stop.check, stop.outcome, assembly, where.at("outcome"))
    if assembly.sheet is None:
        head = Where("family", assembly.family.id, ("bring_up",))
        for place, name in enumerate(assembly.family.bring_up):
            yield from names.wrong(name, ("stages",), head.at(place))


def _outcome_of(name: str, outcome: str, assembly: Assembly, where: Where) -> Iterator[Problem]:
    check = assembly.checks.get(name)
    if check is not None and outcome not in outcomes(check.item):
        listed = ", ".join(f"`{each}`" for each in outcomes(check.item))
        yield error("known-outcome", f"`{outcome}` is no outcome of `{name}`, which has {listed}", where)


def _copies(assembly: Assembly, names: _Names) -> Iterator[Problem]:
    if assembly.sheet is None:
        return
    where = Where("sheet", assembly.sheet.id, ("copies",))
    for part, copies in assembly.sheet.copies.items():
        if copies < 0:
            yield error("copies", f"there cannot be {copies} copies of a part", where.at(part))
        elif copies > 0:
            yield from names.wrong(part, ("parts",), where.at(part, on_key=True))


def _sources(assembly: Assembly, lost: frozenset[str]) -> Iterator[Problem]:
    known = {*assembly.sources, *UNSOURCED}
    for caution in assembly.cautions.values():
        if caution.item.source not in known | lost:
            yield _no_source(caution.item.source, known, caution.where.at("source"))
    for claim, of, path in _claims(assembly):
        if claim.source not in known and claim.source not in lost:
            yield _no_source(claim.source, known, of.at(*path))


def _no_source(name: str, known: set[str], where: Where) -> Problem:
    message = f"there is no source `{name}`{did_you_mean(name, known)}"
    return error("known-source", f"{message}{'' if '?' in message else '; or write `judgement`'}", where)


def _claims(assembly: Assembly) -> Iterator[tuple[Claim, Where, tuple[str, ...]]]:
    """Yield every number of the machine, with the place of its item and the way on from there."""
    for kind in REFERENCES:
        for placed in assembly.kind(kind).values():
            for claim, path in _claims_in(placed.item):
                yield claim, placed.where, path
    yield assembly.family.expected_faults, Where("family", assembly.family.id), ("expected_faults",)


def _claims_in(item: Any) -> Iterator[tuple[Claim, tuple[str, ...]]]:
    for field in dataclasses.fields(item):
        value = getattr(item, field.name)
        if isinstance(value, Claim):
            yield value, (field.name,)
        elif isinstance(value, Mapping):
            for name, inner in value.items():
                if isinstance(inner, Claim):
                    yield inner, (field.name, name)
        elif field.name == "limits":
            for limit in value:
                for inner, path in _claims_in(limit):
                    yield inner, (field.name, limit.id, *path)

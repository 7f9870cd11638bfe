"""Check the worked cases of a pack: the machine, the source, the truth and every fact must be known to it."""

from __future__ import annotations

from collections.abc import Collection, Iterator

from powergood.errors import Issue
from powergood.ids import part_of
from powergood.knowledge.model import MachineModel
from powergood.knowledge.problems import did_you_mean
from powergood.knowledge.sourcing import UNSOURCED
from powergood.packs.findings import drafts_in, intake_in
from powergood.packs.folder import Entry
from powergood.packs.marked import Document, Trail
from powergood.packs.pack import Pack
from powergood.packs.worked import WorkedCase


def case_issues(pack: Pack, entries: Collection[Entry]) -> Iterator[Issue]:
    """Yield every mistake in the worked cases among the entries of a pack that has no other mistake."""
    machines: dict[str, MachineModel] = {}
    kinds = {*pack.sheets, *pack.families}
    sources = {*UNSOURCED, *(source.id for source in pack.sources)}
    for entry in entries:
        if entry.kind is not WorkedCase or entry.value is None:
            continue
        case: WorkedCase = entry.value
        document = entry.document
        yield from _unknown(document, ("source",), case.source, sources, "source")
        yield from _unknown(document, ("machine",), case.machine, kinds, "sheet or family")
        if case.machine in kinds:
            if case.machine not in machines:
                machines[case.machine] = pack.machine(case.machine)
            yield from _facts(document, case, machines[case.machine])


def _facts(document: Document, case: WorkedCase, machine: MachineModel) -> Iterator[Issue]:
    issues: list[Issue] = []
    drafts_in(document, ("facts",), machine, issues)
    if case.intake:
        intake_in(document, ("intake",), machine, issues)
    yield from issues
    faults = {fault.id for fault in machine.faults}
    copies = {part.id: part.copies for part in machine.parts}
    for place, name in enumerate(case.truth):
        if _without_copy(name, copies) not in faults:
            yield from _unknown(document, ("truth", place), name, faults, "fault")
    if not case.truth and not case.unexpressed:
        message = "the fault that was found is missing: give `truth`, or say why not in `unexpressed`"
        yield document.issue("case-truth", message, ("truth",))


def _without_copy(fault: str, copies: dict[str, int]) -> str:
    """Return the fault that `memory.2.unseated` is one copy's of; any other name as it is."""
    part, _, mode = fault.partition(".")
    number, dot, rest = mode.partition(".")
    if dot and number.isdigit() and 1 <= int(number) <= copies.get(part_of(fault), 0):
        return f"{part}.{rest}"
    return fault


def _unknown(document: Document, at: Trail, name: str, known: Collection[str], what: str) -> Iterator[Issue]:
    if name not in known:
        yield document.issue("known-id", f"there is no {what} `{name}`{did_you_mean(name, known)}", at)

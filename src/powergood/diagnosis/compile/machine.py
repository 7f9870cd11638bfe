"""One machine in numbers, from what is known of its kind, its year and its take-in answers."""

from __future__ import annotations

from collections.abc import Mapping

from powergood.diagnosis.by_copy import split_by_copy
from powergood.diagnosis.clusters import clusters
from powergood.diagnosis.compile.bases import bases_of, splits_of
from powergood.diagnosis.compile.chances import chances_now, pack_chances, starts_of
from powergood.diagnosis.compile.faults import faults_of, makes_of
from powergood.diagnosis.compile.slots import part_titles, slots_of
from powergood.diagnosis.compile.steps import checks_of, every_fix, opening_of
from powergood.diagnosis.compiled import CompiledModel, GateSpec
from powergood.diagnosis.shut import to_shut
from powergood.diagnosis.taught import Taught
from powergood.estimate import Learned
from powergood.knowledge.model import Check, Gate, MachineModel
from powergood.knowledge.stops import outcome_named


def compile_model(
    machine: MachineModel,
    *,
    year: int = 0,
    intake: Mapping[str, bool] | None = None,
    learned: Learned | None = None,
    who: str = "",
) -> CompiledModel:
    """Return the numbers for `machine`, made in `year` (0: unknown), with its take-in questions answered.

    `learned` are the numbers that closed jobs moved, minutes at the pace of the person `who`; without them
    the pack's own stand.

    Raises
    ------
    KeyError : an id that nothing defines; packs are checked before they come here.
    """
    slots = slots_of(machine)
    named = bases_of(machine, slots)
    bases, shares = split_by_copy(named, splits_of(machine), slots)
    base_index = {base.id: index for index, base in enumerate(bases)}
    taught = Taught(learned or Learned(), machine.family or machine.id, who)
    own = pack_chances(machine)
    chances = chances_now(machine, year, intake or {}, {name: taught.fault(name, own[name]) for name in own})
    faults = faults_of(machine, slots, chances, named, base_index, shares)
    fault_index = {fault.id: index for index, fault in enumerate(faults)}
    named_check = {check.id: check for check in machine.checks}
    openings = {opening.id: opening_of(opening, machine.openings, taught) for opening in machine.openings}
    deadly = frozenset(caution.id for caution in machine.cautions if caution.deadly)
    shut = {
        check.id: frozenset() if check.power == "off" else to_shut(check.open, openings, deadly)
        for check in machine.checks
    }
    return CompiledModel(
        family=machine.family or machine.id,
        digest=machine.digest,
        faults=faults,
        clusters=clusters([fault.prior for fault in faults], makes_of(machine, fault_index, slots)),
        bases=bases,
        checks={
            spec.id: spec
            for check in machine.checks
            for spec in checks_of(check, shut[check.id], slots, base_index, shares, taught)
        },
        fixes={spec.id: spec for spec in every_fix(machine, slots, faults, fault_index, taught)},
        openings=openings,
        gates=tuple(_gate(gate, named_check) for gate in machine.gates),
        complaints={
            complaint.id: tuple(
                (told.check, outcome_named(named_check[told.check], told.outcome))
                for told in complaint.findings
            )
            for complaint in machine.complaints
        },
        area_titles={area.id: area.title for area in machine.areas},
        part_titles=part_titles(machine, slots),
        slots=tuple(slot for part in machine.parts for slot in slots[part.id]),
        base_index=base_index,
        fault_index=fault_index,
        starts=starts_of(machine, own),
        duds=taught.duds(),
    )


def _gate(gate: Gate, checks: Mapping[str, Check]) -> GateSpec:
    """Return a gate with the findings that its own tick stands for; those with a box are told apart."""
    ticked = tuple(
        (each.check, outcome_named(checks[each.check], each.outcome))
        for each in gate.stands_for
        if not each.box
    )
    return GateSpec(gate.id, gate.title, gate.ask, gate.because, gate.holds, gate.cautions, ticked)

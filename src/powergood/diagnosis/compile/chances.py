"""Chances of faults before anything is seen: weights scaled, then odds moved by age and take-in answers."""

from __future__ import annotations

from collections.abc import Mapping
from math import prod

from powergood.diagnosis.compile.slots import value
from powergood.diagnosis.priors import priors, with_odds_times
from powergood.estimate import Start, number_id
from powergood.ids import part_of
from powergood.knowledge.model import MachineModel

EXPECTED_FAULTS = 1.5
"""Judgement: faults in a machine as it comes, where the family does not say; documented repairs give 0.8 at
least, practitioners say two to four."""


def pack_chances(machine: MachineModel) -> dict[str, float]:
    """Return each fault's chance by the pack: weights scaled to the expected number of faults."""
    stated = {fault.id: fault.chance.value for fault in machine.faults if fault.chance}
    weights = {
        fault.id: fault.frequency.value for fault in machine.faults if not fault.chance and fault.frequency
    }
    return priors(weights, stated, value(machine.expected_faults, EXPECTED_FAULTS))


def chances_now(
    machine: MachineModel, year: int, intake: Mapping[str, bool], before: Mapping[str, float]
) -> dict[str, float]:
    """Return each fault's chance: `before` with its odds multiplied by age and take-in answers."""
    areas = {part.id: part.area for part in machine.parts}
    chances = dict(before)
    for fault in machine.faults:
        part = part_of(fault.id)
        names = {fault.id, part, areas[part]}
        for fact in machine.intake:
            if _applies(fact.from_year, fact.to_year, year) or intake.get(fact.id, False):
                factor = prod(claim.value for key, claim in fact.multiplies.items() if key in names)
                chances[fault.id] = with_odds_times(chances[fault.id], factor)
    return chances


def _applies(from_year: int, to_year: int, year: int) -> bool:
    return bool((from_year or to_year) and year and from_year <= year <= (to_year or year))


def starts_of(machine: MachineModel, chances: Mapping[str, float]) -> dict[str, Start]:
    """Return the numbers that jobs can move, as the pack has them, with their weights in pseudo-cases."""
    family = machine.family or machine.id
    found = {}
    for fault in machine.faults:
        claim = fault.chance or fault.frequency
        if claim:
            start = Start(chances[fault.id], claim.weight or machine.weight, claim.source)
            found[number_id("fault", family, fault.id)] = start
    for check in machine.checks:
        alarm = check.false_alarm
        start = Start(alarm.value, alarm.weight or machine.weight, alarm.source)
        found[number_id("false-alarm", family, check.id)] = start
    return found

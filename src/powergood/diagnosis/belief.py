"""The belief: exact chances over histories, split into parts of the machine that the findings do not join.

Each group of failed findings that share possible causes is solved by the recursion on its own; a fault
that could explain none of them keeps its own small posterior. Where one group has too many failed
findings for the recursion (see `beyond`), its chances carry a stated error.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from powergood.diagnosis.beyond import Table, Weighted, solve_by_sampling
from powergood.diagnosis.compiled import CompiledModel
from powergood.diagnosis.evidence import Evidence
from powergood.diagnosis.gathering import gather
from powergood.diagnosis.histories import FaultVariable, fault_variables
from powergood.diagnosis.looks import Report
from powergood.diagnosis.recursion import (
    MOST_BITS,
    Component,
    Floats,
    Solved,
    Switch,
    Trajectory,
    Variable,
    solve,
    sum_masks,
)
from powergood.diagnosis.recursion import evidence as evidence_weight
from powergood.record.timeline import Timeline


@dataclass(frozen=True, slots=True)
class Group:
    """One component with the numbers of its variables and of its bits in the whole belief."""

    variables: tuple[int, ...]
    bits: tuple[int, ...]
    solved: Solved | Weighted


@dataclass(frozen=True, slots=True)
class Belief:
    """What is believed of every fault instance after the facts.

    `chances[v][h]` is the posterior of history h of variable v. `weight` is the chance of all coupled
    findings (up to a factor that depends on the passed ones only), `error` the greatest standard error
    of any chance: nought where the recursion was exact.
    """

    model: CompiledModel
    evidence: Evidence
    variables: tuple[FaultVariable, ...]
    chances: tuple[tuple[float, ...], ...]
    groups: tuple[Group, ...]
    weight: float
    error: float

    def present(self) -> dict[tuple[int, str], float]:
        """Return each fault instance's chance of being present now, keyed by (fault index, instance)."""
        found = {}
        for variable, chances in zip(self.variables, self.chances, strict=True):
            for place, instance in enumerate(variable.instances):
                there = sum(
                    chance
                    for history, chance in zip(variable.histories, chances, strict=True)
                    if history.present[place]
                )
                found[instance.fault, instance.instance] = min(there, 1.0)
        return found

    def at_first(self) -> dict[tuple[int, str], float]:
        """Return each fault instance's chance of having been there when it came, keyed like `present`."""
        found: dict[tuple[int, str], float] = {}
        for variable, chances in zip(self.variables, self.chances, strict=True):
            for place, instance in enumerate(variable.instances):
                began = sum(
                    chance
                    for history, chance in zip(variable.histories, chances, strict=True)
                    if history.began[place]
                )
                found[instance.fault, instance.instance] = min(began, 1.0)
        return found

    def now(self) -> dict[int, float]:
        """Return the chance that each fault is present in the part instance fitted now."""
        now = dict.fromkeys(range(len(self.model.faults)), 0.0)
        for (fault, instance), chance in self.present().items():
            slot = self.model.faults[fault].slot
            if not slot or self.evidence.now.fitted(slot) == instance:
                now[fault] = chance
        return now


def believe(model: CompiledModel, line: Timeline) -> Belief:
    """Return the belief after the facts of `line`; its weight and all chances are 0 where they cannot be."""
    return belief(model, gather(model, line))


def belief(model: CompiledModel, evidence: Evidence) -> Belief:
    """Return the belief that `evidence` leads to. Exact while no group has more than MOST_BITS bits."""
    variables = fault_variables(model, evidence)
    trajectories = tuple(
        tuple(history.trajectory for history in variable.histories) for variable in variables
    )
    joined, free = split(trajectories, evidence.reports, evidence.rows_bits())
    groups = tuple(Group(each.members, each.bits, each.solved()) for each in joined)
    chances: list[tuple[float, ...]] = [()] * len(variables)
    weight, error = 1.0, 0.0
    for number in free:
        weights = [trajectory.weight for trajectory in trajectories[number]]
        total = sum(weights)
        weight *= total
        chances[number] = tuple(each / total if total > 0 else 0.0 for each in weights)
    for group in groups:
        weight *= group.solved.evidence
        if isinstance(group.solved, Weighted):
            error = max(error, group.solved.error)
        for number, of_variable in zip(group.variables, group.solved.chances, strict=True):
            chances[number] = of_variable
    return Belief(model, evidence, variables, tuple(chances), groups, weight, error)


@dataclass(frozen=True, slots=True)
class Joined:
    """Variables and reports that share bits, renumbered among themselves, not yet solved."""

    members: tuple[int, ...]
    bits: tuple[int, ...]
    variables: tuple[Variable, ...]
    tables: tuple[Table, ...]

    def solved(self) -> Solved | Weighted:
        """Return the posterior: exact, or past MOST_BITS by sampling."""
        if len(self.bits) <= MOST_BITS:
            return solve(Component(self.variables, terminal(len(self.bits), self.tables)))
        return solve_by_sampling(self.variables, len(self.bits), self.tables)

    def weight(self) -> float:
        """Return the chance of the reports alone, at half the work of `solved`."""
        if len(self.bits) <= MOST_BITS:
            return evidence_weight(Component(self.variables, terminal(len(self.bits), self.tables)))
        return self.solved().evidence


def split(
    variables: Sequence[Variable], reports: Sequence[Report], row_bits: Sequence[int]
) -> tuple[tuple[Joined, ...], tuple[int, ...]]:
    """Split variables and reports into groups that share no bit; return them and the free variables.

    `row_bits[r]` is the bit of row r. Free variables throw no switch on any bit.
    """
    masks = [
        sum_masks(switch.mask for trajectory in variable for switch in trajectory.switches)
        for variable in variables
    ]
    report_masks = [sum_masks(1 << row_bits[row] for row in report.rows) for report in reports]
    found = []
    for whole in _joined([*masks, *report_masks]):
        bits = tuple(bit for bit in range(whole.bit_length()) if whole >> bit & 1)
        place = {bit: number for number, bit in enumerate(bits)}
        members = tuple(number for number, mask in enumerate(masks) if mask & whole)
        tables = tuple(
            (tuple(place[row_bits[row]] for row in report.rows), report.table)
            for report, mask in zip(reports, report_masks, strict=True)
            if mask & whole
        )
        found.append(
            Joined(members, bits, tuple(_renumbered(variables[each], place) for each in members), tables)
        )
    return tuple(found), tuple(number for number, mask in enumerate(masks) if not mask)


def terminal(bits: int, tables: Sequence[Table]) -> Floats:
    """Return the weight of each set of tripped bits: the product of every report's table entry for it."""
    sets = np.arange(1 << bits, dtype=np.int64)
    weight: Floats = np.ones(sets.size)
    for places, table in tables:
        entry = np.zeros(sets.size, dtype=np.int64)
        for number, place in enumerate(places):
            entry |= (sets >> place & 1) << number
        weight *= np.asarray(table)[entry]
    return weight


def _joined(masks: Sequence[int]) -> list[int]:
    """Return the connected unions of the given bit masks, in the order of their lowest bits."""
    groups: list[int] = []
    for mask in masks:
        if not mask:
            continue
        apart = [group for group in groups if not group & mask]
        for group in groups:
            if group & mask:
                mask |= group
        groups = [*apart, mask]
    return sorted(groups, key=lambda group: group & -group)


def _renumbered(variable: Variable, place: dict[int, int]) -> Variable:
    if all(bit == number for bit, number in place.items()):
        return variable
    return tuple(
        Trajectory(
            trajectory.weight,
            tuple(
                Switch(switch.off, switch.on, _moved(switch.mask, place), switch.label)
                for switch in trajectory.switches
            ),
        )
        for trajectory in variable
    )


def _moved(mask: int, place: dict[int, int]) -> int:
    return sum(1 << number for bit, number in place.items() if mask >> bit & 1)

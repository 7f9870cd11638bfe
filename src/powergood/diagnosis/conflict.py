"""Findings that fit nothing known: how far, and the smallest set to look at again.

With false alarms nothing is impossible. So a conflict is a threshold on the chance, given all findings,
that none of them is a false alarm and no unlisted fault is present. When that chance is low, the
smallest set of findings whose removal lifts it is named.
"""

from __future__ import annotations

from dataclasses import replace
from itertools import combinations

from powergood.diagnosis.belief import split
from powergood.diagnosis.compiled import CompiledModel
from powergood.diagnosis.evidence import Evidence
from powergood.diagnosis.gathering import gather
from powergood.diagnosis.histories import FaultVariable, fault_variables
from powergood.diagnosis.looks import Report
from powergood.diagnosis.recursion import Trajectory
from powergood.record.model import Complained, Finding
from powergood.record.timeline import Timeline

CONFLICT = 0.1
"""Judgement: below this chance of all findings fitting what is known, they are called in conflict."""

MOST_BITS_SEARCHED = 12
"""Coupled findings past which a conflict is reported without naming the findings, to keep the card quick."""

HELPFUL = 6
"""Findings whose pairs are tried when no single one lifts the chance: those that help most alone."""


def fits_known(model: CompiledModel, found: Evidence) -> float:
    """Return P(no false alarm, nothing unlisted | findings)."""
    variables = fault_variables(model, found)
    every = tuple(tuple(history.trajectory for history in each.histories) for each in variables)
    whole = _weight(every, found.reports, found.rows_bits())
    if whole <= 0:
        return 0.0
    listed = tuple(_listed_only(model, variable) for variable in variables)
    reports = tuple(replace(report, table=report.no_alarm) for report in found.reports)
    return min(_weight(listed, reports, found.rows_bits()) / whole, 1.0)


def _listed_only(model: CompiledModel, variable: FaultVariable) -> tuple[Trajectory, ...]:
    """Return the histories in which no unlisted fault was ever there."""
    unlisted = any(not model.faults[instance.fault].listed for instance in variable.instances)
    if not unlisted:
        return tuple(history.trajectory for history in variable.histories)
    return tuple(
        history.trajectory
        for history in variable.histories
        if not any(history.present) and not history.trajectory.switches
    )


def _weight(
    variables: tuple[tuple[Trajectory, ...], ...], reports: tuple[Report, ...], bits: tuple[int, ...]
) -> float:
    joined, free = split(variables, reports, bits)
    weight = 1.0
    for number in free:
        weight *= sum(trajectory.weight for trajectory in variables[number])
    for each in joined:
        weight *= each.weight()
    return weight


def conflict(model: CompiledModel, line: Timeline, found: Evidence) -> tuple[float, tuple[int, ...]]:
    """Return how well the findings fit what is known, and the facts to look at again (none when they fit).

    Single findings are tried first, then pairs of those that help most; if no pair is enough, the
    pair that helps most is named.
    """
    fits = fits_known(model, found)
    if fits >= CONFLICT:
        return fits, ()
    if found.bits > MOST_BITS_SEARCHED:
        return fits, ()
    facts = [fact.number for fact in line.facts if isinstance(fact.body, Finding | Complained)]
    single = sorted(((_without(model, line, {number}), -number) for number in facts), reverse=True)
    if not single:
        return fits, ()
    if single[0][0] >= CONFLICT:
        return fits, (-single[0][1],)
    best = [-number for _, number in single[:HELPFUL]]
    pairs = [(_without(model, line, set(pair)), pair) for pair in combinations(best, 2)]
    if not pairs:
        return fits, (best[0],)
    _, pair = max(pairs, key=lambda each: (each[0], tuple(-number for number in each[1])))
    return fits, tuple(sorted(pair))


def _without(model: CompiledModel, line: Timeline, numbers: set[int]) -> float:
    kept = Timeline(tuple(fact for fact in line.facts if fact.number not in numbers))
    return fits_known(model, gather(model, kept))

"""What each outcome of a check would leave suspect, exactly: the belief with that finding added."""

from __future__ import annotations

from powergood.diagnosis.belief import Belief, belief
from powergood.diagnosis.bound import breaking
from powergood.diagnosis.compiled import CheckSpec, CompiledModel
from powergood.diagnosis.gathering import gather
from powergood.diagnosis.in_the_way import in_way
from powergood.diagnosis.lookahead import Lookahead, Node
from powergood.diagnosis.model import OutcomeChance
from powergood.diagnosis.worth import Worth
from powergood.record.model import GOOD, Draft, Fact, Finding
from powergood.record.timeline import Timeline

SUSPECTS = 3
"""How many parts are named for each outcome."""

LEAST = 0.01
"""Parts less likely than this at fault are not named."""


def with_finding(line: Timeline, finding: Finding) -> Timeline:
    """Return the timeline as it would be if `finding` were recorded now; nothing is recorded."""
    last = line.facts[-1].number if line.facts else 0
    return Timeline((*line.facts, Fact(last + 1, "", Draft(finding, key=""))), line.withdrawn)


def suspects(held: Belief, worth: Worth) -> tuple[tuple[str, float], ...]:
    """Return the parts likeliest to be in the way of what is wanted, with their chances; an area for what
    nobody listed.

    A part's chance is that of its likeliest fault: faults of one part are not added up. Where nothing is
    wanted, every part counts.
    """
    faults = held.model.faults
    likely = [
        (-chance, faults[fault].slot or faults[fault].id, fault)
        for fault, chance in held.now().items()
        if chance >= LEAST
    ]
    found: dict[str, float] = {}
    for less, name, fault in sorted(likely):
        if len(found) == SUSPECTS:
            break
        if name in found:
            continue
        if not worth.wanted or in_way(-less, breaking(held, worth, {fault}).get(fault, 0.0)):
            found[name] = -less
    return tuple(found.items())


def outcomes_exactly(
    model: CompiledModel, line: Timeline, check: CheckSpec, worth: Worth
) -> tuple[OutcomeChance, ...]:
    """Return every outcome of `check` with its exact chance and what it would leave suspect."""
    found: list[tuple[float, str, str, tuple[tuple[str, float], ...]]] = []
    for outcome, words in check.outcomes():
        finding = Finding(check.check, outcome, copy=check.copy)
        held = belief(model, gather(model, with_finding(line, finding)))
        weight = held.weight
        if outcome == GOOD:
            weight *= (1.0 - check.leak) ** len(check.rungs)
        found.append((weight, outcome, words, suspects(held, worth)))
    total = sum(weight for weight, *_ in found) or 1.0
    return tuple(OutcomeChance(name, weight / total, words, left) for weight, name, words, left in found)


def outcomes_roughly(look: Lookahead, root: Node, check: CheckSpec) -> tuple[OutcomeChance, ...]:
    """Return every outcome of `check` with its chance over the samples; what it would leave is not said."""
    mass = root.weights @ look.outlook(root)[:, list(look.outcomes(check.id))]
    chances: dict[str, float] = {}
    for name, each in zip([*(rung.outcome for rung in check.rungs), GOOD], mass, strict=True):
        chances[name] = chances.get(name, 0.0) + float(each)
    return tuple(OutcomeChance(name, chances[name], words) for name, words in check.outcomes())

"""Advice from facts: belief, gates, ranking and reasons put together; a pure function of what is known.

facts ─ evidence ─ belief ─┬─ where each function stands, what is suspect, what is cleared
                           ├─ samples ─ plan ─ the ranked steps
                           └─ the cost no plan can beat; findings in conflict
"""

from __future__ import annotations

from collections.abc import Mapping

from powergood.diagnosis.against import Weighed, against, own_fix
from powergood.diagnosis.belief import Belief, belief
from powergood.diagnosis.bench_now import BenchNow
from powergood.diagnosis.bound import at_least, breaking
from powergood.diagnosis.compiled import SOMETHING_ELSE, CheckSpec, CompiledModel, FixSpec
from powergood.diagnosis.conflict import conflict
from powergood.diagnosis.evidence import Evidence
from powergood.diagnosis.exchanged import exchanges
from powergood.diagnosis.gates import gate_states
from powergood.diagnosis.gathering import gather
from powergood.diagnosis.left import function_states
from powergood.diagnosis.lookahead import Lookahead, Node
from powergood.diagnosis.model import (
    Advice,
    AreaChance,
    FaultChance,
    Preferences,
    Together,
)
from powergood.diagnosis.plan import Plan, plan
from powergood.diagnosis.samples import planning_samples
from powergood.diagnosis.steps import steps_now
from powergood.diagnosis.worth import Worth
from powergood.errors import ImpossibleEvidence
from powergood.record.timeline import Timeline

CLEARED = 0.02
"""Judgement: a part is cleared when its faults together are this unlikely, and rarer than at first."""

RARER = 0.8
"""Judgement: what counts as rarer than at first, as a share of the chance then."""

MOODY = 0.01
"""Judgement: an intermittent fault less likely than this does not make a check worth doing again."""

SETS = 5
"""How many of the likeliest sets of faults are named."""


def advise(model: CompiledModel, line: Timeline, preferences: Preferences | None = None) -> Advice:
    """Return the advice that `model` and the facts of `line` lead to.

    Equal arguments give equal advice: nothing is read from a clock, a file or a random source. Chances
    are exact unless `Advice.error` says otherwise; costs are in minutes of your time.

    Raises
    ------
    ImpossibleEvidence : the findings exclude each other. It takes a model without false alarms for that.
    """
    wants = preferences or Preferences()
    evidence = gather(model, line)
    held = belief(model, evidence)
    if held.weight <= 0:
        raise _impossible(model, line, evidence)
    now = evidence.now
    functions = function_states(held, wants.threshold)
    worth = Worth.of(model, wants, now.wanted, now.missing)
    unproven = frozenset(number for number, state in enumerate(functions) if state.standing != "proven")
    chances = held.now()
    look = Lookahead(
        worth,
        planning_samples(held),
        _checks(model, evidence, wants),
        _fixes(model, evidence, wants),
        now.missing,
    )
    told = _told_already(model, evidence, chances)
    passed = frozenset(number for number, state in enumerate(functions) if state.standing == "passed")
    root = look.root(now.opened, unproven, now.missing, told, passed, now.running)
    breaks = breaking(held, worth)
    faults = _faults(held, chances, breaks, worth.mended_by(now.opened))
    own = own_fix(faults, look.fixes)
    planned = plan(look, root, own[1:] if own else ()) if unproven else Plan((), worth.refit(now.opened), 0.0)
    steps = steps_now(model, line, held, look, root, planned)
    fits, clashing = conflict(model, line, evidence)
    owed = frozenset(n for n, state in enumerate(functions) if state.standing in ("unknown", "failing"))
    least = at_least(held, worth, owed, breaks) if unproven else worth.refit(now.opened)
    return Advice(
        family=model.family,
        digest=model.digest,
        faults=faults,
        something_else=_something_else(model, chances),
        together=_together(model, root),
        cleared=_cleared(model, chances, now),
        gates=gate_states(model, now, steps),
        steps=steps,
        expected_total=planned.total,
        expected_total_error=planned.error,
        at_least=min(least, planned.total),
        conflict=clashing,
        functions=functions,
        fits_nothing=fits,
        done=not unproven,
        unexplained=now.unexplained,
        facts=len(line.facts),
        error=held.error,
        unread=evidence.unread,
        hinge=planned.hinge,
        exchanged=exchanges(held, worth, functions),
        against=against(Weighed(look, root, now, planned, faults), steps),
    )


def _impossible(model: CompiledModel, line: Timeline, found: Evidence) -> ImpossibleEvidence:
    culprits = conflict(model, line, found)[1]
    which = f"facts {', '.join(map(str, culprits))}" if culprits else "the findings"
    return ImpossibleEvidence(
        f"The findings exclude each other. Look again at {which}, and withdraw what was wrong.", culprits
    )


def _checks(model: CompiledModel, found: Evidence, wants: Preferences) -> list[CheckSpec]:
    """Return the checks that can be done here: not ruled out, and resting on no part that is out."""
    now = found.now
    kept = []
    for check in model.checks.values():
        if check.id in wants.cannot or check.check in wants.cannot:
            continue
        gone = now.missing | check.absent
        rests = frozenset().union(*(model.closure(rung.base, gone) for rung in check.rungs))
        if not model.needs_missing(rests, now.missing - check.fitted - check.masked):
            kept.append(check)
    return kept


def _told_already(model: CompiledModel, found: Evidence, chances: Mapping[int, float]) -> frozenset[str]:
    """Return the checks done since the last act, which would only be the same look again.

    Not among them are those in which an intermittent fault may show this time, in what was seen then: behind
    a rung that has failed nothing was seen.
    """
    moody = model.moody(fault for fault, chance in chances.items() if chance > MOODY)
    return frozenset(name for name, seen in found.fresh.items() if not moody & seen)


def _fixes(model: CompiledModel, found: Evidence, wants: Preferences) -> list[FixSpec]:
    """Return the fixes that can be done here; none again before something has failed since."""
    last_failed = max((each.time for each in found.failed), default=0)
    return [
        fix
        for fix in model.fixes.values()
        if fix.id not in wants.cannot
        and fix.fix not in wants.cannot
        and found.now.done.get(fix.id, 0) <= last_failed
    ]


def _faults(
    held: Belief, chances: Mapping[int, float], breaks: Mapping[int, float], mended_by: Mapping[int, str]
) -> tuple[FaultChance, ...]:
    now = held.evidence.now
    listed = [
        FaultChance(
            fault=spec.id,
            part=now.fitted(spec.slot) or spec.slot,
            chance=chances[number],
            title=spec.title,
            area=spec.area,
            before=spec.prior,
            breaks=breaks.get(number, 0.0),
            mended_by=mended_by.get(number, ""),
        )
        for number, spec in enumerate(held.model.faults)
        if spec.listed
    ]
    return tuple(sorted(listed, key=lambda each: (-round(each.chance, 12), each.fault)))


def _something_else(model: CompiledModel, chances: dict[int, float]) -> tuple[AreaChance, ...]:
    found = [
        AreaChance(spec.area, chances[number], model.area_titles.get(spec.area, spec.area))
        for number, spec in enumerate(model.faults)
        if spec.id.startswith(SOMETHING_ELSE)
    ]
    return tuple(sorted(found, key=lambda each: (-round(each.chance, 12), each.area)))


def _together(model: CompiledModel, root: Node) -> tuple[Together, ...]:
    """Return the likeliest sets of faults that break something wanted, over the samples."""
    shares: dict[tuple[int, ...], float] = {}
    for row, weight in zip(root.broken, root.weights, strict=True):
        found = tuple(int(fault) for fault in row.nonzero()[0])
        shares[found] = shares.get(found, 0.0) + float(weight)
    ranked = sorted(shares.items(), key=lambda each: (-round(each[1], 9), each[0]))[:SETS]
    return tuple(Together(tuple(model.faults[f].id for f in found), share) for found, share in ranked)


def _cleared(model: CompiledModel, chances: dict[int, float], now: BenchNow) -> tuple[str, ...]:
    """Return the slots that the findings speak free."""
    cleared = []
    for slot in model.slots:
        own = [number for number, fault in enumerate(model.faults) if fault.slot == slot]
        prior = sum(model.faults[number].prior for number in own)
        chance = sum(chances[number] for number in own)
        if own and now.fitted(slot) and chance < CLEARED and chance < RARER * prior:
            cleared.append(slot)
    return tuple(cleared)

"""Advice from facts: belief, gates, ranking and reasons put together; a pure function of what is known.

facts ─ evidence ─ belief ─┬─ where each function stands, what is suspect, what is cleared
                           ├─ samples ─ plan ─ the ranked steps
                           └─ the cost no plan can beat; findings in conflict
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping

from powergood.diagnosis.belief import Belief, belief
from powergood.diagnosis.bench_now import BenchNow
from powergood.diagnosis.bound import at_least, breaking
from powergood.diagnosis.compiled import SOMETHING_ELSE, CheckSpec, CompiledModel, FixSpec
from powergood.diagnosis.conflict import conflict
from powergood.diagnosis.evidence import Evidence, gather
from powergood.diagnosis.explain import why_check, why_fix
from powergood.diagnosis.gates import gate_states, gate_steps, held_back
from powergood.diagnosis.left import function_states
from powergood.diagnosis.lookahead import Lookahead, Node, Scored
from powergood.diagnosis.model import (
    Advice,
    AreaChance,
    FaultChance,
    OutcomeChance,
    Preferences,
    Step,
    Together,
)
from powergood.diagnosis.plan import Plan, plan
from powergood.diagnosis.samples import draw_samples
from powergood.diagnosis.whatif import outcomes_exactly, outcomes_roughly
from powergood.diagnosis.worth import Worth
from powergood.errors import ImpossibleEvidence
from powergood.record.timeline import Timeline

SHOWN_EXACTLY = 3
"""Checks whose outcomes are worked out exactly for the card; the rest are read off the samples."""

MOST_BITS_SHOWN = 11
"""Coupled findings past which outcomes are read off the samples for all checks, to keep the card quick."""

CLEARED = 0.02
"""Judgement: a part is cleared when each of its faults is this unlikely, and less likely than at first."""

MOODY = 0.01
"""Judgement: an intermittent fault less likely than this does not make a check worth doing again."""

PAD_ASK = "Start it once and note all you notice, above all: {}"
"""How a look that belongs to the power-on pad is asked for."""

SETS = 5
"""How many of the likeliest sets of faults are named."""


Outcomes = tuple[OutcomeChance, ...]


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
        draw_samples(held),
        _checks(model, evidence, wants),
        _fixes(model, evidence, wants),
        now.missing,
    )
    told = _told_already(model, evidence, chances)
    root = look.root(now.opened, unproven, now.missing, told)
    planned = plan(look, root) if unproven else Plan((), worth.refit(now.opened), 0.0)
    steps = _steps(model, line, held, look, root, planned)
    fits, clashing = conflict(model, line, evidence)
    breaks = breaking(held, worth)
    least = at_least(held, worth, unproven, breaks) if unproven else worth.refit(now.opened)
    return Advice(
        family=model.family,
        digest=model.digest,
        faults=_faults(held, chances, breaks),
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

    Not among them are those in which an intermittent fault may show this time.
    """
    moody = model.moody(fault for fault, chance in chances.items() if chance > MOODY)
    same = set()
    for name in found.fresh:
        check = model.checks[name]
        gone = found.now.missing | check.absent
        if not moody & frozenset().union(*(model.closure(rung.base, gone) for rung in check.rungs)):
            same.add(name)
    return frozenset(same)


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


def _steps(
    model: CompiledModel, line: Timeline, held: Belief, look: Lookahead, root: Node, planned: Plan
) -> tuple[Step, ...]:
    """Return the steps a person may take now, best first; an unmet gate stands before what it holds back.

    Of the looks that the power-on pad takes together, only the best is a step of its own.
    """
    now = held.evidence.now
    allowed = [each for each in planned.steps if not held_back(model, now, each.step)]
    steps: list[Step] = list(gate_steps(model, now, planned.steps, planned.total))
    exact = 0
    pad_seen = False
    chances = held.now()
    for scored in allowed:
        if scored.kind == "check":
            check = model.checks[scored.step]
            if check.on_pad and pad_seen:
                continue
            pad_seen = pad_seen or check.on_pad
            exactly = exact < SHOWN_EXACTLY and held.evidence.bits <= MOST_BITS_SHOWN
            exact += exactly
            outcomes = (
                outcomes_exactly(model, line, check) if exactly else outcomes_roughly(look, root, check)
            )
            steps.append(_check_step(look, root, check, scored, outcomes))
        elif scored.kind == "fix":
            steps.append(_fix_step(look, root, scored, chances))
        else:
            steps.append(_stop_step(scored))
    return tuple(steps)


def _opens(look: Lookahead, root: Node, openings: frozenset[str]) -> tuple[str, ...]:
    """Return the openings still to be opened, outermost first."""
    specs = look.model.openings
    to_open = look.worth.to_open(openings, root.opened)
    return tuple(sorted(to_open, key=lambda name: (len(specs[name].behind), name)))


def _minutes(look: Lookahead, opens: tuple[str, ...]) -> float:
    return sum(look.model.openings[name].minutes for name in opens)


def _cautions(look: Lookahead, opens: tuple[str, ...], own: tuple[str, ...]) -> tuple[str, ...]:
    """Return the cautions of the openings on the way and of the step itself, each once."""
    way = [caution for name in opens for caution in look.model.openings[name].cautions]
    return tuple(dict.fromkeys([*way, *own]))


def _check_step(look: Lookahead, root: Node, check: CheckSpec, scored: Scored, outcomes: Outcomes) -> Step:
    opens = _opens(look, root, check.open)
    refits = tuple(sorted(check.closed & root.opened))
    refitting = sum(look.model.openings[name].refit for name in refits)
    return Step(
        step=check.id,
        kind="check",
        ask=PAD_ASK.format(check.ask[:1].lower() + check.ask[1:]) if check.on_pad else check.ask,
        outcomes=outcomes,
        minutes=check.price.minutes + _minutes(look, opens) + refitting,
        elapsed=check.price.elapsed,
        money=check.price.money,
        opens=opens,
        expected_total=scored.total,
        why=why_check(look.model, check, outcomes, opens),
        copy=check.copy,
        refits=refits,
        cautions=_cautions(look, opens, check.cautions),
        tools=check.tools,
        wrong_when=check.wrong_when,
        harm=check.price.harm + sum(look.model.openings[name].harm for name in opens),
        note=check.tells,
        on_pad=check.on_pad,
    )


def _fix_step(look: Lookahead, root: Node, scored: Scored, chances: dict[int, float]) -> Step:
    fix = look.model.fixes[scored.step]
    opens = _opens(look, root, fix.open)
    cured = sorted(fix.cures, key=lambda fault: (-chances.get(fault, 0.0), fault))
    return Step(
        step=fix.id,
        kind="fix",
        ask=fix.ask,
        outcomes=(),
        minutes=fix.price.minutes + _minutes(look, opens),
        elapsed=fix.price.elapsed,
        money=fix.price.money,
        opens=opens,
        expected_total=scored.total,
        why=why_fix(look.model, fix, chances),
        cures=tuple((look.model.faults[fault].id, chances.get(fault, 0.0)) for fault in cured[:5]),
        cautions=_cautions(look, opens, fix.cautions),
        tools=fix.tools,
        wrong_when=fix.wrong_when,
        harm=fix.price.harm + sum(look.model.openings[name].harm for name in opens),
        consent=fix.consent,
        note=fix.note,
    )


def _stop_step(scored: Scored) -> Step:
    return Step(
        step="stop",
        kind="stop",
        ask="Stop here: stabilise the machine and leave it",
        outcomes=(),
        minutes=0.0,
        elapsed=0.0,
        money=0.0,
        opens=(),
        expected_total=scored.total,
        why="Stopping costs what the working machine is worth to you, and closing what is open.",
    )


def _faults(
    held: Belief, chances: Mapping[int, float], breaks: Mapping[int, float]
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
    counts: Counter[tuple[int, ...]] = Counter(
        tuple(int(fault) for fault in row.nonzero()[0]) for row in root.broken
    )
    ranked = sorted(counts.items(), key=lambda each: (-each[1], each[0]))[:SETS]
    count = root.broken.shape[0]
    return tuple(Together(tuple(model.faults[f].id for f in found), n / count) for found, n in ranked)


def _cleared(model: CompiledModel, chances: dict[int, float], now: BenchNow) -> tuple[str, ...]:
    """Return the slots that the findings speak free."""
    cleared = []
    for slot in model.slots:
        own = [number for number, fault in enumerate(model.faults) if fault.slot == slot]
        prior = sum(model.faults[number].prior for number in own)
        chance = sum(chances[number] for number in own)
        if own and now.fitted(slot) and chance < CLEARED and chance < 0.8 * prior:
            cleared.append(slot)
    return tuple(cleared)

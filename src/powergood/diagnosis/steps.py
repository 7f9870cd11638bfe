"""The ranked steps as they are shown: unmet gates first, then each with its cost, outcomes and reason."""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType

from powergood.diagnosis.belief import Belief
from powergood.diagnosis.compiled import CheckSpec, CompiledModel
from powergood.diagnosis.explain import why_check, why_fix
from powergood.diagnosis.gates import gate_steps, held_back
from powergood.diagnosis.lookahead import Lookahead, Node
from powergood.diagnosis.model import OutcomeChance, Step
from powergood.diagnosis.plan import Plan
from powergood.diagnosis.scores import Scored
from powergood.diagnosis.whatif import outcomes_exactly, outcomes_roughly
from powergood.record.timeline import Timeline

SHOWN_EXACTLY = 3
"""Checks whose outcomes are worked out exactly for the card; the rest are read off the samples."""

MOST_BITS_SHOWN = 11
"""Coupled findings past which outcomes are read off the samples for all checks, to keep the card quick."""

PAD_ASK = "Start it once and note all you notice, above all: {}"
"""How a look that belongs to the power-on pad is asked for."""

SAME_START_ASK = "At this start, or at one more: {}"
"""How it is asked for while the machine still runs and that look was not taken yet."""

Outcomes = tuple[OutcomeChance, ...]

NO_CHANCES: Mapping[int, float] = MappingProxyType({})


def steps_now(
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
        outcomes: Outcomes = ()
        if scored.kind == "check":
            check = model.checks[scored.step]
            if check.on_pad and pad_seen:
                continue
            pad_seen = pad_seen or check.on_pad
            exactly = exact < SHOWN_EXACTLY and held.evidence.bits <= MOST_BITS_SHOWN
            exact += exactly
            outcomes = (
                outcomes_exactly(model, line, check, look.worth)
                if exactly
                else outcomes_roughly(look, root, check)
            )
        steps.append(as_step(look, root, scored, outcomes, chances))
    return tuple(steps)


def as_step(
    look: Lookahead,
    root: Node,
    scored: Scored,
    outcomes: Outcomes = (),
    chances: Mapping[int, float] = NO_CHANCES,
) -> Step:
    """Return a scored step as it is shown; without `outcomes` or `chances` it says less of its reasons."""
    if scored.kind == "check":
        return _check_step(look, root, look.model.checks[scored.step], scored, outcomes)
    return _fix_step(look, root, scored, chances) if scored.kind == "fix" else _stop_step(scored)


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


def _ask(root: Node, check: CheckSpec) -> str:
    if not check.on_pad:
        return check.ask
    rides = root.running is not None and check.id not in root.running
    return (SAME_START_ASK if rides else PAD_ASK).format(check.ask[:1].lower() + check.ask[1:])


def _check_step(look: Lookahead, root: Node, check: CheckSpec, scored: Scored, outcomes: Outcomes) -> Step:
    opens = _opens(look, root, check.open)
    refits = tuple(sorted(check.closed & root.opened))
    refitting = sum(look.model.openings[name].refit for name in refits)
    return Step(
        step=check.id,
        kind="check",
        ask=_ask(root, check),
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


def _fix_step(look: Lookahead, root: Node, scored: Scored, chances: Mapping[int, float]) -> Step:
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

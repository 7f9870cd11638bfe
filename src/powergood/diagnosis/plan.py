"""The ranking of the next steps, and what the advised plan costs on average.

All steps are scored one deep. The plan that begins with the best of them is then followed, outcome by
outcome, for a fixed number of nodes, always growing the likeliest unfinished branch; so are the plans
that begin with the next best few. One of those takes the first place only if it is cheaper by more than
chance in the samples explains easily: a tie is left as the one-step score has it, so that the advice does
not waver. What was followed is ranked by what its plan costs, all else by its one-step score, moved by as
much as those of the followed were off. The amount of work is fixed, so the clock never changes the ranking.
"""

from __future__ import annotations

import heapq
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from statistics import median

import numpy as np

from powergood.diagnosis.compiled import CheckSpec, FixSpec
from powergood.diagnosis.hindsight import LIKELY_CURE
from powergood.diagnosis.hinge import hinge
from powergood.diagnosis.lookahead import Lookahead, Node
from powergood.diagnosis.model import Hinge
from powergood.diagnosis.recursion import Floats
from powergood.diagnosis.scores import LEAF, Scored, bit_price, fix_scored, scores

SMALL = 60
"""Outcomes of all checks together up to which a machine is small, and more of its plans can be followed."""

FOLLOWED = {"small": 10, "large": 3}
"""How many of the best steps are followed by a plan of their own. Judgement from measurements: over 76 states
of five families following one costs 1.1 % more than three, nine 1 % less at three times the work."""

NEAR = 40
"""Checks considered further down a plan: the best at its root."""

PROOFS = 12
"""Checks kept further down because they prove something wanted cheaply."""

NODES = {"small": 40, "large": 18}
"""Nodes grown for each plan that is followed. Measured against cost and time."""


GENEROUS = 0.25
"""Judgement: share of its cost that a check must save to be followed where plans can be followed far."""

SURE = 0.5
"""Standard errors of the difference by which a plan must be cheaper to be preferred. Measured on small
machines."""


SURE_TO_MEND = 2.0
"""The same before a look gives way to a fix: few samples tell less well what doing one saves."""

CERTAIN = 0.9
"""Judgement: a fix that mends something with more than this chance is done rather than put off by a look."""

QUICK, WORTH_TRYING = 5.0, 0.2
"""Judgement: a fix of so few minutes at the most, that mends something with at least this chance, is tried as
readily as a look."""

SPARED = 0.5
"""Judgement: share of the times it would be done in vain that one look spares such a fix, at the most."""


@dataclass(frozen=True, slots=True)
class Plan:
    """The ranked steps with what the whole rest costs on average if each is done first.

    `error` is the standard error of the best step's total over the samples: it says how far chance in
    the drawn samples may have moved the figure, not how far the plan is from the best possible. `hinge` is
    the fault on whose chance the first step hangs. `beside` are steps that were scored too and are not worth
    doing now. `followed` (S,) is what the plan that begins with a step costs in each sample.
    """

    steps: tuple[Scored, ...]
    total: float
    error: float
    hinge: Hinge | None = None
    beside: tuple[Scored, ...] = ()
    followed: Mapping[str, Floats] = field(default_factory=dict)


def plan(look: Lookahead, root: Node, besides: Sequence[FixSpec] = ()) -> Plan:
    """Return the ranked steps at `root`, stopping included; the fixes `besides` are scored in any case."""
    stopping = look.worth.stop(root.opened)
    stop = Scored("stop", "stop", stopping, stopping)
    size = "small" if look.laid.outcomes <= SMALL else "large"
    pays = GENEROUS if size == "small" else 1.0
    every = scores(look, root, pays=None)
    scored = [each for each in every if each.gain > pays * each.asks]
    if not scored:
        return Plan((stop,), stop.total, 0.0)
    near = look.narrowed(_near(look, root, scored), root.missing)
    bit = LEAF * bit_price(look, root)
    firsts = _firsts(look, root, scored, FOLLOWED[size])
    spent = [_followed(near, root, each, NODES[size], bit) for each in firsts]
    best = _preferred(look, root, firsts, spent)
    total = float(root.weights @ spent[best])
    error = look.samples.error(root.weights, spent[best] - total)
    ahead = firsts[best]
    followed = {each.step: cost for each, cost in zip(firsts, spent, strict=True)}
    every += [fix_scored(look, root, fix) for fix in besides if fix.id not in {each.step for each in every}]
    totals = _totals(root, every, ahead, followed)
    worth_doing = {each.step for each in scored}
    others = sorted((each for each in totals if each.step != ahead.step), key=_order)
    ranked = [replace(ahead, total=total), *(each for each in others if each.step in worth_doing)]
    place = sum(each.total <= stopping for each in ranked)
    hangs = hinge(look, root, firsts, spent, best) if place else None
    return Plan(
        steps=(*ranked[:place], stop, *ranked[place:]),
        total=min(total, stopping),
        error=error,
        hinge=hangs,
        beside=tuple(each for each in others if each.step not in worth_doing),
        followed=followed,
    )


def _totals(
    root: Node, every: Sequence[Scored], ahead: Scored, followed: Mapping[str, Floats]
) -> list[Scored]:
    """Return the steps with what the whole rest costs if each is done first, none less than the one ahead.

    A step that was not followed costs more than the one ahead by the difference of their one-step scores, and
    by as much more as that difference fell short for those that were followed, in the median.
    """
    total = float(root.weights @ followed[ahead.step])

    def more(each: Scored) -> float:
        return max(each.total - ahead.total, 0.0)

    costs = {name: max(float(root.weights @ cost), total) for name, cost in followed.items()}
    short = [
        costs[each.step] - total - more(each) for each in every if each.step in costs and each is not ahead
    ]
    fell_short = max(float(median(short)), 0.0) if short else 0.0
    return [replace(each, total=costs.get(each.step, total + more(each) + fell_short)) for each in every]


def _firsts(look: Lookahead, root: Node, scored: Sequence[Scored], most: int) -> list[Scored]:
    """Return the steps whose plans are followed: the best, and a fix that is quick or sure to mend.

    Of the looks of one start only the best is: plans that begin with another of those come to much the same.
    """
    on_pad = [each for each in scored if each.kind == "check" and look.model.checks[each.step].on_pad]
    kept = [each for each in scored if each not in on_pad[1:]]
    fixes = [each for each in kept[most:] if each.kind == "fix"]
    sure = [each for each in fixes if _quick(look, root, each) or _mends(look, root, each) > CERTAIN][:1]
    return [*kept[: most - len(sure)], *sure]


def _preferred(look: Lookahead, root: Node, firsts: Sequence[Scored], spent: Sequence[Floats]) -> int:
    """Return which plan to prefer: the first, unless another is cheaper by more than chance explains easily.

    Before a look gives way to a fix that is not quick more is asked. But a fix that as good as certainly
    mends something is done rather than put off by a look, unless that look surely saves something and may
    repay what it costs: by sparing the fix where it is in vain, or by showing that a cheaper one is enough.
    """
    best = 0
    for number in range(1, len(spent)):
        mends = firsts[best].kind == "check" and firsts[number].kind == "fix"
        slow = mends and not _quick(look, root, firsts[number])
        if _cheaper(look, root, spent[best] - spent[number], SURE_TO_MEND if slow else SURE):
            best = number
    if firsts[best].kind == "fix":
        return best
    for number, each in enumerate(firsts):
        chance = _mends(look, root, each) if each.kind == "fix" else 0.0
        if chance <= CERTAIN:
            continue
        saves = _cheaper(look, root, spent[number] - spent[best], SURE_TO_MEND)
        dear = look.hindsight.above_mending(each.cost, root.broken, root.opened, root.unproven)
        spares = SPARED * (1.0 - chance) * each.cost + float(root.weights @ dear)
        if not (saves and spares > firsts[best].cost):
            return number
    return best


def _cheaper(look: Lookahead, root: Node, saved: Floats, sure: float) -> bool:
    """Tell whether a plan that saves `saved` (S,) in each sample saves more than `sure` times its error."""
    mean = float(root.weights @ saved)
    return mean > sure * look.samples.error(root.weights, saved - mean)


def _quick(look: Lookahead, root: Node, fix: Scored) -> bool:
    """Tell whether a fix is soon tried and not unlikely to mend something."""
    return fix.cost <= QUICK and _mends(look, root, fix) >= WORTH_TRYING


def _mends(look: Lookahead, root: Node, fix: Scored) -> float:
    """Return the chance that something wanted is broken that a fix is likely to mend."""
    cures = [fault for fault, chance in look.model.fixes[fix.step].cures.items() if chance >= LIKELY_CURE]
    return float(root.weights @ root.broken[:, cures].any(axis=1))


def _near(look: Lookahead, root: Node, scored: Sequence[Scored]) -> list[CheckSpec]:
    """Return the checks to consider further down: the best at the root, and the cheapest proofs."""
    best = [each.step for each in scored if each.kind == "check"][:NEAR]
    laid = {check.id: check for check in look.laid.checks}
    costs = dict(zip(laid, look.check_costs(root), strict=True))
    provers = sorted(
        (name for name in look.worth.provers if name in laid),
        key=lambda name: (costs[name] / len(look.worth.provers[name]), name),
    )
    return [laid[name] for name in dict.fromkeys([*best, *provers[:PROOFS]])]


def _order(each: Scored) -> tuple[float, str]:
    return round(each.total, 6), each.step


def _step(look: Lookahead, name: str) -> CheckSpec | FixSpec:
    for fix in look.fixes:
        if fix.id == name:
            return fix
    return look.model.checks[name]


def _followed(look: Lookahead, root: Node, first: Scored, most: int, bit: float) -> Floats:
    """Return what the plan that begins with `first` costs in each sample, shape (S,).

    Where it is cut off a bit of not knowing costs `bit` minutes.
    """
    spent: Floats = np.zeros(root.weights.size)
    waiting: list[tuple[float, int, Node, Floats]] = []
    serial = 0

    def grow(node: Node, share: Floats, scored: Scored) -> None:
        nonlocal serial
        spent[:] += share * scored.cost
        step = _step(look, scored.step)
        if isinstance(step, FixSpec):
            nodes = [(np.ones(share.size), look.after_fix(node, step))]
        else:
            spent[:] += share * scored.cost * step.no_verdict / (1.0 - min(step.no_verdict, 0.95))
            nodes = look.splits(node, step)
        for split, after in nodes:
            serial += 1
            part = share * split
            heapq.heappush(waiting, (-float(root.weights @ part), serial, after, part))

    grow(root, np.ones(root.weights.size), first)
    for _ in range(most):
        if not waiting:
            break
        _, _, node, share = heapq.heappop(waiting)
        scored = scores(look, node) if node.unproven else []
        if not scored or scored[0].total >= look.worth.stop(node.opened):
            spent += share * look.value(node, bit)
            continue
        grow(node, share, scored[0])
    for _, _, node, share in waiting:
        spent += share * look.value(node, bit)
    return spent

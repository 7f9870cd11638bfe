"""The ranking of the next steps, and what the advised plan costs on average.

All steps are scored one deep; the best few two deep; then the best of those are followed, outcome by
outcome, for a fixed number of nodes, always growing the likeliest unfinished branch. The amount of work
is fixed, so the clock never changes the ranking.
"""

from __future__ import annotations

import heapq
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from powergood.diagnosis.compiled import CheckSpec, FixSpec
from powergood.diagnosis.lookahead import LEAST_MASS, Lookahead, Node, Scored
from powergood.diagnosis.recursion import Floats

TWO_DEEP = 6
"""How many of the best steps are looked at two deep. Judgement, measured against time."""

FOLLOWED = 3
"""How many of the best steps are followed by a plan of their own."""

NEAR = 40
"""Checks considered further down a plan: the best at its root."""

PROOFS = 12
"""Checks kept further down because they prove something wanted cheaply."""

NODES = 14
"""Nodes grown for each plan that is followed."""


@dataclass(frozen=True, slots=True)
class Plan:
    """The ranked steps with what the whole rest costs on average if each is done first.

    `error` is the standard error of the best step's total over the samples: it says how far chance in
    the drawn samples may have moved the figure, not how far the plan is from the best possible.
    """

    steps: tuple[Scored, ...]
    total: float
    error: float


def plan(look: Lookahead, root: Node) -> Plan:
    """Return the ranked steps at `root`, stopping included."""
    stop = Scored("stop", "stop", look.worth.stop(root.opened), look.worth.stop(root.opened))
    scored = look.scores(root)
    if not scored:
        return Plan((stop,), stop.total, 0.0)
    look = look.narrowed(_near(look, root, scored), root.missing)
    deep = [_two_deep(look, root, each) for each in scored[:TWO_DEEP]]
    deep.sort(key=_order)
    followed = [_followed(look, root, each) for each in deep[:FOLLOWED]]
    followed.sort(key=lambda each: _order(each[0]))
    best, error = followed[0]
    front = [each for each, _ in followed]
    rest = sorted([*deep[FOLLOWED:], *scored[TWO_DEEP:]], key=_order)
    floor = front[-1].total
    rest = [Scored(each.step, each.kind, max(each.total, floor), each.cost) for each in rest]
    ranked = sorted([*front, *rest, stop], key=_order)
    if ranked[0].kind == "stop":
        return Plan(tuple(ranked), stop.total, 0.0)
    return Plan(tuple(ranked), best.total, error)


def _near(look: Lookahead, root: Node, scored: Sequence[Scored]) -> list[CheckSpec]:
    """Return the checks to consider further down: the best at the root, and the cheapest proofs."""
    best = [each.step for each in scored if each.kind == "check"][:NEAR]
    laid = {check.id: check for check in look.laid.checks}
    provers = sorted(
        (name for name in look.worth.provers if name in laid),
        key=lambda name: (look.cost(root, laid[name]) / len(look.worth.provers[name]), name),
    )
    return [laid[name] for name in dict.fromkeys([*best, *provers[:PROOFS]])]


def _order(each: Scored) -> tuple[float, str]:
    return round(each.total, 6), each.step


def _step(look: Lookahead, name: str) -> CheckSpec | FixSpec:
    for fix in look.fixes:
        if fix.id == name:
            return fix
    return look.model.checks[name]


def _best_value(look: Lookahead, node: Node) -> float:
    """Return the least expected total one step deep at `node`, or of stopping."""
    if not node.unproven:
        return look.worth.refit(node.opened)
    scored = look.scores(node)
    best = scored[0].total if scored else np.inf
    return min(best, look.worth.stop(node.opened))


def _two_deep(look: Lookahead, root: Node, scored: Scored) -> Scored:
    step = _step(look, scored.step)
    if isinstance(step, FixSpec):
        rest = _best_value(look, look.after_fix(root, step))
        return Scored(scored.step, scored.kind, scored.cost + rest, scored.cost)
    rest = sum(chance * _best_value(look, node) for chance, node in look.branches(root, step))
    rest = (1 - step.no_verdict) * rest + step.no_verdict * look.value(root)
    return Scored(scored.step, scored.kind, scored.cost + rest, scored.cost)


def _followed(look: Lookahead, root: Node, first: Scored) -> tuple[Scored, float]:
    """Return the cost of the plan that begins with `first`, and its standard error over the samples.

    Each sample's own cost is gathered along the way, so that their spread gives the error.
    """
    spent: Floats = np.zeros(root.weights.size)
    waiting: list[tuple[float, int, Node, Floats]] = []
    serial = 0

    def grow(node: Node, share: Floats, scored: Scored) -> None:
        nonlocal serial
        spent[:] += share * scored.cost
        step = _step(look, scored.step)
        nodes: Sequence[tuple[Floats, Node]]
        if isinstance(step, FixSpec):
            nodes = [(share, look.after_fix(node, step))]
        else:
            spent[:] += share * scored.cost * step.no_verdict / (1.0 - min(step.no_verdict, 0.95))
            nodes = [
                (share * split, after) for split, after in _splits(look, node, step)
            ]  # fmt: skip
        for part, after in nodes:
            serial += 1
            heapq.heappush(waiting, (-float(root.weights @ part), serial, after, part))

    grow(root, np.ones(root.weights.size), first)
    for _ in range(NODES):
        if not waiting:
            break
        _, _, node, share = heapq.heappop(waiting)
        scored = look.scores(node) if node.unproven else []
        if not scored or scored[0].total >= look.worth.stop(node.opened):
            spent += share * min(look.value(node), look.worth.stop(node.opened))
            continue
        grow(node, share, scored[0])
    for _, _, node, share in waiting:
        spent += share * min(look.value(node), look.worth.stop(node.opened))
    total = float(root.weights @ spent)
    spread = float(np.sqrt(root.weights @ (spent - total) ** 2 / spent.size))
    return Scored(first.step, first.kind, total, first.cost), spread


def _splits(look: Lookahead, node: Node, check: CheckSpec) -> list[tuple[Floats, Node]]:
    """Return for each likely outcome the chance of it in each sample and the node it leads to."""
    number = next(at for at, each in enumerate(look.laid.checks) if each.id == check.id)
    own = range(int(look.laid.first[number]), int(look.laid.good[number]) + 1)
    chances = look.outlook(node)[0]
    mass = node.weights @ chances
    likely = [outcome for outcome in own if mass[outcome] > LEAST_MASS]
    kept = np.maximum(chances[:, likely].sum(axis=1), 1e-12)
    return [(chances[:, each] / kept, look.after_outcome(node, check, each)) for each in likely]

"""The ranking of the next steps, and what the advised plan costs on average.

All steps are scored one deep. The plan that begins with the best of them is then followed, outcome by
outcome, for a fixed number of nodes, always growing the likeliest unfinished branch; so are the plans
that begin with the next best few. One of those takes the first place only if it is cheaper by more than
the samples' own spread: a tie is left as the one-step score has it, so that the advice does
not waver. The amount of work is fixed, so the clock never changes the ranking.
"""

from __future__ import annotations

import heapq
from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from powergood.diagnosis.compiled import CheckSpec, FixSpec
from powergood.diagnosis.lookahead import LEAST_MASS, Lookahead, Node, Scored
from powergood.diagnosis.recursion import Floats

SMALL = 60
"""Outcomes of all checks together up to which a machine is small, and more of its plans can be followed."""

FOLLOWED = {"small": 10, "large": 4}
"""How many of the best steps are followed by a plan of their own. Measured against cost and time."""

NEAR = 40
"""Checks considered further down a plan: the best at its root."""

PROOFS = 12
"""Checks kept further down because they prove something wanted cheaply."""

NODES = {"small": 40, "large": 18}
"""Nodes grown for each plan that is followed. Measured against cost and time."""


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
    stopping = look.worth.stop(root.opened)
    stop = Scored("stop", "stop", stopping, stopping)
    size = "small" if look.laid.outcomes <= SMALL else "large"
    scored = look.scores(root, generous=size == "small")
    if not scored:
        return Plan((stop,), stop.total, 0.0)
    near = look.narrowed(_near(look, root, scored), root.missing)
    spent = [_followed(near, root, each, NODES[size]) for each in scored[: FOLLOWED[size]]]
    best = _preferred(root, spent)
    total = float(root.weights @ spent[best])
    error = _error(root, spent[best] - total)
    ahead = scored[best]
    others = [each for each in scored if each is not ahead]
    rest = [replace(each, total=total + max(each.total - ahead.total, 0.0)) for each in others]
    ranked = [replace(ahead, total=total), *sorted(rest, key=_order)]
    place = sum(each.total <= stopping for each in ranked)
    return Plan((*ranked[:place], stop, *ranked[place:]), min(total, stopping), error)


def _preferred(root: Node, spent: Sequence[Floats]) -> int:
    """Return which plan to prefer: the first, unless another is cheaper by more than twice its error."""
    best = 0
    for number in range(1, len(spent)):
        saved = spent[best] - spent[number]
        mean = float(root.weights @ saved)
        if mean > 2.0 * _error(root, saved - mean):
            best = number
    return best


def _error(root: Node, deviation: Floats) -> float:
    """Return the standard error of a mean over the samples, given each sample's deviation from it."""
    return float(np.sqrt(root.weights @ deviation**2 / deviation.size))


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


def _followed(look: Lookahead, root: Node, first: Scored, most: int) -> Floats:
    """Return what the plan that begins with `first` costs in each sample, shape (S,)."""
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
    for _ in range(most):
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
    return spent


def _splits(look: Lookahead, node: Node, check: CheckSpec) -> list[tuple[Floats, Node]]:
    """Return for each likely outcome the chance of it in each sample and the node it leads to."""
    number = next(at for at, each in enumerate(look.laid.checks) if each.id == check.id)
    own = range(int(look.laid.first[number]), int(look.laid.good[number]) + 1)
    chances = look.outlook(node)[0]
    mass = node.weights @ chances
    likely = [outcome for outcome in own if mass[outcome] > LEAST_MASS]
    kept = np.maximum(chances[:, likely].sum(axis=1), 1e-12)
    return [(chances[:, each] / kept, look.after_outcome(node, check, each)) for each in likely]

"""A plan followed outcome by outcome for a fixed number of states, the likeliest unfinished branch first."""

from __future__ import annotations

import heapq

import numpy as np

from powergood.diagnosis.compiled import CheckSpec, FixSpec
from powergood.diagnosis.lookahead import Lookahead, Node
from powergood.diagnosis.recursion import Floats
from powergood.diagnosis.scores import Scored, scores


def follow(look: Lookahead, root: Node, first: Scored, most: int, bit: float) -> Floats:
    """Return what the plan that begins with `first` costs in each sample, `most` states looked into; (S,).

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


def _step(look: Lookahead, name: str) -> CheckSpec | FixSpec:
    for fix in look.fixes:
        if fix.id == name:
            return fix
    return look.model.checks[name]

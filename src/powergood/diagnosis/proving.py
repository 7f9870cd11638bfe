"""What a check saves by proving something wanted: a proof need not be bought later, as far as it lasts."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from powergood.diagnosis.lookahead import Lookahead, Node
from powergood.diagnosis.recursion import Floats


@dataclass(frozen=True, slots=True)
class _Pass:
    """What a pass of one check means: its chance, and that nothing is left to mend then (`lasting`).

    `left` and `left_now` are each wanted function's chance of still being broken, after the pass and now.
    """

    mass: float
    lasting: float
    left: Floats
    left_now: Floats


def proofs_saved(look: Lookahead, node: Node, joint: Floats) -> Floats:
    """Return what each check saves by proving functions, (C,), from the chances `joint` (S, outcomes)."""
    saved: Floats = np.zeros(len(look.laid.checks))
    showing = [
        at
        for at, check in enumerate(look.laid.checks)
        if look.proves(check.id) & node.unproven or node.passed
    ]
    if not showing:
        return saved
    broken = look.left(node)
    sound = ~node.broken.any(axis=1)
    left_now = node.weights @ broken
    passes = joint[:, look.laid.good[showing]]
    chances = np.maximum(passes.sum(axis=0), 1e-300)
    left, lasting = (passes.T @ broken) / chances[:, None], (passes.T @ sound) / chances
    for place, at in enumerate(showing):
        check = look.laid.checks[at]
        seen = _Pass(float(chances[place]), float(lasting[place]), left[place], left_now)
        opened = look.opened_after(node, check)
        saved[at] = _proof_saved(look, node, look.proves(check.id), seen, opened)
    return saved


def _proof_saved(
    look: Lookahead, node: Node, proves: frozenset[int], seen: _Pass, opened: frozenset[str]
) -> float:
    """Return what a pass of a check that can prove the functions `proves` saves by it, on average.

    A proof is worth only as much as it is likely to last: if something is still to be mended the
    mending may undo it. Where one pass is not enough (an intermittent fault may still be there), it
    earns its share of the way to the threshold.
    """
    shown = proves & node.unproven | node.passed
    if not shown:
        return 0.0
    threshold = look.worth.preferences.threshold
    saved = 0.0
    whole = look.worth.proof(node.unproven, opened)
    for function in shown:
        way = _share_of_way(seen.left_now[function], seen.left[function], threshold)
        if way > 0:
            saved += way * (whole - look.worth.proof(node.unproven - {function}, opened))
    proven = frozenset(n for n in shown if seen.left[n] < threshold)
    if len(proven) > 1:
        saved = max(saved, whole - look.worth.proof(node.unproven - proven, opened))
    return seen.mass * saved * seen.lasting


def _share_of_way(now: float, then: float, threshold: float) -> float:
    """Return how far from `now` to `threshold` the chance `then` has come, in proportion of logarithms."""
    if then < threshold:
        return 1.0
    if now <= then:
        return 0.0
    return float(np.log(now / then) / np.log(now / threshold))

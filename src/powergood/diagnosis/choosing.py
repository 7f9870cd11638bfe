"""Which steps are worth following, and which of the plans that begin with them is preferred.

What comes out alike is told apart by what a practitioner would rather do: look at what fails before at what
else is wanted, do what surely mends rather than look on, try what is quick.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from powergood.diagnosis.hindsight import LIKELY_CURE
from powergood.diagnosis.lookahead import Lookahead, Node
from powergood.diagnosis.recursion import Floats
from powergood.diagnosis.scores import Scored, told_by
from powergood.diagnosis.unknowing import Kinds, entropies, worth_draws

SURE = 0.5
"""Standard errors of the difference by which a plan must be cheaper to be preferred. Measured on small
machines."""

SURE_TO_MEND = 2.0
"""The same before a look gives way to a fix: few samples tell less well what doing one saves."""

CERTAIN = 0.9
"""Judgement: a fix that mends something with more than this chance is done rather than put off by a look."""

ALIKE = 0.02
"""Judgement: looks whose one-step scores differ by no more than this share come out alike."""

QUICK, WORTH_TRYING = 5.0, 0.2
"""Judgement: a fix of so few minutes at the most, that mends something with at least this chance, is tried as
readily as a look."""

SPARED = 0.5
"""Judgement: share of the times it would be done in vain that one look spares such a fix, at the most."""

FAILS = 0.5
"""Chance of being broken from which a wanted function counts as failing."""


def firsts_of(look: Lookahead, root: Node, scored: Sequence[Scored], most: int) -> list[Scored]:
    """Return the steps whose plans are followed: the best, and a fix that is quick or sure to mend.

    Of the looks of one start only the best is: plans that begin with another of those come to much the same.
    """
    scored = _aimed(look, root, scored)
    on_pad = [each for each in scored if each.kind == "check" and look.model.checks[each.step].on_pad]
    kept = [each for each in scored if each not in on_pad[1:]]
    fixes = [each for each in kept[most:] if each.kind == "fix"]
    sure = [each for each in fixes if _quick(look, root, each) or _mends(look, root, each) > CERTAIN][:1]
    return [*kept[: most - len(sure)], *sure]


def _aimed(look: Lookahead, root: Node, scored: Sequence[Scored]) -> list[Scored]:
    """Return the steps, and first of the looks that come out alike the one that tells most of what fails."""
    told = _of_failing(look, root) if scored[0].kind == "check" else {}
    if not told:
        return list(scored)
    most = (1.0 + ALIKE) * scored[0].total
    alike = [each for each in scored if each.kind == "check" and each.total <= most]
    first = max(alike, key=lambda each: round(told[each.step], 6))
    return [first, *(each for each in scored if each is not first)]


def _of_failing(look: Lookahead, node: Node) -> dict[str, float]:
    """Return the bits that each check tells of what breaks the wanted functions likelier to fail than not.

    Nothing where none of them is, or all are.
    """
    left = node.weights @ look.left(node)
    fails = np.flatnonzero(left > FAILS)
    if not look.laid.checks or fails.size in (0, left.size):
        return {}
    acting = look.hindsight.breaking(node.present, fails)
    kinds = Kinds.of(acting, np.zeros((node.weights.size, 1), dtype=np.bool_))
    both = kinds.sums(np.column_stack([node.weights, node.weights[:, None] * look.outlook(node)]))
    bits = told_by(look, entropies(both, worth_draws(node.weights, look.samples.copies)))
    return {check.id: float(told) for check, told in zip(look.laid.checks, bits, strict=True)}


def preferred(look: Lookahead, root: Node, firsts: Sequence[Scored], spent: Sequence[Floats]) -> int:
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

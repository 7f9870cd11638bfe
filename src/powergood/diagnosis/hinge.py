"""Whether the advised step hangs on one number: a fault's chance, or how surely it stops or shows something.

Each fault is tried three times likelier and rarer, each link of one that is not certain a fifth stronger and
weaker. The plans that were followed are compared again, their costs in the same samples weighed anew, as if
the samples had been drawn with the other number (importance weights). That is exact for the odds of a fault
that nothing has been done about, and for a link of one still there. The choices inside each plan are left as
they were, and how often a fault shows that comes and goes is not tried.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from powergood.diagnosis.lookahead import Lookahead, Node
from powergood.diagnosis.model import Hinge
from powergood.diagnosis.recursion import Floats, Ints
from powergood.diagnosis.scores import Scored

ODDS = 3.0
"""Judgement: how far off the odds of a fault may well be, either way."""

SHIFT = 0.2
"""Judgement: how far off the strength of a link may well be, either way."""

LEAST_CHANCE = 0.01
"""Faults rarer than this now are not tried: too few samples have them."""

MATTERS = 0.03
"""Judgement: share of the plan's cost that another plan must save to be worth a word; a minute at least."""

SURE = 2.0
"""Standard errors by which the other plan must be cheaper."""


@dataclass(frozen=True, slots=True)
class _Other:
    """One number set otherwise: the odds of a fault, or the strength of its link to a base."""

    fault: int
    odds: float = 1.0
    base: int = -1
    strength: float = 0.0


def hinge(
    look: Lookahead, root: Node, steps: Sequence[Scored], spent: Sequence[Floats], best: int
) -> Hinge | None:
    """Return the number on which the first step hangs most; None when it stays first whichever is off.

    `spent` (S,) is what the plan that begins with each of `steps` costs in each sample.
    """
    chances = root.weights @ root.present
    tried = np.flatnonzero((chances > LEAST_CHANCE) & (chances < 1.0 - LEAST_CHANCE))
    if not tried.size:
        return None
    of_odds, by_odds = _odds(root, tried)
    of_links, by_links = _links(look, root, tried)
    others = [*of_odds, *of_links]
    weights = root.weights * np.vstack([by_odds, by_links])
    weights /= weights.sum(axis=1, keepdims=True)
    least = np.maximum(1.0, MATTERS * (weights @ spent[best]))
    found: list[tuple[float, str, str, _Other]] = []
    for step, other in zip(steps, spent, strict=True):
        mean, error = _saved(look, weights, spent[best] - other)
        found += [
            (float(mean[at]), look.model.faults[others[at].fault].id, step.step, others[at])
            for at in np.flatnonzero(mean > np.maximum(least, SURE * error))
        ]
    if not found:
        return None
    saves, fault, name, number = max(found, key=lambda each: (round(each[0], 6), *each[1:3]))
    function = look.model.bases[number.base].id if number.base >= 0 else ""
    return Hinge(fault, number.odds, name, saves, function, number.strength)


def _saved(look: Lookahead, weights: Floats, saved: Floats) -> tuple[Floats, Floats]:
    """Return the mean of `saved` (S,) under each row of `weights` (V, S), and its standard error; (V,)."""
    mean = weights @ saved
    squares = weights**2 / look.samples.copies
    spread = squares @ saved**2 - 2.0 * mean * (squares @ saved) + mean**2 * squares.sum(axis=1)
    return mean, np.sqrt(np.maximum(spread, 0.0))


def _odds(root: Node, faults: Ints) -> tuple[list[_Other], Floats]:
    """Return each fault made likelier and rarer, and how much each sample counts then, (V, S)."""
    there = root.present[:, faults].T
    others = [_Other(int(fault), odds=odds) for odds in (ODDS, 1.0 / ODDS) for fault in faults]
    return others, np.vstack([np.where(there, odds, 1.0) for odds in (ODDS, 1.0 / ODDS)])


def _links(look: Lookahead, root: Node, faults: Ints) -> tuple[list[_Other], Floats]:
    """Return each link that is not certain, made stronger and weaker, and what each sample counts then."""
    links = look.samples.links
    unsure = (links.strength > 0.0) & (links.strength < 1.0) & np.isin(links.fault, faults)
    own = np.flatnonzero(unsure)
    fault, base, strength = links.fault[own], links.base[own], links.strength[own]
    there, on = root.present[:, fault], look.samples.on[:, own]
    found: list[_Other] = []
    counts: list[Floats] = []
    for shift in (SHIFT, -SHIFT):
        other = np.clip(strength + shift, 0.0, 1.0)
        factor = np.where(on, other / strength, (1.0 - other) / (1.0 - strength))
        counts.append(np.where(there, factor, 1.0).T)
        found += [
            _Other(f, base=b, strength=s)
            for f, b, s in zip(fault.tolist(), base.tolist(), other.tolist(), strict=True)
        ]
    return found, np.vstack(counts)

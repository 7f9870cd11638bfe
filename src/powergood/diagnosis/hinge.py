"""Whether the advised step hangs on one number: each fault's chance is tried three times likelier and rarer.

The plans that were followed are compared again, their costs in the same samples weighed anew: a sample in
which the fault is there counts three times as much, or a third. That is exact for the odds of a fault that
nothing has been done about. The choices inside each plan are left as they were, and the strengths of links
are not tried.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from powergood.diagnosis.lookahead import Lookahead, Node
from powergood.diagnosis.model import Hinge
from powergood.diagnosis.recursion import Floats
from powergood.diagnosis.scores import Scored

ODDS = 3.0
"""Judgement: how far off the odds of a fault may well be, either way."""

LEAST_CHANCE = 0.01
"""Faults rarer than this now are not tried: too few samples have them."""

MATTERS = 0.03
"""Judgement: share of the plan's cost that another plan must save to be worth a word; a minute at least."""

SURE = 2.0
"""Standard errors by which the other plan must be cheaper."""


def hinge(
    look: Lookahead, root: Node, steps: Sequence[Scored], spent: Sequence[Floats], best: int
) -> Hinge | None:
    """Return the fault on whose chance the first step hangs most; None when it stays first whichever is off.

    `spent` (S,) is what the plan that begins with each of `steps` costs in each sample.
    """
    chances = root.weights @ root.present
    found: list[tuple[float, str, float, str]] = []
    for fault in np.flatnonzero((chances > LEAST_CHANCE) & (chances < 1.0 - LEAST_CHANCE)):
        for odds in (ODDS, 1.0 / ODDS):
            weights = root.weights * np.where(root.present[:, fault], odds, 1.0)
            weights /= weights.sum()
            least = max(1.0, MATTERS * float(weights @ spent[best]))
            for step, other in zip(steps, spent, strict=False):
                saved = spent[best] - other
                mean = float(weights @ saved)
                error = look.samples.error(weights, saved - mean)
                if mean > max(least, SURE * error):
                    found.append((mean, look.model.faults[fault].id, odds, step.step))
    if not found:
        return None
    saved_most, name, odds, other_step = max(found, key=lambda each: (round(each[0], 6), each[1], each[3]))
    return Hinge(name, odds, other_step, saved_most)

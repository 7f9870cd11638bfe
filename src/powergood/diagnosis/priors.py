"""Chances before anything is known: weights scaled to an expected number of faults, odds multiplied."""

from __future__ import annotations

from collections.abc import Mapping

GREATEST_PRIOR = 0.5
"""Judgement: no fault is taken as likelier than not before anything is known of the machine."""

LEAST_SHARE = 0.25
"""Judgement: what weights share of the expected number of faults, even where stated chances use it up."""


def priors(weights: Mapping[str, float], stated: Mapping[str, float], expected: float) -> dict[str, float]:
    """Return each fault's chance: stated ones as they are, `weights` scaled so that all sum to `expected`."""
    share = max(expected - sum(stated.values()), LEAST_SHARE * expected)
    return {**stated, **scaled(weights, share)}


def scaled(weights: Mapping[str, float], expected: float) -> dict[str, float]:
    """Return chances in proportion to `weights` that sum to `expected`, none above the greatest prior.

    What a capped fault cannot take is shared among the others, as often as needed.
    """
    chances = dict.fromkeys(weights, 0.0)
    free, left = dict(weights), min(expected, GREATEST_PRIOR * len(weights))
    while free and left > 0:
        scale = left / sum(free.values())
        capped = [name for name, weight in free.items() if weight * scale >= GREATEST_PRIOR]
        if not capped:
            chances.update({name: weight * scale for name, weight in free.items()})
            break
        for name in capped:
            chances[name] = GREATEST_PRIOR
            left -= GREATEST_PRIOR
            del free[name]
    return chances


def with_odds_times(chance: float, factor: float) -> float:
    """Return a chance after its odds are multiplied by `factor`, which is more than 0."""
    return chance * factor / (1 - chance + chance * factor)

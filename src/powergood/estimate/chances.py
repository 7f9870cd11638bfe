"""Chances as Beta distributions: what is known of one, and how whole and partly known cases move it.

A chance with `weight` w in pseudo-cases and mean m is Beta(m·w, (1 − m)·w). A case that surely was a hit
adds one to the first parameter, one that surely was not adds one to the second: the conjugate update
(Gelman et al., Bayesian Data Analysis, 3rd ed., 2013, section 2.4). A case that is a hit with chance c only
leads to a mixture of the two; it is replaced by the Beta distribution of the same mean and variance
(Titterington, Smith and Makov, Statistical Analysis of Finite Mixture Distributions, 1985, chapter 6), so
that a case about which nothing was learned leaves everything as it was, its width included.
"""

from __future__ import annotations

from dataclasses import dataclass

from powergood.estimate.special import beta_quantile

LEVEL = 0.9
"""Judgement: the share of the belief that the intervals shown to a person hold."""

LEAST = 1e-6
"""A chance is kept this far from nought and one, so that no update divides by nought."""


@dataclass(frozen=True, slots=True)
class Beta:
    """What is believed of a chance: a Beta distribution with positive parameters `a` and `b`."""

    a: float
    b: float

    @classmethod
    def of(cls, mean: float, weight: float) -> Beta:
        """Return the belief with that mean, worth `weight` pseudo-cases, which is positive."""
        assert weight > 0, "a belief is worth more than no case"
        held = min(max(mean, LEAST), 1.0 - LEAST)
        return cls(held * weight, (1.0 - held) * weight)

    @property
    def mean(self) -> float:
        """The expected chance."""
        return self.a / (self.a + self.b)

    @property
    def weight(self) -> float:
        """How many cases the belief is worth."""
        return self.a + self.b

    @property
    def variance(self) -> float:
        """The variance of the chance."""
        return self.a * self.b / (self.weight**2 * (self.weight + 1.0))

    def counted(self, hits: float, misses: float) -> Beta:
        """Return the belief after cases that are known for sure; counts may be fractions, not negative."""
        return Beta(self.a + hits, self.b + misses)

    def interval(self, level: float = LEVEL) -> tuple[float, float]:
        """Return the central interval that holds the chance with probability `level`."""
        tail = 0.5 * (1.0 - level)
        return beta_quantile(tail, self.a, self.b), beta_quantile(1.0 - tail, self.a, self.b)


def odds(chance: float) -> float:
    """Return the odds of a chance, which is kept away from nought and one."""
    held = min(max(chance, LEAST), 1.0 - LEAST)
    return held / (1.0 - held)


def reweighed(after: float, before: float, now: float) -> float:
    """Return the chance of something had it begun at `now` instead of `before`.

    `after` is what evidence made of `before`. The evidence's own factor on the odds is kept (Bayes' rule in
    odds form), so that what one job says does not depend on what the others said before it.
    """
    moved = odds(after) / odds(before) * odds(now)
    return moved / (1.0 + moved)


def taken_in(belief: Beta, hit: float, *, otherwise: float = 1.0, surely: float = 0.0) -> Beta:
    """Return the belief after one case that was a hit with chance `hit`, else `otherwise` misses.

    `surely` misses are counted in either way. With `otherwise` nought a case that was no hit says nothing
    (a check that failed for a real fault says nothing of its false alarms).
    """
    return _matched(hit, belief.counted(1.0, surely), belief.counted(0.0, otherwise + surely))


def _matched(share: float, one: Beta, other: Beta) -> Beta:
    """Return the Beta distribution with the mean and variance of a mixture of two."""
    if share >= 1.0:
        return one
    if share <= 0.0:
        return other
    mean = share * one.mean + (1.0 - share) * other.mean
    second = share * (one.variance + one.mean**2) + (1.0 - share) * (other.variance + other.mean**2)
    weight = mean * (1.0 - mean) / max(second - mean**2, 1e-300) - 1.0
    return Beta(mean * weight, (1.0 - mean) * weight)

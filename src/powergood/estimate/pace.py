"""A person's own pace against the pack's minutes, shrunk so that a few jobs say something and no more.

Log-normal, three levels. For person p, kind of work k (opening, looking, mending) and timed job j:

    log(minutes / pack's minutes)  =  pace(p) + kind(p, k) + noise
    pace ~ N(0, PERSON²),   kind ~ N(0, KIND²),   noise ~ N(0, NOISE²)

All three spreads are fixed by judgement, so the posterior is normal and exact (Gelman et al., Bayesian Data
Analysis, 3rd ed., 2013, sections 2.5 and 5.4): each kind's mean is pulled to the person's pace, and that to
the pack's, by how much is known of each.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from math import exp, log, sqrt
from statistics import NormalDist

from powergood.estimate.chances import LEVEL

PERSON = 0.40
"""Judgement: spread of log pace among people; two in three lie between 0.67 and 1.5 times the pack's."""

KIND = 0.25
"""Judgement: spread of one person's log pace among kinds of work."""

NOISE = 0.50
"""Judgement: spread of one timed job about its person's pace, rough guesses at the clock included."""


MOST_RATIO = 6.0
"""Judgement: minutes further off than this factor, either way, count as this far: a slip of the finger, or
an evening with something else in it, must not decide anybody's pace."""


@dataclass(frozen=True, slots=True)
class Timed:
    """One piece of work that was timed: who, what kind, the minutes said, the pack's for the same work."""

    who: str
    kind: str
    minutes: float
    pack: float

    @property
    def log_ratio(self) -> float:
        """The logarithm of the minutes over the pack's, both positive; at most `MOST_RATIO` off."""
        return min(max(log(self.minutes / self.pack), -log(MOST_RATIO)), log(MOST_RATIO))


@dataclass(frozen=True, slots=True)
class Pace:
    """A factor on the pack's minutes: log-normal with that median; `deviation` is of its logarithm."""

    log_median: float
    deviation: float

    @property
    def factor(self) -> float:
        """The median factor: above one is slower than the pack."""
        return exp(self.log_median)

    def interval(self, level: float = LEVEL) -> tuple[float, float]:
        """Return the central interval that holds the factor with probability `level`."""
        reach = NormalDist().inv_cdf(0.5 + 0.5 * level) * self.deviation
        return exp(self.log_median - reach), exp(self.log_median + reach)


def paces(timed: Sequence[Timed], kinds: Sequence[str]) -> Mapping[str, Pace]:
    """Return one person's pace for each of `kinds`, from what that person timed; shape by kind.

    With nothing timed every pace has the median 1 and the spread of the prior.
    """
    found = {kind: [each.log_ratio for each in timed if each.kind == kind] for kind in kinds}
    means = {kind: sum(seen) / len(seen) for kind, seen in found.items() if seen}
    apart = {kind: KIND**2 + NOISE**2 / len(found[kind]) for kind in means}
    precision = 1.0 / PERSON**2 + sum(1.0 / apart[kind] for kind in means)
    pace = sum(means[kind] / apart[kind] for kind in means) / precision
    return {kind: _kind(pace, 1.0 / precision, found[kind]) for kind in kinds}


def _kind(pace: float, variance: float, seen: Sequence[float]) -> Pace:
    """Return the pace of one kind, given the person's pace and its variance.

    The kind's own share in the mean is what its spread is of it and the noise; the rest comes from the pace.
    """
    if not seen:
        return Pace(pace, sqrt(variance + KIND**2))
    share = KIND**2 / (KIND**2 + NOISE**2 / len(seen))
    mean = sum(seen) / len(seen)
    return Pace(pace + share * (mean - pace), sqrt(KIND**2 * (1.0 - share) + (1.0 - share) ** 2 * variance))

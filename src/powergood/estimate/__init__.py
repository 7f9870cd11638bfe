"""Every update of a number by what was seen, once: conjugate, with fractional counts and intervals; pure.

Beta, taken_in, reweighed     chances, moved by whole and by partly known cases
paces                         a person's own pace against the pack's minutes, partly pooled
learned(starts, lessons)      all numbers together: prior, evidence, interval, digest
"""

from powergood.estimate.chances import LEVEL, Beta, odds, reweighed, taken_in
from powergood.estimate.learned import (
    KINDS_OF_WORK,
    Learned,
    LearnedNumber,
    Lessons,
    Start,
    Tally,
    Telling,
    Work,
    learned,
    number_id,
    numbers,
    tallied,
)
from powergood.estimate.pace import Pace, Timed, paces
from powergood.estimate.special import beta_cdf, beta_quantile

__all__ = [
    "KINDS_OF_WORK",
    "LEVEL",
    "Beta",
    "Learned",
    "LearnedNumber",
    "Lessons",
    "Pace",
    "Start",
    "Tally",
    "Telling",
    "Timed",
    "Work",
    "beta_cdf",
    "beta_quantile",
    "learned",
    "number_id",
    "numbers",
    "odds",
    "paces",
    "reweighed",
    "taken_in",
    "tallied",
]

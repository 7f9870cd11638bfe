"""How strongly a check shows a fault, and how likely a fault is, in words."""

from __future__ import annotations

from typing import Final

# Where one word ends and the next begins: judgement, so that each step is one a person would notice.
_STRENGTHS: Final = (
    (0.9, "nearly always"),
    (0.7, "mostly"),
    (0.4, "about half the time"),
    (0.15, "sometimes"),
    (0.0, "seldom"),
)
LIKELIHOODS: Final = (
    (0.06, "Met often"),
    (0.02, "Met now and then"),
    (0.007, "Met seldom"),
    (0.0, "Rare"),
)
"""Least chance of each group of faults (judgement), and its heading."""


def strength_words(strength: float) -> str:
    """Return how often something is seen, for a chance in [0, 1]."""
    return next(words for least, words in _STRENGTHS if strength >= least)

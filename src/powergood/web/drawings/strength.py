"""Suspicion as one of four steps, each with its word; the drawing shows the step, the word says it."""

from __future__ import annotations

from typing import Final

# Where one step ends and the next begins: judgement, so that about a third, and about a half, look different.
_STEPS: Final = ((0.6, 4, "chief suspect"), (0.3, 3, "strong suspect"), (0.1, 2, "suspect"))
_WEAKEST: Final = (1, "slight suspect")


def strength_step(chance: float) -> int:
    """Return the step of a suspicion, 1 (slight) to 4 (chief), for a chance in [0, 1]."""
    return next((step for least, step, _ in _STEPS if chance >= least), _WEAKEST[0])


def strength_word(chance: float) -> str:
    """Return the words for a suspicion of `chance` in [0, 1]."""
    return next((word for least, _, word in _STEPS if chance >= least), _WEAKEST[1])

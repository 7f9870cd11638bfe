"""How much a phrase of each sort counts when words are looked for (judgement, set on tests)."""

from __future__ import annotations

from typing import Final

COMPLAINT: Final = 1.0
TITLE: Final = 1.0
ASK: Final = 0.85
TOLD: Final = 0.8
"""A complaint, where it leads to the look it stands for."""
SEEN: Final = 0.7
SIGN: Final = 0.6
FURTHER: Final = 0.5

Said = tuple[float, str]
"""A phrase something can be found by, with how much it counts."""

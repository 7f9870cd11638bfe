"""Numbers from the world, and where they were read."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal


@dataclass(frozen=True, slots=True)
class Claim:
    """A number from the world: its value, where it came from, and how many cases it is worth.

    `source` is the key of an entry in the pack's `sources.yaml`, or the word `judgement`, or
    `common practice`. `weight` is in pseudo-cases; 0 means the family's default weight.
    """

    value: float
    source: str
    weight: float = 0.0


@dataclass(frozen=True, slots=True)
class Source:
    """Where a number or a fact was read. `address` may carry makes or models; the title never does."""

    id: str
    title: str
    address: str = ""
    licence: str = ""
    read: Literal["full text", "excerpt", "recalled", "judgement"] = "excerpt"

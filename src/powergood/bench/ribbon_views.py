"""What the chart of how belief moved is drawn from."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class RibbonPoint:
    """One moment of the ribbon chart.

    fact : number of the fact after which belief was taken; 0 for the start.
    words : what the fact said.
    """

    fact: int
    words: str


@dataclass(frozen=True, slots=True)
class RibbonBand:
    """How the chance of one fault moved.

    fault : its id.
    title : its name in words.
    chances : one chance for each point of the ribbon.
    """

    fault: str
    title: str
    chances: tuple[float, ...]


@dataclass(frozen=True, slots=True)
class Ribbon:
    """How belief moved with each finding, for the faults that lead at the end.

    points : the moments, oldest first; the first is before anything was known.
    bands : at most five faults, likeliest at the end first.
    """

    points: tuple[RibbonPoint, ...] = ()
    bands: tuple[RibbonBand, ...] = ()

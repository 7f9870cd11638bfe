"""Which findings moved the chance of a fault: what each says for or against it, given all the others.

The weight of a finding is the logarithm (base 2) of the fault's odds with all findings over its odds with all
but this one, each as exact as the belief is. So it is the finding's say beside the others: of two that tell
the same, either alone weighs little, and the weights need not add up to how far the fault has moved in all.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import log2

from powergood.diagnosis.belief import believe
from powergood.diagnosis.compiled import CompiledModel
from powergood.record.model import Complained, Finding
from powergood.record.timeline import Timeline

LEAST = 1e-9
"""Chances nearer to nought or one than this are taken as this near, so that odds stay finite."""

STRENGTHS = ((1.2, "hardly"), (2.0, "a little"), (5.0, "clearly"))
"""Judgement: the word for a finding that moves the odds by less than a factor; beyond them `strongly`."""


@dataclass(frozen=True, slots=True)
class Moved:
    """What one finding says of a fault: `bits` above nought speak for it, below against it.

    `fact` is the finding's number; `without` the fault's chance if it were left out.
    """

    fact: int
    bits: float
    without: float

    @property
    def strength(self) -> str:
        """The word for how strongly it speaks, by the factor on the odds."""
        factor = 2.0 ** abs(self.bits)
        return next((word for most, word in STRENGTHS if factor < most), "strongly")


def moved(model: CompiledModel, line: Timeline, fault: str) -> tuple[Moved, ...]:
    """Return what each finding and complaint says of `fault` (its id), strongest first.

    Raises
    ------
    KeyError : the model has no such fault.
    """
    place = {spec.id: number for number, spec in enumerate(model.faults)}
    number = place[fault]
    now = believe(model, line).now()[number]
    found = []
    for fact in line.facts:
        if isinstance(fact.body, Finding | Complained):
            kept = Timeline(tuple(each for each in line.facts if each is not fact), line.withdrawn)
            without = believe(model, kept).now()[number]
            found.append(Moved(fact.number, _log_odds(now) - _log_odds(without), without))
    return tuple(sorted(found, key=lambda each: (-round(abs(each.bits), 9), each.fact)))


def _log_odds(chance: float) -> float:
    held = min(max(chance, LEAST), 1.0 - LEAST)
    return log2(held / (1.0 - held))

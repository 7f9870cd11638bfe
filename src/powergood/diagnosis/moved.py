"""Which findings moved the chance of a fault: what each says for or against it, given all the others.

The weight of a finding is the logarithm (base 2) of the fault's odds with all findings over its odds with all
but this one, each as exact as the belief is. So it is the finding's say beside the others: of two that tell
the same, either alone weighs little, and the weights need not add up to how far the fault has moved in all.

A finding can fit a fault and yet, beside the others, speak against it: it fits what competes with the fault
better. So each also has the weight it would have by itself, with no other finding known.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import log2

from powergood.diagnosis.belief import believe
from powergood.diagnosis.compiled import CompiledModel
from powergood.record.model import Complained, Fact, Finding
from powergood.record.timeline import Timeline

LEAST = 1e-9
"""Chances nearer to nought or one than this are taken as this near, so that odds stay finite."""

STRENGTHS = ((1.2, "hardly"), (2.0, "a little"), (5.0, "clearly"))
"""Judgement: the word for a finding that moves the odds by less than a factor; beyond them `strongly`."""


@dataclass(frozen=True, slots=True)
class Moved:
    """What one finding says of a fault: `bits` above nought speak for it, below against it.

    `fact` is the finding's number; `without` the fault's chance if it were left out; `alone` the weight it
    would have were it the only finding.
    """

    fact: int
    bits: float
    without: float
    alone: float = 0.0

    @property
    def strength(self) -> str:
        """The word for how strongly it speaks, by the factor on the odds."""
        return _strength(self.bits)

    @property
    def fits_others_better(self) -> bool:
        """True when it fits the fault by itself, and beside the others speaks against it all the same."""
        return self.bits < 0.0 < self.alone and "hardly" not in (self.strength, _strength(self.alone))


def _strength(bits: float) -> str:
    factor = 2.0 ** abs(bits)
    return next((word for most, word in STRENGTHS if factor < most), "strongly")


def moved(model: CompiledModel, line: Timeline, fault: str) -> tuple[Moved, ...]:
    """Return what each finding and complaint says of `fault` (its id), strongest first.

    Raises
    ------
    KeyError : the model has no such fault.
    """
    place = {spec.id: number for number, spec in enumerate(model.faults)}
    number = place[fault]

    def chance(facts: tuple[Fact, ...]) -> float:
        return believe(model, Timeline(facts, line.withdrawn)).now()[number]

    said = [fact for fact in line.facts if isinstance(fact.body, Finding | Complained)]
    now, before = chance(line.facts), chance(tuple(fact for fact in line.facts if fact not in said))
    found = []
    for fact in said:
        without = chance(tuple(each for each in line.facts if each is not fact))
        alone = chance(tuple(each for each in line.facts if each is fact or each not in said))
        found.append(
            Moved(
                fact.number,
                _log_odds(now) - _log_odds(without),
                without,
                _log_odds(alone) - _log_odds(before),
            )
        )
    return tuple(sorted(found, key=lambda each: (-round(abs(each.bits), 9), each.fact)))


def _log_odds(chance: float) -> float:
    held = min(max(chance, LEAST), 1.0 - LEAST)
    return log2(held / (1.0 - held))

"""Which faults are suspects: those that stand in the way of something wanted, apart from those beside it.

A clock cell may well be flat and yet explain nothing of a dark picture. Whoever asks what is wrong is told of
the faults that stand in the way; whoever is about to close the machine, of the others too.
"""

from __future__ import annotations

from powergood.diagnosis.model import Advice, FaultChance

IN_THE_WAY = 0.5
"""Judgement: a fault that breaks something wanted in this share of cases, or more, stands in the way."""

LIKELY = 0.05
"""Judgement: a fault beside the way that is less likely than this is not worth a line."""


def in_the_way(advice: Advice) -> tuple[FaultChance, ...]:
    """Return the faults in the way of something wanted, likeliest first; all of them if nothing is wanted."""
    return tuple(each for each in advice.faults if not advice.functions or stands_in_the_way(each))


def beside_the_way(advice: Advice) -> tuple[FaultChance, ...]:
    """Return the faults that are likely though nothing wanted hangs on them, likeliest first."""
    found = advice.faults if advice.functions else ()
    return tuple(each for each in found if each.chance >= LIKELY and not stands_in_the_way(each))


def stands_in_the_way(fault: FaultChance) -> bool:
    """Tell whether a fault, where it is there, breaks something wanted more often than not."""
    return in_way(fault.chance, fault.breaks)


def in_way(chance: float, breaks: float) -> bool:
    """Tell the same from the chance that it is there, and that it is there and breaks something."""
    return 0.0 < breaks >= IN_THE_WAY * chance

"""What an answer to a check says of its rungs: which passed, and which failed.

A ladder's answer names one rung: those before it passed, it failed, what comes later is hidden. So does the
extent of a grid. Where the cells of a grid belong to copies of a part, each copy has a rung of its own after
those all copies share; when the bad cells are named, each bad copy's rung failed and each other one passed;
when they are not, it is only known that one of them failed.
"""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import dataclass

from powergood.diagnosis.compiled import CheckSpec
from powergood.record.model import BAD, GOOD

LEAST = "one"
"""The least extent of a grid, which `bad` stands for: what was a yes/no check can have become a grid."""


@dataclass(frozen=True, slots=True)
class Shown:
    """What an answer says: numbers of the rungs that passed, and groups of rungs of each of which one failed.

    `answers` is how many different answers of this kind the check has.
    """

    passed: tuple[int, ...]
    failed: tuple[tuple[int, ...], ...]
    answers: int


def shown(spec: CheckSpec, outcome: str, cells: Collection[str] = ()) -> Shown | None:
    """Return what an answer says of the rungs of `spec`; None when the check has no such outcome."""
    count = len(spec.rungs)
    own = [number for number, rung in enumerate(spec.rungs) if rung.cell]
    shared = count - len(own)
    kinds = shared + (1 if own else 0) + 1
    if outcome == GOOD:
        return Shown(tuple(range(count)), (), kinds)
    names = [rung.outcome for rung in spec.rungs]
    also = [rung.also for rung in spec.rungs]
    if outcome == BAD and BAD not in names and names[-1] == LEAST:
        outcome = LEAST
    if outcome not in names and outcome not in also:
        return None
    first = names.index(outcome) if outcome in names else also.index(outcome)
    before = tuple(range(first))
    if first not in own:
        return Shown(before, ((first,),), kinds)
    bad = [number for number in own if spec.rungs[number].cell in cells]
    if not bad:
        return Shown(before, (tuple(own),), kinds)
    passed = (*before, *(number for number in own if number not in bad))
    return Shown(passed, tuple((number,) for number in bad), shared + 2 ** len(own))


def first_failed(spec: CheckSpec, outcome: str, cells: Collection[str] = ()) -> int | None:
    """Return the number of the first rung that failed, the number of rungs when none did; None: no such."""
    said = shown(spec, outcome, cells)
    if said is None:
        return None
    return said.failed[0][0] if said.failed else len(spec.rungs)

"""For each two faults of a machine, whether any check can part them, and by how much.

Two faults are *parted* by a check when what it shows differs enough between them: the gap between two
faults at a check is half the summed difference of its outcomes' chances (the total variation distance),
each fault being there alone, false alarms counted. 0 means that the check says the same of both, 1 that it
never does. Every check is taken in the state it asks for: its parts out or swapped, its openings open.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import TypeAlias

import numpy as np
from numpy.typing import NDArray

from powergood.diagnosis.compiled import CheckSpec, CompiledModel, FaultSpec
from powergood.diagnosis.samples import Links
from powergood.ids import part_of

Floats: TypeAlias = NDArray[np.float64]
Cures: TypeAlias = Mapping[int, frozenset[str]]
"""The fixes that mostly cure each fault, by its number."""

PARTS_FROM = 0.2
"""Judgement: a check at which two faults' outcomes differ by less, in one look, does not part them."""

ROUNDING = 1e-9
"""Far under any chance that is written, far over the errors of adding them up."""

CURES_FROM = 0.5
"""Judgement: a fix that cures a fault less often is no answer to it, so it does not make two faults one."""


@dataclass(frozen=True, slots=True)
class Alike:
    """Two faults that no check parts. `difference` is the greatest there is, `check` where (empty: none).

    `fix` cures both, so that they need not be parted; `without` names a slot of one of them with which
    empty a check would part them. Only a slot that some function rests on is named: of others nobody has
    said what works without them.
    """

    one: str
    other: str
    difference: float
    check: str
    fix: str = ""
    without: str = ""


@dataclass(frozen=True, slots=True)
class Parting:
    """What the checks of a machine can part: how many pairs of faults there are, and which stay unparted.

    `alike` need different fixes, of `same_fix` one fix cures both; `copies` are faults of a part with several
    copies where no check says which copy has it. All in the model's order, and only listed faults.
    """

    pairs: int
    alike: tuple[Alike, ...]
    same_fix: tuple[Alike, ...]
    copies: tuple[Alike, ...]


def parting(model: CompiledModel, parts_from: float = PARTS_FROM) -> Parting:
    """Return which pairs of listed faults no check parts by a gap of `parts_from` or more."""
    shown, cures = Shown(model), _cures(model)
    first, copies = _distinct(model)
    gaps, best = shown.gaps(first)
    found = [
        shown.alike(first[row], first[column], gaps[row, column], int(best[row, column]), cures, parts_from)
        for row, column in zip(*np.nonzero(np.triu(gaps < parts_from - ROUNDING, 1)), strict=True)
    ]
    of_copies = []
    for one, other in copies:
        gap, at = shown.gaps([one, other])
        if gap[0, 1] < parts_from - ROUNDING:
            of_copies.append(shown.alike(one, other, gap[0, 1], int(at[0, 1]), cures, parts_from))
    return Parting(
        pairs=len(first) * (len(first) - 1) // 2,
        alike=tuple(each for each in found if not each.fix),
        same_fix=tuple(each for each in found if each.fix),
        copies=tuple(of_copies),
    )


def _distinct(model: CompiledModel) -> tuple[list[int], list[tuple[int, int]]]:
    """Return each listed fault in its first copy, and the first two copies of each that has several."""
    by_name: dict[tuple[str, str], list[int]] = {}
    for number, fault in enumerate(model.faults):
        if fault.listed:
            by_name.setdefault((part_of(fault.slot), _mode(fault)), []).append(number)
    first = [found[0] for found in by_name.values()]
    return first, [(found[0], found[1]) for found in by_name.values() if len(found) > 1]


def _mode(fault: FaultSpec) -> str:
    return fault.id.removeprefix(f"{fault.slot}.")


def _cures(model: CompiledModel) -> Cures:
    """Return the fixes that mostly cure each fault; replacing a whole area does not count as one."""
    whole = {f"replace-{area}" for area in model.area_titles}
    found: dict[int, set[str]] = {number: set() for number in range(len(model.faults))}
    for fix in model.fixes.values():
        if fix.id not in whole:
            for fault, chance in fix.cures.items():
                if chance >= CURES_FROM:
                    found[fault].add(fix.id)
    return {fault: frozenset(fixes) for fault, fixes in found.items()}


class Shown:
    """What every check shows of each fault alone: for each check an array (faults, outcomes), good last."""

    def __init__(self, model: CompiledModel) -> None:
        self.model = model
        self.checks = tuple(model.checks.values())
        self._slots = [fault.slot for fault in model.faults]
        links = Links.of(model)
        shows = np.array([fault.shows for fault in model.faults])
        signs = np.array([base.is_sign for base in model.bases], dtype=np.bool_)
        self._links, self._shows = links, shows
        self._by_mood = (shows[links.fault] > 0) & ~signs[links.base]
        self._misses = np.log1p(-np.minimum(links.strength, 1.0 - 1e-15))
        self._rested_on = frozenset[str]().union(*(base.of for base in model.bases))
        self._emptied: dict[str, list[Floats]] = {}
        self.chances = [self.of(check) for check in self.checks]

    def gaps(self, faults: list[int]) -> tuple[Floats, NDArray[np.int64]]:
        """Return the widest gap between each two of `faults` over all checks, and the check it is at."""
        widest = np.zeros((len(faults), len(faults)))
        where = np.full(widest.shape, -1, dtype=np.int64)
        for number, chances in enumerate(self.chances):
            some = chances[faults]
            gap = 0.5 * np.abs(some[:, None, :] - some[None, :, :]).sum(axis=2)
            wider = gap > widest + ROUNDING
            widest[wider], where[wider] = gap[wider], number
        return widest, where

    def alike(self, one: int, other: int, gap: float, check: int, cures: Cures, parts_from: float) -> Alike:
        """Return two faults as a pair that nothing parts, with what cures both or would part them."""
        slots = {self._slots[one], self._slots[other]}
        emptied = sorted(slots & self._rested_on) if len(slots) > 1 else []
        return Alike(
            one=self.model.faults[one].id,
            other=self.model.faults[other].id,
            difference=float(gap),
            check=self.checks[check].id if check >= 0 else "",
            fix=min(cures[one] & cures[other], default=""),
            without=next((slot for slot in emptied if self._helps(one, other, slot, parts_from)), ""),
        )

    def of(self, check: CheckSpec, gone: frozenset[str] = frozenset()) -> Floats:
        """Return the chance of each outcome of a check, with the slots in `gone` empty besides its own."""
        missing, masked = check.absent | gone, check.masked | gone
        faults = len(self._slots)
        acting = np.array([slot not in masked for slot in self._slots], dtype=np.bool_)[self._links.fault]
        standing, in_mood = np.ones(faults), np.zeros(faults, dtype=np.bool_)
        found: list[Floats] = []
        above: frozenset[int] = frozenset()
        for rung in check.rungs:
            bases = self.model.closure(rung.base, missing) - above
            above |= bases
            meets = np.isin(self._links.base, list(bases)) & acting
            misses = np.bincount(
                self._links.fault, np.where(meets & ~self._by_mood, self._misses, 0.0), minlength=faults
            )
            moody = np.bincount(self._links.fault, meets & self._by_mood, minlength=faults) > 0
            quiet = np.where(moody & ~in_mood, (1.0 - self._shows) ** check.starts, 1.0)
            passes = np.exp(misses) * quiet * (1.0 - check.leak)
            in_mood |= moody
            found.append(standing * (1.0 - passes))
            standing = standing * passes
        return np.stack([*found, standing], axis=1)

    def _helps(self, one: int, other: int, slot: str, parts_from: float) -> bool:
        """Tell whether some check parts two faults once the part in `slot`, of one of them, is out."""
        if slot not in self._emptied:
            self._emptied[slot] = [
                self.of(check, frozenset({slot})) for check in self.checks if self._can_do(check, slot)
            ]
        return any(
            0.5 * np.abs(chances[one] - chances[other]).sum() >= parts_from - ROUNDING
            for chances in self._emptied[slot]
        )

    def _can_do(self, check: CheckSpec, slot: str) -> bool:
        """Tell whether a check can be done with a slot empty, and all it looks at could still work."""
        if slot in check.fitted or slot in check.masked:
            return False
        gone = check.absent | {slot}
        return not any(
            self.model.bases[rung.base].is_sign
            or self.model.needs_missing(self.model.closure(rung.base, gone), gone)
            for rung in check.rungs
        )

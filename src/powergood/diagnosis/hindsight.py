"""What the rest of a job would cost if one knew exactly what is wrong: the *hindsight* cost of a sample.

That is the cheapest fix of every fault that breaks something wanted, done until it has mended, the openings
to reach them, proving what is wanted, and refitting; or stopping, where that is cheaper.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TypeAlias

import numpy as np
from numpy.typing import NDArray

from powergood.diagnosis.blind import Mending
from powergood.diagnosis.compiled import FixSpec
from powergood.diagnosis.recursion import Floats, Ints
from powergood.diagnosis.samples import Bools, Samples
from powergood.diagnosis.worth import Worth

Singles: TypeAlias = NDArray[np.float32]

LIKELY_CURE = 0.5
"""Judgement: a fix counts as mending what it cures at least this likely."""

LEAST_CURE = 0.05
"""Judgement: a fix that takes more seldom than this is not done over and over."""


@dataclass(frozen=True, slots=True)
class Known:
    """What is needed if the faults were known: fixes (S, A+1) and the cost of the rest of the job (S,)."""

    needs: Bools
    cost: Floats


@dataclass(frozen=True, slots=True)
class _Choices:
    """The cheapest fix of each fault (F, A+1), prices (A+1,), openings needed (A+1, E), their costs (E,)."""

    mends: Singles
    prices: Singles
    requires: Singles
    opens: Floats


class Hindsight:
    """The cost of each sample if its faults were known, and which fixes it needs; fast, for many states."""

    def __init__(self, worth: Worth, samples: Samples, fixes: Sequence[FixSpec]) -> None:
        self.worth = worth
        self.samples = samples
        self.fixes = tuple(fixes)
        model = worth.model
        wanted_bases: frozenset[int] = frozenset().union(*worth.closures) if worth.closures else frozenset()
        self._breaks = acting_faults(samples, wanted_bases, len(model.faults))
        self._breaks_each = [acting_faults(samples, closure, len(model.faults)) for closure in worth.closures]
        self._breaks_own = [
            acting_faults(samples, own, len(model.faults)) for own in _own_needs(worth.closures)
        ]
        self._by_opened: dict[frozenset[str], _Choices] = {}
        self._seen: dict[tuple[int, frozenset[str]], tuple[Bools, Bools, Floats]] = {}
        self._broken: dict[int, tuple[Bools, Bools]] = {}
        self._restores: dict[int, tuple[Bools, Floats]] = {}
        self._names = sorted(model.openings)
        self._chances = np.zeros((len(model.faults), len(self.fixes)))
        for number, fix in enumerate(self.fixes):
            for fault, chance in fix.cures.items():
                self._chances[fault, number] = chance
        self._cures = (self._chances >= LIKELY_CURE).astype(np.float32)
        self._prices = np.array([worth.price(fix.price) for fix in self.fixes])
        self._priors = np.array([max(fault.prior, 1e-9) for fault in model.faults])
        self._good = np.array([1.0 - fix.dud if fix.slot else 1.0 for fix in self.fixes])
        behind = [model.whole_opening(fix.open) for fix in self.fixes]
        self._requires: Bools = np.array(
            [[name in whole for name in self._names] for whole in behind],
            dtype=np.bool_,
        ).reshape(len(self.fixes), len(self._names))
        self._opens = np.array([worth.opening({name}) + worth.refit({name}) for name in self._names])

    def broken(self, present: Bools) -> Bools:
        """Return which faults are there and break something wanted, (S, F); kept for the same array."""
        key = id(present)
        if key not in self._broken:
            self._broken[key] = (present, self._breaks & present)
        return self._broken[key][1]

    def own_broken(self, present: Bools) -> Bools:
        """Return what proving every wanted function would tell: whose own needs are broken, shape (S, W)."""
        return np.column_stack([(breaks & present).any(axis=1) for breaks in self._breaks_own])

    def restores(self, present: Bools) -> Floats:
        """Return how many wanted functions each fix would make work in each sample, shape (S, A).

        A function counts when every fault that breaks it there is among those that the fix cures.
        """
        key = id(present)
        if key not in self._restores:
            total = np.zeros((present.shape[0], len(self.fixes)), dtype=np.float32)
            for breaks in self._breaks_each:
                acting = (breaks & present).astype(np.float32)
                count = acting.sum(axis=1)
                total += (acting @ self._cures >= count[:, None] - 0.5) & (count > 0)[:, None]
            self._restores[key] = (present, total.astype(np.float64))
        return self._restores[key][1]

    def mended(self, chances: Floats) -> Floats:
        """Return how many of the faults there with `chances` (F,) each fix would cure on average, (A,)."""
        return np.asarray(chances @ self._chances)

    def left(self, present: Bools) -> Floats:
        """Return for each sample and wanted function whether a fault there breaks it, shape (S, W)."""
        found = np.zeros((present.shape[0], len(self._breaks_each)))
        for number, breaks in enumerate(self._breaks_each):
            found[:, number] = (breaks & present).any(axis=1)
        return found

    def breaking(self, present: Bools, wanted: Ints) -> Bools:
        """Return which faults are there and break one of the functions numbered in `wanted`, (S, F)."""
        breaks = [self._breaks_each[number] for number in wanted]
        return np.asarray(np.logical_or.reduce(breaks) & present)

    def known(self, broken: Bools, opened: frozenset[str], unproven: frozenset[int]) -> Known:
        """Return what each sample needs and costs if its faults were known; kept for the same array."""
        key = (id(broken), opened)
        if key not in self._seen:
            table = self._table(opened)
            needs = np.asarray(broken.astype(np.float32) @ table.mends > 0.5)
            wanted = needs.astype(np.float32)
            mending: Floats = (wanted @ table.prices).astype(np.float64)
            if table.opens.size:
                mending += ((wanted @ table.requires) > 0.5) @ table.opens
            self._seen[key] = (broken, needs, mending)
        _, needs, mending = self._seen[key]
        rest = self.worth.proof(unproven, opened) + self.worth.refit(opened)
        return Known(needs, np.minimum(mending + rest, self.worth.stop(opened)))

    def above_mending(
        self, cost: float, broken: Bools, opened: frozenset[str], unproven: frozenset[int]
    ) -> Floats:
        """Return what `cost` is above what mending costs, (S,); nought where nothing need be mended."""
        rest = self.worth.proof(unproven, opened) + self.worth.refit(opened)
        mending = self.known(broken, opened, unproven).cost - rest
        return np.where(broken.any(axis=1), np.maximum(cost - mending, 0.0), 0.0)

    def mending(self, needs: Bools, group: Ints, opened: frozenset[str], unproven: frozenset[int]) -> Mending:
        """Return what mending without looking takes; `needs` (K, A+1) and `group` (K,) as in `Mending`."""
        table = self._table(opened)
        return Mending(
            needs=needs,
            group=group,
            prices=table.prices[:-1].astype(np.float64),
            requires=table.requires[:-1] > 0.5,
            opens=table.opens,
            test=self.worth.test(opened),
            done=self.worth.proof(unproven, opened) + self.worth.refit(opened),
            stop=self.worth.stop(opened),
        )

    def _table(self, opened: frozenset[str]) -> _Choices:
        """Return each fault's cheapest fix with `opened` open; the last column: faults that nothing mends."""
        if opened not in self._by_opened:
            shut = np.array([name not in opened for name in self._names], dtype=np.bool_)
            requires = self._requires & shut
            taking = self._chances * self._good
            again = np.divide(self._prices, taking, out=np.full(taking.shape, np.inf), where=taking > 0)
            tried = again + requires @ self._opens
            least = tried.min(axis=1, initial=np.inf)
            fixes = len(self.fixes)
            choice = np.where(np.isfinite(least), tried.argmin(axis=1), fixes) if fixes else 0
            mends = np.zeros((least.size, fixes + 1), dtype=np.float32)
            mends[np.arange(least.size), choice] = 1.0
            prices = np.append(self._until_mended(mends[:, :-1]), self.worth.stop(opened)).astype(np.float32)
            required = np.vstack([requires, np.zeros(shut.size, dtype=np.bool_)]).astype(np.float32)
            self._by_opened[opened] = _Choices(mends, prices, required, self._opens)
        return self._by_opened[opened]

    def _until_mended(self, mends: Singles) -> Floats:
        """Return what each fix costs until it has mended, (A,): a cure may not take, a new part be a dud.

        `mends` (F, A) says which faults it is chosen for; how surely it cures is taken over these.
        """
        common = mends * self._priors[:, None]
        chosen = common.sum(axis=0)
        takes = np.ones(chosen.size)
        np.divide((common * self._chances).sum(axis=0), chosen, out=takes, where=chosen > 0)
        return np.asarray(self._prices / np.maximum(takes * self._good, LEAST_CURE))


def acting_faults(samples: Samples, bases: frozenset[int], faults: int) -> Bools:
    """Return which faults would stop something in `bases` in each sample if they were there, shape (S, F)."""
    links = samples.links
    own = np.flatnonzero(np.isin(links.base, list(bases)))
    of_fault = (links.fault[own, None] == np.arange(faults)).astype(np.float32)
    return np.asarray(samples.on[:, own].astype(np.float32) @ of_fault > 0.5)


def _own_needs(closures: Sequence[frozenset[int]]) -> list[frozenset[int]]:
    """Return what each wanted function needs beyond the wanted functions that it rests on."""
    return [
        closure.difference(*(other for other in closures if other < closure)) if closure else closure
        for closure in closures
    ]

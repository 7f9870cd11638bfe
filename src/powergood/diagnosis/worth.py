"""What things cost, in minutes of your time: steps, openings, refitting, stopping, and knowing it all.

The *hindsight* cost of a sample is what the rest of the job would cost if one knew exactly what is wrong:
the cheapest fix of every fault that breaks something wanted, the openings to reach them, proving what
is wanted, and refitting; or stopping, where that is cheaper.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from typing import TypeAlias

import numpy as np
from numpy.typing import NDArray

from powergood.diagnosis.compiled import CheckSpec, CompiledModel, FixSpec, Price
from powergood.diagnosis.model import Preferences
from powergood.diagnosis.recursion import Floats
from powergood.diagnosis.samples import Bools, Samples

Singles: TypeAlias = NDArray[np.float32]

START = 1.0
"""Judgement: minutes that one more start costs, in waiting and in wear, whatever is looked at during it."""

LIKELY_CURE = 0.5
"""Judgement: a fix counts as mending what it cures at least this likely."""

REFIT_PART = 2.0
"""Judgement: minutes to put a part back in its place for a check that needs it fitted."""


@dataclass(frozen=True, slots=True)
class Worth:
    """Prices of everything for one machine and one person.

    `wanted` are the base indexes of the functions wanted, `closures` what each of them rests on.
    `provers` maps a check to the wanted functions that its passing shows to work as they stay fitted.
    """

    model: CompiledModel
    preferences: Preferences
    wanted: tuple[int, ...]
    closures: tuple[frozenset[int], ...]
    provers: dict[str, frozenset[int]]
    _opening: dict[frozenset[str], float] = field(default_factory=dict)
    _proof: dict[tuple[frozenset[int], frozenset[str]], float] = field(default_factory=dict)
    _step: dict[tuple[str, frozenset[str]], float] = field(default_factory=dict)

    @classmethod
    def of(
        cls, model: CompiledModel, preferences: Preferences, wanted: Sequence[str], missing: frozenset[str]
    ) -> Worth:
        """Return the prices for `wanted`, with the slots in `missing` empty."""
        bases = tuple(model.base_index[name] for name in wanted)
        closures = tuple(model.closure(base, missing) for base in bases)
        provers = {}
        for check in model.checks.values():
            if check.masked or check.swapped or check.id in preferences.cannot:
                continue
            shown: frozenset[int] = frozenset()
            for rung in check.rungs:
                shown |= model.closure(rung.base, missing)
            proven = frozenset(n for n, closure in enumerate(closures) if closure <= shown)
            if proven:
                provers[check.id] = proven
        return cls(model, preferences, bases, closures, provers)

    def price(self, price: Price) -> float:
        """Return what a step costs by itself."""
        wants = self.preferences
        return (
            price.minutes
            + price.elapsed * wants.wait_hour / wants.hour
            + wants.minutes(price.money)
            + price.harm * wants.minutes(wants.worth)
        )

    def to_open(self, openings: frozenset[str], opened: frozenset[str]) -> frozenset[str]:
        """Return which openings must still be opened to have `openings` open."""
        return self.model.whole_opening(openings) - opened

    def opening(self, openings: Iterable[str]) -> float:
        """Return the cost of opening `openings` (all of them, refitting not counted)."""
        key = frozenset(openings)
        if key not in self._opening:
            specs = [self.model.openings[name] for name in key]
            harm = sum(spec.harm for spec in specs) * self.preferences.minutes(self.preferences.worth)
            self._opening[key] = sum(spec.minutes for spec in specs) + harm
        return self._opening[key]

    def refit(self, opened: Iterable[str]) -> float:
        """Return the minutes to close everything that is open."""
        return sum(self.model.openings[name].refit for name in opened)

    def stop(self, opened: frozenset[str]) -> float:
        """Return the cost of stopping: what the working machine is worth, and refitting."""
        return self.preferences.minutes(self.preferences.worth) + self.refit(opened)

    def proof(self, unproven: frozenset[int], opened: frozenset[str]) -> float:
        """Return the cost of checks that together prove `unproven`, chosen greedily by price a function.

        What no check can prove costs nothing here: it is shown as unknown, and a person decides.
        """
        key = (unproven, opened)
        if key not in self._proof:
            left, total = set(unproven), 0.0
            while left:
                best = min(
                    (
                        (self._to_prove(self.model.checks[name], opened) / len(shown & left), name)
                        for name, shown in self.provers.items()
                        if shown & left
                    ),
                    default=None,
                )
                if best is None:
                    break
                shown = self.provers[best[1]] & left
                total += best[0] * len(shown)
                left -= shown
            self._proof[key] = total
        return self._proof[key]

    def _to_prove(self, check: CheckSpec, opened: frozenset[str]) -> float:
        """Return what proving by `check` costs in the end: itself and closing again what it opened."""
        return self.check_cost(check, opened) + self.refit(self.to_open(check.open, opened))

    def test(self, opened: frozenset[str]) -> float:
        """Return the cost of the cheapest check that shows something wanted to work; 0 when there is none."""
        checks = self.model.checks
        return min((self.check_cost(checks[name], opened) for name in self.provers), default=0.0)

    def check_cost(self, check: CheckSpec, opened: frozenset[str]) -> float:
        """Return what a check costs now: itself, what must be opened and what must be closed for it."""
        key = (check.id, opened)
        if key not in self._step:
            self._step[key] = (
                self.price(check.price)
                + (START if check.power == "start" else 0.0)
                + self.opening(self.to_open(check.open, opened))
                + sum(self.model.openings[name].refit for name in check.closed & opened)
            )
        return self._step[key]

    def fix_cost(self, fix: FixSpec, opened: frozenset[str]) -> float:
        """Return what a fix costs now, openings included."""
        key = (fix.id, opened)
        if key not in self._step:
            self._step[key] = self.price(fix.price) + self.opening(self.to_open(fix.open, opened))
        return self._step[key]


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
        self._restores: dict[int, tuple[Bools, Floats]] = {}
        self._cures = np.zeros((len(model.faults), len(self.fixes)), dtype=np.float32)
        for number, fix in enumerate(self.fixes):
            for fault, chance in fix.cures.items():
                self._cures[fault, number] = chance >= LIKELY_CURE
        self._names = sorted(model.openings)

    def broken(self, present: Bools) -> Bools:
        """Return which faults are there and break something wanted, shape (S, F)."""
        return self._breaks & present

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

    def left(self, present: Bools) -> Floats:
        """Return for each sample and wanted function whether a fault there breaks it, shape (S, W)."""
        found = np.zeros((present.shape[0], len(self._breaks_each)))
        for number, breaks in enumerate(self._breaks_each):
            found[:, number] = (breaks & present).any(axis=1)
        return found

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

    def _table(self, opened: frozenset[str]) -> _Choices:
        """Return each fault's cheapest fix with `opened` open; the last column: faults that nothing mends."""
        if opened in self._by_opened:
            return self._by_opened[opened]
        worth = self.worth
        faults = len(worth.model.faults)
        choice = np.full(faults, len(self.fixes), dtype=np.int64)
        least = np.full(faults, np.inf)
        prices = np.zeros(len(self.fixes) + 1)
        requires = np.zeros((len(self.fixes) + 1, len(self._names)))
        for number, fix in enumerate(self.fixes):
            prices[number] = worth.price(fix.price)
            to_open = worth.to_open(fix.open, opened)
            whole = prices[number] + worth.opening(to_open) + worth.refit(to_open)
            for place, name in enumerate(self._names):
                requires[number, place] = name in to_open
            for fault, chance in fix.cures.items():
                if chance > 0 and whole / chance < least[fault]:
                    least[fault], choice[fault] = whole / chance, number
        prices[-1] = worth.stop(opened)
        opens = np.array([worth.opening({name}) + worth.refit({name}) for name in self._names])
        mends = np.zeros((faults, len(self.fixes) + 1), dtype=np.float32)
        mends[np.arange(faults), choice] = 1.0
        single = np.float32
        self._by_opened[opened] = _Choices(mends, prices.astype(single), requires.astype(single), opens)
        return self._by_opened[opened]


def acting_faults(samples: Samples, bases: frozenset[int], faults: int) -> Bools:
    """Return which faults would stop something in `bases` in each sample if they were there, shape (S, F)."""
    links = samples.links
    found: Bools = np.zeros((samples.on.shape[0], faults), dtype=np.bool_)
    for link in np.flatnonzero(np.isin(links.base, list(bases))):
        found[:, links.fault[link]] |= samples.on[:, link]
    return found


def _own_needs(closures: Sequence[frozenset[int]]) -> list[frozenset[int]]:
    """Return what each wanted function needs beyond the wanted functions that it rests on."""
    return [
        closure.difference(*(other for other in closures if other < closure)) if closure else closure
        for closure in closures
    ]

"""What steps cost in the easier problem of `relaxed`, and what is left to pay once the world is known.

Everything asked is kept: a search asks the same of many states.
"""

from __future__ import annotations

from typing import TypeAlias

from powergood.diagnosis.compiled import CheckSpec, FixSpec
from powergood.diagnosis.worth import Worth

Faults: TypeAlias = frozenset[int]
Openings: TypeAlias = frozenset[str]


class EasierCosts:
    """The costs where `broken` are all faults that may have to be fixed, and `function` is to be proven.

    A `function` of −1 is none. `fixes` are the fixes that help, `cured` what each cures, `touching` those
    after which `function` is no longer proven.
    """

    def __init__(self, worth: Worth, broken: Faults, function: int) -> None:
        self.worth = worth
        self.fixes = [fix for fix in worth.model.fixes.values() if broken & _cured(fix)]
        self.cured = {fix.id: _cured(fix) for fix in self.fixes}
        self.touching = frozenset(fix.id for fix in self.fixes if self._touches(fix, function))
        self._provers = [
            worth.model.checks[name] for name, shown in worth.provers.items() if function in shown
        ]
        self._stopping = worth.stop(frozenset())
        self._fix: dict[tuple[str, Openings], tuple[float, Openings]] = {}
        self._check: dict[tuple[str, Openings, bool], float] = {}
        self._known: dict[tuple[Faults, Openings, bool, bool], float] = {}

    def fix(self, fix: FixSpec, opened: Openings) -> float:
        """Return what a fix costs, with what must be opened for it and closed again."""
        return self._fixed(fix, opened)[0]

    def check(self, check: CheckSpec, opened: Openings, *, running: bool) -> float:
        """Return what a check costs, with what must be opened for it and closed again, and a start."""
        key = (check.id, opened, running)
        if key not in self._check:
            start = self.worth.preferences.start if check.power != "off" and not running else 0.0
            self._check[key] = self.worth.own_cost(check) + start + self._opening(check.open, opened)
        return self._check[key]

    def known(self, left: Faults, opened: Openings, *, running: bool, proven: bool) -> float:
        """Return what is left to pay when `left` are known to be broken: fixes and the proof, or stopping."""
        return min(self._mend(left, opened, running, proven), self._stopping)

    def _mend(self, left: Faults, opened: Openings, running: bool, proven: bool) -> float:
        key = (left, opened, running, proven)
        if key not in self._known:
            self._known[key] = self._mended(*key) if left else self._proof(opened, running, proven)
        return self._known[key]

    def _mended(self, left: Faults, opened: Openings, running: bool, proven: bool) -> float:
        """Return the least cost of fixing all of `left`, the first of them now, and of the proof."""
        first = min(left)
        best = self._stopping
        for fix in self.fixes:
            if fix.cures.get(first, 0.0) <= 0:
                continue
            cost, after = self._fixed(fix, opened)
            if cost < best:
                still = proven and fix.id not in self.touching
                best = min(best, cost + self._mend(left - self.cured[fix.id], after, False, still))
        return best

    def _proof(self, opened: Openings, running: bool, proven: bool) -> float:
        if proven:
            return 0.0
        return min((self.check(each, opened, running=running) for each in self._provers), default=0.0)

    def _fixed(self, fix: FixSpec, opened: Openings) -> tuple[float, Openings]:
        """Return what a fix costs, and what is open after it."""
        key = (fix.id, opened)
        if key not in self._fix:
            cost = self.worth.price(fix.price) + self._opening(fix.open, opened)
            self._fix[key] = cost, opened | self.worth.model.whole_opening(fix.open)
        return self._fix[key]

    def _opening(self, names: Openings, opened: Openings) -> float:
        to_open = self.worth.to_open(names, opened)
        return self.worth.opening(to_open) + self.worth.refit(to_open)

    def _touches(self, fix: FixSpec, function: int) -> bool:
        """Tell whether a fix touches what the function to be proven rests on."""
        if function < 0:
            return False
        closure, faults = self.worth.closures[function], self.worth.model.faults
        return any(link.base in closure for fault in _cured(fix) for link in faults[fault].links)


def _cured(fix: FixSpec) -> Faults:
    return frozenset(fault for fault, chance in fix.cures.items() if chance > 0)

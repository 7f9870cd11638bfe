"""The best plan of an easier problem over a few worlds: what no plan for the true one can beat.

The problem is made easier in ways that can only save: a fix always cures and disturbs nothing, what was
opened stays open, one start is enough until something is fixed, and a check tells no less than in truth
(`telling`).

Plans are searched by going deeper. At depth nought a state costs what it would if the world were known, which
no plan beats; at each depth the cheapest step is taken, and the states it leads to at one depth less. Every
depth is a bound, and a deeper one is never lower.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from typing import TypeAlias

from powergood.diagnosis.compiled import CheckSpec, CompiledModel, FixSpec
from powergood.diagnosis.easier_costs import EasierCosts
from powergood.diagnosis.telling import NEVER, Telling
from powergood.diagnosis.worlds import Ties, World
from powergood.diagnosis.worth import Worth

Faults: TypeAlias = frozenset[int]
Shares: TypeAlias = tuple[tuple[int, float], ...]

DEEPEST = 20
"""Steps after which nothing is gained any more."""

SAME = 9
"""Decimals to which chances must agree for two states to be one."""


@dataclass(frozen=True, slots=True)
class State:
    """Where a plan is.

    `shares` are the worlds still possible with their chances, which sum to one; `fixed` and `opened` what was
    done; `running` that no start is needed; `proven` that the function dearest to prove has been shown to
    work since it was touched. `asked` are checks done since the last fix, `before` those done earlier.
    """

    shares: Shares
    fixed: Faults
    opened: frozenset[str]
    running: bool
    proven: bool
    asked: frozenset[str] = frozenset()
    before: frozenset[str] = frozenset()


class Relaxed:
    """The easier problem for one list of worlds; `owed` are the functions that still need a proof."""

    def __init__(self, worth: Worth, worlds: Sequence[World], ties: Ties, owed: Iterable[int]) -> None:
        self.worth = worth
        self.model: CompiledModel = worth.model
        self.worlds = tuple(worlds)
        broken = frozenset[int]().union(*(world.broken for world in worlds))
        self.function = self._dearest(owed)
        self.stopping = worth.stop(frozenset())
        self.costs = EasierCosts(worth, broken, self.function)
        wants = worth.preferences
        checks = [
            c for c in self.model.checks.values() if c.id not in wants.cannot and c.check not in wants.cannot
        ]
        closure = frozenset[int]().union(*worth.closures)
        self.telling = Telling(self.model, checks, worlds, ties, closure)
        self.checks = self._kept(checks)
        self.weighed, self.most = 0, 0
        self._least: dict[tuple[State, int], float] = {}

    # --- what is worth doing ----------------------------------------------------------------------------

    def _dearest(self, owed: Iterable[int]) -> int:
        """Return the wanted function whose cheapest proof is dearest; −1 where none is owed or provable."""
        best, dearest = -1, 0.0
        for function in sorted(owed):
            prices = [
                self.worth.check_cost(self.model.checks[name], frozenset(), start=False)
                for name, shown in self.worth.provers.items()
                if function in shown
            ]
            if prices and min(prices) > dearest:
                best, dearest = function, min(prices)
        return best

    def _kept(self, checks: Sequence[CheckSpec]) -> list[CheckSpec]:
        """Return the checks that touch something; of those that tell the same, the ones not dearer."""
        alike: dict[object, list[CheckSpec]] = {}
        for check in checks:
            touch = self.telling.touches[check.id]
            if touch:
                where = tuple(bool(rung.cell) for rung in check.rungs)
                does = (self._proves(check), check.power == "off", check.leak, where)
                key = (does, frozenset(touch.items()))
                alike.setdefault(key, []).append(check)
        return [
            each
            for group in alike.values()
            for each in group
            if not any(self._better(other, each) for other in group)
        ]

    def _better(self, one: CheckSpec, other: CheckSpec) -> bool:
        opens, others = self.model.whole_opening(one.open), self.model.whole_opening(other.open)
        cost, dear = self.worth.own_cost(one), self.worth.own_cost(other)
        return opens <= others and (cost, len(opens), one.id) < (dear, len(others), other.id)

    def _proves(self, check: CheckSpec) -> bool:
        return self.function in self.worth.provers.get(check.id, frozenset())

    # --- search -----------------------------------------------------------------------------------------

    def root(self, opened: frozenset[str], *, running: bool) -> tuple[float, State]:
        """Return the chance of all worlds together, and the state before anything more is done."""
        mass = sum(world.chance for world in self.worlds)
        shares = tuple((n, world.chance / mass) for n, world in enumerate(self.worlds))
        return mass, State(shares, frozenset(), opened, running, self.function < 0)

    def deepened(self, state: State, most: int) -> float:
        """Return the least cost from `state` on, as deep as weighing `most` steps reaches."""
        self.most = most
        best, depth = self.least(state, 0), 0
        while self.weighed < most and depth < DEEPEST:
            depth += 1
            best = max(best, self.least(state, depth))
        return best

    def least(self, state: State, depth: int) -> float:
        """Return what every plan from `state` costs at the least, looked into to a depth."""
        depth = 0 if len(state.shares) == 1 else depth
        key = (state, depth)
        if key not in self._least:
            if depth:
                self._least[key] = self._search(state, depth)
            else:
                self._least[key] = sum(share * self._known(number, state) for number, share in state.shares)
        return self._least[key]

    def _known(self, number: int, state: State) -> float:
        """Return what is left to pay in one world that is known."""
        left = self.worlds[number].broken - state.fixed
        return self.costs.known(left, state.opened, running=state.running, proven=state.proven)

    def _search(self, state: State, depth: int) -> float:
        floor = self.least(state, depth - 1)
        if self.weighed > self.most:
            return floor
        self.weighed += len(self.costs.fixes) + len(self.checks)
        left = [self.worlds[number].broken - state.fixed for number, _ in state.shares]
        if state.proven and not any(left):
            return 0.0
        best = self.stopping
        for fix in self.costs.fixes:
            cost = self.costs.fix(fix, state.opened)
            if cost < best and any(self.costs.cured[fix.id] & own for own in left):
                best = min(best, cost + self.least(self._after_fix(state, fix), depth - 1))
        for check in self.checks:
            cost = self.costs.check(check, state.opened, running=state.running)
            if cost < best and check.id not in state.asked:
                best = min(best, cost + self._rest(state, check, depth, best - cost))
        return max(best, floor)

    def _rest(self, state: State, check: CheckSpec, depth: int, most: float) -> float:
        """Return what is left after a check on average; more than `most` is not worked out to the end."""
        total = 0.0
        for mass, after in self._parts(state, check):
            total += mass * self.least(after, depth - 1)
            if total >= most:
                break
        return total

    def _parts(self, state: State, check: CheckSpec) -> list[tuple[float, State]]:
        """Return the states that a check may lead to, with their chances."""
        again = check.id in state.before
        parts: dict[tuple[int, Faults], list[tuple[int, float]]] = {}
        for number, share in state.shares:
            for shown, chance in self.telling.shown(check.id, number, state.fixed, again=again):
                parts.setdefault(shown, []).append((number, share * chance))
        opened = state.opened | self.model.whole_opening(check.open)
        proves = self._proves(check)
        found = []
        for (rung, _), shares in parts.items():
            mass = sum(share for _, share in shares)
            after = replace(
                state,
                shares=tuple((number, round(share / mass, SAME)) for number, share in shares),
                opened=opened,
                running=check.power != "off",
                proven=state.proven or (proves and rung == NEVER),
                asked=state.asked | {check.id},
            )
            found.append((mass, after))
        return found

    def _after_fix(self, state: State, fix: FixSpec) -> State:
        there = frozenset[int]().union(*(self.worlds[number].present for number, _ in state.shares))
        doubtful = state.asked - self.telling.certain
        return State(
            state.shares,
            state.fixed | (self.costs.cured[fix.id] & there),
            state.opened | self.model.whole_opening(fix.open),
            running=False,
            proven=state.proven and fix.id not in self.costs.touching,
            before=state.before | doubtful,
        )

"""The best plan of an easier problem over a few worlds: what no plan for the true one can beat.

The problem is made easier in ways that can only save: a fix always cures and disturbs nothing; what was
opened stays open; and a check, whatever it shows, also tells what its outcome could depend on. What a check
shows is certain in some worlds (a fault surely stops a rung; or nothing touches it, then only a false alarm
may come, which tells nothing). In any other world it depends on faults that may or may not show: then the
check tells which of these are there, and all that earlier findings tie to them. Hence outcomes are parts of
the set of worlds, and a state is such a part with what was fixed and opened.

Plans are searched by going deeper: at depth nought a state costs what it would if the world were known, which
no plan beats; at each depth the cheapest step is taken, with its parts one depth less. Every depth is a
bound, and a deeper one is never lower.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import TypeAlias

from powergood.diagnosis.compiled import CheckSpec, CompiledModel, FixSpec
from powergood.diagnosis.worlds import World
from powergood.diagnosis.worth import Worth

Faults: TypeAlias = frozenset[int]


@dataclass(frozen=True, slots=True)
class _Touch:
    """How a fault touches a check: the first rung that it surely stops, the first that it may stop."""

    surely: int
    maybe: int


DEEPEST = 20
"""Steps after which nothing is gained any more."""

NEVER = 1_000_000
"""A rung that is never reached."""


@dataclass(frozen=True, slots=True)
class State:
    """Where a plan is: the worlds still possible (a bit each), what was fixed and opened, whether it runs.

    `proven`: the function that is dearest to prove has been shown to work since it was touched.
    """

    alive: int
    fixed: Faults
    opened: frozenset[str]
    running: bool
    proven: bool


class Relaxed:
    """The easier problem for one list of worlds. `tied` maps a fault to all that findings tie it to."""

    def __init__(
        self, worth: Worth, worlds: Sequence[World], tied: Mapping[int, Faults], owed: Iterable[int]
    ) -> None:
        self.worth = worth
        self.model: CompiledModel = worth.model
        self.worlds = tuple(worlds)
        self.tied = tied
        self.everyone: Faults = frozenset().union(*(world.present for world in worlds))
        self.broken: Faults = frozenset().union(*(world.broken for world in worlds))
        self.function = self._dearest(owed)
        self.stopping = worth.stop(frozenset())
        self.fixes = [fix for fix in self.model.fixes.values() if self._may_help(fix)]
        self.touches = {check.id: self._touching(check) for check in self._checks()}
        self.checks = self._kept()
        self.done, self.most = 0, 0
        self._least: dict[tuple[State, int], float] = {}
        self._present: dict[int, Faults] = {}
        self._seen: dict[tuple[str, int, Faults], tuple[int, Faults]] = {}

    # --- what is worth doing ----------------------------------------------------------------------------

    def _checks(self) -> list[CheckSpec]:
        cannot = self.worth.preferences.cannot
        return [c for c in self.model.checks.values() if c.id not in cannot and c.check not in cannot]

    def _may_help(self, fix: FixSpec) -> bool:
        return any(chance > 0 and fault in self.broken for fault, chance in fix.cures.items())

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

    def _touching(self, check: CheckSpec) -> dict[int, _Touch]:
        """Return how each fault of the worlds touches a check."""
        found: dict[int, _Touch] = {}
        rungs = [self.model.closure(rung.base, check.absent) for rung in check.rungs]
        for fault in self.everyone:
            spec = self.model.faults[fault]
            if spec.slot in check.masked:
                continue
            surely = maybe = NEVER
            for link in spec.links:
                at = next((number for number, rung in enumerate(rungs) if link.base in rung), NEVER)
                if link.strength >= 1.0 and not spec.shows:
                    surely = min(surely, at)
                elif link.strength > 0:
                    maybe = min(maybe, at)
            if min(surely, maybe) < NEVER:
                found[fault] = _Touch(surely, maybe if maybe < surely else NEVER)
        return found

    def _kept(self) -> list[CheckSpec]:
        """Return the checks that touch something, of those that touch alike the ones that are not dearer."""
        alike: dict[object, list[CheckSpec]] = {}
        for check in self._checks():
            touch = self.touches[check.id]
            if touch:
                proves = self.function in self.worth.provers.get(check.id, frozenset())
                key = (proves, check.power == "off", frozenset(touch.items()))
                alike.setdefault(key, []).append(check)
        return [
            each
            for group in alike.values()
            for each in group
            if not any(self._better(other, each) for other in group)
        ]

    def _better(self, one: CheckSpec, other: CheckSpec) -> bool:
        opens, others = self.model.whole_opening(one.open), self.model.whole_opening(other.open)
        cost, dear = self._own_cost(one), self._own_cost(other)
        return opens <= others and (cost, len(opens), one.id) < (dear, len(others), other.id)

    def _own_cost(self, check: CheckSpec) -> float:
        noting = 0.0 if check.on_pad else self.worth.preferences.noting
        return self.worth.price(check.price) + noting

    # --- states -----------------------------------------------------------------------------------------

    def root(self, opened: frozenset[str], *, running: bool) -> State:
        """Return the state of all worlds."""
        return State((1 << len(self.worlds)) - 1, frozenset(), opened, running, self.function < 0)

    def deepened(self, state: State, most: int) -> float:
        """Return the least cost from `state` on, as deep as weighing `most` steps reaches."""
        best, depth = self.least(state, 0), 0
        self.most = most
        while self.done < most and depth < DEEPEST:
            depth += 1
            found = self.least(state, depth)
            if found <= best and depth > 3 and self.done < most:
                break
            best = max(best, found)
        return best

    def least(self, state: State, depth: int) -> float:
        """Return what the plan from `state` costs at the least, times the chance of its worlds."""
        alive = self._alive(state)
        if len(alive) > 1 and depth == 0:
            return sum(self.least(self._only(state, number), 0) for number in alive)
        key = (state, 0 if len(alive) == 1 else depth)
        if key not in self._least:
            self._least[key] = self._known(state, alive[0]) if len(alive) == 1 else self._search(state, depth)
        return self._least[key]

    def _alive(self, state: State) -> list[int]:
        return [number for number in range(len(self.worlds)) if state.alive >> number & 1]

    def _left(self, number: int, state: State) -> Faults:
        return self.worlds[number].broken - state.fixed

    def _known(self, state: State, number: int) -> float:
        """Return what a single world costs: the cheapest fixes of what is broken, and the proof."""
        chance = self.worlds[number].chance
        whole = chance * self._mend(self._left(number, state), state.opened, state.running, state.proven)
        return min(whole, chance * self.stopping)

    def _mend(self, left: Faults, opened: frozenset[str], running: bool, proven: bool) -> float:
        if not left:
            return 0.0 if proven else self._proof(opened, running=running)
        first = min(left)
        best = self.stopping
        for fix in self.fixes:
            if fix.cures.get(first, 0.0) > 0:
                cured = frozenset(fault for fault, chance in fix.cures.items() if chance > 0)
                cost = self._fix_cost(fix, opened)
                if cost < best:
                    opens = opened | self.model.whole_opening(fix.open)
                    after = proven and not self._touched(cured)
                    best = min(best, cost + self._mend(left - cured, opens, False, after))
        return best

    def _proof(self, opened: frozenset[str], *, running: bool) -> float:
        costs = [
            self._check_cost(self.model.checks[name], opened, running=running)
            for name, shown in self.worth.provers.items()
            if self.function in shown
        ]
        return min(costs, default=0.0)

    def _touched(self, cured: Faults) -> bool:
        """Tell whether curing these touches what the function to be proven rests on."""
        if self.function < 0:
            return False
        closure = self.worth.closures[self.function]
        return any(link.base in closure for fault in cured for link in self.model.faults[fault].links)

    # --- costs ------------------------------------------------------------------------------------------

    def _opening(self, names: frozenset[str], opened: frozenset[str]) -> float:
        to_open = self.worth.to_open(names, opened)
        return self.worth.opening(to_open) + self.worth.refit(to_open)

    def _fix_cost(self, fix: FixSpec, opened: frozenset[str]) -> float:
        return self.worth.price(fix.price) + self._opening(fix.open, opened)

    def _check_cost(self, check: CheckSpec, opened: frozenset[str], *, running: bool) -> float:
        start = self.worth.preferences.start if check.power != "off" and not running else 0.0
        return self._own_cost(check) + start + self._opening(check.open, opened)

    # --- search -----------------------------------------------------------------------------------------

    def _search(self, state: State, depth: int) -> float:
        self.done += len(self.fixes) + len(self.checks)
        alive = self._alive(state)
        mass = sum(self.worlds[number].chance for number in alive)
        floor = self.least(state, depth - 1)
        if self.done > self.most:
            return floor
        best = mass * self.stopping
        left = {number: self._left(number, state) for number in alive}
        if state.proven and not any(left.values()):
            return 0.0
        for fix in self.fixes:
            cured = frozenset(fault for fault, chance in fix.cures.items() if chance > 0)
            if any(cured & own for own in left.values()):
                cost = mass * self._fix_cost(fix, state.opened)
                if cost < best:
                    after = self._after_fix(state, fix, cured)
                    best = min(best, cost + self.least(after, depth - 1))
        for check in self.checks:
            parts = self._parts(check, state, alive)
            cost = mass * self._check_cost(check, state.opened, running=state.running)
            if (len(parts) > 1 or parts[0].proven != state.proven) and cost < best:
                best = min(best, cost + sum(self.least(part, depth - 1) for part in parts))
        return max(best, floor)

    def _after_fix(self, state: State, fix: FixSpec, cured: Faults) -> State:
        opened = state.opened | self.model.whole_opening(fix.open)
        proven = state.proven and not self._touched(cured)
        return self._state(state.alive, state.fixed | cured, opened, running=False, proven=proven)

    def _state(
        self, alive: int, fixed: Faults, opened: frozenset[str], *, running: bool, proven: bool
    ) -> State:
        """Return the state, what was fixed told only of faults that a world still possible has."""
        if alive not in self._present:
            there = (w.present for at, w in enumerate(self.worlds) if alive >> at & 1)
            self._present[alive] = frozenset().union(*there)
        return State(alive, fixed & self._present[alive], opened, running, proven)

    def _parts(self, check: CheckSpec, state: State, alive: Sequence[int]) -> list[State]:
        """Return the states that a check may lead to."""
        parts: dict[tuple[int, Faults], int] = {}
        for number in alive:
            shown = self._shown(check, number, state.fixed)
            parts[shown] = parts.get(shown, 0) | 1 << number
        opened = state.opened | self.model.whole_opening(check.open)
        proves = self.function in self.worth.provers.get(check.id, frozenset())
        return [
            self._state(
                worlds,
                state.fixed,
                opened,
                running=check.power != "off",
                proven=state.proven or (proves and surely == NEVER),
            )
            for (surely, _), worlds in parts.items()
        ]

    def _shown(self, check: CheckSpec, number: int, fixed: Faults) -> tuple[int, Faults]:
        """Return what a check tells in a world: the rung it surely stops at, and what else it gives away."""
        key = (check.id, number, fixed)
        if key not in self._seen:
            touch = self.touches[check.id]
            world = self.worlds[number].present
            there = [(fault, touch[fault]) for fault in world - fixed if fault in touch]
            surely = min((each.surely for _, each in there), default=NEVER)
            unsure = [fault for fault, each in there if each.maybe < surely]
            given: Faults = frozenset().union(*(self.tied.get(f, frozenset({f})) & world for f in unsure))
            self._seen[key] = (surely, given)
        return self._seen[key]

    def _only(self, state: State, number: int) -> State:
        alone = 1 << number
        return self._state(alone, state.fixed, state.opened, running=state.running, proven=state.proven)

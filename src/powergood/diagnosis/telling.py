"""What a check could tell apart of a few worlds: never less than what it tells in truth.

In a world a check stops at a rung for sure (a fault that certainly stops it is there), or it depends on
faults that may or may not show there. A false alarm apart, the first is certain. Of the second there are
two kinds. Where the doubt is fresh, seen in no finding so far and looked into by no other check, the check
shows each outcome with the chance that the pack says. Anywhere else what it shows hangs together with other
looks; then it is taken to tell outright which of those faults are there, and all that findings tie to them.
So is a grid that says which copies are bad: it may show more than one rung that failed.
To be told more can only make a plan cheaper, so a bound stays a bound.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import TypeAlias

from powergood.diagnosis.compiled import CheckSpec, CompiledModel
from powergood.diagnosis.worlds import Ties, World

Faults: TypeAlias = frozenset[int]
Shown: TypeAlias = tuple[tuple[tuple[int, Faults], float], ...]

NEVER = 1_000_000
"""A rung that is never reached: all was good."""


@dataclass(frozen=True, slots=True)
class Touch:
    """How a fault touches a check: the first rung it surely stops, and its chance to stop each before that.

    `fresh`: no finding has looked at these doubts yet, and no other check does.
    """

    surely: int
    maybe: tuple[tuple[int, float], ...] = ()
    fresh: bool = True


class Telling:
    """What the checks tell of `worlds`. `closure` holds the bases that something wanted rests on."""

    def __init__(
        self,
        model: CompiledModel,
        checks: Sequence[CheckSpec],
        worlds: Sequence[World],
        ties: Ties,
        closure: frozenset[int],
    ) -> None:
        self.model = model
        self.worlds = tuple(worlds)
        self.ties = ties
        self.closure = closure
        everyone: Faults = frozenset[int]().union(*(world.present for world in worlds))
        rungs = {check.id: _rungs(model, check) for check in checks}
        doubts: dict[tuple[int, int], set[str]] = {}
        for check in checks:
            for fault in everyone:
                for base in self._doubtful(check, rungs[check.id], fault):
                    doubts.setdefault((fault, base), set()).add(check.id)
        shared = {key for key, names in doubts.items() if len(names) > 1 or key[1] in ties.seen}
        self._rungs = rungs
        self._shared = shared
        self._everyone = everyone
        self.specs = {check.id: check for check in checks}
        self.touches: Mapping[str, Mapping[int, Touch]] = {c.id: self._of_check(c) for c in checks}
        self.certain = frozenset(
            name for name, touch in self.touches.items() if not any(each.maybe for each in touch.values())
        )
        self._told: dict[tuple[str, int, Faults, bool], Shown] = {}

    def _doubtful(self, check: CheckSpec, rungs: Sequence[frozenset[int]], fault: int) -> list[int]:
        """Return the bases of a check that a fault may or may not stop."""
        spec = self.model.faults[fault]
        if spec.slot in check.masked:
            return []
        bases = frozenset[int]().union(*rungs)
        return [
            link.base for link in spec.links if link.base in bases and (spec.shows or 0 < link.strength < 1)
        ]

    def _of_check(self, check: CheckSpec) -> dict[int, Touch]:
        found = {}
        for fault in self._everyone:
            touch = self._touch(check, fault)
            if touch is not None:
                found[fault] = touch
        return found

    def _touch(self, check: CheckSpec, fault: int) -> Touch | None:
        """Return how a fault touches a check, whatever world it is in; None where it does not."""
        spec = self.model.faults[fault]
        if spec.slot in check.masked:
            return None
        surely = NEVER
        silent: dict[int, float] = {}
        doubtful = self._doubtful(check, self._rungs[check.id], fault)
        fresh = not spec.shows and not any(
            (fault, base) in self._shared or base in self.closure for base in doubtful
        )
        for link in spec.links:
            at = next((n for n, rung in enumerate(self._rungs[check.id]) if link.base in rung), NEVER)
            if at == NEVER or link.strength <= 0:
                continue
            if link.strength >= 1 and not spec.shows:
                surely = min(surely, at)
            else:
                silent[at] = silent.get(at, 1.0) * (1.0 - link.strength)
        maybe = tuple(sorted((at, 1.0 - quiet) for at, quiet in silent.items() if at < surely))
        return Touch(surely, maybe, fresh) if maybe or surely < NEVER else None

    def shown(self, check: str, world: int, fixed: Faults, *, again: bool) -> Shown:
        """Return what a check may show in a world after some faults were fixed, each with its chance.

        What is shown is a rung (NEVER: good) and faults that it gives away. With `again` it was done before
        something was fixed, so that its doubts are fresh no more.
        """
        key = (check, world, fixed, again)
        if key not in self._told:
            self._told[key] = self._work_out(check, world, fixed, again)
        return self._told[key]

    def _work_out(self, check: str, number: int, fixed: Faults, again: bool) -> Shown:
        touch, world = self.touches[check], self.worlds[number].present
        there = {fault: touch[fault] for fault in world - fixed if fault in touch}
        surely = min((each.surely for each in there.values()), default=NEVER)
        unsure = {f: each for f, each in there.items() if each.maybe and each.maybe[0][0] < surely}
        lies_somewhere = any(rung.cell for rung in self.specs[check].rungs)
        plain = all(each.fresh for each in touch.values()) and not (again and check not in self.certain)
        if plain and not lies_somewhere:
            return self._by_chance(check, surely, list(unsure.values()))
        doubted = set(there) if lies_somewhere else set(unsure)
        if again:
            doubted |= {fault for fault in world if fault in touch and touch[fault].maybe}
        given: Faults = frozenset[int]().union(*(self.ties.of(fault) & world for fault in doubted))
        return (((surely, given), 1.0),)

    def _by_chance(self, check: str, surely: int, unsure: Sequence[Touch]) -> Shown:
        """Return the outcomes with their chances: at each rung a fault may show, or a false alarm come."""
        spec = self.specs[check]
        found, left = [], 1.0
        for rung in range(min(surely, len(spec.rungs))):
            quiet = 1.0 - spec.leak
            for each in unsure:
                quiet *= 1.0 - dict(each.maybe).get(rung, 0.0)
            if quiet < 1.0:
                found.append(((rung, frozenset[int]()), left * (1.0 - quiet)))
                left *= quiet
        if left > 0:
            found.append(((surely, frozenset[int]()), left))
        return tuple(found)


def _rungs(model: CompiledModel, check: CheckSpec) -> list[frozenset[int]]:
    """Return for each rung the bases that it looks at and no rung before it does."""
    found: list[frozenset[int]] = []
    before: frozenset[int] = frozenset()
    for rung in check.rungs:
        whole = model.closure(rung.base, check.absent)
        found.append(whole - before)
        before |= whole
    return found

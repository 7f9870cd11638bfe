"""The likeliest worlds behind the facts: what is present, what of it breaks something wanted; exact chances.

A *world* says of every fault that the failed findings couple, or that may break something wanted, whether it
is present, and if so whether it breaks something wanted. Which worlds are taken is read off samples; how
likely each is, is worked out exactly. So a sum over them is a part of the truth and may stand in a bound.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from itertools import combinations

from powergood.diagnosis.belief import Belief, Group
from powergood.diagnosis.left import muted, silent
from powergood.diagnosis.recursion import Component, Solved, Trajectory, evidence
from powergood.diagnosis.samples import Samples

MOST_UNSURE = 3
"""Faults of one world that may or may not break something: past this the world is left out."""


@dataclass(frozen=True, slots=True)
class World:
    """Which faults are `present`, which of them are `broken` (break something wanted), and its `chance`."""

    present: frozenset[int]
    broken: frozenset[int]
    chance: float


def likely_worlds(held: Belief, samples: Samples, closure: frozenset[int], most: int) -> tuple[World, ...]:
    """Return up to `most` of the likeliest worlds, by `closure`: all bases that something wanted rests on.

    None are returned where a group of findings was solved by sampling: its chances are not exact.
    """
    if any(not isinstance(group.solved, Solved) for group in held.groups):
        return ()
    reckoned = _Reckoning(held, closure)
    seen: dict[tuple[frozenset[int], frozenset[int]], float] = {}
    breaks = _breaking(held, samples, closure)
    for row, copies in enumerate(samples.copies):
        present = frozenset(int(f) for f in samples.present[row].nonzero()[0]) & reckoned.faults
        broken = frozenset(f for f in present if breaks[row][f])
        seen[present, broken] = seen.get((present, broken), 0.0) + float(copies)
    ranked = sorted(seen, key=lambda key: (-seen[key], sorted(key[0]), sorted(key[1])))
    found = []
    for present, broken in ranked[:most]:
        chance = reckoned.chance(present, broken)
        if chance > 0:
            found.append(World(present, broken, chance))
    return tuple(found)


def _breaking(held: Belief, samples: Samples, closure: frozenset[int]) -> list[dict[int, bool]]:
    """Return for each sample which present faults stop something in `closure`."""
    links = samples.links
    wanted = [at for at, base in enumerate(links.base) if int(base) in closure]
    rows: list[dict[int, bool]] = []
    for row in range(len(samples.copies)):
        acts: dict[int, bool] = {}
        for at in wanted:
            fault = int(links.fault[at])
            if samples.present[row, fault]:
                moody = bool(held.model.faults[fault].shows)
                acts[fault] = acts.get(fault, False) or moody or bool(samples.on[row, at])
        rows.append({int(f): acts.get(int(f), False) for f in samples.present[row].nonzero()[0]})
    return rows


@dataclass(frozen=True, slots=True)
class Ties:
    """What findings tie together: `seen` are bases looked at so far, `faults` what each fault hangs on."""

    seen: frozenset[int]
    faults: Mapping[int, frozenset[int]]

    def of(self, fault: int) -> frozenset[int]:
        """Return a fault and all that findings tie it to."""
        return self.faults.get(fault, frozenset({fault}))


def ties(held: Belief) -> Ties:
    """Return what failed findings tie together by links or moods that are not certain.

    Two faults are tied when both could explain one finding and one of them only perhaps would: to learn
    whether it shows there says something of the other, beyond whether it is there.
    """
    of_bit: dict[tuple[int, int], list[int]] = {}
    unsure: set[tuple[int, int]] = set()
    for at, group in enumerate(held.groups):
        assert isinstance(group.solved, Solved)
        for number, variable in zip(group.variables, group.solved.component.variables, strict=True):
            for trajectory in variable:
                for switch in trajectory.switches:
                    for bit in range(switch.mask.bit_length()):
                        if switch.mask >> bit & 1:
                            of_bit.setdefault((at, bit), []).append(number)
                            unsure |= {(at, bit)} if switch.off > 0 else set()
    joined: list[set[int]] = []
    for key in unsure:
        mine = set(of_bit[key])
        apart = [each for each in joined if not each & mine]
        joined = [*apart, mine.union(*(each for each in joined if each & mine))]
    found: dict[int, frozenset[int]] = {}
    for numbers in joined:
        faults = frozenset(each.fault for number in numbers for each in held.variables[number].instances)
        found |= dict.fromkeys(faults, faults)
    seen = frozenset[int]().union(*(row.bases for row in held.evidence.rows))
    return Ties(seen, found)


class _Reckoning:
    """Works out the exact chance of a world, group by group."""

    def __init__(self, held: Belief, closure: frozenset[int]) -> None:
        self.held = held
        self.closure = closure
        grouped = {number for group in held.groups for number in group.variables}
        self.free = []
        faults: set[int] = set()
        for number, variable in enumerate(held.variables):
            own = {each.fault for each in variable.instances if each.fitted}
            touches = any(link.base in closure for fault in own for link in held.model.faults[fault].links)
            if number in grouped or touches:
                faults |= own
            if number not in grouped and touches:
                self.free.append(number)
        self.faults = frozenset(faults)

    def chance(self, present: frozenset[int], broken: frozenset[int]) -> float:
        """Return the chance of a world: what of it may be silent is taken off, so that the rest breaks."""
        unsure = [fault for fault in sorted(broken) if self._may_be_silent(fault)]
        if len(unsure) > MOST_UNSURE:
            return 0.0
        quiet = present - broken
        total = 0.0
        for size in range(len(unsure) + 1):
            for some in combinations(unsure, size):
                total += (-1) ** size * self._with_silent(present, quiet | frozenset(some))
        return max(total, 0.0)

    def _may_be_silent(self, fault: int) -> bool:
        spec = self.held.model.faults[fault]
        links = [link.strength for link in spec.links if link.base in self.closure]
        return not spec.shows and all(strength < 1.0 for strength in links)

    def _with_silent(self, present: frozenset[int], quiet: frozenset[int]) -> float:
        """Return the chance that exactly `present` is there and `quiet` of it stops nothing wanted."""
        chance = 1.0
        for group in self.held.groups:
            chance *= self._of_group(group, present, quiet)
        for number in self.free:
            chance *= sum(
                posterior * factor
                for posterior, factor in zip(
                    self.held.chances[number],
                    (mute[0] for mute in self._mutes(number, present, quiet)),
                    strict=True,
                )
            )
        return chance

    def _of_group(self, group: Group, present: frozenset[int], quiet: frozenset[int]) -> float:
        assert isinstance(group.solved, Solved)
        if group.solved.evidence <= 0:
            return 0.0
        component = group.solved.component
        variables: list[tuple[Trajectory, ...]] = []
        for number, variable in zip(group.variables, component.variables, strict=True):
            mutes = self._mutes(number, present, quiet)
            kept = tuple(
                muted(trajectory, *mute)
                for trajectory, mute in zip(variable, mutes, strict=True)
                if mute[0] > 0
            )
            if not kept:
                return 0.0
            variables.append(kept)
        return evidence(Component(tuple(variables), component.terminal)) / group.solved.evidence

    def _mutes(
        self, number: int, present: frozenset[int], quiet: frozenset[int]
    ) -> list[tuple[float, frozenset[int]]]:
        """Return for each history nought where it is not that of the world, else what makes it silent."""
        variable = self.held.variables[number]
        found = []
        for history in variable.histories:
            fits = all(
                history.present[place] == (each.fault in present)
                for place, each in enumerate(variable.instances)
                if each.fitted
            )
            places = frozenset(place for place, each in enumerate(variable.instances) if each.fault in quiet)
            found.append(
                silent(self.held, variable, history, self.closure, places)
                if fits
                else (0.0, frozenset[int]())
            )
        return found

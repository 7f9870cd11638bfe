"""What each check can see: how strongly each fault moves each of its outcomes, copies not unrolled."""

from __future__ import annotations

from collections.abc import Mapping
from functools import cached_property
from math import prod
from typing import TypeAlias

from powergood.ids import part_of
from powergood.knowledge.assembly import Assembly
from powergood.knowledge.model import Check, Fault
from powergood.knowledge.stops import stops

Profile: TypeAlias = Mapping[tuple[str, str], float]
"""Chance that a fault alone moves an outcome, by check and outcome; only those above nought."""


class Sight:
    """Profiles of all faults of a machine. Names that resolve to nothing are passed over."""

    def __init__(self, assembly: Assembly) -> None:
        self._assembly = assembly

    @cached_property
    def profiles(self) -> Mapping[str, Profile]:
        """The profile of each fault over all checks."""
        found: dict[str, dict[tuple[str, str], float]] = {name: {} for name in self._assembly.faults}
        faults = [(name, part_of(name), _links(fault.item)) for name, fault in self._assembly.faults.items()]
        for placed in self._assembly.checks.values():
            check = placed.item
            away = {*check.out, *check.instead}
            for outcome, bases in self._looked_at(check).items():
                for name, part, links in faults:
                    if part in away or bases.isdisjoint(links):
                        continue
                    strength = 1 - prod(1 - value for base, value in links.items() if base in bases)
                    if strength > 0:
                        found[name][check.id, outcome] = strength
        return found

    @cached_property
    def seen_by(self) -> Mapping[str, frozenset[str]]:
        """The faults that each check can see."""
        found: dict[str, set[str]] = {name: set() for name in self._assembly.checks}
        for fault, profile in self.profiles.items():
            for check, _ in profile:
                found[check].add(fault)
        return {check: frozenset(faults) for check, faults in found.items()}

    def _looked_at(self, check: Check) -> dict[str, frozenset[str]]:
        """Return the bases that each outcome but `good` rests on and no earlier rung did."""
        missing = frozenset(check.out)
        seen: frozenset[str] = frozenset()
        outcomes = {}
        for stop in stops(check):
            bases = self.closure(stop.of, missing)
            outcomes[stop.outcome] = bases - seen
            seen |= bases
        return outcomes

    def closure(self, base: str, missing: frozenset[str] = frozenset()) -> frozenset[str]:
        """Return a function or sign and all it needs; of alternatives, the first whose parts are fitted."""
        found: set[str] = set()
        waiting = [base]
        while waiting:
            name = waiting.pop()
            if name in found:
                continue
            found.add(name)
            if name in self._assembly.functions:
                function = self._assembly.functions[name].item
                waiting += function.needs
                waiting += self._alternative(function.either, missing)
        return frozenset(found)

    def _alternative(self, either: tuple[str, ...], missing: frozenset[str]) -> list[str]:
        for name in either:
            placed = self._assembly.functions.get(name)
            if placed and not missing.intersection(placed.item.of):
                return [name]
        return list(either[:1])


def _links(fault: Fault) -> dict[str, float]:
    """Return how strongly a fault moves each function and sign; no two of these share a name."""
    return {name: claim.value for name, claim in (*fault.breaks.items(), *fault.signs.items())}

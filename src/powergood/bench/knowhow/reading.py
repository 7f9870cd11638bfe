"""A kind of machine made ready to be read: chances before anything is known, and what each check shows."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from math import prod
from typing import Final

from powergood.bench.knowhow.views import FaultLine, Named
from powergood.bench.library import Kept, Known, Library
from powergood.bench.wording import outcomes, without_copy
from powergood.diagnosis import Parting, parting
from powergood.ids import part_of
from powergood.knowledge.assembly import Assembly, Placed
from powergood.knowledge.model import Check, Fault, Fix, Opening
from powergood.knowledge.problems import Where
from powergood.knowledge.sight import Sight

Shown = Mapping[str, Mapping[str, float]]
"""For each check, the chance of each outcome when one fault alone is there; false alarms left out."""


@dataclass(frozen=True, slots=True)
class Reading:
    """What is known of one kind of machine, with the figures a reader needs.

    `chances` are by fault, in each copy of its part; `shown` by fault, for the checks that see it;
    `parting` says which faults no check parts.
    """

    kind: str
    known: Known
    year: int
    chances: Mapping[str, float]
    shown: Mapping[str, Shown]
    faults: Mapping[str, Fault]
    parting: Parting

    @property
    def family(self) -> str:
        """Id of the family, by which numbers are named."""
        return self.known.family.id

    def part_title(self, fault: str) -> str:
        """Return the title of the part a fault is of."""
        return self.known.words.parts.get(part_of(fault), part_of(fault))

    def copies(self, fault: str) -> int:
        """Return how many copies of a fault's part there are."""
        part = part_of(fault)
        return next((each.copies for each in self.known.model.parts if each.id == part), 1)

    def line(self, fault: str, chance: float | None = None) -> FaultLine:
        """Return a fault as it stands in a list; `chance` is given where it is not the one before all."""
        said = self.chances.get(fault, 0.0) if chance is None else chance
        return FaultLine(
            fault, self.known.words.fault(fault), self.part_title(fault), said, self.copies(fault)
        )

    def seen_by(self, check: str) -> dict[str, Mapping[str, float]]:
        """Return the faults that a check sees, with the chance of each outcome."""
        return {fault: shown[check] for fault, shown in self.shown.items() if check in shown}

    def way(self, opens: Iterable[str]) -> tuple[Opening, ...]:
        """Return all openings that must be opened, outermost first."""
        words, found, waiting = self.known.words, dict[str, Opening](), list(opens)
        while waiting:
            name = waiting.pop()
            if name in words.openings and name not in found:
                found[name] = words.openings[name]
                waiting += found[name].behind
        return tuple(sorted(found.values(), key=lambda each: (each.layer, each.id)))

    def fixes_of(self, fault: str) -> tuple[tuple[Fix, float], ...]:
        """Return the fixes that cure a fault with the chance that they do, the surest first."""
        found = []
        for fix in self.known.words.fixes.values():
            cures = fix.cures.get(fault)
            if fix.replaces == part_of(fault):
                found.append((fix, 1.0 - (fix.dud.value if fix.dud else 0.0)))
            elif cures:
                found.append((fix, cures.value))
        return tuple(sorted(found, key=lambda pair: (-pair[1], pair[0].minutes.value)))


_READ: Final[Kept[Reading]] = Kept(32)


def reading(library: Library, kind: str) -> Reading:
    """Return a family or model sheet ready to be read; worked out once for each content.

    Raises
    ------
    UnknownThing : no pack has it.
    """
    known = library.known(kind)
    sheet = library.sheet(kind)
    year = sheet.year if sheet else 0
    return _READ.get((kind, known.model.digest, year), lambda: _read(library, kind, known, year))


def _read(library: Library, kind: str, known: Known, year: int) -> Reading:
    chances: dict[str, float] = {}
    compiled = library.compiled(kind, year, {})
    for spec in compiled.faults:
        if spec.listed:
            chances.setdefault(without_copy(spec.id), spec.prior)
    faults = {each.id: each for each in known.model.faults}
    return Reading(kind, known, year, chances, _shown(known), faults, parting(compiled))


def _shown(known: Known) -> dict[str, Shown]:
    """Return what each fault alone would show in each check that sees it."""
    checks = {check.id: check for check in known.model.checks}
    found: dict[str, Shown] = {}
    for fault, profile in _sight(known).profiles.items():
        by_check: dict[str, dict[str, float]] = {}
        for (check, outcome), strength in profile.items():
            by_check.setdefault(check, {})[outcome] = strength
        found[fault] = {name: _stops(checks[name], given) for name, given in by_check.items()}
    return found


def _stops(check: Check, strengths: Mapping[str, float]) -> dict[str, float]:
    """Return the chance of each outcome but `good`: a later rung is reached only past the earlier ones."""
    order = [name for name, _ in outcomes(check) if name in strengths]
    return {
        name: strengths[name] * prod(1.0 - strengths[earlier] for earlier in order[:place])
        for place, name in enumerate(order)
    }


def _sight(known: Known) -> Sight:
    assembly = Assembly(known.family, None, [])
    nowhere = Where("family", known.family.id)
    assembly.faults.update({each.id: Placed(each, nowhere) for each in known.model.faults})
    assembly.checks.update({each.id: Placed(each, nowhere) for each in known.model.checks})
    assembly.functions.update({each.id: Placed(each, nowhere) for each in known.model.functions})
    return Sight(assembly)


def named(kind: str, library: Library) -> Named:
    """Return a family or sheet with its title."""
    return Named(kind, library.title(kind))

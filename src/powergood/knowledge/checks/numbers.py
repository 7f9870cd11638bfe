"""Rules about numbers: chances lie between 0 and 1, amounts are not negative."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping
from typing import Any

from powergood.knowledge.assembly import Placed
from powergood.knowledge.checks.rule import Rule, Scene
from powergood.knowledge.model import Claim
from powergood.knowledge.problems import Problem, Where

CHANCES: Mapping[str, tuple[str, ...]] = {
    "faults": ("breaks", "signs", "chance", "shows", "makes"),
    "checks": ("false_alarm", "no_verdict", "harm"),
    "fixes": ("cures", "dud", "disturbs", "harm"),
    "openings": ("harm",),
    "areas": ("something_else",),
}
"""The fields that hold chances."""

UNCERTAIN: Mapping[str, tuple[str, ...]] = {
    "faults": ("chance",),
    "checks": ("false_alarm",),
    "areas": ("something_else",),
}
"""The chances that are never 0 nor 1: with them, any findings remain possible."""

AMOUNTS: Mapping[str, tuple[str, ...]] = {
    "checks": ("minutes", "elapsed", "money"),
    "fixes": ("minutes", "elapsed", "money"),
    "openings": ("minutes", "refit"),
    "areas": ("minutes", "money"),
}
"""The fields that hold minutes or money."""

MOST_COPIES = 32
"""Copies of one part in one machine (judgement: memory modules, at most, in a large desktop)."""

FACTORS: Mapping[str, tuple[str, ...]] = {
    "faults": ("frequency",),
    "checks": ("starts",),
    "intake": ("multiplies",),
}
"""The fields that hold weights or factors, which are more than nought."""


def numbers(scene: Scene, fields: Mapping[str, tuple[str, ...]]) -> Iterator[tuple[Claim, Where]]:
    """Yield each number in some fields with its place."""
    for kind, names in fields.items():
        for placed in scene.assembly.kind(kind).values():
            for name in names:
                yield from _in(placed, name)


def _in(placed: Placed[Any], field: str) -> Iterator[tuple[Claim, Where]]:
    value = getattr(placed.item, field)
    if isinstance(value, Claim):
        yield value, placed.where.at(field)
    elif isinstance(value, Mapping):
        for name, claim in value.items():
            yield claim, placed.where.at(field, name)


class ChanceInRange(Rule):
    """A chance outside [0, 1] is a slip: a per cent, mostly."""

    id = "chance-range"
    sentence = "A chance lies between 0 and 1."
    local = True

    def find(self, scene: Scene) -> Iterator[Problem]:
        """Yield each chance that is none."""
        for claim, where in numbers(scene, CHANCES):
            if not 0 <= claim.value <= 1:
                hint = (
                    f"; write {claim.value / 100:g} for {claim.value:g} %" if 1 < claim.value <= 100 else ""
                )
                yield self.problem(f"a chance lies between 0 and 1, not at {claim.value:g}{hint}", where)


class NeverCertain(Rule):
    """Where nothing can be wrong, two honest findings can exclude each other, and no belief is left."""

    id = "never-certain"
    sentence = "A false alarm, a fault's chance and *something else* are more than 0 and less than 1."
    local = True

    def find(self, scene: Scene) -> Iterator[Problem]:
        """Yield each chance that leaves no doubt."""
        for claim, where in numbers(scene, UNCERTAIN):
            if claim.value in (0, 1):
                message = (
                    f"this must leave some doubt, and {claim.value:g} leaves none; write a figure near it"
                )
                yield self.problem(message, where)


class AmountNotNegative(Rule):
    """Minutes and money are finite and not below nought."""

    id = "amount-range"
    sentence = "Minutes and money are finite and not negative."
    local = True

    def find(self, scene: Scene) -> Iterator[Problem]:
        """Yield each amount that cannot be."""
        for claim, where in numbers(scene, AMOUNTS):
            if not (math.isfinite(claim.value) and claim.value >= 0):
                yield self.problem(f"{claim.value:g} is no amount of minutes or money", where)


class FactorPositive(Rule):
    """A weight or a factor of nought would make a fault impossible, which no finding could undo."""

    id = "factor-range"
    sentence = "Frequencies and factors are more than 0."
    local = True

    def find(self, scene: Scene) -> Iterator[Problem]:
        """Yield each factor that is not more than nought."""
        for claim, where in numbers(scene, FACTORS):
            if not (math.isfinite(claim.value) and claim.value > 0):
                message = f"this must be more than 0, not {claim.value:g}; for rare use a small number"
                yield self.problem(message, where)


class ExpectedFaultsPositive(Rule):
    """The number of faults expected scales every frequency of the family."""

    id = "expected-faults"
    sentence = "A family expects more than 0 faults in a machine; 1 or 2, mostly."
    local = True

    def find(self, scene: Scene) -> Iterator[Problem]:
        """Yield the number when it is not more than nought."""
        family = scene.assembly.family
        value = family.expected_faults.value
        if not (math.isfinite(value) and value > 0):
            where = Where("family", family.id, ("expected_faults",))
            yield self.problem(f"the expected number of faults must be more than 0, not {value:g}", where)


class FrequencyOrChance(Rule):
    """A fault's commonness is said once: as a relative frequency or as a chance."""

    id = "frequency-or-chance"
    sentence = "A fault has a frequency or a chance, and not both."

    def find(self, scene: Scene) -> Iterator[Problem]:
        """Yield each fault that has neither or both."""
        for fault in scene.assembly.faults.values():
            if fault.item.frequency is None and fault.item.chance is None:
                message = "how common this fault is, is missing: give `frequency` (8 very common, 4 common,"
                yield self.problem(f"{message} 2 occasional, 0.5 rare) or `chance`", fault.where)
            elif fault.item.frequency is not None and fault.item.chance is not None:
                yield self.problem("give `frequency` or `chance`, not both", fault.where.at("chance"))


class IntermittentBreaksSurely(Rule):
    """Whether an intermittent fault shows is drawn at each power-up; then it breaks what it breaks."""

    id = "intermittent-certain"
    sentence = "A fault with `shows` breaks with chance 1 while it shows."
    local = True

    def find(self, scene: Scene) -> Iterator[Problem]:
        """Yield each uncertain link of an intermittent fault."""
        for fault in scene.assembly.faults.values():
            if fault.item.shows is None:
                continue
            for name, claim in fault.item.breaks.items():
                if claim.value != 1:
                    message = (
                        f"this fault comes and goes (`shows`), so it breaks `{name}` with chance 1 while it"
                        f" shows, not {claim.value:g}"
                    )
                    yield self.problem(message, fault.where.at("breaks", name))


class CopiesInRange(Rule):
    """Copies are unrolled into faults of their own, so their number stays that of a real machine."""

    id = "copies"
    sentence = f"A part has 1 to {MOST_COPIES} copies; only a sheet may say 0."
    local = True

    def find(self, scene: Scene) -> Iterator[Problem]:
        """Yield each number of copies that no machine has."""
        sheet = scene.assembly.sheet
        for name, part in scene.assembly.parts.items():
            if not 1 <= part.item.copies <= MOST_COPIES:
                by_sheet = sheet is not None and name in sheet.copies
                where = part.where.at("copies")
                if sheet is not None and by_sheet:
                    where = Where("sheet", sheet.id, ("copies", name))
                message = f"a part has 1 to {MOST_COPIES} copies, not {part.item.copies}"
                hint = "" if part.item.copies > 0 else "; only a sheet may say that there is none"
                yield self.problem(message + hint, where)


RULES: tuple[Rule, ...] = (
    CopiesInRange(),
    ChanceInRange(),
    NeverCertain(),
    AmountNotNegative(),
    FactorPositive(),
    ExpectedFaultsPositive(),
    FrequencyOrChance(),
    IntermittentBreaksSurely(),
)

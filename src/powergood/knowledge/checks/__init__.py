"""The third gate: does what is written make sense? One small class for each rule.

`sense` runs them all. A rule is not heard where an earlier gate's mistake could have misled it: a fault
looks unseen, for one, when the check that sees it could not be read.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from powergood.knowledge.assembly import Assembly
from powergood.knowledge.checks import bring_up, grids, mending, numbers, seeing, wording
from powergood.knowledge.checks.rule import Rule, Scene
from powergood.knowledge.problems import Problem
from powergood.knowledge.sight import Sight

RULES: tuple[Rule, ...] = (
    *numbers.RULES,
    *seeing.RULES,
    *mending.RULES,
    *grids.RULES,
    *wording.RULES,
    *bring_up.RULES,
)
"""Every rule of sense, in the order they are heard."""


@dataclass(frozen=True, slots=True)
class Doubt:
    """Something that was written but is not in the assembly as written: an item or one field of it.

    An empty `id` means that any item of the kind may be missing; an empty `field`, the whole item.
    """

    kind: str
    id: str = ""
    field: str = ""


def sense(
    assembly: Assembly, problems: Iterable[Problem] = (), doubts: Iterable[Doubt] = ()
) -> Iterator[Problem]:
    """Yield every problem of sense; `problems` of names and `doubts` of shape are what was found before."""
    unsure = {*doubts, *(_doubt(problem) for problem in problems)}
    scene = Scene(assembly, Sight(assembly))
    for rule in RULES:
        if not any(_misleads(doubt, rule) for doubt in unsure):
            for problem in rule.find(scene):
                if rule.local or not _is_about(problem, unsure):
                    yield problem


def _doubt(problem: Problem) -> Doubt:
    path = [str(step) for step in problem.where.path]
    if not path:
        return Doubt("")
    if problem.check == "one-id":
        return Doubt(path[0])
    kind, name, field = [*path, "", ""][:3]
    return Doubt(kind, name, field)


def _misleads(doubt: Doubt, rule: Rule) -> bool:
    """Whether a rule draws conclusions from what is in doubt, in whatever item it stands."""
    fields = rule.rests_on.get(doubt.kind)
    return fields is not None and (not doubt.field or doubt.field in fields)


def _is_about(problem: Problem, unsure: set[Doubt]) -> bool:
    path = [*problem.where.path, "", ""]
    return any(doubt.kind == path[0] and doubt.id == path[1] and doubt.id for doubt in unsure)

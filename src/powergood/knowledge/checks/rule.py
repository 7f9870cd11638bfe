"""What a rule of sense is, and what it gets to see."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import ClassVar, Literal

from powergood.knowledge.assembly import Assembly
from powergood.knowledge.problems import Problem, Where
from powergood.knowledge.sight import Sight

SEEING: Mapping[str, frozenset[str]] = {
    "checks": frozenset({"of", "rungs", "grid", "out", "instead", "each_copy_of"}),
    "functions": frozenset({"needs", "either", "of"}),
}
"""The fields on which it rests what a check can see."""


@dataclass(frozen=True, slots=True)
class Scene:
    """A machine as put together, and what its checks can see."""

    assembly: Assembly
    sight: Sight


class Rule:
    """One rule of sense: `sentence` says in general what `find` looks for.

    `rests_on` are the kinds and fields whose absence could mislead the rule; a `local` rule looks at one
    value alone and is always heard.
    """

    id: ClassVar[str]
    severity: ClassVar[Literal["error", "warning"]] = "error"
    sentence: ClassVar[str]
    rests_on: ClassVar[Mapping[str, frozenset[str]]] = {}
    local: ClassVar[bool] = False

    def find(self, scene: Scene) -> Iterator[Problem]:
        """Yield each place where the rule is broken."""
        raise NotImplementedError

    def problem(self, message: str, where: Where) -> Problem:
        """Return a problem under this rule's id and severity."""
        return Problem(self.id, self.severity, message, where)

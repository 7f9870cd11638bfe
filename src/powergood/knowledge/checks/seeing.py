"""Rules about what can be found out: every fault by some check, and something by every check."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import ClassVar

from powergood.ids import part_of
from powergood.knowledge.assembly import Assembly
from powergood.knowledge.checks.rule import SEEING, Rule, Scene
from powergood.knowledge.model import Fault
from powergood.knowledge.problems import Problem
from powergood.knowledge.stops import stops


class FaultSeen(Rule):
    """A fault that no check can see can never be found or cleared."""

    id = "fault-seen"
    sentence = "Each fault can be seen by some check, or says in `unseen` why not."
    rests_on: ClassVar[Mapping[str, frozenset[str]]] = SEEING

    def find(self, scene: Scene) -> Iterator[Problem]:
        """Yield each fault that nothing sees, and each `unseen` that is not true."""
        for name, fault in scene.assembly.faults.items():
            profile = scene.sight.profiles[name]
            if not profile and not fault.item.unseen:
                message = f"no check can see `{name}`; {_why_unseen(fault.item)}, or say why in `unseen`"
                yield self.problem(message, fault.where)
            elif profile and fault.item.unseen:
                checks = sorted({check for check, _ in profile})
                message = f"`unseen` is given, but `{checks[0]}` can see this fault; leave it out"
                yield self.problem(message, fault.where.at("unseen"))


def _why_unseen(fault: Fault) -> str:
    if not fault.breaks and not fault.signs:
        return "give it `breaks` or `signs`"
    named = [*fault.breaks, *fault.signs]
    return f"add a check of `{named[0]}`"


class CheckTells(Rule):
    """A check that no fault can move costs minutes and teaches nothing."""

    id = "check-tells"
    sentence = "Each check can be moved by at least one fault."
    rests_on: ClassVar[Mapping[str, frozenset[str]]] = {**SEEING, "faults": frozenset({"breaks", "signs"})}

    def find(self, scene: Scene) -> Iterator[Problem]:
        """Yield each check that tells nothing apart."""
        for name, check in scene.assembly.checks.items():
            if not scene.sight.seen_by[name] and (about := stops(check.item)):
                message = f"`{name}` tells nothing apart: no fault breaks or shows `{about[0].of}`"
                yield self.problem(message, check.where)


class FaultsApart(Rule):
    """Two faults that every check sees alike, and that need different fixes, can only be guessed at."""

    id = "faults-apart"
    severity = "warning"
    sentence = "Some check tells any two faults apart, or one fix cures both."
    rests_on: ClassVar[Mapping[str, frozenset[str]]] = {**SEEING, "fixes": frozenset({"cures", "replaces"})}

    def find(self, scene: Scene) -> Iterator[Problem]:
        """Yield, for each group of faults that look alike, all but the first."""
        alike: dict[object, list[str]] = {}
        for name, fault in scene.assembly.faults.items():
            profile = scene.sight.profiles[name]
            if profile:
                shows = fault.item.shows.value if fault.item.shows else 0.0
                key = (shows, frozenset((which, round(q, 9)) for which, q in profile.items()))
                alike.setdefault(key, []).append(name)
        for first, *others in alike.values():
            for name in others:
                if not _cured_together(scene.assembly, first, name):
                    message = f"no check tells `{name}` from `{first}`, and no one fix cures both"
                    yield self.problem(message, scene.assembly.faults[name].where)


def _cured_together(assembly: Assembly, one: str, other: str) -> bool:
    if part_of(one) == part_of(other) and any(
        fix.item.replaces == part_of(one) for fix in assembly.fixes.values()
    ):
        return True
    return any(one in fix.item.cures and other in fix.item.cures for fix in assembly.fixes.values())


class WantedProvable(Rule):
    """A wanted function is proven by a check of it, so there must be one."""

    id = "wanted-provable"
    severity = "warning"
    sentence = "Each wanted function has a check that can prove it."
    rests_on: ClassVar[Mapping[str, frozenset[str]]] = SEEING

    def find(self, scene: Scene) -> Iterator[Problem]:
        """Yield each wanted function that no check is about."""
        looked_at = {
            name
            for check in scene.assembly.checks.values()
            for stop in stops(check.item)
            for name in scene.sight.closure(stop.of)
        }
        for name, function in scene.assembly.functions.items():
            if function.item.wanted and name not in looked_at:
                yield self.problem(f"`{name}` is wanted, but no check can prove it", function.where)


class RungsFollow(Rule):
    """A ladder asks how far the machine gets, so each rung should need the one before; so with extents."""

    id = "rungs-follow"
    severity = "warning"
    sentence = "Each rung of a ladder, and each extent of a grid, needs what the one before it is about."
    rests_on: ClassVar[Mapping[str, frozenset[str]]] = SEEING

    def find(self, scene: Scene) -> Iterator[Problem]:
        """Yield each rung that does not need the function before it; signs may stand anywhere."""
        functions = scene.assembly.functions
        for name, check in scene.assembly.checks.items():
            before = ""
            for stop in stops(check.item):
                if stop.of not in functions:
                    continue
                needed = scene.sight.closure(stop.of)
                if before and before not in needed:
                    message = f"the rung `{stop.of}` does not need the rung before it, `{before}`"
                    where = scene.assembly.checks[name].where.at(*stop.path)
                    yield self.problem(message, where)
                before = stop.of


RULES: tuple[Rule, ...] = (FaultSeen(), CheckTells(), FaultsApart(), WantedProvable(), RungsFollow())

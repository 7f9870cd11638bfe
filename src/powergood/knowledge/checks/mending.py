"""Rules about mending: every fault has a fix, every fix does something, clusters stay small."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import ClassVar

from powergood.ids import part_of
from powergood.knowledge.checks.rule import Rule, Scene
from powergood.knowledge.cycles import found_circles
from powergood.knowledge.problems import Problem

LARGEST_CLUSTER = 4
"""Faults in one joint cluster, copies counted; larger ones make the exact posterior slow."""


class FaultCured(Rule):
    """A fault that nothing cures leaves a person stuck once it is found."""

    id = "fault-cured"
    sentence = "Each fault is cured by some fix, or its part can be replaced."
    rests_on: ClassVar[Mapping[str, frozenset[str]]] = {"fixes": frozenset({"cures", "replaces"})}

    def find(self, scene: Scene) -> Iterator[Problem]:
        """Yield each fault that no fix cures."""
        fixes = [placed.item for placed in scene.assembly.fixes.values()]
        replaced = {fix.replaces for fix in fixes}
        cured = {name for fix in fixes for name, claim in fix.cures.items() if claim.value > 0}
        for name, fault in scene.assembly.faults.items():
            if name not in cured and part_of(name) not in replaced:
                message = (
                    f"nothing cures `{name}`: add it to a fix's `cures`, or a fix that replaces"
                    f" `{part_of(name)}`"
                )
                yield self.problem(message, fault.where)


class FixDoes(Rule):
    """A fix that cures nothing is not one."""

    id = "fix-does"
    sentence = "Each fix replaces a part or cures a fault."

    def find(self, scene: Scene) -> Iterator[Problem]:
        """Yield each fix that does nothing."""
        for name, fix in scene.assembly.fixes.items():
            if not fix.item.replaces and not any(claim.value > 0 for claim in fix.item.cures.values()):
                message = f"`{name}` does nothing: give the part it `replaces` or the faults it `cures`"
                yield self.problem(message, fix.where)


class ClusterSmall(Rule):
    """Faults that make each other are reckoned jointly, and the joint doubles with each."""

    id = "cluster-small"
    sentence = f"At most {LARGEST_CLUSTER} faults hang together by `makes`, copies of parts counted."
    rests_on: ClassVar[Mapping[str, frozenset[str]]] = {"faults": frozenset({"makes"})}

    def find(self, scene: Scene) -> Iterator[Problem]:
        """Yield each cluster that is too large."""
        faults = scene.assembly.faults
        joined: dict[str, set[str]] = {name: {name} for name in faults}
        for name, fault in faults.items():
            for other in fault.item.makes:
                if other in joined and joined[other] is not joined[name]:
                    joined[name] |= joined[other]
                    for member in joined[name]:
                        joined[member] = joined[name]
        for cluster in {id(members): members for members in joined.values()}.values():
            size = sum(_copies(scene, name) for name in cluster)
            makers = [name for name in cluster if faults[name].item.makes]
            if len(cluster) > 1 and size > LARGEST_CLUSTER:
                named = ", ".join(f"`{name}`" for name in sorted(cluster))
                message = (
                    f"{size} faults hang together by `makes` ({named}); at most {LARGEST_CLUSTER} can:"
                    " leave a link out and say so in `independent`"
                )
                yield self.problem(message, faults[min(makers)].where.at("makes"))


def _copies(scene: Scene, fault: str) -> int:
    part = scene.assembly.parts.get(part_of(fault))
    return part.item.copies if part else 1


class MakesNoCircle(Rule):
    """Of two faults only one can be the other's cause."""

    id = "makes-no-circle"
    sentence = "Faults do not make each other in a circle."
    rests_on: ClassVar[Mapping[str, frozenset[str]]] = {"faults": frozenset({"makes"})}

    def find(self, scene: Scene) -> Iterator[Problem]:
        """Yield each circle of causes."""
        faults = scene.assembly.faults
        for circle in found_circles({name: tuple(fault.item.makes) for name, fault in faults.items()}):
            way = " makes ".join(f"`{name}`" for name in (*circle, circle[0]))
            message = f"these faults make each other in a circle: {way}"
            yield self.problem(message, faults[circle[0]].where.at("makes"))


RULES: tuple[Rule, ...] = (FaultCured(), FixDoes(), ClusterSmall(), MakesNoCircle())

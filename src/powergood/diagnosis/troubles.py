"""Small troubles as the literature states them: worlds, actions that cure, questions that tell, openings.

A plan for one tries *actions*, which cure faults, and asks *questions*, which only tell. It ends when the
machine works, or with *service*: giving the rest to somebody else, at a price. Each action and question is
used at most once. A step behind openings (`Cluster`) pays for those still shut; nothing is shut again.

References
----------
Observing a part before repairing it, and the service call: Heckerman, Breese, Rommelse, "Decision-theoretic
troubleshooting", Communications of the ACM, 1995. Questions beside actions: Jensen, Kjærulff, Kristiansen,
Langseth, Skaanning, Vomlel, Vomlelová, "The SACSO methodology for troubleshooting complex systems", AI EDAM,
2001.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from typing import TypeAlias

Faults: TypeAlias = frozenset[str]

TEST = "test"
SERVICE = "service"
"""The names of the two steps that every trouble may have: a system test by itself, and giving up."""


@dataclass(frozen=True, slots=True)
class World:
    """One possibility: the faults that are present, and its chance."""

    faults: Faults
    chance: float


@dataclass(frozen=True, slots=True)
class Action:
    """Something that cures: each fault in `cures` with its chance, independently.

    `cost` is paid whenever it is tried, `on_cure` on top when it did cure something (look first, then
    repair). With `tested` the cost includes finding out whether the machine works now.
    """

    name: str
    cost: float
    cures: Mapping[str, float]
    on_cure: float = 0.0
    cluster: str = ""
    tested: bool = True


@dataclass(frozen=True, slots=True)
class Question:
    """Something that only tells: `chances` gives the chance of each answer under a set of faults."""

    name: str
    cost: float
    chances: Callable[[Faults], Mapping[str, float]]
    cluster: str = ""


@dataclass(frozen=True, slots=True)
class Cluster:
    """An opening: what lies in it can be reached once it and all it is `behind` are open."""

    name: str
    cost: float
    behind: str = ""


@dataclass(frozen=True, slots=True)
class Trouble:
    """A troubleshooting problem. Chances of `worlds` sum to one; a world without faults costs nothing: divide
    an expected cost by the chance of the others for the cost given that the machine fails.

    `service` is the cost of giving up (None: there is no one to give it to, and a plan goes on until every
    action has been tried). `test` is the cost of a system test by itself, for actions that include none. With
    `proves` a plan that does not end with service must end with a test that the machine passes.
    """

    worlds: tuple[World, ...]
    actions: tuple[Action, ...]
    questions: tuple[Question, ...] = ()
    clusters: tuple[Cluster, ...] = ()
    service: float | None = None
    test: float | None = None
    proves: bool = False


def single(chances: Mapping[str, float]) -> tuple[World, ...]:
    """Return the worlds in which exactly one fault is present, with the given chances."""
    return tuple(World(frozenset({fault}), chance) for fault, chance in chances.items())


def independent(chances: Mapping[str, float]) -> tuple[World, ...]:
    """Return the worlds of independent faults: 2**n of them, the one without faults included."""
    worlds = [World(frozenset(), 1.0)]
    for fault, chance in chances.items():
        without = [World(world.faults, world.chance * (1 - chance)) for world in worlds]
        with_it = [World(world.faults | {fault}, world.chance * chance) for world in worlds]
        worlds = [world for world in (*without, *with_it) if world.chance > 0]
    return tuple(worlds)


def splitting(name: str, cost: float, faults: Iterable[str], cluster: str = "") -> Question:
    """Return a question that is answered `yes` for sure when any of `faults` is present, else `no`."""
    return noisy(name, cost, dict.fromkeys(faults, 1.0), cluster=cluster)


def noisy(
    name: str, cost: float, strengths: Mapping[str, float], leak: float = 0.0, cluster: str = ""
) -> Question:
    """Return a noisy-OR question: each present fault makes it say `yes` with its strength, or the leak."""

    def chances(faults: Faults) -> Mapping[str, float]:
        quiet = 1.0 - leak
        for fault in faults & strengths.keys():
            quiet *= 1.0 - strengths[fault]
        return {"yes": 1.0 - quiet, "no": quiet}

    return Question(name, cost, chances, cluster)

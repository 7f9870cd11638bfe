"""Generated machines for the benchmarks: sizes as asked, everything drawn from a seed, nothing real."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import TypeAlias

import numpy as np
from numpy.random import Generator

from powergood.diagnosis.clusters import single_clusters
from powergood.diagnosis.compiled import (
    BaseSpec,
    CheckSpec,
    CompiledModel,
    FaultSpec,
    FixSpec,
    Link,
    OpeningSpec,
    Price,
    RungSpec,
)
from powergood.record.model import Body, Draft, Fact
from powergood.record.timeline import Timeline, timeline

WANTED = 3


Said: TypeAlias = Body | Draft
"""A fact; as a draft where it says at which start something was seen."""


def line_of(facts: Sequence[Said]) -> Timeline:
    """Return the timeline of these facts, in order."""
    drafts = (each if isinstance(each, Draft) else Draft(each, key="") for each in facts)
    return timeline(Fact(n, "", replace(each, key=str(n))) for n, each in enumerate(drafts, start=1))


def machine(
    seed: int,
    *,
    faults: int = 80,
    checks: int = 80,
    openings: int = 0,
    moody: float = 0.0,
    breaks_all: bool = False,
) -> CompiledModel:
    """Return a machine of independent faults, each check seeing 3 to 10 of them.

    Priors are log-uniform from 0.003 to 0.1; a share `moody` of the faults is intermittent. The first
    three checks are of functions that are wanted. `openings` make a tree; checks and fixes lie behind. With
    `breaks_all` every fault stops the first function for sure: its failing says nothing of where to look.
    """
    g = np.random.default_rng(seed)
    bases = tuple(
        BaseSpec(f"b{n}", f"base {n}", "a", wanted=n < WANTED, is_sign=n >= WANTED) for n in range(checks)
    )
    links: list[list[Link]] = [[] for _ in range(faults)]
    shows = [float(g.uniform(0.3, 0.8)) if g.random() < moody else 0.0 for _ in range(faults)]
    for base in range(checks):
        if breaks_all and base == 0:
            for own in links:
                own.append(Link(base, 1.0))
            continue
        for fault in g.choice(faults, int(g.integers(3, 11)), replace=False):
            strength = 1.0 if shows[fault] and base < WANTED else float(g.uniform(0.3, 1.0))
            links[fault].append(Link(base, strength))
    specs = tuple(
        FaultSpec(
            id=f"p{n}.m",
            slot=f"p{n}",
            area="a",
            title=f"fault {n}",
            prior=float(np.exp(g.uniform(np.log(0.003), np.log(0.1)))),
            links=tuple(links[n]),
            shows=shows[n],
        )
        for n in range(faults)
    )
    tree = _openings(g, openings)
    return CompiledModel(
        family="generated",
        digest="",
        faults=specs,
        clusters=single_clusters(specs),
        bases=bases,
        checks={f"c{n}": _check(g, n, tree) for n in range(checks)},
        fixes={f"x{n}": _fix(g, n, tree) for n in range(faults)},
        openings=tree,
        gates=(),
        complaints={},
        area_titles={"a": "A"},
        part_titles={},
        slots=tuple(f"p{n}" for n in range(faults)),
        base_index={base.id: n for n, base in enumerate(bases)},
    )


def _openings(g: Generator, count: int) -> dict[str, OpeningSpec]:
    made: dict[str, OpeningSpec] = {}
    for number in range(count):
        parent = f"o{int(g.integers(0, number))}" if number and g.random() < 0.7 else ""
        behind = made[parent].behind | {parent} if parent else frozenset()
        minutes = float(g.uniform(1, 12))
        made[f"o{number}"] = OpeningSpec(
            f"o{number}", f"opening {number}", minutes, 1.2 * minutes, 0.0, behind
        )
    return made


def _behind(g: Generator, openings: dict[str, OpeningSpec], chance: float) -> frozenset[str]:
    if not openings or g.random() > chance:
        return frozenset()
    return frozenset({f"o{int(g.integers(0, len(openings)))}"})


def _check(g: Generator, number: int, openings: dict[str, OpeningSpec]) -> CheckSpec:
    return CheckSpec(
        id=f"c{number}",
        check=f"c{number}",
        copy=0,
        ask=f"Look at {number}",
        rungs=(RungSpec(number, "bad", "bad"),),
        all_good="good",
        leak=0.02,
        no_verdict=0.0,
        price=Price(float(g.uniform(2, 20))),
        power="on",
        open=_behind(g, openings, 0.5) if number >= WANTED else frozenset(),
        closed=frozenset(),
        masked=frozenset(),
        fitted=frozenset(),
    )


def _fix(g: Generator, number: int, openings: dict[str, OpeningSpec]) -> FixSpec:
    return FixSpec(
        id=f"x{number}",
        fix=f"x{number}",
        ask=f"Replace {number}",
        kind="replace",
        slot=f"p{number}",
        cures={number: 1.0},
        dud=0.05,
        disturbs={},
        price=Price(float(g.uniform(5, 60))),
        open=_behind(g, openings, 0.8),
    )

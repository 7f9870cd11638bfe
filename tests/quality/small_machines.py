"""Small generated machines whose best plan can be found by exhaustive search, and the cost of ours on them.

Each has a few faults that all stop one function, checks of signs that some of them show, fixes of one or two
faults, and nested openings that cost time to open and to close. Everything is drawn; nothing is real.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace
from itertools import product

import numpy as np
from numpy.random import Generator

from powergood.diagnosis import Preferences, advise
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
from powergood.diagnosis.troubles import Action, Cluster, Trouble, independent, noisy
from powergood.record.model import Body, Draft, Fact, Finding, FixDone, JobOpened
from powergood.record.timeline import Timeline, timeline

WORKS = 0
"""The base that stands for the one function wanted; its check never lies."""

BARE = Preferences(hour=60.0, wait_hour=0.0, start=0.0, noting=0.0)
"""The exhaustive search knows no starts and no noting: here they cost nothing."""

Worlds = dict[frozenset[int], float]


@dataclass(frozen=True)
class Small:
    """A small machine as the engine sees it and as the exhaustive search sees it."""

    model: CompiledModel
    trouble: Trouble
    preferences: Preferences
    strengths: tuple[dict[int, float], ...]
    leak: float


def line_of(bodies: Iterable[Body]) -> Timeline:
    """Return the timeline of these facts, in order."""
    return timeline(Fact(n, "", Draft(body, key=str(n))) for n, body in enumerate(bodies, start=1))


def small_machine(seed: int, faults: int = 4, checks: int = 4, openings: int = 3) -> Small:
    """Return the machine drawn from `seed`."""
    g = np.random.default_rng(seed)
    priors = g.uniform(0.05, 0.4, faults)
    strengths = tuple(
        {f: float(g.choice([1.0, 0.9, 0.7])) for f in range(faults) if g.random() < 0.45}
        for _ in range(checks)
    )
    leak = float(g.choice([0.0, 0.05]))
    specs, clusters = _openings(g, openings)
    test = float(g.uniform(1, 5))
    asked = [(f"c{n}", float(g.uniform(1, 15)), _where(g, openings)) for n in range(checks)]
    mended = [(f"x{f}", (f,), float(g.uniform(5, 40)), _where(g, openings)) for f in range(faults)]
    if g.random() < 0.6:
        two = tuple(int(f) for f in g.choice(faults, 2, replace=False))
        mended.append(("both", two, float(g.uniform(15, 50)), _where(g, openings)))
    worth = float(g.uniform(80, 250))
    trouble = Trouble(
        worlds=independent({f"f{f}": float(priors[f]) for f in range(faults)}),
        actions=tuple(
            Action(name, cost, {f"f{f}": 1.0 for f in cures}, cluster=where, tested=False)
            for name, cures, cost, where in mended
        ),
        questions=tuple(
            noisy(name, cost, {f"f{f}": q for f, q in strengths[n].items()}, leak, where)
            for n, (name, cost, where) in enumerate(asked)
        ),
        clusters=clusters,
        service=worth,
        test=test,
        proves=True,
    )
    model = _model(priors, strengths, leak, specs, test, asked, mended)
    return Small(model, trouble, replace(BARE, worth=worth), strengths, leak)


def _where(g: Generator, openings: int) -> str:
    return f"o{int(g.integers(0, openings))}" if g.random() < 0.6 else ""


def _openings(g: Generator, count: int) -> tuple[dict[str, OpeningSpec], tuple[Cluster, ...]]:
    specs: dict[str, OpeningSpec] = {}
    clusters = []
    for number in range(count):
        parent = "" if number == 0 or g.random() < 0.4 else f"o{int(g.integers(0, number))}"
        behind = specs[parent].behind | {parent} if parent else frozenset()
        minutes = float(g.uniform(3, 15))
        name = f"o{number}"
        specs[name] = OpeningSpec(name, name, minutes, 0.8 * minutes, 0.0, behind)
        clusters.append(Cluster(name, 1.8 * minutes, parent))
    return specs, tuple(clusters)


def _model(priors, strengths, leak, openings, test, asked, mended) -> CompiledModel:  # type: ignore[no-untyped-def]
    count = len(priors)
    faults = tuple(
        FaultSpec(
            id=f"p{f}.f{f}",
            slot=f"p{f}",
            area="a",
            title=f"fault {f}",
            prior=float(priors[f]),
            links=(
                Link(WORKS, 1.0),
                *(Link(n + 1, of[f]) for n, of in enumerate(strengths) if f in of),
            ),
        )
        for f in range(count)
    )
    signs = [BaseSpec(f"s{n}", f"s{n}", "a", is_sign=True) for n in range(len(strengths))]
    bases = (BaseSpec("works", "works", "a", wanted=True), *signs)
    checks = {"test": _check("test", WORKS, 0.0, test, "")}
    for n, (name, cost, where) in enumerate(asked):
        checks[name] = _check(name, n + 1, leak, cost, where)
    fixes = {
        name: FixSpec(
            id=name,
            fix=name,
            ask=name,
            kind="repair",
            slot="",
            cures=dict.fromkeys(cures, 1.0),
            dud=0.0,
            disturbs={},
            price=Price(cost),
            open=frozenset({where} - {""}),
        )
        for name, cures, cost, where in mended
    }
    return CompiledModel(
        family="small",
        digest="",
        faults=faults,
        clusters=single_clusters(faults),
        bases=bases,
        checks=checks,
        fixes=fixes,
        openings=openings,
        gates=(),
        complaints={},
        area_titles={"a": "A"},
        part_titles={},
        slots=tuple(f"p{f}" for f in range(count)),
        base_index={base.id: number for number, base in enumerate(bases)},
    )


def _check(name: str, base: int, leak: float, cost: float, where: str) -> CheckSpec:
    return CheckSpec(
        id=name,
        check=name,
        copy=0,
        ask=name,
        rungs=(RungSpec(base, "bad", "bad"),),
        all_good="good",
        leak=leak,
        no_verdict=0.0,
        price=Price(cost),
        power="on" if base == WORKS else "off",
        open=frozenset({where} - {""}),
        closed=frozenset(),
        masked=frozenset(),
        fitted=frozenset(),
    )


def cost_of_advice(small: Small) -> float:
    """Return the expected cost of following the first advised step to the end, given that it does not work.

    Exact: every outcome of every step is followed with its chance.
    """
    priors = [fault.prior for fault in small.model.faults]
    worlds: Worlds = {}
    for bits in product((False, True), repeat=len(priors)):
        present = frozenset(f for f, there in enumerate(bits) if there)
        if present:
            chances = [p if there else 1 - p for p, there in zip(priors, bits, strict=True)]
            worlds[present] = float(np.prod(chances))
    total = sum(worlds.values())
    start: list[Body] = [JobOpened("x", ("works",)), Finding("test", "bad")]
    return _rest(small, start, {w: p / total for w, p in worlds.items()}, frozenset())


def _rest(small: Small, bodies: list[Body], worlds: Worlds, opened: frozenset[str]) -> float:
    mass = sum(worlds.values())
    if mass < 1e-7:
        return 0.0
    advice = advise(small.model, line_of(bodies), small.preferences)
    refit = sum(small.model.openings[name].refit for name in opened)
    if advice.done:
        return mass * refit
    step = advice.steps[0]
    if step.kind == "stop" or len(bodies) > 30:
        return mass * (small.preferences.worth + refit)
    now = opened | set(step.opens)
    paid = mass * step.minutes
    if step.kind == "fix":
        cured = set(small.model.fixes[step.step].cures)
        left: Worlds = {}
        for world, chance in worlds.items():
            left[world - cured] = left.get(world - cured, 0.0) + chance
        return paid + _rest(small, [*bodies, FixDone(step.step)], left, now)
    for outcome in ("bad", "good"):
        seen = {w: p * _chance(small, step.step, outcome, w) for w, p in worlds.items()}
        seen = {w: p for w, p in seen.items() if p > 0}
        if seen:
            paid += _rest(small, [*bodies, Finding(step.step, outcome)], seen, now)
    return paid


def _chance(small: Small, check: str, outcome: str, world: frozenset[int]) -> float:
    if check == "test":
        bad = 1.0 if world else 0.0
    else:
        quiet = 1.0 - small.leak
        for fault in world:
            quiet *= 1.0 - small.strengths[int(check[1:])].get(fault, 0.0)
        bad = 1.0 - quiet
    return bad if outcome == "bad" else 1.0 - bad

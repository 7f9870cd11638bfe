"""The stated cost that no plan can average below: never above the best plan, near it on small machines.

The best plan is found by exhaustive search (`exact`), which asks each question at most once. On some two
hundred machines, larger ones among them, the same is measured in `benchmarks/near_best.py`.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from itertools import product

import numpy as np
import pytest
from small_machines import Small, cost_of_advice, line_of, small_machine

from powergood.diagnosis import advise, tightened
from powergood.diagnosis.exact import optimum
from powergood.diagnosis.tightened import LEVELS
from powergood.diagnosis.troubles import World
from powergood.record.model import Body, Finding, JobOpened, PartOut

START: tuple[Body, ...] = (JobOpened("x", ("works",)), Finding("test", "bad"))
LARGE = [(seed, 4, 4, 3) for seed in range(4000, 4005)]
SMALL = [(seed, 3, 3, 2) for seed in range(4200, 4208)]
"""Seed, faults, checks, openings. On a large one the bound stays below the best plan; on a small one it
reaches it, or nearly, so that the least that is counted too high shows."""


def worlds_after(small: Small, seen: dict[int, str]) -> list[World]:
    """Return the worlds after the test failed and some questions were answered, with what weighs each."""
    worlds = []
    for world in small.trouble.worlds:
        chance = world.chance if world.faults else 0.0
        for number, outcome in seen.items():
            quiet = 1.0 - small.leak
            for fault, strength in small.strengths[number].items():
                quiet *= 1.0 - strength * (f"f{fault}" in world.faults)
            chance *= quiet if outcome == "good" else 1.0 - quiet
        worlds.append(World(world.faults, chance))
    return worlds


def best(small: Small, seen: dict[int, str]) -> float:
    """Return the least expected cost after the test failed and some questions were answered.

    What was opened for those is open, and must be closed in the end.
    """
    worlds = worlds_after(small, seen)
    total = sum(world.chance for world in worlds)
    asked = {f"c{number}" for number in seen}
    model = small.model
    opened = frozenset[str]().union(*(model.whole_opening(model.checks[name].open) for name in asked))
    left = replace(
        small.trouble,
        worlds=tuple(World(world.faults, world.chance / total) for world in worlds),
        questions=tuple(each for each in small.trouble.questions if each.name not in asked),
        clusters=tuple(
            replace(each, cost=0.0) if each.name in opened else each for each in small.trouble.clusters
        ),
    )
    return optimum(left).cost + sum(model.openings[name].refit for name in opened)


@dataclass(frozen=True)
class Bounded:
    """A machine after the test alone: its best plan, and the bounds after the work of each level."""

    small: Small
    least: float
    bounds: list[float]


@pytest.fixture(scope="module")
def bounded() -> list[Bounded]:
    """The machines; the work of the levels before is not done again for a level."""
    found = []
    for seed, faults, checks, openings in (*LARGE, *SMALL):
        small = small_machine(seed, faults, checks, openings)
        bounds: list[float] = []
        for each in range(len(LEVELS) + 1):
            alone = tightened(
                small.model, line_of(START), small.preferences, level=each, above=max(each - 1, 0)
            )
            bounds.append(max([alone, *bounds[-1:]]))
        found.append(Bounded(small, best(small, {}), bounds))
    return found


def test_no_level_is_above_the_best_plan(bounded: list[Bounded]) -> None:
    for each in bounded:
        assert 0 < max(each.bounds) <= each.least + 1e-6


def test_each_level_is_at_least_as_high_as_the_one_before(bounded: list[Bounded]) -> None:
    for each in bounded[-5:]:
        small = each.small
        whole = [
            tightened(small.model, line_of(START), small.preferences, level=level)
            for level in range(len(LEVELS) + 1)
        ]
        assert whole == sorted(whole)
        assert whole == each.bounds, "the greater of the one below and the work of a level alone"
    for each in bounded:
        at_once = advise(each.small.model, line_of(START), each.small.preferences).at_least
        assert each.bounds[0] == pytest.approx(at_once)


def test_the_last_level_is_within_a_tenth_of_the_best_plan_on_average(bounded: list[Bounded]) -> None:
    assert np.mean([each.bounds[-1] / each.least - 1 for each in bounded[: len(LARGE)]]) >= -0.1


def test_on_small_machines_the_last_level_all_but_reaches_the_best_plan(bounded: list[Bounded]) -> None:
    assert np.mean([each.bounds[-1] / each.least - 1 for each in bounded[len(LARGE) :]]) >= -0.01


def test_what_following_the_advice_costs_is_never_below_the_bound(bounded: list[Bounded]) -> None:
    for each in (*bounded[:2], *bounded[-6:]):
        assert cost_of_advice(each.small) >= max(each.bounds) - 1e-6


@pytest.mark.parametrize(
    ("seed", "faults", "checks"),
    [(4100, 4, 4), (4101, 4, 4), (4102, 4, 4), *((seed, 3, 3) for seed in range(4106, 4115))],
)
def test_findings_that_only_perhaps_show_a_fault_do_not_lift_the_bound_too_high(
    seed: int, faults: int, checks: int
) -> None:
    small = small_machine(seed, faults, checks)
    for outcomes in product(("bad", "good"), repeat=2):
        seen = dict(enumerate(outcomes))
        if not any(world.chance for world in worlds_after(small, seen)):
            continue  # no such machine shows this
        bodies = (*START, *(Finding(f"c{number}", outcome) for number, outcome in seen.items()))
        bound = tightened(small.model, line_of(bodies), small.preferences)
        assert bound <= best(small, seen) + 1e-6


def test_with_a_part_out_only_the_bound_said_at_once_stands() -> None:
    small = small_machine(4000)
    bodies = (*START, PartOut("p0", "p0"))
    at_once = tightened(small.model, line_of(bodies), small.preferences, level=0)
    assert tightened(small.model, line_of(bodies), small.preferences) == at_once
    assert tightened(small.model, line_of(START), small.preferences) > at_once


def test_a_level_that_there_is_not_is_refused() -> None:
    small = small_machine(4000)
    with pytest.raises(ValueError, match="choose 0 to"):
        tightened(small.model, line_of(START), small.preferences, level=len(LEVELS) + 1)

"""The stated cost that no plan can average below: never above the best plan, near it on small machines.

The best plan is found by exhaustive search (`exact`), which asks each question at most once.
"""

from __future__ import annotations

from dataclasses import replace
from itertools import product

import numpy as np
import pytest
from small_machines import Small, cost_of_advice, line_of, small_machine

from powergood.diagnosis import advise, tightened
from powergood.diagnosis.exact import World, optimum
from powergood.diagnosis.tightened import LEVELS
from powergood.record.model import Body, Finding, JobOpened, PartOut

START: tuple[Body, ...] = (JobOpened("x", ("works",)), Finding("test", "bad"))
SEEDS = range(4000, 4020)


def best(small: Small, seen: dict[int, str]) -> float:
    """Return the least expected cost after the test failed and some questions were answered.

    What was opened for those is open, and must be closed in the end.
    """
    worlds = []
    for world in small.trouble.worlds:
        chance = world.chance if world.faults else 0.0
        for number, outcome in seen.items():
            quiet = 1.0 - small.leak
            for fault, strength in small.strengths[number].items():
                quiet *= 1.0 - strength * (f"f{fault}" in world.faults)
            chance *= quiet if outcome == "good" else 1.0 - quiet
        worlds.append(World(world.faults, chance))
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


@pytest.fixture(scope="module")
def first() -> list[tuple[Small, float, list[float]]]:
    """Return machines, their best plans, and the bounds at each level, after the test alone."""
    found = []
    for seed in SEEDS:
        small = small_machine(seed)
        levels = range(len(LEVELS) + 1)
        bounds = [tightened(small.model, line_of(START), small.preferences, level=each) for each in levels]
        found.append((small, best(small, {}), bounds))
    return found


def test_no_level_is_above_the_best_plan(first: list[tuple[Small, float, list[float]]]) -> None:
    for _, least, bounds in first:
        assert 0 < max(bounds) <= least + 1e-6


def test_each_level_is_at_least_as_high_as_the_one_before(
    first: list[tuple[Small, float, list[float]]],
) -> None:
    for small, _, bounds in first:
        assert bounds == sorted(bounds)
        assert bounds[0] == pytest.approx(advise(small.model, line_of(START), small.preferences).at_least)


def test_the_last_level_is_within_a_tenth_of_the_best_plan_on_average(
    first: list[tuple[Small, float, list[float]]],
) -> None:
    assert np.mean([bounds[-1] / least - 1 for _, least, bounds in first]) >= -0.1


def test_what_following_the_advice_costs_is_never_below_the_bound(
    first: list[tuple[Small, float, list[float]]],
) -> None:
    for small, _, bounds in first[:8]:
        assert cost_of_advice(small) >= max(bounds) - 1e-6


@pytest.mark.parametrize("seed", range(4100, 4112))
def test_findings_that_only_perhaps_show_a_fault_do_not_lift_the_bound_too_high(seed: int) -> None:
    small = small_machine(seed)
    for outcomes in product(("bad", "good"), repeat=2):
        seen = dict(enumerate(outcomes))
        if small.leak == 0 and any(o == "bad" and not small.strengths[n] for n, o in seen.items()):
            continue
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

"""A fix that as good as certainly mends is not put off by a look that cannot repay what it costs."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from machines import fault, fix, ladder, line_of, machine, yes_no

from powergood.diagnosis import Preferences
from powergood.diagnosis.belief import believe
from powergood.diagnosis.choosing import preferred
from powergood.diagnosis.compiled import BaseSpec, Price
from powergood.diagnosis.lookahead import Lookahead, Node
from powergood.diagnosis.plan import Plan, plan
from powergood.diagnosis.samples import draw_samples
from powergood.diagnosis.scores import Scored
from powergood.diagnosis.worth import Worth
from powergood.record.model import Finding, JobOpened

FIX_COST = 40.0


def standing(chance: float, look_cost: float, fix_cost: float) -> tuple[Lookahead, Node]:
    """Return where a job on a machine stands that has one fault, a look and a fix."""
    model = machine(
        [fault("dead", "s", chance, {0: 1.0})],
        [BaseSpec("works", "works", "a", wanted=True)],
        [replace(yes_no("test", 0, 0.0), price=Price(look_cost))],
        [replace(fix("mend", cures={0: 1.0}), price=Price(fix_cost))],
    )
    held = believe(model, line_of(JobOpened("x", ("works",))))
    worth = Worth.of(model, Preferences(), ["works"], frozenset())
    fixes = tuple(model.fixes.values())
    look = Lookahead(worth, draw_samples(held, 2000), tuple(model.checks.values()), fixes, frozenset())
    return look, look.root(frozenset(), frozenset({0}), frozenset())


def chosen_at(chance: float, look_cost: float, saved: float) -> str:
    """Return what is preferred where the plan that begins with a look seems to save `saved` minutes."""
    look, root = standing(chance, look_cost, FIX_COST)
    firsts = [Scored("test", "check", 100.0, look_cost), Scored("mend", "fix", 100.0, FIX_COST)]
    spent = np.full(root.weights.size, 100.0)
    return firsts[preferred(look, root, firsts, [spent - saved, spent])].step


@pytest.mark.parametrize(
    ("chance", "look_cost", "saved", "step"),
    [
        (0.97, 1.0, 10.0, "mend"),  # at most 0.03 · 40 · 0.5 minutes can be spared
        (0.97, 0.2, 10.0, "test"),  # which repays a look of a few seconds
        (0.97, 0.2, 0.0, "mend"),  # unless the two come to the same
        (0.7, 1.0, 10.0, "test"),  # the fix may well be in vain
    ],
)
def test_what_a_look_could_spare_decides(chance: float, look_cost: float, saved: float, step: str) -> None:
    assert chosen_at(chance, look_cost, saved) == step


def with_one_part_for_all(price: float) -> Plan:
    """Return the plan where eight faults have fixes of 20 minutes, and one part at `price` mends them all.

    A look of 10 minutes tells which fault it is. The machine does not work.
    """
    faults = [fault(f"f{n}", f"s{n}", 0.08, {0: 1.0, n + 1: 1.0}) for n in range(8)]
    signs = [BaseSpec(f"b{n}", f"b{n}", "a") for n in range(8)]
    works = replace(yes_no("works", 0, 0.0), price=Price(1.0))
    which = replace(ladder("which", list(range(1, 9)), 0.0), price=Price(10.0))
    cheap = [replace(fix(f"mend{n}", cures={n: 1.0}), price=Price(20.0)) for n in range(8)]
    whole = replace(fix("whole", cures=dict.fromkeys(range(8), 1.0)), price=Price(price))
    model = machine(
        faults, [BaseSpec("works", "works", "a", wanted=True), *signs], [works, which], [*cheap, whole]
    )
    held = believe(model, line_of(JobOpened("x", ("works",)), Finding("works", "bad")))
    worth = Worth.of(model, Preferences(worth=1000.0), ["works"], frozenset())
    fixes, checks = tuple(model.fixes.values()), tuple(model.checks.values())
    look = Lookahead(worth, draw_samples(held, 3000), checks, fixes, frozenset())
    return plan(look, look.root(frozenset(), frozenset({0}), frozenset()))


@pytest.mark.parametrize("price", [120.0, 200.0])
def test_a_dear_part_that_surely_mends_is_no_reason_not_to_look_what_would_be_enough(price: float) -> None:
    found = with_one_part_for_all(price)
    assert found.steps[0].step == "which"
    assert found.total < 60.0  # the look, about one fix in twenty minutes, and the proof


def test_a_part_that_costs_no_more_than_the_others_is_fitted_without_a_look() -> None:
    assert with_one_part_for_all(20.0).steps[0].step == "whole"


@pytest.mark.parametrize(("minutes", "step"), [(2.0, "mend"), (12.0, "test")])
def test_a_quick_fix_that_may_well_mend_is_tried_as_readily_as_a_look(minutes: float, step: str) -> None:
    """The plan that begins with the fix seems cheaper, by one standard error of the difference."""
    look, root = standing(0.3, 1.0, minutes)
    firsts = [Scored("test", "check", 100.0, 1.0), Scored("mend", "fix", 100.0, minutes)]
    spread = np.where(np.arange(root.weights.size) % 2, 1.0, -1.0)
    saved = look.samples.error(root.weights, spread) + spread
    spent = np.full(root.weights.size, 100.0)
    assert firsts[preferred(look, root, firsts, [spent, spent - saved])].step == step

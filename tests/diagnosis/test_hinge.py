"""Which number the first step hangs on, on machines where that can be worked out by hand."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from machines import fix, line_of, machine, yes_no

from powergood.diagnosis import Advice, Preferences, advise
from powergood.diagnosis.belief import belief, believe
from powergood.diagnosis.compiled import BaseSpec, FaultSpec, Link, Price
from powergood.diagnosis.gathering import gather
from powergood.diagnosis.hinge import _links
from powergood.diagnosis.lookahead import Lookahead
from powergood.diagnosis.samples import draw_samples
from powergood.diagnosis.worth import Worth
from powergood.record.model import Finding, JobOpened


def two_suspects(second: float, *, dear: float = 30.0) -> Advice:
    """Return the advice on a dead function with two suspects, the first at even odds, and a fix for each."""
    faults = [
        FaultSpec("a.dead", "a", "a", "one", 0.5, (Link(0, 1.0),)),
        FaultSpec("b.dead", "b", "a", "other", second, (Link(0, 1.0),)),
    ]
    bases = [BaseSpec("works", "works", "a", wanted=True)]
    fixes = [replace(fix(f"mend-{n}", cures={n: 1.0}), price=Price(dear)) for n in range(2)]
    model = machine(faults, bases, [replace(yes_no("test", 0, 0.001), price=Price(2.0))], fixes)
    line = line_of(JobOpened("x", ("works",)), Finding("test", "bad"))
    return advise(model, line, Preferences(hour=60.0, worth=1000.0))


def test_near_even_suspects_hang_on_their_chances() -> None:
    advice = two_suspects(0.4)
    first, other = "mend-0", "mend-1"
    assert advice.steps[0].step == first
    assert advice.hinge is not None
    assert advice.hinge.step == other
    assert (advice.hinge.fault, advice.hinge.odds > 1) in {("a.dead", False), ("b.dead", True)}
    assert advice.hinge.saves > 1


def test_what_is_saved_is_what_the_other_order_saves_with_the_other_number() -> None:
    # With both fixes at 32 minutes, test included, the wrong order costs 32 more where only one is broken.
    advice = two_suspects(0.4)
    assert advice.hinge is not None
    odds = 3.0 if advice.hinge.odds > 1 else 1 / 3
    a, b = 0.5, 0.4
    weight = {(1, 0): a * (1 - b), (0, 1): (1 - a) * b, (1, 1): a * b}
    place = 0 if advice.hinge.fault == "a.dead" else 1
    weight = {world: chance * (odds if world[place] else 1.0) for world, chance in weight.items()}
    saved = 32.0 * (weight[0, 1] - weight[1, 0]) / sum(weight.values())
    assert advice.hinge.saves == pytest.approx(saved, abs=2.5)


def test_a_clear_first_step_hangs_on_nothing() -> None:
    assert two_suspects(0.02).hinge is None


def test_a_link_is_a_number_too() -> None:
    """Samples drawn with one strength and weighed for another are as if drawn with the other."""
    model = machine(
        [FaultSpec("a.dead", "a", "a", "one", 0.5, (Link(0, 0.4),))],
        [BaseSpec("works", "works", "a", wanted=True)],
        [yes_no("test", 0, 0.1)],
        [fix("mend", cures={0: 1.0})],
    )
    line = line_of(JobOpened("x", ("works",)), Finding("test", "bad"))
    found = gather(model, line)
    drawn = draw_samples(belief(model, found), 40_000)
    worth = Worth.of(model, Preferences(), ["works"], frozenset())
    look = Lookahead(worth, drawn, (), tuple(model.fixes.values()), frozenset())
    root = look.root(frozenset(), frozenset({0}), frozenset())
    others, counts = _links(look, root, np.array([0]))
    at = next(n for n, each in enumerate(others) if each.strength == pytest.approx(0.6))
    weights = root.weights * counts[at]
    stronger = replace(model, faults=(replace(model.faults[0], links=(Link(0, 0.6),)),))
    exact = believe(stronger, line).now()[0]
    assert weights @ root.present[:, 0] / weights.sum() == pytest.approx(exact, abs=0.01)

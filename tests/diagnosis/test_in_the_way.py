"""Suspects stand in the way of something wanted; what is likely but breaks nothing wanted is told apart."""

from __future__ import annotations

from dataclasses import replace

import pytest
from machines import fix, line_of, machine, yes_no

from powergood.bench.library import Library
from powergood.diagnosis import Advice, advise, beside_the_way, compile_model, in_the_way
from powergood.diagnosis.compiled import BaseSpec, FaultSpec, Link
from powergood.packs import builtin_pack
from powergood.record.model import JobOpened
from powergood.record.timeline import Timeline


@pytest.fixture(scope="module")
def advice() -> Advice:
    """Advice on a laptop of which nothing is known."""
    return advise(compile_model(Library((builtin_pack(),)).known("brenlund-n480").model), Timeline())


def test_no_fault_stands_both_in_the_way_and_beside_it(advice: Advice) -> None:
    ways = [{each.fault for each in found} for found in (in_the_way(advice), beside_the_way(advice))]
    assert all(ways)
    assert not ways[0] & ways[1]


def test_both_are_in_the_order_of_the_chance_they_show(advice: Advice) -> None:
    for found in (in_the_way(advice), beside_the_way(advice)):
        chances = [round(each.chance, 12) for each in found]
        assert chances == sorted(chances, reverse=True)


def test_a_fault_in_the_way_breaks_something_wanted_more_often_than_not(advice: Advice) -> None:
    assert all(each.breaks >= each.chance / 2 > 0 for each in in_the_way(advice))
    assert all(each.breaks < each.chance / 2 for each in beside_the_way(advice))


def test_where_nothing_is_wanted_every_fault_is_a_suspect(advice: Advice) -> None:
    aimless = replace(advice, functions=())
    assert in_the_way(aimless) == aimless.faults
    assert beside_the_way(aimless) == ()


def test_each_fault_names_a_fix_that_the_machine_has(advice: Advice) -> None:
    fixes = compile_model(Library((builtin_pack(),)).known("brenlund-n480").model).fixes
    named = {each.fault: each.mended_by for each in advice.faults if each.mended_by}
    assert named["clock-cell.flat"] == "replace-clock-cell"
    assert set(named.values()) <= set(fixes)


@pytest.mark.parametrize(("wanted", "left"), [(("works",), {"a"}), (("works", "keeps-time"), {"a", "cell"})])
def test_what_an_answer_would_leave_suspect_is_in_the_way_of_what_is_wanted(
    wanted: tuple[str, ...], left: set[str]
) -> None:
    faults = [
        FaultSpec("a.dead", "a", "a", "Dead", 0.3, (Link(0, 1.0),)),
        FaultSpec("cell.flat", "cell", "a", "Flat", 0.6, (Link(1, 1.0),)),
    ]
    bases = [BaseSpec(name, name, "a", wanted=True) for name in ("works", "keeps-time")]
    checks = [yes_no("test", 0), yes_no("clock", 1)]
    model = machine(faults, bases, checks, [fix("mend", cures={0: 1.0}), fix("cell", cures={1: 1.0})])
    told = advise(model, line_of(JobOpened("x", wanted)))
    bad = {each.outcome: each for step in told.steps if step.step == "test" for each in step.outcomes}["bad"]
    assert {name for name, _ in bad.leaves} == left

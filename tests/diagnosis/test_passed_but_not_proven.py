"""What passed and may yet fail: its proof, its bound, and looks that would only be the same look again."""

from __future__ import annotations

from dataclasses import replace

from machines import fix, ladder, line_of, machine, yes_no

from powergood.diagnosis import Preferences, advise
from powergood.diagnosis.compiled import BaseSpec, FaultSpec, Link, Price
from powergood.record.model import Finding, JobOpened

DEAR = 40.0


def test_a_function_that_passed_is_charged_no_second_proof() -> None:
    # One dear test of the function, one cheap look at a sign of its only fault: a good look alone proves it.
    loose = FaultSpec("p.loose", "p", "a", "loose", 0.3, (Link(0, 1.0), Link(1, 1.0)), shows=0.3)
    bases = [BaseSpec("works", "works", "a", wanted=True), BaseSpec("wobble", "wobble", "a", is_sign=True)]
    test = replace(yes_no("test", 0), price=Price(DEAR))
    model = machine([loose], bases, [test, yes_no("look", 1)], [fix("press", cures={0: 1.0})])
    line = line_of(JobOpened("x", ("works",)), Finding("test", "good"))
    advice = advise(model, line, Preferences(hour=60.0, worth=1000.0))
    assert [state.standing for state in advice.functions] == ["passed"]
    assert advice.steps[0].step == "look"
    assert advice.at_least < DEAR
    assert advice.at_least <= advice.expected_total


def test_a_look_that_failed_before_it_could_see_a_mood_is_not_advised_again() -> None:
    # A ladder whose first rung fails for good; only its second could show the intermittent fault.
    broken = FaultSpec("a.dead", "a", "a", "dead", 0.5, (Link(0, 1.0),))
    loose = FaultSpec("b.loose", "b", "a", "loose", 0.5, (Link(1, 1.0),), shows=0.3)
    runs = BaseSpec("runs", "runs", "a", needs=(0,), wanted=True)
    bases = [BaseSpec("lamp", "lamp", "a", wanted=True), runs]
    fixes = [fix("mend", cures={0: 1.0}), fix("press", cures={1: 1.0})]
    model = machine([broken, loose], bases, [ladder("how-far", [0, 1], leak=0.2)], fixes)
    line = line_of(JobOpened("x", ("lamp", "runs")), Finding("how-far", "b0"))
    assert "how-far" not in {step.step for step in advise(model, line).steps}

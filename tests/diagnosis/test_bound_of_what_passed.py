"""The bound stays a bound where a function has passed and an intermittent fault may still be there."""

from __future__ import annotations

from dataclasses import replace

from machines import fix, line_of, machine, yes_no

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

"""Findings that exclude each other are told, and never taken for a proof."""

from __future__ import annotations

import pytest
from machines import fault, line_of, machine, yes_no

from powergood.diagnosis import advise
from powergood.diagnosis.compiled import BaseSpec, CompiledModel
from powergood.errors import ImpossibleEvidence
from powergood.record.model import Finding


def lamp(leak: float) -> CompiledModel:
    """Return a lamp that two checks look at, each wrong with chance `leak`."""
    return machine(
        [fault("burnt", "lamp", 0.3, {0: 1.0})],
        [BaseSpec("light", "Light", "a", wanted=True)],
        [yes_no("look", 0, leak), yes_no("measure", 0, leak)],
    )


def test_findings_that_exclude_each_other_are_named_and_prove_nothing() -> None:
    with pytest.raises(ImpossibleEvidence, match="exclude each other") as caught:
        advise(lamp(leak=0.0), line_of(Finding("look", "bad"), Finding("measure", "good")))
    assert caught.value.culprits
    assert set(caught.value.culprits) <= {1, 2}


def test_with_false_alarms_the_same_findings_are_possible() -> None:
    advice = advise(lamp(leak=0.01), line_of(Finding("look", "bad"), Finding("measure", "good")))
    assert 0 <= advice.faults[0].chance <= 1
    assert advice.conflict


def test_a_fault_that_cannot_be_is_no_answer_to_a_finding_that_needs_one() -> None:
    model = machine(
        [fault("burnt", "lamp", 0.0, {0: 1.0})],
        [BaseSpec("light", "Light", "a", wanted=True)],
        [yes_no("look", 0, 0.0)],
    )
    with pytest.raises(ImpossibleEvidence):
        advise(model, line_of(Finding("look", "bad")))

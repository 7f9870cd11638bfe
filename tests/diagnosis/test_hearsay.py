"""A complaint is so as often as what people tell, however seldom a machine shows that; no one opened it."""

from __future__ import annotations

from dataclasses import replace

import pytest
from machines import fault, ladder, line_of, machine, yes_no

from powergood.diagnosis.belief import believe
from powergood.diagnosis.compiled import BaseSpec, CompiledModel, OpeningSpec
from powergood.diagnosis.gathering import TOLD, gather
from powergood.record.model import Complained, Finding

BASES = [BaseSpec("one", "one", "a"), BaseSpec("two", "two", "a"), BaseSpec("three", "three", "a")]
COMPLAINT = Complained("words", "c")


def complained(rarity: float, outcome: str) -> CompiledModel:
    """Return a machine with one fault that a look without false alarms would show, and a complaint of it."""
    look = yes_no("look", 0, 0.0) if outcome == "bad" else ladder("look", [0, 1, 2], 0.0)
    there = {"bad": 0, "b0": 0, "b1": 1, "b2": 2}[outcome]
    return machine(
        [fault("gone", "s", rarity, {there: 1.0})], BASES, [look], complaints={"c": (("look", outcome),)}
    )


@pytest.mark.parametrize("rarity", [0.001, 0.02, 0.2])
@pytest.mark.parametrize(("outcome", "answers"), [("bad", 2), ("b0", 4), ("b1", 4)])
def test_nothing_else_known_it_is_so_as_often_as_what_is_told(
    rarity: float, outcome: str, answers: int
) -> None:
    held = believe(complained(rarity, outcome), line_of(COMPLAINT))
    assert held.now()[0] == pytest.approx(TOLD + (1 - TOLD) / answers, abs=1e-9)


def test_what_is_common_is_believed_no_less_than_an_answer() -> None:
    model = complained(0.97, "bad")
    complaint, answer = (
        believe(model, line_of(each)) for each in (COMPLAINT, Finding("look", "bad", told=True))
    )
    assert complaint.now()[0] == pytest.approx(answer.now()[0])


def test_an_answer_to_a_question_moves_less_than_a_complaint() -> None:
    model = complained(0.02, "bad")
    assert believe(model, line_of(Finding("look", "bad", told=True))).now()[0] == pytest.approx(
        0.02 * 9 / (0.02 * 9 + 0.98)
    )


def test_what_is_seen_outdoes_what_was_told() -> None:
    model = complained(0.02, "bad")
    seen = replace(model, checks={"look": replace(model.checks["look"], leak=0.01)})
    assert believe(seen, line_of(COMPLAINT, Finding("look", "good"))).now()[0] < 0.02


def test_what_is_only_told_opens_nothing() -> None:
    model = complained(0.02, "bad")
    inside = replace(model.checks["look"], open=frozenset({"lid"}))
    opening = OpeningSpec("lid", "lid", 5.0, 5.0, 0.0, frozenset())
    model = replace(model, checks={"look": inside}, openings={"lid": opening})
    assert gather(model, line_of(COMPLAINT)).now.opened == frozenset()
    assert gather(model, line_of(Finding("look", "bad", told=True))).now.opened == frozenset()
    assert gather(model, line_of(Finding("look", "bad"))).now.opened == {"lid"}

"""A complaint is so as often as what people tell, however seldom a machine shows that; no one opened it."""

from __future__ import annotations

from dataclasses import replace

import pytest
from machines import fault, ladder, line_of, machine, yes_no

from powergood.diagnosis.belief import believe
from powergood.diagnosis.compiled import BaseSpec, CompiledModel, OpeningSpec
from powergood.diagnosis.conflict import fits_known
from powergood.diagnosis.gathering import gather
from powergood.diagnosis.hearsay import TOLD
from powergood.record.model import Complained, Finding

BASES = [BaseSpec("one", "one", "a"), BaseSpec("two", "two", "a"), BaseSpec("three", "three", "a")]
COMPLAINT = Complained("words", "c")


def complained(rarity: float, outcome: str, leak: float = 0.0) -> CompiledModel:
    """Return a machine with one fault that a look would show, and a complaint of it."""
    look = yes_no("look", 0, leak) if outcome == "bad" else ladder("look", [0, 1, 2], leak)
    there = {"bad": 0, "b0": 0, "b1": 1, "b2": 2}[outcome]
    return machine(
        [fault("gone", "s", rarity, {there: 1.0})], BASES, [look], complaints={"c": (("look", outcome),)}
    )


@pytest.mark.parametrize("leak", [0.0, 0.03])
@pytest.mark.parametrize("rarity", [0.001, 0.02, 0.2])
@pytest.mark.parametrize(("outcome", "answers"), [("bad", 2), ("b0", 4), ("b1", 4)])
def test_nothing_else_known_it_is_so_as_often_as_what_is_told_but_no_surer_than_seen(
    leak: float, rarity: float, outcome: str, answers: int
) -> None:
    held = believe(complained(rarity, outcome, leak), line_of(COMPLAINT))
    share = TOLD + (1 - TOLD) / answers
    times = share / (1 - share) * (1 - rarity) / rarity
    if leak > 0:
        times = min(times, 1 / leak)  # what a look may show falsely, a complaint may too
    odds = times * rarity / (1 - rarity)
    assert held.now()[0] == pytest.approx(odds / (1 + odds), abs=1e-9)


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


@pytest.mark.parametrize("rarity", [0.001, 0.02, 0.2])
def test_to_see_what_was_told_never_makes_it_less_likely(rarity: float) -> None:
    model = complained(rarity, "bad", 0.03)
    told, seen = (believe(model, line_of(COMPLAINT, *more)) for more in ((), (Finding("look", "bad"),)))
    assert seen.now()[0] >= told.now()[0] - 1e-9


def test_a_complaint_of_what_is_then_seen_to_work_is_no_conflict() -> None:
    model, line = complained(0.02, "bad", 0.03), line_of(COMPLAINT, Finding("look", "good"))
    assert fits_known(model, gather(model, line)) == pytest.approx(1.0)


def test_what_is_only_told_opens_nothing() -> None:
    model = complained(0.02, "bad")
    inside = replace(model.checks["look"], open=frozenset({"lid"}))
    opening = OpeningSpec("lid", "lid", 5.0, 5.0, 0.0, frozenset())
    model = replace(model, checks={"look": inside}, openings={"lid": opening})
    assert gather(model, line_of(COMPLAINT)).now.opened == frozenset()
    assert gather(model, line_of(Finding("look", "bad", told=True))).now.opened == frozenset()
    assert gather(model, line_of(Finding("look", "bad"))).now.opened == {"lid"}

"""The tick of a safety condition counts as the look it stands for, and as nothing more."""

from __future__ import annotations

from dataclasses import replace

import pytest
from machines import fault, fix, line_of, machine, yes_no

from powergood.diagnosis import advise, believe
from powergood.diagnosis.compiled import BaseSpec, CompiledModel, GateSpec
from powergood.record.model import Body, Finding, FixDone, GateAnswered, Withdrawn
from powergood.record.timeline import standing_ticks

MET, UNMET = GateAnswered("lead-seen", True), GateAnswered("lead-seen", False)
SEEN = Finding("look-at-lead", "good")


def radio(*, stands_for: tuple[tuple[str, str], ...] = (("look-at-lead", "good"),)) -> CompiledModel:
    """Return a set that is silent by its lead or its lamp; no power before the lead was looked at."""
    looks = [
        replace(yes_no("play", 0, leak=0.01), power="start"),
        replace(yes_no("look-at-lead", 1, leak=0.02), power="off"),
    ]
    mends = [fix("new-lead", cures={0: 1.0}), fix("new-lamp", cures={1: 1.0})]
    model = machine(
        [fault("split", "lead", 0.3, {0: 0.9, 1: 0.8}), fault("burnt", "lamp", 0.2, {0: 1.0})],
        [BaseSpec("plays", "Plays", "a", wanted=True), BaseSpec("split", "Split", "a")],
        looks,
        mends,
    )
    holds = GateSpec("lead-seen", "Lead seen", "Is it whole?", "It kills.", ("power",), stands_for=stands_for)
    return replace(model, gates=(holds,))


def chances(*bodies: Body, model: CompiledModel | None = None) -> list[float]:
    """Return the chance of each fault after these facts."""
    now = believe(model or radio(), line_of(*bodies)).now()
    return [now[number] for number in sorted(now)]


def test_a_tick_moves_the_belief_as_the_look_itself_would() -> None:
    ticked = chances(MET)
    assert ticked == pytest.approx(chances(SEEN), abs=1e-12)
    assert ticked[0] == pytest.approx(0.3 * 0.2 / (0.7 + 0.3 * 0.2))  # the leak is of both, and cancels
    assert chances(MET, model=radio(stands_for=())) == pytest.approx([0.3, 0.2])


def test_the_tick_and_the_look_are_one_piece_of_evidence() -> None:
    assert chances(MET, SEEN) == pytest.approx(chances(SEEN), abs=1e-12)


def test_what_was_ticked_is_not_asked_for_again() -> None:
    told = Finding("play", "bad", told=True)
    offered = {step.step for step in advise(radio(), line_of(told, MET)).steps}
    assert "look-at-lead" not in offered
    assert "look-at-lead" in {step.step for step in advise(radio(stands_for=()), line_of(told, MET)).steps}


@pytest.mark.parametrize("back", [[MET, UNMET], [MET, Withdrawn(1)], [UNMET]])
def test_unticking_takes_it_back(back: list[Body]) -> None:
    assert chances(*back) == pytest.approx([0.3, 0.2])


def test_ticked_again_it_counts_from_then_on() -> None:
    line = line_of(MET, UNMET, FixDone("new-lead"), MET, MET)
    assert standing_ticks(line) == {4}
    assert chances(MET, UNMET, MET) == pytest.approx(chances(SEEN), abs=1e-12)


def test_the_look_meets_no_gate() -> None:
    advice = advise(radio(), line_of(SEEN, Finding("play", "bad", told=True)))
    assert [gate.met for gate in advice.gates] == [False]
    assert "play" not in {step.step for step in advice.steps}


def test_a_tick_that_stands_for_what_there_is_not_changes_nothing() -> None:
    strange = radio(stands_for=(("look-at-aerial", "good"), ("look-at-lead", "torn")))
    assert chances(MET, model=strange) == pytest.approx([0.3, 0.2])

"""What the advised step is held against, on machines where that can be worked out by hand."""

from __future__ import annotations

from dataclasses import replace

import pytest
from machines import fix, line_of, machine, yes_no

from powergood.diagnosis import Advice, Against, Preferences, advise
from powergood.diagnosis.compiled import BaseSpec, CheckSpec, FaultSpec, GateSpec, Link, Price
from powergood.record.model import Finding, JobOpened

MEND, TEST, LOOK = 30.0, 2.0, 1.0
"""Minutes of a fix, of the test that shows the machine to work, and of the look that parts the suspects."""


def look_at(name: str, base: int, minutes: float) -> CheckSpec:
    """Return a check of one base that hardly ever errs."""
    return replace(yes_no(name, base, 0.001), price=Price(minutes), power="off")


def two_suspects(
    first: float = 0.5,
    second: float = 0.4,
    *,
    looks: tuple[CheckSpec, ...] = (look_at("look", 1, LOOK),),
    gates: tuple[GateSpec, ...] = (),
) -> Advice:
    """Return the advice on a dead function with two suspects and a fix for each; a look may part them."""
    faults = [
        FaultSpec("a.dead", "a", "a", "One dead", first, (Link(0, 1.0), Link(1, 1.0))),
        FaultSpec("b.dead", "b", "a", "Other dead", second, (Link(0, 1.0),)),
    ]
    bases = [BaseSpec("works", "works", "a", wanted=True), BaseSpec("burnt", "burnt", "a", is_sign=True)]
    fixes = [replace(fix(f"mend-{n}", cures={n: 1.0}), price=Price(MEND)) for n in range(2)]
    model = machine(faults, bases, [look_at("test", 0, TEST), *looks], fixes)
    line = line_of(JobOpened("x", ("works",)), Finding("test", "bad"))
    wants = Preferences(hour=60.0, worth=1000.0, start=0.0, noting=0.0)
    return advise(replace(model, gates=gates), line, wants)


def held(advice: Advice, because: str) -> Against:
    """Return what is told of one kind."""
    (found,) = [each for each in advice.against if each.because == because]
    return found


def test_the_likeliest_suspects_fix_is_told_with_what_it_would_leave_broken() -> None:
    # Of what makes the test fail, (a and not b) weighs 0.5·0.6, (b and not a) 0.5·0.4, both 0.5·0.4.
    advice = two_suspects()
    assert advice.steps[0].step == "look"
    told = held(advice, "own fix")
    assert (told.step, told.fault) == ("mend-0", "a.dead")
    assert told.chance == pytest.approx(0.5 / 0.7, abs=0.002)
    assert told.left == pytest.approx(0.4 / 0.7, abs=0.06)
    assert "71 in 100" in told.words
    assert "30 min" in told.words


def test_what_the_advised_step_saves_is_what_the_other_way_costs_more() -> None:
    # Mending a first is in vain where only b is dead: that costs the fix and a test, less the look.
    told = held(two_suspects(), "own fix")
    in_vain = 0.2 / 0.7
    assert told.saves == pytest.approx(in_vain * (MEND + TEST) - LOOK, abs=1.5)


@pytest.mark.parametrize(("first", "second"), [(0.5, 0.4), (0.3, 0.3), (0.9, 0.05)])
def test_the_next_best_is_the_second_shown_and_saves_the_difference_of_the_two(
    first: float, second: float
) -> None:
    advice = two_suspects(first, second)
    told = held(advice, "next best")
    assert told.step == advice.steps[1].step
    assert told.saves == pytest.approx(advice.steps[1].expected_total - advice.steps[0].expected_total)
    totals = [each.expected_total for each in advice.steps]
    assert totals == sorted(totals)


def test_where_the_suspects_own_fix_is_advised_the_quickest_look_is_told_instead() -> None:
    advice = two_suspects(0.97, 0.02)
    assert advice.steps[0].step == "mend-0"
    told = held(advice, "quickest")
    assert told.step == "look"
    assert told.tells < LOOK + 1.0
    assert "“look”, at 1 min" in told.words


def test_where_nothing_is_quicker_nothing_is_obvious() -> None:
    advice = two_suspects(0.97, 0.02, looks=())
    assert advice.steps[0].step == "mend-0"
    assert [each.because for each in advice.against] == ["next best"]


def test_a_fix_that_waits_for_a_gate_is_told_to_wait() -> None:
    gate = GateSpec("dry", "Dry inside", "Is it dry?", "It can burn.", ("step:mend-0",))
    advice = two_suspects(gates=(gate,))
    assert advice.steps[0].step == "look"
    assert held(advice, "own fix").words.endswith("waits for a safety condition: Dry inside.")


def test_nothing_is_held_against_a_gate() -> None:
    gate = GateSpec("dry", "Dry inside", "Is it dry?", "It can burn.", ("step:look",))
    advice = two_suspects(gates=(gate,))
    assert advice.steps[0].kind == "gate"
    assert advice.against == ()

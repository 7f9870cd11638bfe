"""What waits for a safety condition: the pad, checks offered without advice, and what counts as advised."""

from __future__ import annotations

from dataclasses import replace

import pytest

from powergood.bench import Workshop, answer, job, record, save_start
from powergood.bench.gate_cards import gate_cards
from powergood.bench.holding import gates_holding, gates_holding_start
from powergood.bench.library import Library
from powergood.bench.pad import pad
from powergood.bench.step_cards import unpowered_cards
from powergood.bench.step_views import StepAnswer
from powergood.bench.wording import Wording
from powergood.knowledge.model import Gate
from powergood.record.model import Finding, GateAnswered
from powergood.record.timeline import Bench, Timeline


@pytest.fixture
def words(library: Library) -> Wording:
    """The words of the laptop with no gate but the one a test gives it."""
    return replace(library.known("brenlund-n480").words, gates={})


def guarded(words: Wording, *holds: str) -> Wording:
    """Return the words with one gate."""
    return replace(words, gates={"safe": Gate("safe", "Safe", "Is it?", "It can hurt.", holds)})


def looks(words: Wording) -> list[str]:
    """Return the checks of the pad."""
    return [name for name, check in words.checks.items() if check.on_pad]


def test_a_gate_on_every_look_of_the_pad_holds_back_the_start_itself(words: Wording) -> None:
    held = guarded(words, *(f"step:{name}" for name in looks(words)))
    shown = pad(held, Timeline(), Bench(), gate_cards(held, Timeline()), None)
    assert not shown.allowed
    assert [card.gate for card in shown.held_by] == ["safe"]
    assert "Do not power it yet" in shown.words
    met = Bench(gates=frozenset({"safe"}))
    assert pad(held, Timeline(), met, gate_cards(held, Timeline()), None).allowed


def test_a_gate_on_one_look_holds_back_that_look_alone(words: Wording) -> None:
    one, *others = looks(words)
    held = guarded(words, f"step:{one}")
    shown = pad(held, Timeline(), Bench(), gate_cards(held, Timeline()), None)
    assert shown.allowed
    assert {key.check: key.held for key in shown.keys} == {one: True, **dict.fromkeys(others, False)}


def test_a_machine_of_unknown_kind_is_not_said_to_be_safe() -> None:
    shown = pad(Wording(), Timeline(), Bench(), (), None)
    assert not shown.allowed
    assert "Do not power it yet" in shown.words


def test_checks_without_advice_wait_for_gates_though_the_case_is_open(words: Wording) -> None:
    inside = {name for name, check in words.checks.items() if check.power == "off" and check.open}
    outside = {name for name, check in words.checks.items() if check.power == "off" and not check.open}
    every = Bench(opened=frozenset(words.openings))
    held = guarded(words, "opening")
    assert {card.step for card in unpowered_cards(held, every)} == outside
    met = replace(every, gates=frozenset({"safe"}))
    assert {card.step for card in unpowered_cards(held, met)} == inside | outside


def test_a_gate_on_an_opening_holds_back_what_lies_behind_it(words: Wording) -> None:
    deep = next(
        check for check in words.checks.values() if check.open and words.openings[check.open[0]].behind
    )
    outer = words.openings[deep.open[0]].behind[0]
    held = guarded(words, f"step:{outer}")
    assert gates_holding(deep.id, held, ()) == ("safe",)
    assert gates_holding(f"{deep.id}#2", held, ()) == ("safe",)
    assert gates_holding(deep.id, held, {"safe"}) == ()
    assert gates_holding_start(held, ()) == ()


def test_what_is_done_behind_an_unmet_gate_is_kept_but_not_as_advised(ws: Workshop, job_number: int) -> None:
    held = StepAnswer("pad-fan", "good", kind="check")
    view = answer(ws, job_number, held, key="early")
    assert (view.record[-1].kind, view.record[-1].prompted_by) == ("finding", "")
    view = save_start(ws, job_number, [Finding("pad-image", "good")], key="start")
    assert view.record[-1].prompted_by == ""


def test_what_is_done_with_its_gates_met_names_the_step_that_asked(ws: Workshop, safe_job: int) -> None:
    view = answer(ws, safe_job, StepAnswer("pad-fan", "good", kind="check"), key="now")
    assert view.record[-1].prompted_by == "pad-fan"
    view = save_start(ws, safe_job, [Finding("pad-image", "good")], key="start")
    assert view.record[-1].prompted_by == "power-on pad"
    record(ws, safe_job, [GateAnswered("quarantine", False)], key="mould")
    view = answer(ws, safe_job, StepAnswer("pad-fan", "good", kind="check"), key="later")
    assert view.record[-1].prompted_by == ""
    assert not job(ws, safe_job).pad.allowed

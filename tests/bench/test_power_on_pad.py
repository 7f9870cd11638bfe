"""The power-on pad takes a whole start at once and says whether the machine may be powered."""

from __future__ import annotations

import pytest

from powergood.bench import Workshop, answer, job, record, save_start, withdraw
from powergood.bench.step_views import StepAnswer
from powergood.errors import BadInput
from powergood.record.model import Finding

SEEN = (
    Finding("pad-plug-lamp", "good"),
    Finding("pad-power-lamp", "good"),
    Finding("pad-holds", "good"),
    Finding("pad-image", "good"),
    Finding("pad-light", "light"),
)


def test_the_pad_holds_every_check_of_the_first_seconds_with_words_on_every_key(
    ws: Workshop, job_number: int
) -> None:
    pad = job(ws, job_number).pad
    words = ws.library.known("brenlund-n480").words
    assert {key.check for key in pad.keys} == {name for name, check in words.checks.items() if check.on_pad}
    assert all(key.words for each in pad.keys for key in each.keys)
    light = next(each for each in pad.keys if each.check == "pad-light")
    assert light.ladder
    assert [key.outcome for key in light.keys][-1] == "good"
    assert pad.power_up == 1
    assert pad.last is None


def test_the_pad_forbids_power_until_each_gate_that_holds_it_is_met(ws: Workshop, job_number: int) -> None:
    pad = job(ws, job_number).pad
    assert not pad.allowed
    assert "Do not power it yet" in pad.words
    view = job(ws, job_number)
    for gate in pad.held_by:
        assert not view.pad.allowed
        view = answer(ws, job_number, StepAnswer(gate.gate, "met"), key=gate.gate)
    assert view.pad.allowed
    assert view.pad.held_by == ()


def test_one_save_is_one_start_whatever_the_order_and_a_resend_is_none(ws: Workshop, safe_job: int) -> None:
    save_start(ws, safe_job, SEEN, key="start")
    view = save_start(ws, safe_job, SEEN, key="start")
    starts = [line.power_up for line in view.record if line.kind == "finding"]
    assert starts == [1] * len(SEEN)
    assert view.pad.power_up == 2
    assert view.bench.starts == 1


def test_after_a_start_the_pad_says_what_was_seen_what_it_cleared_and_what_it_left(
    ws: Workshop, safe_job: int
) -> None:
    record(ws, safe_job, [Finding("swing-lid", "changes-with-lid", sure=False)], key="doubt")
    save_start(ws, safe_job, [*SEEN, Finding("pad-burnt", "good")], key="start")
    view = save_start(ws, safe_job, [Finding("pad-light", "good"), Finding("swing-lid", "good")], key="again")
    last = view.pad.last
    assert last is not None
    assert last.power_up == 3
    assert last.seen[0] == "Light behind the screen: lit, seen"
    assert last.words == "Every safety condition for power is met."
    assert last.cleared
    assert set(last.cleared) <= set(view.cleared)
    assert last.suspects
    assert {key.check: key.last for key in view.pad.keys}["pad-light"] == "good"


def test_a_start_clears_what_was_suspected_before_it(ws: Workshop, safe_job: int) -> None:
    save_start(ws, safe_job, [Finding("pad-light", "light")], key="dark")
    suspect = {
        part.slot
        for layer in job(ws, safe_job).cutaway.layers
        for part in layer.parts
        if part.standing == "suspect"
    }
    assert "lid-switch" in suspect
    lit = [Finding("pad-light", "good"), Finding("pad-image", "good")]
    view = save_start(ws, safe_job, lit, key="lit")
    assert view.pad.last is not None
    assert "Lid switch" in view.pad.last.cleared
    assert set(view.pad.last.cleared) <= set(view.cleared)


def test_nothing_chosen_is_no_start(ws: Workshop, safe_job: int) -> None:
    with pytest.raises(BadInput, match="Choose what you noticed"):
        save_start(ws, safe_job, [], key="start")
    assert job(ws, safe_job).bench.starts == 0


def test_a_withdrawn_start_is_no_longer_the_last(ws: Workshop, safe_job: int) -> None:
    view = save_start(ws, safe_job, [Finding("pad-fan", "good")], key="start")
    view = withdraw(ws, safe_job, view.record[-1].fact, "wrong machine", key="w")
    assert view.pad.last is None

"""Ticking a safety condition on a job: what it counts as, its boxes, and what falls with it."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest

from powergood import bench
from powergood.bench.intake_views import TakeIn
from powergood.bench.job_views import JobView
from powergood.bench.library import Library
from powergood.bench.workshop import Workshop
from powergood.errors import BadInput
from powergood.record.model import Finding, GateAnswered, Opened, Withdrawn


@pytest.fixture
def ws(tmp_path: Path, library: Library) -> Iterator[Workshop]:
    """A workshop with a job on a dead desktop."""
    workshop = Workshop.create(tmp_path / "w", library=library)
    tag = bench.take_in(workshop, TakeIn(name="It", sheet="torrolf-433"), key="t")
    bench.open_job(workshop, tag, words="dead", complaint="dead", key="j")
    yield workshop
    workshop.close()


def card(view: JobView, gate: str):
    """Return the card of a safety condition."""
    return next(each for each in view.gates if each.gate == gate)


def seen(view: JobView) -> list[tuple[str, str]]:
    """Return the findings that stand in a job's record, as kind and sentence."""
    return [(line.kind, line.sentence) for line in view.record if not line.withdrawn]


def test_the_card_says_what_its_tick_counts_as(ws) -> None:
    view = bench.job(ws, 1)
    assert card(view, "mains-setting-read").stands_for == (
        "Read the voltage on the label and the place of the selector against the mains here: they agree",
    )
    assert [box.check for box in card(view, "cells-seen").boxes] == ["look-at-every-cell"]
    assert card(view, "cells-seen").stands_for == ()


def test_a_tick_is_a_look_that_is_not_advised_again(ws) -> None:
    before = {each.fault: each.chance for each in bench.job(ws, 1).advice.faults}
    view = bench.answer_gate(ws, 1, "mains-setting-read", met=True, how="230, taped", key="a")
    after = {each.fault: each.chance for each in view.advice.faults}
    assert after["inlet.selector-wrong"] < 0.1 * before["inlet.selector-wrong"]
    assert "read-voltage-setting" not in {step.step for step in view.advice.steps}
    assert "Counts as seen while it is met: Read the voltage on the label" in view.record[-1].sentence
    back = bench.answer_gate(ws, 1, "mains-setting-read", met=False, key="b")
    again = {each.fault: each.chance for each in back.advice.faults}
    assert again["inlet.selector-wrong"] == pytest.approx(before["inlet.selector-wrong"])
    assert "Counts as seen" not in back.record[-1].sentence


def test_a_box_is_written_down_as_the_finding_it_is_with_the_way_to_it(ws) -> None:
    view = bench.answer_gate(ws, 1, "cells-seen", met=True, boxes=["look-at-every-cell"], key="a")
    bodies = [fact.body for fact in ws.store.facts(job=1)][-3:]
    assert bodies[0] == GateAnswered("cells-seen", True)
    assert isinstance(bodies[1], Opened)
    assert bodies[2] == Finding("look-at-every-cell", "good")
    assert view.record[-1].sentence.endswith("all dry and clean, seen")


def test_without_its_box_a_condition_says_nothing_of_what_was_seen(ws) -> None:
    before = {each.fault: each.chance for each in bench.job(ws, 1).advice.faults}
    view = bench.answer_gate(ws, 1, "cells-seen", met=True, how="the barrel leaked, it is off", key="a")
    assert {each.fault: each.chance for each in view.advice.faults} == pytest.approx(before)


@pytest.mark.parametrize("way", ["card", "record", "taken back"])
def test_what_a_box_said_falls_with_its_condition_and_other_findings_stay(ws, way) -> None:
    bench.record(ws, 1, [Finding("look-at-line-filter", "good")], key="own")
    view = bench.answer_gate(ws, 1, "cells-seen", met=True, boxes=["look-at-every-cell"], key="a")
    tick = next(line.fact for line in view.record if line.kind == "gate")
    if way == "card":
        view = bench.answer_gate(ws, 1, "cells-seen", met=False, key="b")
    elif way == "record":
        view = bench.record(ws, 1, [GateAnswered("cells-seen", False)], key="b")
    else:
        view = bench.withdraw(ws, 1, tick, "wrong machine", key="b")
    stand = [sentence for kind, sentence in seen(view) if kind == "finding"]
    assert len(stand) == 1
    assert stand[0].startswith("Look at the line filter")
    assert len([fact for fact in ws.store.facts(job=1) if isinstance(fact.body, Withdrawn)]) == 1 + (
        way == "taken back"
    )


def test_a_box_that_a_card_does_not_have_is_refused_and_nothing_is_written(ws) -> None:
    count = len(ws.store.facts(job=1))
    with pytest.raises(BadInput, match="no box for 'look-at-line-filter'"):
        bench.answer_gate(ws, 1, "cells-seen", met=True, boxes=["look-at-line-filter"], key="a")
    with pytest.raises(BadInput, match="no gate 'cell-seen'"):
        bench.answer_gate(ws, 1, "cell-seen", met=True, key="b")
    assert len(ws.store.facts(job=1)) == count


def test_a_form_sent_twice_adds_nothing(ws) -> None:
    for _ in range(2):
        bench.answer_gate(ws, 1, "cells-seen", met=True, boxes=["look-at-every-cell"], key="same")
    for _ in range(2):
        bench.answer_gate(ws, 1, "cells-seen", met=False, key="other")
    assert [type(fact.body) for fact in ws.store.facts(job=1)][-4:] == [
        Opened,
        Finding,
        GateAnswered,
        Withdrawn,
    ]

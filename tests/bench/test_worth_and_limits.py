"""What is preferred is a fact with its history; limits are told on the job's page and hide nothing."""

from __future__ import annotations

import pytest

from powergood.bench import answer, job, prefer, taught, worth_view
from powergood.bench.preferring import limits, preferences, take_back
from powergood.bench.step_views import StepAnswer
from powergood.bench.timing import choices
from powergood.bench.workshop import Workshop
from powergood.diagnosis import Limits, Preferences
from powergood.errors import BadInput
from powergood.record.model import Finding, Opened, PartFrom, TookMinutes


def test_nothing_set_means_the_defaults(ws: Workshop) -> None:
    assert preferences(ws) == Preferences()
    assert limits(ws) == Limits(parts=3)


def test_the_last_word_counts_and_can_be_taken_back(ws: Workshop) -> None:
    prefer(ws, {"hour": "20", "threshold": "5", "limit_danger": "1"}, key="a", who="keeper")
    prefer(ws, {"hour": "30"}, key="b")
    assert preferences(ws).hour == 30
    assert preferences(ws).threshold == pytest.approx(0.05)
    assert limits(ws).danger
    history = next(line.history for line in worth_view(ws).lines if line.name == "hour")
    assert [(value, who) for _, _, value, who in history] == [("20", "keeper"), ("30", "")]
    take_back(ws, history[-1][0], key="c")
    assert preferences(ws).hour == 20
    prefer(ws, {"hour": ""}, key="d")
    assert preferences(ws).hour == Preferences().hour
    with pytest.raises(BadInput, match="sets no preference"):
        take_back(ws, history[-1][0], key="e")


def test_what_is_as_before_is_not_written_again(ws: Workshop) -> None:
    prefer(ws, {"hour": "20", "worth": ""}, key="a")
    count = len(ws.store.facts())
    prefer(ws, {"hour": "20", "worth": ""}, key="b")
    assert len(ws.store.facts()) == count == 1


def test_every_mistake_is_told_at_once_and_nothing_is_written(ws: Workshop) -> None:
    with pytest.raises(BadInput) as caught:
        prefer(ws, {"hour": "much", "threshold": "60", "luck": "7", "worth": "10"}, key="a")
    said = str(caught.value)
    assert "An hour of your work" in said
    assert "at most 50" in said
    assert "luck" in said
    assert not ws.store.facts()


def test_a_limit_is_told_on_the_jobs_page_and_hides_no_step(ws: Workshop, safe_job: int) -> None:
    before = job(ws, safe_job)
    assert before.enough == ()
    prefer(ws, {"limit_minutes": "0.1"}, key="a")
    after = job(ws, safe_job)
    assert "your limit is 0" in after.enough[0]
    assert after.next is not None
    assert before.next is not None
    assert after.next.step == before.next.step


def test_one_tap_says_how_long_it_took_with_what_was_opened_for_it(ws: Workshop, safe_job: int) -> None:
    given = StepAnswer("replace-inverter", "done", "fix", took=45, source="the fair")
    view = answer(ws, safe_job, given, key="a", who="keeper")
    bodies = [fact.body for fact in ws.store.facts(job=safe_job)]
    took = next(body for body in bodies if isinstance(body, TookMinutes))
    opened = [body.opening for body in bodies if isinstance(body, Opened)]
    assert took.minutes == 45
    assert set(took.covers) == {"fix:replace-inverter", *(f"opening:{name}" for name in opened)}
    assert opened
    assert next(body for body in bodies if isinstance(body, PartFrom)).source == "the fair"
    assert "45 minutes" in view.so_far


def test_an_answer_without_minutes_adds_nothing_about_them(ws: Workshop, safe_job: int) -> None:
    answer(ws, safe_job, StepAnswer("torch", "good", "check"), key="a")
    bodies = [fact.body for fact in ws.store.facts(job=safe_job)]
    assert any(isinstance(body, Finding) for body in bodies)
    assert not any(isinstance(body, TookMinutes) for body in bodies)


def test_minutes_to_choose_from_lie_about_the_planned_ones_and_quick_looks_ask_nothing() -> None:
    assert choices(1.5) == ()
    assert choices(10) == (5, 10, 15, 20, 30)
    assert all(low < 63 < high for low, high in [(choices(63)[0], choices(63)[-1])])


def test_a_workshop_without_closed_jobs_has_nothing_taught(ws: Workshop, safe_job: int) -> None:
    assert taught(ws).groups == ()
    assert taught(ws).jobs == 0

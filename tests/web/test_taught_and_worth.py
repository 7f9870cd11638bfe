"""Learned numbers, minutes, worth and limits by forms alone, without JavaScript."""

from __future__ import annotations

from powergood import bench
from powergood.record.model import Pinned


def repaired(visitor) -> int:
    """Repair the little machine by forms, saying how long the fix took and where the part came from."""
    number = visitor.job_with_complaint()
    at = f"/jobs/{number}"
    visitor.meet_gate(number)
    visitor.send(f"{at}/pad", f"{at}/pad", **{"k:how-far": "picture"})
    fix = {**visitor.card(number, "change-inverter", "fix"), "outcome": "done", "instance": "SP-7"}
    answer = visitor.post(f"{at}/answer", {**fix, "took": "60", "source": "harbour fair"})
    assert answer.status_code == 303
    visitor.send(f"{at}/pad", f"{at}/pad", **{"k:how-far": "good", "k:power-lamp": "good"})
    visitor.send(f"{at}/sign-off", f"{at}/sign-off", words="enough")
    return number


def test_before_any_job_is_closed_the_page_says_that_nothing_was_taught(visitor):
    assert "Nothing yet" in visitor.open("/taught")


def test_a_closed_job_stands_on_the_page_and_a_number_can_be_set_aside_and_used_again(visitor, workshop):
    number = repaired(visitor)
    page = visitor.open("/taught")
    assert f'href="/jobs/{number}"' in page
    assert "harbour fair" in page
    assert "Mending, nobody named" in page
    pace = "pace:mending:"
    answer = visitor.send("/taught", "/taught", pace, use="aside")
    assert answer.headers["location"] == "/taught?said=kept"
    assert bench.learned_numbers(workshop)[pace].set_aside
    assert "set aside" in visitor.open("/taught")
    visitor.send("/taught", "/taught", pace, use="again")
    assert not bench.learned_numbers(workshop)[pace].set_aside


def test_a_number_nobody_learned_is_refused_in_words(visitor):
    repaired(visitor)
    answer = visitor.send("/taught", "/taught", "pace:mending:", number="pace:mending:x", use="aside")
    assert answer.status_code == 422
    assert "Nothing was learned" in answer.text


def test_a_job_under_way_counts_what_others_taught_only_when_asked(visitor, workshop):
    number = visitor.job_with_complaint()
    repaired(visitor)
    at = f"/jobs/{number}"
    page = visitor.open(at)
    assert "goes on as it began" in page
    assert bench.job(workshop, number).rests_on.words == ""
    answer = visitor.send(at, f"{at}/learned")
    assert answer.headers["location"] == f"{at}?said=written"
    view = bench.job(workshop, number)
    assert view.rests_on.words == "This advice counts what one closed job taught."
    assert not view.rests_on.newer
    pinned = [fact.body for fact in workshop.store.facts(job=number) if isinstance(fact.body, Pinned)]
    assert [bool(body.learned) for body in pinned] == [False, True]


def test_minutes_that_are_no_number_come_back_with_the_form_as_typed(visitor, workshop):
    number = visitor.job_with_complaint()
    visitor.meet_gate(number)
    before = len(workshop.store.facts())
    card = {**visitor.card(number, "torch"), "outcome": "good", "took": "ages", "note": "faint"}
    answer = visitor.post(f"/jobs/{number}/answer", card)
    assert answer.status_code == 422
    assert "not a whole number" in answer.text
    assert "faint" in answer.text
    assert len(workshop.store.facts()) == before


def test_worth_and_limits_are_kept_by_a_form_and_taken_back(visitor, workshop):
    answer = visitor.send("/worth", "/worth", hour="20", limit_money="40", limit_danger="1")
    assert answer.headers["location"] == "/worth?said=kept"
    page = visitor.open("/worth")
    assert 'value="20"' in page
    assert "ticked" in page
    fields = visitor.form(page, "/worth")
    fields.pop("limit_danger")  # a browser does not send a box that is not ticked
    visitor.post("/worth", fields)
    lines = {line.name: line for line in bench.worth_view(workshop).lines}
    assert lines["limit_danger"].value == ""
    assert lines["hour"].value == "20"
    visitor.send("/worth", "/worth/take-back", str(lines["hour"].history[0][0]))
    assert {line.name: line.value for line in bench.worth_view(workshop).lines}["hour"] == ""


def test_every_mistake_on_the_page_of_worth_is_shown_beside_its_field(visitor, workshop):
    answer = visitor.send("/worth", "/worth", hour="a lot", threshold="77")
    assert answer.status_code == 422
    assert "2 things need mending" in answer.text
    assert 'value="a lot"' in answer.text
    assert not workshop.store.facts()


def test_a_limit_that_is_reached_is_told_above_the_step_and_the_step_stays(visitor, workshop):
    number = visitor.job_with_complaint()
    visitor.meet_gate(number)
    visitor.send("/worth", "/worth", limit_minutes="0.1")
    page = visitor.open(f"/jobs/{number}")
    assert "Is it enough?" in page
    assert page.index("Is it enough?") < page.index('class="answer"')

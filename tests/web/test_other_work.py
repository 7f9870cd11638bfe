"""What was done though it was not offered is found by words and written down like any answer."""

from __future__ import annotations

from urllib.parse import quote

import pytest
from markupsafe import escape

from powergood.bench import Workshop, job, other_work
from powergood.errors import UnknownThing


@pytest.fixture
def number(visitor) -> int:
    """Return a job on the little machine."""
    return int(visitor.job_with_complaint())


def test_words_find_looks_and_mends_and_without_words_all_are_there(workshop: Workshop, number: int) -> None:
    every = other_work(workshop, number)
    assert every.looks
    assert every.mends
    one = every.mends[-1]
    found = other_work(workshop, number, " ".join(one.ask.split()[:3]).upper())
    assert one in found.mends
    assert other_work(workshop, number, "no such words").mends == ()


def test_each_mend_of_the_kind_has_a_form_that_writes_it_down(
    visitor, workshop: Workshop, number: int
) -> None:
    for each in other_work(workshop, number).mends:
        at = f"/jobs/{number}/work?step={each.step}"
        assert escape(each.ask) in visitor.open(at)
    before = len(job(workshop, number).record)
    answered = visitor.send(at, f"/jobs/{number}/answer", outcome="done", consent="yes")
    assert answered.status_code == 303
    assert len(job(workshop, number).record) > before


def test_a_look_gives_its_answers(visitor, workshop: Workshop, number: int) -> None:
    for each in other_work(workshop, number).looks:
        card = other_work(workshop, number, step=each.step).card
        assert card is not None
        assert card.keys
        page = visitor.open(f"/jobs/{number}/work?step={quote(each.step)}")
        assert all(escape(key.words) in page for key in card.keys)


def test_a_step_that_is_not_known_is_said_so(visitor, workshop: Workshop, number: int) -> None:
    with pytest.raises(UnknownThing):
        other_work(workshop, number, step="polish-the-moon")
    assert visitor.client.get(f"/jobs/{number}/work?step=polish-the-moon").status_code == 404


def test_the_jobs_page_leads_there(visitor, number: int) -> None:
    assert f"/jobs/{number}/work" in visitor.open(f"/jobs/{number}")

"""From what is read beside a job there is a way back to it, on every page and after every search."""

from __future__ import annotations

import re

import pytest

BACK = "Back to job 1: 1 Harbour laptop"


def _links(page: str) -> list[str]:
    return [link.replace("&amp;", "&") for link in re.findall(r'href="(/know-how[^"]*)"', page)]


def test_every_page_of_know_how_reached_from_a_job_leads_back_to_it(visitor):
    number = visitor.job_with_complaint()
    visitor.meet_gate(number)
    reached = _links(visitor.open(f"/jobs/{number}"))
    assert any("/faults/" in link for link in reached)
    assert any("/checks/" in link for link in reached)
    seen: set[str] = set()
    while reached and len(seen) < 60:
        link = reached.pop().split("#")[0]
        if link in seen or "/file" in link:
            continue
        seen.add(link)
        page = visitor.open(link)
        assert BACK in page, link
        assert f'href="/jobs/{number}"' in page
        reached += _links(page)
    assert any("/sheet" in link for link in seen)


def test_a_search_from_a_job_keeps_the_way_back(visitor):
    number = visitor.job_with_complaint()
    page = visitor.open(f"/know-how?kind=little&job={number}")
    assert f'<input type="hidden" name="job" value="{number}">' in page
    found = visitor.open(f"/know-how?find=black+screen&kind=little&job={number}")
    assert BACK in found
    assert all(f"job={number}" in link for link in _links(found))


@pytest.mark.parametrize("address", ["/taught", "/worth"])
def test_what_jobs_taught_and_what_is_preferred_lead_back_too(visitor, address):
    number = visitor.job_with_complaint()
    assert f'href="{address}?job={number}"' in visitor.open(f"/jobs/{number}")
    assert BACK in visitor.open(f"{address}?job={number}")


@pytest.mark.parametrize("job", ["99", "x", "", "-1", "1" * 40])
def test_a_job_that_there_is_not_leads_nowhere_and_breaks_nothing(visitor, job):
    visitor.job_with_complaint()
    assert "Back to job" not in visitor.open(f"/know-how?job={job}")
    assert "Back to job" not in visitor.open("/know-how")
    assert "job=" not in "".join(_links(visitor.open("/machines/1")))

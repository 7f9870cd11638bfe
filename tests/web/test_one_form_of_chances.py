"""A chance is told in one form, so many in 100, on every page and in every sentence."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from powergood import bench

SOURCE = Path(bench.__file__).parents[1]
OTHER_FORM = re.compile(r"\b\d+(?:\.\d+)? in (?!100\b)\d+\b|\b\d+(?:\.\d+)? ?(?:%|per cent|percent)")


def words_of(html: str) -> str:
    """Return a page's words: no scripts, styles or tags."""
    bare = re.sub(r"<(script|style|svg).*?</\1>", " ", html, flags=re.DOTALL)
    return " ".join(re.sub(r"<[^>]+>", " ", bare).split())


@pytest.mark.parametrize(
    "words", ["faulty in 1 in 30 machines", "it is 76 % sure", "76% of them", "3 in 10 break", "30 per cent"]
)
def test_another_form_would_be_seen(words):
    assert OTHER_FORM.search(words)


def test_every_page_about_a_job_tells_chances_as_so_many_in_100(visitor):
    number = visitor.job_with_complaint()
    visitor.meet_gate(number)
    job = bench.job(visitor.client.app.state.workshop, number)
    assert job.next
    assert job.suspects
    look = next(step for step in (job.next, *job.steps) if step.kind == "check")
    for address in (
        f"/jobs/{number}",
        f"/jobs/{number}/sign-off",
        f"/jobs/{number}/pad",
        f"/jobs/{number}/moved/{job.suspects[0].name}",
        f"/jobs/{number}/what-if?check={look.step}&outcome={look.keys[0].outcome}",
        "/know-how/skerry-20",
        f"/know-how/skerry-20/faults/{job.suspects[0].name}",
        "/taught",
        "/",
    ):
        words = words_of(visitor.open(address))
        assert not OTHER_FORM.findall(words), address
    assert "in 100" in words_of(visitor.open(f"/jobs/{number}"))


def test_no_sentence_of_the_program_makes_up_a_form_of_its_own():
    own = re.compile(r":\.\d%\}|\b1 in \{")
    found = [
        str(path.relative_to(SOURCE))
        for path in SOURCE.rglob("*.py")
        if own.search(path.read_text(encoding="utf-8"))
    ]
    assert found == []

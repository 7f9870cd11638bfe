"""Cells of a grid are ticked on card and pad, without JavaScript; the record says what they make up."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest
from grid_machine import grid_pack

from powergood import bench
from powergood.bench import Workshop
from powergood.bench.intake_views import TakeIn
from powergood.bench.library import Library
from powergood.bench.step_views import StepAnswer
from powergood.errors import BadInput
from powergood.record.model import Finding


@pytest.fixture
def workshop(tmp_path: Path) -> Iterator[Workshop]:
    """A workshop with a job on a typewriter, in place of the little machine's."""
    made = Workshop.create(tmp_path / "workshop", library=Library([grid_pack()]))
    tag = bench.take_in(made, TakeIn(name="Typewriter", sheet="typewriter"), key="t")
    bench.open_job(made, tag, words="odd", key="j")
    yield made
    made.close()


@pytest.fixture
def ws(workshop: Workshop) -> Workshop:
    return workshop


@pytest.fixture
def page(visitor):
    return visitor


def findings(ws: Workshop) -> list[Finding]:
    return [fact.body for fact in ws.store.facts(job=1) if isinstance(fact.body, Finding)]


def test_the_card_draws_every_cell_as_a_box_to_tick_and_leaves_gaps(page) -> None:
    html = page.open("/jobs/1")
    grids = html.count("Mark every bad key")
    assert grids
    assert html.count('name="cells" value="Q"') == html.count("<td></td>") == grids
    assert "Memory module 2" in html


def test_ticked_cells_are_written_down_with_what_they_make_up(ws: Workshop, page) -> None:
    card = page.card(1, "press-keys")
    answer = page.post("/jobs/1/answer", {**card, "outcome": "cells", "cells": ["E", "Q", "W"]})
    assert answer.status_code == 303, answer.text
    assert findings(ws) == [Finding("press-keys", "line", cells=("Q", "W", "E"))]
    assert "a whole line is dead (a line, row 2; 3 keys: Q, W, E), seen" in page.open("/jobs/1")


def test_a_doubtful_marking_and_one_said_without_marks_are_written_as_such(ws: Workshop, page) -> None:
    card = page.card(1, "press-keys")
    page.post("/jobs/1/answer", {**card, "unsure": "cells", "cells": ["2"]})
    page.post("/jobs/1/answer", {**page.card(1, "press-keys"), "outcome": "line"})
    assert findings(ws) == [
        Finding("press-keys", "one", sure=False, cells=("2",)),
        Finding("press-keys", "line"),
    ]


@pytest.mark.parametrize(
    ("typed", "says"),
    [
        ({"outcome": "cells"}, "No key is marked yet"),
        ({"outcome": "good", "cells": ["Q"]}, "does not fit that answer"),
        ({"outcome": "line", "cells": ["Q"]}, "does not fit that answer"),
        ({"outcome": "cells", "cells": ["Q", "Ä"]}, "has no key"),
    ],
)
def test_marks_that_do_not_fit_the_answer_are_kept_and_nothing_is_written(ws, page, typed, says) -> None:
    answer = page.post("/jobs/1/answer", {**page.card(1, "press-keys"), **typed})
    assert answer.status_code == 422
    assert says in answer.text
    assert findings(ws) == []
    if "Q" in typed.get("cells", ()):
        assert 'name="cells" value="Q" checked' in answer.text


def test_a_bad_module_names_the_copy_in_the_suspects(ws: Workshop, page) -> None:
    page.post("/jobs/1/answer", {**page.card(1, "page-test"), "outcome": "cells", "cells": ["2"]})
    assert findings(ws) == [Finding("page-test", "one", cells=("2",))]
    suspects = bench.job(ws, 1).suspects
    assert suspects[0].name.startswith("memory.2")
    assert suspects[0].chance > 0.8


def test_the_pad_takes_marks_too_and_keeps_them_when_something_must_be_mended(ws: Workshop, page) -> None:
    form = page.form(page.open("/jobs/1/pad"), "/jobs/1/pad")
    clash = {**form, "cells:k:key-lamps": ["A", "S"], "k:key-lamps": "good"}
    answer = page.post("/jobs/1/pad", clash)
    assert answer.status_code == 422
    assert 'name="cells:k:key-lamps" value="A" checked' in answer.text
    assert findings(ws) == []
    assert page.post("/jobs/1/pad", {**form, "cells:k:key-lamps": ["A", "S"]}).status_code == 303
    assert findings(ws) == [Finding("key-lamps", "one", cells=("A", "S"))]
    assert "one or a few keys are dead (2 keys: A, S), seen" in page.open("/jobs/1/pad")


def test_what_is_marked_so_far_is_said_in_words_and_writes_nothing(ws: Workshop, page) -> None:
    at = "/jobs/1/marks?step=press-keys"
    assert page.open(at) == ""
    assert page.open(f"{at}&cells=3&cells=E") == "A whole line is dead: a line, column 3; 2 keys: 3, E"
    assert page.open("/jobs/1/marks?step=nothing&cells=3") == ""
    assert findings(ws) == []


def test_marks_are_refused_where_nothing_can_be_marked(ws: Workshop) -> None:
    with pytest.raises(BadInput, match="No module is marked"):
        bench.answer(ws, 1, StepAnswer("page-test", "cells"), key="a")
    with pytest.raises(BadInput, match="has no module '4'"):
        bench.answer(ws, 1, StepAnswer("page-test", "cells", cells=("4",)), key="b")


def test_the_same_marks_sent_twice_are_written_once(ws: Workshop, page) -> None:
    card = {**page.card(1, "press-keys"), "outcome": "cells", "cells": ["2"]}
    page.post("/jobs/1/answer", card)
    page.post("/jobs/1/answer", card)
    assert len(findings(ws)) == 1

"""The edition of the standard that one machine's supply follows: said of it, it decides its limits."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

import pytest

from powergood import bench
from powergood.bench.editions import limits_of
from powergood.bench.intake_views import TakeIn
from powergood.bench.job_views import JobView
from powergood.bench.library import Library
from powergood.bench.machine_state import MachineState
from powergood.bench.workshop import Workshop
from powergood.errors import BadInput
from powergood.knowledge.model import Claim, OwnLimit
from powergood.packs import builtin_pack
from powergood.record.model import Described, TakenIn

ATX, SHEET = "at-atx-desktop", "torrolf-433"


@pytest.fixture
def ws(tmp_path: Path, library: Library) -> Iterator[Workshop]:
    """An empty workshop."""
    workshop = Workshop.create(tmp_path / "w", library=library)
    yield workshop
    workshop.close()


def job(ws: Workshop, sheet: str = ATX, edition: str = "") -> tuple[str, int]:
    """Return the tag and the job of a machine that was taken in."""
    tag = bench.take_in(ws, TakeIn(name="It", sheet=sheet, edition=edition), key="t")
    return tag, bench.open_job(ws, tag, words="dead", complaint="dead", key="j")


def limits(view: JobView, stage: str = "supply-alone") -> dict[str, str]:
    """Return the limits of a stage's readings in words."""
    card = next(each for each in view.first_power.stages if each.stage == stage)
    return {each.limit: each.limits for each in card.readings}


def test_said_at_take_in_it_sets_the_limits_and_takes_away_the_rails_it_lacks(ws) -> None:
    _, number = job(ws, edition="atx-2-1")
    view = bench.job(ws, number)
    assert limits(view)["three"] == "3.168 to 3.432 V"
    assert "which its supply follows" in view.first_power.limits_of
    described = [fact.body for fact in ws.store.facts() if isinstance(fact.body, Described)]
    assert described == [Described("edition", "atx-2-1")]


def test_said_later_it_judges_readings_of_before_anew_and_unsaid_it_is_as_it_was(ws) -> None:
    tag, number = job(ws)
    usual = limits(bench.job(ws, number))
    bench.note_readings(ws, number, "supply-alone", {"three": "3.45 V"}, with_check=False, key="r")
    bench.describe(ws, tag, {"edition": "atx-2-1"}, key="a")
    card = next(each for each in bench.job(ws, number).first_power.stages if each.stage == "supply-alone")
    assert next(each.place for each in card.readings if each.limit == "three") != "inside"
    bench.describe(ws, tag, {"edition": "atx12v-2-0"}, key="b")
    view = bench.job(ws, number)
    assert "minus-five" not in limits(view)
    page = bench.machine(ws, tag)
    assert page.edition is not None
    assert (page.edition.edition, page.edition_said) == ("atx12v-2-0", True)
    bench.describe(ws, tag, {"edition": ""}, key="c")
    assert limits(bench.job(ws, number)) == usual
    assert "nobody said" in bench.job(ws, number).first_power.limits_of


def test_it_changes_no_digest_and_no_advice(ws) -> None:
    tag, number = job(ws, SHEET)
    before = bench.job(ws, number)
    bench.describe(ws, tag, {"edition": "atx12v-2-0"}, key="a")
    after = bench.job(ws, number)
    assert after.advice == before.advice
    assert after.pack_changed == ""


def test_it_goes_before_all_that_the_sheet_says_of_limits() -> None:
    pack = builtin_pack()
    own = OwnLimit("supply-alone.twelve", Claim(11.9, "S1"), Claim(12.1, "S1"), "Service manual (read)")
    sheet = replace(pack.sheets[SHEET], edition="at", limits=(own,))
    changed = replace(pack, sheets={**pack.sheets, SHEET: sheet})
    by_sheet, said = changed.machine(SHEET), changed.by_edition(SHEET, "atx12v-2-0")
    found = [
        next(limit for stage in model.stages if stage.id == "supply-alone" for limit in stage.limits
             if limit.id == "twelve")
        for model in (by_sheet, said)
    ]  # fmt: skip
    assert [(each.low.value, each.high.value) for each in found] == [(11.9, 12.1), (11.4, 12.6)]
    assert said.digest == by_sheet.digest
    assert (said.id, said.sheet) == (SHEET, SHEET)
    known = Library((changed,)).known(SHEET)
    state = MachineState(TakenIn("M1", "It", SHEET), "", edition="atx12v-2-0")
    assert "own do not count" in limits_of(known, state)


def test_an_edition_that_the_kind_does_not_have_is_refused_with_those_there_are(ws) -> None:
    with pytest.raises(BadInput, match=r"no edition 'atx-9' for this kind; there are: at, atx-0-9"):
        bench.take_in(ws, TakeIn(name="It", sheet=ATX, edition="atx-9"), key="t")
    tag, _ = job(ws, "brenlund-n480")
    with pytest.raises(BadInput, match="there are: none"):
        bench.describe(ws, tag, {"edition": "at"}, key="a")
    assert bench.machine(ws, tag).editions == ()


def test_after_its_kind_was_changed_an_edition_counts_as_not_said(ws) -> None:
    tag, number = job(ws, edition="atx-2-1")
    bench.describe(ws, tag, {"sheet": "brenlund-n480"}, key="a")
    assert bench.machine(ws, tag).edition is None
    assert bench.job(ws, number).first_power.limits_of == ""

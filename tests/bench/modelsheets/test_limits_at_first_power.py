"""A sheet's form sets the edition and limits of its own, each with its source; a job's stages use them."""

from __future__ import annotations

import pytest

from powergood import bench
from powergood.bench import Workshop, modelsheets
from powergood.bench.intake_views import TakeIn
from powergood.knowledge.model import Claim
from powergood.packs.own_sheets import own_file
from powergood.packs.sheet_text import sheet_text


@pytest.fixture
def name(ws: Workshop) -> str:
    return modelsheets.make_sheet(ws, "at-atx-desktop", title="Orrin 2")


OWN = {
    "low:board-rails.twelve": "11.6 (M1)",
    "from:board-rails.twelve": "Service manual, page 12 (read)",
    "source:0:title": "Service manual of the Orrin 2",
}


def row(ws: Workshop, name: str, reading: str):
    return next(each for each in modelsheets.sheet(ws, name).limits if each.reading == reading)


def test_a_limit_of_the_models_own_is_kept_shown_and_used_by_a_job(ws: Workshop, name: str) -> None:
    assert modelsheets.change_sheet(ws, name, OWN) == {}
    shown = row(ws, name, "board-rails.twelve")
    assert (shown.limits, shown.family, shown.own) == ("11.6 to 12.6 V", "11.4 to 12.6 V", True)
    assert "11.6 (M1)" in own_file(ws.store.folder, name).read_text()
    tag = bench.take_in(ws, TakeIn(name="Desk", sheet=name), key="t")
    number = bench.open_job(ws, tag, words="dead", key="j")
    view = bench.note_readings(ws, number, "board-rails", {"twelve": "11.45"}, key="r")
    stage = next(each for each in view.first_power.stages if each.stage == "board-rails")
    twelve = next(each for each in stage.readings if each.limit == "twelve")
    assert twelve.place == "below"
    assert twelve.edition == "Service manual, page 12 (read)"
    assert twelve.source.startswith("Service manual of the Orrin 2")


def test_emptying_the_lines_goes_back_and_nothing_typed_changes_nothing(ws: Workshop, name: str) -> None:
    modelsheets.change_sheet(ws, name, OWN)
    before = sheet_text(ws.library.sheet(name))
    assert modelsheets.change_sheet(ws, name, modelsheets.sheet_form(ws, name)) == {}
    assert sheet_text(ws.library.sheet(name)) == before
    empty = dict.fromkeys((f"{what}:board-rails.twelve" for what in ("low", "high", "from")), "")
    assert modelsheets.change_sheet(ws, name, empty) == {}
    assert ws.library.sheet(name).limits == ()


@pytest.mark.parametrize(
    ("typed", "field", "says"),
    [
        ({"low:board-rails.twelve": "11.6"}, "low:board-rails.twelve", "source in brackets"),
        ({"low:board-rails.twelve": "11.6 (judgement)"}, "low:board-rails.twelve", "where it was read"),
        ({"high:board-rails.twelve": "11.0 (SR1)"}, "low:board-rails.twelve", "not below"),
        ({"high:board-rails.twelve": ""}, "low:board-rails.twelve", "give one here too"),
        ({"high:board-rails.twelve": "12.5 (M9)"}, "high:board-rails.twelve", "no source `M9`"),
        ({"edition": "atx-9"}, "edition", "is no edition here"),
    ],
)
def test_a_mistake_is_told_beside_its_field_and_nothing_is_kept(
    ws: Workshop, name: str, typed: dict[str, str], field: str, says: str
) -> None:
    problems = modelsheets.change_sheet(ws, name, typed)
    assert says in problems[field]
    assert ws.library.sheet(name).limits == ()


def test_the_edition_goes_by_its_title_too_and_changes_no_limit_of_the_sheets_own(
    ws: Workshop, name: str
) -> None:
    modelsheets.change_sheet(ws, name, OWN)
    form = {**modelsheets.sheet_form(ws, name), "edition": "ATX12V 2.0"}
    assert modelsheets.change_sheet(ws, name, form) == {}
    given = ws.library.sheet(name)
    assert given.edition == "atx12v-2-0"
    assert [each.id for each in given.limits] == ["board-rails.twelve"]
    assert given.limits[0].low == Claim(11.6, "M1")
    view = modelsheets.sheet(ws, name)
    assert view.edition
    assert "24 pins" in view.edition.told_by
    assert "supply-alone.minus-five" not in [each.reading for each in view.limits]


def test_taking_a_file_in_shows_each_limit_that_it_would_change(ws: Workshop, name: str) -> None:
    modelsheets.change_sheet(ws, name, OWN)
    text = sheet_text(ws.library.sheet(name))
    wider = text.replace("11.6 (M1)", "11.2 (M1)").replace(
        "title: Orrin 2", "edition: atx-2-1\ntitle: Orrin 2"
    )
    compared = modelsheets.compare_sheet(ws, wider)
    changes = {line.what: (line.before, line.after) for line in compared.changes}
    assert changes["edition"] == ("", "atx-2-1")
    assert changes["limits, board-rails.twelve: low"] == ("11.6 (M1)", "11.2 (M1)")
    assert any("allows more than the 11.4 to 12.6 V" in words for words in compared.warnings)
    clash = wider.replace("board-rails.twelve", "board-rails.minus-nine")
    assert "no stage of the family has a reading" in modelsheets.compare_sheet(ws, clash).mistakes[0]


def test_a_limit_that_allows_more_is_told_on_the_sheet_as_long_as_it_stands(ws: Workshop, name: str) -> None:
    modelsheets.change_sheet(ws, name, OWN)
    assert modelsheets.sheet(ws, name).doubts == ()
    assert modelsheets.change_sheet(ws, name, {"low:board-rails.twelve": "11 (M1)"}) == {}
    doubts = modelsheets.sheet(ws, name).doubts
    assert len(doubts) == 1
    assert doubts[0].startswith("board-rails.twelve: this allows more than the 11.4 to 12.6 V")

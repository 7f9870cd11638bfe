"""A machine comes into the book whole, once, and keeps what is learned of it later."""

from __future__ import annotations

from collections.abc import Sequence
from io import BytesIO

import pytest
from PIL import Image

from powergood.bench import (
    Workshop,
    add_photo,
    answer_intake,
    board,
    describe,
    job,
    kinds,
    machine,
    machines,
    next_tag,
    open_job,
    take_in,
)
from powergood.bench.intake_views import TakeIn
from powergood.bench.library import Library
from powergood.diagnosis import FaultChance
from powergood.errors import BadInput, BadPhoto, UnknownThing
from powergood.record.model import Draft, Fact

SHEET = "brenlund-n480"


def a_photo() -> bytes:
    data = BytesIO()
    Image.new("RGB", (64, 48), "#806040").save(data, "JPEG")
    return data.getvalue()


def test_a_machine_needs_only_a_name_and_a_kind_and_gets_the_next_tag(ws: Workshop) -> None:
    first = take_in(ws, TakeIn(name="Tide laptop", sheet=SHEET, tag="HM-01"), key="a")
    second = take_in(ws, TakeIn(name="Buoy laptop", sheet=SHEET), key="b")
    assert (first, second, next_tag(ws)) == ("HM-01", "HM-02", "HM-03")
    assert [card.name for card in machines(ws)] == ["Buoy laptop", "Tide laptop"]


def test_everything_given_at_take_in_is_on_the_machines_page(ws: Workshop) -> None:
    given = TakeIn(
        name="Tide laptop",
        sheet=SHEET,
        story="Found in a loft",
        came_with="A case",
        condition="Dusty",
        place="Shelf 3",
        intake={"kept-damp": True, "dropped": False},
        photo=a_photo(),
        caption="As it came",
    )
    view = machine(ws, take_in(ws, given, key="a", who="keeper"))
    assert (view.story, view.came_with, view.card.condition, view.card.place) == (
        "Found in a loft",
        "A case",
        "Dusty",
        "Shelf 3",
    )
    assert {line.question: line.answer for line in view.intake if not line.from_year}["kept-damp"] == "yes"
    assert {line.question: line.answer for line in view.intake}["dropped"] == "no"
    assert [(photo.caption, photo.digest) for photo in view.photos] == [("As it came", view.card.photo)]
    assert ws.store.photo_path(view.card.photo, thumb=True).is_file()
    assert {line.who for line in view.record} == {"keeper"}


def test_the_year_is_the_sheets_unless_another_is_given_and_answers_the_age_questions(ws: Workshop) -> None:
    from_sheet = machine(ws, take_in(ws, TakeIn(name="a", sheet=SHEET), key="a"))
    given = machine(ws, take_in(ws, TakeIn(name="b", sheet=SHEET, year=1999), key="b"))
    assert (from_sheet.card.year, given.card.year) == (1996, 1999)
    ages = {line.question: line.answer for line in given.intake if line.from_year}
    assert ages == {"made-before-1998": "no", "made-1998-2001": "yes", "made-after-2001": "no"}


def test_a_form_sent_twice_takes_in_one_machine(ws: Workshop) -> None:
    tags = {take_in(ws, TakeIn(name="Tide laptop", sheet=SHEET), key="same") for _ in range(3)}
    assert len(tags) == 1
    assert len(machines(ws)) == 1


def test_two_forms_that_were_shown_the_same_free_tag_both_get_one(
    ws: Workshop, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The other form is stored between the moment this one looks for a free tag and its own append."""
    real = ws.store.append
    others = [TakeIn(name="Other", sheet=SHEET)]

    def append(drafts: Sequence[Draft]) -> tuple[Fact, ...]:
        if others:
            take_in(ws, others.pop(), key="other")
        return real(drafts)

    monkeypatch.setattr(ws.store, "append", append)
    mine = take_in(ws, TakeIn(name="Mine", sheet=SHEET), key="mine")
    assert {card.tag: card.name for card in machines(ws)} == {"1": "Other", mine: "Mine"}


def test_a_tag_that_is_taken_is_refused_with_the_next_free_one(ws: Workshop, tag: str) -> None:
    with pytest.raises(BadInput, match="The next free one is '2'"):
        take_in(ws, TakeIn(name="b", sheet=SHEET, tag=tag), key="b")


def test_all_that_is_wrong_with_a_form_is_said_at_once_and_nothing_is_stored(ws: Workshop) -> None:
    with pytest.raises(BadInput) as caught:
        take_in(ws, TakeIn(name=" ", sheet=SHEET, year=1066, intake={"haunted": True}), key="a")
    for said in ("name", "1066", "haunted"):
        assert said in str(caught.value)
    assert machines(ws) == ()


def test_an_unknown_sheet_is_told_with_those_there_are(ws: Workshop) -> None:
    with pytest.raises(UnknownThing, match="quillane-tr14"):
        take_in(ws, TakeIn(name="a", sheet="no-such"), key="a")


def test_a_file_that_is_no_photo_stores_nothing_so_that_the_form_can_be_sent_again(ws: Workshop) -> None:
    with pytest.raises(BadPhoto):
        take_in(ws, TakeIn(name="a", sheet=SHEET, photo=b"not a photo"), key="a")
    assert machines(ws) == ()
    assert take_in(ws, TakeIn(name="a", sheet=SHEET), key="a") == "1"


def test_details_change_by_facts_and_what_is_unchanged_adds_none(ws: Workshop, tag: str) -> None:
    before = len(ws.store.facts())
    view = describe(ws, tag, {"place": "Bench", "name": "Chart room laptop", "year": "1997"}, key="d")
    assert (view.card.place, view.card.year) == ("Bench", 1997)
    assert len(ws.store.facts()) == before + 2
    assert [line.sentence for line in view.record][-2:] == ["Place: Bench", "Year: 1997"]


@pytest.mark.parametrize("details", [{"colour": "grey"}, {"year": "old"}, {"year": "1066"}, {"name": ""}])
def test_a_detail_that_cannot_be_is_refused(ws: Workshop, tag: str, details: dict[str, str]) -> None:
    before = len(ws.store.facts())
    with pytest.raises(BadInput):
        describe(ws, tag, details, key="d")
    assert len(ws.store.facts()) == before


def test_the_last_answer_to_a_take_in_question_counts(ws: Workshop, tag: str) -> None:
    answer_intake(ws, tag, {"spill-seen": True}, key="first")
    view = answer_intake(ws, tag, {"spill-seen": False}, key="second")
    assert {line.question: line.answer for line in view.intake}["spill-seen"] == "no"
    with pytest.raises(BadInput, match="haunted"):
        answer_intake(ws, tag, {"haunted": True}, key="third")


def test_a_take_in_answer_moves_the_advice_of_a_job_that_is_open(ws: Workshop, tag: str) -> None:
    number = open_job(ws, tag, words="odd", wanted=("types",), key="job")
    before = {fault.fault: fault.chance for fault in _advice(ws, number)}
    answer_intake(ws, tag, {"spill-seen": True}, key="spill")
    after = {fault.fault: fault.chance for fault in _advice(ws, number)}
    assert after["keyboard.spill"] > 3 * before["keyboard.spill"]


def _advice(ws: Workshop, number: int) -> tuple[FaultChance, ...]:
    advice = job(ws, number).advice
    assert advice is not None
    return advice.faults


def test_a_photo_can_be_added_later_and_once(ws: Workshop, tag: str) -> None:
    first = add_photo(ws, a_photo(), tag=tag, caption="Left side", key="p")
    again = add_photo(ws, a_photo(), tag=tag, caption="Left side", key="p")
    assert first == again
    assert [photo.caption for photo in machine(ws, tag).photos] == ["Left side"]


def test_kinds_are_the_sheets_then_the_whole_families_with_their_questions(ws: Workshop) -> None:
    found = kinds(ws)
    assert [kind.whole_family for kind in found] == sorted(kind.whole_family for kind in found)
    sheet = next(kind for kind in found if kind.sheet == SHEET)
    assert {"kept-damp", "spill-seen"} <= {line.question for line in sheet.intake}
    assert "made-before-1998" not in {line.question for line in sheet.intake}
    assert any(function.wanted for function in sheet.functions)


def test_a_machine_whose_sheet_the_pack_no_longer_has_is_shown_all_the_same(ws: Workshop, tag: str) -> None:
    elsewhere = Workshop(ws.store, Library(()))
    view = machine(elsewhere, tag)
    assert view.card.name == "Chart room laptop"
    assert "not in the pack" in view.card.kind
    assert SHEET in view.kind_trouble
    assert view.record


def test_an_unknown_tag_is_told_so(ws: Workshop) -> None:
    with pytest.raises(UnknownThing, match="'X-9'"):
        machine(ws, "X-9")


def test_a_machine_without_a_job_stands_idle_on_the_board(ws: Workshop, tag: str) -> None:
    seen = board(ws)
    assert [card.tag for card in seen.idle] == [tag]
    assert seen.open == seen.shelved == seen.closed == ()
    assert seen.next_tag == "2"

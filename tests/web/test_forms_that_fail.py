"""Forms with mistakes come back with their text and the problem beside the field; nothing is written."""

from __future__ import annotations

import pytest

from powergood import bench
from powergood.bench.library import Library
from powergood.web.forms import Filled


def _count(workshop, number: int) -> int:
    return len(bench.job(workshop, number).record)


def test_take_in_without_a_name_or_kind_keeps_the_story_and_names_both_problems(visitor, workshop):
    answer = visitor.send("/machines/new", "/machines", name="", sheet="", story="came by boat")
    assert answer.status_code == 422
    assert "Say what it is" in answer.text
    assert "Choose what kind it is" in answer.text
    assert visitor.form(answer.text, "/machines")["story"] == "came by boat"
    assert answer.text.count('aria-invalid="true"') == 2
    assert bench.machines(workshop) == ()


def test_a_form_that_must_be_mended_keeps_its_key(visitor):
    fields = visitor.form(visitor.open("/machines/new"), "/machines")
    answer = visitor.post("/machines", {**fields, "name": ""})
    assert visitor.form(answer.text, "/machines")["key"] == fields["key"]


def test_a_field_that_is_too_long_says_by_how_much_and_keeps_every_letter(visitor):
    words = "x" * 121
    answer = visitor.send("/machines/new", "/machines", name=words, sheet="skerry-20")
    assert answer.status_code == 422
    assert "1 letters too long" in answer.text
    assert visitor.form(answer.text, "/machines")["name"] == words


@pytest.mark.parametrize("tag", ["a/b", "new", "?", "..", "x" * 41])
def test_a_tag_that_could_not_stand_in_an_address_is_not_taken(visitor, tag):
    answer = visitor.send("/machines/new", "/machines", name="Laptop", sheet="skerry-20", tag=tag)
    assert answer.status_code == 422
    assert visitor.form(answer.text, "/machines")["tag"] == tag


def test_a_tag_in_use_is_refused_with_the_form_kept(visitor):
    number = visitor.job_with_complaint()
    tag = visitor.open(f"/jobs/{number}").split('<span class="tag">')[1].split("<")[0]
    answer = visitor.send("/machines/new", "/machines", name="Other", sheet="skerry-20", tag=tag)
    assert answer.status_code == 422
    assert visitor.form(answer.text, "/machines")["name"] == "Other"


@pytest.mark.parametrize("year", ["12", "199x", "-1996", "1.5", "99999999999999999999", "²"])
def test_a_year_that_is_none_is_named_and_kept(visitor, year):
    answer = visitor.send("/machines/new", "/machines", name="Laptop", sheet="skerry-20", year=year)
    assert answer.status_code == 422
    assert visitor.form(answer.text, "/machines")["year"] == year


def test_text_is_shown_as_text_never_as_markup(visitor):
    words = "<script>alert(1)</script> & \"quotes\" 'too'"
    answer = visitor.send("/machines/new", "/machines", name=words, sheet="skerry-20")
    page = visitor.open(answer.headers["location"])
    assert "<script>alert" not in page
    assert "&lt;script&gt;alert(1)&lt;/script&gt;" in page


def test_an_empty_note_is_not_written(visitor, workshop):
    number = visitor.job_with_complaint()
    before = _count(workshop, number)
    answer = visitor.send(f"/jobs/{number}", f"/jobs/{number}/note", text="  \n ")
    assert answer.status_code == 422
    assert "The note is empty" in answer.text
    assert _count(workshop, number) == before


def test_a_reading_that_cannot_be_read_is_kept_in_its_field_and_offered_as_a_note(visitor, workshop):
    number = visitor.job_with_complaint()
    answer = visitor.send(f"/jobs/{number}", f"/jobs/{number}/reading", quantity="5 V rail", text="4.8 or so")
    assert answer.status_code == 422
    assert "kept as a note" in answer.text
    fields = visitor.form(answer.text, f"/jobs/{number}/reading")
    assert fields["text"] == "4.8 or so"
    assert fields["quantity"] == "5 V rail"
    answer = visitor.post(f"/jobs/{number}/reading", {**fields, "text": "4,87 V"})
    assert answer.status_code == 303
    assert "4,87 V" in visitor.open(f"/jobs/{number}")


@pytest.mark.parametrize(
    ("text", "why"),
    [
        ("-300 °C", "nothing is colder"),
        ("-4.7 kΩ", "never below 0"),
        ("1e999 V", "finite"),
        ("4.8", "no unit"),
        ("OL", "over-range"),
    ],
)
def test_an_impossible_reading_says_why_and_stays_in_its_field(visitor, workshop, text, why):
    number = visitor.job_with_complaint()
    before = _count(workshop, number)
    answer = visitor.send(f"/jobs/{number}", f"/jobs/{number}/reading", quantity="board", text=text)
    assert answer.status_code == 422
    assert why in answer.text
    assert visitor.form(answer.text, f"/jobs/{number}/reading")["text"] == text
    assert _count(workshop, number) == before


def test_a_gate_is_not_met_without_its_tick(visitor, workshop):
    number = visitor.job_with_complaint()
    answer = visitor.send(f"/jobs/{number}", f"/jobs/{number}/gate", "cells-seen", how="looked")
    assert answer.status_code == 422
    assert visitor.form(answer.text, f"/jobs/{number}/gate", "cells-seen")["how"] == "looked"
    assert not bench.job(workshop, number).gates[0].met


def test_a_step_answered_with_an_outcome_it_does_not_have_writes_nothing_and_keeps_the_words(
    visitor, workshop
):
    number = visitor.job_with_complaint()
    visitor.meet_gate(number)
    before = _count(workshop, number)
    answer = visitor.post(
        f"/jobs/{number}/answer",
        {**visitor.card(number, "torch"), "outcome": "green", "note": "looked twice"},
    )
    assert answer.status_code == 422
    assert visitor.form(answer.text, f"/jobs/{number}/answer", "torch")["note"] == "looked twice"
    assert _count(workshop, number) == before


def test_a_step_that_cannot_be_undone_wants_its_tick_first(visitor, workshop):
    number = visitor.job_with_complaint("dead")
    visitor.meet_gate(number)
    at = f"/jobs/{number}"
    fields = {
        **visitor.form(visitor.open(at), f"{at}/answer"),
        "step": "remove-standby",
        "kind": "fix",
        "asks-consent": "yes",
        "outcome": "done",
    }
    before = _count(workshop, number)
    answer = visitor.post(f"{at}/answer", fields)
    assert answer.status_code == 422
    assert "cannot be undone" in answer.text
    assert _count(workshop, number) == before
    assert visitor.post(f"{at}/answer", {**fields, "consent": "yes"}).status_code == 303


def test_a_pad_with_nothing_chosen_says_so_and_keeps_the_words(visitor, workshop):
    number = visitor.job_with_complaint()
    visitor.meet_gate(number)
    answer = visitor.send(f"/jobs/{number}/pad", f"/jobs/{number}/pad", note="a hum")
    assert answer.status_code == 422
    assert "Nothing was chosen" in answer.text
    assert visitor.form(answer.text, f"/jobs/{number}/pad")["note"] == "a hum"


def test_the_pad_keeps_what_was_chosen_when_one_answer_is_not_known(visitor, workshop):
    number = visitor.job_with_complaint()
    visitor.meet_gate(number)
    at = f"/jobs/{number}/pad"
    answer = visitor.send(at, at, **{"k:how-far": "picture", "k:power-lamp": "purple"})
    assert answer.status_code == 422
    assert visitor.form(answer.text, at)["k:how-far"] == "picture"
    assert "not on the list any more" in answer.text


def test_what_was_typed_for_a_step_that_is_gone_is_shown(visitor, workshop):
    number = visitor.job_with_complaint()
    visitor.meet_gate(number)
    at = f"/jobs/{number}"
    fields = visitor.form(visitor.open(at), f"{at}/answer")
    answer = visitor.post(
        f"{at}/answer",
        {**fields, "step": "gone", "form-name": "step-gone", "outcome": "good", "note": "it hummed"},
    )
    assert answer.status_code == 422
    assert "not on the page any more" in answer.text
    assert "it hummed" in answer.text


def test_sign_off_with_something_unproven_is_refused_until_words_say_why(visitor, workshop):
    number = visitor.job_with_complaint()
    at = f"/jobs/{number}/sign-off"
    answer = visitor.send(at, at, words="")
    assert answer.status_code == 422
    assert bench.job(workshop, number).standing == "open"
    assert visitor.send(at, at, words="wanted as a shelf piece").status_code == 303
    assert bench.job(workshop, number).standing == "signed off"


def test_stopping_wants_a_reason_and_shelving_wants_to_know_for_what(visitor, workshop):
    number = visitor.job_with_complaint()
    at = f"/jobs/{number}"
    assert visitor.send(at, f"{at}/stop", because="").status_code == 422
    answer = visitor.send(at, f"{at}/shelve", words="the blue one")
    assert answer.status_code == 422
    assert visitor.form(answer.text, f"{at}/shelve")["words"] == "the blue one"
    assert visitor.send(at, f"{at}/shelve", waits_for="a part", words="inverter").status_code == 303
    page = visitor.open(at)
    assert "On the shelf for a part" in page
    assert "inverter" in visitor.open("/")
    assert visitor.send(at, f"{at}/resume", words="it came").status_code == 303
    assert bench.job(workshop, number).standing == "open"
    assert visitor.send(at, f"{at}/stop", because="not worth it").status_code == 303
    assert bench.job(workshop, number).standing == "stopped"


@pytest.mark.parametrize("text", ["0000000001234567890", "0" * 5000, "1" * 5000, "²", "-1", "1e3", "100"])
def test_a_number_beyond_its_bounds_is_told_however_it_is_written(text: str) -> None:
    form = Filled(text={"copy": text})
    assert form.number("copy", least=0, most=99) == 0
    assert "not a whole number from 0 to 99" in form.problems["copy"]


def test_words_said_of_a_machine_whose_kind_is_no_longer_known_are_kept(visitor, workshop):
    number = visitor.job_with_complaint("")
    at = f"/jobs/{number}"
    fields = {**visitor.form(visitor.open(at), f"{at}/complaint"), "words": "smells of fish"}
    workshop.library = Library([])
    answer = visitor.post(f"{at}/complaint", fields)
    assert answer.status_code == 303
    assert "smells of fish" in visitor.open(answer.headers["location"])

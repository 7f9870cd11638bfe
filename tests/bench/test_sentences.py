"""Every kind of fact has a plain sentence."""

from __future__ import annotations

import dataclasses
from typing import Any, get_args, get_type_hints

import pytest

from powergood.bench.kind_words import KIND_WORDS
from powergood.bench.library import Library
from powergood.bench.sentences import fact_sentence, note_of
from powergood.bench.wording import Wording
from powergood.record import model as r


@pytest.fixture(scope="module")
def words(library: Library) -> Wording:
    return library.known("brenlund-n480").words


def fact(body: r.Body) -> r.Fact:
    return r.Fact(7, "2026-03-02T18:00:00Z", r.Draft(body, key="k", machines=("1",), job=1))


def any_body(kind: type[Any]) -> r.Body:
    """Return a body of a kind with something in every field."""
    samples: dict[object, object] = {
        str: "thing",
        int: 3,
        float: 1.5,
        bool: True,
        tuple[str, ...]: ("thing",),
    }
    hints = get_type_hints(kind)
    values = {
        each.name: samples.get(hints[each.name]) or get_args(hints[each.name])[0]
        for each in dataclasses.fields(kind)
    }
    return kind(**values)  # type: ignore[no-any-return]


@pytest.mark.parametrize("kind", r.BODY_KINDS, ids=lambda kind: kind.__name__)
def test_each_kind_of_fact_has_a_sentence_even_when_no_id_in_it_is_known(kind: type[Any]) -> None:
    said = fact_sentence(fact(any_body(kind)), Wording())
    assert said
    assert said[0] == said[0].upper() or kind is r.Note or said.startswith("thing")
    assert "\n" not in said
    assert kind in KIND_WORDS


@pytest.mark.parametrize(
    ("body", "sentence"),
    [
        (r.Finding("pad-fan", "good"), "Fan: fan turns, seen"),
        (r.Finding("pad-fan", "bad", sure=False), "Fan: no fan, seen, not sure"),
        (r.Finding("pad-light", "light", told=True), "Light behind the screen: dark, told"),
        (r.Finding("pad-fan", "no verdict"), "Fan: no verdict, seen"),
        (r.Opened("palm-rest"), "Opened: palm rest off"),
        (r.GateAnswered("quarantine", True, "dry"), "Clean enough to be on the bench: met"),
        (r.Complained("Black!", "screen-black"), "Complaint, told: Black! (taken for: The screen is black)"),
        (r.PartOut("keyboard"), "Out: keyboard"),
        (r.Withdrawn(4, "wrong machine"), "Took back fact 4: wrong machine"),
        (
            r.SignedOff("Sold so", ("types",)),
            "Signed off with these not proven: Every key types. Reason: Sold so",
        ),
        (r.Shelved("a part", "a lamp"), "On the shelf for a part"),
    ],
)
def test_a_fact_reads_as_a_person_would_say_it(body: r.Body, sentence: str, words: Wording) -> None:
    assert fact_sentence(fact(body), words) == sentence


def test_what_was_typed_beside_a_fact_is_its_note() -> None:
    assert note_of(fact(r.Finding("pad-fan", "good", note="loud"))) == "loud"
    assert note_of(fact(r.GateAnswered("quarantine", True, "dry"))) == "dry"
    assert note_of(fact(r.CannotDo("torch", "no torch"))) == "no torch"
    assert note_of(fact(r.Opened("palm-rest"))) == ""


@pytest.mark.parametrize("learned", ["", "4a388368a58c" * 5])
def test_what_a_job_rests_on_is_said_without_a_digest(words: Wording, learned: str) -> None:
    said = fact_sentence(fact(r.Pinned("2a3f50797fc7" * 5, learned)), words)
    assert "2a3f50" not in said
    assert "4a3883" not in said
    assert ("closed" in said) == bool(learned)

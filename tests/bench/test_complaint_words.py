"""Words typed at take-in lead to the complaint a person would have picked."""

from __future__ import annotations

from collections.abc import Sequence

import pytest
from hypothesis import given
from hypothesis import strategies as st

from powergood.bench.complaint_words import chosen, matched
from powergood.bench.library import Library
from powergood.bench.matching import folded
from powergood.knowledge.model import Answer, Complaint
from powergood.packs import builtin_pack


@pytest.fixture(scope="module")
def complaints(library: Library) -> Sequence[Complaint]:
    return library.known("brenlund-n480").model.complaints


# The right answers are judgement: what a practitioner would take the words for.
@pytest.mark.parametrize(
    ("typed", "first"),
    [
        ("it is completely dead", "dead"),
        ("nothing happens when I press the power button", "dead"),
        ("The display stays dark, but I can hear it start", "no-picture-but-runs"),
        ("very dim screen, can just see the image", "dark-picture"),
        ("backlight does not work", "dark-picture"),
        ("Hard disk clicking!", "disk-clicks"),
        ("clicking HDD", "disk-clicks"),
        ("it beeps three times", "beeps"),
        ("battery won't charge", "no-charge"),
        ("battery won’t charge", "no-charge"),
        ("lines on the display", "stripes"),
        ("asks for a password", "password"),
        ("CD drive tray is stuck", "tray"),
        ("smells burnt", "burnt"),
        ("the screen flickers and is reddish", "pink"),
        ("operating system not found", "no-system"),
        ("mouse pointer jumps around", "pointer-bad"),
        ("lid hinge broken", "hinge"),
        ("overheats and shuts down", "off-after-a-while"),
        ("forgets the date", "date-lost"),
        ("I have to wiggle the plug", "wiggle"),
        ("there is green crust inside", "crust"),
        ("no sound", "no-sound"),
        ("usb does not work", "port-dead"),
        ("network card not detected", "card-not-seen"),
        ("won't wake from standby", "does-not-wake"),
        ("goes to sleep on its own", "sleeps-by-itself"),
    ],
)
def test_the_right_complaint_comes_first(typed: str, first: str, complaints: Sequence[Complaint]) -> None:
    assert matched(complaints, typed).choices[0].complaint == first


def test_every_complaint_is_found_by_its_own_words_and_each_other_way_of_saying_it(
    complaints: Sequence[Complaint],
) -> None:
    missed = [
        (each.id, words)
        for each in complaints
        for words in (each.words, *each.also)
        if each.id not in {choice.complaint for choice in matched(complaints, words).choices}
    ]
    assert missed == []


@pytest.mark.parametrize("typed", ["The screen is black", "black screen", "blank display"])
def test_an_unclear_complaint_asks_its_one_question_and_takes_nothing(
    typed: str, complaints: Sequence[Complaint]
) -> None:
    match = matched(complaints, typed)
    assert match.ask
    assert match.best == ""
    assert "dark-picture" in {answer.complaint for answer in match.answers}


def test_a_clear_complaint_is_taken_and_asks_nothing(complaints: Sequence[Complaint]) -> None:
    match = matched(complaints, "battery won't charge")
    assert (match.best, match.ask) == ("no-charge", "")


def test_two_that_fit_alike_are_offered_and_neither_is_taken(complaints: Sequence[Complaint]) -> None:
    match = matched(complaints, "some keys are dead")
    assert match.best == ""
    assert {"key-row", "one-key"} <= {choice.complaint for choice in match.choices}


def test_words_that_fit_nothing_are_kept_and_the_job_can_start_without(
    complaints: Sequence[Complaint],
) -> None:
    match = matched(complaints, "fell into the harbour")
    assert (match.words, match.best, match.choices, match.ask) == ("fell into the harbour", "", (), "")


def test_no_and_not_tell_complaints_apart() -> None:
    two = (Complaint("has", "A picture"), Complaint("lacks", "No picture"))
    assert matched(two, "it doesn't show a picture").choices[0].complaint == "lacks"
    assert matched(two, "a picture comes").choices[0].complaint == "has"


def test_picking_an_unclear_complaint_by_hand_asks_its_question_too() -> None:
    asks = Complaint("odd", "Odd", ask="How odd?", answers=(Answer("Very", "very"),))
    very = Complaint("very", "Very odd")
    picked = chosen((asks, very), "odd thing", "odd")
    assert picked is not None
    assert (picked.best, picked.ask) == ("", "How odd?")
    settled = chosen((asks, very), "odd thing", "very")
    assert settled is not None
    assert settled.best == "very"
    assert chosen((asks, very), "odd thing", "other") is None


def test_words_are_folded_to_what_tells() -> None:
    assert folded("The hard disks aren't spinning") == ("disk", "!spin")
    assert folded("It WON'T turn on.") == ("!switch",)


@given(st.text(max_size=80))
def test_whatever_is_typed_is_kept_as_it_is_and_scores_are_chances(typed: str) -> None:
    family = builtin_pack().families["pata-laptop"]
    match = matched(family.complaints, typed)
    assert match.words == typed
    assert all(0.0 < choice.score <= 1.0 for choice in match.choices)
    assert list(match.choices) == sorted(match.choices, key=lambda choice: -choice.score)

"""Openings come off from outside in and go back from inside out."""

from __future__ import annotations

from powergood.bench.openings import closed_with, outermost_first, still_closed
from powergood.knowledge.model import Claim, Opening


def opening(name: str, layer: int, *behind: str) -> Opening:
    return Opening(name, name, Claim(1, "judgement"), Claim(1, "judgement"), behind=behind, layer=layer)


# board lies behind rest and hatch; rest behind keyboard; bezel stands alone
MACHINE = {
    each.id: each
    for each in (
        opening("board", 4, "rest", "hatch"),
        opening("rest", 3, "keyboard"),
        opening("keyboard", 2),
        opening("hatch", 1),
        opening("bezel", 1),
    )
}


def test_an_opening_brings_all_that_lies_before_it_outermost_first() -> None:
    assert outermost_first(MACHINE, ["board"]) == ("keyboard", "rest", "hatch", "board")


def test_what_is_open_already_is_not_on_the_way() -> None:
    assert still_closed(MACHINE, ["board"], ["keyboard", "hatch"]) == ("rest", "board")
    assert still_closed(MACHINE, [], ["keyboard"]) == ()


def test_closing_an_outer_layer_closes_what_lies_behind_it_innermost_first() -> None:
    assert closed_with(MACHINE, ["keyboard"], ["keyboard", "rest", "bezel"]) == ("rest", "keyboard")
    assert closed_with(MACHINE, ["hatch"], ["hatch", "keyboard", "rest", "board"]) == ("board", "hatch")


def test_closing_what_is_not_open_closes_nothing() -> None:
    assert closed_with(MACHINE, ["rest"], ["bezel"]) == ()


def test_a_name_that_is_not_known_is_left_out() -> None:
    assert outermost_first(MACHINE, ["attic", "bezel"]) == ("bezel",)

"""The section drawing shows layers from outside in, what is suspect, and the way to the next step."""

from __future__ import annotations

from dataclasses import replace

import pytest

from powergood.bench.cutaway import cutaway, goal_slots, part_standings, parts_behind
from powergood.bench.library import Known, Library
from powergood.diagnosis import Advice, FaultChance, FunctionState, Step
from powergood.record.timeline import Bench

NOTHING = Advice("", "", (), (), (), (), (), (), 0.0, 0.0, 0.0, ())


@pytest.fixture(scope="module")
def known(library: Library) -> Known:
    return library.known("brenlund-n480")


def step(name: str, *opens: str) -> Step:
    return Step(name, "fix", "", (), 1, 0, 0, opens, 1, "")


def test_layers_come_outermost_first_and_each_part_lies_in_one(known: Known) -> None:
    drawn = cutaway(known.model, known.words, Bench(), None)
    assert drawn.layers[0].title == "Outside"
    assert [layer.layer for layer in drawn.layers] == sorted(layer.layer for layer in drawn.layers)
    tiles = [part.slot for layer in drawn.layers for part in layer.parts]
    assert sorted(tiles) == sorted(known.words.homes)
    assert {layer.opening for layer in drawn.layers} == {"", *known.words.openings}


def test_open_layers_are_marked_and_counted(known: Known) -> None:
    drawn = cutaway(known.model, known.words, Bench(opened=frozenset({"keyboard-up", "palm-rest"})), None)
    assert {layer.opening for layer in drawn.layers if layer.open} == {"", "keyboard-up", "palm-rest"}
    assert drawn.depth == 2
    assert drawn.words == "2 layers are open."


def test_the_route_leads_from_the_outermost_closed_opening_to_the_next_step(known: Known) -> None:
    advice = replace(NOTHING, steps=(step("take-standby-pack-out", "palm-rest", "keyboard-up"),))
    drawn = cutaway(known.model, known.words, Bench(), advice)
    assert drawn.route == ("keyboard-up", "palm-rest")
    assert drawn.goal == ("standby-cell",)
    assert [layer.opening for layer in drawn.layers if layer.on_route] == ["keyboard-up", "palm-rest"]
    assert "keyboard tipped forward, palm rest off" in drawn.words
    nearer = cutaway(known.model, known.words, Bench(opened=frozenset({"keyboard-up"})), advice)
    assert nearer.route == ("palm-rest",)


def test_a_part_is_suspect_by_its_likeliest_fault_and_cleared_when_the_advice_says_so(known: Known) -> None:
    faults = (
        FaultChance("inverter.failed", "inverter", 0.6, "Inverter failed"),
        FaultChance("inverter.failing", "inverter", 0.2, "Inverter comes and goes"),
        FaultChance("lamp.worn", "lamp", 0.01),
        FaultChance("panel.cracked", "panel", 0.03),
    )
    advice = replace(NOTHING, faults=faults, cleared=("lamp",))
    standing = part_standings(known.model, known.words, Bench(), advice)
    assert standing["inverter"] == ("suspect", 0.6)
    assert standing["lamp"] == ("cleared", 0.0)
    assert standing["panel"] == ("unknown", 0.0)
    drawn = cutaway(known.model, known.words, Bench(), advice)
    tile = next(part for layer in drawn.layers for part in layer.parts if part.slot == "inverter")
    assert [fault.title for fault in tile.faults] == ["Inverter failed", "Inverter comes and goes"]


def test_a_part_is_proven_when_all_wanted_functions_that_rest_on_it_are(known: Known) -> None:
    proven = FunctionState("picture", "", "proven", 0.0)
    waiting = FunctionState("types", "", "unknown", 0.3)
    alone = part_standings(known.model, known.words, Bench(), replace(NOTHING, functions=(proven,)))
    assert alone["inverter"][0] == alone["main-board"][0] == "proven"
    assert alone["keyboard"][0] == "unknown"
    both = part_standings(known.model, known.words, Bench(), replace(NOTHING, functions=(proven, waiting)))
    assert both["inverter"][0] == "proven"
    assert both["main-board"][0] == "unknown"


def test_what_a_function_rests_on_is_found_through_what_it_needs(known: Known) -> None:
    assert {"inverter", "lamp", "panel", "main-board"} <= parts_behind(known.model, ["picture"])
    assert "keyboard" not in parts_behind(known.model, ["picture"])
    assert parts_behind(known.model, []) == frozenset()


def test_a_part_that_is_out_is_drawn_out_and_a_new_one_by_its_own_name(known: Known) -> None:
    bench = Bench(moved={"keyboard": "", "inverter": "inverter/2"})
    advice = replace(NOTHING, faults=(FaultChance("inverter.failed", "inverter/2", 0.3),))
    drawn = cutaway(known.model, known.words, bench, advice)
    tiles = {part.slot: part for layer in drawn.layers for part in layer.parts}
    assert (tiles["keyboard"].fitted, tiles["keyboard"].standing) == (False, "unknown")
    assert (tiles["inverter"].instance, tiles["inverter"].standing) == ("inverter/2", "suspect")


def test_the_next_step_points_at_the_part_it_is_about(library: Library, known: Known) -> None:
    assert goal_slots(known.model, known.words, step("replace-inverter")) == ("inverter",)
    assert goal_slots(known.model, known.words, step("try-known-good-inverter")) == ("inverter",)
    assert "standby-cell" in goal_slots(known.model, known.words, step("look-at-standby-pack"))
    assert goal_slots(known.model, known.words, step("quarantine")) == ()
    assert goal_slots(known.model, known.words, None) == ()
    two = library.known("quillane-tr14")
    assert goal_slots(two.model, two.words, step("one-module-at-a-time#2")) == ("memory.2",)

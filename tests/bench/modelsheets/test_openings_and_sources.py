"""A sheet's form adds ways in with their fasteners, minutes and parts, and sources of its own."""

from __future__ import annotations

from dataclasses import replace

import pytest

from powergood.bench import Workshop, modelsheets
from powergood.packs import builtin_pack
from powergood.packs.own_sheets import own_file, sheet_of_text
from powergood.packs.sheet_text import sheet_text

PACK = builtin_pack()


@pytest.fixture
def name(ws: Workshop) -> str:
    return modelsheets.make_sheet(ws, "pata-laptop", title="Torvane 300")


SHIELD = {
    "new-opening:0:title": "Shield off",
    "new-opening:0:minutes": "2,5 (M1)",
    "new-opening:0:refit": "3",
    "new-opening:0:fasteners": "4 screws M2 x 3\n2 tabs",
    "new-opening:0:behind": "Keyboard up",
    "new-opening:0:parts": "Inverter",
    "source:0:title": "Own stopwatch, two machines",
    "source:0:address": "https://example.org/torvane",
}


def shield(ws: Workshop) -> dict[str, str]:
    """Return the fields of a new opening, with titles as the family has them."""
    model = ws.library.known("pata-laptop").model
    keyboard = next(each.title for each in model.openings if each.id == "keyboard-up")
    inverter = next(part.title for part in model.parts if part.id == "inverter")
    return {**SHIELD, "new-opening:0:behind": keyboard, "new-opening:0:parts": inverter}


def test_a_way_in_of_its_own_is_added_with_all_that_belongs_to_it(ws: Workshop, name: str) -> None:
    assert modelsheets.change_sheet(ws, name, shield(ws)) == {}
    model = ws.library.known(name).model
    made = next(each for each in model.openings if each.id == "shield-off")
    assert (made.minutes.value, made.minutes.source, made.refit.source) == (2.5, "M1", "judgement")
    assert made.fasteners == ("4 screws M2 x 3", "2 tabs")
    assert made.behind == ("keyboard-up",)
    keyboard = next(each for each in model.openings if each.id == "keyboard-up")
    assert made.layer == keyboard.layer + 1
    assert next(part.opening for part in model.parts if part.id == "inverter") == "shield-off"
    view = modelsheets.sheet(ws, name)
    assert [(source.source, source.title) for source in view.sources] == [
        ("M1", "Own stopwatch, two machines")
    ]


def test_what_was_added_stands_in_the_form_and_sending_it_again_changes_nothing(
    ws: Workshop, name: str
) -> None:
    modelsheets.change_sheet(ws, name, shield(ws))
    form = modelsheets.sheet_form(ws, name)
    assert form["minutes:shield-off"] == "2.5 (M1)"
    assert form["parts:shield-off"]
    assert form["source:0:id"] == "M1"
    assert form["source:1:id"] == "M2"
    before = own_file(ws.store.folder, name).read_text("utf-8")
    assert modelsheets.change_sheet(ws, name, form) == {}
    assert own_file(ws.store.folder, name).read_text("utf-8") == before


def test_an_opening_there_is_can_lie_behind_the_new_one(ws: Workshop, name: str) -> None:
    modelsheets.change_sheet(ws, name, shield(ws))
    assert modelsheets.change_sheet(ws, name, {"behind:cooler-off": "palm-rest\nShield off"}) == {}
    cooler = next(each for each in ws.library.known(name).model.openings if each.id == "cooler-off")
    assert cooler.behind == ("palm-rest", "shield-off")


def test_emptying_all_its_fields_takes_an_own_opening_away_and_its_parts_go_home(
    ws: Workshop, name: str
) -> None:
    before = own_file(ws.store.folder, name).read_text("utf-8")
    modelsheets.change_sheet(ws, name, shield(ws))
    gone = {
        field: ""
        for field in modelsheets.sheet_form(ws, name)
        if field.endswith(":shield-off") or field.startswith("source:0:")
    }
    assert modelsheets.change_sheet(ws, name, gone) == {}
    assert own_file(ws.store.folder, name).read_text("utf-8") == before


def test_a_part_that_is_no_longer_named_goes_back_to_where_the_family_has_it(ws: Workshop, name: str) -> None:
    modelsheets.change_sheet(ws, name, shield(ws))
    modelsheets.change_sheet(ws, name, {"parts:shield-off": ""})
    usual = {part.id: part.opening for part in ws.library.known("pata-laptop").model.parts}
    assert {part.id: part.opening for part in ws.library.known(name).model.parts} == usual


@pytest.mark.parametrize(
    ("wrong", "field", "says"),
    [
        ({"new-opening:0:minutes": ""}, "new-opening:0:minutes", "not a number of minutes"),
        ({"new-opening:0:title": " "}, "new-opening:0:title", "needs a name"),
        ({"new-opening:0:minutes": "2 (M7)"}, "new-opening:0:minutes", "no source `M7`"),
        ({"new-opening:0:minutes": "2 (M1"}, "new-opening:0:minutes", "in brackets"),
        ({"new-opening:0:behind": "Roof"}, "new-opening:0:behind", "There are: "),
        ({"new-opening:0:parts": "Anvil"}, "new-opening:0:parts", "no part of this model"),
        ({"source:0:id": "my own"}, "source:0:id", "M1"),
        ({"source:0:title": ""}, "source:0:title", "what the source is"),
        ({"minutes:memory-hatch": "2 (M9)"}, "minutes:memory-hatch", "no source `M9`"),
        ({"behind:keyboard-up": "cooler-off"}, "behind:cooler-off", "in a circle"),
    ],
)
def test_each_mistake_is_told_beside_its_field_and_nothing_is_kept(
    ws: Workshop, name: str, wrong: dict[str, str], field: str, says: str
) -> None:
    before = own_file(ws.store.folder, name).read_text("utf-8")
    problems = modelsheets.change_sheet(ws, name, {**shield(ws), **wrong})
    assert says in problems.get(field, ""), problems
    assert own_file(ws.store.folder, name).read_text("utf-8") == before


def test_two_sources_of_one_name_are_refused(ws: Workshop, name: str) -> None:
    modelsheets.change_sheet(ws, name, {"source:0:title": "First"})
    problems = modelsheets.change_sheet(ws, name, {"source:1:title": "Second", "source:1:id": "M1"})
    assert set(problems) == {"source:1:id"}


@pytest.mark.parametrize("sheet", PACK.sheets)
def test_the_form_of_a_copy_of_any_shipped_sheet_sent_as_it_stands_changes_nothing(
    ws: Workshop, sheet: str
) -> None:
    copy = modelsheets.make_sheet(ws, sheet, title="Copy")
    before = own_file(ws.store.folder, copy).read_text("utf-8")
    assert modelsheets.change_sheet(ws, copy, modelsheets.sheet_form(ws, copy)) == {}
    assert own_file(ws.store.folder, copy).read_text("utf-8") == before


def test_what_a_sheet_says_in_place_of_its_family_is_listed_value_by_value(ws: Workshop, name: str) -> None:
    assert modelsheets.sheet(ws, name).overrides == ()
    modelsheets.change_sheet(ws, name, {"minutes:memory-hatch": "9", "copies:memory": "1"})
    usual = ws.library.known("pata-laptop").model
    hatch = next(each for each in usual.openings if each.id == "memory-hatch")
    copies = next(part.copies for part in usual.parts if part.id == "memory")
    said = {line.what: (line.before, line.after) for line in modelsheets.sheet(ws, name).overrides}
    assert said == {
        "copies, memory": (str(copies), "1"),
        "openings, memory-hatch: minutes": (
            f"{hatch.minutes.value:g} ({hatch.minutes.source})",
            "9 (judgement)",
        ),
    }


def test_a_sheet_with_ways_in_of_its_own_is_shared_as_one_file(ws: Workshop, name: str) -> None:
    modelsheets.change_sheet(ws, name, shield(ws))
    file, text = modelsheets.sheet_file(ws, name)
    assert file == "torvane-300.yaml"
    read = sheet_of_text(text, "it", [PACK])
    assert read.issues == ()
    assert read.sheet is not None
    assert sheet_text(replace(read.sheet)) == text


def test_every_sheet_is_listed_and_own_ones_are_known(ws: Workshop, name: str) -> None:
    listed = modelsheets.sheets(ws)
    assert {each.sheet for each in listed} == {*PACK.sheets, name}
    assert [each.sheet for each in listed if each.own] == [name]
    assert modelsheets.kept_in(ws, name).is_file()

"""Model sheets are read, made, changed, shared and taken in, and nothing wins in silence."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest

from powergood.bench import Workshop, modelsheets
from powergood.errors import BadInput, UnknownThing
from powergood.packs import builtin_pack
from powergood.packs.own_sheets import own_file, sheet_of_text
from powergood.packs.sheet_text import sheet_text
from powergood.store import Store
from powergood.store.backup import backup
from powergood.store.restore import restore

PACK = builtin_pack()


def made(ws: Workshop) -> str:
    return modelsheets.make_sheet(ws, "pata-laptop", title="Torvane 300", make="Torvane", year=1997)


@pytest.mark.parametrize("name", PACK.sheets)
def test_a_sheet_written_as_a_file_reads_back_the_same(name: str) -> None:
    sheet = PACK.sheets[name]
    assert sheet_of_text(sheet_text(sheet), "it", [PACK]).sheet == sheet


@pytest.mark.parametrize(
    "awkward", ["no", "1997", "a: b", "# x", "{x}", "ü “q”", "- x", "5 (judgement)", "~"]
)
def test_awkward_words_survive_being_written_and_read(awkward: str) -> None:
    sheet = replace(PACK.sheets["brenlund-n480"], title=awkward, weak_points=(awkward,), make=awkward)
    assert sheet_of_text(sheet_text(sheet), "it", [PACK]).sheet == sheet


def test_a_sheet_is_read_with_all_a_person_needs(ws: Workshop) -> None:
    view = modelsheets.sheet(ws, "quillane-tr14")
    gone = {slot.part for slot in view.slots if slot.copies == 0}
    assert gone == {"standby-cell", "floppy-drive"}
    assert next(cell for cell in view.cells if cell.cell == "clock-cell").polarity.startswith("Red plus")
    hatch = next(each for each in view.openings if each.opening == "memory-hatch")
    assert (hatch.fasteners, hatch.minutes, hatch.own) == (("2 captive screws",), 1.5, True)
    assert all((view.boot_routes, view.weak_points, view.healthy))
    assert not view.own


def test_a_sheet_made_from_a_family_is_there_at_once_and_after_a_restart(ws: Workshop) -> None:
    name = made(ws)
    assert name == "torvane-300"
    assert ws.library.known(name).model.title == "Torvane 300"
    ws.close()
    again = Workshop.open(ws.store.folder)
    assert modelsheets.sheet(again, name).own
    assert again.library.troubles == ()
    again.close()


def test_two_sheets_of_one_name_get_ids_of_their_own(ws: Workshop) -> None:
    assert [made(ws), made(ws)] == ["torvane-300", "torvane-300-2"]


def test_what_is_changed_in_the_form_is_what_the_sheet_then_says(ws: Workshop) -> None:
    name = made(ws)
    said = {
        "year": "1998",
        "copies:memory": "1",
        "copies:floppy-drive": "0",
        "minutes:memory-hatch": "2,5",
        "fasteners:memory-hatch": "1 screw M2 x 4\n\n2 clips",
        "weak_points": "Hinge cracks\nInlet cracks",
        "healthy": "adapter at the plug: 16.0 V",
        "cell:2:title": "Bridge pack",
        "cell:2:kind": "7.2 V nickel",
        "cell:2:place": "Under the pointer",
    }
    assert modelsheets.change_sheet(ws, name, said) == {}
    view = modelsheets.sheet(ws, name)
    hatch = next(each for each in view.openings if each.opening == "memory-hatch")
    assert (hatch.minutes, hatch.fasteners) == (2.5, ("1 screw M2 x 4", "2 clips"))
    assert {slot.part: slot.copies for slot in view.slots if slot.copies != slot.usual}["floppy-drive"] == 0
    assert [cell.title for cell in view.cells][-1] == "Bridge pack"
    assert view.weak_points == ("Hinge cracks", "Inlet cracks")
    assert [line.reading for line in view.healthy] == ["16.0 V"]
    assert modelsheets.change_sheet(ws, name, {}) == {}
    assert modelsheets.sheet(ws, name) == view


def test_a_form_sent_as_it_stands_changes_nothing(ws: Workshop) -> None:
    name = modelsheets.make_sheet(ws, "brenlund-n480", title="Copy")
    before = own_file(ws.store.folder, name).read_text("utf-8")
    assert modelsheets.change_sheet(ws, name, modelsheets.sheet_form(ws, name)) == {}
    assert own_file(ws.store.folder, name).read_text("utf-8") == before


def test_every_problem_of_a_form_is_told_beside_its_field_and_nothing_is_kept(ws: Workshop) -> None:
    name = made(ws)
    before = modelsheets.sheet(ws, name)
    wrong = {
        "title": " ",
        "year": "97",
        "copies:memory": "many",
        "minutes:memory-hatch": "soon",
        "healthy": "no colon here",
        "cell:2:title": "Bridge pack",
    }
    problems = modelsheets.change_sheet(ws, name, wrong)
    assert set(problems) == {
        "title", "year", "copies:memory", "minutes:memory-hatch", "healthy", "cell:2:kind", "cell:2:place",
    }  # fmt: skip
    assert modelsheets.sheet(ws, name) == before


def test_a_sheet_of_a_pack_is_never_changed_in_place(ws: Workshop) -> None:
    with pytest.raises(BadInput, match="belongs to a pack"):
        modelsheets.change_sheet(ws, "brenlund-n480", {"title": "Mine"})
    with pytest.raises(UnknownThing):
        modelsheets.sheet(ws, "pata-laptop")


def test_taking_a_new_sheet_in_shows_what_it_says_and_writes_nothing_until_asked(ws: Workshop) -> None:
    text = sheet_text(replace(PACK.sheets["brenlund-n480"], id="orrin-2", title="Orrin 2"))
    shown = modelsheets.compare_sheet(ws, text)
    assert (shown.sheet, shown.new, shown.clash, shown.mistakes) == ("orrin-2", True, "", ())
    assert any(line.what.startswith("openings, memory-hatch") for line in shown.changes)
    assert ws.library.sheet("orrin-2") is None
    assert modelsheets.take_in_sheet(ws, text) == "orrin-2"
    assert modelsheets.sheet(ws, "orrin-2").title == "Orrin 2"


def test_taking_in_a_changed_own_sheet_shows_each_change(ws: Workshop) -> None:
    name = modelsheets.make_sheet(ws, "brenlund-n480", title="Orrin 2")
    _, text = modelsheets.sheet_file(ws, name)
    assert modelsheets.compare_sheet(ws, text).changes == ()
    shown = modelsheets.compare_sheet(ws, text.replace("year: 1996", "year: 1995"))
    assert [(line.what, line.before, line.after) for line in shown.changes] == [("year", "1996", "1995")]


def test_a_sheet_that_clashes_with_a_pack_is_refused_and_says_with_what(ws: Workshop) -> None:
    text = sheet_text(PACK.sheets["brenlund-n480"])
    assert "brenlund-n480" in modelsheets.compare_sheet(ws, text).clash
    with pytest.raises(BadInput, match="already"):
        modelsheets.take_in_sheet(ws, text)
    family = text.replace("id: brenlund-n480", "id: pata-laptop")
    assert "family" in modelsheets.compare_sheet(ws, family).clash


@pytest.mark.parametrize(
    ("spoil", "says"),
    [
        (("format: 1", "format: 9"), "update the program"),
        (("family: pata-laptop", "family: pata-laptob"), "did you mean `pata-laptop`"),
        (("id: brenlund-n480", "id: ../../escape"), "cannot be an id"),
        (("year: 1996", "year: soon"), "year"),
        (("memory: 1", "memry: 1"), "memry"),
        (("2 (judgement)", "2 (S999)"), "S999"),
    ],
)
def test_a_spoilt_file_is_refused_with_the_place_of_its_mistake(
    ws: Workshop, spoil: tuple[str, str], says: str
) -> None:
    text = sheet_text(PACK.sheets["brenlund-n480"])
    assert spoil[0] in text
    shown = modelsheets.compare_sheet(ws, text.replace(*spoil, 1))
    assert shown.sheet == ""
    assert any(says in words for words in shown.mistakes), shown.mistakes
    assert any("the file:" in words for words in shown.mistakes)
    with pytest.raises(BadInput):
        modelsheets.take_in_sheet(ws, text.replace(*spoil, 1))
    assert not own_file(ws.store.folder, "brenlund-n480").exists()


def test_a_sheet_may_bring_a_source_of_its_own(ws: Workshop) -> None:
    sheet = replace(PACK.sheets["brenlund-n480"], id="orrin-2")
    text = sheet_text(sheet).replace("2 (judgement)", "2 (B1)", 1)
    text += "sources:\n- {id: B1, title: Bench notes of a club, read: full text}\n"
    assert modelsheets.compare_sheet(ws, text).mistakes == ()
    modelsheets.take_in_sheet(ws, text)
    first = next(o for o in modelsheets.sheet(ws, "orrin-2").openings if o.opening == "memory-hatch")
    assert first.source.title == "Bench notes of a club"


def test_a_spoilt_file_in_the_folder_is_told_and_costs_no_other_sheet(ws: Workshop) -> None:
    made(ws)
    own_file(ws.store.folder, "broken").write_text("format: 1\nid: broken\n", "utf-8")
    own_file(ws.store.folder, "double").write_text(sheet_text(PACK.sheets["brenlund-n480"]), "utf-8")
    folder = ws.store.folder
    ws.close()
    again = Workshop.open(folder)
    assert any("broken.yaml" in words for words in again.library.troubles)
    assert any("double.yaml" in words and "already" in words for words in again.library.troubles)
    assert modelsheets.sheet(again, "torvane-300").own
    again.close()


def test_own_sheets_are_in_a_backup_and_come_back(ws: Workshop, tmp_path: Path) -> None:
    name = made(ws)
    backup(ws.store.folder, tmp_path / "copy.zip")
    restore(tmp_path / "copy.zip", tmp_path / "restored")
    store = Store.open(tmp_path / "restored")
    assert own_file(store.folder, name).read_bytes() == own_file(ws.store.folder, name).read_bytes()
    store.close()

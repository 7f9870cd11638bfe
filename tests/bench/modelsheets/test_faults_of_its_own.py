"""A sheet's form makes and changes faults of the model's own, with their signs and ways to mend."""

from __future__ import annotations

import pytest

from powergood import bench
from powergood.bench import Workshop, modelsheets
from powergood.bench.intake_views import TakeIn
from powergood.knowledge.model import Claim
from powergood.packs.own_sheets import sheet_of_text
from powergood.packs.sheet_text import sheet_text


@pytest.fixture
def name(ws: Workshop) -> str:
    return modelsheets.make_sheet(ws, "pata-laptop", title="Torvane 300")


CRACK = {
    "fault:0:title": "Joint of the power socket cracked",
    "fault:0:part": "Power inlet",
    "fault:0:frequency": "8",
    "fault:0:breaks:0:of": "The adapter's power gets into the machine",
    "fault:0:breaks:0:chance": "90 %",
    "fault:0:sets_apart": "The lamp flickers when the plug is moved",
    "fix:0:do": "Solder the socket's four legs anew",
    "fix:0:kind": "re-solder",
    "fix:0:cures:0:of": "new-fault",
    "fix:0:cures:0:chance": "0.95 (M1)",
    "fix:0:minutes": "25 (M1)",
    "fix:0:money": "2",
    "fix:0:open": "Main board out",
    "fix:0:cautions": "Solder and fumes",
    "source:0:title": "Four machines of this model on our bench",
}


def caution_of(ws: Workshop, name: str) -> str:
    return modelsheets.sheet_choices(ws, name).cautions[0].title


def opening_of(ws: Workshop, name: str) -> str:
    return modelsheets.sheet_choices(ws, name).openings[0].title


@pytest.fixture
def crack(ws: Workshop, name: str) -> dict[str, str]:
    return {**CRACK, "fix:0:open": opening_of(ws, name), "fix:0:cautions": caution_of(ws, name)}


def test_a_fault_and_its_mending_are_made_in_one_go_and_the_machine_has_them(
    ws: Workshop, name: str, crack: dict[str, str]
) -> None:
    assert modelsheets.change_sheet(ws, name, crack) == {}
    given = ws.library.sheet(name)
    fault, fix = given.faults[0], given.fixes[0]
    part = fault.id.partition(".")[0]
    assert fault.id == f"{part}.joint-of-the-power-socket-cracked"
    assert list(fault.breaks.values()) == [Claim(0.9, "judgement")]
    assert fault.frequency == Claim(8.0, "judgement")
    assert fix.id == "solder-the-socket-s-four-legs"
    assert fix.cures == {fault.id: Claim(0.95, "M1")}
    assert (fix.minutes, fix.money) == (Claim(25.0, "M1"), Claim(2.0, "judgement"))
    assert len(fix.open) == len(fix.cautions) == 1
    model = ws.library.known(name).model
    assert fault.id in [each.id for each in model.faults]
    tag = bench.take_in(ws, TakeIn(name="Lap", sheet=name), key="t")
    number = bench.open_job(ws, tag, words="dead", complaint="dead", key="j")
    assert fault.title in [each.title for each in bench.job(ws, number).suspects]


def test_it_goes_out_as_a_file_and_reads_back_equal(ws: Workshop, name: str, crack: dict[str, str]) -> None:
    modelsheets.change_sheet(ws, name, crack)
    given = ws.library.sheet(name)
    assert sheet_of_text(sheet_text(given), "sheet.yaml", ws.library.packs).sheet == given
    assert modelsheets.change_sheet(ws, name, modelsheets.sheet_form(ws, name)) == {}
    assert ws.library.sheet(name) == given


def test_one_number_is_changed_and_a_second_fault_comes_beside_the_first(
    ws: Workshop, name: str, crack: dict[str, str]
) -> None:
    modelsheets.change_sheet(ws, name, crack)
    first = ws.library.sheet(name).faults[0]
    more = {
        "fault:0:breaks:0:chance": "0.5 (M1)",
        "fault:1:title": "Joint of the power socket cracked",
        "fault:1:part": first.id.partition(".")[0],
        "fault:1:breaks:0:of": next(iter(first.breaks)),
        "fault:1:breaks:0:chance": "0,2",
        "fix:0:cures:1:of": "new-fault",
        "fix:0:cures:1:chance": "0.9",
    }
    assert modelsheets.change_sheet(ws, name, more) == {}
    given = ws.library.sheet(name)
    assert given.faults[0].breaks == {next(iter(first.breaks)): Claim(0.5, "M1")}
    assert given.faults[1].id == f"{first.id}-2"
    assert list(given.fixes[0].cures) == [first.id, f"{first.id}-2"]


def test_emptied_names_take_fault_and_mending_away(ws: Workshop, name: str, crack: dict[str, str]) -> None:
    modelsheets.change_sheet(ws, name, crack)
    assert modelsheets.change_sheet(ws, name, {"fault:0:title": ""}).keys() == {"fix:0:cures:0:of"}
    assert modelsheets.change_sheet(ws, name, {"fault:0:title": "", "fix:0:do": ""}) == {}
    assert (ws.library.sheet(name).faults, ws.library.sheet(name).fixes) == ((), ())


@pytest.mark.parametrize(
    ("typed", "field", "says"),
    [
        ({"fault:0:title": ""}, "fault:0:title", "Say what is wrong"),
        ({"fault:0:part": ""}, "fault:0:part", "Say which part"),
        ({"fault:0:part": "Flux box"}, "fault:0:part", "is no part here"),
        ({"fault:0:breaks:0:of": "Flies"}, "fault:0:breaks:0:of", "is no function here"),
        ({"fault:0:breaks:0:chance": "150 %"}, "fault:0:breaks:0:chance", "is not a chance"),
        ({"fault:0:breaks:0:chance": "often"}, "fault:0:breaks:0:chance", "is not a chance"),
        ({"fault:0:breaks:0:chance": "0.9 (M7)"}, "fault:0:breaks:0:chance", "no source `M7`"),
        ({"fault:0:breaks:0:of": ""}, "fault:0:breaks:0:of", "Nothing here would show it"),
        ({"fix:0:do": ""}, "fix:0:do", "Say what is done"),
        ({"fix:0:minutes": "soon"}, "fix:0:minutes", "not a number of minutes"),
        ({"fix:0:money": "-3"}, "fix:0:money", "not an amount of money"),
        ({"fix:0:open": "Roof off"}, "fix:0:open", "is no way in"),
        ({"fix:0:cautions": "Beware"}, "fix:0:cautions", "is no caution"),
        ({"fix:0:cures:0:of": ""}, "fix:0:cures:0:of", "Say what it cures"),
        ({"fix:0:cures:0:chance": ""}, "fix:0:cures:0:chance", "is not a chance"),
    ],
)
def test_a_mistake_is_told_beside_its_field_and_nothing_is_kept(
    ws: Workshop, name: str, crack: dict[str, str], typed: dict[str, str], field: str, says: str
) -> None:
    problems = modelsheets.change_sheet(ws, name, {**crack, **typed})
    assert says in problems.get(field, ""), problems
    assert ws.library.sheet(name).faults == ()


def test_a_mending_near_danger_is_not_kept_without_a_caution(ws: Workshop) -> None:
    name = modelsheets.make_sheet(ws, "compact-all-in-one", title="Torvane Eye")
    model = ws.library.known(name).model
    danger = {each.id for each in model.cautions if each.danger}
    fix = next(each for each in model.fixes if danger.intersection(each.cautions) and each.cures)
    typed = {
        "fix:0:do": "Turn the trimmer back",
        "fix:0:kind": "set",
        "fix:0:minutes": "5",
        "fix:0:cures:0:of": next(iter(fix.cures)),
        "fix:0:cures:0:chance": "0.5",
    }
    said = modelsheets.change_sheet(ws, name, typed)["fix:0:cautions"]
    title = next(each.title for each in model.cautions if each.danger and each.id in fix.cautions)
    assert "can hurt you" in said
    assert title in said
    assert modelsheets.change_sheet(ws, name, {**typed, "fix:0:cautions": title}) == {}


def test_what_cannot_be_read_and_what_makes_no_sense_are_told_together(
    ws: Workshop, name: str, crack: dict[str, str]
) -> None:
    wrong = {**crack, "fault:0:breaks:0:of": "", "year": "soon"}
    assert set(modelsheets.change_sheet(ws, name, wrong)) == {"year", "fault:0:breaks:0:of"}


def test_a_chance_that_is_none_is_told_as_it_was_typed(
    ws: Workshop, name: str, crack: dict[str, str]
) -> None:
    field = "fault:0:breaks:0:chance"
    problems = modelsheets.change_sheet(ws, name, {**crack, field: "150 %"})
    assert problems[field].startswith("“150 %” is not a chance")

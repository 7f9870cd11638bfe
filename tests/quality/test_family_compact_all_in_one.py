"""The compact family: loads clean, holds back what can hurt, and names planted faults within a few looks."""

from __future__ import annotations

from functools import cache

import pytest

from powergood.diagnosis import believe, compile_model
from powergood.knowledge.model import MachineModel
from powergood.packs import Pack, builtin_pack
from powergood.record.model import Complained, Draft, Fact, Finding, GateAnswered
from powergood.record.timeline import timeline

FAMILY, SHEET = "compact-all-in-one", "hallenby-pica-3"

ELSEWHERE = {"image-disk", "read-disk-counters", "disk-on-outside-supply", "logic-board-in-good-twin"}
"""Checks that power something else than this machine with its own logic board."""


@cache
def pack() -> Pack:
    """Return the shipped pack, read once."""
    return builtin_pack()


@cache
def machine(kind: str = FAMILY) -> MachineModel:
    """Return a machine of the pack."""
    return pack().machine(kind)


def held(gate: str, kind: str = FAMILY) -> set[str]:
    """Return what a gate holds back."""
    return {name.removeprefix("step:") for name in next(g for g in machine(kind).gates if g.id == gate).holds}


def ranked(*looks: tuple[str, str], complaint: str = "", year: int = 1990) -> list[str]:
    """Return the faults by their chance after some looks of one power-up."""
    bodies = [Draft(GateAnswered(gate.id, met=True), key=gate.id) for gate in machine().gates]
    if complaint:
        bodies.append(Draft(Complained(complaint, complaint), key="complaint"))
    bodies += [
        Draft(Finding(check=check, outcome=outcome), key=f"{check}-{number}", power_up=1)
        for number, (check, outcome) in enumerate(looks)
    ]
    line = timeline(Fact(n, "2026-01-01T00:00:00Z", draft) for n, draft in enumerate(bodies, start=1))
    model = compile_model(machine(), year=year)
    chances = believe(model, line).now()
    order = sorted(range(len(model.faults)), key=lambda number: -chances[number])
    return [model.faults[number].id for number in order if model.faults[number].listed]


@pytest.mark.parametrize("kind", [FAMILY, SHEET])
def test_it_is_large_enough_to_be_of_use(kind: str) -> None:
    found = machine(kind)
    assert len(found.faults) >= 60
    assert len(found.complaints) >= 24
    assert 8 <= sum(check.on_pad for check in found.checks) <= 12
    assert 6 <= sum(function.wanted for function in found.functions) <= 9
    assert sum(bool(complaint.ask) for complaint in found.complaints) >= 2


def test_no_case_is_opened_before_the_tube_rules() -> None:
    assert "cover-off" in held("tube-rules")
    behind = {opening.id: set(opening.behind) for opening in machine().openings}
    for name in behind:
        reached, waiting = set(), [name]
        while waiting:
            reached.add(here := waiting.pop())
            waiting += behind[here] - reached
        assert "cover-off" in reached, name


def test_every_opening_beside_the_tube_warns_of_it() -> None:
    for opening in machine().openings:
        assert {"tube-voltage", "tube-glass"} & set(opening.cautions), opening.id


def test_live_looks_with_the_cover_off_wait_for_leave() -> None:
    for check in machine().checks:
        if check.power != "off" and check.open and check.id not in ELSEWHERE:
            assert check.id in held("live-tube-work"), check.id


def test_no_step_raises_the_high_voltage() -> None:
    assert "Never raise the high voltage" in next(f for f in machine().fixes if f.id == "set-cut-off").note


def test_no_two_complaints_are_said_in_the_same_words() -> None:
    said = [words.casefold() for each in machine().complaints for words in (each.words, *each.also)]
    assert sorted(said) == sorted(set(said))


@pytest.mark.parametrize(
    ("fault", "looks"),
    [
        ("deflection.yoke-joints", [("pad-light", "full-frame"), ("tap-the-side", "changes-with-tap")]),
        ("deflection.vertical-stage", [("pad-light", "full-frame"), ("tap-the-side", "good")]),
        ("main-board.cans-leaked", [("pad-image", "pattern"), ("look-at-board-cans", "bad")]),
        ("power-board.output-rectifier", [("how-far", "holds"), ("supply-on-dummy-load", "holds")]),
        ("main-board.bead-short", [("how-far", "holds"), ("supply-on-dummy-load", "good")]),
        ("power-board.start-up-open", [("supply-on-dummy-load", "starts"), ("cold-ohms-at-fuse", "good")]),
        ("power-key.dead", [("pad-life", "bad"), ("other-power-key", "good")]),
        ("disk.heads-held", [("listen-to-disk", "disk-clicks")]),
        ("floppy-drive.eject-gear", [("load-and-eject", "bad"), ("work-eject-by-hand", "good")]),
        ("tube.worn", [("judge-picture", "good-picture"), ("turn-controls", "slow-to-brighten")]),
        ("clock-cell.leaked", [("look-at-every-cell", "clock-crust")]),
        ("inner-plugs.left-off", [("pad-life", "bad"), ("count-plugs", "bad")]),
    ],
)
def test_a_planted_fault_is_among_the_first_three_after_its_looks(
    fault: str, looks: list[tuple[str, str]]
) -> None:
    assert fault in ranked(*looks)[:3]


def test_boards_before_surface_mount_cans_are_not_blamed_for_them() -> None:
    assert "main-board.cans-leaked" not in ranked(year=1985)[:10]
    assert ranked(year=1990)[0] == "main-board.cans-leaked"


def test_a_machine_with_a_rocker_switch_has_no_power_key_to_blame() -> None:
    found = machine(SHEET)
    assert not [fault.id for fault in found.faults if fault.id.startswith(("power-key.", "soft-power."))]
    assert "other-power-key" not in {check.id for check in found.checks}


def test_the_sheet_says_where_its_cell_sits_and_what_holds_it_shut() -> None:
    sheet = pack().sheets[SHEET]
    assert all(cell.kind and cell.place and cell.polarity for cell in sheet.cells)
    assert sheet.weak_points
    assert sheet.healthy
    assert sheet.boot_routes
    assert all(opening.fasteners for opening in machine(SHEET).openings)

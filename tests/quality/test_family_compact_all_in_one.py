"""The compact family: loads clean, holds back what can hurt, and names planted faults within a few looks."""

from __future__ import annotations

import pytest
from families import Family

SHEET = "hallenby-pica-3"

ELSEWHERE = {"image-disk", "read-disk-counters", "disk-on-outside-supply", "logic-board-in-good-twin"}
"""Checks that power something else than this machine with its own logic board."""


IT = Family("compact-all-in-one", year=1990)
held, machine, ranked = IT.held, IT.machine, IT.ranked


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

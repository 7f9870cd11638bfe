"""The SCSI desktop family: loads clean, holds back what can hurt, and names planted faults early."""

from __future__ import annotations

import pytest
from families import Family

IT = Family("scsi-desktop", year=1992)
held, machine, ranked = IT.held, IT.machine, IT.ranked


def test_the_supply_is_not_opened_without_leave() -> None:
    assert {"supply-open"} == held("mains-work-allowed")
    for step in (*machine().checks, *machine().fixes):
        if {"supply-open", "fan-reached"} & set(step.open):
            assert "mains-supply" in step.cautions, step.id


def test_a_desktop_is_not_warned_of_a_tube_it_does_not_have() -> None:
    steps = (*machine().checks, *machine().fixes, *machine().openings, *machine().gates)
    assert not [step.id for step in steps if {"tube-voltage", "tube-glass"} & set(step.cautions)]


@pytest.mark.parametrize(
    ("fault", "looks"),
    [
        ("supply.cans-leaked", [("how-far", "holds"), ("supply-on-dummy-load", "holds")]),
        ("main-board.bead-short", [("how-far", "holds"), ("supply-on-dummy-load", "good")]),
        (
            "soft-power.corroded",
            [("pad-life", "bad"), ("pull-power-on-line", "good"), ("other-power-key", "bad")],
        ),
        ("clock-cell.flat", [("how-far", "self-test"), ("start-with-fresh-cell", "good")]),
        ("nvram.flat", [("read-identity", "identity-zeroed")]),
        ("barrel-cell.leaked", [("look-at-barrel-cell", "bad")]),
        ("disk.heads-held", [("listen-to-disk", "disk-clicks")]),
        ("scsi-chain.ends-wrong", [("search-the-chain", "bus-works"), ("count-ends", "bad")]),
        (
            "main-board.term-power",
            [("search-the-chain", "bus-works"), ("measure-terminator-power", "term-low")],
        ),
        ("disk.refused", [("search-the-chain", "not-bootable-here")]),
        ("chips.loose", [("pad-colour", "error-code"), ("press-socketed-chips", "bad")]),
        ("cards.bad", [("memory-test-loop", "steady"), ("start-without-cards", "good")]),
        ("monitor-adapter.wrong", [("pad-locks", "locks"), ("pad-chime", "good"), ("other-monitor", "good")]),
        ("input-port.fuse", [("press-every-key", "port-alive"), ("measure-port-five-volts", "port-no-five")]),
        ("inner-plugs.left-off", [("how-far", "self-test"), ("count-plugs", "bad")]),
    ],
)
def test_a_planted_fault_is_among_the_first_three_after_its_looks(
    fault: str, looks: list[tuple[str, str]]
) -> None:
    assert fault in ranked(*looks)[:3]


def test_each_sheet_keeps_its_clock_in_one_way_only() -> None:
    ways = {"clock-cell", "nvram", "barrel-cell"}
    for kind in IT.sheets:
        assert len(ways & {part.id for part in machine(kind).parts}) == 1


def test_a_lithium_cell_is_never_charged_and_a_dead_module_cell_never_paralleled() -> None:
    fixes = {fix.id: fix for fix in machine().fixes}
    assert "lithium-clock" in fixes["stop-reverse-current"].cautions
    assert "disconnected, not paralleled" in fixes["outside-cell-on-module"].note

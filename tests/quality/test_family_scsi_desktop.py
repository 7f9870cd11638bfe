"""The SCSI desktop family: loads clean, holds back what can hurt, and names planted faults early."""

from __future__ import annotations

from functools import cache

import pytest

from powergood.diagnosis import believe, compile_model
from powergood.knowledge.model import MachineModel
from powergood.packs import Pack, builtin_pack
from powergood.record.model import Complained, Draft, Fact, Finding, GateAnswered
from powergood.record.timeline import timeline

FAMILY, SHEETS = "scsi-desktop", ("verrin-slate-3", "maldane-ws20")


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


def ranked(*looks: tuple[str, str], complaint: str = "", year: int = 1992) -> list[str]:
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


@pytest.mark.parametrize("kind", [FAMILY, *SHEETS])
def test_it_is_large_enough_to_be_of_use(kind: str) -> None:
    found = machine(kind)
    assert len(found.faults) >= 60
    assert len(found.complaints) >= 24
    assert 8 <= sum(check.on_pad for check in found.checks) <= 12
    assert 6 <= sum(function.wanted for function in found.functions) <= 9
    assert sum(bool(complaint.ask) for complaint in found.complaints) >= 2


def test_the_supply_is_not_opened_without_leave() -> None:
    assert {"supply-open"} == held("mains-work-allowed")
    for step in (*machine().checks, *machine().fixes):
        if {"supply-open", "fan-reached"} & set(step.open):
            assert "mains-supply" in step.cautions, step.id


def test_a_desktop_is_not_warned_of_a_tube_it_does_not_have() -> None:
    steps = (*machine().checks, *machine().fixes, *machine().openings, *machine().gates)
    assert not [step.id for step in steps if {"tube-voltage", "tube-glass"} & set(step.cautions)]


def test_no_two_complaints_are_said_in_the_same_words() -> None:
    said = [words.casefold() for each in machine().complaints for words in (each.words, *each.also)]
    assert sorted(said) == sorted(set(said))


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
    for kind in SHEETS:
        assert len(ways & {part.id for part in machine(kind).parts}) == 1


@pytest.mark.parametrize("kind", SHEETS)
def test_a_sheet_says_where_its_cell_sits_and_what_holds_it_shut(kind: str) -> None:
    sheet = pack().sheets[kind]
    assert all(cell.kind and cell.place and cell.polarity for cell in sheet.cells)
    assert sheet.weak_points
    assert sheet.healthy
    assert sheet.boot_routes
    assert all(opening.fasteners for opening in machine(kind).openings)


def test_a_lithium_cell_is_never_charged_and_a_dead_module_cell_never_paralleled() -> None:
    fixes = {fix.id: fix for fix in machine().fixes}
    assert "lithium-clock" in fixes["stop-reverse-current"].cautions
    assert "disconnected, not paralleled" in fixes["outside-cell-on-module"].note

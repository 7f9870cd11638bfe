"""The AT/ATX family: loads clean, holds back what can hurt, and names planted faults within a few looks."""

from __future__ import annotations

from collections.abc import Mapping
from functools import cache

import pytest

from powergood.diagnosis import believe, compile_model
from powergood.knowledge.model import MachineModel
from powergood.packs import Pack, builtin_pack
from powergood.record.model import Complained, Draft, Fact, Finding, GateAnswered
from powergood.record.timeline import timeline

FAMILY, AT, ATX = "at-atx-desktop", "torrolf-433", "merrow-hearth-700"
KINDS = (FAMILY, AT, ATX)


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


def chances(
    *looks: tuple[str, str], complaint: str = "", year: int = 0, intake: Mapping[str, bool] | None = None
) -> dict[str, float]:
    """Return the chance of each listed fault after some looks of one power-up."""
    bodies = [Draft(GateAnswered(gate.id, met=True), key=gate.id) for gate in machine().gates]
    if complaint:
        bodies.append(Draft(Complained(complaint, complaint), key="complaint"))
    bodies += [
        Draft(Finding(check=check, outcome=outcome), key=f"{check}-{number}", power_up=1)
        for number, (check, outcome) in enumerate(looks)
    ]
    line = timeline(Fact(n, "2026-01-01T00:00:00Z", draft) for n, draft in enumerate(bodies, start=1))
    model = compile_model(machine(), year=year, intake=intake or {})
    now = believe(model, line).now()
    return {fault.id: float(now[number]) for number, fault in enumerate(model.faults) if fault.listed}


def ranked(*looks: tuple[str, str], **about: object) -> list[str]:
    """Return the faults by their chance after some looks of one power-up."""
    found = chances(*looks, **about)  # type: ignore[arg-type]
    return sorted(found, key=lambda fault: -found[fault])


@pytest.mark.parametrize("kind", KINDS)
def test_an_at_or_atx_machine_is_described_well_enough_to_be_of_use(kind: str) -> None:
    found = machine(kind)
    assert len(found.faults) >= 80
    assert len(found.complaints) >= 24
    assert 8 <= sum(check.on_pad for check in found.checks) <= 12
    assert 6 <= sum(function.wanted for function in found.functions) <= 9
    assert sum(bool(complaint.ask) for complaint in found.complaints) >= 3


def test_the_supply_is_proven_with_everything_that_could_be_hurt_unplugged() -> None:
    load = next(check for check in machine().checks if check.id == "supply-on-dummy-load")
    assert {"main-board", "disk", "graphics-card", "io-card", "memory-chips", "board-plugs"} <= set(load.out)
    assert {"mains-supply", "dummy-load"} <= set(load.cautions)


def test_work_on_the_mains_side_waits_for_leave_and_warns() -> None:
    assert held("mains-work-allowed") == {"supply-open", "replace-front-switch"}
    for fix in machine().fixes:
        if "supply-open" in fix.open:
            assert "mains-supply" in fix.cautions, fix.id


def test_a_processor_never_runs_without_its_cooler() -> None:
    assert {"bare-start", "board-on-cardboard", "known-good-processor"} <= held("cooler-fitted")
    for opening in machine().openings:
        if opening.id == "cooler-off":
            assert "no-heat-sink" in opening.cautions


def test_no_good_processor_goes_into_a_board_whose_rails_were_not_measured() -> None:
    assert held("rails-before-good-parts") == {"known-good-processor", "replace-processor"}


def test_the_standby_rail_is_measured_unloaded_before_loaded() -> None:
    rungs = [rung.of for rung in next(c for c in machine().checks if c.id == "measure-standby").rungs]
    assert rungs.index("standby-high") < rungs.index("standby-sags")


def test_low_level_format_is_for_coded_drives_and_never_for_ata() -> None:
    fix = next(fix for fix in machine().fixes if fix.id == "format-low-level")
    assert "never ATA" in fix.do
    assert fix.consent
    assert set(fix.cures) <= {"disk.format-faded", "disk.bad-sectors"}


def test_edge_contacts_are_not_rubbed_with_an_eraser_as_a_rule() -> None:
    fixes = {fix.id: fix for fix in machine().fixes}
    for name in ("clean-edges", "reseat-memory"):
        assert "eraser" not in fixes[name].do
        assert "eraser" in fixes[name].note


def test_no_two_desktop_complaints_are_said_in_the_same_words() -> None:
    said = [words.casefold() for each in machine().complaints for words in (each.words, *each.also)]
    assert sorted(said) == sorted(set(said))


@pytest.mark.parametrize(
    ("fault", "looks"),
    [
        ("supply.start-up-open", [("supply-on-dummy-load", "starts"), ("cold-ohms-at-fuse", "good")]),
        ("supply.switch-shorted", [("pad-life", "bad"), ("cold-ohms-at-fuse", "primary-short")]),
        ("supply.output-rectifier", [("supply-on-dummy-load", "holds"), ("ohms-at-outputs", "bad")]),
        (
            "main-board.bead-short",
            [("supply-on-dummy-load", "good"), ("how-far", "holds"), ("rail-ohms-bare", "bad")],
        ),
        ("io-card.bead-short", [("how-far", "holds"), ("rail-ohms", "bad"), ("rail-ohms-bare", "good")]),
        ("front-button.lead-off", [("pad-life", "bad"), ("bridge-start-pins", "good")]),
        ("front-button.jammed", [("pad-life", "bad"), ("bridge-start-pins", "good")]),
        ("graphics-card.bad", [("pad-beeps", "video-beeps"), ("known-good-graphics", "good")]),
        ("monitor.dead", [("pad-image", "picture"), ("pad-beeps", "good"), ("other-monitor", "good")]),
        ("main-board.domed-cans", [("timed-run", "runs-for-hours"), ("look-at-can-tops", "bad")]),
        ("cooler.clogged", [("timed-run", "fails-when-hot"), ("look-at-cooler", "cooler-clogged")]),
        ("keyboard-port.fuse", [("press-every-key", "lamps-dark"), ("other-keyboard", "lamps-dark")]),
        ("barrel-cell.leaked", [("look-at-every-cell", "clock-crust")]),
        ("disk-cable.bad-contact", [("watch-drive-name", "garbled-name")]),
        ("disk.heads-held", [("listen-to-disk", "disk-clicks")]),
        ("setup.wrong-drive", [("how-far", "disk-seen"), ("read-setup-numbers", "wrong-numbers")]),
        ("floppy-cable.wrong", [("pad-floppy", "bad"), ("read-floppy-select", "bad")]),
        ("optical-drive.belt-slack", [("three-discs", "opens-tray"), ("open-with-pin", "nudge-opens")]),
        ("keyboard.membrane", [("press-every-key", "types"), ("measure-membrane", "bad")]),
    ],
)
def test_a_fault_planted_in_a_desktop_is_among_the_first_three_after_its_looks(
    fault: str, looks: list[tuple[str, str]]
) -> None:
    assert fault in ranked(*looks)[:3]


def test_a_dead_supply_hides_what_lies_behind_it_and_does_not_clear_it() -> None:
    before = chances(year=2001)["main-board.domed-cans"]
    after = chances(("how-far", "starts"), year=2001)["main-board.domed-cans"]
    assert after > before / 2


def test_each_age_has_its_own_capacitors_and_cells_to_blame() -> None:
    early, late = chances(year=1988), chances(year=2001)
    assert early["main-board.bead-short"] > 10 * late["main-board.bead-short"]
    assert late["main-board.domed-cans"] > 10 * early["main-board.domed-cans"]
    assert early["barrel-cell.leaked"] > 10 * late["barrel-cell.leaked"]
    assert late["coin-cell.flat"] > 5 * early["coin-cell.flat"]


def test_a_machine_with_a_mains_switch_has_no_button_and_no_standby_check() -> None:
    found = machine(AT)
    assert not [fault.id for fault in found.faults if fault.id.startswith("front-button.")]
    assert not {"bridge-start-pins", "measure-standby"} & {check.id for check in found.checks}
    assert "front-switch-mains" in {each for opening in found.openings for each in opening.cautions}


@pytest.mark.parametrize("kind", KINDS[1:])
def test_a_desktop_sheet_says_where_its_cell_sits_and_what_holds_it_shut(kind: str) -> None:
    sheet = pack().sheets[kind]
    assert all(cell.kind and cell.place and cell.polarity for cell in sheet.cells)
    assert sheet.weak_points
    assert sheet.healthy
    assert sheet.boot_routes
    assert all(opening.fasteners for opening in machine(kind).openings)

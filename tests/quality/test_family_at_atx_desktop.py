"""The AT/ATX family: loads clean, holds back what can hurt, and names planted faults within a few looks."""

from __future__ import annotations

import pytest
from families import Family

AT = "torrolf-433"


IT = Family("at-atx-desktop")
chances, held, machine, ranked = IT.chances, IT.held, IT.machine, IT.ranked


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
        ("main-board.domed-cans", [("timed-run", "keeps-going"), ("look-at-can-tops", "bad")]),
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

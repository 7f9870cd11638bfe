"""Each gate of every family holds exactly the steps that it makes safe, and leaves its own proof free."""

from __future__ import annotations

from functools import cache

import pytest

from powergood.knowledge.exceptions import holds_stage
from powergood.knowledge.model import Check, Gate, MachineModel
from powergood.packs import Pack, builtin_pack

RESCUE = {"image-disk", "read-disk-counters"}
"""Looks that turn the disk to save its content, on a machine made for that."""

ELSEWHERE = {*RESCUE, "disk-on-outside-supply"}
"""Looks that power a disk taken out, from another machine or supply: this one's mains has no part in it."""

LINE_ONLY = {"measure-standby", "measure-trickle"}
"""Looks at a line that is there with the machine off: no disk turns and no board runs."""

BRICK_OUT = {"read-labels-and-plug", "bend-supply-lead", "supply-on-load", "supply-warm-run", "supply-ripple"}
"""Looks at an outside supply whose plug lies free."""

OWN_MAINS = {"listen-for-hiss", "watch-the-spools", "watch-drive-wake", "measure-drive-volts"}
"""Looks at a recorder or drive with a supply of its own, run by itself."""

POWER_GATES = {
    "mains-lead-sound",
    "mains-setting-read",
    "cells-seen",
    "tube-rules",
    "supply-suits",
    "adapter-checked",
    "pack-looked-at",
}
"""Gates about what feeds the machine or lies in it: all its power waits for them."""

WRITES_OR_TURNS = {
    "put-system-on",
    "prepare-disk-anew",
    "format-low-level",
    "enter-drive-type",
    "free-stuck-disk",
    "free-held-heads",
}
"""Fixes after which a disk turns, or by which its content is lost."""

FOR_MAINS = {
    "quarantine",
    "mains-lead-sound",
    "cells-seen",
    "supply-proven",
    "line-filter-seen",
    "mains-work-allowed",
}
"""Gates of every family that has mains inside its case."""

GATES = {
    "at-atx-desktop": {
        *FOR_MAINS,
        "mains-setting-read",
        "disk-content-safe",
        "cooler-fitted",
        "rails-before-good-parts",
    },
    "compact-all-in-one": {
        *FOR_MAINS,
        "mains-setting-read",
        "disk-content-safe",
        "tube-rules",
        "live-tube-work",
    },
    "scsi-desktop": {*FOR_MAINS, "mains-setting-read", "disk-content-safe"},
    "home-micro": {*FOR_MAINS, "supply-suits", "rails-read", "live-work", "media-safe"},
    "pata-laptop": {
        "quarantine",
        "cells-seen",
        "pack-looked-at",
        "adapter-checked",
        "disk-content-safe",
        "lamp-work-allowed",
    },
}


MAINS_INSIDE = {"supply-open", "brick-open", "drive-open"}
"""Openings behind which parts on the mains side lie bare."""


@cache
def pack() -> Pack:
    """Return the shipped pack, read once."""
    return builtin_pack()


def machines() -> list[MachineModel]:
    """Return every family, and every sheet of it."""
    return [pack().machine(kind) for kind in sorted({*pack().families, *pack().sheets})]


def gates(*wanted: str) -> list[tuple[MachineModel, Gate]]:
    """Return the gates of these names with their machines."""
    return [(found, gate) for found in machines() for gate in found.gates if gate.id in wanted]


def held(found: MachineModel, gate: Gate) -> set[str]:
    """Return the checks that a gate keeps back for their power or by name."""
    every = "power" in gate.holds
    return {c.id for c in found.checks if f"step:{c.id}" in gate.holds or (every and c.power != "off")}


def powered(found: MachineModel) -> set[str]:
    """Return the checks that need power."""
    return {check.id for check in found.checks if check.power != "off"}


def way(found: MachineModel, openings: tuple[str, ...]) -> set[str]:
    """Return these openings and all that must be open before them."""
    behind = {opening.id: opening.behind for opening in found.openings}
    reached, waiting = set[str](), [*openings]
    while waiting:
        name = waiting.pop()
        if name not in reached:
            reached.add(name)
            waiting += behind[name]
    return reached


def supply_alone(check: Check) -> bool:
    """Tell whether a check powers the supply with nothing on it that could be hurt, or another machine."""
    return (
        "main-board" in check.out
        or check.id in ELSEWHERE | LINE_ONLY | BRICK_OUT | OWN_MAINS | {"reservoir-volts"}
        or check.id == "logic-board-in-good-twin"
    )


@pytest.mark.parametrize("family", sorted(GATES))
def test_a_family_has_all_its_gates(family: str) -> None:
    assert set(pack().families) == set(GATES)
    assert {gate.id for gate in pack().machine(family).gates} == GATES[family]


def test_a_gate_about_power_holds_no_look_that_needs_none() -> None:
    about_power = {*POWER_GATES, "supply-proven", "line-filter-seen", "disk-content-safe", "rails-read"}
    for found, gate in gates(*about_power, "cooler-fitted", "live-work", "live-tube-work"):
        assert held(found, gate) <= powered(found), (found.id, gate.id)


def test_all_power_waits_for_what_feeds_it_but_a_disk_on_another_machine_does_not() -> None:
    for found, gate in gates(*POWER_GATES):
        free = powered(found) - held(found, gate)
        alone = {"load-adapter"} if gate.id in ("cells-seen", "pack-looked-at") else set()
        assert free <= ELSEWHERE | alone, (found.id, gate.id)


def test_a_supply_is_proven_by_steps_that_its_gate_leaves_free_and_no_others() -> None:
    for found, gate in gates("supply-proven"):
        ours = {check.id for check in found.checks if check.power != "off" and supply_alone(check)}
        # A supply that is known to be good is proven already.
        free = powered(found) - held(found, gate) - {"known-good-supply"}
        assert free == ours, (found.id, free ^ ours)


def test_a_line_filter_is_looked_at_or_run_in_before_the_board_has_power() -> None:
    for found, gate in gates("line-filter-seen"):
        free = powered(found) - held(found, gate)
        fed = {check.id for check in found.checks if check.power != "off" and not supply_alone(check)}
        assert not free & (fed - {"known-good-supply", "logic-board-in-good-twin"}), found.id


def test_no_step_turns_the_disk_before_its_content_is_safe_but_those_that_save_it() -> None:
    for found, gate in gates("disk-content-safe"):
        for check in found.checks:
            if check.power == "off":
                continue
            off = "disk" in {*check.out, *check.instead} or check.id in LINE_ONLY | {"load-adapter"}
            assert (check.id in held(found, gate)) == (not off and check.id not in RESCUE), (
                found.id,
                check.id,
            )


def test_no_fix_turns_the_disk_or_writes_to_it_before_its_content_is_safe() -> None:
    for found, gate in gates("disk-content-safe"):
        risky = {fix.id for fix in found.fixes} & WRITES_OR_TURNS
        assert {f"step:{fix}" for fix in risky} <= set(gate.holds), found.id
        assert risky, found.id


def test_no_step_among_the_mains_is_shown_to_someone_who_may_not_take_it() -> None:
    seen = 0
    for found, gate in gates("mains-work-allowed"):
        for step in (*found.checks, *found.fixes):
            inside = MAINS_INSIDE & way(found, step.open)
            waits = {f"step:{name}" for name in (step.id, *way(found, step.open))} & set(gate.holds)
            if inside:
                assert waits, (found.id, step.id)
                seen += 1
        assert gate.otherwise, found.id
        assert "where you live" in gate.ask, found.id
    assert seen > 40


def test_every_leave_that_a_person_may_not_have_says_what_to_do_instead() -> None:
    for _, gate in gates("mains-work-allowed", "live-tube-work", "live-work", "lamp-work-allowed"):
        assert gate.otherwise, gate.id
    for found in machines():
        for gate in found.gates:
            assert not (gate.otherwise and {"power", "opening"} & set(gate.holds)), gate.id


def test_a_gate_names_no_step_that_it_holds_by_an_opening_or_as_power_already() -> None:
    seen = 0
    for family in pack().families.values():
        found = pack().machine(family.id)
        # As written: in a machine, `power` but for some steps is spelt out check by check.
        pieces = (family, *(pack().subsystems[name] for name in family.subsystems))
        for gate in (gate for piece in pieces for gate in piece.gates):
            named = {hold.removeprefix("step:") for hold in gate.holds}
            for check in found.checks:
                if check.id in named:
                    assert "power" not in gate.holds or check.power == "off", (family.id, gate.id, check.id)
            for step in (*found.checks, *found.fixes):
                if step.id in named:
                    assert not named & way(found, step.open), (family.id, gate.id, step.id)
                    seen += 1
    assert seen > 40


@pytest.mark.parametrize("meets", ["supply-proven", "rails-read"])
def test_no_stage_waits_for_the_gate_that_it_proves(meets: str) -> None:
    for found, gate in gates(meets):
        for stage in found.stages:
            assert not (gate.id in stage.meets and holds_stage(gate, stage)), (found.id, stage.id)


def test_a_stage_with_the_disk_unplugged_does_not_wait_for_its_content_and_one_with_it_does() -> None:
    for found, gate in gates("disk-content-safe"):
        for stage in found.stages:
            if stage.id in found.bring_up and stage.power != "off":
                free = "disk" in stage.out or stage.id in ("trickle-alone", "adapter-alone")
                assert holds_stage(gate, stage) == (not free), (found.id, stage.id)

"""The laptop family as a practitioner would leaf through it, and against counted repairs."""

from __future__ import annotations

from families import Family

from powergood.diagnosis import compile_model

SHARES = {
    "power": 0.204,
    "picture": 0.166,
    "storage": 0.119,
    "start": 0.110 + 0.047,
    "input": 0.068 + 0.016,
    "cooling": 0.069,
    "case": 0.048,
    "optical": 0.015,
}
"""Shares of what was wrong with 1549 laptops brought to volunteer repair events (power or battery; screen;
storage; start-up and system board; keyboard and pointer; overheating; case; disc drive). Source: Open Repair
data, github openrepair/data, CC BY-SA 4.0, read as counted in volunteer labels of 2021. Machines younger
than ours, so only the order of size is asked for."""

IT = Family("pata-laptop")
machine = IT.machine


def test_the_areas_fail_about_as_often_as_counted_at_repair_events() -> None:
    model = compile_model(machine("quillane-tr14"), year=2003)
    sums = dict.fromkeys(SHARES, 0.0)
    for fault in model.faults:
        if fault.area in sums:
            sums[fault.area] += fault.prior
    total = sum(fault.prior for fault in model.faults)
    counted = {area: share for area, share in SHARES.items() if share >= 0.04}
    for area, share in counted.items():
        assert share / 2 <= sums[area] / total <= share * 2, area


def test_nothing_on_the_pad_takes_longer_than_the_ten_seconds_it_is_for() -> None:
    for check in machine().checks:
        if check.on_pad:
            assert check.power == "start"
            assert not check.open
            assert check.minutes.value <= 0.5, check.id


def test_every_key_of_the_pad_bears_few_words() -> None:
    for check in machine().checks:
        if check.on_pad:
            words = [check.good, check.bad, check.all_good, *(rung.seen for rung in check.rungs)]
            assert all(len(word) <= 28 for word in words), check.id


def test_work_at_the_lamp_supply_waits_for_its_gate_and_warns() -> None:
    found = machine()
    held = {hold for gate in found.gates for hold in gate.holds}
    for step in ("feel-for-lamp-field", "try-donor-lamp", "mend-inverter"):
        assert f"step:{step}" in held
    for opening in found.openings:
        if opening.id in ("screen-bezel", "panel-out"):
            assert "lamp-voltage" in opening.cautions


def test_no_fix_rebuilds_a_lithium_pack() -> None:
    for fix in machine().fixes:
        if fix.replaces == "battery-pack" or any("battery-pack" in fault for fault in fix.cures):
            assert fix.kind in ("replace", "remove", "clean"), fix.id

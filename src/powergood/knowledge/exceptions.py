"""Gates that hold all power but some: spelt out check by check, as everything that plans reads them."""

from __future__ import annotations

from dataclasses import replace

from powergood.knowledge.assembly import Assembly
from powergood.knowledge.model import Gate, Stage


def spell_out(assembly: Assembly) -> None:
    """Put, in each gate that holds `power` but for some steps, every powered check it does hold.

    A check of the sheet's own is held as well as those of the family.
    """
    powered = [name for name, check in assembly.checks.items() if check.item.power != "off"]
    for name, placed in assembly.gates.items():
        gate = placed.item
        if "power" in gate.holds and gate.but:
            own = [hold for hold in gate.holds if hold != "power"]
            held = dict.fromkeys([*own, *(f"step:{check}" for check in powered if check not in gate.but)])
            assembly.gates[name] = replace(placed, item=replace(gate, holds=tuple(held)))


def holds_stage(gate: Gate, stage: Stage) -> bool:
    """Tell whether a gate, spelt out or not, holds back the power of a stage of bring-up.

    A stage that the gate leaves free by name is free whatever its check: what it has out makes it so.
    """
    if stage.power == "off" or stage.id in gate.but:
        return False
    if f"step:{stage.check}" in gate.holds:
        return True
    return stage.check not in gate.but if gate.but else "power" in gate.holds

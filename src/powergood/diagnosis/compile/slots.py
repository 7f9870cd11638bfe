"""Copies of parts unrolled: each part's slots, and each fault in each of them."""

from __future__ import annotations

from collections.abc import Mapping

from powergood.ids import part_of, slot_name
from powergood.knowledge.model import Claim, MachineModel

Slots = Mapping[str, tuple[str, ...]]
"""The slots of each part, by the part's id."""


def slots_of(machine: MachineModel) -> dict[str, tuple[str, ...]]:
    """Return the slots of each part, one for each copy."""
    return {
        part.id: tuple(slot_name(part.id, copy, part.copies) for copy in range(1, part.copies + 1))
        for part in machine.parts
    }


def copies_of(fault: str, slots: Slots) -> tuple[str, ...]:
    """Return the ids of a fault in each copy of its part."""
    mode = fault.split(".", 1)[1]
    return tuple(f"{slot}.{mode}" for slot in slots[part_of(fault)])


def part_titles(machine: MachineModel, slots: Slots) -> dict[str, str]:
    """Return each slot's title, numbered where its part has copies."""
    titles: dict[str, str] = {}
    for part in machine.parts:
        for number, slot in enumerate(slots[part.id], start=1):
            titles[slot] = part.title if part.copies == 1 else f"{part.title} {number}"
    return titles


def value(claim: Claim | None, default: float = 0.0) -> float:
    """Return the value of a claim, or `default` where none is made."""
    return default if claim is None else claim.value

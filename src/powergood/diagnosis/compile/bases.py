"""Functions and signs in one list: what can be seen to fail."""

from __future__ import annotations

from powergood.diagnosis.compile.slots import Slots
from powergood.diagnosis.compiled import BaseSpec
from powergood.knowledge.model import MachineModel


def bases_of(machine: MachineModel, slots: Slots) -> tuple[BaseSpec, ...]:
    """Return the functions and then the signs, with what each needs and rests on."""
    names = [function.id for function in machine.functions] + [sign.id for sign in machine.signs]
    index = {name: number for number, name in enumerate(names)}
    functions = [
        BaseSpec(
            id=function.id,
            title=function.title,
            area=function.area,
            needs=tuple(index[need] for need in function.needs),
            either=tuple(index[choice] for choice in function.either),
            of=frozenset(slot for part in function.of for slot in slots[part]),
            wanted=function.wanted,
        )
        for function in machine.functions
    ]
    signs = [BaseSpec(id=sign.id, title=sign.title, area=sign.area, is_sign=True) for sign in machine.signs]
    return (*functions, *signs)


def splits_of(machine: MachineModel) -> dict[str, str]:
    """Return the functions and signs that each copy of a part answers for alone, with that part."""
    copies = {part.id: part.copies for part in machine.parts}
    return {
        extent.of: check.grid.copies_of
        for check in machine.checks
        if check.grid and copies.get(check.grid.copies_of, 0) > 1
        for extent in check.grid.extents
        if extent.extent == "one"
    }

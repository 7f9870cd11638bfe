"""Faults in numbers: each in each copy of its part, and each area's *something else here*."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from powergood.diagnosis.by_copy import Shares, links_to
from powergood.diagnosis.clusters import Making
from powergood.diagnosis.compile.slots import Slots, copies_of, value
from powergood.diagnosis.compiled import SOMETHING_ELSE, BaseSpec, FaultSpec
from powergood.ids import part_of
from powergood.knowledge.model import Fault, MachineModel

SOMETHING_ELSE_LINK = 0.8
"""Judgement: chance that an unlisted trouble of an area stops any one of that area's functions."""


def faults_of(
    machine: MachineModel,
    slots: Slots,
    chances: Mapping[str, float],
    named: tuple[BaseSpec, ...],
    bases: Mapping[str, int],
    shares: Shares,
) -> tuple[FaultSpec, ...]:
    """Return every fault in every copy of its part, then what nobody listed of each area.

    `chances` are of a fault in the machine as a whole; its copies share it. `named` are the functions and
    signs before some were split by copy, `bases` their places.
    """
    areas = {part.id: part.area for part in machine.parts}
    faults: list[FaultSpec] = []
    for fault in machine.faults:
        for slot in slots[part_of(fault.id)]:
            chance = chances[fault.id] / len(slots[part_of(fault.id)])
            faults.append(_fault(fault, slot, areas[part_of(fault.id)], chance, bases, shares))
    return (*faults, *_something_else(machine, named, shares))


def _fault(
    fault: Fault, slot: str, area: str, prior: float, bases: Mapping[str, int], shares: Shares
) -> FaultSpec:
    links = [*fault.breaks.items(), *fault.signs.items()]
    return FaultSpec(
        id=f"{slot}.{fault.id.split('.', 1)[1]}",
        slot=slot,
        area=area,
        title=fault.title,
        prior=prior,
        links=tuple(
            link for name, claim in links for link in links_to(bases[name], claim.value, slot, shares)
        ),
        shows=value(fault.shows),
    )


def _something_else(machine: MachineModel, bases: tuple[BaseSpec, ...], shares: Shares) -> list[FaultSpec]:
    found = []
    for area in machine.areas:
        links = tuple(
            link
            for index, base in enumerate(bases)
            if base.area == area.id and not base.is_sign
            for link in links_to(index, SOMETHING_ELSE_LINK, "", shares)
        )
        found.append(
            FaultSpec(
                id=f"{SOMETHING_ELSE}.{area.id}",
                slot="",
                area=area.id,
                title=f"Something else here: {area.title}",
                prior=area.something_else.value,
                links=links,
                listed=False,
            )
        )
    return found


def makes_of(machine: MachineModel, index: Mapping[str, int], slots: Slots) -> Iterator[Making]:
    """Yield which fault makes which, each copy every copy."""
    for fault in machine.faults:
        for other, claim in fault.makes.items():
            for here in copies_of(fault.id, slots):
                for there in copies_of(other, slots):
                    yield index[here], index[there], claim.value

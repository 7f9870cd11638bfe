"""Names of things, as types; and how the name of one copy of a part is made.

A fault is named `part.mode` (`inverter.failed`). Where a machine has several copies of a part the copy's
number stands between: `memory.2.unseated`. A slot is `memory.2`; where there is one copy only, `disk`.
The part instance that sits in a slot from the start bears the slot's own name; a part fitted later bears
a name of its own (a spare's tag, or `disk/2`).
"""

from __future__ import annotations

from typing import NewType

FaultId = NewType("FaultId", str)
CheckId = NewType("CheckId", str)
FixId = NewType("FixId", str)
PartId = NewType("PartId", str)
SlotId = NewType("SlotId", str)
InstanceId = NewType("InstanceId", str)
FunctionId = NewType("FunctionId", str)
OpeningId = NewType("OpeningId", str)
GateId = NewType("GateId", str)
AreaId = NewType("AreaId", str)
MachineTag = NewType("MachineTag", str)
JobId = NewType("JobId", int)


def slot_name(part: str, copy: int, copies: int) -> SlotId:
    """Return the slot of copy number `copy` (from 1) of a part of which there are `copies`."""
    return SlotId(part if copies == 1 else f"{part}.{copy}")


def part_of(fault: str) -> PartId:
    """Return the part that a fault named `part.mode` belongs to."""
    return PartId(fault.split(".", 1)[0])

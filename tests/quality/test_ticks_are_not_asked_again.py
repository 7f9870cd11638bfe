"""What a person looked at to tick a safety condition is not offered to them as a step, in any family."""

from __future__ import annotations

from functools import cache

import pytest

from powergood.diagnosis import advise, compile_model
from powergood.diagnosis.gathering import gather
from powergood.knowledge.model import MachineModel
from powergood.packs import Pack, builtin_pack
from powergood.record.model import Body, Complained, Draft, Fact, GateAnswered, JobOpened
from powergood.record.timeline import timeline

FAMILIES = ("pata-laptop", "at-atx-desktop", "home-micro", "compact-all-in-one", "scsi-desktop")


@cache
def pack() -> Pack:
    """Return the shipped pack, read once."""
    return builtin_pack()


def ticked(machine: MachineModel) -> set[str]:
    """Return the checks that the ticks of a machine stand for."""
    return {each.check for gate in machine.gates for each in gate.stands_for if not each.box}


@pytest.mark.parametrize("family", FAMILIES)
def test_no_look_is_offered_that_a_tick_was(family: str) -> None:
    machine = pack().machine(family)
    model = compile_model(machine)
    dead = next(each.id for each in machine.complaints if each.id.startswith("dead"))
    bodies: list[Body] = [JobOpened("dead"), Complained(dead, dead)]
    bodies += [GateAnswered(gate.id, True) for gate in machine.gates]
    line = timeline(Fact(n, "", Draft(body, key=str(n))) for n, body in enumerate(bodies, start=1))
    assert ticked(machine)
    assert ticked(machine) <= set(gather(model, line).fresh)
    assert not ticked(machine) & {step.step for step in advise(model, line).steps}


@pytest.mark.parametrize("family", FAMILIES)
def test_what_may_have_been_mended_to_meet_a_condition_has_a_box_of_its_own(family: str) -> None:
    for gate in pack().machine(family).gates:
        mends = any(words in gate.ask for words in ("replaced", "washed", "leaks is", "mended"))
        if mends:
            assert all(each.box for each in gate.stands_for), gate.id

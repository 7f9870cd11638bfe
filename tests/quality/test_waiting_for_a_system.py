"""A machine that sees no disk waits for a system, as one does whose disk is empty: in every family."""

from __future__ import annotations

from functools import cache

import pytest

from powergood.diagnosis import CompiledModel, believe, compile_model
from powergood.packs import Pack, builtin_pack
from powergood.record.model import Complained, Draft, Fact
from powergood.record.timeline import timeline

LOOKS = (
    ("pata-laptop", "read-start-message", "no-system"),
    ("at-atx-desktop", "pad-waits", "no-system"),
    ("compact-all-in-one", "pad-waits", "waits-for-system"),
    ("scsi-desktop", "pad-waits", "waits-for-system"),
)


@cache
def pack() -> Pack:
    """Return the shipped pack, read once."""
    return builtin_pack()


@cache
def model_of(family: str) -> CompiledModel:
    """Return the numbers of a family."""
    return compile_model(pack().machine(family))


@pytest.mark.parametrize(("family", "look", "complaint"), LOOKS)
def test_what_hides_the_disk_makes_it_wait(family: str, look: str, complaint: str) -> None:
    model = model_of(family)
    rung = next(each for each in model.checks[look].rungs if each.outcome == "system-found")
    rests = model.closure(rung.base)
    for fault in model.faults:
        if fault.id in ("disk.stuck", "disk.heads-held", "disk.electronics-dead", "disk.no-system"):
            assert max(link.strength for link in fault.links if link.base in rests) >= 0.85, fault.id


@pytest.mark.parametrize(("family", "look", "complaint"), LOOKS)
def test_who_says_that_it_waits_is_not_taken_to_say_that_the_disk_is_empty(
    family: str, look: str, complaint: str
) -> None:
    model = model_of(family)
    told = Fact(1, "2026-01-01T00:00:00Z", Draft(Complained("", complaint), key="c"))
    now = believe(model, timeline([told])).now()
    raised = {fault.id: now[number] / fault.prior for number, fault in enumerate(model.faults)}
    assert raised["disk.stuck"] > 2
    assert raised["disk.no-system"] > 2

"""A part replaced that may not have been at fault: how likely it was, held against counting by hand."""

from __future__ import annotations

from dataclasses import replace

import pytest
from machines import fix, line_of, machine, yes_no

from powergood.diagnosis import Advice, Preferences, advise
from powergood.diagnosis.compiled import BaseSpec, CompiledModel, FaultSpec, Link, Price
from powergood.record.model import Body, Finding, FixDone, JobOpened, PartIn, PartOut

BAD, LOOSE = 0.2, 0.3
"""Chances that the module is bad and that its contacts are, before anything is known."""


def module(dud: float = 0.0) -> CompiledModel:
    """Return a machine with a module that may be bad or badly seated; a new one is seated anew too."""
    faults = [
        FaultSpec("m.bad", "m", "a", "bad", BAD, (Link(0, 1.0),)),
        FaultSpec("socket.dirty", "", "a", "dirty", LOOSE, (Link(0, 1.0),)),
    ]
    new = replace(fix("new", cures={0: 1.0, 1: 1.0}), slot="m", kind="replace", dud=dud, price=Price(6.0))
    bases = [BaseSpec("works", "works", "a", wanted=True)]
    made = machine(faults, bases, [replace(yes_no("test", 0, 0.0), price=Price(2.0))], [new])
    return replace(made, slots=("m",))


def after(*facts: Body) -> Advice:
    """Return the advice after the facts of a job that wants it to work."""
    wants = Preferences(hour=60.0, worth=1000.0, start=0.0, noting=0.0)
    return advise(module(), line_of(JobOpened("x", ("works",)), *facts), wants)


def test_the_old_part_was_at_fault_as_often_as_counting_says() -> None:
    (found,) = after(Finding("test", "bad"), FixDone("new", "m"), Finding("test", "good")).exchanged
    assert (found.slot, found.instance) == ("m", "m/2")
    assert found.chance == pytest.approx(BAD / (1 - (1 - BAD) * (1 - LOOSE)), abs=1e-9)
    assert found.minutes == pytest.approx(2 * 6.0 + 2.0)


def test_nothing_is_asked_while_the_trouble_is_still_there() -> None:
    assert after(Finding("test", "bad"), FixDone("new", "m")).exchanged == ()
    still = [JobOpened("x", ("works",)), Finding("test", "bad"), FixDone("new", "m"), Finding("test", "bad")]
    assert advise(module(dud=0.1), line_of(*still)).exchanged == ()


def test_the_old_part_put_back_and_out_again_settles_it() -> None:
    mended: list[Body] = [Finding("test", "bad"), FixDone("new", "m", instance="n"), Finding("test", "good")]
    back: list[Body] = [PartOut("n", "m"), PartIn("m", "m")]
    again: list[Body] = [PartOut("m", "m"), PartIn("n", "m"), Finding("test", "good")]
    assert after(*mended, *back, Finding("test", "bad"), *again).exchanged == ()
    assert after(*mended, *back, Finding("test", "good"), *again).exchanged == ()

"""What a job costs if the faults were known: a fix that may not take is paid until it has mended."""

from __future__ import annotations

from dataclasses import replace

import pytest
from machines import fault, fix, line_of, machine

from powergood.diagnosis import Preferences
from powergood.diagnosis.belief import believe
from powergood.diagnosis.compiled import BaseSpec, FixSpec, Price
from powergood.diagnosis.hindsight import Hindsight
from powergood.diagnosis.samples import draw_samples
from powergood.diagnosis.worth import Worth
from powergood.record.model import JobOpened


def cost_if_known(mend: FixSpec) -> float:
    """Return what a machine costs that surely has the one fault `mend` is for, nothing to prove it by."""
    model = machine(
        [fault("dead", "s", 1.0, {0: 1.0})], [BaseSpec("works", "works", "a", wanted=True)], [], [mend]
    )
    held = believe(model, line_of(JobOpened("x", ("works",))))
    worth = Worth.of(model, Preferences(hour=60.0, worth=1000.0), ["works"], frozenset())
    drawn = draw_samples(held, 5)
    hindsight = Hindsight(worth, drawn, [mend])
    known = hindsight.known(hindsight.broken(drawn.present), frozenset(), frozenset())
    return float(known.cost.mean())


@pytest.mark.parametrize(
    ("takes", "dud", "times"), [(1.0, 0.0, 1.0), (0.8, 0.0, 1.25), (1.0, 0.2, 1.25), (0.5, 0.5, 4.0)]
)
def test_a_fix_is_paid_until_it_has_mended(takes: float, dud: float, times: float) -> None:
    mend = replace(fix("mend", cures={0: takes}, slot="s" if dud else "", dud=dud), price=Price(40.0))
    assert cost_if_known(mend) == pytest.approx(40.0 * times, rel=1e-5)

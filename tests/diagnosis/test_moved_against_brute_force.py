"""What each finding says of a fault, against whole worlds enumerated one by one."""

from math import log2

import pytest
from brute import Answer, TooManyWorldsError, posterior
from hypothesis import HealthCheck, assume, given, settings
from hypothesis import strategies as st
from machines import fault, line_of, machine, machines, stories, yes_no

from powergood.diagnosis import believe, moved
from powergood.diagnosis.compiled import BaseSpec, CompiledModel
from powergood.record.model import Finding
from powergood.record.timeline import Timeline, timeline

SETTLED = 1e-5
"""Chances nearer to nought or one than this are left out: rounding there moves the odds visibly."""


def worlds(model: CompiledModel, line: Timeline) -> Answer:
    """Return the enumerated answer, or give the example up where there is none."""
    try:
        found = posterior(model, line.facts)
    except TooManyWorldsError:
        assume(False)
    assume(found.weight > 1e-200)
    return found


@settings(max_examples=120, deadline=None, derandomize=True, suppress_health_check=list(HealthCheck))
@given(st.data())
def test_each_weight_is_that_of_enumerated_worlds_with_and_without_the_finding(data: st.DataObject) -> None:
    model = data.draw(machines())
    line = timeline(data.draw(stories(model)))
    whole, bench = worlds(model, line), believe(model, line).evidence.now
    for spec in model.faults:
        mode = spec.id.removeprefix(f"{spec.slot}.") if spec.slot else spec.id
        carried = (bench.fitted(spec.slot) if spec.slot else "", mode)
        for each in moved(model, line, spec.id):
            kept = Timeline(tuple(fact for fact in line.facts if fact.number != each.fact))
            now, without = (answer.present.get(carried, 0.0) for answer in (whole, worlds(model, kept)))
            assert each.without == pytest.approx(without, abs=1e-9)
            if min(now, without) > SETTLED and max(now, without) < 1 - SETTLED:
                odds = now / (1 - now), without / (1 - without)
                assert each.bits == pytest.approx(log2(odds[0] / odds[1]), abs=1e-3)


@pytest.mark.parametrize("outcome", ["bad", "good"])
def test_a_finding_that_shares_no_cause_with_the_fault_weighs_nought(outcome: str) -> None:
    bases = [BaseSpec(name, name, "a", of=frozenset({slot})) for name, slot in (("a", "p"), ("b", "q"))]
    faults = [fault("f", "p", 0.1, {0: 1.0}), fault("g", "q", 0.2, {1: 1.0})]
    model = machine(faults, bases, [yes_no("ca", 0), yes_no("cb", 1)])
    about, other = moved(model, line_of(Finding("ca", "bad"), Finding("cb", outcome)), "p.f")
    assert about.bits == pytest.approx(log2(1 / 0.05))
    assert (other.fact, other.bits, other.strength) == (2, 0.0, "hardly")

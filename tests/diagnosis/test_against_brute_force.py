"""The belief against whole worlds enumerated one by one, on random small machines and stories."""

import pytest
from brute import Carried, TooManyWorldsError, posterior
from hypothesis import HealthCheck, assume, given, settings
from hypothesis import strategies as st
from machines import grid_machines, machines, stories

from powergood.diagnosis.belief import Belief, believe
from powergood.diagnosis.compiled import CompiledModel
from powergood.record.timeline import timeline

EXACT = 1e-9

thorough = settings(
    max_examples=300,
    deadline=None,
    derandomize=True,
    suppress_health_check=[HealthCheck.too_slow, HealthCheck.filter_too_much, HealthCheck.data_too_large],
)


def by_mode(model: CompiledModel, belief: Belief) -> dict[Carried, float]:
    """Return the belief keyed by part instance and mode of fault, as the oracle gives it."""
    found = {}
    for (number, instance), chance in belief.present().items():
        spec = model.faults[number]
        found[instance, spec.id.removeprefix(f"{spec.slot}.") if spec.slot else spec.id] = chance
    return found


def agrees(model: CompiledModel, facts: tuple) -> None:
    """Assert that the belief after the facts is that of the enumerated worlds."""
    try:
        expected = posterior(model, facts)
    except TooManyWorldsError:
        assume(False)
    assume(expected.weight > 1e-200)
    found = by_mode(model, believe(model, timeline(facts)))
    assert found.keys() == expected.present.keys()
    for carried, chance in expected.present.items():
        assert found[carried] == pytest.approx(chance, abs=EXACT), carried


@thorough
@given(st.data())
def test_the_belief_is_that_of_enumerated_worlds(data: st.DataObject) -> None:
    model = data.draw(machines())
    agrees(model, data.draw(stories(model)))


@thorough
@given(st.data())
def test_a_grid_of_copies_is_scored_as_enumerated_worlds_score_it(data: st.DataObject) -> None:
    model = data.draw(grid_machines())
    agrees(model, data.draw(stories(model)))

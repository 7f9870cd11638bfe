"""What is open is closed once, however much is proven after it: no proof has it in its price."""

from dataclasses import replace

import pytest
from machines import fault, machine, yes_no

from powergood.diagnosis import Preferences
from powergood.diagnosis.compiled import BaseSpec, CheckSpec, CompiledModel, OpeningSpec, Price
from powergood.diagnosis.worth import Worth

CLOSING = 20.0


def two_functions() -> CompiledModel:
    """Return a machine with two wanted functions, each proven by a powered check with the lid closed."""
    bases = [BaseSpec("a", "", "a", wanted=True), BaseSpec("b", "", "a", wanted=True)]
    made = machine([fault("f", "p", 0.1, {0: 1.0})], bases, [_closed("a", 0), _closed("b", 1)])
    lid = OpeningSpec("lid", "lid", 5.0, CLOSING, 0.0, frozenset())
    return replace(made, openings={"lid": lid})


def _closed(name: str, base: int) -> CheckSpec:
    return replace(yes_no(name, base), price=Price(3.0), closed=frozenset({"lid"}))


def test_proving_two_functions_closes_the_lid_once() -> None:
    worth = Worth.of(two_functions(), Preferences(start=0.0, noting=0.0), ["a", "b"], frozenset())
    opened = frozenset({"lid"})
    assert worth.proof(frozenset({0, 1}), opened) == pytest.approx(6.0)
    assert worth.proof(frozenset({0, 1}), opened) + worth.refit(opened) == pytest.approx(6.0 + CLOSING)


def test_a_check_done_now_pays_for_closing_what_it_needs_closed() -> None:
    model = two_functions()
    worth = Worth.of(model, Preferences(start=0.0, noting=0.0), ["a", "b"], frozenset())
    assert worth.check_cost(model.checks["a"], frozenset({"lid"}), start=False) == pytest.approx(
        3.0 + CLOSING
    )
    assert worth.check_cost(model.checks["a"], frozenset(), start=False) == pytest.approx(3.0)

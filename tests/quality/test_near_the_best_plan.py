"""How near the advised plan is to the best there is, where the best can be found by exhaustive search.

The constants of the look-ahead were chosen on machines drawn from other seeds (0 to 59, five faults). On some
two hundred machines, larger ones among them, the same is measured in `benchmarks/near_best.py`.
"""

from __future__ import annotations

import numpy as np
import pytest
from small_machines import Small, cost_of_advice, line_of, small_machine

from powergood.diagnosis import advise
from powergood.diagnosis.exact import optimum
from powergood.record.model import Finding, JobOpened

SEEDS = range(1000, 1024)


def best(small: Small) -> float:
    """Return the least expected cost of any plan, given that the machine does not work."""
    fails = 1 - float(np.prod([1 - fault.prior for fault in small.model.faults]))
    return optimum(small.trouble).cost / fails


@pytest.fixture(scope="module")
def machines() -> list[tuple[Small, float]]:
    return [(small, best(small)) for small in map(small_machine, SEEDS)]


def test_following_the_advice_costs_hardly_more_than_the_best_plan(
    machines: list[tuple[Small, float]],
) -> None:
    over = [cost_of_advice(small) / least - 1 for small, least in machines]
    assert np.mean(over) <= 0.01
    assert max(over) <= 0.08
    # never below by more than what the threshold for proven may save
    assert min(over) >= -0.05


def test_no_plan_costs_less_than_the_stated_bound(machines: list[tuple[Small, float]]) -> None:
    for small, least in machines:
        bodies = [JobOpened("x", ("works",)), Finding("test", "bad")]
        advice = advise(small.model, line_of(bodies), small.preferences)
        assert 0 < advice.at_least <= least + 1e-6

"""What mending without looking costs, held against the definition worked through sample by sample."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from powergood.diagnosis.blind import GROUPS, Mending, likeliest


def slowly(mending: Mending, weights: np.ndarray) -> float:
    """Return the same cost by trying every number of fixes in index order, a group of samples at a time."""
    total = 0.0
    for group in set(mending.group.tolist()):
        own = [row for row in range(weights.size) if mending.group[row] == group]
        chance = [
            sum(weights[row] * mending.needs[row, fix] for row in own) for fix in range(mending.prices.size)
        ]
        alone = [
            max(mending.prices[fix] + float(mending.requires[fix] @ mending.opens) + mending.test, 0.1)
            for fix in range(mending.prices.size)
        ]
        order = sorted((fix for fix in range(mending.prices.size)), key=lambda fix: -chance[fix] / alone[fix])
        order = [fix for fix in order if chance[fix] > 0]
        total += min(_tried(mending, weights, own, order[:most]) for most in range(len(order) + 1))
    return total


def _tried(mending: Mending, weights: np.ndarray, own: list[int], order: list[int]) -> float:
    cost = 0.0
    for row in own:
        opened: set[int] = set()
        spent, missing = 0.0, {int(fix) for fix in np.flatnonzero(mending.needs[row])}
        for fix in order:
            if not missing:
                break
            needed = set(np.flatnonzero(mending.requires[fix]).tolist()) - opened
            spent += mending.prices[fix] + mending.test + sum(mending.opens[each] for each in needed)
            opened |= needed
            missing.discard(fix)
        cost += weights[row] * (spent + (mending.stop if missing else mending.done))
    return cost


@st.composite
def cases(draw: st.DrawFn) -> tuple[Mending, np.ndarray]:
    """Draw a small case; prices differ from each other so that the order has no ties."""
    g = np.random.default_rng(draw(st.integers(0, 10_000)))
    samples, fixes, openings = int(g.integers(1, 8)), int(g.integers(1, 5)), int(g.integers(1, 4))
    needs = g.random((samples, fixes + 1)) < 0.4
    needs[:, -1] = g.random(samples) < 0.15
    mending = Mending(
        needs=needs,
        group=g.integers(0, 2, samples),
        prices=g.uniform(1, 40, fixes),
        requires=g.random((fixes, openings)) < 0.4,
        opens=g.uniform(1, 20, openings),
        test=float(g.uniform(0, 5)),
        done=float(g.uniform(0, 10)),
        stop=float(g.uniform(20, 200)),
    )
    weights = g.random(samples)
    return mending, weights / weights.sum()


@given(cases())
def test_the_cost_is_that_of_the_best_number_of_fixes_in_index_order(
    case: tuple[Mending, np.ndarray],
) -> None:
    mending, weights = case
    assert mending.blind(weights[:, None])[0] == pytest.approx(slowly(mending, weights), rel=1e-9)


@given(cases())
def test_knowing_an_answer_first_never_makes_it_dearer(case: tuple[Mending, np.ndarray]) -> None:
    mending, weights = case
    chance = np.linspace(0.1, 0.9, weights.size)
    parted = mending.blind(np.column_stack([weights, weights * chance, weights * (1 - chance)]))
    # index order is not the best where fixes share openings or are needed together: a little is let pass
    assert parted[1] + parted[2] <= parted[0] * 1.25 + 1e-9


def test_two_suspects_cost_what_the_published_rule_says() -> None:
    # Equation 1 of Heckerman, Breese and Rommelse 1995, worked by hand: (10 + 1) + 0.4 × (20 + 1) minutes.
    mending = Mending(
        needs=np.array([[True, False, False], [False, True, False]]),
        group=np.zeros(2, dtype=np.int64),
        prices=np.array([10.0, 20.0]),
        requires=np.zeros((2, 0), dtype=np.bool_),
        opens=np.zeros(0),
        test=1.0,
        done=0.0,
        stop=1000.0,
    )
    assert mending.blind(np.array([[0.6], [0.4]]))[0] == pytest.approx(11 + 0.4 * 21)


def test_only_the_likeliest_patterns_are_told_apart() -> None:
    label = np.arange(10)
    weights = np.arange(10, 0, -1) / 55
    found = likeliest(label, weights)
    assert found[:GROUPS].tolist() == list(range(GROUPS))
    assert set(found[GROUPS:].tolist()) == {GROUPS}

"""Chances before anything is known, and joints of faults that make each other; expected values by hand."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from powergood.diagnosis.clusters import clusters
from powergood.diagnosis.priors import GREATEST_PRIOR, LEAST_SHARE, priors, scaled, with_odds_times

WEIGHTS = st.dictionaries(st.text("abcdef", min_size=1), st.sampled_from([0.5, 2.0, 4.0, 8.0]), min_size=1)


def test_weights_share_what_stated_chances_leave_of_the_expected_number() -> None:
    found = priors({"a": 8.0, "b": 2.0}, {"c": 0.4}, expected=0.9)
    assert found == pytest.approx({"a": 0.4, "b": 0.1, "c": 0.4})


def test_weights_keep_a_share_where_stated_chances_use_the_number_up() -> None:
    found = priors({"a": 1.0}, {"c": 0.9}, expected=0.8)
    assert found == pytest.approx({"a": 0.8 * LEAST_SHARE, "c": 0.9})


def test_what_a_capped_fault_cannot_take_goes_to_the_others() -> None:
    assert scaled({"a": 8.0, "b": 1.0, "c": 1.0}, 0.9) == pytest.approx({"a": 0.5, "b": 0.2, "c": 0.2})


@given(WEIGHTS, st.floats(0.01, 3.0))
def test_scaled_chances_sum_to_the_expected_number_or_stop_at_the_cap(
    weights: dict[str, float], expected: float
) -> None:
    chances = scaled(weights, expected)
    assert max(chances.values()) <= GREATEST_PRIOR + 1e-12
    assert sum(chances.values()) == pytest.approx(min(expected, GREATEST_PRIOR * len(weights)))


def test_a_factor_multiplies_odds_and_not_chances() -> None:
    assert with_odds_times(0.5, 3.0) == pytest.approx(0.75)
    assert with_odds_times(0.2, 0.5) == pytest.approx(1 / 9)
    assert with_odds_times(0.0, 7.0) == 0.0
    assert with_odds_times(1.0, 7.0) == 1.0


def test_a_maker_and_what_it_makes_are_one_cluster_and_others_stand_alone() -> None:
    found = clusters([0.1, 0.2, 0.3], [(0, 2, 0.5)])
    assert [each.members for each in found] == [(0, 2), (1,)]
    # Bits of the joint, lowest first: fault 0, fault 2. Fault 2 is there of itself (0.3) or made (0.5).
    absent = 0.7 * 0.5
    assert found[0].joint == pytest.approx((0.9 * 0.7, 0.1 * absent, 0.9 * 0.3, 0.1 * (1 - absent)))
    assert found[1].joint == pytest.approx((0.8, 0.2))


@given(
    st.lists(st.floats(0.01, 0.9), min_size=2, max_size=4),
    st.lists(
        st.tuples(st.integers(0, 3), st.integers(0, 3), st.floats(0, 1)).filter(lambda m: m[0] < m[1]),
        max_size=4,
    ),
)
def test_every_joint_sums_to_one_and_no_maker_makes_a_fault_rarer(
    chances: list[float], makes: list[tuple[int, int, float]]
) -> None:
    known = [making for making in makes if making[1] < len(chances)]
    found = clusters(chances, known)
    assert sorted(member for each in found for member in each.members) == list(range(len(chances)))
    for each in found:
        assert sum(each.joint) == pytest.approx(1)
        for place, member in enumerate(each.members):
            present = sum(weight for bits, weight in enumerate(each.joint) if bits >> place & 1)
            assert present >= chances[member] - 1e-12

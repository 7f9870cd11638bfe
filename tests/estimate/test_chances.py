"""Chances by Beta distributions: against closed forms, a reference library and simulation."""

from __future__ import annotations

from math import asin, pi, sqrt

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import stats

from powergood.estimate import Beta, beta_cdf, beta_quantile, reweighed, taken_in

POINTS = (0.001, 0.1, 0.37, 0.5, 0.8, 0.999)
SHAPES = ((0.02, 7.98), (0.5, 0.5), (1.0, 1.0), (2.5, 0.3), (3.0, 40.0), (800.0, 1200.0))


@pytest.mark.parametrize("x", POINTS)
def test_the_cumulative_chance_agrees_with_its_closed_forms(x: float) -> None:
    # Closed forms: Johnson, Kotz and Balakrishnan, Continuous Univariate Distributions 2, chapter 25.
    assert beta_cdf(x, 1.0, 1.0) == pytest.approx(x, abs=1e-13)
    assert beta_cdf(x, 3.0, 1.0) == pytest.approx(x**3, abs=1e-13)
    assert beta_cdf(x, 1.0, 4.0) == pytest.approx(1 - (1 - x) ** 4, abs=1e-13)
    assert beta_cdf(x, 0.5, 0.5) == pytest.approx(2 / pi * asin(sqrt(x)), abs=1e-12)  # the arcsine law


@pytest.mark.parametrize(("a", "b"), SHAPES)
def test_quantiles_and_cumulative_chances_agree_with_a_reference_library(a: float, b: float) -> None:
    for chance in (0.025, 0.05, 0.5, 0.95, 0.975):
        point = beta_quantile(chance, a, b)
        assert point == pytest.approx(stats.beta.ppf(chance, a, b), rel=1e-6, abs=1e-12)
    for x in POINTS:
        assert beta_cdf(x, a, b) == pytest.approx(stats.beta.cdf(x, a, b), abs=1e-11)


def test_three_hits_in_ten_on_an_even_prior_give_the_rule_of_succession() -> None:
    # Laplace's rule of succession: (hits + 1) / (cases + 2).
    assert Beta(1.0, 1.0).counted(3, 7).mean == pytest.approx(4 / 12)


def test_a_published_example_of_the_conjugate_update_is_met() -> None:
    # Gelman et al., Bayesian Data Analysis, 3rd ed., section 2.4 (recalled): 437 girls in 980 births, even
    # prior; posterior Beta(438, 544), mean 0.446, standard deviation 0.016, 95 % interval [0.415, 0.477].
    belief = Beta(1.0, 1.0).counted(437, 543)
    assert round(belief.mean, 3) == 0.446
    assert round(sqrt(belief.variance), 3) == 0.016
    assert [round(each, 3) for each in belief.interval(0.95)] == [0.415, 0.477]


def test_a_case_known_for_sure_counts_whole() -> None:
    belief = Beta.of(0.05, 8)
    assert taken_in(belief, 1.0) == belief.counted(1, 0)
    assert taken_in(belief, 0.0) == belief.counted(0, 1)


def test_a_case_that_tells_nothing_changes_nothing() -> None:
    belief = Beta.of(0.05, 8)
    after = taken_in(belief, belief.mean)
    assert after.mean == pytest.approx(belief.mean)
    assert after.weight == pytest.approx(belief.weight)


def test_a_case_half_known_moves_the_mean_half_as_far() -> None:
    belief = Beta.of(0.1, 10)
    whole, half, none = (taken_in(belief, hit).mean for hit in (1.0, 0.5, 0.0))
    assert half == pytest.approx((whole + none) / 2)
    assert half == pytest.approx((1 + 0.5) / 11)


@given(st.floats(0.02, 0.9), st.floats(1, 50), st.floats(0, 1), st.sampled_from([0.0, 0.5, 1.0]))
def test_a_partly_known_case_keeps_mean_and_variance_of_the_exact_mixture(
    mean: float, weight: float, hit: float, otherwise: float
) -> None:
    belief = Beta.of(mean, weight)
    one, other = belief.counted(1, 0), belief.counted(0, otherwise)
    exact = hit * one.mean + (1 - hit) * other.mean
    second = hit * (one.variance + one.mean**2) + (1 - hit) * (other.variance + other.mean**2)
    after = taken_in(belief, hit, otherwise=otherwise)
    assert after.mean == pytest.approx(exact, rel=1e-9)
    assert after.variance == pytest.approx(second - exact**2, rel=1e-6)


@given(st.floats(0.01, 0.99), st.floats(0.01, 0.99), st.floats(0.01, 0.99))
def test_evidence_reweighed_is_bayes_rule_from_the_other_prior(
    before: float, now: float, likelihood: float
) -> None:
    def posterior(prior: float) -> float:
        return prior * likelihood / (prior * likelihood + (1 - prior) * (1 - likelihood))

    assert reweighed(posterior(before), before, now) == pytest.approx(posterior(now), rel=1e-6)


def test_intervals_hold_the_truth_as_often_as_they_say() -> None:
    generator = np.random.default_rng(20)
    runs, held = 1500, 0
    for _ in range(runs):
        truth = generator.beta(0.8, 7.2)
        hits = int(generator.binomial(12, truth))
        low, high = Beta.of(0.1, 8).counted(hits, 12 - hits).interval(0.9)
        held += low <= truth <= high
    assert abs(held / runs - 0.9) < 3 * sqrt(0.9 * 0.1 / runs)


def test_intervals_from_partly_known_cases_hold_the_truth_nearly_as_often_as_they_say() -> None:
    # Each case is seen through a test with 80 % hits and 20 % false ones; the exact posterior is a mixture of
    # many Beta distributions, the kept one has its mean and variance. Counting fractions without the
    # variance would hold the truth far less often; the test below shows it.
    held, naive, runs = 0, 0, 1500
    generator = np.random.default_rng(21)
    for _ in range(runs):
        truth = generator.beta(1.6, 6.4)
        belief = plain = Beta.of(0.2, 8)
        for _ in range(25):
            case = generator.random() < truth
            seen = generator.random() < (0.8 if case else 0.2)
            factor = 4.0 if seen else 0.25
            odds = belief.mean / (1 - belief.mean) * factor
            belief = taken_in(belief, odds / (1 + odds))
            share = plain.mean / (1 - plain.mean) * factor
            plain = plain.counted(share / (1 + share), 1 - share / (1 + share))
        low, high = belief.interval(0.9)
        held += low <= truth <= high
        low, high = plain.interval(0.9)
        naive += low <= truth <= high
    assert abs(held / runs - 0.9) < 0.03
    assert naive / runs < 0.85


@pytest.mark.parametrize(
    ("hit", "mean", "weight", "upper"),
    [(1.0, 0.156, 9.0, 0.38), (0.6, 0.111, 6.87, 0.34), (0.05, 0.05, 8.0, 0.20), (0.0, 0.044, 9.0, 0.18)],
)
def test_the_worked_chance_of_the_explanation_is_what_is_computed(
    hit: float, mean: float, weight: float, upper: float
) -> None:
    after = taken_in(Beta.of(0.05, 8), hit)
    assert round(after.mean, 3) == mean
    assert round(after.weight, 2) == weight
    assert round(after.interval()[1], 2) == upper

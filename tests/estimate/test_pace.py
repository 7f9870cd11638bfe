"""A person's own pace: against the normal formulas worked another way, and by simulation."""

from __future__ import annotations

from math import exp, log, sqrt

import numpy as np
import pytest

from powergood.estimate import Timed, paces
from powergood.estimate.pace import KIND, NOISE, PERSON

KINDS = ("opening", "looking", "mending")


def timed(ratios: dict[str, list[float]]) -> list[Timed]:
    return [Timed("Ida", kind, 10.0 * each, 10.0) for kind, several in ratios.items() for each in several]


def by_matrix(ratios: dict[str, list[float]]) -> dict[str, tuple[float, float]]:
    """Return mean and deviation of each kind's log pace by conditioning one large normal vector."""
    order = [(kind, log(each)) for kind, several in ratios.items() for each in several]
    same = np.array([[one[0] == two[0] for two in order] for one in order], dtype=float)
    seen = PERSON**2 + KIND**2 * same + NOISE**2 * np.eye(len(order))
    found = {}
    for kind in KINDS:
        cross = PERSON**2 + KIND**2 * np.array([float(one[0] == kind) for one in order])
        gain = np.linalg.solve(seen, cross)
        mean = float(gain @ np.array([value for _, value in order]))
        found[kind] = mean, sqrt(PERSON**2 + KIND**2 - float(gain @ cross))
    return found


@pytest.mark.parametrize(
    "ratios",
    [
        {"opening": [2.0, 2.2, 1.9]},
        {"opening": [1.5], "looking": [0.7, 0.8], "mending": [3.0]},
        {"looking": [1.0] * 12, "mending": [0.5]},
    ],
)
def test_the_three_levels_agree_with_conditioning_one_normal_vector(ratios: dict[str, list[float]]) -> None:
    # Conditional normal: Gelman et al., Bayesian Data Analysis, 3rd ed., appendix A (recalled).
    found = paces(timed(ratios), KINDS)
    for kind, (mean, deviation) in by_matrix(ratios).items():
        assert found[kind].log_median == pytest.approx(mean)
        assert found[kind].deviation == pytest.approx(deviation)


def test_with_nothing_timed_the_pace_is_the_packs() -> None:
    found = paces([], KINDS)
    assert {pace.factor for pace in found.values()} == {1.0}
    assert found["opening"].deviation == pytest.approx(sqrt(PERSON**2 + KIND**2))


def test_the_worked_example_of_the_explanation_is_what_is_computed() -> None:
    found = paces(timed({"opening": [2.0, 2.0, 2.0]}), KINDS)
    assert round(found["opening"].factor, 2) == 1.66
    assert round(found["looking"].factor, 2) == 1.44


def test_three_teardowns_at_twice_the_packs_minutes_already_say_something() -> None:
    found = paces(timed({"opening": [2.0, 2.0, 2.0]}), KINDS)
    assert 1.5 < found["opening"].factor < 1.8
    assert 1.2 < found["looking"].factor < found["opening"].factor
    assert found["opening"].interval()[0] > 1.0


def test_one_odd_evening_is_shrunk_and_forty_are_believed() -> None:
    once = paces(timed({"mending": [4.0]}), KINDS)["mending"]
    often = paces(timed({"mending": [4.0] * 40}), KINDS)["mending"]
    assert once.factor < 2.0
    assert often.factor == pytest.approx(4.0, rel=0.1)
    assert often.deviation < once.deviation


def test_intervals_of_a_pace_hold_the_truth_as_often_as_they_say() -> None:
    generator = np.random.default_rng(22)
    runs, held = 1500, 0
    for _ in range(runs):
        pace = generator.normal(0, PERSON)
        own = {kind: pace + generator.normal(0, KIND) for kind in KINDS}
        counts = {"opening": 3, "looking": 5, "mending": 0}
        seen = [
            Timed("x", kind, 20 * exp(own[kind] + generator.normal(0, NOISE)), 20)
            for kind, count in counts.items()
            for _ in range(count)
        ]
        low, high = paces(seen, KINDS)["mending"].interval(0.9)
        held += low <= exp(own["mending"]) <= high
    assert abs(held / runs - 0.9) < 3 * sqrt(0.9 * 0.1 / runs)


def test_minutes_a_hundred_times_off_count_no_more_than_six_times_off() -> None:
    far, odd = paces(timed({"mending": [100.0]}), KINDS), paces(timed({"mending": [6.0]}), KINDS)
    assert far["mending"] == odd["mending"]

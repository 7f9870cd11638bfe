"""Readings against limits, the meter's error counted, and the outcome of a check that follows."""

from __future__ import annotations

import pytest

from powergood.knowledge.bring_up import check_outcome, meter_error, outside, placed
from powergood.knowledge.model import Claim, Limit, Stage


def volts(value: float) -> Claim:
    return Claim(value, "judgement")


FIVE = Limit(
    "five", "5 V", "V", volts(4.75), volts(5.25), below="rails-right", above="rail-high", nothing="starts"
)
MINUS = Limit("minus", "-12 V", "V", volts(-13.2), volts(-10.8), below="rail-high", above="rails-right",
              optional=True)  # fmt: skip
STAGE = Stage("rails", "Rails", "Measure", "start", volts(5), limits=(FIVE, MINUS), check="measure-rails")
ORDER = ("starts", "holds", "rail-high", "rails-right", "good")


@pytest.mark.parametrize(
    ("value", "place"),
    [
        (5.00, "inside"),
        (4.79, "too near to tell"),  # 4.79 - 0.05 lies below 4.75
        (4.75, "too near to tell"),
        (4.71, "too near to tell"),
        (4.69, "below"),
        (5.22, "too near to tell"),
        (5.31, "above"),
        (0.02, "nothing"),
    ],
)
def test_a_reading_is_in_or_out_only_by_more_than_the_meters_error(value: float, place: str) -> None:
    assert placed(FIVE, value, 0.05).place == place


def test_a_perfect_meter_counts_the_limits_as_inside() -> None:
    assert [placed(FIVE, value, 0.0).place for value in (4.75, 5.25)] == ["inside", "inside"]


def test_a_negative_rail_that_is_too_negative_lies_below() -> None:
    places = [placed(MINUS, value, 0.05).place for value in (-13.5, -12.0, -10.5)]
    assert places == ["below", "inside", "above"]


def test_the_error_is_the_share_of_the_reading_and_the_counts_of_its_last_digit() -> None:
    assert meter_error(5.0, "V", 0.01) == pytest.approx(0.005 * 5 + 2 * 0.01)
    assert meter_error(-12.0, "V", 0.1) == pytest.approx(0.005 * 12 + 2 * 0.1)


@pytest.mark.parametrize("said", ["bench meter, 0.8 % + 1", "0,8%+1", "±(0.8 % + 1)"])
def test_a_meter_that_states_its_error_is_taken_at_its_word(said: str) -> None:
    assert meter_error(10.0, "V", 0.01, said) == pytest.approx(0.08 + 0.01)


def test_too_high_comes_before_too_low_as_in_the_checks_own_order() -> None:
    assert check_outcome(STAGE, {"five": "below", "minus": "below"}, ORDER) == "rail-high"


def test_a_dead_supply_is_not_a_low_rail() -> None:
    assert check_outcome(STAGE, {"five": "nothing"}, ORDER) == "starts"
    assert check_outcome(STAGE, {"five": "nothing", "minus": "inside"}, ORDER) == "rails-right"


def test_good_needs_every_reading_that_is_not_optional() -> None:
    assert check_outcome(STAGE, {"minus": "inside"}, ORDER) == ""
    assert check_outcome(STAGE, {"five": "inside"}, ORDER) == "good"


def test_too_near_to_tell_is_no_verdict() -> None:
    assert check_outcome(STAGE, {"five": "too near to tell"}, ORDER) == "no verdict"


def test_nothing_read_or_no_check_says_nothing() -> None:
    assert check_outcome(STAGE, {}, ORDER) == ""
    assert check_outcome(Stage("a", "A", "Do", "off", volts(1)), {"five": "inside"}, ()) == ""


def test_what_lies_outside_and_stands_for_no_outcome_is_not_called_good() -> None:
    bare = Limit("five", "5 V", "V", high=volts(5.25))
    stage = Stage("a", "A", "Do", "start", volts(1), limits=(bare,), check="c")
    assert check_outcome(stage, {"five": "above"}, ORDER) == ""


@pytest.mark.parametrize(
    ("place", "is_out"), [("inside", False), ("too near to tell", False), ("above", True), ("nothing", True)]
)
def test_only_what_is_beyond_a_limit_is_outside(place, is_out) -> None:
    assert outside([place]) is is_out

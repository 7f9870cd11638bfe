"""Learned numbers together: counting, setting aside, the digest, and that order says nothing."""

from __future__ import annotations

from dataclasses import replace

import pytest

from powergood.estimate import Learned, Lessons, Start, Telling, Timed, Work, learned, number_id

FAULT = number_id("fault", "demo", "lamp.dark")
ALARM = number_id("false-alarm", "demo", "torch")
STARTS = {FAULT: Start(0.1, 8), ALARM: Start(0.05, 8)}


def only(*tellings: Telling) -> Learned:
    return learned(STARTS, Lessons(tellings))


def test_a_fixed_and_proven_cause_counts_whole() -> None:
    number = only(Telling(FAULT, 3, 1.0, 0.1)).numbers[FAULT]
    assert number.learned == pytest.approx((0.8 + 1) / 9)
    assert (number.hits, number.cases, number.jobs) == (1.0, 1.0, (3,))


def test_a_cause_that_is_only_probable_counts_in_part() -> None:
    number = only(Telling(FAULT, 3, 0.6, 0.1)).numbers[FAULT]
    assert number.learned == pytest.approx((0.8 + 0.6) / 9)
    assert number.hits == pytest.approx(0.6)


def test_a_job_that_says_nothing_of_a_fault_leaves_no_learned_number() -> None:
    assert not only(Telling(FAULT, 3, 0.1, 0.1)).numbers


def test_a_check_that_failed_for_a_real_fault_says_nothing_of_its_false_alarms() -> None:
    nothing = Telling(ALARM, 1, 1e-9, 0.05, otherwise=0.0)
    passed = Telling(ALARM, 1, 0.0, otherwise=1.0)
    assert not only(nothing).numbers
    assert only(passed).numbers[ALARM].learned == pytest.approx(0.4 / 9)


def test_a_job_believed_from_another_start_says_the_same() -> None:
    # Odds 0.1 to 0.6 is a factor of 13.5 on the odds, whatever the job began with.
    factor = (0.6 / 0.4) / (0.1 / 0.9)
    other = 0.3 / 0.7 * factor / (1 + 0.3 / 0.7 * factor)
    one, two = only(Telling(FAULT, 3, 0.6, 0.1)), only(Telling(FAULT, 3, other, 0.3))
    assert two.numbers[FAULT].learned == pytest.approx(one.numbers[FAULT].learned)


def test_the_order_in_which_jobs_are_read_says_nothing() -> None:
    several = [Telling(FAULT, 1, 0.6, 0.1), Telling(FAULT, 2, 1.0), Telling(FAULT, 3, 0.0)]
    assert only(*several) == only(*several[::-1])
    assert only(*several).digest == only(*several[::-1]).digest


def test_a_number_set_aside_is_shown_and_not_used() -> None:
    lessons = Lessons((Telling(FAULT, 3, 1.0, 0.1),))
    aside = learned(STARTS, lessons, {FAULT})
    assert aside.numbers[FAULT].learned > 0.1
    assert aside.value(FAULT, 0.0) == 0.1
    assert aside.digest != learned(STARTS, lessons).digest


def test_a_number_that_the_pack_has_dropped_is_left_out() -> None:
    assert not only(Telling(number_id("fault", "demo", "gone.away"), 3, 1.0)).numbers


def test_the_text_of_learned_numbers_gives_them_back_and_the_digest_is_of_it() -> None:
    lessons = Lessons(
        (Telling(FAULT, 3, 0.37, 0.1),), (Work(4, Timed("Ida, upstairs: night", "opening", 20, 10)),)
    )
    whole = learned(STARTS, lessons)
    again = Learned.of_text(whole.text())
    assert again == whole
    assert again.digest == whole.digest
    changed = {**whole.numbers, FAULT: replace(whole.numbers[FAULT], learned=0.2)}
    assert Learned(changed).digest != whole.digest


def test_where_nothing_was_learned_there_is_no_digest_and_the_packs_number_stands() -> None:
    assert Learned().digest == ""
    assert Learned().value(FAULT, 0.1) == 0.1


def test_each_person_has_a_pace_of_their_own() -> None:
    work = (
        Work(1, Timed("Ida", "opening", 30, 10)),
        Work(2, Timed("Bo", "opening", 5, 10)),
    )
    numbers = learned({}, Lessons((), work)).numbers
    assert numbers[number_id("pace", "opening", "Ida")].learned > 1.2
    assert numbers[number_id("pace", "opening", "Bo")].learned < 0.9
    assert numbers[number_id("pace", "mending", "Ida")].cases == 0

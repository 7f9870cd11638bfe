"""What is said of the plan in words: what the first step hangs on, and whether the old part was at fault."""

from __future__ import annotations

from dataclasses import replace

import pytest

from powergood.bench.library import Library
from powergood.bench.plan_words import steadiness, unexplained_words
from powergood.bench.wording import Wording
from powergood.diagnosis import Advice, Exchange, Hinge, advise, compile_model
from powergood.packs import builtin_pack
from powergood.record.timeline import Timeline


@pytest.fixture(scope="module")
def words(library: Library) -> Wording:
    return library.known("brenlund-n480").words


@pytest.fixture(scope="module")
def advice() -> Advice:
    return advise(compile_model(builtin_pack().machine("pata-laptop"), year=1998), Timeline(()))


def test_the_old_part_is_told_with_its_chance_and_the_minutes_to_know_it(
    advice: Advice, words: Wording
) -> None:
    said = unexplained_words(replace(advice, exchanged=(Exchange("adapter", "adapter/2", 0.6, 14.0),)), words)
    assert len(said) == 1
    for part in (words.part("adapter"), "60 in 100", "14 min", "fit the new one again", "spare"):
        assert part in said[0]


def test_a_first_step_that_hangs_on_a_link_names_fault_and_sight(advice: Advice, words: Wording) -> None:
    fault, function, step = "inverter.failed", "picture", advice.steps[-1].step
    said = steadiness(replace(advice, hinge=Hinge(fault, 1.0, step, 9.0, function, 0.55)), words)
    for part in (words.fault(fault), words.function(function), "55 in 100 times"):
        assert part in said
    assert "three times" not in said


def test_one_that_hangs_on_a_chance_says_which_way(advice: Advice, words: Wording) -> None:
    hangs = Hinge("inverter.failed", 1 / 3, advice.steps[-1].step, 9.0)
    assert "three times rarer" in steadiness(replace(advice, hinge=hangs), words)

"""What each finding says for or against a fault."""

from __future__ import annotations

import sys
from math import log2
from pathlib import Path

import pytest

from powergood.diagnosis import believe, moved
from powergood.record.model import Finding
from powergood.record.timeline import Timeline

sys.path.insert(0, str(Path(__file__).resolve().parents[1] / "quality"))
from small_machines import Small, line_of, small_machine


def touched(small: Small) -> tuple[int, int]:
    """Return a check and a fault that it may show."""
    return next((n, f) for n, of in enumerate(small.strengths) for f in of)


@pytest.mark.parametrize("outcome", ["bad", "good"])
@pytest.mark.parametrize("seed", range(5))
def test_the_weight_of_a_lone_finding_is_its_bayes_factor(seed: int, outcome: str) -> None:
    small = small_machine(seed)
    check, fault = touched(small)
    priors = [each.prior for each in small.model.faults]
    quiet = 1 - small.leak
    for other, strength in small.strengths[check].items():
        quiet *= 1 - strength * priors[other] if other != fault else 1.0
    silent = {True: quiet * (1 - small.strengths[check][fault]), False: quiet}
    likely = {there: silent[there] if outcome == "good" else 1 - silent[there] for there in (True, False)}
    found = moved(small.model, line_of([Finding(f"c{check}", outcome)]), f"p{fault}.f{fault}")
    if min(likely.values()) > 0:
        assert found[0].bits == pytest.approx(log2(likely[True] / likely[False]), abs=1e-9)
    else:  # the outcome settles the matter: the factor has no end, and the weight is held
        assert abs(found[0].bits) > 20
    assert found[0].without == pytest.approx(priors[fault])
    assert (found[0].bits > 0) == (outcome == "bad")


def test_a_finding_is_weighed_beside_all_others() -> None:
    small = small_machine(3)
    facts = line_of([Finding("test", "bad"), Finding("c0", "bad"), Finding("c1", "good")])
    for number, fault in enumerate(small.model.faults):
        whole = believe(small.model, facts).now()[number]
        for each in moved(small.model, facts, fault.id):
            kept = Timeline(tuple(fact for fact in facts.facts if fact.number != each.fact))
            assert each.without == pytest.approx(believe(small.model, kept).now()[number])
            assert (each.bits > 0) == (whole > each.without) or abs(whole - each.without) < 1e-12


def test_the_strongest_come_first_with_a_word_for_their_strength() -> None:
    small = small_machine(3)
    facts = line_of([Finding("test", "bad"), Finding("c0", "bad"), Finding("c1", "good")])
    for fault in small.model.faults:
        found = moved(small.model, facts, fault.id)
        assert [abs(each.bits) for each in found] == sorted((abs(each.bits) for each in found), reverse=True)
        assert {each.strength for each in found} <= {"hardly", "a little", "clearly", "strongly"}
        assert all((2 ** abs(each.bits) < 1.2) == (each.strength == "hardly") for each in found)


def test_a_fault_that_there_is_not_is_refused() -> None:
    small = small_machine(3)
    with pytest.raises(KeyError):
        moved(small.model, line_of([]), "no.such")


def test_a_finding_has_the_weight_that_it_would_have_by_itself() -> None:
    small = small_machine(3)
    facts = line_of([Finding("test", "bad"), Finding("c0", "bad"), Finding("c1", "good")])
    for fault in small.model.faults:
        for each in moved(small.model, facts, fault.id):
            lone = Timeline(tuple(fact for fact in facts.facts if fact.number == each.fact))
            assert each.alone == pytest.approx(moved(small.model, lone, fault.id)[0].bits)


def test_what_fits_a_fault_and_its_rivals_better_is_told_from_what_does_not_fit() -> None:
    told = plain = 0
    for seed in range(30):
        small = small_machine(seed)
        facts = line_of([Finding("test", "bad"), *(Finding(f"c{each}", "bad") for each in range(2))])
        for fault in small.model.faults:
            for each in moved(small.model, facts, fault.id):
                assert each.fits_others_better <= (each.bits < 0 < each.alone)
                told += each.fits_others_better
                plain += each.bits < 0 and not each.fits_others_better
    assert told
    assert plain

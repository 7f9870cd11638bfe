"""Laws the belief must obey on any machine: bounds, order, repetition, withdrawal, equal facts."""

from dataclasses import replace

import pytest
from hypothesis import HealthCheck, assume, given, settings
from hypothesis import strategies as st
from machines import facts_of, fault, findings, fix, ladder, line_of, machine, machines, stories, yes_no

from powergood.diagnosis.belief import Belief, believe
from powergood.diagnosis.compiled import BaseSpec
from powergood.record.model import GOOD, NO_VERDICT, Finding, FixDone, PartIn, PartOut, Withdrawn
from powergood.record.timeline import timeline

EXACT = 1e-12

lawful = settings(
    max_examples=100,
    deadline=None,
    derandomize=True,
    suppress_health_check=[HealthCheck.too_slow, HealthCheck.data_too_large],
)


def same(left: Belief, right: Belief, within: float = EXACT) -> None:
    """Assert that two beliefs are the same."""
    ours, theirs = left.present(), right.present()
    assert ours.keys() == theirs.keys()
    for key, chance in ours.items():
        assert chance == pytest.approx(theirs[key], abs=within), key


@lawful
@given(st.data())
def test_every_chance_lies_in_nought_to_one_and_histories_sum_to_one(data: st.DataObject) -> None:
    model = data.draw(machines())
    held = believe(model, timeline(data.draw(stories(model))))
    assume(held.weight > 0)
    for chance in held.present().values():
        assert 0 <= chance <= 1
    for chances in held.chances:
        assert sum(chances) == pytest.approx(1, abs=1e-9)


@lawful
@given(st.data())
def test_the_order_of_findings_with_nothing_done_between_is_irrelevant(data: st.DataObject) -> None:
    model = data.draw(machines())
    looks = data.draw(st.lists(findings(model), min_size=2, max_size=6))
    starts = data.draw(st.lists(st.integers(1, 3), min_size=len(looks), max_size=len(looks)))
    order = data.draw(st.permutations(range(len(looks))))
    before = facts_of(list(looks), starts)
    after = facts_of([looks[place] for place in order], [starts[place] for place in order])
    held = believe(model, timeline(before))
    assume(held.weight > 0)
    same(held, believe(model, timeline(after)), within=1e-9)


def test_a_finding_and_an_act_do_not_change_places() -> None:
    model = machine(
        [fault("f", "p", 0.3, {0: 0.9})],
        [BaseSpec("b", "", "a")],
        [yes_no("c", 0)],
        [fix("mend", cures={0: 0.8})],
    )
    failed_first = believe(model, line_of(Finding("c", "bad"), FixDone("mend"))).present()[0, "p"]
    mended_first = believe(model, line_of(FixDone("mend"), Finding("c", "bad"))).present()[0, "p"]
    fails = 0.9 + 0.1 * 0.05
    present = 0.3 * fails / (0.3 * fails + 0.7 * 0.05)
    assert failed_first == pytest.approx(present * 0.2, abs=EXACT)
    left = 0.3 * 0.2
    assert mended_first == pytest.approx(left * fails / (left * fails + (1 - left) * 0.05), abs=EXACT)
    assert failed_first != pytest.approx(mended_first, abs=0.1)


@lawful
@given(st.data())
def test_no_verdict_changes_nothing(data: st.DataObject) -> None:
    model = data.draw(machines())
    story = data.draw(stories(model))
    check = data.draw(st.sampled_from(sorted(model.checks)))
    place = data.draw(st.integers(0, len(story)))
    empty = facts_of([Finding(check, NO_VERDICT)])[0]
    more = [replace(f, number=f.number * 2) for f in _renumbered(story)]
    more.insert(place, replace(empty, number=place * 2 + 1))
    same(believe(model, timeline(story)), believe(model, timeline(more)))


def _renumbered(story):
    """Return the story's facts with withdrawals that name doubled numbers."""
    return [
        replace(f, draft=replace(f.draft, body=Withdrawn(f.body.fact * 2)))
        if isinstance(f.body, Withdrawn)
        else f
        for f in story
    ]


@lawful
@given(st.data())
def test_the_same_finding_five_times_is_one_finding_where_nothing_is_intermittent(
    data: st.DataObject,
) -> None:
    model = data.draw(machines(intermittents=False))
    finding = data.draw(findings(model))
    once = believe(model, line_of(finding))
    assume(once.weight > 0)
    same(once, believe(model, line_of(*[finding] * 5)))


def test_an_intermittent_fault_is_less_likely_after_each_further_start_that_passed() -> None:
    model = machine([fault("f", "p", 0.4, {0: 1.0}, shows=0.5)], [BaseSpec("b", "", "a")], [yes_no("c", 0)])
    for passes in range(5):
        chance = believe(model, line_of(*[Finding("c", GOOD)] * passes)).present()[0, "p"]
        shown = 0.4 * 0.5**passes
        assert chance == pytest.approx(shown / (shown + 0.6), abs=EXACT)


def test_looks_in_one_start_see_an_intermittent_fault_in_one_mood() -> None:
    model = machine([fault("f", "p", 0.4, {0: 1.0}, shows=0.5)], [BaseSpec("b", "", "a")], [yes_no("c", 0)])
    facts = facts_of([Finding("c", GOOD)] * 3, [1, 1, 2])
    assert believe(model, timeline(facts)).present()[0, "p"] == pytest.approx(0.1 / 0.7, abs=EXACT)


@lawful
@given(st.data())
def test_a_withdrawn_fact_might_as_well_never_have_been_said(data: st.DataObject) -> None:
    model = data.draw(machines())
    story = [f for f in data.draw(stories(model)) if not isinstance(f.body, Withdrawn)]
    assume(story)
    taken_back = data.draw(st.sampled_from(story))
    last = replace(facts_of([Withdrawn(taken_back.number)])[0], number=100)
    never = [fact for fact in story if fact is not taken_back]
    same(believe(model, timeline(never)), believe(model, timeline([*story, last])))


@lawful
@given(st.data())
def test_equal_facts_give_equal_belief_to_the_last_bit(data: st.DataObject) -> None:
    model = data.draw(machines())
    story = data.draw(stories(model))
    once, again = believe(model, timeline(story)), believe(model, timeline(reversed(story)))
    assert once.chances == again.chances
    assert once.weight == again.weight


# --- single rules, each worked by hand -----------------------------------------------------------------


def one_fault(**checks: float):
    """Return a machine with one fault of chance 0.2 that always stops its one function."""
    looks = [yes_no(name, 0, leak) for name, leak in (checks or {"c": 0.05}).items()]
    return machine(
        [fault("f", "p", 0.2, {0: 1.0})], [BaseSpec("b", "", "a")], looks, [fix("mend", cures={0: 0.5})]
    )


def test_told_then_seen_is_as_good_as_seen() -> None:
    told_too = believe(one_fault(), line_of(Finding("c", "bad", told=True), Finding("c", "bad")))
    same(told_too, believe(one_fault(), line_of(Finding("c", "bad"))))


def test_two_checks_that_fail_for_one_function_are_one_piece_of_evidence() -> None:
    model = one_fault(dull=0.05, sharp=0.01)
    for looks in (("dull", "sharp"), ("sharp", "dull")):
        both = believe(model, line_of(*(Finding(check, "bad") for check in looks)))
        same(both, believe(model, line_of(Finding("sharp", "bad"))))
        assert both.present()[0, "p"] == pytest.approx(0.2 / (0.2 + 0.8 * 0.01), abs=EXACT)


def test_of_a_failure_it_is_the_false_alarm_of_the_failing_rung_that_counts() -> None:
    """A ladder that passed a rung before it has more room for false alarms in all, but not at its failure."""
    bases = [BaseSpec("lamp", "", "a"), BaseSpec("b", "", "a", needs=(0,))]
    looks = [ladder("far", [0, 1], 0.01), yes_no("dull", 1, 0.3)]
    model = machine([fault("f", "p", 0.2, {1: 1.0})], bases, looks)
    both = believe(model, line_of(Finding("dull", "bad"), Finding("far", "b1")))
    same(both, believe(model, line_of(Finding("far", "b1"))))


def test_a_failure_seen_again_after_an_act_is_new_evidence() -> None:
    chance = believe(one_fault(), line_of(Finding("c", "bad"), FixDone("mend"), Finding("c", "bad")))
    stays, cured, never = 0.2 * 0.5, 0.2 * 0.5 * 0.05, 0.8 * 0.05 * 0.05
    assert chance.present()[0, "p"] == pytest.approx(stays / (stays + cured + never), abs=EXACT)


@pytest.mark.parametrize("leak", [0.01, 0.05, 0.2])
def test_an_unsure_failure_is_the_sure_one_with_a_greater_false_alarm(leak: float) -> None:
    t = 0.6
    greater = 1 - 2 * t * (1 - leak) / (1 + t)
    unsure = believe(one_fault(c=leak), line_of(Finding("c", "bad", sure=False)))
    same(unsure, believe(one_fault(c=greater), line_of(Finding("c", "bad"))))


def test_a_failure_says_nothing_while_a_part_it_rests_on_is_out() -> None:
    rests_on_p = [BaseSpec("b", "", "a", of=frozenset({"p"}))]
    model = machine(
        [fault("f", "", 0.2, {0: 1.0}), fault("g", "p", 0.1, {0: 1.0})], rests_on_p, [yes_no("c", 0)]
    )
    out = believe(model, line_of(PartOut("p"), Finding("c", "bad"))).present()
    assert out[0, ""] == pytest.approx(0.2, abs=EXACT)
    assert out[1, "p"] == pytest.approx(0.1, abs=EXACT)


def test_a_part_takes_its_faults_along_into_another_slot() -> None:
    faults = [fault("f", "m.1", 0.2, {0: 1.0}), fault("f", "m.2", 0.2, {0: 1.0})]
    each = [replace(yes_no(f"only-{n}", 0), masked=frozenset({f"m.{3 - n}"})) for n in (1, 2)]
    model = machine(faults, [BaseSpec("b", "", "a")], each)
    swapped = [PartOut("m.1"), PartOut("m.2"), PartIn("m.1", "m.2"), PartIn("m.2", "m.1")]
    held = believe(model, line_of(*swapped, Finding("only-1", "bad"), Finding("only-2", GOOD)))
    assert held.evidence.newcomers == ()
    # Slot 1 holds the part that came in slot 2, and only it was looked at when the check failed.
    assert held.present() == {
        (0, "m.2"): pytest.approx(0.2 / (0.2 + 0.8 * 0.05), abs=EXACT),
        (1, "m.1"): pytest.approx(0.0, abs=EXACT),
    }


def test_a_part_put_into_another_slot_leaves_its_own_empty() -> None:
    faults = [fault("f", "m.1", 0.2, {0: 1.0}), fault("f", "m.2", 0.2, {0: 1.0})]
    model = machine(faults, [BaseSpec("b", "", "a")], [yes_no("c", 0)])
    held = believe(model, line_of(PartIn("m.1", "m.2")))
    assert held.evidence.now.missing == {"m.1"}


def test_a_fix_reaches_the_part_that_sits_in_the_slot_now() -> None:
    faults = [fault("f", "m.1", 0.2, {0: 1.0}), fault("f", "m.2", 0.3, {0: 1.0})]
    model = machine(faults, [BaseSpec("b", "", "a")], [yes_no("c", 0)], [fix("clean-1", cures={0: 1.0})])
    moved = [PartOut("m.1"), PartOut("m.2"), PartIn("m.2", "m.1"), FixDone("clean-1")]
    now = believe(model, line_of(*moved)).present()
    assert now[0, "m.2"] == pytest.approx(0.0, abs=EXACT)
    assert now[0, "m.1"] == pytest.approx(0.2, abs=EXACT)


def test_a_new_part_gets_a_name_no_other_part_has() -> None:
    model = machine(
        [fault("f", "p", 0.2, {0: 1.0})],
        [BaseSpec("b", "", "a")],
        [yes_no("c", 0)],
        [fix("new", slot="p", dud=0.1)],
    )
    held = believe(model, line_of(FixDone("new", "p", "p/3"), FixDone("new", "p")))
    assert sorted(name for _, name in held.present()) == ["p", "p/2", "p/3"]


def test_a_ladder_that_could_only_stop_by_a_false_alarm_says_so() -> None:
    needs = [BaseSpec("low", "", "a"), BaseSpec("high", "", "a", needs=(0,))]
    model = machine([fault("f", "", 0.2, {0: 1.0})], needs, [ladder("c", [1, 0], 0.05)])
    sure = believe(model, line_of(Finding("c", "b0"))).present()[0, ""]
    unsure = believe(model, line_of(Finding("c", "b0", sure=False))).present()[0, ""]
    toss, clear = 0.4 / 3, 0.6 * 0.95 * 0.05
    assert sure == 0
    assert unsure == pytest.approx(0.2 * toss / (0.2 * toss + 0.8 * (clear + toss)), abs=EXACT)


def test_a_known_good_part_fills_the_empty_slot_it_is_put_in() -> None:
    rests_on_p = [BaseSpec("b", "", "a", of=frozenset({"p"}))]
    known_good = replace(yes_no("c", 0), masked=frozenset({"p"}), swapped=True)
    model = machine([fault("f", "", 0.2, {0: 1.0}), fault("g", "p", 0.1, {0: 1.0})], rests_on_p, [known_good])
    held = believe(model, line_of(PartOut("p"), Finding("c", "bad"))).present()
    assert held[0, ""] == pytest.approx(0.2 / (0.2 + 0.8 * 0.05), abs=EXACT)


@pytest.mark.parametrize("ladder_first", [True, False])
def test_a_ladder_and_a_plain_check_that_fail_for_one_function_share_their_false_alarm(
    ladder_first: bool,
) -> None:
    needs = [BaseSpec("low", "", "a"), BaseSpec("high", "", "a", needs=(0,))]
    faults = [fault("f", "", 0.2, {0: 1.0}), fault("g", "", 0.1, {1: 1.0})]
    model = machine(faults, needs, [ladder("steps", [0, 1], 0.05), yes_no("plain", 1)])
    looks = [Finding("steps", "b1"), Finding("plain", "bad")]
    held = believe(model, line_of(*(looks if ladder_first else reversed(looks)))).present()
    assert held[0, ""] == 0
    assert held[1, ""] == pytest.approx(0.1 / (0.1 + 0.9 * 0.05), abs=EXACT)


def test_a_failure_with_one_copy_of_a_part_out_still_tells_of_the_other() -> None:
    faults = [fault("f", "m.1", 0.2, {0: 1.0}), fault("f", "m.2", 0.2, {0: 1.0})]
    needs_memory = [BaseSpec("b", "", "a", of=frozenset({"m.1", "m.2"}))]
    model = machine(faults, needs_memory, [yes_no("c", 0)])
    held = believe(model, line_of(PartOut("m.1"), Finding("c", "bad"))).present()
    assert held[0, "m.1"] == pytest.approx(0.2, abs=EXACT)
    assert held[1, "m.2"] == pytest.approx(0.2 / (0.2 + 0.8 * 0.05), abs=EXACT)

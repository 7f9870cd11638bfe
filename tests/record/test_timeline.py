"""The timeline and the bench states it amounts to."""

from __future__ import annotations

from collections.abc import Sequence

import pytest
from hypothesis import given
from hypothesis import strategies as st

from powergood.record import BODY_KINDS, Bench, Body, Draft, Fact, bench_states, timeline
from powergood.record.model import (
    Finding,
    FixDone,
    GateAnswered,
    JobOpened,
    Note,
    Opened,
    PartIn,
    PartOut,
    Refitted,
    WantedSet,
    Withdrawn,
)
from powergood.record.timeline import home_slot, slot_holding


def book(*bodies: Body, power_ups: Sequence[int] = ()) -> list[Fact]:
    return [
        Fact(
            number,
            "2026-11-25T09:30:00Z",
            Draft(body, f"k{number}", power_up=power_ups[number - 1] if power_ups else 0),
        )
        for number, body in enumerate(bodies, start=1)
    ]


def numbers(facts: Sequence[Fact]) -> list[int]:
    return [fact.number for fact in timeline(facts).facts]


def after(*bodies: Body) -> Bench:
    return bench_states(timeline(book(*bodies)))[-1]


def test_the_union_of_bodies_and_their_list_name_the_same_kinds() -> None:
    assert set(BODY_KINDS) == set(Body.__args__)
    assert len(set(BODY_KINDS)) == len(BODY_KINDS)


def test_a_withdrawn_fact_is_gone_and_can_still_be_looked_up() -> None:
    line = timeline(book(Note("a"), Finding("lamp", "bad"), Withdrawn(2, "wrong lamp")))
    assert [fact.number for fact in line.facts] == [1]
    assert {taken: by.number for taken, by in line.withdrawn.items()} == {2: 3}


def test_withdrawing_a_withdrawal_brings_the_fact_back() -> None:
    assert numbers(book(Note("a"), Withdrawn(1), Withdrawn(2))) == [1]


def test_a_third_withdrawal_takes_the_fact_away_again() -> None:
    assert numbers(book(Note("a"), Withdrawn(1), Withdrawn(2), Withdrawn(3))) == []


def test_of_two_withdrawals_of_one_fact_undoing_the_second_leaves_the_first() -> None:
    assert numbers(book(Note("a"), Withdrawn(1), Withdrawn(1), Withdrawn(3))) == []


def test_of_two_withdrawals_the_later_one_is_named() -> None:
    line = timeline(book(Note("a"), Withdrawn(1, "first"), Withdrawn(1, "second")))
    assert line.withdrawn[1].number == 3


@pytest.mark.parametrize("named", [2, 3, 99])
def test_a_withdrawal_of_itself_of_a_later_or_of_no_fact_does_nothing(named: int) -> None:
    assert numbers(book(Note("a"), Withdrawn(named), Note("b"))) == [1, 3]


bodies = st.lists(
    st.one_of(
        st.just(Note("n")),
        st.integers(0, 12).map(Withdrawn),
        st.sampled_from(["disk", "disk/2", "memory.1", "memory.2"]).flatmap(
            lambda name: st.sampled_from([PartOut(name), PartIn(name), PartIn(name, "memory.2")])
        ),
    ),
    max_size=12,
)


@given(bodies, st.randoms())
def test_the_order_facts_are_given_in_does_not_matter(given_bodies: list[Body], random: object) -> None:
    facts = book(*given_bodies)
    shuffled = list(facts)
    random.shuffle(shuffled)  # type: ignore[attr-defined]
    assert timeline(shuffled) == timeline(facts)


@given(bodies)
def test_what_stands_rises_strictly_and_holds_no_withdrawal(given_bodies: list[Body]) -> None:
    line = timeline(book(*given_bodies))
    found = [fact.number for fact in line.facts]
    assert found == sorted(set(found))
    assert not any(isinstance(fact.body, Withdrawn) or fact.number in line.withdrawn for fact in line.facts)


@given(bodies)
def test_adding_a_withdrawal_never_changes_any_other_fact(given_bodies: list[Body]) -> None:
    facts = book(*given_bodies)
    notes = [fact.number for fact in facts if isinstance(fact.body, Note)]
    if notes:
        more = book(*given_bodies, Withdrawn(notes[0]))
        assert numbers(more) == [number for number in numbers(facts) if number != notes[0]]


@given(bodies)
def test_no_part_is_in_two_slots_at_once(given_bodies: list[Body]) -> None:
    for bench in bench_states(timeline(book(*given_bodies))):
        slots = {"disk", "memory.1", "memory.2", *bench.moved}
        held = [bench.fitted(slot) for slot in slots if bench.fitted(slot)]
        assert len(held) == len(set(held))


def test_there_is_one_state_more_than_facts() -> None:
    line = timeline(book(Opened("hatch"), Note("a")))
    assert [bench.opened for bench in bench_states(line)] == [
        frozenset(),
        frozenset({"hatch"}),
        frozenset({"hatch"}),
    ]


def test_a_slot_nobody_touched_holds_the_part_that_bears_its_name() -> None:
    assert Bench().fitted("memory.2") == "memory.2"


def test_what_is_opened_stays_open_until_refitted() -> None:
    assert after(Opened("hatch"), Opened("case"), Refitted("hatch")).opened == {"case"}


def test_a_part_out_leaves_its_slot_empty_and_a_part_in_fills_it() -> None:
    assert after(PartOut("disk")).fitted("disk") == ""
    assert after(PartOut("disk"), PartIn("disk/2")).fitted("disk") == "disk/2"
    assert after(PartOut("disk"), PartIn("spare-7", "disk")).fitted("disk") == "spare-7"


def test_two_modules_swapped_sit_in_each_others_slots() -> None:
    bench = after(
        PartOut("memory.1"),
        PartOut("memory.2"),
        PartIn("memory.1", "memory.2"),
        PartIn("memory.2", "memory.1"),
    )
    assert bench.fitted("memory.1") == "memory.2"
    assert bench.fitted("memory.2") == "memory.1"


def test_a_part_put_elsewhere_is_no_longer_in_its_own_slot_though_nobody_wrote_that_it_came_out() -> None:
    bench = after(PartIn("memory.1", "memory.2"))
    assert bench.fitted("memory.1") == ""
    assert bench.fitted("memory.2") == "memory.1"


def test_a_part_that_was_moved_comes_out_of_where_it_is() -> None:
    bench = after(PartOut("memory.1"), PartIn("memory.1", "memory.2"), PartOut("memory.1"))
    assert bench.fitted("memory.2") == ""


def test_a_replacement_sits_in_the_slot_the_fix_names() -> None:
    assert after(FixDone("replace-disk", "disk", "disk/2")).fitted("disk") == "disk/2"
    assert after(FixDone("clean-contacts", "disk")).fitted("disk") == "disk"


def test_a_gate_no_longer_met_is_no_longer_met() -> None:
    assert after(GateAnswered("unplugged", True), GateAnswered("cells-out", True)).gates == {
        "unplugged",
        "cells-out",
    }
    assert after(GateAnswered("unplugged", True), GateAnswered("unplugged", False)).gates == frozenset()


def test_a_withdrawn_gate_is_not_met() -> None:
    assert after(GateAnswered("unplugged", True), Withdrawn(1)).gates == frozenset()


def test_the_functions_wanted_are_those_set_last() -> None:
    assert after(JobOpened("j", ("picture", "sound"))).wanted == ("picture", "sound")
    assert after(JobOpened("j", ("picture",)), WantedSet(("sound",))).wanted == ("sound",)
    assert after(JobOpened("j", ("picture",)), WantedSet(())).wanted == ()


def test_the_power_up_is_the_highest_seen() -> None:
    line = timeline(book(Note("a"), Note("b"), Note("c"), power_ups=[1, 3, 2]))
    assert [bench.power_up for bench in bench_states(line)] == [0, 1, 3, 3]


def test_a_part_of_a_later_name_belongs_to_the_slot_its_name_begins_with() -> None:
    assert home_slot("disk/2") == "disk"
    assert slot_holding(Bench(), "disk/2") == "disk"

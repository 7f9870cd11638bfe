"""Facts go into the book once, whole, in order, and come back as they went in."""

from __future__ import annotations

import json
import math
import sqlite3
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import pytest

from powergood.errors import BadInput, UnknownThing
from powergood.record import BODY_KINDS, Body, Draft, timeline
from powergood.record import model as m
from powergood.store import Store
from powergood.store.tables import KINDS

TAKEN = Draft(m.TakenIn("M-07", "Harbour Portable 2", "demo-laptop", year=1999), "take")
OPENED = Draft(m.JobOpened("No picture", ("picture", "sound")), "open", ("M-07",))

ONE_OF_EACH: tuple[Body, ...] = (
    m.TakenIn("M-08", "Näme “quoted”", "sheet", 1998, "story", "lead, bag", "dusty", "shelf 2"),
    m.Described("place", "shelf 3"),
    m.IntakeAnswer("kept damp", True),
    m.JobOpened("No sound", ("sound",)),
    m.Pinned("abc123", "def456"),
    m.WantedSet(("picture", "sound")),
    m.Complained("it's dark; DROP TABLE fact", "dark-panel", told=False),
    m.Finding("lamp", "no verdict", sure=False, told=True, copy=2, note="line 1\nline 2"),
    m.Reading("rail-5v", "4.87 V", 4.87, "V", "meter 2", "cold"),
    m.FixDone("replace-disk", "disk", "disk/2", "tight"),
    m.Opened("hatch"),
    m.Refitted("hatch"),
    m.PartOut("disk", "disk"),
    m.PartIn("disk/2", "disk", "known-good"),
    m.GateAnswered("cells-out", True, "both out"),
    m.CannotDo("scope-it", "no scope"),
    m.Note("Ω µ 日本 🙂"),
    m.Withdrawn(1, "wrong machine"),
    m.Shelved("a part", "inverter on order"),
    m.Resumed("part came"),
    m.SignedOff("sound not tried", ("sound",)),
    m.Stopped("board eaten"),
    m.TookMinutes(12.5, ("check:lamp", "opening:hatch")),
    m.PartFrom("disk/2", "a donor"),
    m.SetAside("fault:demo:disk.dead", "one odd winter"),
    m.PreferenceSet("worth", "80"),
)


def test_a_fact_comes_back_with_a_number_its_times_and_all_that_was_given(store: Store) -> None:
    store.append([TAKEN, OPENED])
    draft = Draft(
        m.Finding("lamp", "bad"),
        "k1",
        machines=("M-07",),
        job=1,
        who="Ida",
        seen_at="2026-11-24T20:15:00Z",
        power_up=2,
        fitted=("disk/2", "memory.1"),
        prompted_by="lamp",
        digest="abc",
    )
    (fact,) = store.append([draft])
    assert fact.number == 3
    assert fact.written_at == "2026-11-25T09:30:00Z"
    assert fact.draft == draft
    assert store.facts(job=1)[-1] == fact


def test_every_kind_of_body_comes_back_as_it_went_in(
    store: Store, reopened: Callable[[], Store], folder: Path
) -> None:
    store.append([TAKEN])
    facts = store.append(
        [
            Draft(body, f"k{place}", ("M-08",) if isinstance(body, m.JobOpened) else ())
            for place, body in enumerate(ONE_OF_EACH)
        ]
    )
    assert tuple(fact.body for fact in facts) == ONE_OF_EACH
    # A photo needs its file first; it has tests of its own.
    assert {type(body) for body in ONE_OF_EACH} | {m.PhotoTaken} == set(BODY_KINDS)
    with reopened() as again:
        assert again.facts()[1:] == facts


def test_the_book_can_be_read_with_plain_sql(store: Store, folder: Path) -> None:
    store.append([TAKEN, OPENED, Draft(m.Finding("lamp", "bad", told=True), "f", ("M-07",), job=1)])
    connection = sqlite3.connect(folder / "workshop.sqlite")
    rows = connection.execute(
        'SELECT fact.number, fact.kind, tag, finding."check", outcome, told FROM fact '
        "JOIN fact_machine ON fact_machine.fact = fact.number JOIN finding ON finding.number = fact.number"
    ).fetchall()
    wanted = connection.execute(
        "SELECT value FROM job_opened, json_each(job_opened.wanted) ORDER BY json_each.id"
    ).fetchall()
    connection.close()
    assert rows == [(3, "finding", "M-07", "lamp", "bad", 1)]
    assert wanted == [("picture",), ("sound",)]


def test_a_known_key_adds_nothing_and_gives_the_fact_that_is_there(store: Store, clock: object) -> None:
    first = store.append([TAKEN, OPENED])
    clock.forward(60)  # type: ignore[attr-defined]
    assert store.append([TAKEN, OPENED]) == first
    assert store.facts() == first


def test_a_known_key_gives_the_first_fact_also_when_the_resend_says_something_else(store: Store) -> None:
    (first,) = store.append([Draft(m.Note("first"), "k")])
    assert store.append([Draft(m.Note("second"), "k")]) == (first,)


def test_of_a_batch_half_known_only_the_rest_is_added_in_its_order(store: Store) -> None:
    drafts = [Draft(m.Note(str(n)), f"k{n}") for n in range(4)]
    store.append([drafts[1], drafts[2]])
    facts = store.append(drafts)
    assert [fact.body for fact in facts] == [draft.body for draft in drafts]
    assert [fact.number for fact in facts] == [3, 1, 2, 4]


def test_a_resent_job_gets_the_number_it_had_and_takes_late_facts_of_its_batch_along(store: Store) -> None:
    store.append([TAKEN, OPENED])
    facts = store.append([OPENED, Draft(m.Pinned("abc"), "pin", ("M-07",))])
    assert [fact.draft.job for fact in facts] == [1, 1]
    assert list(store.jobs()) == [1]


def test_the_same_draft_twice_in_one_batch_is_one_fact(store: Store) -> None:
    facts = store.append([TAKEN, OPENED, OPENED, Draft(m.Pinned("abc"), "pin", ("M-07",))])
    assert [fact.number for fact in facts] == [1, 2, 2, 3]
    assert [fact.draft.job for fact in facts] == [1, 1, 1, 1]


def test_one_key_on_two_different_drafts_of_a_batch_is_refused_since_one_would_be_lost(store: Store) -> None:
    with pytest.raises(BadInput, match="'k' stands on two different facts"):
        store.append([Draft(m.Note("a"), "k"), Draft(m.Note("b"), "k")])
    assert store.facts() == ()


def test_a_job_opened_gets_the_next_number_and_the_rest_of_its_batch_belongs_to_it(store: Store) -> None:
    facts = store.append(
        [
            TAKEN,
            Draft(m.TakenIn("M-08", "Other", "s"), "take8"),
            OPENED,
            Draft(m.Pinned("abc"), "pin", ("M-07",)),
            Draft(m.Note("about the other one"), "n", ("M-08",)),
            Draft(m.Note("about nothing"), "n0"),
        ]
    )
    assert [fact.draft.job for fact in facts] == [1, 0, 1, 1, 0, 0]
    (second,) = store.append([Draft(m.JobOpened("Again"), "open2", ("M-08",))])
    assert second.draft.job == 2


def test_in_a_batch_with_two_jobs_each_fact_belongs_to_the_one_opened_before_it(store: Store) -> None:
    facts = store.append(
        [
            TAKEN,
            OPENED,
            Draft(m.Note("first"), "n1", ("M-07",)),
            Draft(m.JobOpened("b"), "open2", ("M-07",)),
            Draft(m.Note("second"), "n2", ("M-07",)),
        ]
    )
    assert [fact.draft.job for fact in facts] == [1, 1, 1, 2, 2]


def test_a_fact_of_a_job_that_names_no_machine_is_about_the_jobs_machine(store: Store) -> None:
    store.append([TAKEN, OPENED])
    (fact,) = store.append([Draft(m.Opened("hatch"), "k", job=1)])
    assert fact.draft.machines == ("M-07",)


def test_taking_in_names_the_machine_it_makes(store: Store) -> None:
    (fact,) = store.append([TAKEN])
    assert fact.draft.machines == ("M-07",)
    assert store.facts(machine="M-07") == (fact,)


def test_a_swap_is_one_fact_about_two_machines_in_the_order_named(store: Store) -> None:
    store.append([TAKEN, Draft(m.TakenIn("A-1", "Donor", "s"), "take2")])
    (swap,) = store.append([Draft(m.PartIn("disk/2"), "swap", ("M-07", "A-1"))])
    assert swap.draft.machines == ("M-07", "A-1")
    assert store.facts(machine="A-1")[-1] == store.facts(machine="M-07")[-1] == swap


def test_facts_can_be_asked_for_by_job_by_machine_and_by_both(store: Store) -> None:
    store.append([TAKEN, Draft(m.TakenIn("A-1", "Donor", "s"), "take2")])
    store.append([OPENED])
    store.append(
        [Draft(m.PartIn("disk/2"), "swap", ("M-07", "A-1"), job=1), Draft(m.Note("x"), "n", ("A-1",))]
    )
    assert [fact.number for fact in store.facts()] == [1, 2, 3, 4, 5]
    assert [fact.number for fact in store.facts(job=1)] == [3, 4]
    assert [fact.number for fact in store.facts(machine="A-1")] == [2, 4, 5]
    assert [fact.number for fact in store.facts(job=1, machine="A-1")] == [4]
    assert store.facts(job=9) == store.facts(machine="nobody") == ()


def test_a_machine_that_is_not_in_the_book_is_refused(store: Store) -> None:
    with pytest.raises(UnknownThing, match="no machine with the tag 'M-99'"):
        store.append([Draft(m.Note("x"), "k", ("M-99",))])


def test_a_taken_tag_is_refused_and_the_next_free_one_named(store: Store) -> None:
    store.append([TAKEN, Draft(m.TakenIn("M-08", "b", "s"), "b")])
    with pytest.raises(BadInput, match=r"'M-07' is taken\. The next free one is 'M-09'"):
        store.append([Draft(m.TakenIn("m-07", "c", "s"), "c")])
    assert list(store.machines()) == ["M-07", "M-08"]


def test_the_tag_of_a_machine_whose_taking_in_was_withdrawn_stays_taken(store: Store) -> None:
    store.append([TAKEN])
    store.append([Draft(m.Withdrawn(1), "w")])
    with pytest.raises(BadInput, match="is taken"):
        store.append([replace(TAKEN, key="again")])


def test_a_job_number_that_is_taken_is_refused(store: Store) -> None:
    store.append([TAKEN, OPENED])
    with pytest.raises(BadInput, match="There is a job 1 already"):
        store.append([replace(OPENED, key="other", job=1)])


@pytest.mark.parametrize(
    ("draft", "words"),
    [
        (Draft(m.Note("x"), "k", job=7), "There is no job 7"),
        (Draft(m.Withdrawn(41), "k"), "There is no fact 41"),
        (Draft(m.PhotoTaken("ab" * 32), "k"), "photo is not stored"),
    ],
)
def test_what_is_not_in_the_book_cannot_be_referred_to(store: Store, draft: Draft, words: str) -> None:
    with pytest.raises(UnknownThing, match=words):
        store.append([draft])


def test_everything_that_is_wrong_with_a_batch_is_told_at_once_and_nothing_of_it_is_kept(
    store: Store,
) -> None:
    store.append([TAKEN])
    with pytest.raises(BadInput) as caught:
        store.append(
            [
                Draft(m.Note("good"), "good", ("M-07",)),
                Draft(m.TakenIn("M-07", "x", "s"), "a"),
                Draft(m.Note("b"), "b", ("M-1",)),
                Draft(m.Withdrawn(9), "c", job=5),
            ]
        )
    assert str(caught.value).splitlines() == [
        "The tag 'M-07' is taken. The next free one is 'M-08'.",
        "There is no machine with the tag 'M-1'. Take it in first, or look at the tag again.",
        "There is no fact 9 to withdraw.",
        "There is no job 5.",
    ]
    assert len(store.facts()) == 1


def test_numbers_are_never_used_again_also_after_a_batch_was_refused(store: Store) -> None:
    store.append([Draft(m.Note("a"), "a")])
    with pytest.raises(UnknownThing):
        store.append([Draft(m.Note("b"), "b"), Draft(m.Note("c"), "c", ("none",))])
    (fact,) = store.append([Draft(m.Note("d"), "d")])
    assert fact.number == 2


def test_a_number_is_not_reused_when_someone_deletes_the_last_row_by_hand(store: Store, folder: Path) -> None:
    # https://www.sqlite.org/autoinc.html: without AUTOINCREMENT the largest number would be given again.
    store.append([Draft(m.Note("a"), "a"), Draft(m.Note("b"), "b")])
    connection = sqlite3.connect(folder / "workshop.sqlite")
    connection.execute("DELETE FROM note WHERE number = 2")
    connection.execute("DELETE FROM fact WHERE number = 2")
    connection.commit()
    connection.close()
    (fact,) = store.append([Draft(m.Note("c"), "c")])
    assert fact.number == 3


def test_a_time_in_another_zone_is_kept_in_utc_with_seconds(store: Store) -> None:
    (fact,) = store.append([Draft(m.Note("x"), "k", seen_at="2026-11-25T11:30:15.75+02:00")])
    assert fact.draft.seen_at == "2026-11-25T09:30:15Z"


def test_what_was_seen_at_no_stated_time_was_seen_when_it_was_written(store: Store) -> None:
    (fact,) = store.append([Draft(m.Note("x"), "k")])
    assert fact.draft.seen_at == fact.written_at == "2026-11-25T09:30:00Z"


@pytest.mark.parametrize(
    ("draft", "words"),
    [
        (Draft(m.Note("x"), ""), "it has no key"),
        (Draft(m.Note("x"), "k", seen_at="yesterday"), "seen_at is 'yesterday'"),
        (Draft(m.Note("x"), "k", seen_at="2026-11-25T09:30:00"), "write a time with its zone"),
        (Draft(m.Note("x\0y"), "k"), "a character that cannot be stored"),
        (Draft(m.Note("x"), "k\0"), "a character that cannot be stored"),
        (Draft(m.Note("\ud800"), "k"), "a character that cannot be stored"),
        (Draft(m.SignedOff("", ("a", "\ud800")), "k"), "a character that cannot be stored"),
        (Draft(m.Reading("r", "nan", math.nan, "V"), "k"), "value is nan"),
        (Draft(m.Reading("r", "inf", math.inf, "V"), "k"), "value is inf"),
        (Draft(m.Finding("c", "bad", copy=2**63), "k"), "copy is 9223372036854775808"),
        (Draft(m.Note("x"), "k", power_up=-1), "power_up is -1"),
        (Draft(m.Note("x"), "k", job=-1), "job is -1"),
        (Draft(m.TakenIn("", "n", "s"), "k"), "needs a tag"),
        (Draft(m.TakenIn(" 7", "n", "s"), "k"), "leave the space out"),
        (Draft(m.JobOpened("t"), "k"), "a job needs a machine"),
    ],
)
def test_what_cannot_be_kept_as_it_is_gets_a_clear_error(store: Store, draft: Draft, words: str) -> None:
    with pytest.raises(BadInput, match=words):
        store.append([draft])
    assert store.facts() == ()


def test_an_empty_batch_adds_nothing(store: Store) -> None:
    assert store.append([]) == ()


def test_a_batch_of_thousands_goes_in_and_comes_back_whole(store: Store) -> None:
    drafts = [Draft(m.Note(str(n)), f"k{n}") for n in range(3000)]
    facts = store.append(drafts)
    assert [fact.body for fact in facts] == [draft.body for draft in drafts]
    assert store.append(drafts) == facts


@pytest.mark.parametrize(
    ("tags", "free"),
    [
        ([], "1"),
        (["1"], "2"),
        (["M-007"], "M-008"),
        (["M-007", "M-099"], "M-100"),
        (["M-007", "m-012", "M-009"], "M-013"),
        (["12", "M-3"], "M-4"),
        (["blue one"], "1"),
        (["blue one", "9"], "10"),
        (["2026/7"], "2026/8"),
    ],
)
def test_the_next_tag_follows_the_pattern_of_the_newest(store: Store, tags: list[str], free: str) -> None:
    store.append([Draft(m.TakenIn(tag, "n", "s"), f"k{tag}") for tag in tags])
    assert store.next_tag() == free
    store.append([Draft(m.TakenIn(free, "n", "s"), "next")])


def test_machines_and_jobs_are_given_with_the_fact_that_made_them(store: Store) -> None:
    taken, opened = store.append([TAKEN, OPENED])
    assert dict(store.machines()) == {"M-07": taken}
    assert dict(store.jobs()) == {1: opened}


def test_what_is_read_can_be_put_in_order_by_the_timeline(store: Store) -> None:
    store.append([TAKEN, OPENED, Draft(m.Note("x"), "n", job=1)])
    store.append([Draft(m.Withdrawn(3), "w", job=1)])
    assert [fact.number for fact in timeline(store.facts(job=1)).facts] == [1, 2]


def test_a_setting_is_kept_and_the_last_value_counts(store: Store, reopened: Callable[[], Store]) -> None:
    store.set_setting("hour_costs", "12")
    store.set_setting("hour_costs", "15")
    store.set_setting("name", "Harbour bench")
    with reopened() as again:
        assert dict(again.settings()) == {"hour_costs": "15", "name": "Harbour bench"}


def test_every_kind_has_a_table_of_its_own_and_names_in_lists_are_json(store: Store, folder: Path) -> None:
    store.append([TAKEN, OPENED])
    connection = sqlite3.connect(folder / "workshop.sqlite")
    tables = {row[0] for row in connection.execute("SELECT name FROM sqlite_master WHERE type = 'table'")}
    (wanted,) = connection.execute("SELECT wanted FROM job_opened").fetchone()
    connection.close()
    assert set(KINDS) <= tables
    assert json.loads(wanted) == ["picture", "sound"]

"""Closed jobs teach the next ones, never the ones under way; what was learned can be set aside."""

from __future__ import annotations

import pytest

from powergood.bench import job, open_job, stop
from powergood.bench.advising import compiled
from powergood.bench.book import job_of, machine_of
from powergood.bench.library import Library
from powergood.bench.recording import write_down
from powergood.bench.teaching import (
    keep_learned,
    learned_now,
    learned_numbers,
    set_aside,
    use_again,
    use_learned_now,
)
from powergood.bench.workshop import Workshop
from powergood.errors import BadInput, UnknownThing
from powergood.record.model import Finding, FixDone, PartFrom, SignedOff, TookMinutes, Withdrawn

FAULT = "fault:pata-laptop:inverter.failed"


def begin(ws: Workshop, tag: str, key: str, who: str = "keeper") -> int:
    return open_job(
        ws, tag, words="dark", complaint="no-picture-but-runs", wanted=("picture",), key=key, who=who
    )


def repair(ws: Workshop, job_number: int, library: Library) -> None:
    """Write down a whole repair of a dead lamp inverter, signed off."""
    words = library.known("brenlund-n480").words
    change = next(fix for fix in words.fixes.values() if fix.replaces == "inverter")
    bodies = (
        Finding("pad-light", "light"),
        FixDone(change.id, "inverter", "inverter/2"),
        TookMinutes(120, (f"fix:{change.id}",)),
        PartFrom("inverter/2", "the fair"),
        Finding("pad-light", "good"),
        SignedOff(),
    )
    write_down(ws, job_number, bodies, key=f"repair-{job_number}", who="keeper")


def before(ws: Workshop, number: int, fault: str = "inverter.failed") -> float:
    advice = job(ws, number).advice
    assert advice is not None
    return next(each.before for each in advice.faults if each.fault == fault)


def test_a_new_workshop_has_learned_nothing_and_pins_nothing(ws: Workshop, job_number: int) -> None:
    assert not learned_numbers(ws)
    assert keep_learned(ws) == ""
    assert job_of(ws, job_number).learned == ""


def test_a_closed_job_moves_the_next_one_and_not_the_one_under_way(
    ws: Workshop, tag: str, safe_job: int, library: Library
) -> None:
    under_way = begin(ws, tag, "under-way")
    at_first = before(ws, under_way)
    repair(ws, safe_job, library)
    assert learned_numbers(ws)[FAULT].hits > 0.5
    assert before(ws, under_way) == at_first
    later = begin(ws, tag, "later")
    assert before(ws, later) > at_first
    use_learned_now(ws, under_way, key="ask")
    assert before(ws, under_way) == before(ws, later)


def test_what_a_job_pinned_is_kept_when_more_is_learned(
    ws: Workshop, tag: str, safe_job: int, library: Library
) -> None:
    repair(ws, safe_job, library)
    second = begin(ws, tag, "second")
    held = before(ws, second)
    third = begin(ws, tag, "third")
    repair(ws, third, library)
    assert learned_now(ws).digest != job_of(ws, second).learned
    assert before(ws, second) == held
    again = Workshop.open(ws.store.folder, library=library)
    assert before(again, second) == held
    again.close()


def test_a_number_set_aside_is_not_used_and_can_be_used_again(
    ws: Workshop, tag: str, safe_job: int, library: Library
) -> None:
    plain = before(ws, safe_job)
    repair(ws, safe_job, library)
    set_aside(ws, FAULT, "a bad batch", key="aside")
    assert learned_numbers(ws)[FAULT].set_aside
    assert before(ws, begin(ws, tag, "without")) == pytest.approx(plain)
    use_again(ws, FAULT, key="again")
    assert before(ws, begin(ws, tag, "with")) > plain
    with pytest.raises(BadInput, match="not set aside"):
        use_again(ws, FAULT, key="again-2")
    with pytest.raises(UnknownThing, match="Nothing was learned"):
        set_aside(ws, "fault:pata-laptop:nobody.knows", key="no")


def test_minutes_are_planned_at_the_pace_of_the_person_who_opens_the_job(
    ws: Workshop, tag: str, safe_job: int, library: Library
) -> None:
    repair(ws, safe_job, library)
    mine, theirs = begin(ws, tag, "mine"), begin(ws, tag, "theirs", who="a newcomer")
    pace = learned_numbers(ws)["pace:mending:keeper"]
    assert pace.learned > 1.0
    assert pace.low < pace.learned < pace.high
    machine = machine_of(ws, tag)
    own, other = (compiled(ws, job_of(ws, each), machine) for each in (mine, theirs))
    for name, fix in own.fixes.items():
        assert fix.price.minutes == pytest.approx(pace.learned * other.fixes[name].price.minutes)


def test_where_a_part_came_from_is_counted(ws: Workshop, safe_job: int, library: Library) -> None:
    repair(ws, safe_job, library)
    numbers = learned_numbers(ws)
    assert numbers["dud:the fair"].learned < numbers["dud:the fair"].prior
    assert numbers["dud"].jobs == (safe_job,)


def test_a_fact_taken_back_teaches_nothing_any_more(ws: Workshop, safe_job: int, library: Library) -> None:
    repair(ws, safe_job, library)
    took = next(fact for fact in ws.store.facts(job=safe_job) if isinstance(fact.body, TookMinutes))
    assert "pace:mending:keeper" in learned_numbers(ws)
    write_down(ws, safe_job, (Withdrawn(took.number),), key="back")
    assert "pace:mending:keeper" not in learned_numbers(ws)


def test_a_job_that_was_stopped_teaches_what_it_found(ws: Workshop, tag: str, safe_job: int) -> None:
    write_down(ws, safe_job, (Finding("pad-light", "light"),), key="look")
    assert not learned_numbers(ws)
    stop(ws, safe_job, "not worth it", key="stop")
    assert 0 < learned_numbers(ws)[FAULT].hits < 1


def test_learning_reads_only_the_same_whoever_asks_first(
    ws: Workshop, safe_job: int, library: Library
) -> None:
    repair(ws, safe_job, library)
    again = Workshop.open(ws.store.folder, library=Library(library.packs))
    assert learned_now(again).digest == learned_now(ws).digest
    again.close()


def test_causes_that_compete_for_the_same_signs_are_not_all_counted_at_once(
    ws: Workshop, tag: str, safe_job: int
) -> None:
    # Six jobs that end with the screen dark and nothing tried: each has one cause or a few at most, however
    # common the earlier ones have made every single suspect.
    for number in range(6):
        job_number = safe_job if number == 0 else begin(ws, tag, f"dark-{number}")
        write_down(ws, job_number, (Finding("pad-light", "light"),), key=f"look-{number}")
        stop(ws, job_number, "no time", key=f"stop-{number}")
    moved = [each for name, each in learned_numbers(ws).items() if name.startswith("fault:")]
    raised = [each for each in moved if each.learned > each.prior]
    assert sum(each.hits for each in raised) < 6 * 2
    sums = sum(each.learned for each in moved), sum(each.prior for each in moved)
    assert sums[0] < sums[1] + 1.0

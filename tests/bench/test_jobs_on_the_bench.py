"""A job from its complaint on: what is asked, what is advised, what stands when the engine fails."""

from __future__ import annotations

from dataclasses import replace

import pytest

from powergood.bench import (
    Workshop,
    advising,
    answer,
    board,
    complaints,
    job,
    open_job,
    record,
    resume,
    set_wanted,
    shelve,
    stop,
    what_if,
    withdraw,
)
from powergood.bench.job_state import job_state
from powergood.bench.library import Library
from powergood.bench.recording import start_of, write_down
from powergood.bench.step_views import StepAnswer
from powergood.bench.wording import Wording
from powergood.errors import BadInput, ImpossibleEvidence, UnknownThing
from powergood.knowledge.model import Check, Claim
from powergood.packs import builtin_pack
from powergood.record.model import (
    Body,
    CannotDo,
    Complained,
    Draft,
    Fact,
    Finding,
    FixDone,
    JobOpened,
    Note,
    Opened,
    PartIn,
    PartOut,
    Pinned,
    Refitted,
)


def chance(ws: Workshop, number: int, fault: str) -> float:
    advice = job(ws, number).advice
    assert advice is not None
    return next(each.chance for each in advice.faults if each.fault == fault)


def test_a_job_is_opened_once_with_its_words_its_goal_and_its_pinned_pack(ws: Workshop, tag: str) -> None:
    numbers = {
        open_job(ws, tag, words="Black screen\nsince the move", wanted=("picture",), key="j")
        for _ in range(2)
    }
    assert numbers == {1}
    view = job(ws, 1)
    assert (view.title, view.complaint) == ("Black screen", "Black screen\nsince the move")
    assert [state.function for state in view.functions] == ["picture"]
    pinned = [fact.body for fact in ws.store.facts(job=1) if isinstance(fact.body, Pinned)]
    assert pinned == [Pinned(builtin_pack().digest)]


def test_a_complaint_that_was_only_told_moves_belief_a_little(ws: Workshop, tag: str) -> None:
    silent = open_job(ws, tag, wanted=("picture",), key="silent")
    told = open_job(ws, tag, complaint="no-picture-but-runs", wanted=("picture",), key="told")
    assert chance(ws, silent, "inverter.failed") < chance(ws, told, "inverter.failed") < 0.5
    assert job(ws, told).complaint_known == "The screen stays black but I hear it starting"


def test_typed_words_lead_to_a_complaint_or_to_its_question(ws: Workshop) -> None:
    assert complaints(ws, "brenlund-n480", "battery won't charge").best == "no-charge"
    assert complaints(ws, "brenlund-n480", "black screen").ask
    assert complaints(ws, "brenlund-n480", "black screen", "dark-picture").best == "dark-picture"
    with pytest.raises(UnknownThing, match="no-such"):
        complaints(ws, "brenlund-n480", "black screen", "no-such")


def test_a_job_on_nothing_known_is_refused_with_all_that_is_unknown(ws: Workshop, tag: str) -> None:
    with pytest.raises(UnknownThing) as caught:
        open_job(ws, tag, complaint="haunted", wanted=("flies",), key="j")
    assert "haunted" in str(caught.value)
    assert "flies" in str(caught.value)
    assert ws.store.jobs() == {}
    with pytest.raises(UnknownThing, match="no job 99"):
        job(ws, 99)


def test_safety_conditions_come_before_every_step_they_hold_back(ws: Workshop, job_number: int) -> None:
    view = job(ws, job_number)
    assert view.next is not None
    assert view.next.kind == "gate"
    assert view.next.cautions
    offered = {card.step.split("#")[0] for card in view.steps if card.kind == "check"}
    known = ws.library.known("brenlund-n480").words
    assert all(known.checks[name].power == "off" for name in offered)
    assert "to be met first" in view.where


def test_meeting_a_gate_takes_it_from_the_list_and_keeps_how(ws: Workshop, job_number: int) -> None:
    view = answer(ws, job_number, StepAnswer("quarantine", "met", note="dry as dust"), key="g")
    gate = next(each for each in view.gates if each.gate == "quarantine")
    assert (gate.met, gate.due, gate.how) == (True, False, "dry as dust")
    view = answer(ws, job_number, StepAnswer("quarantine", "not met"), key="g2")
    assert not next(each for each in view.gates if each.gate == "quarantine").met


def test_a_finding_moves_belief_and_its_withdrawal_moves_it_back(ws: Workshop, safe_job: int) -> None:
    before = job(ws, safe_job)
    view = record(ws, safe_job, [Finding("pad-light", "light")], key="f", power_up=1)
    assert view.suspects != before.suspects
    line = view.record[-1]
    assert (line.kind, line.can_withdraw, line.power_up) == ("finding", True, 1)
    view = withdraw(ws, safe_job, line.fact, "looked at the wrong machine", key="w")
    assert view.suspects == before.suspects
    struck = next(each for each in view.record if each.fact == line.fact)
    assert (struck.withdrawn, struck.withdrawn_because, struck.can_withdraw) == (
        True,
        "looked at the wrong machine",
        False,
    )


def test_only_a_fact_of_this_job_can_be_withdrawn(ws: Workshop, safe_job: int) -> None:
    with pytest.raises(BadInput, match="no fact 999"):
        withdraw(ws, safe_job, 999, key="w")


def test_a_step_that_cannot_be_done_here_is_not_offered_again(ws: Workshop, safe_job: int) -> None:
    view = job(ws, safe_job)
    assert view.next is not None
    first = view.next.step
    view = answer(ws, safe_job, StepAnswer(first, "cannot", note="no such tool"), key="c")
    assert first not in {card.step for card in [view.next, *view.steps] if card}
    assert isinstance(ws.store.facts(job=safe_job)[-1].body, CannotDo)


def test_what_if_shows_the_advice_and_writes_nothing(ws: Workshop, safe_job: int) -> None:
    before = ws.store.facts()
    supposed = what_if(ws, safe_job, "pad-light", "light")
    assert ws.store.facts() == before
    really = record(ws, safe_job, [Finding("pad-light", "light")], key="f", power_up=1).advice
    assert really is not None
    assert {f.fault: round(f.chance, 9) for f in supposed.faults} == {
        f.fault: round(f.chance, 9) for f in really.faults
    }
    with pytest.raises(BadInput, match="has no outcome 'purple'"):
        what_if(ws, safe_job, "pad-light", "purple")


def test_when_the_engine_fails_what_was_typed_is_kept_and_unpowered_checks_are_offered(
    ws: Workshop, safe_job: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    def broken(*_: object) -> None:
        raise ZeroDivisionError("a fault of ours")

    monkeypatch.setattr(advising, "advise", broken)
    monkeypatch.setattr(advising, "chances_now", broken)
    view = record(ws, safe_job, [Finding("pad-light", "light"), Note("odd hum")], key="f")
    assert [line.sentence for line in view.record][-2:] == ["Light behind the screen: dark, seen", "odd hum"]
    assert "What you typed is kept" in view.engine_trouble
    assert (view.advice, view.next, view.ribbon.points) == (None, None, ())
    words = ws.library.known("brenlund-n480").words
    assert view.unpowered
    assert all(words.checks[card.step].power == "off" for card in view.unpowered)
    assert view.pad.keys
    assert view.cutaway.layers
    assert [state.standing for state in view.functions] == ["unknown"]
    assert board(ws).open[0].trouble


def test_findings_that_cannot_be_are_told_without_losing_them(
    ws: Workshop, safe_job: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    def impossible(*_: object) -> None:
        raise ImpossibleEvidence("Findings 4 and 5 exclude each other.", (4, 5))

    monkeypatch.setattr(advising, "advise", impossible)
    view = record(ws, safe_job, [Finding("pad-light", "light")], key="f")
    assert "exclude each other" in view.engine_trouble
    assert view.record[-1].kind == "finding"


def test_a_job_whose_machine_the_pack_does_not_know_still_shows_its_record(
    ws: Workshop, safe_job: int
) -> None:
    view = job(Workshop(ws.store, Library(())), safe_job)
    assert "brenlund-n480" in view.engine_trouble
    assert view.record
    assert view.advice is None


def test_a_job_says_when_the_pack_is_not_the_one_it_began_with(ws: Workshop, job_number: int) -> None:
    assert job(ws, job_number).pack_changed == ""
    pack = builtin_pack()
    sheet = pack.sheets["brenlund-n480"]
    other = replace(sheet, copies={"memory": 2})
    changed = replace(pack, digest="another", sheets={**pack.sheets, "brenlund-n480": other})
    assert (
        "rests on the present pack" in job(Workshop(ws.store, Library((changed,))), job_number).pack_changed
    )


def test_a_pack_changed_elsewhere_does_not_concern_this_machine(ws: Workshop, job_number: int) -> None:
    elsewhere = replace(builtin_pack(), digest="another")
    assert job(Workshop(ws.store, Library((elsewhere,))), job_number).pack_changed == ""


def test_a_job_rests_on_the_shelf_and_is_taken_up_again(ws: Workshop, job_number: int) -> None:
    view = shelve(ws, job_number, "a part", "a lamp of that length", key="s")
    assert (view.standing, view.waits_for, view.waits_words) == (
        "on the shelf",
        "a part",
        "a lamp of that length",
    )
    assert view.where == "On the shelf for a part: a lamp of that length."
    assert [card.number for card in board(ws).shelved] == [job_number]
    assert resume(ws, job_number, key="r").standing == "open"
    assert board(ws).shelved == ()


def test_a_job_stops_short_of_repair_only_with_a_reason(ws: Workshop, job_number: int) -> None:
    with pytest.raises(BadInput, match="in words"):
        stop(ws, job_number, "  ", key="s")
    view = stop(ws, job_number, "Worth more as it is", key="s")
    assert view.standing == "stopped"
    assert [card.number for card in board(ws).closed] == [job_number]
    assert [card.job for card in board(ws).idle] == [0]


def test_the_goal_of_a_job_can_change_but_not_to_nothing(ws: Workshop, job_number: int) -> None:
    view = set_wanted(ws, job_number, ["picture", "types"], key="w")
    assert [state.function for state in view.functions] == ["picture", "types"]
    for wanted in ([], ["flies"]):
        with pytest.raises(BadInput):
            set_wanted(ws, job_number, wanted, key="w2")


def test_what_must_have_been_open_is_written_down_before_the_finding(ws: Workshop, safe_job: int) -> None:
    view = answer(ws, safe_job, StepAnswer("look-at-standby-pack", "bad"), key="f")
    bodies = [fact.body for fact in ws.store.facts(job=safe_job)][-3:]
    assert bodies == [Opened("keyboard-up"), Opened("palm-rest"), Finding("look-at-standby-pack", "bad")]
    assert set(view.bench.open) == {"keyboard-up", "palm-rest"}
    view = record(ws, safe_job, [Refitted("keyboard-up")], key="shut")
    assert view.bench.open == ()


def test_a_resend_adds_nothing_even_when_the_bench_has_changed_since(ws: Workshop, safe_job: int) -> None:
    answer(ws, safe_job, StepAnswer("look-at-standby-pack", "bad"), key="f")
    record(ws, safe_job, [Refitted("keyboard-up")], key="shut")
    before = ws.store.facts()
    answer(ws, safe_job, StepAnswer("look-at-standby-pack", "bad"), key="f")
    assert ws.store.facts() == before


def test_a_replacement_says_what_went_where(ws: Workshop, safe_job: int) -> None:
    view = answer(ws, safe_job, StepAnswer("replace-inverter", "done"), key="one")
    assert view.bench.moved == ("Inverter holds Inverter (replacement 2)",)
    view = answer(ws, safe_job, StepAnswer("replace-inverter", "done"), key="two")
    assert view.bench.moved == ("Inverter holds Inverter (replacement 3)",)
    view = answer(
        ws, safe_job, StepAnswer("replace-inverter", "done", instance="inverter/green"), key="three"
    )
    assert view.bench.moved == ("Inverter holds Inverter (replacement green)",)


def test_unknown_steps_and_outcomes_are_all_told_and_nothing_is_written(ws: Workshop, safe_job: int) -> None:
    before = ws.store.facts()
    with pytest.raises(BadInput) as caught:
        record(
            ws, safe_job, [Finding("pad-fan", "purple"), Finding("no-such", "good"), Opened("attic")], key="f"
        )
    for said in ("purple", "no-such", "attic"):
        assert said in str(caught.value)
    with pytest.raises(BadInput, match="no step 'attic'"):
        answer(ws, safe_job, StepAnswer("attic", "opened"), key="f")
    assert ws.store.facts() == before


def test_each_start_on_a_step_card_is_a_start_of_its_own(ws: Workshop, safe_job: int) -> None:
    write_down(ws, safe_job, [Finding("pad-light", "light")], key="a")
    write_down(ws, safe_job, [Finding("look-along-seams", "good")], key="b")
    write_down(ws, safe_job, [Finding("pad-image", "good")], key="c")
    starts = [f.draft.power_up for f in ws.store.facts(job=safe_job) if isinstance(f.body, Finding)]
    assert starts == [1, 0, 2]


def test_a_check_on_a_running_machine_belongs_to_the_start_it_runs_from() -> None:
    running = Check("feel", "Feel", Claim(1, "judgement"), Claim(0.1, "judgement"), power="on", of="warm")
    words = Wording(checks={"feel": running})
    feel = Finding("feel", "good")

    def start_after(*later: Draft) -> int:
        opened = Draft(JobOpened("x"), "k", ("1",), 1)
        facts = [Fact(number, "", draft) for number, draft in enumerate((opened, *later), start=1)]
        state = job_state(facts)
        assert state is not None
        return start_of([feel], words, state)

    seen = Draft(feel, "a", ("1",), 1, power_up=3)
    assert start_after() == 1
    assert start_after(seen) == 3
    assert start_after(seen, Draft(Opened("lid"), "b", ("1",), 1)) == 4


@pytest.mark.parametrize(
    ("body", "said"),
    [
        (Complained("it hums", "haunted"), "no complaint 'haunted'"),
        (PartOut("disk", "attic"), "no place 'attic'"),
        (PartIn("attic"), "no place 'attic'"),
        (FixDone("replace-inverter", slot="attic"), "no place 'attic'"),
    ],
)
def test_facts_about_what_this_kind_of_machine_does_not_have_are_refused(
    ws: Workshop, safe_job: int, body: Body, said: str
) -> None:
    before = ws.store.facts()
    with pytest.raises(BadInput, match=said):
        record(ws, safe_job, [body], key="odd")
    assert ws.store.facts() == before


def test_facts_that_name_what_the_pack_does_not_have_are_told_by_number(ws: Workshop, safe_job: int) -> None:
    stray = Draft(Finding("look-of-an-older-pack", "good"), "old", machines=("1",), job=safe_job)
    number = ws.store.append([stray])[0].number
    view = job(ws, safe_job)
    assert f"{number} in the record" in view.pack_changed
    assert view.advice is not None
    assert view.advice.unread == (number,)

"""A job's page: everything about one job, gathered from the record, the knowledge and the advice."""

from __future__ import annotations

from dataclasses import replace

from powergood.bench.advising import Subject, advised, beliefs, compiled
from powergood.bench.book import jobs_of
from powergood.bench.cards import machine_card, words_for
from powergood.bench.cutaway import cutaway
from powergood.bench.cutaway_views import Cutaway
from powergood.bench.enough import enough, so_far
from powergood.bench.first_power import first_power
from powergood.bench.gate_cards import gate_cards
from powergood.bench.job_state import JobState
from powergood.bench.job_views import BenchState, JobView
from powergood.bench.last_start import cleared_by
from powergood.bench.pad import pad
from powergood.bench.plan_words import (
    besides,
    conflict_words,
    figures,
    functions_without_advice,
    nearness,
    sign_off_state,
    something_else,
    suspects,
    unexplained_words,
    unread_words,
    where,
)
from powergood.bench.record_lines import record_lines
from powergood.bench.ribbon import ribbon
from powergood.bench.ribbon_views import Ribbon
from powergood.bench.stage_holds import after_stages
from powergood.bench.step_cards import refit_cards, step_cards, unpowered_cards
from powergood.bench.step_views import StepCard
from powergood.bench.taught_page import rests_on
from powergood.bench.wording import Wording
from powergood.bench.workshop import Workshop
from powergood.diagnosis import Advice, FunctionState
from powergood.record.model import Pinned
from powergood.record.timeline import Bench, timeline

MOST_OTHERS = 6
"""Judgement: how many of the other steps are worth a person's eyes; stopping is always among them."""


def _others(cards: tuple[StepCard, ...]) -> tuple[StepCard, ...]:
    """Return the other steps to show: the best few, and stopping wherever it stands."""
    best = cards[1 : 1 + MOST_OTHERS]
    return (*best, *(card for card in cards[1 + MOST_OTHERS :] if card.kind == "stop"))


def job_view(ws: Workshop, about: Subject) -> JobView:
    """Return the page of a job; whatever the engine does, the record, the gates and the pad are there."""
    state, words = about.job, words_for(about)
    answer = advised(ws, about)
    advice = answer.advice
    gates = gate_cards(words, state.line, advice)
    functions = _functions(state, advice, words)
    bench = bench_state(state.bench, words)
    cards = step_cards(advice, words) if advice else ()
    if advice and advice.done and state.under_way:
        cards = (*refit_cards(words, state.bench), *cards)
    power = first_power(about)
    cards, waits = after_stages(cards, power, words, state.bench)
    known = about.known
    chances = beliefs(ws, about)
    cleared = (
        cleared_by(state, chances, compiled(ws, state, about.machine), advice) if advice and chances else ()
    )
    return JobView(
        number=state.number,
        title=state.title,
        standing=state.standing,
        machine=machine_card(ws, about.machine, jobs_of(about.machine)),
        where=where(state, advice, gates, words),
        complaint=state.complaint.words if state.complaint else "",
        complaint_known=words.complaints.get(state.complaint.complaint, "") if state.complaint else "",
        next=cards[0] if cards else None,
        steps=_others(cards),
        suspects=suspects(advice, words) if advice else (),
        beside=besides(advice, words) if advice else (),
        something_else=something_else(advice, words) if advice else (),
        cleared=tuple(words.part(name) for name in advice.cleared) if advice else (),
        conflict=conflict_words(advice) if advice else "",
        nearness=nearness(advice) if advice else "",
        figures=figures(advice, words) if advice else "",
        gates=gates,
        functions=functions,
        sign_off=sign_off_state(functions, bench.open_titles, bench.parts_out),
        bench=bench,
        cutaway=cutaway(known.model, words, state.bench, advice) if known else Cutaway(()),
        pad=pad(words, state.line, state.bench, gates, advice, tuple(words.part(name) for name in cleared)),
        record=record_lines(state.facts, timeline(state.facts), words, advice.conflict if advice else ()),
        ribbon=ribbon(chances, compiled(ws, state, about.machine), words) if chances else Ribbon(),
        photos=state.photos,
        unexplained=unexplained_words(advice, words) if advice else (),
        pack_changed=" ".join(filter(None, (_pack_changed(about), unread_words(advice)))),
        engine_trouble=answer.trouble,
        unpowered=() if advice else unpowered_cards(words, state.bench),
        names=words.every_name(),
        advice=advice,
        waits_for=state.waits.waits_for if state.waits else "",
        waits_words=state.waits.words if state.waits else "",
        opened_at=state.opened_at,
        changed_at=state.changed_at,
        rests_on=rests_on(ws, state),
        enough=enough(ws, about, advice),
        so_far=so_far(ws, about, advice),
        first_power=power,
        next_waits=waits,
    )


def _functions(state: JobState, advice: Advice | None, words: Wording) -> tuple[FunctionState, ...]:
    if not advice:
        return functions_without_advice(state.bench.wanted, words)
    return tuple(
        replace(each, passed_by=words.step(each.passed_by)) if each.passed_by else each
        for each in advice.functions
    )


def bench_state(bench: Bench, words: Wording) -> BenchState:
    """Return the machine as it lies, in words."""
    opened = [name for name in words.openings if name in bench.opened]
    changed = {slot: held for slot, held in bench.moved.items() if held and held != slot}
    return BenchState(
        open=tuple(opened),
        open_titles=tuple(words.opening(name) for name in opened),
        parts_out=tuple(words.part(slot) for slot, held in bench.moved.items() if not held),
        moved=tuple(f"{words.part(slot)} holds {words.part(held)}" for slot, held in changed.items()),
        starts=bench.power_up,
    )


def _pack_changed(about: Subject) -> str:
    pinned, known = about.job.pinned, about.known
    if pinned is None or known is None or not isinstance(pinned.body, Pinned):
        return ""
    same_kind = pinned.draft.digest and pinned.draft.digest == known.model.digest
    if pinned.body.packs == known.pack or same_kind:
        return ""
    return (
        "The pack has changed since this job began, and what is known of this machine with it. "
        "The earlier one is not kept here, so the advice rests on the present pack."
    )

"""Machines and jobs in brief: the cards of the board and of every list."""

from __future__ import annotations

from collections.abc import Sequence

from powergood.bench.advising import Subject, advised
from powergood.bench.card_views import JobCard, MachineCard
from powergood.bench.first_power import first_power
from powergood.bench.gate_cards import gate_cards
from powergood.bench.job_state import JobState
from powergood.bench.machine_state import MachineState
from powergood.bench.pad import leading_parts
from powergood.bench.plan_words import where
from powergood.bench.stage_holds import next_in_stages
from powergood.bench.stage_views import NO_STAGES
from powergood.bench.wording import Wording
from powergood.bench.workshop import Workshop
from powergood.diagnosis import Advice, Step

NO_WORDS = Wording()


def words_for(about: Subject) -> Wording:
    """Return the words for a job's machine; ids stand for themselves when its kind is not known."""
    return about.known.words if about.known else NO_WORDS


def machine_card(ws: Workshop, state: MachineState, jobs: Sequence[JobState] = ()) -> MachineCard:
    """Return a machine in brief, with the job that is under way on it."""
    details = state.details
    under_way = next((job for job in reversed(jobs) if job.under_way), None)
    return MachineCard(
        tag=details.tag,
        name=details.name,
        sheet=details.sheet,
        kind=ws.library.title(details.sheet),
        year=details.year,
        place=details.place,
        condition=details.condition,
        photo=state.photos[0].digest if state.photos else "",
        job=under_way.number if under_way else 0,
        standing=_standing(jobs, under_way),
        taken_in_at=state.taken_in_at,
    )


def _standing(jobs: Sequence[JobState], under_way: JobState | None) -> str:
    if under_way and under_way.standing == "on the shelf" and under_way.waits:
        return f"On the shelf for {under_way.waits.waits_for}."
    if under_way:
        return f"On the bench: {under_way.title}."
    if not jobs:
        return "Taken in; no job yet."
    last = jobs[-1]
    return (
        f"Job {last.number} {last.standing}." if last.standing != "stopped" else f"Job {last.number} stopped."
    )


def job_card(ws: Workshop, about: Subject, machine: MachineCard) -> JobCard:
    """Return a job in brief, with its next step when it is open; a resting one is not advised on."""
    job, words = about.job, words_for(about)
    answer = advised(ws, about) if job.standing == "open" else None
    advice = answer.advice if answer else None
    step = next_step(advice)
    power = first_power(about) if advice else NO_STAGES
    stage, stage_minutes = next_in_stages(advice.steps if advice else (), power, words, job.bench)
    return JobCard(
        number=job.number,
        title=job.title,
        machine=machine,
        standing=job.standing,
        where=where(job, advice, gate_cards(words, job.line, advice), words),
        next_step=stage or ((step.ask or words.step(step.step)) if step else ""),
        next_kind=step.kind if step else "",
        next_minutes=stage_minutes if stage else step.minutes if step else 0.0,
        suspects=leading_parts(advice, words),
        unproven=_unproven(advice),
        waits_for=job.waits.waits_for if job.waits else "",
        waits_words=job.waits.words if job.waits else "",
        opened_at=job.opened_at,
        changed_at=job.changed_at,
        trouble=answer.trouble if answer else "",
    )


def _unproven(advice: Advice | None) -> tuple[str, ...]:
    functions = advice.functions if advice else ()
    return tuple(each.title for each in functions if each.standing != "proven")


def next_step(advice: Advice | None) -> Step | None:
    """Return the best step of an advice; none when there is nothing to advise."""
    return advice.steps[0] if advice and advice.steps else None

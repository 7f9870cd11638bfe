"""What closed jobs have taught this workshop: gathered from the book, kept under a digest, set aside.

A job rests on the learned numbers it began with; `keep_learned` keeps those of the moment, so that another
job's end changes nothing under anybody's hands.
"""

from __future__ import annotations

import logging
from collections.abc import Iterator, Mapping
from hashlib import sha256

from powergood.bench.book import job_of, jobs_of, machine_of
from powergood.bench.drafting import drafts_of
from powergood.bench.job_state import JobState
from powergood.bench.library import NOTHING
from powergood.bench.machine_state import MachineState
from powergood.bench.workshop import Workshop
from powergood.diagnosis import Taken, compile_model, lessons
from powergood.errors import BadInput, PowergoodError, UnknownThing
from powergood.estimate import (
    Learned,
    LearnedNumber,
    Lessons,
    Start,
    Tally,
    Work,
    learned,
    numbers,
    tallied,
)
from powergood.record.model import (
    Described,
    Draft,
    IntakeAnswer,
    PartFrom,
    Pinned,
    Resumed,
    SetAside,
    SignedOff,
    Stopped,
    TookMinutes,
    Withdrawn,
)
from powergood.record.timeline import timeline

log = logging.getLogger(__name__)

MOVES = (
    SignedOff,
    Stopped,
    Resumed,
    Withdrawn,
    SetAside,
    TookMinutes,
    PartFrom,
    Described,
    IntakeAnswer,
)
"""Kinds of fact after which the learned numbers may be others than before."""


def learned_now(ws: Workshop) -> Learned:
    """Return what all closed jobs make of the packs' numbers, those set aside marked."""
    key = ("now", ws.store.last_number(MOVES))
    return ws.learned.get(key, lambda: _learned(ws))


def learned_numbers(ws: Workshop) -> Mapping[str, LearnedNumber]:
    """Return each learned number by its id: `fault:FAMILY:FAULT`, `false-alarm:FAMILY:CHECK` and so on.

    What no closed job said anything of is not among them: there the pack's number stands.
    """
    return learned_now(ws).numbers


def keep_learned(ws: Workshop) -> str:
    """Keep the learned numbers of now and return their digest; empty when nothing was learned yet."""
    now = learned_now(ws)
    if now.digest:
        ws.store.keep_learned(now.digest, now.text())
    return now.digest


def use_learned_now(ws: Workshop, job: int, *, key: str, who: str = "") -> None:
    """Let a job rest on the learned numbers of now from here on.

    Raises
    ------
    UnknownThing : there is no such job, or the pack does not know its machine.
    """
    state = job_of(ws, job)
    known = ws.library.known(machine_of(ws, state.tag).details.sheet)
    body = Pinned(known.pack, keep_learned(ws))
    ws.store.append(
        drafts_of((body,), key=key, machine=state.tag, job=job, who=who, digest=known.model.digest)
    )


def set_aside(ws: Workshop, number: str, because: str = "", *, key: str, who: str = "") -> None:
    """Use a learned number no more, in jobs that begin from now on.

    Raises
    ------
    UnknownThing : nothing was learned under that id.
    """
    if number not in learned_numbers(ws):
        raise UnknownThing(f"Nothing was learned of {number!r}. The numbers are listed by: powergood taught")
    if number not in aside(ws):
        ws.store.append([Draft(SetAside(number, because.strip()), f"{key}/1", who=who)])


def use_again(ws: Workshop, number: str, *, key: str, who: str = "") -> None:
    """Take back that a number was set aside.

    Raises
    ------
    BadInput : it is not set aside.
    """
    facts = aside(ws).get(number, ())
    if not facts:
        raise BadInput(f"{number!r} is not set aside; nothing was changed.")
    ws.store.append([Draft(Withdrawn(fact), f"{key}/{fact}", who=who) for fact in facts])


def aside(ws: Workshop) -> Mapping[str, tuple[int, ...]]:
    """Return the numbers that are set aside, each with the facts that say so."""
    found: dict[str, tuple[int, ...]] = {}
    for fact in timeline(ws.store.facts(kinds=(SetAside, Withdrawn))).facts:
        if isinstance(fact.body, SetAside):
            name = fact.body.number_id
            found[name] = (*found.get(name, ()), fact.number)
    return found


def closed_jobs(ws: Workshop) -> Iterator[tuple[JobState, MachineState]]:
    """Yield the jobs that are signed off or stopped, each with its machine."""
    for tag in ws.store.machines():
        machine = machine_of(ws, tag)
        for job in jobs_of(machine):
            if job.closed:
                yield job, machine


def _learned(ws: Workshop) -> Learned:
    """Return what all closed jobs say, read one after another, each with what those before it have taught.

    Causes that compete for the same signs must not each be moved as if the other were as rare as ever.
    """
    starts: dict[str, Start] = {}
    unused = frozenset(aside(ws))
    tallies: dict[str, Tally] = {}
    work: list[Work] = []
    so_far, chain = NOTHING, str(sorted(unused))
    for job, machine in sorted(closed_jobs(ws), key=lambda each: each[0].number):
        chain = sha256(f"{chain} {_rests_on(ws, job, machine)}".encode()).hexdigest()
        taken = _lessons(ws, job, machine, starts, so_far, chain)
        if taken is None:
            continue
        starts.update({name: start for name, start in taken.starts.items() if name not in starts})
        tallies = tallied(tallies, starts, taken.lessons.tellings)
        work += taken.lessons.work
        so_far = Learned(numbers(tallies, starts, unused, intervals=False))
    paces = learned({}, Lessons((), tuple(work)), unused)
    return Learned({**numbers(tallies, starts, unused), **paces.numbers})


def _rests_on(ws: Workshop, job: JobState, machine: MachineState) -> str:
    """Return all that a closed job's lessons depend on, but for what those before it taught."""
    details = machine.details
    digest = ws.library.digest(details.sheet)
    facts = [fact.number for fact in job.line.facts]
    return repr((digest, details.year, sorted(machine.intake.items()), facts))


def _lessons(
    ws: Workshop,
    job: JobState,
    machine: MachineState,
    starts: dict[str, Start],
    so_far: Learned,
    chain: str,
) -> Taken | None:
    """Return what one closed job says, noting its family's own numbers; none of a kind not known."""
    try:
        known = ws.library.known(machine.details.sheet).model
        starts.update(ws.library.compiled(known.family or known.id, 0, {}).starts)
        return ws.lessons.get(chain, lambda: _read(ws, job, machine, so_far))
    except PowergoodError:
        return None
    except Exception:  # a job that cannot be read teaches nothing; it must not keep the next one from opening
        log.exception("Job %s teaches nothing because of a fault in this program", job.number)
        return None


def _read(ws: Workshop, job: JobState, machine: MachineState, so_far: Learned) -> Taken:
    known = ws.library.known(machine.details.sheet).model
    model = compile_model(known, year=machine.details.year, intake=machine.intake, learned=so_far)
    return lessons(model, job.line, job.number)

"""Advice for a job, worked out once for what it rests on; when the engine fails, a sentence instead.

What was typed is in the book before this is called, so a fault of the engine costs the advice and
nothing else: this is the one place of the bench that catches every exception.
"""

from __future__ import annotations

import logging
from collections.abc import Callable
from dataclasses import dataclass
from typing import TypeVar

from powergood.bench.job_state import JobState
from powergood.bench.library import Known
from powergood.bench.machine_state import MachineState
from powergood.bench.preferring import preferences
from powergood.bench.refusals import left_out
from powergood.bench.ribbon import Chances, chances_now, moments
from powergood.bench.workshop import Advised, Workshop
from powergood.diagnosis import CompiledModel, advise
from powergood.errors import PowergoodError, UnknownThing
from powergood.record.model import Fact
from powergood.record.timeline import Timeline

log = logging.getLogger(__name__)

Result = TypeVar("Result")


@dataclass(frozen=True, slots=True)
class Subject:
    """What advice is worked out for: a job, its machine, and what is known of its kind (none: unknown)."""

    job: JobState
    machine: MachineState
    known: Known | None
    trouble: str = ""


def subject(ws: Workshop, job: JobState, machine: MachineState) -> Subject:
    """Return a job with what is known of its machine's kind, or why nothing is."""
    try:
        return Subject(job, machine, ws.library.known(machine.details.sheet, machine.edition))
    except UnknownThing as error:
        return Subject(job, machine, None, str(error))


def compiled(ws: Workshop, job: JobState, machine: MachineState) -> CompiledModel:
    """Return the numbers for a job: by its machine's year and take-in answers, with what it rests on.

    Raises
    ------
    UnknownThing : the pack does not have its kind.
    """
    details = machine.details
    learned = ws.learned_as(job.learned)
    return ws.library.compiled(details.sheet, details.year, machine.intake, learned, job.who)


def advised(ws: Workshop, about: Subject) -> Advised:
    """Return the advice for a job now, or a sentence that says why there is none."""
    if about.known is None:
        return Advised(trouble=about.trouble)
    wants = preferences(ws, left_out(about.job.line, about.known.words, about.job.cannot))
    key = (*rests_on(about), wants)
    return ws.advised.get(
        key,
        lambda: _shielded(
            lambda: Advised(advise(compiled(ws, about.job, about.machine), about.job.line, wants)),
            lambda said: Advised(trouble=said),
        ),
    )


def beliefs(ws: Workshop, about: Subject) -> tuple[tuple[Fact | None, Chances], ...]:
    """Return each fault's chance at each moment of a job; nothing when it cannot be worked out.

    Facts only grow, so what was believed at an earlier moment is kept and not worked out again.
    """
    known, machine = about.known, about.machine
    if known is None:
        return ()

    def chances(line: Timeline) -> Chances:
        facts = tuple(fact.number for fact in line.facts)
        key = (known.model.digest, *_machine_key(machine), about.job.learned, about.job.who, facts)
        return ws.believed.get(key, lambda: chances_now(compiled(ws, about.job, machine), line))

    return _shielded(
        lambda: tuple((fact, chances(line)) for fact, line in moments(about.job.line)), lambda said: ()
    )


def _machine_key(machine: MachineState) -> tuple[object, ...]:
    return machine.details.year, tuple(sorted(machine.intake.items()))


def rests_on(about: Subject) -> tuple[object, ...]:
    """Return all that the advice for a job depends on, preferences apart, as a key."""
    assert about.known is not None
    facts = tuple(fact.number for fact in about.job.line.facts)
    job = about.job
    return (about.known.model.digest, *_machine_key(about.machine), job.learned, job.who, facts)


def _shielded(work: Callable[[], Result], failed: Callable[[str], Result]) -> Result:
    try:
        return work()
    except PowergoodError as error:
        return failed(f"No advice could be worked out: {error} What you typed is kept.")
    except Exception:  # the engine must never cost a person the record; the log has the whole story
        log.exception("The engine failed")
        return failed(
            "No advice could be worked out because of a fault in this program. What you typed is kept; "
            "the checks below need no power and can be done meanwhile."
        )

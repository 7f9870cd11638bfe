"""Read machines and jobs out of the workshop's book by their tag or number."""

from __future__ import annotations

from powergood.bench.job_state import JobState, job_state
from powergood.bench.machine_state import MachineState, machine_state
from powergood.bench.workshop import Workshop
from powergood.errors import UnknownThing


def machine_of(ws: Workshop, tag: str) -> MachineState:
    """Return the machine with that tag.

    Raises
    ------
    UnknownThing : no machine bears that tag.
    """
    state = machine_state(ws.store.facts(machine=tag)) if tag else None
    if state is None:
        raise UnknownThing(f"No machine bears the tag {tag!r}. The tags in use are on the Machines page.")
    return state


def job_of(ws: Workshop, number: int) -> JobState:
    """Return the job of that number.

    Raises
    ------
    UnknownThing : there is no such job.
    """
    state = job_state(ws.store.facts(job=number)) if number > 0 else None
    if state is None:
        raise UnknownThing(f"There is no job {number}. The jobs there are stand on the Bench page.")
    return state


def jobs_of(machine: MachineState) -> tuple[JobState, ...]:
    """Return the jobs on a machine, oldest first, from the machine's own facts."""
    numbers = dict.fromkeys(fact.draft.job for fact in machine.facts if fact.draft.job)
    found = (job_state(fact for fact in machine.facts if fact.draft.job == number) for number in numbers)
    return tuple(job for job in found if job is not None)

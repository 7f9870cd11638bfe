"""What the last start told: the parts that were suspect before it and are cleared since."""

from __future__ import annotations

from collections.abc import Sequence

from powergood.bench.cutaway import SUSPECT_FROM
from powergood.bench.job_state import JobState
from powergood.bench.ribbon import Chances
from powergood.diagnosis import Advice, CompiledModel
from powergood.record.model import Fact


def cleared_by(
    job: JobState,
    moments: Sequence[tuple[Fact | None, Chances]],
    model: CompiledModel,
    advice: Advice,
) -> tuple[str, ...]:
    """Return the slots cleared now in which a fault was suspected before the last start."""
    first = _first_fact(job)
    if not first:
        return ()
    before = [chances for fact, chances in moments if fact is None or fact.number < first]
    suspected = {
        spec.slot for spec in model.faults if spec.listed and before[-1].get(spec.id, 0.0) >= SUSPECT_FROM
    }
    return tuple(slot for slot in model.slots if slot in suspected and slot in advice.cleared)


def _first_fact(job: JobState) -> int:
    power_up = job.bench.power_up
    return next((fact.number for fact in job.line.facts if power_up and fact.draft.power_up == power_up), 0)

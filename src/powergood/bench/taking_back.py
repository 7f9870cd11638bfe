"""Take a fact back, and with it what came of it: the finding that readings said, what a stop stood for."""

from __future__ import annotations

from powergood.bench.advising import subject
from powergood.bench.book import job_of, machine_of
from powergood.bench.boxes import said_beside, same_form
from powergood.bench.cards import words_for
from powergood.bench.first_power import outcome_said
from powergood.bench.job_state import JobState
from powergood.bench.job_views import JobView
from powergood.bench.recording import record
from powergood.bench.stage_standing import FROM_READINGS, standing_of
from powergood.bench.wording import Wording
from powergood.bench.workshop import Workshop
from powergood.errors import BadInput
from powergood.knowledge.bring_up import label_of, quantity_of
from powergood.knowledge.model import Stage
from powergood.record.model import Body, Fact, Finding, GateAnswered, Reading, Withdrawn
from powergood.record.timeline import Timeline, timeline


def withdraw(ws: Workshop, job: int, fact: int, because: str = "", *, key: str, who: str = "") -> JobView:
    """Take back a fact of a job; it stays in the record, struck through, and so does what came of it.

    A reading at a stage of bring-up takes the finding with it that was written down from the readings; where
    the readings that are left say something, that is written down instead. A stage that was called done or
    stopped takes the safety conditions and the finding with it that were written down in the same breath; so
    does the tick of a safety condition what its boxes said.

    Raises
    ------
    BadInput : the job has no such fact.
    """
    state = job_of(ws, job)
    found = next((each for each in state.facts if each.number == fact), None)
    if found is None:
        raise BadInput(f"Job {job} has no fact {fact}; nothing was taken back.")
    words = words_for(subject(ws, state, machine_of(ws, state.tag)))
    came = came_of(found, state.line, words)
    why = f"it came of fact {fact}, which was taken back"
    bodies: list[Body] = [Withdrawn(fact, because), *(Withdrawn(each.number, why) for each in came)]
    stage = _read_at(found, words)
    if stage and came:
        bodies += _said_by_the_rest(stage, state, {fact, *(each.number for each in came)}, words)
    start = max((each.draft.power_up for each in came), default=0)
    return record(ws, job, bodies, key=key, who=who, power_up=start)


def came_of(fact: Fact, line: Timeline, words: Wording) -> tuple[Fact, ...]:
    """Return the standing facts that were written down because of a fact, and fall with it."""
    if stage := _read_at(fact, words):
        return tuple(
            each
            for each in line.facts
            if isinstance(each.body, Finding)
            and each.body.check == stage.check
            and each.body.note.startswith(FROM_READINGS)
            and fact.number in _read_before(each, line, stage)
        )
    if isinstance(fact.body, GateAnswered) and fact.body.gate in words.stages:
        return tuple(
            each
            for each in line.facts
            if each is not fact
            and same_form(each, fact)
            and (
                isinstance(each.body, Finding)
                or (isinstance(each.body, GateAnswered) and each.body.gate not in words.stages)
            )
        )
    return said_beside(fact, line, words)


def _read_at(fact: Fact, words: Wording) -> Stage | None:
    """Return the stage that a fact is a reading of, or the figure on a label; none for any other fact."""
    if not isinstance(fact.body, Reading):
        return None
    name = fact.body.quantity
    return next((each for each in words.stages.values() if name in _quantities(each)), None)


def _quantities(stage: Stage) -> frozenset[str]:
    """Return the names that readings of a stage, and figures on labels, go by."""
    return frozenset(name(stage, limit) for limit in stage.limits for name in (quantity_of, label_of))


def _read_before(finding: Fact, line: Timeline, stage: Stage) -> frozenset[int]:
    """Return the readings that a finding rests on: the last of each name before it."""
    names = _quantities(stage)
    last = {
        each.body.quantity: each.number
        for each in line.facts
        if each.number < finding.number and isinstance(each.body, Reading) and each.body.quantity in names
    }
    return frozenset(last.values())


def _said_by_the_rest(stage: Stage, state: JobState, gone: set[int], words: Wording) -> list[Body]:
    """Return the finding that the readings left say; none where they say nothing, or it stands already."""
    left = timeline(fact for fact in state.facts if fact.number not in gone)
    outcome = outcome_said(stage, standing_of(stage, left, state.bench.gates), words)
    stands = [
        fact.body.outcome
        for fact in left.facts
        if isinstance(fact.body, Finding) and fact.body.check == stage.check
    ]
    if not outcome or stands[-1:] == [outcome]:
        return []
    return [Finding(stage.check, outcome, note=f"{FROM_READINGS} that are left")]

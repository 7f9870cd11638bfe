"""Where a job stands in the stages of bring-up: from the facts of the record alone.

A stage is done when it was answered so, or when its check was found good by a look of its own; it is stopped
when it was answered so, or when a reading lies outside its limits. Readings alone do not make it done, for
they do not say that nothing of its stop list was seen; nor does the tick of a gate that it proves. The last
word counts. Readings of before a stop say nothing about the try after it.
"""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass, field, replace

from powergood.knowledge.bring_up import Place, label_of, meter_error, outside, placed, quantity_of
from powergood.knowledge.model import Limit, Stage
from powergood.record.model import GOOD, Fact, Finding, GateAnswered, Reading
from powergood.record.timeline import Timeline
from powergood.units import last_digit

FROM_READINGS = "from the readings"
"""What the note of a finding begins with that was worked out from the readings of a stage."""


@dataclass(frozen=True, slots=True)
class Read:
    """A reading of a stage with where it lies, `error` being the meter's in the reading's unit.

    `share` is the reading in per cent of the label's figure, where it was held against that.
    """

    body: Reading
    place: Place
    error: float
    share: float | None = None


@dataclass(frozen=True, slots=True)
class Standing:
    """Where one stage stands: answered done (true), stopped (false) or not at all, and its readings.

    `labels` are the figures on labels that limits in per cent are of, by limit. `at` is the number of the
    last fact that moved it. `worked` says that a person wrote something down at the stage itself.
    """

    done: bool | None = None
    how: str = ""
    reads: Mapping[str, Read] = field(default_factory=dict)
    labels: Mapping[str, Reading] = field(default_factory=dict)
    at: int = 0
    worked: bool = False

    @property
    def places(self) -> dict[str, Place]:
        """Where each reading lies, by limit."""
        return {name: read.place for name, read in self.reads.items()}


def standing_of(stage: Stage, line: Timeline, gates: Collection[str]) -> Standing:
    """Return where a stage stands after the facts of a job; `gates` are those that are met now."""
    limits = {quantity_of(stage, limit): limit for limit in stage.limits}
    now = Standing(labels=labels_of(stage, line))
    for fact in line.facts:
        now = _after(now, fact, stage, limits)
    if now.done and any(gate not in gates for gate in stage.meets):
        return replace(now, done=None, how="")
    if now.done is None and outside(now.places.values()):
        return replace(now, done=False, how="a reading lies outside its limits")
    return now


def _after(now: Standing, fact: Fact, stage: Stage, limits: Mapping[str, Limit]) -> Standing:
    body, at = fact.body, fact.number
    match body:
        case GateAnswered(gate=name, met=True, how=how) if name == stage.id:
            return replace(now, done=True, how=how, at=at, worked=True)
        case GateAnswered(gate=name, how=how) if name == stage.id:
            return replace(now, done=False, how=how, reads={}, at=at, worked=True)
        case Reading(quantity=name) if name in limits:
            limit = limits[name]
            read = read_against(limit, body, now.labels.get(limit.id))
            reads = {**now.reads, limit.id: read} if read else now.reads
            return replace(now, done=None, how="", reads=reads, at=at, worked=True) if read else now
        case Finding(check=check, outcome=outcome, told=False, sure=True) if check == stage.check and check:
            looked = outcome == GOOD and not body.note.startswith(FROM_READINGS)
            if looked and now.done is None and not outside(now.places.values()):
                return replace(now, done=True, how="its check was found good", at=at)
        case _:
            pass
    return now


def labels_of(stage: Stage, line: Timeline) -> dict[str, Reading]:
    """Return the last figure of each label that was given at a stage, by limit."""
    names = {label_of(stage, limit): limit.id for limit in stage.limits if limit.label}
    given = (fact.body for fact in line.facts if isinstance(fact.body, Reading))
    return {names[body.quantity]: body for body in given if body.quantity in names}


def error_of(body: Reading) -> float:
    """Return the meter's error of a reading, in the reading's unit."""
    return meter_error(body.value, body.unit, last_digit(body.text), body.instrument)


def read_against(limit: Limit, body: Reading, label: Reading | None = None) -> Read | None:
    """Return a reading with where it lies between its limits.

    One in the label's unit is held against the label's figure; there is none without that.
    """
    error = error_of(body)
    if body.unit == limit.unit:
        return Read(body, placed(limit, body.value, error).place, error)
    if label is None or label.unit != body.unit or not label.value:
        return None
    share = 100 * body.value / label.value
    return Read(body, placed(limit, share, 100 * error / abs(label.value)).place, error, share)


def healthy_before(quantity: str, jobs: Sequence[tuple[int, Timeline]]) -> tuple[int, Reading] | None:
    """Return the last reading of a quantity in the signed-off jobs given, oldest first, with its job."""
    for number, line in reversed(jobs):
        for fact in reversed(line.facts):
            if isinstance(fact.body, Reading) and fact.body.quantity == quantity:
                return number, fact.body
    return None

"""Where a job stands in the stages of bring-up: from the facts of the record alone.

A stage is done when it was answered so, when the gates that it proves were ticked, or when its check was
found good; it is stopped when it was answered so, or when a reading lies outside its limits. The last word
counts. Readings of before a stop say nothing about the try after it.
"""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass, field

from powergood.knowledge.bring_up import Place, meter_error, outside, placed, quantity_of
from powergood.knowledge.model import Limit, Stage
from powergood.record.model import GOOD, Fact, Finding, GateAnswered, Reading
from powergood.record.timeline import Timeline
from powergood.units import last_digit


@dataclass(frozen=True, slots=True)
class Read:
    """A reading of a stage with where it lies, `error` being the meter's in the reading's unit."""

    body: Reading
    place: Place
    error: float


@dataclass(frozen=True, slots=True)
class Standing:
    """Where one stage stands: answered done (true), stopped (false) or not at all, and its readings."""

    done: bool | None = None
    how: str = ""
    reads: Mapping[str, Read] = field(default_factory=dict)

    @property
    def places(self) -> dict[str, Place]:
        """Where each reading lies, by limit."""
        return {name: read.place for name, read in self.reads.items()}


def standing_of(stage: Stage, line: Timeline, gates: Collection[str]) -> Standing:
    """Return where a stage stands after the facts of a job; `gates` are those that are met now."""
    limits = {quantity_of(stage, limit): limit for limit in stage.limits}
    now = Standing()
    for fact in line.facts:
        now = _after(now, fact, stage, limits)
    if now.done and any(gate not in gates for gate in stage.meets):
        return Standing(None, "", now.reads)
    if now.done is None and outside(now.places.values()):
        return Standing(False, "a reading lies outside its limits", now.reads)
    if now.done is None and stage.meets and all(gate in gates for gate in stage.meets):
        return Standing(True, "its safety condition is ticked", now.reads)
    return now


def _after(now: Standing, fact: Fact, stage: Stage, limits: Mapping[str, Limit]) -> Standing:
    body = fact.body
    match body:
        case GateAnswered(gate=name, met=True, how=how) if name == stage.id:
            return Standing(True, how, now.reads)
        case GateAnswered(gate=name, how=how) if name == stage.id:
            return Standing(False, how, {})
        case Reading(quantity=name) if name in limits:
            limit = limits[name]
            return Standing(None, "", {**now.reads, limit.id: read_against(limit, body)})
        case Finding(check=check, outcome=outcome, told=False, sure=True) if check == stage.check and check:
            if outcome == GOOD and now.done is None and not outside(now.places.values()):
                return Standing(True, "its check was found good", now.reads)
        case _:
            pass
    return now


def read_against(limit: Limit, body: Reading) -> Read:
    """Return a reading with where it lies between its limits."""
    error = meter_error(body.value, body.unit, last_digit(body.text), body.instrument)
    found = placed(limit, body.value, error)
    return Read(body, found.place, found.error)


def healthy_before(quantity: str, jobs: Sequence[tuple[int, Timeline]]) -> tuple[int, Reading] | None:
    """Return the last reading of a quantity in the signed-off jobs given, oldest first, with its job."""
    for number, line in reversed(jobs):
        for fact in reversed(line.facts):
            if isinstance(fact.body, Reading) and fact.body.quantity == quantity:
                return number, fact.body
    return None

"""The boxes on a safety condition's card: findings that are written down, and taken back, with its tick."""

from __future__ import annotations

from collections.abc import Collection, Iterable

from powergood.bench.wording import Wording
from powergood.errors import BadInput
from powergood.knowledge.model import StandsFor
from powergood.record.model import Body, Fact, Finding, GateAnswered, Withdrawn
from powergood.record.timeline import Timeline


def boxes_ticked(gate: str, names: Collection[str], words: Wording) -> tuple[Finding, ...]:
    """Return the findings that the ticked boxes of a gate's card say; `names` are their checks.

    Raises
    ------
    BadInput : the card has no such box.
    """
    said = {each.check: Finding(each.check, each.outcome) for each in _boxes(gate, words)}
    if strange := [name for name in names if name not in said]:
        raise BadInput(f"The card of {gate!r} has no box for {', '.join(map(repr, strange))}.")
    return tuple(finding for name, finding in said.items() if name in names)


def said_beside(tick: Fact, line: Timeline, words: Wording) -> tuple[Fact, ...]:
    """Return the standing findings that were written down with the tick of a gate, by its boxes."""
    if not isinstance(tick.body, GateAnswered):
        return ()
    names = {each.check for each in _boxes(tick.body.gate, words)}
    return tuple(
        each
        for each in line.facts
        if isinstance(each.body, Finding) and each.body.check in names and same_form(each, tick)
    )


def fallen_with(bodies: Iterable[Body], line: Timeline, words: Wording) -> tuple[Withdrawn, ...]:
    """Return the taking back of what boxes said of gates that `bodies` say are met no more."""
    gone = {body.gate for body in bodies if isinstance(body, GateAnswered) and not body.met}
    ticks = [each for each in line.facts if isinstance(each.body, GateAnswered) and each.body.gate in gone]
    return tuple(
        Withdrawn(found.number, f"said with fact {tick.number}, which is met no more")
        for tick in ticks
        for found in said_beside(tick, line, words)
    )


def same_form(one: Fact, other: Fact) -> bool:
    """Tell whether two facts were sent with one form."""
    return one.draft.key.rpartition("/")[0] == other.draft.key.rpartition("/")[0]


def _boxes(gate: str, words: Wording) -> Iterable[StandsFor]:
    known = words.gates[gate].stands_for if gate in words.gates else ()
    return (each for each in known if each.box)

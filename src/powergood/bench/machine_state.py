"""What the facts about one machine amount to: its details, take-in answers and photos now."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field, fields, replace
from typing import Any

from powergood.bench.record_views import Photo
from powergood.record.model import Described, Fact, IntakeAnswer, PhotoTaken, TakenIn
from powergood.record.timeline import Timeline, timeline


@dataclass(frozen=True, slots=True)
class MachineState:
    """A machine as its facts leave it. `facts` are all of them, jobs' facts included, in order.

    `edition` is the edition of the standard that its own supply follows, where that was said of it.
    """

    details: TakenIn
    taken_in_at: str
    edition: str = ""
    intake: Mapping[str, bool] = field(default_factory=dict)
    photos: tuple[Photo, ...] = ()
    facts: tuple[Fact, ...] = ()
    line: Timeline = field(default_factory=Timeline)

    @property
    def tag(self) -> str:
        """The machine's tag."""
        return self.details.tag

    def detail(self, what: str) -> str:
        """Return one of its `DETAILS` as it is now."""
        return self.edition if what == EDITION else str(getattr(self.details, what))


EDITION = "edition"
"""The detail that says which edition of the standard its supply follows: of one machine, not of a model."""

DETAILS = (*(each.name for each in fields(TakenIn) if each.name != "tag"), EDITION)
"""What can be described of a machine later."""


def machine_state(facts: Iterable[Fact]) -> MachineState | None:
    """Return the machine its facts describe; none when nothing says that it was taken in."""
    every = tuple(facts)
    line = timeline(every)
    arrived = next((fact for fact in line.facts if isinstance(fact.body, TakenIn)), None)
    if arrived is None or not isinstance(arrived.body, TakenIn):
        return None
    details, intake, photos, edition = arrived.body, {}, [], ""
    for fact in line.facts:
        match fact.body:
            case Described(what="edition", value=value):
                edition = value
            case Described(what=what, value=value) if what in DETAILS:
                details = described(details, what, value)
            case IntakeAnswer(question=question, yes=yes):
                intake[question] = yes
            case PhotoTaken():
                photos.append(photo_of(fact))
            case _:
                pass
    return MachineState(details, seen_at(arrived), edition, intake, tuple(photos), every, line)


def described(details: TakenIn, what: str, value: str) -> TakenIn:
    """Return the details with one of them changed; a year that is no number counts as not known."""
    changes: dict[str, Any] = {what: value}
    if what == "year":
        changes["year"] = int(value) if value.isdecimal() else 0
    return replace(details, **changes)


def photo_of(fact: Fact) -> Photo:
    """Return the photo that a fact brought."""
    body = fact.body
    assert isinstance(body, PhotoTaken)
    return Photo(body.digest, body.caption, fact.number, seen_at(fact))


def seen_at(fact: Fact) -> str:
    """Return when a fact was seen, or when it was written where that is all that is known."""
    return fact.draft.seen_at or fact.written_at

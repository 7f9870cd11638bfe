"""What the facts of one job amount to: where it stands, what was complained of, what cannot be done."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field

from powergood.bench.card_views import JobStanding
from powergood.bench.machine_state import photo_of, seen_at
from powergood.bench.record_views import Photo
from powergood.record.model import (
    CannotDo,
    Complained,
    Fact,
    JobOpened,
    PhotoTaken,
    Pinned,
    Resumed,
    Shelved,
    SignedOff,
    Stopped,
)
from powergood.record.timeline import Bench, Timeline, bench_states, timeline


@dataclass(frozen=True, slots=True)
class JobState:
    """A job as its facts leave it. `facts` are all of them, the withdrawn ones included, in order."""

    number: int
    tag: str
    title: str
    opened_at: str
    changed_at: str
    facts: tuple[Fact, ...]
    line: Timeline
    bench: Bench
    standing: JobStanding = "open"
    waits: Shelved | None = None
    complaint: Complained | None = None
    pinned: Fact | None = None
    cannot: frozenset[str] = frozenset()
    photos: tuple[Photo, ...] = field(default=())
    who: str = ""

    @property
    def learned(self) -> str:
        """The digest of the learned numbers that the job's advice rests on; empty for the pack's own."""
        body = self.pinned.body if self.pinned else None
        return body.learned if isinstance(body, Pinned) else ""

    @property
    def closed(self) -> bool:
        """True once the job is signed off or stopped."""
        return not self.under_way

    @property
    def under_way(self) -> bool:
        """True while the job is neither signed off nor stopped."""
        return self.standing in ("open", "on the shelf")


def job_state(facts: Iterable[Fact]) -> JobState | None:
    """Return the job its facts describe; none when nothing says that it was opened."""
    every = tuple(facts)
    line = timeline(every)
    opening = next((fact for fact in every if isinstance(fact.body, JobOpened)), None)
    if opening is None or not isinstance(opening.body, JobOpened):
        return None
    standing: JobStanding = "open"
    waits: Shelved | None = None
    complaint: Complained | None = None
    pinned: Fact | None = None
    cannot: set[str] = set()
    photos: list[Photo] = []
    for fact in line.facts:
        match fact.body:
            case Shelved() as body:
                standing, waits = "on the shelf", body
            case Resumed():
                standing, waits = "open", None
            case SignedOff():
                standing = "signed off"
            case Stopped():
                standing = "stopped"
            case Complained() as said:
                complaint = said
            case Pinned():
                pinned = fact
            case CannotDo(step=step):
                cannot.add(step)
            case PhotoTaken():
                photos.append(photo_of(fact))
            case _:
                pass
    return JobState(
        number=opening.draft.job,
        tag=opening.draft.machines[0] if opening.draft.machines else "",
        title=opening.body.title,
        opened_at=seen_at(opening),
        changed_at=every[-1].written_at,
        facts=every,
        line=line,
        bench=bench_states(line)[-1],
        standing=standing,
        waits=waits,
        complaint=complaint,
        pinned=pinned,
        cannot=frozenset(cannot),
        photos=tuple(photos),
        who=opening.draft.who,
    )

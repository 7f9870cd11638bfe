"""The record as lines: each fact with its sentence, and whether it was or may be taken back."""

from __future__ import annotations

from collections.abc import Iterable

from powergood.bench.kind_words import KIND_WORDS
from powergood.bench.machine_state import seen_at
from powergood.bench.record_views import RecordLine
from powergood.bench.sentences import fact_sentence, note_of
from powergood.bench.wording import Wording
from powergood.record.model import (
    Complained,
    Fact,
    Finding,
    JobOpened,
    PhotoTaken,
    Pinned,
    TakenIn,
    Withdrawn,
)
from powergood.record.timeline import Timeline

LASTING = (TakenIn, JobOpened, Pinned, Withdrawn)
"""Kinds of fact that are not taken back from a page: they are what everything else hangs on."""


def record_lines(
    facts: Iterable[Fact], line: Timeline, words: Wording, conflict: Iterable[int] = ()
) -> tuple[RecordLine, ...]:
    """Return the facts as lines, oldest first; the withdrawn ones are marked, not left out."""
    against = frozenset(conflict)
    return tuple(_line(fact, line, words, fact.number in against) for fact in facts)


def _line(fact: Fact, line: Timeline, words: Wording, conflicts: bool) -> RecordLine:
    body, back = fact.body, line.withdrawn.get(fact.number)
    because = back.body.because if back and isinstance(back.body, Withdrawn) else ""
    return RecordLine(
        fact=fact.number,
        at=seen_at(fact),
        written_at=fact.written_at,
        who=fact.draft.who,
        kind=KIND_WORDS[type(body)],
        sentence=fact_sentence(fact, words),
        note=note_of(fact),
        told=isinstance(body, Finding | Complained) and body.told,
        sure=body.sure if isinstance(body, Finding) else True,
        power_up=fact.draft.power_up,
        photo=body.digest if isinstance(body, PhotoTaken) else "",
        job=fact.draft.job,
        withdrawn=back is not None,
        withdrawn_because=because,
        can_withdraw=back is None and not isinstance(body, LASTING),
        conflicts=conflicts,
        prompted_by=fact.draft.prompted_by,
    )

"""What can be found of a kind of machine, with the words it can be found by."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from powergood.bench.library import Known
from powergood.bench.matching.sorts import ASK, COMPLAINT, FURTHER, SEEN, SIGN, TITLE, Said
from powergood.bench.wording import Wording, outcomes
from powergood.ids import part_of
from powergood.knowledge.model import Check


@dataclass(frozen=True, slots=True)
class Thing:
    """Something that can be found: what it is, its words, where its page is, its phrases."""

    what: str
    title: str
    kind: str
    address: str
    said: tuple[Said, ...]


def things_of(kind: str, known: Known) -> Iterator[Thing]:
    """Yield all that can be found of one kind of machine: itself, complaints, faults and checks."""
    model, words = known.model, known.words
    yield Thing("machine", model.title, kind, kind, ((TITLE, model.title),))
    for complaint in model.complaints:
        said = tuple((COMPLAINT, text) for text in (complaint.words, *complaint.also))
        yield Thing("complaint", complaint.words, kind, f"{kind}/complaints/{complaint.id}", said)
    for fault in model.faults:
        part = words.parts.get(part_of(fault.id), "")
        shown = [(SIGN, words.function(name)) for name in fault.signs]
        told = (
            (TITLE, f"{fault.title} {part}"),
            (TITLE, fault.title),
            *shown,
            (FURTHER, words.plain(fault.sets_apart)),
        )
        yield Thing("fault", fault.title, kind, f"{kind}/faults/{fault.id}", told)
    for check in model.checks:
        yield Thing("check", check.ask, kind, f"{kind}/checks/{check.id}", said_of_check(check, words))


def said_of_check(check: Check, words: Wording) -> tuple[Said, ...]:
    """Return what a check can be found by: its question, its outcomes, what it tells."""
    seen = [(SEEN, said) for _, said in outcomes(check) if said]
    return ((ASK, check.ask), *seen, (FURTHER, words.plain(check.tells)))

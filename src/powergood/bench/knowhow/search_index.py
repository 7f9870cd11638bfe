"""What can be found, with the words it can be found by, and how well typed words fit it.

The likeness of a typed text and a written phrase is the shared weight over the geometric mean of both
weights; a word weighs by how rarely it is written. Words that mean nearly the same count in part, words that
say the contrary count against. The best phrase counts most, all phrases together the rest.
"""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from difflib import get_close_matches
from typing import Final

from powergood.bench.knowhow.search_words import opposite, related, search_words
from powergood.bench.library import Known
from powergood.bench.wording import outcomes
from powergood.ids import part_of

# Judgement throughout: how much a phrase of each sort counts, set on the queries of the tests.
COMPLAINT, TITLE, ASK, SEEN, SIGN, FURTHER = 1.0, 1.0, 0.85, 0.7, 0.6, 0.5
NEARLY: Final = 0.6
"""Judgement: how much a word counts that means nearly the same."""
MISTYPED: Final = 0.8
"""Judgement: how much a word counts that differs by a letter or two."""
CONTRARY: Final = 0.6
"""Judgement: how much a word counts against that says the contrary."""
COVERED: Final = 0.4
"""Judgement: how much it counts that all phrases together hold what was typed."""
LIKE_ENOUGH: Final = 0.8
SHORTEST_MISTYPED: Final = 4


@dataclass(frozen=True, slots=True)
class Phrase:
    """A phrase something can be found by: its text, its words, how much it counts."""

    text: str
    words: frozenset[str]
    counts: float


@dataclass(frozen=True, slots=True)
class Thing:
    """Something that can be found: what it is, its words, where its page is, its phrases."""

    what: str
    title: str
    kind: str
    address: str
    phrases: tuple[Phrase, ...]


@dataclass(frozen=True, slots=True)
class Hit:
    """A thing with how well it fits, and the phrase that fitted best."""

    thing: Thing
    score: float
    phrase: str


class Index:
    """All that can be found in some kinds of machine. A word weighs by how rarely it is written."""

    def __init__(self, things: Iterable[Thing]) -> None:
        self._things = tuple(things)
        held: Counter[str] = Counter()
        for thing in self._things:
            held.update({word.lstrip("!") for phrase in thing.phrases for word in phrase.words})
        count = max(1, len(self._things))
        self._weights = {word: math.log(1.0 + count / often) for word, often in held.items()}
        self._unknown = math.log(1.0 + count)

    def hits(self, words: str) -> list[Hit]:
        """Return what fits typed words, best first; equal scores by title."""
        typed = self._typed(search_words(words))
        if not typed:
            return []
        found = (self._hit(typed, thing) for thing in self._things)
        fitting = [hit for hit in found if hit.score > 0.0]
        return sorted(fitting, key=lambda hit: (-round(hit.score, 3), hit.thing.title, hit.thing.address))

    def _weight(self, word: str) -> float:
        return self._weights.get(word.lstrip("!"), self._unknown)

    def _typed(self, words: Iterable[str]) -> dict[str, Mapping[str, float]]:
        """Return for each typed word the written words that stand for it, with how much each counts."""
        return {word: self._readings(word) for word in words}

    def _readings(self, word: str) -> dict[str, float]:
        bare = word.lstrip("!")
        found = {word: 1.0, **dict.fromkeys(related(word), NEARLY)}
        if bare and bare not in self._weights and len(bare) >= SHORTEST_MISTYPED:
            mark = "!" if word.startswith("!") else ""
            for near in get_close_matches(bare, self._weights, n=2, cutoff=LIKE_ENOUGH):
                found[mark + near] = MISTYPED
                found.update(
                    {other: MISTYPED * NEARLY for other in related(mark + near) if other not in found}
                )
        return found  # fmt: skip

    def _hit(self, typed: Mapping[str, Mapping[str, float]], thing: Thing) -> Hit:
        best, text = 0.0, ""
        for phrase in thing.phrases:
            score = phrase.counts * self._likeness(typed, phrase.words)
            if score > best:
                best, text = score, phrase.text
        if not best:
            return Hit(thing, 0.0, "")
        whole = sum(self._weight(word) for word in typed)
        covered = sum(
            self._weight(word) * max((self._held(readings, phrase) for phrase in thing.phrases), default=0.0)
            for word, readings in typed.items()
        )
        return Hit(thing, (1.0 - COVERED) * best + COVERED * covered / whole, text)

    def _held(self, readings: Mapping[str, float], phrase: Phrase) -> float:
        return phrase.counts * max(
            (counts for word, counts in readings.items() if word in phrase.words), default=0.0
        )

    def _likeness(self, typed: Mapping[str, Mapping[str, float]], written: frozenset[str]) -> float:
        shared = 0.0
        for word, readings in typed.items():
            counts = max((part for each, part in readings.items() if each in written), default=0.0)
            if not counts and len(word) > 1 and opposite(word) in written:
                counts = -CONTRARY
            shared += counts * self._weight(word)
        if shared <= 0.0:
            return 0.0
        one = sum(self._weight(word) for word in typed)
        other = sum(self._weight(word) for word in written)
        return shared / math.sqrt(one * other)


def things_of(kind: str, known: Known) -> Iterator[Thing]:
    """Yield all that can be found of one kind of machine: itself, complaints, faults and checks."""
    model, words = known.model, known.words
    yield Thing("machine", model.title, kind, kind, tuple(_phrases(TITLE, model.title)))
    for complaint in model.complaints:
        at = f"{kind}/complaints/{complaint.id}"
        said = tuple(_phrases(COMPLAINT, complaint.words, *complaint.also))
        yield Thing("complaint", complaint.words, kind, at, said)
    for fault in model.faults:
        part = words.parts.get(part_of(fault.id), "")
        signs = [words.function(name) for name in fault.signs]
        phrases = [
            *_phrases(TITLE, f"{fault.title} {part}", fault.title),
            *_phrases(SIGN, *signs),
            *_phrases(FURTHER, words.plain(fault.sets_apart)),
        ]
        yield Thing("fault", fault.title, kind, f"{kind}/faults/{fault.id}", tuple(phrases))
    for check in model.checks:
        seen = [said for _, said in outcomes(check) if said]
        phrases = [
            *_phrases(ASK, check.ask),
            *_phrases(SEEN, *seen),
            *_phrases(FURTHER, words.plain(check.tells)),
        ]
        yield Thing("check", check.ask, kind, f"{kind}/checks/{check.id}", tuple(phrases))


def _phrases(counts: float, *texts: str) -> Iterator[Phrase]:
    for text in texts:
        words = frozenset(search_words(text))
        if words:
            yield Phrase(text, words, counts)

"""How well typed words fit what can be found.

The likeness of a typed text and a written phrase is the shared weight over the geometric mean of both
weights; a word weighs by how rarely it is written. Words that mean nearly the same count in part, words that
say the contrary count against. The best phrase counts most, all phrases together the rest.
"""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from difflib import get_close_matches
from typing import Final

from powergood.bench.matching.folding import fold, folded
from powergood.bench.matching.trade_words import FAILING, NEAR, WHEN

# Judgement throughout, set on the sentences of the tests that are there to be set on.
NEARLY: Final = 0.6
"""How much a word counts that means nearly the same."""
MISTYPED: Final = 0.8
"""How much a word counts that differs by a letter or two."""
CONTRARY: Final = 0.6
"""How much a word counts against that says the contrary."""
COVERED: Final = 0.4
"""How much it counts that all phrases together hold what was typed."""
UNKNOWN: Final = 0.5
"""How much a typed word that is written nowhere weighs, beside the rarest that is."""
WHEN_WEIGHS: Final = 0.5
"""How much a word weighs that says only when, beside another as rare."""
FAILED: Final = 0.7
"""How much the bare word of a typed thing counts when the words say that it fails."""
FITS_FROM: Final = 0.25
"""What fits less is not shown in a list."""
BESIDE_BEST: Final = 0.5
"""What fits less than this share of the best is not shown there either."""
LIKE_ENOUGH: Final = 0.8
SHORTEST_MISTYPED: Final = 4

_Readings = Mapping[str, float]
"""Written words that stand for a typed one, with how much each counts."""


@dataclass(frozen=True, slots=True)
class Phrase:
    """A phrase something can be found by: its text, its words, how much it counts.

    `holds` are its words, and each with a `!` too where the phrase says that something fails: a dead
    backlight is no backlight.
    """

    text: str
    words: frozenset[str]
    counts: float
    holds: frozenset[str]


@dataclass(frozen=True, slots=True)
class Entry:
    """Something that can be found: its key, and its phrases."""

    key: str
    phrases: tuple[Phrase, ...]


@dataclass(frozen=True, slots=True)
class Hit:
    """What was found by its key, how well it fits (over 0, at most 1), and the phrase that fitted best."""

    key: str
    score: float
    phrase: str


def entry(key: str, *said: tuple[float, str]) -> Entry:
    """Return something to be found by phrases, each with how much it counts, at most 1."""
    phrases = (_phrase(text, counts) for counts, text in said)
    return Entry(key, tuple(phrase for phrase in phrases if phrase.words))


def _phrase(text: str, counts: float) -> Phrase:
    words = frozenset(folded(text))
    failing = () if _FAILING.isdisjoint(words) else (f"!{word}" for word in words if word[0] != "!")
    return Phrase(text, words, counts, words.union(failing))


def good_enough(hits: Sequence[Hit]) -> list[Hit]:
    """Return the hits worth showing in a list, of hits that stand best first."""
    least = max(FITS_FROM, BESIDE_BEST * hits[0].score) if hits else FITS_FROM
    return [hit for hit in hits if hit.score >= least]


class Index:
    """Some things that can be found. A word weighs by how few of them it is written of."""

    def __init__(self, entries: Iterable[Entry]) -> None:
        self._entries = tuple(entries)
        held: Counter[str] = Counter()
        for each in self._entries:
            held.update({word.lstrip("!") for phrase in each.phrases for word in phrase.words})
        count = max(1, len(self._entries))
        self._weights = {
            word: math.log(1.0 + count / often) * (WHEN_WEIGHS if word in _WHEN else 1.0)
            for word, often in held.items()
        }
        self._unknown = UNKNOWN * math.log(1.0 + count)

    def hits(self, words: str) -> list[Hit]:
        """Return what fits typed words, best first; of those that fit alike, the one first put in."""
        typed = self._typed(folded(words))
        found = (self._hit(typed, each) for each in self._entries) if typed else ()
        return sorted((hit for hit in found if hit.score > 0.0), key=lambda hit: -round(hit.score, 3))

    def _weight(self, word: str) -> float:
        bare = word.lstrip("!")
        return self._weights.get(bare, self._unknown * (WHEN_WEIGHS if bare in _WHEN else 1.0))

    def _typed(self, words: Sequence[str]) -> dict[str, _Readings]:
        typed = {word: self._readings(word) for word in words}
        if not _FAILING.isdisjoint(typed):
            for word, readings in typed.items():
                if not word.startswith("!") and word not in _FAILING:
                    typed[word] = {**readings, word: FAILED, f"!{word}": 1.0}
        return typed

    def _readings(self, word: str) -> _Readings:
        found = {word: 1.0, **dict.fromkeys(near(word), NEARLY)}
        bare, mark = word.lstrip("!"), "!" if word.startswith("!") else ""
        written = any(each.lstrip("!") in self._weights for each in found)
        if not written and len(bare) >= SHORTEST_MISTYPED:
            for like in get_close_matches(bare, self._weights, n=2, cutoff=LIKE_ENOUGH):
                found[mark + like] = MISTYPED
                found = {**dict.fromkeys(near(mark + like), MISTYPED * NEARLY), **found}
        return found

    def _hit(self, typed: Mapping[str, _Readings], entry: Entry) -> Hit:
        scores = [phrase.counts * self._likeness(typed, phrase) for phrase in entry.phrases]
        best = max(scores, default=0.0)
        if best <= 0.0:
            return Hit(entry.key, 0.0, "")
        whole = sum(map(self._weight, typed))
        covered = sum(
            self._weight(word)
            * max(phrase.counts * _held(readings, phrase.holds) for phrase in entry.phrases)
            for word, readings in typed.items()
        )
        score = (1.0 - COVERED) * best + COVERED * covered / whole
        return Hit(entry.key, min(1.0, score), entry.phrases[scores.index(best)].text)

    def _likeness(self, typed: Mapping[str, _Readings], phrase: Phrase) -> float:
        shared = 0.0
        for word, readings in typed.items():
            counts = _held(readings, phrase.holds)
            if not counts and len(word) > 1 and opposite(word) in phrase.words:
                counts = -CONTRARY
            shared += counts * self._weight(word)
        return shared / math.sqrt(sum(map(self._weight, typed)) * sum(map(self._weight, phrase.words)))


def _held(readings: _Readings, written: frozenset[str]) -> float:
    return max((counts for word, counts in readings.items() if word in written), default=0.0)


def _root(word: str) -> str:
    return f"!{fold(word[1:])}" if word.startswith("!") else fold(word)


_FAILING: Final = frozenset(map(_root, FAILING))
_WHEN: Final = frozenset(map(_root, WHEN))


def _near() -> dict[str, tuple[str, ...]]:
    """Return for each word of the groups the others of its lines, folded."""
    found: dict[str, set[str]] = {}
    for line in NEAR.strip().splitlines():
        group = set(map(_root, line.split()))
        for word in group:
            found.setdefault(word, set()).update(group - {word})
    return {word: tuple(sorted(others)) for word, others in found.items()}


_NEAR: Final = _near()


def near(word: str) -> tuple[str, ...]:
    """Return words that mean nearly the same, as they stand after folding; a *no* stays a *no*."""
    if word in _NEAR:
        return _NEAR[word]
    if word.startswith("!") and word[1:] in _NEAR:
        return tuple(f"!{other}" for other in _NEAR[word[1:]] if not other.startswith("!"))
    return ()


def opposite(word: str) -> str:
    """Return the word that says the contrary: `picture` for `!picture`, and the other way round."""
    return word[1:] if word.startswith("!") else f"!{word}"

"""Find which known complaint a person's own words stand for.

Words are compared by how many they share, each counted by how rarely it occurs among the known
complaints of the machine's family, so that "screen" tells more than "the". Doubling of words such as
"won't" and "no" into one keeps "no picture" apart from "picture".
"""

from __future__ import annotations

import math
import re
from collections import Counter
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

from powergood.bench.intake_views import ComplaintChoice, ComplaintMatch
from powergood.knowledge.model import Complaint

CLEAR = 0.5
"""Score from which the best complaint is taken without asking (judgement)."""
CLEAR_BY = 0.1
"""By how much the best must lead the second for that (judgement)."""
OFFERED = 0.2
"""Score from which a complaint is offered at all (judgement)."""
COVERED = 0.35
"""Judgement: how much it counts that all phrases of a complaint together hold the typed words."""
MOST_CHOICES = 5

_IDLE_WORDS = """
    a an the is it its this that there to of on in at and or but i my me we he she they him her be been was
    were are am has have had do does did just when then so very quite really please some any with for from
    as if by will would can could get gets got old laptop computer machine
"""
_NOT_WORDS = """
    no not never nothing none nor without wont doesnt dont didnt cant cannot couldnt wouldnt isnt arent wasnt
    werent hasnt havent aint
"""
_IDLE = frozenset(_IDLE_WORDS.split())
_NOT = frozenset(_NOT_WORDS.split())
_SAME: Mapping[str, str] = {
    "display": "screen",
    "monitor": "screen",
    "lcd": "screen",
    "image": "picture",
    "blank": "black",
    "faint": "dim",
    "turn": "switch",
    "shut": "switch",
    "boot": "start",
    "harddisk": "disk",
    "harddrive": "disk",
    "hdd": "disk",
    "noise": "sound",
    "nois": "sound",
    "overheat": "hot",
    "warm": "hot",
    "batteri": "battery",
    "ram": "memory",
    "cdrom": "cd",
    "dvd": "cd",
    "disc": "cd",
    "touchpad": "pointer",
    "trackpad": "pointer",
    "mouse": "pointer",
    "trackball": "pointer",
}
_ONE_WORD: Mapping[str, str] = {"hard disk": "disk", "hard drive": "disk", "touch pad": "touchpad"}
"""Pairs of words that are one thing."""


def words_of(text: str) -> tuple[str, ...]:
    """Return the telling words of a text, folded: small letters, endings cut, doublets made one."""
    cleaned = text.lower().replace("'", "").replace("’", "")
    for pair, word in _ONE_WORD.items():
        cleaned = cleaned.replace(pair, word)
    found = re.findall(r"[a-z0-9]+", cleaned)
    folded = []
    for word in found:
        if word in _NOT:
            folded.append("not")
        elif word not in _IDLE:
            stem = _stem(word)
            folded.append(_SAME.get(word) or _SAME.get(stem, stem))
    return tuple(folded)


def _stem(word: str) -> str:
    for ending in ("ing", "ed", "es", "s"):
        if word.endswith(ending) and len(word) - len(ending) >= 3:
            cut = word[: -len(ending)]
            return cut[:-1] if len(cut) > 3 and cut[-1] == cut[-2] and cut[-1] not in "sl" else cut
    return word


@dataclass(frozen=True, slots=True)
class _Phrases:
    """Every phrase of every complaint as telling words, and how much each word weighs."""

    phrases: Mapping[str, tuple[frozenset[str], ...]]
    weights: Mapping[str, float]
    unseen: float

    def weight(self, words: Iterable[str]) -> float:
        """Return how much a set of words weighs; one that occurs nowhere weighs half the rarest."""
        return sum(self.weights.get(word, self.unseen) for word in words)

    def score(self, typed: frozenset[str], complaint: str) -> float:
        """Return how well typed words fit a complaint, 0 to 1: its best phrase, and all of them together."""
        phrases = self.phrases[complaint]
        together = frozenset().union(*phrases)
        if not typed or not together:
            return 0.0
        best = max(self._likeness(typed, phrase) for phrase in phrases)
        return (1.0 - COVERED) * best + COVERED * self.weight(typed & together) / self.weight(typed)

    def _likeness(self, typed: frozenset[str], phrase: frozenset[str]) -> float:
        """Return the shared weight over the geometric mean of both weights."""
        whole = math.sqrt(self.weight(typed) * self.weight(phrase))
        return self.weight(typed & phrase) / whole if whole else 0.0


def _phrases(complaints: Sequence[Complaint]) -> _Phrases:
    phrases = {
        each.id: tuple(frozenset(words_of(text)) for text in (each.words, *each.also)) for each in complaints
    }
    holders: Counter[str] = Counter()
    for known in phrases.values():
        holders.update(frozenset().union(*known))
    count = max(1, len(complaints))
    weights = {word: math.log(1.0 + count / held) for word, held in holders.items()}
    return _Phrases(phrases, weights, math.log(1.0 + count) / 2.0)


def matched(complaints: Sequence[Complaint], words: str) -> ComplaintMatch:
    """Return what `words` stand for among the known complaints; the words are kept whatever is found.

    When the best one is unclear its question comes with the match, and nothing is taken as best.
    """
    typed = frozenset(words_of(words))
    book = _phrases(complaints)
    scores = {each.id: book.score(typed, each.id) for each in complaints}
    by_id = {complaint.id: complaint for complaint in complaints}
    ranked = sorted(scores, key=lambda name: (-round(scores[name], 3), not by_id[name].ask, name))
    choices = tuple(
        ComplaintChoice(name, by_id[name].words, round(scores[name], 3))
        for name in ranked
        if scores[name] >= OFFERED
    )[:MOST_CHOICES]
    if not choices:
        return ComplaintMatch(words)
    lead = choices[0].score - (choices[1].score if len(choices) > 1 else 0.0)
    clear = choices[0].score >= CLEAR and lead >= CLEAR_BY
    return _settled(by_id[choices[0].complaint], words, choices, clear=clear)


def chosen(complaints: Sequence[Complaint], words: str, complaint: str) -> ComplaintMatch | None:
    """Return what a complaint picked by hand means, itself or its question; none when it is not known."""
    known = next((each for each in complaints if each.id == complaint), None)
    return None if known is None else _settled(known, words, (ComplaintChoice(known.id, known.words, 1.0),))


def _settled(
    best: Complaint, words: str, choices: tuple[ComplaintChoice, ...], *, clear: bool = True
) -> ComplaintMatch:
    if best.ask:
        answers = tuple(ComplaintChoice(answer.complaint, answer.words) for answer in best.answers)
        return ComplaintMatch(words, "", choices, best.ask, answers)
    return ComplaintMatch(words, best.id if clear else "", choices)

"""Words as a tired person types them, folded so that they can be compared with what is written.

What stands after a *no* is another word: "no picture" shares nothing with "picture". A *but*, an *and* or a
comma ends the reach of the *no*, so "no picture but backlight" is no picture, and light.
"""

from __future__ import annotations

import re
from collections.abc import Iterable
from typing import Final

from powergood.bench.complaint_words import words_of

NOT_REACH: Final = 2
"""Judgement: a *no* reaches this many telling words within its own clause."""

_CLAUSES: Final = re.compile(r"[,;:.()?]|\bbut\b|\band\b|\bthen\b|\bwith\b|\bwhen\b|\bonly\b|\bstill\b")
_GROUPS: Final = """
    backlight light lit glow
    dark dim dull faint black
    dead !power !switch !start !work !life
    capacitor electrolytic cap recap can
    supply psu power adapter brick
    burnt burn smoke fried fry bang pop burning
    leak crust corrosion corrod acid green verdigris
    click tick knock tapp
    chirp tweet squeal whine whistl
    freez hang crash lock stuck
    restart reboot reset
    garbl garbage corrupt scrambl checker rubbish
    stripe line bar band
    roll wobbl shak wav jitter
    date clock time
    battery cell pack
    led lamp light
    flash blink
    hum buzz
    block sector
    faulty bad broken defectiv
    floppy diskette
    key keyboard
    smell stink odour reek
    tube crt
    swollen swell bulg puff
    sticki sticky gooey tacky
    colour color
    grey gray
    tape cassette
    terminator terminat termination
    fuse blow trip breaker
    loud noisy grind rattl
    hot heat overheat warm
    crack broken smash snapp
    slow sluggish
    pointer cursor
    narrow small shrunk shrink thin
    joint solder
    cold morning
    cmos clock
    setting setup cmos
    wiggl loose wobbly
    charge charg
"""


def _roots() -> dict[str, tuple[str, ...]]:
    """Return for each word of the groups the others of its lines."""
    found: dict[str, set[str]] = {}
    for line in _GROUPS.strip().splitlines():
        for word in line.split():
            found.setdefault(word, set()).update(set(line.split()) - {word})
    return {word: tuple(sorted(others)) for word, others in found.items()}


_ROOTS: Final = _roots()

_THERE: Final = frozenset({"find", "found", "see", "seen", "detect", "recognis", "recogniz", "know", "known"})
"""Words that say of a thing only that it is there: a disk not found is no disk."""


def search_words(text: str) -> tuple[str, ...]:
    """Return the telling words of a text, those within the reach of a *no* marked with `!`."""
    found: list[str] = []
    for clause in _CLAUSES.split(text.lower().replace("-", " ")):
        found += _of_clause(words_of(clause))
    return tuple(found)


def _of_clause(words: tuple[str, ...]) -> list[str]:
    """Return the words of one clause, each with its `!` where a *no* reaches it."""
    found: list[str] = []
    reach = 0
    for word in words:
        if word == "not":
            reach = NOT_REACH
            continue
        found.append(f"!{word}" if reach else word)
        reach = max(0, reach - 1)
    if reach == NOT_REACH:
        found.append("!")
    things = [word for word in found if word.lstrip("!") not in _THERE]
    if things and any(word.startswith("!") and word[1:] in _THERE for word in found):
        return [word if word.startswith("!") else f"!{word}" for word in things]
    return found


def related(word: str) -> tuple[str, ...]:
    """Return words that mean nearly the same, as they stand after folding; a *no* stays a *no*."""
    if word in _ROOTS:
        return _ROOTS[word]
    if word.startswith("!") and word[1:] in _ROOTS:
        return tuple(f"!{other}" for other in _ROOTS[word[1:]] if not other.startswith("!"))
    return ()


def opposite(word: str) -> str:
    """Return the word that says the contrary: `picture` for `!picture`, and the other way round."""
    return word[1:] if word.startswith("!") else f"!{word}"


def all_words(texts: Iterable[str]) -> frozenset[str]:
    """Return the telling words of several texts together."""
    return frozenset(word for text in texts for word in search_words(text))

"""Words as a tired person types them, folded so that they can be compared with what is written.

What stands after a *no* is another word: "no picture" shares nothing with "picture". A *but*, an *and* or a
comma ends the reach of the *no*, so "no picture but backlight" is no picture, and light.
"""

from __future__ import annotations

import re
from functools import cache
from typing import Final

from powergood.bench.matching.trade_words import IDLE, IRREGULAR, NOT, PHRASES, SAME, THERE

NOT_REACH: Final = 2
"""Judgement: a *no* reaches this many telling words within its own clause."""
SHORTEST_STEM: Final = 3

_CLAUSES: Final = re.compile(r"[,;:.()?!]|\bbut\b|\band\b|\bthen\b|\bwith\b|\bwhen\b|\bonly\b|\bstill\b")
_PHRASES: Final = re.compile(
    r"\b(?:" + "|".join(map(re.escape, sorted(PHRASES, key=len, reverse=True))) + r")\b"
)


def folded(text: str) -> tuple[str, ...]:
    """Return the telling words of a text, those within the reach of a *no* marked with `!`."""
    plain = text.lower().replace("'", "").replace("’", "").replace("-", " ")
    plain = _PHRASES.sub(lambda found: PHRASES[found[0]], " ".join(plain.split()))
    return tuple(word for clause in _CLAUSES.split(plain) for word in _of_clause(clause))


def _of_clause(clause: str) -> list[str]:
    """Return the words of one clause, each with its `!` where a *no* reaches it."""
    found: list[str] = []
    reach = 0
    for word in re.findall(r"[a-z0-9]+", clause):
        if word in NOT:
            reach = NOT_REACH
        elif word not in IDLE:
            root = fold(word)
            found.append(f"!{root}" if reach else root)
            reach = max(0, reach - 1)
    if reach == NOT_REACH:
        found.append("!")
    return _not_there(found)


def _not_there(found: list[str]) -> list[str]:
    """Return the words of a clause; a disk not found is no disk."""
    things = [word for word in found if word.lstrip("!") not in _THERE]
    if things and any(word.startswith("!") and word[1:] in _THERE for word in found):
        return [word if word.startswith("!") else f"!{word}" for word in things]
    return found


@cache
def fold(word: str) -> str:
    """Return the root of one word: irregular forms made regular, the ending cut, doublets made one."""
    root = _stem(IRREGULAR.get(word, word))
    return _SAME.get(root, root)


def _stem(word: str) -> str:
    """Return a word without its ending: freeze, freezes, freezing and freezer's `freez` are one."""
    for ending, left in (("ies", "y"), ("ied", "y"), ("ing", ""), ("ed", ""), ("es", ""), ("s", "")):
        if (
            word.endswith(ending)
            and len(word) - len(ending) + len(left) >= SHORTEST_STEM
            and not word.endswith("ss")
        ):
            cut = word[: -len(ending)] + left
            word = (
                cut[:-1] if len(cut) > SHORTEST_STEM and cut[-1] == cut[-2] and cut[-1] not in "sl" else cut
            )
            break
    return word[:-1] if word.endswith("e") and len(word) > SHORTEST_STEM else word


_SAME: Final = {_stem(word): _stem(root) for word, root in SAME.items()}
_THERE: Final = frozenset(fold(word) for word in THERE)

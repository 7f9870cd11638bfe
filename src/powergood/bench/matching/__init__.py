"""Find what is known by the words a person types, alike wherever words are typed.

    folded(text) -> tuple[str, ...]       the telling words, endings cut, what a *no* reaches marked
    entry(key, (counts, text), ...)       something that can be found, with the phrases it is found by
    Index(entries).hits(words)            what fits, best first
    good_enough(hits)                     those worth showing in a list

Complaints, looks, mends and pages of know-how are all found by this one measure; each user says only which
phrases lead to a thing, how much each counts, and from which score it is shown.
"""

from __future__ import annotations

from powergood.bench.matching.folding import folded
from powergood.bench.matching.index import Entry, Hit, Index, entry, good_enough

__all__ = ["Entry", "Hit", "Index", "entry", "folded", "good_enough"]

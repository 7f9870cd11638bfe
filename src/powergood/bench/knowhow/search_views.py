"""What a search of the know-how finds."""

from __future__ import annotations

from dataclasses import dataclass

from powergood.bench.knowhow.number_views import Named


@dataclass(frozen=True, slots=True)
class FoundLine:
    """One thing that fits what was looked for, wherever it is known.

    what : complaint, fault, check or machine.
    title : its words.
    places : where it is known: page address and name of the family or sheet.
    because : the words that fitted, where they are not the title.
    """

    what: str
    title: str
    places: tuple[Named, ...]
    because: str = ""


@dataclass(frozen=True, slots=True)
class SearchView:
    """What fits some words.

    words : as typed.
    kind : the family or sheet looked in; empty for all.
    kind_title : its name.
    found : what fits, best first.
    """

    words: str
    kind: str
    kind_title: str
    found: tuple[FoundLine, ...]

"""One box: what a person types, and the complaints, faults, checks and machines that fit it."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import Final

from powergood.bench.knowhow.search_index import Hit, Index, Thing, things_of
from powergood.bench.knowhow.views import FoundLine, Named, SearchView
from powergood.bench.library import Kept, Library
from powergood.bench.workshop import Workshop

MOST_FOUND: Final = 15
FITS_FROM: Final = 0.25
"""Judgement: what fits less is not shown."""
BESIDE_BEST: Final = 0.5
"""Judgement: what fits less than this share of the best is not shown either."""

_INDEXES: Final[Kept[Index]] = Kept(16)


def search(ws: Workshop, words: str, kind: str = "") -> SearchView:
    """Return what fits typed words, in one kind of machine or, without one, in all families.

    The same thing known of several families is one line that names them all.

    Raises
    ------
    UnknownThing : there is no such kind.
    """
    library = ws.library
    hits = _index(library, kind).hits(words)
    title = library.known(kind).model.title if kind else ""
    return SearchView(words, kind, title, tuple(_lines(library, hits))[:MOST_FOUND])


def _index(library: Library, kind: str) -> Index:
    kinds = (kind,) if kind else tuple(name for pack in library.packs for name in pack.families)
    known = {name: library.known(name) for name in kinds}
    sheets = [] if kind else [name for name in library.names() if library.sheet(name)]
    key = (tuple((name, each.model.digest) for name, each in known.items()), tuple(sheets))
    return _INDEXES.get(
        key, lambda: Index(thing for name in (*kinds, *sheets) for thing in _things(library, name, kinds))
    )


def _things(library: Library, name: str, whole: Iterable[str]) -> list[Thing]:
    """Return what can be found of a kind; of a sheet, beside its family, the sheet alone."""
    found = list(things_of(name, library.known(name)))
    return found if name in whole else found[:1]


def _lines(library: Library, hits: Sequence[Hit]) -> list[FoundLine]:
    """Return a line for each thing that fits well enough, the same thing of several families in one."""
    least = max(FITS_FROM, BESIDE_BEST * hits[0].score) if hits else FITS_FROM
    merged: dict[tuple[str, str], FoundLine] = {}
    for hit in hits:
        thing = hit.thing
        if hit.score < least:
            continue
        place = Named(thing.address, library.title(thing.kind))
        line = merged.get((thing.what, thing.title))
        because = hit.phrase if hit.phrase != thing.title else ""
        places = (*line.places, place) if line else (place,)
        merged[thing.what, thing.title] = FoundLine(
            thing.what, thing.title, places, line.because if line else because
        )
    return list(merged.values())

"""One box: what a person types, and the complaints, faults, checks and machines that fit it."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import Final

from powergood.bench.knowhow.search_index import Thing, things_of
from powergood.bench.knowhow.views import FoundLine, Named, SearchView
from powergood.bench.library import Kept, Library
from powergood.bench.matching import Index, entry, good_enough
from powergood.bench.workshop import Workshop

MOST_FOUND: Final = 15


@dataclass(frozen=True, slots=True)
class _Shelf:
    """All that can be found, by the address of its page."""

    things: Mapping[str, Thing]
    index: Index


_INDEXES: Final[Kept[_Shelf]] = Kept(16)


def search(ws: Workshop, words: str, kind: str = "") -> SearchView:
    """Return what fits typed words, in one kind of machine or, without one, in all families.

    The same thing known of several families is one line that names them all.

    Raises
    ------
    UnknownThing : there is no such kind.
    """
    library = ws.library
    shelf = _shelf(library, kind)
    title = library.known(kind).model.title if kind else ""
    return SearchView(words, kind, title, tuple(_lines(library, shelf, words))[:MOST_FOUND])


def _shelf(library: Library, kind: str) -> _Shelf:
    kinds = (kind,) if kind else tuple(name for pack in library.packs for name in pack.families)
    known = {name: library.known(name) for name in kinds}
    sheets = [] if kind else [name for name in library.names() if library.sheet(name)]
    key = (tuple((name, each.model.digest) for name, each in known.items()), tuple(sheets))
    return _INDEXES.get(
        key, lambda: _filled(thing for name in (*kinds, *sheets) for thing in _things(library, name, kinds))
    )


def _filled(things: Iterable[Thing]) -> _Shelf:
    by_address = {each.address: each for each in sorted(things, key=lambda each: (each.title, each.address))}
    return _Shelf(by_address, Index(entry(each.address, *each.said) for each in by_address.values()))


def _things(library: Library, name: str, whole: Iterable[str]) -> list[Thing]:
    """Return what can be found of a kind; of a sheet, beside its family, the sheet alone."""
    found = list(things_of(name, library.known(name)))
    return found if name in whole else found[:1]


def _lines(library: Library, shelf: _Shelf, words: str) -> list[FoundLine]:
    """Return a line for each thing that fits well enough, the same thing of several families in one."""
    merged: dict[tuple[str, str], FoundLine] = {}
    for hit in good_enough(shelf.index.hits(words)):
        thing = shelf.things[hit.key]
        place = Named(thing.address, library.title(thing.kind))
        line = merged.get((thing.what, thing.title))
        because = hit.phrase if hit.phrase != thing.title else ""
        places = (*line.places, place) if line else (place,)
        merged[thing.what, thing.title] = FoundLine(
            thing.what, thing.title, places, line.because if line else because
        )
    return list(merged.values())

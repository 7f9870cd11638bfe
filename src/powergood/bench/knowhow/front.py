"""The first page of what is known: families, and their model sheets."""

from __future__ import annotations

from powergood.bench.knowhow.views import FamilyLine, FrontView, Named
from powergood.bench.library import Library
from powergood.bench.workshop import Workshop


def front(ws: Workshop) -> FrontView:
    """Return all families with their model sheets, by title."""
    library = ws.library
    names = [name for pack in library.packs for name in pack.families]
    lines = []
    for name in names:
        known = library.known(name)
        lines.append(
            FamilyLine(
                name,
                known.family.title,
                known.family.years,
                len(known.model.faults),
                len(known.model.checks),
                sheets_of(library, name),
            )
        )
    return FrontView(tuple(sorted(lines, key=lambda line: line.title)), library.troubles)


def sheets_of(library: Library, family: str) -> tuple[Named, ...]:
    """Return the model sheets of a family, by title."""
    found = (
        Named(sheet.id, sheet.title)
        for pack in library.packs
        for sheet in pack.sheets.values()
        if sheet.family == family
    )
    return tuple(sorted(found, key=lambda each: each.title))

"""Read a model sheet: slots, openings, cells, boot routes, weak points, healthy readings; and as a file."""

from __future__ import annotations

from pathlib import Path
from typing import TypeAlias

from powergood.bench.editions import edition_lines
from powergood.bench.knowhow.numbers import source_line
from powergood.bench.knowhow.reading import named
from powergood.bench.library import Known, Library
from powergood.bench.machine_views import CellLine
from powergood.bench.modelsheets.differences import overrides
from powergood.bench.modelsheets.limit_rows import limit_rows, limits_of
from powergood.bench.modelsheets.views import (
    HealthyLine,
    OpeningLine,
    SheetCard,
    SheetView,
    SlotLine,
)
from powergood.bench.workshop import Workshop
from powergood.errors import UnknownThing
from powergood.knowledge.model import ModelSheet
from powergood.packs.own_sheets import own_file, sheet_problems
from powergood.packs.sheet_text import sheet_text

Shelf: TypeAlias = Workshop | Library
"""Where sheets are read from: a workshop, or what ships where there is none."""


def sheets(shelf: Shelf) -> tuple[SheetCard, ...]:
    """Return every model sheet, by title."""
    library = _library(shelf)
    found = (given for name in library.names() if (given := library.sheet(name)))
    return tuple(
        SheetCard(each.id, each.title, each.year, named(each.family, library), is_own(shelf, each.id))
        for each in found
    )


def _library(shelf: Shelf) -> Library:
    return shelf if isinstance(shelf, Library) else shelf.library


def kept_in(ws: Workshop, name: str) -> Path:
    """Return the file in which an own sheet lies."""
    return own_file(ws.store.folder, name)


def sheet(shelf: Shelf, name: str) -> SheetView:
    """Return a model sheet as a person reads it.

    Raises
    ------
    UnknownThing : no sheet has that id.
    """
    given, library = known_sheet(shelf, name), _library(shelf)
    known, usual = library.known(name), library.known(given.family)
    model = known.model
    editions = edition_lines(known.family)
    return SheetView(
        sheet=given.id,
        title=given.title,
        make=given.make,
        year=given.year,
        family=named(given.family, library),
        own=is_own(shelf, name),
        slots=_slots(known, usual),
        openings=_openings(known, given),
        cells=tuple(CellLine(c.id, c.title, c.kind, c.place, c.polarity) for c in model.cells),
        boot_routes=given.boot_routes,
        weak_points=given.weak_points,
        healthy=tuple(HealthyLine(what, reading) for what, reading in given.healthy.items()),
        changes=_changes(given, usual),
        overrides=tuple(overrides(given, usual.model)),
        sources=tuple(source_line(model, source.id) for source in given.sources),
        note=given.note,
        editions=editions,
        edition=next((each for each in editions if each.edition == given.edition), None),
        limits=limit_rows(given, model, usual.model),
        compared=tuple(dict.fromkeys(each.healthy for each in limits_of(model).values() if each.healthy)),
        doubts=_doubts(given, library),
    )


def _doubts(given: ModelSheet, library: Library) -> tuple[str, ...]:
    """Return what is told of the sheet's own limits at first power, each with the reading it is of."""
    found = sheet_problems(given, library.packs) if given.limits else ()
    told = [each for each in found if each.where.path[:1] == ("limits",)]
    return tuple(f"{each.where.path[1]}: {each.message}." for each in told)


def known_sheet(shelf: Shelf, name: str) -> ModelSheet:
    """Return the sheet of that id, or raise UnknownThing with what to do."""
    found = _library(shelf).sheet(name)
    if found is None:
        raise UnknownThing(f"No model sheet is called {name!r}. All sheets are listed under Know-how.")
    return found


def is_own(shelf: Shelf, name: str) -> bool:
    """Tell whether a sheet lies in this workshop, so that it may be changed here."""
    return isinstance(shelf, Workshop) and own_file(shelf.store.folder, name).is_file()


def sheet_file(shelf: Shelf, name: str) -> tuple[str, str]:
    """Return a sheet as one file: its name, and its text.

    Raises
    ------
    UnknownThing : no sheet has that id.
    """
    given = known_sheet(shelf, name)
    return f"{given.id}.yaml", sheet_text(given)


def _slots(known: Known, usual: Known) -> tuple[SlotLine, ...]:
    """Return every part of the family and of the sheet, those that differ first."""
    here = {part.id: part for part in known.model.parts}
    there = {part.id: part for part in usual.model.parts}
    lines = []
    for name, part in {**there, **here}.items():
        copies = here[name].copies if name in here else 0
        before = there[name].copies if name in there else 0
        opening = known.words.opening(part.opening) if part.opening else ""
        lines.append(SlotLine(name, part.title, copies, before, opening))
    return tuple(sorted(lines, key=lambda line: line.copies == line.usual))


def _openings(known: Known, given: ModelSheet) -> tuple[OpeningLine, ...]:
    own = {each.id for each in given.openings}
    ordered = sorted(known.model.openings, key=lambda each: (each.layer, each.id))
    return tuple(
        OpeningLine(
            opening=each.id,
            title=each.title,
            behind=tuple(known.words.opening(name) for name in each.behind),
            fasteners=each.fasteners,
            minutes=each.minutes.value,
            refit=each.refit.value,
            source=source_line(known.model, each.minutes.source),
            own=each.id in own,
        )
        for each in ordered
    )


def _changes(given: ModelSheet, usual: Known) -> tuple[str, ...]:
    words = usual.words
    said = []
    for fault in given.faults:
        said.append(f"{'Other' if fault.id in words.faults else 'New'} fault: {fault.title}")
    for check in given.checks:
        said.append(f"{'Other' if check.id in words.checks else 'New'} check: {check.ask}")
    for fix in given.fixes:
        said.append(f"{'Other' if fix.id in words.fixes else 'New'} way to mend: {fix.do}")
    return tuple(said)

"""Make a model sheet of your own from a family or another sheet, and keep it in the workshop's folder."""

from __future__ import annotations

import re
import unicodedata
from dataclasses import replace

from powergood.bench.library import Library
from powergood.bench.modelsheets.reading import is_own, known_sheet
from powergood.bench.workshop import Workshop
from powergood.errors import BadInput
from powergood.knowledge.model import ModelSheet
from powergood.packs.formats import FORMAT
from powergood.packs.own_sheets import own_file, with_sheet
from powergood.packs.sheet_text import sheet_text
from powergood.store.durable import write_durably

LONGEST_ID = 60


def make_sheet(ws: Workshop, origin: str, *, title: str, make: str = "", year: int = 0) -> str:
    """Make an own sheet from a family, or as a copy of a sheet, and return its id.

    A copy keeps the other's maker and year where none is given.

    Raises
    ------
    UnknownThing : no pack has the family or sheet.
    BadInput : it has no title.
    """
    if not title.strip():
        raise BadInput("Give the model a name, as it stands on its label.")
    library = ws.library
    given = library.sheet(origin)
    if given is None:
        family = library.known(origin).family.id
        given = ModelSheet(FORMAT, "", "", family)
    made = replace(
        given,
        id=_free_id(library, title),
        title=title.strip(),
        make=make.strip() or given.make,
        year=year or given.year,
    )
    keep(ws, made)
    return made.id


def keep(ws: Workshop, sheet: ModelSheet) -> None:
    """Write an own sheet to its file, whole or not at all, and let the library know it.

    Whoever calls this has seen to it that the sheet is sound and its id is free or an own sheet's.
    """
    write_durably(own_file(ws.store.folder, sheet.id), sheet_text(sheet).encode())
    packs = [with_sheet(pack, sheet) for pack in ws.library.packs]
    ws.library = Library(packs, ws.library.troubles)


def _free_id(library: Library, title: str) -> str:
    """Return an id made of the title's letters and digits that no family or sheet has."""
    plain = unicodedata.normalize("NFKD", title).encode("ascii", "ignore").decode()
    base = re.sub(r"[^a-z0-9]+", "-", plain.lower()).strip("-")[:LONGEST_ID] or "sheet"
    taken = set(library.names())
    return next(
        name for name in (base, *(f"{base}-{number}" for number in range(2, 10_000))) if name not in taken
    )


def own_or_refuse(ws: Workshop, name: str) -> ModelSheet:
    """Return an own sheet; refuse one that ships with a pack, and one that is not there."""
    found = known_sheet(ws, name)
    if not is_own(ws, name):
        raise BadInput(f"The sheet {found.title} belongs to a pack. Make a sheet of your own from it first.")
    return found

"""Take in a model sheet from a file: first what it would change and where it clashes, then do it."""

from __future__ import annotations

from powergood.bench.modelsheets.differences import changes
from powergood.bench.modelsheets.making import keep
from powergood.bench.modelsheets.reading import is_own
from powergood.bench.modelsheets.views import ComparedSheet
from powergood.bench.workshop import Workshop
from powergood.errors import BadInput
from powergood.knowledge.digest import digest
from powergood.knowledge.model import ModelSheet
from powergood.packs.own_sheets import ReadSheet, clash_with, sheet_of_text

SHOWN_AS = "the file"


def compare_sheet(ws: Workshop, text: str) -> ComparedSheet:
    """Return what taking a sheet's file in would change, and why it cannot be; nothing is written."""
    read = sheet_of_text(text, SHOWN_AS, ws.library.packs)
    warnings = tuple(str(issue) for issue in read.issues if issue.severity == "warning")
    if read.sheet is None:
        mistakes = tuple(str(issue) for issue in read.errors)
        return ComparedSheet("", "", "", False, "", mistakes, warnings, ())
    given = read.sheet
    here = ws.library.sheet(given.id)
    family = ws.library.known(given.family)
    before = here or ModelSheet(given.format, given.id, "", given.family)
    return ComparedSheet(
        sheet=given.id,
        title=given.title,
        against=f"the sheet here, {here.title}" if here else f"its family, {family.family.title}",
        new=here is None,
        clash=_clash(ws, given, here),
        mistakes=(),
        warnings=warnings,
        changes=tuple(changes(before, given)),
        stamp=digest(before, given),
    )


def take_in_sheet(ws: Workshop, text: str) -> str:
    """Keep a sheet's file in this workshop and return the sheet's id.

    Raises
    ------
    BadInput : it has mistakes, or clashes with what is here; nothing was written.
    """
    read: ReadSheet = sheet_of_text(text, SHOWN_AS, ws.library.packs)
    if read.sheet is None:
        raise BadInput("The sheet cannot be used: " + "; ".join(str(issue) for issue in read.errors))
    clash = _clash(ws, read.sheet, ws.library.sheet(read.sheet.id))
    if clash:
        raise BadInput(clash)
    keep(ws, read.sheet)
    return read.sheet.id


def _clash(ws: Workshop, given: ModelSheet, here: ModelSheet | None) -> str:
    """Return why a sheet cannot be taken in beside what is here; an own sheet may be replaced."""
    if here is not None and is_own(ws, given.id):
        if here.family != given.family:
            return (
                f"The sheet here is of the family `{here.family}`, the file's of `{given.family}`. "
                "Give one of the two another id."
            )
        return ""
    clash = clash_with(given.id, ws.library.packs)
    return clash[:1].upper() + clash[1:] + "." if clash else ""

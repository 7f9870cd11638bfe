"""Take in a model sheet from a file: first what it would change and where it clashes, then do it."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import fields, is_dataclass

from powergood.bench.modelsheets.making import keep
from powergood.bench.modelsheets.reading import is_own
from powergood.bench.modelsheets.views import ChangeLine, ComparedSheet
from powergood.bench.workshop import Workshop
from powergood.errors import BadInput
from powergood.knowledge.digest import digest
from powergood.knowledge.model import Claim, ModelSheet
from powergood.packs.own_sheets import ReadSheet, clash_with, sheet_of_text
from powergood.packs.sheet_text import claim_text

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
        changes=tuple(_changes(before, given)),
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


def _changes(before: ModelSheet, after: ModelSheet) -> Iterator[ChangeLine]:
    """Yield what differs between two sheets, item by item where items have ids or names."""
    for each in fields(ModelSheet):
        old, new = getattr(before, each.name), getattr(after, each.name)
        title = each.name.replace("_", " ")
        if each.name in ("format", "id", "family") or old == new:
            continue
        if isinstance(new, Mapping) or _has_ids(old) or _has_ids(new):
            yield from _by_name(title, _named(old), _named(new))
        else:
            yield ChangeLine(title, _words(old), _words(new))


def _has_ids(value: object) -> bool:
    return isinstance(value, tuple) and bool(value) and all(hasattr(item, "id") for item in value)


def _named(value: object) -> dict[str, object]:
    if isinstance(value, Mapping):
        return dict(value)
    return {item.id: item for item in value} if isinstance(value, tuple) else {}


def _by_name(title: str, old: Mapping[str, object], new: Mapping[str, object]) -> Iterator[ChangeLine]:
    for name in {**old, **new}:
        before, after = old.get(name), new.get(name)
        if before == after:
            continue
        if is_dataclass(before) and is_dataclass(after) and not isinstance(before, type):
            for each in fields(before):
                was, now = getattr(before, each.name), getattr(after, each.name)
                if was != now:
                    yield ChangeLine(f"{title}, {name}: {each.name}", _words(was), _words(now))
        else:
            yield ChangeLine(f"{title}, {name}", _words(before), _words(after))


def _words(value: object) -> str:
    """Return a value in words, short enough for a line."""
    if value is None or value == () or value == 0:
        return ""
    if isinstance(value, Claim):
        return claim_text(value)
    if isinstance(value, tuple):
        return "; ".join(_words(item) for item in value)
    if isinstance(value, Mapping):
        return "; ".join(f"{name}: {_words(item)}" for name, item in value.items())
    if is_dataclass(value) and not isinstance(value, type):
        said = ((each.name, _words(getattr(value, each.name))) for each in fields(value) if each.name != "id")
        return ", ".join(f"{name} {words}" for name, words in said if words)
    return str(value)

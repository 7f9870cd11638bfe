"""What may be named on the form of a sheet: the parts, functions, signs, faults and ways in of its model."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import Protocol

from powergood.bench.knowhow.views import Named
from powergood.bench.modelsheets.fault_rows import FREQUENCIES
from powergood.bench.modelsheets.fix_rows import KINDS, NEW_FAULT
from powergood.bench.modelsheets.views import SheetChoices
from powergood.bench.workshop import Workshop


class _Titled(Protocol):
    """Anything of a machine that has an id and a title."""

    @property
    def id(self) -> str: ...
    @property
    def title(self) -> str: ...


def sheet_choices(ws: Workshop, name: str) -> SheetChoices:
    """Return what may be named on the form of a sheet, each by its title.

    Raises
    ------
    UnknownThing : there is no such sheet.
    """
    model = ws.library.known(name).model
    return SheetChoices(
        parts=_named(model.parts),
        functions=_named(model.functions),
        signs=_named(model.signs),
        faults=(*_named(model.faults), Named(NEW_FAULT, "The new fault, above")),
        cautions=_named(model.cautions),
        openings=_named(model.openings),
        kinds=tuple(Named(kind, kind.capitalize()) for kind in KINDS),
        frequencies=_of(FREQUENCIES),
    )


def _named(things: Iterable[_Titled]) -> tuple[Named, ...]:
    return tuple(sorted((Named(each.id, each.title) for each in things), key=lambda each: each.title.lower()))


def _of(words: Mapping[str, str]) -> tuple[Named, ...]:
    return tuple(Named(value, title) for value, title in words.items())

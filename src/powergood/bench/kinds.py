"""The kinds of machine one can take in: the model sheets and families of the pack."""

from __future__ import annotations

from powergood.bench.intake_views import IntakeLine, Kind, WantedFunction
from powergood.bench.library import Known
from powergood.bench.workshop import Workshop
from powergood.knowledge.model import IntakeFact


def kinds(ws: Workshop) -> tuple[Kind, ...]:
    """Return the kinds of machine one can take in: model sheets first, then whole families."""
    return tuple(_kind(ws, name) for name in ws.library.names())


def _kind(ws: Workshop, name: str) -> Kind:
    known = ws.library.known(name)
    sheet, family = ws.library.sheet(name), known.family
    asked = [each for each in known.model.intake if not by_year(each)]
    return Kind(
        sheet=name,
        title=sheet.title if sheet else family.title,
        family=family.title,
        make=sheet.make if sheet else "",
        year=sheet.year if sheet else 0,
        years=family.years,
        whole_family=sheet is None,
        note=sheet.note if sheet else family.note,
        intake=tuple(IntakeLine(each.id, each.ask, "not asked") for each in asked),
        functions=functions_of(known),
    )


def functions_of(known: Known) -> tuple[WantedFunction, ...]:
    """Return the functions a job on this kind of machine can ask for, the usual ones first."""
    listed = sorted(known.model.functions, key=lambda each: not each.wanted)
    return tuple(WantedFunction(each.id, each.title, each.wanted) for each in listed)


def by_year(fact: IntakeFact) -> bool:
    """Tell whether a take-in question is answered by the machine's year, so that nobody is asked."""
    return bool(fact.from_year or fact.to_year)

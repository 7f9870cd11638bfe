"""Change an own model sheet by the fields of its form; each problem is told beside its field.

Fields by name: `title`, `make`, `year`, `note`, `boot_routes`, `weak_points`, `healthy` (one to a line, a
reading as `what: reading`), `copies:PART`; for each opening `title:ID`, `minutes:ID`, `refit:ID`,
`fasteners:ID`; for each cell, old or new, `cell:PLACE:FIELD`.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import replace
from typing import Final

from powergood.bench.modelsheets.making import keep, own_or_refuse
from powergood.bench.workshop import Workshop
from powergood.knowledge.model import Cell, Claim, MachineModel, ModelSheet, Opening
from powergood.knowledge.problems import Problem
from powergood.packs.own_sheets import sheet_problems

MOST_COPIES: Final = 32
MOST_MINUTES: Final = 600
NEW_CELLS: Final = 2
"""How many empty rows the form has for further cells."""
CELL_FIELDS: Final = ("title", "kind", "place", "polarity")
EARLIEST, LATEST = 1940, 2100
OWN_SOURCE: Final = "judgement"
"""The source of minutes typed into the form: the person's own."""


def sheet_form(ws: Workshop, name: str) -> dict[str, str]:
    """Return an own sheet as the fields of its form.

    Raises
    ------
    UnknownThing : there is no such sheet. BadInput : it belongs to a pack.
    """
    given, model = own_or_refuse(ws, name), ws.library.known(name).model
    usual = ws.library.known(given.family).model
    fields = {
        "title": given.title,
        "make": given.make,
        "year": str(given.year or ""),
        "note": given.note,
        "boot_routes": "\n".join(given.boot_routes),
        "weak_points": "\n".join(given.weak_points),
        "healthy": "\n".join(f"{what}: {reading}" for what, reading in given.healthy.items()),
    }
    copies = {part.id: 0 for part in usual.parts} | {part.id: part.copies for part in model.parts}
    fields |= {f"copies:{part}": str(count) for part, count in copies.items()}
    for each in model.openings:
        fields |= {
            f"title:{each.id}": each.title,
            f"minutes:{each.id}": f"{each.minutes.value:g}",
            f"refit:{each.id}": f"{each.refit.value:g}",
            f"fasteners:{each.id}": "\n".join(each.fasteners),
        }
    empty = [Cell("", "", "", "")] * NEW_CELLS
    for place, cell in enumerate([*model.cells, *empty]):
        fields |= {f"cell:{place}:{what}": getattr(cell, what) for what in CELL_FIELDS}
    return fields


def change_sheet(ws: Workshop, name: str, fields: Mapping[str, str]) -> dict[str, str]:
    """Change an own sheet and return the problems by field; it is kept when there are none.

    Raises
    ------
    UnknownThing : there is no such sheet. BadInput : it belongs to a pack.
    """
    given = own_or_refuse(ws, name)
    form = _Form({**sheet_form(ws, name), **fields})
    changed = _changed(form, given, ws.library.known(name).model, ws.library.known(given.family).model)
    if not form.problems:
        for problem in sheet_problems(changed, ws.library.packs):
            if problem.severity == "error":
                form.problems.setdefault(_field_of(problem, fields), _sentence(problem))
    if not form.problems:
        keep(ws, changed)
    return form.problems


class _Form:
    """Fields being read, with the problems found."""

    def __init__(self, fields: Mapping[str, str]) -> None:
        self.fields = fields
        self.problems: dict[str, str] = {}

    def line(self, name: str, needed: str = "") -> str:
        value = " ".join(self.fields.get(name, "").split())
        if not value and needed:
            self.problems[name] = needed
        return value

    def lines(self, name: str) -> tuple[str, ...]:
        found = (" ".join(line.split()) for line in self.fields.get(name, "").splitlines())
        return tuple(line for line in found if line)

    def whole(self, name: str, least: int, most: int) -> int:
        value = self.line(name) or "0"
        if value.isascii() and value.isdigit() and len(value) < 6 and least <= int(value) <= most:
            return int(value)
        self.problems[name] = f"“{value[:30]}” is not a whole number from {least} to {most}."
        return 0

    def year(self) -> int:
        return self.whole("year", EARLIEST, LATEST) if self.line("year") else 0

    def minutes(self, name: str, was: Claim) -> Claim:
        value = self.line(name).replace(",", ".")
        if not re.fullmatch(r"[0-9]{1,3}(\.[0-9]{1,3})?", value) or not 0 < float(value) <= MOST_MINUTES:
            self.problems[name] = f"“{value[:30]}” is not a number of minutes up to {MOST_MINUTES}."
            return was
        return was if f"{was.value:g}" == f"{float(value):g}" else Claim(float(value), OWN_SOURCE)

    def pairs(self, name: str) -> dict[str, str]:
        found: dict[str, str] = {}
        for line in self.lines(name):
            what, colon, reading = (part.strip() for part in line.partition(":"))
            if not (what and colon and reading):
                self.problems[name] = f"“{line[:40]}”: write what is measured, a colon, and the reading."
            elif what in found:
                self.problems[name] = f"“{what[:40]}” stands there twice."
            found[what] = reading
        return found


def _changed(form: _Form, given: ModelSheet, model: MachineModel, usual: MachineModel) -> ModelSheet:
    openings = {each.id: each for each in given.openings}
    openings |= {each.id: each for each in _openings(form, model.openings)}
    return replace(
        given,
        title=form.line("title", needed="The model needs a name."),
        make=form.line("make"),
        year=form.year(),
        note=form.line("note"),
        boot_routes=form.lines("boot_routes"),
        weak_points=form.lines("weak_points"),
        healthy=form.pairs("healthy"),
        copies=_copies(form, given, model, usual),
        openings=tuple(openings.values()),
        cells=tuple(_cells(form, given, model.cells, usual.cells)),
    )


def _copies(form: _Form, given: ModelSheet, model: MachineModel, usual: MachineModel) -> dict[str, int]:
    """Return the copies that differ from the family's, with those the sheet said before."""
    families = {part.id: part.copies for part in usual.parts}
    found = dict(given.copies)
    for part in dict.fromkeys([*families, *(each.id for each in model.parts)]):
        count = form.whole(f"copies:{part}", 0, MOST_COPIES)
        if count != families.get(part, 1) or part in found:
            found[part] = count
    return {part: count for part, count in found.items() if count != families.get(part, 1)}


def _openings(form: _Form, known: Iterable[Opening]) -> Iterator[Opening]:
    """Yield each opening that the form says something else of."""
    for each in known:
        said = replace(
            each,
            title=form.line(f"title:{each.id}", needed="The opening needs a name."),
            minutes=form.minutes(f"minutes:{each.id}", each.minutes),
            refit=form.minutes(f"refit:{each.id}", each.refit),
            fasteners=form.lines(f"fasteners:{each.id}"),
        )
        if said != each:
            yield said


def _cells(form: _Form, given: ModelSheet, known: tuple[Cell, ...], usual: tuple[Cell, ...]) -> list[Cell]:
    """Return the cells that the sheet says itself: those it said before, and what the form says anew.

    A row with no words takes a cell of the sheet's own away; one of the family's has to say so in words.
    """
    own = {cell.id: cell for cell in given.cells}
    families = {cell.id for cell in usual}
    taken = {cell.id for cell in known}
    for place in range(len(known) + NEW_CELLS):
        at = f"cell:{place}:"
        said = {what: form.line(at + what) for what in CELL_FIELDS}
        was = known[place] if place < len(known) else None
        if any(said.values()):
            for what, words in (("title", "a name"), ("kind", "its type"), ("place", "its place")):
                if not said[what]:
                    form.problems[at + what] = f"Give the cell {words}."
            cell = replace(was, **said) if was else Cell(_free_cell(said["title"], taken), **said)
            if cell != was:
                own[cell.id] = cell
        elif was is not None and was.id in families:
            form.problems[at + "title"] = (
                "The family has this cell. If this model has none, say so as its type."
            )
        elif was is not None:
            own.pop(was.id, None)
    return list(own.values())


def _free_cell(title: str, taken: set[str]) -> str:
    """Return an id for a new cell that no other has, and take it."""
    base = re.sub(r"[^a-z0-9]+", "-", title.lower()).strip("-") or "cell"
    name = next(name for name in (base, *(f"{base}-{n}" for n in range(2, 100))) if name not in taken)
    taken.add(name)
    return name


def _field_of(problem: Problem, fields: Mapping[str, str]) -> str:
    """Return the field that a problem is about; `title` for one that no field of the form can mend."""
    path = [str(step) for step in problem.where.path]
    if path[:1] == ["openings"] and len(path) > 1:
        what = path[2] if len(path) > 2 and path[2] in ("title", "minutes", "refit", "fasteners") else "title"
        return f"{what}:{path[1]}"
    if path[:1] == ["copies"] and len(path) > 1:
        return f"copies:{path[1]}"
    return path[0] if path and path[0] in fields else "title"


def _sentence(problem: Problem) -> str:
    return problem.message[:1].upper() + problem.message[1:].rstrip(".") + "."

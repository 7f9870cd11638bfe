"""Change an own model sheet by the fields of its form; each problem is told beside its field.

Fields by name: `title`, `make`, `year`, `note`, `boot_routes`, `weak_points`, `healthy` (one to a line, a
reading as `what: reading`), `copies:PART`; for each cell, old or new, `cell:PLACE:FIELD`; for openings,
faults, fixes, limits and sources as `opening_rows`, `limit_rows` and `source_rows` say. `shown` names the
sheet as it stood when the form was shown: rows go by their place, so a form of an older sheet is not taken.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import replace
from typing import Final

from powergood.bench.library import Known
from powergood.bench.modelsheets.fault_rows import fault_fields, faults
from powergood.bench.modelsheets.fix_rows import fix_fields, fixes
from powergood.bench.modelsheets.form import Form, free_id
from powergood.bench.modelsheets.limit_rows import SIDES, edition_and_limits, limit_fields
from powergood.bench.modelsheets.making import keep, own_or_refuse
from powergood.bench.modelsheets.opening_rows import opening_fields, openings_and_parts
from powergood.bench.modelsheets.source_rows import source_fields, sources
from powergood.bench.workshop import Workshop
from powergood.ids import part_of
from powergood.knowledge.digest import digest
from powergood.knowledge.model import Cell, Fix, MachineModel, ModelSheet
from powergood.knowledge.problems import Problem
from powergood.packs.own_sheets import sheet_problems

MOST_COPIES: Final = 32
NEW_CELLS: Final = 2
"""How many empty rows the form has for further cells."""
SHOWN: Final = "shown"
CHANGED_MEANWHILE: Final = (
    "The sheet was changed since this form was shown: by pressing twice, or on another device. Open the sheet"
    " in another window to see how it stands, then change it again from there; what you typed is still here."
)
CELL_FIELDS: Final = ("title", "kind", "place", "polarity")

PLAIN: Final[Mapping[str, tuple[str, str]]] = {
    "fault-seen": (
        "breaks:0:of",
        "Nothing here would show it: say what it stops or shows that a check looks at.",
    ),
    "fault-cured": ("title", "Nothing mends it: add a way to mend that cures it or replaces its part."),
    "fix-does": ("cures:0:of", "Say what it cures, or the part it replaces."),
    "danger-warned": ("cautions", "This part can hurt you: name the caution to show, one to a line."),
}
"""For rules that a person meets on the form: the field of the row that mends it, and the words for it."""


def sheet_form(ws: Workshop, name: str) -> dict[str, str]:
    """Return an own sheet as the fields of its form.

    Raises
    ------
    UnknownThing : there is no such sheet. BadInput : it belongs to a pack.
    """
    given, model = own_or_refuse(ws, name), ws.library.known(name).model
    usual = ws.library.known(given.family).model
    fields = {
        SHOWN: digest(given),
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
    fields |= opening_fields(model, usual)
    fields |= limit_fields(given, model)
    fields |= fault_fields(given)
    fields |= fix_fields(given, model)
    fields |= source_fields(given)
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
    now = sheet_form(ws, name)
    if fields.get(SHOWN, now[SHOWN]) != now[SHOWN]:
        return {SHOWN: CHANGED_MEANWHILE}
    form = Form({**now, **fields})
    changed = _changed(form, given, ws.library.known(name), ws.library.known(given.family).model)
    form.problems |= dict(_of_sense(form, changed, ws))
    if not form.problems:
        keep(ws, changed)
    return form.problems


def _of_sense(form: Form, changed: ModelSheet, ws: Workshop) -> Iterator[tuple[str, str]]:
    """Yield what the rules of knowledge find, by field; nothing of items that could not be read whole."""
    unread = {field.partition(":")[0] for field in form.problems}
    if unread & {"fault", "fix"}:
        unread |= {"fault", "fix", "title"}
    for problem in sheet_problems(changed, ws.library.packs):
        field = _field_of(problem, form)
        if field.partition(":")[0] in unread or (unread and field == "title"):
            continue
        if problem.severity == "error" or _untold_danger(problem, changed):
            yield field, _sentence(problem) + _cautions_near(problem, changed, ws)


def _changed(form: Form, given: ModelSheet, known: Known, usual: MachineModel) -> ModelSheet:
    model = known.model
    edition, limits = edition_and_limits(form, given, model, known.family)
    openings, parts = openings_and_parts(form, given, model, usual)
    own_faults = faults(form, given, model)
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
        openings=openings,
        parts=parts,
        faults=own_faults,
        fixes=fixes(form, given, model, own_faults),
        edition=edition,
        limits=limits,
        sources=sources(form, given),
        cells=tuple(_cells(form, given, model.cells, usual.cells)),
    )


def _copies(form: Form, given: ModelSheet, model: MachineModel, usual: MachineModel) -> dict[str, int]:
    """Return the copies that differ from the family's, with those the sheet said before."""
    families = {part.id: part.copies for part in usual.parts}
    found = dict(given.copies)
    for part in dict.fromkeys([*families, *(each.id for each in model.parts)]):
        count = form.whole(f"copies:{part}", 0, MOST_COPIES)
        if count != families.get(part, 1) or part in found:
            found[part] = count
    return {
        part: count
        for part, count in found.items()
        if count != families.get(part, 1) or given.copies.get(part) == count
    }


def _cells(form: Form, given: ModelSheet, known: tuple[Cell, ...], usual: tuple[Cell, ...]) -> list[Cell]:
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
            cell = replace(was, **said) if was else Cell(_taking(taken, said["title"]), **said)
            if cell != was:
                own[cell.id] = cell
        elif was is not None and was.id in families:
            form.problems[at + "title"] = (
                "The family has this cell. If this model has none, say so as its type."
            )
        elif was is not None:
            own.pop(was.id, None)
    return list(own.values())


def _taking(taken: set[str], title: str) -> str:
    """Return an id for a new cell that no other has, and take it."""
    name = free_id(title, taken, "cell")
    taken.add(name)
    return name


def _untold_danger(problem: Problem, changed: ModelSheet) -> bool:
    """Tell whether a way to mend of the sheet's own works near danger without a word of it."""
    own = {fix.id for fix in changed.fixes}
    return problem.check == "danger-warned" and problem.where.file == "sheet" and problem.where.path[1] in own


def _cautions_near(problem: Problem, changed: ModelSheet, ws: Workshop) -> str:
    """Return what cautions go with mending the same part, where a way to mend names none."""
    own = next((fix for fix in changed.fixes if problem.where.path[1:2] == (fix.id,)), None)
    if problem.check != "danger-warned" or own is None:
        return ""
    model = ws.library.known(changed.id).model
    near = [fix for fix in model.fixes if _mended(fix) & _mended(own)]
    named = {caution for fix in near for caution in fix.cautions}
    titles = [each.title for each in model.cautions if each.id in named]
    return f" Others there show: {'; '.join(titles)}."


def _mended(fix: Fix) -> set[str]:
    """Return the parts that a way to mend works on."""
    return ({part_of(fault) for fault in fix.cures} | {fix.replaces}) - {""}


def _field_of(problem: Problem, form: Form) -> str:
    """Return the field that a problem is about; `title` for one that no field of the form can mend."""
    kind, name, what, of = [*(str(step) for step in problem.where.path), "", "", "", ""][:4]
    at = form.rows.get(name, "")
    choices = {
        "openings": (f"{what}:{name}", f"title:{name}", f"new-opening:0:{what}", "new-opening:0:title"),
        "copies": (f"copies:{name}",),
        "limits": (f"{what}:{name}", f"{SIDES[0]}:{name}", "edition"),
        "faults": (f"{form.rows.get(f'{at}{what}:{of}', '')}chance", f"{at}{what}:0:of", f"{at}title"),
        "fixes": (f"{form.rows.get(f'{at}{what}:{of}', '')}chance", f"{at}{what}", f"{at}do"),
    }.get(kind, (kind,))
    if problem.check in PLAIN and at:
        return at + PLAIN[problem.check][0]
    return next((field for field in choices if field in form.fields), "title")


def _sentence(problem: Problem) -> str:
    if problem.check in PLAIN:
        return PLAIN[problem.check][1]
    return problem.message[:1].upper() + problem.message[1:].rstrip(".") + "."

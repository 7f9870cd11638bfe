"""The ways in on a sheet's form: those there are, those of the sheet's own, and rows for new ones.

Fields for each opening: `title:ID`, `minutes:ID`, `refit:ID`, `fasteners:ID`, `behind:ID`; for one that the
family does not have, `parts:ID` too, the parts that lie behind it. A new one has the same by its row:
`new-opening:N:title` and so on. One of the sheet's own goes when all its fields are emptied.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from typing import Final

from powergood.bench.modelsheets.form import Form, free_id, shown
from powergood.knowledge.model import Claim, MachineModel, ModelSheet, Opening, Part

NEW_OPENINGS: Final = 1
"""How many empty rows the form has for further ways in."""
FIELDS: Final = ("title", "minutes", "refit", "fasteners", "behind")


def opening_fields(model: MachineModel, usual: MachineModel) -> dict[str, str]:
    """Return the fields of all openings, and of the rows for new ones."""
    titles = {each.id: each.title for each in model.openings}
    families = {each.id for each in usual.openings}
    fields: dict[str, str] = {}
    for each in model.openings:
        fields |= {
            f"title:{each.id}": each.title,
            f"minutes:{each.id}": shown(each.minutes),
            f"refit:{each.id}": shown(each.refit),
            f"fasteners:{each.id}": "\n".join(each.fasteners),
            f"behind:{each.id}": "\n".join(titles[name] for name in each.behind),
        }
        if each.id not in families:
            behind = [part.title for part in model.parts if part.opening == each.id]
            fields[f"parts:{each.id}"] = "\n".join(behind)
    for row in range(NEW_OPENINGS):
        fields |= {f"new-opening:{row}:{what}": "" for what in (*FIELDS, "parts")}
    return fields


def openings_and_parts(
    form: Form, given: ModelSheet, model: MachineModel, usual: MachineModel
) -> tuple[tuple[Opening, ...], tuple[Part, ...]]:
    """Return the openings and the parts that the sheet says itself, by the form."""
    families = {each.id for each in usual.openings}
    titles = {each.id: each.title for each in model.openings}
    own = {each.id: each for each in given.openings}
    layers = {each.id: each.layer for each in model.openings}
    places: dict[str, str] = {}
    for each in model.openings:
        if each.id not in families and not any(form.line(f"{what}:{each.id}") for what in FIELDS):
            own.pop(each.id, None)
            continue
        said = _read(form, each, f"*:{each.id}", titles)
        if said != each:
            own[each.id] = said
        if each.id not in families:
            places |= _behind(form, f"parts:{each.id}", each.id, model)
    for row in range(NEW_OPENINGS):
        at = f"new-opening:{row}:"
        if any(form.line(at + what) for what in (*FIELDS, "parts")):
            name = free_id(form.line(f"{at}title"), titles, "opening")
            new = Opening(name, "", Claim(0.0, ""), Claim(0.0, ""))
            said = _read(form, new, f"{at}*", titles)
            inner = [layers[outer] + 1 for outer in said.behind]
            own[name] = replace(said, layer=max(inner, default=0))
            places |= _behind(form, f"{at}parts", name, model)
    return tuple(own.values()), _moved(given, model, usual, places)


def _read(form: Form, was: Opening, pattern: str, titles: Mapping[str, str]) -> Opening:
    """Return an opening as its fields say it; a field's name is the pattern with its word for the star."""
    behind = form.ids(
        pattern.replace("*", "behind"),
        {name: title for name, title in titles.items() if name != was.id},
        "way in",
    )
    return replace(
        was,
        title=form.line(pattern.replace("*", "title"), needed="The opening needs a name."),
        minutes=form.minutes(pattern.replace("*", "minutes"), was.minutes if was.minutes.source else None),
        refit=form.minutes(pattern.replace("*", "refit"), was.refit if was.refit.source else None),
        fasteners=form.lines(pattern.replace("*", "fasteners")),
        behind=was.behind if set(behind) == set(was.behind) else behind,
    )


def _behind(form: Form, field: str, opening: str, model: MachineModel) -> dict[str, str]:
    """Return for each part that a field names that it lies behind an opening."""
    titles = {part.id: part.title for part in model.parts}
    return dict.fromkeys(form.ids(field, titles, "part"), opening)


def _moved(
    given: ModelSheet, model: MachineModel, usual: MachineModel, places: Mapping[str, str]
) -> tuple[Part, ...]:
    """Return the parts that the sheet says itself: those before, each where it now lies.

    A part that lay behind an opening of the sheet's own and is no longer named there goes back to where the
    family has it.
    """
    families = {part.id: part for part in usual.parts}
    openings = {each.id for each in usual.openings}
    own = {part.id: part for part in given.parts}
    for part in model.parts:
        home = families[part.id].opening if part.id in families else ""
        there = part.opening if part.opening in openings else home
        said = replace(own.get(part.id, families.get(part.id, part)), opening=places.get(part.id, there))
        if part.id in own or said != families.get(part.id):
            own[part.id] = said
    return tuple(part for part in own.values() if part != families.get(part.id))

"""The ways to mend that a sheet has of its own, on its form: what is done, what it cures, and what it takes.

Fields by row: `fix:N:do`, `fix:N:kind`, `fix:N:replaces`, `fix:N:minutes`, `fix:N:money`, `fix:N:open` and
`fix:N:cautions` (one to a line), `fix:N:note`, and rows of links `fix:N:cures:K:`. The last row is a new
one's. A row without words for what is done takes the way to mend away.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import Final, get_args

from powergood.bench.modelsheets.form import OWN_SOURCE, Form, free_id, shown
from powergood.bench.modelsheets.link_rows import link_fields, links
from powergood.knowledge.model import Claim, Fault, Fix, FixKind, MachineModel, ModelSheet

KINDS: Final[tuple[FixKind, ...]] = get_args(FixKind)
NEW: Final = Fix("", "", "repair", Claim(0.0, OWN_SOURCE))
NEW_FAULT: Final = "new-fault"
"""What stands for the fault that the same form adds, where a way to mend names what it cures."""
LONGEST_ID: Final = 5
"""How many words of what is done make up an id."""


def fix_fields(given: ModelSheet, model: MachineModel) -> dict[str, str]:
    """Return the fields of a sheet's own ways to mend and of the row for a new one."""
    openings = {each.id: each.title for each in model.openings}
    cautions = {each.id: each.title for each in model.cautions}
    fields: dict[str, str] = {}
    for row, fix in enumerate([*given.fixes, NEW]):
        at = f"fix:{row}:"
        fields |= {
            f"{at}do": fix.do,
            f"{at}kind": fix.kind,
            f"{at}replaces": fix.replaces,
            f"{at}minutes": shown(fix.minutes) if fix.id else "",
            f"{at}money": shown(fix.money) if fix.money else "",
            f"{at}open": "\n".join(openings.get(name, name) for name in fix.open),
            f"{at}cautions": "\n".join(cautions.get(name, name) for name in fix.cautions),
            f"{at}note": fix.note,
        }
        fields |= link_fields(f"{at}cures:", fix.cures)
    return fields


def fixes(form: Form, given: ModelSheet, model: MachineModel, faults: Sequence[Fault]) -> tuple[Fix, ...]:
    """Return the sheet's own ways to mend, as the form says them; `faults` are the sheet's, new ones too."""
    found: list[Fix] = []
    gone = {fault.id for fault in given.faults}
    known = {fault.id: fault.title for fault in model.faults if fault.id not in gone}
    known |= {fault.id: fault.title for fault in faults}
    taken = {each.id for each in model.checks} | {each.id for each in model.fixes}
    taken |= {each.id for each in model.openings}
    new = next((fault.id for fault in faults if fault.id not in gone), "")
    for field in [name for name, value in form.fields.items() if value == NEW_FAULT]:
        form.fields[field] = new
    for row, was in enumerate([*given.fixes, NEW]):
        at = f"fix:{row}:"
        if form.line(f"{at}do") if was.id else form.any(at, but=f"{at}kind"):
            fix = _read(form, at, was, model, known, taken)
            form.rows[fix.id] = at
            found.append(fix)
    return tuple(found)


def _read(form: Form, at: str, was: Fix, model: MachineModel, known: dict[str, str], taken: set[str]) -> Fix:
    """Return one way to mend as its fields say it; the id of a new one is made of what is done, and taken."""
    do = form.line(f"{at}do", needed="Say what is done, in a sentence.")
    name = was.id or free_id(" ".join(do.split()[:LONGEST_ID]), taken, "fix")
    taken.add(name)
    kind = form.one_of(f"{at}kind", {each: each for each in KINDS}, "kind of mending")
    parts = {each.id: each.title for each in model.parts}
    opened = form.ids(f"{at}open", {each.id: each.title for each in model.openings}, "way in")
    cautions = form.ids(f"{at}cautions", {each.id: each.title for each in model.cautions}, "caution")
    return replace(
        was,
        id=name,
        do=do,
        kind=next((each for each in KINDS if each == kind), was.kind),
        replaces=form.one_of(f"{at}replaces", parts, "part"),
        cures=links(form, f"{at}cures:", was.cures, known, "fault"),
        minutes=form.minutes(f"{at}minutes", was.minutes if was.id else None),
        money=form.money(f"{at}money", was.money),
        open=was.open if set(opened) == set(was.open) else opened,
        cautions=was.cautions if set(cautions) == set(was.cautions) else cautions,
        note=form.line(f"{at}note"),
    )

"""The faults that a sheet has of its own, on its form: what they are of, what they stop, what is noticed.

Fields by row: `fault:N:title`, `fault:N:part` (of a new one only), `fault:N:frequency`, `fault:N:sets_apart`,
`fault:N:danger`, and rows of links `fault:N:breaks:K:` and `fault:N:signs:K:`. The last row is a new
fault's; its id is made of the part and the title. A row without a title takes the fault away.
"""

from __future__ import annotations

from dataclasses import replace
from typing import Final

from powergood.bench.modelsheets.form import OWN_SOURCE, Form, free_id, shown
from powergood.bench.modelsheets.link_rows import link_fields, links
from powergood.ids import part_of
from powergood.knowledge.model import Claim, Fault, MachineModel, ModelSheet

FREQUENCIES: Final = {"8": "Very common", "4": "Common", "2": "Now and then", "0.5": "Rare"}
"""The words for the relative weights of faults that packs use."""
USUAL: Final = Claim(4.0, OWN_SOURCE)
"""A fault that somebody writes into a sheet is met there: common."""
WORDS: Final = ("title", "sets_apart", "danger")


def fault_fields(given: ModelSheet) -> dict[str, str]:
    """Return the fields of a sheet's own faults and of the row for a new one."""
    fields: dict[str, str] = {}
    for row, fault in enumerate([*given.faults, Fault("", "", frequency=USUAL)]):
        at = f"fault:{row}:"
        fields |= {f"{at}{what}": getattr(fault, what) for what in WORDS}
        if not fault.id:
            fields[f"{at}part"] = ""
        if fault.frequency is not None:
            fields[f"{at}frequency"] = shown(fault.frequency)
        fields |= link_fields(f"{at}breaks:", fault.breaks) | link_fields(f"{at}signs:", fault.signs)
    return fields


def faults(form: Form, given: ModelSheet, model: MachineModel) -> tuple[Fault, ...]:
    """Return the sheet's own faults, as the form says them."""
    found: list[Fault] = []
    taken = {fault.id for fault in model.faults}
    for row, was in enumerate([*given.faults, Fault("", "", frequency=USUAL)]):
        at = f"fault:{row}:"
        if form.line(f"{at}title") if was.id else form.any(at, but=f"{at}frequency"):
            fault = _read(form, at, was, model, taken)
            form.rows[fault.id] = at
            found.append(fault)
    return tuple(found)


def _read(form: Form, at: str, was: Fault, model: MachineModel, taken: set[str]) -> Fault:
    """Return one fault as its fields say it; the id of a new one is made of its part and title, and taken."""
    title = form.line(f"{at}title", needed="Say what is wrong, in a few words.")
    part = (
        part_of(was.id) if was.id else form.one_of(f"{at}part", {p.id: p.title for p in model.parts}, "part")
    )
    if not part:
        form.problems.setdefault(f"{at}part", "Say which part it is.")
    modes = {fault.partition(".")[2] for fault in taken if part_of(fault) == part}
    name = was.id or f"{part}.{free_id(title, modes, 'fault')}"
    taken.add(name)
    functions = {each.id: each.title for each in model.functions}
    signs = {each.id: each.title for each in model.signs}
    return replace(
        was,
        id=name,
        title=title,
        breaks=links(form, f"{at}breaks:", was.breaks, functions, "function"),
        signs=links(form, f"{at}signs:", was.signs, signs, "sign"),
        frequency=form.frequency(f"{at}frequency", was.frequency) if was.frequency else None,
        sets_apart=form.line(f"{at}sets_apart"),
        danger=form.line(f"{at}danger"),
    )

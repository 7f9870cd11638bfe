"""Rows of a form that each name a thing and give a chance: what a fault stops, what a fix cures.

Fields: `AT:K:of`, the thing's id or title, and `AT:K:chance`, from 0 to 1. A row without a thing goes.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Final

from powergood.bench.modelsheets.form import Form, shown
from powergood.knowledge.model import Claim

SPARE_ROWS: Final = 2
"""How many empty rows stand after those that say something."""


def link_fields(at: str, links: Mapping[str, Claim]) -> dict[str, str]:
    """Return the fields of some links, and of the empty rows after them."""
    rows = [*((name, shown(chance)) for name, chance in links.items()), *[("", "")] * SPARE_ROWS]
    fields: dict[str, str] = {}
    for row, (name, chance) in enumerate(rows):
        fields |= {f"{at}{row}:of": name, f"{at}{row}:chance": chance}
    return fields


def links(
    form: Form, at: str, was: Mapping[str, Claim], known: Mapping[str, str], what: str
) -> dict[str, Claim]:
    """Return the links that the form says; `known` are the titles by id of what may be named."""
    found: dict[str, Claim] = {}
    for row in range(len(was) + SPARE_ROWS):
        field = f"{at}{row}:of"
        name = form.one_of(field, known, what)
        if not name:
            continue
        if name in found:
            form.problems[field] = f"{known[name]} stands there twice."
        form.rows[f"{at}{name}"] = f"{at}{row}:"
        found[name] = form.chance(f"{at}{row}:chance", was.get(name))
    return found

"""The sources of a sheet's own numbers on its form: `source:N:id`, `source:N:title`, `source:N:address`.

The last row is empty but for the id that the next source would have. A row without title goes.
"""

from __future__ import annotations

import re
from dataclasses import replace

from powergood.bench.modelsheets.form import Form
from powergood.knowledge.model import ModelSheet, Source

FIELDS = ("id", "title", "address")
LETTER = "M"
"""Sources that the form makes are called M1, M2 and so on."""


def source_fields(given: ModelSheet) -> dict[str, str]:
    """Return the fields of a sheet's sources and of the row for a new one."""
    rows = [*given.sources, Source(_next(given), "")]
    return {f"source:{row}:{what}": getattr(each, what) for row, each in enumerate(rows) for what in FIELDS}


def _next(given: ModelSheet) -> str:
    taken = {each.id for each in given.sources}
    return next(name for name in (f"{LETTER}{number}" for number in range(1, 1000)) if name not in taken)


def sources(form: Form, given: ModelSheet) -> tuple[Source, ...]:
    """Return the sources that the form says, in its order."""
    found: dict[str, Source] = {}
    for row in range(len(given.sources) + 1):
        at = f"source:{row}:"
        name, title, address = (form.line(at + what) for what in FIELDS)
        was = given.sources[row] if row < len(given.sources) else Source("", "", read="full text")
        if not title and not address:
            continue
        if not title:
            form.problems[f"{at}title"] = "Say what the source is."
        if not re.fullmatch(r"[A-Za-z][A-Za-z0-9-]{0,19}", name):
            form.problems[f"{at}id"] = (
                "A short name of letters and digits, such as M1; minutes name it in brackets."
            )
        elif name in found:
            form.problems[f"{at}id"] = f"Another source here is called {name}."
        found[name] = replace(was, id=name, title=title, address=address)
    return tuple(found.values())

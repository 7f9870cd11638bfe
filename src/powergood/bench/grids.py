"""Grids at the bench: what is drawn, what the marked cells make up, and marks that do not fit the answer."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from powergood.bench.book import job_of, machine_of
from powergood.bench.grid_views import GridCell, GridView
from powergood.bench.wording import Wording, split_step
from powergood.bench.workshop import Workshop
from powergood.knowledge.grids import Pattern, names_of, pattern, rows_of
from powergood.knowledge.model import Check, Grid
from powergood.record.model import Finding

MARKED = "cells"
"""The answer that leaves the outcome to the marked cells."""

SHORT = 3
"""Letters up to which a cell's name fits on a key of a drawn row."""


def drawn(check: Check, words: Wording) -> GridView | None:
    """Return the grid of a check as it is drawn; none for a check that is no grid, or has but one cell."""
    grid = check.grid
    if grid is None:
        return None
    rows = rows_of(grid, _copies(grid, words), words.parts.get(grid.copies_of, ""))
    names = [cell.words for row in rows for cell in row if cell]
    if len(names) < 2:
        return None
    return GridView(
        cell=grid.cell,
        rows=tuple(tuple(GridCell(cell.name, cell.words) if cell else None for cell in row) for row in rows),
        width=max((len(row) for row in rows), default=0),
        listed=len(rows) == 1 and max(map(len, names), default=0) > SHORT,
        by_marks=tuple(extent.extent for extent in grid.extents if extent.extent != "all"),
    )


def _copies(grid: Grid, words: Wording) -> int:
    return sum(part.id == grid.copies_of for part in words.homes.values())


def made_of(check: Check, cells: Iterable[str], words: Wording) -> Pattern | None:
    """Return what marked cells make up; none for a check that is no grid, or when nothing is marked."""
    found = pattern(check.grid, cells, _copies(check.grid, words)) if check.grid else None
    return found if found and found.outcome != "good" else None


def located(finding: Finding, words: Wording) -> Finding:
    """Return a finding whose outcome the marked cells say, with that outcome and the cells in order."""
    check = words.checks.get(finding.check)
    if check is None or check.grid is None or not finding.cells:
        return finding
    names = names_of(check.grid, _copies(check.grid, words))
    known = tuple(name for name in names if name in finding.cells)
    unknown = tuple(name for name in finding.cells if name not in names)
    made = made_of(check, known, words)
    outcome = made.outcome if made and finding.outcome == MARKED else finding.outcome
    return Finding(
        finding.check, outcome, finding.sure, finding.told, finding.copy, finding.note, (*known, *unknown)
    )


def misfit(finding: Finding, words: Wording) -> str:
    """Return what is wrong with the cells of a finding in one sentence; empty when they fit its outcome."""
    check = words.checks[finding.check]
    if check.grid is None:
        no_grid = finding.cells or finding.outcome == MARKED
        return f"Check {check.id!r} has no cells that could be marked." if no_grid else ""
    if finding.outcome == MARKED and not finding.cells:
        return (
            f"No {check.grid.cell} is marked yet. Mark the bad ones, or press the answer that says none is."
        )
    names = names_of(check.grid, _copies(check.grid, words))
    unknown = [name for name in finding.cells if name not in names]
    if unknown:
        return f"Check {check.id!r} has no {check.grid.cell} {', '.join(map(repr, unknown))}."
    made = made_of(check, finding.cells, words)
    extents = [extent.extent for extent in check.grid.extents]
    if made and finding.outcome in ("good", *extents) and finding.outcome != made.outcome:
        return (
            f"What is marked ({made.words}) does not fit that answer. Write down what is marked,"
            " or take the marks away."
        )
    return ""


def marked_words(ws: Workshop, job: int, step: str, cells: Sequence[str]) -> str:
    """Return in words what cells marked on a step's grid make up, while they are being marked.

    Raises
    ------
    UnknownThing : there is no such job, or its machine's kind is not known.
    """
    state = job_of(ws, job)
    words = ws.library.known(machine_of(ws, state.tag).details.sheet).words
    check = words.checks.get(split_step(step)[0])
    made = made_of(check, cells, words) if check else None
    if check is None or made is None:
        return ""
    return f"{words.outcome(check.id, made.outcome)}: {made.words}"


def cells_words(finding: Finding, words: Wording) -> str:
    """Return in words what the marked cells of a finding make up; empty when none were marked."""
    check = words.checks.get(finding.check)
    made = made_of(check, finding.cells, words) if check else None
    if made:
        return made.words
    return ", ".join(finding.cells)

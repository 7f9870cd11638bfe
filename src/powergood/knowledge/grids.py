"""What the marked cells of a grid make up: the extent of the worst pattern, and where it lies.

From the worst: *all* cells bad; a *line*, which is every cell of a line, or at least three bad cells that all
lie in one line (a track broken on its way spoils only what lies past the break); *several*, at least three;
and *one*, any bad cell at all. Three is judgement: two single faults are met now and then, three at once have
a cause in common. An extent that the grid does not name is passed over: the next that fits is taken.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator
from dataclasses import dataclass

from powergood.knowledge.model import Grid, Line

FEW = 3
"""Judgement: bad cells from which on they are a pattern and no longer single faults."""

ORDER = ("all", "line", "several", "one")
"""The extents, the worst first."""


@dataclass(frozen=True, slots=True)
class GridCell:
    """One cell as it is drawn: its name, and what a person calls it."""

    name: str
    words: str


@dataclass(frozen=True, slots=True)
class Pattern:
    """What marked cells make up: the outcome's name, and in words where it lies ("a line: row 3")."""

    outcome: str
    words: str


def rows_of(grid: Grid, copies: int = 1, title: str = "") -> tuple[tuple[GridCell | None, ...], ...]:
    """Return the cells row by row, None where there is a gap.

    With `copies_of` there is one row, of `copies` cells named by their number; `title` is the part's.
    """
    if grid.copies_of:
        numbers = range(1, copies + 1)
        return (tuple(GridCell(str(n), f"{title or grid.cell.capitalize()} {n}") for n in numbers),)
    return tuple(tuple(GridCell(name, name) if name else None for name in row) for row in grid.rows)


def names_of(grid: Grid, copies: int = 1) -> tuple[str, ...]:
    """Return the names of all cells in reading order."""
    return tuple(cell.name for row in rows_of(grid, copies) for cell in row if cell)


def lines_of(grid: Grid) -> tuple[Line, ...]:
    """Return the lines of a grid: those it names, else its rows and columns of two cells or more."""
    if grid.lines or grid.copies_of:
        return grid.lines
    return tuple(line for line in _rows_and_columns(grid) if len(line.cells) > 1)


def _rows_and_columns(grid: Grid) -> Iterator[Line]:
    width = max((len(row) for row in grid.rows), default=0)
    if len(grid.rows) < 2 or width < 2:
        return
    for number, row in enumerate(grid.rows, start=1):
        yield Line(f"row {number}", tuple(name for name in row if name))
    for number in range(width):
        column = tuple(row[number] for row in grid.rows if number < len(row) and row[number])
        yield Line(f"column {number + 1}", column)


def pattern(grid: Grid, marked: Iterable[str], copies: int = 1) -> Pattern:
    """Return what the bad cells `marked` make up. Names that are no cell's are passed over."""
    names = names_of(grid, copies)
    bad = set(marked).intersection(names)
    if not bad:
        return Pattern("good", "none")
    lines = _bad_lines(grid, bad)
    fits = {"all": len(bad) == len(names) > 1, "line": bool(lines), "several": len(bad) >= FEW}
    named = {extent.extent for extent in grid.extents}
    outcome = next((name for name in ORDER if name in named and fits.get(name)), "one")
    return Pattern(outcome, _words(outcome, [name for name in names if name in bad], lines, grid))


def _bad_lines(grid: Grid, bad: Collection[str]) -> list[Line]:
    """Return the lines that are bad as a whole; else the one that holds all bad cells, if they are many."""
    lines = lines_of(grid)
    whole = [line for line in lines if len(line.cells) > 1 and set(line.cells) <= set(bad)]
    if whole or len(bad) < FEW:
        return whole
    return [line for line in lines if set(bad) <= set(line.cells)][:1]


def _words(outcome: str, bad: list[str], lines: Collection[Line], grid: Grid) -> str:
    cells = f"{grid.cell} {bad[0]}" if len(bad) == 1 else f"{len(bad)} {grid.cell}s: {', '.join(bad)}"
    if outcome == "all":
        return f"all {len(bad)} {grid.cell}s"
    if outcome == "line":
        return f"a line, {' and '.join(line.title for line in lines)}; {cells}"
    return cells

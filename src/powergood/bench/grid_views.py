"""What the grid of a check is drawn from; the same rules as for other views."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class GridCell:
    """One cell to be marked when it is bad.

    name : its name, as it is written down.
    words : what stands on it.
    """

    name: str
    words: str


@dataclass(frozen=True, slots=True)
class GridView:
    """The drawn grid of a check: cells to be marked, as the machine has them.

    cell : what one cell is called, such as key, port or bank.
    rows : the cells, top row first; none for a gap.
    width : how many cells the longest row has.
    listed : true when the cells are better shown as a list: one row, with names and not single letters.
    by_marks : outcomes that the marks say better than a button: a line, several, one.
    """

    cell: str
    rows: tuple[tuple[GridCell | None, ...], ...]
    width: int
    listed: bool
    by_marks: tuple[str, ...]

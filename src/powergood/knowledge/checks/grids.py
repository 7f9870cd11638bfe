"""Rules about grids: their cells, their lines, their extents, and the copies that bad cells name."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from typing import ClassVar

from powergood.knowledge.assembly import Placed
from powergood.knowledge.checks.rule import Rule, Scene
from powergood.knowledge.grids import ORDER, lines_of, names_of
from powergood.knowledge.model import Check, Grid
from powergood.knowledge.problems import Problem

MOST_CELLS = 200
"""Judgement: a drawn grid with more cells than this cannot be marked with a finger."""


def _grids(scene: Scene) -> Iterator[tuple[Placed[Check], Grid]]:
    for check in scene.assembly.checks.values():
        if check.item.grid is not None:
            yield check, check.item.grid


class GridCells(Rule):
    """A person marks cells by name, so each name is one cell's, and the lines are of these cells."""

    id = "grid-cells"
    sentence = "A grid has `rows` of cells with a name each, or one cell for each of `copies_of`."
    local = True

    def find(self, scene: Scene) -> Iterator[Problem]:
        """Yield each grid without cells or with too many, each name used twice, each unknown name."""
        for check, grid in _grids(scene):
            at = check.where.at("grid")
            if bool(grid.rows) == bool(grid.copies_of):
                given = "not both" if grid.rows else "and this one has neither"
                yield self.problem(f"a grid has `rows` or `copies_of`, {given}", at)
                continue
            names = names_of(grid)
            if grid.rows and not 2 <= len(names) <= MOST_CELLS:
                yield self.problem(f"a grid has 2 to {MOST_CELLS} cells, not {len(names)}", at.at("rows"))
            for name, count in Counter(names).items():
                if count > 1:
                    yield self.problem(f"the cell `{name}` stands in this grid {count} times", at.at("rows"))
                if grid.rows and ("," in name or name != name.strip()):
                    message = f"a cell's name has no comma and no blank at its ends; `{name}` has"
                    yield self.problem(message, at.at("rows"))
            for place, line in enumerate(grid.lines):
                for number, name in enumerate(line.cells):
                    if grid.rows and name not in names:
                        yield self.problem(
                            f"there is no cell `{name}` in this grid", at.at("lines", place, "cells", number)
                        )


class GridExtents(Rule):
    """What is worse hides what is less bad, so extents go from the worst to `one`."""

    id = "grid-extents"
    sentence = "The extents of a grid go from the worst to `one`, and a grid with `line` has lines."
    local = True

    def find(self, scene: Scene) -> Iterator[Problem]:
        """Yield each grid whose extents are out of order, lack `one`, or speak of lines there are not."""
        for check, grid in _grids(scene):
            at = check.where.at("grid")
            named = [extent.extent for extent in grid.extents]
            rightly = [name for name in ORDER if name in named]
            if named != rightly or "one" not in named:
                due = ", ".join(f"`{name}`" for name in [*(n for n in rightly if n != "one"), "one"])
                yield self.problem(
                    f"the extents here are, each once and in this order: {due}", at.at("extents")
                )
            elif grid.copies_of and set(named) - {"all", "one"}:
                message = "a grid of copies has the extents `all` and `one`: where it lies says the rest"
                yield self.problem(message, at.at("extents"))
            elif "line" in named and not lines_of(grid):
                message = "this grid has no line: give two rows or more, or `lines`, or leave `line` out"
                yield self.problem(message, at.at("extents"))
            elif grid.lines and "line" not in named:
                yield self.problem("`lines` are given, but `line` is not among the extents", at.at("lines"))
            for place, rung in enumerate(grid.before):
                if rung.of in named:
                    message = f"`{rung.of}` is the name of an extent"
                    yield self.problem(message, at.at("before", place, "of"))


class GridCopies(Rule):
    """Where a bad cell lies names the copy, so all copies lie in the machine and answer for one thing."""

    id = "grid-copies"
    sentence = "The copies a grid is of are all fitted for it, and no function is split by two parts."
    rests_on: ClassVar = {"checks": frozenset({"grid", "out", "instead", "each_copy_of"})}

    def find(self, scene: Scene) -> Iterator[Problem]:
        """Yield each grid of copies that are taken out for it, and each function split in two ways."""
        split: dict[str, str] = {}
        for check, grid in _grids(scene):
            if not grid.copies_of:
                continue
            at = check.where.at("grid", "copies_of")
            if grid.copies_of in (*check.item.out, *check.item.instead, check.item.each_copy_of):
                yield self.problem(f"`{grid.copies_of}` is not in the machine for this check", at)
            for extent in grid.extents:
                if extent.extent == "one" and split.setdefault(extent.of, grid.copies_of) != grid.copies_of:
                    message = f"`{extent.of}` is split by the copies of `{split[extent.of]}` already"
                    yield self.problem(message, at)


RULES: tuple[Rule, ...] = (GridCells(), GridExtents(), GridCopies())

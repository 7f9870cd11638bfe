"""The findings among the entries of a findings file: a check, its outcome, and the cells marked bad."""

from __future__ import annotations

from collections.abc import Mapping

from powergood.knowledge.grids import names_of, pattern
from powergood.knowledge.model import Check, Grid
from powergood.knowledge.problems import did_you_mean
from powergood.knowledge.stops import outcome_named, outcomes
from powergood.packs.entry_values import EntryValues
from powergood.packs.marked import Trail
from powergood.record.model import NO_VERDICT, Finding


class FindingEntries(EntryValues):
    """Reads the entries that say how a check came out."""

    def finding(self, name: str, entry: Mapping[str, object], at: Trail) -> Finding | None:
        """Return the finding that an entry says; None when its main fields cannot be read."""
        is_known = self.known(name, self.checks, "check", (*at, "check"))
        check = self.checks[name] if self.checks is not None and is_known else None
        cells = self._cells(check, entry["cells"], at) if "cells" in entry else ()
        if "outcome" not in entry and not cells:
            if "cells" not in entry:
                self.report(f"the `outcome` of `{name}` is missing here", at)
            return None
        if "outcome" in entry and not self.is_text(entry["outcome"], (*at, "outcome")):
            return None
        outcome = str(entry.get("outcome", ""))
        copy = self.count(entry.get("copy", 0), (*at, "copy"))
        if check is not None:
            if outcome:
                outcome = outcome_named(check, outcome)
                self._outcome(check, outcome, at)
            if check.grid and cells:
                outcome = self._pattern(check, check.grid, outcome, cells, at)
            self._copy(check, copy, at)
        return Finding(
            check=name,
            outcome=outcome,
            sure=self.flag(entry, "sure", True, at),
            told=self.flag(entry, "told", False, at),
            copy=copy,
            note=self.text(entry, "note", at),
            cells=cells,
        )

    def _cells(self, check: Check | None, value: object, at: Trail) -> tuple[str, ...]:
        """Return the cells marked bad, in the grid's order; unknown ones are reported."""
        if not isinstance(value, list) or not value:
            self.report("a list of bad cells is due here, such as `[Q, W]`; none bad is `outcome: good`", at)
            return ()
        given = [str(each) for each in value]
        if check is None:
            return tuple(given)
        if check.grid is None:
            self.report(f"`{check.id}` is no grid; it has no cells", (*at, "cells"))
            return ()
        names = names_of(check.grid, self.copies.get(check.grid.copies_of, 1))
        for place, name in enumerate(given):
            self.known(name, names, "cell", (*at, "cells", place))
        return tuple(name for name in names if name in given)

    def _pattern(self, check: Check, grid: Grid, outcome: str, cells: tuple[str, ...], at: Trail) -> str:
        """Return the extent that the marked cells make up; an outcome that says otherwise is reported."""
        made = pattern(grid, cells, self.copies.get(grid.copies_of, 1)).outcome
        if outcome and outcome != made:
            message = f"these cells make up `{made}`, not `{outcome}`; leave `outcome` out"
            self.report(message, (*at, "outcome"), check="known-outcome")
        return made

    def _outcome(self, check: Check, outcome: str, at: Trail) -> None:
        allowed = (*outcomes(check), NO_VERDICT)
        if outcome not in allowed:
            listed = ", ".join(f"`{name}`" for name in allowed)
            message = f"`{outcome}` is no outcome of `{check.id}`, which has {listed}"
            self.report(message + did_you_mean(outcome, allowed), (*at, "outcome"), check="known-outcome")

    def _copy(self, check: Check, copy: int, at: Trail) -> None:
        copies = self.copies.get(check.each_copy_of, 1) if check.each_copy_of else 0
        if copies > 1 and copy == 0:
            message = f"`{check.id}` is of each `{check.each_copy_of}`: say which by `copy: 1` to {copies}"
            self.report(message, at)
        elif copy > copies:
            of_each = f"there are {copies} of `{check.each_copy_of}`" if copies else "it is not of one copy"
            self.report(f"`{check.id}` has no copy {copy}: {of_each}", (*at, "copy"))

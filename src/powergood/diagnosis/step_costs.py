"""What every check and fix costs at a state, as arrays: worked out once for what is open, out and running."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from powergood.diagnosis.compiled import CheckSpec, FixSpec
from powergood.diagnosis.recursion import Floats, Ints
from powergood.diagnosis.running import Running, disturbs, needs_start
from powergood.diagnosis.samples import Bools
from powergood.diagnosis.worth import REFIT_PART, Worth

Place = tuple[frozenset[str], frozenset[str]]
"""What is open and what is out."""


class StepCosts:
    """Costs in minutes of `checks` (C,) and `fixes` (A,), and what is open after each check."""

    def __init__(self, worth: Worth, checks: Sequence[CheckSpec], fixes: Sequence[FixSpec]) -> None:
        self.worth = worth
        self._checks = tuple(checks)
        self._fixes = tuple(fixes)
        self._opens = [worth.model.whole_opening(check.open) for check in checks]
        self._quiet: dict[Place, tuple[Floats, tuple[bool, ...]]] = {}
        self._with_start: dict[tuple[Place, Running], tuple[Floats, Bools]] = {}
        self._of_fixes: dict[frozenset[str], Floats] = {}
        self._after: dict[frozenset[str], tuple[tuple[frozenset[str], ...], Ints]] = {}

    def checks(self, opened: frozenset[str], missing: frozenset[str], running: Running) -> Floats:
        """Return what each check costs, a start and parts to be put back for it included, (C,)."""
        return self._started(opened, missing, running)[0]

    def fresh(self, opened: frozenset[str], missing: frozenset[str], running: Running) -> Bools:
        """Return which checks need one more start, (C,)."""
        return self._started(opened, missing, running)[1]

    def _started(
        self, opened: frozenset[str], missing: frozenset[str], running: Running
    ) -> tuple[Floats, Bools]:
        key = ((opened, missing), running)
        if key not in self._with_start:
            alone, moved = self._without_start(opened, missing)
            fresh: Bools = np.array(
                [
                    needs_start(check, running, disturbs=each)
                    for check, each in zip(self._checks, moved, strict=True)
                ],
                dtype=np.bool_,
            )
            self._with_start[key] = (alone + self.worth.preferences.start * fresh, fresh)
        return self._with_start[key]

    def _without_start(
        self, opened: frozenset[str], missing: frozenset[str]
    ) -> tuple[Floats, tuple[bool, ...]]:
        """Return the costs without a start, and whether something must be opened, closed or fitted, (C,)."""
        place = (opened, missing)
        if place not in self._quiet:
            alone = [
                self.worth.check_cost(check, opened, start=False) + REFIT_PART * len(check.fitted & missing)
                for check in self._checks
            ]
            moved = tuple(
                disturbs(check, whole, opened, missing)
                for check, whole in zip(self._checks, self._opens, strict=True)
            )
            self._quiet[place] = (np.array(alone, dtype=np.float64), moved)
        return self._quiet[place]

    def fixes(self, opened: frozenset[str]) -> Floats:
        """Return what each fix costs, openings included, (A,)."""
        if opened not in self._of_fixes:
            self._of_fixes[opened] = np.array([self.worth.fix_cost(fix, opened) for fix in self._fixes])
        return self._of_fixes[opened]

    def opened_after(self, opened: frozenset[str]) -> tuple[tuple[frozenset[str], ...], Ints]:
        """Return the sets of openings that checks leave open, and which of them each check leaves, (C,)."""
        if opened not in self._after:
            left = [
                (opened | whole) - check.closed
                for check, whole in zip(self._checks, self._opens, strict=True)
            ]
            sets = tuple(dict.fromkeys(left))
            number = {each: at for at, each in enumerate(sets)}
            self._after[opened] = (sets, np.array([number[each] for each in left], dtype=np.int64))
        return self._after[opened]

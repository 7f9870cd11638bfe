"""What each fix would do in each sample: what it cures, what it disturbs, and whether a new part is a dud.

The draws are fixed once, so that equal states give equal plans. A fix done again draws anew: the samples
take each other's draws, moved on by one each time.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from powergood.diagnosis.compiled import CompiledModel, FixSpec
from powergood.diagnosis.recursion import Floats
from powergood.diagnosis.samples import Bools, Samples


class Fixing:
    """The faults left after each of `fixes`, in each sample; kept for the same faults before."""

    def __init__(self, model: CompiledModel, samples: Samples, fixes: Sequence[FixSpec]) -> None:
        self._model = model
        self._fixes = tuple(fixes)
        generator = np.random.default_rng(samples.generator_seed + 1)
        count, faults = samples.present.shape
        self._cures = generator.random((count, len(self._fixes) + 1))
        self._duds = generator.random((count, len(self._fixes) + 1))
        self._which = generator.random((count, len(self._fixes) + 1))
        self._disturbs = generator.random((count, faults))
        self._after: dict[tuple[int, int, int], tuple[Bools, Bools]] = {}

    def after(self, present: Bools, number: int, times: int) -> Bools:
        """Return which faults are there once fix `number` was done that was done `times` before, (S, F)."""
        key = (id(present), number, times)
        if key not in self._after:
            self._after[key] = (present, self._fixed(present, number, times))
        return self._after[key][1]

    def _fixed(self, present: Bools, number: int, times: int) -> Bools:
        fix = self._fixes[number]
        cured = np.roll(self._cures[:, number], times)
        after = present.copy()
        for fault, chance in fix.cures.items():
            after[:, fault] &= ~(cured < chance)
        if fix.slot and fix.dud > 0:
            self._fit_new(
                fix, np.roll(self._duds[:, number], times), np.roll(self._which[:, number], times), after
            )
        for fault, chance in fix.disturbs.items():
            after[:, fault] |= np.roll(self._disturbs[:, fault], times) < chance
        return after

    def _fit_new(self, fix: FixSpec, duds: Floats, which: Floats, after: Bools) -> None:
        """Give a dud one of the faults of its slot, in proportion to how common each is."""
        faults = self._model.faults
        own = [at for at, fault in enumerate(faults) if fault.slot == fix.slot]
        shares = np.array([faults[at].prior for at in own])
        rising = np.cumsum(shares / shares.sum()) if shares.sum() else np.ones(len(own))
        chosen = (which[:, None] >= rising[:-1]).sum(axis=1)
        for place, fault in enumerate(own):
            after[:, fault] |= (duds < fix.dud) & (chosen == place)

"""What mending blind costs: fixes in order of chance over cost, a test after each, stopping in time.

This is what is left when nothing more can be learnt but which of the wanted functions work. It caps the price
of not knowing: where checks tell little, it says what guessing costs.

References
----------
Heckerman, Breese, Rommelse, "Decision-theoretic troubleshooting", Communications of the ACM, 1995,
equation 1.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from powergood.diagnosis.recursion import Floats, Ints
from powergood.diagnosis.samples import Bools

LEAST = 0.1
"""Judgement: minutes below which a fix counts as costing no less, so that the order is well defined."""

GROUPS = 6
"""Judgement: patterns of working and broken functions told apart, the likeliest; all others are one."""


def likeliest(label: Ints, weights: Floats) -> Ints:
    """Return the labels (K,) numbered anew: the likeliest GROUPS of them, and one for all the rest."""
    mass = np.bincount(label, weights=weights)
    number = np.full(mass.size, min(GROUPS, mass.size - 1), dtype=np.int64)
    first = np.argsort(-mass, kind="stable")[:GROUPS]
    number[first] = np.arange(first.size)
    return number[label]


@dataclass(frozen=True, slots=True)
class Mending:
    """What mending takes in a state of the machine, for kinds of samples that need the same.

    `needs` (K, A+1) says which fixes a kind needs, the last column that nothing mends it; `group` (K,)
    which functions work in it, as far as that is told apart. A fix costs its price (A,) and those of its
    openings, `requires` (A, E) of `opens` (E,), that are not open yet; a `test` follows each. `done` is paid
    when the machine works, `stop` when it is given up.
    """

    needs: Bools
    group: Ints
    prices: Floats
    requires: Bools
    opens: Floats
    test: float
    done: float
    stop: float

    def blind(self, joint: Floats) -> Floats:
        """Return for each column of `joint` (K, n) its weight times what mending blind then costs; (n,).

        That is the mean cost of doing the fixes in order of chance over cost, for the best number of them
        before stopping, when it is known which functions work.
        """
        groups = int(self.group.max(initial=0)) + 1
        parted = (joint[:, :, None] * (self.group[:, None, None] == np.arange(groups))).reshape(
            len(joint), -1
        )
        whole = parted.sum(axis=0)
        chance = parted.T @ self.needs[:, :-1]
        used = np.flatnonzero(chance.any(axis=0))
        alone = np.maximum(self.prices[used] + self.requires[used] @ self.opens + self.test, LEAST)
        order = np.argsort(-(chance[:, used] / alone), axis=1, kind="stable")
        spent = self._spent(used, order)
        width = used.size + 2
        last = self._last(used, order.reshape(joint.shape[1], groups, -1))
        flat = last + width * (self.group + groups * np.arange(joint.shape[1])[:, None])
        share = np.bincount(flat.ravel(), weights=joint.T.ravel(), minlength=whole.size * width)
        share = share.reshape(whole.size, width)[:, :-1]
        mended = np.cumsum(share, axis=1)
        left = np.maximum(whole[:, None] - mended, 0.0)
        totals = np.cumsum(share * spent, axis=1) + mended * self.done + left * (spent + self.stop)
        return np.asarray(totals.min(axis=1).reshape(-1, groups).sum(axis=1))

    def _spent(self, used: Ints, order: Ints) -> Floats:
        """Return what has been spent after none, one, two … of the fixes in `order`, (rows, fixes + 1)."""
        spent: Floats = np.zeros((order.shape[0], used.size + 1))
        reached = np.logical_or.accumulate(self.requires[used][order], axis=1)
        spent[:, 1:] = np.cumsum(self.prices[used][order] + self.test, axis=1) + reached @ self.opens
        return spent

    def _last(self, used: Ints, order: Ints) -> Ints:
        """Return after how many fixes each kind is mended, (n, K); one more than all when nothing mends it.

        `order` (n, groups, fixes).
        """
        place = order.argsort(axis=2) + 1
        last = (place[:, self.group] * self.needs[:, used]).max(axis=2, initial=0)
        last[:, self.needs[:, -1]] = used.size + 1
        return np.asarray(last)

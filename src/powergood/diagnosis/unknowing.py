"""How much is not known, in bits: entropies of what must be mended, over weighted samples.

Few samples make chance look like knowledge: an entropy estimated from n samples over k values falls
short by about (k − 1) / (2 n ln 2) bits, which is added back.

References
----------
Miller, "Note on the bias of information estimates", in Information Theory in Psychology, 1955 (recalled).
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from powergood.diagnosis.recursion import Floats, Ints
from powergood.diagnosis.samples import Bools


@dataclass(frozen=True, slots=True)
class Kinds:
    """Samples of a state sorted into K kinds, by what must be mended and what proving everything would tell.

    `order` (S,) sorts the samples, each kind beginning at `starts` (K,). Kinds that need the same stand
    together, each lot beginning at `mends` (M,). `tells` (K,) numbers what proving would tell, `by_tells`
    (K,) sorts the kinds by it, each lot beginning at `tells_starts`. `needs` (K, A+1) is what each needs.
    """

    order: Ints
    starts: Ints
    mends: Ints
    tells: Ints
    by_tells: Ints
    tells_starts: Ints
    needs: Bools

    @classmethod
    def of(cls, needs: Bools, tells: Bools) -> Kinds:
        """Return the kinds of samples that need the same, (S, A+1), and would tell the same, (S, W)."""
        needed, told = _words(needs), _words(tells)
        order = np.lexsort([*told, *needed])
        new = _changes(needed[:, order])
        starts = np.flatnonzero(new | _changes(told[:, order]))
        own = told[:, order[starts]]
        by_tells = np.lexsort(own)
        fresh = _changes(own[:, by_tells])
        number = np.empty(starts.size, dtype=np.int64)
        number[by_tells] = np.cumsum(fresh) - 1
        mends, lots = np.flatnonzero(new[starts]), np.flatnonzero(fresh)
        return cls(order, starts, mends, number, by_tells, lots, needs[order[starts]])

    def sums(self, values: Floats) -> Floats:
        """Return the sums of `values` (S, …) over the samples of each kind, (K, …)."""
        return np.asarray(np.add.reduceat(values[self.order], self.starts, axis=0))

    def mended(self, shares: Floats) -> Floats:
        """Return the sums of `shares` (K, …) over the kinds that need the same, (M, …)."""
        return np.asarray(np.add.reduceat(shares, self.mends, axis=0))

    def told(self, shares: Floats) -> Floats:
        """Return the sums of `shares` (K, …) over the kinds that would tell the same."""
        return np.asarray(np.add.reduceat(shares[self.by_tells], self.tells_starts, axis=0))


def _words(marks: Bools) -> NDArray[np.uint64]:
    """Return rows of marks, (S, n), as words of 64, (n / 64 rounded up, S)."""
    packed = np.packbits(marks, axis=1)
    words: NDArray[np.uint8] = np.zeros((packed.shape[0], -(-packed.shape[1] // 8) * 8), dtype=np.uint8)
    words[:, : packed.shape[1]] = packed
    return words.view(np.uint64).T


def _changes(columns: NDArray[np.uint64]) -> Bools:
    """Return where a column of `columns` (n, S) differs from the one before; the first does."""
    new: Bools = np.ones(columns.shape[1], dtype=np.bool_)
    new[1:] = (columns[:, 1:] != columns[:, :-1]).any(axis=0)
    return new


def entropy(mass: Floats) -> float:
    """Return the entropy in bits of kinds with the chances `mass` (K,), not corrected."""
    share = mass[mass > 0]
    return float(-(share * np.log2(share)).sum())


def entropies(shares: Floats, drawn: float) -> Floats:
    """Return for each outcome its chance times the entropy of the kinds after it, corrected; (outcomes,).

    `shares` (K, outcomes) holds the chance of each kind with each outcome; `drawn` how many draws of equal
    weight the samples are worth.
    """
    mass = shares.sum(axis=0)
    bits = mass * _log2(mass) - (shares * _log2(shares)).sum(axis=0)
    values = (shares > 0.5 / drawn).sum(axis=0)
    short = np.maximum(values - 1, 0) / (2.0 * drawn * np.log(2.0))
    return np.asarray(bits + short)


def worth_draws(weights: Floats, copies: Floats) -> float:
    """Return how many draws of equal weight samples of `weights` (S,) are worth; `copies` (S,) a row."""
    return float(weights.sum()) ** 2 / float(weights @ (weights / copies))


def _log2(values: Floats) -> Floats:
    return np.log2(values, out=np.zeros_like(values), where=values > 0)

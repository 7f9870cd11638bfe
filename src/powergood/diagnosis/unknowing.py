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

from powergood.diagnosis.recursion import Floats, Ints
from powergood.diagnosis.samples import Bools


@dataclass(frozen=True, slots=True)
class Kinds:
    """Samples sorted into kinds: `label` (S,) names each kind, `order` sorts by it, `starts` begin kinds."""

    label: Ints
    order: Ints
    starts: Ints

    @classmethod
    def of(cls, label: Ints) -> Kinds:
        """Return the kinds that equal labels make."""
        order = np.argsort(label, kind="stable")
        return cls(label, order, np.flatnonzero(np.diff(label[order], prepend=-1)))


def kinds(marks: Bools) -> Kinds:
    """Return the kinds of samples with the same marks, shape (S, n)."""
    packed = np.ascontiguousarray(np.packbits(marks, axis=1))
    rows = packed.view(np.dtype((np.void, packed.shape[1]))).ravel()
    return Kinds.of(np.unique(rows, return_inverse=True)[1].astype(np.int64))


def both(one: Kinds, other: Kinds) -> Kinds:
    """Return the kinds of samples that agree in both respects."""
    paired = one.label * (other.label.max() + 1) + other.label
    return Kinds.of(np.unique(paired, return_inverse=True)[1].astype(np.int64))


def entropy(weights: Floats, of: Kinds) -> float:
    """Return the entropy in bits of the kinds, as the samples have it (not corrected)."""
    share = np.bincount(of.label, weights=weights)
    share = share[share > 0]
    return float(-(share * np.log2(share)).sum())


def entropies(joint: Floats, of: Kinds, copies: Floats) -> Floats:
    """Return for each outcome its chance times the entropy of the kinds after it, corrected; (outcomes,).

    `joint` (S, outcomes) holds the samples' weights times their chance of each outcome; `copies` (S,) the
    draws that each row stands for.
    """
    weights = joint.sum(axis=1)
    count = float(weights.sum()) ** 2 / float(weights @ (weights / copies))
    shares = np.add.reduceat(joint[of.order], of.starts, axis=0)
    mass = shares.sum(axis=0)
    bits = mass * _log2(mass) - (shares * _log2(shares)).sum(axis=0)
    values = (shares > 0.5 / count).sum(axis=0)
    short = np.maximum(values - 1, 0) / (2.0 * count * np.log(2.0))
    return np.asarray(bits + short)


def _log2(values: Floats) -> Floats:
    return np.log2(values, out=np.zeros_like(values), where=values > 0)

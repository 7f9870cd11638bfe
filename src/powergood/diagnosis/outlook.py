"""What each check would show in each sample: the chance of every outcome of every check at once.

For a sample in which it is known which links act, a check's outcome is certain but for false alarms and
the moods of intermittent faults. A mood lasts as long as the start: looks taken at one start show the same.
All checks' rungs are columns of one matrix, so that all outcomes of all checks in all samples are a few
matrix products.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from powergood.diagnosis.compiled import CheckSpec, CompiledModel
from powergood.diagnosis.recursion import Floats, Ints
from powergood.diagnosis.samples import Bools, Links, Samples, draw_moods


@dataclass(frozen=True, slots=True)
class Columns:
    """The rungs of many checks as columns, and their outcomes as another set of columns.

    `trips` (L, K): the link trips the rung; `moody` (F, K): log of the chance that an intermittent fault
    lets it pass; `leak` (K,). Rungs in `one_start` (K,) are looked at in one start, whose mood decides; a
    long look, or one with the power off, has moods of its own. Check c owns the outcomes `first[c]` …
    `good[c]`, the last being good. `by_depth[d]` are the rung columns at depth d, with the check and the
    outcome column of each.
    """

    checks: tuple[CheckSpec, ...]
    trips: NDArray[np.float32]
    moody: Floats
    leak: Floats
    one_start: Bools
    first: Ints
    good: Ints
    by_depth: tuple[tuple[Ints, Ints, Ints], ...]
    outcomes: int
    owner: Ints


def columns(
    model: CompiledModel, checks: Sequence[CheckSpec], samples: Samples, missing: frozenset[str]
) -> Columns:
    """Lay the rungs of `checks` out as columns, closures taken with the slots in `missing` empty."""
    links = samples.links
    shows = np.array([fault.shows for fault in model.faults])
    slots = [fault.slot for fault in model.faults]
    trips: list[Bools] = []
    leak: list[float] = []
    depth: dict[int, list[tuple[int, int, int]]] = {}
    first: list[int] = []
    good: list[int] = []
    owner: list[int] = []
    owner_of_rung: list[int] = []
    for number, check in enumerate(checks):
        first.append(len(owner))
        gone = missing | check.absent
        acting = np.array([slot not in check.masked for slot in slots], dtype=np.bool_)
        above: frozenset[int] = frozenset()
        for level, rung in enumerate(check.rungs):
            bases = model.closure(rung.base, gone) - above
            above |= bases
            depth.setdefault(level, []).append((len(trips), number, len(owner)))
            rests: Bools = np.zeros(len(model.bases), dtype=np.bool_)
            rests[list(bases)] = True
            trips.append(rests[links.base] & acting[links.fault])
            owner_of_rung.append(number)
            leak.append(check.leak)
            owner.append(number)
        good.append(len(owner))
        owner.append(number)
    matrix = np.array(trips, dtype=np.bool_).reshape(len(trips), links.base.size).T
    is_sign = np.array([base.is_sign for base in model.bases], dtype=np.bool_)[links.base]
    by_mood = (shows[links.fault] > 0) & ~is_sign
    steady = matrix & ~by_mood[:, None]
    return Columns(
        checks=tuple(checks),
        trips=steady.astype(np.float32),
        moody=_moods(
            shows, matrix & by_mood[:, None], links, owner_of_rung, [each.starts for each in checks]
        ),
        leak=np.array(leak),
        one_start=_one_start(checks)[owner_of_rung],
        first=np.array(first, dtype=np.int64),
        good=np.array(good, dtype=np.int64),
        by_depth=tuple(
            (
                np.array([column for column, _, _ in at], dtype=np.int64),
                np.array([check for _, check, _ in at], dtype=np.int64),
                np.array([outcome for _, _, outcome in at], dtype=np.int64),
            )
            for _, at in sorted(depth.items())
        ),
        outcomes=len(owner),
        owner=np.array(owner, dtype=np.int64),
    )


def _moods(
    shows: Floats, trips: Bools, links: Links, owner: Sequence[int], starts: Sequence[float]
) -> Floats:
    """Return the logarithm of the chance that each intermittent fault lets each rung pass, shape (F, K).

    Check c gives it `starts[c]` chances. Whether it acts is one draw a check: a rung it could trip counts
    only if no earlier rung of the same check is one it could trip too, for having passed that one it does
    not act this time.
    """
    moods = np.zeros((shows.size, trips.shape[1]))
    for fault in np.flatnonzero(shows):
        own = trips[links.fault == fault].any(axis=0)
        tripped: set[int] = set()
        for rung in (int(each) for each in np.flatnonzero(own)):
            if owner[rung] not in tripped:
                tripped.add(owner[rung])
                moods[fault, rung] = starts[owner[rung]] * np.log1p(-min(float(shows[fault]), 0.999999))
    return moods


def _one_start(checks: Sequence[CheckSpec]) -> Bools:
    """Return which checks are looks at one start, (C,)."""
    return np.array([check.power != "off" and check.starts == 1.0 for check in checks], dtype=np.bool_)


def outcome_chances(laid: Columns, samples: Samples, present: Bools, moods: Bools) -> Floats:
    """Return the chance of every outcome in every sample at a start with `moods` (S, F), (S, outcomes)."""
    acting = (samples.on & present[:, samples.links.fault]).astype(np.float32)
    steady = (acting @ laid.trips) > 0.5
    moody = np.flatnonzero(laid.moody.any(axis=1))
    there = present[:, moody]
    acts = ((there & moods[:, moody]).astype(np.float64) @ laid.moody[moody]) < 0.0
    quiet = np.where(laid.one_start, ~acts, np.exp(there.astype(np.float64) @ laid.moody[moody]))
    fails = 1.0 - (1.0 - laid.leak) * np.where(steady, 0.0, quiet)
    chances: Floats = np.zeros((present.shape[0], laid.outcomes))
    standing = np.ones((present.shape[0], len(laid.checks)))
    for column, check, outcome in laid.by_depth:
        chances[:, outcome] = standing[:, check] * fails[:, column]
        standing[:, check] *= 1.0 - fails[:, column]
    chances[:, laid.good] = standing
    return chances


class Starts:
    """What every check would show at each start of a plan; kept for the same faults present.

    Start 0 is the one that runs now, whose moods the samples have; those of later starts are drawn.
    """

    def __init__(self, model: CompiledModel, laid: Columns, samples: Samples) -> None:
        self.moody = bool((laid.moody < 0.0).any())
        self._model, self._laid, self._samples = model, laid, samples
        self._moods = [samples.moods]
        self._chances: dict[tuple[int, int], tuple[Bools, Floats]] = {}

    def chances(self, present: Bools, start: int) -> Floats:
        """Return the chance of every outcome in every sample at a start, (S, outcomes)."""
        key = (id(present), start if self.moody else 0)
        if key not in self._chances:
            moods = self._at(start)
            self._chances[key] = (present, outcome_chances(self._laid, self._samples, present, moods))
        return self._chances[key][1]

    def _at(self, start: int) -> Bools:
        while len(self._moods) <= start:
            seed = self._samples.generator_seed + 2 + len(self._moods)
            self._moods.append(draw_moods(self._model, self._samples.copies.size, seed))
        return self._moods[start]

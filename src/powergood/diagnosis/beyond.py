"""Past the recursion: importance sampling with a stated error, for very many failed findings at once.

The findings that can be held exactly are held exactly: samples are drawn from the posterior given
those, by the recursion, and weighted by how well they explain the rest. The error that is reported
comes from the effective number of samples (Kong, "A note on importance sampling using standardized
weights", 1992), which falls when the rest of the findings disagree with the kept ones.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from powergood.diagnosis.drawing import Draws, draw
from powergood.diagnosis.recursion import MOST_BITS, Component, Floats, Switch, Trajectory, Variable, solve

SAMPLES = 20_000
"""Judgement: enough for an error near half a percent when the weights are even."""

SEED = 20_250_101
"""Any fixed number: equal findings must give equal chances."""

Table = tuple[tuple[int, ...], Sequence[float]]


@dataclass(frozen=True, slots=True)
class Weighted:
    """A posterior held as weighted samples. `error` is the standard error of the worst chance.

    `draws` hold each variable's sampled histories, `weights` (n,) sum to one.
    """

    evidence: float
    chances: tuple[tuple[float, ...], ...]
    draws: tuple[Draws, ...]
    weights: Floats
    error: float


def solve_by_sampling(variables: tuple[Variable, ...], bits: int, tables: Sequence[Table]) -> Weighted:
    """Return the posterior of a component with more bits than the recursion can hold."""
    kept = _kept_bits(tables)
    place = {bit: number for number, bit in enumerate(sorted(kept))}
    inside = [table for table in tables if set(table[0]) <= kept]
    outside = [table for table in tables if not set(table[0]) <= kept]
    small = tuple(_kept(variable, place) for variable in variables)
    sets = np.arange(1 << len(place), dtype=np.int64)
    weight: Floats = np.ones(sets.size)
    for places, entries in inside:
        index = np.zeros(sets.size, dtype=np.int64)
        for number, bit in enumerate(places):
            index |= (sets >> place[bit] & 1) << number
        weight *= np.asarray(entries)[index]
    solved = solve(Component(small, weight))
    draws = draw(solved, SAMPLES, np.random.default_rng(SEED))
    tripped = _tripped(variables, draws, bits)
    weights: Floats = np.ones(SAMPLES)
    for places, entries in outside:
        index = np.zeros(SAMPLES, dtype=np.int64)
        for number, bit in enumerate(places):
            index |= tripped[:, bit].astype(np.int64) << number
        weights *= np.asarray(entries)[index]
    mean = float(weights.mean())
    total = float(weights.sum()) or 1.0
    weights = weights / total
    chances = tuple(
        tuple(float(weights[drawn.history == number].sum()) for number in range(len(variable)))
        for variable, drawn in zip(variables, draws, strict=True)
    )
    effective = 1.0 / float((weights**2).sum()) if mean > 0 else 1.0
    return Weighted(solved.evidence * mean, chances, draws, weights, 0.5 / effective**0.5)


def _kept_bits(tables: Sequence[Table]) -> set[int]:
    """Return the bits of as many reports as fit, those that say most first (the steepest tables)."""

    def says_least(table: Table) -> float:
        return min(table[1]) / max(table[1])

    kept: set[int] = set()
    for table in sorted(tables, key=lambda table: (says_least(table), table[0])):
        if len(kept | set(table[0])) <= MOST_BITS:
            kept |= set(table[0])
    return kept


def _kept(variable: Variable, place: dict[int, int]) -> Variable:
    """Return the variable with masks cut to the kept bits; switches that explain none stay, to be drawn."""
    return tuple(
        Trajectory(
            trajectory.weight,
            tuple(
                Switch(
                    switch.off,
                    switch.on,
                    sum(1 << number for bit, number in place.items() if switch.mask >> bit & 1),
                    switch.label,
                )
                for switch in trajectory.switches
            ),
        )
        for trajectory in variable
    )


def _tripped(variables: tuple[Variable, ...], draws: Sequence[Draws], bits: int) -> NDArray[np.bool_]:
    """Return which bits were explained in each sample, shape (n, bits)."""
    explained: NDArray[np.bool_] = np.zeros((SAMPLES, bits), dtype=np.bool_)
    for variable, drawn in zip(variables, draws, strict=True):
        for trajectory, thrown in zip(variable, drawn.on, strict=True):
            for column, switch in enumerate(trajectory.switches):
                for bit in range(bits):
                    if switch.mask >> bit & 1:
                        explained[:, bit] |= thrown[:, column]
    return explained

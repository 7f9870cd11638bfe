"""Exact joint samples of histories and switches from a component that the recursion has solved.

Each variable in turn is drawn given what the ones before it explain, weighed by the backward vectors, which
hold what is still to come: no sample is thrown away, and none needs a weight.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from powergood.diagnosis.recursion import Floats, Ints, Solved, Subsets, Switch


@dataclass(frozen=True, slots=True)
class Draws:
    """Joint samples of one variable: `history` (n,) and, for each history that has switches, who was on.

    `on[h]` has shape (n, switches of h); rows of samples that did not take h are False.
    """

    history: Ints
    on: tuple[NDArray[np.bool_], ...]


def draw(solved: Solved, samples: int, generator: np.random.Generator) -> tuple[Draws, ...]:
    """Draw exact independent joint samples of all histories and switches, given the findings.

    Returns one `Draws` for each variable. The same generator state gives the same samples.
    """
    subsets = Subsets(solved.component.bits)
    explained = np.zeros(samples, dtype=np.int64)
    drawn = []
    for index, variable in enumerate(solved.component.variables):
        value = solved.backward[index + 1]
        partials = [_partials(subsets, value, trajectory.switches) for trajectory in variable]
        weights = np.stack(
            [t.weight * p[0][explained] for t, p in zip(variable, partials, strict=True)]
        )  # fmt: skip
        history = _choose(weights, generator.random(samples))
        on = []
        for number, (trajectory, partial) in enumerate(zip(variable, partials, strict=True)):
            thrown = np.zeros((samples, len(trajectory.switches)), dtype=np.bool_)
            rows = np.flatnonzero(history == number)
            for place, switch in enumerate(trajectory.switches):
                if rows.size == 0:
                    break
                reached = explained[rows] | switch.mask
                lit = switch.on * partial[place + 1][reached]
                dark = switch.off * partial[place + 1][explained[rows]]
                total = lit + dark
                is_on = generator.random(rows.size) * total < lit
                thrown[rows, place] = is_on
                explained[rows] = np.where(is_on, reached, explained[rows])
            on.append(thrown)
        drawn.append(Draws(history, tuple(on)))
    return tuple(drawn)


def _partials(subsets: Subsets, value: Floats, switches: Sequence[Switch]) -> list[Floats]:
    """Return the backward vectors before each switch, and last the one after all of them."""
    found = [value]
    for switch in reversed(switches):
        found.append(subsets.back(found[-1], switch))
    found.reverse()
    return found


def _choose(weights: Floats, uniform: Floats) -> Ints:
    """Return for each column of `weights` (choices, n) a row chosen in proportion, by inverse transform."""
    rising = np.cumsum(weights, axis=0)
    chosen: Ints = (uniform * rising[-1] >= rising[:-1]).sum(axis=0).astype(np.int64)
    return chosen

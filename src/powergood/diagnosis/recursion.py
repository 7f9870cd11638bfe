"""The exact recursion over subsets of failed findings, free of subtraction.

A *variable* is one fault (or a small joint cluster) with its possible histories. Given its history, it
throws independent *switches*; a switch that is on explains every failed finding in its mask. Variables
are independent of each other, so the chance that exactly the set S of failed findings is explained can
be built up one variable at a time: a vector over the 2**m subsets, every term of which is positive.

    forward_i(S)   chance that the variables before i together explain exactly S
    backward_i(S)  expected weight of the evidence when S is explained before variable i has its turn

The posterior of a history is then one dot product; exact joint samples are drawn by walking forward with
the backward vectors (`drawing`). Cost: O(switches · 2**m) in time, O(variables · 2**m) in space.

References
----------
The sum over subsets of positive findings is that of Heckerman, "A tractable inference algorithm for
diagnosing multiple diseases", UAI 1989, here in a forward-backward form without alternating signs, so
that nothing cancels.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from functools import reduce
from operator import or_
from typing import TypeAlias

import numpy as np
from numpy.typing import NDArray

Floats: TypeAlias = NDArray[np.float64]
Ints: TypeAlias = NDArray[np.int64]

MOST_BITS = 15
"""Failed findings in one component past which the recursion is too slow for a card."""


@dataclass(frozen=True, slots=True)
class Switch:
    """One draw of a fault: with weight `on` it explains the findings in `mask`, with `off` none.

    `label` names the draw (a link, or a power-up), for whoever asks whether it was on.
    """

    off: float
    on: float
    mask: int
    label: int = -1


@dataclass(frozen=True, slots=True)
class Trajectory:
    """One history of a variable: its weight (prior, times all that passed findings say) and its switches."""

    weight: float
    switches: tuple[Switch, ...] = ()


Variable: TypeAlias = tuple[Trajectory, ...]


@dataclass(frozen=True, slots=True)
class Component:
    """Variables and failed findings that hang together. `terminal` weighs each set of explained findings.

    Shapes: `terminal` (2**m,), non-negative. Masks of the variables' switches lie in [1, 2**m).
    """

    variables: tuple[Variable, ...]
    terminal: Floats

    @property
    def bits(self) -> int:
        """The number m of findings."""
        return int(self.terminal.size).bit_length() - 1


@dataclass(frozen=True, slots=True)
class Solved:
    """The posterior of one component.

    `evidence` is the total weight Z; `chances[i][h]` the posterior of history h of variable i. `backward`
    keeps the backward vectors for sampling and for questions about single switches.
    """

    component: Component
    evidence: float
    chances: tuple[tuple[float, ...], ...]
    forward: tuple[Floats, ...]
    backward: tuple[Floats, ...]


def sum_masks(masks: Iterable[int]) -> int:
    """Return the union of bit masks."""
    return reduce(or_, masks, 0)


class Subsets:
    """Applies switches to vectors over subsets; keeps the index arrays, which many switches share."""

    __slots__ = ("_all", "_unions", "size")

    def __init__(self, bits: int) -> None:
        self.size = 1 << bits
        self._all: Ints = np.arange(self.size, dtype=np.int64)
        self._unions: dict[int, Ints] = {}

    def union(self, mask: int) -> Ints:
        """Return `S | mask` for every subset S."""
        found = self._unions.get(mask)
        if found is None:
            found = self._unions[mask] = self._all | mask
        return found

    def forth(self, vector: Floats, switch: Switch) -> Floats:
        """Return the distribution over explained sets after the switch was thrown."""
        if switch.mask & (switch.mask - 1) == 0 and switch.mask:
            before = vector.reshape(-1, 2, switch.mask)
            after = np.empty_like(before)
            np.multiply(before[:, 0], switch.off, out=after[:, 0])
            np.multiply(before[:, 1], switch.off + switch.on, out=after[:, 1])
            after[:, 1] += switch.on * before[:, 0]
            return after.reshape(-1)
        reached: Floats = np.bincount(  # type: ignore[assignment]  # weights make it float64
            self.union(switch.mask), weights=vector, minlength=self.size
        )
        reached *= switch.on
        reached += switch.off * vector
        return reached

    def back(self, vector: Floats, switch: Switch) -> Floats:
        """Return the expected value of `vector` before the switch is thrown (the transpose of `forth`)."""
        if switch.mask & (switch.mask - 1) == 0 and switch.mask:
            after = vector.reshape(-1, 2, switch.mask)
            before = np.empty_like(after)
            np.multiply(after[:, 0], switch.off, out=before[:, 0])
            before[:, 0] += switch.on * after[:, 1]
            np.multiply(after[:, 1], switch.off + switch.on, out=before[:, 1])
            return before.reshape(-1)
        value: Floats = vector[self.union(switch.mask)]
        value *= switch.on
        value += switch.off * vector
        return value

    def back_all(self, vector: Floats, switches: Sequence[Switch]) -> Floats:
        """Return `vector` taken back through all switches, the last thrown first."""
        for switch in reversed(switches):
            vector = self.back(vector, switch)
        return vector


def solve(component: Component) -> Solved:
    """Return the exact posterior of every history of every variable of the component.

    Complexity O(switches · 2**m). Weights may be unnormalised; `evidence` is nought when the findings
    are impossible, and the chances then are nought too.
    """
    subsets = Subsets(component.bits)
    before: Floats = np.zeros(subsets.size)
    before[0] = 1.0
    forward = []
    for variable in component.variables:
        forward.append(before)
        after = _silent(variable) * before
        for trajectory in variable:
            if trajectory.switches:
                vector = before
                for switch in trajectory.switches:
                    vector = subsets.forth(vector, switch)
                vector *= trajectory.weight
                after += vector
        before = after
    value = component.terminal
    evidence = float(before @ value)
    backward = [value]
    chances: list[tuple[float, ...]] = []
    scale = 1.0 / evidence if evidence > 0 else 0.0
    for variable, start in zip(reversed(component.variables), reversed(forward), strict=True):
        earlier = _silent(variable) * value
        silent = float(start @ value) * scale
        of_variable = []
        for trajectory in variable:
            if not trajectory.switches:
                of_variable.append(trajectory.weight * silent)
                continue
            vector = subsets.back_all(value, trajectory.switches)
            vector *= trajectory.weight
            of_variable.append(float(start @ vector) * scale)
            earlier += vector
        value = earlier
        backward.append(value)
        chances.append(tuple(of_variable))
    backward.reverse()
    chances.reverse()
    return Solved(component, evidence, tuple(chances), tuple(forward), tuple(backward))


def evidence(component: Component) -> float:
    """Return the weight Z of the findings alone: half the work of `solve`."""
    subsets = Subsets(component.bits)
    value = component.terminal
    for variable in component.variables:
        earlier = _silent(variable) * value
        for trajectory in variable:
            if trajectory.switches:
                earlier += trajectory.weight * subsets.back_all(value, trajectory.switches)
        value = earlier
    return float(value[0])


def _silent(variable: Variable) -> float:
    """Return the weight of the histories that throw no switch: they leave every vector as it is."""
    return sum(trajectory.weight for trajectory in variable if not trajectory.switches)


def chance_with_off(solved: Solved, variable: int, history: int, labels: frozenset[int]) -> float:
    """Return the posterior chance that variable `variable` took `history` with all switches in `labels` off.

    What is left to the history's own chance is the chance that at least one of them was on.
    """
    trajectory = solved.component.variables[variable][history]
    subsets = Subsets(solved.component.bits)
    switches = tuple(
        Switch(switch.off, 0.0, switch.mask) if switch.label in labels else switch
        for switch in trajectory.switches
    )
    vector = subsets.back_all(solved.backward[variable + 1], switches)
    weight = trajectory.weight * float(solved.forward[variable] @ vector)
    return weight / solved.evidence if solved.evidence > 0 else 0.0

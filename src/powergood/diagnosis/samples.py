"""Joint samples of what is wrong now: which faults are present, and which links each of them has.

Planning draws histories, not fault sets: a link that a finding has already shown on or off stays so in
the sample, so a check that can tell nothing new tells nothing in the plan either.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TypeAlias

import numpy as np
from numpy.typing import NDArray

from powergood.diagnosis.belief import Belief
from powergood.diagnosis.beyond import Weighted
from powergood.diagnosis.compiled import CompiledModel
from powergood.diagnosis.histories import LINKS_A_MEMBER, FaultVariable, History
from powergood.diagnosis.recursion import Draws, Ints, Solved, draw

Bools: TypeAlias = NDArray[np.bool_]

COUNT = 300
"""Judgement: enough for the ranking to be steady, few enough for a card in a blink."""

SEED = 7
"""Any fixed number: equal facts must give equal advice."""


@dataclass(frozen=True, slots=True)
class Links:
    """All links of a model in one list: fault, base and strength of each; shapes (L,)."""

    fault: Ints
    base: Ints
    strength: NDArray[np.float64]
    first: Ints

    @classmethod
    def of(cls, model: CompiledModel) -> Links:
        """Return the links of every fault, in fault order; `first[f]` is where fault f's begin."""
        flat = [(at, link) for at, fault in enumerate(model.faults) for link in fault.links]
        counts = np.array([len(fault.links) for fault in model.faults], dtype=np.int64)
        return cls(
            fault=np.array([at for at, _ in flat], dtype=np.int64),
            base=np.array([link.base for _, link in flat], dtype=np.int64),
            strength=np.array([link.strength for _, link in flat]),
            first=np.concatenate([[0], np.cumsum(counts)])[:-1].astype(np.int64),
        )


@dataclass(frozen=True, slots=True)
class Samples:
    """`present` (S, F): fault present now in the part fitted; `on` (S, L): the link acts when it is."""

    present: Bools
    on: Bools
    links: Links
    generator_seed: int


def draw_samples(belief: Belief, count: int = COUNT, seed: int = SEED) -> Samples:
    """Draw `count` exact joint samples of the state of the machine now.

    Where a group was solved by weighted samples they are resampled by their weights.
    """
    model = belief.model
    generator = np.random.default_rng(seed)
    links = Links.of(model)
    present: Bools = np.zeros((count, len(model.faults)), dtype=np.bool_)
    on: Bools = generator.random((count, links.strength.size)) < links.strength
    done: set[int] = set()
    for group in belief.groups:
        drawn = _group_draws(group.solved, count, generator)
        for number, draws in zip(group.variables, drawn, strict=True):
            _fill(belief.variables[number], draws, present, on, links)
            done.add(number)
    for number, variable in enumerate(belief.variables):
        if number in done:
            continue
        chances = np.asarray(belief.chances[number])
        rising = np.cumsum(chances)
        history = (generator.random(count)[:, None] * rising[-1] >= rising[:-1]).sum(axis=1)
        empty = tuple(np.zeros((count, 0), dtype=np.bool_) for _ in variable.histories)
        _fill(variable, Draws(history.astype(np.int64), empty), present, on, links)
    return Samples(present, on, links, seed)


def _group_draws(solved: Solved | Weighted, count: int, generator: np.random.Generator) -> tuple[Draws, ...]:
    if isinstance(solved, Solved):
        return draw(solved, count, generator)
    chosen = generator.choice(solved.weights.size, count, p=solved.weights)
    return tuple(
        Draws(drawn.history[chosen], tuple(thrown[chosen] for thrown in drawn.on)) for drawn in solved.draws
    )


def _fill(variable: FaultVariable, draws: Draws, present: Bools, on: Bools, links: Links) -> None:
    """Write one variable's drawn histories into the sample arrays, for the instances fitted now."""
    for number, history in enumerate(variable.histories):
        rows = np.flatnonzero(draws.history == number)
        if rows.size == 0:
            continue
        for place, instance in enumerate(variable.instances):
            if not instance.fitted:
                continue
            if history.present[place]:
                present[rows, instance.fault] = True
            _fill_links(history, place, rows, draws.on[number], on, int(links.first[instance.fault]))


def _fill_links(history: History, place: int, rows: Ints, thrown: Bools, on: Bools, first: int) -> None:
    for member, link in history.dark:
        if member == place:
            on[rows, first + link] = False
    for column, switch in enumerate(history.trajectory.switches):
        if switch.label >= 0 and switch.label // LINKS_A_MEMBER == place:
            on[rows, first + switch.label % LINKS_A_MEMBER] = thrown[rows, column]

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
from powergood.diagnosis.drawing import Draws, draw
from powergood.diagnosis.histories import FaultVariable, History
from powergood.diagnosis.recursion import Floats, Ints, Solved
from powergood.diagnosis.thrown import LINKS_A_MEMBER, MOOD, RUNNING_LABEL

Bools: TypeAlias = NDArray[np.bool_]

COUNT = 300
"""Judgement: enough for the ranking to be steady, few enough for a card in a blink."""

SMALL, COUNT_SMALL = 40, 3000
"""Of a machine with few faults and functions (SMALL together) more samples are drawn: most are equal, and
equal ones are worked out once."""

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
    """`present` (S, F): fault present now in the part fitted; `on` (S, L): the link acts when it is.

    `moods` (S, F): an intermittent fault acts in the start that still runs. `copies` (S,) says how many draws
    a row stands for.
    """

    present: Bools
    on: Bools
    moods: Bools
    links: Links
    generator_seed: int
    copies: Floats

    @property
    def drawn(self) -> float:
        """How many samples were drawn."""
        return float(self.copies.sum())

    def error(self, weights: Floats, deviation: Floats) -> float:
        """Return the standard error of a mean under `weights` (S,), given each sample's deviation from it."""
        return float(np.sqrt((weights**2 / self.copies) @ deviation**2))

    def merged(self, most: float) -> Samples:
        """Return the same with equal samples in one row, none standing for more than `most` draws.

        Samples are equal when the same faults are present and the same links and moods of those act. What a
        fix cures is drawn by row, so a row must not stand for too many.
        """
        acting = self.on & self.present[:, self.links.fault]
        moods = self.moods & self.present
        packed = np.ascontiguousarray(np.packbits(np.hstack([self.present, acting, moods]), axis=1))
        rows = packed.view(np.dtype((np.void, packed.shape[1]))).ravel()
        first, label = np.unique(rows, return_index=True, return_inverse=True)[1:]
        copies = np.bincount(label, weights=self.copies)
        parts = np.ceil(copies / most).astype(np.int64)
        chosen = np.repeat(first, parts)
        share = np.repeat(copies / parts, parts)
        return Samples(
            self.present[chosen],
            self.on[chosen],
            self.moods[chosen],
            self.links,
            self.generator_seed,
            share,
        )


def planning_samples(belief: Belief) -> Samples:
    """Return the samples to plan with: more of a small machine, equal ones merged."""
    if len(belief.model.faults) + len(belief.model.bases) > SMALL:
        return draw_samples(belief)
    return draw_samples(belief, COUNT_SMALL).merged(COUNT_SMALL / COUNT)


def draw_samples(belief: Belief, count: int = COUNT, seed: int = SEED) -> Samples:
    """Draw `count` exact joint samples of the state of the machine now.

    Where a group was solved by weighted samples they are resampled by their weights.
    """
    model = belief.model
    generator = np.random.default_rng(seed)
    links = Links.of(model)
    present: Bools = np.zeros((count, len(model.faults)), dtype=np.bool_)
    on: Bools = generator.random((count, links.strength.size)) < links.strength
    moods = draw_moods(model, count, seed + 2)
    done: set[int] = set()
    for group in belief.groups:
        drawn = _group_draws(group.solved, count, generator)
        for number, draws in zip(group.variables, drawn, strict=True):
            _fill(belief.variables[number], draws, present, on, moods, links)
            done.add(number)
    for number, variable in enumerate(belief.variables):
        if number in done:
            continue
        chances = np.asarray(belief.chances[number])
        rising = np.cumsum(chances)
        history = (generator.random(count)[:, None] * rising[-1] >= rising[:-1]).sum(axis=1)
        empty = tuple(np.zeros((count, 0), dtype=np.bool_) for _ in variable.histories)
        _fill(variable, Draws(history.astype(np.int64), empty), present, on, moods, links)
    return Samples(present, on, moods, links, seed, np.ones(count))


def draw_moods(model: CompiledModel, count: int, seed: int) -> Bools:
    """Draw whether each fault would act in a start of its own, (count, F); a steady fault has no moods."""
    shows = np.array([fault.shows for fault in model.faults])
    return np.asarray(np.random.default_rng(seed).random((count, shows.size)) < shows)


def _group_draws(solved: Solved | Weighted, count: int, generator: np.random.Generator) -> tuple[Draws, ...]:
    if isinstance(solved, Solved):
        return draw(solved, count, generator)
    chosen = generator.choice(solved.weights.size, count, p=solved.weights)
    return tuple(
        Draws(drawn.history[chosen], tuple(thrown[chosen] for thrown in drawn.on)) for drawn in solved.draws
    )


def _fill(
    variable: FaultVariable, draws: Draws, present: Bools, on: Bools, moods: Bools, links: Links
) -> None:
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
            thrown = draws.on[number]
            _fill_links(history, place, rows, thrown, on, int(links.first[instance.fault]))
            _fill_mood(history, place, rows, thrown, moods[:, instance.fault])


def _fill_links(history: History, place: int, rows: Ints, thrown: Bools, on: Bools, first: int) -> None:
    for member, link in history.dark:
        if member == place and link != MOOD:
            on[rows, first + link] = False
    for column, switch in enumerate(history.trajectory.switches):
        if switch.label >= 0 and switch.label // LINKS_A_MEMBER == place:
            on[rows, first + switch.label % LINKS_A_MEMBER] = thrown[rows, column]


def _fill_mood(history: History, place: int, rows: Ints, thrown: Bools, moods: Bools) -> None:
    if (place, MOOD) in history.dark:
        moods[rows] = False
    for column, switch in enumerate(history.trajectory.switches):
        if switch.label == RUNNING_LABEL - place:
            moods[rows] = thrown[rows, column]

"""A higher cost that no plan can average below, for whoever has a second or two more than the card.

The likeliest worlds are taken together: for them an easier problem is solved (`relaxed`). In all other worlds
faults are charged their prices (`bound`). To tell a plan which of the two is the case can only help it, so
the sum of both is a bound. Each level takes more worlds and follows plans further; the work at a level is
fixed, so that equal facts give an equal bound.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from powergood.diagnosis.belief import Belief, belief
from powergood.diagnosis.bound import Prices, breaking
from powergood.diagnosis.compiled import CompiledModel
from powergood.diagnosis.gathering import gather
from powergood.diagnosis.left import function_states
from powergood.diagnosis.model import Preferences
from powergood.diagnosis.relaxed import Relaxed
from powergood.diagnosis.samples import draw_samples
from powergood.diagnosis.worlds import World, likely_worlds, ties
from powergood.diagnosis.worth import Worth
from powergood.record.timeline import Timeline


@dataclass(frozen=True, slots=True)
class Level:
    """The work of a level: `worlds` in all, how many are taken `together`, and the `steps` weighed there."""

    worlds: int
    together: int
    steps: int


LEVELS = (Level(12, 12, 1500), Level(16, 16, 12000), Level(32, 16, 4000))
"""On a family some two tenths of a second, one to two seconds, one to two more. Measured."""

DRAWN = 2000
"""Samples from which the likeliest worlds are read off."""


def levels() -> int:
    """Return the highest level of `tightened`; no more can be worked out."""
    return len(LEVELS)


def tightened(
    model: CompiledModel,
    line: Timeline,
    preferences: Preferences | None = None,
    *,
    level: int = len(LEVELS),
    above: int = 0,
) -> float:
    """Return a cost in minutes that no plan can average below, after the work of levels 1 to `level`.

    Level 0 is what `advise` says at once. Never lower at a higher level. Who has the bound of a lower level
    already gives that as `above` and takes the greater of the two.

    Raises
    ------
    ValueError : there is no such level.
    """
    if not 0 <= level <= len(LEVELS):
        raise ValueError(f"There is no level {level}: choose 0 to {len(LEVELS)}.")
    wants = preferences or Preferences()
    held = belief(model, gather(model, line))
    if held.weight <= 0:
        return 0.0
    now = held.evidence.now
    worth = Worth.of(model, wants, now.wanted, now.missing)
    states = function_states(held, wants.threshold)
    refit = worth.refit(now.opened)
    if all(state.standing == "proven" for state in states):
        return refit
    owed = frozenset(n for n, state in enumerate(states) if state.standing in ("unknown", "failing"))
    chances = breaking(held, worth)
    prices = Prices.of(held, worth, owed, chances)
    whole = {fault: prices.weight(fault, chance) for fault, chance in chances.items()}
    best = prices.over(whole, 1.0)
    for each in LEVELS[above:level]:
        best = max(best, _at_level(held, worth, owed, prices, chances, each))
    return best + refit


def _at_level(
    held: Belief,
    worth: Worth,
    owed: frozenset[int],
    prices: Prices,
    chances: Mapping[int, float],
    level: Level,
) -> float:
    """Return the bound of one level; refitting what is open now is not in it.

    Nought where a part is out: what a check rests on may then change with what is fitted.
    """
    now = held.evidence.now
    if not owed or now.missing or any(group.solved.evidence <= 0 for group in held.groups):
        return 0.0
    closure = frozenset[int]().union(*(worth.closures[function] for function in owed))
    samples = draw_samples(held, DRAWN)
    worlds = [
        world
        for world in likely_worlds(held, samples, closure, level.worlds)
        if not any(held.model.faults[fault].shows for fault in world.broken)
    ]
    if not worlds:
        return 0.0
    tied, together = ties(held), 0.0
    for start in range(0, len(worlds), level.together):
        easier = Relaxed(worth, worlds[start : start + level.together], tied, owed)
        mass, root = easier.root(now.opened, running=now.running is not None)
        together += mass * easier.deepened(root, level.steps)
    mass = sum(world.chance for world in worlds)
    rest = {fault: prices.weight(fault, chance - _there(worlds, fault)) for fault, chance in chances.items()}
    return together + prices.over(rest, max(1.0 - mass, 0.0))


def _there(worlds: Sequence[World], fault: int) -> float:
    return sum(world.chance for world in worlds if fault in world.present)

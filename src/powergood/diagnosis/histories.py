"""Every fault's possible histories, each with its weight and the switches it throws.

A fault instance is absent or present, arises when something disturbs it, is cured by a fix, and acts
only while its part is fitted and not masked. A *history* is what matters of that: in which rows it
was there to act, and whether it was there at first and is there now. Histories that agree on these are
one. What a fault throws, given its history, is said by `thrown`.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from itertools import product

from powergood.diagnosis.bench_now import place_of
from powergood.diagnosis.compiled import CompiledModel
from powergood.diagnosis.evidence import Event, Evidence
from powergood.diagnosis.recursion import Switch, Trajectory, sum_masks
from powergood.diagnosis.rows import RowSets
from powergood.diagnosis.thrown import thrown


@dataclass(frozen=True, slots=True)
class Instance:
    """One fault of one part instance: index into the model's faults, and which instance carries it.

    `fault` is the fault of the slot the instance sits in now, or of its first slot when it is in none.
    """

    fault: int
    instance: str
    fitted: bool


@dataclass(frozen=True, slots=True)
class _Carried:
    """A fault of a part instance as it was first met: `fault` is that of the instance's first slot."""

    fault: int
    instance: str

    def now(self, model: CompiledModel, evidence: Evidence) -> Instance:
        """Return the same where the instance sits now."""
        home = model.faults[self.fault].slot
        if not home:
            return Instance(self.fault, self.instance, True)
        place = place_of(evidence.now.moved, self.instance, home)
        if place == home:
            return Instance(self.fault, self.instance, True)
        here = model.in_slot(self.fault, place) if place else None
        return Instance(self.fault if here is None else here, self.instance, here is not None)


@dataclass(frozen=True, slots=True)
class History:
    """One history of a cluster of fault instances: which are present now, which links are known.

    `present` is aligned with the cluster's instances. `dark` are (member, link) pairs that a passed
    finding shows to be off, `thrown` those that the trajectory's switches decide. All others are as
    they were before. `arose` marks members that are present now but were absent at first, `began` those
    that were there when the machine (or the new part) came: what a closed job teaches is about these.
    """

    present: tuple[bool, ...]
    trajectory: Trajectory
    dark: frozenset[tuple[int, int]] = frozenset()
    arose: tuple[bool, ...] = ()
    began: tuple[bool, ...] = ()


@dataclass(frozen=True, slots=True)
class FaultVariable:
    """A small joint cluster of fault instances with all its histories."""

    instances: tuple[Instance, ...]
    histories: tuple[History, ...]


def fault_variables(model: CompiledModel, evidence: Evidence) -> tuple[FaultVariable, ...]:
    """Return one variable for each cluster of the machine as it came, and for each fault of a new part.

    A new part's faults share its chance of being a dud in proportion to how common each is.
    """
    rows = RowSets(model, evidence)
    found = []
    for cluster in model.clusters:
        carried = tuple(_Carried(member, model.faults[member].slot) for member in cluster.members)
        found.append(_variable(model, evidence, rows, carried, cluster.joint))
    for newcomer in evidence.newcomers:
        own = [place for place, fault in enumerate(model.faults) if fault.slot == newcomer.slot]
        total = sum(model.faults[place].prior for place in own) or 1.0
        for place in own:
            chance = newcomer.dud * model.faults[place].prior / total
            carried = (_Carried(place, newcomer.instance),)
            found.append(_variable(model, evidence, rows, carried, (1 - chance, chance)))
    return tuple(found)


def _variable(
    model: CompiledModel,
    evidence: Evidence,
    rows: RowSets,
    carried: tuple[_Carried, ...],
    joint: Sequence[float],
) -> FaultVariable:
    if len(carried) == 1 and (carried[0].fault, carried[0].instance) not in evidence.events:
        return _undisturbed(model, evidence, rows, carried[0], joint)
    instances = tuple(each.now(model, evidence) for each in carried)
    faults = [model.faults[each.fault] for each in carried]
    acting = [rows.acting(fault.slot, each.instance) for fault, each in zip(faults, carried, strict=True)]
    events = [evidence.events.get((each.fault, each.instance), ()) for each in carried]
    seen = [
        tuple(rows.sees(link, fault.slot, each.instance) for link in fault.links)
        for fault, each in zip(faults, carried, strict=True)
    ]
    relevant = [mask & sum_masks(each) for mask, each in zip(acting, seen, strict=True)]
    parts = [
        tuple(_paths(bool(start), events[place], relevant[place], rows) for start in (0, 1))
        for place in range(len(instances))
    ]
    merged: dict[tuple[tuple[bool, int, bool], ...], float] = {}
    for bits, weight in enumerate(joint):
        if weight <= 0:
            continue
        options = [parts[place][bits >> place & 1] for place in range(len(instances))]
        for combination in product(*(option.items() for option in options)):
            chance = weight
            for _, step in combination:
                chance *= step
            ends = tuple(
                (path[0], path[1], bool(bits >> place & 1)) for place, (path, _) in enumerate(combination)
            )
            merged[ends] = merged.get(ends, 0.0) + chance
    histories = []
    for ends, weight in merged.items():
        switches: list[Switch] = []
        dark: set[tuple[int, int]] = set()
        for place, (_, there, _) in enumerate(ends):
            scalar, own, off = thrown(faults[place], there, place, rows, seen[place])
            weight *= scalar
            switches += own
            dark |= {(place, link) for link in off}
        histories.append(
            History(
                present=tuple(present for present, _, _ in ends),
                trajectory=Trajectory(weight, tuple(switches)),
                dark=frozenset(dark),
                arose=tuple(present and not began for present, _, began in ends),
                began=tuple(began for _, _, began in ends),
            )
        )
    return FaultVariable(instances, tuple(histories))


def _undisturbed(
    model: CompiledModel, evidence: Evidence, rows: RowSets, carried: _Carried, joint: Sequence[float]
) -> FaultVariable:
    """Return the two histories of a fault that nothing was done about: never there, or there all along."""
    fault = model.faults[carried.fault]
    absent, present = joint
    seen = [rows.sees(link, fault.slot, carried.instance) for link in fault.links]
    there = rows.acting(fault.slot, carried.instance) & sum_masks(seen)
    factor, switches, off = thrown(fault, there, 0, rows, seen) if there else (1.0, [], [])
    never = History((False,), Trajectory(absent), frozenset(), (False,), (False,))
    dark = frozenset((0, link) for link in off)
    ever = History((True,), Trajectory(present * factor, tuple(switches)), dark, (False,), (True,))
    return FaultVariable((carried.now(model, evidence),), (never, ever))


def _paths(
    present: bool, events: Iterable[Event], relevant: int, rows: RowSets
) -> Mapping[tuple[bool, int], float]:
    """Return the ways a fault may have gone from its first state: (present now, rows it was there in)."""
    ways: dict[tuple[bool, int], float] = {(present, 0): 1.0}
    done = 0
    for event in events:
        until = rows.before(event.time)
        ways = _lived(ways, relevant & until & ~done)
        done |= until
        turned: dict[tuple[bool, int], float] = {}
        for (there, mask), chance in ways.items():
            turns = event.chance if there != event.makes else 0.0
            for state, share in ((not there, turns), (there, 1.0 - turns)):
                if share > 0:
                    turned[state, mask] = turned.get((state, mask), 0.0) + chance * share
        ways = turned
    return _lived(ways, relevant & ~done)


def _lived(ways: Mapping[tuple[bool, int], float], rows: int) -> dict[tuple[bool, int], float]:
    return {(there, mask | rows if there else mask): chance for (there, mask), chance in ways.items()}

"""The facts of one job in order, withdrawals applied, and the bench state they amount to.

A `Timeline` is where everything else starts: no other module asks whether a fact was withdrawn.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field

from powergood.record.model import (
    Fact,
    FixDone,
    GateAnswered,
    JobOpened,
    Opened,
    PartIn,
    PartOut,
    Refitted,
    WantedSet,
    Withdrawn,
)


@dataclass(frozen=True, slots=True)
class Timeline:
    """Facts that stand, in the order they were written.

    Invariant: numbers rise strictly, and no fact that was withdrawn (nor a withdrawal) is in `facts`.
    """

    facts: tuple[Fact, ...] = ()
    withdrawn: Mapping[int, Fact] = field(default_factory=dict)


def timeline(facts: Iterable[Fact]) -> Timeline:
    """Return the facts that stand, in order.

    A withdrawal takes back the earlier fact it names; withdrawing a withdrawal brings that fact back. The
    last word on a fact counts, whatever order the facts are given in.
    """
    ordered = sorted(facts, key=lambda fact: fact.number)
    by_number = {fact.number: fact for fact in ordered}
    taken_back: dict[int, Fact] = {}
    for fact in reversed(ordered):
        if not isinstance(fact.body, Withdrawn) or fact.number in taken_back:
            continue
        if fact.body.fact in by_number and fact.body.fact < fact.number:
            taken_back.setdefault(fact.body.fact, fact)
    standing = tuple(
        fact for fact in ordered if fact.number not in taken_back and not isinstance(fact.body, Withdrawn)
    )
    return Timeline(facts=standing, withdrawn=taken_back)


@dataclass(frozen=True, slots=True)
class Bench:
    """The state of the machine on the bench: what is open, what sits in which slot, which gates are met.

    `moved` maps a slot to the instance in it, for slots whose content has changed; an empty string means
    that the slot is empty. A slot that is not named holds its first instance, which bears the slot's name.
    """

    opened: frozenset[str] = frozenset()
    moved: Mapping[str, str] = field(default_factory=dict)
    gates: frozenset[str] = frozenset()
    wanted: tuple[str, ...] = ()
    power_up: int = 0

    def fitted(self, slot: str) -> str:
        """Return the instance in `slot`; empty when nothing is fitted there."""
        return self.moved.get(slot, slot)


def bench_states(line: Timeline) -> tuple[Bench, ...]:
    """Return the bench before each fact and, last, after all of them: one more state than facts."""
    states = [Bench()]
    for fact in line.facts:
        states.append(_after(states[-1], fact))
    return tuple(states)


def _after(bench: Bench, fact: Fact) -> Bench:
    body = fact.body
    opened, moved, gates, wanted = bench.opened, bench.moved, bench.gates, bench.wanted
    match body:
        case Opened(opening=opening):
            opened = opened | {opening}
        case Refitted(opening=opening):
            opened = opened - {opening}
        case PartOut(instance=instance, slot=slot):
            where = slot or slot_holding(bench, instance)
            moved = {**moved, where: ""}
        case PartIn(instance=instance, slot=slot):
            moved = _put(moved, instance, slot or home_slot(instance))
        case FixDone(slot=slot, instance=instance) if slot and instance:
            moved = _put(moved, instance, slot)
        case GateAnswered(gate=gate, met=met):
            gates = gates | {gate} if met else gates - {gate}
        case JobOpened(wanted=functions) | WantedSet(wanted=functions):
            wanted = functions
        case _:
            pass
    return Bench(opened, moved, gates, wanted, max(bench.power_up, fact.draft.power_up))


def standing_ticks(line: Timeline) -> frozenset[int]:
    """Return the facts that met a gate which is met still: of each the first since it was last not met."""
    first: dict[str, int] = {}
    for fact in line.facts:
        if isinstance(fact.body, GateAnswered):
            if fact.body.met:
                first.setdefault(fact.body.gate, fact.number)
            else:
                first.pop(fact.body.gate, None)
    return frozenset(first.values())


def _put(moved: Mapping[str, str], instance: str, slot: str) -> Mapping[str, str]:
    """Return what sits where once `instance` is in `slot`: it is in no other slot any more."""
    emptied = {where: "" if held == instance else held for where, held in moved.items()}
    if instance == home_slot(instance) != slot:
        emptied.setdefault(instance, "")
    return {**emptied, slot: instance}


def home_slot(instance: str) -> str:
    """Return the slot an instance belongs to by its name: `disk/2` belongs to `disk`."""
    return instance.split("/", 1)[0]


def slot_holding(bench: Bench, instance: str) -> str:
    """Return the slot that holds `instance` now; the slot of its name when it was never moved."""
    for slot, held in bench.moved.items():
        if held == instance:
            return slot
    return home_slot(instance)

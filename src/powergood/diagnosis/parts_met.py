"""The part instances that facts name: which are new, where each was first fitted, which may be duds."""

from __future__ import annotations

from dataclasses import replace
from itertools import count

from powergood.diagnosis.compiled import CompiledModel
from powergood.diagnosis.evidence import Newcomer

DUD_BY_STANDING = {"known-good": 0.01, "good once": 0.05, "unknown": 0.1, "suspect": 0.4, "bad": 0.9}
"""Judgement: chance that a part put in is itself faulty, by its standing among the spares."""


class PartsMet:
    """The part instances met so far, in the order of the facts."""

    def __init__(self, model: CompiledModel) -> None:
        self._own = frozenset(model.slots) | {fault.slot for fault in model.faults}
        self._newcomers: dict[str, Newcomer] = {}
        self._duds: dict[str, float] = {}

    def meet(self, instance: str, slot: str, dud: float) -> None:
        """Take in that an instance was fitted in a slot; one not met before is new and may be a dud.

        `dud` is the chance of that, unless something is known of where the instance came from.
        """
        if instance not in self._own and instance not in self._newcomers:
            self._newcomers[instance] = Newcomer(slot, instance, self._duds.get(instance, dud))

    def came_from(self, instance: str, dud: float) -> None:
        """Take in where an instance came from, and the chance of a dud that was learned of that source."""
        if instance in self._newcomers:
            self._newcomers[instance] = replace(self._newcomers[instance], dud=dud)
        self._duds[instance] = dud

    def home(self, instance: str) -> str:
        """Return the slot an instance was first fitted in."""
        newcomer = self._newcomers.get(instance)
        return newcomer.slot if newcomer else instance

    def new_name(self, slot: str) -> str:
        """Return a name for a new part in a slot that nobody named."""
        return next(name for number in count(2) if (name := f"{slot}/{number}") not in self._newcomers)

    def newcomers(self) -> tuple[Newcomer, ...]:
        """Return the instances that the machine did not come with."""
        return tuple(self._newcomers.values())

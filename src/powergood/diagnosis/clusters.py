"""Faults that make each other, and the joint chances of each such cluster."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from itertools import product
from math import prod

from powergood.diagnosis.compiled import Cluster, FaultSpec

Making = tuple[int, int, float]
"""One fault makes another with a chance: the numbers of cause and effect, and the chance."""


def clusters(priors: Sequence[float], makes: Iterable[Making]) -> tuple[Cluster, ...]:
    """Return the joint clusters that `makes` forms, and one of its own for every other fault.

    `priors` are the chances of each fault to be present of itself; the making graph must have no circle.
    """
    every = tuple(makes)
    group = list(range(len(priors)))

    def leader(member: int) -> int:
        while group[member] != member:
            member = group[member]
        return member

    for cause, effect, _ in every:
        group[leader(effect)] = leader(cause)
    members: dict[int, list[int]] = {}
    for number in range(len(priors)):
        members.setdefault(leader(number), []).append(number)
    return tuple(_cluster(tuple(found), priors, every) for found in members.values())


def single_clusters(faults: Sequence[FaultSpec]) -> tuple[Cluster, ...]:
    """Return each fault in a cluster of its own, for a model built by hand."""
    return tuple(Cluster((at,), (1.0 - fault.prior, fault.prior)) for at, fault in enumerate(faults))


def _cluster(members: tuple[int, ...], priors: Sequence[float], makes: Iterable[Making]) -> Cluster:
    """Return the joint of members, each present of itself or made by another that is present.

    The making graph is acyclic, so the chance of a set is the product over its members, each given the
    others: 1 − (1 − prior)·Π(1 − chance of each present maker).
    """
    makers: dict[int, list[tuple[int, float]]] = {member: [] for member in members}
    for cause, effect, chance in makes:
        if effect in makers:
            makers[effect].append((cause, chance))
    joint = []
    for bits in product((False, True), repeat=len(members)):
        present = dict(zip(reversed(members), bits, strict=True))
        weight = 1.0
        for member in members:
            absent = (1 - priors[member]) * prod(1 - c for maker, c in makers[member] if present[maker])
            weight *= 1 - absent if present[member] else absent
        joint.append(weight)
    return Cluster(members, tuple(joint))

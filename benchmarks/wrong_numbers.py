"""How much is lost when the numbers are wrong: plan with perturbed ones, repair the true machine.

Each repair gets a wrong model of its own. The odds of every fault are three times or a third of the true
ones, each with chance one half; every link is 0.2 stronger or weaker, within bounds. A link that is certain
stays so: what a part is for is not in doubt. Policies see only the wrong model; what their checks show and
what their fixes cure comes from the true one.
"""

from __future__ import annotations

from dataclasses import replace

import numpy as np
from repairs import Outcome, Policy, repair, truths

from powergood.diagnosis import Preferences
from powergood.diagnosis.compiled import Cluster, CompiledModel, FaultSpec, Link
from powergood.record.model import Body

ODDS = 3.0
"""Factor by which the odds of a fault are wrong, up or down."""

LINK = 0.2
"""By how much a link is wrong, up or down."""

LEAST_LINK, MOST_LINK = 0.05, 0.98
"""Bounds of a wrong link."""


def perturbed(model: CompiledModel, seed: int) -> CompiledModel:
    """Return `model` with wrong odds and wrong links, drawn from `seed`."""
    g = np.random.default_rng(seed)
    factors = ODDS ** g.choice((-1.0, 1.0), len(model.faults))
    clusters = tuple(_tilted(cluster, factors) for cluster in model.clusters)
    priors = _marginals(clusters, len(model.faults))
    faults = tuple(
        replace(fault, prior=float(priors[number]), links=_wrong_links(g, fault))
        for number, fault in enumerate(model.faults)
    )
    return replace(model, faults=faults, clusters=clusters)


def _tilted(cluster: Cluster, factors: np.ndarray) -> Cluster:
    """Return the cluster with each member's odds multiplied, whatever the others are."""
    weights = [
        chance
        * float(np.prod([factors[f] if bits >> at & 1 else 1.0 for at, f in enumerate(cluster.members)]))
        for bits, chance in enumerate(cluster.joint)
    ]
    return Cluster(cluster.members, tuple(weight / sum(weights) for weight in weights))


def _marginals(clusters: tuple[Cluster, ...], faults: int) -> np.ndarray:
    priors = np.zeros(faults)
    for cluster in clusters:
        for at, fault in enumerate(cluster.members):
            priors[fault] = sum(chance for bits, chance in enumerate(cluster.joint) if bits >> at & 1)
    return priors


def _wrong_links(g: np.random.Generator, fault: FaultSpec) -> tuple[Link, ...]:
    found = []
    for link in fault.links:
        wrong = link.strength + LINK * float(g.choice((-1.0, 1.0)))
        strength = link.strength if link.strength >= 1.0 else min(max(wrong, LEAST_LINK), MOST_LINK)
        found.append(Link(link.base, strength))
    return tuple(found)


def lost(
    model: CompiledModel, start: list[Body], policy: Policy, count: int, seed: int, wants: Preferences
) -> tuple[list[Outcome], list[Outcome]]:
    """Return the ends of `count` paired repairs: planned with the right numbers, and with wrong ones."""
    right, wrong = [], []
    for number, (first, again) in enumerate(
        zip(truths(model, start, count, seed), truths(model, start, count, seed), strict=True)
    ):
        mistaken = perturbed(model, 1000 * seed + number)
        right.append(repair(model, start, first, policy, wants))
        wrong.append(
            repair(model, start, again, lambda _, facts, w, m=mistaken: policy(m, facts, w), wants)  # type: ignore[misc]
        )
    return right, wrong

"""Two-layer networks of faults and findings, handed to a general Bayesian-network library (pyAgrum).

pyAgrum has two noisy-OR nodes that differ in what a leak means. `addNoisyORNet(node, leak)` with arcs of
weight q is ours: P(finding | faults x) = 1 − (1 − leak)·Π(1 − q), the leak being one more cause beside the
others. `addNoisyORCompound` (and `addNoisyOR`, the same thing) takes as an arc's weight the chance of the
finding given that one fault *and the leak*; with our numbers it would answer another question. A test
holds that reading of both.
"""

from __future__ import annotations

import warnings
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from random import Random

with warnings.catch_warnings():
    # The library's wrapper types warn on import under newer interpreters; nothing of ours is in it.
    warnings.simplefilter("ignore")
    import pyagrum as gum

__all__ = ["Network", "gum", "posterior", "random_network"]


@dataclass(frozen=True)
class Network:
    """A two-layer noisy-OR network: `priors` of faults, and per finding its leak, parents and outcome."""

    priors: tuple[float, ...]
    leaks: tuple[float, ...]
    parents: tuple[Mapping[int, float], ...]
    failed: tuple[bool, ...]


def random_network(seed: int, *, faults: int, findings: int, failed: int, parents: int = 6) -> Network:
    """Return a network with log-uniform priors (0.003 to 0.1) of which `failed` findings failed."""
    chance = Random(seed)
    ailing = set(chance.sample(range(findings), failed))
    return Network(
        priors=tuple(0.003 * (0.1 / 0.003) ** chance.random() for _ in range(faults)),
        leaks=tuple(chance.uniform(0.001, 0.05) for _ in range(findings)),
        parents=tuple(
            {
                fault: chance.choice([1.0, chance.uniform(0.05, 0.99), chance.uniform(0.05, 0.99)])
                for fault in chance.sample(range(faults), chance.randint(3, parents))
            }
            for _ in range(findings)
        ),
        failed=tuple(number in ailing for number in range(findings)),
    )


def posterior(network: Network, *, whole: bool) -> list[float]:
    """Return each fault's chance given all findings, by lazy propagation.

    With `whole` every finding is a node. Otherwise passed findings become soft evidence on their parents,
    P(passes | fault) = 1 − q for each, which keeps networks with many findings within memory.
    """
    net = gum.BayesNet()
    faults = [net.add(gum.LabelizedVariable(f"f{n}", "", 2)) for n in range(len(network.priors))]
    for node, prior in zip(faults, network.priors, strict=True):
        net.cpt(node).fillWith([1 - prior, prior])
    hard: dict[int, int] = {}
    quiet = [1.0] * len(faults)
    findings = zip(network.leaks, network.parents, network.failed, strict=True)
    for number, (leak, parents, failed) in enumerate(findings):
        if not failed and not whole:
            for fault, strength in parents.items():
                quiet[fault] *= 1 - strength
            continue
        node = net.addNoisyORNet(gum.LabelizedVariable(f"c{number}", "", 2), leak)
        for fault, strength in parents.items():
            net.addWeightedArc(faults[fault], node, strength)
        hard[node] = int(failed)
    engine = gum.LazyPropagation(net)
    for node, value in hard.items():
        engine.addEvidence(node, value)
    for node, likelihood in zip(faults, quiet, strict=True):
        if likelihood < 1:
            engine.addEvidence(node, [1.0, likelihood])
    engine.makeInference()
    return [float(engine.posterior(node)[1]) for node in faults]


def leaks_of(kind: str, leak: float, strengths: Sequence[float]) -> list[float]:
    """Return P(finding) with no fault and with each fault alone, as the library's node `kind` has it."""
    net = gum.BayesNet()
    node = getattr(net, kind)(gum.LabelizedVariable("c", "", 2), leak)
    names = [f"f{n}" for n in range(len(strengths))]
    for name, strength in zip(names, strengths, strict=True):
        net.addWeightedArc(net.add(gum.LabelizedVariable(name, "", 2)), node, strength)
    cpt = net.cpt(node)
    alone = [dict.fromkeys(names, 0), *({other: int(other == name) for other in names} for name in names)]
    return [float(cpt[each][1]) for each in alone]

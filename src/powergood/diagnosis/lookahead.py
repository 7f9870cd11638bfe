"""States of a plan and what leads from one to the next, over weighted samples of what is wrong.

Everything that does not change on the way is held once: what each check would show, what each fix cures in
each sample, the prices. What is left to pay at a state is estimated from two sides: what it costs if the
faults were known, and what mending without looking costs (`blind`); between them lies the price of not
knowing.
"""

from __future__ import annotations

from collections.abc import Sequence
from copy import copy
from dataclasses import dataclass, replace

import numpy as np

from powergood.diagnosis.blind import likeliest
from powergood.diagnosis.compiled import CheckSpec, CompiledModel, FixSpec
from powergood.diagnosis.fixing import Fixing
from powergood.diagnosis.hindsight import Hindsight
from powergood.diagnosis.outlook import Columns, Starts, columns
from powergood.diagnosis.recursion import Floats
from powergood.diagnosis.running import Running, disturbs, needs_start, running_after
from powergood.diagnosis.samples import Bools, Samples
from powergood.diagnosis.step_costs import StepCosts
from powergood.diagnosis.unknowing import Kinds, entropy
from powergood.diagnosis.worth import Worth

LEAST_MASS = 1e-3
"""Outcomes less likely than this are not looked into further."""

NOTHING = 1e-9
"""A kind of samples this unlikely is left out of what mending blind costs."""


@dataclass(frozen=True, slots=True)
class Node:
    """A state of the plan: weighted samples of what is wrong, what is open, what is still unproven.

    `weights` (S,) sum to one. `times` counts how often each fix was done on the way here. `told` are checks
    that would only be the same look again, until something is done. `passed` are functions that a check has
    shown to work, unproven only since the chance that a fault is left is above the threshold. `running` are
    the looks taken at the start that still runs; None when the machine is off. `start` numbers the last
    start, 0 before any is made; a long look counts as one, since what comes and goes may do so meanwhile.
    """

    present: Bools
    weights: Floats
    broken: Bools
    opened: frozenset[str]
    unproven: frozenset[int]
    times: tuple[int, ...]
    missing: frozenset[str]
    told: frozenset[str] = frozenset()
    passed: frozenset[int] = frozenset()
    running: Running = None
    start: int = 0


class Lookahead:
    """The states that steps lead to. Holds what does not change on the way: columns, fixes, random draws."""

    def __init__(
        self,
        worth: Worth,
        samples: Samples,
        checks: Sequence[CheckSpec],
        fixes: Sequence[FixSpec],
        missing: frozenset[str],
    ) -> None:
        self.worth = worth
        self.model: CompiledModel = worth.model
        self.samples = samples
        self.fixes = tuple(fixes)
        self.hindsight = Hindsight(worth, samples, fixes)
        self._fixing = Fixing(self.model, samples, self.fixes)
        self._number = {fix.id: at for at, fix in enumerate(self.fixes)}
        self._loses = [self._proofs_lost(fix) for fix in self.fixes]
        self._kinds: dict[tuple[int, frozenset[str]], tuple[Bools, Kinds]] = {}
        self._left: dict[int, tuple[Bools, Floats]] = {}
        self._lay(checks, missing)

    def _lay(self, checks: Sequence[CheckSpec], missing: frozenset[str]) -> None:
        self.laid: Columns = columns(self.model, checks, self.samples, missing)
        self.starts = Starts(self.model, self.laid, self.samples)
        self.opens = {check.id: self.model.whole_opening(check.open) for check in checks}
        self.opens |= {fix.id: self.model.whole_opening(fix.open) for fix in self.fixes}
        self.costs = StepCosts(self.worth, checks, self.fixes)
        self._place = {check.id: number for number, check in enumerate(checks)}

    def narrowed(self, checks: Sequence[CheckSpec], missing: frozenset[str]) -> Lookahead:
        """Return the same with fewer checks, for looking further ahead; what fixes lead to is shared."""
        near = copy(self)
        near._lay(checks, missing)
        return near

    # --- states -----------------------------------------------------------------------------------

    def outlook(self, node: Node) -> Floats:
        """Return the chance of every outcome in each sample, (S, outcomes).

        Looks at the start that runs share its mood; what needs one more start is at the next.
        """
        following = self.starts.chances(node.present, node.start + 1)
        if node.running is None or not self.starts.moody:
            return following
        fresh = self.costs.fresh(node.opened, node.missing, node.running)
        return np.where(fresh[self.laid.owner], following, self.starts.chances(node.present, node.start))

    def left(self, node: Node) -> Floats:
        """Return whether each wanted function is broken in each sample, (S, W)."""
        key = id(node.present)
        if key not in self._left:
            self._left[key] = (node.present, self.hindsight.left(node.present))
        return self._left[key][1]

    def root(
        self,
        opened: frozenset[str],
        unproven: frozenset[int],
        missing: frozenset[str],
        told: frozenset[str] = frozenset(),
        passed: frozenset[int] = frozenset(),
        running: Running = None,
    ) -> Node:
        """Return the node where the job stands now."""
        present = self.samples.present
        return Node(
            present=present,
            weights=self.samples.copies / self.samples.drawn,
            broken=self.hindsight.broken(present),
            opened=opened,
            unproven=unproven,
            times=(0,) * len(self.fixes),
            missing=missing,
            told=told,
            passed=passed,
            running=running,
        )

    def after_fix(self, node: Node, fix: FixSpec) -> Node:
        """Return the node after a fix: what it cured and disturbed in each sample, what lost its proof."""
        number = self._number[fix.id]
        shift = node.times[number]
        present = self._fixing.after(node.present, number, shift)
        lost = self._loses[number]
        times = (*node.times[:number], shift + 1, *node.times[number + 1 :])
        return replace(
            node,
            present=present,
            broken=self.hindsight.broken(present),
            opened=node.opened | self.opens[fix.id],
            unproven=node.unproven | lost,
            times=times,
            missing=node.missing - {fix.slot},
            told=frozenset(),
            passed=node.passed - lost,
            running=None,
        )

    def _proofs_lost(self, fix: FixSpec) -> frozenset[int]:
        """Return the wanted functions that must be proven again after a fix."""
        bases = {link.base for fault in fix.cures for link in self.model.faults[fault].links}
        return frozenset(n for n, closure in enumerate(self.worth.closures) if closure & bases)

    def outcomes(self, check: str) -> range:
        """Return the outcome columns of a check; the last is good."""
        number = self._place[check]
        return range(int(self.laid.first[number]), int(self.laid.good[number]) + 1)

    def opened_after(self, node: Node, check: CheckSpec) -> frozenset[str]:
        """Return what is open once the check has been done."""
        return (node.opened | self.opens[check.id]) - check.closed

    def after_outcome(self, node: Node, check: CheckSpec, outcome: int) -> Node:
        """Return the node after the check showed outcome column `outcome`."""
        moved = disturbs(check, self.opens[check.id], node.opened, node.missing)
        weights = node.weights * self.outlook(node)[:, outcome]
        weights = weights / weights.sum()
        shown = self.proves(check.id) & node.unproven
        passed = node.passed | shown if outcome == self.outcomes(check.id)[-1] else node.passed - shown
        left = self.left(node)
        proven = frozenset(n for n in passed if weights @ left[:, n] < self.worth.preferences.threshold)
        return replace(
            node,
            weights=weights,
            opened=self.opened_after(node, check),
            unproven=node.unproven - proven,
            missing=node.missing - check.fitted,
            passed=passed - proven,
            running=running_after(check, node.running, disturbs=moved),
            start=node.start + (needs_start(check, node.running, disturbs=moved) or check.starts > 1.0),
        )

    def splits(self, node: Node, check: CheckSpec) -> list[tuple[Floats, Node]]:
        """Return for each likely outcome the chance of it in each sample, (S,), and the node it leads to."""
        chances = self.outlook(node)
        mass = node.weights @ chances
        likely = [outcome for outcome in self.outcomes(check.id) if mass[outcome] > LEAST_MASS]
        kept = np.maximum(chances[:, likely].sum(axis=1), 1e-12)
        return [(chances[:, each] / kept, self.after_outcome(node, check, each)) for each in likely]

    # --- what is left to pay ----------------------------------------------------------------------

    def proves(self, check: str) -> frozenset[int]:
        """Return the wanted functions that a pass of a check shows to work."""
        return self.worth.provers.get(check, frozenset())

    def check_costs(self, node: Node) -> Floats:
        """Return what each check costs at `node`, parts to be put back for it included, (C,)."""
        return self.costs.checks(node.opened, node.missing, node.running)

    def known(self, node: Node) -> float:
        """Return what is left to pay on average if the faults were known."""
        return float(node.weights @ self.hindsight.known(node.broken, node.opened, node.unproven).cost)

    def blind(self, node: Node, shares: Floats, mass: Floats) -> Floats:
        """Return for each column of `shares` (K, n) its weight times the cost of mending blind, (n,).

        Rows are the kinds of samples at `node`, of chances `mass` (K,).
        """
        kinds = self.kinds(node)
        live = np.flatnonzero(mass > NOTHING)
        group = likeliest(kinds.tells[live], mass[live])
        mending = self.hindsight.mending(kinds.needs[live], group, node.opened, node.unproven)
        return mending.blind(shares[live])

    def value(self, node: Node, bit: float) -> float:
        """Return the estimate of what is left to pay, at `bit` minutes for each bit of not knowing.

        Never more than mending blind costs, and never more than stopping.
        """
        if not node.unproven:
            return self.worth.refit(node.opened)
        kinds = self.kinds(node)
        mass = kinds.sums(node.weights)
        blind = float(self.blind(node, mass[:, None], mass)[0])
        guess = self.known(node) + bit * entropy(kinds.mended(mass))
        return min(guess, blind, self.worth.stop(node.opened))

    def kinds(self, node: Node) -> Kinds:
        """Return the samples sorted by what they need and tell; kept for the same faults and openings."""
        key = (id(node.present), node.opened)
        if key not in self._kinds:
            needs = self.hindsight.known(node.broken, node.opened, node.unproven).needs
            sorts = Kinds.of(needs, self.hindsight.own_broken(node.present))
            self._kinds[key] = (node.present, sorts)
        return self._kinds[key][1]

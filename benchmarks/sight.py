"""What a rule of the comparison sees: the exact belief, the prices, and the steps that are open to it.

All of it is what our own advice sees: the same checks and fixes, the same looks ruled out because they would
only be the same again, and no fix twice before something has failed since.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

import numpy as np
from generated import Said, line_of

from powergood.diagnosis import Preferences
from powergood.diagnosis.advise import _checks, _fixes, _told_already
from powergood.diagnosis.belief import belief
from powergood.diagnosis.bound import breaking
from powergood.diagnosis.compiled import CheckSpec, CompiledModel, FixSpec
from powergood.diagnosis.gathering import gather
from powergood.diagnosis.left import function_states
from powergood.diagnosis.lookahead import LEAST_MASS, Lookahead, Node
from powergood.diagnosis.recursion import Floats
from powergood.diagnosis.samples import draw_samples
from powergood.diagnosis.worth import Worth
from powergood.record.model import FixDone

FixRow = tuple[float, float, FixSpec]

SAMPLES = 1000
"""More than our own advice draws (300): the rules have no correction for taking chance for knowledge."""


@dataclass(frozen=True)
class Sight:
    """`failing` and `unproven` are numbers of wanted functions; `mended` the fix done just now, if any."""

    ahead: Lookahead
    root: Node
    at_fault: dict[int, float]
    failing: frozenset[int]
    mended: FixSpec | None

    @property
    def worth(self) -> Worth:
        """Return the prices."""
        return self.ahead.worth

    def fixes(self) -> list[FixRow]:
        """Return (chance of mending something wanted, cost, fix) of every fix that may be done."""
        rows = []
        for fix in self.ahead.fixes:
            chance = sum(self.at_fault.get(f, 0.0) * cure for f, cure in fix.cures.items())
            if chance > LEAST_MASS:
                rows.append((chance, self.worth.fix_cost(fix, self.root.opened), fix))
        return rows

    def checks(self) -> list[tuple[int, CheckSpec]]:
        """Return the checks that would not only be the same look again, with their numbers."""
        laid = enumerate(self.ahead.laid.checks)
        return [(number, check) for number, check in laid if check.id not in self.root.told]

    def outcomes(self, number: int) -> range:
        """Return the outcome columns of check `number`."""
        return self.ahead.outcomes(self.ahead.laid.checks[number].id)

    def proof(self, functions: Iterable[int]) -> CheckSpec | None:
        """Return the cheapest check that may prove one of `functions`; None where there is none to do."""
        sought = frozenset(functions) & self.root.unproven
        costs = self.ahead.check_costs(self.root)
        found = [
            (float(costs[number]), check.id, check)
            for number, check in self.checks()
            if self.ahead.proves(check.id) & sought
        ]
        return min(found, key=lambda each: each[:2], default=(0.0, "", None))[2]

    def touched(self) -> frozenset[int]:
        """Return the wanted functions that the fix done just now may have brought back."""
        if self.mended is None:
            return frozenset()
        faults = self.ahead.model.faults
        bases = {link.base for fault in self.mended.cures for link in faults[fault].links}
        return frozenset(n for n, closure in enumerate(self.worth.closures) if closure & bases)

    def cost_of_repair(self, weights: Floats) -> tuple[float, int]:
        """Return what repairing by index costs on average, and the number of fixes after which to stop.

        Equation 1 of Heckerman, Breese and Rommelse 1995: fixes in order of chance over cost, each with a
        test, for the best number of them; stopping for what is not mended then. `weights` (S,) sum to one.
        """
        ahead, node = self.ahead, self.root
        needs = ahead.hindsight.known(node.broken, node.opened, node.unproven).needs
        test = ahead.worth.test(node.opened)
        costs = ahead.costs.fixes(node.opened) + test
        chance = weights @ needs[:, :-1]
        order = np.argsort(-(chance / np.maximum(costs, 0.1)), kind="stable")
        order = order[chance[order] > 0]
        ordered = needs[:, order]
        mended_by = ordered.shape[1] - np.argmax(ordered[:, ::-1], axis=1) if order.size else 0
        mended_by = np.where(ordered.any(axis=1), mended_by, 0)
        mended_by = np.where(needs[:, -1], order.size + 1, mended_by)
        share = np.bincount(mended_by, weights=weights, minlength=order.size + 2)[: order.size + 1]
        spent = np.concatenate([[0.0], np.cumsum(costs[order])])
        unmended = np.maximum(1.0 - np.cumsum(share), 0.0)
        proof = ahead.worth.proof(node.unproven, node.opened)
        proving = np.cumsum(share) * (proof + ahead.worth.refit(node.opened))
        totals = np.cumsum(share * spent) + unmended * (spent + ahead.worth.stop(node.opened)) + proving
        best = int(np.argmin(totals))
        return float(totals[best]), best


def look(model: CompiledModel, said: list[Said], wants: Preferences) -> Sight:
    """Return what a rule sees after these facts."""
    found = gather(model, line_of(said))
    held = belief(model, found)
    now = found.now
    states = function_states(held, wants.threshold)
    worth = Worth.of(model, wants, now.wanted, now.missing)
    unproven = frozenset(n for n, state in enumerate(states) if state.standing != "proven")
    failing = frozenset(n for n, state in enumerate(states) if state.standing == "failing")
    checks, fixes = _checks(model, found, wants), _fixes(model, found, wants)
    ahead = Lookahead(worth, draw_samples(held, SAMPLES), checks, fixes, now.missing)
    told = _told_already(model, found, held.now())
    root = ahead.root(now.opened, unproven, now.missing, told, running=now.running)
    mended = None
    if isinstance(said[-1], FixDone):
        fix, slot = said[-1].fix, said[-1].slot
        mended = next(each for each in model.fixes.values() if each.fix == fix and each.slot == slot)
    return Sight(ahead, root, breaking(held, worth), failing, mended)

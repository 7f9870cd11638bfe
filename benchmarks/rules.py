"""The rules that our advice is compared with. All see the same exact belief; they differ in what they do.

Each ends as ours does: when every wanted function is proven, or when stopping costs less than a next fix.
After a fix, and when nothing is known to fail, each does the cheapest proof that is still lacking.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from generated import line_of

from powergood.diagnosis import Preferences
from powergood.diagnosis.belief import Belief, belief
from powergood.diagnosis.bound import breaking
from powergood.diagnosis.compiled import CheckSpec, CompiledModel, FixSpec
from powergood.diagnosis.evidence import Evidence, gather
from powergood.diagnosis.left import function_states
from powergood.diagnosis.lookahead import LEAST_MASS, Lookahead, Node
from powergood.diagnosis.recursion import Floats
from powergood.diagnosis.samples import draw_samples
from powergood.diagnosis.unknowing import entropies
from powergood.diagnosis.worth import Worth
from powergood.record.model import Body


@dataclass(frozen=True)
class Bench:
    """What a rule sees: evidence, exact belief, prices, and the functions not yet proven."""

    model: CompiledModel
    found: Evidence
    held: Belief
    worth: Worth
    unproven: frozenset[int]
    untested: bool

    def fixes(self) -> list[tuple[float, float, FixSpec]]:
        """Return (chance of mending something wanted, cost, fix) of every fix that may."""
        at_fault = breaking(self.held, self.worth)
        opened = self.found.now.opened
        rows = []
        for fix in self.model.fixes.values():
            chance = sum(at_fault.get(f, 0.0) * cure for f, cure in fix.cures.items())
            if chance > LEAST_MASS:
                rows.append((chance, self.worth.fix_cost(fix, opened), fix))
        return rows

    def proof(self) -> CheckSpec | None:
        """Return the cheapest check that proves something still unproven."""
        opened = self.found.now.opened
        names = [name for name, shown in self.worth.provers.items() if shown & self.unproven]
        checks = [self.model.checks[name] for name in names]
        return min(checks, key=lambda check: (self.worth.check_cost(check, opened), check.id), default=None)


def look(model: CompiledModel, bodies: list[Body], wants: Preferences) -> Bench:
    """Return what a rule sees after these facts."""
    found = gather(model, line_of(bodies))
    held = belief(model, found)
    states = function_states(held, wants.threshold)
    worth = Worth.of(model, wants, found.now.wanted, found.now.missing)
    unproven = frozenset(n for n, state in enumerate(states) if state.standing != "proven")
    untested = not any(state.standing == "failing" for state in states)
    return Bench(model, found, held, worth, unproven, untested)


Answer = tuple[str, str]


def _fix_or_stop(bench: Bench, best: FixSpec | None) -> Answer:
    opened = bench.found.now.opened
    if best is None or bench.worth.fix_cost(best, opened) >= bench.worth.stop(opened):
        return "stop", "stop"
    return best.id, "fix"


def _proving(bench: Bench) -> Answer | None:
    if not bench.unproven:
        return "", "done"
    if bench.untested:
        check = bench.proof()
        if check is not None:
            return check.id, "check"
    return None


def likeliest_first(model: CompiledModel, bodies: list[Body], wants: Preferences) -> Answer:
    """Fix the likeliest fault, prove, and so on."""
    bench = look(model, bodies, wants)
    ranked = sorted(bench.fixes(), key=lambda row: (-row[0], row[1], row[2].id))
    return _proving(bench) or _fix_or_stop(bench, ranked[0][2] if ranked else None)


def cheapest_first(model: CompiledModel, bodies: list[Body], wants: Preferences) -> Answer:
    """Do the cheapest fix that has one chance in a hundred, prove, and so on."""
    bench = look(model, bodies, wants)
    ranked = sorted((row for row in bench.fixes() if row[0] >= 0.01), key=lambda row: (row[1], row[2].id))
    return _proving(bench) or _fix_or_stop(bench, ranked[0][2] if ranked else None)


def by_index(model: CompiledModel, bodies: list[Body], wants: Preferences) -> Answer:
    """Do the fix of the greatest chance for its price, updated after each (no checks but proofs)."""
    bench = look(model, bodies, wants)
    ranked = sorted(bench.fixes(), key=lambda row: (-row[0] / max(row[1], 0.1), row[2].id))
    return _proving(bench) or _fix_or_stop(bench, ranked[0][2] if ranked else None)


def bits_for_money(model: CompiledModel, bodies: list[Body], wants: Preferences) -> Answer:
    """Do the check of most information for its price while it is worth it; then fix by index.

    Worth it means at least one bit for 20 minutes (judgement, the best of 10, 20 and 40 when tried).
    """
    bench = look(model, bodies, wants)
    answer = _proving(bench)
    if answer:
        return answer
    ahead, root = _ahead(bench)
    known = bench.found.fresh
    best, rate = None, 1 / 20
    chances = ahead.outlook(root)[0]
    joint = root.weights[:, None] * chances
    kinds = ahead.mends(root)
    after, before = entropies(joint, kinds), float(entropies(root.weights[:, None], kinds)[0])
    for number, check in enumerate(ahead.laid.checks):
        own = slice(int(ahead.laid.first[number]), int(ahead.laid.good[number]) + 1)
        gain = (before - float(after[own].sum())) / bench.worth.check_cost(check, root.opened)
        if check.id not in known and gain > rate:
            best, rate = check, gain
    return (best.id, "check") if best is not None else by_index(model, bodies, wants)


def _ahead(bench: Bench) -> tuple[Lookahead, Node]:
    checks, fixes = list(bench.model.checks.values()), list(bench.model.fixes.values())
    missing = bench.found.now.missing
    ahead = Lookahead(bench.worth, draw_samples(bench.held), checks, fixes, missing)
    return ahead, ahead.root(bench.found.now.opened, bench.unproven, missing)


def question_rule(model: CompiledModel, bodies: list[Body], wants: Preferences) -> Answer:
    """Ask the question that lowers the expected cost of repairing in index order most, if any does.

    The myopic rule of Heckerman, Breese and Rommelse, "Decision-theoretic troubleshooting", Communications
    of the ACM, 1995: ask if its cost and the expected cost of repair after it are less than without.
    """
    bench = look(model, bodies, wants)
    answer = _proving(bench)
    if answer:
        return answer
    ahead, root = _ahead(bench)
    chances = ahead.outlook(root)[0]
    best, least = None, _cost_of_repair(ahead, root, root.weights)
    for number, check in enumerate(ahead.laid.checks):
        if check.id in bench.found.fresh:
            continue
        total = bench.worth.check_cost(check, root.opened)
        for outcome in range(int(ahead.laid.first[number]), int(ahead.laid.good[number]) + 1):
            joint = root.weights * chances[:, outcome]
            if joint.sum() > LEAST_MASS:
                total += float(joint.sum()) * _cost_of_repair(ahead, root, joint / joint.sum())
        if total < least:
            best, least = check, total
    return (best.id, "check") if best is not None else by_index(model, bodies, wants)


def _cost_of_repair(ahead: Lookahead, node: Node, weights: Floats) -> float:
    """Return the expected cost of doing fixes in index order, each with a proof, until all is mended."""
    known = ahead.hindsight.known(node.broken, node.opened, node.unproven)
    needs = known.needs[:, :-1]
    chance = weights @ needs
    test = ahead.worth.proof(node.unproven, node.opened)
    costs = np.array([ahead.cost(node, fix) for fix in ahead.fixes])
    order = np.argsort(-(chance / np.maximum(costs, 0.1)), kind="stable")
    order = order[chance[order] > 0]
    if order.size == 0:
        return float(test)
    running = np.cumsum(costs[order] + test)
    ordered = needs[:, order]
    last = ordered.shape[1] - 1 - np.argmax(ordered[:, ::-1], axis=1)
    spent = np.where(ordered.any(axis=1), running[last], test)
    return float(weights @ np.minimum(spent, ahead.worth.stop(node.opened)))


RULES = {
    "question rule (1995)": question_rule,
    "bits for money, then index": bits_for_money,
    "index order, no checks": by_index,
    "likeliest fault first": likeliest_first,
    "cheapest fix first": cheapest_first,
}

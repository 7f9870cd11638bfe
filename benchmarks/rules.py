"""The rules that our advice is compared with. All see the same (`sight.py`); they differ in what they do.

Each ends as ours does: when every wanted function is proven, or when stopping is cheaper than repairing.
Each tests after every fix what it may have brought back, and proves what is lacking when nothing is known
to fail.
"""

from __future__ import annotations

from collections.abc import Callable

from generated import Said
from sight import FixRow, Sight, look

from powergood.diagnosis import Preferences
from powergood.diagnosis.compiled import CompiledModel
from powergood.diagnosis.lookahead import LEAST_MASS
from powergood.diagnosis.scores import scores
from powergood.diagnosis.unknowing import entropies, worth_draws

BIT_MINUTES = 20.0
"""Judgement: minutes that a bit may cost at most under the rule of bits for money."""

WORTH_A_TRY = 0.01
"""Judgement: the least chance of a fix that the cheapest-fix rule tries."""

Answer = tuple[str, str]
Choice = Callable[[Sight], Answer]
Rule = Callable[[CompiledModel, list[Said], Preferences], Answer]


def _rule(choose: Choice) -> Rule:
    """Return the rule that proves and tests as all do, and otherwise chooses as `choose` does."""

    def rule(model: CompiledModel, said: list[Said], wants: Preferences) -> Answer:
        sight = look(model, said, wants)
        return _proving(sight) or choose(sight)

    return rule


def _proving(sight: Sight) -> Answer | None:
    if not sight.root.unproven:
        return "", "done"
    check = sight.proof(sight.touched())
    if check is None and not sight.failing:
        check = sight.proof(sight.root.unproven)
    return (check.id, "check") if check is not None else None


def _first(sight: Sight, rows: list[FixRow], key: Callable[[FixRow], float]) -> Answer:
    """Return the fix of the least key; stopping when no further fix is worth its cost, or none is left."""
    if not rows or sight.cost_of_repair(sight.root.weights)[1] == 0:
        return "stop", "stop"
    return min(rows, key=lambda row: (key(row), row[1], row[2].id))[2].id, "fix"


def likeliest_first(sight: Sight) -> Answer:
    """Fix the likeliest fault, test, and so on."""
    return _first(sight, sight.fixes(), lambda row: -row[0])


def cheapest_first(sight: Sight) -> Answer:
    """Do the cheapest fix that has one chance in a hundred, test, and so on."""
    rows = sight.fixes()
    return _first(sight, [row for row in rows if row[0] >= WORTH_A_TRY] or rows, lambda row: row[1])


def by_index(sight: Sight) -> Answer:
    """Do the fix of the greatest chance for its price and a test, updated after each; no other checks."""
    test = sight.worth.test(sight.root.opened)
    return _first(sight, sight.fixes(), lambda row: -row[0] / max(row[1] + test, 0.1))


def cheapest_look(sight: Sight) -> Answer:
    """Do the cheapest check that pays for itself by our own estimate; fix by index when none does."""
    scored = [each for each in scores(sight.ahead, sight.root) if each.kind == "check"]
    best = min(scored, key=lambda each: (each.cost, each.step), default=None)
    return (best.step, "check") if best is not None else by_index(sight)


def bits_for_money(sight: Sight) -> Answer:
    """Do the check of most information for its price while a bit costs little; then fix by index."""
    ahead, root = sight.ahead, sight.root
    best, rate = None, 1 / BIT_MINUTES
    if not ahead.laid.checks:
        return by_index(sight)
    drawn = worth_draws(root.weights, ahead.samples.copies)
    kinds, joint = ahead.kinds(root), root.weights[:, None] * ahead.outlook(root)
    after = entropies(kinds.mended(kinds.sums(joint)), drawn)
    before = float(entropies(kinds.mended(kinds.sums(root.weights[:, None])), drawn)[0])
    costs = ahead.check_costs(root)
    for number, check in sight.checks():
        left = float(after[list(sight.outcomes(number))].sum())
        gain = (before - left) / max(float(costs[number]), 0.1)
        if gain > rate:
            best, rate = check, gain
    return (best.id, "check") if best is not None else by_index(sight)


def question_rule(sight: Sight) -> Answer:
    """Ask the question that lowers the expected cost of repairing in index order most, if any does.

    The myopic rule of Heckerman, Breese and Rommelse, "Decision-theoretic troubleshooting", Communications
    of the ACM, 1995, equation 3: ask if its cost and what repair then costs on average are less than repair
    now.
    """
    ahead, root = sight.ahead, sight.root
    best, least = None, sight.cost_of_repair(root.weights)[0]
    chances = ahead.outlook(root) if ahead.laid.checks else None
    costs = ahead.check_costs(root)
    for number, check in sight.checks():
        total = float(costs[number])
        assert chances is not None
        for outcome in sight.outcomes(number):
            joint = root.weights * chances[:, outcome]
            if joint.sum() > LEAST_MASS and total < least:
                total += float(joint.sum()) * sight.cost_of_repair(joint / joint.sum())[0]
        if total < least:
            best, least = check, total
    return (best.id, "check") if best is not None else by_index(sight)


RULES: dict[str, Rule] = {
    "question rule (1995)": _rule(question_rule),
    "bits for money, then index": _rule(bits_for_money),
    "cheapest paying check, then index": _rule(cheapest_look),
    "index order, no checks": _rule(by_index),
    "likeliest fault first": _rule(likeliest_first),
    "cheapest fix first": _rule(cheapest_first),
}

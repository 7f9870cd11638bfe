"""Scoring of steps one deep: what a step costs now and what is left to pay after it, on average.

What is left is estimated as the cost if the faults were known, plus a price for each bit of not knowing. That
price is not a constant: it is what a bit costs here, by the cheapest checks or by mending blind. Beside it
stands the question rule (what a check saves if only mending blind follows); a check is credited with the
better of the two. All expectations are over the weighted samples of a `Node`.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from powergood.diagnosis.compiled import CheckSpec, FixSpec
from powergood.diagnosis.lookahead import LEAST_MASS, Lookahead, Node
from powergood.diagnosis.recursion import Floats
from powergood.diagnosis.unknowing import entropies, entropy

LEAF = 1.2
"""Where a plan is cut off a bit is dearer by this, so that delay never looks cheap. Judgement."""

OVERLAP = 0.7
"""Judgement: share of a check's bits that other checks have not told already."""

MOST_A_BIT = 12.0
"""Minutes that a check is credited at most for a bit by itself. A few hundred samples cannot tell small parts
of a bit from none; dearer, and the same cheap look is taken again and again."""

PROVES = 0.5
"""Judgement: a check that proves something wanted must be done some time, and need only save this share."""

MOST_FIXES = 2
"""Fixes weighed against checks: those of the best index, chance of mending over cost, which is the order
in which fixes are best done when nothing more can be learnt (docs/explanation/planning.md)."""

OPENED_EARLY = 0.5
"""Judgement: what an opening that will be needed anyway is worth now; it may yet turn out not to be needed,
so what can be done outside comes first."""

DOING = 1.0
"""Judgement: minutes by which looking is preferred to doing where the two come out alike."""

ASKED = 8
"""Checks, the best by bits, that are also scored by what they save if only mending blind follows."""


@dataclass(frozen=True, slots=True)
class Scored:
    """A step and the expected cost of the whole rest if it is done next, in minutes.

    `gain` is what a check is expected to save by what it tells, one step deep; a check that tells
    nothing gains nothing. Infinite for what is not a check.
    """

    step: str
    kind: str
    total: float
    cost: float
    gain: float = np.inf


@dataclass(frozen=True, slots=True)
class _Learning:
    """What the checks tell at a node. Shapes (C,) unless said; `joint` (S, outcomes), `mass` (outcomes,).

    `bits` about what must be mended, `beyond` those that proving everything would not tell as well;
    `now` the bits not known, `price` the minutes that one costs here.
    """

    joint: Floats
    mass: Floats
    bits: Floats
    beyond: Floats
    now: float
    price: float


@dataclass(frozen=True, slots=True)
class _Pass:
    """What a pass of one check means: its chance, and that nothing is left to mend then (`lasting`).

    `left` and `left_now` are each wanted function's chance of still being broken, after the pass and now.
    """

    mass: float
    lasting: float
    left: Floats
    left_now: Floats


def scores(look: Lookahead, node: Node, *, pays: float = 1.0) -> list[Scored]:
    """Return the checks that pay for themselves and the best fixes, cheapest expected total first."""
    return [each for each in weighed(look, node) if worthwhile(look, node, each, pays)]


def weighed(look: Lookahead, node: Node) -> list[Scored]:
    """Return every check that is not the same look again, and the best fixes, cheapest expected total first.

    Ties are broken by name, so that equal facts give equal advice.
    """
    learning = _learning(look, node)
    found = [each for each in _check_scores(look, node, learning) if each.step not in node.told]
    found += [_fix_score(look, node, fix, learning) for fix in _promising(look, node)]
    return sorted(found, key=lambda each: (round(each.total, 6), each.step))


def worthwhile(look: Lookahead, node: Node, each: Scored, pays: float = 1.0) -> bool:
    """Tell whether a step pays for itself; a fix always does.

    A check that is expected to save less than it costs does not: putting off a fix by looking at something
    cheap is never worth it. With `pays` under one it need save only that share: for whoever will look further
    ahead before choosing.
    """
    return each.gain > pays * (PROVES if _proves_something(look, node, each.step) else 1.0) * each.cost


def fix_scored(look: Lookahead, node: Node, fix: FixSpec) -> Scored:
    """Return a fix with its expected total, whether it is one of the best or not."""
    return _fix_score(look, node, fix, _learning(look, node))


def bit_price(look: Lookahead, node: Node) -> float:
    """Return the minutes that a bit of not knowing costs at `node`."""
    return _learning(look, node).price


def _proves_something(look: Lookahead, node: Node, check: str) -> bool:
    return bool(look.worth.provers.get(check, frozenset()) & node.unproven)


def _learning(look: Lookahead, node: Node) -> _Learning:
    """Return what each check tells, and the price of a bit."""
    mends, (tells, pairs), copies = (
        look.mends(node),
        look.tells(node),
        look.samples.copies,
    )
    alone = node.weights[:, None]
    joint = alone * look.outlook(node)[0] if look.laid.checks else np.zeros((alone.size, 0))
    both = np.hstack([alone, joint])
    of_mends, of_pairs, of_tells = (entropies(both, kinds, copies) for kinds in (mends, pairs, tells))
    bits = _told(look, of_mends)
    beyond = _told(look, of_pairs - of_tells)
    now = entropy(node.weights, mends)
    mass = joint.sum(axis=0)
    return _Learning(joint, mass, bits, beyond, now, _price(look, node, bits, now))


def _told(look: Lookahead, entropy_of: Floats) -> Floats:
    """Return what each check tells: bits now (the first column) less those left after its outcomes, (C,)."""
    if not look.laid.checks:
        return np.zeros(0)
    return np.asarray(np.maximum(entropy_of[0] - np.add.reduceat(entropy_of[1:], look.laid.first), 0.0))


def _price(look: Lookahead, node: Node, bits: Floats, now: float) -> float:
    """Return the minutes that one of `now` bits costs: cheapest checks first, the rest by mending blind."""
    if now < 1e-9:
        return 0.0
    blind = float(look.mending(node).blind(node.weights[:, None])[0])
    dear = max(blind - look.known(node), 0.0) / now
    left, total = now, 0.0
    offers = [
        (look.cost(node, check) / told, told)
        for check, told in zip(look.laid.checks, OVERLAP * bits, strict=True)
        if told > LEAST_MASS and check.id not in node.told
    ]
    for price, told in sorted(offers):
        if price >= dear or left <= 0:
            break
        used = min(told, left)
        total, left = total + used * price, left - used
    return (total + left * dear) / now


def _check_scores(look: Lookahead, node: Node, learning: _Learning) -> list[Scored]:
    if not look.laid.checks:
        return []
    checks, good = look.laid.checks, look.laid.good
    known = look.hindsight.known(node.broken, node.opened, node.unproven)
    known_now = float(node.weights @ known.cost)
    broken = look.outlook(node)[1]
    mass = np.maximum(learning.mass, 1e-300)
    whole = (learning.joint.T @ ~known.needs.any(axis=1)) / mass
    left, left_now = (learning.joint.T @ broken) / mass[:, None], node.weights @ broken
    asked = _asked(look, node, learning)
    by_opened = {node.opened: known_now}
    found = []
    for number, check in enumerate(checks):
        opened = look.opened_after(node, check)
        if opened not in by_opened:
            here = look.hindsight.known(node.broken, opened, node.unproven)
            by_opened[opened] = float(node.weights @ here.cost)
        bits = learning.bits if _proves_something(look, node, check.id) else learning.beyond
        at = int(good[number])
        passed = _Pass(float(mass[at]), float(whole[at]), left[at], left_now)
        learned = max(min(learning.price, MOST_A_BIT) * float(bits[number]), float(asked[number]))
        learned += _proof_saved(look, node, check, passed, opened)
        cost = look.cost(node, check)
        reached = known_now - by_opened[opened]
        gain = (1.0 - check.no_verdict) * learned + min(reached, OPENED_EARLY * reached)
        total = cost + known_now + LEAF * learning.price * learning.now - gain
        found.append(Scored(check.id, "check", float(total), cost, float(gain)))
    return found


def _asked(look: Lookahead, node: Node, learning: _Learning) -> Floats:
    """Return what each check saves if only mending blind follows, (C,); nothing where it is not worked out.

    The question rule of Heckerman, Breese, Rommelse, "Decision-theoretic troubleshooting", Communications of
    the ACM, 1995, equation 3.
    """
    saved: Floats = np.zeros(len(look.laid.checks))
    costs = np.array([look.cost(node, check) for check in look.laid.checks])
    chosen = np.argsort(costs - learning.price * learning.bits, kind="stable")[:ASKED]
    chosen = np.sort(chosen[learning.bits[chosen] > LEAST_MASS])
    if not chosen.size:
        return saved
    ranges = [look.outcomes(look.laid.checks[number].id) for number in chosen]
    columns = [outcome for outcomes in ranges for outcome in outcomes]
    blind = look.mending(node).blind(np.column_stack([node.weights, learning.joint[:, columns]]))
    begins = np.cumsum([0, *(len(outcomes) for outcomes in ranges[:-1])])
    saved[chosen] = blind[0] - np.add.reduceat(blind[1:], begins)
    return saved


def _proof_saved(look: Lookahead, node: Node, check: CheckSpec, seen: _Pass, opened: frozenset[str]) -> float:
    """Return what a pass of the check saves by proving functions, on average.

    A proof is worth only as much as it is likely to last: if something is still to be mended the
    mending may undo it. Where one pass is not enough (an intermittent fault may still be there), it
    earns its share of the way to the threshold.
    """
    shown = look.worth.provers.get(check.id, frozenset()) & node.unproven | node.passed
    if not shown:
        return 0.0
    threshold = look.worth.preferences.threshold
    saved = 0.0
    whole = look.worth.proof(node.unproven, opened)
    for function in shown:
        way = _share_of_way(seen.left_now[function], seen.left[function], threshold)
        if way > 0:
            saved += way * (whole - look.worth.proof(node.unproven - {function}, opened))
    proven = frozenset(n for n in shown if seen.left[n] < threshold)
    if len(proven) > 1:
        saved = max(saved, whole - look.worth.proof(node.unproven - proven, opened))
    return seen.mass * saved * seen.lasting


def _share_of_way(now: float, then: float, threshold: float) -> float:
    """Return how far from `now` to `threshold` the chance `then` has come, in proportion of logarithms."""
    if then < threshold:
        return 1.0
    if now <= then:
        return 0.0
    return float(np.log(now / then) / np.log(now / threshold))


def _promising(look: Lookahead, node: Node) -> list[FixSpec]:
    """Return the fixes of the best index: functions made to work, on average, over cost and a test of it.

    A fault behind another that still breaks everything is not mended by its own fix yet, so what hides
    the rest comes first. Where nothing would make a function work, any fix of something broken counts.
    """
    works = node.weights @ look.hindsight.restores(node.present)
    at_fault = node.weights @ node.broken
    test = look.worth.test(node.opened)
    ranked = []
    for number, fix in enumerate(look.fixes):
        mends = sum(at_fault[fault] * cure for fault, cure in fix.cures.items())
        if mends > LEAST_MASS:
            index = (works[number] + LEAST_MASS * mends) / (look.cost(node, fix) + test)
            ranked.append((-index, fix.id, fix))
    return [fix for _, _, fix in sorted(ranked, key=lambda each: each[:2])[:MOST_FIXES]]


def _fix_score(look: Lookahead, node: Node, fix: FixSpec, learning: _Learning) -> Scored:
    cost = look.cost(node, fix)
    unsure = (LEAF - 1.0) * learning.price * learning.now
    rest = look.value(look.after_fix(node, fix), learning.price) + unsure
    return Scored(fix.id, "fix", cost + rest + DOING, cost)

"""Scoring of steps one deep: what a step costs now and what is left to pay after it, on average.

What is left is estimated as the cost if the faults were known, plus a price for each bit of not knowing. That
price is not a constant: it is what a bit costs here, by the cheapest checks or by mending blind. Beside it
stands the question rule (what a check saves if only mending blind follows); a check is credited with the
better of the two. All expectations are over the weighted samples of a `Node`.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from powergood.diagnosis.compiled import FixSpec
from powergood.diagnosis.lookahead import LEAST_MASS, Lookahead, Node
from powergood.diagnosis.proving import proofs_saved
from powergood.diagnosis.recursion import Floats
from powergood.diagnosis.samples import Bools
from powergood.diagnosis.unknowing import entropies, entropy, worth_draws

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
    nothing gains nothing. Infinite for what is not a check. `asks` is what it must save to be worth doing.
    """

    step: str
    kind: str
    total: float
    cost: float
    gain: float = np.inf
    asks: float = 0.0


@dataclass(frozen=True, slots=True)
class _Learning:
    """What the checks tell at a node. Shapes (C,) unless said; `joint` (S, outcomes).

    `mass` (K,) and `shares` (K, outcomes) are the same by kinds of samples (`Lookahead.kinds`). `costs` is
    what each check costs, `proves` that it proves something wanted, `told` that it would only be the same
    look again; `bits` what it tells of what must be mended, `beyond` that part which proving everything
    would not tell as well. `now` are the bits not known, `price` the minutes that one costs here, `blind`
    those of mending without looking.
    """

    joint: Floats
    mass: Floats
    shares: Floats
    costs: Floats
    proves: Bools
    told: Bools
    bits: Floats
    beyond: Floats
    now: float
    price: float
    blind: float


def scores(look: Lookahead, node: Node, *, pays: float | None = 1.0) -> list[Scored]:
    """Return the steps as `priced` does, without the price."""
    return priced(look, node, pays=pays)[0]


def priced(look: Lookahead, node: Node, *, pays: float | None = 1.0) -> tuple[list[Scored], float]:
    """Return the checks that pay for themselves and the best fixes, cheapest expected total first.

    With them the minutes that a bit of not knowing costs at `node`.

    A check that is expected to save less than it costs is left out: putting off a fix by looking at something
    cheap is never worth it. With `pays` under one it need save only that share: for whoever will look further
    ahead before choosing; with none every check is returned. A check that would only be the same look again
    never is. Ties are broken by name, so that equal facts give equal advice.
    """
    learning = _learning(look, node)
    found = _check_scores(look, node, learning, pays)
    found += [_fix_score(look, node, fix, learning) for fix in _promising(look, node)]
    return sorted(found, key=lambda each: (round(each.total, 6), each.step)), learning.price


def fix_scored(look: Lookahead, node: Node, fix: FixSpec) -> Scored:
    """Return a fix with its expected total, whether it is one of the best or not."""
    return _fix_score(look, node, fix, _learning(look, node))


def _learning(look: Lookahead, node: Node) -> _Learning:
    """Return what each check tells, and the price of a bit."""
    kinds, weights = look.kinds(node), node.weights
    checks = look.laid.checks
    joint = weights[:, None] * look.outlook(node) if checks else np.zeros((weights.size, 0))
    both = kinds.sums(np.column_stack([weights, joint]))
    drawn = worth_draws(weights, look.samples.copies)
    mends = kinds.mended(both)
    of_mends, of_both = entropies(mends, drawn), entropies(both, drawn)
    of_tells = entropies(kinds.told(both), drawn)
    costs = look.check_costs(node)
    proves = np.array([bool(look.proves(check.id) & node.unproven) for check in checks], dtype=np.bool_)
    told = np.array([check.id in node.told for check in checks], dtype=np.bool_)
    bits = told_by(look, of_mends)
    mass, now = both[:, 0], entropy(mends[:, 0])
    blind = float(look.blind(node, both[:, :1], mass)[0])
    price = _price(OVERLAP * bits[~told], costs[~told], now, blind - look.known(node))
    return _Learning(
        joint=joint,
        mass=mass,
        shares=both[:, 1:],
        costs=costs,
        proves=proves,
        told=told,
        bits=bits,
        beyond=told_by(look, of_both - of_tells),
        now=now,
        price=price,
        blind=blind,
    )


def told_by(look: Lookahead, entropy_of: Floats) -> Floats:
    """Return what each check tells: bits now (the first column) less those left after its outcomes, (C,)."""
    if not look.laid.checks:
        return np.zeros(0)
    return np.asarray(np.maximum(entropy_of[0] - np.add.reduceat(entropy_of[1:], look.laid.first), 0.0))


def _price(bits: Floats, costs: Floats, now: float, unknown: float) -> float:
    """Return the minutes that one of `now` bits costs: cheapest checks first, the rest by mending blind.

    Checks tell `bits` (C,) and cost `costs` (C,); mending blind costs `unknown` minutes for not knowing.
    """
    if now < 1e-9:
        return 0.0
    dear = max(unknown, 0.0) / now
    useful = np.flatnonzero(bits > LEAST_MASS)
    rate = costs[useful] / bits[useful]
    cheap = useful[rate < dear]
    order = cheap[np.argsort(costs[cheap] / bits[cheap], kind="stable")]
    left_before = np.maximum(now - np.concatenate([[0.0], np.cumsum(bits[order])]), 0.0)
    used = np.minimum(bits[order], left_before[:-1])
    return float((used @ (costs[order] / bits[order]) + left_before[-1] * dear) / now)


def _check_scores(look: Lookahead, node: Node, learning: _Learning, pays: float | None) -> list[Scored]:
    """Return the checks as `scores` says; less saving is asked of one that proves something wanted."""
    checks = look.laid.checks
    if not checks:
        return []
    known_now, reached = _reached(look, node)
    bits = np.where(learning.proves, learning.bits, learning.beyond)
    learned = np.maximum(min(learning.price, MOST_A_BIT) * bits, _asked(look, node, learning))
    learned += proofs_saved(look, node, learning.joint)
    never = np.array([check.no_verdict for check in checks])
    gain = (1.0 - never) * learned + np.minimum(reached, OPENED_EARLY * reached)
    total = learning.costs + known_now + LEAF * learning.price * learning.now - gain
    asks = np.where(learning.proves, PROVES, 1.0) * learning.costs
    kept = ~learning.told if pays is None else ~learning.told & (gain > pays * asks)
    values = np.column_stack([total, learning.costs, gain, asks])
    return [Scored(checks[at].id, "check", *map(float, values[at])) for at in np.flatnonzero(kept)]


def _reached(look: Lookahead, node: Node) -> tuple[float, Floats]:
    """Return the minutes left to pay if the faults were known, and how many fewer once a check has opened.

    The second is (C,).
    """
    opened, number = look.costs.opened_after(node.opened)
    known = look.hindsight.known
    now = float(node.weights @ known(node.broken, node.opened, node.unproven).cost)
    after = [float(node.weights @ known(node.broken, each, node.unproven).cost) for each in opened]
    return now, (now - np.array(after))[number]


def _asked(look: Lookahead, node: Node, learning: _Learning) -> Floats:
    """Return what each check saves if only mending blind follows, (C,); nothing where it is not worked out.

    The question rule of Heckerman, Breese, Rommelse, "Decision-theoretic troubleshooting", Communications of
    the ACM, 1995, equation 3.
    """
    saved: Floats = np.zeros(len(look.laid.checks))
    chosen = np.argsort(learning.costs - learning.price * learning.bits, kind="stable")[:ASKED]
    chosen = np.sort(chosen[learning.bits[chosen] > LEAST_MASS])
    if not chosen.size:
        return saved
    ranges = [look.outcomes(look.laid.checks[number].id) for number in chosen]
    columns = [outcome for outcomes in ranges for outcome in outcomes]
    blind = look.blind(node, learning.shares[:, columns], learning.mass)
    begins = np.cumsum([0, *(len(outcomes) for outcomes in ranges[:-1])])
    saved[chosen] = learning.blind - np.add.reduceat(blind, begins)
    return saved


def _promising(look: Lookahead, node: Node) -> list[FixSpec]:
    """Return the fixes of the best index: functions made to work, on average, over cost and a test of it.

    A fault behind another that still breaks everything is not mended by its own fix yet, so what hides
    the rest comes first. Where nothing would make a function work, any fix of something broken counts.
    """
    if not look.fixes:
        return []
    works = node.weights @ look.hindsight.restores(node.present)
    mends = look.hindsight.mended(node.weights @ node.broken)
    index = (works + LEAST_MASS * mends) / (look.costs.fixes(node.opened) + look.worth.test(node.opened))
    ranked = [(-index[at], look.fixes[at].id, look.fixes[at]) for at in np.flatnonzero(mends > LEAST_MASS)]
    return [fix for _, _, fix in sorted(ranked, key=lambda each: each[:2])[:MOST_FIXES]]


def _fix_score(look: Lookahead, node: Node, fix: FixSpec, learning: _Learning) -> Scored:
    cost = look.worth.fix_cost(fix, node.opened)
    unsure = (LEAF - 1.0) * learning.price * learning.now
    rest = look.value(look.after_fix(node, fix), learning.price) + unsure
    return Scored(fix.id, "fix", cost + rest + DOING, cost)

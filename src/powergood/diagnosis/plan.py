"""The ranking of the next steps, and what the advised plan costs on average.

All steps are scored one deep. The plan that begins with the best of them is then followed, outcome by
outcome, for a fixed number of nodes, always growing the likeliest unfinished branch; so are the plans
that begin with the next best few. One of those takes the first place only if it is cheaper by more than
chance in the samples explains easily: a tie is left as it stands, the best one-step score first, or of the
looks that come out alike the one that tells most of what fails, so that the advice does not waver. What was
followed is ranked by what its plan costs, all else by its one-step score, moved by as much as those of the
followed were off. The amount of work is fixed, so the clock never changes the ranking.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from statistics import median

from powergood.diagnosis.choosing import firsts_of, preferred
from powergood.diagnosis.compiled import CheckSpec, FixSpec
from powergood.diagnosis.following import follow
from powergood.diagnosis.hinge import hinge
from powergood.diagnosis.lookahead import Lookahead, Node
from powergood.diagnosis.model import Hinge
from powergood.diagnosis.recursion import Floats
from powergood.diagnosis.scores import LEAF, Scored, fix_scored, priced

SMALL = 60
"""Outcomes of all checks together up to which a machine is small, and more of its plans can be followed."""

FOLLOWED = {"small": 10, "large": 3}
"""How many of the best steps are followed by a plan of their own. Judgement from measurements: over 76 states
of five families following one costs 1.1 % more than three, nine 1 % less at three times the work."""

NEAR = 40
"""Checks considered further down a plan: the best at its root."""

PROOFS = 12
"""Checks kept further down because they prove something wanted cheaply."""

NODES = {"small": 40, "large": 18}
"""Nodes grown for each plan that is followed. Measured against cost and time."""


GENEROUS = 0.25
"""Judgement: share of its cost that a check must save to be followed where plans can be followed far."""


@dataclass(frozen=True, slots=True)
class Plan:
    """The ranked steps with what the whole rest costs on average if each is done first.

    `error` is the standard error of the best step's total over the samples: it says how far chance in
    the drawn samples may have moved the figure, not how far the plan is from the best possible. `hinge` is
    the fault on whose chance the first step hangs. `beside` are steps that were scored too and are not worth
    doing now. `followed` (S,) is what the plan that begins with a step costs in each sample.
    """

    steps: tuple[Scored, ...]
    total: float
    error: float
    hinge: Hinge | None = None
    beside: tuple[Scored, ...] = ()
    followed: Mapping[str, Floats] = field(default_factory=dict)


def plan(look: Lookahead, root: Node, besides: Sequence[FixSpec] = ()) -> Plan:
    """Return the ranked steps at `root`, stopping included; the fixes `besides` are scored in any case."""
    stopping = look.worth.stop(root.opened)
    stop = Scored("stop", "stop", stopping, stopping)
    size = "small" if look.laid.outcomes <= SMALL else "large"
    pays = GENEROUS if size == "small" else 1.0
    every, price = priced(look, root, pays=None)
    scored = [each for each in every if each.gain > pays * each.asks]
    if not scored:
        return Plan((stop,), stop.total, 0.0)
    near = look.narrowed(_near(look, root, scored), root.missing)
    firsts = firsts_of(look, root, scored, FOLLOWED[size])
    spent = [follow(near, root, each, NODES[size], LEAF * price) for each in firsts]
    best = preferred(look, root, firsts, spent)
    total = float(root.weights @ spent[best])
    error = look.samples.error(root.weights, spent[best] - total)
    ahead = firsts[best]
    followed = {each.step: cost for each, cost in zip(firsts, spent, strict=True)}
    every += [fix_scored(look, root, fix) for fix in besides if fix.id not in {each.step for each in every}]
    totals = _totals(root, every, ahead, followed)
    worth_doing = {each.step for each in scored}
    others = sorted((each for each in totals if each.step != ahead.step), key=_order)
    ranked = [replace(ahead, total=total), *(each for each in others if each.step in worth_doing)]
    place = sum(each.total <= stopping for each in ranked)
    hangs = hinge(look, root, firsts, spent, best) if place else None
    return Plan(
        steps=(*ranked[:place], stop, *ranked[place:]),
        total=min(total, stopping),
        error=error,
        hinge=hangs,
        beside=tuple(each for each in others if each.step not in worth_doing),
        followed=followed,
    )


def _totals(
    root: Node, every: Sequence[Scored], ahead: Scored, followed: Mapping[str, Floats]
) -> list[Scored]:
    """Return the steps with what the whole rest costs if each is done first, none less than the one ahead.

    A step that was not followed costs more than the one ahead by the difference of their one-step scores, and
    by as much more as that difference fell short for those that were followed, in the median.
    """
    total = float(root.weights @ followed[ahead.step])

    def more(each: Scored) -> float:
        return max(each.total - ahead.total, 0.0)

    costs = {name: max(float(root.weights @ cost), total) for name, cost in followed.items()}
    short = [
        costs[each.step] - total - more(each) for each in every if each.step in costs and each is not ahead
    ]
    fell_short = max(float(median(short)), 0.0) if short else 0.0
    return [replace(each, total=costs.get(each.step, total + more(each) + fell_short)) for each in every]


def _near(look: Lookahead, root: Node, scored: Sequence[Scored]) -> list[CheckSpec]:
    """Return the checks to consider further down: the best at the root, and the cheapest proofs."""
    best = [each.step for each in scored if each.kind == "check"][:NEAR]
    laid = {check.id: check for check in look.laid.checks}
    costs = dict(zip(laid, look.check_costs(root), strict=True))
    provers = sorted(
        (name for name in look.worth.provers if name in laid),
        key=lambda name: (costs[name] / len(look.worth.provers[name]), name),
    )
    return [laid[name] for name in dict.fromkeys([*best, *provers[:PROOFS]])]


def _order(each: Scored) -> tuple[float, str]:
    return round(each.total, 6), each.step

"""Exact plans for small troubles: what a plan costs, and the best there is, by search over all of them.

For a handful of possible worlds (sets of faults that are present) this says what no faster planner can: the
true optimum. It is the yardstick that the ranking of steps is held against; advice itself does not use it.

References
----------
Expected cost of repair of a sequence and of a tree of actions and questions: Vomlelová, "Complexity of
decision-theoretic troubleshooting", International Journal of Intelligent Systems, 2003; Jensen, Kjærulff,
Kristiansen, Langseth, Skaanning, Vomlel, Vomlelová, "The SACSO methodology for troubleshooting complex
systems", AI EDAM, 2001.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from math import inf

from powergood.diagnosis.trouble_rules import Rules, State
from powergood.diagnosis.troubles import SERVICE, TEST, Trouble

SAME = 12
"""Decimals to which two beliefs must agree to be one state of the search."""


@dataclass(frozen=True, slots=True)
class Tree:
    """A plan: steps in order, each only if the machine does not work yet; then a tree for each answer.

    Only the last step may be a question with branches. The names `test` and `service` are steps too.
    """

    steps: tuple[str, ...]
    then: Mapping[str, Tree] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class Optimum:
    """The least expected cost of any plan, a plan that has it, and how many states were searched."""

    cost: float
    plan: Tree
    states: int


def expected_cost(trouble: Trouble, plan: Tree | Sequence[str]) -> float:
    """Return the expected cost of a fixed plan: a tree, or a sequence of steps in order.

    Where the machine works, or the plan has no more steps, nothing more is paid.
    Cost: O(steps · worlds) for a sequence whose actions each cure for sure.
    """
    tree = plan if isinstance(plan, Tree) else Tree(tuple(plan))
    rules = Rules.of(trouble)
    return _cost(rules, rules.start(), tree)


def _cost(rules: Rules, state: State, tree: Tree) -> float:
    total = 0.0
    for place, step in enumerate(tree.steps):
        if not rules.goes_on(state):
            return total
        paid, after = rules.take(state, step)
        total += paid
        if step in rules.questions:
            rest = Tree(tree.steps[place + 1 :], tree.then)
            follows = dict.fromkeys(after, rest) if rest.steps else tree.then
            return total + sum(_cost(rules, after[a], follows[a]) for a in after if a in follows)
        if "" not in after:
            return total
        state = after[""]
    return total


def optimum(trouble: Trouble) -> Optimum:
    """Return the least expected cost over all plans, by exhaustive search that remembers equal beliefs.

    The value of a belief depends only on the chances, on which useful steps are unused and on what is
    open; equal ones are solved once. Worst case exponential in actions plus questions: keep to about a
    dozen of each, fewer where actions may fail or questions lie.
    """
    rules = Rules.of(trouble)
    search = _Search(rules)
    start = rules.start()
    cost = search.best(start)[0] * start.weight if start.belief else 0.0
    return Optimum(cost, search.plan(start), len(search.memory))


class _Search:
    """The memory of one exhaustive search."""

    def __init__(self, rules: Rules) -> None:
        self.rules = rules
        self.memory: dict[object, tuple[float, str]] = {}

    def best(self, state: State) -> tuple[float, str]:
        """Return the least cost from `state` on, for a weight of one, and the first step to it."""
        steps = tuple(self.rules.useful(state))
        weight = state.weight
        key = (
            frozenset((faults, round(share / weight, SAME)) for faults, share in state.belief.items()),
            steps,
            state.opened,
        )
        if key not in self.memory:
            self.memory[key] = self._search(state, steps, weight)
        return self.memory[key]

    def _search(self, state: State, steps: tuple[str, ...], weight: float) -> tuple[float, str]:
        least, first = inf, ""
        if self.rules.trouble.service is not None:
            least, first = self.rules.trouble.service * weight, SERVICE
        elif not any(step in self.rules.actions or step == TEST for step in steps):
            return 0.0, ""
        for step in steps:
            cost, after = self.rules.take(state, step)
            for each in after.values():
                if cost >= least:
                    break
                cost += self.best(each)[0] * each.weight
            if cost < least:
                least, first = cost, step
        return least / weight, first

    def plan(self, state: State) -> Tree:
        """Return the plan that the search found from `state` on."""
        steps: list[str] = []
        while self.rules.goes_on(state):
            step = self.best(state)[1]
            if not step:
                break
            steps.append(step)
            _, after = self.rules.take(state, step)
            if step in self.rules.questions:
                return Tree(tuple(steps), {answer: self.plan(each) for answer, each in after.items()})
            if "" not in after:
                break
            state = after[""]
        return Tree(tuple(steps))

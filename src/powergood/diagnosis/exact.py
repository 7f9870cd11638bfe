"""Exact plans for small troubles: what a plan costs, and the best there is, by search over all of them.

For a handful of possible worlds (sets of faults that are present) this says what no faster planner can: the
true optimum. It is the yardstick that the ranking of steps is held against; advice itself does not use it.

A plan tries *actions*, which cure faults, and asks *questions*, which only tell. It ends when the machine
works, or with *service*: giving the rest to somebody else, at a price. Each action and question is used at
most once. A step behind openings (`Cluster`) pays for those still shut; nothing is shut again.

References
----------
Expected cost of repair of a sequence and of a tree of actions and questions: Vomlelová, "Complexity of
decision-theoretic troubleshooting", International Journal of Intelligent Systems, 2003; Jensen, Kjærulff,
Kristiansen, Langseth, Skaanning, Vomlel, Vomlelová, "The SACSO methodology for troubleshooting complex
systems", AI EDAM, 2001. Observing a part before repairing it, and the service call: Heckerman, Breese,
Rommelse, "Decision-theoretic troubleshooting", Communications of the ACM, 1995.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from math import inf
from typing import TypeAlias

Faults: TypeAlias = frozenset[str]

TEST = "test"
SERVICE = "service"

SAME = 12
"""Decimals to which two beliefs must agree to be one state of the search."""


@dataclass(frozen=True, slots=True)
class World:
    """One possibility: the faults that are present, and its chance."""

    faults: Faults
    chance: float


@dataclass(frozen=True, slots=True)
class Action:
    """Something that cures: each fault in `cures` with its chance, independently.

    `cost` is paid whenever it is tried, `on_cure` on top when it did cure something (look first, then
    repair). With `tested` the cost includes finding out whether the machine works now.
    """

    name: str
    cost: float
    cures: Mapping[str, float]
    on_cure: float = 0.0
    cluster: str = ""
    tested: bool = True


@dataclass(frozen=True, slots=True)
class Question:
    """Something that only tells: `chances` gives the chance of each answer under a set of faults."""

    name: str
    cost: float
    chances: Callable[[Faults], Mapping[str, float]]
    cluster: str = ""


@dataclass(frozen=True, slots=True)
class Cluster:
    """An opening: what lies in it can be reached once it and all it is `behind` are open."""

    name: str
    cost: float
    behind: str = ""


@dataclass(frozen=True, slots=True)
class Trouble:
    """A troubleshooting problem. Chances of `worlds` sum to one; a world without faults costs nothing: divide
    an expected cost by the chance of the others for the cost given that the machine fails.

    `service` is the cost of giving up (None: there is no one to give it to, and a plan goes on until every
    action has been tried). `test` is the cost of a system test by itself, for actions that include none. With
    `proves` a plan that does not end with service must end with a test that the machine passes.
    """

    worlds: tuple[World, ...]
    actions: tuple[Action, ...]
    questions: tuple[Question, ...] = ()
    clusters: tuple[Cluster, ...] = ()
    service: float | None = None
    test: float | None = None
    proves: bool = False


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


def single(chances: Mapping[str, float]) -> tuple[World, ...]:
    """Return the worlds in which exactly one fault is present, with the given chances."""
    return tuple(World(frozenset({fault}), chance) for fault, chance in chances.items())


def independent(chances: Mapping[str, float]) -> tuple[World, ...]:
    """Return the worlds of independent faults: 2**n of them, the one without faults included."""
    worlds = [World(frozenset(), 1.0)]
    for fault, chance in chances.items():
        without = [World(world.faults, world.chance * (1 - chance)) for world in worlds]
        with_it = [World(world.faults | {fault}, world.chance * chance) for world in worlds]
        worlds = [world for world in (*without, *with_it) if world.chance > 0]
    return tuple(worlds)


def splitting(name: str, cost: float, faults: Iterable[str], cluster: str = "") -> Question:
    """Return a question that is answered `yes` for sure when any of `faults` is present, else `no`."""
    return noisy(name, cost, dict.fromkeys(faults, 1.0), cluster=cluster)


def noisy(
    name: str, cost: float, strengths: Mapping[str, float], leak: float = 0.0, cluster: str = ""
) -> Question:
    """Return a noisy-OR question: each present fault makes it say `yes` with its strength, or the leak."""

    def chances(faults: Faults) -> Mapping[str, float]:
        quiet = 1.0 - leak
        for fault in faults & strengths.keys():
            quiet *= 1.0 - strengths[fault]
        return {"yes": 1.0 - quiet, "no": quiet}

    return Question(name, cost, chances, cluster)


# --- one step ---------------------------------------------------------------------------------------------

Belief: TypeAlias = Mapping[Faults, float]


@dataclass(frozen=True, slots=True)
class _State:
    """What is known: unnormalised chances of fault sets, what was used, which openings are open."""

    belief: Belief
    used: frozenset[str]
    opened: frozenset[str]

    @property
    def weight(self) -> float:
        return sum(self.belief.values())


@dataclass(frozen=True, slots=True)
class _Rules:
    """A trouble with its parts by name."""

    trouble: Trouble
    actions: Mapping[str, Action]
    questions: Mapping[str, Question]
    clusters: Mapping[str, Cluster]

    @classmethod
    def of(cls, trouble: Trouble) -> _Rules:
        """Return the rules; every name must stand once."""
        actions = {action.name: action for action in trouble.actions}
        questions = {question.name: question for question in trouble.questions}
        assert len({*actions, *questions, TEST, SERVICE}) == len(trouble.actions) + len(trouble.questions) + 2
        return cls(trouble, actions, questions, {cluster.name: cluster for cluster in trouble.clusters})

    def start(self) -> _State:
        """Return the state before anything is done; a machine known to work is no state."""
        belief: dict[Faults, float] = {}
        for world in self.trouble.worlds:
            if world.faults and world.chance > 0:
                belief[world.faults] = belief.get(world.faults, 0.0) + world.chance
        return _State(belief, frozenset(), frozenset())

    def take(self, state: _State, step: str) -> tuple[float, dict[str, _State]]:
        """Return a step's cost, times the state's weight, and the state after each of its answers.

        Of an action the only answer is that the machine does not work yet, called the empty string.
        """
        if step == SERVICE:
            assert self.trouble.service is not None, "this trouble has no service"
            return self.trouble.service * state.weight, {}
        if step == TEST:
            assert self.trouble.test is not None, "this trouble has no test of its own"
            return self.trouble.test * state.weight, self._still({"": _failing(state)})
        cluster = (self.actions.get(step) or self.questions[step]).cluster
        fee, opened = self._opening(cluster, state.opened)
        moved = _State(state.belief, state.used | {step}, opened)
        if step in self.actions:
            cost, after = _tried(moved, self.actions[step])
            return cost + fee * state.weight, self._still({"": after})
        question = self.questions[step]
        return (question.cost + fee) * state.weight, self._still(_answered(moved, question))

    def goes_on(self, state: _State) -> bool:
        """Tell whether something is left to do: a fault may be present, or that none is must be proven."""
        return any(state.belief) or (self.trouble.proves and bool(state.belief))

    def _still(self, states: dict[str, _State]) -> dict[str, _State]:
        return {name: state for name, state in states.items() if self.goes_on(state)}

    def _opening(self, cluster: str, opened: frozenset[str]) -> tuple[float, frozenset[str]]:
        fee = 0.0
        while cluster and cluster not in opened:
            fee += self.clusters[cluster].cost
            opened |= {cluster}
            cluster = self.clusters[cluster].behind
        return fee, opened

    def useful(self, state: _State) -> Iterator[str]:
        """Yield the steps that could change something, in the order given; then the test."""
        possible = frozenset().union(*state.belief)
        for name, action in self.actions.items():
            if name not in state.used and any(action.cures.get(fault, 0.0) > 0 for fault in possible):
                yield name
        for name, question in self.questions.items():
            if name not in state.used and _tells(state, question):
                yield name
        if self.trouble.test is not None and frozenset() in state.belief:
            yield TEST


def _failing(state: _State) -> _State:
    return _State({faults: w for faults, w in state.belief.items() if faults}, state.used, state.opened)


def _tried(state: _State, action: Action) -> tuple[float, _State]:
    """Return the cost of an action, times the weight, and the state after it."""
    cost = action.cost * state.weight
    after: dict[Faults, float] = {}
    for faults, weight in state.belief.items():
        left = {faults: weight}
        for fault in faults & action.cures.keys():
            chance = action.cures[fault]
            split: dict[Faults, float] = {}
            for each, share in left.items():
                for result, part in ((each - {fault}, chance), (each, 1.0 - chance)):
                    if part > 0:
                        split[result] = split.get(result, 0.0) + share * part
            left = split
        cost += action.on_cure * sum(share for result, share in left.items() if result != faults)
        for result, share in left.items():
            after[result] = after.get(result, 0.0) + share
    moved = _State(after, state.used, state.opened)
    return cost, _failing(moved) if action.tested else moved


def _answered(state: _State, question: Question) -> dict[str, _State]:
    beliefs: dict[str, dict[Faults, float]] = {}
    for faults, weight in state.belief.items():
        for answer, chance in question.chances(faults).items():
            if chance > 0:
                beliefs.setdefault(answer, {})[faults] = weight * chance
    return {answer: _State(belief, state.used, state.opened) for answer, belief in beliefs.items()}


def _tells(state: _State, question: Question) -> bool:
    seen = [question.chances(faults) for faults in state.belief]
    return any(chances != seen[0] for chances in seen)


# --- whole plans ------------------------------------------------------------------------------------------


def expected_cost(trouble: Trouble, plan: Tree | Sequence[str]) -> float:
    """Return the expected cost of a fixed plan: a tree, or a sequence of steps in order.

    Where the machine works, or the plan has no more steps, nothing more is paid.
    Cost: O(steps · worlds) for a sequence whose actions each cure for sure.
    """
    tree = plan if isinstance(plan, Tree) else Tree(tuple(plan))
    rules = _Rules.of(trouble)
    return _cost(rules, rules.start(), tree)


def _cost(rules: _Rules, state: _State, tree: Tree) -> float:
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
    rules = _Rules.of(trouble)
    search = _Search(rules)
    start = rules.start()
    cost = search.best(start)[0] * start.weight if start.belief else 0.0
    return Optimum(cost, search.plan(start), len(search.memory))


class _Search:
    """The memory of one exhaustive search."""

    def __init__(self, rules: _Rules) -> None:
        self.rules = rules
        self.memory: dict[object, tuple[float, str]] = {}

    def best(self, state: _State) -> tuple[float, str]:
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

    def _search(self, state: _State, steps: tuple[str, ...], weight: float) -> tuple[float, str]:
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

    def plan(self, state: _State) -> Tree:
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

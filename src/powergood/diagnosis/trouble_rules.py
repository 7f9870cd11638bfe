"""The rules of a small trouble: what a step costs in a state of belief, and the states it may lead to."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import TypeAlias

from powergood.diagnosis.troubles import SERVICE, TEST, Action, Cluster, Faults, Question, Trouble

Belief: TypeAlias = Mapping[Faults, float]


@dataclass(frozen=True, slots=True)
class State:
    """What is known: unnormalised chances of fault sets, what was used, which openings are open."""

    belief: Belief
    used: frozenset[str]
    opened: frozenset[str]

    @property
    def weight(self) -> float:
        """The chance of being here at all: what the chances sum to."""
        return sum(self.belief.values())


@dataclass(frozen=True, slots=True)
class Rules:
    """A trouble with its parts by name."""

    trouble: Trouble
    actions: Mapping[str, Action]
    questions: Mapping[str, Question]
    clusters: Mapping[str, Cluster]

    @classmethod
    def of(cls, trouble: Trouble) -> Rules:
        """Return the rules; every name must stand once."""
        actions = {action.name: action for action in trouble.actions}
        questions = {question.name: question for question in trouble.questions}
        assert len({*actions, *questions, TEST, SERVICE}) == len(trouble.actions) + len(trouble.questions) + 2
        return cls(trouble, actions, questions, {cluster.name: cluster for cluster in trouble.clusters})

    def start(self) -> State:
        """Return the state before anything is done; a machine known to work is no state."""
        belief: dict[Faults, float] = {}
        for world in self.trouble.worlds:
            if world.faults and world.chance > 0:
                belief[world.faults] = belief.get(world.faults, 0.0) + world.chance
        return State(belief, frozenset(), frozenset())

    def take(self, state: State, step: str) -> tuple[float, dict[str, State]]:
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
        moved = State(state.belief, state.used | {step}, opened)
        if step in self.actions:
            cost, after = _tried(moved, self.actions[step])
            return cost + fee * state.weight, self._still({"": after})
        question = self.questions[step]
        return (question.cost + fee) * state.weight, self._still(_answered(moved, question))

    def goes_on(self, state: State) -> bool:
        """Tell whether something is left to do: a fault may be present, or that none is must be proven."""
        return any(state.belief) or (self.trouble.proves and bool(state.belief))

    def _still(self, states: dict[str, State]) -> dict[str, State]:
        return {name: state for name, state in states.items() if self.goes_on(state)}

    def _opening(self, cluster: str, opened: frozenset[str]) -> tuple[float, frozenset[str]]:
        fee = 0.0
        while cluster and cluster not in opened:
            fee += self.clusters[cluster].cost
            opened |= {cluster}
            cluster = self.clusters[cluster].behind
        return fee, opened

    def useful(self, state: State) -> Iterator[str]:
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


def _failing(state: State) -> State:
    return State({faults: w for faults, w in state.belief.items() if faults}, state.used, state.opened)


def _tried(state: State, action: Action) -> tuple[float, State]:
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
    moved = State(after, state.used, state.opened)
    return cost, _failing(moved) if action.tested else moved


def _answered(state: State, question: Question) -> dict[str, State]:
    beliefs: dict[str, dict[Faults, float]] = {}
    for faults, weight in state.belief.items():
        for answer, chance in question.chances(faults).items():
            if chance > 0:
                beliefs.setdefault(answer, {})[faults] = weight * chance
    return {answer: State(belief, state.used, state.opened) for answer, belief in beliefs.items()}


def _tells(state: State, question: Question) -> bool:
    seen = [question.chances(faults) for faults in state.belief]
    return any(chances != seen[0] for chances in seen)

"""Joint samples of histories and switches, and sampling past the recursion, against exact chances."""

from random import Random

import numpy as np
import pytest
from machines import facts_of, fault, fix, line_of, machine, yes_no

from powergood.diagnosis import belief as belief_module
from powergood.diagnosis import beyond
from powergood.diagnosis.belief import Belief, believe
from powergood.diagnosis.compiled import BaseSpec, CompiledModel
from powergood.diagnosis.drawing import draw
from powergood.diagnosis.recursion import (
    MOST_BITS,
    Component,
    Solved,
    Switch,
    Trajectory,
    chance_with_off,
    evidence,
    solve,
)
from powergood.record.model import GOOD, Finding, FixDone
from powergood.record.timeline import Timeline, timeline

SAMPLES = 20_000

FAR_OUT = 4.5
"""Standard errors: about one wrong alarm in 150 000 comparisons; seeds are fixed, so none in a rerun."""


def random_component(seed: int) -> Component:
    """Return a component of a few variables with a few histories and switches each."""
    chance = Random(seed)
    bits = chance.randint(1, 5)

    def switch(label: int) -> Switch:
        on = chance.choice([0.2, 0.6, 1.0, 0.9 * chance.random()])
        return Switch(1 - on, on, chance.randrange(1, 1 << bits), label)

    variables = []
    for _ in range(chance.randint(1, 6)):
        weights = [chance.random() for _ in range(chance.randint(1, 4))]
        variables.append(
            tuple(
                Trajectory(
                    weight / sum(weights), tuple(switch(n) for n in range(chance.randint(0, 3) * (h > 0)))
                )
                for h, weight in enumerate(weights)
            )
        )
    terminal = np.array([chance.choice([0.02, 0.3, 1.0]) for _ in range(1 << bits)])
    return Component(tuple(variables), terminal)


def near(found: float, expected: float, samples: int = SAMPLES) -> None:
    """Assert that a sampled share is within the error of its expected chance."""
    error = max(expected * (1 - expected) / samples, 0.0) ** 0.5
    assert abs(found - expected) <= FAR_OUT * error + 1e-12


@pytest.mark.parametrize("seed", range(25))
def test_sampled_histories_and_switches_are_as_frequent_as_their_exact_chance(seed: int) -> None:
    solved = solve(random_component(seed))
    drawn = draw(solved, SAMPLES, np.random.default_rng(seed))
    for number, variable in enumerate(solved.component.variables):
        for history, trajectory in enumerate(variable):
            near(float((drawn[number].history == history).mean()), solved.chances[number][history])
            for place, switch in enumerate(trajectory.switches):
                off = chance_with_off(solved, number, history, frozenset({switch.label}))
                near(float(drawn[number].on[history][:, place].mean()), solved.chances[number][history] - off)


@pytest.mark.parametrize("seed", range(10))
def test_sampled_pairs_of_histories_are_as_frequent_as_their_joint_chance(seed: int) -> None:
    """The joint chance of two histories: the evidence with both variables held, over the evidence."""
    component = random_component(100 + seed)
    if len(component.variables) < 2:
        component = Component(component.variables * 2, component.terminal)
    solved = solve(component)
    drawn = draw(solved, SAMPLES, np.random.default_rng(seed))
    for first, one in enumerate(component.variables[0]):
        for last, other in enumerate(component.variables[-1]):
            held = Component(((one,), *component.variables[1:-1], (other,)), component.terminal)
            both = (drawn[0].history == first) & (drawn[-1].history == last)
            near(float(both.mean()), evidence(held) / solved.evidence)


def test_no_sample_contradicts_a_sure_finding() -> None:
    component = Component(
        ((Trajectory(0.9), Trajectory(0.1, (Switch(0.3, 0.7, 1, 0),))),) * 3, np.array([0.0, 1.0])
    )
    drawn = draw(solve(component), 2000, np.random.default_rng(1))
    assert np.any([each.on[1][:, 0] for each in drawn], axis=0).all()


def test_the_same_generator_draws_the_same_samples() -> None:
    solved = solve(random_component(3))
    one, two = (draw(solved, 50, np.random.default_rng(9)) for _ in range(2))
    for left, right in zip(one, two, strict=True):
        assert (left.history == right.history).all()


# --- past the recursion ---------------------------------------------------------------------------------


def sick_machine(seed: int) -> tuple[CompiledModel, Timeline]:
    """Return a machine of 14 faults and 11 functions of which most fail, some only unsurely, one fix done."""
    chance = Random(seed)
    bases = [BaseSpec(f"b{n}", "", "a") for n in range(11)]
    faults = [
        fault(
            f"f{n}",
            "",
            chance.choice([0.03, 0.1, 0.3]),
            {base: chance.choice([0.3, 0.7, 1.0]) for base in chance.sample(range(11), chance.randint(2, 5))},
        )
        for n in range(14)
    ]
    checks = [yes_no(f"c{n}", n, chance.choice([0.01, 0.05])) for n in range(11)]
    model = machine(faults, bases, checks, [fix("mend", cures={chance.randrange(14): 0.7})])
    looks = [Finding(f"c{n}", chance.choice(["bad", "bad", GOOD]), chance.random() < 0.7) for n in range(11)]
    return model, line_of(*looks[:8], FixDone("mend"), *looks[8:])


def worst_difference(one: Belief, other: Belief) -> float:
    """Return the greatest difference between chances of the same histories."""
    return max(
        abs(a - b) for u, v in zip(one.chances, other.chances, strict=True) for a, b in zip(u, v, strict=True)
    )


@pytest.mark.parametrize("seed", range(30))
def test_sampling_past_the_recursion_stays_inside_four_stated_errors(
    seed: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    model, line = sick_machine(seed)
    exact = believe(model, line)
    assert exact.error == 0
    for module in (belief_module, beyond):
        monkeypatch.setattr(module, "MOST_BITS", 5)
    sampled = believe(model, line)
    assert sampled.error > 0
    assert worst_difference(exact, sampled) <= 4 * sampled.error
    assert sampled.weight == pytest.approx(exact.weight, rel=8 * 2 * sampled.error)


def test_a_component_past_the_recursion_is_solved_by_sampling_and_a_small_one_is_not() -> None:
    bases = [BaseSpec(f"b{n}", "", "a") for n in range(20)]
    wide = fault("wide", "", 0.2, dict.fromkeys(range(20), 0.8))
    narrow = [fault(f"f{n}", "", 0.1, {n: 0.9}) for n in range(20)]
    model = machine([wide, *narrow], bases, [yes_no(f"c{n}", n) for n in range(20)])
    all_fail = timeline(facts_of([Finding(f"c{n}", "bad") for n in range(20)]))
    some_fail = timeline(facts_of([Finding(f"c{n}", "bad") for n in range(MOST_BITS)]))
    assert believe(model, all_fail).error > 0
    held = believe(model, some_fail)
    assert held.error == 0
    assert isinstance(held.groups[0].solved, Solved)

"""What comes and goes acts or not for a whole start: what one look at it showed, the next shows too."""

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from machines import fault, line_of, machine, yes_no

from powergood.diagnosis import Preferences
from powergood.diagnosis.belief import belief, believe
from powergood.diagnosis.compiled import BaseSpec, CompiledModel
from powergood.diagnosis.gathering import gather
from powergood.diagnosis.lookahead import Lookahead, Node
from powergood.diagnosis.samples import draw_samples
from powergood.diagnosis.worth import Worth
from powergood.record.model import NO_VERDICT, Body, Draft, Fact, Finding
from powergood.record.timeline import Timeline, timeline

COUNT = 20_000
"""Samples drawn: a chance is then within 0.015 in all but one of ten thousand draws."""


def one_start(*bodies: Body) -> Timeline:
    """Return the facts, all of start 1."""
    return timeline(
        Fact(n, "", Draft(body, key=str(n), power_up=1)) for n, body in enumerate(bodies, start=1)
    )


def loose_joint(shows: float = 0.4, leak: float = 0.0) -> CompiledModel:
    """Return a machine with one fault that comes and goes, and two looks at what it stops."""
    bases = [BaseSpec("light", "", "a"), BaseSpec("picture", "", "a", needs=(0,))]
    faults = [fault("loose", "board", 0.5, {0: 1.0}, shows=shows), fault("dead", "panel", 0.3, {1: 1.0})]
    return machine(faults, bases, [yes_no("light", 0, leak), yes_no("picture", 1, leak)])


def ahead_of(model: CompiledModel, line: Timeline) -> tuple[Lookahead, Node]:
    """Return the plan's view after the facts of `line`."""
    found = gather(model, line)
    now = found.now
    look = Lookahead(
        Worth.of(model, Preferences(), ["light"], frozenset()),
        draw_samples(belief(model, found), COUNT),
        tuple(model.checks.values()),
        (),
        frozenset(),
    )
    return look, look.root(now.opened, frozenset({0}), frozenset(), running=now.running)


def chance(look: Lookahead, node: Node, check: str) -> float:
    """Return the chance that a check passes next."""
    good = look.outcomes(check)[-1]
    return float(node.weights @ look.outlook(node)[:, good])


def test_a_look_at_the_start_that_runs_shows_what_the_last_one_did() -> None:
    model = loose_joint()
    look, root = ahead_of(model, one_start(Finding("light", "bad")))
    assert chance(look, root, "picture") == 0.0
    assert chance(look, root, "light") == 0.0


def test_the_next_start_is_drawn_anew() -> None:
    model = loose_joint()
    look, root = ahead_of(model, line_of([]))
    light = model.checks["light"]
    seen = look.after_outcome(root, light, look.outcomes("light")[0])
    assert chance(look, seen, "picture") == pytest.approx(0.0, abs=0.001)
    again = replace(seen, running=None)
    assert chance(look, again, "light") == pytest.approx(0.6, abs=0.015)


def test_a_look_at_another_start_that_gave_no_verdict_ends_what_the_last_start_showed() -> None:
    model = loose_joint()
    seen = [Finding("light", "bad"), Finding("light", NO_VERDICT)]
    line = timeline(Fact(n, "", Draft(body, key=str(n), power_up=n)) for n, body in enumerate(seen, start=1))
    look, root = ahead_of(model, line)
    assert chance(look, root, "light") == pytest.approx(0.6, abs=0.015)


def test_a_long_look_at_the_start_that_runs_ends_what_it_showed_before() -> None:
    model = loose_joint()
    model = replace(model, checks={**model.checks, "hours": replace(yes_no("hours", 0, 0.0), starts=4.0)})
    look, root = ahead_of(model, one_start(Finding("light", "bad")))
    after = look.after_outcome(root, model.checks["hours"], look.outcomes("hours")[0])
    assert after.running is not None
    assert chance(look, after, "light") == pytest.approx(0.6, abs=0.015)


@settings(max_examples=25, deadline=None, derandomize=True)
@given(
    st.sampled_from([0.0, 0.1]),
    st.sampled_from([0.2, 0.7]),
    st.lists(st.tuples(st.sampled_from(["light", "picture"]), st.sampled_from(["good", "bad"])), max_size=3),
    st.sampled_from(["light", "picture"]),
)
def test_what_the_next_look_at_this_start_shows_is_what_the_belief_says(
    leak: float, shows: float, seen: list[tuple[str, str]], asked: str
) -> None:
    """The plan's chance of a pass is held against the belief: the weight with the pass over that without."""
    model = loose_joint(shows, leak)
    facts: list[Body] = [Finding(check, outcome) for check, outcome in seen]
    if believe(model, one_start(*facts)).weight <= 0 or any(check == asked for check, _ in seen):
        return
    look, root = ahead_of(model, one_start(*facts))
    weights = [whole_weight(model, [*facts, Finding(asked, outcome)]) for outcome in ("good", "bad")]
    assert chance(look, root, asked) == pytest.approx(weights[0] / sum(weights), abs=0.015)


def whole_weight(model: CompiledModel, facts: list[Body]) -> float:
    """Return the chance of the findings, whatever they are, by going through what is there and acts."""
    total = 0.0
    for loose, dead, acts in np.ndindex(2, 2, 2):
        shows = model.faults[0].shows
        here = 0.5 * (0.3 if dead else 0.7) * (shows if acts else 1 - shows)
        stopped = {"light": loose and acts, "picture": (loose and acts) or dead}
        leak = {name: check.leak for name, check in model.checks.items()}
        for name in {body.check for body in facts if isinstance(body, Finding)}:
            said = {body.outcome for body in facts if isinstance(body, Finding) and body.check == name}
            fails = 1.0 if stopped[name] else leak[name]
            here *= (fails if "bad" in said else 1.0) * (1 - fails if "good" in said else 1.0)
        total += here
    return total

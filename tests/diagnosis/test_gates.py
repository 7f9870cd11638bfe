"""No step is offered behind a safety condition that is not met, whatever it would save."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import HealthCheck, assume, given, settings
from hypothesis import strategies as st
from hypothesis.strategies import DrawFn
from machines import facts_of, fault, fix, line_of, machine, machines, stories, yes_no

from powergood.diagnosis import Advice, advise, believe
from powergood.diagnosis.compiled import BaseSpec, CompiledModel, GateSpec, OpeningSpec
from powergood.record.model import Body, Finding, GateAnswered, Opened, Refitted
from powergood.record.timeline import timeline

COVER = OpeningSpec("cover", "Cover", 5.0, 5.0, 0.0, frozenset())
CAGE = OpeningSpec("cage", "Cage", 5.0, 5.0, 0.0, frozenset({"cover"}))


def gate(*holds: str, name: str = "safe") -> GateSpec:
    """Return a gate that holds back the named things."""
    return GateSpec(name, "Safe", "Is it safe?", "It can hurt you.", holds)


def lamp(*gates: GateSpec, power: str = "off") -> CompiledModel:
    """Return a machine with one lamp: looked at from outside or in the cage, and mended in the cage."""
    looks = [
        replace(yes_no("look", 0), power=power),
        replace(yes_no("measure", 0, leak=0.01), power="off", open=frozenset({"cage"})),
    ]
    mend = replace(fix("new-lamp", cures={0: 1.0}), open=frozenset({"cage"}))
    model = machine(
        [fault("burnt", "lamp", 0.3, {0: 1.0})], [BaseSpec("light", "Light", "a", wanted=True)], looks, [mend]
    )
    return replace(model, openings={"cover": COVER, "cage": CAGE}, gates=gates)


def offered(advice: Advice) -> set[str]:
    """Return the checks, fixes and openings an advice offers."""
    return {step.step for step in advice.steps if step.kind not in ("gate", "stop")}


def asked(advice: Advice) -> set[str]:
    """Return the gates an advice asks for."""
    return {step.step for step in advice.steps if step.kind == "gate"}


@pytest.mark.parametrize(
    ("holds", "held"),
    [
        ("power", {"look"}),
        ("opening", {"measure", "new-lamp"}),
        ("step:cage", {"measure", "new-lamp"}),
        ("step:cover", {"measure", "new-lamp"}),
        ("step:measure", {"measure"}),
        ("step:new-lamp", {"new-lamp"}),
    ],
)
@pytest.mark.parametrize("said", [[], [Finding("look", "bad", told=True)], [Finding("look", "bad")]])
def test_a_gate_stands_in_place_of_the_steps_it_holds_back(
    holds: str, held: set[str], said: list[Finding]
) -> None:
    without = advise(lamp(power="start"), line_of(*said))
    free = offered(without)
    model = lamp(gate(holds), power="start")
    before = advise(model, line_of(*said))
    assert offered(before) == free - held
    if without.steps[0].step in held:
        assert before.steps[0].step == "safe"
    assert asked(before) <= ({"safe"} if free & held else set())
    assert set(before.gates[0].holds_back) - {"cover", "cage"} == held
    after = advise(model, line_of(*said, GateAnswered("safe", True)))
    assert offered(after) == free
    assert not asked(after)


@pytest.mark.parametrize("holds", ["opening", "step:cage", "step:cover"])
def test_a_case_that_is_open_already_does_not_stand_for_a_gate(holds: str) -> None:
    model = lamp(gate(holds))
    seen = Finding("look", "bad")
    assert "new-lamp" in offered(advise(lamp(), line_of(seen, Opened("cage"))))
    advice = advise(model, line_of(seen, Opened("cage")))
    assert "new-lamp" not in offered(advice)
    assert advice.steps[0].kind == "gate"
    assert asked(advice) == {"safe"}


def test_a_gate_that_is_no_longer_met_holds_again() -> None:
    model = lamp(gate("step:cover"))
    met, unmet = GateAnswered("safe", True), GateAnswered("safe", False)
    dark = Finding("look", "bad")
    assert "new-lamp" in offered(advise(model, line_of(dark, met, Opened("cage"))))
    assert "new-lamp" not in offered(advise(model, line_of(dark, met, Opened("cage"), unmet)))


@st.composite
def guarded(draw: DrawFn) -> CompiledModel:
    """Draw a machine with two openings, steps behind them, powered checks and two gates."""
    model = draw(machines(most_faults=3))
    ways = st.sampled_from([frozenset(), frozenset({"cover"}), frozenset({"cage"})])
    checks = {
        name: replace(check, open=draw(ways), power=draw(st.sampled_from(["off", "on", "start"])))
        for name, check in model.checks.items()
    }
    fixes = {name: replace(each, open=draw(ways)) for name, each in model.fixes.items()}
    bases = (replace(model.bases[0], wanted=True), *model.bases[1:])
    named = st.sampled_from([f"step:{name}" for name in (*checks, *fixes, "cover", "cage")])
    holds = st.lists(st.one_of(st.sampled_from(["power", "opening"]), named), min_size=1, max_size=3)
    gates = tuple(gate(*draw(holds), name=name) for name in ("g1", "g2"))
    return replace(
        model, checks=checks, fixes=fixes, bases=bases, openings={"cover": COVER, "cage": CAGE}, gates=gates
    )


@settings(max_examples=60, deadline=None, derandomize=True, suppress_health_check=list(HealthCheck))
@given(st.data())
def test_no_step_behind_an_unmet_gate_is_ever_offered(data: st.DataObject) -> None:
    model = data.draw(guarded())
    acts = data.draw(
        st.lists(
            st.one_of(
                st.builds(Opened, st.sampled_from(["cover", "cage"])),
                st.builds(Refitted, st.sampled_from(["cover", "cage"])),
                st.builds(GateAnswered, st.sampled_from(["g1", "g2"]), st.booleans()),
            ),
            max_size=4,
        )
    )
    story: list[Body] = [fact.body for fact in data.draw(stories(model, longest=4))]
    line = timeline(facts_of([*acts, *story]))
    assume(believe(model, line).weight > 0)
    advice = advise(model, line)
    last = {body.gate: body.met for body in acts if isinstance(body, GateAnswered)}
    for name in offered(advice):
        step = model.checks.get(name) or model.fixes[name]
        inside = {"cage": {"cover", "cage"}, "cover": {"cover"}}
        way = {each for opening in step.open for each in inside[opening]}
        powered = name in model.checks and model.checks[name].power != "off"
        for each in model.gates:
            waits = f"step:{name}" in each.holds or bool(way & {h.removeprefix("step:") for h in each.holds})
            waits = waits or ("power" in each.holds and powered) or ("opening" in each.holds and bool(way))
            assert last.get(each.id, False) or not waits, (name, each)

"""Nothing is powered with the machine deeper open than the look itself needs: in every family and sheet."""

from __future__ import annotations

import pytest

from powergood.diagnosis import Preferences, advise, compile_model
from powergood.diagnosis.compiled import CheckSpec, CompiledModel
from powergood.packs import builtin_pack
from powergood.record.model import Complained, Draft, Fact, GateAnswered, JobOpened, Opened
from powergood.record.timeline import timeline

PACK = builtin_pack()
KINDS = [*sorted(PACK.families), *sorted(PACK.sheets)]


def model_of(kind: str) -> CompiledModel:
    """Return a shipped kind of machine."""
    return compile_model(PACK.machine(kind), year=1994)


def bare(model: CompiledModel, check: CheckSpec) -> set[str]:
    """Return the openings that a powered check would leave open though it does not need them."""
    left = set(model.openings) - check.closed - model.whole_opening(check.open)
    return {name for name in left if model.openings[name].behind}


@pytest.mark.parametrize("kind", KINDS)
def test_a_powered_look_leaves_only_outer_covers_open_but_for_what_it_needs(kind: str) -> None:
    model = model_of(kind)
    wrong = {each.id: bare(model, each) for each in model.checks.values() if each.power != "off"}
    assert {name: left for name, left in wrong.items() if left} == {}


@pytest.mark.parametrize("kind", KINDS)
def test_what_can_kill_is_covered_before_power(kind: str) -> None:
    machine, model = PACK.machine(kind), model_of(kind)
    deadly = {caution.id for caution in machine.cautions if caution.deadly}
    live = {name for name, spec in model.openings.items() if deadly & set(spec.cautions)}
    for check in model.checks.values():
        if check.power != "off":
            assert live <= check.closed | model.whole_opening(check.open), check.id


def test_a_compact_with_its_back_off_is_closed_before_it_is_started() -> None:
    model = model_of("compact-all-in-one")
    said = [JobOpened("one line", ("good-picture",)), Complained("one bright line", "one-line")]
    bodies = [*said, *(GateAnswered(gate.id, True) for gate in model.gates), Opened("supply-open")]
    facts = [Fact(n, "", Draft(body, key=str(n))) for n, body in enumerate(bodies, start=1)]
    advice = advise(model, timeline(facts), Preferences())
    powered = [
        step for step in advice.steps if step.kind == "check" and model.checks[step.step].power != "off"
    ]
    assert powered
    for step in powered:
        asked = model.whole_opening(model.checks[step.step].open)
        assert {"cover-off", "supply-open"} - asked <= set(step.refits), step.step

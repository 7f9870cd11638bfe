"""Grids in the belief: each fault has one distribution over extents; where a cell lies names the copy."""

from __future__ import annotations

from dataclasses import replace

import pytest
from machines import line_of

from powergood.diagnosis import Preferences, advise
from powergood.diagnosis.belief import believe
from powergood.diagnosis.compile import compile_model
from powergood.diagnosis.compiled import CompiledModel
from powergood.diagnosis.gathering import gather
from powergood.diagnosis.whatif import outcomes_exactly
from powergood.diagnosis.worth import Worth
from powergood.knowledge import (
    Area,
    Check,
    Claim,
    Extent,
    Fault,
    Fix,
    Function,
    Grid,
    MachineModel,
    Part,
    Rung,
)
from powergood.record.model import GOOD, Finding, PartIn, PartOut
from powergood.record.timeline import Timeline

ALARM = 0.03


def about(value: float) -> Claim:
    return Claim(value, "judgement")


def fault(name: str, chance: float, **breaks: float) -> Fault:
    links = {function.replace("_", "-"): about(value) for function, value in breaks.items()}
    return Fault(name, name, links, chance=about(chance))


def machine(*faults: Fault, copies: int = 3, grid: Grid | None = None) -> MachineModel:
    """Return a machine with keys (extents all, line, one) and memory modules; a socket shared by them."""
    area = Area("a", "Area", about(0.001), "Another", about(60), about(60))
    parts = (Part("keyboard", "Keyboard", "a"), Part("memory", "Memory module", "a", copies=copies))
    functions = (
        Function("runs", "It runs", "a"),
        Function("some-keys", "Some keys answer", "a", ("runs",)),
        Function("key-lines", "No line is dead", "a", ("some-keys",)),
        Function("every-key", "Every key types", "a", ("key-lines",), wanted=True),
        Function("memory-true", "Memory keeps what it is given", "a", ("runs",), of=("memory",), wanted=True),
    )
    keys = Grid(
        (
            Extent("all", "some-keys", "No key types"),
            Extent("line", "key-lines", "A line is dead"),
            Extent("one", "every-key", "Single keys are dead"),
        ),
        (("Q", "W", "E"), ("A", "S", "D")),
        before=(Rung("runs", "It does not run"),),
    )
    banks = Grid((Extent("one", "memory-true", "Errors"),), copies_of="memory", before=keys.before)
    checks = (
        Check("press", "Press", about(3), about(ALARM), "start", grid=grid or keys, all_good="All type"),
        Check("test", "Test", about(9), about(ALARM), "start", grid=banks, all_good="No error"),
        Check("whole", "Whole", about(9), about(ALARM), "start", of="memory-true", good="Fine", bad="Bad"),
    )
    fixes = (
        Fix("new-keys", "New keys", "replace", about(9), replaces="keyboard"),
        Fix("new-memory", "New module", "replace", about(9), replaces="memory"),
    )
    return MachineModel("m", "M", (area,), parts, functions, (), faults, checks, fixes)


def chances(model: CompiledModel, *bodies: object) -> dict[str, float]:
    held = believe(model, line_of(*bodies))  # type: ignore[arg-type]  # bodies of facts
    return {model.faults[at].id: chance for at, chance in held.now().items()}


def weight(model: CompiledModel, finding: Finding) -> float:
    """Return the chance of one finding. A sure pass alone has its false alarms left out: put them back."""
    held = believe(model, line_of(finding))
    spec = model.checks[finding.check]
    return held.weight * ((1 - spec.leak) ** len(spec.rungs) if finding.outcome == GOOD else 1.0)


MEMBRANE = fault("keyboard.tail", 0.999999, some_keys=0.2, key_lines=0.75, every_key=0.5)


def test_a_fault_alone_has_one_distribution_over_the_extents() -> None:
    """Links are chances given that no worse extent showed: 0.2, then 0.8 · 0.75, then 0.8 · 0.25 · 0.5."""
    sound = replace(machine(MEMBRANE), areas=())
    model = compile_model(sound)
    spec = model.checks["press"]
    quiet = replace(model, checks={**model.checks, "press": replace(spec, leak=0.0)})
    found = {name: weight(quiet, Finding("press", name)) for name, _ in spec.outcomes()}
    assert found == pytest.approx({"runs": 0, "all": 0.2, "line": 0.6, "one": 0.1, "good": 0.1}, abs=1e-5)


def test_of_two_faults_the_worst_extent_is_seen() -> None:
    """P(no worse than one) is the product of both faults' own chances of that."""
    spill = fault("keyboard.spill", 0.999999, some_keys=0.1, every_key=0.9)
    model = compile_model(replace(machine(MEMBRANE, spill), areas=()))
    quiet = replace(model, checks={"press": replace(model.checks["press"], leak=0.0)})
    assert weight(quiet, Finding("press", "all")) == pytest.approx(1 - 0.8 * 0.9, abs=1e-5)
    assert weight(quiet, Finding("press", "line")) == pytest.approx(0.8 * 0.9 * 0.75, abs=1e-5)
    assert weight(quiet, Finding("press", "one")) == pytest.approx(
        0.8 * 0.9 * 0.25 * (1 - 0.5 * 0.1), abs=1e-5
    )


def test_a_sound_machine_is_reported_bad_with_the_false_alarm_the_pack_states() -> None:
    model = compile_model(replace(machine(fault("keyboard.tail", 1e-9, every_key=0.9)), areas=()))
    for check in ("press", "test"):
        outcomes = [name for name, _ in model.checks[check].outcomes()]
        assert 1 - weight(model, Finding(check, GOOD)) == pytest.approx(ALARM, abs=1e-6)
        assert sum(weight(model, Finding(check, name)) for name in outcomes) == pytest.approx(1, abs=1e-6)


BAD = fault("memory.bad", 0.3, memory_true=0.9)
SOCKET = fault("keyboard.socket", 0.1, memory_true=0.6)
"""Not of a module: it may spoil any of them."""


def test_where_the_bad_cell_lies_names_the_copy() -> None:
    model = compile_model(machine(BAD, SOCKET))
    before = chances(model)
    found = chances(model, Finding("test", "one", cells=("2",)))
    assert before["memory.1.bad"] == before["memory.2.bad"] == pytest.approx(0.1)
    assert found["memory.2.bad"] > 0.6
    assert found["memory.1.bad"] == found["memory.3.bad"] < 0.02
    assert found["keyboard.socket"] < 2 * before["keyboard.socket"]


def test_two_bad_cells_name_two_copies_and_no_cells_name_none() -> None:
    model = compile_model(machine(BAD, SOCKET))
    both = chances(model, Finding("test", "one", cells=("1", "3")))
    assert both["memory.1.bad"] == pytest.approx(both["memory.3.bad"])
    assert both["memory.1.bad"] > 0.6
    assert both["memory.2.bad"] < 0.02
    unsaid = chances(model, Finding("test", "one"))
    assert unsaid["memory.1.bad"] == pytest.approx(unsaid["memory.2.bad"])
    assert 0.2 < unsaid["memory.1.bad"] < 0.5


def test_all_answers_with_cells_add_up_to_what_the_extent_alone_says() -> None:
    model = compile_model(machine(BAD, SOCKET))
    cells = [
        tuple(n for n in "123" if int(n) in chosen) for chosen in ({1}, {2}, {3}, {1, 2}, {1, 3}, {2, 3})
    ]
    located = [weight(model, Finding("test", "one", cells=each)) for each in (*cells, ("1", "2", "3"))]
    assert sum(located) == pytest.approx(weight(model, Finding("test", "one")), abs=1e-12)


def test_other_checks_of_the_function_are_told_what_they_were_told_before() -> None:
    """Splitting a function by copies moves nothing for a check that asks about it as a whole."""
    whole = machine(BAD, SOCKET)
    plain = replace(whole, checks=tuple(each for each in whole.checks if each.id != "test"))
    for finding in (Finding("whole", "bad"), Finding("whole", "good"), Finding("whole", "bad", sure=False)):
        assert chances(compile_model(whole), finding) == pytest.approx(chances(compile_model(plain), finding))


def test_trouble_that_moves_with_the_module_accuses_the_module() -> None:
    model = compile_model(machine(BAD, SOCKET, copies=2))
    first = Finding("test", "one", cells=("1",))
    swap = (
        PartOut("memory.1"),
        PartOut("memory.2"),
        PartIn("memory.1", "memory.2"),
        PartIn("memory.2", "memory.1"),
    )
    held = believe(model, line_of(first, *swap, Finding("test", "one", cells=("2",))))
    there = {
        instance: chance for (at, instance), chance in held.present().items() if "bad" in model.faults[at].id
    }
    assert there["memory.1"] > 0.95
    assert there["memory.2"] < 0.05


def test_a_good_grid_proves_the_function_its_copies_answer_for() -> None:
    advice = advise(compile_model(machine(BAD, SOCKET)), line_of(Finding("test", GOOD)))
    (state,) = [each for each in advice.functions if each.function == "memory-true"]
    assert state.standing in ("proven", "passed")
    assert state.passed_by == "test"


def test_the_outcomes_of_a_grid_are_its_extents_each_once() -> None:
    model = compile_model(machine(MEMBRANE, BAD, SOCKET))
    for check in ("press", "test"):
        advice = advise(model, Timeline(()))
        steps = [step for step in advice.steps if step.step == check]
        worth = Worth.of(model, Preferences(), model.wanted(), frozenset())
        exact = outcomes_exactly(model, Timeline(()), model.checks[check], worth)
        for outcomes in [exact, *(step.outcomes for step in steps)]:
            names = [each.outcome for each in outcomes]
            assert names == (
                ["runs", "all", "line", "one", "good"] if check == "press" else ["runs", "one", "good"]
            )
            assert sum(each.chance for each in outcomes) == pytest.approx(1, abs=1e-6)


def test_an_outcome_written_before_the_check_was_a_grid_is_still_read() -> None:
    model = compile_model(machine(MEMBRANE, BAD))
    assert not gather(model, line_of(Finding("press", "key-lines"))).unread
    assert chances(model, Finding("press", "key-lines")) == chances(model, Finding("press", "line"))
    assert gather(model, line_of(Finding("press", "several"))).unread == (1,)


def test_bad_stands_for_the_least_extent_where_a_yes_or_no_check_became_a_grid() -> None:
    model = compile_model(machine(MEMBRANE, BAD))
    for check in ("press", "test"):
        assert chances(model, Finding(check, "bad")) == chances(model, Finding(check, "one"))
    assert gather(model, line_of(Finding("whole", "one"))).unread == (1,)


def test_one_copy_alone_is_a_plain_ladder() -> None:
    model = compile_model(machine(BAD, SOCKET, copies=1))
    assert [rung.cell for rung in model.checks["test"].rungs] == ["", ""]
    assert chances(model, Finding("test", "one", cells=("1",)))["memory.bad"] > 0.6

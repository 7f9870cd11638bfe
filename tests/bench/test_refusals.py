"""Leave that a person does not have: the steps behind it go out of the plan, and what else to do is told."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

import pytest

from powergood.bench import Workshop, advise_sheet, job, open_job, record, take_in
from powergood.bench.intake_views import TakeIn
from powergood.bench.job_views import JobView
from powergood.bench.refusals import left_out, refused
from powergood.bench.wording import wording
from powergood.diagnosis import compile_model
from powergood.diagnosis.gates import holds
from powergood.packs import builtin_pack
from powergood.record.model import Body, Draft, Fact, Finding, GateAnswered
from powergood.record.timeline import timeline

LEAVE = "mains-work-allowed"

DEAD_SUPPLY = (
    Finding("pad-life", "bad"),
    Finding("supply-on-dummy-load", "starts"),
    Finding("other-mains-lead", "bad"),
    Finding("ohms-through-inlet", "good"),
    Finding("known-good-supply", "good"),
)


@pytest.fixture
def desktop(ws: Workshop) -> int:
    """A job on a desktop whose supply is dead, every safety condition met but leave for mains work."""
    tag = take_in(ws, TakeIn(name="Desk", sheet="at-atx-desktop"), key="desk")
    number = open_job(ws, tag, complaint="dead", wanted=("picture",), key="dead")
    gates = [gate.gate for gate in job(ws, number).gates if gate.gate != LEAVE]
    met: Sequence[Body] = [GateAnswered(gate, True) for gate in gates]
    record(ws, number, [*met, *DEAD_SUPPLY], key="seen", power_up=1)
    return number


def offered(view: JobView) -> set[str]:
    """Return the steps that a job's page offers, gates left out."""
    every = (view.next, *view.steps) if view.next else view.steps
    return {step.step for step in every if step.kind != "gate"}


def behind() -> set[str]:
    """Return the checks and fixes for which the supply must be open."""
    machine = builtin_pack().machine("at-atx-desktop")
    return {step.id for step in (*machine.checks, *machine.fixes) if "supply-open" in step.open}


def test_no_step_in_the_supply_is_offered_before_or_after_a_no(ws: Workshop, desktop: int) -> None:
    assert not offered(job(ws, desktop)) & behind()
    record(ws, desktop, [GateAnswered(LEAVE, False)], key="no")
    after = job(ws, desktop)
    assert not offered(after) & behind()
    assert "replace-supply" in offered(after)


def test_a_no_is_not_asked_again_and_says_what_to_do_instead(ws: Workshop, desktop: int) -> None:
    record(ws, desktop, [GateAnswered(LEAVE, False)], key="no")
    view = job(ws, desktop)
    card = next(gate for gate in view.gates if gate.gate == LEAVE)
    assert card.refused
    assert not card.due
    assert "licensed" in card.otherwise
    assert view.next is not None
    assert view.next.kind != "gate"
    record(ws, desktop, [GateAnswered(LEAVE, True)], key="yes")
    taken = next(gate for gate in job(ws, desktop).gates if gate.gate == LEAVE)
    assert (taken.met, taken.refused) == (True, False)


def test_a_condition_that_has_to_be_met_cannot_be_refused(ws: Workshop, desktop: int) -> None:
    record(ws, desktop, [GateAnswered("supply-proven", False)], key="no")
    view = job(ws, desktop)
    assert not next(gate for gate in view.gates if gate.gate == "supply-proven").refused


def test_every_family_leaves_out_all_that_a_refused_gate_holds() -> None:
    for kind in builtin_pack().families:
        machine = builtin_pack().machine(kind)
        words, model = wording(machine), compile_model(machine)
        for gate in (gate for gate in model.gates if words.gates[gate.id].otherwise):
            said_no = Draft(GateAnswered(gate.id, False), "no")
            line = timeline([Fact(1, "2026-01-01T00:00:00Z", said_no)])
            assert refused(line, words) == {gate.id}
            held = {each.check for name, each in model.checks.items() if holds(model, gate, name)}
            held |= {each.fix for name, each in model.fixes.items() if holds(model, gate, name)}
            assert held, (kind, gate.id)
            assert left_out(line, words) == held, (kind, gate.id)


def test_advice_without_a_workshop_leaves_them_out_as_well(tmp_path: Path) -> None:
    file = tmp_path / "findings.yaml"
    answers = "\n".join(f"  - {{check: {each.check}, outcome: {each.outcome}}}" for each in DEAD_SUPPLY)
    gates = [gate.id for gate in builtin_pack().machine("at-atx-desktop").gates if gate.id != LEAVE]
    met = "\n".join(f"  - {{gate: {gate}, met: yes}}" for gate in gates)
    said_no = f"  - {{gate: {LEAVE}, met: no}}"
    file.write_text(f"format: 1\nfacts:\n{met}\n{answers}\n{said_no}\n", encoding="utf-8")
    advice = advise_sheet("at-atx-desktop", file).advice
    assert LEAVE not in {step.step for step in advice.steps}
    assert not {step.step for step in advice.steps} & behind()

"""Gates: safety conditions that come before steps and are never weighed against minutes."""

from __future__ import annotations

from collections.abc import Sequence

from powergood.diagnosis.compiled import CompiledModel, GateSpec
from powergood.diagnosis.evidence import BenchNow
from powergood.diagnosis.lookahead import Scored
from powergood.diagnosis.model import GateState, Step

LOOKED_AT = 12
"""A gate is asked for when it holds back one of this many best steps; others wait until they matter."""


def holds(model: CompiledModel, gate: GateSpec, step: str, now: BenchNow) -> bool:
    """Tell whether `gate` holds back `step` (a check, fix or opening) as the machine stands now."""
    if f"step:{step}" in gate.holds:
        return True
    check, fix, opening = model.checks.get(step), model.fixes.get(step), model.openings.get(step)
    if check is not None:
        if f"step:{check.check}" in gate.holds or ("power" in gate.holds and check.power != "off"):
            return True
        wants = check.open
    elif fix is not None:
        if f"step:{fix.fix}" in gate.holds:
            return True
        wants = fix.open
    elif opening is not None:
        wants = frozenset({step})
    else:
        return False
    to_open = model.whole_opening(wants) - now.opened
    if "opening" in gate.holds and to_open:
        return True
    return any(f"step:{name}" in gate.holds for name in to_open)


def held_back(model: CompiledModel, now: BenchNow, step: str) -> bool:
    """Tell whether any unmet gate holds back `step`."""
    return any(gate.id not in now.gates and holds(model, gate, step, now) for gate in model.gates)


def gate_steps(
    model: CompiledModel, now: BenchNow, ranked: Sequence[Scored], total: float
) -> tuple[Step, ...]:
    """Return the unmet gates that hold back a step among the best, in the order the family gives them."""
    best = [each.step for each in ranked[:LOOKED_AT] if each.kind != "stop"]
    steps = []
    for gate in model.gates:
        if gate.id in now.gates:
            continue
        waiting = [step for step in best if holds(model, gate, step, now)]
        if waiting:
            steps.append(
                Step(
                    step=gate.id,
                    kind="gate",
                    ask=gate.ask,
                    outcomes=(),
                    minutes=0.0,
                    elapsed=0.0,
                    money=0.0,
                    opens=(),
                    expected_total=total,
                    why=gate.because,
                    cautions=gate.cautions,
                )
            )
    return tuple(steps)


def gate_states(model: CompiledModel, now: BenchNow, steps: Sequence[Step]) -> tuple[GateState, ...]:
    """Return every gate, met or not, with how many kinds of step it holds back now."""
    return tuple(
        GateState(
            gate=gate.id,
            met=gate.id in now.gates,
            because=gate.because,
            title=gate.title,
            ask=gate.ask,
            cautions=gate.cautions,
            holds_back=()
            if gate.id in now.gates
            else tuple(
                name
                for name in (*model.checks, *model.fixes, *model.openings)
                if holds(model, gate, name, now)
            ),
        )
        for gate in model.gates
    )

"""Gates: safety conditions that come before steps and are never weighed against minutes."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from powergood.diagnosis.bench_now import BenchNow
from powergood.diagnosis.compiled import CompiledModel, GateSpec
from powergood.diagnosis.model import GateState, Step
from powergood.diagnosis.scores import Scored

LOOKED_AT = 1
"""A gate is asked for when it holds back one of this many best steps; others wait until they matter."""


def keeps_back(holds: Sequence[str], names: Iterable[str], way: Iterable[str], *, powered: bool) -> bool:
    """Tell whether a gate that holds `holds` keeps back a step known by `names`.

    `way` are the openings that must be open for the step, those that are open already included: an open
    case makes nothing safe, so work inside waits for the gate all the same.
    """
    inside = tuple(way)
    return (
        ("power" in holds and powered)
        or ("opening" in holds and bool(inside))
        or any(f"step:{name}" in holds for name in (*names, *inside))
    )


def holds(model: CompiledModel, gate: GateSpec, step: str) -> bool:
    """Tell whether `gate`, while it is not met, holds back `step` (a check, a fix or an opening)."""
    check, fix = model.checks.get(step), model.fixes.get(step)
    if check is not None:
        way = model.whole_opening(check.open)
        return keeps_back(gate.holds, (step, check.check), way, powered=check.power != "off")
    if fix is not None:
        return keeps_back(gate.holds, (step, fix.fix), model.whole_opening(fix.open), powered=False)
    return keeps_back(gate.holds, (step,), model.whole_opening(frozenset({step})), powered=False)


def held_back(model: CompiledModel, now: BenchNow, step: str) -> bool:
    """Tell whether any unmet gate holds back `step`."""
    return any(gate.id not in now.gates and holds(model, gate, step) for gate in model.gates)


def gate_steps(
    model: CompiledModel, now: BenchNow, ranked: Sequence[Scored], total: float
) -> tuple[Step, ...]:
    """Return the unmet gates that hold back a step among the best, in the order the family gives them."""
    best = [each.step for each in ranked[:LOOKED_AT] if each.kind != "stop"]
    steps = []
    for gate in model.gates:
        if gate.id in now.gates:
            continue
        waiting = [step for step in best if holds(model, gate, step)]
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
    """Return every gate, met or not, with the steps it holds back while it is not."""
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
                name for name in (*model.checks, *model.fixes, *model.openings) if holds(model, gate, name)
            ),
        )
        for gate in model.gates
    )

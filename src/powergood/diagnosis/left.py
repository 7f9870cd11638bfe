"""The chance that a fault still breaks a function, exactly; and where each wanted function stands.

A pass shows that nothing acted then; an intermittent fault may still be there. So the chance that is
left counts every fault that is present and touches what the function needs, whether or not it showed.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import Literal

import numpy as np

from powergood.diagnosis.belief import Belief
from powergood.diagnosis.beyond import Weighted
from powergood.diagnosis.histories import FaultVariable, History
from powergood.diagnosis.model import FunctionState
from powergood.diagnosis.recursion import Component, Switch, Trajectory, evidence
from powergood.diagnosis.thrown import LINKS_A_MEMBER

Mute = tuple[float, frozenset[int]]
"""What is left of a history: a factor on its weight, and the labels of switches that must be off."""


def chance_left(belief: Belief, closure: frozenset[int]) -> float:
    """Return the chance that some fault present now stops something in `closure`."""
    return 1.0 - _chance_of(belief, lambda variable, history: silent(belief, variable, history, closure))


def chance_in_part(belief: Belief, instance: str) -> float:
    """Return the chance that a part has some fault, wherever it lies now."""
    return 1.0 - _chance_of(
        belief,
        lambda variable, history: (
            float(
                not any(
                    there and own.instance == instance
                    for own, there in zip(variable.instances, history.present, strict=True)
                )
            ),
            frozenset(),
        ),
    )


def _chance_of(belief: Belief, mute: Callable[[FaultVariable, History], Mute]) -> float:
    """Return the chance of what `mute` leaves of every history, exactly."""
    chance = 1.0
    grouped: set[int] = set()
    for group in belief.groups:
        grouped.update(group.variables)
        mutes_of = [
            tuple(mute(belief.variables[number], history) for history in belief.variables[number].histories)
            for number in group.variables
        ]
        if isinstance(group.solved, Weighted):
            chance *= _weighted(group.solved, mutes_of)
            continue
        component = group.solved.component
        variables = tuple(
            tuple(muted(trajectory, *each) for trajectory, each in zip(variable, mutes, strict=True))
            for variable, mutes in zip(component.variables, mutes_of, strict=True)
        )
        if group.solved.evidence > 0:
            chance *= evidence(Component(variables, component.terminal)) / group.solved.evidence
    for number, variable in enumerate(belief.variables):
        if number not in grouped:
            chance *= sum(
                own * mute(variable, history)[0]
                for history, own in zip(variable.histories, belief.chances[number], strict=True)
            )
    return min(max(chance, 0.0), 1.0)


def silent(
    belief: Belief,
    variable: FaultVariable,
    history: History,
    closure: frozenset[int],
    places: frozenset[int] | None = None,
) -> Mute:
    """Return what makes a history leave `closure` alone: a factor, and the switch labels that must be off.

    With `places` only those members of the variable have to.
    """
    factor = 1.0
    off: set[int] = set()
    thrown = {switch.label for switch in history.trajectory.switches}
    for place, instance in enumerate(variable.instances):
        if not (instance.fitted and history.present[place]) or (places is not None and place not in places):
            continue
        fault = belief.model.faults[instance.fault]
        for number, link in enumerate(fault.links):
            if link.base not in closure or (place, number) in history.dark:
                continue
            label = place * LINKS_A_MEMBER + number
            if fault.shows:
                factor = 0.0
            elif label in thrown:
                off.add(label)
            else:
                factor *= 1.0 - link.strength
    return factor, frozenset(off)


def muted(trajectory: Trajectory, factor: float, off: frozenset[int]) -> Trajectory:
    """Return the trajectory with a factor, and without what the switches in `off` weigh when on."""
    if not off:
        return Trajectory(trajectory.weight * factor, trajectory.switches)
    switches = tuple(
        Switch(switch.off, 0.0, switch.mask, switch.label) if switch.label in off else switch
        for switch in trajectory.switches
    )
    return Trajectory(trajectory.weight * factor, switches)


def _weighted(solved: Weighted, silent: Sequence[Sequence[Mute]]) -> float:
    """Return the same from weighted samples: the switches' labels are not kept, so on means not silent."""
    sound = solved.weights.copy()
    for mutes, drawn in zip(silent, solved.draws, strict=True):
        for number, (factor, off) in enumerate(mutes):
            rows = drawn.history == number
            quiet = np.where(drawn.on[number].any(axis=1) & bool(off), 0.0, factor)
            sound[rows] *= quiet[rows]
    return float(sound.sum())


def function_states(belief: Belief, threshold: float) -> tuple[FunctionState, ...]:
    """Return where each wanted function stands, in the order wanted."""
    model, found = belief.model, belief.evidence
    missing = found.now.missing
    states = []
    for name in found.now.wanted:
        base = model.base_index[name]
        closure = model.closure(base, missing)
        since = _last_touched(belief, closure)
        passed = [each for each in found.passed if each.time > since and closure <= each.bases]
        failed = [each for each in found.failed if each.time > since and each.bases & closure]
        left = chance_left(belief, closure)
        works = bool(passed) and not (failed and failed[-1].time > passed[-1].time)
        works = works and not model.needs_missing(closure, missing)
        standing: Literal["proven", "passed", "failing", "unknown"] = "unknown"
        if works:
            standing = "proven" if left < threshold else "passed"
        elif any(_fails(each.bases, closure) for each in failed):
            standing = "failing"
        by = passed[-1].check if works else ""
        states.append(FunctionState(name, model.bases[base].title, standing, left, by))
    return tuple(states)


def _fails(bases: frozenset[int], closure: frozenset[int]) -> bool:
    """Tell whether a failed look at `bases` shows that the function with `closure` fails too."""
    return bases <= closure


def _last_touched(belief: Belief, closure: frozenset[int]) -> int:
    """Return the time of the last act that touched what the closure needs; 0 when nothing did."""
    model, now = belief.model, belief.evidence.now
    times = [0]
    for fault, time in now.touched.items():
        if any(link.base in closure for link in model.faults[fault].links):
            times.append(time)
    for slot, time in now.slots_touched.items():
        rests = any(slot in model.bases[base].of for base in closure)
        if rests or any(
            fault.slot == slot and any(link.base in closure for link in fault.links) for fault in model.faults
        ):
            times.append(time)
    return max(times)

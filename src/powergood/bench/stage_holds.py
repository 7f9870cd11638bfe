"""Which steps wait for the stages of first power: what the present stage leaves unplugged is not advised."""

from __future__ import annotations

from powergood.bench.stage_views import FirstPower
from powergood.bench.step_views import StepCard
from powergood.bench.wording import Wording, split_step
from powergood.diagnosis import Step
from powergood.knowledge.model import Check, Stage
from powergood.record.timeline import Bench


def stage_holds(step: str, power: FirstPower, words: Wording, bench: Bench) -> bool:
    """Tell whether a step wants more power, or more fitted, than the present stage of first power allows.

    Nothing is held where the stages do not lead, and nothing that needs no power.
    """
    check = words.checks.get(split_step(step)[0])
    stage = words.stages.get(power.now.stage) if power.now and power.leads else None
    if check is None or stage is None or check.power == "off" or away_from_machine(check, words):
        return False
    if stage.power == "off":
        return True
    return check.id != stage.check and not _left_out(stage, words, bench) <= {*check.out}


def after_stages(
    cards: tuple[StepCard, ...], power: FirstPower, words: Wording, bench: Bench
) -> tuple[tuple[StepCard, ...], str]:
    """Return the steps that do not wait for the stages, best first, and a sentence on a best one that does.

    Stopping is not what is left when the rest waits: then there is no step but the stage.
    """
    free = tuple(card for card in cards if not stage_holds(card.step, power, words, bench))
    if not cards or cards[0] in free or power.now is None:
        return free, ""
    best = cards[0].ask.rstrip(".")
    at = f"stage {power.now.number} of {len(power.stages)}, {power.now.title}"
    said = f"“{best}” waits for the stages of first power. The step now is {at}."
    return (() if free and free[0].kind == "stop" else free), said


def next_in_stages(
    steps: tuple[Step, ...], power: FirstPower, words: Wording, bench: Bench
) -> tuple[str, float]:
    """Return the present stage and its minutes where the best step waits for it; else empty and nought."""
    if not steps or power.now is None or not stage_holds(steps[0].step, power, words, bench):
        return "", 0.0
    return f"Stage {power.now.number} of first power: {power.now.title}", power.now.minutes


def _left_out(stage: Stage, words: Wording, bench: Bench) -> set[str]:
    """Return the parts that a stage wants out and that are not written down as out."""
    slots = {slot for slot, home in words.homes.items() if home.id in stage.out and bench.fitted(slot)}
    return {words.homes[slot].id for slot in slots}


def away_from_machine(check: Check, words: Wording) -> bool:
    """Tell whether a check powers a part away from its machine: every gate with exceptions leaves it free."""
    with_exceptions = [gate for gate in words.gates.values() if gate.but]
    return bool(with_exceptions) and all(check.id in gate.but for gate in with_exceptions)

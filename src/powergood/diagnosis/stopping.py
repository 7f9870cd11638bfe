"""When enough is enough: what a job has cost so far, and which of the person's limits the next step passes.

Limits are never weighed against anything and hide no step: they are told, before the next step is taken.
"""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import dataclass
from typing import Literal

from powergood.diagnosis.compiled import CompiledModel, Price
from powergood.diagnosis.model import Advice, Preferences, Step
from powergood.diagnosis.named import check_spec, fix_spec
from powergood.record.model import (
    GOOD,
    NO_VERDICT,
    Finding,
    FixDone,
    Opened,
    Refitted,
    TookMinutes,
)
from powergood.record.timeline import Timeline, bench_states

Rule = Literal["worth", "money", "minutes", "parts", "depth", "danger"]


@dataclass(frozen=True, slots=True)
class Limits:
    """The stop rules a person has set; a rule that is not set is None (or False).

    `money` and `minutes` are for one job, hands-on minutes; `parts` is how many parts may be changed without
    any change; `depth` how many openings a step may lie behind; `danger` stops at steps marked as dangerous.
    """

    money: float | None = None
    minutes: float | None = None
    parts: float | None = None
    depth: float | None = None
    danger: bool = False


@dataclass(frozen=True, slots=True)
class Spent:
    """What a job has cost so far: money, hands-on minutes, and parts changed in a row without any change.

    Minutes are the person's own where they were said, else those planned for the same steps.
    """

    money: float = 0.0
    minutes: float = 0.0
    parts: int = 0


@dataclass(frozen=True, slots=True)
class StopSign:
    """One limit that the next step would pass: which rule, what it would come to, and the limit."""

    rule: Rule
    value: float
    limit: float


def spent(model: CompiledModel, line: Timeline) -> Spent:
    """Return what the facts of a job amount to in money, minutes and parts without change."""
    money = minutes = 0.0
    for fact in line.facts:
        body = fact.body
        price = _price_of(model, body)
        money += price.money
        minutes += price.minutes
        if isinstance(body, TookMinutes):
            minutes += body.minutes - sum(_covered(model, name) for name in body.covers)
    return Spent(money, max(minutes, 0.0), _parts_without_change(model, line))


def stop_signs(
    model: CompiledModel,
    line: Timeline,
    advice: Advice,
    wants: Preferences,
    limits: Limits,
    dangers: Collection[str] = (),
) -> tuple[StopSign, ...]:
    """Return the limits that the advised step would pass; nothing when there is no step left to take.

    `dangers` are the cautions that warn of danger. `worth` needs no limit of its own: it is told when even
    the best plan is expected to cost more than the working machine is worth.
    """
    step = next((each for each in advice.steps if each.kind != "stop"), None)
    if advice.done or step is None:
        return ()
    so_far = spent(model, line)
    worth = wants.minutes(wants.worth)
    opened = bench_states(line)[-1].opened
    found: list[tuple[Rule, float, float | None]] = [
        ("worth", step.expected_total, worth),
        ("money", so_far.money + step.money, limits.money),
        ("minutes", so_far.minutes + step.minutes, limits.minutes),
        ("depth", float(_depth(model, step, opened)), limits.depth),
    ]
    signs = [
        StopSign(rule, value, limit) for rule, value, limit in found if limit is not None and value > limit
    ]
    if limits.parts is not None and so_far.parts >= limits.parts and _changes_a_part(model, step):
        signs.append(StopSign("parts", so_far.parts, limits.parts))
    warned = {*step.cautions, *(name for each in step.opens for name in model.openings[each].cautions)}
    if limits.danger and warned & set(dangers):
        signs.append(StopSign("danger", 1.0, 0.0))
    return tuple(signs)


def _price_of(model: CompiledModel, body: object) -> Price:
    match body:
        case Finding(check=name, told=False, copy=copy) if found := check_spec(model, name, copy):
            return found.price
        case FixDone(fix=name, slot=slot) if done := fix_spec(model, name, slot):
            return done.price
        case Opened(opening=name) if name in model.openings:
            return Price(model.openings[name].minutes)
        case Refitted(opening=name) if name in model.openings:
            return Price(model.openings[name].refit)
        case _:
            return Price(0.0)


def _covered(model: CompiledModel, name: str) -> float:
    """Return the planned minutes of a step that stated minutes cover."""
    kind, _, step = name.partition(":")
    made: dict[str, object] = {
        "check": Finding(step, GOOD),
        "fix": FixDone(step),
        "opening": Opened(step),
        "refit": Refitted(step),
    }
    return _price_of(model, made.get(kind)).minutes


def _parts_without_change(model: CompiledModel, line: Timeline) -> int:
    """Return how many parts in a row were changed after which a failing check failed just the same."""
    last: dict[str, str] = {}
    changed = count = 0
    for fact in line.facts:
        match fact.body:
            case FixDone(fix=name, slot=slot) if (done := fix_spec(model, name, slot)) and done.slot:
                changed += 1
            case Finding(check=name, outcome=outcome, told=False) if outcome != NO_VERDICT:
                if changed and name in last:
                    same = outcome == last[name] != GOOD
                    count = count + changed if same else 0
                    changed = 0
                last[name] = outcome
            case _:
                pass
    return count


def _changes_a_part(model: CompiledModel, step: Step) -> bool:
    fix = model.fixes.get(step.step)
    return fix is not None and (bool(fix.slot) or fix.kind == "replace")


def _depth(model: CompiledModel, step: Step, opened: frozenset[str]) -> int:
    """Return how many openings a step lies behind; none for a step that opens nothing more."""
    if not frozenset(step.opens) - opened:
        return 0
    return len(model.whole_opening(frozenset(step.opens)))

"""Rules about bring-up: limits in order, stop lists, what a tick says, no power before what must be so."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import ClassVar

from powergood.knowledge.assembly import Assembly
from powergood.knowledge.checks.rule import Rule, Scene
from powergood.knowledge.exceptions import holds_stage
from powergood.knowledge.model import Check, Gate, Stage
from powergood.knowledge.problems import Problem, Where


class LimitsInOrder(Rule):
    """A reading cannot lie between limits that are the wrong way round, or be held against none."""

    id = "limits-in-order"
    sentence = "A limit of a stage has a low or a high value, and the low one is below the high one."
    local = True

    def find(self, scene: Scene) -> Iterator[Problem]:
        """Yield each limit that says nothing or contradicts itself."""
        for stage in scene.assembly.stages.values():
            for limit in stage.item.limits:
                where = stage.where.at("limits", limit.id)
                low, high = limit.low, limit.high
                if low is None and high is None:
                    message = f"the reading `{limit.id}` has neither `low` nor `high`"
                    yield self.problem(message, where)
                elif low is not None and high is not None and low.value >= high.value:
                    message = f"the low limit {low.value:g} is not below the high one, {high.value:g}"
                    yield self.problem(message, where.at("low"))


class LabelInPercent(Rule):
    """A limit that is held against a label is a share of it; and the label has a unit."""

    id = "label-in-percent"
    sentence = "A limit with a `label` is in %, and its label's unit is another."
    local = True

    def find(self, scene: Scene) -> Iterator[Problem]:
        """Yield each limit whose label could not be made use of."""
        for stage in scene.assembly.stages.values():
            for limit in stage.item.limits:
                if limit.label and (limit.unit != "%" or limit.label == "%"):
                    message = f"the reading `{limit.id}` is in {limit.unit} of a label in {limit.label}"
                    yield self.problem(message, stage.where.at("limits", limit.id, "label"))


class StopsStand(Rule):
    """Who applies power must know beforehand what to switch off for."""

    id = "stops-stand"
    sentence = "Each stage with power has a stop list, and cautions."
    local = True

    def find(self, scene: Scene) -> Iterator[Problem]:
        """Yield each powered stage without a stop list or a caution."""
        for name, stage in scene.assembly.stages.items():
            for field in ("stop_if", "cautions"):
                if stage.item.power != "off" and not getattr(stage.item, field):
                    yield self.problem(f"the stage `{name}` applies power and has no `{field}`", stage.where)


class ReadingSaysSo(Rule):
    """A reading beyond its limits must say something where its stage makes a check."""

    id = "reading-says-so"
    sentence = "In a stage with a check, each limit names the outcome that lies beyond it."
    local = True

    def find(self, scene: Scene) -> Iterator[Problem]:
        """Yield each limit whose breach would leave the stage's check without an outcome."""
        if scene.assembly.sheet is not None:
            return
        for stage in scene.assembly.stages.values():
            for limit in stage.item.limits if stage.item.check else ():
                for side, outcome in (("low", "below"), ("high", "above")):
                    if getattr(limit, side) is not None and not getattr(limit, outcome):
                        message = f"the reading `{limit.id}` has `{side}` but no `{outcome}` outcome"
                        yield self.problem(message, stage.where.at("limits", limit.id))


class PowerAfterGates(Rule):
    """A stage with power may not come before the stage that proves a gate which holds that power."""

    id = "power-after-gates"
    sentence = (
        "No stage with power stands before a stage that meets a gate which holds it; off checks stay off."
    )
    rests_on: ClassVar[Mapping[str, frozenset[str]]] = {
        "stages": frozenset({"meets", "check", "power"}),
        "gates": frozenset({"holds", "but"}),
    }

    def find(self, scene: Scene) -> Iterator[Problem]:
        """Yield each stage that comes too early, or whose check needs power that it does not give."""
        assembly = scene.assembly
        order = [name for name in assembly.family.bring_up if name in assembly.stages]
        for place, name in enumerate(order):
            stage = assembly.stages[name]
            for later in order[place:]:
                for gate in assembly.stages[later].item.meets:
                    if gate in _holding(stage.item, assembly):
                        message = f"`{name}` applies power that `{gate}` holds, which `{later}` is to meet"
                        yield self.problem(message, _order(assembly, name))
            check = assembly.checks.get(stage.item.check)
            if check and stage.item.power == "off" and check.item.power != "off":
                message = f"`{name}` is without power, and its check `{stage.item.check}` needs it"
                yield self.problem(message, stage.where.at("power"))


class TickIsFree(Rule):
    """A look that a gate holds back cannot be what the gate is ticked for."""

    id = "tick-is-free"
    sentence = "No gate stands for a look that it holds back itself."
    rests_on: ClassVar[Mapping[str, frozenset[str]]] = {
        "checks": frozenset({"power", "open"}),
        "openings": frozenset({"behind"}),
        "gates": frozenset({"holds", "but", "stands_for"}),
    }

    def find(self, scene: Scene) -> Iterator[Problem]:
        """Yield each finding whose look waits for the tick that stands for it."""
        assembly = scene.assembly
        for name, gate in assembly.gates.items():
            for place, said in enumerate(gate.item.stands_for):
                check = assembly.checks.get(said.check)
                if check and _holds(gate.item, check.item, assembly):
                    message = f"`{name}` stands for `{said.check}`, and holds it back"
                    yield self.problem(message, gate.where.at("stands_for", place, "check"))


def _holds(gate: Gate, check: Check, assembly: Assembly) -> bool:
    """Tell whether a gate, spelt out or not, holds back a check or an opening on the way to it."""
    way = {check.id, *check.open}
    while (
        more := {
            outer
            for name in way
            if name in assembly.openings
            for outer in assembly.openings[name].item.behind
        }
        - way
    ):
        way |= more
    by_name = any(f"step:{name}" in gate.holds for name in way)
    powered = "power" in gate.holds and check.power != "off" and check.id not in gate.but
    return by_name or powered or ("opening" in gate.holds and bool(check.open))


def _order(assembly: Assembly, name: str) -> Where:
    place = assembly.family.bring_up.index(name)
    return Where("family", assembly.family.id, ("bring_up", place))


def _holding(stage: Stage, assembly: Assembly) -> set[str]:
    """Return the gates that hold back the power of a stage, or its check."""
    return {name for name, gate in assembly.gates.items() if holds_stage(gate.item, stage)}


RULES: tuple[Rule, ...] = (
    LimitsInOrder(),
    LabelInPercent(),
    StopsStand(),
    ReadingSaysSo(),
    PowerAfterGates(),
    TickIsFree(),
)

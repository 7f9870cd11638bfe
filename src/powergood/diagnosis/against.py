"""The advised step held against what a person may think of first, in numbers of the plan.

Two are told: the next best step, and the obvious one. That is the likeliest suspect's own fix; where this is
what is advised, or nothing here mends the suspect, it is the quickest look.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from powergood.diagnosis.bench_now import BenchNow
from powergood.diagnosis.compiled import FixSpec
from powergood.diagnosis.explain import not_own_fix, not_quickest, than_next_best, waiting_for
from powergood.diagnosis.gates import held_back, holds
from powergood.diagnosis.in_the_way import stands_in_the_way
from powergood.diagnosis.lookahead import Lookahead, Node
from powergood.diagnosis.model import Against, FaultChance, Step
from powergood.diagnosis.plan import Plan
from powergood.diagnosis.scores import Scored
from powergood.diagnosis.steps import as_step


@dataclass(frozen=True, slots=True)
class Weighed:
    """What was weighed: the plan, the machine as it lies, every fault with its chance, likeliest first."""

    look: Lookahead
    root: Node
    now: BenchNow
    planned: Plan
    faults: tuple[FaultChance, ...]

    def scored(self, step: str) -> Scored | None:
        """Return a step with its expected total; none when it was not weighed."""
        every = (*self.planned.steps, *self.planned.beside)
        return next((each for each in every if each.step == step), None)

    def saved(self, ahead: str, other: str) -> tuple[float, float]:
        """Return the minutes that `ahead` first saves on average, and their standard error (0: not known)."""
        one, two = self.scored(ahead), self.scored(other)
        assert one is not None
        assert two is not None
        followed = self.planned.followed
        if ahead not in followed or other not in followed:
            return max(two.total - one.total, 0.0), 0.0
        saved = followed[other] - followed[ahead]
        error = self.look.samples.error(self.root.weights, saved - float(self.root.weights @ saved))
        return max(two.total - one.total, 0.0), error


def own_fix(faults: Sequence[FaultChance], fixes: Sequence[FixSpec]) -> tuple[FaultChance, FixSpec] | None:
    """Return the likeliest suspect and its own fix; none when nothing that can be done here mends it."""
    first = next((each for each in faults if stands_in_the_way(each)), None)
    found = next((fix for fix in fixes if first and fix.id == first.mended_by), None)
    return (first, found) if first and found else None


def against(about: Weighed, steps: Sequence[Step]) -> tuple[Against, ...]:
    """Return what the first of `steps` is held against; nothing while it is a gate, or to stop."""
    if not steps or steps[0].kind not in ("check", "fix"):
        return ()
    ahead, others = steps[0], [each for each in steps[1:] if each.kind != "gate"]
    next_best = [_next_best(about, ahead, other) for other in others[:1]]
    return (*next_best, *(_own_fix(about, ahead) or _quickest(about, ahead)))


def _next_best(about: Weighed, ahead: Step, other: Step) -> Against:
    saves, error = about.saved(ahead.step, other.step)
    words = than_next_best(other, saves, error)
    return Against("next best", other.step, other.kind, saves, error, words)


def _own_fix(about: Weighed, ahead: Step) -> list[Against]:
    """Return the likeliest suspect's own fix; nothing where the advised step mends it, or nothing does."""
    look, found = about.look, own_fix(about.faults, about.look.fixes)
    scored = about.scored(found[1].id) if found else None
    if found is None or scored is None or _mends(look, ahead.step, found[0].fault):
        return []
    fault, fix = found
    saves, error = about.saved(ahead.step, fix.id)
    left = float(about.root.weights @ look.after_fix(about.root, fix).broken.any(axis=1))
    unmet = [gate for gate in look.model.gates if gate.id not in about.now.gates]
    waits = next((gate.title for gate in unmet if holds(look.model, gate, fix.id)), "")
    step = as_step(look, about.root, scored)
    words = waiting_for(fault, waits) if waits else not_own_fix(step, fault, left, saves=saves, error=error)
    return [Against("own fix", fix.id, "fix", saves, error, words, fault.fault, fault.chance, left)]


def _mends(look: Lookahead, step: str, fault: str) -> bool:
    fix = look.model.fixes.get(step)
    return fix is not None and any(look.model.faults[number].id == fault for number in fix.cures)


def _quickest(about: Weighed, ahead: Step) -> list[Against]:
    """Return the look that costs least; nothing where nothing costs less than the advised step.

    While a start is advised, what is noted at the same start is no look of its own.
    """
    look, root, model = about.look, about.root, about.look.model
    offers = [
        each
        for each in (*about.planned.steps, *about.planned.beside)
        if each.kind == "check" and not held_back(model, about.now, each.step)
        if not (ahead.on_pad and model.checks[each.step].on_pad)
    ]
    cheapest = min(offers, key=lambda each: (round(each.cost, 6), each.step), default=None)
    advised = about.scored(ahead.step)
    if cheapest is None or advised is None or cheapest.cost >= advised.cost:
        return []
    saves, error = about.saved(ahead.step, cheapest.step)
    step = as_step(look, root, cheapest)
    words = not_quickest(step, model.checks[cheapest.step].ask, cheapest.gain, saves=saves, error=error)
    return [Against("quickest", cheapest.step, "check", saves, error, words, tells=max(cheapest.gain, 0.0))]

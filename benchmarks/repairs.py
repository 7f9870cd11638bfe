"""Whole repairs played through: a machine with faults drawn from the belief, a policy, and what it cost.

The same drawn machines are given to every policy, so that differences are paired. False alarms, duds
and disturbances happen as the model says they do; links and presence are drawn once.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass

import numpy as np
from generated import Said, line_of

from powergood.diagnosis import Preferences, advise
from powergood.diagnosis.belief import believe
from powergood.diagnosis.compiled import CheckSpec, CompiledModel, FixSpec
from powergood.diagnosis.gathering import gather
from powergood.diagnosis.running import disturbs, needs_start
from powergood.diagnosis.samples import draw_samples
from powergood.diagnosis.worth import Worth
from powergood.record.model import Body, Draft, Finding, FixDone

MOST_STEPS = 60


class Truth:
    """One machine as it really is."""

    def __init__(
        self, model: CompiledModel, present: set[int], on: dict[tuple[int, int], bool], seed: int
    ) -> None:
        self.model, self.present, self.on = model, set(present), on
        self.g = np.random.default_rng(seed)
        self.moods: dict[int, bool] = {}

    def show(self, check: CheckSpec, *, fresh: bool = True) -> str:
        """Return what a check shows now; `fresh` where the machine is started for it, or is off."""
        if fresh:
            self.moods = {}
        for rung in check.rungs:
            bases = self.model.closure(rung.base, check.absent)
            if any(self._acts(fault, bases, check) for fault in sorted(self.present)):
                return rung.outcome
            if self.g.random() < check.leak:
                return rung.outcome
        return "good"

    def _acts(self, fault: int, bases: frozenset[int], check: CheckSpec) -> bool:
        spec = self.model.faults[fault]
        if spec.slot in check.masked:
            return False
        links = [n for n, link in enumerate(spec.links) if link.base in bases]
        signs = [n for n in links if self.model.bases[spec.links[n].base].is_sign]
        if any(self.on[fault, n] for n in (signs if spec.shows else links)):
            return True
        return bool(spec.shows) and len(links) > len(signs) and self._mood(fault, check)

    def _mood(self, fault: int, check: CheckSpec) -> bool:
        """Return whether an intermittent fault acts: one draw a start, one of its own for a long look."""
        shows = self.model.faults[fault].shows
        if check.starts != 1.0:
            return bool(self.g.random() < 1.0 - (1.0 - shows) ** check.starts)
        if fault not in self.moods:
            self.moods[fault] = bool(self.g.random() < shows)
        return self.moods[fault]

    def works(self, closures: Iterable[frozenset[int]]) -> bool:
        """Return whether no fault stops one of the functions that rest on `closures`, now or at times."""
        return not any(
            link.base in closure and (self.on[fault, at] or self.model.faults[fault].shows)
            for closure in closures
            for fault in self.present
            for at, link in enumerate(self.model.faults[fault].links)
        )

    def mend(self, fix: FixSpec) -> None:
        """Do a fix."""
        self.present = {f for f in self.present if self.g.random() >= fix.cures.get(f, 0.0)}
        if fix.slot and self.g.random() < fix.dud:
            own = [n for n, fault in enumerate(self.model.faults) if fault.slot == fix.slot]
            shares = np.array([self.model.faults[n].prior for n in own])
            self.present.add(own[int(self.g.choice(len(own), p=shares / shares.sum()))])
        self.present |= {f for f, chance in fix.disturbs.items() if self.g.random() < chance}


def truths(model: CompiledModel, start: list[Body], count: int, seed: int) -> list[Truth]:
    """Draw `count` machines that may lie behind the facts in `start`."""
    drawn = draw_samples(believe(model, line_of(start)), count, seed)
    found = []
    for row in range(count):
        present = {int(fault) for fault in np.flatnonzero(drawn.present[row])}
        on = {
            (fault, link): bool(drawn.on[row, drawn.links.first[fault] + link])
            for fault, spec in enumerate(model.faults)
            for link in range(len(spec.links))
        }
        found.append(Truth(model, present, on, seed * 1000 + row))
    return found


Policy = Callable[[CompiledModel, list[Said], Preferences], tuple[str, str]]
"""Returns the next step and its kind: check, fix, stop; or `done`."""


@dataclass(frozen=True)
class Outcome:
    """What one repair came to: its cost in minutes of one's time, its steps, and how it ended.

    `sound` says that nothing wanted is still broken.
    """

    cost: float
    steps: int
    end: str
    sound: bool = True


def repair(
    model: CompiledModel, start: list[Body], truth: Truth, policy: Policy, wants: Preferences
) -> Outcome:
    """Play one repair to its end."""
    said: list[Said] = list(start)
    cost, power_up = 0.0, 1
    for number in range(MOST_STEPS):
        found = gather(model, line_of(said))
        worth = Worth.of(model, wants, found.now.wanted, found.now.missing)
        step, kind = policy(model, said, wants)
        if kind == "done":
            sound = truth.works(worth.closures)
            return Outcome(cost + worth.refit(found.now.opened), number, "done", sound)
        if kind == "stop":
            return Outcome(cost + worth.stop(found.now.opened), number, "stopped")
        if kind == "fix":
            fix = model.fixes[step]
            cost += worth.fix_cost(fix, found.now.opened)
            truth.mend(fix)
            said.append(FixDone(fix.fix, fix.slot))
        else:
            check = model.checks[step]
            whole = model.whole_opening(check.open)
            moved = disturbs(check, whole, found.now.opened, found.now.missing)
            starts = needs_start(check, found.now.running, disturbs=moved)
            cost += worth.check_cost(check, found.now.opened, start=starts)
            power_up += starts
            shown = truth.show(check, fresh=starts or check.power == "off")
            at = power_up if check.power != "off" else 0
            said.append(Draft(Finding(check.check, shown, copy=check.copy), key="", power_up=at))
    return Outcome(cost + worth.stop(found.now.opened), MOST_STEPS, "too long")


def ours(model: CompiledModel, said: list[Said], wants: Preferences) -> tuple[str, str]:
    """Follow the first advised step."""
    advice = advise(model, line_of(said), wants)
    if advice.done:
        return "", "done"
    step = advice.steps[0]
    return step.step, step.kind

"""Follow the advice through a worked case, from its complaint to the fix of its cause.

The machine has the true faults of the case and no others. A check that the case tells of answers as it did
there; any other answers as those faults most likely would, given what the case saw: links to what worked
are off, others count from one half up, and weaker ones to what failed only if no stronger one explains it.
Every safety condition is met, the job wants back what the complaint is about, and a fix that does not cure
changes nothing. The way ends with the first fix that has at least an even chance to cure one of the true
faults.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import inf

from powergood.diagnosis import CompiledModel, Preferences, advise
from powergood.diagnosis.compiled import CheckSpec, FixSpec, Link, RungSpec
from powergood.diagnosis.worth import Worth
from powergood.record.model import Body, Complained, Draft, Fact, Finding, FixDone, JobOpened
from powergood.record.timeline import timeline

MOST_STEPS = 16
"""Steps after which the way counts as lost."""

EVEN = 0.5
"""From here up a link acts, and a fix cures."""


@dataclass(frozen=True)
class Way:
    """The steps advised one after the other, the fixes in vain among them, and whether it got there."""

    steps: tuple[str, ...]
    in_vain: int
    reached: bool

    @property
    def length(self) -> int:
        """The number of steps; looks on the power-on pad that follow each other are one start, one step."""
        return steps_of(self.steps)


def steps_of(looks: Sequence[str]) -> int:
    """Return the number of steps, the looks of one start counted as one."""
    return sum(starts_anew(looks[:end]) for end in range(1, len(looks) + 1))


def starts_anew(steps: Sequence[str]) -> bool:
    """Tell whether the last step is one of its own, and not one more look at the start before it."""
    looks: list[str] = []
    for step in steps:
        same = step.startswith("pad-") and bool(looks) and step not in looks and looks[0].startswith("pad-")
        looks = [*looks, step] if same else [step]
    return len(looks) == 1


def told_first(bodies: Sequence[Body]) -> int:
    """Return how many facts come before the first step is asked for: up to the complaint, else one."""
    complaints = [place for place, body in enumerate(bodies, start=1) if isinstance(body, Complained)]
    return complaints[0] if complaints else 1


def follow(model: CompiledModel, met: Sequence[Draft], told: Sequence[Draft], truth: frozenset[int]) -> Way:
    """Return the way that the advice takes from the complaint of a case to one of its `truth`."""
    seen = _Seen(model, [draft.body for draft in told], truth)
    drafts = [
        Draft(JobOpened("as the complaint has it", seen.wanted()), key="job"),
        *told[: told_first(seen.bodies)],
    ]
    start = 100
    steps: list[str] = []
    in_vain = 0
    while steps_of(steps) < MOST_STEPS:
        facts = enumerate([*met, *drafts], start=1)
        line = timeline(Fact(number, "2026-01-01T00:00:00Z", each) for number, each in facts)
        advice = advise(model, line)
        first = next((each for each in advice.steps if each.kind in ("check", "fix", "stop")), None)
        if advice.done or first is None or first.kind == "stop":
            return Way(tuple(steps), in_vain, reached=False)
        steps.append(first.step)
        if first.kind == "check":
            check = model.checks[first.step]
            start += starts_anew(steps)
            drafts.append(Draft(seen.answer(check), key=str(len(steps)), power_up=start))
            continue
        fix = model.fixes[first.step]
        if cures(fix, truth):
            return Way(tuple(steps), in_vain, reached=True)
        in_vain += 1
        drafts.append(Draft(FixDone(fix.fix, slot=fix.slot), key=str(len(steps))))
    return Way(tuple(steps), in_vain, reached=False)


def cures(fix: FixSpec, truth: frozenset[int]) -> bool:
    """Tell whether a fix has at least an even chance to cure one of the faults."""
    return any(fix.cures.get(fault, 0.0) >= EVEN for fault in truth)


class _Seen:
    """What the case saw, and what its faults would show of the rest."""

    def __init__(self, model: CompiledModel, bodies: Sequence[Body], truth: frozenset[int]) -> None:
        self.model, self.bodies, self.truth = model, bodies, truth
        self.recorded: dict[tuple[str, int], str] = {}
        failures: list[frozenset[int]] = []
        worked: set[int] = set()
        for name, copy, outcome in self._findings():
            self.recorded.setdefault((name, copy), outcome)
            check = next(each for each in model.checks.values() if each.check == name)
            for rung in check.rungs:
                rests = model.closure(rung.base, check.absent)
                if rung.outcome == outcome:
                    failures.append(rests)
                    break
                worked |= rests
        self.worked = frozenset(worked)
        strong = {link.base for fault in truth for link in model.faults[fault].links if link.strength >= EVEN}
        unexplained = [rests for rests in failures if not strong & (rests - self.worked)]
        self.unexplained = frozenset[int]().union(*unexplained) - self.worked

    def _findings(self) -> list[tuple[str, int, str]]:
        found: list[tuple[str, int, str]] = []
        for body in self.bodies:
            if isinstance(body, Complained):
                found += [
                    (self.model.checks[name].check, self.model.checks[name].copy, str(outcome))
                    for name, outcome in self.model.complaints.get(body.complaint, ())
                ]
            elif isinstance(body, Finding):
                found.append((body.check, body.copy, str(body.outcome)))
        return found

    def wanted(self) -> tuple[str, ...]:
        """Return the wanted function that rests on what was first told to fail.

        Of several, the picture: who sees nothing at all wants to see something; else the one that is soonest
        proven. Where none rests on it (a look that shows two things at once), one that rests on what it rests
        on and what was not seen to work before it. Where a sign was told, the one that the faults with this
        sign break oftenest.
        """
        bases, before = self._first_failed()
        rests = {want: self.model.closure(self.model.base_index[want]) for want in self.model.wanted()}
        under = frozenset().union(*map(self.model.closure, bases)) - before
        for wider in (bases, under):
            near = [want for want, on in rests.items() if wider & on]
            if near:
                return (min(near, key=lambda want: (not self._is_picture(want), self._soonest(want), want)),)
        return (max(rests, key=lambda want: self._breaks(bases, rests[want])),) if rests else ()

    def _first_failed(self) -> tuple[frozenset[int], frozenset[int]]:
        """Return the base of the first rung told to fail, and what the rungs before it rest on."""
        for name, copy, outcome in self._findings():
            checks = self.model.checks.values()
            check = next(each for each in checks if (each.check, each.copy) == (name, copy))
            places = [place for place, rung in enumerate(check.rungs) if rung.outcome == outcome]
            if places:
                passed = check.rungs[: places[0]]
                before = frozenset().union(*(self.model.closure(rung.base) for rung in passed))
                return frozenset(check.rungs[place].base for place in places), before
        return frozenset(), frozenset()

    def _is_picture(self, want: str) -> bool:
        return self.model.bases[self.model.base_index[want]].area == "picture"

    def _soonest(self, want: str) -> float:
        """Return what the cheapest look that proves a wanted function costs by itself."""
        worth = Worth.of(self.model, Preferences(), (want,), frozenset())
        return min((worth.price(self.model.checks[name].price) for name in worth.provers), default=inf)

    def _breaks(self, signs: frozenset[int], rests: frozenset[int]) -> float:
        total = 0.0
        for spec in self.model.faults:
            shown = max((link.strength for link in spec.links if link.base in signs), default=0.0)
            broken = max((link.strength for link in spec.links if link.base in rests), default=0.0)
            total += spec.prior * shown * broken
        return total

    def answer(self, check: CheckSpec) -> Finding:
        """Return what the case tells of this check, else what its faults most likely show.

        Whoever looks at the cells of a grid says which are bad.
        """
        stopped = [rung for rung in check.rungs if self._stopped(check, rung)]
        outcome = self.recorded.get((check.check, check.copy), "")
        if outcome not in {"good", *(rung.outcome for rung in check.rungs)}:
            outcome = stopped[0].outcome if stopped else "good"
        cells = tuple(rung.cell for rung in stopped if rung.cell and rung.outcome == outcome)
        return Finding(check.check, outcome, copy=check.copy, cells=cells)

    def _stopped(self, check: CheckSpec, rung: RungSpec) -> bool:
        rests = self.model.closure(rung.base, check.absent)
        acting = [self.model.faults[fault] for fault in self.truth]
        return any(
            self._on(link, rests) for spec in acting if spec.slot not in check.masked for link in spec.links
        )

    def _on(self, link: Link, rests: frozenset[int]) -> bool:
        if link.base not in rests or link.base in self.worked:
            return False
        return link.strength >= EVEN or link.base in self.unexplained

"""From facts to evidence: what was looked at when, in which fitted state, and what was done in between.

Findings become looks, whose rows and reports are settled when all facts are read (`looks`). Acts become
*events* that may cure a fault or make one. Complaints are findings that are only told.
"""

from __future__ import annotations

from dataclasses import replace

from powergood.diagnosis.answers import Shown, shown
from powergood.diagnosis.bench_now import BenchNow
from powergood.diagnosis.compiled import CheckSpec, CompiledModel
from powergood.diagnosis.evidence import Event, Evidence, Passed
from powergood.diagnosis.hearsay import trust_in_answer, trust_in_complaint
from powergood.diagnosis.looks import Failing, Look, settled
from powergood.diagnosis.named import check_spec, fix_spec
from powergood.diagnosis.parts_met import DUD_BY_STANDING, PartsMet
from powergood.diagnosis.running import Running, disturbs, running_after
from powergood.record.model import (
    NO_VERDICT,
    Complained,
    Fact,
    Finding,
    FixDone,
    GateAnswered,
    JobOpened,
    Opened,
    PartFrom,
    PartIn,
    PartOut,
    Refitted,
    WantedSet,
)
from powergood.record.timeline import Timeline, home_slot, standing_ticks


def gather(model: CompiledModel, line: Timeline) -> Evidence:
    """Return what the facts of `line` say about `model`.

    Facts that name a check, outcome or fix the model does not have are listed in `unread` and change nothing.
    """
    walk = _Gathering(model, standing_ticks(line))
    for fact in line.facts:
        walk.take(fact)
    return walk.evidence()


class _Gathering:
    """Walks the facts once, in order. Mutable inside, invisible outside: `gather` returns values only."""

    def __init__(self, model: CompiledModel, ticks: frozenset[int]) -> None:
        self.model = model
        self.ticks = ticks
        self.stands_for = {gate.id: gate.stands_for for gate in model.gates}
        self.now = BenchNow(wanted=model.wanted())
        self.events: dict[tuple[int, str], list[Event]] = {}
        self.parts = PartsMet(model)
        self.passed: list[Passed] = []
        self.failed: list[Passed] = []
        self.looks: list[Look] = []
        self.unread: list[int] = []
        self.time = 0
        self.acts = 0
        self.fresh: dict[str, frozenset[int]] = {}
        self.loose_start = -1
        self.last_start = 0
        self.running_start = 0
        self.intermittent = model.moody()

    def take(self, fact: Fact) -> None:
        """Take in the next fact."""
        self.time += 1
        body = fact.body
        match body:
            case Finding():
                self._finding(fact.number, body, fact.draft.power_up)
            case Complained(complaint=complaint):
                for check, outcome in self.model.complaints.get(complaint, ()):
                    told = Finding(check, outcome, told=body.told)
                    self._finding(fact.number, told, fact.draft.power_up, complaint=True)
            case FixDone():
                self._fix(fact.number, body)
            case PartOut() | PartIn():
                self._part(body)
            case PartFrom(instance=instance, source=source) if source in self.model.duds:
                self.parts.came_from(instance, self.model.duds[source])
            case Opened(opening=opening) if opening in self.model.openings:
                self.now = self.now.with_openings(self.model.whole_opening(frozenset({opening})))
            case Refitted(opening=opening):
                inner = {name for name, spec in self.model.openings.items() if opening in spec.behind}
                self.now = self.now.with_openings(closed=inner | {opening})
            case GateAnswered(gate=gate, met=met):
                self.now = self.now.with_gate(gate, met=met)
                if fact.number in self.ticks:
                    self._ticked(fact.number, gate)
            case JobOpened(wanted=wanted) | WantedSet(wanted=wanted) if wanted:
                known = tuple(name for name in wanted if name in self.model.base_index)
                self.now = replace(self.now, wanted=known)
            case _:
                pass

    def evidence(self) -> Evidence:
        """Return what all facts taken in amount to."""
        found = settled(self.looks)
        return Evidence(
            rows=tuple(found.rows),
            reports=tuple(found.reports),
            events={key: tuple(events) for key, events in self.events.items()},
            newcomers=self.parts.newcomers(),
            passed=tuple(self.passed),
            failed=tuple(self.failed),
            now=self.now,
            bits=found.bits,
            unread=tuple(self.unread),
            fresh=dict(self.fresh),
            start=self.running_start if self.now.running is not None else 0,
        )

    # --- findings ---------------------------------------------------------------------------------

    def _finding(self, number: int, finding: Finding, power_up: int, *, complaint: bool = False) -> None:
        spec = check_spec(self.model, finding.check, finding.copy)
        if spec is None:
            self.unread.append(number)
            return
        running = self._runs(spec, finding, power_up)
        start = self._start(spec, power_up)
        if not finding.told:
            self.now = self.now.with_openings(self.model.whole_opening(spec.open), spec.closed)
            self.now = replace(self.now, running=running)
            self.running_start = start if spec.starts == 1.0 else 0
        if finding.outcome == NO_VERDICT:
            return
        said = shown(spec, finding.outcome, finding.cells)
        if said is None:
            self.unread.append(number)
            return
        trust = trust_in_answer(finding)
        if complaint and finding.told and said.failed:
            trust = trust_in_complaint(self.model, spec, said)
            spec = replace(spec, leak=0.0)  # the share of wrong tellings has false alarms in it
        self._take_look(spec, self._look(number, spec, said, trust, start))

    def _ticked(self, number: int, gate: str) -> None:
        """Take in what the tick of a gate stands for: seen, though who ticked it was asked of no opening."""
        for check, outcome in self.stands_for.get(gate, ()):
            spec = check_spec(self.model, check)
            said = shown(spec, outcome) if spec else None
            if spec is not None and said is not None:
                self._take_look(spec, self._look(number, spec, said, 1.0, self._start(spec, 0)))

    def _take_look(self, spec: CheckSpec, look: Look) -> None:
        self.looks.append(look)
        if look.trust == 1.0:
            self.fresh[spec.id] = look.bases
            if not spec.masked and not spec.swapped:
                self._shown(look)

    def _runs(self, spec: CheckSpec, finding: Finding, power_up: int) -> Running:
        """Return whether the machine runs after a look; what is only told was not looked at now."""
        if finding.told:
            return self.now.running
        moved = disturbs(spec, self.model.whole_opening(spec.open), self.now.opened, self.now.missing)
        running = None if power_up and power_up != self.last_start else self.now.running
        self.last_start = power_up
        return running_after(spec, running, disturbs=moved)

    def _look(self, number: int, spec: CheckSpec, said: Shown, trust: float, start: int) -> Look:
        out = self.now.missing - (spec.masked - spec.absent)
        missing = out | spec.absent
        above = [self.model.closure(rung.base, missing) for rung in spec.rungs]
        passes: frozenset[int] = frozenset().union(*(above[each] for each in said.passed))
        if not said.failed:
            passes |= {rung.whole for rung in spec.rungs} - {-1}
        seen = passes.union(*(above[each] for group in said.failed for each in group))
        moody = start if self.intermittent & seen else 0
        state = (self.acts, tuple(sorted(self.now.moved.items())), spec.masked, missing, moody)
        failing = []
        for group in said.failed:
            bases = frozenset[int]().union(*(above[each] for each in group)) - passes
            alone = spec.rungs[group[0]]
            whole = alone.base if len(group) == 1 else alone.whole
            itself_out = len(group) == 1 and alone.slot in missing
            could_work = not itself_out and not self.model.needs_missing(bases, out)
            leak = 1.0 - (1.0 - spec.leak) ** len(group)
            failing.append(Failing(bases, leak, could_work, ("fails", whole, state)))
        return Look(
            number=number,
            check=spec.id,
            passes=passes,
            clear=(1.0 - spec.leak) ** len(said.passed),
            failing=tuple(failing),
            answers=said.answers,
            trust=trust,
            start=start,
            time=self.time,
            moved=self.now.moved,
            masked=spec.masked,
            works_key=("works", passes, state) if passes else (),
            starts=spec.starts,
        )

    def _shown(self, look: Look) -> None:
        """Note what a sure look at the machine as it stays fitted showed to work, and what not."""
        if look.passes:
            self.passed.append(Passed(self.time, look.check, look.passes))
        for each in look.failing:
            self.failed.append(Passed(self.time, look.check, each.bases))

    def _start(self, spec: CheckSpec, power_up: int) -> int:
        """Return the number of the start a look belongs to; what lasts longer than one stands alone."""
        if power_up and spec.starts == 1.0:
            return power_up
        self.loose_start -= 1
        return self.loose_start

    # --- acts -------------------------------------------------------------------------------------

    def _fix(self, number: int, done: FixDone) -> None:
        """Take in a fix: cures, what it disturbed, and for a replacement the new part instance."""
        spec = fix_spec(self.model, done.fix, done.slot)
        if spec is None:
            self.unread.append(number)
            return
        self._acted()
        self.now = self.now.with_openings(self.model.whole_opening(spec.open))
        slot = done.slot or spec.slot
        for fault, chance in spec.cures.items():
            if not (spec.slot and self.model.faults[fault].slot == slot):
                self._event(fault, Event(self.time, chance, makes=False, unexplained=spec.unexplained))
        for fault, chance in spec.disturbs.items():
            self._event(fault, Event(self.time, chance, makes=True))
        if spec.slot:
            self._fit(slot, done.instance or self.parts.new_name(slot), spec.dud)
        self.now = self.now.with_touched(self.time, slot, spec.cures)
        self.now = self.now.with_fix(spec.id, self.time, unexplained=spec.unexplained)

    def _part(self, body: PartOut | PartIn) -> None:
        """Take in a part that came out of its slot or went into one."""
        slot = body.slot or next(
            (place for place, held in self.now.moved.items() if held == body.instance),
            home_slot(body.instance),
        )
        self._acted()
        if isinstance(body, PartIn):
            self._fit(slot, body.instance, DUD_BY_STANDING[body.standing])
        else:
            self.now = self.now.without_part(slot)
        self.now = self.now.with_touched(self.time, slot)

    def _acted(self) -> None:
        self.acts += 1
        self.fresh.clear()
        self.now = replace(self.now, running=None)

    def _event(self, fault: int, event: Event) -> None:
        slot = self.model.faults[fault].slot
        if not slot:
            self.events.setdefault((fault, ""), []).append(event)
            return
        instance = self.now.fitted(slot)
        own = self.model.in_slot(fault, self.parts.home(instance))
        if instance and own is not None:
            self.events.setdefault((own, instance), []).append(event)

    def _fit(self, slot: str, instance: str, dud: float) -> None:
        """Put `instance` in `slot`, out of any other."""
        self.parts.meet(instance, slot, dud)
        self.now = self.now.with_part(slot, instance, self.parts.home(instance))

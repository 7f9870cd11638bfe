"""What a closed job says of the pack's numbers: causes, false alarms, misses and duds.

What the belief at the job's end leaves open counts in part (`powergood.estimate`). The model given carries
what earlier jobs taught, so that causes that compete are not all counted. What it says of minutes is
in `timed_work`.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from math import prod

from powergood.diagnosis.answers import first_failed
from powergood.diagnosis.belief import Belief, belief, split
from powergood.diagnosis.compiled import CheckSpec, CompiledModel
from powergood.diagnosis.gathering import gather
from powergood.diagnosis.named import check_spec, fix_spec
from powergood.diagnosis.recursion import MOST_BITS
from powergood.diagnosis.taught import NEW_PART_DUD
from powergood.diagnosis.timed_work import timed_work
from powergood.estimate import Lessons, Start, Telling, number_id
from powergood.ids import part_of
from powergood.record.model import (
    NO_VERDICT,
    Finding,
    FixDone,
    PartFrom,
    PartIn,
    PartOut,
    SignedOff,
)
from powergood.record.timeline import Timeline

WHOLE = 0.9
"""Judgement: a cause this likely at the end, fixed, in a job signed off with all proven, counts whole."""

COUNTED_WEIGHT = 8.0
"""Judgement: pseudo-cases that the starting chances of duds and misses are worth."""

NOT_SAID = "not said"
"""Stands for the source of a part when nobody said where it came from."""


@dataclass(frozen=True, slots=True)
class Taken:
    """The lessons of one job, and the numbers they are about that the pack does not list itself."""

    lessons: Lessons
    starts: Mapping[str, Start]


def lessons(model: CompiledModel, line: Timeline, job: int) -> Taken:
    """Return what the facts of a closed job say; `model` carries no pace, so that its minutes are the pack's.

    Nothing is said of chances when the findings exclude each other; minutes are counted all the same.
    """
    read = _Reading(model, line, job)
    sure = read.held.weight > 0
    tellings = tuple(read.chances()) if sure else ()
    misses, starts = read.misses() if sure else ([], {})
    starts = {**starts, **{each.number: Start(NEW_PART_DUD, COUNTED_WEIGHT) for each in read.duds()}}
    return Taken(Lessons((*tellings, *misses), tuple(timed_work(model, line, job))), starts)


@dataclass(frozen=True, slots=True)
class _Seen:
    """A finding that counts once: sure, seen, the first of its check since the last act."""

    fact: int
    place: int
    spec: CheckSpec
    failed_at: int

    @property
    def passed(self) -> float:
        """The share of the check's rungs that were passed."""
        return self.failed_at / len(self.spec.rungs)


class _Reading:
    """One closed job, read. Mutable nowhere; a class only to hold what all questions share."""

    def __init__(self, model: CompiledModel, line: Timeline, job: int) -> None:
        self.model, self.line, self.job = model, line, job
        self.held: Belief = belief(model, gather(model, line))
        self.began = self.held.at_first()
        self.first = self._first()
        self.before = _before(model)
        self.fixed = self._fixed()
        self.proven = any(isinstance(fact.body, SignedOff) and not fact.body.unproven for fact in line.facts)

    def chances(self) -> Iterator[Telling]:
        """Yield what is said of faults, false alarms and duds."""
        yield from self.faults()
        yield from self.alarms()
        yield from self.duds()

    def faults(self) -> Iterator[Telling]:
        """Yield for each fault of the family how likely it was there at first, over all its copies."""
        for base, copies in _by_fault(self.model).items():
            before = 1.0 - prod(1.0 - self.before[each] for each in copies)
            after = 1.0 - prod(1.0 - self.first[each] for each in copies)
            if any(self.whole(each) for each in copies):
                after = 1.0
            yield Telling(number_id("fault", self.model.family, base), self.job, after, before)

    def whole(self, fault: int) -> bool:
        """Tell whether a fault was found for sure: likely at the end, fixed, and everything proven since."""
        return self.proven and fault in self.fixed and self.first[fault] >= WHOLE

    def _first(self) -> dict[int, float]:
        """Return the chance that each fault was there at first, in the part that came in its slot."""
        found = dict.fromkeys(range(len(self.model.faults)), 0.0)
        for (fault, instance), chance in self.began.items():
            home = self.model.in_slot(fault, instance) if instance else fault
            if home is not None and self.model.faults[home].slot == instance:
                found[home] = chance
        return found

    def _fixed(self) -> dict[int, int]:
        """Return the faults of the machine as it came that a fix was done against, with its first place."""
        found: dict[int, int] = {}
        for place, fact in enumerate(self.line.facts):
            if not isinstance(fact.body, FixDone):
                continue
            spec = fix_spec(self.model, fact.body.fix, fact.body.slot)
            for fault in spec.cures if spec else ():
                found.setdefault(fault, place)
        return found

    # --- checks -----------------------------------------------------------------------------------

    def seen(self) -> Iterator[_Seen]:
        """Yield the findings that count: the same check again before anything was done is the same look."""
        counted: set[str] = set()
        for place, fact in enumerate(self.line.facts):
            body = fact.body
            if isinstance(body, FixDone | PartIn | PartOut):
                counted.clear()
            if not isinstance(body, Finding) or body.told or not body.sure or body.outcome == NO_VERDICT:
                continue
            spec = check_spec(self.model, body.check, body.copy)
            failed_at = first_failed(spec, body.outcome, body.cells) if spec else None
            if spec and failed_at is not None and spec.id not in counted:
                counted.add(spec.id)
                yield _Seen(fact.number, place, spec, failed_at)

    def alarms(self) -> Iterator[Telling]:
        """Yield what each look says of false alarms: a pass had none, a failure had one with some chance."""
        for look in self.seen():
            number = number_id("false-alarm", self.model.family, look.spec.check)
            if look.failed_at == len(look.spec.rungs):
                yield Telling(number, self.job, 0.0, otherwise=0.0, surely=1.0)
                continue
            chance = self._false_alarm(look.fact)
            if chance is not None:
                whole = 1.0 - (1.0 - look.spec.leak) ** len(look.spec.rungs)
                yield Telling(number, self.job, chance, whole, otherwise=0.0, surely=look.passed)

    def _false_alarm(self, fact: int) -> float | None:
        """Return the chance that a failing look was a false alarm; none where it says nothing."""
        evidence = self.held.evidence
        bits = evidence.rows_bits()
        variables = tuple(tuple(one.trajectory for one in each.histories) for each in self.held.variables)
        for place, report in enumerate(evidence.reports):
            if report.fact != fact or len(report.rows) != 1 or report.no_alarm[0] > 0:
                continue
            alone = replace(report, table=(report.table[0], 0.0))
            changed = (*evidence.reports[:place], alone, *evidence.reports[place + 1 :])
            weights = []
            for reports in (changed, evidence.reports):
                groups, _ = split(variables, reports, bits)
                own = next(each for each in groups if bits[report.rows[0]] in each.bits)
                if len(own.bits) > MOST_BITS:
                    return None
                weights.append(own.weight())
            return weights[0] / weights[1] if weights[1] > 0 else None
        return None

    def misses(self) -> tuple[list[Telling], dict[str, Start]]:
        """Return how often a check passed although a cause found for sure was there, and what to expect."""
        causes = [(fault, place) for fault, place in self.fixed.items() if self.whole(fault)]
        found, starts = [], {}
        for look in self.seen():
            linked = [
                (fault, self._touch(look.spec, fault))
                for fault, fixed_at in causes
                if look.place < fixed_at
                and self.model.faults[fault].slot not in look.spec.masked
                and not self.model.faults[fault].shows
            ]
            strength = max((each for _, each in linked), default=0.0)
            if strength <= 0.0:
                continue
            number = number_id("missed", self.model.family, look.spec.check)
            missed = float(look.failed_at == len(look.spec.rungs))
            found.append(Telling(number, self.job, missed))
            starts[number] = Start(1.0 - strength, COUNTED_WEIGHT, "the links of the fault")
        return found, starts

    def _touch(self, spec: CheckSpec, fault: int) -> float:
        """Return the chance that a fault alone makes a check fail."""
        looked: frozenset[int] = frozenset().union(*(self.model.closure(rung.base) for rung in spec.rungs))
        links = [link.strength for link in self.model.faults[fault].links if link.base in looked]
        return 1.0 - prod(1.0 - each for each in links)

    # --- parts ------------------------------------------------------------------------------------

    def duds(self) -> Iterator[Telling]:
        """Yield for each part put in by a fix how likely it was a dud: of its source, and of all together."""
        sources = {
            fact.body.instance: fact.body.source
            for fact in self.line.facts
            if isinstance(fact.body, PartFrom)
        }
        returned = {fact.body.instance for fact in self.line.facts if isinstance(fact.body, PartIn)}
        for newcomer in self.held.evidence.newcomers:
            own = [fault for fault, each in self.began if each == newcomer.instance]
            if newcomer.instance in returned or not own:
                continue
            total = sum(self.model.faults[each].prior for each in own) or 1.0
            shares = [newcomer.dud * self.model.faults[each].prior / total for each in own]
            before = 1.0 - prod(1.0 - each for each in shares)
            after = 1.0 - prod(1.0 - self.began[each, newcomer.instance] for each in own)
            source = sources.get(newcomer.instance, "") or NOT_SAID
            for number in (number_id("dud"), number_id("dud", source)):
                yield Telling(number, self.job, after, before)


def _before(model: CompiledModel) -> dict[int, float]:
    """Return each fault's chance before anything is known, faults that it comes with counted in."""
    return {
        member: sum(chance for bits, chance in enumerate(cluster.joint) if bits >> place & 1)
        for cluster in model.clusters
        for place, member in enumerate(cluster.members)
    }


def _by_fault(model: CompiledModel) -> dict[str, list[int]]:
    """Return the faults of the family's tables, each with its copies in this machine."""
    found: dict[str, list[int]] = {}
    for place, fault in enumerate(model.faults):
        if fault.listed:
            mode = fault.id.removeprefix(f"{fault.slot}.")
            found.setdefault(f"{part_of(fault.slot)}.{mode}", []).append(place)
    return found

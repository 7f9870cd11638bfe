"""From facts to evidence: what was looked at when, in which fitted state, and what was done in between.

Each finding becomes at most two *rows*: the bases that must not have been stopped (the rungs that were
passed) and the bases of which one must have been (the rung that failed). A finding that is sure and seen
and passed couples nothing; every other row is one bit for the recursion. Acts become *events* that may
cure a fault or make one. Complaints are findings that are only told.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from itertools import count

from powergood.diagnosis.compiled import CheckSpec, CompiledModel, FixSpec
from powergood.record.model import (
    GOOD,
    NO_VERDICT,
    Complained,
    Finding,
    FixDone,
    GateAnswered,
    JobOpened,
    Opened,
    PartIn,
    PartOut,
    Refitted,
    WantedSet,
)
from powergood.record.timeline import Timeline, home_slot

UNSURE = 0.6
"""Judgement: the weight of an answer given as *not sure*; with the rest of the chance it is a coin toss."""

TOLD = 0.5
"""Judgement: the same for an answer that is only told, by the giver or a label."""

STANDING_DUD = {"known-good": 0.01, "good once": 0.05, "unknown": 0.1, "suspect": 0.4, "bad": 0.9}
"""Judgement: chance that a part put in is itself faulty, by its standing among the spares."""


@dataclass(frozen=True, slots=True)
class Row:
    """One set of bases looked at once. `time` counts facts; `moved` says which slots held what.

    `power_up` groups rows seen during one start; two rows with the same number saw the same mood of an
    intermittent fault. `bit` is its place in the recursion, or −1: nothing in `bases` acted, for sure.
    """

    time: int
    bases: frozenset[int]
    masked: frozenset[str]
    moved: Mapping[str, str]
    power_up: int
    bit: int = -1


@dataclass(frozen=True, slots=True)
class Report:
    """What one finding says of the bits of its rows: `table[bits]` is its chance given which rows tripped.

    `rows` are numbers into `Evidence.rows`, of rows that have bits; the first is the lowest bit of the table.
    `unlikely` is the same table as if no false alarm were possible.
    """

    fact: int
    check: str
    rows: tuple[int, ...]
    table: tuple[float, ...]
    unlikely: tuple[float, ...]


@dataclass(frozen=True, slots=True)
class Event:
    """An act that may change whether a fault is present: from absent (`makes`) or from present."""

    time: int
    chance: float
    makes: bool
    unexplained: bool = False


@dataclass(frozen=True, slots=True)
class Newcomer:
    """A part instance fitted during the job, and the chance that it is itself faulty.

    `slot` is where it was first fitted: its faults are those of that slot, wherever it goes later.
    """

    slot: str
    instance: str
    dud: float


def place_of(moved: Mapping[str, str], instance: str, home: str) -> str:
    """Return the slot that holds `instance`, empty when it lies on the bench.

    `moved` maps slots whose content has changed; any other holds the instance that bears its name.
    """
    if moved.get(home, home) == instance:
        return home
    return next((slot for slot, held in moved.items() if held == instance), "")


@dataclass(frozen=True, slots=True)
class BenchNow:
    """The machine after all facts: openings, slots, gates, and when each thing was last touched.

    `touched` maps faults, `slots_touched` slots and `done` fixes to the time of the last act on them. What a
    fix may have disturbed is not touched: the belief counts the disturbance itself.
    """

    opened: frozenset[str] = frozenset()
    moved: Mapping[str, str] = field(default_factory=dict)
    gates: frozenset[str] = frozenset()
    wanted: tuple[str, ...] = ()
    touched: Mapping[int, int] = field(default_factory=dict)
    slots_touched: Mapping[str, int] = field(default_factory=dict)
    done: Mapping[str, int] = field(default_factory=dict)
    unexplained: tuple[str, ...] = ()

    @property
    def missing(self) -> frozenset[str]:
        """The slots that are empty."""
        return frozenset(slot for slot, instance in self.moved.items() if not instance)

    def fitted(self, slot: str) -> str:
        """Return the instance in `slot`, empty when there is none."""
        return self.moved.get(slot, slot)


@dataclass(frozen=True, slots=True)
class Passed:
    """A check that passed as the machine stays fitted: the bases it showed to work, and when."""

    time: int
    check: str
    bases: frozenset[int]


@dataclass(frozen=True, slots=True)
class Evidence:
    """All that the facts say, in the form the belief needs. `events` is keyed by (fault index, instance).

    `fresh` are the checks done surely since the last act: done again now they would count as the same
    look, unless the mood of an intermittent fault is what they see.
    """

    rows: tuple[Row, ...] = ()
    reports: tuple[Report, ...] = ()
    events: Mapping[tuple[int, str], tuple[Event, ...]] = field(default_factory=dict)
    newcomers: tuple[Newcomer, ...] = ()
    passed: tuple[Passed, ...] = ()
    failed: tuple[Passed, ...] = ()
    now: BenchNow = BenchNow()
    time: int = 0
    bits: int = 0
    unread: tuple[int, ...] = ()
    fresh: frozenset[str] = frozenset()

    def rows_bits(self) -> tuple[int, ...]:
        """Return the recursion bit of each row, −1 for rows that have none."""
        return tuple(row.bit for row in self.rows)


def check_spec(model: CompiledModel, check: str, copy: int = 0) -> CheckSpec | None:
    """Return the check as asked of one copy; the check itself when it is of no copy, or of the only one."""
    return model.checks.get(f"{check}#{copy}") or model.checks.get(check) or model.checks.get(f"{check}#1")


def fix_spec(model: CompiledModel, fix: str, slot: str = "") -> FixSpec | None:
    """Return the fix, of the copy in `slot` where there are several; the first copy when none is named."""
    if fix in model.fixes:
        return model.fixes[fix]
    copies = [spec for spec in model.fixes.values() if spec.fix == fix]
    return next((spec for spec in copies if spec.slot == slot), copies[0] if copies else None)


@dataclass(frozen=True, slots=True)
class _Look:
    """One finding, kept until all are read: which of its halves count is known only then.

    `passes` are the bases it says work, `fails` those of which one does not. `could_work` is False when
    a part it needs lay on the bench: that it failed then says nothing. `works_key` and `fails_key` are
    equal for looks that say the same of the same state (see `_Gathering.settle`).
    """

    number: int
    spec: CheckSpec
    failed_at: int
    passes: frozenset[int]
    fails: frozenset[int]
    could_work: bool
    trust: float
    start: int
    time: int
    moved: Mapping[str, str]
    works_key: tuple[object, ...]
    fails_key: tuple[object, ...]


class _Gathering:
    """Walks the facts once, in order. Mutable inside, invisible outside: `gather` returns values only."""

    def __init__(self, model: CompiledModel) -> None:
        self.model = model
        self.now = BenchNow(wanted=model.wanted())
        self.rows: list[Row] = []
        self.reports: list[Report] = []
        self.events: dict[tuple[int, str], list[Event]] = {}
        self.newcomers: dict[str, Newcomer] = {}
        self.passed: list[Passed] = []
        self.failed: list[Passed] = []
        self.looks: list[_Look] = []
        self.unread: list[int] = []
        self.known = frozenset(model.slots) | {fault.slot for fault in model.faults}
        self.time = 0
        self.bits = 0
        self.acts = 0
        self.fresh: set[str] = set()
        self.loose_start = -1
        self.intermittent = model.moody()

    # --- findings ---------------------------------------------------------------------------------

    def finding(self, number: int, finding: Finding, power_up: int) -> None:
        """Take in one check's outcome."""
        spec = check_spec(self.model, finding.check, finding.copy)
        if spec is None:
            self.unread.append(number)
            return
        self._implied_openings(spec)
        if finding.outcome == NO_VERDICT:
            return
        failed_at = self._failed_rung(spec, finding.outcome)
        if failed_at is None:
            self.unread.append(number)
            return
        out = self.now.missing - (spec.masked - spec.absent)
        missing = out | spec.absent
        above = [self.model.closure(rung.base, missing) for rung in spec.rungs]
        passes: frozenset[int] = frozenset().union(*above[:failed_at])
        whole = above[failed_at] if failed_at < len(above) else frozenset()
        trust = (1.0 if finding.sure else UNSURE) * (TOLD if finding.told else 1.0)
        start = self._start(power_up)
        moody = start if self.intermittent & (passes | whole) else 0
        state = (self.acts, tuple(sorted(self.now.moved.items())), spec.masked, missing, moody)
        failing = spec.rungs[failed_at].base if whole else -1
        if trust == 1.0:
            self.fresh.add(spec.id)
        self.looks.append(
            _Look(
                number=number,
                spec=spec,
                failed_at=failed_at,
                passes=passes,
                fails=whole - passes,
                could_work=not self.model.needs_missing(whole - passes, out),
                trust=trust,
                start=start,
                time=self.time,
                moved=self.now.moved,
                works_key=("works", passes, state) if passes else (),
                fails_key=("fails", failing, state) if whole else (),
            )
        )
        if trust == 1.0 and not spec.masked and not spec.swapped:
            seen = Passed(self.time, spec.id, passes if failed_at else frozenset())
            if failed_at == len(above):
                self.passed.append(replace(seen, bases=frozenset().union(*above)))
            else:
                if passes:
                    self.passed.append(seen)
                self.failed.append(Passed(self.time, spec.id, whole - passes))

    def _failed_rung(self, spec: CheckSpec, outcome: str) -> int | None:
        if outcome == GOOD:
            return len(spec.rungs)
        names = [rung.outcome for rung in spec.rungs]
        return names.index(outcome) if outcome in names else None

    def _start(self, power_up: int) -> int:
        if power_up:
            return power_up
        self.loose_start -= 1
        return self.loose_start

    def settle(self) -> None:
        """Make rows and reports of the looks, counting once what is the same thing seen again.

        The same is: the same function failing, or the same functions working, with the same parts in
        place and masked and no act in between; where an intermittent fault could touch it, in the same
        power-up too. The surest look counts, of equals the first: a false alarm there is one false
        alarm, however often and by whichever check it is looked at.
        """
        surest: dict[tuple[object, ...], _Look] = {}
        for look in self.looks:
            for key in (look.works_key, look.fails_key):
                if key and (key not in surest or surest[key].trust < look.trust):
                    surest[key] = look
        for look in self.looks:
            works = bool(look.works_key) and surest[look.works_key] is look
            fails = bool(look.fails_key) and surest[look.fails_key] is look
            if works or fails:
                self._report(look, works=works, fails=fails and look.could_work)

    def _report(self, look: _Look, *, works: bool, fails: bool) -> None:
        unsure = works and look.trust < 1.0
        rows = []
        if works:
            rows += self._row(look, look.passes, couples=unsure)
        if fails:
            rows += self._row(look, look.fails, couples=True)
        if rows:
            passed = look.failed_at if works else 0
            table = report_table(look.spec, passed, look.trust, passes=unsure, fails=fails)
            sound = replace(look.spec, leak=0.0)
            unlikely = report_table(sound, passed, look.trust, passes=unsure, fails=fails)
            self.reports.append(Report(look.number, look.spec.id, tuple(rows), table, unlikely))

    def _row(self, look: _Look, bases: frozenset[int], *, couples: bool) -> list[int]:
        bit = self.bits if couples else -1
        self.bits += couples
        self.rows.append(Row(look.time, bases, look.spec.masked, look.moved, look.start, bit))
        return [len(self.rows) - 1] if couples else []

    def _implied_openings(self, spec: CheckSpec) -> None:
        opened = self.now.opened | self.model.whole_opening(spec.open)
        self.now = replace(self.now, opened=opened - spec.closed)

    # --- acts -------------------------------------------------------------------------------------

    def fix(self, number: int, done: FixDone) -> None:
        """Take in a fix: cures, what it disturbed, and for a replacement the new part instance."""
        spec = fix_spec(self.model, done.fix, done.slot)
        if spec is None:
            self.unread.append(number)
            return
        self.acts += 1
        self.fresh.clear()
        self.now = replace(self.now, opened=self.now.opened | self.model.whole_opening(spec.open))
        slot = done.slot or spec.slot
        for fault, chance in spec.cures.items():
            if not (spec.slot and self.model.faults[fault].slot == slot):
                self._event(fault, Event(self.time, chance, makes=False, unexplained=spec.unexplained))
        for fault, chance in spec.disturbs.items():
            self._event(fault, Event(self.time, chance, makes=True))
        if spec.slot:
            self._fit(slot, done.instance or self._new_name(slot), spec.dud)
        self._touch(slot, frozenset(spec.cures))
        self.now = replace(self.now, done={**self.now.done, spec.id: self.time})
        if spec.unexplained:
            self.now = replace(self.now, unexplained=(*self.now.unexplained, spec.id))

    def _event(self, fault: int, event: Event) -> None:
        slot = self.model.faults[fault].slot
        if not slot:
            self.events.setdefault((fault, ""), []).append(event)
            return
        instance = self.now.fitted(slot)
        newcomer = self.newcomers.get(instance)
        own = self.model.in_slot(fault, newcomer.slot if newcomer else instance)
        if instance and own is not None:
            self.events.setdefault((own, instance), []).append(event)

    def _new_name(self, slot: str) -> str:
        return next(name for number in count(2) if (name := f"{slot}/{number}") not in self.newcomers)

    def _fit(self, slot: str, instance: str, dud: float) -> None:
        """Put `instance` in `slot`, out of any other; one not met before is new and may be a dud."""
        if instance not in self.known and instance not in self.newcomers:
            self.newcomers[instance] = Newcomer(slot, instance, dud)
        newcomer = self.newcomers.get(instance)
        left = place_of(self.now.moved, instance, newcomer.slot if newcomer else instance)
        moved = {**self.now.moved, **({left: ""} if left else {}), slot: instance}
        self.now = replace(self.now, moved=moved)

    def _touch(self, slot: str, faults: frozenset[int]) -> None:
        touched = {**self.now.touched, **dict.fromkeys(faults, self.time)}
        slots = {**self.now.slots_touched, **({slot: self.time} if slot else {})}
        self.now = replace(self.now, touched=touched, slots_touched=slots)

    def part(self, body: PartOut | PartIn) -> None:
        """Take in a part that came out of its slot or went into one."""
        slot = body.slot or next(
            (place for place, held in self.now.moved.items() if held == body.instance),
            home_slot(body.instance),
        )
        self.acts += 1
        self.fresh.clear()
        if isinstance(body, PartIn):
            self._fit(slot, body.instance, STANDING_DUD[body.standing])
        else:
            self.now = replace(self.now, moved={**self.now.moved, slot: ""})
        self._touch(slot, frozenset())


def report_table(
    spec: CheckSpec, passed: int, trust: float, *, passes: bool, fails: bool
) -> tuple[float, ...]:
    """Return the chance of the answer for each combination of tripped rows (lowest bit: passed rungs).

    With chance `trust` the answer is what the check shows, else one of its answers at random. `passed`
    rungs were free of false alarms; `passes` and `fails` say which of the two rows have bits.
    """
    answers = len(spec.rungs) + 1
    toss = (1.0 - trust) / answers
    clear = (1.0 - spec.leak) ** passed
    shown = {  # (a passed rung tripped, the failed rung tripped) -> chance that the check shows this
        (False, False): clear * (spec.leak if fails else 1.0),
        (False, True): clear,
        (True, False): 0.0,
        (True, True): 0.0,
    }
    first = (False, True) if passes else (False,)
    second = (False, True) if fails else (False,)
    return tuple(trust * shown[(low, high)] + toss for high in second for low in first)


def gather(model: CompiledModel, line: Timeline) -> Evidence:
    """Return what the facts of `line` say about `model`.

    Facts that name a check, outcome or fix the model does not have are listed in `unread` and change nothing.
    """
    walk = _Gathering(model)
    for fact in line.facts:
        walk.time += 1
        body = fact.body
        match body:
            case Finding():
                walk.finding(fact.number, body, fact.draft.power_up)
            case Complained(complaint=complaint):
                for check, outcome in model.complaints.get(complaint, ()):
                    told = Finding(check, outcome, told=body.told)
                    walk.finding(fact.number, told, fact.draft.power_up)
            case FixDone():
                walk.fix(fact.number, body)
            case PartOut() | PartIn():
                walk.part(body)
            case Opened(opening=opening) if opening in model.openings:
                behind = model.whole_opening(frozenset({opening}))
                walk.now = replace(walk.now, opened=walk.now.opened | behind)
            case Refitted(opening=opening):
                above = {name for name, spec in model.openings.items() if opening in spec.behind}
                walk.now = replace(walk.now, opened=walk.now.opened - above - {opening})
            case GateAnswered(gate=gate, met=met):
                gates = walk.now.gates | {gate} if met else walk.now.gates - {gate}
                walk.now = replace(walk.now, gates=gates)
            case JobOpened(wanted=wanted) | WantedSet(wanted=wanted) if wanted:
                known = tuple(name for name in wanted if name in model.base_index)
                walk.now = replace(walk.now, wanted=known)
            case _:
                pass
    walk.settle()
    return Evidence(
        rows=tuple(walk.rows),
        reports=tuple(walk.reports),
        events={key: tuple(events) for key, events in walk.events.items()},
        newcomers=tuple(walk.newcomers.values()),
        passed=tuple(walk.passed),
        failed=tuple(walk.failed),
        now=walk.now,
        time=walk.time,
        bits=walk.bits,
        unread=tuple(walk.unread),
        fresh=frozenset(walk.fresh),
    )

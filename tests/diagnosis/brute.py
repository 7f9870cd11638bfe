"""The belief by brute force: every whole world, its chance, and what it would have made a person report.

Written from what the words mean, not from how the belief is computed. A world settles every draw that
matters: which faults the machine came with, what each act did to them, whether each fault touches each
function it may touch (once for each fault of each part instance), whether an intermittent fault acts in
each power-up. In one world every report has a plain chance; a world weighs its own chance times those of
all reports. There is no factoring, no caching and no cleverness: cost is 2**draws.

What counts as the same thing seen again (and so counts once, at its surest): the same function reported
failing, or the same functions reported working, with the same parts in place, the same parts masked, no
fix and no part moved in between; and, where an intermittent fault could touch it, in the same power-up.
The chance of a false alarm belongs to the report that counts.

A person who reports a function as working is taken at their word, though a part it needs lay on the bench;
a function reported failing of which a needed part lay on the bench says nothing: it could not work.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field, replace

import numpy as np
from numpy.typing import NDArray

from powergood.diagnosis.compiled import CheckSpec, CompiledModel, FixSpec, RungSpec
from powergood.record.model import (
    GOOD,
    NO_VERDICT,
    Complained,
    Fact,
    Finding,
    FixDone,
    PartIn,
    PartOut,
    Withdrawn,
)

MOST_DRAWS = 19

TRUST_UNSURE = 0.6
TRUST_TOLD = 0.8
DUD_BY_STANDING = {"known-good": 0.01, "good once": 0.05, "unknown": 0.1, "suspect": 0.4, "bad": 0.9}

Carried = tuple[str, str]
"""A part instance and the mode of one of its faults; no instance for *something else*."""

Worlds = NDArray[np.bool_]
Chances = NDArray[np.float64]


class TooManyWorldsError(Exception):
    """More draws than can be enumerated."""


class Universe:
    """All worlds at once: each draw is one axis of length two, so that any formula runs over all worlds."""

    def __init__(self) -> None:
        self.draws = 0
        self.weights: list[Chances] = []
        self.known: dict[object, Worlds] = {}

    def joint(self, names: Iterable[object], weights: Iterable[float]) -> list[Worlds]:
        """Draw several yes/no values together; bit k of the place in `weights` is the value of name k."""
        names = list(names)
        first = self.draws
        self.draws += len(names)
        if self.draws > MOST_DRAWS:
            raise TooManyWorldsError
        table = np.array(list(weights)).reshape((2,) * len(names) + (1,) * first)
        self.weights.append(table)
        for number, name in enumerate(names):
            self.known[name] = np.array([False, True]).reshape((2,) + (1,) * (first + number))
        return [self.known[name] for name in names]

    def draw(self, name: object, chance: float) -> Worlds:
        """Return whether the named thing happens, drawing it the first time it is asked for."""
        if name not in self.known:
            if chance in (0.0, 1.0):
                self.known[name] = np.array(bool(chance))
            else:
                self.joint([name], [1 - chance, chance])
        return self.known[name]


@dataclass
class Machine:
    """What is where, and which faults are there, in each world, at one moment of the story."""

    slots: dict[str, str]
    present: dict[Carried, Worlds]
    faults_of: dict[str, dict[str, int]]
    deeds: int = 0
    names: set[str] = field(default_factory=set)

    def where(self, instance: str) -> str | None:
        """Return the slot an instance sits in, None when it lies on the bench."""
        return next((slot for slot, held in self.slots.items() if held == instance), None)

    def empty(self) -> frozenset[str]:
        return frozenset(slot for slot, held in self.slots.items() if not held)


@dataclass(frozen=True)
class Fails:
    """Something said to fail: the functions of which one must, and how many false alarms could say so."""

    bases: tuple[int, ...]
    alarms: int
    key: object


@dataclass(frozen=True)
class Look:
    """One report and the state in which it was made, kept until it is known which reports count.

    Of a grid whose cells belong to copies there may be several things that fail, one for each bad copy.
    """

    spec: CheckSpec
    passed: int
    answers: int
    trust: float
    power_up: object
    machine: Machine
    works: tuple[int, ...]
    fails: tuple[Fails, ...]
    works_key: object


@dataclass(frozen=True)
class Answer:
    """The posterior by brute force. `weight` is the chance of all the reports together."""

    present: Mapping[Carried, float]
    weight: float


def posterior(model: CompiledModel, facts: Iterable[Fact]) -> Answer:
    """Return each fault's chance of being present after the facts that still stand."""
    universe = Universe()
    machine = _as_it_came(model, universe)
    looks: list[Look] = []
    for fact in standing(facts):
        match fact.body:
            case Finding() as finding:
                _look(model, machine, finding, fact.draft.power_up, looks)
            case Complained(complaint=complaint, told=told):
                for check, outcome in model.complaints.get(complaint, ()):
                    finding = Finding(check, outcome, told=told)
                    trust = _trust(model, finding) if told else None
                    _look(model, machine, finding, fact.draft.power_up, looks, trust)
            case FixDone() as done:
                machine = _fixed(model, universe, machine, done, fact.number)
            case PartOut(instance=instance, slot=slot):
                place = slot or machine.where(instance) or instance.split("/")[0]
                machine = _moved(machine, {place: ""})
            case PartIn() as put:
                place = put.slot or put.instance.split("/")[0]
                dud = DUD_BY_STANDING[put.standing]
                machine = _fitted(model, universe, machine, place, put.instance, dud)
            case _:
                pass
    total: Chances = np.array(1.0)
    for look, parts in _that_count(looks):
        total = total * _chance(model, universe, look, parts)
    for weight in universe.weights:
        total = total * weight
    whole = float(total.sum())
    present = {}
    for carried, there in machine.present.items():
        present[carried] = float(np.where(there, total, 0.0).sum()) / whole if whole > 0 else 0.0
    return Answer(present, whole)


def standing(facts: Iterable[Fact]) -> list[Fact]:
    """Return the facts that nothing standing takes back, in order."""
    ordered = sorted(facts, key=lambda fact: fact.number)

    def stands(fact: Fact) -> bool:
        return not any(
            isinstance(other.body, Withdrawn) and other.body.fact == fact.number and stands(other)
            for other in ordered
            if other.number > fact.number
        )

    return [fact for fact in ordered if stands(fact) and not isinstance(fact.body, Withdrawn)]


# --- what happens to the machine ----------------------------------------------------------------------


def _mode(model: CompiledModel, fault: int) -> str:
    spec = model.faults[fault]
    return spec.id.removeprefix(f"{spec.slot}.") if spec.slot else spec.id


def _as_it_came(model: CompiledModel, universe: Universe) -> Machine:
    machine = Machine({slot: slot for slot in model.slots}, {}, {})
    for number, fault in enumerate(model.faults):
        machine.faults_of.setdefault(fault.slot, {})[_mode(model, number)] = number
    for cluster in model.clusters:
        carried = [(model.faults[member].slot, _mode(model, member)) for member in cluster.members]
        drawn = universe.joint([("came with", each) for each in carried], cluster.joint)
        machine.present.update(zip(carried, drawn, strict=True))
    return machine


def _moved(machine: Machine, slots: Mapping[str, str]) -> Machine:
    return Machine(
        {**machine.slots, **slots}, machine.present, machine.faults_of, machine.deeds + 1, machine.names
    )


def _fitted(
    model: CompiledModel, universe: Universe, machine: Machine, slot: str, instance: str, dud: float
) -> Machine:
    """Put an instance into a slot; it leaves any other. One never met before may bring faults along."""
    left = {place: "" for place, held in machine.slots.items() if held == instance}
    after = _moved(machine, {**left, slot: instance})
    if instance in machine.faults_of or instance in model.slots:
        return after
    own = {_mode(model, n): n for n, fault in enumerate(model.faults) if fault.slot == slot}
    total = sum(model.faults[number].prior for number in own.values()) or 1.0
    after.faults_of = {**machine.faults_of, instance: own}
    after.present = dict(machine.present)
    for mode, number in own.items():
        chance = dud * model.faults[number].prior / total
        after.present[instance, mode] = universe.draw(("brought", instance, mode), chance)
    return after


def _fixed(model: CompiledModel, universe: Universe, machine: Machine, done: FixDone, number: int) -> Machine:
    spec = _fix(model, done)
    if spec is None:
        return machine
    slot = (done.slot or spec.slot) if spec.slot else ""
    after = _moved(machine, {})
    after.present = dict(machine.present)
    for fault, chance in spec.cures.items():
        if not slot or model.faults[fault].slot != slot:
            _turn(model, universe, after, fault, ("cured", number, fault), chance, to=False)
    for fault, chance in spec.disturbs.items():
        _turn(model, universe, after, fault, ("disturbed", number, fault), chance, to=True)
    if not slot:
        return after
    name, count = done.instance, 2
    while not name or (not done.instance and name in after.faults_of):
        name, count = f"{slot}/{count}", count + 1
    return _fitted(model, universe, after, slot, name, spec.dud)


def _turn(
    model: CompiledModel,
    universe: Universe,
    machine: Machine,
    fault: int,
    name: object,
    chance: float,
    *,
    to: bool,
) -> None:
    """Make a fault present or absent, by chance, in whatever part sits where the fault would be."""
    slot = model.faults[fault].slot
    carried = (machine.slots[slot] if slot else "", _mode(model, fault))
    if carried in machine.present:
        before = machine.present[carried]
        happens = universe.draw(name, chance)
        machine.present[carried] = (before | happens) if to else (before & ~happens)


def _fix(model: CompiledModel, done: FixDone) -> FixSpec | None:
    if done.fix in model.fixes:
        return model.fixes[done.fix]
    copies = [spec for spec in model.fixes.values() if spec.fix == done.fix]
    named = [spec for spec in copies if spec.slot == done.slot]
    return (named or copies or [None])[0]


# --- what is reported -----------------------------------------------------------------------------------


def _missing(machine: Machine, spec: CheckSpec) -> frozenset[str]:
    """Return the slots that are empty while the check is made."""
    return (machine.empty() - (spec.masked - spec.absent)) | spec.absent


def _lacks(model: CompiledModel, base: int, missing: frozenset[str]) -> bool:
    """Tell whether a part the function itself rests on is missing, every copy of it."""
    parts = {slot.split(".")[0] for slot in model.bases[base].of}
    return any(all(slot in missing for slot in model.slots if slot.split(".")[0] == part) for part in parts)


def _rests_on(model: CompiledModel, base: int, missing: frozenset[str]) -> set[int]:
    """Return everything that must work for `base` to work, itself included."""
    spec = model.bases[base]
    needs = list(spec.needs)
    if spec.either:
        whole = [choice for choice in spec.either if not _lacks(model, choice, missing)]
        needs.append(whole[0] if whole else spec.either[0])
    found = {base}
    for need in needs:
        found |= _rests_on(model, need, missing)
    return found


def _trust(model: CompiledModel, finding: Finding) -> float:
    """Return the trust with which a complaint, nothing else known, is so as often as an answer that is told.

    How often it is so of machines as they come is counted over all worlds.
    """
    universe = Universe()
    looks: list[Look] = []
    _look(model, _as_it_came(model, universe), finding, 0, looks)
    if not looks or not looks[0].fails:
        return TRUST_TOLD
    look = looks[0]
    rest: set[int] = set()
    for base in (base for failing in look.fails for base in failing.bases):
        rest |= _rests_on(model, base, look.spec.absent)
    so: Chances = ~_stopped(model, universe, look, set(look.works)) & _stopped(model, universe, look, rest)
    for weight in universe.weights:
        so = so * weight
    share = min(max(float(so.sum()), 1e-4), 1 - 1e-4)
    toss = (1 - TRUST_TOLD) / look.answers
    right = TRUST_TOLD + toss
    times = right * (1 - share) / ((1 - right) * share)
    alarm = max(1 - (1 - look.spec.leak) ** failing.alarms for failing in look.fails)
    if alarm > 0:
        times = min(times, 1 / alarm)
    return max(TRUST_TOLD, 1 - look.answers / (times - 1 + look.answers))


def _look(
    model: CompiledModel,
    machine: Machine,
    finding: Finding,
    power_up: int,
    looks: list[Look],
    trust: float | None = None,
) -> None:
    names = [f"{finding.check}#{finding.copy}", finding.check, f"{finding.check}#1"]
    spec = next((model.checks[name] for name in names if name in model.checks), None)
    if spec is None or finding.outcome == NO_VERDICT:
        return
    outcomes = [*(rung.outcome for rung in spec.rungs), GOOD]
    if finding.outcome not in outcomes:
        return
    passed, failed, answers = _said(spec, finding)
    missing = _missing(machine, spec)
    works: set[int] = set()
    for rung in passed:
        works |= _rests_on(model, rung.base, missing)
    if finding.outcome == GOOD:
        works |= {rung.whole for rung in spec.rungs if rung.cell}
    looked_at = set(works)
    for group in failed:
        for rung in group:
            looked_at |= _rests_on(model, rung.base, missing)
    alone = not power_up or spec.starts > 1
    start: object = ("alone", len(looks)) if alone else power_up
    may_be_moody = any(
        fault.shows
        and any(link.base in looked_at and not model.bases[link.base].is_sign for link in fault.links)
        for fault in model.faults
    )
    state = (
        machine.deeds,
        tuple(sorted(machine.slots.items())),
        spec.masked,
        missing,
        start if may_be_moody else None,
    )
    if trust is None:
        trust = (1.0 if finding.sure else TRUST_UNSURE) * (TRUST_TOLD if finding.told else 1.0)
    elif failed:
        spec = replace(spec, leak=0.0)
    fails = []
    for group in failed:
        whole = group[0].base if len(group) == 1 else group[0].whole
        bases = tuple(rung.base for rung in group)
        fails.append(Fails(bases, len(group), ("fails", whole, state)))
    key = ("works", tuple(sorted(works)), state)
    looks.append(
        Look(spec, len(passed), answers, trust, start, machine, tuple(sorted(works)), tuple(fails), key)
    )


def _said(spec: CheckSpec, finding: Finding) -> tuple[list[RungSpec], list[list[RungSpec]], int]:
    """Return the rungs an answer says passed, those of which one failed, and how many answers there are.

    Cells that belong to copies are tried after all else. Named bad cells say that each of them is bad and
    each other good, which is one answer for each set of cells; unnamed ones, that some cell is bad.
    """
    shared = [rung for rung in spec.rungs if not rung.cell]
    cells = [rung for rung in spec.rungs if rung.cell]
    answers = len(shared) + (1 if cells else 0) + 1
    if finding.outcome == GOOD:
        return [*shared, *cells], [], answers
    names = [rung.outcome for rung in shared]
    if finding.outcome in names:
        at = names.index(finding.outcome)
        return shared[:at], [[shared[at]]], answers
    bad = [rung for rung in cells if rung.cell in finding.cells]
    if not bad:
        return shared, [cells], answers
    good = [rung for rung in cells if rung.cell not in finding.cells]
    return [*shared, *good], [[rung] for rung in bad], len(shared) + 2 ** len(cells)


def _sure(look: Look, rungs: int) -> tuple[float, float, int]:
    """Return what makes one look surer than another of what `rungs` of its rungs say.

    That is its trust, then few false alarms at those, then few answers.
    """
    return look.trust, (1 - look.spec.leak) ** rungs, -look.answers


def _that_count(looks: list[Look]) -> list[tuple[Look, tuple[bool, tuple[Fails, ...]]]]:
    """Return the reports with what of each counts: whether what it says works, and which failures."""
    surest: dict[object, int] = {}
    how_sure: dict[object, tuple[float, float, int]] = {}
    for number, look in enumerate(looks):
        said = [(look.works_key, look.passed)] if look.works else []
        for key, rungs in [*said, *((each.key, each.alarms) for each in look.fails)]:
            sure = _sure(look, rungs)
            if key not in surest or how_sure[key] < sure:
                surest[key], how_sure[key] = number, sure
    return [
        (
            look,
            (
                bool(look.works) and surest[look.works_key] == number,
                tuple(each for each in look.fails if surest[each.key] == number),
            ),
        )
        for number, look in enumerate(looks)
    ]


def _chance(
    model: CompiledModel, universe: Universe, look: Look, counts: tuple[bool, tuple[Fails, ...]]
) -> Chances:
    """Return the chance of one report in every world."""
    spec = look.spec
    missing = _missing(look.machine, spec)
    truly: Chances = np.array(1.0)
    if not any(counts):
        return truly
    if counts[0]:
        truly = truly * ~_stopped(model, universe, look, set(look.works))
        truly = truly * (1 - spec.leak) ** look.passed
    for failing in counts[1]:
        rest: set[int] = set()
        for base in failing.bases:
            rest |= _rests_on(model, base, missing)
        rest -= set(look.works)
        out = look.machine.empty() - (spec.masked - spec.absent)
        could_not = any(_lacks(model, base, out) for base in rest)
        named = [rung for rung in spec.rungs if rung.cell and rung.base in failing.bases]
        could_not = could_not or (len(named) == 1 and named[0].slot in missing)
        if not could_not:
            broken = _stopped(model, universe, look, rest)
            truly = truly * np.where(broken, 1.0, 1 - (1 - spec.leak) ** failing.alarms)
    return look.trust * truly + (1 - look.trust) / look.answers


def _stopped(model: CompiledModel, universe: Universe, look: Look, bases: set[int]) -> Worlds:
    """Return in which worlds some fault that acts during the look stops (or shows) one of `bases`."""
    stopped: Worlds = np.array(False)
    for (instance, mode), there in look.machine.present.items():
        fault = model.faults[look.machine.faults_of[instance][mode]]
        if instance:
            place = look.machine.where(instance)
            if place is None or place in look.spec.masked:
                continue
        for link in fault.links:
            if dict(link.elsewhere).get(place if instance else "", link.base) not in bases:
                continue
            if fault.shows and not model.bases[link.base].is_sign:
                acts = np.array(False)
                for chance in range(int(look.spec.starts)):
                    name = ("acts", instance, mode, look.power_up, chance)
                    acts = acts | universe.draw(name, fault.shows)
            else:
                acts = universe.draw(("touches", instance, mode, link.base), link.strength)
            stopped = stopped | (there & acts)
    return stopped

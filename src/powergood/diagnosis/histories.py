"""Every fault's possible histories, and what each would have shown.

A fault instance is absent or present, arises when something disturbs it, is cured by a fix, and acts
only while its part is fitted and not masked. A *history* is what matters of that: in which rows it
was there to act, and whether it was there at first and is there now. Histories that agree on these are
one. Given its history, a fault throws one switch for each of its links (drawn once, so that five looks at
the same thing are one), or, when it is intermittent, one for each power-up.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from itertools import product

from powergood.diagnosis.bench_now import place_of
from powergood.diagnosis.compiled import Cluster, CompiledModel, FaultSpec, Link
from powergood.diagnosis.evidence import Event, Evidence
from powergood.diagnosis.recursion import Switch, Trajectory, sum_masks


@dataclass(frozen=True, slots=True)
class Instance:
    """One fault of one part instance: index into the model's faults, and which instance carries it.

    `fault` is the fault of the slot the instance sits in now, or of its first slot when it is in none.
    """

    fault: int
    instance: str
    fitted: bool


@dataclass(frozen=True, slots=True)
class _Carried:
    """A fault of a part instance as it was first met: `fault` is that of the instance's first slot."""

    fault: int
    instance: str

    def now(self, model: CompiledModel, evidence: Evidence) -> Instance:
        """Return the same where the instance sits now."""
        home = model.faults[self.fault].slot
        if not home:
            return Instance(self.fault, self.instance, True)
        place = place_of(evidence.now.moved, self.instance, home)
        if place == home:
            return Instance(self.fault, self.instance, True)
        here = model.in_slot(self.fault, place) if place else None
        return Instance(self.fault if here is None else here, self.instance, here is not None)


@dataclass(frozen=True, slots=True)
class History:
    """One history of a cluster of fault instances: which are present now, which links are known.

    `present` is aligned with the cluster's instances. `dark` are (member, link) pairs that a passed
    finding shows to be off, `thrown` those that the trajectory's switches decide. All others are as
    they were before. `arose` marks members that are present now but were absent at first, `began` those
    that were there when the machine (or the new part) came: what a closed job teaches is about these.
    """

    present: tuple[bool, ...]
    trajectory: Trajectory
    dark: frozenset[tuple[int, int]] = frozenset()
    arose: tuple[bool, ...] = ()
    began: tuple[bool, ...] = ()


@dataclass(frozen=True, slots=True)
class FaultVariable:
    """A small joint cluster of fault instances with all its histories."""

    instances: tuple[Instance, ...]
    histories: tuple[History, ...]


POWER_UP_LABEL = -2
"""Label of a switch that belongs to one power-up of an intermittent fault, not to a link."""

RUNNING_LABEL = -100
"""Label of the switch of the power-up that still runs, of member 0; of the others one less each."""

MOOD = -1
"""In the place of a link among the dark: the member's fault does not act in the start that still runs."""

LINKS_A_MEMBER = 1000
"""Labels of link switches are member · LINKS_A_MEMBER + link; no fault has as many links."""


class _Rows:
    """Bit sets over all rows: which rest on a base, which a slot's instance could act in, which came when."""

    def __init__(self, model: CompiledModel, evidence: Evidence) -> None:
        self.rows = evidence.rows
        self.everything = (1 << len(self.rows)) - 1
        self.sure_pass = sum(1 << place for place, row in enumerate(self.rows) if row.bit < 0)
        self.on_base = [0] * len(model.bases)
        self.signs = frozenset(number for number, base in enumerate(model.bases) if base.is_sign)
        self.starts: dict[int, int] = {}
        self.running = evidence.start
        self.lasting: dict[int, float] = {}
        for place, row in enumerate(self.rows):
            for base in row.bases:
                self.on_base[base] |= 1 << place
            self.starts[row.power_up] = self.starts.get(row.power_up, 0) | 1 << place
            self.lasting[row.power_up] = row.starts
        self._acting: dict[tuple[str, str], int] = {}
        self._masked: dict[str, int] = {}
        for place, row in enumerate(self.rows):
            for slot in row.masked:
                self._masked[slot] = self._masked.get(slot, 0) | 1 << place
        self._moved = frozenset(name for row in self.rows for pair in row.moved.items() for name in pair)

    def acting(self, home: str, instance: str) -> int:
        """Return the rows during which `instance`, first of slot `home`, sat in any slot unmasked.

        Those are all rows for a fault of no slot.
        """
        if not home:
            return self.everything
        if instance == home and home not in self._moved:
            return self.everything & ~self._masked.get(home, 0)
        key = (home, instance)
        if key not in self._acting:
            slots = [place_of(row.moved, instance, home) for row in self.rows]
            self._acting[key] = sum(
                1 << place
                for place, (row, slot) in enumerate(zip(self.rows, slots, strict=True))
                if slot and slot not in row.masked
            )
        return self._acting[key]

    def sees(self, link: Link, home: str, instance: str) -> int:
        """Return the rows that rest on a link of `instance`: on the share of the slot it sat in then."""
        if not link.elsewhere or (instance == home and home not in self._moved):
            return self.on_base[link.base]
        own = dict(link.elsewhere)
        seen = 0
        for place, row in enumerate(self.rows):
            if own.get(place_of(row.moved, instance, home), link.base) in row.bases:
                seen |= 1 << place
        return seen

    def before(self, time: int) -> int:
        """Return the rows seen before the fact at `time`."""
        return sum(1 << place for place, row in enumerate(self.rows) if row.time < time)

    def bits(self, rows: int) -> int:
        """Return the mask of recursion bits of the rows in `rows` that have one."""
        mask = 0
        while rows:
            lowest = rows & -rows
            bit = self.rows[lowest.bit_length() - 1].bit
            if bit >= 0:
                mask |= 1 << bit
            rows ^= lowest
        return mask


def fault_variables(model: CompiledModel, evidence: Evidence) -> tuple[FaultVariable, ...]:
    """Return one variable for each cluster of the machine as it came, and for each fault of a new part.

    A new part's faults share its chance of being a dud in proportion to how common each is.
    """
    rows = _Rows(model, evidence)
    found = []
    for cluster in model.clusters:
        carried = tuple(_Carried(member, model.faults[member].slot) for member in cluster.members)
        found.append(_variable(model, evidence, rows, carried, cluster.joint))
    for newcomer in evidence.newcomers:
        own = [place for place, fault in enumerate(model.faults) if fault.slot == newcomer.slot]
        total = sum(model.faults[place].prior for place in own) or 1.0
        for place in own:
            chance = newcomer.dud * model.faults[place].prior / total
            carried = (_Carried(place, newcomer.instance),)
            found.append(_variable(model, evidence, rows, carried, (1 - chance, chance)))
    return tuple(found)


def _variable(
    model: CompiledModel,
    evidence: Evidence,
    rows: _Rows,
    carried: tuple[_Carried, ...],
    joint: Sequence[float],
) -> FaultVariable:
    if len(carried) == 1 and (carried[0].fault, carried[0].instance) not in evidence.events:
        return _undisturbed(model, evidence, rows, carried[0], joint)
    instances = tuple(each.now(model, evidence) for each in carried)
    faults = [model.faults[each.fault] for each in carried]
    acting = [rows.acting(fault.slot, each.instance) for fault, each in zip(faults, carried, strict=True)]
    events = [evidence.events.get((each.fault, each.instance), ()) for each in carried]
    seen = [
        tuple(rows.sees(link, fault.slot, each.instance) for link in fault.links)
        for fault, each in zip(faults, carried, strict=True)
    ]
    relevant = [mask & sum_masks(each) for mask, each in zip(acting, seen, strict=True)]
    parts = [
        tuple(_paths(bool(start), events[place], relevant[place], rows) for start in (0, 1))
        for place in range(len(instances))
    ]
    merged: dict[tuple[tuple[bool, int, bool], ...], float] = {}
    for bits, weight in enumerate(joint):
        if weight <= 0:
            continue
        options = [parts[place][bits >> place & 1] for place in range(len(instances))]
        for combination in product(*(option.items() for option in options)):
            chance = weight
            for _, step in combination:
                chance *= step
            ends = tuple(
                (path[0], path[1], bool(bits >> place & 1)) for place, (path, _) in enumerate(combination)
            )
            merged[ends] = merged.get(ends, 0.0) + chance
    histories = []
    for ends, weight in merged.items():
        switches: list[Switch] = []
        dark: set[tuple[int, int]] = set()
        for place, (_, there, _) in enumerate(ends):
            scalar, thrown, off = _throws(faults[place], there, place, rows, seen[place])
            weight *= scalar
            switches += thrown
            dark |= {(place, link) for link in off}
        histories.append(
            History(
                present=tuple(present for present, _, _ in ends),
                trajectory=Trajectory(weight, tuple(switches)),
                dark=frozenset(dark),
                arose=tuple(present and not began for present, _, began in ends),
                began=tuple(began for _, _, began in ends),
            )
        )
    return FaultVariable(instances, tuple(histories))


def _undisturbed(
    model: CompiledModel, evidence: Evidence, rows: _Rows, carried: _Carried, joint: Sequence[float]
) -> FaultVariable:
    """Return the two histories of a fault that nothing was done about: never there, or there all along."""
    fault = model.faults[carried.fault]
    absent, present = joint
    seen = [rows.sees(link, fault.slot, carried.instance) for link in fault.links]
    there = rows.acting(fault.slot, carried.instance) & sum_masks(seen)
    factor, switches, off = _throws(fault, there, 0, rows, seen) if there else (1.0, [], [])
    never = History((False,), Trajectory(absent), frozenset(), (False,), (False,))
    dark = frozenset((0, link) for link in off)
    ever = History((True,), Trajectory(present * factor, tuple(switches)), dark, (False,), (True,))
    return FaultVariable((carried.now(model, evidence),), (never, ever))


def _paths(
    present: bool, events: Iterable[Event], relevant: int, rows: _Rows
) -> Mapping[tuple[bool, int], float]:
    """Return the ways a fault may have gone from its first state: (present now, rows it was there in)."""
    ways: dict[tuple[bool, int], float] = {(present, 0): 1.0}
    done = 0
    for event in events:
        until = rows.before(event.time)
        ways = _lived(ways, relevant & until & ~done)
        done |= until
        turned: dict[tuple[bool, int], float] = {}
        for (there, mask), chance in ways.items():
            turns = event.chance if there != event.makes else 0.0
            for state, share in ((not there, turns), (there, 1.0 - turns)):
                if share > 0:
                    turned[state, mask] = turned.get((state, mask), 0.0) + chance * share
        ways = turned
    return _lived(ways, relevant & ~done)


def _lived(ways: Mapping[tuple[bool, int], float], rows: int) -> dict[tuple[bool, int], float]:
    return {(there, mask | rows if there else mask): chance for (there, mask), chance in ways.items()}


def _throws(
    fault: FaultSpec, there: int, place: int, rows: _Rows, sees: Sequence[int]
) -> tuple[float, list[Switch], list[int]]:
    """Return what a fault present in the rows `there` throws: a factor, switches, and links known off.

    `sees[n]` are the rows that rest on its link n.

    An intermittent fault stops functions by moods, one draw a power-up; what it leaves to be seen (a
    worn lead, a cracked joint) stays to be seen, and is drawn once like any link.
    """
    factor, switches, calm = _moods(fault, there, place, rows, sees) if fault.shows else (1.0, [], False)
    off = [MOOD] if calm else []
    for number, link in enumerate(fault.links):
        seen = there & sees[number]
        if not seen or (fault.shows and link.base not in rows.signs):
            continue
        if seen & rows.sure_pass:
            factor *= 1.0 - link.strength
            off.append(number)
            continue
        label = place * LINKS_A_MEMBER + number
        switches.append(Switch(1.0 - link.strength, link.strength, rows.bits(seen), label))
    return factor, switches, off


def _moods(
    fault: FaultSpec, there: int, place: int, rows: _Rows, sees: Sequence[int]
) -> tuple[float, list[Switch], bool]:
    """Return the draws of an intermittent fault: whether it stops its functions in each power-up.

    The last says that it certainly does not in the one that still runs.
    """
    factor, calm = 1.0, False
    switches = []
    seen = 0
    for number, link in enumerate(fault.links):
        if link.base not in rows.signs:
            seen |= there & sees[number]
    for number, start in rows.starts.items():
        here = seen & start
        if not here:
            continue
        quiet = (1.0 - fault.shows) ** rows.lasting[number]
        runs = number == rows.running
        if here & rows.sure_pass:
            factor, calm = factor * quiet, calm or runs
            continue
        label = RUNNING_LABEL - place if runs else POWER_UP_LABEL
        switches.append(Switch(quiet, 1.0 - quiet, rows.bits(here), label))
    return factor, switches, calm


def single_clusters(faults: Sequence[FaultSpec]) -> tuple[Cluster, ...]:
    """Return each fault in a cluster of its own, for a model built by hand."""
    return tuple(Cluster((at,), (1.0 - fault.prior, fault.prior)) for at, fault in enumerate(faults))

"""The machine as the diagnosis computes with it: numbers, indexes and closures, copies unrolled.

Functions and signs are both *bases*: things a fault may stop or show. A fault's link to a base is drawn
once, so whatever is looked at that rests on that base agrees with itself. What a check looks at is the
*closure* of its base: the base and all it needs. Everything here is plain data; nothing knows packs.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field

from powergood.estimate import Start
from powergood.ids import part_of
from powergood.record.model import GOOD

SOMETHING_ELSE = "something-else"
"""The mode name of the faults that stand for what nobody listed: `something-else.power`."""


@dataclass(frozen=True, slots=True)
class Link:
    """One fault's link to one base: the chance `strength` that the fault alone stops (shows) it.

    `elsewhere` gives, where each copy of the part answers for a base of its own, that of every slot: a part
    that moves takes the link along, drawn as it is, to the share of the slot it then sits in.
    """

    base: int
    strength: float
    elsewhere: tuple[tuple[str, int], ...] = ()


@dataclass(frozen=True, slots=True)
class FaultSpec:
    """One fault of one slot. `prior` is its chance before anything is known of this machine.

    `shows` is nought for a persistent fault; else the chance that it acts in one power-up.
    `listed` is False for *something else*.
    """

    id: str
    slot: str
    area: str
    title: str
    prior: float
    links: tuple[Link, ...]
    shows: float = 0.0
    listed: bool = True


@dataclass(frozen=True, slots=True)
class Cluster:
    """Faults whose presence hangs together: `joint[x]` is the chance of the set with bits x."""

    members: tuple[int, ...]
    joint: tuple[float, ...]


@dataclass(frozen=True, slots=True)
class RungSpec:
    """One rung: the base looked at, the outcome's name, and what is seen when the machine stops here.

    `also` is another name the outcome goes by. A rung of one copy's cell of a grid has that cell's name, the
    copy's slot, and in `whole` the base that all copies answer for together; several rungs then have one
    outcome.
    """

    base: int
    outcome: str
    words: str
    also: str = ""
    cell: str = ""
    slot: str = ""
    whole: int = -1


@dataclass(frozen=True, slots=True)
class Price:
    """What doing a step once costs, apart from openings: minutes, waiting minutes, money, chance of harm."""

    minutes: float
    elapsed: float = 0.0
    money: float = 0.0
    harm: float = 0.0


@dataclass(frozen=True, slots=True)
class CheckSpec:
    """A check, one copy of it where it is of each copy of a part. A yes/no check has one rung.

    `leak` is the chance of a false alarm at each rung. `masked` are slots whose faults do not act: those
    in `absent` are out for the check, the others hold a known-good part (`swapped`). What comes and goes has
    `starts` chances to act while it lasts: one power-up is one.
    """

    id: str
    check: str
    copy: int
    ask: str
    rungs: tuple[RungSpec, ...]
    all_good: str
    leak: float
    no_verdict: float
    price: Price
    power: str
    open: frozenset[str]
    closed: frozenset[str]
    masked: frozenset[str]
    fitted: frozenset[str]
    absent: frozenset[str] = frozenset()
    swapped: bool = False
    on_pad: bool = False
    starts: float = 1.0
    cautions: tuple[str, ...] = ()
    tools: tuple[str, ...] = ()
    wrong_when: tuple[str, ...] = ()
    tells: str = ""

    def outcomes(self) -> tuple[tuple[str, str], ...]:
        """Return each outcome once with its words, in the order of the rungs; good is the last."""
        found = {rung.outcome: rung.words for rung in reversed(self.rungs)}
        ordered = dict.fromkeys(rung.outcome for rung in self.rungs)
        return (*((name, found[name]) for name in ordered), (GOOD, self.all_good))


@dataclass(frozen=True, slots=True)
class FixSpec:
    """A fix. `cures` maps a fault index to its chance of being cured; `slot` is set for a replacement."""

    id: str
    fix: str
    ask: str
    kind: str
    slot: str
    cures: Mapping[int, float]
    dud: float
    disturbs: Mapping[int, float]
    price: Price
    open: frozenset[str]
    unexplained: bool = False
    consent: bool = False
    cautions: tuple[str, ...] = ()
    tools: tuple[str, ...] = ()
    wrong_when: tuple[str, ...] = ()
    note: str = ""


@dataclass(frozen=True, slots=True)
class OpeningSpec:
    """An opening with everything that must be open before it (itself not counted)."""

    id: str
    title: str
    minutes: float
    refit: float
    harm: float
    behind: frozenset[str]
    cautions: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class GateSpec:
    """A safety condition and what it holds back: `power`, `opening` or `step:ID`.

    `stands_for` are the checks, each with its outcome, that its tick says were made.
    """

    id: str
    title: str
    ask: str
    because: str
    holds: tuple[str, ...]
    cautions: tuple[str, ...] = ()
    stands_for: tuple[tuple[str, str], ...] = ()


@dataclass(frozen=True, slots=True)
class BaseSpec:
    """A function or sign: what it needs, which slots it rests on, and its alternatives."""

    id: str
    title: str
    area: str
    needs: tuple[int, ...] = ()
    either: tuple[int, ...] = ()
    of: frozenset[str] = frozenset()
    is_sign: bool = False
    wanted: bool = False


@dataclass(frozen=True, slots=True)
class CompiledModel:
    """All that the diagnosis knows of a kind of machine.

    Invariants: every fault index in clusters, fixes and maps is in range; each fault lies in exactly one
    cluster; closures are of an acyclic graph. `complaints` maps a complaint to (check, outcome) pairs.
    `starts` are the pack's own numbers that jobs can move, by number id; `duds` the learned chance of a dud
    by where a part came from.
    """

    family: str
    digest: str
    faults: tuple[FaultSpec, ...]
    clusters: tuple[Cluster, ...]
    bases: tuple[BaseSpec, ...]
    checks: Mapping[str, CheckSpec]
    fixes: Mapping[str, FixSpec]
    openings: Mapping[str, OpeningSpec]
    gates: tuple[GateSpec, ...]
    complaints: Mapping[str, tuple[tuple[str, str], ...]]
    area_titles: Mapping[str, str]
    part_titles: Mapping[str, str]
    slots: tuple[str, ...]
    base_index: Mapping[str, int]
    fault_index: Mapping[str, int] = field(default_factory=dict)
    starts: Mapping[str, Start] = field(default_factory=dict)
    duds: Mapping[str, float] = field(default_factory=dict)

    def wanted(self) -> tuple[str, ...]:
        """Return the functions wanted back unless a job says otherwise."""
        return tuple(base.id for base in self.bases if base.wanted and not base.is_sign)

    def in_slot(self, fault: int, slot: str) -> int | None:
        """Return the fault of the same mode in another slot of its kind; None where there is no such."""
        spec = self.faults[fault]
        if spec.slot == slot:
            return fault
        return self.fault_index.get(f"{slot}.{spec.id.removeprefix(f'{spec.slot}.')}")

    def moody(self, faults: Iterable[int] | None = None) -> frozenset[int]:
        """Return the functions that an intermittent fault (of `faults`, or any) stops now and then."""
        chosen = range(len(self.faults)) if faults is None else faults
        links = [link for fault in chosen if self.faults[fault].shows for link in self.faults[fault].links]
        return frozenset(link.base for link in links if not self.bases[link.base].is_sign)

    def closure(self, base: int, missing: frozenset[str] = frozenset()) -> frozenset[int]:
        """Return `base` and all it needs, each alternative chosen by what is fitted.

        Of alternatives the first counts whose slots are all fitted; where none is fully fitted, the first.
        """
        found: set[int] = set()
        waiting = [base]
        while waiting:
            at = waiting.pop()
            if at in found:
                continue
            found.add(at)
            spec = self.bases[at]
            waiting.extend(spec.needs)
            if spec.either:
                waiting.append(self._alternative(spec, missing))
        return frozenset(found)

    def _alternative(self, spec: BaseSpec, missing: frozenset[str]) -> int:
        for choice in spec.either:
            if not self._lacking(self.bases[choice].of, missing):
                return choice
        return spec.either[0]

    def needs_missing(self, closure: frozenset[int], missing: frozenset[str]) -> frozenset[str]:
        """Return the missing slots that something in `closure` rests on: without them it cannot work."""
        rests_on: frozenset[str] = frozenset().union(*(self.bases[base].of for base in closure))
        return self._lacking(rests_on, missing)

    def _lacking(self, rests_on: frozenset[str], missing: frozenset[str]) -> frozenset[str]:
        """Return the slots of `rests_on` whose part is missing in all its copies: one copy is enough."""
        empty = rests_on & missing
        if not empty:
            return empty
        there = {part_of(slot) for slot in self.slots if slot not in missing}
        return frozenset(slot for slot in empty if part_of(slot) not in there)

    def whole_opening(self, openings: frozenset[str]) -> frozenset[str]:
        """Return the openings and everything that must be open before them."""
        known = frozenset(name for name in openings if name in self.openings)
        return known.union(*(self.openings[name].behind for name in known))

"""Random small machines and random stories about them, for the property tests of the belief."""

from __future__ import annotations

from dataclasses import replace
from itertools import count
from math import prod

from hypothesis import strategies as st
from hypothesis.strategies import DrawFn

from powergood.diagnosis.by_copy import Shares, links_to, split_by_copy
from powergood.diagnosis.compiled import (
    BaseSpec,
    CheckSpec,
    Cluster,
    CompiledModel,
    FaultSpec,
    FixSpec,
    Link,
    Price,
    RungSpec,
)
from powergood.record.model import (
    GOOD,
    NO_VERDICT,
    Body,
    Complained,
    Draft,
    Fact,
    Finding,
    FixDone,
    PartIn,
    PartOut,
    Withdrawn,
)
from powergood.record.timeline import Timeline, timeline

STRENGTHS = st.sampled_from([0.15, 0.4, 0.75, 1.0])
PRIORS = st.sampled_from([0.02, 0.1, 0.3, 0.6])
LEAKS = st.sampled_from([0.01, 0.05, 0.2])
CHANCES = st.sampled_from([0.1, 0.5, 0.9, 1.0])


def facts_of(bodies: list[Body], power_ups: list[int] | None = None) -> tuple[Fact, ...]:
    """Return facts numbered from 1, one for each body, with the power-up each was seen in (0: none)."""
    starts = power_ups or [0] * len(bodies)
    return tuple(
        Fact(number, "2026-01-01T00:00:00Z", Draft(body, key=f"k{number}", power_up=start))
        for number, body, start in zip(count(1), bodies, starts, strict=False)
    )


def line_of(*bodies: Body) -> Timeline:
    """Return the timeline of these bodies, none seen in a named power-up."""
    return timeline(facts_of(list(bodies)))


def yes_no(name: str, base: int, leak: float = 0.05) -> CheckSpec:
    """Return a plain check of one base."""
    return ladder(name, [base], leak, names=["bad"])


def ladder(name: str, bases: list[int], leak: float = 0.05, names: list[str] | None = None) -> CheckSpec:
    """Return a check whose rungs look at the given bases in turn."""
    outcomes = names or [f"b{base}" for base in bases]
    return CheckSpec(
        id=name,
        check=name,
        copy=0,
        ask=name,
        rungs=tuple(RungSpec(base, said, said) for base, said in zip(bases, outcomes, strict=True)),
        all_good="works",
        leak=leak,
        no_verdict=0.0,
        price=Price(1.0),
        power="on",
        open=frozenset(),
        closed=frozenset(),
        masked=frozenset(),
        fitted=frozenset(),
    )


def fix(
    name: str,
    *,
    cures: dict[int, float] | None = None,
    slot: str = "",
    dud: float = 0.0,
    disturbs: dict[int, float] | None = None,
    unexplained: bool = False,
) -> FixSpec:
    """Return a plain fix."""
    return FixSpec(
        id=name,
        fix=name,
        ask=name,
        kind="replace" if slot else "re-seat",
        slot=slot,
        cures=cures or {},
        dud=dud,
        disturbs=disturbs or {},
        price=Price(5.0),
        open=frozenset(),
        unexplained=unexplained,
    )


def machine(
    faults: list[FaultSpec],
    bases: list[BaseSpec],
    checks: list[CheckSpec],
    fixes: list[FixSpec] | None = None,
    clusters: list[Cluster] | None = None,
    complaints: dict[str, tuple[tuple[str, str], ...]] | None = None,
) -> CompiledModel:
    """Return a model with the given faults, looked at and mended as given; faults apart unless clustered."""
    joined = {member for cluster in clusters or [] for member in cluster.members}
    alone = [
        Cluster((number,), (1 - fault.prior, fault.prior))
        for number, fault in enumerate(faults)
        if number not in joined
    ]
    return CompiledModel(
        family="small",
        digest="",
        faults=tuple(faults),
        clusters=(*(clusters or []), *alone),
        bases=tuple(bases),
        checks={check.id: check for check in checks},
        fixes={each.id: each for each in fixes or []},
        openings={},
        gates=(),
        complaints=complaints or {},
        area_titles={"a": "Area"},
        part_titles={},
        slots=tuple(dict.fromkeys(fault.slot for fault in faults if fault.slot)),
        base_index={base.id: number for number, base in enumerate(bases)},
        fault_index={fault.id: number for number, fault in enumerate(faults)},
    )


def fault(
    name: str,
    slot: str,
    prior: float,
    links: dict[int, float],
    shows: float = 0.0,
    signs: frozenset[int] = frozenset(),
) -> FaultSpec:
    """Return a fault named by its slot and mode; by its mode alone when it is of no part.

    An intermittent fault stops functions for sure while it acts; `signs` keep their own strengths.
    """
    made = tuple(
        Link(base, 1.0 if shows and base not in signs else strength) for base, strength in links.items()
    )
    return FaultSpec(f"{slot}.{name}" if slot else name, slot, "a", name, prior, made, shows)


# --- strategies -----------------------------------------------------------------------------------------


@st.composite
def machines(draw: DrawFn, *, intermittents: bool = True, most_faults: int = 5) -> CompiledModel:
    """Draw a machine: parts (one of them sometimes in two copies), functions, faults, checks, fixes."""
    slots = draw(st.sampled_from([["p"], ["p", "q"], ["m.1", "m.2"], ["m.1", "m.2", "q"]]))
    bases = draw(_bases(slots))
    signs = frozenset(number for number, base in enumerate(bases) if base.is_sign)
    faults: list[FaultSpec] = []
    shared: dict[str, tuple[dict[int, float], float, float]] = {}
    number = draw(st.integers(1, most_faults))
    places = draw(st.lists(st.sampled_from(["", *slots]), min_size=number, max_size=number))
    for order, slot in enumerate(places):
        mode = f"f{order}"
        links = draw(st.dictionaries(st.integers(0, len(bases) - 1), STRENGTHS, min_size=1, max_size=2))
        moody = intermittents and draw(st.booleans()) and draw(st.booleans())
        shows = draw(st.sampled_from([0.3, 0.7])) if moody else 0.0
        shared[mode] = (links, draw(PRIORS), shows)
        copies = [slot] if not slot.startswith("m.") else [name for name in slots if name.startswith("m.")]
        faults += [fault(mode, place, shared[mode][1], links, shows, signs) for place in copies]
    faults = faults[:most_faults]
    checks = draw(_checks(len(bases), slots))
    fixes = draw(_fixes(faults, slots))
    complaints = {}
    if draw(st.booleans()):
        told = draw(st.lists(st.sampled_from(checks), min_size=1, max_size=2))
        complaints["c"] = tuple((check.id, check.rungs[0].outcome) for check in told)
    return replace(
        machine(faults, bases, checks, fixes, draw(_clusters(faults)), complaints),
        slots=tuple(slots),
    )


@st.composite
def grid_machines(draw: DrawFn) -> CompiledModel:
    """Draw a machine with a part in two or three copies and a grid with a cell for each.

    The grid tries something shared first (now and then), then each copy's share of one function; other
    checks look at that function as a whole. Faults of other parts may spoil any share.
    """
    copies = [f"m.{number}" for number in range(1, draw(st.integers(2, 3)) + 1)]
    slots = [*copies, "q"]
    plain = [BaseSpec("b0", "", "a"), BaseSpec("b1", "", "a", (0,), of=frozenset(copies))]
    plain.append(BaseSpec("b2", "", "a", is_sign=draw(st.booleans())))
    bases, shares = split_by_copy(tuple(plain), {"b1": "m"}, {"m": tuple(copies)})
    faults = []
    for mode in range(draw(st.integers(1, 2))):
        touched = draw(st.dictionaries(st.integers(0, 2), STRENGTHS, min_size=1, max_size=2))
        shows = draw(st.sampled_from([0.0, 0.0, 0.0, 0.4]))
        prior = draw(PRIORS)
        for slot in copies[: 2 if mode else 3]:
            faults.append(_shared_fault(f"f{mode}", slot, prior, touched, shows, shares))
    for slot in draw(st.sampled_from([["q"], [""], ["q", ""]])):
        touched = draw(st.dictionaries(st.integers(0, 2), STRENGTHS, min_size=1, max_size=1))
        faults.append(_shared_fault("g", slot, draw(PRIORS), touched, 0.0, shares))
    own = [
        RungSpec(base, "one", "one", "b1", str(number), slot, 1)
        for number, (slot, base) in enumerate(shares[1].items(), start=1)
    ]
    before = draw(st.sampled_from([[], [RungSpec(0, "all", "all", "b0")], [RungSpec(2, "b2", "b2")]]))
    grid = replace(ladder("grid", [0], draw(LEAKS)), rungs=(*before, *own))
    if draw(st.booleans()):
        masked = frozenset(draw(st.sets(st.sampled_from(slots), max_size=1)))
        grid = replace(grid, masked=masked, absent=masked if draw(st.booleans()) else frozenset())
    checks = [grid, yes_no("whole", 1, draw(LEAKS)), ladder("long", [0, 1, 2], draw(LEAKS))]
    fixes = draw(_fixes(faults, slots))
    return replace(machine(faults, list(bases), checks, fixes), slots=tuple(slots))


def _shared_fault(
    name: str, slot: str, prior: float, touched: dict[int, float], shows: float, shares: Shares
) -> FaultSpec:
    made = fault(name, slot, prior, {}, shows)
    links = [
        link
        for base, strength in sorted(touched.items())
        for link in links_to(base, 1.0 if shows else strength, slot, shares)
    ]
    return replace(made, links=tuple(links))


@st.composite
def _bases(draw: DrawFn, slots: list[str]) -> list[BaseSpec]:
    bases: list[BaseSpec] = []
    for number in range(draw(st.integers(2, 4))):
        needs = draw(st.sets(st.integers(0, number - 1), max_size=1)) if number else set()
        either = ()
        if number >= 2 and draw(st.booleans()):
            either = tuple(draw(st.permutations(range(number)))[:2])
        of = draw(st.sets(st.sampled_from(slots), max_size=1))
        made = BaseSpec(f"b{number}", "", "a", tuple(sorted(needs)), either, frozenset(of))
        sign = BaseSpec(f"b{number}", "", "a", is_sign=True)
        bases.append(sign if number and draw(st.integers(0, 3)) == 0 else made)
    return bases


@st.composite
def _checks(draw: DrawFn, bases: int, slots: list[str]) -> list[CheckSpec]:
    checks = []
    for number in range(draw(st.integers(2, 4))):
        rungs = draw(st.permutations(range(bases)))[: draw(st.integers(1, 3))]
        names = ["bad"] if len(rungs) == 1 else None
        check = ladder(f"c{number}", list(rungs), draw(LEAKS), names)
        masked = draw(st.sets(st.sampled_from(slots), max_size=2)) if draw(st.booleans()) else set()
        absent = frozenset(slot for slot in sorted(masked) if draw(st.booleans()))
        masked = frozenset(masked)
        starts = draw(st.sampled_from([1.0, 1.0, 1.0, 2.0]))
        checks.append(replace(check, masked=masked, absent=absent, swapped=absent != masked, starts=starts))
    return checks


@st.composite
def _fixes(draw: DrawFn, faults: list[FaultSpec], slots: list[str]) -> list[FixSpec]:
    numbers = st.sampled_from(range(len(faults)))
    fixes = [
        fix(
            "mend",
            cures=draw(st.dictionaries(numbers, CHANCES, min_size=1, max_size=2)),
            disturbs=draw(st.dictionaries(numbers, CHANCES, max_size=1)),
            unexplained=draw(st.booleans()),
        )
    ]
    for slot in slots:
        own = {number: 1.0 for number, each in enumerate(faults) if each.slot == slot}
        other = draw(st.dictionaries(numbers, CHANCES, max_size=1))
        new = fix(
            f"new-{slot}",
            cures={**other, **own},
            slot=slot,
            dud=draw(st.sampled_from([0.0, 0.1, 0.4])),
            disturbs=draw(st.dictionaries(numbers, CHANCES, max_size=1)),
        )
        fixes.append(new)
    return fixes


@st.composite
def _clusters(draw: DrawFn, faults: list[FaultSpec]) -> list[Cluster]:
    size = draw(st.integers(0, min(3, len(faults))))
    if size < 2:
        return []
    members = tuple(draw(st.permutations(range(len(faults))))[:size])
    parts = draw(st.lists(st.integers(0, 5), min_size=2**size, max_size=2**size))
    parts[0] += 1
    return [Cluster(members, tuple(part / sum(parts) for part in parts))]


@st.composite
def stories(draw: DrawFn, model: CompiledModel, *, longest: int = 7) -> tuple[Fact, ...]:
    """Draw what happened to such a machine: findings, fixes, parts moved, and things taken back."""
    bodies: list[Body] = []
    starts: list[int] = []
    for number in range(draw(st.integers(1, longest))):
        kind = draw(st.sampled_from(["finding", "finding", "finding", "fix", "part", "again", "withdraw"]))
        body: Body
        if kind == "again" and bodies:
            body = draw(st.sampled_from(bodies))
        elif kind == "withdraw" and number:
            body = Withdrawn(draw(st.integers(1, number)))
        elif kind == "fix":
            body = draw(_fix_done(model))
        elif kind == "part" and model.slots:
            body = draw(_part_moved(model))
        elif model.complaints and draw(st.integers(0, 4)) == 0:
            body = Complained("words", "c", told=draw(st.booleans()))
        else:
            body = draw(findings(model))
        bodies.append(body)
        starts.append(draw(st.sampled_from([0, 0, 1, 2])))
    return facts_of(bodies, starts)


@st.composite
def findings(draw: DrawFn, model: CompiledModel) -> Finding:
    """Draw any outcome of any check, sure or not, seen or told."""
    check = draw(st.sampled_from(sorted(model.checks)))
    outcomes = [GOOD, NO_VERDICT, *(rung.outcome for rung in model.checks[check].rungs)]
    sure, told = draw(st.sampled_from([(True, False), (True, False), (False, False), (True, True)]))
    outcome = draw(st.sampled_from(outcomes))
    cells = [rung.cell for rung in model.checks[check].rungs if rung.cell and rung.outcome == outcome]
    marked = tuple(sorted(draw(st.sets(st.sampled_from(cells))))) if cells else ()
    return Finding(check, outcome, sure, told, cells=marked)


@st.composite
def _fix_done(draw: DrawFn, model: CompiledModel) -> FixDone:
    name = draw(st.sampled_from(sorted(model.fixes)))
    slot = model.fixes[name].slot
    instance = draw(st.sampled_from(["", f"{slot}/2", "spare"])) if slot else ""
    return FixDone(name, slot, instance)


@st.composite
def _part_moved(draw: DrawFn, model: CompiledModel) -> PartOut | PartIn:
    slot = draw(st.sampled_from(model.slots))
    if draw(st.booleans()):
        return PartOut(slot, draw(st.sampled_from(["", slot])))
    alike = [name for name in model.slots if name.split(".")[0] == slot.split(".")[0]]
    instance = draw(st.sampled_from([*alike, f"{slot}/2"]))
    return PartIn(instance, slot, draw(st.sampled_from(["known-good", "unknown", "bad"])))


def chance_that_none(strengths: list[float]) -> float:
    """Return the chance that none of several independent things happens."""
    return prod(1 - strength for strength in strengths)

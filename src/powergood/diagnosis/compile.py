"""From knowledge to numbers: the one door through which the diagnosis sees what packs say.

Here weights become chances that sum to the family's expected number of faults, copies of parts are
unrolled, take-in answers and age multiply odds, and each area gets its *something else here*.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from math import prod

from powergood.diagnosis.by_copy import Shares, links_to, split_by_copy
from powergood.diagnosis.clusters import Making, clusters
from powergood.diagnosis.compiled import (
    SOMETHING_ELSE,
    BaseSpec,
    CheckSpec,
    CompiledModel,
    FaultSpec,
    FixSpec,
    GateSpec,
    OpeningSpec,
    Price,
    RungSpec,
)
from powergood.diagnosis.priors import priors, with_odds_times
from powergood.diagnosis.shut import to_shut
from powergood.diagnosis.taught import NEW_PART_DUD, Taught
from powergood.estimate import Learned, Start, number_id
from powergood.ids import part_of, slot_name
from powergood.knowledge.model import Area, Check, Claim, Fault, Fix, MachineModel, Opening
from powergood.knowledge.stops import outcome_named, stops, words_when_good

SOMETHING_ELSE_LINK = 0.8
"""Judgement: chance that an unlisted trouble of an area stops any one of that area's functions."""

EXPECTED_FAULTS = 1.5
"""Judgement: faults in a machine as it comes, where the family does not say; documented repairs give 0.8 at
least, practitioners say two to four."""


def compile_model(
    machine: MachineModel,
    *,
    year: int = 0,
    intake: Mapping[str, bool] | None = None,
    learned: Learned | None = None,
    who: str = "",
) -> CompiledModel:
    """Return the numbers for `machine`, made in `year` (0: unknown), with its take-in questions answered.

    `learned` are the numbers that closed jobs moved, minutes at the pace of the person `who`; without them
    the pack's own stand.

    Raises
    ------
    KeyError : an id that nothing defines; packs are checked before they come here.
    """
    slots = {
        part.id: tuple(slot_name(part.id, copy, part.copies) for copy in range(1, part.copies + 1))
        for part in machine.parts
    }
    named = _bases(machine, slots)
    bases, shares = split_by_copy(named, _splits(machine), slots)
    base_index = {base.id: index for index, base in enumerate(bases)}
    taught = Taught(learned or Learned(), machine.family or machine.id, who)
    own = _pack_chances(machine)
    chances = _priors(machine, year, intake or {}, {name: taught.fault(name, own[name]) for name in own})
    areas = {part.id: part.area for part in machine.parts}
    faults: list[FaultSpec] = []
    for fault in machine.faults:
        for slot in slots[part_of(fault.id)]:
            chance = chances[fault.id] / len(slots[part_of(fault.id)])
            faults.append(_fault(fault, slot, areas[part_of(fault.id)], chance, base_index, shares))
    faults.extend(_something_else(machine, named, shares))
    fault_index = {fault.id: index for index, fault in enumerate(faults)}
    named_check = {check.id: check for check in machine.checks}
    openings = {opening.id: _opening(opening, machine.openings, taught) for opening in machine.openings}
    deadly = frozenset(caution.id for caution in machine.cautions if caution.deadly)
    shut = {
        check.id: frozenset() if check.power == "off" else to_shut(check.open, openings, deadly)
        for check in machine.checks
    }
    return CompiledModel(
        family=machine.family or machine.id,
        digest=machine.digest,
        faults=tuple(faults),
        clusters=clusters([fault.prior for fault in faults], _makes(machine, fault_index, slots)),
        bases=bases,
        checks={
            spec.id: spec
            for check in machine.checks
            for spec in _checks(check, shut[check.id], slots, base_index, shares, taught)
        },
        fixes={spec.id: spec for spec in _every_fix(machine, slots, faults, fault_index, taught)},
        openings=openings,
        gates=tuple(
            GateSpec(gate.id, gate.title, gate.ask, gate.because, gate.holds, gate.cautions)
            for gate in machine.gates
        ),
        complaints={
            complaint.id: tuple(
                (told.check, outcome_named(named_check[told.check], told.outcome))
                for told in complaint.findings
            )
            for complaint in machine.complaints
        },
        area_titles={area.id: area.title for area in machine.areas},
        part_titles=_part_titles(machine, slots),
        slots=tuple(slot for part in machine.parts for slot in slots[part.id]),
        base_index=base_index,
        fault_index=fault_index,
        starts=_starts(machine, own),
        duds=taught.duds(),
    )


Slots = Mapping[str, tuple[str, ...]]


def _value(claim: Claim | None, default: float = 0.0) -> float:
    return default if claim is None else claim.value


def _part_titles(machine: MachineModel, slots: Slots) -> dict[str, str]:
    titles: dict[str, str] = {}
    for part in machine.parts:
        for number, slot in enumerate(slots[part.id], start=1):
            titles[slot] = part.title if part.copies == 1 else f"{part.title} {number}"
    return titles


def _bases(machine: MachineModel, slots: Slots) -> tuple[BaseSpec, ...]:
    names = [function.id for function in machine.functions] + [sign.id for sign in machine.signs]
    index = {name: number for number, name in enumerate(names)}
    functions = [
        BaseSpec(
            id=function.id,
            title=function.title,
            area=function.area,
            needs=tuple(index[need] for need in function.needs),
            either=tuple(index[choice] for choice in function.either),
            of=frozenset(slot for part in function.of for slot in slots[part]),
            wanted=function.wanted,
        )
        for function in machine.functions
    ]
    signs = [BaseSpec(id=sign.id, title=sign.title, area=sign.area, is_sign=True) for sign in machine.signs]
    return (*functions, *signs)


def _pack_chances(machine: MachineModel) -> dict[str, float]:
    """Return each fault's chance by the pack: weights scaled to the expected number of faults."""
    stated = {fault.id: fault.chance.value for fault in machine.faults if fault.chance}
    weights = {
        fault.id: fault.frequency.value for fault in machine.faults if not fault.chance and fault.frequency
    }
    return priors(weights, stated, _value(machine.expected_faults, EXPECTED_FAULTS))


def _priors(
    machine: MachineModel, year: int, intake: Mapping[str, bool], before: Mapping[str, float]
) -> dict[str, float]:
    """Return each fault's chance: `before` with its odds multiplied by age and take-in answers."""
    areas = {part.id: part.area for part in machine.parts}
    chances = dict(before)
    for fault in machine.faults:
        part = part_of(fault.id)
        names = {fault.id, part, areas[part]}
        for fact in machine.intake:
            if _applies(fact.from_year, fact.to_year, year) or intake.get(fact.id, False):
                factor = prod(claim.value for key, claim in fact.multiplies.items() if key in names)
                chances[fault.id] = with_odds_times(chances[fault.id], factor)
    return chances


def _starts(machine: MachineModel, chances: Mapping[str, float]) -> dict[str, Start]:
    """Return the numbers that jobs can move, as the pack has them, with their weights in pseudo-cases."""
    family = machine.family or machine.id
    found = {}
    for fault in machine.faults:
        claim = fault.chance or fault.frequency
        if claim:
            start = Start(chances[fault.id], claim.weight or machine.weight, claim.source)
            found[number_id("fault", family, fault.id)] = start
    for check in machine.checks:
        alarm = check.false_alarm
        start = Start(alarm.value, alarm.weight or machine.weight, alarm.source)
        found[number_id("false-alarm", family, check.id)] = start
    return found


def _applies(from_year: int, to_year: int, year: int) -> bool:
    return bool((from_year or to_year) and year and from_year <= year <= (to_year or year))


def _fault(
    fault: Fault, slot: str, area: str, prior: float, bases: Mapping[str, int], shares: Shares
) -> FaultSpec:
    links = [*fault.breaks.items(), *fault.signs.items()]
    return FaultSpec(
        id=f"{slot}.{fault.id.split('.', 1)[1]}",
        slot=slot,
        area=area,
        title=fault.title,
        prior=prior,
        links=tuple(
            link for name, claim in links for link in links_to(bases[name], claim.value, slot, shares)
        ),
        shows=_value(fault.shows),
    )


def _copies(fault: str, slots: Slots) -> tuple[str, ...]:
    mode = fault.split(".", 1)[1]
    return tuple(f"{slot}.{mode}" for slot in slots[part_of(fault)])


def _something_else(machine: MachineModel, bases: tuple[BaseSpec, ...], shares: Shares) -> list[FaultSpec]:
    found = []
    for area in machine.areas:
        links = tuple(
            link
            for index, base in enumerate(bases)
            if base.area == area.id and not base.is_sign
            for link in links_to(index, SOMETHING_ELSE_LINK, "", shares)
        )
        found.append(
            FaultSpec(
                id=f"{SOMETHING_ELSE}.{area.id}",
                slot="",
                area=area.id,
                title=f"Something else here: {area.title}",
                prior=area.something_else.value,
                links=links,
                listed=False,
            )
        )
    return found


def _makes(machine: MachineModel, index: Mapping[str, int], slots: Slots) -> Iterator[Making]:
    """Yield which fault makes which, each copy every copy."""
    for fault in machine.faults:
        for other, claim in fault.makes.items():
            for here in _copies(fault.id, slots):
                for there in _copies(other, slots):
                    yield index[here], index[there], claim.value


def _price(step: Check | Fix, pace: float) -> Price:
    return Price(step.minutes.value * pace, _value(step.elapsed), _value(step.money), _value(step.harm))


def _splits(machine: MachineModel) -> dict[str, str]:
    """Return the functions and signs that each copy of a part answers for alone, with that part."""
    copies = {part.id: part.copies for part in machine.parts}
    return {
        extent.of: check.grid.copies_of
        for check in machine.checks
        if check.grid and copies.get(check.grid.copies_of, 0) > 1
        for extent in check.grid.extents
        if extent.extent == "one"
    }


def _rungs(check: Check, bases: Mapping[str, int], shares: Shares) -> Iterator[RungSpec]:
    """Yield the rungs of a check; of a grid of copies one for each copy, after those all copies share."""
    for stop in stops(check):
        base = bases[stop.of]
        if check.grid and check.grid.copies_of and stop.outcome == "one" and base in shares:
            for number, (slot, own) in enumerate(shares[base].items(), start=1):
                yield RungSpec(own, stop.outcome, stop.seen, stop.of, str(number), slot, base)
        else:
            yield RungSpec(base, stop.outcome, stop.seen, stop.of)


def _checks(
    check: Check,
    shut: frozenset[str],
    slots: Slots,
    bases: Mapping[str, int],
    shares: Shares,
    taught: Taught,
) -> list[CheckSpec]:
    rungs = tuple(_rungs(check, bases, shares))
    absent = {slot for part in check.out for slot in slots[part]}
    instead = {slot for part in check.instead for slot in slots[part]}
    copies = slots[check.each_copy_of] if check.each_copy_of else ()
    alarm = taught.alarm(check.id, check.false_alarm.value)
    made = []
    for number in range(1, len(copies) + 1) if copies else [0]:
        others = {slot for place, slot in enumerate(copies, start=1) if place != number} if number else set()
        made.append(
            CheckSpec(
                id=f"{check.id}#{number}" if number else check.id,
                check=check.id,
                copy=number,
                ask=check.ask if len(copies) < 2 else f"{check.ask} (number {number})",
                rungs=rungs,
                all_good=words_when_good(check),
                leak=1.0 - (1.0 - alarm) ** (1.0 / len(rungs)),
                no_verdict=_value(check.no_verdict),
                price=_price(check, taught.pace("looking")),
                power=check.power,
                open=frozenset(check.open),
                closed=frozenset(check.closed) | shut,
                masked=frozenset(absent | instead | others),
                absent=frozenset(absent | others),
                fitted=frozenset(slot for part in check.fitted for slot in slots[part]),
                swapped=bool(check.instead),
                on_pad=check.on_pad,
                starts=check.starts.value if check.starts else 1.0,
                cautions=check.cautions,
                tools=check.tools,
                wrong_when=check.wrong_when,
                tells=check.tells,
            )
        )
    return made


def _fixes(
    fix: Fix, slots: Slots, faults: list[FaultSpec], index: Mapping[str, int], taught: Taught
) -> Iterator[FixSpec]:
    """Yield a fix, for a replacement one of each copy of its part."""
    cures = {index[copy]: claim.value for fault, claim in fix.cures.items() for copy in _copies(fault, slots)}
    disturbs = {  # judgement: of several copies the first is taken for the one that was disturbed
        index[copy]: claim.value
        for fault, claim in fix.disturbs.items()
        for copy in _copies(fault, slots)[:1]
    }
    targets = slots[fix.replaces] if fix.replaces else ("",)
    for number, slot in enumerate(targets, start=1):
        whole = {at: 1.0 for at, fault in enumerate(faults) if slot and fault.slot == slot}
        yield FixSpec(
            id=fix.id if len(targets) == 1 else f"{fix.id}#{number}",
            fix=fix.id,
            ask=fix.do if len(targets) == 1 else f"{fix.do} (number {number})",
            kind=fix.kind,
            slot=slot,
            cures={**cures, **whole},
            dud=taught.dud(_value(fix.dud, NEW_PART_DUD)) if slot else 0.0,
            disturbs=disturbs,
            price=_price(fix, taught.pace("mending")),
            open=frozenset(fix.open),
            unexplained=fix.unexplained,
            consent=fix.consent,
            cautions=fix.cautions,
            tools=fix.tools,
            wrong_when=fix.wrong_when,
            note=fix.note,
        )


def _every_fix(
    machine: MachineModel,
    slots: Slots,
    faults: list[FaultSpec],
    index: Mapping[str, int],
    taught: Taught,
) -> Iterator[FixSpec]:
    for fix in machine.fixes:
        yield from _fixes(fix, slots, faults, index, taught)
    for area in machine.areas:
        yield _area_fix(area, faults, taught)


def _area_fix(area: Area, faults: list[FaultSpec], taught: Taught) -> FixSpec:
    """Return the fix of an area's *something else*: the area's parts replaced whole."""
    name = f"replace-{area.id}"
    return FixSpec(
        id=name,
        fix=name,
        ask=area.replace,
        kind="replace",
        slot="",
        cures={at: 1.0 for at, fault in enumerate(faults) if fault.area == area.id},
        dud=0.0,
        disturbs={},
        price=Price(area.minutes.value * taught.pace("mending"), 0.0, area.money.value),
        open=frozenset(area.open),
        consent=True,
    )


def _opening(opening: Opening, openings: Iterable[Opening], taught: Taught) -> OpeningSpec:
    behind = {each.id: each.behind for each in openings}
    found: set[str] = set()
    waiting = list(opening.behind)
    while waiting:
        name = waiting.pop()
        if name not in found:
            found.add(name)
            waiting.extend(behind[name])
    return OpeningSpec(
        id=opening.id,
        title=opening.title,
        minutes=opening.minutes.value * taught.pace("opening"),
        refit=opening.refit.value * taught.pace("opening"),
        harm=_value(opening.harm),
        behind=frozenset(found),
        cautions=opening.cautions,
    )

"""Checks, fixes and openings in numbers, at the pace of whoever does them."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence

from powergood.diagnosis.by_copy import Shares
from powergood.diagnosis.compile.slots import Slots, copies_of, value
from powergood.diagnosis.compiled import CheckSpec, FaultSpec, FixSpec, OpeningSpec, Price, RungSpec
from powergood.diagnosis.taught import NEW_PART_DUD, Taught
from powergood.knowledge.model import Area, Check, Fix, MachineModel, Opening
from powergood.knowledge.stops import stops, words_when_good


def checks_of(
    check: Check,
    shut: frozenset[str],
    slots: Slots,
    bases: Mapping[str, int],
    shares: Shares,
    taught: Taught,
) -> list[CheckSpec]:
    """Return a check, of one that is made of each copy of a part one for each copy."""
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
                no_verdict=value(check.no_verdict),
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


def _rungs(check: Check, bases: Mapping[str, int], shares: Shares) -> Iterator[RungSpec]:
    """Yield the rungs of a check; of a grid of copies one for each copy, after those all copies share."""
    for stop in stops(check):
        base = bases[stop.of]
        if check.grid and check.grid.copies_of and stop.outcome == "one" and base in shares:
            for number, (slot, own) in enumerate(shares[base].items(), start=1):
                yield RungSpec(own, stop.outcome, stop.seen, stop.of, str(number), slot, base)
        else:
            yield RungSpec(base, stop.outcome, stop.seen, stop.of)


def every_fix(
    machine: MachineModel,
    slots: Slots,
    faults: Sequence[FaultSpec],
    index: Mapping[str, int],
    taught: Taught,
) -> Iterator[FixSpec]:
    """Return every fix, and of each area the replacement of its parts whole."""
    for fix in machine.fixes:
        yield from _fixes(fix, slots, faults, index, taught)
    for area in machine.areas:
        yield _area_fix(area, faults, taught)


def _fixes(
    fix: Fix, slots: Slots, faults: Sequence[FaultSpec], index: Mapping[str, int], taught: Taught
) -> Iterator[FixSpec]:
    """Yield a fix, for a replacement one of each copy of its part."""
    cures = {
        index[copy]: claim.value for fault, claim in fix.cures.items() for copy in copies_of(fault, slots)
    }
    disturbs = {  # judgement: of several copies the first is taken for the one that was disturbed
        index[copy]: claim.value
        for fault, claim in fix.disturbs.items()
        for copy in copies_of(fault, slots)[:1]
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
            dud=taught.dud(value(fix.dud, NEW_PART_DUD)) if slot else 0.0,
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


def _area_fix(area: Area, faults: Sequence[FaultSpec], taught: Taught) -> FixSpec:
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


def _price(step: Check | Fix, pace: float) -> Price:
    return Price(step.minutes.value * pace, value(step.elapsed), value(step.money), value(step.harm))


def opening_of(opening: Opening, openings: Iterable[Opening], taught: Taught) -> OpeningSpec:
    """Return an opening with all that lies before it, the openings behind which it is."""
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
        harm=value(opening.harm),
        behind=frozenset(found),
        cautions=opening.cautions,
    )

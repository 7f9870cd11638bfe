"""From knowledge to numbers: the one door through which the diagnosis sees what packs say.

Here weights become chances that sum to the family's expected number of faults, copies of parts are
unrolled, take-in answers and age multiply odds, and each area gets its *something else here*.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from itertools import product
from math import prod

from powergood.diagnosis.compiled import (
    SOMETHING_ELSE,
    BaseSpec,
    CheckSpec,
    Cluster,
    CompiledModel,
    FaultSpec,
    FixSpec,
    GateSpec,
    Link,
    OpeningSpec,
    Price,
    RungSpec,
)
from powergood.ids import part_of, slot_name
from powergood.knowledge.model import Check, Claim, Fault, Fix, MachineModel, Opening

SOMETHING_ELSE_LINK = 0.8
"""Judgement: chance that an unlisted trouble of an area stops any one of that area's functions."""

GREATEST_PRIOR = 0.5
"""Judgement: no fault is taken as likelier than not before anything is known of the machine."""

LEAST_SHARE = 0.25
"""Judgement: what weights share of the expected number of faults, even where stated chances use it up."""

NEW_PART_DUD = 0.05
"""Judgement: chance that a new or spare part is itself faulty, where the fix does not say."""


def compile_model(
    machine: MachineModel, *, year: int = 0, intake: Mapping[str, bool] | None = None
) -> CompiledModel:
    """Return the numbers for `machine`, made in `year` (0: unknown), with its take-in questions answered.

    Raises
    ------
    KeyError : an id that nothing defines; packs are checked before they come here.
    """
    slots = {
        part.id: tuple(slot_name(part.id, copy, part.copies) for copy in range(1, part.copies + 1))
        for part in machine.parts
    }
    bases = _bases(machine, slots)
    base_index = {base.id: index for index, base in enumerate(bases)}
    priors = _priors(machine, year, intake or {})
    areas = {part.id: part.area for part in machine.parts}
    faults: list[FaultSpec] = []
    for fault in machine.faults:
        for slot in slots[part_of(fault.id)]:
            chance = priors[fault.id] / len(slots[part_of(fault.id)])
            faults.append(_fault(fault, slot, areas[part_of(fault.id)], chance, base_index))
    faults.extend(_something_else(machine, bases))
    fault_index = {fault.id: index for index, fault in enumerate(faults)}
    copies = {fault.id: _copies(fault.id, slots) for fault in machine.faults}
    return CompiledModel(
        family=machine.family or machine.id,
        digest=machine.digest,
        faults=tuple(faults),
        clusters=_clusters(machine, faults, fault_index, slots),
        bases=bases,
        checks={spec.id: spec for check in machine.checks for spec in _checks(check, slots, base_index)},
        fixes=_fixes(machine, slots, faults, fault_index, copies),
        openings={opening.id: _opening(opening, machine.openings) for opening in machine.openings},
        gates=tuple(
            GateSpec(gate.id, gate.title, gate.ask, gate.because, gate.holds, gate.cautions)
            for gate in machine.gates
        ),
        complaints={
            complaint.id: tuple((told.check, told.outcome) for told in complaint.findings)
            for complaint in machine.complaints
        },
        area_titles={area.id: area.title for area in machine.areas},
        part_titles=_part_titles(machine, slots),
        slots=tuple(slot for part in machine.parts for slot in slots[part.id]),
        base_index=base_index,
        fault_index=fault_index,
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


def _priors(machine: MachineModel, year: int, intake: Mapping[str, bool]) -> dict[str, float]:
    """Return each fault's chance: weights scaled to the expected number, then odds multiplied."""
    stated = {fault.id: fault.chance.value for fault in machine.faults if fault.chance}
    weights = {
        fault.id: fault.frequency.value for fault in machine.faults if not fault.chance and fault.frequency
    }
    whole = _value(machine.expected_faults, 1.5)
    scaled = _scaled(weights, max(whole - sum(stated.values()), LEAST_SHARE * whole))
    areas = {part.id: part.area for part in machine.parts}
    chances = {**stated, **scaled}
    for fault in machine.faults:
        odds = chances[fault.id] / (1 - chances[fault.id])
        for fact in machine.intake:
            if _applies(fact.from_year, fact.to_year, year) or intake.get(fact.id, False):
                part = part_of(fault.id)
                names = {fault.id, part, areas[part]}
                odds *= prod(claim.value for key, claim in fact.multiplies.items() if key in names)
        chances[fault.id] = odds / (1 + odds)
    return chances


def _applies(from_year: int, to_year: int, year: int) -> bool:
    return bool((from_year or to_year) and year and from_year <= year <= (to_year or year))


def _scaled(weights: Mapping[str, float], expected: float) -> dict[str, float]:
    """Return chances in proportion to `weights` that sum to `expected`, none above the greatest prior.

    What a capped fault cannot take is shared among the others, as often as needed.
    """
    chances = dict.fromkeys(weights, 0.0)
    free, left = dict(weights), min(expected, GREATEST_PRIOR * len(weights))
    while free and left > 0:
        scale = left / sum(free.values())
        capped = [name for name, weight in free.items() if weight * scale >= GREATEST_PRIOR]
        if not capped:
            chances.update({name: weight * scale for name, weight in free.items()})
            break
        for name in capped:
            chances[name] = GREATEST_PRIOR
            left -= GREATEST_PRIOR
            del free[name]
    return chances


def _fault(fault: Fault, slot: str, area: str, prior: float, bases: Mapping[str, int]) -> FaultSpec:
    links = [*fault.breaks.items(), *fault.signs.items()]
    return FaultSpec(
        id=f"{slot}.{fault.id.split('.', 1)[1]}",
        slot=slot,
        area=area,
        title=fault.title,
        prior=prior,
        links=tuple(Link(bases[name], claim.value) for name, claim in links),
        shows=_value(fault.shows),
    )


def _copies(fault: str, slots: Slots) -> tuple[str, ...]:
    mode = fault.split(".", 1)[1]
    return tuple(f"{slot}.{mode}" for slot in slots[part_of(fault)])


def _something_else(machine: MachineModel, bases: tuple[BaseSpec, ...]) -> list[FaultSpec]:
    found = []
    for area in machine.areas:
        links = tuple(
            Link(index, SOMETHING_ELSE_LINK)
            for index, base in enumerate(bases)
            if base.area == area.id and not base.is_sign
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


def _clusters(
    machine: MachineModel, faults: list[FaultSpec], index: Mapping[str, int], slots: Slots
) -> tuple[Cluster, ...]:
    """Return the joint clusters made by `makes`, and one of its own for every other fault."""
    makes: list[tuple[int, int, float]] = []
    for fault in machine.faults:
        for other, claim in fault.makes.items():
            for here in _copies(fault.id, slots):
                makes += [(index[here], index[there], claim.value) for there in _copies(other, slots)]
    group = list(range(len(faults)))

    def leader(member: int) -> int:
        while group[member] != member:
            member = group[member]
        return member

    for cause, effect, _ in makes:
        group[leader(effect)] = leader(cause)
    members: dict[int, list[int]] = {}
    for number in range(len(faults)):
        members.setdefault(leader(number), []).append(number)
    return tuple(_cluster(tuple(found), faults, makes) for found in members.values())


def _cluster(
    members: tuple[int, ...], faults: list[FaultSpec], makes: Iterable[tuple[int, int, float]]
) -> Cluster:
    """Return the joint of members, each present of itself or made by another that is present.

    The making graph is acyclic, so the chance of a set is the product over its members, each given the
    others: 1 − (1 − prior)·Π(1 − chance of each present maker).
    """
    makers: dict[int, list[tuple[int, float]]] = {member: [] for member in members}
    for cause, effect, chance in makes:
        if effect in makers:
            makers[effect].append((cause, chance))
    joint = []
    for bits in product((False, True), repeat=len(members)):
        present = dict(zip(reversed(members), bits, strict=True))
        weight = 1.0
        for member in members:
            absent = (1 - faults[member].prior) * prod(1 - c for maker, c in makers[member] if present[maker])
            weight *= 1 - absent if present[member] else absent
        joint.append(weight)
    return Cluster(members, tuple(joint))


def _price(step: Check | Fix) -> Price:
    return Price(step.minutes.value, _value(step.elapsed), _value(step.money), _value(step.harm))


def _checks(check: Check, slots: Slots, bases: Mapping[str, int]) -> list[CheckSpec]:
    if check.rungs:
        rungs = tuple(RungSpec(bases[rung.of], rung.of, rung.seen) for rung in check.rungs)
        all_good = check.all_good or check.good
    else:
        rungs = (RungSpec(bases[check.of], "bad", check.bad),)
        all_good = check.good
    absent = {slot for part in check.out for slot in slots[part]}
    instead = {slot for part in check.instead for slot in slots[part]}
    copies = slots[check.each_copy_of] if check.each_copy_of else ()
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
                all_good=all_good,
                leak=1.0 - (1.0 - check.false_alarm.value) ** (1.0 / len(rungs)),
                no_verdict=_value(check.no_verdict),
                price=_price(check),
                power=check.power,
                open=frozenset(check.open),
                closed=frozenset(check.closed),
                masked=frozenset(absent | instead | others),
                absent=frozenset(absent | others),
                fitted=frozenset(slot for part in check.fitted for slot in slots[part]),
                swapped=bool(check.instead),
                on_pad=check.on_pad,
                cautions=check.cautions,
                tools=check.tools,
                wrong_when=check.wrong_when,
                tells=check.tells,
            )
        )
    return made


def _fixes(
    machine: MachineModel,
    slots: Slots,
    faults: list[FaultSpec],
    index: Mapping[str, int],
    copies: Mapping[str, tuple[str, ...]],
) -> dict[str, FixSpec]:
    made: dict[str, FixSpec] = {}
    for fix in machine.fixes:
        cures = {index[copy]: claim.value for fault, claim in fix.cures.items() for copy in copies[fault]}
        disturbs = {
            index[copy]: claim.value for fault, claim in fix.disturbs.items() for copy in copies[fault][:1]
        }
        targets = slots[fix.replaces] if fix.replaces else ("",)
        for number, slot in enumerate(targets, start=1):
            whole = {at: 1.0 for at, fault in enumerate(faults) if slot and fault.slot == slot}
            name = fix.id if len(targets) == 1 else f"{fix.id}#{number}"
            made[name] = FixSpec(
                id=name,
                fix=fix.id,
                ask=fix.do if len(targets) == 1 else f"{fix.do} (number {number})",
                kind=fix.kind,
                slot=slot,
                cures={**cures, **whole},
                dud=_value(fix.dud, NEW_PART_DUD) if slot else 0.0,
                disturbs=disturbs,
                price=_price(fix),
                open=frozenset(fix.open),
                unexplained=fix.unexplained,
                consent=fix.consent,
                cautions=fix.cautions,
                tools=fix.tools,
                wrong_when=fix.wrong_when,
                note=fix.note,
            )
    for area in machine.areas:
        name = f"replace-{area.id}"
        made[name] = FixSpec(
            id=name,
            fix=name,
            ask=area.replace,
            kind="replace",
            slot="",
            cures={at: 1.0 for at, fault in enumerate(faults) if fault.area == area.id},
            dud=0.0,
            disturbs={},
            price=Price(area.minutes.value, 0.0, area.money.value),
            open=frozenset(area.open),
            consent=True,
        )
    return made


def _opening(opening: Opening, openings: Iterable[Opening]) -> OpeningSpec:
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
        minutes=opening.minutes.value,
        refit=opening.refit.value,
        harm=_value(opening.harm),
        behind=frozenset(found),
        cautions=opening.cautions,
    )

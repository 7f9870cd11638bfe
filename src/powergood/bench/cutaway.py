"""The section drawing: openings as layers, parts as tiles with their standing, the way to the next step."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence

from powergood.bench.cutaway_views import Cutaway, CutawayLayer, CutawayPart, PartStanding
from powergood.bench.openings import still_closed
from powergood.bench.step_views import Leaning
from powergood.bench.wording import Wording, split_step
from powergood.diagnosis import Advice, FaultChance, Step
from powergood.knowledge.model import Function, MachineModel, Opening
from powergood.knowledge.stops import stops
from powergood.record.timeline import Bench

SUSPECT_FROM = 0.08
"""Judgement: a part is called suspect when something is wrong with it with at least this chance."""
RESTS_FROM = 0.5
"""Judgement: a function rests on a part when a fault of it stops the function with at least this chance."""
MOST_FAULTS = 3


def cutaway(model: MachineModel, words: Wording, bench: Bench, advice: Advice | None) -> Cutaway:
    """Return the drawing of the machine as it lies, with what the advice says of each part."""
    step = advice.steps[0] if advice and advice.steps else None
    goal = goal_slots(model, words, step)
    route = still_closed(words.openings, step.opens, bench.opened) if step else ()
    tiles = _tiles(model, words, bench, advice, goal)
    outside = CutawayLayer("", "Outside", 0, True, parts=tiles.get("", ()))
    layers = [_layer(opening, words, bench, route, tiles) for opening in _by_depth(model.openings)]
    depth = sum(layer.open for layer in layers)
    return Cutaway((outside, *layers), route, goal, depth, _depth_words(depth, route, words, step))


def _by_depth(openings: Iterable[Opening]) -> list[Opening]:
    return sorted(openings, key=lambda opening: opening.layer)


def _layer(
    opening: Opening,
    words: Wording,
    bench: Bench,
    route: Sequence[str],
    tiles: Mapping[str, tuple[CutawayPart, ...]],
) -> CutawayLayer:
    return CutawayLayer(
        opening=opening.id,
        title=opening.title,
        layer=opening.layer + 1,
        open=opening.id in bench.opened,
        behind=tuple(words.opening(name) for name in opening.behind),
        minutes=opening.minutes.value,
        fasteners=opening.fasteners,
        on_route=opening.id in route,
        parts=tiles.get(opening.id, ()),
    )


def _tiles(
    model: MachineModel, words: Wording, bench: Bench, advice: Advice | None, goal: Sequence[str]
) -> dict[str, tuple[CutawayPart, ...]]:
    standing = part_standings(model, words, bench, advice)
    found: dict[str, tuple[CutawayPart, ...]] = {}
    for slot, part in words.homes.items():
        instance = bench.fitted(slot)
        if part.optional and part.copies == 0:
            continue
        name, strength = standing[slot]
        tile = CutawayPart(
            slot=slot,
            title=words.part(slot),
            standing=name,
            strength=strength,
            fitted=bool(instance),
            instance=instance,
            goal=slot in goal,
            faults=_faults_of(instance, advice, words),
        )
        found[part.opening] = (*found.get(part.opening, ()), tile)
    return found


def part_standings(
    model: MachineModel, words: Wording, bench: Bench, advice: Advice | None
) -> dict[str, tuple[PartStanding, float]]:
    """Return each slot's standing, and for a suspect its strength."""
    if advice is None:
        return dict.fromkeys(words.homes, ("unknown", 0.0))
    proven = _proven_parts(model, advice)
    found: dict[str, tuple[PartStanding, float]] = {}
    for slot, part in words.homes.items():
        instance = bench.fitted(slot)
        strength = max((fault.chance for fault in _of_instance(instance, advice)), default=0.0)
        if not instance:
            found[slot] = ("unknown", 0.0)
        elif part.id in proven and strength < SUSPECT_FROM:
            found[slot] = ("proven", 0.0)
        elif instance in advice.cleared or slot in advice.cleared:
            found[slot] = ("cleared", 0.0)
        elif strength >= SUSPECT_FROM:
            found[slot] = ("suspect", strength)
        else:
            found[slot] = ("unknown", 0.0)
    return found


def _of_instance(instance: str, advice: Advice) -> tuple[FaultChance, ...]:
    return tuple(fault for fault in advice.faults if instance and fault.part == instance)


def _faults_of(instance: str, advice: Advice | None, words: Wording) -> tuple[Leaning, ...]:
    if advice is None:
        return ()
    ranked = sorted(_of_instance(instance, advice), key=lambda fault: -fault.chance)[:MOST_FAULTS]
    return tuple(Leaning(each.fault, each.title or words.fault(each.fault), each.chance) for each in ranked)


def _proven_parts(model: MachineModel, advice: Advice) -> frozenset[str]:
    """Return the parts that some proven function rests on, and no wanted function that is not proven."""
    proven = {state.function for state in advice.functions if state.standing == "proven"}
    others = {state.function for state in advice.functions} - proven
    return parts_behind(model, proven) - parts_behind(model, others)


def parts_behind(model: MachineModel, functions: Iterable[str]) -> frozenset[str]:
    """Return the parts that functions rest on, by what they need and by the faults that stop them."""
    by_id: dict[str, Function] = {each.id: each for each in model.functions}
    reached: set[str] = set()
    waiting = list(functions)
    while waiting:
        name = waiting.pop()
        if name in by_id and name not in reached:
            reached.add(name)
            waiting += [*by_id[name].needs, *by_id[name].either]
    named = {part for name in reached for part in by_id[name].of}
    failing = {
        fault.id.split(".", 1)[0]
        for fault in model.faults
        if any(name in reached and claim.value >= RESTS_FROM for name, claim in fault.breaks.items())
    }
    return frozenset(named | failing)


def goal_slots(model: MachineModel, words: Wording, step: Step | None) -> tuple[str, ...]:
    """Return the slots a step is about: what it replaces or mends, else what it takes out or looks at."""
    if step is None:
        return ()
    base, copy = split_step(step.step)
    parts: set[str] = set()
    if base in words.fixes:
        fix = words.fixes[base]
        parts = {fix.replaces} if fix.replaces else {fault.split(".", 1)[0] for fault in fix.cures}
    elif base in words.checks:
        check = words.checks[base]
        parts = {*check.out, *check.instead, check.each_copy_of} - {""}
        if not parts and check.open:
            deepest = max(check.open, key=lambda name: words.openings[name].layer)
            looked_at = {stop.of for stop in stops(check)}
            parts = {
                fault.id.split(".", 1)[0]
                for fault in model.faults
                if looked_at & {*fault.breaks, *fault.signs}
            }
            parts = {part.id for part in words.homes.values() if part.id in parts and part.opening == deepest}
    slots = [slot for slot, part in words.homes.items() if part.id in parts]
    return tuple(slot for slot in slots if not copy or slot.endswith(f".{copy}") or "." not in slot)


def _depth_words(depth: int, route: Sequence[str], words: Wording, step: Step | None) -> str:
    here = "Nothing is open" if not depth else f"{depth} {_layers(depth)} open"
    if step is None:
        return f"{here}."
    if not route:
        return f"{here}; the next step needs nothing more opened."
    way = ", ".join(words.opening(name).lower() for name in route)
    return f"{here}; on the way to the next step: {way}."


def _layers(count: int) -> str:
    return "layer is" if count == 1 else "layers are"

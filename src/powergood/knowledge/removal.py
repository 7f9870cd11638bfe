"""Take away what a machine does not have: parts of which there are no copies, and all that needs them.

A removed part takes its faults along. A function goes when every part it rests on is gone, or when all
its alternatives are; a sign when no fault is left that shows it; links to them vanish. A check goes when
what it is about, or must have fitted, is gone; a grid when its least extent is, and a grid of copies that are
gone becomes a ladder; a stage of bring-up when what it must have fitted, or its check, is gone; a fix when
the part it replaces, or every fault it cures, is gone.
"""

from __future__ import annotations

from collections.abc import Callable, Collection, Mapping
from dataclasses import replace
from typing import Any, TypeVar

from powergood.ids import part_of
from powergood.knowledge.assembly import Assembly
from powergood.knowledge.grids import ORDER
from powergood.knowledge.model import (
    Check,
    Complaint,
    Fix,
    Function,
    Gate,
    Grid,
    IntakeFact,
    Rung,
    Stage,
    ToldFinding,
)
from powergood.knowledge.stops import outcomes

T = TypeVar("T")


def remove_absent(assembly: Assembly, counts: Mapping[str, int]) -> None:
    """Set how many copies there are of each part in `counts`; take the absent ones away."""
    for part, copies in counts.items():
        if part in assembly.parts and copies > 0:
            placed = assembly.parts[part]
            assembly.parts[part] = replace(placed, item=replace(placed.item, copies=copies))
    gone = {part for part, copies in counts.items() if copies == 0 and part in assembly.parts}
    if not gone:
        return
    _drop(assembly, "parts", gone)
    gone_faults = {fault for fault in assembly.faults if part_of(fault) in gone}
    gone_signs = _shown(assembly)
    _drop(assembly, "faults", gone_faults)
    gone_signs -= _shown(assembly)
    _drop(assembly, "signs", gone_signs)
    gone_functions = _absent_functions(assembly, gone)
    _drop(assembly, "functions", gone_functions)
    gone_bases = gone_functions | gone_signs
    _change(assembly, "functions", lambda function: _function_without(function, gone, gone_functions))
    _change(
        assembly,
        "faults",
        lambda fault: replace(
            fault, breaks=_keyless(fault.breaks, gone_functions), makes=_keyless(fault.makes, gone_faults)
        ),
    )
    gone_steps = _change(assembly, "checks", lambda check: _check_without(check, gone, gone_bases))
    gone_steps |= _change(assembly, "fixes", lambda fix: _fix_without(fix, gone, gone_faults))
    _change(assembly, "intake", lambda fact: _intake_without(fact, gone | gone_faults))
    gone_gates = _change(assembly, "gates", lambda gate: _gate_without(gate, assembly, gone_steps))
    gone_stages = _change(
        assembly, "stages", lambda stage: _stage_without(stage, assembly, gone, gone_steps, gone_gates)
    )
    _change(assembly, "gates", lambda gate: replace(gate, but=_less(gate.but, gone_stages)))
    _remove_complaints(assembly, gone_steps, gone_bases)


def _drop(assembly: Assembly, kind: str, ids: Collection[str]) -> None:
    items = assembly.kind(kind)
    for name in ids:
        items.pop(name, None)


def _change(assembly: Assembly, kind: str, change: Callable[[Any], Any]) -> set[str]:
    """Put each item of a kind through `change`; drop those it returns None for, and return their ids."""
    items = assembly.kind(kind)
    changed = {name: change(placed.item) for name, placed in items.items()}
    gone = {name for name, item in changed.items() if item is None}
    for name in gone:
        del items[name]
    for name, placed in items.items():
        if changed[name] != placed.item:
            items[name] = replace(placed, item=changed[name])
    return gone


def _shown(assembly: Assembly) -> set[str]:
    """Return the signs that some fault shows."""
    return {sign for fault in assembly.faults.values() for sign in fault.item.signs}


def _absent_functions(assembly: Assembly, gone_parts: set[str]) -> set[str]:
    gone: set[str] = set()
    while True:
        more = {
            name
            for name, placed in assembly.functions.items()
            if name not in gone and _is_absent(placed.item, gone_parts, gone)
        }
        if not more:
            return gone
        gone |= more


def _is_absent(function: Function, gone_parts: set[str], gone: set[str]) -> bool:
    no_parts = bool(function.of) and all(part in gone_parts for part in function.of)
    no_ways = bool(function.either) and all(name in gone for name in function.either)
    return no_parts or no_ways


def _function_without(function: Function, parts: set[str], functions: set[str]) -> Function:
    return replace(
        function,
        needs=_less(function.needs, functions),
        either=_less(function.either, functions),
        of=_less(function.of, parts),
    )


def _check_without(check: Check, parts: set[str], bases: set[str]) -> Check | None:
    if check.of in bases or check.each_copy_of in parts:
        return None
    if any(part in parts for part in check.fitted):
        return None
    grid = _grid_without(check.grid, bases)
    if check.grid and grid is None:
        return None
    if grid and grid.copies_of in parts:
        ladder = (*grid.before, *(Rung(extent.of, extent.seen) for extent in grid.extents))
        check = replace(check, rungs=ladder)
        grid = None
    instead = _less(check.instead, parts)
    rungs = tuple(rung for rung in check.rungs if rung.of not in bases)
    if (check.instead and not instead) or (check.rungs and not rungs):
        return None
    return replace(check, instead=instead, rungs=rungs, grid=grid, out=_less(check.out, parts))


def _grid_without(grid: Grid | None, bases: set[str]) -> Grid | None:
    """Return a grid less the extents whose function is gone; none where the least is gone."""
    if grid is None:
        return None
    extents = tuple(extent for extent in grid.extents if extent.of not in bases)
    if not any(extent.extent == "one" for extent in extents):
        return None
    return replace(grid, extents=extents, before=tuple(rung for rung in grid.before if rung.of not in bases))


def _fix_without(fix: Fix, parts: set[str], faults: set[str]) -> Fix | None:
    cures = _keyless(fix.cures, faults)
    if fix.replaces in parts or (fix.cures and not cures and not fix.replaces):
        return None
    return replace(fix, cures=cures, disturbs=_keyless(fix.disturbs, faults))


def _intake_without(fact: IntakeFact, names: set[str]) -> IntakeFact | None:
    kept = _keyless(fact.multiplies, names)
    return replace(fact, multiplies=kept) if kept or not fact.multiplies else None


def _gate_without(gate: Gate, assembly: Assembly, steps: set[str]) -> Gate | None:
    kept = tuple(hold for hold in gate.holds if hold.removeprefix("step:") not in steps)
    said = tuple(each for each in gate.stands_for if _has(assembly, each.check, each.outcome))
    return replace(gate, holds=kept, but=_less(gate.but, steps), stands_for=said) if kept else None


def _has(assembly: Assembly, check: str, outcome: str) -> bool:
    """Tell whether a check is still there, with an outcome of that name."""
    placed = assembly.checks.get(check)
    return placed is not None and outcome in outcomes(placed.item)


def _stage_without(
    stage: Stage, assembly: Assembly, parts: set[str], steps: set[str], gates: set[str]
) -> Stage | None:
    """Return a stage less what is gone; none where what must be fitted is gone, or its readings' check."""
    if parts.intersection(stage.fitted) or stage.check in steps:
        return None

    def kept(check: str, outcome: str) -> str:
        return outcome if _has(assembly, check, outcome) else ""

    limits = tuple(
        replace(
            limit,
            below=kept(stage.check, limit.below),
            above=kept(stage.check, limit.above),
            nothing=kept(stage.check, limit.nothing),
        )
        for limit in stage.limits
    )
    stop_if = tuple(
        replace(
            each,
            unmeets=_less(each.unmeets, gates),
            check=each.check if kept(each.check, each.outcome) else "",
            outcome=kept(each.check, each.outcome),
        )
        for each in stage.stop_if
    )
    out, meets = _less(stage.out, parts), _less(stage.meets, gates)
    return replace(stage, limits=limits, out=out, meets=meets, stop_if=stop_if)


def _remove_complaints(assembly: Assembly, steps: set[str], bases: set[str]) -> None:
    def without_findings(complaint: Complaint) -> Complaint | None:
        kept = tuple(
            told
            for told in complaint.findings
            if told.check not in steps and told.outcome not in bases and not _no_extent(assembly, told)
        )
        return None if complaint.findings and not kept else replace(complaint, findings=kept)

    gone = _change(assembly, "complaints", without_findings)

    def without_answers(complaint: Complaint) -> Complaint | None:
        kept = tuple(answer for answer in complaint.answers if answer.complaint not in gone)
        return None if complaint.answers and not kept else replace(complaint, answers=kept)

    while more := _change(assembly, "complaints", without_answers):
        gone |= more


def _no_extent(assembly: Assembly, told: ToldFinding) -> bool:
    """Tell whether a finding names an extent that its check has lost."""
    placed = assembly.checks.get(told.check)
    return bool(placed and told.outcome in ORDER and told.outcome not in outcomes(placed.item))


def _less(names: tuple[str, ...], gone: Collection[str]) -> tuple[str, ...]:
    return tuple(name for name in names if name not in gone)


def _keyless(links: Mapping[str, T], gone: Collection[str]) -> Mapping[str, T]:
    if not any(name in gone for name in links):
        return links
    return {name: link for name, link in links.items() if name not in gone}

"""Lay the limits of an edition, and those of a model sheet, over the limits of a family's stages of bring-up.

A sheet's own limit goes before its edition's, and that before the stage's. Nothing wins in silence: what
cannot stand together is an error, and where a sheet says other than its edition, or allows more, it is told.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from powergood.knowledge.assembly import Assembly
from powergood.knowledge.model import Claim, Edition, Limit, ModelSheet, OwnLimit
from powergood.knowledge.problems import Problem, Where, did_you_mean, error, warning

OWN_WORD = ("judgement", "common practice")
"""What the source of a sheet's own limit may not be: what is safe to power is read or measured."""


def readings(assembly: Assembly) -> dict[str, Limit]:
    """Return every limit of the stages by the name of its reading: `supply-alone.twelve`."""
    return {
        f"{name}.{limit.id}": limit for name, stage in assembly.stages.items() for limit in stage.item.limits
    }


def lay_limits(assembly: Assembly, before: dict[str, Limit]) -> list[Problem]:
    """Change the stages' limits by the sheet's edition and own limits, and return what is wrong with them.

    `before` are the readings of the family, also those that the sheet has taken away.
    """
    problems = list(_of_editions(assembly, before))
    sheet = assembly.sheet
    if sheet is None:
        return problems
    edition = next((each for each in assembly.family.editions if each.id == sheet.edition), None)
    if sheet.edition and edition is None:
        known = [each.id for each in assembly.family.editions]
        hint = did_you_mean(sheet.edition, known) or f"; there are: {', '.join(known) or 'none'}"
        message = f"the family has no edition `{sheet.edition}`{hint}"
        problems.append(error("known-id", message, Where("sheet", sheet.id, ("edition",))))
    if edition is not None:
        _lay(assembly, {each.id: each for each in edition.limits}, frozenset(edition.lacks))
        _leave_out(assembly, before, frozenset(edition.lacks))
    found = list(_of_sheet(assembly, sheet, edition, before))
    problems += found
    wrong = {each.where.path[1] for each in found if each.severity == "error" and len(each.where.path) > 1}
    _lay(assembly, {each.id: each for each in sheet.limits if each.id not in wrong}, frozenset())
    return problems


def _of_editions(assembly: Assembly, known: dict[str, Limit]) -> Iterator[Problem]:
    """Yield what is wrong in the editions of the family."""
    head = Where("family", assembly.family.id)
    ids = [each.id for each in assembly.family.editions]
    for edition in assembly.family.editions:
        where = head.at("editions", edition.id)
        if ids.count(edition.id) > 1:
            yield error("one-id", f"the edition `{edition.id}` stands there twice", where.at("id"))
        for place, name in enumerate(edition.lacks):
            yield from _unknown(name, known, where.at("lacks", place))
        limited = [own.id for own in edition.limits]
        for own in edition.limits:
            yield from _alone(assembly, own, known, where.at("limits", own.id))
            if limited.count(own.id) > 1:
                message = f"`{own.id}` has limits twice in this edition"
                yield error("one-id", message, where.at("limits", own.id, "id"))
            if own.id in edition.lacks:
                message = f"this edition lacks `{own.id}`, and sets limits for it; keep one"
                yield error("limit-clash", message, where.at("limits", own.id, "id"))


def _of_sheet(
    assembly: Assembly, sheet: ModelSheet, edition: Edition | None, before: dict[str, Limit]
) -> Iterator[Problem]:
    """Yield what is wrong with the limits of a sheet's own, its edition's being laid already."""
    here = readings(assembly)
    seen: set[str] = set()
    for own in sheet.limits:
        where = Where("sheet", sheet.id, ("limits", own.id))
        if own.id in seen:
            yield error("one-id", f"`{own.id}` has limits twice in this sheet", where.at("id"))
            continue
        seen.add(own.id)
        yield from _alone(assembly, own, before, where)
        for side, claim in (("low", own.low), ("high", own.high)):
            if claim is not None and claim.source in OWN_WORD:
                message = f"a limit of a model's own names where it was read; `{claim.source}` will not do"
                yield error("limit-source", message, where.at(side))
        if own.id in before and own.id not in here:
            lacks = edition is not None and own.id in edition.lacks
            why = (
                f"the edition `{sheet.edition}` has no such rail" if lacks else "this model has no such stage"
            )
            yield error("limit-clash", f"{why}, and the sheet sets limits for it; keep one", where.at("id"))
        if own.id in here:
            yield from _beside(own, here[own.id], edition, where)


def _alone(assembly: Assembly, own: OwnLimit, known: dict[str, Limit], where: Where) -> Iterator[Problem]:
    """Yield what is wrong with one limit by itself: its name, its sides, its sources."""
    yield from _unknown(own.id, known, where.at("id"))
    if own.low and own.high and own.low.value >= own.high.value:
        message = f"the low limit {own.low.value:g} is not below the high one, {own.high.value:g}"
        yield error("limits-in-order", message, where.at("low"))
    for side in ("low", "high"):
        claim: Claim | None = getattr(own, side)
        if own.id in known and claim is None and getattr(known[own.id], side) is not None:
            message = f"`{own.id}` has a `{side}` limit in the family; give one here too"
            yield error("limits-in-order", message, where)
        if claim is not None and claim.source not in (*assembly.sources, *OWN_WORD):
            hint = did_you_mean(claim.source, assembly.sources)
            yield error("known-source", f"there is no source `{claim.source}`{hint}", where.at(side))


def _unknown(name: str, known: dict[str, Limit], where: Where) -> Iterator[Problem]:
    if name not in known:
        message = f"no stage of the family has a reading `{name}`{did_you_mean(name, known)}"
        yield error("known-id", message, where)


def _beside(own: OwnLimit, there: Limit, edition: Edition | None, where: Where) -> Iterator[Problem]:
    """Yield a warning where a sheet says other than its edition, or allows more than holds without it."""
    said = " to ".join(f"{claim.value:g}" for claim in (there.low, there.high) if claim)
    if edition is not None and any(each.id == own.id for each in edition.limits):
        message = f"the edition `{edition.id}` says {said} {there.unit}; the sheet's own limits count"
        yield warning("limit-clash", message, where)
    wider = [
        own.low is not None and there.low is not None and own.low.value < there.low.value,
        own.high is not None and there.high is not None and own.high.value > there.high.value,
    ]
    if any(wider):
        message = f"this allows more than the {said} {there.unit} that hold without it; be sure of the source"
        yield warning("limit-wider", message, where)


def _lay(assembly: Assembly, limits: dict[str, OwnLimit], lacks: frozenset[str]) -> None:
    """Give the stages the limits there are for their readings; take away what is lacking."""
    for name, placed in assembly.stages.items():
        kept = tuple(each for each in placed.item.limits if f"{name}.{each.id}" not in lacks)
        laid = tuple(_laid(each, limits.get(f"{name}.{each.id}")) for each in kept)
        if laid != placed.item.limits:
            assembly.stages[name] = replace(placed, item=replace(placed.item, limits=laid))


def _laid(limit: Limit, own: OwnLimit | None) -> Limit:
    return limit if own is None else replace(limit, low=own.low, high=own.high, edition=own.edition)


def _leave_out(assembly: Assembly, before: dict[str, Limit], lacks: frozenset[str]) -> None:
    """Leave out the stages that measure nothing but rails which the edition lacks, wherever named."""
    wanted: dict[str, set[str]] = {}
    for name, limit in before.items():
        if not limit.optional:
            wanted.setdefault(name.partition(".")[0], set()).add(name)
    gone = [stage for stage, names in wanted.items() if names <= lacks and stage in assembly.stages]
    for stage in gone:
        del assembly.stages[stage]
    for name, placed in assembly.gates.items():
        left = tuple(each for each in placed.item.but if each not in gone)
        if left != placed.item.but:
            assembly.gates[name] = replace(placed, item=replace(placed.item, but=left))

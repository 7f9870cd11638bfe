"""What a closed job says of minutes: each piece of work that was timed, beside the pack's minutes for it."""

from __future__ import annotations

from collections.abc import Iterator

from powergood.diagnosis.compiled import CompiledModel
from powergood.diagnosis.named import check_spec, fix_spec
from powergood.estimate import Timed, Work
from powergood.record.model import TookMinutes
from powergood.record.timeline import Timeline


def timed_work(model: CompiledModel, line: Timeline, job: int) -> Iterator[Work]:
    """Yield each piece of work that was timed, with the pack's minutes for the same.

    `model` carries no pace: its minutes are the pack's. Work of several kinds counts for the kind that the
    pack gives the most minutes to.
    """
    for fact in line.facts:
        if not isinstance(fact.body, TookMinutes):
            continue
        shares: dict[str, float] = {}
        for name in fact.body.covers:
            kind, minutes = _pack_minutes(model, name)
            shares[kind] = shares.get(kind, 0.0) + minutes
        pack = sum(shares.values())
        if pack > 0 and fact.body.minutes > 0:
            kind = max(sorted(shares), key=lambda each: shares[each])
            yield Work(job, Timed(fact.draft.who, kind, fact.body.minutes, pack))


def _pack_minutes(model: CompiledModel, name: str) -> tuple[str, float]:
    """Return the kind of work that a covered step is, and the pack's minutes for it."""
    kind, _, step = name.partition(":")
    opening = model.openings.get(step)
    check = check_spec(model, step) if kind == "check" else None
    fix = fix_spec(model, step) if kind == "fix" else None
    if check:
        return "looking", check.price.minutes
    if fix:
        return "mending", fix.price.minutes
    if opening:
        return "opening", opening.refit if kind == "refit" else opening.minutes
    return "opening", 0.0

"""From what a person did to the facts that are written down, what it implies included.

A check behind the bottom case could only be done with that case open: the opening is written down before
the finding, so that the record and the drawing show the machine as it lies.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from powergood.bench.grids import located, misfit
from powergood.bench.openings import closed_with, still_closed
from powergood.bench.step_views import StepAnswer
from powergood.bench.wording import Wording, outcomes, split_step
from powergood.ids import slot_name
from powergood.knowledge.stops import outcome_named
from powergood.record.model import (
    NO_VERDICT,
    Body,
    CannotDo,
    Complained,
    Draft,
    Finding,
    FixDone,
    GateAnswered,
    Opened,
    PartIn,
    PartOut,
    Refitted,
    Stopped,
)
from powergood.record.timeline import Bench, home_slot

CANNOT = "cannot"
"""The outcome of a step that cannot be done here."""


def drafts_of(
    bodies: Sequence[Body],
    implied: Sequence[Sequence[Body]] = (),
    *,
    key: str,
    machine: str,
    job: int = 0,
    who: str = "",
    seen_at: str = "",
    power_up: int = 0,
    prompted_by: str = "",
    digest: str = "",
) -> tuple[Draft, ...]:
    """Return drafts of the facts sent with one form, each with what it implies before it.

    The key of the n-th fact is the form's with `/n`, whatever is implied, so that a resend adds nothing.
    """

    def draft(body: Body, name: str) -> Draft:
        start = power_up if isinstance(body, Finding) and not body.told else 0
        about = (machine,)
        return Draft(body, name, about, job, who, seen_at, start, prompted_by=prompted_by, digest=digest)

    drafts: list[Draft] = []
    for place, body in enumerate(bodies, start=1):
        before = implied[place - 1] if implied else ()
        drafts += [draft(each, f"{key}/{place}+{number}") for number, each in enumerate(before, start=1)]
        drafts.append(draft(body, f"{key}/{place}"))
    return tuple(drafts)


def is_step(answer: StepAnswer, words: Wording) -> bool:
    """Tell whether an answer is about a step that this kind of machine has."""
    base, _ = split_step(answer.step)
    known = (words.checks, words.fixes, words.area_fixes, words.openings, words.gates)
    return answer.kind == "stop" or any(base in table for table in known)


def body_of(answer: StepAnswer, words: Wording, bench: Bench) -> Body:
    """Return what an answered step says was done; `is_step` must hold."""
    base, copy = split_step(answer.step)
    if answer.outcome == CANNOT:
        return CannotDo(answer.step, answer.note)
    if base in words.checks:
        copied = answer.copy or copy
        seen = Finding(base, answer.outcome, answer.sure, answer.told, copied, answer.note, answer.cells)
        return located(seen, words)
    if base in words.openings:
        closed = answer.kind == "refit" or answer.outcome == "refitted"
        return Refitted(base) if closed else Opened(base)
    if base in words.gates:
        return GateAnswered(base, answer.outcome in ("met", "good"), answer.note)
    if answer.kind == "stop":
        return Stopped(answer.note or "Stopped on advice")
    return _fix_done(answer, base, copy or answer.copy, words, bench)


def _fix_done(answer: StepAnswer, base: str, copy: int, words: Wording, bench: Bench) -> FixDone:
    fix = words.fixes.get(base)
    if fix is None or not fix.replaces:
        return FixDone(base, note=answer.note)
    part = next((part for part in words.homes.values() if part.id == fix.replaces), None)
    slot = str(slot_name(fix.replaces, copy or 1, part.copies if part else 1))
    return FixDone(base, slot, answer.instance or next_instance(slot, bench), answer.note)


def next_instance(slot: str, bench: Bench) -> str:
    """Return a name for the part that goes into `slot` next: `disk/2` after the first one."""
    held = bench.moved.get(slot, "")
    number = held.rpartition("/")[2] if held.startswith(f"{slot}/") else ""
    return f"{slot}/{int(number) + 1 if number.isdigit() else 2}"


def implied_by(bodies: Iterable[Body], words: Wording, opened: Iterable[str]) -> tuple[tuple[Body, ...], ...]:
    """Return for each fact the openings and refits that must have come before it."""
    now = set(opened)
    whole: list[tuple[Body, ...]] = []
    for body in bodies:
        before = _implied(body, words, now)
        for each in (*before, body):
            if isinstance(each, Opened):
                now.add(each.opening)
            elif isinstance(each, Refitted):
                now.discard(each.opening)
        whole.append(before)
    return tuple(whole)


def _implied(body: Body, words: Wording, now: set[str]) -> tuple[Body, ...]:
    needs: tuple[str, ...] = ()
    shuts: tuple[str, ...] = ()
    match body:
        case Finding(check=name, told=False) if name in words.checks:
            needs, shuts = words.checks[name].open, words.checks[name].closed
        case FixDone(fix=name) if name in words.fixes:
            needs = words.fixes[name].open
        case Opened(opening=name) if name in words.openings:
            needs = words.openings[name].behind
        case Refitted(opening=name) if name in words.openings:
            inner = closed_with(words.openings, (name,), now)
            return tuple(Refitted(each) for each in inner if each != name)
        case PartOut(instance=instance, slot=slot) | PartIn(instance=instance, slot=slot):
            home = words.homes.get(slot or home_slot(instance))
            needs = (home.opening,) if home and home.opening else ()
        case _:
            pass
    refits = closed_with(words.openings, shuts, now)
    opens = still_closed(words.openings, needs, now)
    return (*(Refitted(name) for name in refits), *(Opened(name) for name in opens))


def mistakes_in(bodies: Iterable[Body], words: Wording) -> tuple[str, ...]:
    """Return all that is wrong with facts about this kind of machine: unknown ids, outcomes, places."""
    return tuple(problem for body in bodies for problem in _mistakes(body, words))


def _mistakes(body: Body, words: Wording) -> tuple[str, ...]:
    match body:
        case Finding(check=check) if check not in words.checks:
            return (f"There is no check {check!r} for this kind of machine.",)
        case Finding(check=check, outcome=outcome):
            if wrong := misfit(body, words):
                return (wrong,)
            known = [name for name, _ in outcomes(words.checks[check])]
            if outcome_named(words.checks[check], outcome) in (*known, NO_VERDICT):
                return ()
            return (
                f"Check {check!r} has no outcome {outcome!r}; it has: {', '.join([*known, NO_VERDICT])}.",
            )
        case Complained(complaint=complaint) if complaint and complaint not in words.complaints:
            return (f"There is no complaint {complaint!r} for this kind of machine.",)
        case FixDone(fix=fix) if fix not in words.fixes and fix not in words.area_fixes:
            return (f"There is no fix {fix!r} for this kind of machine.",)
        case PartOut(slot=slot) | FixDone(slot=slot) if slot and slot not in words.homes:
            return (f"There is no place {slot!r} on this kind of machine.",)
        case PartIn(instance=instance, slot=slot) if (slot or home_slot(instance)) not in words.homes:
            return (f"There is no place {slot or home_slot(instance)!r} on this kind of machine.",)
        case Opened(opening=name) | Refitted(opening=name) if name not in words.openings:
            return (f"There is no opening {name!r} on this kind of machine.",)
        case GateAnswered(gate=name) if name not in words.gates and name not in words.stages:
            return (f"There is no gate {name!r} for this kind of machine.",)
        case _:
            return ()

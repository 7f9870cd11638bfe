"""The page of what closed jobs have taught: each learned number in words, with its evidence."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass
from math import log

from powergood.bench.job_state import JobState
from powergood.bench.library import Library
from powergood.bench.taught_views import RestsOn, TaughtGroup, TaughtLine, TaughtView
from powergood.bench.teaching import closed_jobs, learned_now
from powergood.bench.wording import Wording
from powergood.bench.workshop import Workshop
from powergood.errors import UnknownThing
from powergood.estimate import LearnedNumber
from powergood.units import in_100_finely

CLEARLY = 0.25
"""Judgement: a number that moved by less on a log scale, and was hit less than half, hardly moved."""

WORK_WORDS = {"opening": "Opening and closing", "looking": "Looking and measuring", "mending": "Mending"}
NOBODY = "nobody named"

_ABOUT = {
    "fault": (
        "How common faults are",
        "The chance of each fault before anything is known of a machine. A cause fixed and proven counts "
        "whole, one that is only probable counts in part.",
    ),
    "pace": (
        "How long work takes you",
        "A factor on the pack's minutes, for each person and kind of work. It counts in jobs which that "
        "person opens.",
    ),
    "false-alarm": (
        "When checks cry wolf",
        "The chance that a check says bad although nothing it looks at is broken.",
    ),
    "missed": (
        "When checks miss",
        "How often a check said good although a cause found later was there. Shown only: how strongly a "
        "fault shows is said fault by fault.",
    ),
    "dud": (
        "Duds among new parts",
        "The chance that a part put in is itself faulty, by where it came from.",
    ),
}  # fmt: skip


@dataclass(frozen=True, slots=True)
class _Read:
    """One learned number with the pieces of its id."""

    number: LearnedNumber
    kind: str
    names: tuple[str, ...]


def taught(ws: Workshop) -> TaughtView:
    """Return all learned numbers in words, those that moved most first."""
    jobs = sum(1 for _ in closed_jobs(ws))
    read = [_read(each) for each in learned_now(ws).numbers.values()]
    groups = []
    for kind, (title, about) in _ABOUT.items():
        lines = [_line(ws.library, each) for each in _ranked(each for each in read if each.kind == kind)]
        if lines:
            moved = tuple(line for line in lines if line.moved or line.set_aside)
            still = tuple(line for line in lines if line not in moved)
            groups.append(TaughtGroup(kind, title, about, moved, still))
    return TaughtView(jobs, tuple(groups))


def rests_on(ws: Workshop, job: JobState) -> RestsOn:
    """Return which learned numbers a job's advice rests on, and whether there are newer ones."""
    held = ws.learned_as(job.learned)
    newer = job.under_way and learned_now(ws).digest != job.learned
    if job.learned and not held.numbers:
        return RestsOn("The learned numbers this job began with are not kept here; the pack's count.", newer)
    jobs = {number for each in held.numbers.values() for number in each.jobs}
    if not jobs:
        return RestsOn("", newer)
    count = "one closed job" if len(jobs) == 1 else f"{len(jobs)} closed jobs"
    return RestsOn(f"This advice counts what {count} taught.", newer)


def _read(number: LearnedNumber) -> _Read:
    kind, _, rest = number.number.partition(":")
    if kind == "dud":
        return _Read(number, kind, (rest,))
    return _Read(number, kind, tuple(rest.split(":", 1)))


def _ranked(read: Iterable[_Read]) -> list[_Read]:
    return sorted(read, key=lambda each: (-_far(each.number), each.number.number))


def _far(number: LearnedNumber) -> float:
    return abs(log(max(number.learned, 1e-9) / max(number.prior, 1e-9)))


def _line(library: Library, read: _Read) -> TaughtLine:
    number = read.number
    said: Callable[[float], str] = times if read.kind == "pace" else in_100_finely
    most = max(number.high, number.prior, number.learned) * 1.05 or 1.0
    return TaughtLine(
        number=number.number,
        title=_title(library, read),
        before=said(number.prior),
        now=said(number.learned),
        between=_between(said(number.low), said(number.high)),
        evidence=_evidence(read),
        source=_source(number),
        jobs=number.jobs,
        moved=_far(number) >= CLEARLY or number.hits >= 0.5,
        set_aside=number.set_aside,
        share_before=number.prior / most,
        share_now=number.learned / most,
        share_low=number.low / most,
        share_high=number.high / most,
    )


def _title(library: Library, read: _Read) -> str:
    if read.kind == "dud":
        return f"From: {read.names[0]}" if read.names[0] else "All new parts together"
    if read.kind == "pace":
        return f"{WORK_WORDS[read.names[0]]}, {read.names[1] or NOBODY}"
    family, name = read.names
    words = _words(library, family)
    title = words.fault(name) if read.kind == "fault" else words.step(name)
    return f"{title.rstrip('.?')} ({library.title(family)})"


def _words(library: Library, family: str) -> Wording:
    try:
        return library.known(family).words
    except UnknownThing:
        return Wording()


def _evidence(read: _Read) -> str:
    number = read.number
    jobs = "1 job" if len(number.jobs) == 1 else f"{len(number.jobs)} jobs"
    if read.kind == "pace":
        own = "1 piece" if number.cases == 1 else f"{number.cases:.0f} pieces"
        return f"{own} of this work timed, in {jobs} with any" if number.cases else f"From other work, {jobs}"
    things = {"fault": "found", "dud": "bad", "false-alarm": "false", "missed": "missed"}[read.kind]
    of = {"fault": "machines", "dud": "parts", "false-alarm": "looks", "missed": "looks"}[read.kind]
    return f"{count(number.hits)} {things} of {count(number.cases)} {of}, in {jobs}"


def _source(number: LearnedNumber) -> str:
    if not number.weight:
        return "The pack's pace, judgement"
    return f"{number.source.capitalize()}, worth {number.weight:g} cases"


def _between(low: str, high: str) -> str:
    """Return two values as a span, the unit named once where both have it."""
    number, _, unit = high.partition(" ")
    return f"{low.removesuffix(f' {unit}')} to {number} {unit}"


def count(value: float) -> str:
    """Return a count that may be a fraction: whole, or with one decimal."""
    return f"{value:.0f}" if abs(value - round(value)) < 0.05 else f"{value:.1f}"


def times(factor: float) -> str:
    """Return a factor on minutes."""
    return f"{factor:.2f} times"

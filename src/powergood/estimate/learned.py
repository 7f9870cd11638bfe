"""Learned numbers: what finished jobs made of the pack's numbers, each with its prior, evidence and interval.

A *number* has an id that says what it is of: `fault:FAMILY:FAULT`, `false-alarm:FAMILY:CHECK`,
`missed:FAMILY:CHECK`, `dud:SOURCE`, `pace:KIND:WHO`. What one job says of it is a `Telling`. All is plain
data; the same tellings in any order give the same numbers.
"""

from __future__ import annotations

import json
from collections.abc import Collection, Iterable, Mapping, Sequence
from dataclasses import asdict, dataclass, field
from hashlib import sha256
from math import log

from powergood.estimate.chances import Beta, odds, reweighed, taken_in
from powergood.estimate.pace import Timed, paces

KINDS_OF_WORK = ("opening", "looking", "mending")
"""The kinds of work a pace is learned for: taking apart and closing, checks, fixes."""

TELLS = 0.05
"""Judgement: a job that moves the log-odds of a chance by less says nothing of it."""


TELLS_HIT = 0.02
"""Judgement: a case that says nothing unless it was a hit is left out when it hardly was one."""


@dataclass(frozen=True, slots=True)
class Start:
    """A number as the pack has it: its value, its weight in pseudo-cases, where it came from."""

    value: float
    weight: float
    source: str = "judgement"


@dataclass(frozen=True, slots=True)
class Telling:
    """What one job says of one chance.

    `hit` is the chance that it was a hit, as that job's belief has it at its end, and `before` what it was at
    its beginning; a `hit` of nought or one is known for sure. If it was no hit it counts as `otherwise`
    misses (1: a whole case, 0: it then says nothing). `surely` misses count in any case.
    """

    number: str
    job: int
    hit: float
    before: float = 0.0
    otherwise: float = 1.0
    surely: float = 0.0

    @property
    def tells(self) -> bool:
        """True when the job says something worth counting."""
        if not self.otherwise and not self.surely:
            return self.hit >= TELLS_HIT
        if self.surely or self.hit in (0.0, 1.0) or not self.before:
            return True
        return abs(log(odds(self.hit) / odds(self.before))) >= TELLS


@dataclass(frozen=True, slots=True)
class Work:
    """One piece of work timed in one job."""

    job: int
    timed: Timed


@dataclass(frozen=True, slots=True)
class Lessons:
    """What finished jobs say: of chances, and of minutes."""

    tellings: tuple[Telling, ...] = ()
    work: tuple[Work, ...] = ()


@dataclass(frozen=True, slots=True)
class LearnedNumber:
    """One number, before and after what jobs said of it.

    prior : the pack's value; for a pace the factor 1. weight : pseudo-cases it is worth (0 for a pace).
    source : where the prior came from. learned, low, high : the value now and its interval (`LEVEL`).
    hits, cases : what was counted, in fractions where a job left it open; for a pace both count the
    pieces of work timed. jobs : which jobs said something. set_aside : it is shown and not used.
    """

    number: str
    prior: float
    weight: float
    source: str
    learned: float
    low: float
    high: float
    hits: float
    cases: float
    jobs: tuple[int, ...]
    set_aside: bool = False

    @property
    def in_use(self) -> float:
        """The value that advice rests on: the learned one, or the prior when it is set aside."""
        return self.prior if self.set_aside else self.learned


@dataclass(frozen=True, slots=True)
class Learned:
    """All learned numbers together, by id. What no job said anything of is not among them."""

    numbers: Mapping[str, LearnedNumber] = field(default_factory=dict)

    @property
    def digest(self) -> str:
        """SHA-256 of the numbers; empty when there are none, so that a job then rests on the pack alone."""
        return sha256(self.text().encode()).hexdigest() if self.numbers else ""

    def value(self, number: str, default: float) -> float:
        """Return the value in use of a number, or `default` where nothing was learned of it."""
        found = self.numbers.get(number)
        return found.in_use if found else default

    def moved(self, number: str, value: float) -> float:
        """Return a chance with its odds moved as the learned number moved its own prior.

        For the prior itself that is the learned value; another sheet's own value keeps its difference.
        """
        found = self.numbers.get(number)
        return reweighed(found.in_use, found.prior, value) if found else value

    def text(self) -> str:
        """Return the numbers as JSON in one fixed form, to be kept under their digest."""
        rows = [asdict(self.numbers[name]) for name in sorted(self.numbers)]
        return json.dumps(rows, ensure_ascii=False, sort_keys=True, separators=(",", ":"))

    @classmethod
    def of_text(cls, text: str) -> Learned:
        """Return the numbers that `text` made; the two undo each other."""
        rows = [LearnedNumber(**{**row, "jobs": tuple(row["jobs"])}) for row in json.loads(text)]
        return cls({row.number: row for row in rows})


def number_id(kind: str, *names: str) -> str:
    """Return the id of a number: its kind and what it is of."""
    return ":".join((kind, *names))


@dataclass(frozen=True, slots=True)
class Tally:
    """A chance on its way: what is believed of it, and what was counted in which jobs."""

    belief: Beta
    hits: float = 0.0
    cases: float = 0.0
    jobs: tuple[int, ...] = ()


def learned(starts: Mapping[str, Start], lessons: Lessons, set_aside: Collection[str] = ()) -> Learned:
    """Return what the lessons make of the pack's numbers; those `set_aside` are marked, not left out.

    A telling of a number that has no start (the pack has dropped it) says nothing.
    """
    tallies = tallied({}, starts, lessons.tellings)
    return Learned({**numbers(tallies, starts, set_aside), **dict(_paces(lessons.work, set_aside))})


def tallied(
    tallies: Mapping[str, Tally], starts: Mapping[str, Start], tellings: Iterable[Telling]
) -> dict[str, Tally]:
    """Return the tallies after further tellings; those that were given stay as they are."""
    found = dict(tallies)
    for each in sorted(tellings, key=lambda one: (one.number, one.job, one.hit, one.before, one.surely)):
        if each.number in starts and each.tells:
            start = starts[each.number]
            held = found.get(each.number) or Tally(Beta.of(start.value, start.weight))
            found[each.number] = _told(held, each)
    return found


def _told(held: Tally, telling: Telling) -> Tally:
    hit = telling.hit
    if telling.before and 0.0 < hit < 1.0:
        hit = reweighed(hit, telling.before, held.belief.mean)
    return Tally(
        taken_in(held.belief, hit, otherwise=telling.otherwise, surely=telling.surely),
        held.hits + hit,
        held.cases + hit + (1.0 - hit) * telling.otherwise + telling.surely,
        tuple(dict.fromkeys((*held.jobs, telling.job))),
    )


def numbers(
    tallies: Mapping[str, Tally],
    starts: Mapping[str, Start],
    set_aside: Collection[str] = (),
    *,
    intervals: bool = True,
) -> dict[str, LearnedNumber]:
    """Return tallies as learned numbers, by id.

    Without `intervals`, which take most of the time, both ends are the value: enough to compute with.
    """
    found = {}
    for name, held in sorted(tallies.items()):
        start, mean = starts[name], held.belief.mean
        low, high = held.belief.interval() if intervals else (mean, mean)
        aside = name in set_aside
        found[name] = LearnedNumber(
            name,
            start.value,
            start.weight,
            start.source,
            mean,
            low,
            high,
            held.hits,
            held.cases,
            held.jobs,
            aside,
        )
    return found


def _paces(work: Sequence[Work], set_aside: Collection[str]) -> Iterable[tuple[str, LearnedNumber]]:
    for who in sorted({each.timed.who for each in work}):
        own = [each for each in work if each.timed.who == who]
        for kind, pace in paces([each.timed for each in own], KINDS_OF_WORK).items():
            name = number_id("pace", kind, who)
            count = float(sum(each.timed.kind == kind for each in own))
            jobs = tuple(sorted({each.job for each in own}))
            low, high = pace.interval()
            yield (
                name,
                LearnedNumber(
                    name, 1.0, 0.0, "judgement", pace.factor, low, high, count, count, jobs, name in set_aside
                ),
            )

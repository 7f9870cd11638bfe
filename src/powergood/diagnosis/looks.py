"""Looks at the machine, and what they say as rows and reports: what is the same look again counts once.

Each look becomes at most two *rows*: the bases that must not have been stopped (the rungs that were
passed) and the bases of which one must have been (the rung that failed). A look that is sure and seen
and passed couples nothing; every other row is one bit for the recursion.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field, replace

from powergood.diagnosis.compiled import CheckSpec


@dataclass(frozen=True, slots=True)
class Row:
    """One set of bases looked at once. `time` counts facts; `moved` says which slots held what.

    `power_up` groups rows seen during one start; two rows with the same number saw the same mood of an
    intermittent fault. `bit` is its place in the recursion, or −1: nothing in `bases` acted, for sure.
    """

    time: int
    bases: frozenset[int]
    masked: frozenset[str]
    moved: Mapping[str, str]
    power_up: int
    bit: int = -1


@dataclass(frozen=True, slots=True)
class Report:
    """What one finding says of the bits of its rows: `table[bits]` is its chance given which rows tripped.

    `rows` are numbers of rows that have bits; the first is the lowest bit of the table. `no_alarm` is the
    same table as if no false alarm were possible.
    """

    fact: int
    check: str
    rows: tuple[int, ...]
    table: tuple[float, ...]
    no_alarm: tuple[float, ...]


@dataclass(frozen=True, slots=True)
class Look:
    """One finding, kept until all are read: which of its halves count is known only then.

    `passes` are the bases it says work, `fails` those of which one does not. `could_work` is False when
    a part it needs lay on the bench: that it failed then says nothing. `works_key` and `fails_key` are
    equal for looks that say the same of the same state (see `settled`); empty for a half it does not have.
    """

    number: int
    spec: CheckSpec
    failed_at: int
    passes: frozenset[int]
    fails: frozenset[int]
    could_work: bool
    trust: float
    start: int
    time: int
    moved: Mapping[str, str]
    works_key: tuple[object, ...]
    fails_key: tuple[object, ...]


@dataclass(slots=True)
class Settled:
    """The rows and reports that looks amount to, and how many bits the rows have together."""

    rows: list[Row] = field(default_factory=list)
    reports: list[Report] = field(default_factory=list)
    bits: int = 0

    def add(self, look: Look, *, works: bool, fails: bool) -> None:
        """Add the halves of a look that count."""
        unsure = works and look.trust < 1.0
        rows = []
        if works:
            rows += self._row(look, look.passes, couples=unsure)
        if fails:
            rows += self._row(look, look.fails, couples=True)
        if rows:
            passed = look.failed_at if works else 0
            table = report_table(look.spec, passed, look.trust, passes=unsure, fails=fails)
            sound = replace(look.spec, leak=0.0)
            no_alarm = report_table(sound, passed, look.trust, passes=unsure, fails=fails)
            self.reports.append(Report(look.number, look.spec.id, tuple(rows), table, no_alarm))

    def _row(self, look: Look, bases: frozenset[int], *, couples: bool) -> list[int]:
        bit = self.bits if couples else -1
        self.bits += couples
        self.rows.append(Row(look.time, bases, look.spec.masked, look.moved, look.start, bit))
        return [len(self.rows) - 1] if couples else []


def settled(looks: Iterable[Look]) -> Settled:
    """Return the rows and reports of `looks`, counting once what is the same thing seen again.

    The same is: the same function failing, or the same functions working, with the same parts in
    place and masked and no act in between; where an intermittent fault could touch it, in the same
    power-up too. The surest look counts, of equals the first: a false alarm there is one false
    alarm, however often and by whichever check it is looked at.
    """
    every = tuple(looks)
    surest: dict[tuple[object, ...], Look] = {}
    for look in every:
        for key in (look.works_key, look.fails_key):
            if key and (key not in surest or surest[key].trust < look.trust):
                surest[key] = look
    found = Settled()
    for look in every:
        works = bool(look.works_key) and surest[look.works_key] is look
        fails = bool(look.fails_key) and surest[look.fails_key] is look
        if works or fails:
            found.add(look, works=works, fails=fails and look.could_work)
    return found


def report_table(
    spec: CheckSpec, passed: int, trust: float, *, passes: bool, fails: bool
) -> tuple[float, ...]:
    """Return the chance of the answer for each combination of tripped rows (lowest bit: passed rungs).

    With chance `trust` the answer is what the check shows, else one of its answers at random. `passed`
    rungs were free of false alarms; `passes` and `fails` say which of the two rows have bits.
    """
    answers = len(spec.rungs) + 1
    toss = (1.0 - trust) / answers
    clear = (1.0 - spec.leak) ** passed
    shown = {  # (a passed rung tripped, the failed rung tripped) -> chance that the check shows this
        (False, False): clear * (spec.leak if fails else 1.0),
        (False, True): clear,
        (True, False): 0.0,
        (True, True): 0.0,
    }
    first = (False, True) if passes else (False,)
    second = (False, True) if fails else (False,)
    return tuple(trust * shown[(low, high)] + toss for high in second for low in first)

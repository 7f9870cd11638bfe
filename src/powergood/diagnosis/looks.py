"""Looks at the machine, and what they say as rows and reports: what is the same look again counts once.

Each look becomes a few *rows*: the bases that must not have been stopped (the rungs that were passed) and the
bases of which one must have been (the rung that failed; of a grid, one row for each bad copy). A look that is
sure and seen and passed couples nothing; every other row is one bit for the recursion.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field


@dataclass(frozen=True, slots=True)
class Row:
    """One set of bases looked at once. `time` counts facts; `moved` says which slots held what.

    `power_up` groups rows seen during one start; two rows with the same number saw the same mood of an
    intermittent fault, which had as many chances to act as `starts` says. `bit` is its place in the
    recursion, or −1: nothing in `bases` acted, for sure.
    """

    time: int
    bases: frozenset[int]
    masked: frozenset[str]
    moved: Mapping[str, str]
    power_up: int
    bit: int = -1
    starts: float = 1.0


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
class Failing:
    """One thing that a look says does not work: bases of which one does not, or it was a false alarm.

    `leak` is the chance of a false alarm there. `could_work` is False when a part it needs lay on the bench:
    that it failed then says nothing. `key` is equal for looks that say the same of the same state.
    """

    bases: frozenset[int]
    leak: float
    could_work: bool
    key: tuple[object, ...]


@dataclass(frozen=True, slots=True)
class Look:
    """One finding, kept until all are read: which of what it says counts is known only then.

    `passes` are the bases it says work, with `clear` the chance that no rung of theirs gave a false alarm;
    `failing` is what it says does not, one thing of a ladder, one for each bad copy of a grid. `answers` is
    how many answers it could have been. `works_key` is equal for looks that say that the same works in the
    same state (see `settled`); empty where nothing was seen to.
    """

    number: int
    check: str
    passes: frozenset[int]
    clear: float
    failing: tuple[Failing, ...]
    answers: int
    trust: float
    start: int
    time: int
    moved: Mapping[str, str]
    masked: frozenset[str]
    works_key: tuple[object, ...]
    starts: float = 1.0

    def sureness(self, clear: float) -> tuple[float, float, int]:
        """Return how sure it is of one thing it says, which is no false alarm with chance `clear`.

        By trust, then with the least room for a false alarm, then of the fewest answers.
        """
        return self.trust, clear, -self.answers

    def said(self) -> Iterator[tuple[tuple[object, ...], tuple[float, float, int]]]:
        """Yield the key of each thing it says, that it works or does not, and how sure it is of it."""
        if self.works_key:
            yield self.works_key, self.sureness(self.clear)
        for each in self.failing:
            yield each.key, self.sureness(1.0 - each.leak)

    @property
    def bases(self) -> frozenset[int]:
        """All that was seen, working or not."""
        return self.passes.union(*(each.bases for each in self.failing))


@dataclass(slots=True)
class Settled:
    """The rows and reports that looks amount to, and how many bits the rows have together."""

    rows: list[Row] = field(default_factory=list)
    reports: list[Report] = field(default_factory=list)
    bits: int = 0

    def add(self, look: Look, *, works: bool, failing: tuple[Failing, ...]) -> None:
        """Add what counts of a look: that something works, and what does not."""
        unsure = works and look.trust < 1.0
        rows = []
        if works:
            rows += self._row(look, look.passes, couples=unsure)
        for each in failing:
            rows += self._row(look, each.bases, couples=True)
        if rows:
            clear = look.clear if works else 1.0
            toss = (1.0 - look.trust) / look.answers
            leaks = [each.leak for each in failing]
            table = report_table(clear, leaks, look.trust, toss, passes=unsure)
            no_alarm = report_table(1.0, [0.0] * len(leaks), look.trust, toss, passes=unsure)
            self.reports.append(Report(look.number, look.check, tuple(rows), table, no_alarm))

    def _row(self, look: Look, bases: frozenset[int], *, couples: bool) -> list[int]:
        bit = self.bits if couples else -1
        self.bits += couples
        self.rows.append(Row(look.time, bases, look.masked, look.moved, look.start, bit, look.starts))
        return [len(self.rows) - 1] if couples else []


def settled(looks: Iterable[Look]) -> Settled:
    """Return the rows and reports of `looks`, counting once what is the same thing seen again.

    The same is: the same function failing, or the same functions working, with the same parts in
    place and masked and no act in between; where an intermittent fault could touch it, in the same
    power-up too. The surest look counts (see `Look.sureness`), of equals the first: a false alarm there is
    one false alarm, however often and by whichever check it is looked at.
    """
    every = tuple(looks)
    surest: dict[tuple[object, ...], tuple[tuple[float, float, int], Look]] = {}
    for look in every:
        for key, sureness in look.said():
            if key not in surest or surest[key][0] < sureness:
                surest[key] = sureness, look
    found = Settled()
    for look in every:
        works = bool(look.works_key) and surest[look.works_key][1] is look
        failing = tuple(each for each in look.failing if surest[each.key][1] is look)
        if works or failing:
            found.add(look, works=works, failing=tuple(each for each in failing if each.could_work))
    return found


def report_table(
    clear: float, leaks: Sequence[float], trust: float, toss: float, *, passes: bool
) -> tuple[float, ...]:
    """Return the chance of the answer for each combination of tripped rows.

    With chance `trust` the answer is what the check shows, else each of its answers has the chance `toss`.
    `clear` is the chance that what passed gave no false alarm; with `passes` it has a row of its own, the
    lowest bit, that must not be tripped. Each failing row is tripped, or gave a false alarm (`leaks`).
    """
    table = []
    for bits in range(2 ** (len(leaks) + passes)):
        tripped = bits >> passes
        shown = 0.0 if passes and bits & 1 else clear
        for place, leak in enumerate(leaks):
            shown *= 1.0 if tripped >> place & 1 else leak
        table.append(trust * shown + toss)
    return tuple(table)

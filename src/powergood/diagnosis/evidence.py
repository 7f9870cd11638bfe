"""What the facts say, in the form the belief needs: rows, reports, events, newcomers, and the bench now."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from powergood.diagnosis.bench_now import BenchNow
from powergood.diagnosis.looks import Report, Row


@dataclass(frozen=True, slots=True)
class Event:
    """An act that may change whether a fault is present: from absent (`makes`) or from present."""

    time: int
    chance: float
    makes: bool
    unexplained: bool = False


@dataclass(frozen=True, slots=True)
class Newcomer:
    """A part instance fitted during the job, and the chance that it is itself faulty.

    `slot` is where it was first fitted: its faults are those of that slot, wherever it goes later.
    """

    slot: str
    instance: str
    dud: float


@dataclass(frozen=True, slots=True)
class Passed:
    """A check that passed as the machine stays fitted: the bases it showed to work, and when."""

    time: int
    check: str
    bases: frozenset[int]


@dataclass(frozen=True, slots=True)
class Evidence:
    """All that the facts say, in the form the belief needs. `events` is keyed by (fault index, instance).

    `fresh` are the checks done surely since the last act, with all that they saw: done again now they would
    count as the same look, unless the mood of an intermittent fault is what they see. `start` is the start
    that still runs, as the rows' `power_up` has it; 0 when the machine is off or ran on through a long look.
    """

    rows: tuple[Row, ...] = ()
    reports: tuple[Report, ...] = ()
    events: Mapping[tuple[int, str], tuple[Event, ...]] = field(default_factory=dict)
    newcomers: tuple[Newcomer, ...] = ()
    passed: tuple[Passed, ...] = ()
    failed: tuple[Passed, ...] = ()
    now: BenchNow = field(default_factory=BenchNow)
    bits: int = 0
    unread: tuple[int, ...] = ()
    fresh: Mapping[str, frozenset[int]] = field(default_factory=dict)
    start: int = 0

    def rows_bits(self) -> tuple[int, ...]:
        """Return the recursion bit of each row, −1 for rows that have none."""
        return tuple(row.bit for row in self.rows)

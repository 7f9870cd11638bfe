"""What the power-on pad is drawn from, and what the last start told."""

from __future__ import annotations

from dataclasses import dataclass

from powergood.bench.grid_views import GridView
from powergood.bench.step_views import CautionWords, GateCard, Leaning, OutcomeKey


@dataclass(frozen=True, slots=True)
class PadKey:
    """One thing that can be noticed in the first seconds of a start.

    check : id of its check.
    copy : number of the copy; 0 when there is only one.
    ask : what to look, listen or smell for.
    keys : its outcomes as buttons.
    ladder : true when the outcomes are rungs in order, so that one choice says how far it got.
    last : the outcome noted in the last start; empty when none.
    held : true while a gate holds this look back; it is not shown while a start is allowed.
    grid : the cells to mark, where the check is a grid.
    """

    check: str
    ask: str
    keys: tuple[OutcomeKey, ...]
    copy: int = 0
    ladder: bool = False
    last: str = ""
    held: bool = False
    grid: GridView | None = None


@dataclass(frozen=True, slots=True)
class LastStart:
    """What the last start told.

    power_up : its number.
    seen : what was noticed, one sentence each.
    cleared : titles of the parts it cleared.
    suspects : the parts it left most suspect.
    words : one sentence: whether the machine may be powered again.
    """

    power_up: int
    seen: tuple[str, ...]
    cleared: tuple[str, ...] = ()
    suspects: tuple[Leaning, ...] = ()
    words: str = ""


@dataclass(frozen=True, slots=True)
class Pad:
    """The power-on pad: everything noticed during one start, saved at once.

    allowed : true when a start waits for no gate.
    held_by : the gates that a start waits for.
    words : one sentence: whether the machine may be powered now.
    power_up : number the next start will have.
    keys : what can be noticed.
    last : what the last start told; none before the first.
    cautions : cautions that go with powering it.
    """

    allowed: bool
    held_by: tuple[GateCard, ...]
    words: str
    power_up: int
    keys: tuple[PadKey, ...]
    last: LastStart | None = None
    cautions: tuple[CautionWords, ...] = ()

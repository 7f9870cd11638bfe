"""What the page before first power is drawn from: gates, stages, editions and when to stop."""

from __future__ import annotations

from dataclasses import dataclass

from powergood.bench.knowhow.family_views import CheckLine
from powergood.bench.stage_views import EditionLine, StageCard
from powergood.bench.step_views import CautionWords


@dataclass(frozen=True, slots=True)
class GateWords:
    """A safety condition as read.

    gate : its id.
    title : its name.
    ask : what must be so.
    because : why.
    holds : what waits for it, in words.
    cautions : cautions with their words.
    otherwise : what to do where it is not so and will not be; empty where it has to be.
    stands_for : findings that its tick counts as, as sentences.
    """

    gate: str
    title: str
    ask: str
    because: str
    holds: str
    cautions: tuple[CautionWords, ...]
    otherwise: str = ""
    stands_for: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class StopIf:
    """What to switch off for at once.

    check : the look that shows it.
    seen : what is seen, heard or smelt.
    because : what it may mean.
    """

    check: str
    seen: str
    because: str


@dataclass(frozen=True, slots=True)
class SafetyView:
    """Before power, the first start, and when to stop.

    kind : the family or sheet.
    title : its name.
    gates : the safety conditions, in order.
    before : checks that need no power and nothing opened.
    first_start : what to look, listen and smell for in the first seconds.
    stop_if : what to switch off for at once.
    stages : the stages of bring-up, in order.
    cautions : every caution of this kind of machine, dangers first.
    editions : the editions of a standard that its limits may come from; of a sheet that names one, that one.
    """

    kind: str
    title: str
    gates: tuple[GateWords, ...]
    before: tuple[CheckLine, ...]
    first_start: tuple[CheckLine, ...]
    stop_if: tuple[StopIf, ...]
    cautions: tuple[CautionWords, ...]
    stages: tuple[StageCard, ...] = ()
    editions: tuple[EditionLine, ...] = ()

"""What a check's page is drawn from: its outcomes with what each speaks for, and when it misleads."""

from __future__ import annotations

from dataclasses import dataclass

from powergood.bench.grid_views import GridView
from powergood.bench.knowhow.family_views import FaultLine
from powergood.bench.knowhow.number_views import NumberLine, SourceLine
from powergood.bench.step_views import CautionWords


@dataclass(frozen=True, slots=True)
class OutcomeLine:
    """One outcome of a check and what it points to.

    words : what is seen.
    points_to : the faults it speaks for most, each with its share; of a good outcome, those it speaks
        against, each with the chance that it would have been caught.
    others : how many more there are.
    against : true for a good outcome.
    """

    words: str
    points_to: tuple[FaultLine, ...]
    others: int = 0
    against: bool = False


@dataclass(frozen=True, slots=True)
class CheckView:
    """A check's page.

    kind : the family or sheet it was opened from.
    kind_title : its name.
    check : its id.
    ask : its sentence.
    tells : what it tells, in the pack's words.
    power : what it needs of the mains, in words.
    outcomes : its outcomes with the faults each speaks for.
    wrong_when : when its answer misleads.
    false_alarm : chance that a sound machine fails it.
    no_verdict : chance that it tells nothing.
    minutes : hands-on minutes, openings not counted.
    way : minutes to open the way and to close it again.
    elapsed : minutes of waiting.
    money : money it costs.
    harm : chance of a loss as dear as the machine.
    opens : titles of the openings, outermost first.
    takes_out : parts taken out or exchanged for it.
    tools : tools it takes.
    cautions : cautions with their words.
    numbers : every number of the page with its source.
    sources : every source that the page's numbers and words name.
    grid : the cells that are marked, where it is a grid.
    """

    kind: str
    kind_title: str
    check: str
    ask: str
    tells: str
    power: str
    outcomes: tuple[OutcomeLine, ...]
    wrong_when: tuple[str, ...]
    false_alarm: float
    no_verdict: float
    minutes: float
    way: float
    elapsed: float
    money: float
    harm: float
    opens: tuple[str, ...]
    takes_out: tuple[str, ...]
    tools: tuple[str, ...]
    cautions: tuple[CautionWords, ...]
    numbers: tuple[NumberLine, ...]
    sources: tuple[SourceLine, ...]
    grid: GridView | None = None

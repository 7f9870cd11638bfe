"""What a step's card is drawn from, and what is answered on it; the cards of gates."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from powergood.bench.grid_views import GridView
from powergood.diagnosis.model import Step, StepKind


@dataclass(frozen=True, slots=True)
class CautionWords:
    """A caution with its words, to be shown above the step it belongs to.

    caution : its id.
    title : a few words.
    words : what can happen and what to do.
    danger : true when it gets the hatched edge.
    source : where the words come from, or `common practice`.
    deadly : true when it can kill a person or set fire: first of all, and never folded.
    """

    caution: str
    title: str
    words: str
    danger: bool
    source: str = ""
    deadly: bool = False


@dataclass(frozen=True, slots=True)
class Leaning:
    """A part or fault with how much it is suspected: one small bar. A part's chance is its likeliest fault's.

    name : id of the part's slot or of the fault.
    title : its name in words.
    chance : chance that it is at fault.
    """

    name: str
    title: str
    chance: float


@dataclass(frozen=True, slots=True)
class OutcomeKey:
    """One button of a step card or of the power-on pad.

    outcome : what is written down: `good`, `bad`, the rung that failed, `done`, `opened`, `refitted`, `met`.
    words : the words on the button.
    chance : chance of this outcome; 0 when not worked out.
    leaves : what it would leave suspect, most suspect first.
    """

    outcome: str
    words: str
    chance: float = 0.0
    leaves: tuple[Leaning, ...] = ()


@dataclass(frozen=True, slots=True)
class StepCard:
    """One step ready to be shown.

    step : its id; the key of a check of one copy ends in `#2`.
    kind : check, fix, opening, refit, gate or stop.
    ask : one sentence that begins with a verb.
    copy : number of the copy it is about; 0 when there is only one.
    cautions : cautions with their words, what can kill first, then other dangers.
    keys : one button for each outcome.
    no_verdict : true when *no verdict* can be answered.
    not_sure : true when an answer can be given as *not sure*.
    minutes : hands-on minutes, openings and refits included.
    elapsed : minutes of waiting on top.
    money : money it costs.
    opens : titles of the openings to be opened for it, outermost first.
    refits : titles of the openings to be closed again for it.
    harm : what it could harm, in one sentence; empty when nothing.
    tools : tools it takes.
    consent : true when it cannot be undone, so that consent is asked first.
    wrong_when : when its answer misleads, one sentence each.
    cures : for a fix, the faults it is meant for with the chance that each is there.
    why : why this step now.
    expected_total : expected minutes for the whole rest of the job if it is done next.
    note : further words.
    took : minutes to choose from when saying how long it took; empty where that is not asked.
    raw : the step as the advice gives it; none for a card made without advice.
    grid : the cells to mark, where the check is a grid.
    against : for the advised step, what it is expected to save against the next best, and why it is not the
        obvious one; one sentence each.
    """

    step: str
    kind: StepKind
    ask: str
    copy: int = 0
    cautions: tuple[CautionWords, ...] = ()
    keys: tuple[OutcomeKey, ...] = ()
    no_verdict: bool = False
    not_sure: bool = False
    minutes: float = 0.0
    elapsed: float = 0.0
    money: float = 0.0
    opens: tuple[str, ...] = ()
    refits: tuple[str, ...] = ()
    harm: str = ""
    tools: tuple[str, ...] = ()
    consent: bool = False
    wrong_when: tuple[str, ...] = ()
    cures: tuple[Leaning, ...] = ()
    why: str = ""
    expected_total: float = 0.0
    note: str = ""
    raw: Step | None = None
    took: tuple[int, ...] = ()
    grid: GridView | None = None
    against: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class StepAnswer:
    """What a person answers on a step card.

    step : id of the step answered.
    outcome : the outcome of the key pressed, or `no verdict`, or `cannot`.
    kind : kind of the step; empty is worked out from its id.
    sure : false for *not sure*.
    told : true when it is only someone's word.
    copy : number of the copy, for a check of one copy.
    instance : for a replacement, the name of the part that went in; empty makes one.
    note : words typed with it.
    took : hands-on minutes it took, by the person's word; 0 when they did not say.
    source : for a replacement, where the part came from; empty when they did not say.
    cells : cells of a grid marked bad; the outcome `cells` leaves it to them.
    """

    step: str
    outcome: str
    kind: StepKind | Literal[""] = ""
    sure: bool = True
    told: bool = False
    copy: int = 0
    instance: str = ""
    note: str = ""
    took: float = 0.0
    source: str = ""
    cells: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class GateBox:
    """A tick box of its own on a safety condition's card: something that was seen beside.

    check : the look that it stands for.
    words : what is ticked.
    counts_as : the finding it is written down as, as a sentence.
    """

    check: str
    words: str
    counts_as: str


@dataclass(frozen=True, slots=True)
class GateCard:
    """A safety condition with its tick.

    gate : its id.
    title : its name in words.
    ask : what is ticked.
    because : why it matters.
    met : true when it is met now.
    due : true when it is to be met first: a start or the best step waits for it; one number on every page.
    how : how it was met, in the person's words.
    holds_back : steps that wait for it, as sentences.
    cautions : cautions with their words.
    otherwise : what to do where the answer is no; empty for a condition that has to be met.
    refused : true when the answer was no: what waits for it is left out of all plans.
    stands_for : findings that its tick counts as, as sentences.
    boxes : what may be ticked beside it, each a finding.
    """

    gate: str
    title: str
    ask: str
    because: str
    met: bool
    due: bool = False
    how: str = ""
    holds_back: tuple[str, ...] = ()
    cautions: tuple[CautionWords, ...] = ()
    otherwise: str = ""
    refused: bool = False
    stands_for: tuple[str, ...] = ()
    boxes: tuple[GateBox, ...] = ()

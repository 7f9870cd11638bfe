"""What a page shows of the stages of bring-up: plain, frozen objects, free of markup."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from powergood.bench.step_views import CautionWords

StageStanding = Literal["done", "now", "stopped", "later"]


@dataclass(frozen=True, slots=True)
class StageReading:
    """A reading that a stage asks for, with what was read and what that says.

    limit : its id within the stage.
    quantity : the name the reading goes by in the record.
    title : what is measured.
    unit : its unit without prefix, in which a bare number is taken.
    limits : what it must lie between, in words.
    edition : the standard and its edition, and whether it was read or is recalled.
    source : where the limits come from, in words.
    optional : true when some machines lack it.
    text : the reading as typed; empty while there is none.
    place : inside, below, above, nothing, or too near to tell; empty while there is no reading.
    verdict : the same as a sentence, the meter's error counted.
    then : what to do next after that reading; empty while it is inside its limits or not read.
    baseline : what this machine read when it was last well, or what its sheet says, against this reading.
    label : name of the figure on the label that it is held against; empty where there is none.
    label_text : that figure as it was last given.
    """

    limit: str
    quantity: str
    title: str
    unit: str
    limits: str
    edition: str
    source: str
    optional: bool
    text: str = ""
    place: str = ""
    verdict: str = ""
    baseline: str = ""
    label: str = ""
    label_text: str = ""
    then: str = ""


@dataclass(frozen=True, slots=True)
class StageStop:
    """Something to stop a stage at.

    id : its id within the stage.
    seen : what is seen, smelt or heard.
    then : what to do next.
    """

    id: str
    seen: str
    then: str


@dataclass(frozen=True, slots=True)
class EditionLine:
    """An edition of the standard that a machine may follow.

    edition : its id.
    title : its name.
    told_by : how a person tells it by looking.
    """

    edition: str
    title: str
    told_by: str


@dataclass(frozen=True, slots=True)
class StageCard:
    """One stage of bring-up.

    stage : its id.
    number : its place among the stages, from 1.
    title : its name in words.
    do : what to do.
    because : why.
    standing : done, now, stopped or later.
    powered : true when it applies power.
    minutes : how long it takes.
    fitted : titles of the parts that are in.
    out : titles of the parts that are out or unplugged.
    open : titles of the openings that are open.
    tools : tools it takes.
    cautions : cautions, dangers first.
    both_sides : a debated practice, with the safe default first.
    readings : what to measure.
    stop_if : what to stop at.
    check : id of the check that its readings stand for; empty for none.
    check_ask : that check as a sentence.
    outcome : the outcome of that check that the readings say; empty while they say nothing.
    outcome_words : the same in words.
    meets : titles of the gates that it proves.
    meets_asks : what is ticked for each of them.
    held_by : titles of the gates that must be met before it.
    not_where : editions of the standard that lack all it measures, while nobody has said which one holds.
    words : how it was done, or why it was stopped.
    at : number of the last fact that moved it; 0 when none did.
    """

    stage: str
    number: int
    title: str
    do: str
    because: str
    standing: StageStanding
    powered: bool
    minutes: float
    fitted: tuple[str, ...] = ()
    out: tuple[str, ...] = ()
    open: tuple[str, ...] = ()
    tools: tuple[str, ...] = ()
    cautions: tuple[CautionWords, ...] = ()
    both_sides: str = ""
    readings: tuple[StageReading, ...] = ()
    stop_if: tuple[StageStop, ...] = ()
    check: str = ""
    check_ask: str = ""
    outcome: str = ""
    outcome_words: str = ""
    meets: tuple[str, ...] = ()
    meets_asks: tuple[str, ...] = ()
    held_by: tuple[str, ...] = ()
    not_where: tuple[EditionLine, ...] = ()
    words: str = ""
    at: int = 0


@dataclass(frozen=True, slots=True)
class FirstPower:
    """The stages of bring-up of one machine, and where a job stands in them.

    stages : all of them, in their order.
    now : the stage to do, or the one that was stopped; none when all are done or there are none.
    words : one sentence that says where it stands.
    stopped : the first stage that was stopped and is not done since; none when there is none.
    limits_of : a sentence that says which edition's limits the readings are held against; empty where the
        kind knows no editions.
    leads : true while the stages are what to do next: one was begun in this job, or this machine has had no
        start that is written down. Steps that want more than the present stage allows wait for them.
    told : what came of the last thing written down at a stage: done and by what, stopped, or each verdict.
    """

    stages: tuple[StageCard, ...] = ()
    now: StageCard | None = None
    words: str = ""
    stopped: StageCard | None = None
    told: str = ""
    limits_of: str = ""
    leads: bool = False

    @property
    def begun(self) -> bool:
        """True while the present stage has readings and is neither done nor let go: it stays in sight."""
        return self.now is not None and any(each.text for each in self.now.readings)

    @property
    def done(self) -> tuple[StageCard, ...]:
        """The stages that are done."""
        return tuple(card for card in self.stages if card.standing == "done")

    @property
    def later(self) -> tuple[StageCard, ...]:
        """The stages that come after the present one."""
        return tuple(card for card in self.stages if card.standing == "later")


NO_STAGES = FirstPower()
"""A machine whose kind has no stages."""

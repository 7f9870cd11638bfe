"""What a job's page is drawn from, and advice given without a workshop."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from powergood.bench.card_views import JobStanding, MachineCard
from powergood.bench.cutaway_views import Cutaway
from powergood.bench.pad_views import Pad
from powergood.bench.record_views import Photo, RecordLine
from powergood.bench.ribbon_views import Ribbon
from powergood.bench.stage_views import NO_STAGES, FirstPower
from powergood.bench.step_views import GateCard, Leaning, StepCard
from powergood.bench.taught_views import RestsOn
from powergood.diagnosis.model import Advice, FunctionState


@dataclass(frozen=True, slots=True)
class BenchState:
    """The machine as it lies on the bench.

    open : ids of the openings that are open.
    open_titles : their titles.
    parts_out : titles of the parts that are out.
    moved : slots whose part is no longer the first one, as sentences.
    starts : how many starts are recorded.
    """

    open: tuple[str, ...] = ()
    open_titles: tuple[str, ...] = ()
    parts_out: tuple[str, ...] = ()
    moved: tuple[str, ...] = ()
    starts: int = 0


@dataclass(frozen=True, slots=True)
class Beside:
    """A fault that is likely though nothing wanted hangs on it.

    fault : its id.
    title : its name in words.
    chance : chance that it is there.
    do : what would mend it, in one sentence; empty when nothing is known to.
    """

    fault: str
    title: str
    chance: float
    do: str = ""


@dataclass(frozen=True, slots=True)
class SignOffState:
    """Whether the job can be signed off.

    ready : true when every wanted function is proven and the machine is whole.
    unproven : wanted functions that are not proven.
    still_open : titles of the openings still open.
    parts_out : titles of the parts still out.
    words : one sentence: what is missing, or that it can be signed off.
    """

    ready: bool
    unproven: tuple[FunctionState, ...] = ()
    still_open: tuple[str, ...] = ()
    parts_out: tuple[str, ...] = ()
    words: str = ""


@dataclass(frozen=True, slots=True)
class JobView:
    """A job's page: all that is known and advised now.

    number : the job's number.
    title : its title.
    standing : open, on the shelf, signed off or stopped.
    waits_for : what it is on the shelf for.
    waits_words : that in the person's words.
    machine : the machine in brief.
    complaint : the complaint as typed; empty when nothing was told.
    complaint_known : the known complaint it was taken for, in its words.
    where : one sentence: how far the job has come.
    next : the advised step; none when there is nothing to advise.
    steps : the other steps that were weighed, best first.
    suspects : faults in the way of something wanted, likeliest first, at most eight.
    beside : faults that are likely though nothing wanted hangs on them, likeliest first, at most six.
    something_else : areas whose trouble may be something nobody listed, likeliest first.
    cleared : titles of the parts that are cleared.
    conflict : one sentence when the findings fit nothing known, and what to look at again.
    nearness : in words, how near this plan is to the best possible one.
    figures : the same in figures.
    gates : all safety conditions, those due now first, those met last.
    functions : each wanted function and where it stands.
    sign_off : whether it can be signed off, and what is missing.
    bench : the machine as it lies.
    cutaway : the section drawing.
    pad : the power-on pad.
    record : the job's facts, oldest first.
    ribbon : how belief moved.
    photos : the job's photos.
    unexplained : cures that nobody can explain yet, one sentence each.
    pack_changed : when the pack is not the one the job began with, or lacks what facts name; in words.
    engine_trouble : a sentence when no advice could be worked out; the record stands all the same.
    unpowered : when there is no advice, the checks that need no power.
    names : words for every id used in `advice`, keyed `kind:id` (`part:disk`, `check:fan-runs`); kinds are
        part, fault, check, fix, opening, gate, function and area.
    advice : the advice as a whole; none when it could not be worked out.
    opened_at : when the job began.
    changed_at : when its last fact was written.
    rests_on : which learned numbers the advice counts, and whether there are newer ones.
    enough : limits that the advised step would pass, one sentence each.
    so_far : one sentence: what the job has cost so far.
    first_power : the stages of bring-up, and where the job stands in them.
    next_waits : one sentence where the best step waits for the stages, and is left out of `next` and `steps`.
    """

    number: int
    title: str
    standing: JobStanding
    machine: MachineCard
    where: str
    complaint: str
    complaint_known: str
    next: StepCard | None
    steps: tuple[StepCard, ...]
    suspects: tuple[Leaning, ...]
    something_else: tuple[Leaning, ...]
    cleared: tuple[str, ...]
    conflict: str
    nearness: str
    figures: str
    gates: tuple[GateCard, ...]
    functions: tuple[FunctionState, ...]
    sign_off: SignOffState
    bench: BenchState
    cutaway: Cutaway
    pad: Pad
    record: tuple[RecordLine, ...]
    ribbon: Ribbon
    photos: tuple[Photo, ...] = ()
    unexplained: tuple[str, ...] = ()
    pack_changed: str = ""
    engine_trouble: str = ""
    unpowered: tuple[StepCard, ...] = ()
    names: Mapping[str, str] = field(default_factory=dict)
    advice: Advice | None = None
    waits_for: str = ""
    waits_words: str = ""
    opened_at: str = ""
    changed_at: str = ""
    rests_on: RestsOn = field(default_factory=RestsOn)
    enough: tuple[str, ...] = ()
    so_far: str = ""
    first_power: FirstPower = NO_STAGES
    next_waits: str = ""
    beside: tuple[Beside, ...] = ()


@dataclass(frozen=True, slots=True)
class SheetAdvice:
    """Advice on a kind of machine from a findings file, without a workshop.

    sheet : id of the model sheet or family.
    title : its title.
    next : the advised step; none when there is nothing to advise.
    steps : the other steps that were weighed, best first.
    suspects : faults in the way of something wanted, likeliest first, at most eight.
    beside : faults that are likely though nothing wanted hangs on them, likeliest first, at most six.
    something_else : areas whose trouble may be something nobody listed, likeliest first.
    cleared : titles of the parts that are cleared.
    conflict : one sentence when the findings fit nothing known.
    nearness : in words, how near this plan is to the best possible one.
    figures : the same in figures.
    advice : the advice as a whole; this is what `--json` prints.
    """

    sheet: str
    title: str
    next: StepCard | None
    steps: tuple[StepCard, ...]
    suspects: tuple[Leaning, ...]
    something_else: tuple[Leaning, ...]
    cleared: tuple[str, ...]
    conflict: str
    nearness: str
    figures: str
    advice: Advice
    beside: tuple[Beside, ...] = ()

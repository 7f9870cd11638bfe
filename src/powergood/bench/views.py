"""What a person is shown: the frozen objects that every page and command of the bench is drawn from.

Views hold plain values and plain English sentences: no markup, no colour. Chances and strengths are in
[0, 1]. Minutes are minutes of your own time. Times are ISO 8601 in UTC. An empty string or 0 means "none".
Each docstring lists its fields as `name : meaning`; the reference page of page variables is made from them.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Literal

from powergood.bench.grid_views import GridView
from powergood.bench.stage_views import NO_STAGES, FirstPower
from powergood.bench.taught_views import RestsOn
from powergood.diagnosis.model import Advice, FunctionState, Step, StepKind

JobStanding = Literal["open", "on the shelf", "signed off", "stopped"]
PartStanding = Literal["suspect", "cleared", "proven", "unknown"]


@dataclass(frozen=True, slots=True)
class Photo:
    """A photo kept with a machine or a job.

    digest : SHA-256 of the stored file; the store's `photo_path` finds it.
    caption : words under it.
    fact : number of the fact that brought it.
    at : when it was taken or added.
    """

    digest: str
    caption: str
    fact: int
    at: str


@dataclass(frozen=True, slots=True)
class CautionWords:
    """A caution with its words, to be shown above the step it belongs to.

    caution : its id.
    title : a few words.
    words : what can happen and what to do.
    danger : true when it gets the hatched edge.
    source : where the words come from, or `common practice`.
    """

    caution: str
    title: str
    words: str
    danger: bool
    source: str = ""


@dataclass(frozen=True, slots=True)
class MachineCard:
    """A machine in brief, as it stands in a list.

    tag : its tag number.
    name : what it is called here.
    sheet : id of its model sheet or family.
    kind : title of that sheet or family; says so when the pack no longer has it.
    year : year of make; 0 when not known.
    place : where it is kept.
    condition : condition in words.
    photo : digest of its first photo.
    job : number of its open or resting job; 0 when it has none.
    standing : one sentence: where it stands now.
    taken_in_at : when it came in.
    """

    tag: str
    name: str
    sheet: str
    kind: str
    year: int = 0
    place: str = ""
    condition: str = ""
    photo: str = ""
    job: int = 0
    standing: str = ""
    taken_in_at: str = ""


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
class JobCard:
    """A job in brief, as it stands on the board.

    number : the job's number.
    title : its title, usually the complaint as typed.
    machine : the machine it is on.
    standing : open, on the shelf, signed off or stopped.
    where : one sentence: how far it has come.
    next_step : the advised step as a sentence; empty when there is none.
    next_kind : kind of that step; empty when there is none.
    next_minutes : hands-on minutes of that step.
    suspects : the parts most under suspicion, most suspect first, at most three.
    unproven : titles of the wanted functions that are not proven yet.
    waits_for : what it is on the shelf for: a part, a tool, an answer, an evening.
    waits_words : that in the person's words.
    opened_at : when it began.
    changed_at : when its last fact was written.
    trouble : a sentence when no advice could be worked out.
    """

    number: int
    title: str
    machine: MachineCard
    standing: JobStanding
    where: str
    next_step: str = ""
    next_kind: StepKind | Literal[""] = ""
    next_minutes: float = 0.0
    suspects: tuple[Leaning, ...] = ()
    unproven: tuple[str, ...] = ()
    waits_for: str = ""
    waits_words: str = ""
    opened_at: str = ""
    changed_at: str = ""
    trouble: str = ""


@dataclass(frozen=True, slots=True)
class BoardView:
    """The bench page: what is being worked on and what stands around.

    open : open jobs, latest worked on first.
    shelved : resting jobs, with what they wait for.
    idle : machines without an open or resting job.
    closed : jobs signed off or stopped, latest first, at most five.
    next_tag : the tag proposed for the next machine.
    pack_troubles : sentences about packs of the workshop that could not be used.
    """

    open: tuple[JobCard, ...]
    shelved: tuple[JobCard, ...]
    idle: tuple[MachineCard, ...]
    closed: tuple[JobCard, ...]
    next_tag: str
    pack_troubles: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class IntakeLine:
    """A take-in question of the machine's family, and its answer so far.

    question : its id.
    ask : the question in words.
    answer : yes, no, or not asked.
    from_year : true when the machine's year answers it; it is then not asked.
    """

    question: str
    ask: str
    answer: Literal["yes", "no", "not asked"]
    from_year: bool = False


@dataclass(frozen=True, slots=True)
class CellLine:
    """A battery or cell that this kind of machine carries.

    cell : its id.
    title : its name in words.
    kind : its type.
    place : where it sits.
    polarity : which way round.
    """

    cell: str
    title: str
    kind: str
    place: str
    polarity: str = ""


@dataclass(frozen=True, slots=True)
class RecordLine:
    """One fact of the record as a sentence.

    fact : its number, which gives the order.
    at : when it was seen; when it was written, if that is all that is known.
    written_at : when it was written.
    who : who said so.
    kind : the kind of fact in words: finding, fix, opening, gate, note, photo …
    sentence : what happened, in one sentence.
    note : further words typed with it.
    told : true when it is only the giver's word.
    sure : false when the person was not sure.
    power_up : number of the start it was seen in; 0 when none.
    photo : digest of its photo.
    job : number of its job; 0 when it belongs to the machine alone.
    withdrawn : true when it was taken back; it is shown struck through.
    withdrawn_because : the reason given.
    can_withdraw : true when it may be taken back now.
    conflicts : true when it is one of the findings that together fit nothing known.
    prompted_by : the step that asked for it.
    """

    fact: int
    at: str
    written_at: str
    who: str
    kind: str
    sentence: str
    note: str = ""
    told: bool = False
    sure: bool = True
    power_up: int = 0
    photo: str = ""
    job: int = 0
    withdrawn: bool = False
    withdrawn_because: str = ""
    can_withdraw: bool = False
    conflicts: bool = False
    prompted_by: str = ""


@dataclass(frozen=True, slots=True)
class WantedFunction:
    """A function a job may end with.

    function : its id.
    title : its name in words.
    wanted : true when it is wanted unless the person says otherwise.
    """

    function: str
    title: str
    wanted: bool


@dataclass(frozen=True, slots=True)
class MachineView:
    """A machine's page.

    card : the machine in brief.
    story : the giver's story.
    came_with : what came with it.
    intake : the family's take-in questions with their answers.
    cells : the batteries and cells it carries by its sheet.
    functions : the functions a new job can ask for.
    photos : its photos, oldest first.
    jobs : its jobs, latest first.
    record : all facts about it, oldest first.
    weak_points : what this model is known for, one sentence each.
    boot_routes : ways it can start a system.
    kind_trouble : a sentence when its sheet is not in the pack; the record is shown all the same.
    """

    card: MachineCard
    story: str
    came_with: str
    intake: tuple[IntakeLine, ...]
    cells: tuple[CellLine, ...]
    functions: tuple[WantedFunction, ...]
    photos: tuple[Photo, ...]
    jobs: tuple[JobCard, ...]
    record: tuple[RecordLine, ...]
    weak_points: tuple[str, ...] = ()
    boot_routes: tuple[str, ...] = ()
    kind_trouble: str = ""


@dataclass(frozen=True, slots=True)
class Kind:
    """A kind of machine one can take in: a model sheet, or a family where no sheet fits.

    sheet : id of the sheet or family.
    title : its name in words.
    family : title of its family.
    make : invented or real maker as the sheet gives it.
    year : year on the sheet; 0 when none.
    years : the family's span of years in words.
    whole_family : true when it is the family itself, for a machine without a sheet.
    note : further words.
    intake : the take-in questions of its family, those answered by the year left out.
    functions : the functions a job on it can ask for.
    """

    sheet: str
    title: str
    family: str
    make: str = ""
    year: int = 0
    years: str = ""
    whole_family: bool = False
    note: str = ""
    intake: tuple[IntakeLine, ...] = ()
    functions: tuple[WantedFunction, ...] = ()


@dataclass(frozen=True, slots=True)
class TakeIn:
    """What the take-in page hands over. Only `name` and `sheet` are needed; details can follow.

    name : what the machine is to be called.
    sheet : id of its model sheet or family.
    tag : its tag; empty takes the next free one.
    year : year of make; 0 takes the sheet's.
    story : the giver's story.
    came_with : what came with it.
    condition : condition in words.
    place : where it is kept.
    intake : answers to the family's take-in questions, by question id.
    photo : the bytes of a photo; empty when none.
    caption : words under the photo.
    """

    name: str
    sheet: str
    tag: str = ""
    year: int = 0
    story: str = ""
    came_with: str = ""
    condition: str = ""
    place: str = ""
    intake: Mapping[str, bool] = field(default_factory=dict)
    photo: bytes = b""
    caption: str = ""


@dataclass(frozen=True, slots=True)
class ComplaintChoice:
    """A known complaint offered for typed words, or an answer to a splitting question.

    complaint : its id.
    words : the words to choose it by.
    score : how well the typed words fit, 0 to 1; 0 for an answer.
    """

    complaint: str
    words: str
    score: float = 0.0


@dataclass(frozen=True, slots=True)
class ComplaintMatch:
    """What typed words were taken for.

    words : the words as typed; they are kept whatever is found.
    best : id of the complaint they clearly stand for; empty when none, or when one question is open.
    choices : complaints that fit, best first, at most five.
    ask : the one splitting question; empty when none is needed.
    answers : its answers, each leading to a complaint.
    """

    words: str
    best: str = ""
    choices: tuple[ComplaintChoice, ...] = ()
    ask: str = ""
    answers: tuple[ComplaintChoice, ...] = ()


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
    cautions : cautions with their words, dangers first.
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
class GateCard:
    """A safety condition with its tick.

    gate : its id.
    title : its name in words.
    ask : what is ticked.
    because : why it matters.
    met : true when it is met now.
    due : true when it is not met and holds back something worth doing now.
    how : how it was met, in the person's words.
    holds_back : steps that wait for it, as sentences.
    cautions : cautions with their words.
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


@dataclass(frozen=True, slots=True)
class CutawayPart:
    """One part as a tile of the cutaway.

    slot : the slot it sits in.
    title : its name in words.
    standing : suspect, cleared, proven or unknown.
    strength : for a suspect, how strongly, 0 to 1: the chance of its likeliest fault.
    fitted : false when it is out.
    instance : the part instance in the slot; empty when it is out.
    goal : true when the next step is about it.
    faults : its likeliest faults with their chances, at most three.
    """

    slot: str
    title: str
    standing: PartStanding
    strength: float = 0.0
    fitted: bool = True
    instance: str = ""
    goal: bool = False
    faults: tuple[Leaning, ...] = ()


@dataclass(frozen=True, slots=True)
class CutawayLayer:
    """One layer of the cutaway: an opening and the parts that lie behind it.

    opening : id of the opening; empty for the outside of the machine.
    title : its name in words.
    layer : its depth; 0 is outermost.
    open : true when it is open, and drawn lifted; the outside is always open.
    behind : titles of the openings that must be open first.
    minutes : hands-on minutes to open it.
    fasteners : its fasteners in words.
    on_route : true when the way to the next step goes through it.
    parts : its parts as tiles.
    """

    opening: str
    title: str
    layer: int
    open: bool
    behind: tuple[str, ...] = ()
    minutes: float = 0.0
    fasteners: tuple[str, ...] = ()
    on_route: bool = False
    parts: tuple[CutawayPart, ...] = ()


@dataclass(frozen=True, slots=True)
class Cutaway:
    """The section drawing through the machine.

    layers : layers with their parts, outermost first.
    route : ids of the openings still closed on the way to the next step, outermost first.
    goal : slots that the next step is about.
    depth : how many layers are open now.
    words : one sentence: how deep you are and how far it is to the next step.
    """

    layers: tuple[CutawayLayer, ...]
    route: tuple[str, ...] = ()
    goal: tuple[str, ...] = ()
    depth: int = 0
    words: str = ""


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


@dataclass(frozen=True, slots=True)
class RibbonPoint:
    """One moment of the ribbon chart.

    fact : number of the fact after which belief was taken; 0 for the start.
    words : what the fact said.
    """

    fact: int
    words: str


@dataclass(frozen=True, slots=True)
class RibbonBand:
    """How the chance of one fault moved.

    fault : its id.
    title : its name in words.
    chances : one chance for each point of the ribbon.
    """

    fault: str
    title: str
    chances: tuple[float, ...]


@dataclass(frozen=True, slots=True)
class Ribbon:
    """How belief moved with each finding, for the faults that lead at the end.

    points : the moments, oldest first; the first is before anything was known.
    bands : at most five faults, likeliest at the end first.
    """

    points: tuple[RibbonPoint, ...] = ()
    bands: tuple[RibbonBand, ...] = ()


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
    suspects : faults with their chances, likeliest first, at most eight.
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


@dataclass(frozen=True, slots=True)
class SheetAdvice:
    """Advice on a kind of machine from a findings file, without a workshop.

    sheet : id of the model sheet or family.
    title : its title.
    next : the advised step; none when there is nothing to advise.
    steps : the other steps that were weighed, best first.
    suspects : faults with their chances, likeliest first, at most eight.
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

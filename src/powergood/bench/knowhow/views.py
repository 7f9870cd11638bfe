"""What the know-how pages are drawn from: frozen objects of plain values and plain sentences.

`kind` is the id of the family or model sheet that a page was opened from. Chances and strengths lie in
[0, 1]; minutes are hands-on unless they say otherwise. Each docstring lists its fields as `name : meaning`.
"""

from __future__ import annotations

from dataclasses import dataclass, field

from powergood.bench.cutaway_views import Cutaway
from powergood.bench.grid_views import GridView
from powergood.bench.machine_views import CellLine
from powergood.bench.stage_views import StageCard
from powergood.bench.step_views import CautionWords


@dataclass(frozen=True, slots=True)
class Named:
    """Something with a page of its own.

    name : its id.
    title : its words.
    """

    name: str
    title: str


@dataclass(frozen=True, slots=True)
class SourceLine:
    """Where something was read.

    source : its key in the pack, or `judgement`, or `common practice`.
    title : what it is, in neutral words.
    address : where a link on its title leads, never shown as text; empty when there is none.
    licence : its licence, where one must be named.
    read : how it was read: full text, excerpt, recalled, judgement; empty where that says nothing.
    """

    source: str
    title: str
    address: str = field(default="", metadata={"link_only": True})
    licence: str = ""
    read: str = ""


@dataclass(frozen=True, slots=True)
class MovedLine:
    """How your own finished jobs moved a number.

    learned : its value now.
    low : lower end of its interval.
    high : upper end of its interval.
    jobs : numbers of the jobs that said something.
    cases : how many cases were counted, in parts where a job left it open.
    set_aside : true when it is shown and not used.
    """

    learned: float
    low: float
    high: float
    jobs: tuple[int, ...]
    cases: float
    set_aside: bool = False


@dataclass(frozen=True, slots=True)
class NumberLine:
    """One number with where it comes from.

    number : its id, `fault:FAMILY:FAULT` and the like; empty for one that nothing moves.
    title : what it is of.
    value : the number in words, with its unit.
    source : where it was read.
    weight : pseudo-cases it is worth; 0 for a number that is not weighed.
    moved : how your own jobs moved it; none when none did.
    """

    number: str
    title: str
    value: str
    source: SourceLine
    weight: float = 0.0
    moved: MovedLine | None = None


@dataclass(frozen=True, slots=True)
class FamilyLine:
    """A family in the list.

    family : its id.
    title : its name in words.
    years : the years it covers, in words.
    faults : how many faults are known.
    checks : how many checks.
    sheets : its model sheets.
    """

    family: str
    title: str
    years: str
    faults: int
    checks: int
    sheets: tuple[Named, ...]


@dataclass(frozen=True, slots=True)
class FrontView:
    """The first page of what is known.

    families : all families by title.
    troubles : sentences about packs that could not be used.
    """

    families: tuple[FamilyLine, ...]
    troubles: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class FaultLine:
    """A fault in a list.

    fault : its id.
    title : its name in words.
    part : the part it is of.
    chance : chance that it is there before anything is known; for a part with copies, in each copy.
    copies : how many copies of the part there are.
    """

    fault: str
    title: str
    part: str
    chance: float
    copies: int = 1


@dataclass(frozen=True, slots=True)
class FaultGroup:
    """Faults of about the same likelihood.

    title : how likely, in words.
    faults : the faults, likeliest first.
    """

    title: str
    faults: tuple[FaultLine, ...]


@dataclass(frozen=True, slots=True)
class CheckLine:
    """A check in a list.

    check : its id.
    ask : its sentence.
    minutes : hands-on minutes, openings not counted.
    power : off, on or start.
    opens : titles of the openings it needs, outermost first.
    """

    check: str
    ask: str
    minutes: float
    power: str
    opens: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class CheckGroup:
    """The checks of one area of the machine.

    title : the area's name.
    checks : its checks, the quickest first.
    """

    title: str
    checks: tuple[CheckLine, ...]


@dataclass(frozen=True, slots=True)
class FamilyView:
    """A family, or a model sheet's machine, as a person reads it.

    kind : id of the family or sheet.
    title : its name.
    family : its family; itself for a family.
    whole_family : true when it is a family and no sheet.
    years : the years it covers.
    expected : the number of faults to expect in one machine, with where that comes from.
    note : why these numbers.
    cutaway : the section drawing, each part with the chance that something is wrong with it.
    faults : all faults by likelihood.
    checks : all checks by area.
    sheets : the family's model sheets.
    cells : batteries and cells.
    """

    kind: str
    title: str
    family: Named
    whole_family: bool
    years: str
    expected: NumberLine
    note: str
    cutaway: Cutaway
    faults: tuple[FaultGroup, ...]
    checks: tuple[CheckGroup, ...]
    sheets: tuple[Named, ...]
    cells: tuple[CellLine, ...]


@dataclass(frozen=True, slots=True)
class SignLine:
    """How strongly one check shows a fault: one small bar.

    check : its id.
    ask : its sentence.
    seen : what is seen then.
    strength : chance that this is seen when the fault alone is there.
    words : that in words.
    """

    check: str
    ask: str
    seen: str
    strength: float
    words: str


@dataclass(frozen=True, slots=True)
class NeighbourLine:
    """A fault that looks alike, and what parts the two.

    fault : its id.
    title : its name.
    check : id of the check that parts them best; empty when nothing here does.
    ask : that check's sentence.
    here : what it tends to show for the fault of the page.
    there : what it tends to show for this one.
    fix : what cures both, where nothing parts them; empty for none.
    """

    fault: str
    title: str
    check: str = ""
    ask: str = ""
    here: str = ""
    there: str = ""
    fix: str = ""


@dataclass(frozen=True, slots=True)
class FixLine:
    """One way to mend a fault.

    fix : its id.
    do : its sentence.
    cures : chance that it cures this fault.
    minutes : hands-on minutes, openings not counted.
    way : minutes to open the way and to close it again.
    elapsed : minutes of waiting on top.
    money : money it costs.
    opens : titles of the openings, outermost first.
    disturbs : faults it may make, with how often.
    tools : tools it takes.
    cautions : cautions with their words.
    wrong_when : when it fails.
    note : further words.
    harm : chance of a loss as dear as the machine.
    unexplained : true when nobody can be sure why it helped.
    consent : true when it cannot be undone.
    """

    fix: str
    do: str
    cures: float
    minutes: float
    way: float
    elapsed: float
    money: float
    opens: tuple[str, ...]
    disturbs: tuple[FaultLine, ...]
    tools: tuple[str, ...]
    cautions: tuple[CautionWords, ...]
    wrong_when: tuple[str, ...]
    note: str
    harm: float
    unexplained: bool
    consent: bool


@dataclass(frozen=True, slots=True)
class FaultView:
    """A fault's page.

    kind : the family or sheet it was opened from.
    kind_title : name of the family or sheet.
    fault : its id.
    title : its name.
    part : the part it is of.
    where : where that part lies, in words.
    chance : chance before anything is known.
    copies : how many copies of the part there are.
    intermittent : chance that it shows in one start; 0 for one that always acts.
    danger : what can hurt; empty when nothing.
    sets_apart : what sets it apart, in the pack's words.
    signs : the checks that tell most of it.
    weaker : other checks that it moves.
    unseen : why no check sees it; empty when one does.
    neighbours : faults that look alike.
    fixes : ways to mend it.
    brings : faults it tends to bring.
    numbers : every number of the page with its source.
    sources : every source that the page's numbers and words name.
    """

    kind: str
    kind_title: str
    fault: str
    title: str
    part: str
    where: str
    chance: float
    copies: int
    intermittent: float
    danger: str
    sets_apart: str
    signs: tuple[SignLine, ...]
    weaker: tuple[SignLine, ...]
    unseen: str
    neighbours: tuple[NeighbourLine, ...]
    fixes: tuple[FixLine, ...]
    brings: tuple[FaultLine, ...]
    numbers: tuple[NumberLine, ...]
    sources: tuple[SourceLine, ...]


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
    """

    gate: str
    title: str
    ask: str
    because: str
    holds: str
    cautions: tuple[CautionWords, ...]
    otherwise: str = ""


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


@dataclass(frozen=True, slots=True)
class ComplaintLine:
    """A complaint in a list.

    complaint : its id.
    words : how people say it.
    also : other ways they say it.
    """

    complaint: str
    words: str
    also: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class ComplaintsView:
    """All complaints of a kind of machine.

    kind : the family or sheet.
    title : its name.
    complaints : the complaints, in the pack's order.
    """

    kind: str
    title: str
    complaints: tuple[ComplaintLine, ...]


@dataclass(frozen=True, slots=True)
class ComplaintView:
    """A complaint's page.

    kind : the family or sheet.
    kind_title : its name.
    complaint : its id.
    words : how people say it.
    also : other ways they say it.
    ask : the question that splits it; empty when it is clear.
    answers : the answers, each another complaint.
    stands_for : the findings it stands for: the check, and what it would show.
    suspects : the faults it speaks for most, with their chance once it is seen.
    """

    kind: str
    kind_title: str
    complaint: str
    words: str
    also: tuple[str, ...]
    ask: str
    answers: tuple[ComplaintLine, ...]
    stands_for: tuple[SignLine, ...]
    suspects: tuple[FaultLine, ...]


@dataclass(frozen=True, slots=True)
class FoundLine:
    """One thing that fits what was looked for, wherever it is known.

    what : complaint, fault, check or machine.
    title : its words.
    places : where it is known: page address and name of the family or sheet.
    because : the words that fitted, where they are not the title.
    """

    what: str
    title: str
    places: tuple[Named, ...]
    because: str = ""


@dataclass(frozen=True, slots=True)
class SearchView:
    """What fits some words.

    words : as typed.
    kind : the family or sheet looked in; empty for all.
    kind_title : its name.
    found : what fits, best first.
    """

    words: str
    kind: str
    kind_title: str
    found: tuple[FoundLine, ...]

"""What is known of a kind of machine: the nouns that packs are written in.

A *subsystem* says what parts there are, what they do, how they fail, and what a person can look at and
mend. A *family* puts subsystems together into a class of machine and adds the ways in (openings), the
safety conditions (gates) and the complaints people bring. A *model sheet* says where one make and model
differs. `compose` joins the three into a `MachineModel`, which is all that the other packages see.

Every number is a `Claim`: a value with its source. In a pack file a claim is written `5 (judgement)` or
`0.3 (S3)` or, with a weight in pseudo-cases, `0.05 (judgement, weight 8)`.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Literal

Power = Literal["off", "on", "start"]
ExtentName = Literal["all", "line", "several", "one"]
FixKind = Literal["replace", "re-seat", "clean", "repair", "re-solder", "re-cap", "set", "remove"]


@dataclass(frozen=True, slots=True)
class Claim:
    """A number from the world: its value, where it came from, and how many cases it is worth.

    `source` is the key of an entry in the pack's `sources.yaml`, or the word `judgement`, or
    `common practice`. `weight` is in pseudo-cases; 0 means the family's default weight.
    """

    value: float
    source: str
    weight: float = 0.0


@dataclass(frozen=True, slots=True)
class Source:
    """Where a number or a fact was read. `address` may carry makes or models; the title never does."""

    id: str
    title: str
    address: str = ""
    licence: str = ""
    read: Literal["full text", "excerpt", "recalled", "judgement"] = "excerpt"


@dataclass(frozen=True, slots=True)
class Part:
    """A replaceable thing in a machine. `opening` is the opening it lies behind; empty means outside."""

    id: str
    title: str
    area: str
    opening: str = ""
    copies: int = 1
    optional: bool = False


@dataclass(frozen=True, slots=True)
class Function:
    """Something the machine should do; it works when everything it needs works.

    `needs` are other functions, all of which must work. `either` are alternatives: the first whose
    parts (`of`) are all fitted is the one that counts. `of` are the parts this function rests on.
    """

    id: str
    title: str
    area: str
    needs: tuple[str, ...] = ()
    either: tuple[str, ...] = ()
    of: tuple[str, ...] = ()
    wanted: bool = False


@dataclass(frozen=True, slots=True)
class Sign:
    """Something a person may notice that speaks for a fault: a smell, a crust, a click."""

    id: str
    title: str
    area: str


@dataclass(frozen=True, slots=True)
class Fault:
    """One way a part fails, named `part.mode`.

    `frequency` is a relative weight (8 very common, 4 common, 2 occasional, 0.5 rare), scaled over the
    family to its expected number of faults; `chance` is given instead where a real probability is known.
    `breaks` gives, for each function, the chance that this fault alone stops it; `signs` the chance that
    this fault shows that sign. `shows` makes it intermittent: the chance that it acts in one power-up
    (its `breaks` are then certain while it acts). `makes` names faults that this one brings with it, with
    the chance (a small joint cluster); a fault that shares a cause with another but is not joined says
    why in `independent`. A fault that no check can see says why
    in `unseen`. `sets_apart` and `danger` are sentences for people.
    """

    id: str
    title: str
    breaks: Mapping[str, Claim] = field(default_factory=dict)
    signs: Mapping[str, Claim] = field(default_factory=dict)
    frequency: Claim | None = None
    chance: Claim | None = None
    shows: Claim | None = None
    makes: Mapping[str, Claim] = field(default_factory=dict)
    sets_apart: str = ""
    independent: str = ""
    unseen: str = ""
    danger: str = ""


@dataclass(frozen=True, slots=True)
class Rung:
    """One rung of a ladder: what must work (or which sign must be absent), and what a person then sees.

    `seen` is what is noticed when the machine stops here: "Lamp lights, nothing else".
    """

    of: str
    seen: str


@dataclass(frozen=True, slots=True)
class Extent:
    """One extent of a grid's worst pattern: what must work for it not to be seen, and what is seen then.

    `all`: every cell is bad. `line`: a whole line, or three bad cells or more that all lie in one line.
    `several`: three bad cells or more. `one`: any bad cell. An extent that a grid does not name is passed
    over. `of` is the function or sign. `seen` is what a person says: "A whole row or column is dead".
    """

    extent: ExtentName
    of: str
    seen: str


@dataclass(frozen=True, slots=True)
class Line:
    """Cells of a grid that hang on one line, such as a row of the matrix.

    `cells` are the names of its cells, all of them in the grid.
    """

    title: str
    cells: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Grid:
    """Cells that are tried one by one; what they make up is the extent of the worst pattern.

    `rows` are the cells as the machine has them, top row first; an empty name leaves a gap. `lines` say
    which cells hang together; without them rows and columns do. With `copies_of`, in place of `rows`, there
    is one cell for each copy of a part, and where the bad cell lies names the copy. `extents` go from the
    worst to `one`, and are scored as a ladder: what is worse hides what is less bad. `before` are rungs that
    must pass before any cell can be tried. `cell` is what a cell is called: key, port, bit.
    """

    extents: tuple[Extent, ...]
    rows: tuple[tuple[str, ...], ...] = ()
    copies_of: str = ""
    lines: tuple[Line, ...] = ()
    before: tuple[Rung, ...] = ()
    cell: str = "cell"


@dataclass(frozen=True, slots=True)
class Check:
    """Something you do or look at to learn.

    Exactly one of `of` (a function or sign: yes or no), `rungs` (a ladder: how far does it get?) and `grid`
    (which cells are bad?) is given. Outcomes of a yes/no check are `good` and `bad`; of a ladder, the `of` of
    the rung that failed, or `good` when all passed; of a grid, the `extent`, or `good`. `false_alarm` is the
    chance that a sound machine is reported bad, at whichever rung. `out` parts are taken out or unplugged for
    the check and `instead` parts are replaced by known-good ones: neither part's faults act in it.
    `each_copy_of` makes it a check of one copy of a part, the others out. `start` is a power-up of its own;
    `on` needs a running machine; `off` is unplugged. `starts` is for what lasts or provokes: it gives what
    comes and goes as many chances to act as that many power-ups.
    """

    id: str
    ask: str
    minutes: Claim
    false_alarm: Claim
    power: Power
    of: str = ""
    good: str = ""
    bad: str = ""
    rungs: tuple[Rung, ...] = ()
    grid: Grid | None = None
    all_good: str = ""
    no_verdict: Claim | None = None
    elapsed: Claim | None = None
    starts: Claim | None = None
    money: Claim | None = None
    harm: Claim | None = None
    open: tuple[str, ...] = ()
    closed: tuple[str, ...] = ()
    fitted: tuple[str, ...] = ()
    out: tuple[str, ...] = ()
    instead: tuple[str, ...] = ()
    each_copy_of: str = ""
    on_pad: bool = False
    tools: tuple[str, ...] = ()
    cautions: tuple[str, ...] = ()
    wrong_when: tuple[str, ...] = ()
    tells: str = ""


@dataclass(frozen=True, slots=True)
class Fix:
    """Something you do to make it right.

    `replaces` names the part that is exchanged whole: all faults of the part leave with it, and the new
    part is a dud with chance `dud`. Otherwise `cures` gives each fault's chance of being cured. `disturbs`
    gives the chance that doing this makes a fault that was not there. `unexplained` marks a cure nobody
    can be sure of (a re-seat). `consent` marks what cannot be undone.
    """

    id: str
    do: str
    kind: FixKind
    minutes: Claim
    replaces: str = ""
    cures: Mapping[str, Claim] = field(default_factory=dict)
    dud: Claim | None = None
    disturbs: Mapping[str, Claim] = field(default_factory=dict)
    elapsed: Claim | None = None
    money: Claim | None = None
    harm: Claim | None = None
    open: tuple[str, ...] = ()
    tools: tuple[str, ...] = ()
    cautions: tuple[str, ...] = ()
    wrong_when: tuple[str, ...] = ()
    unexplained: bool = False
    consent: bool = False
    note: str = ""


@dataclass(frozen=True, slots=True)
class Limit:
    """What a reading in a stage of bring-up must lie between, limits included.

    `unit` is a unit without prefix (V, A, Ω). One of `low` and `high` may be missing. `edition` names the
    standard and its edition, and whether its text was read or is recalled. `below` and `above` are the
    outcomes of the stage's check that a reading outside stands for, `nothing` the one when every reading
    of the stage is nothing to speak of (under a tenth of its limit). An `optional` reading is of a rail that
    some machines lack. `healthy` is the name of the reading
    in a model sheet that this one is compared with. `label`, on limits in per cent, is the unit of what they
    are per cent of: the figure on the label, which the person gives; a reading in that unit is held against
    it.
    """

    id: str
    title: str
    unit: str
    low: Claim | None = None
    high: Claim | None = None
    edition: str = ""
    below: str = ""
    above: str = ""
    nothing: str = ""
    healthy: str = ""
    optional: bool = False
    label: str = ""


@dataclass(frozen=True, slots=True)
class OwnLimit:
    """The limits of one reading of a stage of bring-up, in place of those it has by the stage.

    `id` is the stage and the reading, as the record names them: `supply-alone.twelve`. `low` and `high` take
    the place of both. `edition` says what they come from, and whether its text was read or is recalled.
    """

    id: str
    low: Claim | None = None
    high: Claim | None = None
    edition: str = ""


@dataclass(frozen=True, slots=True)
class Edition:
    """An edition of a standard that machines of a family may follow, with the limits that it sets.

    `told_by` says how a person tells it by looking. `limits` are in place of those of the family's stages;
    `lacks` are the readings, named as there, of rails that the edition does not have.
    """

    id: str
    title: str
    told_by: str = ""
    limits: tuple[OwnLimit, ...] = ()
    lacks: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class StopIf:
    """Something to stop a stage at, and what to do then.

    `unmeets` are gates that are met no more once this was seen. `check` and `outcome` are the finding that
    it stands for, where a check looks for the same.
    """

    id: str
    seen: str
    then: str
    unmeets: tuple[str, ...] = ()
    check: str = ""
    outcome: str = ""


@dataclass(frozen=True, slots=True)
class Stage:
    """One stage of bring-up: what to do, with what fitted, what to look at, and what to stop at.

    `out` parts are unplugged or out, `fitted` parts are in, `open` are the openings that are open. `check`
    is the check whose outcome follows from the readings within `limits`. `meets` are the gates that
    this stage proves when it is done. `both_sides` tells a practice that people disagree about, with the
    safe default first.
    """

    id: str
    title: str
    do: str
    power: Power
    minutes: Claim
    because: str = ""
    fitted: tuple[str, ...] = ()
    out: tuple[str, ...] = ()
    open: tuple[str, ...] = ()
    limits: tuple[Limit, ...] = ()
    check: str = ""
    meets: tuple[str, ...] = ()
    stop_if: tuple[StopIf, ...] = ()
    tools: tuple[str, ...] = ()
    cautions: tuple[str, ...] = ()
    both_sides: str = ""


@dataclass(frozen=True, slots=True)
class Subsystem:
    """A reusable piece of knowledge: its parts, what they do, how they fail, what to look at and mend.

    What belongs to a family as a whole (ways in, safety conditions, complaints, take-in questions) may stand
    in pieces of their own as well, so that each file is about one thing.
    """

    format: int
    id: str
    title: str
    area: str
    parts: tuple[Part, ...] = ()
    functions: tuple[Function, ...] = ()
    signs: tuple[Sign, ...] = ()
    faults: tuple[Fault, ...] = ()
    checks: tuple[Check, ...] = ()
    fixes: tuple[Fix, ...] = ()
    stages: tuple[Stage, ...] = ()
    openings: tuple[Opening, ...] = ()
    gates: tuple[Gate, ...] = ()
    complaints: tuple[Complaint, ...] = ()
    intake: tuple[IntakeFact, ...] = ()


@dataclass(frozen=True, slots=True)
class Opening:
    """One layer of taking apart. `behind` are the openings that must be open first.

    `harm` is the chance of breaking something while opening it. `fasteners` are in plain words.
    `layer` orders the drawing: 0 is outermost.
    """

    id: str
    title: str
    minutes: Claim
    refit: Claim
    behind: tuple[str, ...] = ()
    harm: Claim | None = None
    fasteners: tuple[str, ...] = ()
    cautions: tuple[str, ...] = ()
    layer: int = 0


@dataclass(frozen=True, slots=True)
class Gate:
    """A safety condition that must be met before a step may be shown; never traded for minutes.

    `holds` says what it holds back: `power` (every step that applies power), `opening` (every opening),
    or `step:ID` for one step or opening. `but` are the checks and stages with power that a gate which holds
    `power` leaves free, since they are its proof or put power on something else. `ask` is what a person
    ticks; `because` why. A gate with `otherwise` may be answered with a no: the steps it holds are then
    left out of all plans, and `otherwise` says what to do instead.
    """

    id: str
    title: str
    ask: str
    because: str
    holds: tuple[str, ...]
    cautions: tuple[str, ...] = ()
    but: tuple[str, ...] = ()
    otherwise: str = ""


@dataclass(frozen=True, slots=True)
class Caution:
    """Words shown with a step that can hurt someone or something.

    `danger` gets the hatched edge; `deadly` marks a danger that can kill a person or set fire, which is shown
    before all others and never folded. The words begin with what to do: on a small screen what stands before
    their first colon or full stop stands alone until the rest is asked for.
    """

    id: str
    title: str
    words: str
    danger: bool = False
    deadly: bool = False
    source: str = "common practice"


@dataclass(frozen=True, slots=True)
class ToldFinding:
    """A finding that a complaint stands for; only told, never seen."""

    check: str
    outcome: str


@dataclass(frozen=True, slots=True)
class Answer:
    """One answer to a splitting question: the words, and the complaint it leads to."""

    words: str
    complaint: str


@dataclass(frozen=True, slots=True)
class Complaint:
    """What people say is wrong, in their words, and the findings it stands for.

    An unclear one has no findings but asks one question (`ask`) whose answers are other complaints.
    """

    id: str
    words: str
    also: tuple[str, ...] = ()
    findings: tuple[ToldFinding, ...] = ()
    ask: str = ""
    answers: tuple[Answer, ...] = ()


@dataclass(frozen=True, slots=True)
class IntakeFact:
    """Something known at take-in that makes faults likelier: kept damp, a spill seen, repaired before.

    `multiplies` gives factors on the odds, keyed by fault, part or area. `from_year`/`to_year` make it an
    age band that answers itself from the machine's year.
    """

    id: str
    ask: str
    multiplies: Mapping[str, Claim]
    from_year: int = 0
    to_year: int = 0


@dataclass(frozen=True, slots=True)
class Area:
    """A region of the machine, with the chance that its trouble is one nobody listed.

    `something_else` is that chance before anything is known. `replace` is what mends it: the area's
    whole-part replacement.
    """

    id: str
    title: str
    something_else: Claim
    replace: str
    minutes: Claim
    money: Claim
    open: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Cell:
    """A battery or cell: where it is, its type and polarity."""

    id: str
    title: str
    kind: str
    place: str
    polarity: str = ""


@dataclass(frozen=True, slots=True)
class Family:
    """The knowledge for a class of machine, put together from subsystems.

    `bring_up` names the stages of bring-up in their order; a stage that it does not name is not used.
    `editions` are those of the standard that its stages' limits rest on; a sheet says which one holds.
    """

    format: int
    id: str
    title: str
    years: str
    expected_faults: Claim
    subsystems: tuple[str, ...]
    areas: tuple[Area, ...]
    openings: tuple[Opening, ...] = ()
    weight: float = 8.0
    gates: tuple[Gate, ...] = ()
    complaints: tuple[Complaint, ...] = ()
    intake: tuple[IntakeFact, ...] = ()
    checks: tuple[Check, ...] = ()
    functions: tuple[Function, ...] = ()
    cells: tuple[Cell, ...] = ()
    stages: tuple[Stage, ...] = ()
    bring_up: tuple[str, ...] = ()
    editions: tuple[Edition, ...] = ()
    note: str = ""


@dataclass(frozen=True, slots=True)
class ModelSheet:
    """Where one make and model differs from its family, and what it is called.

    `copies` overrides how many copies of a part there are (0: the machine has none). `openings`,
    `faults`, `checks`, `fixes` and `parts` replace the family's of the same id, whole. `edition` is the one
    of the family's editions that this model follows, `limits` are its own limits at first power, over both;
    `sources` are those of the sheet's own numbers, beside the pack's.
    """

    format: int
    id: str
    title: str
    family: str
    make: str = ""
    year: int = 0
    copies: Mapping[str, int] = field(default_factory=dict)
    parts: tuple[Part, ...] = ()
    openings: tuple[Opening, ...] = ()
    faults: tuple[Fault, ...] = ()
    checks: tuple[Check, ...] = ()
    fixes: tuple[Fix, ...] = ()
    cells: tuple[Cell, ...] = ()
    edition: str = ""
    limits: tuple[OwnLimit, ...] = ()
    weak_points: tuple[str, ...] = ()
    healthy: Mapping[str, str] = field(default_factory=dict)
    boot_routes: tuple[str, ...] = ()
    sources: tuple[Source, ...] = ()
    note: str = ""


@dataclass(frozen=True, slots=True)
class MachineModel:
    """A whole machine as known: family, subsystems and sheet composed, copies still counted, not unrolled.

    Invariant (held by `compose`): every id is unique in its kind and every reference resolves.
    A model may equally be built by hand in Python; nothing in it needs a pack.
    """

    id: str
    title: str
    areas: tuple[Area, ...]
    parts: tuple[Part, ...]
    functions: tuple[Function, ...]
    signs: tuple[Sign, ...]
    faults: tuple[Fault, ...]
    checks: tuple[Check, ...]
    fixes: tuple[Fix, ...]
    openings: tuple[Opening, ...] = ()
    gates: tuple[Gate, ...] = ()
    complaints: tuple[Complaint, ...] = ()
    intake: tuple[IntakeFact, ...] = ()
    cautions: tuple[Caution, ...] = ()
    cells: tuple[Cell, ...] = ()
    sources: tuple[Source, ...] = ()
    stages: tuple[Stage, ...] = ()
    bring_up: tuple[str, ...] = ()
    healthy: Mapping[str, str] = field(default_factory=dict)
    expected_faults: Claim | None = None
    weight: float = 8.0
    family: str = ""
    sheet: str = ""
    digest: str = ""

"""What a person can do: looks with their outcomes, as ladders and grids too, and fixes."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Literal

from powergood.knowledge.claims import Claim

Power = Literal["off", "on", "start"]
ExtentName = Literal["all", "line", "several", "one"]
FixKind = Literal["replace", "re-seat", "clean", "repair", "re-solder", "re-cap", "set", "remove"]


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

"""What each page is given: one documented dataclass a page, holding the bench's own views.

Every context has `title` (of the page) and, for pages with forms, `failed` (the name of the form that must
be mended; empty when none) and `kept` (that form as sent, with its problems). `Frame` goes with them all.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Literal

from powergood.bench.card_views import BoardView, JobCard, JobName, MachineCard
from powergood.bench.intake_views import ComplaintMatch, Kind, WantedFunction
from powergood.bench.job_views import JobView
from powergood.bench.machine_views import MachineView
from powergood.bench.record_views import RecordLine
from powergood.bench.step_views import Leaning
from powergood.bench.weighed import Weighing
from powergood.bench.work_views import OtherWork
from powergood.web.drawings.cutaway import Section
from powergood.web.drawings.ribbon import RibbonChart
from powergood.web.forms import Filled
from powergood.web.know_contexts import KnowPage
from powergood.web.taught_contexts import TaughtPages

Paper = Literal["as-set", "day", "night"]
Landing = Literal["top", "stage", "gates", "step", "noted", "cutaway", "wanted", "record"]
"""The parts of a job's page at which the words of what was just written down can stand."""


@dataclass(frozen=True, slots=True)
class Frame:
    """What stands round every page.

    place : the place that is marked in the row of places; empty when none is.
    paper : day, night, or as the device is set.
    who : the person's name, put beside what they write down.
    token : the token that every form carries.
    said : one sentence about what has just been written down; empty when nothing was.
    job : the job that what is read here was reached from; none where it was not.
    """

    place: str
    paper: Paper
    who: str
    token: str
    said: str
    job: JobName | None = None


@dataclass(frozen=True, slots=True)
class BenchPage:
    """The bench: open jobs, tonight, the shelf, machines without a job.

    board : the bench's own view.
    tonight : open jobs whose next step is known, shortest first.
    """

    board: BoardView
    tonight: tuple[JobCard, ...]
    title: str = "Bench"
    failed: str = ""
    kept: Filled = field(default_factory=Filled)


@dataclass(frozen=True, slots=True)
class MachinesPage:
    """The machines, all or those that fit what was looked for.

    machines : those shown. total : how many there are. find : what was looked for.
    """

    machines: tuple[MachineCard, ...]
    total: int
    find: str
    title: str = "Machines"
    failed: str = ""
    kept: Filled = field(default_factory=Filled)


@dataclass(frozen=True, slots=True)
class TakeInPage:
    """The short form that puts a machine in the book.

    kinds : what one can take in. next_tag : the tag proposed.
    """

    kinds: tuple[Kind, ...]
    next_tag: str
    title: str = "Take a machine in"
    failed: str = ""
    kept: Filled = field(default_factory=Filled)


@dataclass(frozen=True, slots=True)
class MachinePage:
    """A machine's page."""

    machine: MachineView
    title: str
    failed: str = ""
    kept: Filled = field(default_factory=Filled)


@dataclass(frozen=True, slots=True)
class JobPage:
    """A job's page, and the pad, complaint and sign-off pages of the same job.

    job : the bench's own view.
    section : the cutaway as drawn.
    chart : the ribbon chart as drawn; none while there is nothing to compare.
    latest_first : the record, latest fact first.
    at_once : how many facts stand on the page unfolded.
    asks_complaint : true while the complaint was not yet taken for a known one and nothing was found.
    can_want : functions that could be wanted, those wanted now marked.
    match : what the complaint may stand for; only on the complaint page.
    stray : what was typed into a form that is not on the page any more, by field.
    other : looks and mends to choose from, and the one chosen; only on the page of other work.
    lands : the part of the page where what was just written down is said.
    """

    job: JobView
    section: Section
    chart: RibbonChart | None
    latest_first: tuple[RecordLine, ...]
    asks_complaint: bool
    title: str
    at_once: int = 6
    can_want: tuple[WantedFunction, ...] = ()
    match: ComplaintMatch | None = None
    stray: tuple[tuple[str, str], ...] = ()
    other: OtherWork | None = None
    lands: Landing = "top"
    failed: str = ""
    kept: Filled = field(default_factory=Filled)


@dataclass(frozen=True, slots=True)
class SupposedStep:
    """A step as it would be advised: its sentence, minutes, openings by title, expected total minutes."""

    ask: str
    minutes: float
    opens: tuple[str, ...]
    expected_total: float


@dataclass(frozen=True, slots=True)
class WhatIfPage:
    """What would come next if a check came out so; nothing is written down.

    number : the job's. ask : the check. outcome : the outcome supposed. steps : the first steps then.
    suspects : the faults most suspect then.
    """

    number: int
    ask: str
    outcome: str
    steps: tuple[SupposedStep, ...]
    suspects: tuple[Leaning, ...]
    title: str = "What if"
    failed: str = ""
    kept: Filled = field(default_factory=Filled)


@dataclass(frozen=True, slots=True)
class WeighingPage:
    """What each finding of a job says for or against one fault.

    weighing : the fault, its chances and the findings. sheet : the kind of machine, to read on.
    """

    weighing: Weighing
    sheet: str
    title: str = "What moved it"
    failed: str = ""
    kept: Filled = field(default_factory=Filled)


@dataclass(frozen=True, slots=True)
class NearPart:
    """The part of a job's page that says how near the plan is to the best, worked out further.

    number : the job's. words, figures : how near. level : work done so far. last : work that can be done.
    """

    number: int
    words: str
    figures: str
    level: int
    last: int
    title: str = ""
    failed: str = ""
    kept: Filled = field(default_factory=Filled)


@dataclass(frozen=True, slots=True)
class TroublePage:
    """Something went wrong, in plain words.

    words : paragraphs. typed : what the form held, by field. back, back_words : where to go on.
    """

    title: str
    words: tuple[str, ...]
    typed: tuple[tuple[str, str], ...] = ()
    back: str = "/"
    back_words: str = "To the bench"
    failed: str = ""
    kept: Filled = field(default_factory=Filled)


Page = (
    BenchPage
    | MachinesPage
    | TakeInPage
    | MachinePage
    | JobPage
    | WhatIfPage
    | NearPart
    | WeighingPage
    | TroublePage
    | KnowPage
    | TaughtPages
)

"""What the bench and the lists are drawn from: machines and jobs in brief, and the board of jobs."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from powergood.bench.step_views import Leaning
from powergood.diagnosis.model import StepKind

JobStanding = Literal["open", "on the shelf", "signed off", "stopped"]


@dataclass(frozen=True, slots=True)
class JobName:
    """A job by its number and its machine, for a link that leads to it.

    number : the job's.
    tag : the machine's tag number.
    machine : what the machine is called.
    """

    number: int
    tag: str
    machine: str


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

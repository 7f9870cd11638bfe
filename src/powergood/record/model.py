"""What happened: the kinds of fact that the book of a workshop is made of.

Facts only grow. A withdrawal is a fact; so is the return of a part to the slot it came from. Each fact
has an envelope (who, when it was seen, when it was written, during which power-up, about which machines
and job) and a body of one of the kinds below. Bodies hold plain values only, so that each kind is one
plain table that any SQLite tool can read.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Literal, TypeAlias

Outcome = str
"""`good`, `bad`, the `of` of the rung that failed, the extent of a grid, or `no verdict`."""

GOOD: Outcome = "good"
BAD: Outcome = "bad"
NO_VERDICT: Outcome = "no verdict"

Standing = Literal["unknown", "suspect", "bad", "good once", "known-good"]


@dataclass(frozen=True, slots=True)
class TakenIn:
    """A machine came in: its tag, what it is, and the giver's story."""

    tag: str
    name: str
    sheet: str
    year: int = 0
    story: str = ""
    came_with: str = ""
    condition: str = ""
    place: str = ""


@dataclass(frozen=True, slots=True)
class Described:
    """A detail of a machine set or changed later (`what` is a field of TakenIn)."""

    what: str
    value: str


@dataclass(frozen=True, slots=True)
class IntakeAnswer:
    """The answer to one of the family's take-in questions."""

    question: str
    yes: bool


@dataclass(frozen=True, slots=True)
class JobOpened:
    """A job began. `wanted` are the functions it should end with."""

    title: str
    wanted: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Pinned:
    """What a job's advice rests on, so that nothing learned elsewhere changes it unasked."""

    packs: str
    learned: str = ""


@dataclass(frozen=True, slots=True)
class WantedSet:
    """The functions this job should end with, changed."""

    wanted: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Complained:
    """What is said to be wrong: the words as typed, and the known complaint they were taken for."""

    words: str
    complaint: str = ""
    told: bool = True


@dataclass(frozen=True, slots=True)
class Finding:
    """One check's outcome, with how sure the person was and whether it is only told.

    `cells` are the cells of a grid that were marked bad, where they were marked.
    """

    check: str
    outcome: Outcome
    sure: bool = True
    told: bool = False
    copy: int = 0
    note: str = ""
    cells: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Reading:
    """A measured number: the text as typed, its value in the base SI unit, and how it was taken."""

    quantity: str
    text: str
    value: float
    unit: str
    instrument: str = ""
    conditions: str = ""


@dataclass(frozen=True, slots=True)
class FixDone:
    """A fix was carried out. `slot` and `instance` name what went in where (for a replacement)."""

    fix: str
    slot: str = ""
    instance: str = ""
    note: str = ""


@dataclass(frozen=True, slots=True)
class Opened:
    """An opening was opened."""

    opening: str


@dataclass(frozen=True, slots=True)
class Refitted:
    """An opening was closed again."""

    opening: str


@dataclass(frozen=True, slots=True)
class PartOut:
    """A part instance came out of its slot."""

    instance: str
    slot: str = ""


@dataclass(frozen=True, slots=True)
class PartIn:
    """A part instance went into a slot (its own old one unless `slot` says otherwise)."""

    instance: str
    slot: str = ""
    standing: Standing = "unknown"


@dataclass(frozen=True, slots=True)
class GateAnswered:
    """A safety condition was met, or is no longer met; `how` in the person's words."""

    gate: str
    met: bool
    how: str = ""


@dataclass(frozen=True, slots=True)
class CannotDo:
    """A step cannot be done here (a tool is lacking, say): it is not offered again in this job."""

    step: str
    because: str = ""


@dataclass(frozen=True, slots=True)
class Note:
    """Words kept with the record."""

    text: str


@dataclass(frozen=True, slots=True)
class PhotoTaken:
    """A photo, by the SHA-256 digest of its stored file."""

    digest: str
    caption: str = ""


@dataclass(frozen=True, slots=True)
class Withdrawn:
    """An earlier fact is taken back; it stays in the record, struck through."""

    fact: int
    because: str = ""


@dataclass(frozen=True, slots=True)
class Shelved:
    """A job rests; `waits_for` is what it is on the shelf for."""

    waits_for: Literal["a part", "a tool", "an answer", "an evening"]
    words: str = ""


@dataclass(frozen=True, slots=True)
class Resumed:
    """A resting job goes on."""

    words: str = ""


@dataclass(frozen=True, slots=True)
class SignedOff:
    """A job is done. `words` says why a function that is not proven is let go, where there is one."""

    words: str = ""
    unproven: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Stopped:
    """A job ends short of repair: stabilised and left, with the reason."""

    because: str


@dataclass(frozen=True, slots=True)
class TookMinutes:
    """How long something took by the person's own word: hands-on minutes, waiting left out.

    `covers` names the steps that were done in that time, each once: `check:ID`, `fix:ID`, `opening:ID` or
    `refit:ID`.
    """

    minutes: float
    covers: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class PartFrom:
    """Where a part instance was got: a shop, a donor, a drawer, in the person's words."""

    instance: str
    source: str


@dataclass(frozen=True, slots=True)
class SetAside:
    """A learned number is not to be used any more; taking this fact back uses it again."""

    number_id: str
    because: str = ""


@dataclass(frozen=True, slots=True)
class PreferenceSet:
    """What time, money or the machine is worth here, or a limit, was set; an empty value unsets it."""

    name: str
    value: str


Body: TypeAlias = (
    TakenIn | Described | IntakeAnswer | JobOpened | Pinned | WantedSet | Complained | Finding | Reading
    | FixDone | Opened | Refitted | PartOut | PartIn | GateAnswered | CannotDo | Note | PhotoTaken
    | Withdrawn | Shelved | Resumed | SignedOff | Stopped | TookMinutes | PartFrom | SetAside | PreferenceSet
)  # fmt: skip

BODY_KINDS: tuple[type[Body], ...] = (
    TakenIn, Described, IntakeAnswer, JobOpened, Pinned, WantedSet, Complained, Finding, Reading,
    FixDone, Opened, Refitted, PartOut, PartIn, GateAnswered, CannotDo, Note, PhotoTaken,
    Withdrawn, Shelved, Resumed, SignedOff, Stopped, TookMinutes, PartFrom, SetAside, PreferenceSet,
)  # fmt: skip


@dataclass(frozen=True, slots=True)
class Draft:
    """A fact as it arrives, before it has a number. `key` makes a resend add nothing.

    `machines` are tags; a swap names two. `power_up` groups what was seen during one start (0: none).
    `fitted` are the part instances in the machine then, where a page knows better than the record;
    usually empty, since the record of parts in and out says it.
    """

    body: Body
    key: str
    machines: tuple[str, ...] = ()
    job: int = 0
    who: str = ""
    seen_at: str = ""
    power_up: int = 0
    fitted: tuple[str, ...] = ()
    prompted_by: str = ""
    digest: str = ""


@dataclass(frozen=True, slots=True)
class Fact:
    """A fact in the book: a draft with its number, which gives the order, and when it was written.

    Times are ISO 8601 in UTC with seconds (`2026-11-25T09:30:00Z`).
    """

    number: int
    written_at: str
    draft: Draft = field(repr=True)

    @property
    def body(self) -> Body:
        """The body of the draft: what happened."""
        return self.draft.body

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

from powergood.knowledge.claims import Claim, Source
from powergood.knowledge.parts import Fault, Function, Part, Sign
from powergood.knowledge.said import Answer, Complaint, IntakeFact, ToldFinding
from powergood.knowledge.stages import Edition, Limit, OwnLimit, Stage, StopIf
from powergood.knowledge.steps import Check, Extent, ExtentName, Fix, FixKind, Grid, Line, Power, Rung
from powergood.knowledge.ways import Caution, Gate, Opening, StandsFor

__all__ = [
    "Answer",
    "Area",
    "Caution",
    "Cell",
    "Check",
    "Claim",
    "Complaint",
    "Edition",
    "Extent",
    "ExtentName",
    "Family",
    "Fault",
    "Fix",
    "FixKind",
    "Function",
    "Gate",
    "Grid",
    "IntakeFact",
    "Limit",
    "Line",
    "MachineModel",
    "ModelSheet",
    "Opening",
    "OwnLimit",
    "Part",
    "Power",
    "Rung",
    "Sign",
    "Source",
    "Stage",
    "StandsFor",
    "StopIf",
    "Subsystem",
    "ToldFinding",
]


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

"""What the pages of model sheets are drawn from: frozen objects of plain values and plain sentences.

Each docstring lists its fields as `name : meaning`.
"""

from __future__ import annotations

from dataclasses import dataclass

from powergood.bench.knowhow.views import EditionLine, Named, SourceLine
from powergood.bench.machine_views import CellLine


@dataclass(frozen=True, slots=True)
class SheetCard:
    """A model sheet in a list.

    sheet : its id.
    title : its name.
    year : year of make; 0 when not known.
    family : the family it belongs to.
    own : true when it lies in this workshop, so that it can be changed here.
    """

    sheet: str
    title: str
    year: int
    family: Named
    own: bool


@dataclass(frozen=True, slots=True)
class SlotLine:
    """A place for a part.

    part : its id.
    title : its name.
    copies : how many there are; 0 for a part this model does not have.
    usual : how many the family has.
    opening : what it lies behind; empty for outside.
    """

    part: str
    title: str
    copies: int
    usual: int
    opening: str


@dataclass(frozen=True, slots=True)
class OpeningLine:
    """One layer of taking apart, as this model has it.

    opening : its id.
    title : its name.
    behind : titles of the openings that must be open first.
    fasteners : its fasteners, in words.
    minutes : hands-on minutes to open.
    refit : hands-on minutes to close.
    source : where the minutes come from.
    own : true when the sheet says so itself, false when it is the family's.
    """

    opening: str
    title: str
    behind: tuple[str, ...]
    fasteners: tuple[str, ...]
    minutes: float
    refit: float
    source: SourceLine
    own: bool


@dataclass(frozen=True, slots=True)
class HealthyLine:
    """A reading of a healthy machine.

    what : what is measured.
    reading : what it should be.
    """

    what: str
    reading: str


@dataclass(frozen=True, slots=True)
class ChangeLine:
    """One thing that differs: between the sheet here and a file, or between a family and its sheet.

    what : what it is of, in words.
    before : how it is now, or in the family; empty for something new.
    after : how it would be, or is in the sheet; empty for something that goes.
    """

    what: str
    before: str
    after: str


@dataclass(frozen=True, slots=True)
class LimitRow:
    """What a reading of a stage of bring-up must lie between, for this model.

    reading : its name in the record, the stage's id and its own.
    stage : title of the stage.
    title : what is measured.
    limits : its limits, in words.
    family : the family's, in words.
    edition : what the limits come from.
    own : true when the sheet sets them itself.
    """

    reading: str
    stage: str
    title: str
    limits: str
    family: str
    edition: str
    own: bool


@dataclass(frozen=True, slots=True)
class SheetView:
    """A model sheet as a person reads it.

    sheet : its id.
    title : its name.
    make : its maker.
    year : year of make; 0 when not known.
    family : the family it belongs to.
    own : true when it lies in this workshop, so that it can be changed here.
    slots : the parts, those that differ from the family first.
    openings : the ways in, outermost first.
    cells : batteries and cells.
    boot_routes : ways to start a system.
    weak_points : what this model is known for.
    healthy : readings of a healthy machine.
    changes : what else it says other than its family: faults, checks and fixes, one sentence each.
    overrides : each value it says in place of the family's, with the family's.
    sources : the sources of its own.
    note : further words.
    editions : the editions of a standard that its family knows.
    edition : the one that it follows; none where it says nothing.
    limits : what each reading at first power must lie between.
    compared : the names of healthy readings that first power compares with.
    doubts : where its own limits say other than its edition, or allow more than holds without them.
    """

    sheet: str
    title: str
    make: str
    year: int
    family: Named
    own: bool
    slots: tuple[SlotLine, ...]
    openings: tuple[OpeningLine, ...]
    cells: tuple[CellLine, ...]
    boot_routes: tuple[str, ...]
    weak_points: tuple[str, ...]
    healthy: tuple[HealthyLine, ...]
    changes: tuple[str, ...]
    overrides: tuple[ChangeLine, ...]
    sources: tuple[SourceLine, ...]
    note: str
    editions: tuple[EditionLine, ...] = ()
    edition: EditionLine | None = None
    limits: tuple[LimitRow, ...] = ()
    compared: tuple[str, ...] = ()
    doubts: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class ComparedSheet:
    """What taking a sheet's file in would do. Nothing is written by asking.

    sheet : the sheet's id; empty when the file cannot be used.
    title : its name.
    against : what it was compared with: the same sheet here, or its family.
    new : true when there is no such sheet here yet.
    clash : why it cannot be taken in as it is; empty when it can.
    mistakes : what is wrong in the file, with line and column.
    warnings : what is allowed but probably not meant.
    changes : what would change.
    stamp : names this very comparison, so that what is agreed to is what was shown.
    """

    sheet: str
    title: str
    against: str
    new: bool
    clash: str
    mistakes: tuple[str, ...]
    warnings: tuple[str, ...]
    changes: tuple[ChangeLine, ...]
    stamp: str = ""


@dataclass(frozen=True, slots=True)
class SheetChoices:
    """What may be named on the form of a sheet.

    parts : the parts of the model.
    functions : what it should do.
    signs : what may be noticed.
    faults : its faults, its own among them, and last the one that the same form adds.
    cautions : words shown with a step that can hurt.
    openings : the ways in.
    kinds : the kinds of mending.
    frequencies : how often a fault is met, by its weight.
    """

    parts: tuple[Named, ...]
    functions: tuple[Named, ...]
    signs: tuple[Named, ...]
    faults: tuple[Named, ...]
    cautions: tuple[Named, ...]
    openings: tuple[Named, ...]
    kinds: tuple[Named, ...]
    frequencies: tuple[Named, ...]

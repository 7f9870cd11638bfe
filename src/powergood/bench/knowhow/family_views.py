"""What the first know-how page and a family's page are drawn from: faults and checks in lists."""

from __future__ import annotations

from dataclasses import dataclass

from powergood.bench.cutaway_views import Cutaway
from powergood.bench.knowhow.number_views import Named, NumberLine
from powergood.bench.machine_views import CellLine


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

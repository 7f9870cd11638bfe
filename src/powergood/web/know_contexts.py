"""What each know-how page is given: one documented dataclass a page, holding the bench's own views."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from powergood.bench.knowhow.views import (
    CheckView,
    ComplaintsView,
    ComplaintView,
    FamilyView,
    FaultView,
    FrontView,
    Named,
    SafetyView,
    SearchView,
)
from powergood.bench.modelsheets.views import ComparedSheet, SheetChoices, SheetView
from powergood.web.drawings.cutaway import Section
from powergood.web.forms import Filled


@dataclass(frozen=True, slots=True)
class KnowHowPage:
    """The first page of what is known, with the search box.

    front : families and their model sheets.
    search : what fits the words looked for; none while nothing is.
    within : the family or sheet that is looked in; empty for all.
    title : title of the page.
    """

    front: FrontView
    search: SearchView | None = None
    within: Named = field(default_factory=lambda: Named("", ""))
    title: str = "Know-how"
    failed: str = ""
    kept: Filled = field(default_factory=Filled)


@dataclass(frozen=True, slots=True)
class FamilyPage:
    """A family's page, or a model sheet's machine read like one.

    family : the bench's own view.
    section : its cutaway as drawn.
    title : title of the page.
    """

    family: FamilyView
    section: Section
    title: str
    failed: str = ""
    kept: Filled = field(default_factory=Filled)


@dataclass(frozen=True, slots=True)
class FaultPage:
    """A fault's page.

    fault : the bench's own view.
    title : title of the page.
    """

    fault: FaultView
    title: str
    failed: str = ""
    kept: Filled = field(default_factory=Filled)


@dataclass(frozen=True, slots=True)
class CheckPage:
    """A check's page.

    check : the bench's own view.
    title : title of the page.
    """

    check: CheckView
    title: str
    failed: str = ""
    kept: Filled = field(default_factory=Filled)


@dataclass(frozen=True, slots=True)
class SafetyPage:
    """Before power, the first start, and when to stop.

    safety : the bench's own view.
    title : title of the page.
    """

    safety: SafetyView
    title: str
    failed: str = ""
    kept: Filled = field(default_factory=Filled)


@dataclass(frozen=True, slots=True)
class ComplaintsPage:
    """The complaints of a kind of machine.

    complaints : the bench's own view.
    title : title of the page.
    """

    complaints: ComplaintsView
    title: str
    failed: str = ""
    kept: Filled = field(default_factory=Filled)


@dataclass(frozen=True, slots=True)
class ComplaintPage:
    """A complaint's page.

    complaint : the bench's own view.
    title : title of the page.
    """

    complaint: ComplaintView
    title: str
    failed: str = ""
    kept: Filled = field(default_factory=Filled)


@dataclass(frozen=True, slots=True)
class SheetPage:
    """A model sheet's page, and the form that changes it.

    sheet : the bench's own view.
    fields : the sheet as the fields of its form; empty where it is only read.
    cells : how many rows of cells the form has.
    choices : what may be named on the form; none where it is only read.
    title : title of the page.
    """

    sheet: SheetView
    title: str
    fields: Mapping[str, str] = field(default_factory=dict)
    cells: int = 0
    choices: SheetChoices | None = None
    failed: str = ""
    kept: Filled = field(default_factory=Filled)


@dataclass(frozen=True, slots=True)
class TakeInSheetPage:
    """The page that takes a sheet's file in.

    compared : what it would change; none before a file was given.
    text : the file's text, to be sent again when it is taken in.
    title : title of the page.
    """

    compared: ComparedSheet | None = None
    text: str = ""
    title: str = "Take a model sheet in"
    failed: str = ""
    kept: Filled = field(default_factory=Filled)


KnowPage = (
    KnowHowPage
    | FamilyPage
    | FaultPage
    | CheckPage
    | SafetyPage
    | ComplaintsPage
    | ComplaintPage
    | SheetPage
    | TakeInSheetPage
)

"""What the pages of complaints are drawn from."""

from __future__ import annotations

from dataclasses import dataclass

from powergood.bench.knowhow.family_views import FaultLine
from powergood.bench.knowhow.fault_views import SignLine


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

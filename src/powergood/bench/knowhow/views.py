"""What the know-how pages are drawn from: frozen objects of plain values and plain sentences.

`kind` is the id of the family or model sheet that a page was opened from. Chances and strengths lie in
[0, 1]; minutes are hands-on unless they say otherwise. Each docstring lists its fields as `name : meaning`.
"""

from __future__ import annotations

from powergood.bench.knowhow.check_views import CheckView, OutcomeLine
from powergood.bench.knowhow.complaint_views import ComplaintLine, ComplaintsView, ComplaintView
from powergood.bench.knowhow.family_views import (
    CheckGroup,
    CheckLine,
    FamilyLine,
    FamilyView,
    FaultGroup,
    FaultLine,
    FrontView,
)
from powergood.bench.knowhow.fault_views import FaultView, FixLine, NeighbourLine, SignLine
from powergood.bench.knowhow.number_views import MovedLine, Named, NumberLine, SourceLine
from powergood.bench.knowhow.safety_views import GateWords, SafetyView, StopIf
from powergood.bench.knowhow.search_views import FoundLine, SearchView
from powergood.bench.stage_views import EditionLine

__all__ = [
    "CheckGroup",
    "CheckLine",
    "CheckView",
    "ComplaintLine",
    "ComplaintView",
    "ComplaintsView",
    "EditionLine",
    "FamilyLine",
    "FamilyView",
    "FaultGroup",
    "FaultLine",
    "FaultView",
    "FixLine",
    "FoundLine",
    "FrontView",
    "GateWords",
    "MovedLine",
    "Named",
    "NeighbourLine",
    "NumberLine",
    "OutcomeLine",
    "SafetyView",
    "SearchView",
    "SignLine",
    "SourceLine",
    "StopIf",
]

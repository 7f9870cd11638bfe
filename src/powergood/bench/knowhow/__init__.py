"""What is known, read as a person reads it: families, faults, checks, safety, complaints, search.

    front(ws) -> FrontView                       families and model sheets
    family(ws, kind) -> FamilyView               `kind` is a family or a model sheet in all of these
    fault(ws, kind, fault, learned) -> FaultView
    check(ws, kind, check, learned) -> CheckView
    safety(ws, kind) -> SafetyView
    complaint_list(ws, kind) -> ComplaintsView
    complaint(ws, kind, complaint) -> ComplaintView
    search(ws, words, kind="") -> SearchView

All raise `UnknownThing` for what no pack has. `learned` maps number ids (`fault:FAMILY:FAULT`) to what
finished jobs made of them; it may be empty, and then nothing is said of it.
"""

from powergood.bench.knowhow.check_page import check
from powergood.bench.knowhow.complaint_pages import complaint, complaint_list
from powergood.bench.knowhow.family_page import family
from powergood.bench.knowhow.fault_page import fault
from powergood.bench.knowhow.front import front
from powergood.bench.knowhow.safety import safety
from powergood.bench.knowhow.search import search

__all__ = ["check", "complaint", "complaint_list", "family", "fault", "front", "safety", "search"]

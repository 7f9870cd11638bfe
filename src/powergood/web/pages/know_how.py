"""The know-how pages: what is known of machines, and one box to look it up. Nothing here writes anything."""

from __future__ import annotations

from typing import Final

from starlette.requests import Request
from starlette.responses import Response

from powergood import bench
from powergood.bench import knowhow
from powergood.bench.knowhow.views import Named
from powergood.units import in_100
from powergood.web.drawings.cutaway import section
from powergood.web.know_contexts import (
    CheckPage,
    ComplaintPage,
    ComplaintsPage,
    FamilyPage,
    FaultPage,
    KnowHowPage,
    SafetyPage,
)
from powergood.web.render import render

PLACE: Final = "know-how"
LONGEST_SEARCH: Final = 200


def front(request: Request) -> Response:
    """Show the families and the search box, and what fits the words looked for."""
    ws = request.app.state.workshop
    words = " ".join(request.query_params.get("find", "").split())[:LONGEST_SEARCH]
    kind = request.query_params.get("kind", "")
    found = knowhow.search(ws, words, kind) if words else None
    within = Named(kind, ws.library.known(kind).model.title) if kind else Named("", "")
    title = f"Know-how: {words}" if words else "Know-how"
    page = KnowHowPage(knowhow.front(ws), found, within, title)
    return render(request, "know_how/front.html", page, place=PLACE)


def family(request: Request) -> Response:
    """Show a family, or a model sheet's machine."""
    view = knowhow.family(request.app.state.workshop, request.path_params["kind"])
    page = FamilyPage(view, section(view.cutaway, lambda part: in_100(part.strength)), view.title)
    return render(request, "know_how/family.html", page, place=PLACE)


def fault(request: Request) -> Response:
    """Show a fault."""
    named = request.path_params
    ws = request.app.state.workshop
    view = knowhow.fault(ws, named["kind"], named["fault"], bench.learned_numbers(ws))
    return render(request, "know_how/fault.html", FaultPage(view, view.title), place=PLACE)


def check(request: Request) -> Response:
    """Show a check."""
    named = request.path_params
    ws = request.app.state.workshop
    view = knowhow.check(ws, named["kind"], named["check"], bench.learned_numbers(ws))
    return render(request, "know_how/check.html", CheckPage(view, view.ask), place=PLACE)


def safety(request: Request) -> Response:
    """Show the gates, the first start and the stop list."""
    view = knowhow.safety(request.app.state.workshop, request.path_params["kind"])
    page = SafetyPage(view, f"Before power: {view.title}")
    return render(request, "know_how/safety.html", page, place=PLACE)


def complaints(request: Request) -> Response:
    """Show the complaints of a kind of machine."""
    view = knowhow.complaint_list(request.app.state.workshop, request.path_params["kind"])
    page = ComplaintsPage(view, f"Complaints: {view.title}")
    return render(request, "know_how/complaints.html", page, place=PLACE)


def complaint(request: Request) -> Response:
    """Show a complaint."""
    named = request.path_params
    view = knowhow.complaint(request.app.state.workshop, named["kind"], named["complaint"])
    return render(request, "know_how/complaint.html", ComplaintPage(view, view.words), place=PLACE)

"""What closed jobs taught, and the switch that sets a number aside or uses it again."""

from __future__ import annotations

from starlette.requests import Request
from starlette.responses import Response

from powergood import bench
from powergood.errors import BadInput
from powergood.web.forms import Filled
from powergood.web.pages.job import number_of
from powergood.web.render import go, render, who
from powergood.web.taught_contexts import TaughtPage


def show(request: Request) -> Response:
    """Show every learned number with its prior, evidence and interval."""
    return _page(request)


def _page(request: Request, kept: Filled | None = None, status: int = 200) -> Response:
    view = bench.taught(request.app.state.workshop)
    page = TaughtPage(view, failed=kept.name if kept else "", kept=kept or Filled())
    return render(request, "taught.html", page, place="taught", status=status)


def switch(request: Request, form: Filled) -> Response:
    """Set a number aside, or use it again."""
    ws = request.app.state.workshop
    name = form.line("number", needed="This form names no number; open the page again.")
    because = form.line("because")
    if form.problems:
        return _page(request, form, 422)
    try:
        if form.text.get("use") == "again":
            bench.use_again(ws, name, key=form.key, who=who(request))
        else:
            bench.set_aside(ws, name, because, key=form.key, who=who(request))
    except BadInput as error:
        form.problems["number"] = str(error)
        return _page(request, form, 422)
    return go("/taught?said=kept")


def use_now(request: Request, form: Filled) -> Response:
    """Let a job rest on the learned numbers of now."""
    number = number_of(request)
    bench.use_learned_now(request.app.state.workshop, number, key=form.key, who=who(request))
    return go(f"/jobs/{number}?said=written")

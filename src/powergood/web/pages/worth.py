"""What time, money and the machine are worth here, and the limits at which the program says so."""

from __future__ import annotations

from starlette.requests import Request
from starlette.responses import Response

from powergood import bench
from powergood.bench.preferring import NAMES, TICKS, mistakes
from powergood.errors import BadInput
from powergood.web.forms import Filled
from powergood.web.render import go, render, who
from powergood.web.taught_contexts import WorthPage


def show(request: Request) -> Response:
    """Show all preferences and limits with their history."""
    return _page(request)


def _page(request: Request, kept: Filled | None = None, status: int = 200) -> Response:
    view = bench.worth_view(request.app.state.workshop)
    page = WorthPage(view, failed=kept.name if kept else "", kept=kept or Filled())
    return render(request, "worth.html", page, place="worth", status=status)


def keep(request: Request, form: Filled) -> Response:
    """Write down what was changed; every mistake is shown beside its field."""
    values = {name: form.line(name, longest=20) for name in NAMES if name in form.text or name in TICKS}
    form.problems.update({name: said for name, said in mistakes(values).items() if name not in form.problems})
    if form.problems:
        return _page(request, form, 422)
    bench.prefer(request.app.state.workshop, values, key=form.key, who=who(request))
    return go("/worth?said=kept")


def take_back(request: Request, form: Filled) -> Response:
    """Take one preference back; the one before it counts again."""
    fact = form.number("fact", least=1, most=10**9)
    try:
        bench.take_back(request.app.state.workshop, fact, key=form.key, who=who(request))
    except BadInput as error:
        form.problems["form"] = str(error)
        return _page(request, form, 422)
    return go("/worth?said=kept")

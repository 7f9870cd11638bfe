"""The power-on pad: everything noticed during one start, in any order, saved at once."""

from __future__ import annotations

from starlette.requests import Request
from starlette.responses import Response

from powergood import bench
from powergood.bench.grids import MARKED
from powergood.bench.pad_views import PadKey
from powergood.errors import BadInput
from powergood.record.model import Body, Finding, Note
from powergood.web.forms import Filled
from powergood.web.pages.job import number_of
from powergood.web.pages.job_view import job_page
from powergood.web.render import go, render, who

LONGEST_START_S = 36_000


def show(request: Request) -> Response:
    """Show the pad, and what the last start told."""
    return _page(request)


def _page(request: Request, kept: Filled | None = None, status: int = 200) -> Response:
    job = bench.job(request.app.state.workshop, number_of(request))
    return render(request, "pad.html", job_page(request, job, kept), place="bench", status=status)


def save(request: Request, form: Filled) -> Response:
    """Write down one start; further words become a note beside it."""
    ws, number = request.app.state.workshop, number_of(request)
    job = bench.job(ws, number)
    findings = [each for key in job.pad.keys if (each := _finding(form, key))]
    words = form.words("note")
    if not findings:
        form.problems["form"] = "Nothing was chosen yet. Choose what you noticed, then save."
    if form.problems:
        return _page(request, form, 422)
    try:
        bench.save_start(ws, number, findings, key=form.key, who=who(request))
    except BadInput as error:
        form.problems["form"] = str(error)
        return _page(request, form, 422)
    if words:
        note: tuple[Body, ...] = (Note(words),)
        bench.record(ws, number, note, key=f"{form.key}-note", who=who(request))
    return go(f"/jobs/{number}/pad?said=start")


def field_of(key: PadKey) -> str:
    """Return the name of a pad key's field."""
    return f"k:{key.check}#{key.copy}" if key.copy else f"k:{key.check}"


def _finding(form: Filled, key: PadKey) -> Finding | None:
    """Return what was noticed at one key; none when it was left, or its problem noted on the form."""
    name = field_of(key)
    cells = tuple(form.every.get(f"cells:{name}", ())) if key.grid else ()
    outcome = form.choice(name, {each.outcome for each in key.keys}) or (MARKED if cells else "")
    if not outcome:
        return None
    at_s = form.number(f"at:{name}", least=0, most=LONGEST_START_S)
    sure = not form.ticked(f"unsure:{name}")
    return Finding(
        key.check,
        outcome,
        sure=sure,
        copy=key.copy,
        note=f"{at_s} s after switching on" if at_s else "",
        cells=cells,
    )

"""How a job rests or ends: on the shelf, taken up again, stopped, signed off; and what it should end with."""

from __future__ import annotations

from typing import Final, cast

from starlette.requests import Request
from starlette.responses import Response

from powergood import bench
from powergood.bench.recording import WaitsFor
from powergood.errors import BadInput, Refused
from powergood.web.forms import Filled
from powergood.web.pages.job import number_of
from powergood.web.pages.job_view import job_page, saved, unmended
from powergood.web.render import go, render, who

WAITS: Final = ("a part", "a tool", "an answer", "an evening")


def shelve(request: Request, form: Filled) -> Response:
    """Put the job on the shelf."""
    waits_for = form.choice("waits_for", WAITS, needed="Choose what it waits for.")
    words = form.line("words")
    if form.problems:
        return unmended(request, form, number_of(request))
    ws, number = request.app.state.workshop, number_of(request)
    job = bench.shelve(ws, number, cast(WaitsFor, waits_for), words, key=form.key, who=who(request))
    return saved(request, job, "shelved")


def resume(request: Request, form: Filled) -> Response:
    """Take the job up again."""
    words = form.line("words")
    if form.problems:
        return unmended(request, form, number_of(request))
    ws = request.app.state.workshop
    return saved(request, bench.resume(ws, number_of(request), words, key=form.key, who=who(request)))


def stop(request: Request, form: Filled) -> Response:
    """End the job short of repair."""
    because = form.words("because", needed="Say why it stops here; whoever opens it next will need it.")
    if form.problems:
        return unmended(request, form, number_of(request))
    ws = request.app.state.workshop
    return saved(request, bench.stop(ws, number_of(request), because, key=form.key, who=who(request)))


def want(request: Request, form: Filled) -> Response:
    """Change what should work at the end."""
    number = number_of(request)
    try:
        job = bench.set_wanted(
            request.app.state.workshop,
            number,
            form.every.get("wanted", []),
            key=form.key,
            who=who(request),
        )
    except BadInput as error:
        form.problems["wanted"] = str(error)
        return unmended(request, form, number)
    return saved(request, job)


def ask_sign_off(request: Request) -> Response:
    """Show what is proven, and ask for words where something is not."""
    return _sign_off_page(request)


def _sign_off_page(request: Request, kept: Filled | None = None, status: int = 200) -> Response:
    job = bench.job(request.app.state.workshop, number_of(request))
    page = job_page(request, job, kept)
    return render(request, "sign_off.html", page, place="bench", status=status)


def sign_off(request: Request, form: Filled) -> Response:
    """Sign the job off; refused, with what is missing, when something is unproven and no words say why."""
    words = form.words("words")
    if form.problems:
        return _sign_off_page(request, form, 422)
    try:
        ws = request.app.state.workshop
        bench.sign_off(ws, number_of(request), words, key=form.key, who=who(request))
    except Refused as error:
        form.problems["words"] = str(error)
        return _sign_off_page(request, form, 422)
    return go(f"/jobs/{number_of(request)}?said=signed-off")

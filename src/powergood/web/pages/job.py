"""A job's page, the complaint, and what would come next if a check came out so."""

from __future__ import annotations

from typing import cast, get_args

from starlette.requests import Request
from starlette.responses import PlainTextResponse, Response

from powergood import bench
from powergood.bench import Workshop
from powergood.bench.job_views import JobView
from powergood.bench.step_views import Leaning
from powergood.diagnosis import in_the_way
from powergood.errors import UnknownThing
from powergood.record.model import Complained
from powergood.web.contexts import Landing, NearPart, SupposedStep, WeighingPage, WhatIfPage
from powergood.web.forms import Filled
from powergood.web.pages.job_view import job_page, show_job
from powergood.web.render import SAID, go, render, who

MOST_STEPS = 3
MOST_SUSPECTS = 6
NONE_OF_THESE = "none"


def number_of(request: Request) -> int:
    """Return the job number in the address."""
    return int(request.path_params["number"])


def show(request: Request) -> Response:
    """Show a job; after a form, what was written down is said where it is seen."""
    asked = request.query_params
    job = bench.job(request.app.state.workshop, number_of(request))
    at = asked.get("at", "")
    lands = cast(Landing, at if at in get_args(Landing) else "top")
    return show_job(request, job, said=SAID.get(asked.get("said", ""), ""), lands=lands)


def ask_complaint(request: Request) -> Response:
    """Offer known complaints for the words typed, or the one question that splits them."""
    return _complaint_page(request, bench.job(request.app.state.workshop, number_of(request)))


def _complaint_page(
    request: Request, job: JobView, kept: Filled | None = None, status: int = 200
) -> Response:
    words = kept.text.get("words", "") if kept else job.complaint
    match = bench.complaints(request.app.state.workshop, job.machine.sheet, words or job.complaint)
    page = job_page(request, job, kept, match)
    return render(request, "complaint.html", page, place="bench", status=status)


def complain(request: Request, form: Filled) -> Response:
    """Write down what is said to be wrong, as typed; then ask what it is like, if that is not clear."""
    ws, number = request.app.state.workshop, number_of(request)
    job = bench.job(ws, number)
    words = form.words(
        "words", needed="" if form.text.get("complaint") else "Say it in a few words.", longest=2000
    )
    if form.problems:
        return _complaint_page(request, job, form, 422)
    chosen = form.text.get("complaint", "")
    if chosen == NONE_OF_THESE:
        return go(f"/jobs/{number}?said=written")
    best = _taken_for(ws, job, words)
    body = Complained(words, chosen or best or "")
    bench.record(ws, number, (body,), key=form.key, who=who(request))
    asks = not body.complaint and best is not None
    return go(f"/jobs/{number}{'/complaint' if asks else ''}?said=complaint")


def _taken_for(ws: Workshop, job: JobView, words: str) -> str | None:
    """Return the known complaint words stand for, empty when unclear; None where its kind is unknown."""
    try:
        return bench.complaints(ws, job.machine.sheet, words).best
    except UnknownThing:
        return None


def marks(request: Request) -> Response:
    """Say in words what the cells marked on a step's grid make up; nothing is written down."""
    asked = request.query_params
    words = bench.marked_words(
        request.app.state.workshop, number_of(request), asked.get("step", ""), asked.getlist("cells")
    )
    return PlainTextResponse(words, headers={"cache-control": "no-store"})


def weighing(request: Request) -> Response:
    """Show what each finding of a job says for or against one fault."""
    ws, number = request.app.state.workshop, number_of(request)
    found = bench.weighing(ws, number, request.path_params["fault"])
    page = WeighingPage(found, bench.job(ws, number).machine.sheet, found.title)
    return render(request, "weighing.html", page, place="bench")


def near(request: Request) -> Response:
    """Return the part of the page that says how near the plan is to the best, after more work."""
    number, level = number_of(request), int(request.path_params["level"])
    found = bench.nearer(request.app.state.workshop, number, level)
    part = NearPart(number, found.words, found.figures, found.level, found.last)
    return render(request, "job/_near.html", part)


def what_if(request: Request) -> Response:
    """Show what would come next if a check came out so; nothing is written down."""
    ws, number = request.app.state.workshop, number_of(request)
    step, outcome = request.query_params.get("check", ""), request.query_params.get("outcome", "")
    check, _, copy = step.partition("#")
    advice = bench.what_if(ws, number, check, outcome, int(copy) if copy.isdecimal() else 0)
    job = bench.job(ws, number)
    cards = [card for card in (job.next, *job.steps) if card and card.step == step]
    words = next((key.words for card in cards for key in card.keys if key.outcome == outcome), outcome)
    steps = tuple(
        SupposedStep(
            ask=then.ask,
            minutes=then.minutes,
            opens=tuple(job.names.get(f"opening:{name}", name) for name in then.opens),
            expected_total=then.expected_total,
        )
        for then in advice.steps[:MOST_STEPS]
    )
    likeliest = in_the_way(advice)[:MOST_SUSPECTS]
    suspects = tuple(Leaning(each.fault, each.title or each.fault, each.chance) for each in likeliest)
    asked = cards[0].ask if cards else job.names.get(check, check)
    page = WhatIfPage(number, asked, words, steps, suspects)
    return render(request, "what_if.html", page, place="bench")

"""A job on the page: the bench's view, its drawings, and the form that must be mended, if one must."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from typing import Final

from starlette.requests import Request
from starlette.responses import Response

from powergood import bench
from powergood.bench.intake_views import ComplaintMatch, WantedFunction
from powergood.bench.job_views import JobView
from powergood.web.contexts import JobPage, Landing
from powergood.web.drawings.cutaway import section
from powergood.web.drawings.ribbon import chart
from powergood.web.forms import Filled
from powergood.web.render import SAID, go, quick, render, slug


def job_page(
    request: Request, job: JobView, kept: Filled | None = None, match: ComplaintMatch | None = None
) -> JobPage:
    """Return the context of a job's page; `kept` is the form that must be mended."""
    failed = kept.name if kept else ""
    return JobPage(
        job=job,
        section=section(job.cutaway),
        chart=chart(job.ribbon),
        latest_first=job.record[::-1],
        asks_complaint=not job.complaint_known and not any(line.kind == "finding" for line in job.record),
        title=f"Job {job.number}: {job.machine.name}",
        can_want=_can_want(request, job),
        match=match,
        stray=_stray(job, kept),
        failed=failed,
        kept=kept or Filled(),
    )


def _can_want(request: Request, job: JobView) -> tuple[WantedFunction, ...]:
    """Return the functions of the machine's kind, those this job wants marked."""
    wanted = {each.function for each in job.functions}
    kinds = {kind.sheet: kind for kind in bench.kinds(request.app.state.workshop)}
    kind = kinds.get(job.machine.sheet)
    functions = kind.functions if kind else ()
    return tuple(WantedFunction(f.function, f.title, f.function in wanted) for f in functions)


def _stray(job: JobView, kept: Filled | None) -> tuple[tuple[str, str], ...]:
    """Return what was typed into a step's form when that step is not on the page any more."""
    if kept is None or not kept.name.startswith("step-"):
        return ()
    shown = [job.next, *job.steps, *job.unpowered]
    if any(step and kept.name == step_form(step.step) for step in shown):
        return ()
    return tuple(
        (name, value) for name, value in kept.typed.items() if name in ("note", "because", "instance")
    )


def step_form(step: str) -> str:
    """Return the name of a step's form, the same in every showing of that step."""
    return f"step-{slug(step)}"


def show_job(
    request: Request,
    job: JobView,
    *,
    kept: Filled | None = None,
    said: str = "",
    lands: Landing = "top",
    status: int = 200,
) -> Response:
    """Return a job's page, or only its inner part where the script asked for that."""
    template = "job/_job.html" if quick(request) else "job.html"
    lands = _landing_there(job, lands)
    page = replace(job_page(request, job, kept), lands=lands)
    if lands == "stage":
        said = f"{said} {job.first_power.told}".strip()
    return render(request, template, page, place="bench", said=said, status=status)


LANDINGS: Final[Mapping[str, Landing]] = {
    "stage-": "stage",
    "gate-": "gates",
    "step-": "step",
    "withdraw-": "record",
    "note": "noted",
    "photo": "noted",
    "reading": "noted",
    "part": "noted",
    "opening-": "cutaway",
    "wanted": "wanted",
}
"""Where on the page the words of what was written down stand, by what the form's name begins with."""


def landing(form: str) -> Landing:
    """Return the part of a job's page where what a form changes is seen."""
    return next((place for begins, place in LANDINGS.items() if form.startswith(begins)), "top")


def _landing_there(job: JobView, lands: Landing) -> Landing:
    """Return where the words stand on this showing of the page: a part that is gone leads to the next."""
    if job.standing != "open" and lands in ("stage", "gates", "step", "noted"):
        return "top"
    if lands == "stage" and not job.first_power.stages:
        lands = "step"
    gates_first = any(gate.due for gate in job.gates)
    if lands == "step" and gates_first:
        return "gates"
    if lands == "gates" and not gates_first:
        lands = "step"
    return lands if lands != "step" or job.next else "top"


def saved(request: Request, job: JobView, said: str = "written", seen: int = 0) -> Response:
    """Answer a form that was saved: the job's inner part for the script, another address without it.

    `seen` is the number of the last fact that the page showed; what came after it is named, so that one
    sees what was written and what came from another device meanwhile.
    """
    form: Filled = request.state.filled
    lands = landing(form.name)
    if not quick(request):
        return go(f"/jobs/{job.number}?said={said}&at={lands}#said")
    return show_job(request, job, said=_what_is_new(job, seen) if seen else SAID[said], lands=lands)


def _what_is_new(job: JobView, seen: int) -> str:
    new = [line.sentence.rstrip(".") for line in job.record if line.fact > seen]
    return f"Written down: {'; '.join(new)}." if new else "That was written down already."


def unmended(request: Request, form: Filled, number: int, status: int = 422) -> Response:
    """Return the job's page with the same form, its text kept and its problems beside the fields."""
    job = bench.job(request.app.state.workshop, number)
    return show_job(request, job, kept=form, status=status)

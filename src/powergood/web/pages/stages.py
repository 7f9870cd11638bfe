"""What a person does at a stage of bring-up on the job's page: readings, done, stopped."""

from __future__ import annotations

from collections.abc import Callable
from typing import Final

from starlette.requests import Request
from starlette.responses import Response

from powergood import bench
from powergood.bench.job_views import JobView
from powergood.errors import BadInput, Refused
from powergood.web.forms import Filled
from powergood.web.pages.job import number_of
from powergood.web.pages.job_view import saved, unmended
from powergood.web.render import who

READING: Final = "reading-"
"""What the name of a reading's field begins with; the limit's id follows."""


def note_readings(request: Request, form: Filled) -> Response:
    """Write down the readings of a stage, with the outcome of its check unless that was unticked."""
    ws, number, stage = request.app.state.workshop, number_of(request), _stage(form)
    texts = {
        name.removeprefix(READING): form.line(name, longest=40)
        for name in form.text
        if name.startswith(READING)
    }
    instrument = form.line("instrument", longest=80)
    if stage:
        _, wrong = bench.readings_of(ws, number, stage, texts, instrument)
        form.problems |= {f"{READING}{name}": why for name, why in wrong.items()}
    if not any(texts.values()):
        form.problems["form"] = "Write at least one reading; a rail this machine lacks is left empty."
    return _write(
        request,
        form,
        lambda: bench.note_readings(
            ws,
            number,
            stage,
            texts,
            instrument=instrument,
            with_check=form.ticked("with-check"),
            key=form.key,
            who=who(request),
        ),
    )


def finish(request: Request, form: Filled) -> Response:
    """Write down that a stage is done."""
    ws, number, stage = request.app.state.workshop, number_of(request), _stage(form)
    how = form.line("how")
    if not form.ticked("sure"):
        form.problems["sure"] = "Tick it when it is so; the next stage comes after."
    return _write(
        request,
        form,
        lambda: bench.finish_stage(ws, number, stage, how, key=form.key, who=who(request)),
        "how",
    )


def say_edition(request: Request, form: Filled) -> Response:
    """Write down which edition of the standard the machine's supply follows; the stages are then its own."""
    ws, number = request.app.state.workshop, number_of(request)
    edition = form.line("edition", needed="This form names no edition; open the job again.")

    def described() -> JobView:
        tag = bench.job(ws, number).machine.tag
        bench.describe(ws, tag, {"edition": edition}, key=form.key, who=who(request))
        return bench.job(ws, number)

    return _write(request, form, described)


def let_go(request: Request, form: Filled) -> Response:
    """Write down that the stages left are let go, and why."""
    ws, number = request.app.state.workshop, number_of(request)
    how = form.line("how")
    return _write(
        request,
        form,
        lambda: bench.let_stages_go(ws, number, how, key=form.key, who=who(request)),
        "how",
    )


def stop(request: Request, form: Filled) -> Response:
    """Write down that a stage was stopped, and at what."""
    ws, number, stage = request.app.state.workshop, number_of(request), _stage(form)
    seen, because = form.line("seen"), form.line("because")
    if not seen and not because:
        form.problems["because"] = "Choose what you stopped at, or say it in words."
    return _write(
        request,
        form,
        lambda: bench.stop_stage(ws, number, stage, seen, because, key=form.key, who=who(request)),
        "because",
    )


def _stage(form: Filled) -> str:
    return form.line("stage", needed="This form names no stage; open the job again.")


def _write(request: Request, form: Filled, act: Callable[[], JobView], field: str = "form") -> Response:
    """Do what was asked, or show the form again with its problems."""
    number = number_of(request)
    if form.problems:
        return unmended(request, form, number)
    try:
        job = act()
    except (BadInput, Refused) as error:
        form.problems[field] = str(error)
        return unmended(request, form, number)
    return saved(request, job)

"""What a person answers on the job's page: a step, a gate, an opening, a part out or in."""

from __future__ import annotations

from typing import Final, Literal, cast

from starlette.requests import Request
from starlette.responses import Response

from powergood import bench
from powergood.bench.step_views import StepAnswer
from powergood.errors import BadInput, Refused
from powergood.record.model import Body, Opened, PartIn, PartOut, Refitted
from powergood.web.forms import Filled
from powergood.web.pages.job import number_of
from powergood.web.pages.job_view import saved, unmended
from powergood.web.render import who

StepKind = Literal["check", "fix", "opening", "refit", "gate", "stop", ""]
_KINDS: Final = ("check", "fix", "opening", "refit", "gate", "stop")
MOST_TOOK: Final = 6000
_NO_ANSWER: Final = "Press one of the answers."


def answer_step(request: Request, form: Filled) -> Response:
    """Write down the answer to a step: an outcome, a doubtful one, or that it cannot be done here."""
    number = number_of(request)
    unsure = form.text.get("unsure", "")
    outcome = form.text.get("outcome", "") or unsure
    kind = form.choice("kind", _KINDS)
    cannot = outcome == "cannot"
    note = form.line("because") if cannot else form.words("note")
    instance = form.line("instance", longest=60)
    copy = form.number("copy", least=0, most=99)
    took = form.number("took", least=1, most=MOST_TOOK)
    source = form.line("source", longest=80)
    if not outcome:
        form.problems["outcome"] = _NO_ANSWER
    if kind == "fix" and not cannot and form.text.get("asks-consent") and not form.ticked("consent"):
        form.problems["consent"] = (
            "Tick that it is wanted although it cannot be undone; or choose another step."
        )
    given = StepAnswer(
        step=form.line("step", needed="This form names no step; open the job again."),
        outcome=outcome,
        kind=cast(StepKind, kind),
        sure=not unsure,
        told=form.ticked("told"),
        copy=copy,
        instance=instance,
        note=note,
        took=0 if cannot else took,
        source=source,
        cells=tuple(form.every.get("cells", ())),
    )
    if form.problems:
        return unmended(request, form, number)
    try:
        ws = request.app.state.workshop
        job = bench.answer(ws, number, given, key=form.key, who=who(request))
    except (BadInput, Refused) as error:
        form.problems["outcome"] = str(error)
        return unmended(request, form, number)
    return saved(request, job, seen=form.number("seen", least=0, most=10**8))


def answer_gate(request: Request, form: Filled) -> Response:
    """Write down that a safety condition is met, or is no longer."""
    met = form.text.get("met") == "yes"
    how = form.line("how")
    if met and not form.ticked("sure"):
        form.problems["sure"] = "Tick it when it is so; the steps that wait for it come after."
    number, gate = number_of(request), form.line("gate")
    if form.problems:
        return unmended(request, form, number)
    try:
        ws, boxes = request.app.state.workshop, form.every.get("box", ())
        job = bench.answer_gate(
            ws, number, gate, met=met, how=how, boxes=boxes, key=form.key, who=who(request)
        )
    except (BadInput, Refused) as error:
        form.problems["form"] = str(error)
        return unmended(request, form, number)
    return saved(request, job, "written")


def answer_opening(request: Request, form: Filled) -> Response:
    """Write down that an opening was opened or closed again."""
    opening = form.line("opening")
    return write(request, form, Opened(opening) if form.text.get("open") == "yes" else Refitted(opening))


def move_part(request: Request, form: Filled) -> Response:
    """Write down that a part came out or went in."""
    slot = form.line("slot", needed="Choose which part.")
    instance = form.line("instance", longest=60)
    if form.text.get("way") == "in":
        return write(request, form, PartIn(instance or slot, slot))
    job = bench.job(request.app.state.workshop, number_of(request))
    held = {part.slot: part.instance for layer in job.cutaway.layers for part in layer.parts}
    return write(request, form, PartOut(held.get(slot) or slot, slot))


def write(request: Request, form: Filled, body: Body, said: str = "written") -> Response:
    """Write one fact down, or show its form again with its problems."""
    number = number_of(request)
    if form.problems:
        return unmended(request, form, number)
    try:
        job = bench.record(request.app.state.workshop, number, (body,), key=form.key, who=who(request))
    except (BadInput, Refused) as error:
        form.problems["form"] = str(error)
        return unmended(request, form, number)
    return saved(request, job, said)

"""What is added to the record by hand: a note, a reading, a photo; and what is taken back."""

from __future__ import annotations

from starlette.requests import Request
from starlette.responses import Response

from powergood import bench
from powergood.errors import BadInput
from powergood.record.model import Note, Reading
from powergood.units import Quantity, parse
from powergood.web.forms import Filled
from powergood.web.kept_photo import photo_of, status_of
from powergood.web.pages.answers import write
from powergood.web.pages.job import number_of
from powergood.web.pages.job_view import saved, unmended
from powergood.web.render import who


def add_note(request: Request, form: Filled) -> Response:
    """Keep a note."""
    return write(request, form, Note(form.words("text", needed="The note is empty.")))


def add_reading(request: Request, form: Filled) -> Response:
    """Keep a reading; one that cannot be read is shown again as typed, to be mended or kept as a note."""
    quantity = form.line("quantity", needed="Say what was measured.")
    text = form.line("text", needed="Write the reading with its unit: 4.87 V.", longest=40)
    instrument, conditions = form.line("instrument"), form.line("conditions")
    try:
        measured = parse(text) if text else Quantity(0.0, "V")
    except BadInput as error:
        form.problems.setdefault("text", f"{error}. It can also be kept as a note.")
        measured = Quantity(0.0, "V")
    return write(
        request, form, Reading(quantity, text, measured.value, measured.unit, instrument, conditions)
    )


def add_photo(request: Request, form: Filled) -> Response:
    """Keep a photo with the job and its machine."""
    ws, number = request.app.state.workshop, number_of(request)
    photo, caption = photo_of(request, form), form.line("caption")
    if not photo:
        form.problems.setdefault("photo", "Choose a photo first.")
    if form.problems:
        return unmended(request, form, number, status_of(form))
    bench.add_photo(ws, photo, job=number, caption=caption, key=form.key, who=who(request))
    return saved(request, bench.job(ws, number), "photo")


def take_back(request: Request, form: Filled) -> Response:
    """Take a fact back, with the reason; it stays in the record, struck through."""
    ws, number = request.app.state.workshop, number_of(request)
    because = form.line("because", needed="Say why; a word will do.")
    fact = form.number("fact", least=1, most=10**8)
    seen = form.number("seen", least=0, most=10**8)
    if form.problems:
        return unmended(request, form, number)
    try:
        job = bench.withdraw(ws, number, fact, because, key=form.key, who=who(request))
    except BadInput as error:
        form.problems["because"] = str(error)
        return unmended(request, form, number)
    back = [line for line in job.record if 0 < seen < line.fact and line.kind == "withdrawal"]
    return saved(request, job, "taken-back-with" if len(back) > 1 else "taken-back", seen=seen)

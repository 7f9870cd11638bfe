"""A machine's page: its details, past, photos, cells, jobs and record."""

from __future__ import annotations

from urllib.parse import quote

from starlette.requests import Request
from starlette.responses import Response

from powergood import bench
from powergood.errors import BadInput
from powergood.web.contexts import MachinePage
from powergood.web.forms import Filled
from powergood.web.kept_photo import photo_of, status_of
from powergood.web.pages.machines import EARLIEST, LATEST
from powergood.web.render import SAID, go, render, who


def show(request: Request) -> Response:
    """Show a machine."""
    return _page(request)


def _page(request: Request, kept: Filled | None = None, status: int = 200, said: str = "") -> Response:
    machine = bench.machine(request.app.state.workshop, request.path_params["tag"])
    page = MachinePage(
        machine,
        f"{machine.card.tag} {machine.card.name}",
        failed=kept.name if kept else "",
        kept=kept or Filled(),
    )
    return render(request, "machine.html", page, place="machines", said=SAID.get(said, ""), status=status)


def describe(request: Request, form: Filled) -> Response:
    """Keep changed details."""
    tag = request.path_params["tag"]
    year = form.number("year", least=EARLIEST, most=LATEST)
    details = {
        "name": form.line("name", needed="The name cannot be empty.", longest=120),
        "year": str(year),
        "story": form.words("story"),
        "came_with": form.line("came_with", longest=500),
        "condition": form.line("condition", longest=500),
        "place": form.line("place", longest=120),
    }
    if "edition" in form.text:
        details["edition"] = form.line("edition", longest=60)
    if not form.problems:
        try:
            bench.describe(request.app.state.workshop, tag, details, key=form.key, who=who(request))
            return _back(tag, "kept")
        except BadInput as error:
            form.problems["year" if "year" in str(error) else "name"] = str(error)
    return _page(request, form, 422)


def answer_intake(request: Request, form: Filled) -> Response:
    """Keep the answers to the take-in questions; those not known are left alone.

    They stand in the form that begins a job, where there is one: its words come back as they were typed, in
    a form of its own, so that an answer changed back is no resend of the first.
    """
    _keep_intake(request, form)
    if form.name == "begin":
        form.text.pop("key", None)
        return _page(request, form, said="kept")
    return _back(request.path_params["tag"], "kept")


def _keep_intake(request: Request, form: Filled) -> None:
    answers = {
        name.removeprefix("q:"): value == "yes"
        for name, value in form.text.items()
        if name.startswith("q:") and value in ("yes", "no")
    }
    ws, tag = request.app.state.workshop, request.path_params["tag"]
    bench.answer_intake(ws, tag, answers, key=f"{form.key}-past", who=who(request))


def add_photo(request: Request, form: Filled) -> Response:
    """Keep a photo with the machine."""
    tag = request.path_params["tag"]
    photo, caption = photo_of(request, form), form.line("caption")
    if not photo:
        form.problems.setdefault("photo", "Choose a photo first.")
    if form.problems:
        return _page(request, form, status_of(form))
    ws = request.app.state.workshop
    bench.add_photo(ws, photo, tag=tag, caption=caption, key=form.key, who=who(request))
    return _back(tag, "photo")


def begin(request: Request, form: Filled) -> Response:
    """Begin a job: the words are stored first; what they stand for is asked after, where it is not clear.

    Words alone will do: with nothing ticked, what usually should work is wanted. What was answered of the
    machine's past comes with the same form and is kept too.
    """
    ws = request.app.state.workshop
    tag = request.path_params["tag"]
    machine = bench.machine(ws, tag)
    words = form.words("words", longest=2000)
    wanted = form.choices("wanted", {each.function for each in machine.functions})
    if form.problems:
        return _page(request, form, 422)
    best = bench.complaints(ws, machine.card.sheet, words).best if words else ""
    number = bench.open_job(
        ws, tag, words=words, complaint=best, wanted=wanted, key=form.key, who=who(request)
    )
    _keep_intake(request, form)
    if words and not best:
        return go(f"/jobs/{number}/complaint?said=complaint")
    return go(f"/jobs/{number}?said=written")


def _back(tag: str, said: str) -> Response:
    return go(f"/machines/{quote(tag, safe='')}?said={said}")

"""The machines in the book, and the form that puts one in."""

from __future__ import annotations

import re

from starlette.requests import Request
from starlette.responses import Response

from powergood import bench
from powergood.bench.card_views import MachineCard
from powergood.bench.intake_views import TakeIn
from powergood.errors import BadInput
from powergood.web.contexts import MachinesPage, TakeInPage
from powergood.web.forms import LONGEST_LINE, Filled
from powergood.web.kept_photo import photo_of, status_of
from powergood.web.render import go, render, who

_TAG = re.compile(r"\w+(?:[._-]\w+)*")
EARLIEST, LATEST = 1940, 2100  # bounds of the field; the bench knows better and has the last word


def show(request: Request) -> Response:
    """Show the machines, or those whose tag, name, kind or place holds every word looked for."""
    find = request.query_params.get("find", "").strip()[:100]
    every = bench.machines(request.app.state.workshop)
    found = tuple(card for card in every if _fits(card, find))
    return render(request, "machines.html", MachinesPage(found, len(every), find), place="machines")


def _fits(card: MachineCard, find: str) -> bool:
    text = " ".join((card.tag, card.name, card.kind, card.place)).casefold()
    return all(word in text for word in find.casefold().split())


def ask(request: Request) -> Response:
    """Show the take-in form."""
    return _form(request)


def _form(request: Request, kept: Filled | None = None, status: int = 200) -> Response:
    ws = request.app.state.workshop
    page = TakeInPage(
        bench.kinds(ws), bench.next_tag(ws), failed="take-in" if kept else "", kept=kept or Filled()
    )
    return render(request, "take_in.html", page, place="take in", status=status)


def take_in(request: Request, form: Filled) -> Response:
    """Put a machine in the book, or show the form again with what must be mended."""
    ws, photo = request.app.state.workshop, photo_of(request, form)
    kinds = {kind.sheet for kind in bench.kinds(ws)}
    machine = TakeIn(
        name=form.line("name", needed="Say what it is; anything you will know it by.", longest=120),
        sheet=form.choice("sheet", kinds, needed="Choose what kind it is; the family will do."),
        tag=form.line("tag", longest=40),
        year=form.number("year", least=EARLIEST, most=LATEST),
        story=form.line("story", longest=1000),
        came_with=form.line("came_with", longest=500),
        condition=form.line("condition", longest=500),
        place=form.line("place", longest=120),
        photo=photo,
        caption=form.line("caption", longest=LONGEST_LINE),
    )
    if machine.tag and (not _TAG.fullmatch(machine.tag) or machine.tag == "new"):
        form.problems["tag"] = "A tag is letters and digits, with . _ or - between them: HM-014."
    if form.problems:
        return _form(request, form, status_of(form))
    try:
        tag = bench.take_in(ws, machine, key=form.key, who=who(request))
    except BadInput as error:
        form.problems["name" if "name" in str(error) else "tag"] = str(error)
        return _form(request, form, 422)
    return go(f"/machines/{tag}?said=taken-in")

"""Model sheets: read one, make one, change one, share it as a file, take a file in."""

from __future__ import annotations

from typing import Final
from urllib.parse import quote

from starlette.requests import Request
from starlette.responses import Response

from powergood.bench import modelsheets
from powergood.bench.modelsheets.views import ComparedSheet
from powergood.errors import BadInput
from powergood.web.forms import Filled
from powergood.web.know_contexts import SheetPage, TakeInSheetPage
from powergood.web.render import go, render

PLACE: Final = "know-how"
LARGEST_TEXT: Final = 200_000
EARLIEST, LATEST = 1940, 2100


def show(request: Request) -> Response:
    """Show a model sheet."""
    view = modelsheets.sheet(request.app.state.workshop, request.path_params["kind"])
    return render(request, "sheets/sheet.html", SheetPage(view, view.title), place=PLACE)


def file(request: Request) -> Response:
    """Send a model sheet as one file."""
    name, text = modelsheets.sheet_file(request.app.state.workshop, request.path_params["kind"])
    headers = {"content-disposition": f'attachment; filename="{name}"', "cache-control": "no-store"}
    return Response(text, media_type="application/yaml", headers=headers)


def make(request: Request, form: Filled) -> Response:
    """Make an own sheet from a family or another sheet, and open its form."""
    ws, origin = request.app.state.workshop, request.path_params["kind"]
    title = form.line("title", needed="Give the model a name, as it stands on its label.", longest=120)
    maker = form.line("make", longest=120)
    year = form.number("year", least=EARLIEST, most=LATEST)
    if form.problems:
        raise BadInput(" ".join(form.problems.values()))
    made = modelsheets.make_sheet(ws, origin, title=title, make=maker, year=year)
    return go(f"/know-how/{quote(made)}/sheet/change?said=kept")


def ask_change(request: Request) -> Response:
    """Show the form that changes an own sheet."""
    return _form(request)


def _form(request: Request, kept: Filled | None = None, status: int = 200) -> Response:
    ws, name = request.app.state.workshop, request.path_params["kind"]
    fields = modelsheets.sheet_form(ws, name)
    view = modelsheets.sheet(ws, name)
    rows = sum(field.startswith("cell:") and field.endswith(":title") for field in fields)
    page = SheetPage(
        view,
        f"Change: {view.title}",
        fields,
        rows,
        modelsheets.sheet_choices(ws, name),
        failed="sheet" if kept else "",
        kept=kept or Filled(),
    )
    return render(request, "sheets/change.html", page, place=PLACE, status=status)


def change(request: Request, form: Filled) -> Response:
    """Keep the changes, or show the form again with each problem beside its field."""
    ws, name = request.app.state.workshop, request.path_params["kind"]
    typed = {field: form.words(field) for field in modelsheets.sheet_form(ws, name) if field in form.text}
    if not form.problems:
        form.problems.update(modelsheets.change_sheet(ws, name, typed))
    if form.problems:
        return _form(request, form, 422)
    return go(f"/know-how/{quote(name)}/sheet?said=kept")


def ask_take_in(request: Request) -> Response:
    """Show the form that takes a file in."""
    return render(request, "sheets/take_in.html", TakeInSheetPage(), place=PLACE)


def take_in(request: Request, form: Filled) -> Response:
    """Show what a file would change; take it in only when that was seen and wanted."""
    ws = request.app.state.workshop
    text = _text(form)
    if form.problems:
        page = TakeInSheetPage(failed="take-in-sheet", kept=form)
        return render(request, "sheets/take_in.html", page, place=PLACE, status=422)
    compared: ComparedSheet = modelsheets.compare_sheet(ws, text)
    agreed = compared.stamp and form.text.get("seen") == compared.stamp
    if agreed and not compared.clash:
        return go(f"/know-how/{quote(modelsheets.take_in_sheet(ws, text))}/sheet?said=kept")
    status = 422 if compared.mistakes or compared.clash else 200
    page = TakeInSheetPage(compared, text, kept=form)
    return render(request, "sheets/take_in.html", page, place=PLACE, status=status)


def _text(form: Filled) -> str:
    """Return the text of the file or the box; a problem is put beside the one it came from."""
    given = form.files.get("file", b"")
    if not given:
        text = form.text.get("text", "").replace("\r\n", "\n")
        if not text.strip():
            form.problems["text"] = "Choose a file, or paste its text."
        elif len(text) > LARGEST_TEXT:
            form.problems["text"] = f"This is too long; at most {LARGEST_TEXT} letters are read."
        return text
    try:
        return given.decode("utf-8-sig")
    except UnicodeDecodeError:
        form.problems["file"] = "This is no text file; a model sheet is a .yaml file in UTF-8."
        return ""

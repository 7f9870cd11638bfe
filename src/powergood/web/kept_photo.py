"""The photo that comes with a form: kept before anything else is read, so that no mistake can lose it.

A page cannot put a photo back into a form. So it is stored first, and a form that must be mended carries its
digest and shows it; another may be chosen in its place, or it may be left out. One that is left out stays in
the folder of photos, named by no fact.
"""

from __future__ import annotations

from starlette.requests import Request

from powergood import bench
from powergood.errors import BadPhoto, UnknownThing
from powergood.web.forms import Filled

FIELD = "photo"
KEPT = "kept_photo"
LEAVE_OUT = "without_photo"


def photo_of(request: Request, form: Filled) -> str:
    """Keep the photo that `form` brings and return its digest; that of an earlier try where it brings none.

    Empty when there is none. What cannot be kept is a problem of its field.
    """
    ws, data = request.app.state.workshop, form.files.get(FIELD)
    if data is not None:
        try:
            form.text[KEPT] = bench.keep_photo(ws, data)
            return form.text[KEPT]
        except BadPhoto as error:
            empty = "The photo arrived empty. Take it again, or go on without."
            form.problems[FIELD] = str(error) if data else empty
    digest = "" if form.ticked(LEAVE_OUT) else form.text.get(KEPT, "")
    try:
        if digest:
            ws.store.photo_path(digest)
    except UnknownThing:
        form.problems[FIELD] = "The photo of the first try is not there any more. Choose it again."
        digest = ""
    form.text[KEPT] = digest
    return digest


def status_of(form: Filled) -> int:
    """Return how a form with problems is answered: 415 where the file it brought is no photo, else 422."""
    return 415 if FIELD in form.files and FIELD in form.problems else 422

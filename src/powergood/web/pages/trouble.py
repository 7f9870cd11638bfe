"""What is shown when something goes wrong: what, where, what to do next, and what was typed."""

from __future__ import annotations

import logging

from starlette.exceptions import HTTPException
from starlette.requests import Request
from starlette.responses import HTMLResponse, Response

from powergood.errors import DiskFull, PowergoodError, UnknownThing, WorkshopError
from powergood.web.contexts import TroublePage
from powergood.web.forms import Filled
from powergood.web.render import environment, frame, quick

log = logging.getLogger("powergood.web")

_NOT_FOUND = (
    "There is no page at this address.",
    "What you have written down is in the book; nothing was lost.",
)
_BROKEN = (
    "The program met something it did not expect. What was written down before stays written down.",
    "If you were saving something, look in the record whether it is there. If it is not, it stands below: "
    "go back and send it again. The same form sent twice is written down once.",
)
_WORDS = {
    400: ("That could not be read", ("The form came in pieces or with more fields than it has.",)),
    405: ("Not that way", ("This address takes what a form sends; open the page it belongs to.",)),
    413: (
        "Too large",
        ("A photo may be up to 25 MB, and a form without one up to 1 MB. Nothing was written down.",),
    ),
}


def trouble(
    request: Request, status: int, title: str, *words: str, back: str = "/", back_words: str = ""
) -> Response:
    """Return a page of trouble, with what was typed; a part of a page where only that was asked for."""
    filled: Filled | None = getattr(request.state, "filled", None)
    page = TroublePage(
        title=title,
        words=words,
        typed=tuple((filled or Filled()).typed.items()),
        back=back,
        back_words=back_words or ("To the bench" if back == "/" else "Go back"),
    )
    template = "_trouble.html" if quick(request) else "trouble.html"
    html = environment().get_template(template).render(page=page, frame=frame(request, ""))
    return HTMLResponse(html, status_code=status, headers={"cache-control": "no-store"})


def http_trouble(request: Request, error: Exception) -> Response:
    """Return the page for a status that the framework raised."""
    assert isinstance(error, HTTPException)
    if error.status_code == 404:
        return trouble(request, 404, "Not here", *_NOT_FOUND)
    title, words = _WORDS.get(error.status_code, ("That did not work", (error.detail,)))
    return trouble(request, error.status_code, title, *words)


def known_trouble(request: Request, error: Exception) -> Response:
    """Return the page for an error of ours that no page dealt with itself."""
    assert isinstance(error, PowergoodError)
    if isinstance(error, UnknownThing):
        return trouble(request, 404, "Not in the book", str(error))
    if isinstance(error, DiskFull):
        return trouble(request, 507, "The disk is full", str(error))
    if isinstance(error, WorkshopError):
        return trouble(request, 503, "The workshop cannot be used just now", str(error))
    return trouble(request, 422, "That cannot be", str(error))


def unknown_trouble(request: Request, error: Exception) -> Response:
    """Return the page for what nobody expected; the log keeps the whole of it."""
    log.error("unexpected trouble at %s", request.url.path, exc_info=error)
    return trouble(request, 500, "Something went wrong here", *_BROKEN)

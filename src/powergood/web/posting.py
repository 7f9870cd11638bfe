"""How a form gets in: the sender and the token are checked, the form is read whole, then acted on."""

from __future__ import annotations

from collections.abc import Awaitable, Callable
from typing import Final

from starlette.concurrency import run_in_threadpool
from starlette.requests import Request
from starlette.responses import Response

from powergood.web.forms import Filled, read_form
from powergood.web.pages.trouble import trouble
from powergood.web.security import from_here, token_fits

Act = Callable[[Request, Filled], Response]
_STRANGER: Final = "This form was not sent by a page of this bench, so nothing was written down."
_OLD: Final = (
    "This page has been open for longer than this browser remembers it. Nothing was written down yet."
)


def posted(act: Act) -> Callable[[Request], Awaitable[Response]]:
    """Return the endpoint of a form: refuse strangers, read the form, run `act` away from the event loop."""

    async def endpoint(request: Request) -> Response:
        if not from_here(request.headers):
            return trouble(request, 403, "Not from here", _STRANGER)
        form = await read_form(request)
        request.state.filled = form
        if not token_fits(request, form.text.get("token", "")):
            return trouble(request, 403, "Open the page again", _OLD, back=_page_of(request))
        return await run_in_threadpool(act, request, form)

    return endpoint


def _page_of(request: Request) -> str:
    """Return the page that a form belongs to: its address without the last word."""
    path = request.url.path.rstrip("/").rsplit("/", 1)[0]
    return path or "/"

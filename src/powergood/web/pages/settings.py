"""What this device keeps: the paper it likes, and the name put beside what is written down."""

from __future__ import annotations

from typing import Final
from urllib.parse import quote, urlsplit

from starlette.requests import Request
from starlette.responses import Response

from powergood.web.forms import Filled
from powergood.web.pages.trouble import trouble
from powergood.web.render import PAPER_COOKIE, PAPERS, WHO_COOKIE, go

_YEAR_S: Final = 365 * 24 * 3600


def set_paper(request: Request, form: Filled) -> Response:
    """Keep day, night, or as the device is set."""
    return _kept(request, PAPER_COOKIE, form.choice("paper", PAPERS) or "as-set", form)


def set_who(request: Request, form: Filled) -> Response:
    """Keep the person's name; an empty one forgets it."""
    return _kept(request, WHO_COOKIE, quote(form.line("who", longest=60)), form)


def _kept(request: Request, cookie: str, value: str, form: Filled) -> Response:
    if form.problems:
        return trouble(request, 422, "That could not be kept", *form.problems.values())
    response = go(_where_from(request))
    response.set_cookie(cookie, value, max_age=_YEAR_S, httponly=True, samesite="strict")
    return response


def _where_from(request: Request) -> str:
    """Return the page the form stood on, this host's only."""
    path = urlsplit(request.headers.get("referer", "")).path
    return path if path.startswith("/") and not path.startswith("//") else "/"

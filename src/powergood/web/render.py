"""From a page's context to HTML: the templates, their filters, and the frame round every page."""

from __future__ import annotations

import re
from functools import cache
from hashlib import sha256
from pathlib import Path
from typing import Final, cast
from urllib.parse import unquote

import jinja2
from starlette.requests import Request
from starlette.responses import HTMLResponse, RedirectResponse, Response

from powergood.bench.cutaway_views import CutawayPart
from powergood.units import in_100, in_100_finely, in_minutes
from powergood.web import phrases
from powergood.web.contexts import Frame, Page, Paper
from powergood.web.drawings.strength import strength_word
from powergood.web.forms import new_key
from powergood.web.way_back import job_of_page, job_to_go_back_to, with_the_way_back

HERE: Final = Path(__file__).parent
PAPER_COOKIE: Final = "powergood_paper"
WHO_COOKIE: Final = "powergood_who"
PAPERS: Final = ("as-set", "day", "night")
SAID: Final = {
    "written": "Written down.",
    "taken-in": "It is in the book.",
    "kept": "Kept.",
    "photo": "The photo is kept.",
    "start": "The start is written down.",
    "signed-off": "Signed off.",
    "shelved": "It is on the shelf.",
    "taken-back": "It is taken back.",
    "taken-back-with": "It is taken back, and with it what had come of it: the lines that say so below.",
    "complaint": "What was said is written down.",
}
"""What a page says after something was saved, by the word in its address."""


@cache
def environment() -> jinja2.Environment:
    """Return the template environment; a name that a template does not know is an error."""
    env = jinja2.Environment(
        loader=jinja2.FileSystemLoader(HERE / "templates"),
        autoescape=True,
        undefined=jinja2.StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
    )
    env.filters.update(
        minutes=in_minutes,
        chance=in_100,
        chance_finely=in_100_finely,
        day_and_time=phrases.day_and_time,
        day=phrases.day,
        clock=phrases.clock,
        listed=phrases.listed,
        begun=phrases.begun,
        standing_word=standing_word,
        slug=slug,
    )
    env.globals.update(new_key=new_key, version=static_version())
    return env


def standing_word(part: CutawayPart) -> str:
    """Return a part's standing in words, a suspicion with its strength."""
    if part.standing == "suspect":
        return strength_word(part.strength)
    return "not known" if part.standing == "unknown" else part.standing


def slug(name: str) -> str:
    """Return a name fit for an HTML id: letters, digits and hyphens."""
    return re.sub(r"[^A-Za-z0-9]+", "-", name).strip("-").lower()


@cache
def static_version() -> str:
    """Return a short digest of the style sheets and scripts, so that browsers fetch changed ones."""
    digest = sha256()
    for path in sorted((HERE / "static").rglob("*")):
        if path.suffix in {".css", ".js"}:
            digest.update(path.read_bytes())
    return digest.hexdigest()[:12]


def frame(request: Request, place: str, said: str = "") -> Frame:
    """Return what stands round a page for this request."""
    paper = request.cookies.get(PAPER_COOKIE, "as-set")
    return Frame(
        place=place,
        paper=cast(Paper, paper if paper in PAPERS else "as-set"),
        who=who(request),
        token=request.state.token,
        said=said or SAID.get(request.query_params.get("said", ""), ""),
        job=job_to_go_back_to(request),
    )


def who(request: Request) -> str:
    """Return the name of the person at this device; empty when they gave none."""
    return unquote(request.cookies.get(WHO_COOKIE, ""))[:60]


def quick(request: Request) -> bool:
    """Return whether the page asked for a part of itself, to be put in place by its script."""
    return request.headers.get("hx-request") == "true"


def render(
    request: Request, template: str, page: Page, *, place: str = "", said: str = "", status: int = 200
) -> Response:
    """Return a page as HTML."""
    whole = environment().get_template(template)
    html = whole.render(page=page, frame=frame(request, place, said))
    html = with_the_way_back(html, job_of_page(request))
    return HTMLResponse(html, status_code=status, headers={"cache-control": "no-store"})


def go(address: str) -> Response:
    """Send the browser on to another page after a form was saved."""
    return RedirectResponse(address, status_code=303)

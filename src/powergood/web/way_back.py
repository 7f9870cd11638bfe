"""The way back to a job from what is read beside it: the job's number goes along in every such link."""

from __future__ import annotations

import re
from typing import Final

from starlette.requests import Request

from powergood import bench
from powergood.bench.card_views import JobName
from powergood.errors import UnknownThing

_FROM_A_JOB: Final = re.compile(r"/jobs/([0-9]{1,9})(?:/|$)")
_BESIDE: Final = re.compile(r"/(?:know-how|taught|worth)(?:/|$)")
_LINK: Final = re.compile(r'href="(/(?:know-how|taught|worth)(?:[/?][^"#]*)?)(#[^"]*)?"')


def job_of_page(request: Request) -> int:
    """Return the number of the job that a page belongs to or was reached from; 0 for none."""
    if found := _FROM_A_JOB.match(request.url.path):
        return int(found[1])
    asked = request.query_params.get("job", "")
    beside = _BESIDE.match(request.url.path)
    return int(asked) if beside and asked.isascii() and asked.isdigit() and len(asked) < 10 else 0


def job_to_go_back_to(request: Request) -> JobName | None:
    """Return the job that what is read here was reached from; none where there is none."""
    number = job_of_page(request)
    if not number or _FROM_A_JOB.match(request.url.path):
        return None
    try:
        return bench.job_name(request.app.state.workshop, number)
    except UnknownThing:
        return None


def with_the_way_back(html: str, job: int) -> str:
    """Return a page whose links to what is known, taught or preferred carry the job along."""
    return _LINK.sub(lambda found: _carrying(found, job), html) if job else html


def _carrying(found: re.Match[str], job: int) -> str:
    address, mark = found[1], found[2] or ""
    return f'href="{address}{"&amp;" if "?" in address else "?"}job={job}{mark}"'

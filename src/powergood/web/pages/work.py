"""A look or a mend that was done though it is not advised: found by words, then written down."""

from __future__ import annotations

from dataclasses import replace

from starlette.requests import Request
from starlette.responses import Response

from powergood import bench
from powergood.web.pages.job import number_of
from powergood.web.pages.job_view import job_page
from powergood.web.render import render


def show(request: Request) -> Response:
    """Show all looks and mends, or those found, and the form of the one chosen."""
    ws, number = request.app.state.workshop, number_of(request)
    asked = request.query_params
    found = bench.other_work(ws, number, asked.get("find", ""), asked.get("step", ""))
    page = replace(job_page(request, bench.job(ws, number)), other=found)
    return render(request, "work.html", page, place="bench")

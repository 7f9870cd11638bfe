"""The bench: open jobs with what comes next, the shelf, and machines without a job."""

from __future__ import annotations

from starlette.requests import Request
from starlette.responses import Response

from powergood import bench
from powergood.web.contexts import BenchPage
from powergood.web.render import render


def show(request: Request) -> Response:
    """Show the bench."""
    board = bench.board(request.app.state.workshop)
    tonight = sorted((job for job in board.open if job.next_step), key=lambda job: job.next_minutes)
    return render(request, "bench.html", BenchPage(board, tuple(tonight)), place="bench")

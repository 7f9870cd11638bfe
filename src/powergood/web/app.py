"""The web app: one table of routes, and what stands before them."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

from starlette.applications import Starlette
from starlette.exceptions import HTTPException
from starlette.middleware import Middleware
from starlette.routing import BaseRoute, Mount, Route
from starlette.staticfiles import StaticFiles

from powergood.bench import Workshop
from powergood.errors import PowergoodError
from powergood.web.forms import MOST_BODY, MOST_PHOTO_BODY
from powergood.web.pages import (
    answers,
    bench,
    ending,
    job,
    know_how,
    machine,
    machines,
    pad,
    photos,
    record,
    settings,
    sheets,
    stages,
    taught,
    work,
    worth,
)
from powergood.web.pages.trouble import http_trouble, known_trouble, unknown_trouble
from powergood.web.posting import Act, posted
from powergood.web.render import HERE
from powergood.web.security import KnownHost, SecureHeaders

OWN_NAMES: Final = ("localhost",)


def create_app(workshop: Workshop, *, hosts: Sequence[str] = ()) -> Starlette:
    """Return the app for a workshop.

    `hosts` are further names this computer goes by on its network; bare addresses always do, and any other
    `Host` is refused, so that no foreign name can be made to point here.
    """
    app = Starlette(
        routes=_routes(),
        middleware=[
            Middleware(SecureHeaders),
            Middleware(KnownHost, names=[*OWN_NAMES, *hosts]),
        ],
        exception_handlers={
            HTTPException: http_trouble,
            PowergoodError: known_trouble,
            Exception: unknown_trouble,
        },
    )
    app.state.workshop = workshop
    return app


def _routes() -> list[BaseRoute]:
    return [
        Route("/", bench.show),
        Route("/machines", machines.show, methods=["GET"]),
        _form("/machines", machines.take_in, MOST_PHOTO_BODY),
        Route("/machines/new", machines.ask),
        Route("/machines/{tag}", machine.show, methods=["GET"]),
        _form("/machines/{tag}", machine.describe),
        _form("/machines/{tag}/intake", machine.answer_intake),
        _form("/machines/{tag}/photos", machine.add_photo, MOST_PHOTO_BODY),
        _form("/machines/{tag}/jobs", machine.begin),
        Route("/jobs/{number:int}", job.show),
        Route("/jobs/{number:int}/complaint", job.ask_complaint, methods=["GET"]),
        _form("/jobs/{number:int}/complaint", job.complain),
        Route("/jobs/{number:int}/what-if", job.what_if),
        Route("/jobs/{number:int}/moved/{fault}", job.weighing),
        Route("/jobs/{number:int}/near/{level:int}", job.near),
        Route("/jobs/{number:int}/marks", job.marks),
        Route("/jobs/{number:int}/work", work.show),
        Route("/jobs/{number:int}/pad", pad.show, methods=["GET"]),
        _form("/jobs/{number:int}/pad", pad.save),
        _form("/jobs/{number:int}/answer", answers.answer_step),
        _form("/jobs/{number:int}/gate", answers.answer_gate),
        _form("/jobs/{number:int}/stage/readings", stages.note_readings),
        _form("/jobs/{number:int}/stage/done", stages.finish),
        _form("/jobs/{number:int}/stage/edition", stages.say_edition),
        _form("/jobs/{number:int}/stage/rest", stages.let_go),
        _form("/jobs/{number:int}/stage/stop", stages.stop),
        _form("/jobs/{number:int}/opening", answers.answer_opening),
        _form("/jobs/{number:int}/part", answers.move_part),
        _form("/jobs/{number:int}/note", record.add_note),
        _form("/jobs/{number:int}/reading", record.add_reading),
        _form("/jobs/{number:int}/photos", record.add_photo, MOST_PHOTO_BODY),
        _form("/jobs/{number:int}/withdraw", record.take_back),
        _form("/jobs/{number:int}/wanted", ending.want),
        _form("/jobs/{number:int}/shelve", ending.shelve),
        _form("/jobs/{number:int}/resume", ending.resume),
        _form("/jobs/{number:int}/stop", ending.stop),
        Route("/jobs/{number:int}/sign-off", ending.ask_sign_off, methods=["GET"]),
        _form("/jobs/{number:int}/sign-off", ending.sign_off),
        *_know_how(),
        *_taught(),
        Route("/photos/{digest}", photos.show),
        _form("/paper", settings.set_paper),
        _form("/who", settings.set_who),
        Mount("/static", StaticFiles(directory=HERE / "static")),
    ]


def _know_how() -> list[BaseRoute]:
    return [
        Route("/know-how", know_how.front),
        Route("/know-how/{kind}", know_how.family),
        Route("/know-how/{kind}/safety", know_how.safety),
        Route("/know-how/{kind}/complaints", know_how.complaints),
        Route("/know-how/{kind}/complaints/{complaint}", know_how.complaint),
        Route("/know-how/{kind}/faults/{fault}", know_how.fault),
        Route("/know-how/{kind}/checks/{check}", know_how.check),
        Route("/know-how/{kind}/sheet", sheets.show),
        Route("/know-how/{kind}/sheet/file", sheets.file),
        _form("/know-how/{kind}/sheet/make", sheets.make),
        Route("/know-how/{kind}/sheet/change", sheets.ask_change, methods=["GET"]),
        _form("/know-how/{kind}/sheet/change", sheets.change),
        Route("/sheets/take-in", sheets.ask_take_in, methods=["GET"]),
        _form("/sheets/take-in", sheets.take_in),
    ]


def _taught() -> list[BaseRoute]:
    return [
        Route("/taught", taught.show, methods=["GET"]),
        _form("/taught", taught.switch),
        _form("/jobs/{number:int}/learned", taught.use_now),
        Route("/worth", worth.show, methods=["GET"]),
        _form("/worth", worth.keep),
        _form("/worth/take-back", worth.take_back),
    ]


def _form(path: str, act: Act, most_body: int = MOST_BODY) -> Route:
    return Route(path, posted(act), methods=["POST"], max_body_size=most_body)

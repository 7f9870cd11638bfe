"""Take a machine in, and add what is learned of it later."""

from __future__ import annotations

from collections.abc import Mapping

from powergood.bench.book import job_of, machine_of
from powergood.bench.drafting import drafts_of
from powergood.bench.intake_views import TakeIn
from powergood.bench.library import Known
from powergood.bench.machine_state import DETAILS, EDITION
from powergood.bench.machine_views import MachineView
from powergood.bench.machines import machine
from powergood.bench.workshop import Workshop
from powergood.errors import BadInput, UnknownThing
from powergood.knowledge.model import Family
from powergood.record.model import Body, Described, IntakeAnswer, PhotoTaken, TakenIn

EARLIEST_YEAR = 1940
"""Judgement: before the first stored-program computers no year makes sense."""

TAG_TRIES = 5
"""How often another tag is tried when two people take machines in at the same moment."""


def next_tag(ws: Workshop) -> str:
    """Return the next free tag."""
    return ws.store.next_tag()


def take_in(ws: Workshop, machine: TakeIn, *, key: str, who: str = "") -> str:
    """Put a machine in the book and return its tag.

    Raises
    ------
    BadInput : what is missing or cannot be, all at once. UnknownThing : no such kind.
    BadPhoto : the photo cannot be used; nothing was written, send it again without or with another.
    """
    known = _checked(ws, machine)
    photo = keep_photo(ws, machine.photo) if machine.photo else ""
    for _ in range(TAG_TRIES):
        tag = machine.tag.strip() or _free_tag(ws, key)
        drafts = drafts_of(
            _bodies(ws, machine, tag, photo), key=key, machine=tag, who=who, digest=known.model.digest
        )
        try:
            return ws.store.append(drafts)[0].draft.machines[0]
        except BadInput:
            if machine.tag.strip() or _free_tag(ws, key) == tag:
                raise
    raise BadInput("Others are taking machines in at this moment. Nothing was stored; send it again.")


def _free_tag(ws: Workshop, key: str) -> str:
    """Return the next free tag, or on a resend of the same form the tag that it was given."""
    for tag, fact in ws.store.machines().items():
        if fact.draft.key == f"{key}/1":
            return tag
    return next_tag(ws)


def _bodies(ws: Workshop, machine: TakeIn, tag: str, photo: str) -> list[Body]:
    sheet = ws.library.sheet(machine.sheet)
    details = TakenIn(
        tag=tag,
        name=machine.name.strip(),
        sheet=machine.sheet,
        year=machine.year or (sheet.year if sheet else 0),
        story=machine.story,
        came_with=machine.came_with,
        condition=machine.condition,
        place=machine.place,
    )
    answers = [IntakeAnswer(question, yes) for question, yes in machine.intake.items()]
    edition = [Described(EDITION, machine.edition)] if machine.edition else []
    return [details, *edition, *answers, *([PhotoTaken(photo, machine.caption)] if photo else [])]


def _checked(ws: Workshop, machine: TakeIn) -> Known:
    problems = [] if machine.name.strip() else ["Give the machine a name; anything you will know it by."]
    problems += _year_problems(ws, machine.year)
    try:
        known = ws.library.known(machine.sheet)
    except UnknownThing as error:
        raise UnknownThing(" ".join([*problems, str(error)])) from error
    unknown = [name for name in machine.intake if name not in known.words.intake]
    problems += _edition_problems(known.family, machine.edition)
    problems += [f"There is no take-in question {name!r} for this kind." for name in unknown]
    if problems:
        raise BadInput(" ".join(problems))
    return known


def _year_problems(ws: Workshop, year: int) -> list[str]:
    this_year = ws.store.clock().year
    if not year or EARLIEST_YEAR <= year <= this_year:
        return []
    return [f"The year {year} cannot be; write one from {EARLIEST_YEAR} to {this_year}."]


def _edition_problems(family: Family, edition: str) -> list[str]:
    known = [each.id for each in family.editions]
    if not edition or edition in known:
        return []
    return [f"There is no edition {edition!r} for this kind; there are: {', '.join(known) or 'none'}."]


def describe(ws: Workshop, tag: str, details: Mapping[str, str], *, key: str, who: str = "") -> MachineView:
    """Set or change details of a machine; what is unchanged adds nothing.

    Raises
    ------
    BadInput : a detail that there is not, or a year that is none.
    """
    state = machine_of(ws, tag)
    problems = [f"A machine has no {what!r}." for what in details if what not in DETAILS]
    year = details.get("year", "").strip() or "0"
    problems += _year_problems(ws, int(year)) if year.isdecimal() else [f"{year!r} is no year."]
    if "name" in details and not details["name"].strip():
        problems.append("The name cannot be empty.")
    if details.get(EDITION):
        family = ws.library.known(details.get("sheet", state.details.sheet)).family
        problems += _edition_problems(family, details[EDITION])
    if problems:
        raise BadInput(" ".join(problems))
    if "sheet" in details:
        ws.library.known(details["sheet"])
    changed = {what: value for what, value in details.items() if value != state.detail(what)}
    ws.store.append(
        drafts_of([Described(what, value) for what, value in changed.items()], key=key, machine=tag, who=who)
    )
    return machine(ws, tag)


def answer_intake(
    ws: Workshop, tag: str, answers: Mapping[str, bool], *, key: str, who: str = ""
) -> MachineView:
    """Answer take-in questions of a machine; the last answer counts.

    Raises
    ------
    BadInput : a question its kind does not have.
    """
    state = machine_of(ws, tag)
    known = ws.library.known(state.details.sheet)
    unknown = [name for name in answers if name not in known.words.intake]
    if unknown:
        raise BadInput(" ".join(f"There is no take-in question {name!r} for this kind." for name in unknown))
    changed = [IntakeAnswer(name, yes) for name, yes in answers.items() if state.intake.get(name) is not yes]
    ws.store.append(drafts_of(changed, key=key, machine=tag, who=who))
    return machine(ws, tag)


def keep_photo(ws: Workshop, photo: bytes | str) -> str:
    """Keep a photo before anything is said of it and return its digest; a digest is returned as it is.

    Raises
    ------
    BadPhoto : it is no photo, or too large to open safely.
    """
    return photo if isinstance(photo, str) else ws.store.put_photo(photo)


def add_photo(
    ws: Workshop,
    photo: bytes | str,
    *,
    tag: str = "",
    job: int = 0,
    caption: str = "",
    key: str,
    who: str = "",
) -> str:
    """Keep a photo, or one that was kept before by its digest, with a machine and with a job of it.

    Without a tag it goes with the job's machine; nothing of the job is worked out for it.

    Returns its digest.

    Raises
    ------
    BadPhoto : it is no photo, or too large to open safely. UnknownThing : no such machine or job.
    """
    tag = tag or job_of(ws, job).tag
    machine_of(ws, tag)
    digest = keep_photo(ws, photo)
    ws.store.append(drafts_of((PhotoTaken(digest, caption),), key=key, machine=tag, job=job, who=who))
    return digest

"""Adding drafts to the book inside one transaction: keys known, jobs numbered, machines made."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import replace
from typing import TypeVar

from sqlalchemy import Connection, func, select

from powergood.errors import BadInput, UnknownThing
from powergood.record.model import Draft, Fact, JobOpened, PhotoTaken, TakenIn, Withdrawn
from powergood.store import tables as t
from powergood.store.bodies import body_row, envelope_row, read_facts

_IN_ONE_QUERY = 500
_T = TypeVar("_T")


def append_drafts(connection: Connection, drafts: Sequence[Draft], written_at: str) -> tuple[Fact, ...]:
    """Add the drafts that are not in the book yet; return the fact of each draft, in their order.

    A draft whose key is known adds nothing: the fact that has the key is returned as it is.
    A `JobOpened` with job 0 gets the next job number. Each other draft of the batch with job 0 that
    shares a machine with a `JobOpened` belongs to that job: the nearest one before it in the batch,
    else the first one after it. A draft that names a job but no machine is about the job's machines.

    Raises
    ------
    UnknownThing : a machine, job, fact or photo that is not in the book.
    BadInput : a tag or job number that is taken. All troubles of the batch are named at once.
    """
    known = _numbers_of_keys(connection, [draft.key for draft in drafts])
    once = list({draft.key: draft for draft in drafts}.values())
    if len(known) < len(once):
        placed = _placed(connection, _with_jobs(connection, once, known), set(known))
        for draft in placed:
            known[draft.key] = _insert(connection, draft, written_at)
    numbers = [known[draft.key] for draft in drafts]
    by_number = {fact.number: fact for fact in _facts_numbered(connection, numbers)}
    return tuple(by_number[number] for number in numbers)


def next_free_tag(tags: Sequence[str]) -> str:
    """Return a tag that follows the highest one of the newest tag's pattern: after `M-007`, `M-008`.

    `tags` are all tags in use, oldest first. The first tag of a workshop is `1`.
    """
    patterns = [match for tag in tags if (match := re.fullmatch(r"(.*?)([0-9]{1,15})", tag, re.DOTALL))]
    if not patterns:
        return "1"
    stem, width = patterns[-1][1], len(patterns[-1][2])
    number = max(int(match[2]) for match in patterns if match[1].casefold() == stem.casefold())
    return f"{stem}{number + 1:0{width}}"


def tags_in_use(connection: Connection) -> tuple[str, ...]:
    """Return the tags of all machines ever taken in, oldest first."""
    taken_in = t.BODY_TABLES["taken_in"]
    return tuple(connection.execute(select(taken_in.c.tag).order_by(taken_in.c.number)).scalars())


def _numbers_of_keys(connection: Connection, keys: Sequence[str]) -> dict[str, int]:
    found: dict[str, int] = {}
    for part in _parts(keys):
        query = select(t.fact.c.key, t.fact.c.number).where(t.fact.c.key.in_(part))
        found.update((key, number) for key, number in connection.execute(query))
    return found


def _facts_numbered(connection: Connection, numbers: Sequence[int]) -> Iterable[Fact]:
    for part in _parts(numbers):
        yield from read_facts(connection, t.fact.c.number.in_(part))


def _parts(items: Sequence[_T]) -> Iterable[Sequence[_T]]:
    return (items[start : start + _IN_ONE_QUERY] for start in range(0, len(items), _IN_ONE_QUERY))


def _with_jobs(connection: Connection, drafts: Sequence[Draft], known: Mapping[str, int]) -> list[Draft]:
    """Return the drafts with the number of the job that each belongs to."""
    kept = {fact.draft.key: fact.draft for fact in _facts_numbered(connection, list(known.values()))}
    next_job = (connection.scalar(select(func.max(t.fact.c.job))) or 0) + 1
    opened: list[tuple[int, Draft]] = []
    for position, draft in enumerate(drafts):
        if not isinstance(draft.body, JobOpened):
            continue
        if draft.key in kept:
            draft = kept[draft.key]
        elif not draft.job:
            draft = replace(draft, job=next_job)
        next_job = max(next_job, draft.job + 1)
        opened.append((position, draft))
    at = dict(opened)
    return [at.get(position) or _joined(position, draft, opened) for position, draft in enumerate(drafts)]


def _joined(position: int, draft: Draft, opened: Sequence[tuple[int, Draft]]) -> Draft:
    if draft.job:
        return draft
    same = [(at, job) for at, job in opened if set(job.machines) & set(draft.machines)]
    before = [job for at, job in same if at < position]
    after = [job for at, job in same if at > position]
    owner = before[-1] if before else after[0] if after else None
    return replace(draft, job=owner.job) if owner else draft


class _Book:
    """What the book holds that a draft may refer to, growing as the drafts of a batch are looked at."""

    def __init__(self, connection: Connection) -> None:
        self.connection = connection
        self.tags = list(tags_in_use(connection))
        self.jobs: dict[int, tuple[str, ...]] = {}

    def machines_of(self, job: int) -> tuple[str, ...] | None:
        """Return the machines of a job; None when there is no such job."""
        if job not in self.jobs:
            opening = read_facts(self.connection, t.fact.c.job == job, t.fact.c.kind == "job_opened")
            if not opening:
                return None
            self.jobs[job] = opening[0].draft.machines
        return self.jobs[job]

    def has_fact(self, number: int) -> bool:
        """Return whether a fact has that number."""
        return self.connection.scalar(select(t.fact.c.number).where(t.fact.c.number == number)) is not None

    def has_photo(self, digest: str) -> bool:
        """Return whether a photo of that digest is stored."""
        return self.connection.scalar(select(t.photo.c.digest).where(t.photo.c.digest == digest)) is not None


def _placed(connection: Connection, drafts: Sequence[Draft], known: set[str]) -> list[Draft]:
    """Return the new drafts, each with its machines; raise with all that is unknown or taken."""
    book, troubles, placed = _Book(connection), list[BadInput](), list[Draft]()
    fresh = [draft for draft in drafts if draft.key not in known]
    for draft in fresh:
        if isinstance(draft.body, JobOpened):
            troubles += _opened_job(book, draft)
    for draft in fresh:
        draft, found = _looked_at(book, draft)
        troubles += found
        placed.append(draft)
    if troubles:
        kind = UnknownThing if all(isinstance(trouble, UnknownThing) for trouble in troubles) else BadInput
        raise kind("\n".join(dict.fromkeys(str(trouble) for trouble in troubles)))
    return placed


def _looked_at(book: _Book, draft: Draft) -> tuple[Draft, list[BadInput]]:
    troubles: list[BadInput] = []
    match draft.body:
        case TakenIn(tag=tag):
            troubles += _taken_tag(book, tag)
            book.tags.append(tag)
        case Withdrawn(fact=number) if not book.has_fact(number):
            troubles.append(UnknownThing(f"There is no fact {number} to withdraw."))
        case PhotoTaken(digest=digest) if not book.has_photo(digest):
            troubles.append(
                UnknownThing("The photo is not stored in this workshop. Send the photo again first.")
            )
        case _:
            pass
    if draft.job:
        machines = book.machines_of(draft.job)
        if machines is None:
            troubles.append(UnknownThing(f"There is no job {draft.job}."))
        elif not draft.machines:
            draft = replace(draft, machines=machines)
    troubles += [
        UnknownThing(f"There is no machine with the tag {tag!r}. Take it in first, or look at the tag again.")
        for tag in draft.machines
        if tag not in book.tags
    ]
    return draft, troubles


def _opened_job(book: _Book, draft: Draft) -> list[BadInput]:
    if book.machines_of(draft.job) is not None:
        return [BadInput(f"There is a job {draft.job} already; leave the number out to get the next.")]
    book.jobs[draft.job] = draft.machines
    return []


def _taken_tag(book: _Book, tag: str) -> list[BadInput]:
    same = [other for other in book.tags if other.casefold() == tag.casefold()]
    if not same:
        return []
    free = next_free_tag(book.tags)
    return [BadInput(f"The tag {same[0]!r} is taken. The next free one is {free!r}.")]


def _insert(connection: Connection, draft: Draft, written_at: str) -> int:
    draft = draft if draft.seen_at else replace(draft, seen_at=written_at)
    row = envelope_row(draft, written_at)
    number = int(connection.execute(t.fact.insert().values(row)).inserted_primary_key[0])  # type: ignore[index]
    connection.execute(t.BODY_TABLES[str(row["kind"])].insert().values(body_row(number, draft.body)))
    machines = [{"fact": number, "tag": tag, "place": place} for place, tag in enumerate(draft.machines)]
    fitted = [{"fact": number, "instance": name, "place": place} for place, name in enumerate(draft.fitted)]
    if machines:
        connection.execute(t.fact_machine.insert(), machines)
    if fitted:
        connection.execute(t.fact_fitted.insert(), fitted)
    return number

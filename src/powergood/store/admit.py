"""Whether a draft can be kept as it is: what is wrong with it that shows without the database."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import fields, replace
from datetime import UTC, datetime

from powergood.errors import BadInput
from powergood.record.model import Draft, JobOpened, TakenIn
from powergood.store.tables import kind_name

LARGEST = 2**63 - 1


def admitted(drafts: Sequence[Draft]) -> tuple[Draft, ...]:
    """Return the drafts with their times in UTC; raise BadInput naming everything that is wrong.

    A draft about `TakenIn` names the machine it makes, whether or not the caller did.
    """
    problems = [
        f"{_label(position, draft, len(drafts))}{problem}"
        for position, draft in enumerate(drafts, start=1)
        for problem in _problems(draft)
    ]
    problems += _repeated_keys(drafts)
    if problems:
        raise BadInput("\n".join(problems))
    return tuple(_settled(draft) for draft in drafts)


def iso_utc(moment: datetime) -> str:
    """Return a moment as ISO 8601 in UTC with seconds."""
    if moment.tzinfo is None:
        raise ValueError("a moment without a time zone")
    return moment.astimezone(UTC).strftime("%Y-%m-%dT%H:%M:%SZ")


def _settled(draft: Draft) -> Draft:
    seen_at = iso_utc(datetime.fromisoformat(draft.seen_at)) if draft.seen_at else ""
    machines = tuple(dict.fromkeys(draft.machines))
    if isinstance(draft.body, TakenIn) and draft.body.tag not in machines:
        machines = (draft.body.tag, *machines)
    return replace(draft, seen_at=seen_at, machines=machines)


def _label(position: int, draft: Draft, count: int) -> str:
    kind = kind_name(type(draft.body)).replace("_", " ")
    return f"{kind}: " if count == 1 else f"fact {position} of {count}, {kind}: "


def _problems(draft: Draft) -> Iterator[str]:
    if not draft.key:
        yield "it has no key; a key is needed so that a resend adds nothing"
    if isinstance(draft.body, TakenIn) and draft.body.tag.strip() in {"", "-"}:
        yield "the machine needs a tag"
    if isinstance(draft.body, TakenIn) and draft.body.tag != draft.body.tag.strip():
        yield "the tag begins or ends with a space; leave the space out"
    if isinstance(draft.body, JobOpened) and not draft.machines:
        yield "a job needs a machine; name its tag"
    if draft.seen_at:
        yield from _time_problems(draft.seen_at)
    for owner in (draft, draft.body):
        for item in fields(owner):
            yield from _value_problems(item.name, getattr(owner, item.name))


def _time_problems(text: str) -> Iterator[str]:
    try:
        iso_utc(datetime.fromisoformat(text))
    except (ValueError, OverflowError):
        yield f"seen_at is {text!r}; write a time with its zone, such as 2026-11-25T09:30:00Z"


def _value_problems(name: str, value: object) -> Iterator[str]:
    match value:
        case bool():
            pass
        case int() if not -LARGEST <= value <= LARGEST or (name in {"job", "power_up", "fact"} and value < 0):
            yield f"{name} is {value}, which is out of range"
        case float() if not math.isfinite(value):
            yield f"{name} is {value}, which is no number that can be kept"
        case str() if "\0" in value or not _encodable(value):
            yield f"{name} holds a character that cannot be stored; remove it and send again"
        case tuple():
            for part in value:
                yield from _value_problems(name, part)


def _encodable(text: str) -> bool:
    try:
        text.encode()
    except UnicodeEncodeError:
        return False
    return True


def _repeated_keys(drafts: Sequence[Draft]) -> list[str]:
    first: dict[str, Draft] = {}
    return [
        f"the key {draft.key!r} stands on two different facts of one batch; give each its own"
        for draft in drafts
        if draft.key and first.setdefault(draft.key, draft) != draft
    ]

"""The first gate: does a file have the shape of the class it stands for? All mistakes at once.

What can be kept in spite of a mistake is kept, so that later gates still see the rest of the file: a bad
item of a list is left out, a bad field takes its default. `Shaped.doubts` names what was lost, so that
nobody draws a conclusion from its absence.
"""

from __future__ import annotations

import types
from collections.abc import Mapping
from dataclasses import MISSING, dataclass, fields
from functools import cache
from typing import Any, Generic, TypeVar

from pydantic import ConfigDict, TypeAdapter, ValidationError
from pydantic_core import ErrorDetails

from powergood.errors import Issue
from powergood.packs.claims import read_claims
from powergood.packs.marked import Document, Trail
from powergood.packs.wording import owner_of, sentence

T = TypeVar("T")


@dataclass(frozen=True, slots=True)
class Shaped(Generic[T]):
    """A value read from a file, or None when too little of it was sound; with its mistakes and losses."""

    value: T | None
    issues: tuple[Issue, ...] = ()
    doubts: tuple[Trail, ...] = ()


def shaped(document: Document, kind: type[T], at: Trail = ()) -> Shaped[T]:
    """Return the value of class `kind` that stands at `at` in the file, with every mistake of its shape."""
    issues: list[Issue] = []
    data = document.data
    for step in at:
        data = data[step]  # type: ignore[index]  # the caller's trail leads through lists and mappings

    def report(trail: Trail, check: str, message: str) -> None:
        issues.append(document.issue(check, message, (*at, *trail)))

    data = read_claims(data, kind, report)
    value, errors = _validated(kind, data)
    for error in errors:
        trail = _trail(error)
        on_key = error["type"] == "unexpected_keyword_argument"
        message = sentence({**error, "loc": trail}, owner_of(kind, trail))
        issues.append(document.issue("shape", message, (*at, *trail), on_key=on_key))
    doubts: list[Trail] = []
    for _ in range(4):
        if value is not None or not errors:
            break
        data = _without(data, errors, kind, doubts)
        value, errors = _validated(kind, data)
    return Shaped(value, tuple(issues), tuple(doubts))


@cache
def adapter(kind: type) -> TypeAdapter[tuple[Any]]:
    """Return the validator of a class, wrapped in a 1-tuple so that unknown fields can be forbidden in it.

    A plain dataclass cannot be given a configuration from outside, and knowledge knows no validator.
    """
    wrapped: Any = types.GenericAlias(tuple, (kind,))
    return TypeAdapter(wrapped, config=ConfigDict(extra="forbid"))


def _validated(kind: type[T], data: object) -> tuple[T | None, list[ErrorDetails]]:
    checked: type = kind
    try:
        value: T = adapter(checked).validate_python((data,))[0]
        return value, []
    except ValidationError as error:
        return None, error.errors(include_url=False)


def _trail(error: ErrorDetails) -> Trail:
    return tuple(error["loc"][1:])


def _without(data: object, errors: list[ErrorDetails], kind: type, doubts: list[Trail]) -> object:
    """Return `data` less what the errors are about: an optional field, else the item of a list around it."""
    if not isinstance(data, dict):
        return data
    kept: dict[str, object] = dict(data)
    optional = {field.name for field in fields(kind) if _has_default(field)}
    gone: dict[str, set[int]] = {}
    for error in errors:
        trail = _trail(error)
        if not trail:
            return data
        name = str(trail[0])
        items = data.get(name)
        if len(trail) > 1 and isinstance(trail[1], int) and isinstance(items, list):
            gone.setdefault(name, set()).add(trail[1])
        elif name in optional or error["type"] == "unexpected_keyword_argument":
            kept.pop(name, None)
            doubts.append((name,))
    for name, places in gone.items():
        items = kept.get(name)
        if isinstance(items, list):
            kept[name] = [item for place, item in enumerate(items) if place not in places]
            doubts.extend((name, _id_of(items[place], place)) for place in sorted(places))
    return kept


def _has_default(field: object) -> bool:
    default = getattr(field, "default", MISSING)
    factory = getattr(field, "default_factory", MISSING)
    return default is not MISSING or factory is not MISSING


def _id_of(item: object, place: int) -> str | int:
    if isinstance(item, Mapping) and isinstance(item.get("id"), str):
        return str(item["id"])
    return place

"""A digest of meaning: the same for knowledge that says the same, whatever the order it was written in.

Mappings, lists of things with an id and lists of names count by their names; only where order says something
(the rungs of a ladder, alternatives in their preference, sentences) does it count. A field that has its
default says nothing, so a field that a later version adds changes no digest; nor does the format that a file
is written in.
"""

from __future__ import annotations

import dataclasses
import hashlib
import json
from collections.abc import Mapping
from functools import cache


def digest(*values: object) -> str:
    """Return the SHA-256, in hexadecimal, of the meaning of dataclasses and plain values."""
    return hashlib.sha256(_text([_plain(value) for value in values]).encode()).hexdigest()


FORMAT = "format"
"""The field that says how a thing is written, and nothing of what it means."""


UNORDERED = frozenset(
    {
        "also", "behind", "cautions", "closed", "findings", "fitted", "holds", "instead", "needs", "of",
        "open", "out", "subsystems", "truth",
    }
)  # fmt: skip
"""The fields that list names of which none comes first."""


@cache
def _fields(kind: type) -> tuple[tuple[str, object], ...]:
    """Return the names of a dataclass's fields with their defaults; none of any other type."""
    if not dataclasses.is_dataclass(kind):
        return ()
    return tuple((field.name, _default(field)) for field in dataclasses.fields(kind) if field.name != FORMAT)


def _default(field: dataclasses.Field[object]) -> object:
    """Return the default of a field; where it must be given, what no field can hold."""
    if field.default_factory is not dataclasses.MISSING:
        return field.default_factory()
    return field.default


def _field(name: str, value: object) -> object:
    plain = _plain(value)
    return sorted(plain, key=_text) if name in UNORDERED and isinstance(plain, list) else plain


def _text(value: object) -> str:
    return json.dumps(value, ensure_ascii=False, sort_keys=True)


def _plain(value: object) -> object:
    if value is None or isinstance(value, str | bool):
        return value
    named = _fields(type(value))  # type: ignore[arg-type]  # every class can be hashed
    if named:
        said = ((name, getattr(value, name), usual) for name, usual in named)
        return {
            "": type(value).__name__,
            **{name: _field(name, held) for name, held, usual in said if held is not usual and held != usual},
        }
    if isinstance(value, Mapping):
        return {str(key): _plain(item) for key, item in value.items()}
    if isinstance(value, set | frozenset):
        return sorted(str(item) for item in value)
    if isinstance(value, tuple | list):
        items = [_plain(item) for item in value]
        if items and all(isinstance(item, dict) and isinstance(item.get("id"), str) for item in items):
            items.sort(key=lambda item: str(item["id"]) if isinstance(item, dict) else "")
        return items
    if isinstance(value, int | float):
        return repr(float(value))
    raise TypeError(f"no digest of a {type(value).__name__}")

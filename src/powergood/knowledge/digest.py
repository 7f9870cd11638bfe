"""A digest of meaning: the same for knowledge that says the same, whatever the order it was written in.

Mappings and lists of things with an id count by their names; only where order says something (the rungs
of a ladder, alternatives in their preference) does it count.
"""

from __future__ import annotations

import dataclasses
import hashlib
import json
from collections.abc import Mapping
from functools import cache


def digest(*values: object) -> str:
    """Return the SHA-256, in hexadecimal, of the meaning of dataclasses and plain values."""
    canonical = json.dumps(
        [_plain(value) for value in values], ensure_ascii=False, sort_keys=True, separators=(",", ":")
    )
    return hashlib.sha256(canonical.encode()).hexdigest()


@cache
def _field_names(kind: type) -> tuple[str, ...]:
    """Return the names of a dataclass's fields; none of any other type."""
    return tuple(field.name for field in dataclasses.fields(kind)) if dataclasses.is_dataclass(kind) else ()


def _plain(value: object) -> object:
    if value is None or isinstance(value, str | bool):
        return value
    names = _field_names(type(value))  # type: ignore[arg-type]  # every class can be hashed
    if names:
        return {"": type(value).__name__, **{name: _plain(getattr(value, name)) for name in names}}
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

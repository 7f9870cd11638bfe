"""A digest of meaning: the same for knowledge that says the same, whatever the order it was written in.

Mappings and lists of things with an id count by their names; only where order says something (the rungs
of a ladder, alternatives in their preference) does it count.
"""

from __future__ import annotations

import dataclasses
import hashlib
import json
from collections.abc import Mapping


def digest(*values: object) -> str:
    """Return the SHA-256, in hexadecimal, of the meaning of dataclasses and plain values."""
    canonical = json.dumps(
        [_plain(value) for value in values], ensure_ascii=False, sort_keys=True, separators=(",", ":")
    )
    return hashlib.sha256(canonical.encode()).hexdigest()


def _plain(value: object) -> object:
    if dataclasses.is_dataclass(value) and not isinstance(value, type):
        named = {field.name: _plain(getattr(value, field.name)) for field in dataclasses.fields(value)}
        return {"": type(value).__name__, **named}
    if isinstance(value, Mapping):
        return {str(key): _plain(item) for key, item in value.items()}
    if isinstance(value, set | frozenset):
        return sorted(str(item) for item in value)
    if isinstance(value, tuple | list):
        items = [_plain(item) for item in value]
        if items and all(isinstance(item, dict) and isinstance(item.get("id"), str) for item in items):
            items.sort(key=lambda item: str(item["id"]) if isinstance(item, dict) else "")
        return items
    if isinstance(value, bool) or value is None or isinstance(value, str):
        return value
    if isinstance(value, int | float):
        return repr(float(value))
    raise TypeError(f"no digest of a {type(value).__name__}")

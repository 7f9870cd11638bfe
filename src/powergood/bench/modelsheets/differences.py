"""What differs between two sheets, and between a sheet and its family, item by item and field by field."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import fields, is_dataclass
from typing import Final

from powergood.bench.modelsheets.limit_rows import limits_of
from powergood.bench.modelsheets.views import ChangeLine
from powergood.knowledge.model import Claim, Limit, MachineModel, ModelSheet, OwnLimit, Source
from powergood.packs.sheet_text import claim_text

REPLACED: Final = ("parts", "openings", "faults", "checks", "fixes", "cells")
"""The fields of a sheet whose items take the place of the family's of the same id."""


def changes(before: ModelSheet, after: ModelSheet) -> Iterator[ChangeLine]:
    """Yield what differs between two sheets, item by item where items have ids or names."""
    for each in fields(ModelSheet):
        old, new = getattr(before, each.name), getattr(after, each.name)
        title = each.name.replace("_", " ")
        if each.name in ("format", "id", "family") or old == new:
            continue
        if isinstance(new, Mapping) or _has_ids(old) or _has_ids(new):
            yield from _by_name(title, _named(old), _named(new))
        else:
            yield ChangeLine(title, _words(old), _words(new))


def overrides(given: ModelSheet, usual: MachineModel) -> Iterator[ChangeLine]:
    """Yield what a sheet says in place of its family: copies, and each field of an item that differs."""
    copies = {part.id: part.copies for part in usual.parts}
    for part, count in given.copies.items():
        if count != copies.get(part, 0):
            yield ChangeLine(f"copies, {part}", str(copies.get(part, 0)), str(count))
    if given.edition:
        yield ChangeLine("edition", "", given.edition)
    families = limits_of(usual)
    for own in given.limits:
        yield ChangeLine(f"limits, {own.id}", _limit_words(families[own.id]), _limit_words(own))
    for kind in REPLACED:
        items = _named(getattr(given, kind))
        theirs = {name: item for name, item in _named(getattr(usual, kind)).items() if name in items}
        yield from _by_name(kind, theirs, items)


def _limit_words(limit: Limit | OwnLimit) -> str:
    said = (claim_text(claim) for claim in (limit.low, limit.high) if claim)
    return ", ".join((" to ".join(said), limit.edition))


def _has_ids(value: object) -> bool:
    return isinstance(value, tuple) and bool(value) and all(hasattr(item, "id") for item in value)


def _named(value: object) -> dict[str, object]:
    if isinstance(value, Mapping):
        return dict(value)
    return {item.id: item for item in value} if isinstance(value, tuple) else {}


def _by_name(title: str, old: Mapping[str, object], new: Mapping[str, object]) -> Iterator[ChangeLine]:
    for name in {**old, **new}:
        before, after = old.get(name), new.get(name)
        if before == after:
            continue
        if is_dataclass(before) and is_dataclass(after) and not isinstance(before, type):
            for each in fields(before):
                was, now = getattr(before, each.name), getattr(after, each.name)
                if was != now and isinstance(after, Source) and each.name == "address":
                    yield ChangeLine(f"{title}, {name}: {after.title}", *_of_addresses(was, now))
                elif was != now:
                    yield ChangeLine(f"{title}, {name}: {each.name}", _words(was), _words(now))
        else:
            yield ChangeLine(f"{title}, {name}", _words(before), _words(after))


def _of_addresses(was: str, now: str) -> tuple[str, str]:
    """Return in words what became of an address, which may carry makes and so is never shown itself."""
    return ("an address" if was else "no address"), ("no address" if not now else "another" if was else "one")


def _words(value: object) -> str:
    """Return a value in words, short enough for a line; of a source its title."""
    if isinstance(value, Source):
        return value.title
    if value is None or value == () or value == 0:
        return ""
    if isinstance(value, Claim):
        return claim_text(value)
    if isinstance(value, tuple):
        return "; ".join(_words(item) for item in value)
    if isinstance(value, Mapping):
        return "; ".join(f"{name}: {_words(item)}" for name, item in value.items())
    if is_dataclass(value) and not isinstance(value, type):
        said = ((each.name, _words(getattr(value, each.name))) for each in fields(value) if each.name != "id")
        return ", ".join(f"{name} {words}" for name, words in said if words)
    return str(value)

"""Say in plain words what is wrong with a value, whatever library noticed it."""

from __future__ import annotations

from collections.abc import Mapping
from typing import get_origin

from pydantic_core import ErrorDetails

from powergood.knowledge.problems import did_you_mean
from powergood.packs.claims import choices, fields_due


def sentence(error: ErrorDetails, owner: type | None) -> str:
    """Return what is wrong as a sentence; `owner` is the class whose field it is about, where known."""
    kind, given = error["type"], error["input"]
    name = str(error["loc"][-1]) if error["loc"] else "this file"
    if kind == "missing":
        return f"`{name}` is missing here"
    if kind == "unexpected_keyword_argument":
        known = fields_due(owner) if owner else {}
        return f"there is no field `{name}` here{did_you_mean(name, known)}"
    if kind == "literal_error":
        return _one_of(name, given, owner)
    return f"{_due(kind)} is due here, {_found(given)}{_hint(kind, given)}"


def _one_of(name: str, given: object, owner: type | None) -> str:
    allowed = list(choices(fields_due(owner).get(name))) if owner else []
    listed = ", ".join(f"`{word}`" for word in allowed)
    return f"`{given}` is not one of {listed}{did_you_mean(str(given), allowed)}"


def _due(kind: str) -> str:
    if kind.startswith("string"):
        return "text"
    if kind.startswith("int"):
        return "a whole number"
    if kind.startswith(("float", "finite")):
        return "a number"
    if kind.startswith("bool"):
        return "yes or no"
    if kind.startswith(("tuple", "list")):
        return "a list"
    if kind.startswith(("dataclass", "mapping", "dict")):
        return "a set of `name: value` fields"
    return "something else"


def _found(given: object) -> str:
    match given:
        case None:
            return "but nothing is written"
        case bool():
            return f"not {str(given).lower()}"
        case int() | float():
            return f"not the number {given:g}" if isinstance(given, float) else f"not the number {given}"
        case str():
            return f"not the text `{given if len(given) < 40 else given[:37] + '…'}`"
        case list() | tuple():
            return "not a list"
        case Mapping():
            return "not `name: value` fields"
        case _:
            return "not this"


def _hint(kind: str, given: object) -> str:
    if kind.startswith("string") and isinstance(given, int | float):
        return ": put it in quotes"
    if kind.startswith(("tuple", "list")) and isinstance(given, str):
        return f": write `[{given}]`"
    return ""


def owner_of(kind: type, trail: tuple[str | int, ...]) -> type | None:
    """Return the dataclass that holds the last step of `trail` into a value of dataclass `kind`."""
    holder: object = kind
    for step in trail[:-1]:
        if isinstance(step, int) or get_origin(holder) is not None:
            inner = getattr(holder, "__args__", (None,))
            holder = inner[-1] if not isinstance(step, int) else inner[0]
        elif isinstance(holder, type) and hasattr(holder, "__dataclass_fields__"):
            holder = fields_due(holder).get(step)
        else:
            return None
    return holder if isinstance(holder, type) and hasattr(holder, "__dataclass_fields__") else None

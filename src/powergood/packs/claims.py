"""Numbers with their source, as packs write them: `5 (judgement)`, `0.3 (S3)`, `0.05 (S3, weight 8)`.

The fields that want a claim are found from the classes of the knowledge model, so that text which merely
looks like one is left alone.
"""

from __future__ import annotations

import dataclasses
import re
import types
from collections.abc import Callable, Iterator, Mapping
from functools import cache
from typing import Literal, Union, get_args, get_origin, get_type_hints

from powergood.knowledge.model import Claim
from powergood.packs.marked import Trail

CLAIM_PATTERN = (
    r"^\s*([-+]?(?:[0-9]+(?:\.[0-9]*)?|\.[0-9]+)(?:[eE][-+]?[0-9]{1,3})?)\s*"
    r"\(\s*([^(),\s](?:[^(),]*[^(),\s])?)\s*(?:,\s*weight\s+([0-9]+(?:\.[0-9]*)?)\s*)?\)\s*$"
)
"""What a claim looks like: the number, its source, and perhaps its weight in pseudo-cases."""

_CLAIM = re.compile(CLAIM_PATTERN)

NO_SOURCE = "a number without source: write `{0} (judgement)` or name a source, `{0} (S1)`"

Report = Callable[[Trail, str, str], None]
"""Takes the trail, the rule and the sentence of a mistake."""


def claim_mapping(value: object) -> dict[str, object] | str:
    """Return a claim as a mapping of its fields, or the sentence that says what is wrong with it."""
    if isinstance(value, dict):
        return value
    if isinstance(value, bool) or not isinstance(value, int | float | str):
        return "a number with its source is due here, such as `5 (judgement)`"
    if isinstance(value, int | float):
        return NO_SOURCE.format(f"{value:g}")
    found = _CLAIM.fullmatch(value)
    if found:
        number, source, weight = found.groups()
        return {"value": float(number), "source": source, "weight": float(weight or 0)}
    return _why_not(value)


def _why_not(text: str) -> str:
    bare = re.match(r"\s*([-+]?[0-9.]+(?:[eE][-+]?[0-9]+)?)\s*(.*)", text)
    if not bare:
        return f"`{text}` is not a number with its source; write it like `5 (judgement)`"
    number, rest = bare[1], bare[2]
    if rest in ("", "()"):
        return NO_SOURCE.format(number)
    if rest.startswith("%"):
        return f"write a chance as a part of one, with its source: `{_hundredth(number)} (judgement)`"
    if rest.startswith("(") and ")" not in rest:
        return f'inside {{ }} or [ ] a comma ends the value: put it in quotes, `"{number} {rest}, weight 8)"`'
    return f"`{text}` is not a number with one source; write it like `{number} (judgement)`"


def _hundredth(number: str) -> str:
    try:
        return f"{float(number) / 100:g}"
    except ValueError:
        return "0.3"


def read_claims(data: object, due: object, report: Report, trail: Trail = ()) -> object:
    """Return `data` with each claim that the type `due` wants made a mapping; mistakes go to `report`.

    A bare number is reported once and kept as judgement, so that it hides no other mistake.
    """
    if due is Claim:
        claim = claim_mapping(data)
        if isinstance(claim, dict):
            return claim
        report(trail, "claim", claim)
        bare = data if isinstance(data, int | float) and not isinstance(data, bool) else 0.5
        return {"value": float(bare), "source": "judgement"}
    if isinstance(data, dict):
        inside = fields_due(due) if isinstance(due, type) and dataclasses.is_dataclass(due) else {}
        every = _inside(due, Mapping)
        return {
            key: read_claims(item, inside.get(key, every), report, (*trail, key))
            for key, item in data.items()
        }
    if isinstance(data, list):
        every = _inside(due, tuple)
        return [read_claims(item, every, report, (*trail, place)) for place, item in enumerate(data)]
    return data


def _inside(due: object, container: type) -> object:
    """Return the type of what a mapping or a list of type `due` holds; None when it is something else."""
    origin, inner = get_origin(due), get_args(due)
    if container is tuple and origin is tuple:
        return inner[0]
    if container is Mapping and isinstance(origin, type) and issubclass(origin, Mapping):
        return inner[1]
    return None


@cache
def fields_due(kind: type) -> Mapping[str, object]:
    """Return the type that each field of a dataclass wants, `| None` taken off."""
    return {name: _wanted(hint) for name, hint in get_type_hints(kind).items()}


def _wanted(hint: object) -> object:
    if get_origin(hint) in (Union, types.UnionType):
        kept = [inner for inner in get_args(hint) if inner is not type(None)]
        return kept[0] if len(kept) == 1 else hint
    return hint


def choices(hint: object) -> Iterator[str]:
    """Yield the words a field may take, where it may take only certain ones."""
    if get_origin(hint) is Literal:
        yield from (str(word) for word in get_args(hint))

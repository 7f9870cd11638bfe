"""How a type, a default and a field's meaning are said in plain words."""

from __future__ import annotations

import inspect
import re
import tomllib
import types
from collections.abc import Mapping
from dataclasses import MISSING, Field, fields, is_dataclass
from functools import cache
from pathlib import Path
from typing import Any, Literal, Union, get_args, get_origin, get_type_hints

MEANINGS = Path(__file__).resolve().parents[1] / "meanings.toml"
PLAIN = {str: "text", int: "whole number", float: "number", bool: "yes or no", bytes: "bytes", Path: "path"}


@cache
def meanings() -> Mapping[str, Mapping[str, str]]:
    """Return the meanings that the code does not say: one table for each class, `any` for all."""
    return tomllib.loads(MEANINGS.read_text(encoding="utf-8"))


def first_sentence(text: str | None) -> str:
    """Return the first sentence of a docstring, on one line."""
    line = " ".join((text or "").strip().split("\n\n")[0].split())
    return re.split(r"(?<=[.:])\s+(?=[A-Z`])", line)[0]


def prose(kind: type) -> str:
    """Return a class's docstring without its list of fields, as paragraphs."""
    text = inspect.cleandoc(kind.__doc__ or "")
    starts = [match.start() for match in _entries(kind, text)]
    return text[: min(starts)].strip() if starts else text


def listed_meanings(kind: type) -> Mapping[str, str]:
    """Return what a docstring says of fields in entries of the form `name : meaning`."""
    text = inspect.cleandoc(kind.__doc__ or "")
    matches = _entries(kind, text)
    ends = [*(match.start() for match in matches[1:]), len(text)][: len(matches)]
    return {
        name: " ".join(text[match.end() : end].split("\n\n")[0].split()).rstrip(".")
        for match, end in zip(matches, ends, strict=True)
        for name in match[1].split(", ")
    }


def _entries(kind: type, text: str) -> list[re.Match[str]]:
    names = {field.name for field in fields(kind)} if is_dataclass(kind) else set()
    found = re.finditer(r"(?:(?<=^)|(?<=\s))((?:\w+, )*\w+) : ", text, re.MULTILINE)
    return [match for match in found if names.issuperset(match[1].split(", "))]


def meaning(kind: type, field: str) -> str:
    """Return what a field means; empty when nobody has said so.

    Looked for in the class's list of fields, then in its table and the common one of meanings.toml, then
    in the class's prose, which stands above its table and names the field in backticks.
    """
    listed = listed_meanings(kind).get(field)
    noted = meanings().get(kind.__name__, {}).get(field)
    in_prose = re.search(rf"`[^`]*\b{field}\b[^`]*`", prose(kind))
    common = meanings()["any"].get(field)
    return listed or noted or ("said above" if in_prose else "") or common or ""


def type_words(hint: Any) -> str:
    """Return a type as a person would say it."""
    origin, inside = get_origin(hint), get_args(hint)
    if hint in PLAIN:
        return PLAIN[hint]
    if origin is Literal:
        return "one of " + ", ".join(f"`{word}`" for word in inside if word != "")
    if origin in (types.UnionType, Union):
        return " or ".join(type_words(each) for each in inside if each is not type(None))
    if origin is tuple:
        if len(inside) == 2 and inside[1] is Ellipsis:
            return f"list of {type_words(inside[0])}"
        return "list of " + " and ".join(type_words(each) for each in inside)
    if origin in (frozenset, list) or (isinstance(origin, type) and issubclass(origin, frozenset)):
        return f"list of {type_words(inside[0])}"
    if isinstance(origin, type) and issubclass(origin, Mapping):
        return f"`name: value`, each value a {type_words(inside[1])}"
    if hasattr(hint, "__supertype__"):
        return type_words(hint.__supertype__)
    if is_dataclass(hint) and isinstance(hint, type):
        return f"[{hint.__name__}](#{hint.__name__.lower()})"
    return str(hint)


def default_words(field: Field[Any]) -> str:
    """Return what a field is when it is left out; `must be given` when it may not be."""
    if field.default is MISSING and field.default_factory is MISSING:
        return "must be given"
    value = field.default_factory() if field.default_factory is not MISSING else field.default
    if value is None or value in ("", b"", (), frozenset()) or value == {}:
        return "none"
    if isinstance(value, bool):
        return "yes" if value else "no"
    return str(value)


def class_section(kind: type, *, defaults: bool) -> str:
    """Return a heading, the docstring and the table of fields of one dataclass."""
    hints = get_type_hints(kind)
    head = ["field", "written as" if defaults else "what it is", "if left out", "meaning"]
    rows = []
    for field in fields(kind):
        row = [f"`{field.name}`", type_words(hints[field.name]), default_words(field)]
        rows.append([*row, meaning(kind, field.name)])
    if not defaults:
        head.pop(2)
        rows = [[*row[:2], row[3]] for row in rows]
    table = "\n".join("| " + " | ".join(cell.replace("|", "\\|") for cell in row) + " |" for row in rows)
    rule = "|" + " --- |" * len(head)
    made = f"## {kind.__name__}\n\n{prose(kind)}\n"
    return f"{made}\n| {' | '.join(head)} |\n{rule}\n{table}\n" if rows else made

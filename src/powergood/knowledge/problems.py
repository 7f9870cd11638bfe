"""Mistakes in knowledge, as values: what is wrong, and which field of which item it stands in."""

from __future__ import annotations

import difflib
from collections.abc import Iterable
from dataclasses import dataclass
from typing import Literal, TypeAlias

FileKind: TypeAlias = Literal["family", "subsystem", "sheet", "cautions", "sources"]


@dataclass(frozen=True, slots=True)
class Where:
    """The way to a value: which family, subsystem or sheet, then field names, ids of items and places.

    `("faults", "disk.heads-stuck", "breaks", "spins-up")` is the strength of one link. `nth` is which of
    the items of that id is meant, when there are several; `on_key` points at the name, not at the value.
    """

    file: FileKind
    id: str = ""
    path: tuple[str | int, ...] = ()
    nth: int = 1
    on_key: bool = False

    def at(self, *steps: str | int, on_key: bool = False) -> Where:
        """Return the way to something inside this."""
        return Where(self.file, self.id, (*self.path, *steps), self.nth, on_key)


@dataclass(frozen=True, slots=True)
class Problem:
    """One mistake: the rule that found it, how bad it is, a sentence, and where it stands."""

    check: str
    severity: Literal["error", "warning"]
    message: str
    where: Where

    def __str__(self) -> str:
        path = ".".join(str(step) for step in self.where.path)
        return f"{self.where.file} {self.where.id} {path}: {self.message}"


def error(check: str, message: str, where: Where) -> Problem:
    """Return a mistake that must be mended before the knowledge can be used."""
    return Problem(check, "error", message, where)


def warning(check: str, message: str, where: Where) -> Problem:
    """Return something that is allowed but probably not meant."""
    return Problem(check, "warning", message, where)


def did_you_mean(word: str, known: Iterable[str]) -> str:
    """Return the end of a sentence that offers the nearest known word; empty when none is near."""
    found = difflib.get_close_matches(word, sorted(set(known)), n=1, cutoff=0.6)
    return f"; did you mean `{found[0]}`?" if found else ""

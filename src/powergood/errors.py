"""The errors a person can meet, each saying what to do next.

    PowergoodError
    ├── BadInput                 what was given cannot be used (exit 2)
    │   ├── PackError            a pack has mistakes; carries every Issue found
    │   ├── FindingsError        a findings file has mistakes; carries every Issue found
    │   ├── BadPhoto             a file that is no photo, or too large to open safely
    │   └── UnknownThing         a tag, id or name that is not in the book
    ├── ImpossibleEvidence       findings of probability nought; carries the culprits
    ├── Refused                  a rule of the bench forbids it now (an unmet gate, an unproven function)
    └── WorkshopError            the workshop folder or its database cannot be used (exit 3)
        ├── NewerWorkshop        written by a newer version
        └── DiskFull             nothing more can be written; says what is safe

Mistakes in packs, findings files and forms are values (`Issue`), collected whole, before they become
one of these. What a caller cannot mend is an `assert`.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal


@dataclass(frozen=True, slots=True)
class Location:
    """Where in a file: line and column count from 1, as editors do; 0 means the file as a whole."""

    file: str
    line: int = 0
    column: int = 0

    def __str__(self) -> str:
        return f"{self.file}:{self.line}:{self.column}" if self.line else self.file


@dataclass(frozen=True, slots=True)
class Issue:
    """One mistake found in a pack, a findings file or a form.

    `check` is the rule that found it, `excerpt` the line it stands on (shown with a caret).
    """

    check: str
    severity: Literal["error", "warning"]
    message: str
    location: Location
    excerpt: str = ""

    def __str__(self) -> str:
        head = f"{self.location}: {self.message}"
        if not self.excerpt or not self.location.column:
            return head
        return f"{head}\n    {self.excerpt}\n    {' ' * (self.location.column - 1)}^"


class PowergoodError(Exception):
    """Anything that can go wrong for a person; the message says what to do next."""

    exit_code = 1


class BadInput(PowergoodError):
    """What was given cannot be used."""

    exit_code = 2


class _WithIssues(BadInput):
    """Bad input that carries every mistake found in it."""

    def __init__(self, message: str, issues: Sequence[Issue] = ()) -> None:
        super().__init__("\n".join([message, *(str(issue) for issue in issues)]))
        self.issues = tuple(issues)


class PackError(_WithIssues):
    """A pack has mistakes."""


class FindingsError(_WithIssues):
    """A findings file has mistakes."""


class BadPhoto(BadInput):
    """A file that is no photo, or one too large to open safely."""


class UnknownThing(BadInput):
    """A tag, id or name that is not in the book."""


class ImpossibleEvidence(PowergoodError):
    """Findings that together have probability nought; `culprits` are their fact numbers."""

    def __init__(self, message: str, culprits: Sequence[int] = ()) -> None:
        super().__init__(message)
        self.culprits = tuple(culprits)


class Refused(PowergoodError):
    """A rule of the bench forbids this now."""


class WorkshopError(PowergoodError):
    """The workshop folder or its database cannot be used."""

    exit_code = 3


class NewerWorkshop(WorkshopError):
    """The workshop was written by a newer version of the program."""


class DiskFull(WorkshopError):
    """Nothing more can be written."""

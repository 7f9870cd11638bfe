"""The formats of pack files, and the way from an older one to the newest, one small step at a time.

A step turns the plain data of one file of one format into that of the next. A file is upgraded as it is
read, in memory; the file itself changes only when asked (`powergood pack upgrade`). Fields that are added
with a default need no step. A step is due where a field is renamed, moved or comes to mean something else.

To add one: append it to `FORMATS`, and keep a pack saved in the format it leaves under `tests/packs/saved`.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace
from typing import TypeAlias

from powergood.errors import Issue
from powergood.packs.marked import Document

Step: TypeAlias = Callable[[str, Mapping[str, object]], Mapping[str, object]]
"""Takes the name of the class a file holds (`Family`) and its data; returns the data in the next format.

The data may have mistakes of shape; a step passes over what it cannot read, for the shape is judged after it.
"""


@dataclass(frozen=True, slots=True)
class Formats:
    """The formats there are: `steps[0]` leads from format 1 to 2, and so on."""

    steps: tuple[Step, ...] = ()

    @property
    def newest(self) -> int:
        """The format that is written, and that every older one is brought to."""
        return len(self.steps) + 1


FORMATS = Formats()
"""The formats of this version of the program: the first is still the newest."""

FORMAT = FORMATS.newest
"""The format of pack files that this version writes."""


def written_format(document: Document) -> object:
    """Return what a file says its format is; None where it says nothing."""
    return document.data.get("format") if isinstance(document.data, dict) else None


def upgraded(document: Document, kind: type, formats: Formats = FORMATS) -> Document | Issue:
    """Return a file in the newest format, or why it cannot be brought there.

    A format that is missing or no whole number is left to the gate of shape. Places in the file are kept:
    what a step renames is pointed at by what is around it.
    """
    written = written_format(document)
    if not isinstance(written, int) or isinstance(written, bool) or written == formats.newest:
        return document
    if written > formats.newest:
        return document.issue("format", newer(written, formats), ("format",))
    if written < 1:
        message = f"there is no format {written}; write `format: {formats.newest}`"
        return document.issue("format", message, ("format",))
    data = document.data
    assert isinstance(data, dict)
    for number, step in enumerate(formats.steps[written - 1 :], start=written):
        try:
            data = {**step(kind.__name__, data), "format": number + 1}
        except (AttributeError, KeyError, TypeError, ValueError) as error:
            message = f"this file of format {number} cannot be brought to format {number + 1}: {error!r}"
            return document.issue("format", message, ("format",))
    return replace(document, data=data)


def newer(written: int, formats: Formats = FORMATS) -> str:
    """Return the sentence about a format that this version does not know yet, and what to do."""
    known = "format 1" if formats.newest == 1 else f"formats 1 to {formats.newest}"
    return (
        f"this file is of format {written}, and this version of the program reads {known}: "
        "update the program, or ask for the file in an older format"
    )

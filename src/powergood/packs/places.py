"""Find the line of a pack file that a problem of knowledge is about."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from powergood.errors import Issue, Location
from powergood.knowledge.model import Family, ModelSheet, Subsystem
from powergood.knowledge.problems import FileKind, Problem, Where
from powergood.packs.folder import Entry
from powergood.packs.marked import Document, Trail
from powergood.packs.pack import CautionList, SourceList

FILE_KINDS: Mapping[type, FileKind] = {
    Family: "family", Subsystem: "subsystem", ModelSheet: "sheet", CautionList: "cautions",
    SourceList: "sources",
}  # fmt: skip
"""What a `Where` calls the file that holds a class."""


class Places:
    """All files of a pack, to be found by what a problem says of them."""

    def __init__(self, folder: str, entries: Iterable[Entry]) -> None:
        self.folder = folder
        self._documents: dict[tuple[str, str], Document] = {}
        for entry in entries:
            if entry.kind in FILE_KINDS:
                self._documents.setdefault((FILE_KINDS[entry.kind], entry.id), entry.document)

    def issue(self, problem: Problem) -> Issue:
        """Return the problem as an issue with its file, line and column."""
        where = problem.where
        document = self._documents.get((where.file, where.id))
        if document is None:
            return Issue(problem.check, problem.severity, problem.message, Location(self.folder))
        return document.issue(
            problem.check,
            problem.message,
            trail_of(document.data, where),
            on_key=where.on_key,
            warning=problem.severity == "warning",
        )


def trail_of(data: object, where: Where) -> Trail:
    """Turn a way through ids into a trail through places in lists, as far as it can be followed."""
    trail: Trail = ()
    for step in where.path:
        if isinstance(data, list) and isinstance(step, str):
            places = [place for place, item in enumerate(data) if _has_id(item, step)]
            if not places:
                break
            step = places[min(where.nth, len(places)) - 1]
        try:
            data = data[step]  # type: ignore[index]  # what is no list or mapping is caught below
        except (IndexError, KeyError, TypeError):
            break
        trail = (*trail, step)
    return trail


def _has_id(item: object, wanted: str) -> bool:
    return isinstance(item, dict) and item.get("id") == wanted

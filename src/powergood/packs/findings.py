"""Read a findings file: what was seen and done on one machine, written down by hand.

The file is YAML: `format: 1`, `intake:` (a list of take-in questions answered yes, or a mapping to yes
and no) and `facts:` in order, each a small mapping whose first field says its kind. Every mistake is
found in one pass; names are compared with a machine where one is given.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path

from powergood.errors import FindingsError, Issue
from powergood.knowledge.digest import digest
from powergood.knowledge.model import MachineModel
from powergood.knowledge.problems import did_you_mean
from powergood.packs.entries import KINDS, Entries
from powergood.packs.marked import Document, Trail, read_document
from powergood.packs.worked import WorkedCase
from powergood.record.model import Body, Draft

FORMAT = 1
"""The format of findings files, which is not that of packs."""

TOP = ("format", "intake", "facts")


@dataclass(frozen=True, slots=True)
class Findings:
    """Take-in answers, and facts in order as drafts; the same file always gives the same keys."""

    intake: Mapping[str, bool]
    drafts: tuple[Draft, ...]


def read_findings(path: Path, machine: MachineModel | None = None) -> Findings:
    """Return what a findings file says; `FindingsError`, with every mistake found, when it has any."""
    document, unreadable = read_document(path)
    issues = list(unreadable)
    found = Findings({}, ())
    if document is not None:
        found, mistakes = findings_in(document, machine)
        issues += mistakes
    if issues:
        issues.sort(key=lambda issue: (issue.location.line, issue.location.column, issue.message))
        count = "1 mistake; mend it" if len(issues) == 1 else f"{len(issues)} mistakes; mend them"
        raise FindingsError(f"the findings file {path} has {count} and read the file again", issues)
    return found


def findings_in(document: Document, machine: MachineModel | None) -> tuple[Findings, list[Issue]]:
    """Return what a findings document says, as far as it can be read, and its mistakes."""
    data = document.data
    if not isinstance(data, dict):
        return Findings({}, ()), [document.issue("shape", "`name: value` fields are due in this file", ())]
    issues = [
        document.issue(
            "shape", f"there is no field `{key}` here{did_you_mean(key, TOP)}", (key,), on_key=True
        )
        for key in data
        if key not in TOP
    ]
    if data.get("format") != FORMAT:
        found = f", not `{data['format']}`" if "format" in data else " at the top of the file"
        issues.append(document.issue("format", f"`format: {FORMAT}` is due{found}", ("format",)))
    intake = intake_in(document, ("intake",), machine, issues) if "intake" in data else {}
    drafts = drafts_in(document, ("facts",), machine, issues) if "facts" in data else ()
    return Findings(intake, drafts), issues


def worked_facts(case: WorkedCase, machine: MachineModel) -> Findings:
    """Return the take-in answers and the facts of a worked case, which its pack has been checked for."""
    document = Document(case.id, {"facts": [dict(fact) for fact in case.facts]})
    issues: list[Issue] = []
    drafts = drafts_in(document, ("facts",), machine, issues)
    if issues:
        raise FindingsError(f"the worked case `{case.id}` does not fit {machine.id}", issues)
    return Findings(dict(case.intake), drafts)


def intake_in(
    document: Document, at: Trail, machine: MachineModel | None, issues: list[Issue]
) -> dict[str, bool]:
    """Return the take-in answers at `at`: a list means yes to each."""
    data = value_at(document.data, at)
    known = {fact.id for fact in machine.intake} if machine else None
    answers: dict[str, bool] = {}
    reader = Entries(document, machine, issues)
    if isinstance(data, list):
        for place, name in enumerate(data):
            if reader.is_text(name, (*at, place)):
                reader.known(str(name), known, "take-in question", (*at, place))
                answers[str(name)] = True
    elif isinstance(data, dict):
        for name, answer in data.items():
            reader.known(name, known, "take-in question", (*at, name), on_key=True)
            answers[name] = reader.yes(answer, (*at, name))
    elif data is not None:
        issues.append(document.issue("shape", "a list of take-in questions is due here", at))
    return answers


def drafts_in(
    document: Document, at: Trail, machine: MachineModel | None, issues: list[Issue]
) -> tuple[Draft, ...]:
    """Return the facts listed at `at`, as far as they can be read."""
    data = value_at(document.data, at)
    if not isinstance(data, list):
        issues.append(document.issue("shape", "a list of facts is due here", at))
        return ()
    reader = Entries(document, machine, issues)
    stem = digest(data)[:16]
    drafts = []
    for place, entry in enumerate(data):
        body = _body(reader, entry, (*at, place), place + 1)
        if body is not None:
            drafts.append(
                Draft(
                    body=body,
                    key=f"{stem}-{place + 1}",
                    who=str(entry.get("who", "")),
                    seen_at=str(entry.get("seen_at", "")),
                    power_up=reader.count(entry.get("power_up", 0), (*at, place, "power_up")),
                )
            )
    return tuple(drafts)


def _body(reader: Entries, entry: object, at: Trail, number: int) -> Body | None:
    """Return what happened according to one entry; its mistakes go to the reader's issues."""
    if not isinstance(entry, dict):
        reader.report("a fact is a mapping such as `{check: ID, outcome: good}`", at)
        return None
    kinds = [key for key in entry if key in KINDS]
    if len(kinds) != 1:
        listed = ", ".join(f"`{kind}`" for kind in KINDS)
        said = "says two things at once" if kinds else "does not say what happened"
        near = "" if kinds else next((end for key in entry if (end := did_you_mean(key, KINDS))), "")
        reader.report(f"this fact {said}: give one of {listed}{near}", at)
        return None
    return reader.body(kinds[0], entry, at, number)


def value_at(data: object, at: Trail) -> object:
    """Return what stands at a trail that is known to lead somewhere."""
    for step in at:
        data = data[step]  # type: ignore[index]  # the trail was made from this very data
    return data

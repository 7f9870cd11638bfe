"""Which edition of the standard a machine's supply follows: said of the machine itself, else of its model."""

from __future__ import annotations

from powergood.bench.library import Known
from powergood.bench.machine_state import MachineState
from powergood.bench.stage_views import EditionLine
from powergood.knowledge.bring_up import quantity_of
from powergood.knowledge.model import Family, Stage


def edition_lines(family: Family) -> tuple[EditionLine, ...]:
    """Return the editions of a standard that a family's limits may come from."""
    return tuple(EditionLine(each.id, each.title, each.told_by) for each in family.editions)


def edition_of(known: Known, state: MachineState) -> tuple[EditionLine | None, bool]:
    """Return the edition that a machine's limits at first power come from, and whether it was said of it.

    One that its kind does not have, since the kind was changed, counts as not said.
    """
    lines = {each.edition: each for each in edition_lines(known.family)}
    if state.edition in lines:
        return lines[state.edition], True
    return (lines.get(known.sheet.edition) if known.sheet else None), False


def limits_of(known: Known, state: MachineState) -> str:
    """Return a sentence that says what readings are held against; empty where the kind knows no editions."""
    if not known.family.editions:
        return ""
    edition, said = edition_of(known, state)
    if edition is None and known.sheet and known.sheet.limits:
        return "Limits are its model sheet's own, and its family's where the sheet has none."
    if edition is None:
        return "Limits are its family's, for nobody said which edition of the standard its supply has."
    if not said:
        return f"Limits are those of its model sheet, which follows {edition.title}."
    own = bool(known.sheet and known.sheet.limits)
    beside = " Limits of its model sheet's own do not count." if own else ""
    return f"Limits are those of {edition.title}, which its supply follows.{beside}"


def lacking_all(stage: Stage, known: Known, state: MachineState) -> tuple[EditionLine, ...]:
    """Return the editions that have nothing of what a stage measures; none once an edition is said."""
    if not stage.limits or edition_of(known, state)[0] is not None:
        return ()
    wanted = {quantity_of(stage, limit) for limit in stage.limits if not limit.optional}
    lacking = {each.id for each in known.family.editions if wanted and wanted <= {*each.lacks}}
    return tuple(line for line in edition_lines(known.family) if line.edition in lacking)

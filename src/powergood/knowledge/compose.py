"""Join a family, its subsystems and perhaps a sheet into one `MachineModel`, or say why not.

Copies of parts stay counted here; the diagnosis unrolls them.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace
from typing import Any

from powergood.knowledge.assembly import KINDS, Assembly, assemble
from powergood.knowledge.cycles import circles
from powergood.knowledge.digest import digest
from powergood.knowledge.exceptions import spell_out
from powergood.knowledge.model import Caution, Family, MachineModel, ModelSheet, Source, Subsystem
from powergood.knowledge.own_limits import lay_limits, readings
from powergood.knowledge.problems import Problem
from powergood.knowledge.references import unknown_names
from powergood.knowledge.removal import remove_absent


def compose(
    family: Family,
    subsystems: Iterable[Subsystem],
    sheet: ModelSheet | None = None,
    cautions: Iterable[Caution] = (),
    sources: Iterable[Source] = (),
) -> MachineModel | tuple[Problem, ...]:
    """Return the machine, every id unique and every name resolved; or all that stands in the way.

    A sheet's items replace those of the same id; its `copies` set how many of a part there are, and 0
    takes the part away with its faults and with the checks and fixes that need it. Its edition and its own
    limits change those of the stages of bring-up.
    """
    assembly, problems = joined(family, subsystems, sheet, cautions, sources)
    errors = tuple(problem for problem in problems if problem.severity == "error")
    return errors or machine_of(assembly)


def joined(
    family: Family,
    subsystems: Iterable[Subsystem],
    sheet: ModelSheet | None = None,
    cautions: Iterable[Caution] = (),
    sources: Iterable[Source] = (),
    lost: frozenset[str] = frozenset(),
) -> tuple[Assembly, list[Problem]]:
    """Return the assembly and all its problems of names; `lost` are ids that could not be read."""
    assembly, problems = assemble(family, subsystems, sheet, cautions, sources)
    before = readings(assembly)
    if sheet is not None:
        remove_absent(assembly, sheet.copies)
    problems += lay_limits(assembly, before)
    problems += unknown_names(assembly, lost)
    spell_out(assembly)
    problems += circles(assembly)
    return assembly, problems


def machine_of(assembly: Assembly) -> MachineModel:
    """Return the machine that an assembly without problems amounts to."""
    family, sheet = assembly.family, assembly.sheet
    head = sheet or family
    kinds: dict[str, Any] = {
        kind: tuple(placed.item for placed in assembly.kind(kind).values()) for kind in KINDS
    }
    machine = MachineModel(
        id=head.id,
        title=head.title,
        expected_faults=family.expected_faults,
        weight=family.weight,
        family=family.id,
        sheet=sheet.id if sheet else "",
        bring_up=tuple(name for name in family.bring_up if name in assembly.stages),
        **kinds,
    )
    # No advice rests on the healthy readings, so that changing one leaves the digest as it is.
    return replace(machine, digest=digest(machine), healthy=sheet.healthy if sheet else {})

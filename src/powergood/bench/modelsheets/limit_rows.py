"""The limits at first power on a sheet's form, and the edition of the standard that they come from.

Fields: `edition`, the id of one of the family's editions; for each reading of the stages `low:READING`,
`high:READING` and `from:READING`, as in `low:supply-alone.twelve`. A reading whose fields are all emptied
goes back to the limits that it has without the sheet's own.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

from powergood.bench.first_power import limits_words
from powergood.bench.modelsheets.form import Form
from powergood.bench.modelsheets.views import LimitRow
from powergood.knowledge.bring_up import quantity_of, stages_of
from powergood.knowledge.model import Claim, Family, Limit, MachineModel, ModelSheet, OwnLimit
from powergood.packs.sheet_text import claim_text

SIDES: Final = ("low", "high")


def limits_of(model: MachineModel) -> dict[str, Limit]:
    """Return the limits of a machine's stages by the names of their readings."""
    return {quantity_of(stage, limit): limit for stage in stages_of(model) for limit in stage.limits}


def limit_rows(given: ModelSheet, model: MachineModel, usual: MachineModel) -> tuple[LimitRow, ...]:
    """Return every reading of the stages with its limits and the family's."""
    own = {each.id for each in given.limits}
    families = limits_of(usual)
    return tuple(
        LimitRow(
            reading=(name := quantity_of(stage, limit)),
            stage=stage.title,
            title=limit.title,
            limits=limits_words(limit),
            family=limits_words(families[name]) if name in families else "",
            edition=limit.edition,
            own=name in own,
        )
        for stage in stages_of(model)
        for limit in stage.limits
    )


def limit_fields(given: ModelSheet, model: MachineModel) -> dict[str, str]:
    """Return the fields of the edition and of every reading's limits."""
    fields = {"edition": given.edition}
    for name, limit in limits_of(model).items():
        fields |= {f"{side}:{name}": _shown(getattr(limit, side)) for side in SIDES}
        fields[f"from:{name}"] = limit.edition
    return fields


def _shown(claim: Claim | None) -> str:
    return claim_text(claim) if claim else ""


def edition_and_limits(
    form: Form, given: ModelSheet, model: MachineModel, family: Family
) -> tuple[str, tuple[OwnLimit, ...]]:
    """Return the edition that the form says, and the limits that the sheet says itself."""
    edition = form.one_of("edition", {each.id: each.title for each in family.editions}, "edition")
    own = {each.id: each for each in given.limits}
    for name, limit in limits_of(model).items():
        said = tuple(_said(form, name, limit))
        if not any(said):
            own.pop(name, None)
        elif said != (limit.low, limit.high, limit.edition):
            low, high, words = said
            assert not isinstance(low, str)
            assert not isinstance(high, str)
            own[name] = OwnLimit(name, low, high, str(words or ""))
    return edition, tuple(own.values())


def _said(form: Form, name: str, limit: Limit) -> Iterator[Claim | str | None]:
    for side in SIDES:
        yield form.sourced(f"{side}:{name}", getattr(limit, side), "the limit")
    yield form.line(f"from:{name}")

"""A pack: a folder of families, subsystems, model sheets, worked cases and their sources."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from pathlib import Path

from powergood.errors import UnknownThing
from powergood.knowledge.compose import compose
from powergood.knowledge.model import Caution, Family, MachineModel, ModelSheet, Source, Subsystem
from powergood.knowledge.problems import did_you_mean
from powergood.packs.worked import WorkedCase


@dataclass(frozen=True, slots=True)
class PackHead:
    """What `pack.yaml` says: the format it is written in, and the name and version of its content."""

    format: int
    id: str
    title: str
    version: str
    note: str = ""


@dataclass(frozen=True, slots=True)
class SourceList:
    """What `sources.yaml` says: where numbers and facts were read."""

    format: int
    sources: tuple[Source, ...]


@dataclass(frozen=True, slots=True)
class CautionList:
    """What `cautions.yaml` says: words shown with steps that can hurt."""

    format: int
    cautions: tuple[Caution, ...]


@dataclass(frozen=True, slots=True)
class Pack:
    """A pack read from its folder. Invariant: each family and sheet in it composes without a problem."""

    path: Path
    id: str
    title: str
    version: str
    families: Mapping[str, Family]
    subsystems: Mapping[str, Subsystem]
    sheets: Mapping[str, ModelSheet]
    sources: tuple[Source, ...]
    cautions: tuple[Caution, ...]
    digest: str
    worked: Mapping[str, WorkedCase] = field(default_factory=dict)
    _made: dict[str, MachineModel] = field(default_factory=dict, init=False, repr=False, compare=False)

    def machine(self, sheet_or_family: str) -> MachineModel:
        """Return the machine of a sheet, or of a family as such; `UnknownThing` when there is none.

        It is composed once, for checking the pack asks for it before anybody else does.
        """
        if sheet_or_family in self._made:
            return self._made[sheet_or_family]
        sheet = self.sheets.get(sheet_or_family)
        family = self.families.get(sheet.family if sheet else sheet_or_family)
        if family is None:
            known = [*self.sheets, *self.families]
            raise UnknownThing(
                f"the pack `{self.id}` has no sheet or family `{sheet_or_family}`"
                f"{did_you_mean(sheet_or_family, known)}"
            )
        made = compose(family, self.subsystems.values(), sheet, self.cautions, self.sources)
        assert isinstance(made, MachineModel), made
        self._made[sheet_or_family] = made
        return made

    def by_edition(self, sheet_or_family: str, edition: str) -> MachineModel:
        """Return the machine with the limits at first power of an edition of the standard.

        They hold in place of all that its sheet says of limits: whoever names the edition of one machine has
        read it there. Nothing else changes, nor does the digest, for no advice rests on limits. An edition
        that its family does not have changes nothing.
        """
        usual = self.machine(sheet_or_family)
        family = self.families[usual.family]
        if edition not in {each.id for each in family.editions}:
            return usual
        sheet = self.sheets.get(sheet_or_family) or ModelSheet(family.format, family.id, "", family.id)
        laid = replace(sheet, edition=edition, limits=())
        made = compose(family, self.subsystems.values(), laid, self.cautions, self.sources)
        assert isinstance(made, MachineModel), made
        return replace(usual, stages=made.stages, bring_up=made.bring_up)

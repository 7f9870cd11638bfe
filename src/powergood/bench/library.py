"""What is known, ready for use: machine models found by their sheet, compiled once and kept."""

from __future__ import annotations

from collections import OrderedDict
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from threading import Lock
from typing import Generic, TypeVar

from powergood.bench.wording import Wording, wording
from powergood.diagnosis import CompiledModel, compile_model
from powergood.errors import UnknownThing
from powergood.estimate import Learned
from powergood.knowledge.model import Family, MachineModel, ModelSheet
from powergood.packs import Pack, find_packs

Value = TypeVar("Value")

NOTHING = Learned()
"""What is learned before any job was closed."""


class Kept(Generic[Value]):
    """A small store of worked-out values, the least lately used let go first. Safe between threads."""

    def __init__(self, most: int) -> None:
        self._most = most
        self._values: OrderedDict[object, Value] = OrderedDict()
        self._lock = Lock()

    def get(self, key: object, make: Callable[[], Value]) -> Value:
        """Return the value for `key`, made now if it is not kept. Two threads may both make it."""
        with self._lock:
            if key in self._values:
                self._values.move_to_end(key)
                return self._values[key]
        value = make()
        with self._lock:
            self._values[key] = value
            while len(self._values) > self._most:
                self._values.popitem(last=False)
        return value


@dataclass(frozen=True, slots=True)
class Known:
    """One kind of machine as known: its model, family and sheet, words for its ids, its pack's digest."""

    model: MachineModel
    family: Family
    words: Wording
    pack: str
    sheet: ModelSheet | None = None


class Library:
    """The kinds of machine that can be taken in, from packs; models are composed and compiled once.

    `troubles` are sentences about packs that could not be used.
    """

    def __init__(self, packs: Sequence[Pack], troubles: Sequence[str] = ()) -> None:
        self.packs = tuple(packs)
        self.troubles = tuple(troubles)
        self._pack_of = {name: pack for pack in packs for name in (*pack.families, *pack.sheets)}
        self._known: Kept[Known] = Kept(64)
        self._compiled: Kept[CompiledModel] = Kept(128)

    @classmethod
    def found(cls, folder: Path | None) -> Library:
        """Return the library of a workshop: what ships, and its own packs; without one, what ships."""
        found = find_packs(folder)
        return cls(found.packs, [str(issue) for issue in found.issues])

    def names(self) -> tuple[str, ...]:
        """Return the ids of all sheets, then of all families, each ordered by title."""
        sheets = sorted((sheet.title, sheet.id) for pack in self.packs for sheet in pack.sheets.values())
        families = sorted(
            (family.title, family.id) for pack in self.packs for family in pack.families.values()
        )
        return tuple(name for _, name in (*sheets, *families))

    def sheet(self, name: str) -> ModelSheet | None:
        """Return a model sheet; none for a family or a name that is not known."""
        return self._pack_of[name].sheets.get(name) if name in self._pack_of else None

    def title(self, name: str) -> str:
        """Return the title of a sheet or family, or that no pack has it."""
        if name not in self._pack_of:
            return f"{name} (not in the pack)"
        return (self.sheet(name) or self._pack_of[name].families[name]).title

    def known(self, name: str, edition: str = "") -> Known:
        """Return what is known of a sheet or family; with limits of `edition` where a machine follows one.

        Raises
        ------
        UnknownThing : no pack has a sheet or family of that name.
        """
        if name not in self._pack_of:
            known = ", ".join(self.names())
            raise UnknownThing(f"No model sheet or family is called {name!r}. Known are: {known}.")
        return self._known.get((name, edition), lambda: self._compose(name, edition))

    def digest(self, name: str) -> str:
        """Return the digest of what is known of a sheet or family; empty where no pack has it."""
        return self.known(name).model.digest if name in self._pack_of else ""

    def _compose(self, name: str, edition: str) -> Known:
        pack, sheet = self._pack_of[name], self.sheet(name)
        model = pack.by_edition(name, edition) if edition else pack.machine(name)
        return Known(
            model, pack.families[sheet.family if sheet else name], wording(model), pack.digest, sheet
        )

    def compiled(
        self, name: str, year: int, intake: Mapping[str, bool], learned: Learned = NOTHING, who: str = ""
    ) -> CompiledModel:
        """Return the numbers for a machine of this kind, year and take-in answers.

        `learned` are the numbers that closed jobs moved, `who` the person whose pace counts.
        """
        model = self.known(name).model
        key = (model.digest, year, tuple(sorted(intake.items())), learned.digest, who)
        return self._compiled.get(
            key, lambda: compile_model(model, year=year, intake=intake, learned=learned, who=who)
        )

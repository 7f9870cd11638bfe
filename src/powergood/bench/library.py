"""What is known, ready for use: machine models found by their sheet, compiled once and kept."""

from __future__ import annotations

from collections import OrderedDict
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from threading import Lock
from typing import Generic, TypeVar

from powergood.bench.wording import Wording, wording
from powergood.diagnosis import CompiledModel, compile_model
from powergood.errors import UnknownThing
from powergood.knowledge.model import Family, MachineModel
from powergood.packs import Pack

Value = TypeVar("Value")


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
    """One kind of machine as known: its model, its family, the words for its ids, its pack's digest."""

    model: MachineModel
    family: Family
    words: Wording
    pack: str


class Library:
    """The kinds of machine that can be taken in, from a pack; models are composed and compiled once."""

    def __init__(self, pack: Pack) -> None:
        self.pack = pack
        self._known: Kept[Known] = Kept(64)
        self._compiled: Kept[CompiledModel] = Kept(128)

    def known(self, sheet: str) -> Known:
        """Return what is known of a sheet or family.

        Raises
        ------
        UnknownThing : the pack has neither a sheet nor a family of that name.
        """
        if sheet not in self.pack.sheets and sheet not in self.pack.families:
            raise UnknownThing(
                f"No model sheet or family is called {sheet!r}. "
                f"Known are: {', '.join([*self.pack.sheets, *self.pack.families])}."
            )
        return self._known.get(sheet, lambda: self._compose(sheet))

    def _compose(self, sheet: str) -> Known:
        model = self.pack.machine(sheet)
        family = self.pack.families[self.pack.sheets[sheet].family if sheet in self.pack.sheets else sheet]
        return Known(model, family, wording(model), self.pack.digest)

    def compiled(self, sheet: str, year: int, intake: Mapping[str, bool]) -> CompiledModel:
        """Return the numbers for a machine of this kind, year and take-in answers."""
        model = self.known(sheet).model
        key = (model.digest, year, tuple(sorted(intake.items())))
        return self._compiled.get(key, lambda: compile_model(model, year=year, intake=intake))

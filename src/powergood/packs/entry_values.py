"""The values in the entries of a findings file: words, yes and no, and names that the machine knows."""

from __future__ import annotations

from collections.abc import Collection, Mapping
from functools import cached_property

from powergood.errors import Issue
from powergood.ids import slot_name
from powergood.knowledge.model import Check, Fix, MachineModel
from powergood.knowledge.problems import did_you_mean
from powergood.packs.marked import Document, Trail

_YES_NO = {"yes": True, "no": False}


class EntryValues:
    """Reads values of one document against the names of one machine, and gathers their mistakes."""

    def __init__(self, document: Document, machine: MachineModel | None, issues: list[Issue]) -> None:
        self.document, self.machine, self.issues = document, machine, issues

    def report(self, message: str, at: Trail, *, check: str = "shape", on_key: bool = False) -> None:
        """Add a mistake that stands at a trail."""
        self.issues.append(self.document.issue(check, message, at, on_key=on_key))

    @cached_property
    def checks(self) -> Mapping[str, Check] | None:
        """The machine's checks by id."""
        return {check.id: check for check in self.machine.checks} if self.machine else None

    @cached_property
    def fixes(self) -> Mapping[str, Fix] | None:
        """The machine's fixes by id, the whole-part replacement of each area among them."""
        return {fix.id: fix for fix in self.machine.fixes} if self.machine else None

    @cached_property
    def copies(self) -> Mapping[str, int]:
        """How many there are of each of the machine's parts."""
        return {part.id: part.copies for part in self.machine.parts} if self.machine else {}

    @cached_property
    def slots(self) -> frozenset[str] | None:
        """The machine's slots: `disk`, `memory.2`."""
        if self.machine is None:
            return None
        return frozenset(
            slot_name(part, copy, copies)
            for part, copies in self.copies.items()
            for copy in range(1, copies + 1)
        )

    def known(
        self, name: str, names: Collection[str] | None, what: str, at: Trail, *, on_key: bool = False
    ) -> bool:
        """Whether a name is one of `names` (None: any will do); a mistake is reported."""
        if names is None or name in names:
            return True
        message = f"there is no {what} `{name}` in this machine{did_you_mean(name, names)}"
        self.report(message, at, check="known-id", on_key=on_key)
        return False

    def is_text(self, value: object, at: Trail) -> bool:
        """Whether a value is text and not empty; a mistake is reported."""
        if isinstance(value, str) and value:
            return True
        self.report(f"text is due here, not `{_said(value)}`", at)
        return False

    def text(self, entry: Mapping[str, object], field: str, at: Trail) -> str:
        """Return an optional text field; empty when it is left out or wrong."""
        value = entry.get(field, "")
        if value == "" or self.is_text(value, (*at, field)):
            return str(value)
        return ""

    def yes(self, value: object, at: Trail) -> bool:
        """Return a yes or no."""
        if isinstance(value, bool):
            return value
        if isinstance(value, str) and value.lower() in _YES_NO:
            return _YES_NO[value.lower()]
        self.report(f"`yes` or `no` is due here, not `{_said(value)}`", at)
        return False

    def flag(self, entry: Mapping[str, object], field: str, default: bool, at: Trail) -> bool:
        """Return an optional yes or no."""
        return self.yes(entry[field], (*at, field)) if field in entry else default

    def count(self, value: object, at: Trail) -> int:
        """Return a whole number that is not negative."""
        if isinstance(value, int) and not isinstance(value, bool) and value >= 0:
            return value
        self.report(f"a whole number is due here, not `{_said(value)}`", at)
        return 0


def _said(value: object) -> str:
    if value is None:
        return "nothing"
    if isinstance(value, bool):
        return str(value).lower()
    return str(value) if not isinstance(value, list | dict) else "a list or mapping"

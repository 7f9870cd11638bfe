"""The entries of a findings file, each turned into the body of a fact."""

from __future__ import annotations

from collections.abc import Mapping

from powergood.errors import BadInput, Issue
from powergood.ids import slot_name
from powergood.knowledge.model import Complaint, MachineModel
from powergood.knowledge.problems import did_you_mean
from powergood.packs.finding_entries import FindingEntries
from powergood.packs.marked import Document, Trail
from powergood.record.model import (
    Body,
    Complained,
    FixDone,
    GateAnswered,
    Opened,
    PartIn,
    PartOut,
    Reading,
    Refitted,
    WantedSet,
    Withdrawn,
)
from powergood.record.timeline import home_slot
from powergood.units import parse

_ENVELOPE = ("who", "seen_at", "power_up")

KINDS: Mapping[str, tuple[str, ...]] = {
    "check": ("outcome", "cells", "sure", "told", "copy", "note"),
    "fix": ("part", "slot", "note"),
    "open": (),
    "refit": (),
    "out": ("slot",),
    "in": ("slot", "standing"),
    "gate": ("met", "how"),
    "reading": ("value", "instrument", "conditions"),
    "withdraw": ("because",),
    "complaint": ("told",),
    "wanted": (),
}
"""The kinds of fact a findings file may hold, and the further fields of each."""

_STANDINGS = ("unknown", "suspect", "bad", "good once", "known-good")


class Entries(FindingEntries):
    """Reads entries one after the other; a replacement is counted, so that each new part has its own name."""

    def __init__(self, document: Document, machine: MachineModel | None, issues: list[Issue]) -> None:
        super().__init__(document, machine, issues)
        self._fitted: dict[str, int] = {}

    def body(self, kind: str, entry: Mapping[str, object], at: Trail, number: int) -> Body | None:
        """Return what one entry says; None when its main field cannot be read."""
        allowed = (kind, *KINDS[kind], *_ENVELOPE)
        for key in entry:
            if key not in allowed:
                message = f"there is no field `{key}` in a `{kind}` fact{did_you_mean(key, allowed)}"
                self.report(message, (*at, key), on_key=True)
        for field in ("who", "seen_at"):
            self.text(entry, field, at)
        if kind == "wanted":
            return self._wanted(entry["wanted"], (*at, "wanted"))
        if kind == "withdraw":
            return self._withdrawn(entry, at, number)
        if not self.is_text(entry[kind], (*at, kind)):
            return None
        name = str(entry[kind])
        match kind:
            case "check":
                return self.finding(name, entry, at)
            case "fix":
                return self._fix(name, entry, at)
            case "open" | "refit":
                openings = {opening.id for opening in self.machine.openings} if self.machine else None
                self.known(name, openings, "opening", (*at, kind))
                return Opened(name) if kind == "open" else Refitted(name)
            case "out" | "in":
                return self._moved(kind, name, entry, at)
            case "gate":
                gates = {gate.id for gate in self.machine.gates} if self.machine else None
                self.known(name, gates, "gate", (*at, kind))
                return GateAnswered(name, self.flag(entry, "met", True, at), self.text(entry, "how", at))
            case "reading":
                return self._reading(name, entry, at)
            case _:
                return self._complained(name, entry, at)

    def _fix(self, name: str, entry: Mapping[str, object], at: Trail) -> FixDone:
        areas = {f"replace-{area.id}" for area in self.machine.areas} if self.machine else set()
        names = None if self.fixes is None else {*self.fixes, *areas}
        self.known(name, names, "fix", (*at, "fix"))
        fix = (self.fixes or {}).get(name)
        part, slot = self.text(entry, "part", at), self.text(entry, "slot", at)
        replaces = fix.replaces if fix else ""
        if part and not slot:
            slot = home_slot(part) if self.slots is None or home_slot(part) in self.slots else ""
        if replaces and not slot:
            copies = self.copies.get(replaces, 1)
            if copies > 1:
                message = f"there are {copies} of `{replaces}`: say which by `slot: {replaces}.1`"
                self.report(message, (*at, "part") if part else at)
            slot = slot_name(replaces, 1, copies)
        elif slot:
            self.known(slot, self.slots, "slot", (*at, "slot" if "slot" in entry else "part"))
        instance = ""
        if replaces:
            self._fitted[slot] = self._fitted.get(slot, 1) + 1
            instance = part if part and part != slot else f"{slot}/{self._fitted[slot]}"
        return FixDone(name, slot, instance, self.text(entry, "note", at))

    def _moved(self, kind: str, name: str, entry: Mapping[str, object], at: Trail) -> PartOut | PartIn:
        slot = self.text(entry, "slot", at)
        if slot:
            self.known(slot, self.slots, "slot", (*at, "slot"))
        elif self.slots is not None and home_slot(name) not in self.slots:
            message = f"there is no slot `{home_slot(name)}` in this machine"
            hint = did_you_mean(home_slot(name), self.slots) or "; name the slot of a spare by `slot:`"
            self.report(message + hint, (*at, kind), check="known-id")
        if kind == "out":
            return PartOut(name, slot)
        standing = self.text(entry, "standing", at) or "unknown"
        for known in _STANDINGS:
            if standing == known:
                return PartIn(name, slot, known)  # type: ignore[arg-type]  # one of the literals themselves
        listed = ", ".join(f"`{word}`" for word in _STANDINGS)
        self.report(f"`{standing}` is not one of {listed}", (*at, "standing"))
        return PartIn(name, slot)

    def _reading(self, name: str, entry: Mapping[str, object], at: Trail) -> Reading | None:
        if "value" not in entry:
            self.report(f"the `value` of `{name}` is missing here", at)
            return None
        value = entry["value"]
        if isinstance(value, int | float) and not isinstance(value, bool):
            self.report(f'a reading needs its unit: write `value: "{value:g} V"`', (*at, "value"))
            return None
        if not self.is_text(value, (*at, "value")):
            return None
        try:
            quantity = parse(str(value))
        except BadInput as error:
            self.report(str(error), (*at, "value"), check="reading")
            return None
        return Reading(
            quantity=name,
            text=str(value),
            value=quantity.value,
            unit=quantity.unit,
            instrument=self.text(entry, "instrument", at),
            conditions=self.text(entry, "conditions", at),
        )

    def _withdrawn(self, entry: Mapping[str, object], at: Trail, number: int) -> Withdrawn | None:
        fact = self.count(entry["withdraw"], (*at, "withdraw"))
        if fact == 0 and entry["withdraw"] != 0:
            return None
        if not 1 <= fact < number:
            message = f"`withdraw` names an earlier fact by its number, 1 to {number - 1}; not {fact}"
            if number == 1:
                message = "there is no earlier fact to withdraw"
            self.report(message, (*at, "withdraw"))
            return None
        return Withdrawn(fact, self.text(entry, "because", at))

    def _complained(self, words: str, entry: Mapping[str, object], at: Trail) -> Complained:
        complaints = self.machine.complaints if self.machine else ()
        found = next((known for known in complaints if _means(known, words)), None)
        told = self.flag(entry, "told", True, at)
        if found is None:
            return Complained(words, "", told)
        return Complained(found.words if words == found.id else words, found.id, told)

    def _wanted(self, value: object, at: Trail) -> WantedSet | None:
        if not isinstance(value, list):
            self.report("a list of functions is due here, such as `[boots]`", at)
            return None
        functions = {function.id for function in self.machine.functions} if self.machine else None
        for place, name in enumerate(value):
            if self.is_text(name, (*at, place)):
                self.known(str(name), functions, "function", (*at, place))
        return WantedSet(tuple(str(name) for name in value))


def _means(complaint: Complaint, words: str) -> bool:
    """Whether words are a known complaint's own: its id, or what people say, letter case aside."""
    said = words.strip().casefold()
    return words == complaint.id or said in {known.casefold() for known in (complaint.words, *complaint.also)}

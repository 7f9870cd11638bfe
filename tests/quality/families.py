"""A shipped family as the quality tests ask it: its machines, what gates hold, what looks make likely."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from functools import cache

from powergood.diagnosis import believe, compile_model
from powergood.knowledge.model import MachineModel, ModelSheet
from powergood.packs import Pack, builtin_pack
from powergood.record.model import Complained, Draft, Fact, Finding, GateAnswered
from powergood.record.timeline import timeline

Look = tuple[str, str]
"""A check and its outcome."""


@cache
def pack() -> Pack:
    """Return the shipped pack, read once."""
    return builtin_pack()


def unlooked(machine: MachineModel) -> MachineModel:
    """Return a machine whose ticks stand for no finding: for who meets its gates without having looked."""
    return replace(machine, gates=tuple(replace(gate, stands_for=()) for gate in machine.gates))


@dataclass(frozen=True)
class Family:
    """A family, the year its machines are taken to be of (0: not known), and its sheets."""

    id: str
    year: int = 0

    @property
    def sheets(self) -> tuple[str, ...]:
        """The ids of the sheets of this family."""
        return tuple(name for name, sheet in pack().sheets.items() if sheet.family == self.id)

    def machine(self, kind: str = "") -> MachineModel:
        """Return the machine of a sheet, or of the family as such."""
        return pack().machine(kind or self.id)

    def sheet(self, kind: str) -> ModelSheet:
        """Return a model sheet."""
        return pack().sheets[kind]

    def held(self, gate: str, kind: str = "") -> set[str]:
        """Return what a gate holds back."""
        holds = next(each for each in self.machine(kind).gates if each.id == gate).holds
        return {name.removeprefix("step:") for name in holds}

    def chances(
        self,
        *looks: Look,
        complaint: str = "",
        year: int | None = None,
        intake: Mapping[str, bool] | None = None,
        kind: str = "",
    ) -> dict[str, float]:
        """Return the chance of each listed fault after some looks of one power-up."""
        return self.believed([looks], complaint=complaint, year=year, intake=intake, kind=kind)

    def believed(
        self,
        starts: Iterable[Iterable[Look]],
        *,
        complaint: str = "",
        year: int | None = None,
        intake: Mapping[str, bool] | None = None,
        kind: str = "",
    ) -> dict[str, float]:
        """Return the chance of each listed fault after the looks of several power-ups, all gates met."""
        machine = self.machine(kind)
        bodies = [Draft(GateAnswered(gate.id, met=True), key=gate.id) for gate in machine.gates]
        if complaint:
            bodies.append(Draft(Complained(complaint, complaint), key="complaint"))
        bodies += [
            Draft(Finding(check=check, outcome=outcome), key=f"{check}-{start}-{number}", power_up=start)
            for start, looks in enumerate(starts, start=1)
            for number, (check, outcome) in enumerate(looks)
        ]
        line = timeline(Fact(n, "2026-01-01T00:00:00Z", draft) for n, draft in enumerate(bodies, start=1))
        model = compile_model(
            unlooked(machine), year=self.year if year is None else year, intake=intake or {}
        )
        now = believe(model, line).now()
        return {fault.id: float(now[number]) for number, fault in enumerate(model.faults) if fault.listed}

    def ranked(self, *looks: Look, complaint: str = "", year: int | None = None, kind: str = "") -> list[str]:
        """Return the faults by their chance after some looks of one power-up."""
        found = self.chances(*looks, complaint=complaint, year=year, kind=kind)
        return sorted(found, key=lambda fault: -found[fault])

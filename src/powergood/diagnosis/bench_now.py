"""The machine as it lies after the facts so far: what is open, what sits where, what was touched when."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field, replace

from powergood.diagnosis.running import Running


def place_of(moved: Mapping[str, str], instance: str, home: str) -> str:
    """Return the slot that holds `instance`, empty when it lies on the bench.

    `moved` maps slots whose content has changed; any other holds the instance that bears its name.
    """
    if moved.get(home, home) == instance:
        return home
    return next((slot for slot, held in moved.items() if held == instance), "")


@dataclass(frozen=True, slots=True)
class BenchNow:
    """The machine after all facts: openings, slots, gates, and when each thing was last touched.

    `touched` maps faults, `slots_touched` slots and `done` fixes to the time of the last act on them. What a
    fix may have disturbed is not touched: the belief counts the disturbance itself. `running` are the looks
    taken at the start that still runs; None when the machine is off.
    """

    opened: frozenset[str] = frozenset()
    moved: Mapping[str, str] = field(default_factory=dict)
    gates: frozenset[str] = frozenset()
    wanted: tuple[str, ...] = ()
    touched: Mapping[int, int] = field(default_factory=dict)
    slots_touched: Mapping[str, int] = field(default_factory=dict)
    done: Mapping[str, int] = field(default_factory=dict)
    unexplained: tuple[str, ...] = ()
    running: Running = None

    @property
    def missing(self) -> frozenset[str]:
        """The slots that are empty."""
        return frozenset(slot for slot, instance in self.moved.items() if not instance)

    def fitted(self, slot: str) -> str:
        """Return the instance in `slot`, empty when there is none."""
        return self.moved.get(slot, slot)

    def with_openings(self, opened: Iterable[str] = (), closed: Iterable[str] = ()) -> BenchNow:
        """Return the same with some openings open and then some closed, which is done with it off."""
        return replace(self, opened=(self.opened | frozenset(opened)) - frozenset(closed), running=None)

    def with_gate(self, gate: str, *, met: bool) -> BenchNow:
        """Return the same with a gate met, or met no more."""
        return replace(self, gates=self.gates | {gate} if met else self.gates - {gate})

    def with_part(self, slot: str, instance: str, home: str) -> BenchNow:
        """Return the same with `instance`, first of slot `home`, in `slot` and in no other."""
        left = place_of(self.moved, instance, home)
        return replace(self, moved={**self.moved, **({left: ""} if left else {}), slot: instance})

    def without_part(self, slot: str) -> BenchNow:
        """Return the same with `slot` empty."""
        return replace(self, moved={**self.moved, slot: ""})

    def with_touched(self, time: int, slot: str, faults: Iterable[int] = ()) -> BenchNow:
        """Return the same with a slot (none when empty) and some faults touched at `time`."""
        touched = {**self.touched, **dict.fromkeys(faults, time)}
        slots = {**self.slots_touched, **({slot: time} if slot else {})}
        return replace(self, touched=touched, slots_touched=slots)

    def with_fix(self, fix: str, time: int, *, unexplained: bool) -> BenchNow:
        """Return the same with a fix done at `time`; an unexplained cure is remembered as such."""
        odd = (*self.unexplained, fix) if unexplained else self.unexplained
        return replace(self, done={**self.done, fix: time}, unexplained=odd)

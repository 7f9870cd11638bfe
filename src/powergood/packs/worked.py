"""Worked cases: real repairs told as facts in order, with the fault that was truly found."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Literal

Confirmed = Literal["full", "workaround", "partial"]


@dataclass(frozen=True, slots=True)
class WorkedCase:
    """One repair as it went, and what it turned out to be.

    `machine` is the id of a sheet or family; `facts` are entries as in a findings file; `truth` the ids
    of the faults found. `taken` counts the steps the person took and `wrong_turns` those that were in
    vain. `unexpressed` says which part of the repair the pack has no words for.
    """

    format: int
    id: str
    title: str
    machine: str
    source: str
    facts: tuple[Mapping[str, object], ...]
    truth: tuple[str, ...]
    confirmed: Confirmed
    intake: Mapping[str, bool] = field(default_factory=dict)
    taken: int = 0
    wrong_turns: int = 0
    note: str = ""
    unexpressed: str = ""

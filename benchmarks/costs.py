"""What whole repairs cost, by our advice and by other rules, with right numbers and with wrong ones."""

from __future__ import annotations

import subprocess
from collections.abc import Callable
from pathlib import Path

import numpy as np
from generated import machine
from printing import Printing, network
from repairs import Policy, Truth, ours, repair, truths
from rules import RULES
from tables import mean_and_error, say, table
from waiting import laptop, shipped
from wrong_numbers import lost

from powergood.diagnosis import Preferences
from powergood.diagnosis.compiled import CompiledModel
from powergood.record.model import Body, Finding, JobOpened

ANY_FAULT_WORTH = 600.0
"""What the machine is worth where any of eighty faults may be behind it; at less, giving up is best."""

PRINTERS, PRINTER_WORTH = 30, 300.0
"""Printers repaired, and what one is worth."""

PACKS = {
    "frozen": ("at-atx-desktop", "freezes", 10),
    "no_raster": ("compact-all-in-one", "dark-screen", 11),
    "waits": ("scsi-desktop", "waits-for-system", 12),
}
"""Families of the packs whose repairs were not looked at while the constants were chosen: complaint, seed."""


def compare(
    model: CompiledModel, start: list[Body], count: int, seed: int, wants: Preferences | None = None
) -> str:
    """Return the table of `count` paired repairs of machines drawn from the model itself."""
    return compared(model, start, lambda: truths(model, start, count, seed), wants or Preferences())


def compared(
    model: CompiledModel, start: list[Body], draw: Callable[[], list[Truth]], wants: Preferences
) -> str:
    """Return the table of repairs of the same machines: our cost, and each rule's difference from it."""
    policies: dict[str, Policy] = {"ours": ours, **RULES}
    own = np.zeros(0)
    rows = []
    for name, policy in policies.items():
        ends = [repair(model, start, truth, policy, wants) for truth in draw()]
        costs = np.array([end.cost for end in ends])
        own = costs if name == "ours" else own
        more = "" if name == "ours" else mean_and_error(costs - own, "+.0f")
        steps = f"{np.mean([end.steps for end in ends]):.1f}"
        ended = [sum(end.end == how for end in ends) for how in ("done", "stopped", "too long")]
        rows.append([name, mean_and_error(costs, ".0f"), more, steps, " / ".join(map(str, ended))])
        say(f"  {name}: {rows[-1][1]}")
    return table(["rule", "cost", "more than ours", "steps", "proven / stopped / cut off"], rows)


def of_printing(kept: Path, quick: bool) -> str:
    """Return the table of repairs of a network made elsewhere; a sentence where it cannot be fetched."""
    try:
        printing = Printing(network(kept))
    except (OSError, subprocess.SubprocessError) as problem:
        return f"Not measured: the network could not be fetched ({problem})."
    model = printing.machine(1)
    start: list[Body] = [JobOpened("x", ("b0",)), Finding("c0", "bad")]
    count = 3 if quick else PRINTERS
    return compared(model, start, lambda: printing.drawn(model, count, 2), Preferences(worth=PRINTER_WORTH))


def counts(quick: bool) -> dict[str, int]:
    """Return how many repairs are played, of the generated machines with few suspects and of all others."""
    return {"many": 6, "few": 2} if quick else {"many": 40, "few": 10}


def repairs_of(name: str, quick: bool) -> str:
    """Return one table of whole repairs."""
    many, few = counts(quick).values()
    start: list[Body] = [JobOpened("x", ("b0",)), Finding("c0", "bad")]
    if name == "generated":
        return compare(machine(11, faults=40, checks=40, openings=8), start, many, 5)
    if name == "generated_too":
        return compare(machine(12, faults=40, checks=40, openings=8), start, many, 5)
    if name == "any_fault":
        dear = Preferences(worth=ANY_FAULT_WORTH)
        return compare(machine(13, openings=20, breaks_all=True), start, few, 9, dear)
    if name in PACKS:
        family, complaint, seed = PACKS[name]
        other, facts = shipped(family, complaint)
        return compare(other, facts, few, seed)
    model, starts = laptop()
    place, seed = {"dead": (0, 6), "dark": (1, 7), "no_system": (4, 8)}[name]
    return compare(model, starts[place], few, seed)


def wrong_numbers(quick: bool) -> str:
    """Return the table of what is lost when the plan is made with wrong numbers."""
    count = 3 if quick else 60
    model = machine(11, faults=40, checks=40, openings=8)
    start: list[Body] = [JobOpened("x", ("b0",)), Finding("c0", "bad")]
    rows = []
    for name, policy in {"ours": ours, **RULES}.items():
        right, wrong = lost(model, start, policy, count, 5, Preferences())
        known = np.array([end.cost for end in right])
        mistaken = np.array([end.cost for end in wrong])
        unsound = sum(not end.sound for end in wrong)
        rows.append(
            [name, mean_and_error(known, ".0f"), mean_and_error(mistaken, ".0f"),
             mean_and_error(mistaken - known, "+.0f"), str(unsound)]
        )  # fmt: skip
        say(f"  wrong numbers, {name}: {rows[-1][3]}")
    return table(
        ["rule", "cost, right numbers", "cost, wrong numbers", "lost", "called done, still broken"], rows
    )

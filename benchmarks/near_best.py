"""How near the advice and the bound are to the best plan, on machines that can be planned exhaustively."""

from __future__ import annotations

import time

import numpy as np
from generated import line_of, machine
from small_machines import cost_of_advice, small_machine
from tables import Rows, say, table
from waiting import laptop

from powergood.diagnosis import advise, levels, tightened
from powergood.diagnosis.compiled import CompiledModel
from powergood.diagnosis.exact import optimum
from powergood.record.model import Body, Finding, JobOpened, WantedSet

SMALL_MACHINES = ((4, 4, 2000, 130), (5, 5, 3000, 60), (6, 4, 6000, 12))
"""Faults, checks, first seed and number of the small machines that can be planned exhaustively."""


def near_the_best(quick: bool) -> Rows:
    """Return rows: size of small machines, how far our plan is above the best, how far the bounds below."""
    rows = []
    for size, checks, first, count in SMALL_MACHINES:
        over, under, last = [], [], []
        for seed in range(first, first + (max(1, count // 20) if quick else count)):
            small = small_machine(seed, size, checks)
            fails = 1 - float(np.prod([1 - fault.prior for fault in small.model.faults]))
            least = optimum(small.trouble).cost / fails
            over.append(cost_of_advice(small) / least - 1)
            start: list[Body] = [JobOpened("x", ("works",)), Finding("test", "bad")]
            under.append(1 - advise(small.model, line_of(start), small.preferences).at_least / least)
            last.append(1 - tightened(small.model, line_of(start), small.preferences) / least)
        rows.append(
            [f"{size} faults, {checks} checks, 3 openings", str(len(over)), f"{np.mean(over):.2%}",
             f"{max(over):.1%}", f"{np.mean(under):.0%}", f"{np.mean(last):.1%} ({max(last):.0%})"]
        )  # fmt: skip
        say(f"  {rows[-1]}")
    return rows


def bounds() -> str:
    """Return the table of what no plan can average below, by level, with the time each takes."""
    say("bounds")
    laptop_model, starts = laptop()
    start: list[Body] = [JobOpened("x", ("b0",)), Finding("c0", "bad")]
    cases: list[tuple[str, CompiledModel, list[Body]]] = [
        ("the shipped laptop, dead", laptop_model, starts[0]),
        ("the shipped laptop, dark picture", laptop_model, starts[1]),
        ("the same, only the picture wanted", laptop_model, [*starts[1], WantedSet(("picture",))]),
        ("generated: 40 faults, 40 checks, 8 openings", machine(11, faults=40, checks=40, openings=8), start),
    ]
    rows = []
    for what, model, facts in cases:
        found = []
        for level in range(levels() + 1):
            began = time.perf_counter()
            least = tightened(model, line_of(facts), level=level)
            found.append(f"{least:.0f} ({time.perf_counter() - began:.1f} s)")
        rows.append([what, f"{advise(model, line_of(facts)).expected_total:.0f}", *found])
    return table(["case", "advised plan", "at once", *(f"level {n + 1}" for n in range(levels()))], rows)

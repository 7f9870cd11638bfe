"""Measure what the project claims, side by side in one run, and write docs/benchmarks.md.

    python3 do.py bench            everything; some half an hour on a quiet machine
    python3 do.py bench --quick    fewer of everything, written to the screen only

One thread on one core is used throughout: the arrays are small, and more threads only get in the way.
"""

from __future__ import annotations

import os

for name in ("OPENBLAS_NUM_THREADS", "OMP_NUM_THREADS", "MKL_NUM_THREADS"):
    os.environ[name] = "1"

import argparse  # noqa: E402
import platform  # noqa: E402
import sys  # noqa: E402
import time  # noqa: E402
from datetime import UTC, datetime  # noqa: E402
from multiprocessing import get_context  # noqa: E402
from pathlib import Path  # noqa: E402

import numpy as np  # noqa: E402

ROOT = Path(__file__).resolve().parents[1]
sys.path[:0] = [str(ROOT / "src"), str(ROOT / "tests" / "quality"), str(Path(__file__).resolve().parent)]

from generated import line_of, machine  # noqa: E402
from networks import LIMIT_GB, LIMIT_S, against_the_library, by_failed_findings  # noqa: E402
from repairs import MOST_STEPS, Policy, ours, repair, truths  # noqa: E402
from rules import RULES  # noqa: E402
from small_machines import cost_of_advice, small_machine  # noqa: E402
from waiting import laptop, on_generated, on_laptop, size_of, to_card  # noqa: E402
from wrong_numbers import lost  # noqa: E402

from powergood.diagnosis import Preferences, advise, levels, tightened  # noqa: E402
from powergood.diagnosis.compiled import CompiledModel  # noqa: E402
from powergood.diagnosis.exact import optimum  # noqa: E402
from powergood.record.model import Body, Finding, JobOpened, WantedSet  # noqa: E402

ANY_FAULT_WORTH = 600.0
"""What the machine is worth where any of eighty faults may be behind it; at less, giving up is best."""

PAGE = (Path(__file__).resolve().parent / "page.md").read_text(encoding="utf-8")

Rows = list[list[str]]


def say(words: str) -> None:
    """Tell how far it has come."""
    print(f"{datetime.now(UTC):%H:%M:%S} load {load()} {words}", file=sys.stderr, flush=True)


def load() -> str:
    """Return how busy the machine is, where the system says so."""
    return f"{os.getloadavg()[0]:.1f}" if hasattr(os, "getloadavg") else "not known"


def stay_on_one_core() -> None:
    """Keep this process and its children on one core, where the system can."""
    if hasattr(os, "sched_setaffinity"):
        os.sched_setaffinity(0, {max(os.sched_getaffinity(0))})


def use_all_cores() -> None:
    """Let this process run on any core again."""
    if hasattr(os, "sched_setaffinity"):
        os.sched_setaffinity(0, range(os.cpu_count() or 1))


def table(head: list[str], rows: Rows) -> str:
    """Return a Markdown table."""
    lines = [head, ["---"] * len(head), *rows]
    return "\n".join(f"| {' | '.join(line)} |" for line in lines)


def aim(what: str, found: float, most: float) -> list[str]:
    """Return the row of one aim: what was found, what was aimed at, both in milliseconds, and the verdict."""
    return [what, f"{found:.1f} ms", f"{most:.0f} ms", "met" if found <= most else "**missed**"]


def times(quick: bool) -> dict[str, str]:
    """Return the tables of times, and how they stand to what was aimed at."""
    say("posteriors")
    against = against_the_library(quick)
    grown = by_failed_findings(quick)
    nine = next(each for each in grown if each.failed == 9)
    say("waiting")
    generated, shipped, cards = on_generated(quick), on_laptop(quick), to_card(quick)
    rows, aims = [], [aim("posterior, 9 failed findings, 80 faults: facts to chances, median", nine.whole, 2),
                      aim("the same, the recursion alone", nine.alone, 2)]  # fmt: skip
    for what, taken, most in (
        ("advice, generated: 80 faults, 80 checks, 20 openings", generated, 200),
        (f"advice, the shipped laptop: {size_of(laptop()[0])}, along whole repairs", shipped, 200),
        ("a tap on a card of the demo's job, until the next card is there", cards, 250),
    ):
        late = float(np.percentile(taken, 95))
        rows.append([what, str(len(taken)), f"{np.median(taken):.0f} / {late:.0f} / {max(taken):.0f}"])
        aims.append(aim(f"{what}, 95th percentile", late, most))
    return {
        "aims": table(["what", "found", "aimed at, at most", ""], aims),
        "against": table(
            ["faults", "findings", "failed", "faults a finding sees", "ours", "ours, 300 samples",
             "library, absorbed", "library, whole"], against),
        "failed": table(["failed", "whole", "recursion alone", "with histories", "peak memory, MB"],
                        [each.row() for each in grown]),
        "latency": table(["what", "times", "ms"], rows),
    }  # fmt: skip


def near_the_best(quick: bool) -> Rows:
    """Return rows: size of small machines, how far our plan is above the best, how far the bounds below."""
    rows = []
    for size, seeds in ((4, range(2000, 2006 if quick else 2100)), (5, range(3000, 3001 if quick else 3006))):
        over, under, last = [], [], []
        for seed in seeds:
            small = small_machine(seed, size, size)
            fails = 1 - float(np.prod([1 - fault.prior for fault in small.model.faults]))
            least = optimum(small.trouble).cost / fails
            over.append(cost_of_advice(small) / least - 1)
            start: list[Body] = [JobOpened("x", ("works",)), Finding("test", "bad")]
            under.append(1 - advise(small.model, line_of(start), small.preferences).at_least / least)
            last.append(1 - tightened(small.model, line_of(start), small.preferences) / least)
        rows.append(
            [f"{size} faults, {size} checks, 3 openings", str(len(over)), f"{np.mean(over):.2%}",
             f"{max(over):.1%}", f"{np.mean(under):.0%}", f"{np.mean(last):.1%} ({max(last):.0%})"]
        )  # fmt: skip
        say(f"  {rows[-1]}")
    return rows


def compare(
    model: CompiledModel, start: list[Body], count: int, seed: int, wants: Preferences | None = None
) -> str:
    """Return the table of `count` paired repairs: our cost, and each rule's difference from it."""
    wants = wants or Preferences()
    policies: dict[str, Policy] = {"ours": ours, **RULES}
    own = np.zeros(count)
    rows = []
    for name, policy in policies.items():
        drawn = truths(model, start, count, seed)
        ends = [repair(model, start, truth, policy, wants) for truth in drawn]
        costs = np.array([end.cost for end in ends])
        own = costs if name == "ours" else own
        more = "" if name == "ours" else mean_and_error(costs - own, "+.0f")
        steps = f"{np.mean([end.steps for end in ends]):.1f}"
        ended = [sum(end.end == how for end in ends) for how in ("done", "stopped", "too long")]
        rows.append([name, mean_and_error(costs, ".0f"), more, steps, " / ".join(map(str, ended))])
        say(f"  {name}: {rows[-1][1]}")
    return table(["rule", "cost", "more than ours", "steps", "proven / stopped / cut off"], rows)


def mean_and_error(values: np.ndarray, shape: str) -> str:
    """Return a mean with its standard error."""
    return f"{values.mean():{shape}} ± {values.std(ddof=1) / values.size**0.5:.0f}"


def counts(quick: bool) -> dict[str, int]:
    """Return how many repairs are played, of the generated machines with few suspects and of all others."""
    return {"many": 6, "few": 3} if quick else {"many": 40, "few": 8}


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
    model, starts = laptop()
    place, seed = {"dead": (0, 6), "dark": (1, 7), "no_system": (4, 8)}[name]
    return compare(model, starts[place], few, seed)


REPAIRS = ("any_fault", "dead", "dark", "no_system", "generated", "generated_too")


def part(name: str, quick: bool) -> tuple[str, str]:
    """Return one table of costs with its name on the page."""
    say(name)
    if name == "best":
        head = ["machines", "number", "above the best, mean", "worst", "bound below at once",
                "in the end (worst)"]  # fmt: skip
        return name, table(head, near_the_best(quick))
    return name, wrong_numbers(quick) if name == "wrong" else repairs_of(name, quick)


def costs(quick: bool) -> dict[str, str]:
    """Return all tables of costs, worked out side by side on all cores: nothing is timed here."""
    with get_context("spawn").Pool(initializer=use_all_cores) as pool:
        return dict(pool.starmap(part, [(name, quick) for name in (*REPAIRS, "best", "wrong")], chunksize=1))


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


def main() -> None:
    """Run everything and write the page."""
    parser = argparse.ArgumentParser(description="Measure what the project claims.")
    parser.add_argument("--quick", action="store_true", help="fewer of everything; nothing is written")
    quick = parser.parse_args().quick
    stay_on_one_core()
    laptop()  # read once, before anything is timed
    versions = f"Python {platform.python_version()}, NumPy {np.__version__}"
    head = {
        "machine": f"a machine of {os.cpu_count()} cores ({platform.machine()}), {versions}",
        "date": f"{datetime.now(UTC):%Y-%m-%d}",
        "load": load(),
    }
    parts = times(quick)
    after = load()
    parts["bounds"] = bounds()
    parts |= {name: str(count) for name, count in counts(quick).items()}
    parts |= costs(quick)
    page = PAGE.format(**head, after=after, limit=LIMIT_S, memory=LIMIT_GB, most=MOST_STEPS, **parts)
    print(page)
    if not quick:
        (ROOT / "docs" / "benchmarks.md").write_text(page, encoding="utf-8")
        say("written to docs/benchmarks.md")


if __name__ == "__main__":
    main()

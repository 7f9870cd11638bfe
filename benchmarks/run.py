"""Measure what the project claims, side by side in one run, and write docs/benchmarks.md.

    python3 do.py bench            everything, some ten minutes
    python3 do.py bench --quick    fewer of everything, written to the screen only

One thread is used throughout: the arrays are small, and more threads only get in each other's way.
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
from pathlib import Path  # noqa: E402

import numpy as np  # noqa: E402

ROOT = Path(__file__).resolve().parents[1]
sys.path[:0] = [str(ROOT / "src"), str(ROOT / "tests" / "quality"), str(Path(__file__).resolve().parent)]

from generated import line_of, machine  # noqa: E402
from networks import against_the_library, by_failed_findings  # noqa: E402
from posting import request_to_card  # noqa: E402
from repairs import Policy, ours, repair, truths  # noqa: E402
from rules import RULES  # noqa: E402
from small_machines import cost_of_advice, small_machine  # noqa: E402

from powergood.diagnosis import Preferences, advise, compile_model  # noqa: E402
from powergood.diagnosis.compiled import CompiledModel  # noqa: E402
from powergood.diagnosis.exact import optimum  # noqa: E402
from powergood.packs import builtin_pack  # noqa: E402
from powergood.record.model import Body, Complained, Finding, GateAnswered, JobOpened  # noqa: E402


def say(words: str) -> None:
    """Tell how far it has come."""
    print(f"{datetime.now(UTC):%H:%M:%S} {words}", file=sys.stderr, flush=True)


def table(head: list[str], rows: list[list[str]]) -> str:
    """Return a Markdown table."""
    lines = [head, ["---"] * len(head), *rows]
    return "\n".join(f"| {' | '.join(line)} |" for line in lines)


def spread(taken: list[float]) -> str:
    """Return median, 95th percentile and greatest of times in milliseconds."""
    return f"{np.median(taken):.0f} / {np.percentile(taken, 95):.0f} / {max(taken):.0f}"


def timed(model: CompiledModel, bodies: list[Body]) -> float:
    """Return the milliseconds of one advice."""
    start = time.perf_counter()
    advise(model, line_of(bodies))
    return 1e3 * (time.perf_counter() - start)


def latency(quick: bool) -> list[list[str]]:
    """Return rows: kind of machine, number of states, times of advice."""
    rows = []
    states: list[float] = []
    for seed in range(4 if quick else 40):
        model = machine(seed, openings=20)
        truth = truths(model, [Finding("c0", "bad")], 1, seed)[0]
        bodies: list[Body] = [Finding("c0", "bad")]
        for n in range(1, 1 + seed % 12):
            check = model.checks[f"c{7 * n}"]
            bodies.append(Finding(check.check, truth.show(check)))
        states.append(timed(model, bodies))
    rows.append(["generated: 80 faults, 80 checks, 20 openings", str(len(states)), spread(states)])
    model, starts = laptop()
    taken: list[float] = []
    for number, start in enumerate(starts[: 2 if quick else 6]):
        truth = truths(model, start, 1, number)[0]

        def watched(model: CompiledModel, bodies: list[Body], wants: Preferences) -> tuple[str, str]:
            taken.append(timed(model, bodies))
            return ours(model, bodies, wants)

        repair(model, start, truth, watched, Preferences())
    size = f"{len(model.faults)} faults, {len(model.checks)} checks, {len(model.openings)} openings"
    rows.append([f"the shipped laptop: {size}, along whole repairs", str(len(taken)), spread(taken)])
    return rows


def laptop() -> tuple[CompiledModel, list[list[Body]]]:
    """Return the shipped laptop family and the starts of six jobs, all safety conditions met."""
    model = compile_model(builtin_pack().machine("pata-laptop"), year=1998)
    gates = [GateAnswered(gate.id, True) for gate in model.gates]
    said = ("dead", "dark-picture", "fan-no-picture", "beeps", "no-system", "no-keys")
    return model, [[JobOpened("x"), *gates, Complained("", complaint)] for complaint in said]


def card(quick: bool) -> list[str]:
    """Return the row of a tap on a step card until the next card is there."""
    taken = request_to_card(5 if quick else 25)
    return ["a tap on a card of the demo's job, until the next card is there", str(len(taken)), spread(taken)]


def compare(model: CompiledModel, start: list[Body], count: int, seed: int) -> list[list[str]]:
    """Return rows of paired repairs: our cost, and each rule's difference from it."""
    policies: dict[str, Policy] = {"ours": ours, **RULES}
    costs: dict[str, np.ndarray] = {}
    rows = []
    for name, policy in policies.items():
        ends = [
            repair(model, start, truth, policy, Preferences()) for truth in truths(model, start, count, seed)
        ]
        costs[name] = np.array([end.cost for end in ends])
        apart = costs[name] - costs["ours"]
        mean = f"{costs[name].mean():.0f} ± {costs[name].std() / count**0.5:.0f}"
        more = "" if name == "ours" else f"{apart.mean():+.0f} ± {apart.std() / count**0.5:.0f}"
        steps = f"{np.mean([end.steps for end in ends]):.1f}"
        done = str(sum(end.end == "done" for end in ends))
        rows.append([name, mean, more, steps, done])
        say(f"  {name}: {mean}")
    return rows


def near_the_best(quick: bool) -> list[list[str]]:
    """Return rows: size of small machines, how far our plan is above the best, how far the bound below."""
    rows = []
    for size, seeds in ((4, range(2000, 2006 if quick else 2080)), (5, range(3000, 3002 if quick else 3012))):
        over, under = [], []
        for seed in seeds:
            small = small_machine(seed, size, size)
            fails = 1 - float(np.prod([1 - fault.prior for fault in small.model.faults]))
            least = optimum(small.trouble).cost / fails
            over.append(cost_of_advice(small) / least - 1)
            start: list[Body] = [JobOpened("x", ("works",)), Finding("test", "bad")]
            under.append(1 - advise(small.model, line_of(start), small.preferences).at_least / least)
        rows.append(
            [f"{size} faults, {size} checks, 3 openings", str(len(over)), f"{np.mean(over):.2%}",
             f"{max(over):.1%}", f"{np.mean(under):.0%}"]
        )  # fmt: skip
    return rows


PAGE = (Path(__file__).resolve().parent / "page.md").read_text(encoding="utf-8")


def main() -> None:
    """Run everything and write the page."""
    parser = argparse.ArgumentParser(description="Measure what the project claims.")
    parser.add_argument("--quick", action="store_true", help="fewer of everything; nothing is written")
    quick = parser.parse_args().quick
    from networks import LIMIT_S

    load = f"{os.getloadavg()[0]:.1f}" if hasattr(os, "getloadavg") else "not known"
    head = ["rule", "cost", "more than ours", "steps", "proven"]
    say("posteriors")
    parts = {"against": table(
        ["faults", "findings", "failed", "ours", "ours, 300 samples", "library, absorbed", "library, whole"],
        against_the_library(quick))}  # fmt: skip
    parts["failed"] = table(
        ["failed", "whole", "recursion alone", "with histories"], by_failed_findings(quick)
    )
    say("latency")
    parts["latency"] = table(["what", "times", "ms"], [*latency(quick), card(quick)])
    say("small machines")
    parts["best"] = table(
        ["machines", "number", "above the best, mean", "worst", "bound below"], near_the_best(quick)
    )
    say("repairs")
    count = 4 if quick else 16
    start: list[Body] = [JobOpened("x", ("b0",)), Finding("c0", "bad")]
    parts["generated"] = table(
        head, compare(machine(11, faults=40, checks=40, openings=8), start, 2 * count, 5)
    )
    model, starts = laptop()
    parts["dead"] = table(head, compare(model, starts[0], count, 6))
    parts["dark"] = table(head, compare(model, starts[1], count, 7))
    versions = f"Python {platform.python_version()}, NumPy {np.__version__}"
    page = PAGE.format(
        machine=f"a machine of {os.cpu_count()} cores ({platform.machine()}), {versions}",
        date=f"{datetime.now(UTC):%Y-%m-%d}", load=load, limit=LIMIT_S, **parts,
    )  # fmt: skip
    print(page)
    if not quick:
        (ROOT / "docs" / "benchmarks.md").write_text(page, encoding="utf-8")
        say("written to docs/benchmarks.md")


if __name__ == "__main__":
    main()

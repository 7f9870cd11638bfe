"""Measure what the project claims, side by side in one run, and write docs/benchmarks.md.

    python3 do.py bench            everything; some half an hour on a quiet machine
    python3 do.py bench --quick    fewer of everything, written to the screen only
    python3 do.py bench --minutes 20    leave out costs that take longer; finished tables are kept

One thread on one core is used throughout: the arrays are small, and more threads only get in the way.
"""

from __future__ import annotations

import os

for name in ("OPENBLAS_NUM_THREADS", "OMP_NUM_THREADS", "MKL_NUM_THREADS"):
    os.environ[name] = "1"

import argparse  # noqa: E402
import hashlib  # noqa: E402
import platform  # noqa: E402
import sys  # noqa: E402
import time  # noqa: E402
from datetime import UTC, datetime  # noqa: E402
from multiprocessing import TimeoutError as NotDone  # noqa: E402
from multiprocessing import get_context  # noqa: E402
from pathlib import Path  # noqa: E402

import numpy as np  # noqa: E402

ROOT = Path(__file__).resolve().parents[1]
sys.path[:0] = [str(ROOT / "src"), str(ROOT / "tests" / "quality"), str(Path(__file__).resolve().parent)]

from costs import PACKS, counts, of_printing, repairs_of, wrong_numbers  # noqa: E402
from growth import by_failed, by_size, drawn, memory  # noqa: E402
from near_best import bounds, near_the_best  # noqa: E402
from networks import LIMIT_GB, LIMIT_S, against_the_library, by_failed_findings  # noqa: E402
from repairs import MOST_STEPS  # noqa: E402
from tables import load, say, table  # noqa: E402
from waiting import laptop, on_generated, on_laptop, size_of, to_card  # noqa: E402

DONE = ROOT / "build" / "benchmarks"
"""Where finished tables are kept, so that a run that was cut off goes on where it was."""

PAGE = (Path(__file__).resolve().parent / "page.md").read_text(encoding="utf-8")


def stay_on_one_core() -> None:
    """Keep this process and its children on one core, where the system can."""
    if hasattr(os, "sched_setaffinity"):
        os.sched_setaffinity(0, {max(os.sched_getaffinity(0))})


def use_all_cores() -> None:
    """Let this process run on any core again."""
    if hasattr(os, "sched_setaffinity"):
        os.sched_setaffinity(0, range(os.cpu_count() or 1))


def aim(what: str, found: float, most: float) -> list[str]:
    """Return the row of one aim: what was found, what was aimed at, both in milliseconds, and the verdict."""
    return [what, f"{found:.1f} ms", f"{most:.0f} ms", "met" if found <= most else "**missed**"]


def late_of(taken: list[float]) -> float:
    """Return the 95th percentile of some times."""
    return float(np.percentile(taken, 95))


def times(quick: bool) -> dict[str, str]:
    """Return the tables of times, and how they stand to what was aimed at."""
    say("posteriors")
    against = against_the_library(quick)
    grown = by_failed_findings(quick)
    nine = next(each for each in grown if each.failed == 9)
    say("waiting")
    generated, family, cards = on_generated(quick), on_laptop(quick), to_card(quick)
    rows, aims = [], [aim("posterior, 9 failed findings, 80 faults: facts to chances, median", nine.whole, 2),
                      aim("the same, the recursion alone", nine.alone, 2)]  # fmt: skip
    for what, taken, most in (
        ("advice, generated: 80 faults, 80 checks, 20 openings", generated, 200),
        (f"advice, the shipped laptop: {size_of(laptop()[0])}, along whole repairs", family, 200),
        ("a tap on a card of the demo's job, until the next card is there", cards, 250),
    ):
        late = late_of(taken)
        rows.append([what, str(len(taken)), f"{np.median(taken):.0f} / {late:.0f} / {max(taken):.0f}"])
        aims.append(aim(f"{what}, 95th percentile", late, most))
    say("growth")
    sizes, failed = by_size(quick), by_failed(quick)
    aims.append(
        aim(f"first advice, generated: {sizes[1].name}, 95th percentile", late_of(sizes[1].taken), 100)
    )
    aims.append(
        aim(f"first advice, generated: {sizes[-1].name}, 95th percentile", late_of(sizes[-1].taken), 300)
    )
    if not quick:
        for name, title, across, points in (
            ("size", "Time of first advice by the size of the machine", "faults", sizes),
            ("failed", "Time of advice by the number of failed findings", "failed findings", failed),
        ):
            drawing = drawn(title, across, points)
            (ROOT / "docs" / "pictures" / f"advice-by-{name}.svg").write_text(drawing, encoding="utf-8")
    return {
        "sizes": table(["machine", "times", "ms"], [point.row() for point in sizes]),
        "failing": table(["findings", "times", "ms"], [point.row() for point in failed]),
        "resident": memory(),
        "aims": table(["what", "found", "aimed at, at most", ""], aims),
        "against": table(
            ["faults", "findings", "failed", "faults a finding sees", "ours", "ours, 300 samples",
             "library, absorbed", "library, whole"], against),
        "failed": table(["failed", "whole", "recursion alone", "with histories", "peak memory, MB"],
                        [each.row() for each in grown]),
        "latency": table(["what", "times", "ms"], rows),
    }  # fmt: skip


REPAIRS = ("generated", "generated_too", "dead", "dark", "no_system", *PACKS, "any_fault")


def source() -> str:
    """Return the digest of all that the tables rest on: the program, its packs and the benchmarks."""
    places = [ROOT / "src" / "powergood" / name for name in ("diagnosis", "knowledge", "packs")]
    files = sorted(
        path for place in (*places, Path(__file__).parent) for path in place.rglob("*.[pym][yam]*")
    )
    return hashlib.sha256(b"".join(path.read_bytes() for path in files)).hexdigest()


def part(name: str, quick: bool, digest: str) -> tuple[str, str]:
    """Return one table of costs with its name on the page; one that was finished before is taken as it is."""
    kept = DONE / f"{name}{'-quick' if quick else ''}.md"
    if kept.is_file() and kept.read_text(encoding="utf-8").startswith(digest):
        return name, kept.read_text(encoding="utf-8").removeprefix(f"{digest}\n")
    say(name)
    if name == "best":
        head = ["machines", "number", "above the best, mean", "worst", "bound below at once",
                "in the end (worst)"]  # fmt: skip
        found = table(head, near_the_best(quick))
    elif name == "printing":
        found = of_printing(DONE / "win95pts.bif", quick)
    else:
        found = wrong_numbers(quick) if name == "wrong" else repairs_of(name, quick)
    kept.parent.mkdir(parents=True, exist_ok=True)
    kept.write_text(f"{digest}\n{found}", encoding="utf-8")
    return name, found


def costs(quick: bool, most_s: float) -> dict[str, str]:
    """Return all tables of costs, worked out side by side on all cores: nothing is timed here.

    What is not finished after `most_s` seconds is left out and says so.
    """
    names, digest = ("best", *REPAIRS[:-1], "printing", "wrong", REPAIRS[-1]), source()
    ends = time.monotonic() + most_s
    found = {}
    with get_context("spawn").Pool(initializer=use_all_cores) as pool:
        working = {name: pool.apply_async(part, (name, quick, digest)) for name in names}
        for name, result in working.items():
            try:
                found[name] = result.get(max(ends - time.monotonic(), 0.1))[1]
            except NotDone:
                found[name] = (
                    f"Not finished when this run was ended, {most_s / 60:.0f} minutes after it began."
                )
    return found


def main() -> None:
    """Run everything and write the page."""
    parser = argparse.ArgumentParser(description="Measure what the project claims.")
    parser.add_argument("--quick", action="store_true", help="fewer of everything; nothing is written")
    parser.add_argument("--minutes", type=float, default=600.0, help="leave out costs not done by then")
    given = parser.parse_args()
    quick = given.quick
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
    parts |= costs(quick, 60.0 * given.minutes)
    page = PAGE.format(**head, after=after, limit=LIMIT_S, memory=LIMIT_GB, most=MOST_STEPS, **parts)
    print(page)
    if not quick:
        (ROOT / "docs" / "benchmarks.md").write_text(page, encoding="utf-8")
        say("written to docs/benchmarks.md")


if __name__ == "__main__":
    main()

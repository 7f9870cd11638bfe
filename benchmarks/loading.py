"""How long it takes to load and compile every family of the pack that ships, each time in a new process.

    python benchmarks/loading.py [TIMES]

Prints medians in milliseconds. `cold` is reading, checking, composing and compiling all families; `cached`
the same asked again of the library in the same process; `imports` the modules alone; `pairs` whether any
check parts each two faults.
"""

from __future__ import annotations

import os
import statistics
import subprocess
import sys
from pathlib import Path

SOURCE = Path(__file__).resolve().parents[1] / "src"

ONCE = """
import time
clock = [time.perf_counter()]
from powergood.bench.library import Library
from powergood.diagnosis import parting
from powergood.packs import builtin_pack
clock.append(time.perf_counter())
library = Library((builtin_pack(),))
compiled = [library.compiled(name, 0, {}) for name in library.packs[0].families]
clock.append(time.perf_counter())
again = [library.compiled(name, 0, {}) for name in library.packs[0].families]
clock.append(time.perf_counter())
for model in compiled:
    parting(model)
clock.append(time.perf_counter())
print(*(1e3 * (after - before) for before, after in zip(clock, clock[1:])))
"""


def once() -> list[float]:
    """Return the milliseconds of one new process: imports, cold, cached, pairs."""
    environment = {**os.environ, "PYTHONPATH": str(SOURCE), "OPENBLAS_NUM_THREADS": "1"}
    done = subprocess.run(
        [sys.executable, "-c", ONCE], capture_output=True, text=True, check=True, env=environment
    )
    return [float(word) for word in done.stdout.split()]


def main() -> None:
    """Print the medians of as many new processes as asked for."""
    times = int(sys.argv[1]) if len(sys.argv) > 1 else 7
    taken = [once() for _ in range(times)]
    for name, values in zip(("imports", "cold", "cached", "pairs"), zip(*taken, strict=True), strict=True):
        print(f"{name:8} {statistics.median(values):8.1f} ms   ({min(values):.1f} to {max(values):.1f})")


if __name__ == "__main__":
    main()

"""Exact posteriors on random two-layer networks: ours against a general library, in one run."""

from __future__ import annotations

import sys
import time
import tracemalloc
from collections.abc import Callable
from dataclasses import dataclass
from multiprocessing import get_context
from pathlib import Path
from statistics import median

try:
    import resource
except ImportError:  # no such limits on Windows
    resource = None  # type: ignore[assignment]

sys.path.insert(0, str(Path(__file__).resolve().parents[1] / "tests" / "outside"))

from general_network import Network, posterior, random_network
from generated import line_of, machine

from powergood.diagnosis.belief import belief, believe
from powergood.diagnosis.clusters import single_clusters
from powergood.diagnosis.compiled import (
    BaseSpec,
    CheckSpec,
    CompiledModel,
    FaultSpec,
    Link,
    Price,
    RungSpec,
)
from powergood.diagnosis.gathering import gather
from powergood.diagnosis.recursion import solve
from powergood.diagnosis.samples import draw_samples
from powergood.record.model import Body, Finding, FixDone

LIMIT_S = 20.0
"""Seconds after which the general library is stopped."""

LIMIT_GB = 3
"""Memory the general library may take (where the system can hold it to that)."""

SIZES = (
    (40, 10, 6),
    (80, 10, 6),
    (80, 20, 6),
    (120, 20, 6),
    (120, 30, 6),
    (80, 20, 10),
    (80, 30, 10),
    (120, 30, 10),
)
"""Faults, findings, and the most faults that one finding sees (the least is 3)."""


def as_machine(network: Network) -> tuple[CompiledModel, list[Body]]:
    """Return the network as a machine and its findings as facts."""
    count = len(network.priors)
    links: list[list[Link]] = [[] for _ in range(count)]
    for finding, parents in enumerate(network.parents):
        for fault, strength in parents.items():
            links[fault].append(Link(finding, strength))
    faults = tuple(
        FaultSpec(f"p{n}.m", f"p{n}", "a", str(n), prior, tuple(links[n]))
        for n, prior in enumerate(network.priors)
    )
    bases = tuple(BaseSpec(f"b{n}", str(n), "a") for n in range(len(network.parents)))
    nothing: frozenset[str] = frozenset()
    checks = {
        f"c{n}": CheckSpec(
            id=f"c{n}", check=f"c{n}", copy=0, ask="", rungs=(RungSpec(n, "bad", ""),), all_good="",
            leak=leak, no_verdict=0.0, price=Price(1.0), power="off", open=nothing, closed=nothing,
            masked=nothing, fitted=nothing,
        )
        for n, leak in enumerate(network.leaks)
    }  # fmt: skip
    model = CompiledModel(
        family="network", digest="", faults=faults, clusters=single_clusters(faults), bases=bases,
        checks=checks, fixes={}, openings={}, gates=(), complaints={}, area_titles={}, part_titles={},
        slots=tuple(f"p{n}" for n in range(count)), base_index={base.id: n for n, base in enumerate(bases)},
    )  # fmt: skip
    return model, [Finding(f"c{n}", "bad" if bad else "good") for n, bad in enumerate(network.failed)]


def milliseconds(work: Callable[[], object], repeats: int = 5) -> float:
    """Return the median time of `work` in milliseconds."""
    taken = []
    for _ in range(repeats):
        start = time.perf_counter()
        work()
        taken.append(1e3 * (time.perf_counter() - start))
    return median(taken)


def _library(network: Network, whole: bool, answer) -> None:  # type: ignore[no-untyped-def]
    if resource is not None:
        resource.setrlimit(resource.RLIMIT_AS, (LIMIT_GB << 30, LIMIT_GB << 30))
    start = time.perf_counter()
    try:
        posterior(network, whole=whole)
    except MemoryError:
        return
    except Exception as error:  # the library has no class of its own for want of memory
        if "bad_alloc" not in str(error):
            raise
        return
    answer.put(1e3 * (time.perf_counter() - start))


def library_ms(network: Network, *, whole: bool) -> float | None:
    """Return the general library's time in milliseconds; None past the limit or out of memory."""
    context = get_context("fork")
    answer = context.Queue()
    child = context.Process(target=_library, args=(network, whole, answer))
    child.start()
    child.join(LIMIT_S)
    if child.is_alive():
        child.kill()
        child.join()
        return None
    return answer.get() if not answer.empty() else None


def against_the_library(quick: bool) -> list[list[str]]:
    """Return rows: size, our times, the library's, finished runs."""
    rows = []
    for faults, findings, parents in SIZES[:3] if quick else SIZES:
        failed = max(2, round(0.3 * findings))
        seeds = range(2 if quick else 6)
        size = {"faults": faults, "findings": findings, "failed": failed, "parents": parents}
        networks = [random_network(seed, **size) for seed in seeds]
        own, drawn = [], []
        for network in networks:
            model, facts = as_machine(network)
            line = line_of(facts)
            own.append(milliseconds(lambda model=model, line=line: believe(model, line)))
            held = believe(model, line)
            drawn.append(milliseconds(lambda held=held: draw_samples(held)))
        absorbed = [library_ms(network, whole=False) for network in networks]
        whole = [library_ms(network, whole=True) for network in networks]
        rows.append(
            [str(faults), str(findings), str(failed), f"3–{parents}", f"{median(own):.2f} / {max(own):.2f}",
             f"{median(drawn):.2f}", _times(absorbed), _times(whole)]
        )  # fmt: skip
    return rows


def _times(taken: list[float | None]) -> str:
    done = [each for each in taken if each is not None]
    if not done:
        return f"none of {len(taken)} finished"
    return f"{median(done):.1f} / {max(done):.1f} ({len(done)} of {len(taken)})"


@dataclass(frozen=True)
class Grown:
    """Median milliseconds at a number of failed findings, and the peak memory of one belief in megabytes."""

    failed: int
    whole: float
    alone: float
    lived: float
    peak: float

    def row(self) -> list[str]:
        """Return the row of the table."""
        times = [f"{each:.2f}" for each in (self.whole, self.alone, self.lived)]
        return [str(self.failed), *times, f"{self.peak:.1f}"]


def by_failed_findings(quick: bool) -> list[Grown]:
    """Return how the cost of a belief grows with the number of failed findings."""
    return [_grown(failed, 2 if quick else 7) for failed in (3, 6, 9, 12, 15)]


def _grown(failed: int, seeds: int) -> Grown:
    whole, alone, lived, peaks = [], [], [], []
    for seed in range(seeds):
        model = machine(seed, moody=0.0)
        facts: list[Body] = [Finding(f"c{n}", "bad" if n < failed else "good") for n in range(failed + 20)]
        line = line_of(facts)
        whole.append(milliseconds(lambda model=model, line=line: believe(model, line)))
        held = belief(model, gather(model, line))
        parts = [group.solved.component for group in held.groups if hasattr(group.solved, "component")]
        alone.append(milliseconds(lambda parts=parts: [solve(part) for part in parts]))
        moody = machine(seed, moody=0.2)
        acts = [FixDone(f"x{n}", f"p{n}") for n in range(4)]
        mixed = line_of([*facts[: failed // 2], *acts, *facts[failed // 2 :]])
        lived.append(milliseconds(lambda moody=moody, mixed=mixed: believe(moody, mixed)))
        peaks.append(_peak_mb(lambda moody=moody, mixed=mixed: believe(moody, mixed)))
        assert held.error == 0.0, "sampled, not exact"
    return Grown(failed, median(whole), median(alone), median(lived), max(peaks))


def _peak_mb(work: Callable[[], object]) -> float:
    """Return the most memory that `work` held at once, in megabytes."""
    tracemalloc.start()
    work()
    peak = tracemalloc.get_traced_memory()[1]
    tracemalloc.stop()
    return peak / 1e6

"""How the time of advice grows: with the size of the machine and with what has failed; measured and drawn."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from generated import Said, machine
from waiting import Taken, timed

from powergood.record.model import Finding

try:
    import resource
except ImportError:  # no such figure on Windows
    resource = None  # type: ignore[assignment]

SIZES = ((40, 40, 10), (80, 80, 20), (120, 150, 30), (200, 250, 40))
"""Faults, checks, openings."""

FAILED = (1, 3, 6, 9, 12, 15)

MOODY = 0.1
"""Share of the faults that come and go."""

LEFT, RIGHT, TOP, BOTTOM, WIDE, HIGH = 64, 24, 24, 56, 420, 300
"""The frame of a drawing, in its own units."""


@dataclass(frozen=True)
class Point:
    """One size: what it is called, how big it is, and the milliseconds that advice took."""

    name: str
    size: float
    taken: Taken

    @property
    def median(self) -> float:
        """The median time in milliseconds."""
        return float(np.median(self.taken))

    def row(self) -> list[str]:
        """Return the row of the table: median, 95th percentile, greatest."""
        late = float(np.percentile(self.taken, 95))
        return [self.name, str(len(self.taken)), f"{self.median:.0f} / {late:.0f} / {max(self.taken):.0f}"]


def by_size(quick: bool) -> list[Point]:
    """Return the times of first advice, two findings failed, for machines of growing size."""
    points = []
    for faults, checks, openings in SIZES:
        models = [
            machine(seed, faults=faults, checks=checks, openings=openings, moody=MOODY)
            for seed in range(2 if quick else 20)
        ]
        said: list[Said] = [Finding("c0", "bad"), Finding("c5", "bad")]
        name = f"{faults} faults, {checks} checks, {openings} openings"
        points.append(Point(name, faults, [timed(model, said) for model in models]))
    return points


def by_failed(quick: bool) -> list[Point]:
    """Return the times of advice at 80 faults, 80 checks and 20 openings as more findings fail."""
    points = []
    for failed in FAILED:
        said: list[Said] = [Finding(f"c{n}", "bad" if n < failed else "good") for n in range(failed + 5)]
        models = [machine(seed, openings=20, moody=MOODY) for seed in range(2 if quick else 12)]
        name = f"{failed} failed, 5 passed"
        points.append(Point(name, failed, [timed(model, said) for model in models]))
    return points


def memory() -> str:
    """Return the most memory this process has held, in megabytes, where the system says so."""
    if resource is None:
        return "not known"
    return f"{resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024:.0f} MB"


def drawn(title: str, across: str, points: list[Point]) -> str:
    """Return a drawing, as SVG: a line of the median times, with marks up to the 95th percentile."""
    late = [float(np.percentile(point.taken, 95)) for point in points]
    most, widest = 1.15 * max(late), max(point.size for point in points)
    foot = TOP + HIGH

    def at(size: float, time: float) -> tuple[float, float]:
        return LEFT + WIDE * size / widest, foot - HIGH * time / most

    parts = [
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {LEFT + WIDE + RIGHT} {foot + BOTTOM}"'
        f' role="img" font-family="sans-serif" font-size="13"><title>{title}</title>',
        '<rect width="100%" height="100%" fill="#fff"/>',
        f'<path d="M{LEFT} {TOP}V{foot}H{LEFT + WIDE}" fill="none" stroke="#333"/>',
        f'<text x="{LEFT + WIDE / 2}" y="{foot + 44}" text-anchor="middle">{across}</text>',
        f'<text x="14" y="{TOP - 8}">ms</text>',
    ]
    for step in range(5):
        _, y = at(0, most * step / 4)
        parts.append(f'<path d="M{LEFT} {y:.1f}h{WIDE}" stroke="#ddd"/>')
        parts.append(f'<text x="{LEFT - 8}" y="{y + 4:.1f}" text-anchor="end">{most * step / 4:.0f}</text>')
    line = " ".join("{:.1f},{:.1f}".format(*at(point.size, point.median)) for point in points)
    parts.append(f'<polyline points="{line}" fill="none" stroke="#06c" stroke-width="2"/>')
    for point, last in zip(points, late, strict=True):
        (x, y), (_, top) = at(point.size, point.median), at(point.size, last)
        parts.append(f'<path d="M{x:.1f} {y:.1f}V{top:.1f}" stroke="#06c"/>')
        parts.append(f'<circle cx="{x:.1f}" cy="{y:.1f}" r="4" fill="#06c"/>')
        parts.append(f'<text x="{x:.1f}" y="{foot + 20}" text-anchor="middle">{point.size:g}</text>')
    return "\n".join([*parts, "</svg>"]) + "\n"

"""The ribbon chart: how the chance of each leading fault moved with each finding.

Each fault has a lane; its ribbon is as thick as the fault is likely at that moment. Lanes are separate
because the chances of several faults do not add up to one.
"""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise
from typing import Final

from powergood.bench.ribbon_views import Ribbon, RibbonBand
from powergood.units import in_100
from powergood.web.drawings.lines import broken

WIDTH: Final = 400
_LEFT: Final = 6.0
_RIGHT: Final = WIDTH - 6.0
_THICK: Final = 34.0  # thickness of the likeliest moment
_LEAST_SCALE: Final = 0.3  # a chart of small chances is drawn larger, but no larger than this makes it
_LANE: Final = 66.0
_TICK_W: Final = 34.0  # room for one label of the axis; the first and last need half as much again
_HAIR: Final = 1.2  # even what is ruled out keeps a hair's breadth, so that the eye can follow it


@dataclass(frozen=True, slots=True)
class Lane:
    """One fault's ribbon as drawn.

    title : its name in words.
    ends : its chance at the end, in hundreds.
    base : height of the middle of the lane.
    path : outline of the ribbon.
    """

    title: str
    ends: str
    base: float
    path: str


@dataclass(frozen=True, slots=True)
class Tick:
    """One moment on the axis: where it stands and the number of its fact (`start` for the first)."""

    x: float
    label: str


@dataclass(frozen=True, slots=True)
class RibbonChart:
    """The whole chart, 400 units wide: its lanes, ticks and height."""

    lanes: tuple[Lane, ...]
    ticks: tuple[Tick, ...]
    height: float
    width: float = WIDTH


def chart(ribbon: Ribbon) -> RibbonChart | None:
    """Return the chart of a ribbon; none when there are fewer than two moments to compare."""
    if len(ribbon.points) < 2 or not ribbon.bands:
        return None
    xs = _spread(len(ribbon.points))
    most = max(_LEAST_SCALE, *(chance for band in ribbon.bands for chance in band.chances))
    lanes = tuple(_lane(band, xs, place, most) for place, band in enumerate(ribbon.bands))
    labels = [str(point.fact) if point.fact else "start" for point in ribbon.points]
    ticks = _apart(tuple(Tick(x, label) for x, label in zip(xs, labels, strict=True)))
    return RibbonChart(lanes, ticks, len(lanes) * _LANE + 26)


def _apart(ticks: tuple[Tick, ...]) -> tuple[Tick, ...]:
    """Return the first and last tick and those between that have room for their labels."""
    kept = [ticks[0]]
    for tick in ticks[1:-1]:
        room = 1.5 * _TICK_W if len(kept) == 1 else _TICK_W
        if tick.x - kept[-1].x >= room and ticks[-1].x - tick.x >= 1.5 * _TICK_W:
            kept.append(tick)
    return (*kept, ticks[-1])


def _spread(count: int) -> list[float]:
    return [_LEFT + (_RIGHT - _LEFT) * place / (count - 1) for place in range(count)]


def _lane(band: RibbonBand, xs: list[float], place: int, most: float) -> Lane:
    base = place * _LANE + 24 + _THICK / 2
    half = [max(_HAIR, _THICK * chance / most) / 2 for chance in band.chances]
    upper = [(x, base - h) for x, h in zip(xs, half, strict=True)]
    lower = [(x, base + h) for x, h in zip(xs, half, strict=True)][::-1]
    (title,) = broken(band.title, 40, 1)
    path = f"M{_at(upper[0])}{_curve(upper)}L{_at(lower[0])}{_curve(lower)}Z"
    return Lane(title, in_100(band.chances[-1]), base, path)


def _at(point: tuple[float, float]) -> str:
    return f"{point[0]:.1f} {point[1]:.1f}"


def _curve(points: list[tuple[float, float]]) -> str:
    """Return path commands through the points after the first, level at each."""
    parts = []
    for (x0, y0), (x1, y1) in pairwise(points):
        middle = (x0 + x1) / 2
        parts.append(f"C{middle:.1f} {y0:.1f} {middle:.1f} {y1:.1f} {x1:.1f} {y1:.1f}")
    return "".join(parts)

"""The order of openings: what must come off before what, and what is closed with what."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from powergood.knowledge.model import Opening

Openings = Mapping[str, Opening]


def outermost_first(openings: Openings, wanted: Iterable[str]) -> tuple[str, ...]:
    """Return the wanted openings with all that lie before them, each after those it lies behind."""
    order: list[str] = []

    def visit(name: str) -> None:
        if name in order or name not in openings:
            return
        for outer in openings[name].behind:
            visit(outer)
        order.append(name)

    for name in sorted(wanted, key=lambda name: (openings[name].layer if name in openings else 0, name)):
        visit(name)
    return tuple(order)


def still_closed(openings: Openings, wanted: Iterable[str], opened: Iterable[str]) -> tuple[str, ...]:
    """Return the openings on the way to the wanted ones that are closed now, outermost first."""
    done = set(opened)
    return tuple(name for name in outermost_first(openings, wanted) if name not in done)


def closed_with(openings: Openings, closing: Iterable[str], opened: Iterable[str]) -> tuple[str, ...]:
    """Return the open openings that are closed when `closing` are, innermost first.

    What lies behind an opening is closed before it.
    """
    shut = set(closing)
    reached = [name for name in outermost_first(openings, opened) if name in set(opened)]
    for name in reached:
        if shut & set(openings[name].behind):
            shut.add(name)
    return tuple(name for name in reversed(reached) if name in shut)

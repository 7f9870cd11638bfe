"""Find a circle among things that lean on each other, and name it."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

from powergood.knowledge.assembly import Assembly
from powergood.knowledge.problems import Problem, error


def circles(assembly: Assembly) -> Iterator[Problem]:
    """Yield a problem for each circle of functions' needs and each circle of openings."""
    needs = {name: (*f.item.needs, *f.item.either) for name, f in assembly.functions.items()}
    for circle in found_circles(needs):
        where = assembly.functions[circle[0]].where
        way = " needs ".join(f"`{name}`" for name in (*circle, circle[0]))
        field = "needs" if circle[1 % len(circle)] in assembly.functions[circle[0]].item.needs else "either"
        yield error("no-circle", f"these functions need each other in a circle: {way}", where.at(field))
    behind = {name: placed.item.behind for name, placed in assembly.openings.items()}
    for circle in found_circles(behind):
        way = " is behind ".join(f"`{name}`" for name in (*circle, circle[0]))
        where = assembly.openings[circle[0]].where.at("behind")
        yield error("no-circle", f"these openings lie behind each other in a circle: {way}", where)


def found_circles(edges: Mapping[str, Sequence[str]]) -> list[tuple[str, ...]]:
    """Return disjoint circles of a graph, each starting at its first name in alphabetical order."""
    done: set[str] = set()
    circles: list[tuple[str, ...]] = []
    for start in sorted(edges):
        trail: list[str] = []
        walk: list[tuple[str, Iterator[str]]] = []
        if start not in done:
            trail.append(start)
            walk.append((start, iter(edges[start])))
        while walk:
            name, following = walk[-1]
            after = next((other for other in following if other in edges and other not in done), None)
            if after is None:
                done.add(name)
                trail.pop()
                walk.pop()
            elif after in trail:
                circles.append(_turned(trail[trail.index(after) :]))
                done.update(trail[trail.index(after) :])
            else:
                trail.append(after)
                walk.append((after, iter(edges[after])))
    return circles


def _turned(circle: list[str]) -> tuple[str, ...]:
    first = circle.index(min(circle))
    return tuple(circle[first:] + circle[:first])

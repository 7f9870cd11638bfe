"""Where a check can stop: one view of the three kinds of check, yes or no, ladder and grid.

A check goes through its stops in order and answers with the first that fails; what comes later is hidden. A
yes/no check has one stop, a ladder one for each rung, a grid its `before` and then its extents, worst first.
"""

from __future__ import annotations

from dataclasses import dataclass

from powergood.knowledge.model import Check


@dataclass(frozen=True, slots=True)
class Stop:
    """One place where a check can stop: the outcome's name, the function or sign, and what is seen then.

    `path` leads from the check to where the stop's `of` is written.
    """

    outcome: str
    of: str
    seen: str
    path: tuple[str | int, ...]


def stops(check: Check) -> tuple[Stop, ...]:
    """Return where a check can stop, in order; nothing for a check that is about nothing."""
    if check.grid is not None:
        before = [
            Stop(rung.of, rung.of, rung.seen, ("grid", "before", place, "of"))
            for place, rung in enumerate(check.grid.before)
        ]
        extents = [
            Stop(each.extent, each.of, each.seen, ("grid", "extents", place, "of"))
            for place, each in enumerate(check.grid.extents)
        ]
        return (*before, *extents)
    if check.rungs:
        return tuple(
            Stop(rung.of, rung.of, rung.seen, ("rungs", place, "of"))
            for place, rung in enumerate(check.rungs)
        )
    return (Stop("bad", check.of, check.bad, ("of",)),) if check.of else ()


def outcomes(check: Check) -> tuple[str, ...]:
    """Return the names of a check's outcomes: good, and each of its stops'."""
    return ("good", *(stop.outcome for stop in stops(check)))


def words_when_good(check: Check) -> str:
    """Return what is seen when nothing fails."""
    return (check.all_good or check.good) if check.rungs or check.grid else check.good


def outcome_named(check: Check, name: str) -> str:
    """Return the outcome that a name stands for, the name itself where it stands for none.

    An extent may also be called by the function it is about, as a rung of a ladder is, and the least one by
    `bad`: what was written down before a check became a grid stays readable.
    """
    known = outcomes(check)
    if name in known or check.grid is None:
        return name
    if name == "bad":
        return "one"
    return next((extent.extent for extent in check.grid.extents if extent.of == name), name)

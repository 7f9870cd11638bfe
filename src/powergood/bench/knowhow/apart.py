"""Which faults look alike, and which check parts them."""

from __future__ import annotations

from collections.abc import Mapping
from math import log, sqrt
from typing import Final

from powergood.bench.knowhow.reading import Reading
from powergood.bench.knowhow.strength_words import strength_words
from powergood.bench.knowhow.views import NeighbourLine
from powergood.bench.wording import without_copy
from powergood.diagnosis.apart import PARTS_FROM

MOST_NEIGHBOURS: Final = 5
ALIKE_FROM: Final = 0.4
"""Judgement: how alike what is seen must be for a fault to be called a neighbour."""
AS_GOOD: Final = 0.1
"""Judgement: among checks that part two faults nearly as well, the quickest is named."""


def telling(about: Reading, fault: str) -> dict[str, float]:
    """Return for each check that sees a fault how much its likeliest outcome then speaks for that fault.

    It is the chance of that outcome times the log of how much commoner it is than over all faults.
    """
    found = {}
    for check, shown in about.shown[fault].items():
        outcome, strength = likeliest(shown)
        if strength > 0:
            usual = usual_chance(about, check, outcome)
            found[check] = strength * max(0.0, log(strength / usual)) if usual < strength else 0.0
    return found


def likeliest(shown: Mapping[str, float]) -> tuple[str, float]:
    """Return the outcome a fault shows most often, with its chance."""
    return max(shown.items(), key=lambda pair: pair[1])


def usual_chance(about: Reading, check: str, outcome: str) -> float:
    """Return about how often an outcome is met before anything is known, false alarms counted."""
    none = 1.0 - about.known.words.checks[check].false_alarm.value
    for fault, shown in about.seen_by(check).items():
        none *= 1.0 - about.chances.get(fault, 0.0) * shown.get(outcome, 0.0)
    return max(1.0 - none, 1e-6)


def neighbours(about: Reading, fault: str) -> tuple[NeighbourLine, ...]:
    """Return the faults that look most like this one, each with the check that parts the two."""
    alike = {
        other: _likeness(about.shown[fault], shown)
        for other, shown in about.shown.items()
        if other != fault and about.chances.get(other)
    }
    near = sorted(alike, key=lambda name: (-round(alike[name], 2), -about.chances[name], name))
    unparted = _unparted(about, fault)
    looks = [name for name in near[:MOST_NEIGHBOURS] if alike[name] >= ALIKE_FROM]
    lines = (
        NeighbourLine(name, about.line(name).title, fix=unparted[name])
        if name in unparted
        else _parted(about, fault, name)
        for name in dict.fromkeys([*unparted, *looks])
    )
    return tuple(lines)


def _unparted(about: Reading, fault: str) -> dict[str, str]:
    """Return the faults that no check parts from this one, each with what cures both; empty for nothing."""
    found = {}
    for pair in (*about.parting.alike, *about.parting.same_fix):
        names = [without_copy(name) for name in (pair.one, pair.other)]
        if fault in names:
            names.remove(fault)
            found[names[0]] = about.known.words.step(pair.fix) if pair.fix else ""
    return found


def _likeness(one: Mapping[str, Mapping[str, float]], other: Mapping[str, Mapping[str, float]]) -> float:
    """Return the cosine between what two faults show, over all outcomes of all checks."""
    shared = sum(
        strength * other[check].get(outcome, 0.0)
        for check, shown in one.items()
        if check in other
        for outcome, strength in shown.items()
    )
    sizes = [sum(s * s for shown in each.values() for s in shown.values()) for each in (one, other)]
    return shared / sqrt(sizes[0] * sizes[1]) if shared else 0.0


def _parted(about: Reading, fault: str, other: str) -> NeighbourLine:
    title = about.line(other).title
    here, there = about.shown[fault], about.shown[other]
    gaps = {
        check: _gap(here.get(check, {}), there.get(check, {}))
        for check in {**here, **there}
        if not _has_copies_only(about, check)
    }
    best = max(gaps.values(), default=0.0)
    if best < PARTS_FROM:
        return NeighbourLine(other, title)
    good = [check for check, gap in gaps.items() if gap >= best - AS_GOOD]
    check = min(good, key=lambda name: (_minutes(about, name), name))
    return NeighbourLine(
        other,
        title,
        check,
        about.known.words.step(check),
        _tends_to(about, check, here.get(check, {})),
        _tends_to(about, check, there.get(check, {})),
    )


def _has_copies_only(about: Reading, check: str) -> bool:
    """Tell whether a check is of one copy, so that it says which copy and not which fault."""
    return bool(about.known.words.checks[check].each_copy_of)


def _gap(here: Mapping[str, float], there: Mapping[str, float]) -> float:
    """Return half the summed difference between two outcomes' chances, the good one included."""
    names = {*here, *there}
    rest = abs(sum(here.values()) - sum(there.values()))
    return 0.5 * (sum(abs(here.get(name, 0.0) - there.get(name, 0.0)) for name in names) + rest)


def _minutes(about: Reading, check: str) -> float:
    known = about.known.words.checks[check]
    return known.minutes.value + sum(each.minutes.value + each.refit.value for each in about.way(known.open))


def _tends_to(about: Reading, check: str, shown: Mapping[str, float]) -> str:
    """Return what a fault most often shows in a check, and how often."""
    good = 1.0 - sum(shown.values())
    outcome, strength = likeliest({**shown, "good": good})
    return f"{about.known.words.outcome(check, outcome)}, {strength_words(strength)}"

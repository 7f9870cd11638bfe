"""Readings of a stage of bring-up held against its limits, with the meter's own error counted.

The rule: a reading is *inside* when it lies within the limits by more than the meter's error, *outside*
when it lies beyond a limit by more than that, and *too near to tell* in between. What a stage's check then
says follows from the readings alone.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import Literal

from powergood.knowledge.model import Limit, MachineModel, Stage

Place = Literal["inside", "below", "above", "nothing", "too near to tell"]

USUAL_ERROR: Mapping[str, tuple[float, int]] = {"V": (0.005, 2), "A": (0.015, 3), "Ω": (0.01, 2)}
"""Share of the reading, and counts of the last digit: a hand-held meter of 3 1/2 digits on its direct-current
and resistance ranges (common practice, no source; the meter's own booklet says better)."""

NOTHING = 0.1
"""Judgement: under this share of the nearer limit a rail is not low but absent."""

LABEL = "label"
"""What follows the name of a reading, for the figure on the label that it is held against."""

OTHER_ERROR = (0.02, 2)
"""The same for any other unit (judgement)."""

_STATED = re.compile(r"(?P<share>[0-9]+(?:[.,][0-9]+)?)\s*%(?:\s*\+\s*(?P<counts>[0-9]{1,3}))?")


@dataclass(frozen=True, slots=True)
class Placed:
    """Where a reading lies; `error` is the meter's, in the reading's unit."""

    place: Place
    error: float


def stages_of(model: MachineModel) -> tuple[Stage, ...]:
    """Return the stages of bring-up of a machine, in the order that its family gives them."""
    known = {stage.id: stage for stage in model.stages}
    return tuple(known[name] for name in model.bring_up if name in known)


def quantity_of(stage: Stage, limit: Limit) -> str:
    """Return the name that a reading of a stage goes by in the record: `rails.five`."""
    return f"{stage.id}.{limit.id}"


def label_of(stage: Stage, limit: Limit) -> str:
    """Return the name that the label's figure goes by, which a limit in per cent is of."""
    return f"{quantity_of(stage, limit)}.{LABEL}"


def meter_error(value: float, unit: str, last_digit: float, instrument: str = "") -> float:
    """Return the error of a meter, in the reading's unit.

    `last_digit` is what one count of the last digit shown is worth. An instrument that states its error, as
    in "0.8 % + 1", is taken at its word; else the usual error of a hand-held meter counts.
    """
    share, counts = USUAL_ERROR.get(unit, OTHER_ERROR)
    if stated := _STATED.search(instrument):
        share = float(stated["share"].replace(",", ".")) / 100
        counts = int(stated["counts"] or 0)
    return abs(value) * share + counts * last_digit


def placed(limit: Limit, value: float, error: float) -> Placed:
    """Return where a reading lies between its limits, the meter's error counted."""
    nearer = min((abs(claim.value) for claim in (limit.low, limit.high) if claim), default=0.0)
    if limit.nothing and abs(value) + error < nearer * NOTHING:
        return Placed("nothing", error)
    low = limit.low.value if limit.low else -float("inf")
    high = limit.high.value if limit.high else float("inf")
    if value + error < low:
        return Placed("below", error)
    if value - error > high:
        return Placed("above", error)
    inside = value - error >= low and value + error <= high
    return Placed("inside" if inside else "too near to tell", error)


def check_outcome(stage: Stage, places: Mapping[str, Place], order: Sequence[str]) -> str:
    """Return the outcome of the stage's check that follows from where its readings lie, by limit.

    Readings outside decide: of the outcomes they stand for, the first in `order`, the check's own.
    `good` needs every reading inside that is not optional; too near to tell is no verdict; empty says that
    nothing can be said yet.
    """
    if not stage.check or not places:
        return ""
    dead = all(place == "nothing" for place in places.values())
    limits = {limit.id: limit for limit in stage.limits}
    breaches = {_meant(limits[name], place, dead) for name, place in places.items() if name in limits} - {""}
    if breaches:
        return min(breaches, key=lambda name: order.index(name) if name in order else len(order))
    if outside(places.values()):
        return ""
    if any(not limit.optional and limit.id not in places for limit in stage.limits):
        return ""
    return "no verdict" if "too near to tell" in places.values() else "good"


def _meant(limit: Limit, place: Place, dead: bool) -> str:
    """Return the outcome that a reading stands for; empty for one that is not outside."""
    if place == "nothing":
        absent = limit.below if limit.low and limit.low.value > 0 else limit.above
        return limit.nothing if dead else absent
    return {"below": limit.below, "above": limit.above}.get(place, "")


def outside(places: Iterable[Place]) -> bool:
    """Tell whether any reading lies beyond its limits."""
    return any(place in ("below", "above", "nothing") for place in places)

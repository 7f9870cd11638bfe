"""First power in stages: what to read, what it must lie between by which edition, and when to stop."""

from __future__ import annotations

from dataclasses import dataclass

from powergood.knowledge.claims import Claim
from powergood.knowledge.steps import Power


@dataclass(frozen=True, slots=True)
class Limit:
    """What a reading in a stage of bring-up must lie between, limits included.

    `unit` is a unit without prefix (V, A, Ω). One of `low` and `high` may be missing. `edition` names the
    standard and its edition, and whether its text was read or is recalled. `below` and `above` are the
    outcomes of the stage's check that a reading outside stands for, `nothing` the one when every reading
    of the stage is nothing to speak of (under a tenth of its limit). An `optional` reading is of a rail that
    some machines lack. `healthy` is the name of the reading
    in a model sheet that this one is compared with. `label`, on limits in per cent, is the unit of what they
    are per cent of: the figure on the label, which the person gives; a reading in that unit is held against
    it.
    """

    id: str
    title: str
    unit: str
    low: Claim | None = None
    high: Claim | None = None
    edition: str = ""
    below: str = ""
    above: str = ""
    nothing: str = ""
    healthy: str = ""
    optional: bool = False
    label: str = ""


@dataclass(frozen=True, slots=True)
class OwnLimit:
    """The limits of one reading of a stage of bring-up, in place of those it has by the stage.

    `id` is the stage and the reading, as the record names them: `supply-alone.twelve`. `low` and `high` take
    the place of both. `edition` says what they come from, and whether its text was read or is recalled.
    """

    id: str
    low: Claim | None = None
    high: Claim | None = None
    edition: str = ""


@dataclass(frozen=True, slots=True)
class Edition:
    """An edition of a standard that machines of a family may follow, with the limits that it sets.

    `told_by` says how a person tells it by looking. `limits` are in place of those of the family's stages;
    `lacks` are the readings, named as there, of rails that the edition does not have.
    """

    id: str
    title: str
    told_by: str = ""
    limits: tuple[OwnLimit, ...] = ()
    lacks: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class StopIf:
    """Something to stop a stage at, and what to do then.

    `unmeets` are gates that are met no more once this was seen. `check` and `outcome` are the finding that
    it stands for, where a check looks for the same.
    """

    id: str
    seen: str
    then: str
    unmeets: tuple[str, ...] = ()
    check: str = ""
    outcome: str = ""


@dataclass(frozen=True, slots=True)
class Stage:
    """One stage of bring-up: what to do, with what fitted, what to look at, and what to stop at.

    `out` parts are unplugged or out, `fitted` parts are in, `open` are the openings that are open. `check`
    is the check whose outcome follows from the readings within `limits`. `meets` are the gates that
    this stage proves when it is done. `both_sides` tells a practice that people disagree about, with the
    safe default first. `when_near` says what a reading too near its limit to tell can mean, and what to do.
    """

    id: str
    title: str
    do: str
    power: Power
    minutes: Claim
    because: str = ""
    fitted: tuple[str, ...] = ()
    out: tuple[str, ...] = ()
    open: tuple[str, ...] = ()
    limits: tuple[Limit, ...] = ()
    check: str = ""
    meets: tuple[str, ...] = ()
    stop_if: tuple[StopIf, ...] = ()
    tools: tuple[str, ...] = ()
    cautions: tuple[str, ...] = ()
    both_sides: str = ""
    when_near: str = ""

"""What a machine is made of: parts, what they do, the signs they give, and how they fail."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from powergood.knowledge.claims import Claim


@dataclass(frozen=True, slots=True)
class Part:
    """A replaceable thing in a machine. `opening` is the opening it lies behind; empty means outside."""

    id: str
    title: str
    area: str
    opening: str = ""
    copies: int = 1
    optional: bool = False


@dataclass(frozen=True, slots=True)
class Function:
    """Something the machine should do; it works when everything it needs works.

    `needs` are other functions, all of which must work. `either` are alternatives: the first whose
    parts (`of`) are all fitted is the one that counts. `of` are the parts this function rests on.
    """

    id: str
    title: str
    area: str
    needs: tuple[str, ...] = ()
    either: tuple[str, ...] = ()
    of: tuple[str, ...] = ()
    wanted: bool = False


@dataclass(frozen=True, slots=True)
class Sign:
    """Something a person may notice that speaks for a fault: a smell, a crust, a click."""

    id: str
    title: str
    area: str


@dataclass(frozen=True, slots=True)
class Fault:
    """One way a part fails, named `part.mode`.

    `frequency` is a relative weight (8 very common, 4 common, 2 occasional, 0.5 rare), scaled over the
    family to its expected number of faults; `chance` is given instead where a real probability is known.
    `breaks` gives, for each function, the chance that this fault alone stops it; `signs` the chance that
    this fault shows that sign. `shows` makes it intermittent: the chance that it acts in one power-up
    (its `breaks` are then certain while it acts). `makes` names faults that this one brings with it, with
    the chance (a small joint cluster); a fault that shares a cause with another but is not joined says
    why in `independent`. A fault that no check can see says why
    in `unseen`. `sets_apart` and `danger` are sentences for people.
    """

    id: str
    title: str
    breaks: Mapping[str, Claim] = field(default_factory=dict)
    signs: Mapping[str, Claim] = field(default_factory=dict)
    frequency: Claim | None = None
    chance: Claim | None = None
    shows: Claim | None = None
    makes: Mapping[str, Claim] = field(default_factory=dict)
    sets_apart: str = ""
    independent: str = ""
    unseen: str = ""
    danger: str = ""

"""What the section drawing through the machine is drawn from."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from powergood.bench.step_views import Leaning

PartStanding = Literal["suspect", "cleared", "proven", "unknown"]


@dataclass(frozen=True, slots=True)
class CutawayPart:
    """One part as a tile of the cutaway.

    slot : the slot it sits in.
    title : its name in words.
    standing : suspect, cleared, proven or unknown.
    strength : for a suspect, how strongly, 0 to 1: the chance of its likeliest fault.
    fitted : false when it is out.
    instance : the part instance in the slot; empty when it is out.
    goal : true when the next step is about it.
    faults : its likeliest faults with their chances, at most three.
    """

    slot: str
    title: str
    standing: PartStanding
    strength: float = 0.0
    fitted: bool = True
    instance: str = ""
    goal: bool = False
    faults: tuple[Leaning, ...] = ()


@dataclass(frozen=True, slots=True)
class CutawayLayer:
    """One layer of the cutaway: an opening and the parts that lie behind it.

    opening : id of the opening; empty for the outside of the machine.
    title : its name in words.
    layer : its depth; 0 is outermost.
    open : true when it is open, and drawn lifted; the outside is always open.
    behind : titles of the openings that must be open first.
    minutes : hands-on minutes to open it.
    fasteners : its fasteners in words.
    on_route : true when the way to the next step goes through it.
    parts : its parts as tiles.
    """

    opening: str
    title: str
    layer: int
    open: bool
    behind: tuple[str, ...] = ()
    minutes: float = 0.0
    fasteners: tuple[str, ...] = ()
    on_route: bool = False
    parts: tuple[CutawayPart, ...] = ()


@dataclass(frozen=True, slots=True)
class Cutaway:
    """The section drawing through the machine.

    layers : layers with their parts, outermost first.
    route : ids of the openings still closed on the way to the next step, outermost first.
    goal : slots that the next step is about.
    depth : how many layers are open now.
    words : one sentence: how deep you are and how far it is to the next step.
    """

    layers: tuple[CutawayLayer, ...]
    route: tuple[str, ...] = ()
    goal: tuple[str, ...] = ()
    depth: int = 0
    words: str = ""

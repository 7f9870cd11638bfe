"""Ways into a machine, and what stands before a step: openings, gates and cautions."""

from __future__ import annotations

from dataclasses import dataclass

from powergood.knowledge.claims import Claim


@dataclass(frozen=True, slots=True)
class Opening:
    """One layer of taking apart. `behind` are the openings that must be open first.

    `harm` is the chance of breaking something while opening it. `fasteners` are in plain words.
    `layer` orders the drawing: 0 is outermost.
    """

    id: str
    title: str
    minutes: Claim
    refit: Claim
    behind: tuple[str, ...] = ()
    harm: Claim | None = None
    fasteners: tuple[str, ...] = ()
    cautions: tuple[str, ...] = ()
    layer: int = 0


@dataclass(frozen=True, slots=True)
class StandsFor:
    """A finding that the tick of a gate stands for: what was looked at to tick it, and how it came out.

    `box` are the words of a tick box of its own, for a gate that may also be met in another way ("what leaked
    is out"); without it the gate's own tick says the finding.
    """

    check: str
    outcome: str
    box: str = ""


@dataclass(frozen=True, slots=True)
class Gate:
    """A safety condition that must be met before a step may be shown; never traded for minutes.

    `holds` says what it holds back: `power` (every step that applies power), `opening` (every opening),
    or `step:ID` for one step or opening. `but` are the checks and stages with power that a gate which holds
    `power` leaves free, since they are its proof or put power on something else. `ask` is what a person
    ticks; `because` why. A gate with `otherwise` may be answered with a no: the steps it holds are then
    left out of all plans, and `otherwise` says what to do instead. `stands_for` are the findings that its
    tick stands for where it is the same look: they count as seen while the tick stands, and meet no gate.
    """

    id: str
    title: str
    ask: str
    because: str
    holds: tuple[str, ...]
    cautions: tuple[str, ...] = ()
    but: tuple[str, ...] = ()
    otherwise: str = ""
    stands_for: tuple[StandsFor, ...] = ()


@dataclass(frozen=True, slots=True)
class Caution:
    """Words shown with a step that can hurt someone or something.

    `danger` gets the hatched edge; `deadly` marks a danger that can kill a person or set fire, which is shown
    before all others and never folded. The words begin with what to do: on a small screen what stands before
    their first colon or full stop stands alone until the rest is asked for.
    """

    id: str
    title: str
    words: str
    danger: bool = False
    deadly: bool = False
    source: str = "common practice"

"""What is shown of work that is written down though the advice does not offer it."""

from __future__ import annotations

from dataclasses import dataclass

from powergood.bench.step_views import StepCard


@dataclass(frozen=True, slots=True)
class Work:
    """A look or a mend that the kind of machine knows.

    step : its id, with the number of the copy where there are several.
    ask : its sentence.
    because : the answer or complaint that the words looked for fit, where it is not the sentence.
    """

    step: str
    ask: str
    because: str = ""


@dataclass(frozen=True, slots=True)
class OtherWork:
    """All looks and mends of a kind of machine, or those that words find, and the one chosen.

    find : the words looked for; empty for all.
    looks : looks, in the order of the pack; those found, best first.
    mends : mends and exchanges, likewise.
    card : the card of the one chosen; none while none is.
    waits : titles of the safety conditions that the one chosen waits for.
    """

    find: str
    looks: tuple[Work, ...]
    mends: tuple[Work, ...]
    card: StepCard | None = None
    waits: tuple[str, ...] = ()

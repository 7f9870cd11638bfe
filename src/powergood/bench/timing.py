"""How long it took: minutes to choose from with one tap, and which steps the minutes cover."""

from __future__ import annotations

from collections.abc import Sequence

from powergood.bench.step_views import StepAnswer
from powergood.bench.wording import Wording, split_step
from powergood.record.model import (
    Body,
    Finding,
    FixDone,
    Opened,
    PartFrom,
    Refitted,
    TookMinutes,
)

FRIENDLY = (1, 2, 3, 5, 8, 10, 15, 20, 30, 45, 60, 90, 120, 180, 240, 360, 480)
"""Minutes as people say them."""

LEAST_ASKED = 2.0
"""Judgement: nobody should be asked how long a look of a minute took."""

SHARES = (0.5, 1.0, 1.5, 2.0, 3.0)
"""What is offered, as shares of the planned minutes; judgement."""


def choices(planned: float) -> tuple[int, ...]:
    """Return minutes to choose from, about half to three times the planned ones; none for a quick look."""
    if planned < LEAST_ASKED:
        return ()
    near = [min(FRIENDLY, key=lambda each: (abs(each - share * planned), each)) for share in SHARES]
    return tuple(dict.fromkeys(near))


def said_with(given: StepAnswer, body: Body, implied: Sequence[Body], words: Wording) -> tuple[Body, ...]:
    """Return the facts that go with an answered step: the minutes it took, where its part came from."""
    facts: list[Body] = []
    covers = tuple(name for each in (body, *implied) if (name := _covered(each, words)))
    if given.took > 0 and covers:
        facts.append(TookMinutes(given.took, covers))
    if given.source.strip() and isinstance(body, FixDone) and body.instance:
        facts.append(PartFrom(body.instance, given.source.strip()))
    return tuple(facts)


def _covered(body: Body, words: Wording) -> str:
    """Return the name of a step that took time; empty for what did not."""
    match body:
        case Finding(check=name, told=False) if name in words.checks:
            return f"check:{split_step(name)[0]}"
        case FixDone(fix=name):
            return f"fix:{name}"
        case Opened(opening=name):
            return f"opening:{name}"
        case Refitted(opening=name):
            return f"refit:{name}"
        case _:
            return ""

"""How belief moved: the chances after each thing found or done, for the faults that lead at the end."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from powergood.bench.ribbon_views import Ribbon, RibbonBand, RibbonPoint
from powergood.bench.sentences import fact_sentence
from powergood.bench.wording import Wording
from powergood.diagnosis import CompiledModel, believe
from powergood.record.model import Complained, Fact, Finding, FixDone, PartIn, PartOut
from powergood.record.timeline import Timeline

MOST_BANDS = 5
MOST_POINTS = 40
"""How many moments are drawn at most; of a longer job the latest."""

Chances = Mapping[str, float]


def moves_belief(fact: Fact) -> bool:
    """Tell whether a fact can move belief at all: something found, done, or moved in or out."""
    return isinstance(fact.body, Complained | Finding | FixDone | PartIn | PartOut)


def moments(line: Timeline) -> tuple[tuple[Fact | None, Timeline], ...]:
    """Return the timeline before anything was known and after each fact that can move belief, the latest."""
    places = [place for place, fact in enumerate(line.facts, start=1) if moves_belief(fact)]
    later = [(line.facts[place - 1], Timeline(line.facts[:place])) for place in places[-MOST_POINTS:]]
    return ((None, Timeline()), *later)


def chances_now(model: CompiledModel, line: Timeline) -> dict[str, float]:
    """Return the chance of each fault in the parts that are fitted after the facts of `line`."""
    return {model.faults[number].id: chance for number, chance in believe(model, line).now().items()}


def ribbon(beliefs: Sequence[tuple[Fact | None, Chances]], model: CompiledModel, words: Wording) -> Ribbon:
    """Return the chart's points and bands from the belief at each moment."""
    points = tuple(_point(fact, words) for fact, _ in beliefs)
    last = beliefs[-1][1]
    leading = sorted(last, key=lambda name: (-last[name], name))[:MOST_BANDS]
    titles = {fault.id: fault.title for fault in model.faults}
    bands = tuple(
        RibbonBand(name, titles.get(name) or words.fault(name), tuple(at.get(name, 0.0) for _, at in beliefs))
        for name in leading
    )
    return Ribbon(points, bands)


def _point(fact: Fact | None, words: Wording) -> RibbonPoint:
    if fact is None:
        return RibbonPoint(0, "Before anything is known")
    return RibbonPoint(fact.number, fact_sentence(fact, words))

"""Numbers with where they come from: the value in words, its source, its weight, how your jobs moved it."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Mapping
from typing import Final

from powergood.bench.knowhow.reading import Reading
from powergood.bench.knowhow.views import MovedLine, NumberLine, SourceLine
from powergood.estimate import LearnedNumber, number_id
from powergood.knowledge.model import Claim, MachineModel
from powergood.units import in_100_finely

Learned = Mapping[str, LearnedNumber]
"""What finished jobs made of numbers, by number id; may be empty."""

OWN_WORDS: Final = {
    "judgement": "Judgement of whoever wrote it down",
    "common practice": "Common practice; no single source",
}


def source_line(model: MachineModel, key: str) -> SourceLine:
    """Return a source by its key; one that the pack does not list stands for itself."""
    if key in OWN_WORDS:
        return SourceLine(key, OWN_WORDS[key])
    for source in model.sources:
        if source.id == key:
            return SourceLine(key, source.title, source.address, source.licence, source.read)
    return SourceLine(key, key)


def sources_of(
    model: MachineModel, lines: Iterable[NumberLine], texts: Iterable[str]
) -> tuple[SourceLine, ...]:
    """Return every source that numbers rest on or texts name by its key, in the pack's order."""
    named = {line.source.source for line in lines}
    named |= {word for text in texts for word in re.findall(r"[A-Z]+[0-9]+", text)}
    return tuple(source_line(model, each.id) for each in model.sources if each.id in named)


def moved(learned: Learned, number: str) -> MovedLine | None:
    """Return how jobs moved a number; none when they did not."""
    found = learned.get(number)
    if found is None:
        return None
    return MovedLine(found.learned, found.low, found.high, found.jobs, found.cases, found.set_aside)


class Numbers:
    """Makes the lines of a page's numbers, one claim at a time; a missing claim makes none."""

    def __init__(self, about: Reading, learned: Learned) -> None:
        self._about = about
        self._learned = learned

    def chance(self, kind: str, of: str, title: str, claim: Claim | None) -> Iterator[NumberLine]:
        """Yield the line of a chance that jobs can move: a false alarm, a miss."""
        if claim is not None:
            number = number_id(kind, self._about.family, of)
            yield self._line(title, claim, in_100_finely(claim.value, 3), number, weighed=True)

    def share(self, title: str, claim: Claim | None) -> Iterator[NumberLine]:
        """Yield the line of a chance."""
        if claim is not None:
            yield self._line(title, claim, in_100_finely(claim.value, 3), weighed=True)

    def amount(self, title: str, claim: Claim | None, unit: str) -> Iterator[NumberLine]:
        """Yield the line of an amount with its unit."""
        if claim is not None:
            yield self._line(title, claim, f"{claim.value:g} {unit}".strip())

    def frequency(self, fault: str) -> Iterator[NumberLine]:
        """Yield the line of how likely a fault is before anything is known."""
        given = self._about.faults[fault]
        claim = given.chance or given.frequency
        if claim is not None:
            value = in_100_finely(self._about.chances.get(fault, 0.0), 3)
            if given.chance is None:
                value += f"; relative weight {claim.value:g}, scaled to the expected number of faults"
            number = number_id("fault", self._about.family, fault)
            yield self._line("How often it is there", claim, value, number, weighed=True)

    def _line(
        self, title: str, claim: Claim, value: str, number: str = "", *, weighed: bool = False
    ) -> NumberLine:
        weight = (claim.weight or self._about.known.model.weight) if weighed else 0.0
        source = source_line(self._about.known.model, claim.source)
        return NumberLine(number, title, value, source, weight, moved(self._learned, number))

"""Learned numbers as one machine's compilation asks for them: by fault, check, kind of work, source."""

from __future__ import annotations

from dataclasses import dataclass

from powergood.estimate import Learned, number_id

NEW_PART_DUD = 0.05
"""Judgement: chance that a new or spare part is itself faulty, where the fix does not say."""

GREATEST = 0.9
"""Judgement: no chance is taken as greater before anything is known of this very machine."""


@dataclass(frozen=True, slots=True)
class Taught:
    """What closed jobs moved, for machines of one `family` and one person, `who`."""

    learned: Learned
    family: str
    who: str = ""

    def fault(self, fault: str, chance: float) -> float:
        """Return the chance of a fault with its odds moved as its learned number moved."""
        return self._chance(number_id("fault", self.family, fault), chance)

    def alarm(self, check: str, chance: float) -> float:
        """Return the chance of a false alarm of a check, moved likewise."""
        return self._chance(number_id("false-alarm", self.family, check), chance)

    def dud(self, chance: float) -> float:
        """Return the chance that the next part is a dud, moved as all sources of parts together were."""
        return self._chance(number_id("dud"), chance)

    def duds(self) -> dict[str, float]:
        """Return the chance of a dud by where a part came from, for sources that jobs told something of."""
        before = number_id("dud", "")
        known = (each for name, each in self.learned.numbers.items() if name.startswith(before))
        return {each.number.removeprefix(before): each.in_use for each in known}

    def pace(self, kind: str) -> float:
        """Return the factor on the pack's minutes for a kind of work."""
        return self.learned.value(number_id("pace", kind, self.who), 1.0)

    def _chance(self, number: str, chance: float) -> float:
        return min(self.learned.moved(number, chance), GREATEST) if number in self.learned.numbers else chance

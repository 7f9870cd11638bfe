"""What things cost, in minutes of your time: steps, openings, refitting, proving and stopping."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from math import inf

from powergood.diagnosis.compiled import CheckSpec, CompiledModel, FixSpec, Price
from powergood.diagnosis.model import Preferences

REFIT_PART = 2.0
"""Judgement: minutes to put a part back in its place for a check that needs it fitted."""


@dataclass(frozen=True, slots=True)
class Worth:
    """Prices of everything for one machine and one person.

    `wanted` are the base indexes of the functions wanted, `closures` what each of them rests on.
    `provers` maps a check to the wanted functions that its passing shows to work as they stay fitted.
    """

    model: CompiledModel
    preferences: Preferences
    wanted: tuple[int, ...]
    closures: tuple[frozenset[int], ...]
    provers: dict[str, frozenset[int]]
    _opening: dict[frozenset[str], float] = field(default_factory=dict)
    _proof: dict[tuple[frozenset[int], frozenset[str]], float] = field(default_factory=dict)
    _step: dict[tuple[str, frozenset[str]], float] = field(default_factory=dict)
    _refit: dict[frozenset[str], float] = field(default_factory=dict)
    _test: dict[frozenset[str], float] = field(default_factory=dict)

    @classmethod
    def of(
        cls,
        model: CompiledModel,
        preferences: Preferences,
        wanted: Sequence[str],
        missing: frozenset[str],
    ) -> Worth:
        """Return the prices for `wanted`, with the slots in `missing` empty."""
        bases = tuple(model.base_index[name] for name in wanted)
        closures = tuple(model.closure(base, missing) for base in bases)
        provers = {}
        for check in model.checks.values():
            if check.masked or check.swapped or check.id in preferences.cannot:
                continue
            shown: frozenset[int] = frozenset()
            for rung in check.rungs:
                shown |= model.closure(rung.base, missing) | ({rung.whole} - {-1})
            proven = frozenset(n for n, closure in enumerate(closures) if closure <= shown)
            if proven:
                provers[check.id] = proven
        return cls(model, preferences, bases, closures, provers)

    def price(self, price: Price) -> float:
        """Return what a step costs by itself."""
        wants = self.preferences
        return (
            price.minutes
            + price.elapsed * wants.wait_hour / wants.hour
            + wants.minutes(price.money)
            + price.harm * wants.minutes(wants.worth)
        )

    def to_open(self, openings: frozenset[str], opened: frozenset[str]) -> frozenset[str]:
        """Return which openings must still be opened to have `openings` open."""
        return self.model.whole_opening(openings) - opened

    def opening(self, openings: Iterable[str]) -> float:
        """Return the cost of opening `openings` (all of them, refitting not counted)."""
        key = frozenset(openings)
        if key not in self._opening:
            specs = [self.model.openings[name] for name in key]
            harm = sum(spec.harm for spec in specs) * self.preferences.minutes(self.preferences.worth)
            self._opening[key] = sum(spec.minutes for spec in specs) + harm
        return self._opening[key]

    def refit(self, opened: Iterable[str]) -> float:
        """Return the minutes to close everything that is open."""
        key = frozenset(opened)
        if key not in self._refit:
            self._refit[key] = sum(self.model.openings[name].refit for name in key)
        return self._refit[key]

    def stop(self, opened: frozenset[str]) -> float:
        """Return the cost of stopping: what the working machine is worth, and refitting."""
        return self.preferences.minutes(self.preferences.worth) + self.refit(opened)

    def proof(self, unproven: frozenset[int], opened: frozenset[str]) -> float:
        """Return the cost of checks that together prove `unproven`, chosen greedily by price a function.

        One start is reckoned for all of them, since what runs stays on while it is only looked at.
        What no check can prove costs nothing here: it is shown as unknown, and a person decides.
        """
        key = (unproven, opened)
        if key not in self._proof:
            left, total, started = set(unproven), 0.0, False
            while left:
                best = min(
                    (
                        (
                            self._to_prove(self.model.checks[name], opened) / len(shown & left),
                            name,
                        )
                        for name, shown in self.provers.items()
                        if shown & left
                    ),
                    default=None,
                )
                if best is None:
                    break
                shown = self.provers[best[1]] & left
                total += best[0] * len(shown)
                left -= shown
                started = started or self.model.checks[best[1]].power != "off"
            self._proof[key] = total + (self.preferences.start if started else 0.0)
        return self._proof[key]

    def _to_prove(self, check: CheckSpec, opened: frozenset[str]) -> float:
        """Return what proving by `check` costs in the end: itself, opening for it and closing that again.

        Closing what is open already is not counted: every plan closes that once, whatever it proves.
        """
        to_open = self.to_open(check.open, opened)
        return self.own_cost(check) + self.opening(to_open) + self.refit(to_open)

    def test(self, opened: frozenset[str]) -> float:
        """Return the cost of the cheapest check that shows something wanted to work; 0 when there is none.

        It follows something done with the machine off, so it costs a start.
        """
        if opened not in self._test:
            checks = (self.model.checks[name] for name in self.provers)
            costs = (self.check_cost(each, opened, start=each.power != "off") for each in checks)
            self._test[opened] = min(costs, default=0.0)
        return self._test[opened]

    def own_cost(self, check: CheckSpec) -> float:
        """Return what a check and noting it cost; what the power-on pad takes is noted for nothing."""
        return self.price(check.price) + (0.0 if check.on_pad else self.preferences.noting)

    def check_cost(self, check: CheckSpec, opened: frozenset[str], *, start: bool) -> float:
        """Return what a check costs now: itself and noting it, what must be opened and closed for it.

        With `start` one more start is paid.
        """
        key = (check.id, opened)
        if key not in self._step:
            self._step[key] = (
                self.own_cost(check)
                + self.opening(self.to_open(check.open, opened))
                + self.refit(check.closed & opened)
            )
        return self._step[key] + (self.preferences.start if start else 0.0)

    def fix_cost(self, fix: FixSpec, opened: frozenset[str]) -> float:
        """Return what a fix costs now, openings included."""
        key = (fix.id, opened)
        if key not in self._step:
            self._step[key] = self.price(fix.price) + self.opening(self.to_open(fix.open, opened))
        return self._step[key]

    def mended_by(self, opened: frozenset[str]) -> dict[int, str]:
        """Return for each fault the fix of least cost for its chance to cure, of those done here."""
        found: dict[int, tuple[float, str]] = {}
        for fix in self.model.fixes.values():
            if fix.id in self.preferences.cannot or fix.fix in self.preferences.cannot:
                continue
            cost = self.fix_cost(fix, opened)
            for fault, chance in fix.cures.items():
                cured = chance * (1.0 - fix.dud)
                if cured > 0:
                    found[fault] = min(found.get(fault, (inf, "")), (cost / cured, fix.id))
        return {fault: fix for fault, (_, fix) in found.items()}

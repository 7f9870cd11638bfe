"""A cost that no plan can average below: faults are priced so that nothing is charged above its cost.

Each fault f gets a price y_f made of a share of the fixes that cure it and shares of the openings that
every fix of it needs. Shares of one fix add up to at most its cost, shares of one opening to at most its
cost (opened and refitted), and all prices together to at most the cost of stopping. Whatever a plan
does about a set of faults that must go, it then pays at least the sum of their prices: it buys for each
a fix and that fix's openings, or it stops. A plan may end with an intermittent fault still there if its
chance of breaking what was wanted is under the threshold t, so such a fault f counts with (chance − t) only.
(A persistent one cannot be left where a proof is owed: what it breaks would not have passed.) Hence

    Σ_f y_f · max(0, P(f breaks a wanted function) − t)  +  what proving costs at the least

is a lower bound for every plan. A cure that may fail only makes a plan dearer; a dud likewise. Any
prices within the limits give a valid bound; they are chosen greedily here, likeliest fault first.
"""

from __future__ import annotations

from collections.abc import Collection, Mapping
from dataclasses import dataclass

from powergood.diagnosis.belief import Belief, Group
from powergood.diagnosis.compiled import FixSpec
from powergood.diagnosis.recursion import Solved, chance_with_off
from powergood.diagnosis.thrown import LINKS_A_MEMBER
from powergood.diagnosis.worth import Worth


def breaking(belief: Belief, worth: Worth, of: Collection[int] | None = None) -> dict[int, float]:
    """Return for each fault, or each in `of`, the exact chance that it is there and breaks something wanted.

    The greatest over the wanted functions is taken for each fault, so that a remaining chance under the
    threshold for each function is a remaining chance under it for the fault. Groups that were solved by
    sampling count nought: a sampled figure is never part of a bound.
    """
    closures = _widest(worth)
    found: dict[int, float] = {}
    placed = {number: group for group in belief.groups for number in group.variables}
    for number, variable in enumerate(belief.variables):
        for place, instance in enumerate(variable.instances):
            if not instance.fitted or (of is not None and instance.fault not in of):
                continue
            best = 0.0
            for closure in closures:
                best = max(best, _chance(belief, placed, number, place, closure))
            found[instance.fault] = best
    return found


def _widest(worth: Worth) -> list[frozenset[int]]:
    """Return the wanted closures that no other wanted closure contains."""
    return [
        each
        for place, each in enumerate(worth.closures)
        if not any(each < other or (each == other and place > at) for at, other in enumerate(worth.closures))
    ]


def _chance(
    belief: Belief, placed: Mapping[int, Group], number: int, place: int, closure: frozenset[int]
) -> float:
    """Return the chance that a variable's member `place` is present and stops something in `closure`."""
    variable = belief.variables[number]
    fault = belief.model.faults[variable.instances[place].fault]
    links = {at: link.strength for at, link in enumerate(fault.links) if link.base in closure}
    if not links:
        return 0.0
    group = placed.get(number)
    total = 0.0
    for at, history in enumerate(variable.histories):
        chance = belief.chances[number][at]
        if not history.present[place] or chance <= 0:
            continue
        if fault.shows:
            total += chance
            continue
        labels = {place * LINKS_A_MEMBER + link for link in links}
        thrown = {switch.label for switch in history.trajectory.switches} & labels
        loose = 1.0
        for link, strength in links.items():
            known = place * LINKS_A_MEMBER + link in thrown or (place, link) in history.dark
            loose *= 1.0 if known else 1.0 - strength
        silent = chance
        if thrown:
            if group is None or not isinstance(group.solved, Solved):
                return 0.0
            own = group.variables.index(number)
            silent = chance_with_off(group.solved, own, at, frozenset(thrown))
        total += chance - silent * loose
    return max(total, 0.0)


def at_least(belief: Belief, worth: Worth, owed: frozenset[int], chances: Mapping[int, float]) -> float:
    """Return a cost in minutes that no plan can average below, from the chances of `breaking`.

    `owed` are the functions that no check has shown to work yet. One that has passed and only waits for its
    remaining chance to sink under the threshold is not among them: another check may bring that about.
    """
    prices = Prices.of(belief, worth, owed, chances)
    weights = {fault: prices.weight(fault, chance) for fault, chance in chances.items()}
    return prices.over(weights, 1.0) + worth.refit(belief.evidence.now.opened)


@dataclass(frozen=True, slots=True)
class Prices:
    """What `each` fault is charged, in minutes, and what `proving` costs at the least.

    `allowed` is the chance with which a plan may end with a fault still there: nought for a persistent one
    where everything wanted is owed a proof, since what it breaks cannot pass.
    """

    each: Mapping[int, float]
    proving: float
    allowed: Mapping[int, float]

    @classmethod
    def of(cls, belief: Belief, worth: Worth, owed: frozenset[int], chances: Mapping[int, float]) -> Prices:
        """Return prices within the limits, chosen greedily, likeliest fault first."""
        opened = belief.evidence.now.opened
        threshold = worth.preferences.threshold
        cures: dict[int, list[FixSpec]] = {}
        for fix in worth.model.fixes.values():
            for fault, chance in fix.cures.items():
                if chance > 0:
                    cures.setdefault(fault, []).append(fix)
        left = {fix.id: worth.price(fix.price) for fix in worth.model.fixes.values()}
        open_left = {
            name: worth.opening({name}) + worth.refit({name})
            for name in worth.model.openings
            if name not in opened
        }
        stopping = worth.stop(opened) - worth.refit(opened)
        proving = min(_least_proof(worth, owed), stopping)
        to_stop = stopping - proving
        all_owed = len(owed) == len(worth.closures)
        each, allowed = {}, {}
        for fault in sorted(chances, key=lambda fault: (-chances[fault], fault)):
            if chances[fault] <= 0 or to_stop <= 0:
                break
            price = _price(worth, cures.get(fault, []), left, open_left, opened, to_stop)
            to_stop -= price
            each[fault] = price
            allowed[fault] = 0.0 if all_owed and not worth.model.faults[fault].shows else threshold
        return cls(each, proving, allowed)

    def weight(self, fault: int, chance: float) -> float:
        """Return the chance with which a plan must have done something about a fault."""
        return max(chance - self.allowed.get(fault, 1.0), 0.0)

    def over(self, weights: Mapping[int, float], mass: float) -> float:
        """Return what all faults are charged by `weights`, and proving in `mass` of all worlds."""
        return self.proving * mass + sum(
            price * weights.get(fault, 0.0) for fault, price in self.each.items()
        )


def _price(
    worth: Worth,
    fixes: list[FixSpec],
    left: dict[str, float],
    open_left: dict[str, float],
    opened: frozenset[str],
    to_stop: float,
) -> float:
    """Return the price of one fault and take it from what its fixes and openings have left to give.

    A fault nothing cures can only be stopped at: it takes all that stopping has left.
    """
    if not fixes:
        return to_stop
    share = min(left[fix.id] for fix in fixes)
    needed = frozenset.intersection(*(worth.to_open(fix.open, opened) for fix in fixes))
    wish = share + sum(open_left[name] for name in needed)
    scale = min(1.0, to_stop / wish) if wish > 0 else 0.0
    for fix in fixes:
        left[fix.id] -= share * scale
    for name in needed:
        open_left[name] -= open_left[name] * scale
    return wish * scale


def _least_proof(worth: Worth, owed: frozenset[int]) -> float:
    """Return the price of the cheapest single check that proves the dearest of the functions owed a proof.

    Any plan that does not stop must do at least one check that proves that function; openings for it
    are left out, since another step may have paid for them.
    """
    dearest = 0.0
    for function in owed:
        prices = [
            worth.price(worth.model.checks[name].price)
            for name, shown in worth.provers.items()
            if function in shown
        ]
        dearest = max(dearest, min(prices, default=0.0))
    return dearest

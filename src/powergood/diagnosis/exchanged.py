"""Parts that were exchanged though it is not sure that they were at fault: what putting them back would tell.

The old part back, a look, the new one again (A-B-A). It is offered, never planned: it changes nothing that is
wanted. It tells whether the part was the cause or only its contacts, and so whether the old one is a spare.
"""

from __future__ import annotations

from collections.abc import Iterable

from powergood.diagnosis.belief import Belief
from powergood.diagnosis.left import chance_in_part
from powergood.diagnosis.model import Exchange, FunctionState
from powergood.diagnosis.worth import Worth

UNSURE = (0.02, 0.95)
"""Judgement: between these chances it is worth asking whether the old part was at fault."""


def exchanges(held: Belief, worth: Worth, functions: Iterable[FunctionState]) -> tuple[Exchange, ...]:
    """Return the first parts of their slots that lie out, replaced, and may or may not have been at fault.

    None while nothing wanted works yet: to see the trouble come back, it must have gone.
    """
    now = held.evidence.now
    if not any(state.standing in ("passed", "proven") for state in functions):
        return ()
    found = []
    for slot, instance in sorted(now.moved.items()):
        if instance and instance != slot and slot not in now.moved.values():
            chance = chance_in_part(held, slot)
            if UNSURE[0] < chance < UNSURE[1]:
                found.append(Exchange(slot, instance, chance, _minutes(worth, slot, now.opened)))
    return tuple(sorted(found, key=lambda each: (-round(each.chance, 9), each.slot)))


def _minutes(worth: Worth, slot: str, opened: frozenset[str]) -> float:
    """Return the minutes that the old part in, a look, and the new one in again take."""
    fixes = [fix for fix in worth.model.fixes.values() if fix.slot == slot]
    if not fixes:
        return 0.0
    least = min(fixes, key=lambda fix: (fix.price.minutes, fix.id))
    way = worth.opening(worth.to_open(least.open, opened))
    return 2.0 * least.price.minutes + way + worth.test(opened)

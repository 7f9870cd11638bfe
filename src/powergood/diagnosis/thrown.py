"""The switches that a fault throws, given the rows it was there to act in.

It throws one for each of its links (drawn once, so that five looks at the same thing are one), or, when it is
intermittent, one for each power-up.
"""

from __future__ import annotations

from collections.abc import Sequence

from powergood.diagnosis.compiled import FaultSpec
from powergood.diagnosis.recursion import Switch
from powergood.diagnosis.rows import RowSets

POWER_UP_LABEL = -2
"""Label of a switch that belongs to one power-up of an intermittent fault, not to a link."""

RUNNING_LABEL = -100
"""Label of the switch of the power-up that still runs, of member 0; of the others one less each."""

MOOD = -1
"""In the place of a link among the dark: the member's fault does not act in the start that still runs."""

LINKS_A_MEMBER = 1000
"""Labels of link switches are member · LINKS_A_MEMBER + link; no fault has as many links."""


def thrown(
    fault: FaultSpec, there: int, place: int, rows: RowSets, sees: Sequence[int]
) -> tuple[float, list[Switch], list[int]]:
    """Return what a fault present in the rows `there` throws: a factor, switches, and links known off.

    `sees[n]` are the rows that rest on its link n.

    An intermittent fault stops functions by moods, one draw a power-up; what it leaves to be seen (a
    worn lead, a cracked joint) stays to be seen, and is drawn once like any link.
    """
    factor, switches, calm = _moods(fault, there, place, rows, sees) if fault.shows else (1.0, [], False)
    off = [MOOD] if calm else []
    for number, link in enumerate(fault.links):
        seen = there & sees[number]
        if not seen or (fault.shows and link.base not in rows.signs):
            continue
        if seen & rows.sure_pass:
            factor *= 1.0 - link.strength
            off.append(number)
            continue
        label = place * LINKS_A_MEMBER + number
        switches.append(Switch(1.0 - link.strength, link.strength, rows.bits(seen), label))
    return factor, switches, off


def _moods(
    fault: FaultSpec, there: int, place: int, rows: RowSets, sees: Sequence[int]
) -> tuple[float, list[Switch], bool]:
    """Return the draws of an intermittent fault: whether it stops its functions in each power-up.

    The last says that it certainly does not in the one that still runs.
    """
    factor, calm = 1.0, False
    switches = []
    seen = 0
    for number, link in enumerate(fault.links):
        if link.base not in rows.signs:
            seen |= there & sees[number]
    for number, start in rows.starts.items():
        here = seen & start
        if not here:
            continue
        quiet = (1.0 - fault.shows) ** rows.lasting[number]
        runs = number == rows.running
        if here & rows.sure_pass:
            factor, calm = factor * quiet, calm or runs
            continue
        label = RUNNING_LABEL - place if runs else POWER_UP_LABEL
        switches.append(Switch(quiet, 1.0 - quiet, rows.bits(here), label))
    return factor, switches, calm

"""Whether the machine runs, and which looks of a start were taken: what needs a start and what rides on one.

A start is dear, and many looks at its first seconds cost no more than one. So a machine that runs stays on
while only looked at; what needs it off, opened or with other parts in it ends that.
"""

from __future__ import annotations

from typing import TypeAlias

from powergood.diagnosis.compiled import CheckSpec

Running: TypeAlias = frozenset[str] | None
"""The looks at the first seconds taken at the start that still runs; None when the machine is off."""


def disturbs(
    check: CheckSpec, whole: frozenset[str], opened: frozenset[str], missing: frozenset[str]
) -> bool:
    """Tell whether something must be opened, closed or fitted for a check, which is done with it off.

    `whole` are the openings it needs, with all that must be open before them.
    """
    return bool(whole - opened or check.closed & opened or check.fitted & missing)


def needs_start(check: CheckSpec, running: Running, *, disturbs: bool) -> bool:
    """Tell whether a check costs one more start; `disturbs` as the function of that name tells it."""
    if check.power == "off":
        return False
    if running is None or disturbs or check.masked:
        return True
    return check.power == "start" and check.id in running


def running_after(check: CheckSpec, running: Running, *, disturbs: bool) -> Running:
    """Return what runs once the check has been done; one with parts out of it ends with them put back."""
    if check.power == "off" or check.masked:
        return None
    begun = frozenset() if needs_start(check, running, disturbs=disturbs) else running or frozenset()
    return begun | {check.id} if check.power == "start" else begun
